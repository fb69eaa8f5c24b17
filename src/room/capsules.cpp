#include "room/capsules.hpp"

#include <algorithm>
#include <bit>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

/// Long segments are cut at rows that are multiples of this, so that a piece takes the metric of its own
/// rows.
constexpr int piece_rows = 64;
/// No segment is cut into more pieces than this, however far it goes.
constexpr double most_pieces = 4096;
/// Chains of segments shorter than this (in cells, each way) may be merged, up to so many in one.
constexpr double short_segment_cells = 0.5;
constexpr std::size_t most_merged = 16;
/// ... if no vertex lies further from the merged segment than this part of a cell. The deviation is then
/// added to the margin of that piece.
constexpr double merge_tolerance_cells = 1.0 / 16;

/// So many sizes of a metric are bounded together.
constexpr std::size_t stretch_sizes = 16;

CellSize least_of(CellSize a, CellSize b) { return {std::min(a.dx_m, b.dx_m), std::min(a.dy_m, b.dy_m)}; }

/// Squared distance in metres from a point to a segment, with one cell size.
double squared_distance(GridPoint p, GridPoint a, GridPoint b, CellSize size) {
    const double bx = (b.x - a.x) * size.dx_m, by = (b.y - a.y) * size.dy_m;
    const double px = (p.x - a.x) * size.dx_m, py = (p.y - a.y) * size.dy_m;
    const double squared_length = bx * bx + by * by;
    const double t = squared_length > 0 ? std::clamp((px * bx + py * by) / squared_length, 0.0, 1.0) : 0.0;
    const double x = px - t * bx, y = py - t * by;
    return x * x + y * y;
}

} // namespace

SizeBounds::SizeBounds(const GroundMetric& metric)
    : metric_(metric), least_(metric.least()), greatest_(metric.greatest(0, metric.rows() - 1)) {
    const std::vector<CellSize>& sizes = metric.sizes();
    std::vector<CellSize> stretches((sizes.size() + stretch_sizes - 1) / stretch_sizes, greatest_);
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        CellSize& stretch = stretches[i / stretch_sizes];
        stretch = least_of(stretch, sizes[i]);
    }
    runs_.push_back(std::move(stretches));
    for (std::size_t half = 1; 2 * half <= runs_.front().size(); half *= 2) {
        const auto& below = runs_.back();
        std::vector<CellSize> above(below.size() - half);
        for (std::size_t i = 0; i < above.size(); ++i) {
            above[i] = least_of(below[i], below[i + half]);
        }
        runs_.push_back(std::move(above));
    }
}

CellSize SizeBounds::least(double first, double last) const {
    const std::vector<CellSize>& sizes = metric_.sizes();
    const int end = metric_.rows() - 1;
    std::size_t from = metric_.index(clamped_to_int(first, 0, end)),
                to = metric_.index(clamped_to_int(last, 0, end)) + 1;
    CellSize least = sizes[from];
    // Up to whole stretches one by one.
    while (from < to && from % stretch_sizes != 0) {
        least = least_of(least, sizes[from++]);
    }
    while (from < to && to % stretch_sizes != 0) {
        least = least_of(least, sizes[--to]);
    }
    if (from == to) return least;
    const std::size_t stretch = from / stretch_sizes, stretches = (to - from) / stretch_sizes;
    const auto level = static_cast<std::size_t>(std::bit_width(stretches)) - 1;
    const std::vector<CellSize>& runs = runs_[level];
    return least_of(least, least_of(runs[stretch], runs[stretch + stretches - (std::size_t{1} << level)]));
}

void CapsuleCutter::add(const Shape& shape, std::uint32_t index) {
    index_ = index;
    reach_m_ = shape.reach_m();
    for (const auto& path : shape.paths) {
        add_chain(path);
    }
    for (const auto& ring : shape.rings) {
        add_chain(ring);
        if (ring.size() > 1 && ring.front() != ring.back()) add_chain({ring.back(), ring.front()});
    }
}

void CapsuleCutter::add_chain(const std::vector<GridPoint>& points) {
    if (points.empty()) return;
    if (points.size() == 1) add_segment(points.front(), points.front(), 0);
    for (std::size_t i = 0; i + 1 < points.size();) {
        const auto [end, deviation_m] = mergeable(points, i);
        add_segment(points[i], points[end], deviation_m);
        i = end;
    }
}

/// How far from vertex i one segment can stand for the chain, and how far the chain strays from it.
CapsuleCutter::Merged CapsuleCutter::mergeable(const std::vector<GridPoint>& points, std::size_t i) const {
    const auto is_short = [&](std::size_t k) {
        return std::abs(points[k + 1].x - points[k].x) < short_segment_cells &&
               std::abs(points[k + 1].y - points[k].y) < short_segment_cells;
    };
    const CellSize least = sizes_.least();
    const double tolerance_m = merge_tolerance_cells * std::min(least.dx_m, least.dy_m);
    Merged merged{i + 1, 0};
    if (!is_short(i)) return merged;
    for (std::size_t end = i + 2; end < points.size() && end - i <= most_merged && is_short(end - 1); ++end) {
        double squared_m = 0;
        for (std::size_t k = i + 1; k < end; ++k) {
            squared_m =
                std::max(squared_m, squared_distance(points[k], points[i], points[end], sizes_.greatest()));
        }
        if (squared_m > tolerance_m * tolerance_m) break;
        merged = {end, std::sqrt(squared_m)};
    }
    return merged;
}

