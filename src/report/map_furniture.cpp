#include "report/map_furniture.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

namespace swingroom {
namespace {

std::string units(double value) { return fixed(value, 1); }

/// Degrees that the frame's edge meets, longitudes continuous.
struct Bounds {
    double west = std::numeric_limits<double>::infinity(), south = west, east = -west, north = -west;
};

Bounds bounds_of(const MapFrame& frame) {
    constexpr int steps = 16;
    std::vector<GridPoint> edge;
    const Window w = frame.cells();
    for (int i = 0; i <= steps; ++i) {
        const double x = w.col + w.cols * static_cast<double>(i) / steps,
                     y = w.row + w.rows * static_cast<double>(i) / steps;
        edge.insert(edge.end(), {{x, static_cast<double>(w.row)},
                                 {x, static_cast<double>(w.row_end())},
                                 {static_cast<double>(w.col), y},
                                 {static_cast<double>(w.col_end()), y}});
    }
    frame.georeference().to_lonlat_unwrapped(edge);
    Bounds bounds;
    for (const GridPoint p : edge) {
        bounds.west = std::min(bounds.west, p.x);
        bounds.east = std::max(bounds.east, p.x);
        bounds.south = std::min(bounds.south, p.y);
        bounds.north = std::max(bounds.north, p.y);
    }
    // A hair more, so that a line that ends on an edge is seen to meet it, whatever the last digit.
    constexpr double rounding_tolerance = 1e-6;
    const double lon_deg = rounding_tolerance * (bounds.east - bounds.west),
                 lat_deg = rounding_tolerance * (bounds.north - bounds.south);
    return {bounds.west - lon_deg, bounds.south - lat_deg, bounds.east + lon_deg, bounds.north + lat_deg};
}

/// Minutes between lines, so that a span shows at most so many of them.
double minutes_between(double span_deg, double most) {
    constexpr std::array steps = {0.01, 0.02, 0.05, 0.1,  0.2,   0.5,   1.0,   2.0,   5.0,    10.0,
                                  15.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0};
    const auto enough =
        std::find_if(steps.begin(), steps.end(), [&](double step) { return span_deg * 60 / step <= most; });
    return enough == steps.end() ? 5400 : *enough;
}

/// "47°59.2'N", with as many decimals as the step has.
std::string degrees_and_minutes(double minutes, double step, char positive, char negative) {
    const int decimals = step >= 1 ? 0 : step >= 0.1 ? 1 : 2;
    const double scale = std::pow(10, decimals), whole = std::round(std::abs(minutes) * scale);
    const double degrees = std::floor(whole / (60 * scale)), rest = whole / scale - 60 * degrees;
    std::string text = fixed(rest, decimals);
    if (rest < 10) text.insert(0, "0");
    return fixed(degrees, 0) + "\u00b0" + text + "'" + (minutes < 0 ? negative : positive);
}

/// A line of the graticule in the picture; nothing where the grid has no place for it.
std::optional<std::vector<GridPoint>> line_of(const MapFrame& frame, LonLat from, LonLat to) {
    constexpr int steps = 24;
    std::vector<GridPoint> line;
    try {
        for (int i = 0; i <= steps; ++i) {
            const double t = static_cast<double>(i) / steps;
            line.push_back(
                frame.of_position({std::lerp(from.lon, to.lon, t), std::lerp(from.lat, to.lat, t)}));
        }
    } catch (const InputError&) {
        return std::nullopt;
    }
    return line;
}

Markup polyline(const std::vector<GridPoint>& line) {
    std::string points;
    for (const GridPoint p : line) {
        points += (points.empty() ? "" : " ") + units(p.x) + "," + units(p.y);
    }
    return empty_element("polyline", {{"points", points}}) + "\n";
}

/// @param anchor  which end of the name is at x
Markup name_at(double x, double y, const std::string& name, const char* anchor) {
    return text_element("text", {{"x", units(x)}, {"y", units(y)}, {"text-anchor", anchor}}, name) + "\n";
}

/// Where a line crosses an edge: the upper one or the left one, or that which lies so far from it.
std::optional<double> crossing(const std::vector<GridPoint>& line, double GridPoint::*along,
                               double GridPoint::*across, double edge = 0) {
    for (std::size_t i = 1; i < line.size(); ++i) {
        const GridPoint &a = line[i - 1], &b = line[i];
        const double from = a.*across - edge, to = b.*across - edge;
        if ((from <= 0) == (to <= 0)) continue;
        return std::lerp(a.*along, b.*along, from / (from - to));
    }
    return std::nullopt;
}

/// Ticks where a line meets the two edges that it crosses.
Markup ticks(const MapFrame& frame, const std::vector<GridPoint>& line, bool upright) {
    constexpr double length = 8;
    const double across = upright ? frame.height() : frame.width(),
                 along = upright ? frame.width() : frame.height();
    std::string path;
    for (const double edge : {0.0, across}) {
        const auto at = upright ? crossing(line, &GridPoint::x, &GridPoint::y, edge)
                                : crossing(line, &GridPoint::y, &GridPoint::x, edge);
        if (!at || *at < 0 || *at > along) continue;
        const double inner = edge == 0 ? length : across - length;
        path += upright ? "M" + units(*at) + " " + units(edge) + "V" + units(inner)
                        : "M" + units(edge) + " " + units(*at) + "H" + units(inner);
    }
    return path.empty() ? Markup() : empty_element("path", {{"d", path}}) + "\n";
}

double wrapped_minutes(double minutes) { return std::remainder(minutes, 360 * 60.0); }

Markup scale_bar(double units_per_piece, const std::string& length, double top) {
    constexpr int pieces = 4;
    constexpr double thick = 8;
    Markup svg;
    for (int i = 0; i < pieces; ++i) {
        svg += empty_element("rect", {{"class", i % 2 == 0 ? "dark" : "light"},
                                      {"x", units(1 + i * units_per_piece)},
                                      {"y", units(top)},
                                      {"width", units(units_per_piece)},
                                      {"height", units(thick)}});
    }
    return svg + name_at(10 + pieces * units_per_piece, top + thick + 2, length, "start");
}

/// An arrow that is 60 units long, turned about its middle.
Markup north_arrow(double x, double y, double degrees) {
    return element(
               "g",
               {{"class", "north"},
                {"transform", "translate(" + units(x) + " " + units(y) + ") rotate(" + units(degrees) + ")"}},
               empty_element("path", {{"d", "M0 -26L9 16L0 9L-9 16Z"}}) +
                   empty_element("path", {{"class", "dark"}, {"d", "M0 -26L0 9L-9 16Z"}}) +
                   name_at(0, -30, "N", "middle")) +
           "\n";
}

} // namespace

double round_length(double most) {
    const double ten = std::pow(10, std::floor(std::log10(most) + 1e-9)), leading = most / ten * (1 + 1e-9);
    return ten * (leading >= 5 ? 5 : leading >= 2 ? 2 : 1);
}

Graticule graticule(const MapFrame& frame) {
    const Bounds bounds = bounds_of(frame);
    // A name is some 140 units long on a small screen.
    const double lon_step =
                     minutes_between(bounds.east - bounds.west, std::clamp(frame.width() / 160, 2.0, 7.0)),
                 lat_step =
                     minutes_between(bounds.north - bounds.south, std::clamp(frame.height() / 160, 2.0, 7.0));
    // Half a name at its largest; where there is a margin, some of it lies in there.
    constexpr double clear_of_corner = 50, clear_of_right = 85, name_gap = 6;
    Markup lines, names;
    const auto multiples = [](double from_deg, double to_deg, double step, auto take) {
        for (double i = std::ceil(from_deg * 60 / step); i * step <= to_deg * 60; ++i) {
            take(i * step);
        }
    };
    multiples(bounds.west, bounds.east, lon_step, [&](double minutes) {
        const auto line = line_of(frame, {minutes / 60, bounds.south}, {minutes / 60, bounds.north});
        if (!line) return;
        lines += polyline(*line) + ticks(frame, *line, true);
        const auto x = crossing(*line, &GridPoint::x, &GridPoint::y);
        if (x && *x > clear_of_corner && *x < frame.width() - clear_of_right) {
            names += name_at(*x, -name_gap, degrees_and_minutes(wrapped_minutes(minutes), lon_step, 'E', 'W'),
                             "middle");
        }
    });
    multiples(bounds.south, bounds.north, lat_step, [&](double minutes) {
        const auto line = line_of(frame, {bounds.west, minutes / 60}, {bounds.east, minutes / 60});
        if (!line) return;
        lines += polyline(*line) + ticks(frame, *line, false);
        const auto y = crossing(*line, &GridPoint::y, &GridPoint::x);
        if (y && *y > clear_of_corner && *y < frame.height() - clear_of_corner) {
            names +=
                element("g",
                        {{"transform", "translate(" + units(-name_gap) + " " + units(*y) + ") rotate(-90)"}},
                        name_at(0, 0, degrees_and_minutes(minutes, lat_step, 'N', 'S'), "middle")) +
                "\n";
        }
    });
    return {element("g", {{"class", "graticule"}}, "\n" + lines) + "\n",
            element("g", {{"class", "names"}}, "\n" + names) + "\n"};
}

Markup scale_strip(const MapFrame& frame, const Measures& measures, bool inset) {
    constexpr double pieces = 4;
    const double longest = inset ? 200 : 240;
    const auto plain = [](double value) {
        return fixed(value, value >= 1 ? 0 : static_cast<int>(std::ceil(-std::log10(value) - 1e-9)));
    };
    const auto length_of = [&](double metres_per) {
        return round_length(longest / frame.units_per_m() / metres_per);
    };
    const auto bar = [&](double metres_per, const std::string& unit, double top) {
        const double length = length_of(metres_per);
        return scale_bar(length * metres_per * frame.units_per_m() / pieces, plain(length) + " " + unit, top);
    };
    const double top = frame.height();
    // Of a whole coast metres would be a row of noughts, and feet or fathoms measure no such distances.
    constexpr double most_of_unit = 10'000, metres_per_km = 1000;
    const double metres_per = metres_per_unit(measures), metres_per_nm = Length::nautical_miles(1).metres();
    const bool metric = measures.length == LengthUnit::metre, far = length_of(metres_per) > most_of_unit;
    Markup strip;
    if (!far) {
        strip += bar(metres_per, std::string(unit_name(measures)), top + 22);
    } else {
        strip += metric ? bar(metres_per_km, "km", top + 22) : bar(metres_per_nm, "nm", top + 22);
    }
    if (!inset && (metric || !far)) strip += bar(metres_per_nm, "nm", top + 60);
    constexpr double up_deg = 1;
    if (std::abs(frame.north_deg()) >= up_deg) {
        const double right = std::max(frame.width(), inset ? 0 : strip_width) - 30;
        strip += north_arrow(right, top + (inset ? 40 : 58), frame.north_deg());
    }
    return element("g", {{"class", "strip"}}, "\n" + strip) + "\n";
}

} // namespace swingroom
