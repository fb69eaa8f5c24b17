#include "swingroom/boat/tables.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/boat/statics.hpp"

#include <boost/math/tools/toms748_solve.hpp>

#include <atomic>
#include <cassert>
#include <cmath>
#include <mutex>

namespace swingroom {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_known = std::numeric_limits<double>::quiet_NaN();

/// A span is a sum of three numbers: this much of rounding (a nanometre) must not cost a whole mark of rode.
constexpr double sum_rounding_m = 1e-9;

/// More than this for all three ways and the making would be felt (a reach takes a third of a microsecond);
/// bins are then made wider.
constexpr double most_radii = 200000, most_reaches = 300000;

/// Where a function that is positive at a and negative at b crosses, on a's side of it.
template <class F>
double crossing(F f, double a, double b) {
    std::uintmax_t iterations = 100;
    return boost::math::tools::toms748_solve(f, a, b, boost::math::tools::eps_tolerance<double>(45),
                                             iterations)
        .first;
}

double chain_and_rope_air_n(const Rode& rode, double chain_m, double rope_m) {
    return (rode.chain_kg_per_m * chain_m + rode.rope_kg_per_m * rope_m) * gravity_m_per_s2;
}

/// Anchor and rode hanging straight down: in air from roller to water, in water below.
double hanging_n(const Boat& boat, double depth_m) {
    const double wet_m = std::max(0.0, depth_m), roller_m = boat.hull.bow_roller_m;
    const double chain_wet_m = std::min(boat.rode.chain_m, wet_m);
    const double chain_dry_m = std::clamp(boat.rode.chain_m - wet_m, 0.0, roller_m);
    return in_water_n(boat.anchor.mass_kg + boat.rode.chain_kg_per_m * chain_wet_m, steel_kg_per_m3) +
           in_water_n(boat.rode.rope_kg_per_m * (wet_m - chain_wet_m), nylon_kg_per_m3) +
           chain_and_rope_air_n(boat.rode, chain_dry_m, roller_m - chain_dry_m);
}

/// Depth at which the hanging weight reaches the rated pull.
double depth_of_load_m(const Boat& boat, double rated_n) {
    constexpr double deepest_m = 2000;
    const auto spare_n = [&](double depth_m) { return rated_n - hanging_n(boat, depth_m); };
    if (spare_n(deepest_m) >= 0) return infinity;
    if (spare_n(0) <= 0) return 0;
    return crossing(spare_n, 0, deepest_m);
}

double greatest_holding_n(const Anchor& anchor) {
    double most_n = 0;
    for (const auto& holding : anchor.holding_n)
        most_n = std::max(most_n, holding.value_or(0));
    return most_n;
}

/// What an anchor holds where nobody says: nothing in rock and coral, elsewhere no more than on any ground
/// that is known (but that it finds no hold in rock says nothing of sand).
double credited_holding_n(const Anchor& anchor, Seabed seabed) {
    const auto& own_n = anchor.holding_n[static_cast<std::size_t>(seabed)];
    if (own_n) return *own_n;
    if (seabed >= Seabed::rock) return 0;
    double least_n = not_known;
    for (std::size_t i = 0; i < static_cast<std::size_t>(Seabed::rock); ++i)
        if (anchor.holding_n[i]) least_n = std::fmin(least_n, *anchor.holding_n[i]);
    return least_n;
}

} // namespace

struct TackleTables::WindTables {
    /// For what a row's bins only bound: the rode, stretched, of which the statics tell the reach, and by
    /// whole knots the greatest span that the angle of pull allows, which falls with the wind.
    struct RowWinds {
        std::vector<RodePart> rode;
        std::array<float, whole_knots> span_m{};
    };
    std::once_flag once;
    std::atomic<bool> made{false};            ///< quicker to ask than `once`, and asked for every cell
    std::array<double, whole_knots> pull_n{}; ///< by whole knots
    std::vector<double> wind_kn;              ///< the steps of the reach, ascending, from 0: whole knots
    /// By way, for each row: a run of wind steps at the upper edge of its first reach bin, then one at the
    /// lower edge of each.
    std::array<std::vector<float>, 3> reach_m;
    std::array<std::vector<float>, 3> angle_limit_kn; ///< by way: for each angle bin
    std::array<std::vector<RowWinds>, 3> rows;        ///< by way
};