void CapsuleCutter::add_segment(GridPoint a, GridPoint b, double deviation_m) {
    if (a.y > b.y) std::swap(a, b);
    if (!may_touch(a, b, deviation_m)) return;
    const double rows = b.y - a.y;
    if (rows <= piece_rows) {
        add_piece(a, b, deviation_m);
        return;
    }
    const auto at = [&](double y) {
        return y <= a.y ? a : y >= b.y ? b : GridPoint{a.x + (y - a.y) / rows * (b.x - a.x), y};
    };
    // What lies further from the raster's rows than the reach touches none of its cells.
    const double beyond = reach_m_ / sizes_.least().dy_m + 2;
    const double first = std::max(a.y, extent_.row - beyond),
                 last = std::min(b.y, extent_.row_end() + beyond);
    const double step = piece_rows * std::ceil(std::max(1.0, (last - first) / piece_rows / most_pieces));
    for (double from = first; from < last;) {
        const double to = std::min(last, (std::floor(from / step) + 1) * step);
        if (may_touch(at(from), at(to), deviation_m)) add_piece(at(from), at(to), deviation_m);
        from = to;
    }
}

/// Whether a segment or a piece of one can be near enough to what is asked for. Where a segment is cut does
/// not depend on that.
bool CapsuleCutter::may_touch(GridPoint a, GridPoint b, double deviation_m) const {
    const double reach = reach_m_ + deviation_m;
    const double cols = reach / sizes_.least().dx_m + 3, rows = reach / sizes_.least().dy_m + 3;
    const auto [left, right] = std::minmax(a.x, b.x);
    return left - cols <= within_.col_end() && within_.col <= right + cols &&
           a.y - rows <= within_.row_end() && within_.row <= b.y + rows;
}

void CapsuleCutter::add_piece(GridPoint a, GridPoint b, double deviation_m) {
    const double reach = reach_m_ + deviation_m;
    // Nothing within the reach of the piece is further from its rows than this.
    const double reach_rows = reach / sizes_.least().dy_m + 2;
    const CellSize size = sizes_.least(std::floor(a.y - reach_rows), std::floor(b.y + reach_rows));
    const double rounding_allowance = rounding_allowance_cells(a, b);
    const Capsule capsule{a, b, reach * (1 + 1e-12) + rounding_allowance * (size.dx_m + size.dy_m), index_,
                          number_of(size)};
    const double beside = capsule.reach_m / size.dx_m + rounding_allowance,
                 above = capsule.reach_m / size.dy_m;
    const auto [left, right] = std::minmax(a.x, b.x);
    const Box all = box_of(extent_);
    const Cells cols = cells_touched(left - beside, right + beside, all.col_first, all.col_last);
    const Cells rows = cells_touched(a.y - above, b.y + above, all.row_first, all.row_last);
    const Box box = common({cols.first, rows.first, cols.last, rows.last}, all);
    if (box.empty()) return;
    capsules.push_back(capsule);
    boxes.push_back(box);
}

std::uint32_t CapsuleCutter::number_of(CellSize size) {
    if (sizes.empty() || sizes.back().dx_m != size.dx_m || sizes.back().dy_m != size.dy_m) {
        sizes.push_back(size);
    }
    return static_cast<std::uint32_t>(sizes.size() - 1);
}

double burnt_excess_m(const Shape& shape, const GroundMetric& metric) {
    double first = std::numeric_limits<double>::infinity(), last = -first, far = 0;
    for (const auto* chains : {&shape.paths, &shape.rings}) {
        for (const auto& chain : *chains) {
            for (const GridPoint p : chain) {
                first = std::min(first, p.y);
                last = std::max(last, p.y);
                far = std::max({far, std::abs(p.x), std::abs(p.y)});
            }
        }
    }
    const CellSize least = metric.least(), greatest = metric.greatest(0, metric.rows() - 1);
    // Merging moves an outline by the deviation and widens the reach by as much.
    const double merge_m = 2 * merge_tolerance_cells * std::min(least.dx_m, least.dy_m);
    const double reach_m = shape.reach_m() + merge_m;
    const double guard_m =
        4 * rounding_allowance_cells({far, far}, {far, far}) * (greatest.dx_m + greatest.dy_m) +
        4e-12 * reach_m;
    // A piece takes the least size over its own rows and those within reach: at most this many rows.
    const double reach_rows = reach_m / least.dy_m + 3;
    const double band =
        piece_rows * std::ceil(std::max(1.0, (last - first) / piece_rows / most_pieces)) + reach_rows;
    const int end = metric.rows() - 1;
    double ratio = 1;
    for (int row = clamped_to_int(first - reach_rows, 0, end),
             stop = clamped_to_int(last + reach_rows, 0, end);
         row <= stop; row += piece_rows) {
        const int from = clamped_to_int(row - band, 0, end),
                  to = clamped_to_int(row + piece_rows + band, 0, end);
        const CellSize low = metric.least(from, to), high = metric.greatest(from, to);
        ratio = std::max({ratio, high.dx_m / low.dx_m, high.dy_m / low.dy_m});
    }
    return reach_m * (ratio - 1) + merge_m + guard_m;
}

} // namespace swingroom
