#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/room/hazard.hpp"

#include "report/map_frame.hpp"
#include "report/map_labels.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// How a hazard is drawn as what it is: shapes of our own.
enum class Sign : std::uint8_t {
    none, ///< what is told otherwise: by colours, or by another rule of the same feature
    cable,
    pipeline,
    overhead,
    track,
    wreck,
    rock,
    obstruction,
    foul,
    farm,
    mooring,
    buoy,
    structure,
    growth, ///< seagrass, weed, coral or rock on the ground
    area,   ///< whose edge alone is drawn
    danger
};
inline constexpr std::size_t sign_count = 16;

/// What each is called in a legend, by Sign.
inline constexpr std::array<std::string_view, sign_count> sign_words = {"",
                                                                        "cable, or chain of a mooring",
                                                                        "pipeline or tunnel",
                                                                        "bridge or overhead line",
                                                                        "track or ferry route",
                                                                        "wreck",
                                                                        "rock",
                                                                        "obstruction",
                                                                        "foul ground",
                                                                        "farm or fishing gear",
                                                                        "mooring",
                                                                        "buoy or beacon",
                                                                        "pile, platform or other structure",
                                                                        "seagrass, coral or rocky ground",
                                                                        "edge of an area with a rule",
                                                                        "other danger"};

/// The sign of a hazard, by the rule that made it: of rules that are not built in by the built-in one that
/// their name begins with, else by what they have of it.
Sign sign_of(const Hazard& hazard);

/// Whether classes show what a rule of that name makes, so that its outline says nothing more.
bool is_told_by_colours(std::string_view kind);

/// A sign around (0, 0), for points and for the legend.
Markup sign_drawing(Sign sign);

/// The hazards on one map, thinned to what can be seen.
class MapMarks {
public:
    /// Whether what lies at a place of the picture need not be shown, as on land.
    using Hidden = std::function<bool(GridPoint)>;

    /// No hazard yet.
    explicit MapMarks(const MapFrame& frame) : frame_(frame) {}

    /// Of what lies at one place only the most telling sign is drawn: a rock that dries is a rock.
    /// @param origin  the cell of the hazard's grid that is the frame's (0, 0)
    void add(const Hazard& hazard, GridPoint origin, const Hidden& hidden);

    /// Words beside the largest of each kind, where there is room: first what is met, then areas.
    Markup names(MapLabels& labels) const;
    /// Areas and lines; points lie on them.
    [[nodiscard]] Markup drawing() const;
    /// Which of the signs are on the map.
    [[nodiscard]] std::set<Sign> shown() const;
    /// Where points are, for words that keep off them.
    [[nodiscard]] std::vector<GridPoint> points() const;

private:
    struct Name {
        std::string words;
        GridPoint at;
        double size = 0;
        bool of_area = false;
        Sign drawn = Sign::none; ///< what is to be seen there
    };
    /// A sign upon a point.
    struct Mark {
        Sign sign = Sign::none;
        GridPoint at;
    };
    /// To a tenth of a unit: several rules speak of one feature, which lies at one place.
    using PlaceKey = std::array<long, 2>;
    static PlaceKey key_of(GridPoint at);
    /// What of the marks is drawn: no two of a sign within a square of a sign's size.
    [[nodiscard]] std::vector<Mark> thinned() const;
    void add_point(Sign sign, GridPoint at);
    bool add_line(Sign sign, const std::vector<GridPoint>& line, bool closed, const Hidden& hidden);
    void name(const Hazard& hazard, Sign sign, Sign drawn, GridPoint at, double size);

    MapFrame frame_;
    Markup lines_;
    std::set<std::string> drawn_; ///< lines, so that what two rules speak of is drawn once
    std::set<Sign> lines_shown_;
    std::vector<Mark> marks_;                           ///< one for each place
    std::map<PlaceKey, std::size_t> mark_at_, name_at_; ///< of the lists before and behind this
    std::vector<Name> names_;                           ///< one for each place; some without words
};

} // namespace swingroom
