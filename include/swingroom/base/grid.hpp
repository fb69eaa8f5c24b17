#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <string>
#include <vector>

namespace swingroom {

/// A rectangle of cells. Columns count eastwards in the raster's own order, rows in the file's own order (a
/// south-up raster keeps its order: nothing here knows which way is north).
struct Window {
    int col = 0, row = 0;   ///< its first column and row; may lie outside the raster
    int cols = 0, rows = 0; ///< its width and height in cells
    /// One past the last column.
    [[nodiscard]] int col_end() const { return col + cols; }
    /// One past the last row.
    [[nodiscard]] int row_end() const { return row + rows; }
    /// Whether it holds no cell.
    [[nodiscard]] bool empty() const { return cols <= 0 || rows <= 0; }
    /// Whether the cell in raster column c and row r is one of its cells.
    [[nodiscard]] bool contains(int c, int r) const {
        return c >= col && c < col_end() && r >= row && r < row_end();
    }
    /// How many cells it holds.
    [[nodiscard]] std::size_t cells() const {
        return empty() ? 0 : static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows);
    }
    friend bool operator==(const Window&, const Window&) = default;
};

/// The window grown by so many cells on all four sides; it may reach outside the raster.
inline Window grown(Window w, int cells) {
    return {w.col - cells, w.row - cells, w.cols + 2 * cells, w.rows + 2 * cells};
}

/// What two windows share; empty (cols or rows 0) when they share nothing.
inline Window common(Window a, Window b) {
    const int col = std::max(a.col, b.col), row = std::max(a.row, b.row);
    return {col, row, std::max(0, std::min(a.col_end(), b.col_end()) - col),
            std::max(0, std::min(a.row_end(), b.row_end()) - row)};
}

/// A point in grid space: x in columns, y in rows; cell (c, r) covers [c, c+1] x [r, r+1].
struct GridPoint {
    double x = 0, y = 0; ///< in columns and in rows, from the corner of the raster's first cell
    friend bool operator==(const GridPoint&, const GridPoint&) = default;
};

/// A cell by its column and row.
struct GridCell {
    int col = 0, row = 0; ///< counted from 0 in the raster's own order
};

/// Where a raster lies: its size, its affine geotransform without rotation, and its CRS as WKT.
/// x = origin_x + col * step_x, y = origin_y + row * step_y; step_x > 0, step_y of either sign, neither zero.
struct Grid {
    int cols = 0, rows = 0;            ///< cells across and down
    double origin_x = 0, origin_y = 0; ///< the outer corner of the first cell, in units of the CRS
    double step_x = 1, step_y = -1;    ///< size of a cell in units of the CRS
    std::string crs_wkt;               ///< the coordinate reference system as WKT
    /// How far the cells may lie beside where this says, to each side: a part of a cell. What is measured
    /// between cells counts that much less, what is laid over them that much more.
    double slack_cells{0};

    /// All cells of the grid.
    [[nodiscard]] Window extent() const { return {0, 0, cols, rows}; }
    /// From grid space to the CRS; cell centres are at + 0.5, and values outside the grid are extrapolated.
    [[nodiscard]] double x_of(double col) const { return origin_x + col * step_x; }
    /// The same of rows.
    [[nodiscard]] double y_of(double row) const { return origin_y + row * step_y; }
    /// From the CRS to grid space: the inverse of x_of().
    [[nodiscard]] double col_of(double x) const { return (x - origin_x) / step_x; }
    /// The inverse of y_of().
    [[nodiscard]] double row_of(double y) const { return (y - origin_y) / step_y; }
    /// The part of the grid inside a window, as a grid of its own.
    [[nodiscard]] Grid part(Window w) const {
        return {w.cols, w.rows, x_of(w.col), y_of(w.row), step_x, step_y, crs_wkt, slack_cells};
    }
};

/// Cuts a window into cores of at most `block` x `block` cells, row-major, aligned to multiples of `block`
/// from the raster's origin, so that the cut does not depend on where the window starts.   @pre block > 0
std::vector<Window> cut_into_blocks(Window window, int block);

/// A block's worth of values, row-major, with its window. The one buffer type that layers hand each other.
template <class T>
class Plane {
public:
    /// A plane without cells.
    Plane() = default;
    /// A plane of a window's cells that all hold `fill`.
    explicit Plane(Window window, T fill = T{}) { reset(window, fill); }
    /// Gives it another window; all cells hold `fill` then.
    void reset(Window window, T fill = T{}) {
        window_ = window;
        values_.assign(window.cells(), fill);
    }
    /// As reset(), for callers that write every cell: what the cells hold before is left open.
    void reshape(Window window) {
        window_ = window;
        values_.resize(window.cells());
    }
    /// The cells that it has values of.
    [[nodiscard]] const Window& window() const { return window_; }
    /// The values of raster row r, from the window's first column on.   @pre r lies in the window
    [[nodiscard]] T* row(int r) { return values_.data() + index(r); }
    [[nodiscard]] const T* row(int r) const { return values_.data() + index(r); }
    /// Value at raster column c, row r; both inside the window.
    [[nodiscard]] T& at(int c, int r) { return row(r)[c - window_.col]; }
    [[nodiscard]] const T& at(int c, int r) const { return row(r)[c - window_.col]; }
    /// All values, row-major without gaps: size() of them.
    [[nodiscard]] T* data() { return values_.data(); }
    [[nodiscard]] const T* data() const { return values_.data(); }
    /// How many values it holds: the window's cells.
    [[nodiscard]] std::size_t size() const { return values_.size(); }

private:
    [[nodiscard]] std::size_t index(int r) const {
        return static_cast<std::size_t>(r - window_.row) * static_cast<std::size_t>(window_.cols);
    }
    Window window_;
    std::vector<T> values_;
};

} // namespace swingroom
