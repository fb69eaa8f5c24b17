#include "swingroom/boat/rode_tables.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/statics.hpp"

#include <cmath>
#include <utility>

namespace swingroom {
namespace {

/// More than this for all three ways and the making would be felt (a reach takes a third of a microsecond);
/// bins are then made wider.
constexpr double most_radii = 200000, most_reaches = 300000;

WayTable rows_of(const Tackle& tackle, Way way) {
    const Boat& boat = tackle.boat();
    WayTable table;
    table.way = way;
    if (way == Way::sinker && !boat.sinker) {
        table.out = WayNeeds::Out::unavailable;
        return table;
    }
    const double aboard_m = boat.rode.aboard_m();
    for (std::uint64_t marks = 1;; ++marks) {
        RodeRow row;
        row.rode_m = std::min(static_cast<double>(marks) * boat.rode.mark_m, aboard_m);
        row.rode_up_m = narrow_up(row.rode_m);
        row.sinker_from_bow_m = tackle.sinker_from_bow_m(way, row.rode_m);
        row.span_limit_m = tackle.span_limit_m(way, row.rode_m, row.sinker_from_bow_m);
        row.span_above_m = std::max(0.0, table.deepest_span_m);
        // A rode that does not reach the water's surface from the roller is none.
        if (row.span_limit_m > std::max(row.span_above_m, boat.hull.bow_roller_m)) {
            table.deepest_span_m = row.span_limit_m;
            table.span_limit_m.push_back(row.span_limit_m);
            table.rows.push_back(row);
        }
        if (row.rode_m >= aboard_m) break;
    }
    const auto steps =
        static_cast<std::size_t>(std::max(0.0, table.deepest_span_m) * WayTable::span_steps_per_m) + 1;
    table.first_row.reserve(steps);
    for (std::size_t step = 0, row = 0; step < steps; ++step) {
        while (row + 1 < table.rows.size() &&
               table.span_limit_m[row] < static_cast<double>(step) / WayTable::span_steps_per_m) {
            ++row;
        }
        table.first_row.push_back(static_cast<std::uint32_t>(row));
    }
    auto marks = static_cast<std::uint64_t>(std::ceil(aboard_m / boat.rode.mark_m));
    for (double span_m = 1; span_m <= aboard_m + 1; ++span_m) {
        table.rode_needed_m.push_back(
            span_m <= table.deepest_span_m ? 0 : narrow_up(tackle.needed_rode_m(way, span_m, marks)));
    }
    return table;
}

/// Spans at low water that go with a row: from the least that its spans at high water leave, but never less
/// than the roller's height, which bounds whatever uncertainty is given by what the rode can reach.
SpanBins low_bins(const Tackle& tackle, const RodeRow& row, const BinGrading& grading,
                  double uncertainty_range_m) {
    const double apart_m = tackle.conditions().water.range_m(), roller_m = tackle.boat().hull.bow_roller_m;
    const double least_m = std::max(roller_m, row.span_above_m - apart_m - uncertainty_range_m - 0.001);
    return {least_m, std::max(least_m, row.span_limit_m - apart_m), grading};
}

double count_bins(const RodeTables& tables, const BinGrading& grading, double uncertainty_range_m) {
    double sum = 0;
    for (const WayTable& table : tables.ways) {
        for (const RodeRow& row : table.rows) {
            sum += low_bins(tables.tackle, row, grading, uncertainty_range_m).count;
        }
    }
    return sum;
}

/// Widens the bins until the tables are made quickly.
TableSteps steps_of(const RodeTables& tables, double uncertainty_range_m) {
    TableSteps steps;
    constexpr int coarsest_radii_bits = 4, coarsest_reach_bits = 1;
    while (count_bins(tables, steps.radius, uncertainty_range_m) > most_radii &&
           steps.radius.fine_bits > coarsest_radii_bits) {
        --steps.radius.fine_bits;
    }
    const auto reaches = [&] {
        return count_bins(tables, steps.reach, uncertainty_range_m) *
               (double{greatest_wind_kn} / steps.wind_kn);
    };
    while (reaches() > most_reaches && steps.reach.fine_bits > 3) {
        --steps.reach.fine_bits;
    }
    while (reaches() > most_reaches && steps.reach.per_m > 0.25) {
        steps.reach.per_m /= 2;
    }
    while (reaches() > most_reaches && steps.reach.fine_bits > coarsest_reach_bits) {
        --steps.reach.fine_bits;
    }
    while (reaches() > most_reaches && steps.wind_kn < 4) {
        steps.wind_kn *= 2;
    }
    return steps;
}

void place_bins(RodeTables& tables, double uncertainty_range_m) {
    for (WayTable& table : tables.ways) {
        std::uint32_t radius_at = 0, reach_at = 0, angle_at = 0;
        for (RodeRow& row : table.rows) {
            row.radius = low_bins(tables.tackle, row, tables.steps.radius, uncertainty_range_m);
            row.reach = low_bins(tables.tackle, row, tables.steps.reach, uncertainty_range_m);
            row.angle_first = std::floor(row.span_above_m * RodeRow::angle_steps_per_m);
            row.angle_count =
                static_cast<std::uint32_t>(std::floor(row.span_limit_m * RodeRow::angle_steps_per_m) -
                                           row.angle_first) +
                1;
            row.radius_at = std::exchange(radius_at, radius_at + row.radius.count);
            row.reach_at = std::exchange(reach_at, reach_at + row.reach.count + 1);
            row.angle_at = std::exchange(angle_at, angle_at + row.angle_count);
        }
    }
}

void fill_radii(WayTable& table, const Tackle& tackle, const BinGrading& grading) {
    for (const RodeRow& row : table.rows) {
        const auto rode = tackle.parts(table.way, row.rode_m, row.sinker_from_bow_m, Stretch::as_aboard);
        for (std::uint32_t bin = 0; bin < row.radius.count; ++bin) {
            // Reach falls with the span: the bin's lower edge is the safe one.
            const double least_m = std::max(1e-3, row.radius.lower_edge_m(grading, bin));
            const double most_m =
                std::clamp(row.radius.upper_edge_m(grading, bin), least_m, row.span_limit_m);
            const double reach_m = table.way == Way::full
                                       ? tackle.taut_reach_m(row.rode_m, least_m, most_m)
                                       : rode_state(tackle.planned_pull_n(), least_m, rode).reach_m;
            table.radius_m.push_back(narrow_up(reach_m + tackle.hull_allowance_m()));
        }
    }
}

/// Makes one way's radii hold those of the way within it. They do by themselves, but for rope at next to no
/// pull: a sinker stretches the piece that hangs from the roller, which leaves centimetres more to lie on the
/// ground. The outer radius gives way, since larger is safe.
void widen(WayTable& outer, const WayTable& inner, const BinGrading& grading) {
    for (const RodeRow& out : outer.rows) {
        float* const out_radius_m = outer.radius_m.data() + out.radius_at;
        for (const RodeRow& in : inner.rows) {
            if (in.span_limit_m <= out.span_above_m || in.span_above_m >= out.span_limit_m) continue;
            for (std::uint32_t bin = 0; bin < out.radius.count; ++bin) {
                // Radii fall with the span: at the bin's lower edge the inner one is greatest.
                const double least_m = out.radius.lower_edge_m(grading, bin);
                float& radius_m = out_radius_m[bin];
                radius_m =
                    std::max(radius_m, inner.radius_m[in.radius_at + in.radius.bin_of(grading, least_m)]);
            }
        }
    }
}

} // namespace

RodeTables::RodeTables(const Boat& boat, const Conditions& conditions, double greatest_apart_m)
    : tackle(boat, conditions) {
    for (const Way way : all_ways) {
        ways[static_cast<std::size_t>(way)] = rows_of(tackle, way);
    }
    steps = steps_of(*this, greatest_apart_m);
    place_bins(*this, greatest_apart_m);
    for (WayTable& table : ways) {
        fill_radii(table, tackle, steps.radius);
    }
    for (std::size_t way = ways.size() - 1; way-- > 0;) {
        widen(ways[way], ways[way + 1], steps.radius);
    }
}

WayNeeds RodeTables::out_of_reach(const WayTable& table, double high_m) const {
    WayNeeds needs;
    needs.out = table.out;
    if (table.out == WayNeeds::Out::unavailable || !(high_m > 0)) return needs;
    const double last = static_cast<double>(table.rode_needed_m.size());
    const double whole = std::ceil(high_m);
    // In proportion beyond the table's end: never too little, since the ratio of rode to span falls with it.
    const double needed_m = table.rode_needed_m[static_cast<std::size_t>(std::min(whole, last)) - 1] *
                            std::max(1.0, high_m / last);
    needs.rode_m =
        narrow_up(std::ceil(needed_m / tackle.boat().rode.mark_m - 1e-6) * tackle.boat().rode.mark_m);
    return needs;
}

} // namespace swingroom
