#include "report/map_ways.hpp"

#include "report/map_path.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>

namespace swingroom {
namespace {

/// From one arrowhead to the next, and how long a leg has to be for one, in units.
constexpr double arrows_apart = 110, least_for_arrow = 26;
/// Between an arrowhead or another sill and a sill.
constexpr double clear_of_sill = 16;

double length_of(GridPoint a, GridPoint b) { return std::hypot(b.x - a.x, b.y - a.y); }

/// Clockwise from upwards.
double turn_of(GridPoint from, GridPoint to) {
    return std::atan2(to.x - from.x, from.y - to.y) * 180 / std::numbers::pi;
}

GridPoint along(GridPoint a, GridPoint b, double part) {
    return {a.x + part * (b.x - a.x), a.y + part * (b.y - a.y)};
}

double distance_to(GridPoint of, GridPoint a, GridPoint b) {
    const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
    const double part =
        square > 0 ? std::clamp(((of.x - a.x) * dx + (of.y - a.y) * dy) / square, 0.0, 1.0) : 0;
    return length_of(of, along(a, b, part));
}

Markup placed(GridPoint at, double turn_deg, const Markup& drawing) {
    return element("g",
                   {{"transform", "translate(" + fixed(at.x, 1) + " " + fixed(at.y, 1) + ") rotate(" +
                                      fixed(turn_deg, 0) + ")"}},
                   drawing) +
           "\n";
}

} // namespace

Markup sill_drawing() { // a gate: what narrows from both sides
    return empty_element("path", {{"class", "sill"}, {"d", "M-12-6L-3 0L-12 6ZM12-6L3 0L12 6Z"}});
}

Markup arrow_drawing() { return empty_element("path", {{"class", "arrow"}, {"d", "M0-6L5 5L0 2L-5 5Z"}}); }

bool MapWays::passes(const Leg& leg) const {
    const auto [left, right] = std::minmax(leg.from.x, leg.to.x);
    const auto [top, bottom] = std::minmax(leg.from.y, leg.to.y);
    return right >= 0 && bottom >= 0 && left <= frame_.width() && top <= frame_.height();
}

void MapWays::add(const Approach& approach, bool sill_counts) {
    if (approach.legs.empty()) return;
    const GridPoint sill = frame_.of_position(approach.sill.at);
    double nearest = std::numeric_limits<double>::infinity(), turn_deg = 0;
    for (const ApproachLeg& one : approach.legs) {
        const Leg leg{frame_.of_position(one.from), frame_.of_position(one.to)};
        if (const double off = distance_to(sill, leg.from, leg.to); off < nearest) {
            nearest = off;
            turn_deg = turn_of(leg.from, leg.to);
        }
        const Key key = {std::lround(leg.from.x), std::lround(leg.from.y), std::lround(leg.to.x),
                         std::lround(leg.to.y)};
        if (passes(leg) && drawn_.insert(key).second) legs_.push_back(leg);
    }
    const bool there_already = std::any_of(sills_.begin(), sills_.end(), [&](const Mark& other) {
        return length_of(other.at, sill) < clear_of_sill;
    });
    if (sill_counts && frame_.shows(sill) && !there_already) {
        sills_.push_back({sill, turn_deg, approach.sill.least_depth_m});
    }
}

Markup MapWays::lines() const {
    if (legs_.empty()) return {};
    Markup halos, strokes, arrows;
    std::vector<GridPoint> heads;
    for (const Leg& leg : legs_) {
        const std::string d = path_text({leg.from, leg.to}, false);
        halos += empty_element("path", {{"class", "halo"}, {"d", d}}) + "\n";
        strokes += empty_element("path", {{"class", "way"}, {"d", d}}) + "\n";
        const double length = length_of(leg.from, leg.to);
        if (length < least_for_arrow) continue;
        const int count = std::max(1, static_cast<int>(length / arrows_apart));
        for (int i = 0; i < count; ++i) {
            const GridPoint at = along(leg.from, leg.to, (i + 0.5) / count);
            const auto near = [&](GridPoint other) { return length_of(at, other) < clear_of_sill; };
            const bool taken =
                std::any_of(heads.begin(), heads.end(), near) ||
                std::any_of(sills_.begin(), sills_.end(), [&](const Mark& sill) { return near(sill.at); });
            if (!frame_.shows(at) || taken) continue;
            heads.push_back(at);
            arrows += placed(at, turn_of(leg.from, leg.to), arrow_drawing());
        }
    }
    return element("g", {{"class", "ways"}}, "\n" + halos + strokes + arrows) + "\n";
}

Markup MapWays::sills() const {
    if (sills_.empty()) return {};
    Markup marks;
    for (const Mark& sill : sills_) {
        marks += placed(sill.at, sill.turn_deg, sill_drawing());
    }
    return element("g", {{"class", "ways"}}, "\n" + marks) + "\n";
}

Markup MapWays::words(MapLabels& labels, const Measures& measures) const {
    constexpr double clear = 15;
    constexpr int decimals = 2; // as in words and layers
    Markup markup;
    for (const Mark& sill : sills_) {
        const std::string depth =
            sill.least_depth_m < 0
                ? "dries " + length_number(-sill.least_depth_m, Rounded::up, measures, decimals)
                : length_number(sill.least_depth_m, Rounded::down, measures, decimals);
        const std::string text = "sill " + depth;
        const auto place = labels.beside(sill.at, text, clear);
        if (!place.found) continue;
        markup +=
            text_element(
                "text", {{"x", fixed(place.at.x, 1)}, {"y", fixed(place.at.y, 1)}, {"text-anchor", "middle"}},
                text) +
            "\n";
    }
    return markup;
}

void MapWays::keep_clear(MapLabels& labels) const {
    constexpr double step = 12, half_side = 4;
    for (const Leg& leg : legs_) {
        const int steps = std::max(1, static_cast<int>(std::min(length_of(leg.from, leg.to), 4000.0) / step));
        for (int i = 0; i <= steps; ++i) {
            const GridPoint at = along(leg.from, leg.to, static_cast<double>(i) / steps);
            if (frame_.shows(at)) labels.keep_clear(at, half_side);
        }
    }
}

std::vector<GridPoint> MapWays::points() const {
    std::vector<GridPoint> points;
    for (const Mark& sill : sills_) {
        points.push_back(sill.at);
    }
    return points;
}

} // namespace swingroom
