#pragma once

#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/nearby_hazards.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/sea/charted_depths.hpp"
#include "swingroom/sea/georeference.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// Notes of the ground stand some hundred metres apart: a nautical mile and three are those around a berth.
inline constexpr double notes_within_m = 1852;
inline constexpr std::size_t most_notes = 3;

/// How a seabed stands to the water of the stay, by its depth without the uncertainty: the chart or the
/// survey says so.
enum class Shore : std::uint8_t {
    covered, ///< at low water too, or not known to be anything else
    dries,   ///< bare at low water, covered at high water
    land     ///< bare all the time
};

/// The nearest thing that bounds a room. `what_is` (overlay/position_words.hpp) names it.
struct NearestDanger {
    /// What the nearest unsafe cell is, the first of these that is true: a hazard touches it, it lies outside
    /// of the raster or, without a depth, of all charts, it has no depth, it has too little water.
    enum class Kind : std::uint8_t { hazard, edge_of_data, unsurveyed, shoal };
    /// Tells which of the members below mean anything.
    Kind kind = Kind::hazard;
    std::string hazard; ///< its name: "cable (cables #3)"
    /// Of a shoal: the least water on it at low water; below 0 for how far it may dry, uncertainty counted.
    double depth_low_m = 0;
    Shore shore = Shore::covered; ///< of a shoal
    double distance_m = 0;        ///< from the edge of the cell, as in the room layers: rounded down
    double bearing_deg = 0; ///< true, from the cell's centre to the danger's nearest cell; meaningless at 0 m
};

/// One way to lie at a position.
struct WayAtPosition {
    /// Which of the three ways it is; the list has them in their order.
    Way way = Way::full;
    /// The statics behind the figures, for the depth of this cell.
    WayDetail detail;
    float spare_m = 0; ///< as in the spare layer; NaN where the way is out
    float wind_limit_kn =
        0;             ///< as in the wind_limit layer; PositionReport::limit_by is what it is taken from
    bool fits = false; ///< whether this way is a yes here
    /// The least water at low water anywhere in the swinging circle, dangers that have a depth among it;
    /// negative infinity where the circle meets what no water clears, NaN where the way is out.
    double least_water_m = std::numeric_limits<double>::quiet_NaN();
    /// The level above chart datum at which the worst place of the circle floats her, rode and radius as
    /// they are; infinite where none does, NaN where the way is out.
    double level_needed_m = std::numeric_limits<double>::quiet_NaN();
};

/// What the water does in the swinging circle of a way during the stay. As in the layers least_water and
/// hours_afloat, also where the cell floats her at high water only: she swings from the moment on at which it
/// does so, by the radius that she has then.
struct WaterOfWay {
    /// The least water at low water anywhere in the circle, dangers that have a depth among it, rounded down;
    /// negative infinity where it meets what no water clears, NaN where the cell is unsurveyed or does not
    /// float her even at high water, and where the way is out.
    double least_water_m = std::numeric_limits<double>::quiet_NaN();
    /// The level above chart datum at which the worst place of the circle floats her, rode and radius as they
    /// are, rounded up; infinite where none does, NaN where least_water_m is.
    double level_needed_m = std::numeric_limits<double>::quiet_NaN();
    /// How long within the stay the water stands at that level or above it for sure, in hours, rounded down;
    /// 0 where she is never afloat, NaN without a tide, where the cell is unsurveyed or the way is out.
    double hours_afloat = std::numeric_limits<double>::quiet_NaN();
};

/// A reason and by how much it fails. `sentence_of` (overlay/position_words.hpp) puts it into words.
struct Shortfall {
    /// One bit of `reason`.
    std::uint32_t bit = 0;
    /// Where the reason compares two figures: metres; of the windlass newtons, of the slope rise over run.
    /// What is needed is NaN where it is for a deep edge that is not charted.
    double needed = 0, there = 0;
    Shore shore = Shore::covered;     ///< where there is too little water: whether there is any
    Seabed seabed = Seabed::unknown;  ///< where it is the ground that does not do
    double holding_kn = 0;            ///< up to which wind that ground holds, where it holds any
    std::vector<std::string> hazards; ///< those that forbid by touching the cell
};

/// Every number behind one cell. Agrees with the layers cell by cell: it comes from the same functions.
struct PositionReport {
    LonLat centre; ///< of the cell
    /// The cell, counted from the raster's first column and first row.
    int col = 0, row = 0;
    /// What the cell was judged by.
    CellFacts facts;
    /// The lowest and the highest level of the stay at the cell: its own, or those of the tables.
    WaterLevels levels;
    /// The verdict with everything that forbids and everything to mind.
    CellAnswer answer;
    std::string source;    ///< of the shoal depth, where there are several; empty where unsurveyed
    float depth_low_m = 0; ///< least water at low water; NaN where unsurveyed
    /// Greatest water at high water; NaN where unsurveyed, and where the chart gives its area no deep edge.
    double depth_high_m = 0;
    /// Whether the deep side is known: a chart's area need not have a deep edge.
    bool deep_charted = true;
    /// What the hull asks for at low water: draught, clearance and half the wave height.
    double required_depth_m = 0;
    /// Depth that rode, hanging load and trip line are for, as CellFacts::deep_m is counted: the deep side,
    /// or what the sounder allows.
    /// NaN where that is a deep edge that is not charted.
    double deepest_m = 0;
    LimitBy limit_by = LimitBy::holding; ///< what the wind limits of the ways are taken from
    std::vector<WayAtPosition> ways;     ///< empty where the cell is unsurveyed or does not float the hull
    /// By Way: where `ways` is empty, too.
    std::array<WaterOfWay, all_ways.size()> water;
    /// What would hang from the roller at high water, in newtons, and the length of a trip line; 0 where
    /// unsurveyed, NaN where deepest_m is.
    double hanging_load_n = 0, trip_line_m = 0;
    double reach_m = 0;                                      ///< rooms and dangers are known up to here
    std::optional<NearestDanger> hull_danger, ground_danger; ///< nothing: none within reach_m
    std::vector<std::string> here;     ///< hazards that touch the cell: "cable (cables #3)"
    std::vector<Shortfall> shortfalls; ///< one per reason bit, in their order
    /// Where the depth is a band of a chart: what the chart lets expect, seen from the cell's centre.
    std::optional<ExpectedDepth> expected;
    std::vector<SeabedNote> notes; ///< the nearest to the cell's centre: `most_notes` of `notes_within_m`
    /// How it stands to the way in; nothing: nobody looked.
    std::optional<PlaceReach> reach;
    std::optional<WayToPlace> way; ///< to the cell, where somebody asked an ApproachFinder for it
};

/// What the spare room of a way ends at: the danger to the hull or to anchor and rode, whichever leaves less.
/// Nothing: none is within reach, so that there is at least as much to spare as is told.
const std::optional<NearestDanger>& end_of_spare(const PositionReport& position, const WayAtPosition& at);

/// What the charts let expect in a cell, seen from a position; nothing where its depth is no band of a chart.
std::optional<ExpectedDepth> expected_depth(const OverlayJob& job, const Georeference& georeference,
                                            const PositionReport& cell, LonLat from);

/// Looks into one cell.
/// @param job  its window and wanted layers do not matter   @param georeference  of the raster
PositionReport examine(const OverlayJob& job, const Georeference& georeference, int col, int row);
/// Its answer alone, which is had for much less.
CellAnswer answer_at(const OverlayJob& job, int col, int row);

} // namespace swingroom
