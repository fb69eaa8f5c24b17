#pragma once

#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/water/levels.hpp"

#include <cstdint>
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
    enum class Out : std::uint8_t { none, rode, unavailable } out = Out::none;
};

/// Rode, radii and wind limits of a boat by depth, made once per run (under 0.3 s) and rounded the safe way:
/// rode and radii up, wind limits down. Depth in, answer out, by table look-up: rode depends on the deep side
/// of the depth's uncertainty at high water, radii on that rode and the shoal side at low water.
class TackleTables {
public:
    /// @param greatest_uncertainty_m  half-width of the worst uncertainty that lie() will be asked about,
    /// which
    ///                                bounds how far depth_deep_m and depth_shoal_m are apart
    TackleTables(const Boat& boat, const Conditions& conditions, double greatest_uncertainty_m);

    /// @param depth_shoal_m  chart depth less its uncertainty   @param depth_deep_m  chart depth plus it;
    ///                       0 <= deep - shoal <= 2 greatest_uncertainty_m; both finite; a cell whose shoal
    ///                       depth at low water floats the hull
    [[nodiscard]] Lie lie(Way way, double depth_shoal_m, double depth_deep_m) const;

    /// Greatest mean wind in knots for which the way's reach fits the room, the angle of pull stays within
    /// the allowed one and the pull within the anchor's holding on that seabed; rounded down; 0 where none
    /// does or the way is out. At most greatest_wind_kn.
    [[nodiscard]] float wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m, double hull_room_m,
                                      Seabed seabed) const;
    static constexpr float greatest_wind_kn = 80;

    /// Weight hanging from the roller when the anchor breaks out at high water, in newtons.
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
    [[nodiscard]] const Boat& boat() const { return boat_; }
    [[nodiscard]] const Conditions& conditions() const { return conditions_; }

private:
    Boat boat_;
    Conditions conditions_;
    double windlass_depth_m_ = 0, recovery_depth_m_ = 0, greatest_radius_m_ = 0, least_radius_m_ = 0,
           greatest_depth_m_ = 0;
};

} // namespace swingroom
