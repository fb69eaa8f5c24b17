#include "swingroom/boat/tables.hpp"

#include "swingroom/boat/statics.hpp"

#include "boat/hanging_load.hpp"
#include "boat/wind_limits.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>

namespace swingroom {

TackleTables::TackleTables(const Boat& boat, const Conditions& conditions, double greatest_uncertainty_m)
    : greatest_apart_m_(2 * greatest_uncertainty_m), tables_(boat, conditions, greatest_apart_m_),
      wind_(std::make_shared<WindLimits>()) {
    measure_radii();
    if (boat.windlass_rated_pull_n > 0) windlass_depth_m_ = depth_of_load_m(boat, boat.windlass_rated_pull_n);
    if (boat.recovery_depth_m > 0) recovery_depth_m_ = boat.recovery_depth_m;
}

double TackleTables::radius_step_m(double apart_m) const {
    const BinGrading& grading = tables_.steps.radius;
    // A row serves spans that are apart by no more than a mark.
    const double below = (std::min(apart_m, boat().rode.aboard_m()) + boat().rode.mark_m) * grading.per_m + 1;
    return grading.width(static_cast<std::uint32_t>(below)) / grading.per_m;
}

void TackleTables::measure_radii() {
    // Rows that serve no depth which floats her say nothing of how little room she needs.
    const Tackle& tackle = tables_.tackle;
    const double afloat_m = boat().required_depth_m() - conditions().water.low_m,
                 least_high_m = tackle.high_span_m(afloat_m);
    for (const WayTable& table : tables_.ways) {
        greatest_depth_m_ =
            std::max(greatest_depth_m_, tables_.tackle.depth_of_high_span_m(table.deepest_span_m));
        for (const float radius_m : table.radius_m) {
            greatest_radius_m_ = std::max(greatest_radius_m_, static_cast<double>(radius_m));
        }
        for (const RodeRow& row : table.rows) {
            constexpr double rounding_tolerance_m = 1e-6;
            const float* const radii_m = table.radius_m.data() + row.radius_at;
            if (row.span_limit_m >= least_high_m - rounding_tolerance_m && row.radius.count > 0) {
                least_radius_m_ =
                    std::min(least_radius_m_, double{*std::min_element(radii_m, radii_m + row.radius.count)});
            }
            const double least_span_m =
                std::max(boat().hull.bow_roller_m, row.radius.bottom / tables_.steps.radius.per_m);
            greatest_radius_m_ = std::max(
                greatest_radius_m_, static_cast<double>(narrow_up(row.rode_m - least_span_m +
                                                                  tables_.tackle.ground_allowance_m())));
        }
    }
}

float TackleTables::wind_limit_kn(Way way, const WayNeeds& needs, double depth_shoal_m, double depth_deep_m,
                                  double hull_room_m, Seabed seabed, float enough_kn) const {
    if (needs.out != WayNeeds::Out::none) return 0;
    const RodeRow& row = tables_.of(way).rows[needs.row];
    return wind_limit_kn(way, row, narrow_down(hull_room_m) >= needs.radius_m,
                         tables_.tackle.high_span_m(depth_deep_m), tables_.tackle.low_span_m(depth_shoal_m),
                         hull_room_m, seabed, enough_kn);
}

float TackleTables::fitting_wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m,
                                          double hull_room_m, Seabed seabed, float enough_kn) const {
    assert(narrow_down(hull_room_m) >= needs(way, depth_shoal_m, depth_deep_m).radius_m);
    const WayTable& table = tables_.of(way);
    const double high_m = tables_.tackle.high_span_m(depth_deep_m);
    return wind_limit_kn(way, table.rows[table.row_of(high_m)], true, high_m,
                         tables_.tackle.low_span_m(depth_shoal_m), hull_room_m, seabed, enough_kn);
}

float TackleTables::wind_limit_kn(Way way, const RodeRow& row, bool fits, double high_m, double low_m,
                                  double hull_room_m, Seabed seabed, float enough_kn) const {
    return wind_->limit_kn(tables_, way, row, fits, high_m, low_m, narrow_down(hull_room_m), seabed,
                           enough_kn);
}

void TackleTables::wind_limits_kn(Way way, std::span<const int> places, const LiesOfRow& lies,
                                  float* limits_kn) const {
    wind_->limits_kn(tables_, way, places, lies, limits_kn);
}

