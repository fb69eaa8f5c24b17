#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/room/verdict.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <span>
#include <vector>

namespace swingroom {

/// A set of ways or of seabeds, a bit each.
constexpr std::uint8_t bit_of(Way way) { return static_cast<std::uint8_t>(1u << static_cast<unsigned>(way)); }
constexpr std::uint16_t bit_of(Seabed seabed) {
    return static_cast<std::uint16_t>(1u << static_cast<unsigned>(seabed));
}

/// What a yes cell brings to its zone; rode, radius and spare room are those of the way of its verdict.
struct ZoneCell {
    float depth_low_m = 0;  ///< least water at low water
    float depth_deep_m = 0; ///< chart depth and its uncertainty, or what the sounder's limit comes to
    /// The greatest reading of the sounder that will do; NaN where any will.
    float sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    /// In metres; needs are rounded up, spare room down.
    float rode_m = 0, radius_m = 0, spare_m = 0;
    std::uint8_t ways = 0; ///< all that are a yes here
    /// Of those ways; what stands at others means nothing.
    std::array<float, all_ways.size()> wind_limit_kn{};
    /// Of several in the cell the worst for the anchor.
    Seabed seabed = Seabed::unknown;
    /// Bits of `advice` that the cell has.
    std::uint16_t advice = 0;
    /// Of `ways` those that hold whatever the sounder shows; what stands at others means nothing.
    std::uint8_t plain_ways = 7;
    /// By the sounder's limit, as hardly_admits() has it.
    bool hardly_admitted = false;
    /// The level above chart datum at which the worst place of the circle floats her, at the way of the
    /// verdict; rounded up, negative infinity where nobody asks.
    float level_needed_m = -std::numeric_limits<float>::infinity();
    /// The level above chart datum at which she gets there, as WayIn has it: infinite at none, negative
    /// infinity where nobody asks or it is not known.
    float access_level_m = -std::numeric_limits<float>::infinity();
};

/// Figures of a set of cells that can be put together in any order and grouping: extremes and sets only. Runs
/// carry them, and a sea of noise has as many runs as cells, so they are kept small.
struct ZoneFigures {
    float depth_low_min_m = std::numeric_limits<float>::infinity(); ///< least water at low water
    /// The most water at low water that any of the cells has.
    float depth_low_max_m = -std::numeric_limits<float>::infinity();
    float depth_deep_max_m = -std::numeric_limits<float>::infinity();   ///< of ZoneCell::depth_deep_m
    float sounder_limit_min_m = std::numeric_limits<float>::infinity(); ///< infinite where there is none
    /// Rode to veer where least of it is needed, at the way of the verdict.
    float rode_min_m = std::numeric_limits<float>::infinity();
    /// The same where most of it is needed.
    float rode_max_m = 0;
    /// Swinging radius where it is least, at the way of the verdict.
    float radius_min_m = std::numeric_limits<float>::infinity();
    /// The same where it is greatest.
    float radius_max_m = 0;
    /// By way, for those in `ways`; of others than the verdict's own in whole knots, rounded down. What they
    /// are taken from follows from `seabeds` (TackleTables::limit_by).
    std::array<float, all_ways.size()> wind_limit_min_kn = {std::numeric_limits<float>::infinity(),
                                                            std::numeric_limits<float>::infinity(),
                                                            std::numeric_limits<float>::infinity()};
    /// Spare room of the cell that has the most of it.
    float spare_max_m = -std::numeric_limits<float>::infinity();
    /// Of ZoneCell::level_needed_m.
    float level_needed_max_m = -std::numeric_limits<float>::infinity();
    /// Of ZoneCell::access_level_m.
    float access_level_max_m = -std::numeric_limits<float>::infinity();
    std::uint16_t advice = 0;    ///< advice bits met anywhere in the zone
    std::uint16_t seabeds = 0;   ///< all that occur
    std::uint8_t ways = 7;       ///< those that are a yes in every cell
    std::uint8_t plain_ways = 7; ///< of these, those that hold in every cell whatever the sounder shows
    /// Whether that is so of every cell: then no place of them is one to recommend.
    bool hardly_admitted = true;

