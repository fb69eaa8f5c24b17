#pragma once

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/loads.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/water/levels.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <span>
#include <vector>

namespace swingroom {

/// What a stay is planned for.
struct Conditions {
    WaterLevels water;
    double wind_kn = 0; ///< mean wind; the policy's gust factor is applied on top
    double current_kn = 0;
};

/// What one way to lie asks for at one place.
struct Lie {
    float rode_m = 0;   ///< to veer, rounded up to the marks
    float radius_m = 0; ///< swinging radius with all allowances, for the hull; rounded up
    float ground_m = 0; ///< ground sweep radius with its allowances; rounded up
    /// Why this way is not to be had here whatever the room; the lengths are then 0, but for rode, where
    /// rode_m is the rode that would be needed.
    /// As wide as a length: a lie without padding is copied in one piece, for every cell.
    enum class Out : std::uint32_t { none, rode, unavailable } out = Out::none;
    std::uint32_t row = 0; ///< the tables' own: where they found it
};

/// What stands behind a Lie, for one place: printed by `spot` and by the boat's own table.
struct WayDetail {
    Lie lie;                      ///< as lie() gives it; the rest is 0 where the way is out
    double sinker_from_bow_m = 0; ///< down the rode from the roller; 0 for the ways without
    double pull_n = 0;            ///< horizontal, at the planned wind with its gusts
    double reach_m = 0;      ///< by statics at that pull at low water, rope stretched; no allowance in it
    double taut_reach_m = 0; ///< the same with the rode straight, at the greatest pull that the anchor holds
    double angle_deg = 0;    ///< of the pull at the anchor, at high water
    double tension_n = 0;    ///< at the roller, at high water
    double grounded_m = 0;   ///< rode on the seabed, at high water
    double angle_limit_kn = 0; ///< greatest mean wind with the angle within the allowed one
};

/// Rode, radii and wind limits of a boat by depth, made once per run (under 0.3 s) and rounded the safe way:
/// rode and radii up, wind limits down. Depth in, answer out, by table look-up: rode depends on the deep side
/// of the depth's uncertainty at high water, radii on that rode and the shoal side at low water.
///
/// The ways nest: at any place the short scope takes no more rode, radius and ground than the full scope, and
/// the sinker no more than the short scope.
class TackleTables {
public:
    /// @param greatest_uncertainty_m  half-width of the worst uncertainty that lie() will be asked about,
    /// which
    ///                                bounds how far depth_deep_m and depth_shoal_m are apart
    /// @throws InputError where the boat's load is not known or rope is carried and no holding is known
    TackleTables(const Boat& boat, const Conditions& conditions, double greatest_uncertainty_m);

    /// @param depth_shoal_m  chart depth less its uncertainty   @param depth_deep_m  chart depth plus it;
    ///                       0 <= deep - shoal <= 2 greatest_uncertainty_m; both finite; a cell whose shoal
    ///                       depth at low water floats the hull
    [[nodiscard]] Lie lie(Way way, double depth_shoal_m, double depth_deep_m) const {
        const WayTable& table = ways_[static_cast<std::size_t>(way)];
        const double high_m = depth_deep_m + high_offset_m_;
        if (!(high_m <= table.deepest_span_m)) return out_of_reach(table, high_m);
        const std::size_t at = row_of(table, high_m);
        const Row& row = table.rows[at];
        const double low_m = depth_shoal_m + low_offset_m_;
        return {row.rode_up_m, table.radius_m[row.radius_at + bin_of(row.radius, radius_grading_, low_m)],
                narrow_up(row.rode_m - low_m + ground_allowance_m_), Lie::Out::none,
                static_cast<std::uint32_t>(at)};
    }

    /// Whether the rode aboard is enough for a way at that depth: lie().out is none. Cheaper than lie().
    [[nodiscard]] bool has_rode(Way way, double depth_deep_m) const {
        return depth_deep_m + high_offset_m_ <= ways_[static_cast<std::size_t>(way)].deepest_span_m;
    }

