#include "swingroom/boat/report.hpp"

#include "swingroom/boat/rode_figures.hpp"

#include "boat/least_reach.hpp"

#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cmath>

namespace swingroom {
namespace {

double next_depth(double depth) {
    const double step = depth < 5 ? 0.5 : depth < 12 ? 1 : depth < 30 ? 2 : 5;
    // To whole steps, so that the table reads 5, 6, 7 wherever it began.
    return (std::floor(depth / step + 1e-9) + 1) * step;
}

/// The least chart depth that floats her at low water.
double least_afloat_m(const TackleTables& tables) {
    return tables.boat().required_depth_m() - tables.conditions().water.low_m;
}

/// Least reach of a rode of fixed length: for `best` the sinker may hang anywhere that it can be slid to.
double held_reach_with_m(const Boat& boat, double pull_n, double rode_m, double span_high_m,
                         double span_low_m, double weight_n) {
    const auto reach_m = [&](double at_m) {
        return rode_state(pull_n, span_low_m,
                          rode_parts(boat.rode, rode_m, HungSinker{weight_n, at_m}, Stretch::as_aboard))
            .reach_m;
    };
    const double told_m = sinker_place_m(*boat.sinker, rode_m, span_high_m);
    return reach_m(boat.sinker->at == Sinker::At::best ? place_of_least_reach_m(reach_m, 0, told_m) : told_m);
}

} // namespace

double least_rode_m(const Rode& rode, double pull_n, double angle_deg, double span_m,
                    const HangSinker& sinker) {
    const auto short_by_m = [&](double rode_m) {
        return span_m -
               greatest_span_m(pull_n, angle_deg, rode_parts(rode, rode_m, sinker(rode_m), Stretch::least));
    };
    double too_short_m = span_m, enough_m = 2 * span_m;
    if (short_by_m(too_short_m) <= 0) return span_m;
    while (short_by_m(enough_m) > 0) {
        too_short_m = enough_m;
        enough_m *= 2;
    }
    std::uintmax_t iterations = 100;
    return boost::math::tools::toms748_solve(short_by_m, too_short_m, enough_m,
                                             boost::math::tools::eps_tolerance<double>(45), iterations)
        .second;
}

double full_scope_rode_m(const TackleTables& tables, double depth_m) {
    return exact_rode_m(tables.needs(Way::full, depth_m, depth_m).rode_m, rode_marks(tables.boat()));
}

SinkerWorth sinker_worth(const TackleTables& tables, double depth_m, double held_rode_m, double wind_kn) {
    const Boat& boat = tables.boat();
    const Sinker& sinker = *boat.sinker;
    const double weight_n = in_water_n(sinker.mass_kg, sinker.density_kg_per_m3);
    const double high_m = depth_m + tables.conditions().water.high_m + boat.hull.bow_roller_m;
    const double low_m = depth_m + tables.conditions().water.low_m + boat.hull.bow_roller_m;
    const HangSinker none = [](double) { return std::optional<HungSinker>(); };
    const HangSinker hung = [&](double rode_m) {
        return std::optional(HungSinker{weight_n, sinker_place_m(sinker, rode_m, high_m)});
    };
    SinkerWorth worth;
    worth.wind_kn = wind_kn;
    worth.pull_n = tables.loads().pull_n(wind_kn);
    const auto reach_m = [&](double rode_m, const HangSinker& with) {
        return rode_state(worth.pull_n, low_m,
                          rode_parts(boat.rode, rode_m, with(rode_m), Stretch::as_aboard))
            .reach_m;
    };
    const auto cut_m = [&](const HangSinker& with) {
        const double by_angle_m =
            worth.pull_n > 0 ? least_rode_m(boat.rode, worth.pull_n, boat.policy.pull_angle_deg, high_m, with)
                             : 0;
        return std::max(by_angle_m, boat.policy.short_scope * high_m);
    };
    worth.held_rode_m = held_rode_m;
    worth.held_reach_without_m = reach_m(worth.held_rode_m, none);
    worth.held_reach_with_m =
        held_reach_with_m(boat, worth.pull_n, worth.held_rode_m, high_m, low_m, weight_n);
    worth.cut_rode_without_m = cut_m(none);
    worth.cut_reach_without_m = reach_m(worth.cut_rode_without_m, none);
    worth.cut_rode_with_m = cut_m(hung);
    worth.cut_reach_with_m = reach_m(worth.cut_rode_with_m, hung);
    return worth;
}

DepthLine depth_line(const TackleTables& tables, double depth_m) {
    return reading_line(tables, depth_m, 0, 0);
}

DepthLine reading_line(const TackleTables& tables, double reading_m, double deeper_m, double shoaler_m) {
    const double deep_m = reading_m + deeper_m,
                 shoal_m =
                     shoaler_m > 0 ? std::max(reading_m - shoaler_m, least_afloat_m(tables)) : reading_m;
    DepthLine line;
    line.depth_m = reading_m;
    for (const Way way : all_ways) {
        const auto i = static_cast<std::size_t>(way);
        line.ways[i] = tables.detail(way, shoal_m, deep_m);
        if (line.ways[i].needs.out == WayNeeds::Out::none) {
            line.wind_limit_kn[i] = tables.wind_limit_kn(
                way, shoal_m, deep_m, static_cast<double>(line.ways[i].needs.radius_m), Seabed::unknown);
        }
    }
    line.hanging_load_n = tables.hanging_load_n(deep_m);
    line.trip_line_m = tables.trip_line_m(deep_m);
    const double high_water_m = deep_m + tables.conditions().water.high_m;
    line.beyond_windlass = high_water_m > tables.windlass_depth_m();
    line.beyond_recovery = high_water_m > tables.recovery_depth_m();
    return line;
}

std::vector<DepthLine> depth_table(const TackleTables& tables, double unit_m) {
    return reading_table(tables, 0, 0, unit_m);
}

std::vector<DepthLine> reading_table(const TackleTables& tables, double deeper_m, double shoaler_m,
                                     double unit_m) {
    std::vector<DepthLine> table;
    constexpr double deepest_m = 2000;
    for (double depth = std::ceil(least_afloat_m(tables) / unit_m * 2 - 1e-9) / 2;
         depth * unit_m <= deepest_m; depth = next_depth(depth)) {
        table.push_back(reading_line(tables, depth * unit_m, deeper_m, shoaler_m));
        if (!table.back().any_way()) break;
    }
    return table;
}

} // namespace swingroom
