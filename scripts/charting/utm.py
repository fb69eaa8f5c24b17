"""From UTM to longitude and latitude on the WGS 84 ellipsoid: Krüger's series to the sixth order of the third
flattening n (L. Krüger, Konforme Abbildung des Erdellipsoids in der Ebene, 1912; the coefficients as in C. F. F. Karney,
Transverse Mercator with an accuracy of a few nanometers, J. Geodesy 85, 2011, equation 36). It is good to nanometres
within a zone, far below the 1e-7 degrees (about a centimetre) to which cells are rounded."""

import math

SEMI_MAJOR_M, FLATTENING = 6378137.0, 1 / 298.257223563
SCALE, FALSE_EASTING_M = 0.9996, 500000.0

N = FLATTENING / (2 - FLATTENING)
RECTIFYING_RADIUS_M = SEMI_MAJOR_M / (1 + N) * (1 + N**2 / 4 + N**4 / 64 + N**6 / 256)
BETA = [
    N / 2 - 2 * N**2 / 3 + 37 * N**3 / 96 - N**4 / 360 - 81 * N**5 / 512 + 96199 * N**6 / 604800,
    N**2 / 48 + N**3 / 15 - 437 * N**4 / 1440 + 46 * N**5 / 105 - 1118711 * N**6 / 3870720,
    17 * N**3 / 480 - 37 * N**4 / 840 - 209 * N**5 / 4480 + 5569 * N**6 / 90720,
    4397 * N**4 / 161280 - 11 * N**5 / 504 - 830251 * N**6 / 7257600,
    4583 * N**5 / 161280 - 108847 * N**6 / 3991680,
    20648693 * N**6 / 638668800,
]
ECCENTRICITY = math.sqrt(FLATTENING * (2 - FLATTENING))


def geodetic_tangent(conformal_tangent):
    """tan of the latitude from tan of the conformal latitude, by Newton's method (Karney, equations 7 to 9, 19 to 21)."""
    tau = conformal_tangent
    for _ in range(5):
        sigma = math.sinh(ECCENTRICITY * math.atanh(ECCENTRICITY * tau / math.hypot(1, tau)))
        reached = tau * math.hypot(1, sigma) - sigma * math.hypot(1, tau)
        gain = 1 - ECCENTRICITY**2
        slope = gain * math.hypot(1, tau) * math.hypot(1, reached) / (1 + gain * tau * tau)
        tau += (conformal_tangent - reached) / slope
    return tau


def lon_lat(zone, easting_m, northing_m):
    """Degrees, of a place on the northern hemisphere."""
    xi = northing_m / (SCALE * RECTIFYING_RADIUS_M)
    eta = (easting_m - FALSE_EASTING_M) / (SCALE * RECTIFYING_RADIUS_M)
    xi_sphere = xi - sum(b * math.sin(2 * j * xi) * math.cosh(2 * j * eta) for j, b in enumerate(BETA, start=1))
    eta_sphere = eta - sum(b * math.cos(2 * j * xi) * math.sinh(2 * j * eta) for j, b in enumerate(BETA, start=1))
    conformal_tangent = math.sin(xi_sphere) / math.hypot(math.sinh(eta_sphere), math.cos(xi_sphere))
    longitude = math.atan2(math.sinh(eta_sphere), math.cos(xi_sphere))
    return 6 * zone - 183 + math.degrees(longitude), math.degrees(math.atan(geodetic_tangent(conformal_tangent)))