TackleTables::TackleTables(const Boat& boat, const Conditions& conditions, double greatest_uncertainty_m)
    : boat_(boat), conditions_(conditions), loads_(load_curve(boat, conditions.current_kn)),
      greatest_apart_m_(2 * greatest_uncertainty_m), wind_(std::make_shared<WindTables>()) {
    planned_pull_n_ = loads_.pull_n(conditions.wind_kn);
    greatest_pull_n_ = std::max(planned_pull_n_, greatest_holding_n(boat.anchor));
    if (boat.rode.rope_m > 0 && greatest_holding_n(boat.anchor) <= 0)
        throw InputError(boat.name + ": [anchor]",
                         "no holding is known, so how far the rope may stretch is not either",
                         "give holding.<seabed> in newtons for at least one seabed");
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
    for (const Way way : all_ways)
        make_way(way);
    set_bins(greatest_apart_m_);
    for (WayTable& table : ways_)
        fill_radii(table);
    for (std::size_t way = ways_.size() - 1; way-- > 0;)
        widen(ways_[way], ways_[way + 1]);
    measure_radii();
    if (boat.windlass_rated_pull_n > 0) windlass_depth_m_ = depth_of_load_m(boat, boat.windlass_rated_pull_n);
    if (boat.recovery_depth_m > 0) recovery_depth_m_ = boat.recovery_depth_m;
}

std::vector<RodePart> TackleTables::parts(Way way, double rode_m, double from_bow_m, Stretch stretch) const {
    return rode_parts(boat_.rode, rode_m,
                      way == Way::sinker ? std::optional(HungSinker{sinker_n_, from_bow_m}) : std::nullopt,
                      stretch);
}

/// Greatest span at high water for which this rode will do, the sinker's place being given. A stretched rope
/// pulls flatter, so the angle counts on the least that this rope stretches: that of the elastic catenary at
/// the pull itself, which nothing but a stiffer rope can take away. That is on the safe side in lesser winds
/// too, where the rope stretches less: greatest_span_m() is the greatest span that does at the planned pull
/// and at every lesser one. The radius keeps to the most that the rope stretches, at the greatest pull.
double TackleTables::span_limit_m(Way way, double rode_m, double from_bow_m) const {
    const double ratio = way == Way::full ? boat_.policy.scope : boat_.policy.short_scope;
    const double by_angle_m = greatest_span_m(planned_pull_n_, boat_.policy.pull_angle_deg,
                                              parts(way, rode_m, from_bow_m, Stretch::least));
    return std::min(rode_m / ratio, by_angle_m);
}

double TackleTables::span_limit_m(Way way, double rode_m) const {
    return span_limit_m(way, rode_m, hang_point_m(way, rode_m)) + sum_rounding_m;
}

/// Where the sinker hangs when so much rode is veered: one place for all spans that this rode serves, since
/// it is made fast once and the water rises and falls.
double TackleTables::hang_point_m(Way way, double rode_m) const {
    if (way != Way::sinker) return 0;
    const Sinker& sinker = *boat_.sinker;
    const double farthest_m = sinker.line_m > 0 ? std::min(sinker.line_m, rode_m) : rode_m;
    if (sinker.at == Sinker::At::metres) return std::min(sinker.at_value, farthest_m);
    if (sinker.at == Sinker::At::spans) {
        const auto place_m = [&](double span_m) { return std::min(sinker.at_value * span_m, farthest_m); };
        const auto spare_m = [&](double span_m) {
            return span_limit_m(Way::sinker, rode_m, place_m(span_m)) - span_m;
        };
        // At the greatest span that this rode serves: the place then is a multiple of that span.
        return spare_m(rode_m) >= 0 ? place_m(rode_m) : place_m(crossing(spare_m, 0, rode_m));
    }
    // The farther down, the less rode. Where the least ratio of scope governs anyway, the place is free to be
    // the one that leaves the least reach.
    const double limit_m = span_limit_m(Way::sinker, rode_m, farthest_m);
    const auto reach_m = [&](double from_bow_m) {
        return rode_state(planned_pull_n_, limit_m, parts(Way::sinker, rode_m, from_bow_m, Stretch::none))
            .reach_m;
    };
    if (limit_m < rode_m / boat_.policy.short_scope || planned_pull_n_ <= 0) return farthest_m;
    double best_m = farthest_m, least_m = reach_m(farthest_m);
    constexpr int tries = 32;
    for (int i = 0; i < tries; ++i) {
        const double at_m = farthest_m * i / tries;
        if (span_limit_m(Way::sinker, rode_m, at_m) < limit_m) continue;
        const double reached_m = reach_m(at_m);
        if (reached_m < least_m) {
            best_m = at_m;
            least_m = reached_m;
        }
    }
    return best_m;
}

