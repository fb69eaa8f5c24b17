#include "swingroom/boat/loads.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

struct AbycColumn {
    double length_ft, sail_beam_ft, power_beam_ft, working_lbf;
};
constexpr std::array<AbycColumn, 7> abyc_columns = {{{20, 7, 9, 360},
                                                     {25, 8, 10, 490},
                                                     {30, 9, 11, 700},
                                                     {35, 10, 13, 900},
                                                     {40, 11, 14, 1200},
                                                     {50, 13, 16, 1600},
                                                     {60, 15, 18, 2000}}};
constexpr std::array<std::pair<double, double>, 4> abyc_winds = {{{15, 0.25}, {30, 1}, {42, 2}, {60, 4}}};

/// Loads entered by one of the columns' sizes; nothing beyond the last.
std::optional<double> entered_by(double AbycColumn::*size, double value_ft) {
    if (value_ft <= abyc_columns.front().*size) return abyc_columns.front().working_lbf;
    for (std::size_t i = 1; i < abyc_columns.size(); ++i) {
        const AbycColumn &below = abyc_columns[i - 1], &above = abyc_columns[i];
        if (value_ft <= above.*size) {
            return std::lerp(below.working_lbf, above.working_lbf,
                             (value_ft - below.*size) / (above.*size - below.*size));
        }
    }
    return std::nullopt;
}

/// Wetted area from above (length by beam and draught), friction and appendages at the upper end of what is
/// published for yachts (Cf 0.003 to 0.005), appendages in proportion to the hull.
double estimated_current_drag_n(const Hull& hull, double current_kn) {
    const double beam_m = hull.beam_m > 0 ? hull.beam_m : hull.length_m / 3;
    const double wetted_m2 =
        hull.wetted_area_m2 > 0 ? hull.wetted_area_m2 : hull.length_m * (beam_m + hull.draught_m);
    return current_drag_n(wetted_m2, 0.005, 0.0045 * wetted_m2, current_kn);
}

} // namespace

double wind_drag_n(double drag_area_m2, double wind_kn) {
    const double wind = Speed::knots(wind_kn).metres_per_second();
    return 0.5 * air_kg_per_m3 * drag_area_m2 * wind * wind;
}

double current_drag_n(double wetted_area_m2, double friction, double appendage_drag_area_m2,
                      double current_kn) {
    const double current = Speed::knots(current_kn).metres_per_second();
    return 0.5 * 1025 * (friction * wetted_area_m2 + appendage_drag_area_m2) * current * current;
}

std::optional<double> abyc_working_load_lbf(double length_ft, double beam_ft, HullKind kind) {
    const auto by_length = entered_by(&AbycColumn::length_ft, length_ft);
    if (beam_ft <= 0 || !by_length) return by_length;
    const auto by_beam =
        entered_by(kind == HullKind::power ? &AbycColumn::power_beam_ft : &AbycColumn::sail_beam_ft, beam_ft);
    return by_beam ? std::optional(std::max(*by_length, *by_beam)) : std::nullopt;
}

double abyc_wind_factor(double wind_kn) {
    std::vector<std::pair<double, double>> points(abyc_winds.begin(), abyc_winds.end());
    return LoadCurve(points, 0).pull_n(wind_kn);
}

LoadCurve::LoadCurve(const std::vector<std::pair<double, double>>& points, double current_n)
    : knots_{{0, 0}}, current_n_(current_n) {
    for (const auto& [wind, pull] : points) {
        if (wind > 0) knots_.push_back({wind * wind, pull});
    }
}

double LoadCurve::pull_n(double wind_kn) const {
    const double squared = wind_kn * wind_kn;
    const Knot& last = knots_.back();
    if (squared >= last.wind_squared) {
        return current_n_ + (last.wind_squared > 0 ? last.pull_n * (squared / last.wind_squared) : 0);
    }
    std::size_t i = 1;
    while (knots_[i].wind_squared < squared) {
        ++i;
    }
    const Knot &a = knots_[i - 1], &b = knots_[i];
    return current_n_ +
           std::lerp(a.pull_n, b.pull_n, (squared - a.wind_squared) / (b.wind_squared - a.wind_squared));
}

double LoadCurve::wind_kn(double pull_n) const {
    const double wind_pull_n = pull_n - current_n_;
    if (wind_pull_n < 0) return 0;
    const Knot& last = knots_.back();
    if (wind_pull_n >= last.pull_n) {
        return last.pull_n > 0 ? std::sqrt(last.wind_squared * (wind_pull_n / last.pull_n))
                               : std::numeric_limits<double>::infinity();
    }
    std::size_t i = 1;
    while (knots_[i].pull_n <= wind_pull_n) {
        ++i;
    }
    const Knot &a = knots_[i - 1], &b = knots_[i];
    return std::sqrt(
        std::lerp(a.wind_squared, b.wind_squared, (wind_pull_n - a.pull_n) / (b.pull_n - a.pull_n)));
}

LoadCurve load_curve(const Boat& boat, double current_kn) {
    const double current_n = current_kn > 0 ? estimated_current_drag_n(boat.hull, current_kn) : 0;
    if (!boat.load_table.empty()) return {boat.load_table, current_n};
    if (boat.hull.windage_area_m2 > 0) {
        // One point of a parabola is all of it.
        const double drag_area_m2 = boat.hull.drag_coefficient * boat.hull.windage_area_m2;
        return {{{30, wind_drag_n(drag_area_m2, 30 * boat.policy.gust)}}, current_n};
    }
    const auto working_lbf =
        abyc_working_load_lbf(boat.hull.length_m / 0.3048, boat.hull.beam_m / 0.3048, boat.hull.kind);
    if (!working_lbf) {
        throw InputError(boat.name + ": [hull]", "length or beam is beyond the table of small-craft loads",
                         "give windage_area, or the loads themselves in [load]");
    }
    std::vector<std::pair<double, double>> points;
    for (const auto& [wind, factor] : abyc_winds) {
        points.emplace_back(wind, Force::pounds_force(*working_lbf * factor).newtons());
    }
    return {points, current_n};
}

} // namespace swingroom
