#include "shoal_biased.hpp"

#include "bathymetry_values.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

/// Cells a side that are placed in the source together, counted from the grid's corner: so that what a cell
/// gets does not depend on what is read with it.
constexpr int patch_cells = 128;
/// A patch that lies less surely than this, in cells of the source, is placed piece by piece.
constexpr double sure_cells = 1.0 / 64;
/// Most cells of a source that are read at once.
constexpr std::size_t most_cells_read = 2'000'000;
/// Grids that fit each other do so but for rounding, as do the digits of their files: cells that share less
/// than this much of a source cell's side only meet in an edge.
constexpr double shared_edge_cells = 1e-5;
constexpr int far_away = 1 << 29;

/// The window from a to b, both cut to what can be counted.
Window window_of(const Bounds& box) {
    const auto whole = [](double v) {
        return static_cast<int>(std::clamp(v, -static_cast<double>(far_away), double{far_away}));
    };
    const int col = whole(std::floor(box.left)), row = whole(std::floor(box.low));
    return {col, row, std::max(1, whole(std::ceil(box.right)) - col),
            std::max(1, whole(std::ceil(box.high)) - row)};
}

/// Cells of the source that a box with corners so far off can touch.
Window touched_by(const Bounds& box, const PlacedCells& placed, bool straight) {
    if (!straight) return window_of(box.grown(placed.off.x, placed.off.y));
    const auto shared = [](double from, double to) { return std::min(shared_edge_cells, (to - from) / 4); };
    return window_of(box.grown(-shared(box.left, box.right), -shared(box.low, box.high)));
}

/// A cell of the grid as it lies in the source: four corners in turn around it.
struct Quad {
    std::array<GridPoint, 4> corners;

    [[nodiscard]] Bounds bounds() const {
        Bounds box;
        for (const GridPoint p : corners)
            box.add(p);
        return box;
    }
    /// Whether a cell of the source, grown by how far the corners may be off, shares area with it. Two convex
    /// shapes that do not are parted by the line through an edge of one of them; of the source cell's edges
    /// that is known already.
    [[nodiscard]] bool meets(int col, int row, GridPoint off) const {
        for (std::size_t i = 0; i < corners.size(); ++i) {
            const GridPoint a = corners[i], b = corners[(i + 1) % corners.size()];
            const double nx = b.y - a.y, ny = a.x - b.x;
            double least = std::numeric_limits<double>::infinity(), most = -least;
            for (const GridPoint p : corners) {
                const double d = nx * p.x + ny * p.y;
                least = std::min(least, d);
                most = std::max(most, d);
            }
            const double middle = nx * (col + 0.5) + ny * (row + 0.5);
            const double half = std::abs(nx) * (0.5 + off.x) + std::abs(ny) * (0.5 + off.y);
            if (middle + half < least || middle - half > most) return false;
        }
        return true;
    }
};

Quad quad_of(const PlacedCells& placed, Window part) {
    return {{placed.at(part.col, part.row), placed.at(part.col_end(), part.row),
             placed.at(part.col_end(), part.row_end()), placed.at(part.col, part.row_end())}};
}

/// The least window around all cells that have no depth.
Window missing_in(const Plane<float>& shoal_m, Window part) {
    int left = part.col_end(), right = part.col, top = part.row_end(), bottom = part.row;
    for (int r = part.row; r < part.row_end(); ++r)
        for (int c = part.col; c < part.col_end(); ++c)
            if (std::isnan(shoal_m.at(c, r))) {
                left = std::min(left, c);
                right = std::max(right, c + 1);
                top = std::min(top, r);
                bottom = std::max(bottom, r + 1);
            }
    return {left, top, std::max(0, right - left), std::max(0, bottom - top)};
}

struct Span {
    float shoal_m = std::numeric_limits<float>::infinity(), deep_m = -shoal_m;
};

/// Of all cells seen that a quad touches; nothing if one of them has no depth or is not there.
std::optional<Span> span_of(const Quad& quad, const PlacedCells& placed, bool straight,
                            const DepthPlanes& seen) {
    const Window around = touched_by(quad.bounds(), placed, straight);
    if (common(around, seen.shoal_m.window()) != around) return std::nullopt;
    const bool all = straight || around.cols == 1 || around.rows == 1;
    Span span;
    for (int r = around.row; r < around.row_end(); ++r)
        for (int c = around.col; c < around.col_end(); ++c) {
            if (!all && !quad.meets(c, r, placed.off)) continue;
            const float shoal_m = seen.shoal_m.at(c, r), deep_m = seen.deep_m.at(c, r);
            if (std::isnan(shoal_m)) return std::nullopt;
            span = {std::min(span.shoal_m, shoal_m), std::max(span.deep_m, deep_m)};
        }
    return span;
}

