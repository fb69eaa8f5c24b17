#include "report/map_path.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <utility>

namespace swingroom {
namespace {

/// "12", "-.5": tenths of a unit, as short as SVG takes them.
std::string tenths(long value) {
    std::string text = value < 0 ? "-" : "";
    const long whole = std::abs(value) / 10, rest = std::abs(value) % 10;
    if (whole != 0 || rest == 0) text += std::to_string(whole);
    return rest == 0 ? text : text + "." + std::to_string(rest);
}

double off_line(GridPoint p, GridPoint a, GridPoint b) {
    const double x = b.x - a.x, y = b.y - a.y, length2 = x * x + y * y;
    if (length2 == 0) return std::hypot(p.x - a.x, p.y - a.y);
    const double t = std::clamp(((p.x - a.x) * x + (p.y - a.y) * y) / length2, 0.0, 1.0);
    return std::hypot(p.x - a.x - t * x, p.y - a.y - t * y);
}

} // namespace

std::string path_text(const std::vector<GridPoint>& line, bool closed) {
    std::string path;
    long x = 0, y = 0;
    for (const GridPoint p : line) {
        const long to_x = std::lround(p.x * 10), to_y = std::lround(p.y * 10), dx = to_x - x, dy = to_y - y;
        if (path.empty()) {
            path += "M" + tenths(dx) + " " + tenths(dy);
        } else if (dy == 0) {
            path += "h" + tenths(dx);
        } else if (dx == 0) {
            path += "v" + tenths(dy);
        } else {
            path += "l" + tenths(dx) + (dy < 0 ? "" : " ") + tenths(dy);
        }
        x = to_x;
        y = to_y;
    }
    return closed ? path + "Z" : path;
}

std::vector<GridPoint> simplified(const std::vector<GridPoint>& line, double units) {
    if (line.size() < 3) return line;
    std::vector<char> kept(line.size(), 0);
    kept.front() = kept.back() = 1;
    std::vector<std::pair<std::size_t, std::size_t>> pieces = {{0, line.size() - 1}};
    while (!pieces.empty()) {
        const auto [first, last] = pieces.back();
        pieces.pop_back();
        double farthest = units;
        std::size_t at = 0;
        for (std::size_t i = first + 1; i < last; ++i) {
            const double off = off_line(line[i], line[first], line[last]);
            if (off > farthest) {
                farthest = off;
                at = i;
            }
        }
        if (at == 0) continue;
        kept[at] = 1;
        pieces.insert(pieces.end(), {{first, at}, {at, last}});
    }
    std::vector<GridPoint> result;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (kept[i] != 0) result.push_back(line[i]);
    }
    return result;
}

double size_of(const std::vector<GridPoint>& line) {
    if (line.empty()) return 0;
    const auto by_x = [](const GridPoint& a, const GridPoint& b) { return a.x < b.x; };
    const auto by_y = [](const GridPoint& a, const GridPoint& b) { return a.y < b.y; };
    const auto [left, right] = std::minmax_element(line.begin(), line.end(), by_x);
    const auto [top, bottom] = std::minmax_element(line.begin(), line.end(), by_y);
    return std::max(right->x - left->x, bottom->y - top->y);
}

} // namespace swingroom
