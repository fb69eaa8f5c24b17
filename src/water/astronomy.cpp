#include "water/astronomy.hpp"

#include <cmath>
#include <numbers>

namespace swingroom {
namespace {

constexpr double degree = std::numbers::pi / 180;

double sine(double degrees) { return std::sin(degrees * degree); }
double cosine(double degrees) { return std::cos(degrees * degree); }
double angle_of(double y, double x) { return std::atan2(y, x) / degree; }

double centuries_since_2000(Instant instant) {
    using namespace std::chrono;
    constexpr Instant epoch = sys_days(January / 1 / 2000) + hours(12);
    constexpr double seconds_in_century = 36525.0 * 86400;
    return static_cast<double>((instant - epoch).count()) / seconds_in_century;
}

} // namespace

MeanLongitudes mean_longitudes(Instant instant) {
    const double c = centuries_since_2000(instant);
    const double c2 = c * c;
    const double c3 = c2 * c;
    const double c4 = c3 * c;
    return {.moon = 218.3164591 + 481267.88134236 * c - 0.0013268 * c2 + c3 / 538841 - c4 / 65194000,
            .sun = 280.46645 + 36000.76983 * c + 0.0003032 * c2,
            .moon_perigee = 83.3532430 + 4069.0137111 * c - 0.0103238 * c2 - c3 / 80053 + c4 / 18999000,
            .moon_node = 125.0445550 - 1934.1361849 * c + 0.0020762 * c2 + c3 / 467410 - c4 / 60616000,
            .sun_perigee = 282.93735 + 1.71946 * c + 0.00046 * c2};
}

OrbitAngles orbit_angles(const MeanLongitudes& longitudes) {
    constexpr double ecliptic = 23.452; // obliquity, and the orbit's inclination to the ecliptic: Schureman's
    constexpr double orbit = 5.145;
    const double node = std::remainder(longitudes.moon_node, 360);
    OrbitAngles angles;
    angles.inclination =
        std::acos(cosine(orbit) * cosine(ecliptic) - sine(orbit) * sine(ecliptic) * cosine(node)) / degree;
    const double tangent = std::tan(node / 2 * degree);
    const double a =
        std::atan(cosine((ecliptic - orbit) / 2) / cosine((ecliptic + orbit) / 2) * tangent) / degree;
    const double b =
        std::atan(sine((ecliptic - orbit) / 2) / sine((ecliptic + orbit) / 2) * tangent) / degree;
    angles.nu = a - b;
    angles.xi = node - a - b;
    angles.perigee = longitudes.moon_perigee - angles.xi;

    const double i = angles.inclination;
    angles.nu_k1 = angle_of(sine(2 * i) * sine(angles.nu), sine(2 * i) * cosine(angles.nu) + 0.3347);
    const double sine_squared = sine(i) * sine(i);
    angles.two_nu_k2 =
        angle_of(sine_squared * sine(2 * angles.nu), sine_squared * cosine(2 * angles.nu) + 0.0727);
    const double half_tangent = std::tan(i / 2 * degree);
    angles.r_l2 = angle_of(sine(2 * angles.perigee),
                           1 / (6 * half_tangent * half_tangent) - cosine(2 * angles.perigee));
    angles.q_m1 = angle_of(0.483 * sine(angles.perigee), cosine(angles.perigee));
    return angles;
}

} // namespace swingroom
