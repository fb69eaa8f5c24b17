#include "swingroom/boat/tackle.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/boat/statics.hpp"

#include "boat/crossing.hpp"
#include "boat/least_reach.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace swingroom {
namespace {

constexpr double not_known = std::numeric_limits<double>::quiet_NaN();

/// A span is a sum of three numbers: this much of rounding (a nanometre) must not cost a whole mark of rode.
constexpr double sum_rounding_m = 1e-9;

double greatest_holding_n(const Anchor& anchor) {
    double most_n = 0;
    for (const auto& holding : anchor.holding_n) {
        most_n = std::max(most_n, holding.value_or(0));
    }
    return most_n;
}

/// What an anchor holds where nobody says: nothing in rock and coral, elsewhere no more than on any ground
/// that is known (but that it finds no hold in rock says nothing of sand).
double credited_holding_n(const Anchor& anchor, Seabed seabed) {
    const auto& own_n = anchor.holding_n[static_cast<std::size_t>(seabed)];
    if (own_n) return *own_n;
    if (seabed >= Seabed::rock) return 0;
    double least_n = not_known;
    for (std::size_t i = 0; i < static_cast<std::size_t>(Seabed::rock); ++i) {
        if (anchor.holding_n[i]) least_n = std::fmin(least_n, *anchor.holding_n[i]);
    }
    return least_n;
}

} // namespace

Tackle::Tackle(const Boat& boat, const Conditions& conditions)
    : boat_(boat), conditions_(conditions), loads_(load_curve(boat, conditions.current_kn)) {
    planned_pull_n_ = loads_.pull_n(conditions.wind_kn);
    greatest_pull_n_ = std::max(planned_pull_n_, greatest_holding_n(boat.anchor));
    if (boat.rode.rope_m > 0 && greatest_holding_n(boat.anchor) <= 0) {
        throw InputError(boat.name + ": [anchor]",
                         "no holding is known, so how far the rope may stretch is not either",
                         "give holding.<seabed> in newtons for at least one seabed");
    }
    // Chain does not stretch, so a straight one serves any wind.
    taut_limit_kn_ = boat.rode.rope_m > 0 ? std::max(conditions.wind_kn, loads_.wind_kn(greatest_pull_n_))
                                          : double{greatest_wind_kn};
    if (boat.sinker) sinker_n_ = in_water_n(boat.sinker->mass_kg, boat.sinker->density_kg_per_m3);
    high_offset_m_ = conditions.water.high_m + boat.hull.bow_roller_m;
    low_offset_m_ = conditions.water.low_m + boat.hull.bow_roller_m;
    ground_allowance_m_ = boat.policy.position_allowance_m + boat.policy.set_distance_m;
    hull_allowance_m_ = ground_allowance_m_ + boat.hull.length_m + boat.hull.tender_length_m;
    for (std::size_t i = 0; i < holding_limit_kn_.size(); ++i) {
        const double holding_n = credited_holding_n(boat.anchor, static_cast<Seabed>(i));
        holding_limit_kn_[i] = std::isnan(holding_n) ? not_known : loads_.wind_kn(holding_n);
    }
}

std::vector<RodePart> Tackle::parts(Way way, double rode_m, double from_bow_m, Stretch stretch) const {
    return rode_parts(boat_.rode, rode_m,
                      way == Way::sinker ? std::optional(HungSinker{sinker_n_, from_bow_m}) : std::nullopt,
                      stretch);
}

/// A stretched rope
/// pulls flatter, so the angle counts on the least that this rope stretches: that of the elastic catenary at
/// the pull itself, which nothing but a stiffer rope can take away. That is on the safe side in lesser winds
/// too, where the rope stretches less: greatest_span_m() is the greatest span that does at the planned pull
/// and at every lesser one. The radius keeps to the most that the rope stretches, at the greatest pull.
double Tackle::span_limit_by_angle_m(Way way, double rode_m, double from_bow_m) const {
    return greatest_span_m(planned_pull_n_, boat_.policy.pull_angle_deg,
                           parts(way, rode_m, from_bow_m, Stretch::least));
}

