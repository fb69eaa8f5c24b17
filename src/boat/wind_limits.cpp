#include "boat/wind_limits.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/statics.hpp"

#include <algorithm>
#include <cmath>
#include <ranges>
#include <span>

namespace swingroom {
namespace {

/// With the allowances, rounded as a radius.
float reach_up_m(const Tackle& tackle, double pull_n, double span_m, std::span<const RodePart> rode) {
    return narrow_up(rode_state(pull_n, std::max(1e-3, span_m), rode).reach_m + tackle.hull_allowance_m());
}

// By hand, since std::ceil is a call wherever processors may be old, and this is asked of every cell.
unsigned whole_knots_down(double wind_kn) {
    return static_cast<unsigned>(std::max(0, static_cast<int>(wind_kn)));
}
unsigned whole_knots_up(double wind_kn) {
    const unsigned down = whole_knots_down(wind_kn);
    return down + (down < wind_kn ? 1 : 0);
}

std::size_t row_number(const WayTable& table, const RodeRow& row) {
    return static_cast<std::size_t>(&row - table.rows.data());
}

} // namespace

void WindLimits::make(const RodeTables& tables) {
    if (made_.load(std::memory_order_acquire)) return;
    std::call_once(once_, [&] { fill(tables); });
    made_.store(true, std::memory_order_release);
}

void WindLimits::fill(const RodeTables& tables) {
    for (std::size_t knot = 0; knot < whole_knots; ++knot) {
        pull_n_[knot] = tables.tackle.loads().pull_n(static_cast<double>(knot));
    }
    step_kn_ = static_cast<unsigned>(tables.steps.wind_kn);
    steps_ = (whole_knots - 1) / step_kn_ + 1;
    for (const WayTable& table : tables.ways) {
        std::size_t edges = 0;
        for (const RodeRow& row : table.rows) {
            RowWinds& winds = rows_[static_cast<std::size_t>(table.way)].emplace_back();
            winds.rode =
                tables.tackle.parts(table.way, row.rode_m, row.sinker_from_bow_m, Stretch::as_aboard);
            fill_angles(tables, table.way, row);
            edges += row.reach.count + 1;
        }
        reach_m_[static_cast<std::size_t>(table.way)] = std::vector<std::atomic<float>>(edges * steps_);
    }
}

inline float WindLimits::reach_m(const RodeTables& tables, Way way, const RodeRow& row, std::uint32_t edge,
                                 std::size_t wind_step) const {
    const auto slot = static_cast<std::size_t>(way);
    std::atomic<float>& kept_m = reach_m_[slot][(row.reach_at + edge) * steps_ + wind_step];
    const float known_m = kept_m.load(std::memory_order_relaxed);
    if (known_m != 0) return known_m;
    const double span_m = edge == 0
                              ? std::min(row.span_limit_m, row.reach.upper_edge_m(tables.steps.reach, 0))
                              : row.reach.lower_edge_m(tables.steps.reach, edge - 1);
    const float found_m = reach_up_m(tables.tackle, pull_n_[wind_step * step_kn_], span_m,
                                     rows_[slot][row_number(tables.of(way), row)].rode);
    kept_m.store(found_m, std::memory_order_relaxed);
    return found_m;
}

void WindLimits::fill_angles(const RodeTables& tables, Way way, const RodeRow& row) {
    const auto rode = tables.tackle.parts(way, row.rode_m, row.sinker_from_bow_m, Stretch::least);
    std::vector<float>& limits_kn = angle_limit_kn_[static_cast<std::size_t>(way)];
    for (std::uint32_t bin = 0; bin < row.angle_count; ++bin) {
        // The angle grows with the span: the upper edge is the safe one.
        const double span_m =
            std::min(row.span_limit_m, (row.angle_first + bin + 1) / RodeRow::angle_steps_per_m);
        const double limit_kn = tables.tackle.loads().wind_kn(
            greatest_pull_n(span_m, tables.tackle.boat().policy.pull_angle_deg, rode));
        // The rode was chosen for the planned wind: only rounding can say less.
        limits_kn.push_back(narrow_down(std::max(limit_kn, tables.tackle.conditions().wind_kn)));
    }
    RowWinds& winds = rows_[static_cast<std::size_t>(way)].back();
    for (std::size_t knot = 0; knot < whole_knots; ++knot) {
        winds.span_m[knot] =
            narrow_down(greatest_span_m(pull_n_[knot], tables.tackle.boat().policy.pull_angle_deg, rode));
    }
}

inline double WindLimits::by_angle_kn(const RodeTables& tables, Way way, const RodeRow& row, double high_m,
                                      double enough_kn) const {
    const auto slot = static_cast<std::size_t>(way);
    const auto limit_kn = static_cast<double>(angle_limit_kn_[slot][row.angle_at + row.angle_bin_of(high_m)]);
    if (limit_kn >= enough_kn) return limit_kn;
    const auto& spans_m = rows_[slot][row_number(tables.of(way), row)].span_m;
    auto knot = static_cast<std::size_t>(limit_kn);
    while (knot + 1 < whole_knots && high_m <= static_cast<double>(spans_m[knot + 1])) {
        ++knot;
    }
    return std::max(limit_kn, static_cast<double>(knot));
}

/// The reach falls with the span, so that what fits at a bin's lower edge fits here and what does not fit at
/// its upper edge does not.
inline int WindLimits::by_reach_kn(const RodeTables& tables, Way way, const RodeRow& row, double low_m,
                                   float room_m, double least_kn, double enough_kn) const {
    const std::uint32_t bin = row.reach.bin_of(tables.steps.reach, low_m), upper_edge = bin,
                        lower_edge = bin + 1;
    const unsigned enough = whole_knots_up(enough_kn);
    const std::size_t enough_step = (enough + step_kn_ - 1) / step_kn_;
    // So it is in most cells: the rest is kept out of the way.
    if (enough_step < steps_ && reach_m(tables, way, row, lower_edge, enough_step) <= room_m) {
        return static_cast<int>(enough);
    }
    // Nor where the room is not a number.
    if (!(reach_m(tables, way, row, upper_edge, 0) <= room_m)) return -1;
    return between_edges_kn(tables, way, row, bin, low_m, room_m, static_cast<int>(least_kn),
                            static_cast<int>(enough));
}

/// Only the statics can tell: where the rode is about straight the edges are many knots apart, since there
/// the wind makes the reach no longer.
int WindLimits::between_edges_kn(const RodeTables& tables, Way way, const RodeRow& row, std::uint32_t bin,
                                 double low_m, float room_m, int least, int enough) const {
    const auto step_kn = static_cast<int>(step_kn_);
    // Only the steps between what is known to fit and what is enough are looked at.
    const std::size_t end = std::min(steps_, static_cast<std::size_t>((enough + step_kn - 1) / step_kn) + 1);
    const auto steps_within = [&](std::uint32_t edge, std::size_t from) {
        const auto steps = std::views::iota(std::min(from, end), end);
        const auto beyond = std::ranges::partition_point(
            steps, [&](std::size_t step) { return !(room_m < reach_m(tables, way, row, edge, step)); });
        return std::min(from, end) + static_cast<std::size_t>(beyond - steps.begin());
    };
    const std::size_t fitting = steps_within(bin + 1, static_cast<std::size_t>(std::max(0, least) / step_kn)),
                      beyond = steps_within(bin, fitting);
    const auto knot_of = [&](std::size_t step) { return static_cast<int>(step) * step_kn; };
    int fits = std::max(fitting > 0 ? knot_of(fitting - 1) : -1, least);
    int not_more =
        std::min(enough, beyond < steps_ ? knot_of(beyond) - 1 : static_cast<int>(whole_knots) - 1);
    const std::span<const RodePart> rode =
        rows_[static_cast<std::size_t>(way)][row_number(tables.of(way), row)].rode;
    while (fits < not_more) {
        const int knot = fits + (not_more - fits + 1) / 2;
        const bool fit =
            reach_up_m(tables.tackle, pull_n_[static_cast<std::size_t>(knot)], low_m, rode) <= room_m;
        (fit ? fits : not_more) = fit ? knot : knot - 1;
    }
    return fits;
}

inline float WindLimits::made_limit_kn(const RodeTables& tables, Way way, const RodeRow& row, bool fits,
                                       double high_m, double low_m, float room_m, Seabed seabed,
                                       float enough_kn) const {
    // The radius allows all that it was made for, whatever a reach says of its last digit.
    const Tackle& tackle = tables.tackle;
    double limit_kn = fits ? (way == Way::full ? tackle.taut_limit_kn() : tackle.conditions().wind_kn) : 0;
    const double by_holding_kn = tackle.holding_limit_kn(seabed);
    double most_kn = double{std::min(greatest_wind_kn, enough_kn)};
    if (by_holding_kn < most_kn) most_kn = by_holding_kn; // not so if NaN
    most_kn = std::min(most_kn, by_angle_kn(tables, way, row, high_m, most_kn));
    // What the anchor holds is mostly less than what the radius is good for, and the search can be spared.
    if (limit_kn < most_kn) {
        const int reached_kn = by_reach_kn(tables, way, row, low_m, room_m, fits ? limit_kn : -1, most_kn);
        limit_kn = std::max(limit_kn, static_cast<double>(reached_kn));
    }
    return narrow_down(std::min(limit_kn, most_kn));
}

float WindLimits::limit_kn(const RodeTables& tables, Way way, const RodeRow& row, bool fits, double high_m,
                           double low_m, float room_m, Seabed seabed, float enough_kn) {
    make(tables);
    return made_limit_kn(tables, way, row, fits, high_m, low_m, room_m, seabed, enough_kn);
}

void WindLimits::limits_kn(const RodeTables& tables, Way way, std::span<const int> places,
                           const LiesOfRow& lies, float* limits_kn) {
    make(tables);
    const RodeRow* const rows = tables.of(way).rows.data();
    for (const int i : places) {
        const WayNeeds& needs = lies.needs[i];
        if (needs.out != WayNeeds::Out::none) continue;
        const float room_m = lies.hull_room_m[i];
        limits_kn[i] = lies.ground_room_m[i] < needs.ground_m
                           ? 0
                           : made_limit_kn(tables, way, rows[needs.row], room_m >= needs.radius_m,
                                           tables.tackle.high_span_m(lies.deep_m[i]),
                                           tables.tackle.low_span_m(lies.shoal_m[i]), room_m, lies.seabed[i],
                                           greatest_wind_kn);
    }
}

} // namespace swingroom
