#pragma once

#include "swingroom/boat/boat.hpp"

#include <optional>
#include <vector>

namespace swingroom {

inline constexpr double air_kg_per_m3 = 1.225; ///< ISA, sea level, 15 degrees C

/// Drag of the wind in newtons: half rho Cd A V^2.
double wind_drag_n(double drag_area_m2, double wind_kn);
/// Drag of a current in newtons: half rho (Cf S + Cd Ax) V^2.
double current_drag_n(double wetted_area_m2, double friction, double appendage_drag_area_m2,
                      double current_kn);

/// ABYC H-40 design load of small craft at 30 knots ("working anchor") in lbf, by length or beam, whichever
/// asks for more; linear between the table's columns. Loads and lengths as reprinted in the trade press,
/// beams from memory. Surge and sheering are in the table. Below its first column the first column counts.
/// @param beam_ft  0: not known   @returns nothing beyond the table's last column (60 ft, or its beam)
std::optional<double> abyc_working_load_lbf(double length_ft, double beam_ft, HullKind kind);
/// Load over the load at 30 knots: the table's own steps (15 kn a quarter, 42 kn twice, 60 kn four times),
/// linear in the square of the wind between them.
double abyc_wind_factor(double wind_kn);

/// Horizontal pull of a boat by mean wind: grows with the wind, and is known in both directions.
class LoadCurve {
public:
    /// @param points  (mean wind in knots, pull in newtons), both ascending; linear in the square of the wind
    ///                between them, from nothing at no wind, and on as the square beyond the last
    LoadCurve(const std::vector<std::pair<double, double>>& points, double current_n);
    /// Horizontal pull in newtons at this mean wind, with that of the current; beyond the last point as the
    /// square of the wind.
    [[nodiscard]] double pull_n(double wind_kn) const;
    /// The greatest wind with at most this pull; 0 where the current alone is more; may be infinity.
    [[nodiscard]] double wind_kn(double pull_n) const;

private:
    struct Knot {
        double wind_squared, pull_n;
    };
    std::vector<Knot> knots_;
    double current_n_;
};

/// The boat's own table if she has one (then gusts are in it already); else drag on her windage with the
/// policy's gust factor; else the small-craft table by length and beam, to which no gusts are added because
/// they are in it. The current's drag is added to each.   @throws InputError where the table ends
LoadCurve load_curve(const Boat& boat, double current_kn);

} // namespace swingroom