/// Halves of a window, by its longer side.
std::array<Window, 2> halves(Window w) {
    if (w.cols >= w.rows) {
        const int half = w.cols / 2;
        return {{{w.col, w.row, half, w.rows}, {w.col + half, w.row, w.cols - half, w.rows}}};
    }
    const int half = w.rows / 2;
    return {{{w.col, w.row, w.cols, half}, {w.col, w.row + half, w.cols, w.rows - half}}};
}

} // namespace

ShoalBiased::ShoalBiased(const DepthSource& source, const Grid& grid, const std::string& grid_name,
                         std::uint8_t number)
    : source_(source), grid_(grid), link_(grid, source.grid(), grid_name, source.sources().front()),
      reach_(common(grown(window_of(link_.other()), 1), grid.extent())), readable_(source.grid().extent()),
      number_(number) {
    if (link_.wraps_around()) {
        readable_.col = -far_away;
        readable_.cols = 2 * far_away;
    }
}

void ShoalBiased::fill(Window wanted, DepthPlanes& depths) const {
    // Patches whose corners count from the grid's own, so the windows of cut_into_blocks are parts of them.
    for (const Window part : cut_into_blocks(common(wanted, reach_), patch_cells)) {
        const Window patch{part.col - part.col % patch_cells, part.row - part.row % patch_cells, patch_cells,
                           patch_cells};
        fill_patch(common(patch, grid_.extent()), part, depths);
    }
}

void ShoalBiased::fill_patch(Window patch, Window wanted, DepthPlanes& depths) const {
    wanted = missing_in(depths.shoal_m, wanted);
    if (wanted.empty()) return;
    const std::optional<PlacedCells> placed = link_.placed(patch);
    if (placed && touched(*placed, patch).empty()) return;
    const bool sure = placed && std::max(placed->bent.x, placed->bent.y) <= sure_cells;
    if (!sure && patch.cells() > 1) {
        for (const Window half : halves(patch))
            if (const Window part = common(half, wanted); !part.empty()) fill_patch(half, part, depths);
    } else if (placed) {
        resample(*placed, wanted, depths);
    }
}

Window ShoalBiased::touched(const PlacedCells& placed, Window part) const {
    return common(grown(touched_by(quad_of(placed, part).bounds(), placed, link_.straight()), 1), readable_);
}

void ShoalBiased::resample(const PlacedCells& placed, Window wanted, DepthPlanes& depths) const {
    const Window around = touched(placed, wanted);
    if (around.empty()) return;
    if (around.cells() > most_cells_read && wanted.cells() > 1) {
        for (const Window half : halves(wanted))
            resample(placed, half, depths);
        return;
    }
    DepthPlanes seen;
    read(around, seen);
    for (int r = wanted.row; r < wanted.row_end(); ++r)
        for (int c = wanted.col; c < wanted.col_end(); ++c) {
            float& shoal_m = depths.shoal_m.at(c, r);
            if (!std::isnan(shoal_m)) continue;
            const auto span = span_of(quad_of(placed, {c, r, 1, 1}), placed, link_.straight(), seen);
            if (!span) continue;
            shoal_m = span->shoal_m;
            depths.deep_m.at(c, r) = span->deep_m;
            depths.source.at(c, r) = number_;
        }
}

void ShoalBiased::read(Window where, DepthPlanes& seen) const {
    const Window extent = source_.grid().extent();
    if (common(where, extent) == where) {
        source_.read(where, seen);
        return;
    }
    seen.shoal_m.reset(where, unsurveyed);
    seen.deep_m.reset(where, unsurveyed);
    DepthPlanes piece;
    for (int shift = where.col / extent.cols * extent.cols - extent.cols; shift < where.col_end();
         shift += extent.cols) {
        const Window here = common(where, {shift, 0, extent.cols, extent.rows});
        if (here.empty()) continue;
        source_.read({here.col - shift, here.row, here.cols, here.rows}, piece);
        for (int r = here.row; r < here.row_end(); ++r) {
            std::copy_n(piece.shoal_m.row(r), here.cols, &seen.shoal_m.at(here.col, r));
            std::copy_n(piece.deep_m.row(r), here.cols, &seen.deep_m.at(here.col, r));
        }
    }
}

} // namespace swingroom
