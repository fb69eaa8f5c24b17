#include "sea/depths/shoal_biased.hpp"

#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

/// A patch that lies less surely than this, in cells of the source, is placed piece by piece.
constexpr double sure_cells = 1.0 / 64;
/// Most cells of a source that are read at once.
constexpr std::size_t most_cells_read = 2'000'000;
/// Grids that fit each other do so but for rounding, as do the digits of their files: cells that share less
/// than this much of a source cell's side only meet in an edge.
constexpr double shared_edge_cells = 1e-5;
/// The source's frame is looked at in 64 points a side; between two of them it bulges by less than this part
/// of its side (an arc of half a turn, cut into 64 chords, by a thousandth).
constexpr double frame_bulge = 0.01;
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
        for (const GridPoint p : corners) {
            box.add(p);
        }
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

/// Where the cells of a source lie in a cell of the grid, as an affine map from the source's columns and rows
/// to the cell's own square.
class IntoCell {
public:
    /// @param off  how far the quad's corners may lie beside their true place
    IntoCell(const Quad& quad, GridPoint off) : corner_(quad.corners[0]) {
        const auto& [a, b, c, d] = quad.corners;
        across_ = {b.x - a.x, b.y - a.y};
        down_ = {d.x - a.x, d.y - a.y};
        determinant_ = across_.x * down_.y - across_.y * down_.x;
        // A quad is a parallelogram but for what its last corner is off by, at the most.
        widened_ = {off.x + std::abs(c.x - b.x - d.x + a.x), off.y + std::abs(c.y - b.y - d.y + a.y)};
    }
    /// A cell of the source, grown by how far it may be off, as far as it lies in the cell of the grid.
    [[nodiscard]] Chain operator()(int col, int row) const {
        const double left = col - widened_.x, right = col + 1 + widened_.x, low = row - widened_.y,
                     high = row + 1 + widened_.y;
        // A cell without an area, as at a pole, may lie anywhere in the source's.
        if (determinant_ == 0) return {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
        return cut_to_unit_square(
            {in_cell(left, low), in_cell(right, low), in_cell(right, high), in_cell(left, high)});
    }

private:
    [[nodiscard]] GridPoint in_cell(double col, double row) const {
        const double x = col - corner_.x, y = row - corner_.y;
        return {(x * down_.y - y * down_.x) / determinant_, (y * across_.x - x * across_.y) / determinant_};
    }
    GridPoint corner_, across_, down_, widened_;
    double determinant_ = 0;
};

/// What a source knows of a cell of the grid.
/// @param seen  holds all cells of the source that the quad can touch and that are there
KnownPart known_part(const Quad& quad, const PlacedCells& placed, bool straight, const DepthPlanes& seen) {
    const Window around = touched_by(quad.bounds(), placed, straight);
    const bool all = straight || around.cols == 1 || around.rows == 1;
    const Window& there = seen.shoal_m.window();
    KnownPart part;
    std::vector<GridCell> unknown;
    for (int r = around.row; r < around.row_end(); ++r) {
        for (int c = around.col; c < around.col_end(); ++c) {
            if (!all && !quad.meets(c, r, placed.off)) continue;
            if (there.contains(c, r) && !std::isnan(seen.shoal_m.at(c, r))) {
                part.add(seen.shoal_m.at(c, r), seen.deep_m.at(c, r));
            } else {
                unknown.push_back({c, r});
            }
        }
    }
    if (unknown.empty() || !part.knows_any()) return part;
    const IntoCell into_cell(quad, placed.off);
    for (const GridCell cell : unknown) {
        if (Chain ring = into_cell(cell.col, cell.row); !ring.empty()) {
            part.unknown.push_back(std::move(ring));
        }
    }
    return part;
}

/// Whether all cells of a window are known, and alike.
bool all_alike(const DepthPlanes& seen, Window part) {
    if (!(common(part, seen.shoal_m.window()) == part)) return false;
    const float shoal_m = seen.shoal_m.at(part.col, part.row), deep_m = seen.deep_m.at(part.col, part.row);
    for (int row = part.row; row < part.row_end(); ++row) {
        for (int col = part.col; col < part.col_end(); ++col) {
            // True for NaN.
            if (!(seen.shoal_m.at(col, row) == shoal_m && seen.deep_m.at(col, row) == deep_m)) return false;
        }
    }
    return true;
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

/// The cells that a source can touch at all.
Window reach_of(const Bounds& frame) {
    const double bulge = 1 + frame_bulge * std::max(frame.right - frame.left, frame.high - frame.low);
    return window_of(frame.grown(bulge, bulge));
}

} // namespace

ShoalBiased::ShoalBiased(const DepthSource& source, const Grid& grid, const std::string& grid_name,
                         std::uint8_t number)
    : source_(source), grid_(grid), link_(grid, source.grid(), grid_name, source.sources().front()),
      reach_(common(reach_of(link_.other()), grid.extent())), readable_(source.grid().extent()),
      number_(number) {
    if (link_.wraps_around()) {
        readable_.col = -far_away;
        readable_.cols = 2 * far_away;
    }
}

void ShoalBiased::add_to(GatheredDepths& depths) const {
    const Window part = common(depths.tile(), reach_);
    if (part.empty()) return;
    const Window patch{part.col - part.col % patch_cells, part.row - part.row % patch_cells, patch_cells,
                       patch_cells};
    assert(common(patch, part) == part);
    add_patch(common(patch, grid_.extent()), part, depths);
}

void ShoalBiased::add_patch(Window patch, Window wanted, GatheredDepths& depths) const {
    wanted = depths.open_cells(wanted);
    if (wanted.empty()) return;
    const std::optional<PlacedCells> placed = link_.placed(patch);
    if (placed && touched(*placed, patch).empty()) return;
    const bool sure = placed && std::max(placed->bent.x, placed->bent.y) <= sure_cells;
    if (!sure && patch.cells() > 1) {
        for (const Window half : halves(patch)) {
            if (const Window part = common(half, wanted); !part.empty()) add_patch(half, part, depths);
        }
    } else if (placed) {
        resample(*placed, wanted, depths);
    }
}

Window ShoalBiased::touched(const PlacedCells& placed, Window part) const {
    return common(grown(touched_by(quad_of(placed, part).bounds(), placed, link_.straight()), 1), readable_);
}

void ShoalBiased::resample(const PlacedCells& placed, Window wanted, GatheredDepths& depths) const {
    const Window around = touched(placed, wanted);
    if (around.empty()) return;
    if (around.cells() > most_cells_read && wanted.cells() > 1) {
        for (const Window half : halves(wanted)) {
            resample(placed, half, depths);
        }
        return;
    }
    DepthPlanes seen;
    read(around, seen);
    // Of a coarse source most pieces lie in one of its cells, or in several that are alike: nobody then needs
    // to know which of its cells touches which of ours.
    constexpr int piece_cells = 16;
    for (const Window piece : cut_into_blocks(wanted, piece_cells)) {
        const Window there = touched_by(quad_of(placed, piece).bounds(), placed, link_.straight());
        if (all_alike(seen, there)) {
            depths.add_alike(piece, seen.shoal_m.at(there.col, there.row),
                             seen.deep_m.at(there.col, there.row), number_);
        } else {
            resample_each(placed, piece, seen, depths);
        }
    }
}

void ShoalBiased::resample_each(const PlacedCells& placed, Window wanted, const DepthPlanes& seen,
                                GatheredDepths& depths) const {
    for (int r = wanted.row; r < wanted.row_end(); ++r) {
        for (int c = wanted.col; c < wanted.col_end(); ++c) {
            if (!depths.is_open(c, r)) continue;
            depths.add(c, r, known_part(quad_of(placed, {c, r, 1, 1}), placed, link_.straight(), seen),
                       number_);
        }
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