void TackleTables::make_way(Way way) {
    WayTable& table = ways_[static_cast<std::size_t>(way)];
    table.way = way;
    if (way == Way::sinker && !boat_.sinker) {
        table.out = Lie::Out::unavailable;
        return;
    }
    const double aboard_m = boat_.rode.aboard_m();
    for (std::uint64_t marks = 1;; ++marks) {
        Row row;
        row.rode_m = std::min(static_cast<double>(marks) * boat_.rode.mark_m, aboard_m);
        row.rode_up_m = narrow_up(row.rode_m);
        row.sinker_from_bow_m = hang_point_m(way, row.rode_m);
        row.span_limit_m = span_limit_m(way, row.rode_m, row.sinker_from_bow_m) + sum_rounding_m;
        row.span_above_m = std::max(0.0, table.deepest_span_m);
        // A rode that does not reach the water's surface from the roller is none.
        if (row.span_limit_m > std::max(row.span_above_m, boat_.hull.bow_roller_m)) {
            table.deepest_span_m = row.span_limit_m;
            table.span_limit_m.push_back(row.span_limit_m);
            table.rows.push_back(row);
        }
        if (row.rode_m >= aboard_m) break;
    }
    const auto steps = static_cast<std::size_t>(std::max(0.0, table.deepest_span_m) * span_steps_per_m) + 1;
    table.first_row.reserve(steps);
    for (std::size_t step = 0, row = 0; step < steps; ++step) {
        while (row + 1 < table.rows.size() &&
               table.span_limit_m[row] < static_cast<double>(step) / span_steps_per_m)
            ++row;
        table.first_row.push_back(static_cast<std::uint32_t>(row));
    }
    auto marks = static_cast<std::uint64_t>(std::ceil(aboard_m / boat_.rode.mark_m));
    for (double span_m = 1; span_m <= aboard_m + 1; ++span_m)
        table.rode_needed_m.push_back(
            span_m <= table.deepest_span_m ? 0 : narrow_up(needed_rode_m(way, span_m, marks)));
    greatest_depth_m_ = std::max(greatest_depth_m_, table.deepest_span_m - high_offset_m_);
}