    /// Greatest mean wind in knots for which the way's reach fits the room, the angle of pull stays within
    /// the allowed one and the pull within the anchor's holding on that seabed; rounded down, by less than a
    /// knot (that by the room is a whole knot); 0 where none does or the way is out. At most
    /// greatest_wind_kn. NaN, not known, where holding_limit_kn() is: test for it, since it compares as
    /// neither more nor less than any wind.
    [[nodiscard]] float wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m, double hull_room_m,
                                      Seabed seabed) const {
        return wind_limit_kn(way, lie(way, depth_shoal_m, depth_deep_m), depth_shoal_m, depth_deep_m,
                             hull_room_m, seabed);
    }
    /// The same for who knows the lie there already.
    [[nodiscard]] float wind_limit_kn(Way way, const Lie& lie, double depth_shoal_m, double depth_deep_m,
                                      double hull_room_m, Seabed seabed) const;
    /// The same where the room is known to fit the way, which spares looking for its radius. Nothing else is
    /// known of a way that is less demanding than one that fits: that it does, too, if it is to be had.
    /// @pre has_rode(way, depth_deep_m)
    [[nodiscard]] float fitting_wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m,
                                              double hull_room_m, Seabed seabed) const;
    /// What no way that fits has less than there, but full scope: its rode is chosen for the planned wind.
    /// NaN where the holding is not known.
    [[nodiscard]] double sure_wind_limit_kn(Seabed seabed) const {
        const double holding_kn = holding_limit_kn(seabed);
        return conditions_.wind_kn < holding_kn ? conditions_.wind_kn : holding_kn;
    }
    static constexpr float greatest_wind_kn = 80;

    /// Whether the boat file or a published law says what the anchor holds there.
    [[nodiscard]] bool holding_known(Seabed seabed) const {
        return boat_.anchor.holding_n[static_cast<std::size_t>(seabed)].has_value();
    }
    /// Greatest mean wind whose pull the anchor holds there. Where that is not known, 0 for rock and coral,
    /// elsewhere the least that is known of other ground; NaN where nothing is.
    [[nodiscard]] double holding_limit_kn(Seabed seabed) const {
        return holding_limit_kn_[static_cast<std::size_t>(seabed)];
    }
    /// Horizontal pull at the planned wind with its gusts and current, in newtons: what the anchor must hold.
    [[nodiscard]] double planned_pull_n() const { return planned_pull_n_; }
    /// Pull at a mean wind, gusts and current included.
    [[nodiscard]] const LoadCurve& loads() const { return loads_; }

    /// Everything behind lie() at a place; not for the hot loop.
    [[nodiscard]] WayDetail detail(Way way, double depth_shoal_m, double depth_deep_m) const;

    /// Weight hanging from the roller when the anchor breaks out at high water, in newtons: anchor and chain
    /// in water, and what of the chain hangs between water and roller in air.
    [[nodiscard]] double hanging_load_n(double depth_deep_m) const;
    /// Length of a buoyed trip line: depth at high water and one metre for waves.
    [[nodiscard]] double trip_line_m(double depth_deep_m) const;
    /// Depth at high water beyond which the windlass or the crew is overtaxed; infinity where not given.
    [[nodiscard]] double windlass_depth_m() const { return windlass_depth_m_; }
    [[nodiscard]] double recovery_depth_m() const { return recovery_depth_m_; }

    /// Greatest hull radius and ground sweep of any way at any depth: the halo that a block needs.
    [[nodiscard]] double greatest_radius_m() const { return greatest_radius_m_; }
    /// Least hull radius of any way that is to be had: what cell size is measured against.
    [[nodiscard]] double least_radius_m() const { return least_radius_m_; }
    /// Deepest depth_deep_m at which any way is to be had; negative infinity when none is anywhere.
    [[nodiscard]] double greatest_depth_m() const { return greatest_depth_m_; }
    /// How coarse the tables of radii are, in metres, where the deep and the shoal side are so far apart:
    /// radii are those of a span at low water that is less by up to so much. Fine (0.05 m) where the depth is
    /// well known, and widening with how far the sides are apart.
    [[nodiscard]] double radius_step_m(double apart_m) const { return step_m(radius_grading_, apart_m); }
    /// The same for the worst uncertainty that the tables were made for.
    [[nodiscard]] double radius_step_m() const { return radius_step_m(greatest_apart_m_); }
    /// The step of the winds that reaches are tabled for, a knot, but up to 4 for a very long rode with very
    /// close marks. Limits are found to the knot all the same: between two steps the statics are asked.
    [[nodiscard]] double wind_step_kn() const { return wind_step_kn_; }
    [[nodiscard]] const Boat& boat() const { return boat_; }
    [[nodiscard]] const Conditions& conditions() const { return conditions_; }

