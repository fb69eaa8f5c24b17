#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/room/hazard.hpp"

#include "report/map_frame.hpp"
#include "report/map_labels.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
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

    /// @param origin  the cell of the hazard's grid that is the frame's (0, 0)
    void add(const Hazard& hazard, GridPoint origin, const Hidden& hidden);

    /// Words beside the largest of each kind, where there is room: first what is met, then areas.
    Markup names(MapLabels& labels) const;
    /// Areas and lines; points lie on them.
    [[nodiscard]] Markup drawing() const;
    /// Which of the signs are on the map.
    [[nodiscard]] const std::set<Sign>& shown() const { return shown_; }
    /// Where points are, for words that keep off them.
    [[nodiscard]] const std::vector<GridPoint>& points() const { return points_; }

private:
    struct Name {
        std::string words;
        GridPoint at;
        double size = 0;
        bool of_area = false;
    };
    void add_point(Sign sign, GridPoint at);
    bool add_line(Sign sign, const std::vector<GridPoint>& line, bool closed, const Hidden& hidden);
    void name(const Hazard& hazard, Sign sign, GridPoint at, double size);

    MapFrame frame_;
    Markup lines_, signs_;
    std::vector<GridPoint> points_;
    std::set<std::array<long, 3>> taken_; ///< squares of a point's size that hold one of a sign
    std::set<std::string> drawn_;         ///< lines, so that what two rules speak of is drawn once
    std::set<Sign> shown_;
    std::vector<Name> names_;
};

} // namespace swingroom
