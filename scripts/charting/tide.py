"""The tide of the invented haven: its constituents, and high and low waters by Schureman's formulas.

Written from the published formulas alone (Schureman, Manual of Harmonic Analysis and Prediction of Tides, 1940; mean
longitudes after Meeus), so that swingroom's own prediction can be held against it. V at 0 h UTC of the year's first
day, f and u of the year's middle, as printed tables have it.
"""

from datetime import datetime, timedelta
from math import acos, atan, atan2, cos, degrees, floor, radians, sin, sqrt, tan

STATION = "Ebbering Haven, quay"
POSITION = (-29.0405, 47.9872)
MEAN_LEVEL_M = 1.52

# name -> amplitude in metres, phase lag on Greenwich in degrees; a semidiurnal place on an ocean's edge
CONSTITUENTS = {
    "M2": (0.780, 104.2), "S2": (0.271, 138.9), "N2": (0.162, 84.6), "K2": (0.076, 136.4), "NU2": (0.031, 87.1),
    "K1": (0.062, 72.8), "O1": (0.058, 318.5), "P1": (0.020, 66.3), "M4": (0.041, 12.7), "MS4": (0.022, 61.0),
    "SA": (0.045, 221.0),
}

# multiples of T, s, h, p, p1, and a constant; which f and u, how often
ARGUMENTS = {
    "M2": ((2, -2, 2, 0, 0), 0, "M2", 1), "S2": ((2, 0, 0, 0, 0), 0, "", 0), "N2": ((2, -3, 2, 1, 0), 0, "M2", 1),
    "K2": ((2, 0, 2, 0, 0), 0, "K2", 1), "NU2": ((2, -3, 4, -1, 0), 0, "M2", 1), "K1": ((1, 0, 1, 0, 0), 90, "K1", 1),
    "O1": ((1, -2, 1, 0, 0), 270, "O1", 1), "P1": ((1, 0, -1, 0, 0), 270, "", 0), "M4": ((4, -4, 4, 0, 0), 0, "M2", 2),
    "MS4": ((4, -2, 2, 0, 0), 0, "M2", 1), "SA": ((0, 0, 1, 0, 0), 0, "", 0),
}
SPEEDS = {
    "M2": 28.9841042, "S2": 30.0, "N2": 28.4397295, "K2": 30.0821373, "NU2": 28.5125831, "K1": 15.0410686,
    "O1": 13.9430356, "P1": 14.9589314, "M4": 57.9682084, "MS4": 58.9841042, "SA": 0.0410686,
}
OBLIQUITY, INCLINATION = radians(23.452), radians(5.145)


def longitudes(at):
    """s, h, p, N, p1 in degrees."""
    c = (at - datetime(2000, 1, 1, 12)).total_seconds() / 86400 / 36525
    return (218.3164591 + 481267.88134236 * c - 0.0013268 * c ** 2 + c ** 3 / 538841 - c ** 4 / 65194000,
            280.46645 + 36000.76983 * c + 0.0003032 * c ** 2,
            83.353243 + 4069.0137111 * c - 0.0103238 * c ** 2 - c ** 3 / 80053 + c ** 4 / 18999000,
            125.044555 - 1934.1361849 * c + 0.0020762 * c ** 2 + c ** 3 / 467410 - c ** 4 / 60616000,
            282.93735 + 1.71946 * c + 0.00046 * c ** 2)