    /// Takes in the cells of another set: the wider extremes, all advice and seabeds, the ways that are a yes
    /// in both.
    void merge(const ZoneFigures& other);
    /// Adds one cell.
    void add_cell(const ZoneCell& cell) {
        depth_low_min_m = std::min(depth_low_min_m, cell.depth_low_m);
        depth_low_max_m = std::max(depth_low_max_m, cell.depth_low_m);
        depth_deep_max_m = std::max(depth_deep_max_m, cell.depth_deep_m);
        // Not so if there is none, which is NaN.
        if (cell.sounder_limit_m < sounder_limit_min_m) sounder_limit_min_m = cell.sounder_limit_m;
        rode_min_m = std::min(rode_min_m, cell.rode_m);
        rode_max_m = std::max(rode_max_m, cell.rode_m);
        radius_min_m = std::min(radius_min_m, cell.radius_m);
        radius_max_m = std::max(radius_max_m, cell.radius_m);
        take_limits(cell.wind_limit_kn);
        spare_max_m = std::max(spare_max_m, cell.spare_m);
        level_needed_max_m = std::max(level_needed_max_m, cell.level_needed_m);
        access_level_max_m = std::max(access_level_max_m, cell.access_level_m);
        advice = static_cast<std::uint16_t>(advice | cell.advice);
        seabeds = static_cast<std::uint16_t>(seabeds | bit_of(cell.seabed));
        ways = static_cast<std::uint8_t>(ways & cell.ways);
        plain_ways = static_cast<std::uint8_t>(plain_ways & cell.plain_ways);
        hardly_admitted = hardly_admitted && cell.hardly_admitted;
    }
    /// Whether the way is a yes in every cell so far.
    [[nodiscard]] bool has(Way way) const { return (ways & bit_of(way)) != 0; }

private:
    void take_limits(const std::array<float, all_ways.size()>& kn) {
        for (std::size_t way = 0; way < kn.size(); ++way) {
            wind_limit_min_kn[way] = std::min(wind_limit_min_kn[way], kn[way]);
        }
    }
};

/// A stretch of neighbouring cells of one row with the same yes verdict: columns [begin, end).
struct Run {
    /// Columns of the raster; `end` is one beyond the last.
    int begin = 0, end = 0;
    /// Of all its cells, a yes.
    Verdict verdict = Verdict::no;
    /// Of all its cells.
    ZoneFigures figures;
    /// Of all its cells: no way leads to them, so that they are of other zones than those that one leads to.
    bool out_of_reach = false;
};

/// A connected area of one verdict, all in reach or all out of it: cells that share an edge. Rings are in
/// grid space on cell corners, first vertex repeated last, no three in line; the outer ring first, then the
/// holes by their first vertex. Each starts at its topmost vertex, of several the leftmost. By the formula
/// sum(x_i*y_{i+1} - x_{i+1}*y_i)/2 with x in columns and y in rows the outer ring's area is positive and a
/// hole's negative. A cell corner at which two cells of the zone touch without sharing an edge never joins
/// them inside one ring: the ring turns there and stays with its cell. A ring may so come to the same corner
/// twice, which strict readers of polygons refuse; `shrunk` by however little takes such corners apart.
struct Zone {
    /// Of all its cells, a yes.
    Verdict verdict = Verdict::no;
    /// How many there are.
    std::int64_t cells = 0;
    double area_m2 = 0; ///< summed row by row from the row's cell area
    /// Of all its cells, which hold all over the zone.
    ZoneFigures figures;
    /// The outline as said above.
    std::vector<std::vector<GridPoint>> rings;
};

/// Traces zones from runs, row after row; each zone is handed over as soon as no later row can touch it, so
/// memory depends on what is open, never on the raster: about a byte a vertex of an open zone. Time is
/// linear in runs and vertices. Zones come in order of their last row, then of their first column in it: the
/// same zones in the same order however a row's runs are cut.
class ZoneTracer {
public:
    /// Takes a zone over; it is called by the thread that traces.
    using Deliver = std::function<void(Zone&&)>;
    /// @param first_row  the first row that add_row will be called for   @param deliver  called from add_row
    /// and finish
    /// @param cell_area_m2  ground area of one cell of a row
    ZoneTracer(int first_row, std::function<double(int row)> cell_area_m2, Deliver deliver);
    ~ZoneTracer();

    /// The next row's runs, sorted by column; neighbours of the same verdict that touch are joined here.
    void add_row(std::span<const Run> runs);
    /// No more rows: delivers what is still open.
    void finish();

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// A zone's rings moved inwards, on both sides of every edge, by so many columns and rows: what a rounded
/// coordinate may gain is given away first, and rings that met in a corner come apart. A zone one cell wide
/// stays a polygon.   @pre 0 <= by_cols < 0.5, 0 <= by_rows < 0.5
std::vector<std::vector<GridPoint>> shrunk(std::vector<std::vector<GridPoint>> rings, double by_cols,
                                           double by_rows);

} // namespace swingroom
