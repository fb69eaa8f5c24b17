#pragma once

#include "swingroom/boat/span_bins.hpp"
#include "swingroom/boat/tackle.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/boat/way_needs.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace swingroom {

/// One length of rode (a mark) and what is tabled for the spans at which it is veered.
struct RodeRow {
    /// A multiple of the marks' distance, or all that is aboard.
    double rode_m = 0;
    /// The same rounded up to a float, as answers have it.
    float rode_up_m = 0;
    /// Where the sinker is made fast, down the rode from the roller; 0 for the ways without one.
    double sinker_from_bow_m = 0;
    double span_above_m = 0, span_limit_m = 0; ///< veered for spans at high water in (above, limit]
    /// The bins of the spans at low water that radii are tabled for, and those, wider, of the reaches by
    /// wind.
    SpanBins radius, reach;
    double angle_first = 0; ///< in steps of the angle's spans, which are equal
    /// How many of these steps the row's spans at high water touch, at least one.
    std::uint32_t angle_count = 0;
    std::uint32_t radius_at = 0, reach_at = 0, angle_at = 0; ///< where its bins begin in the tables

    /// Steps in a metre: the wind limit by the angle of pull is tabled for each tenth of a metre of the span.
    static constexpr double angle_steps_per_m = 10;
    /// The step of a span at high water, counted from the row's own first; the nearest one for spans outside.
    [[nodiscard]] std::uint32_t angle_bin_of(double span_m) const {
        const double bin = span_m * angle_steps_per_m - angle_first;
        const double last = static_cast<double>(angle_count) - 1;
        return static_cast<std::uint32_t>(std::clamp(bin, 0.0, last));
    }
};

/// The rows of a way, by the span at high water.
struct WayTable {
    /// The way that the table is of; its rows have the sinker only where that is Way::sinker.
    Way way = Way::full;
    WayNeeds::Out out = WayNeeds::Out::rode; ///< beyond the deepest span
    /// The greatest span at high water that the rode aboard serves; negative infinity where it serves none.
    double deepest_span_m = -std::numeric_limits<double>::infinity();
    /// Ascending in rode and in spans, which follow on each other without a gap.
    std::vector<RodeRow> rows;
    std::vector<double> span_limit_m;     ///< of each row, apart because it is searched
    std::vector<std::uint32_t> first_row; ///< by whole steps of the span at high water
    std::vector<float> radius_m;          ///< RodeRow::radius bins of each row
    /// By whole metres of the span, the first being 1, rounded up; 0 where the rode aboard will do.
    std::vector<float> rode_needed_m;

    /// Steps of `first_row` in a metre.
    static constexpr double span_steps_per_m = 20;
    /// The first row that is long enough; high_m is within the deepest span.
    [[nodiscard]] std::size_t row_of(double high_m) const {
        std::size_t row = first_row[static_cast<std::size_t>(std::max(0.0, high_m) * span_steps_per_m)];
        while (high_m > span_limit_m[row]) {
            ++row;
        }
        return row;
    }
};

/// How fine the tables are.
struct TableSteps {
    /// Gradings of the bins of radii (5 cm at first) and of reaches (25 cm); coarser where the tables would
    /// be slow to make.
    BinGrading radius{20, 7}, reach{4, 5};
    double wind_kn = 1; ///< of the winds that reaches are tabled for
};

/// Lengths of rode and radii of all ways, by the span.
struct RodeTables {
    /// @param greatest_apart_m  how far the deep and the shoal side of a depth may be apart
    RodeTables(const Boat& boat, const Conditions& conditions, double greatest_apart_m);

    /// The table of a way; without rows where the boat has no sinker and the way needs one.
    [[nodiscard]] const WayTable& of(Way way) const { return ways[static_cast<std::size_t>(way)]; }
    /// What is said beyond the deepest span of a way: how much rode would be needed.
    [[nodiscard]] WayNeeds out_of_reach(const WayTable& table, double high_m) const;

    /// What every row was computed from; it answers where the tables are too coarse.
    Tackle tackle;
    /// As fine as they were made for this boat.
    TableSteps steps;
    /// By Way.
    std::array<WayTable, all_ways.size()> ways;
};

} // namespace swingroom