/// Rode for a span, in whole marks, whether aboard or not.
/// @param marks  where the search starts: enough for no lesser span; left at the answer
double TackleTables::needed_rode_m(Way way, double span_m, std::uint64_t& marks) const {
    const double mark_m = boat_.rode.mark_m;
    const auto enough = [&](std::uint64_t count) {
        return span_limit_m(way, static_cast<double>(count) * mark_m) >= span_m;
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

Lie TackleTables::out_of_reach(const WayTable& table, double high_m) const {
    Lie lie;
    lie.out = table.out;
    if (table.out == Lie::Out::unavailable || !(high_m > 0)) return lie;
    const double last = static_cast<double>(table.rode_needed_m.size());
    const double whole = std::ceil(high_m);
    // In proportion beyond the table's end: never too little, since the ratio of rode to span falls with it.
    const double needed_m = table.rode_needed_m[static_cast<std::size_t>(std::min(whole, last)) - 1] *
                            std::max(1.0, high_m / last);
    lie.rode_m = narrow_up(std::ceil(needed_m / boat_.rode.mark_m - 1e-6) * boat_.rode.mark_m);
    return lie;
}

/// A straight rode at the greatest pull that can come on it: for chain no pull reaches farther. Rope is
/// stretched by the tension at the roller, which is the greatest along it. For all spans from least_m to
/// most_m: the reach falls with the span, but the tension grows.
double TackleTables::taut_reach_m(double rode_m, double least_m, double most_m) const {
    double stretched_m = rode_m;
    if (rode_m > boat_.rode.chain_m && boat_.rode.rope_stiffness_n > 0) {
        const auto slack = parts(Way::full, rode_m, 0, Stretch::none);
        const double tension_n = rode_state(greatest_pull_n_, most_m, slack).tension_n;
        stretched_m += (rode_m - boat_.rode.chain_m) * tension_n / boat_.rode.rope_stiffness_n;
    }
    return std::sqrt(stretched_m * stretched_m - least_m * least_m);
}

/// Spans at low water that go with a row: from the least that its spans at high water leave, but never less
/// than the roller's height, which bounds whatever uncertainty is given by what the rode can reach.
TackleTables::LowBins TackleTables::low_bins(const Row& row, const Grading& grading,
                                             double uncertainty_range_m) const {
    const double apart_m = conditions_.water.range_m(), roller_m = boat_.hull.bow_roller_m;
    const double least_m = std::max(roller_m, row.span_above_m - apart_m - uncertainty_range_m - 0.001);
    const double most_m = std::max(least_m, row.span_limit_m - apart_m);
    LowBins bins;
    bins.top = static_cast<std::int32_t>(most_m * grading.per_m);
    bins.bottom = static_cast<std::int32_t>(least_m * grading.per_m);
    bins.count = grading.bin(static_cast<std::uint32_t>(bins.top - bins.bottom)) + 1;
    return bins;
}

double TackleTables::count_bins(const Grading& grading, double uncertainty_range_m) const {
    double sum = 0;
    for (const WayTable& table : ways_)
        for (const Row& row : table.rows)
            sum += low_bins(row, grading, uncertainty_range_m).count;
    return sum;
}

void TackleTables::set_bins(double uncertainty_range_m) {
    constexpr int coarsest_radii_bits = 4, coarsest_reach_bits = 1;
    while (count_bins(radius_grading_, uncertainty_range_m) > most_radii &&
           radius_grading_.fine_bits > coarsest_radii_bits)
        --radius_grading_.fine_bits;
    const auto reaches = [&] {
        return count_bins(reach_grading_, uncertainty_range_m) * (double{greatest_wind_kn} / wind_step_kn_);
    };
    while (reaches() > most_reaches && reach_grading_.fine_bits > 3)
        --reach_grading_.fine_bits;
    while (reaches() > most_reaches && reach_grading_.per_m > 0.25)
        reach_grading_.per_m /= 2;
    while (reaches() > most_reaches && reach_grading_.fine_bits > coarsest_reach_bits)
        --reach_grading_.fine_bits;
    while (reaches() > most_reaches && wind_step_kn_ < 4)
        wind_step_kn_ *= 2;
    for (WayTable& table : ways_) {
        std::uint32_t radius_at = 0, reach_at = 0, angle_at = 0;
        for (Row& row : table.rows) {
            row.radius = low_bins(row, radius_grading_, uncertainty_range_m);
            row.reach = low_bins(row, reach_grading_, uncertainty_range_m);
            row.angle_first = std::floor(row.span_above_m * per_angle_step_);
            row.angle_count =
                static_cast<std::uint32_t>(std::floor(row.span_limit_m * per_angle_step_) - row.angle_first) +
                1;
            row.radius_at = std::exchange(radius_at, radius_at + row.radius.count);
            row.reach_at = std::exchange(reach_at, reach_at + row.reach.count + 1);
            row.angle_at = std::exchange(angle_at, angle_at + row.angle_count);
        }
    }
}

double TackleTables::step_m(const Grading& grading, double apart_m) const {
    // A row serves spans that are apart by no more than a mark.
    const double below = (std::min(apart_m, boat_.rode.aboard_m()) + boat_.rode.mark_m) * grading.per_m + 1;
    return grading.width(static_cast<std::uint32_t>(below)) / grading.per_m;
}

void TackleTables::fill_radii(WayTable& table) const {
    for (const Row& row : table.rows) {
        const auto rode = parts(table.way, row.rode_m, row.sinker_from_bow_m, Stretch::as_aboard);
        for (std::uint32_t bin = 0; bin < row.radius.count; ++bin) {
            // Reach falls with the span: the bin's lower edge is the safe one.
            const double least_m = std::max(1e-3, lower_edge_m(row.radius, radius_grading_, bin));
            const double most_m =
                std::clamp(upper_edge_m(row.radius, radius_grading_, bin), least_m, row.span_limit_m);
            const double reach_m = table.way == Way::full
                                       ? taut_reach_m(row.rode_m, least_m, most_m)
                                       : rode_state(planned_pull_n_, least_m, rode).reach_m;
            table.radius_m.push_back(narrow_up(reach_m + hull_allowance_m_));
        }
    }
}

/// Makes one way's radii hold those of the way within it. They do by themselves, but for rope at next to no
/// pull: a sinker stretches the piece that hangs from the roller, which leaves centimetres more to lie on the
/// ground. The outer radius gives way, since larger is safe.
void TackleTables::widen(WayTable& outer, const WayTable& inner) const {
    for (const Row& out : outer.rows) {
        float* const out_radius_m = outer.radius_m.data() + out.radius_at;
        for (const Row& in : inner.rows) {
            if (in.span_limit_m <= out.span_above_m || in.span_above_m >= out.span_limit_m) continue;
            for (std::uint32_t bin = 0; bin < out.radius.count; ++bin) {
                // Radii fall with the span: at the bin's lower edge the inner one is greatest.
                const double least_m = lower_edge_m(out.radius, radius_grading_, bin);
                float& radius_m = out_radius_m[bin];
                radius_m = std::max(
                    radius_m, inner.radius_m[in.radius_at + bin_of(in.radius, radius_grading_, least_m)]);
            }
        }
    }
}

void TackleTables::measure_radii() {
    for (const WayTable& table : ways_) {
        for (const float radius_m : table.radius_m) {
            greatest_radius_m_ = std::max(greatest_radius_m_, static_cast<double>(radius_m));
            least_radius_m_ = std::min(least_radius_m_, static_cast<double>(radius_m));
        }
        for (const Row& row : table.rows) {
            const double least_span_m =
                std::max(boat_.hull.bow_roller_m, row.radius.bottom / radius_grading_.per_m);
            greatest_radius_m_ =
                std::max(greatest_radius_m_,
                         static_cast<double>(narrow_up(row.rode_m - least_span_m + ground_allowance_m_)));
        }
    }
}

const TackleTables::WindTables& TackleTables::wind_tables() const {
    if (!wind_->made.load(std::memory_order_acquire)) {
        std::call_once(wind_->once, [this] { fill_wind(*wind_); });
        wind_->made.store(true, std::memory_order_release);
    }
    return *wind_;
}

void TackleTables::fill_wind(WindTables& wind) const {
    for (std::size_t knot = 0; knot < whole_knots; ++knot)
        wind.pull_n[knot] = loads_.pull_n(static_cast<double>(knot));
    for (double step_kn = 0; step_kn <= double{greatest_wind_kn}; step_kn += wind_step_kn_)
        wind.wind_kn.push_back(step_kn);
    for (const WayTable& table : ways_)
        for (const Row& row : table.rows) {
            fill_reaches(table.way, row, wind);
            fill_angles(table.way, row, wind);
        }
}

void TackleTables::fill_reaches(Way way, const Row& row, WindTables& wind) const {
    auto& reaches_m = wind.reach_m[static_cast<std::size_t>(way)];
    WindTables::RowWinds& winds = wind.rows[static_cast<std::size_t>(way)].emplace_back();
    winds.rode = parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::as_aboard);
    const auto push = [&](double span_m) {
        for (const double step_kn : wind.wind_kn)
            reaches_m.push_back(
                reach_up_m(wind.pull_n[static_cast<std::size_t>(step_kn)], span_m, winds.rode));
    };
    push(std::min(row.span_limit_m, upper_edge_m(row.reach, reach_grading_, 0)));
    for (std::uint32_t bin = 0; bin < row.reach.count; ++bin)
        push(lower_edge_m(row.reach, reach_grading_, bin));
}

void TackleTables::fill_angles(Way way, const Row& row, WindTables& wind) const {
    const auto rode = parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::least);
    for (std::uint32_t bin = 0; bin < row.angle_count; ++bin) {
        // The angle grows with the span: the upper edge is the safe one.
        const double span_m = std::min(row.span_limit_m, (row.angle_first + bin + 1) / per_angle_step_);
        const double limit_kn = loads_.wind_kn(greatest_pull_n(span_m, boat_.policy.pull_angle_deg, rode));
        // The rode was chosen for the planned wind: only rounding can say less.
        wind.angle_limit_kn[static_cast<std::size_t>(way)].push_back(
            narrow_down(std::max(limit_kn, conditions_.wind_kn)));
    }
    auto& spans_m = wind.rows[static_cast<std::size_t>(way)].back().span_m;
    for (std::size_t knot = 0; knot < whole_knots; ++knot)
        spans_m[knot] = narrow_down(greatest_span_m(wind.pull_n[knot], boat_.policy.pull_angle_deg, rode));
}

