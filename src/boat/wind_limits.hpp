#pragma once

#include "swingroom/boat/rode_tables.hpp"

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <mutex>
#include <span>
#include <vector>

namespace swingroom {

/// The greatest wind in which a rode reaches no farther than the room and pulls no steeper than allowed. Its
/// tables are made when the first limit is asked for, since most runs ask for none; from any thread. Reaches,
/// of which there are tens of thousands and each takes the statics, are found as they are asked for.
class WindLimits {
public:
    /// As TackleTables::wind_limit_kn() tells it.
    /// @param tables  always the same or copies of them   @param row  one of the way's
    /// @param fits    the room is known to fit the way
    /// @param high_m, low_m  spans at high and at low water   @param enough_kn  no more is asked for
    [[nodiscard]] float limit_kn(const RodeTables& tables, Way way, const RodeRow& row, bool fits,
                                 double high_m, double low_m, float room_m, Seabed seabed, float enough_kn);
    /// As TackleTables::wind_limits_kn() tells them.
    void limits_kn(const RodeTables& tables, Way way, std::span<const int> places, const LiesOfRow& lies,
                   float* limits_kn);

private:
    static constexpr auto whole_knots = static_cast<std::size_t>(greatest_wind_kn) + 1;
    /// For what a row's bins only bound: the rode, stretched, of which the statics tell the reach, and by
    /// whole knots the greatest span that the angle of pull allows, which falls with the wind.
    struct RowWinds {
        std::vector<RodePart> rode;
        std::array<float, whole_knots> span_m{};
    };

    /// limit_kn() once the tables are made.
    [[nodiscard]] float made_limit_kn(const RodeTables& tables, Way way, const RodeRow& row, bool fits,
                                      double high_m, double low_m, float room_m, Seabed seabed,
                                      float enough_kn) const;
    /// The greatest wind with the angle of pull within the allowed one: what the bin's upper edge bears, or
    /// the greatest whole knot that this very span bears. Where the rode is about long enough for any wind
    /// the two are far apart.
    [[nodiscard]] double by_angle_kn(const RodeTables& tables, Way way, const RodeRow& row, double high_m,
                                     double enough_kn) const;
    /// The greatest whole knot in which the rode at this very span reaches no farther than the room; -1 if
    /// none.
    /// @param least_kn   not looked for below: known to fit   @param enough_kn  no more is asked for, but it
    ///                   may be said: the next whole knot
    [[nodiscard]] int by_reach_kn(const RodeTables& tables, Way way, const RodeRow& row, double low_m,
                                  float room_m, double least_kn, double enough_kn) const;
    /// by_reach_kn() where the reach is tabled for the edges of the span's bin alone.
    /// @param bin  of the row's reaches   @param least, enough  knots
    [[nodiscard]] int between_edges_kn(const RodeTables& tables, Way way, const RodeRow& row,
                                       std::uint32_t bin, double low_m, float room_m, int least,
                                       int enough) const;
    /// The reach at an edge of the row's bins.   @param edge  0: the upper one of the first bin; else the
    ///                                                        lower one of the bin before that number
    [[nodiscard]] float reach_m(const RodeTables& tables, Way way, const RodeRow& row, std::uint32_t edge,
                                std::size_t wind_step) const;
    void make(const RodeTables& tables);
    void fill(const RodeTables& tables);
    void fill_angles(const RodeTables& tables, Way way, const RodeRow& row);

    std::once_flag once_;
    std::atomic<bool> made_{false};            ///< quicker to ask than `once`, and asked for many cells
    std::array<double, whole_knots> pull_n_{}; ///< by whole knots
    unsigned step_kn_ = 1;                     ///< of the winds that reaches are tabled for, from 0
    std::size_t steps_ = 0;                    ///< how many winds these are
    /// By way, for each row: a run of wind steps at the upper edge of its first reach bin, then one at the
    /// lower edge of each. 0: nobody has asked for it; whoever finds it writes the same.
    mutable std::array<std::vector<std::atomic<float>>, all_ways.size()> reach_m_;
    std::array<std::vector<float>, all_ways.size()> angle_limit_kn_; ///< by way: for each angle bin
    std::array<std::vector<RowWinds>, all_ways.size()> rows_;        ///< by way
};

} // namespace swingroom