double Tackle::exact_span_limit_m(Way way, double rode_m, double from_bow_m) const {
    const double ratio = way == Way::full ? boat_.policy.scope : boat_.policy.short_scope;
    return std::min(rode_m / ratio, span_limit_by_angle_m(way, rode_m, from_bow_m));
}

double Tackle::span_limit_m(Way way, double rode_m, double from_bow_m) const {
    return exact_span_limit_m(way, rode_m, from_bow_m) + sum_rounding_m;
}

double Tackle::sinker_from_bow_m(Way way, double rode_m) const {
    if (way != Way::sinker) return 0;
    const Sinker& sinker = *boat_.sinker;
    const auto place_m = [&](double span_m) { return sinker_place_m(sinker, rode_m, span_m); };
    if (sinker.at == Sinker::At::metres) return place_m(rode_m); // whatever the span
    if (sinker.at == Sinker::At::spans) {
        const auto spare_m = [&](double span_m) {
            return exact_span_limit_m(Way::sinker, rode_m, place_m(span_m)) - span_m;
        };
        // At the greatest span that this rode serves: the place then is a multiple of that span.
        return spare_m(rode_m) >= 0 ? place_m(rode_m) : place_m(crossing(spare_m, 0, rode_m));
    }
    // The farther down, the less rode. Where the least ratio of scope governs anyway, the place is free to be
    // the one that leaves the least reach, among those that keep the angle.
    const double farthest_m = place_m(rode_m), by_scope_m = rode_m / boat_.policy.short_scope;
    const auto spare_m = [&](double from_bow_m) {
        return span_limit_by_angle_m(Way::sinker, rode_m, from_bow_m) - by_scope_m;
    };
    if (planned_pull_n_ <= 0 || spare_m(farthest_m) < 0) return farthest_m;
    const double nearest_m = spare_m(0) >= 0 ? 0 : crossing(spare_m, farthest_m, 0);
    const auto reach_m = [&](double from_bow_m) {
        return rode_state(planned_pull_n_, by_scope_m, parts(Way::sinker, rode_m, from_bow_m, Stretch::none))
            .reach_m;
    };
    return place_of_least_reach_m(reach_m, nearest_m, farthest_m);
}

double Tackle::needed_rode_m(Way way, double span_m, std::uint64_t& marks) const {
    const double mark_m = boat_.rode.mark_m;
    const auto enough = [&](std::uint64_t count) {
        const double rode_m = static_cast<double>(count) * mark_m;
        return span_limit_m(way, rode_m, sinker_from_bow_m(way, rode_m)) >= span_m;
    };
    std::uint64_t too_few = marks > 0 ? marks - 1 : 0, step = 1;
    while (!enough(marks) && static_cast<double>(marks) * mark_m < 1e6) {
        too_few = marks;
        marks += step;
        step *= 2;
    }
    while (marks - too_few > 1) {
        const std::uint64_t middle = too_few + (marks - too_few) / 2;
        (enough(middle) ? marks : too_few) = middle;
    }
    return static_cast<double>(marks) * mark_m;
}

/// A straight rode at the greatest pull that can come on it: for chain no pull reaches farther. Rope is
/// stretched by the tension at the roller, which is the greatest along it. For all spans from least_m to
/// most_m: the reach falls with the span, but the tension grows.
double Tackle::taut_reach_m(double rode_m, double least_m, double most_m) const {
    double stretched_m = rode_m;
    if (rode_m > boat_.rode.chain_m && boat_.rode.rope_stiffness_n > 0) {
        const auto slack = parts(Way::full, rode_m, 0, Stretch::none);
        const double tension_n = rode_state(greatest_pull_n_, most_m, slack).tension_n;
        stretched_m += (rode_m - boat_.rode.chain_m) * tension_n / boat_.rode.rope_stiffness_n;
    }
    return std::sqrt(stretched_m * stretched_m - least_m * least_m);
}

} // namespace swingroom