private:
    /// Bins of spans, counted down from the deepest: a step wide at first, and twice as wide each time that
    /// as many steps as passed before lie behind. So where the shoal side is far above the deep one the bins
    /// are wide, but never wide beside that distance.
    struct Grading {
        double per_m = 1;  ///< steps in a metre
        int fine_bits = 1; ///< the first 2^fine_bits bins are one step wide
        [[nodiscard]] int doublings(std::uint32_t below) const {
            return std::max(0, static_cast<int>(std::bit_width(below)) - fine_bits);
        }
        [[nodiscard]] double width(std::uint32_t below) const {
            return static_cast<double>(std::uint32_t{1} << doublings(below));
        }
        /// The bin of what lies so many steps below the deepest.
        [[nodiscard]] std::uint32_t bin(std::uint32_t below) const {
            const int times = doublings(below);
            return (static_cast<std::uint32_t>(times) << (fine_bits - 1)) + (below >> times);
        }
        /// The most steps below the deepest that still go into a bin.
        [[nodiscard]] std::uint32_t most_below(std::uint32_t bin) const {
            const std::uint32_t halves = bin >> (fine_bits - 1), times = halves > 0 ? halves - 1 : 0;
            return ((bin - (times << (fine_bits - 1)) + 1) << times) - 1;
        }
    };
    /// The bins of a row's spans at low water, in steps: the deepest and the least span, multiples of a step.
    struct LowBins {
        std::int32_t top = 0, bottom = 0;
        std::uint32_t count = 0;
    };
    /// One length of rode (a mark) and what is tabled for the spans at which it is veered.
    struct Row {
        double rode_m = 0;
        float rode_up_m = 0;
        double sinker_from_bow_m = 0;
        double span_above_m = 0, span_limit_m = 0; ///< veered for spans at high water in (above, limit]
        LowBins radius, reach;
        double angle_first = 0; ///< in steps of the angle's spans, which are equal
        std::uint32_t angle_count = 0;
        std::uint32_t radius_at = 0, reach_at = 0, angle_at = 0;
    };
    struct WayTable {
        Way way = Way::full;
        Lie::Out out = Lie::Out::rode; ///< beyond the deepest span
        double deepest_span_m = -std::numeric_limits<double>::infinity();
        std::vector<Row> rows;
        std::vector<double> span_limit_m;     ///< of each row, apart because it is searched
        std::vector<std::uint32_t> first_row; ///< by whole steps of the span at high water
        std::vector<float> radius_m;          ///< Row::radius bins of each row
        std::vector<float> rode_needed_m;     ///< by whole metres of the span, where no rode aboard will do
    };
    /// Made when the first wind limit is asked for, since most runs ask for none.
    struct WindTables;

    static constexpr double span_steps_per_m = 20, per_angle_step_ = 10;
    static constexpr auto whole_knots = static_cast<std::size_t>(greatest_wind_kn) + 1;

    static std::uint32_t bin_of(const LowBins& bins, const Grading& grading, double span_m) {
        const auto step = static_cast<std::int32_t>(span_m * grading.per_m);
        const auto below = static_cast<std::uint32_t>(std::max(0, bins.top - std::max(step, bins.bottom)));
        return grading.bin(below);
    }
    /// Spans of a bin: none of the row's is less or more.
    static double lower_edge_m(const LowBins& bins, const Grading& grading, std::uint32_t bin) {
        const auto below = static_cast<std::int32_t>(grading.most_below(bin));
        return std::max(bins.bottom, bins.top - below) / grading.per_m;
    }
    static double upper_edge_m(const LowBins& bins, const Grading& grading, std::uint32_t bin) {
        const auto below = bin > 0 ? static_cast<std::int32_t>(grading.most_below(bin - 1)) + 1 : 0;
        return (bins.top - below + 1) / grading.per_m;
    }
    static std::uint32_t angle_bin_of(const Row& row, double span_m) {
        const double bin = span_m * per_angle_step_ - row.angle_first;
        const double last = static_cast<double>(row.angle_count) - 1;
        return static_cast<std::uint32_t>(std::clamp(bin, 0.0, last));
    }
    /// The first row that is long enough; high_m is within the deepest span.
    static std::size_t row_of(const WayTable& table, double high_m) {
        std::size_t row = table.first_row[static_cast<std::size_t>(std::max(0.0, high_m) * span_steps_per_m)];
        while (high_m > table.span_limit_m[row])
            ++row;
        return row;
    }
    [[nodiscard]] Lie out_of_reach(const WayTable& table, double high_m) const;
    [[nodiscard]] float wind_limit_kn(Way way, const Row& row, bool fits, double depth_shoal_m,
                                      double depth_deep_m, double hull_room_m, Seabed seabed) const;

    void make_way(Way way);
    [[nodiscard]] double hang_point_m(Way way, double rode_m) const;
    [[nodiscard]] double span_limit_m(Way way, double rode_m, double from_bow_m) const;
    [[nodiscard]] double span_limit_m(Way way, double rode_m) const;
    [[nodiscard]] std::vector<RodePart> parts(Way way, double rode_m, double from_bow_m,
                                              Stretch stretch) const;
    [[nodiscard]] double taut_reach_m(double rode_m, double least_m, double most_m) const;
    [[nodiscard]] double needed_rode_m(Way way, double span_m, std::uint64_t& marks) const;
    [[nodiscard]] double step_m(const Grading& grading, double apart_m) const;
    [[nodiscard]] LowBins low_bins(const Row& row, const Grading& grading, double uncertainty_range_m) const;
    [[nodiscard]] double count_bins(const Grading& grading, double uncertainty_range_m) const;
    void set_bins(double uncertainty_range_m);
    void fill_radii(WayTable& table) const;
    void widen(WayTable& outer, const WayTable& inner) const;
    void measure_radii();
    [[nodiscard]] const WindTables& wind_tables() const;
    void fill_wind(WindTables& wind) const;
    void fill_reaches(Way way, const Row& row, WindTables& wind) const;
    void fill_angles(Way way, const Row& row, WindTables& wind) const;
    [[nodiscard]] float reach_up_m(double pull_n, double span_m, std::span<const RodePart> rode) const;
    [[nodiscard]] double angle_limit_kn(Way way, const Row& row, double high_m, double enough_kn) const;
    [[nodiscard]] int reach_limit_kn(Way way, const Row& row, double low_m, float room_m, double least_kn,
                                     double enough_kn) const;
    [[nodiscard]] std::size_t row_number(Way way, const Row& row) const {
        return static_cast<std::size_t>(&row - ways_[static_cast<std::size_t>(way)].rows.data());
    }

    Boat boat_;
    Conditions conditions_;
    LoadCurve loads_;
    double greatest_apart_m_;                         ///< deep and shoal side
    double planned_pull_n_ = 0, greatest_pull_n_ = 0; ///< at the planned wind; that and the best holding
    double sinker_n_ = 0;
    double high_offset_m_ = 0, low_offset_m_ = 0; ///< from chart depths to spans
    double hull_allowance_m_ = 0, ground_allowance_m_ = 0;
    double taut_limit_kn_ = 0; ///< the wind that a straight rode's radius serves
    Grading radius_grading_{20, 7}, reach_grading_{4, 5};
    double wind_step_kn_ = 1;
    std::array<WayTable, all_ways.size()> ways_;
    std::array<double, seabed_names.size()> holding_limit_kn_{};
    std::shared_ptr<WindTables> wind_; ///< one for all copies
    double windlass_depth_m_ = std::numeric_limits<double>::infinity(),
           recovery_depth_m_ = std::numeric_limits<double>::infinity(), greatest_radius_m_ = 0,
           least_radius_m_ = std::numeric_limits<double>::infinity(),
           greatest_depth_m_ = -std::numeric_limits<double>::infinity();
};

} // namespace swingroom