// Within a row radius and reach fall with the span at low water, and the wind limit by the angle of pull with
// the one at high water. From row to row they do not, so that each row that may serve one of the places is
// looked at.
NeedsBetween TackleTables::needs_between(Way way, const DepthsBetween& depths) const {
    const WayTable& table = tables_.of(way);
    const Tackle& tackle = tables_.tackle;
    const std::size_t first = table.row_of(tackle.high_span_m(depths.least_deep_m)),
                      last = table.row_of(tackle.high_span_m(depths.most_deep_m));
    const double least_low_m = tackle.low_span_m(depths.least_shoal_m),
                 most_low_m = tackle.low_span_m(depths.most_shoal_m);
    NeedsBetween between{table.rows[first].rode_up_m, table.rows[last].rode_up_m,
                         std::numeric_limits<float>::infinity(), 0,
                         narrow_up(table.rows[first].rode_m - most_low_m + tackle.ground_allowance_m())};
    for (std::size_t i = first; i <= last; ++i) {
        const RodeRow& row = table.rows[i];
        const auto radius_m = [&](double low_m) {
            return table.radius_m[row.radius_at + row.radius.bin_of(tables_.steps.radius, low_m)];
        };
        between.least_radius_m = std::min(between.least_radius_m, radius_m(most_low_m));
        between.most_radius_m = std::max(between.most_radius_m, radius_m(least_low_m));
    }
    return between;
}

float TackleTables::least_wind_limit_kn(Way way, const DepthsBetween& depths, double least_hull_room_m,
                                        Seabed seabed, float enough_kn) const {
    const WayTable& table = tables_.of(way);
    const Tackle& tackle = tables_.tackle;
    const double most_high_m = tackle.high_span_m(depths.most_deep_m);
    const std::size_t first = table.row_of(tackle.high_span_m(depths.least_deep_m)),
                      last = table.row_of(most_high_m);
    float least_kn = enough_kn;
    for (std::size_t i = first; i <= last; ++i) {
        const RodeRow& row = table.rows[i];
        least_kn =
            wind_limit_kn(way, row, true, std::min(most_high_m, row.span_limit_m),
                          tackle.low_span_m(depths.least_shoal_m), least_hull_room_m, seabed, least_kn);
    }
    return least_kn;
}

LimitBy TackleTables::limit_by(Seabed seabed) const {
    const bool known = seabed == Seabed::unknown ? boat().anchor.unknown_given : holding_known(seabed);
    if (known) return LimitBy::holding;
    return std::isnan(holding_limit_kn(seabed)) ? LimitBy::room : LimitBy::least_holding;
}

LimitBy TackleTables::limit_by(std::uint16_t seabeds) const {
    LimitBy least = LimitBy::holding;
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        if ((seabeds >> i & 1) != 0) least = std::max(least, limit_by(static_cast<Seabed>(i)));
    }
    return least;
}

WayDetail TackleTables::detail(Way way, double depth_shoal_m, double depth_deep_m) const {
    WayDetail detail;
    detail.needs = needs(way, depth_shoal_m, depth_deep_m);
    if (detail.needs.out != WayNeeds::Out::none) return detail;
    const Tackle& tackle = tables_.tackle;
    const WayTable& table = tables_.of(way);
    const double high_m = tackle.high_span_m(depth_deep_m), low_m = tackle.low_span_m(depth_shoal_m);
    const RodeRow& row = table.rows[table.row_of(high_m)];
    const auto stretched = tackle.parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::as_aboard);
    const auto least_stretched = tackle.parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::least);
    const RodeState at_high = rode_state(planned_pull_n(), high_m, least_stretched);
    detail.sinker_from_bow_m = row.sinker_from_bow_m;
    detail.pull_n = planned_pull_n();
    detail.reach_m = rode_state(planned_pull_n(), low_m, stretched).reach_m;
    detail.taut_reach_m = tackle.taut_reach_m(row.rode_m, low_m, low_m);
    detail.angle_deg = at_high.angle_deg;
    detail.tension_n = at_high.tension_n;
    detail.grounded_m = at_high.grounded_m;
    detail.angle_limit_kn =
        loads().wind_kn(greatest_pull_n(high_m, boat().policy.pull_angle_deg, least_stretched));
    return detail;
}

double TackleTables::hanging_load_n(double depth_deep_m) const {
    return hanging_n(boat(), depth_deep_m + conditions().water.high_m);
}

double TackleTables::trip_line_m(double depth_deep_m) const {
    return depth_deep_m + conditions().water.high_m + 1;
}

} // namespace swingroom
