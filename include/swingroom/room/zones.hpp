#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/room/verdict.hpp"

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

/// Figures of a set of cells that can be put together in any order and grouping: extremes and sets only. Runs
/// carry them, and a sea of noise has as many runs as cells, so they are kept small.
struct ZoneFigures {
    float depth_low_min_m = std::numeric_limits<float>::infinity(); ///< least water at low water
    /// The most water at low water that any of the cells has.
    float depth_low_max_m = -std::numeric_limits<float>::infinity();
    /// Chart depth and its uncertainty, or what the sounder's limit comes to, where that is most.
    float depth_deep_max_m = -std::numeric_limits<float>::infinity();
    /// The greatest reading of the sounder that will do, where it is least; infinite where any will.
    float sounder_limit_min_m = std::numeric_limits<float>::infinity();
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
    /// Spare room at the way of the verdict of the cell that has the most of it.
    float spare_max_m = -std::numeric_limits<float>::infinity();
    /// The level above chart datum at which the worst place of every circle floats her, at the way of the
    /// verdict; rounded up, negative infinity where nobody asks.
    float level_needed_max_m = -std::numeric_limits<float>::infinity();
    /// The level above chart datum at which she gets to every cell, as WayIn has it: infinite at none,
    /// negative infinity where nobody asks or it is not known.
    float access_level_max_m = -std::numeric_limits<float>::infinity();
    std::uint16_t advice = 0;    ///< advice bits met anywhere in the zone
    std::uint16_t seabeds = 0;   ///< all that occur
    std::uint8_t ways = 7;       ///< those that are a yes in every cell
    std::uint8_t plain_ways = 7; ///< of these, those that hold in every cell whatever the sounder shows
    /// Whether hardly_admits() is so of every cell: then no place of them is one to recommend.
    bool hardly_admitted = true;

    /// Takes in the cells of another set: the wider extremes, all advice and seabeds, the ways that are a yes
    /// in both.
    void merge(const ZoneFigures& other);
    /// Whether the way is a yes in every cell so far.
    [[nodiscard]] bool has(Way way) const { return (ways & bit_of(way)) != 0; }
};

/// A stretch of neighbouring cells of one row with the same yes verdict: columns [begin, end).
struct Run {
    /// Columns of the raster; `end` is one beyond the last.
    int begin = 0, end = 0;
    /// Of all its cells, a yes.
    Verdict verdict = Verdict::no;
    /// Of all its cells, and perhaps of others of its zone, too.
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
