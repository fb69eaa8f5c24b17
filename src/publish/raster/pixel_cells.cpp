#include "publish/raster/pixel_cells.hpp"

#include <algorithm>
#include <array>

namespace swingroom {
namespace {

/// The least window that holds both.
Window around_both(Window a, Window b) {
    if (b.empty()) return a;
    if (a.empty()) return b;
    const int col = std::min(a.col, b.col), row = std::min(a.row, b.row);
    return {col, row, std::max(a.col_end(), b.col_end()) - col, std::max(a.row_end(), b.row_end()) - row};
}

} // namespace

PixelCells pixel_cells(const Grid& grid, const Georeference& georeference, TileAddress tile) {
    const std::vector<CornerLine> lines = tile_corners(georeference, tile);
    std::vector<std::array<Window, tile_pixels>> windows;
    windows.reserve(tile_pixels);
    PixelCells cells;
    for (std::size_t row = 0; row + 1 < lines.size(); ++row) {
        std::array<Window, tile_pixels>& of_row =
            windows.emplace_back(footprints(grid, lines[row], lines[row + 1]));
        for (Window& of_pixel : of_row) {
            // A pixel that reaches over the raster's edge stands for what is not known, too.
            if (common(of_pixel, grid.extent()) != of_pixel) of_pixel = {};
            cells.window = around_both(cells.window, of_pixel);
        }
    }
    if (cells.window.empty()) return cells;
    cells.pixels.reserve(windows.size() * tile_pixels);
    for (const std::array<Window, tile_pixels>& of_row : windows) {
        for (const Window& of_pixel : of_row) {
            PixelCells::Patch patch;
            if (!of_pixel.empty()) {
                const auto col = static_cast<std::size_t>(of_pixel.col - cells.window.col),
                           row = static_cast<std::size_t>(of_pixel.row - cells.window.row);
                patch = {row * static_cast<std::size_t>(cells.window.cols) + col, of_pixel.cols,
                         of_pixel.rows};
            }
            cells.pixels.push_back(patch);
        }
    }
    return cells;
}

} // namespace swingroom