/// With the allowances, rounded as a radius.
float TackleTables::reach_up_m(double pull_n, double span_m, std::span<const RodePart> rode) const {
    return narrow_up(rode_state(pull_n, std::max(1e-3, span_m), rode).reach_m + hull_allowance_m_);
}

/// The greatest wind with the angle of pull within the allowed one: what the bin's upper edge bears, or the
/// greatest whole knot that this very span bears. Where the rode is about long enough for any wind the two
/// are far apart.
/// @param enough_kn  no more is asked for
double TackleTables::angle_limit_kn(Way way, const Row& row, double high_m, double enough_kn) const {
    const WindTables& wind = wind_tables();
    const auto slot = static_cast<std::size_t>(way);
    const auto limit_kn =
        static_cast<double>(wind.angle_limit_kn[slot][row.angle_at + angle_bin_of(row, high_m)]);
    if (limit_kn >= enough_kn) return limit_kn;
    const auto& spans_m = wind.rows[slot][row_number(way, row)].span_m;
    auto knot = static_cast<std::size_t>(limit_kn);
    while (knot + 1 < whole_knots && high_m <= static_cast<double>(spans_m[knot + 1]))
        ++knot;
    return std::max(limit_kn, static_cast<double>(knot));
}

/// The greatest whole knot in which the rode at this very span reaches no farther than the room; -1 if none.
/// The reach falls with the span, so that what fits at a bin's lower edge fits here and what does not fit at
/// its upper edge does not. Between the two only the statics can tell: where the rode is about straight they
/// are many knots apart, since there the wind makes the reach no longer.
/// @param least_kn   not looked for below: known to fit   @param enough_kn  no more is asked for, but it may
///                   be said: the next whole knot
int TackleTables::reach_limit_kn(Way way, const Row& row, double low_m, float room_m, double least_kn,
                                 double enough_kn) const {
    const WindTables& wind = wind_tables();
    const auto slot = static_cast<std::size_t>(way);
    const std::size_t steps = wind.wind_kn.size();
    const float* const nearer_m =
        wind.reach_m[slot].data() + (row.reach_at + bin_of(row.reach, reach_grading_, low_m)) * steps;
    const float* const farther_m = nearer_m + steps; // of the bin's lower edge
    if (!(nearer_m[0] <= room_m)) return -1;         // nor where the room is not a number
    const auto enough = static_cast<int>(std::ceil(enough_kn));
    const auto enough_step = static_cast<std::size_t>(std::ceil(enough_kn / wind_step_kn_));
    if (enough_step < steps && farther_m[enough_step] <= room_m) return enough;
    const auto fitting = std::upper_bound(farther_m, farther_m + steps, room_m) - farther_m;
    const auto beyond = std::upper_bound(nearer_m + fitting, nearer_m + steps, room_m) - nearer_m;
    const auto knot_of = [&](std::ptrdiff_t step) {
        return static_cast<int>(wind.wind_kn[static_cast<std::size_t>(step)]);
    };
    int fits = std::max(fitting > 0 ? knot_of(fitting - 1) : -1, static_cast<int>(least_kn));
    int not_more =
        std::min(enough, beyond < static_cast<std::ptrdiff_t>(steps) ? knot_of(beyond) - 1
                                                                     : static_cast<int>(whole_knots) - 1);
    const auto& rode = wind.rows[slot][row_number(way, row)].rode;
    while (fits < not_more) {
        const int knot = fits + (not_more - fits + 1) / 2;
        const bool fit = reach_up_m(wind.pull_n[static_cast<std::size_t>(knot)], low_m, rode) <= room_m;
        (fit ? fits : not_more) = fit ? knot : knot - 1;
    }
    return fits;
}