def nodal(at):
    """f and u in degrees, by kind."""
    n = radians((longitudes(at)[3] + 180) % 360 - 180)
    i = acos(cos(INCLINATION) * cos(OBLIQUITY) - sin(INCLINATION) * sin(OBLIQUITY) * cos(n))
    half_less, half_more = (OBLIQUITY - INCLINATION) / 2, (OBLIQUITY + INCLINATION) / 2
    a = atan(cos(half_less) / cos(half_more) * tan(n / 2))
    b = atan(sin(half_less) / sin(half_more) * tan(n / 2))
    nu, xi = a - b, n - a - b
    nu1 = atan2(sin(2 * i) * sin(nu), sin(2 * i) * cos(nu) + 0.3347)
    nu2 = atan2(sin(i) ** 2 * sin(2 * nu), sin(i) ** 2 * cos(2 * nu) + 0.0727)
    return {
        "": (1.0, 0.0),
        "M2": (cos(i / 2) ** 4 / 0.9154, degrees(2 * xi - 2 * nu)),
        "O1": (sin(i) * cos(i / 2) ** 2 / 0.38, degrees(2 * xi - nu)),
        "K1": (sqrt(0.8965 * sin(2 * i) ** 2 + 0.6001 * sin(2 * i) * cos(nu) + 0.1006), degrees(-nu1)),
        "K2": (sqrt(19.0444 * sin(i) ** 4 + 2.7702 * sin(i) ** 2 * cos(2 * nu) + 0.0981), degrees(-nu2)),
    }


def curve(year):
    """Metres above chart datum as a function of a time in UTC, within that year."""
    start = datetime(year, 1, 1)
    s, h, p, _, p1 = longitudes(start)
    of_node = nodal(start + (datetime(year + 1, 1, 1) - start) / 2)
    terms = []
    for name, (amplitude_m, lag) in CONSTITUENTS.items():
        (_, of_s, of_h, of_p, of_p1), constant, kind, power = ARGUMENTS[name]
        f, u = of_node[kind]
        v = of_s * s + of_h * h + of_p * p + of_p1 * p1 + constant  # T is 0 at midnight
        terms.append((amplitude_m * f ** power, radians(v + power * u - lag), radians(SPEEDS[name])))

    def height_m(at):
        hours = (at - start).total_seconds() / 3600
        return MEAN_LEVEL_M + sum(amplitude * cos(phase + speed * hours) for amplitude, phase, speed in terms)

    return height_m


def turns(first, last):
    """High and low waters: time to the second, height, whether it is high. Both ends in one year."""
    height_m = curve(first.year)
    minute, second = timedelta(minutes=1), timedelta(seconds=1)
    found, at = [], first
    while at + 2 * minute <= last:
        before, here, after = (height_m(at + k * minute) for k in range(3))
        if (here >= before and here > after) or (here <= before and here < after):
            high = here > after
            best = max((at + k * second for k in range(120)), key=lambda t: height_m(t) if high else -height_m(t))
            found.append((best, height_m(best), high))
        at += minute
    return found


def constituents_text():
    lines = ["# The tide of an invented haven, not for navigation.", f"# name: {STATION}",
             "# source: invented", f"# position: {POSITION[0]},{POSITION[1]}", "# unit: m", "# datum: chart datum",
             "# above-chart-datum: 0 m", f"# z0: {MEAN_LEVEL_M}", "# phase: gmt", "name,amplitude,phase,speed"]
    lines += [f"{name},{amplitude_m:.3f},{lag:.1f},{SPEEDS[name]:.7f}"
              for name, (amplitude_m, lag) in CONSTITUENTS.items()]
    return "\n".join(lines) + "\n"


def table_text(first, last, zone_hours):
    """As printed tables have it: to the minute and a tenth of a metre, by the clock of a zone."""
    lines = ["# High and low waters of an invented haven, not for navigation; made of its constituents.",
             f"# name: {STATION}", "# source: invented", f"# position: {POSITION[0]},{POSITION[1]}",
             f"# zone: {zone_hours:+03d}:00", "# unit: m", "# datum: chart datum", "# above-chart-datum: 0 m",
             "time,height,type"]
    for at, level_m, high in turns(first, last):
        shown = at + timedelta(hours=zone_hours, seconds=30)
        lines.append(f"{shown:%Y-%m-%d %H:%M},{floor(level_m * 10 + 0.5) / 10:.1f},{'H' if high else 'L'}")
    return "\n".join(lines) + "\n"
