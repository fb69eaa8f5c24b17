#pragma once

#include "swingroom/water/instant.hpp"

namespace swingroom {

/// Mean longitudes in degrees, not brought to a turn.
/// Meeus, Astronomical Algorithms, as coded in public code (pytides, neaps). UTC serves as the time of the
/// formulas: the 70 seconds between them move the moon by 0.01 degrees.
struct MeanLongitudes {
    double moon = 0, sun = 0;
    double moon_perigee = 0, moon_node = 0, sun_perigee = 0;
};
MeanLongitudes mean_longitudes(Instant instant);

/// What the inclination of the moon's orbit to the equator, which turns with its node in 18.6 years, does to
/// the tide: Schureman's angles (Manual of Harmonic Analysis and Prediction of Tides, 1940), in degrees.
struct OrbitAngles {
    double inclination = 0; ///< I, of the orbit to the equator
    double nu = 0, xi = 0;  ///< of the intersection, in right ascension and in the orbit
    double nu_k1 = 0;       ///< nu', of K1
    double two_nu_k2 = 0;   ///< 2 nu'', of K2
    double perigee = 0;     ///< P, of the moon's perigee from the intersection
    double r_l2 = 0;        ///< R, of L2
    double q_m1 = 0;        ///< Q, of M1
};
OrbitAngles orbit_angles(const MeanLongitudes& longitudes);

} // namespace swingroom