float TackleTables::wind_limit_kn(Way way, const Lie& lie, double depth_shoal_m, double depth_deep_m,
                                  double hull_room_m, Seabed seabed) const {
    if (lie.out != Lie::Out::none) return 0;
    const Row& row = ways_[static_cast<std::size_t>(way)].rows[lie.row];
    return wind_limit_kn(way, row, narrow_down(hull_room_m) >= lie.radius_m, depth_shoal_m, depth_deep_m,
                         hull_room_m, seabed);
}

float TackleTables::fitting_wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m,
                                          double hull_room_m, Seabed seabed) const {
    assert(narrow_down(hull_room_m) >= lie(way, depth_shoal_m, depth_deep_m).radius_m);
    // What fits has a limit above nothing, which without the holding is not known.
    if (std::isnan(holding_limit_kn_[static_cast<std::size_t>(seabed)])) return static_cast<float>(not_known);
    const WayTable& table = ways_[static_cast<std::size_t>(way)];
    const Row& row = table.rows[row_of(table, depth_deep_m + high_offset_m_)];
    return wind_limit_kn(way, row, true, depth_shoal_m, depth_deep_m, hull_room_m, seabed);
}

float TackleTables::wind_limit_kn(Way way, const Row& row, bool fits, double depth_shoal_m,
                                  double depth_deep_m, double hull_room_m, Seabed seabed) const {
    const double high_m = depth_deep_m + high_offset_m_, low_m = depth_shoal_m + low_offset_m_;
    // The radius allows all that it was made for, whatever a reach says of its last digit.
    double limit_kn = fits ? (way == Way::full ? taut_limit_kn_ : conditions_.wind_kn) : 0;
    const double by_holding_kn = holding_limit_kn_[static_cast<std::size_t>(seabed)];
    double most_kn = double{greatest_wind_kn};
    if (by_holding_kn < most_kn) most_kn = by_holding_kn; // not so if NaN
    most_kn = std::min(most_kn, angle_limit_kn(way, row, high_m, most_kn));
    // What the anchor holds is mostly less than what the radius is good for, and the search can be spared.
    if (limit_kn < most_kn)
        limit_kn =
            std::max(limit_kn, static_cast<double>(reach_limit_kn(way, row, low_m, narrow_down(hull_room_m),
                                                                  fits ? limit_kn : -1, most_kn)));
    limit_kn = std::min(limit_kn, most_kn);
    // Nothing is nothing, whatever the holding; all else is not known without it.
    if (std::isnan(by_holding_kn)) return limit_kn > 0 ? static_cast<float>(not_known) : 0;
    return narrow_down(limit_kn);
}

WayDetail TackleTables::detail(Way way, double depth_shoal_m, double depth_deep_m) const {
    WayDetail detail;
    detail.lie = lie(way, depth_shoal_m, depth_deep_m);
    if (detail.lie.out != Lie::Out::none) return detail;
    const WayTable& table = ways_[static_cast<std::size_t>(way)];
    const double high_m = depth_deep_m + high_offset_m_, low_m = depth_shoal_m + low_offset_m_;
    const Row& row = table.rows[row_of(table, high_m)];
    const auto stretched = parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::as_aboard);
    const auto least_stretched = parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::least);
    const RodeState at_high = rode_state(planned_pull_n_, high_m, least_stretched);
    detail.sinker_from_bow_m = row.sinker_from_bow_m;
    detail.pull_n = planned_pull_n_;
    detail.reach_m = rode_state(planned_pull_n_, low_m, stretched).reach_m;
    detail.taut_reach_m = taut_reach_m(row.rode_m, low_m, low_m);
    detail.angle_deg = at_high.angle_deg;
    detail.tension_n = at_high.tension_n;
    detail.grounded_m = at_high.grounded_m;
    detail.angle_limit_kn =
        loads_.wind_kn(greatest_pull_n(high_m, boat_.policy.pull_angle_deg, least_stretched));
    return detail;
}

double TackleTables::hanging_load_n(double depth_deep_m) const {
    return hanging_n(boat_, depth_deep_m + conditions_.water.high_m);
}

double TackleTables::trip_line_m(double depth_deep_m) const {
    return depth_deep_m + conditions_.water.high_m + 1;
}

} // namespace swingroom
