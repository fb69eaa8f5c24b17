#pragma once

#include "swingroom/publish/palette.hpp"

namespace swingroom {

/// Whether a pixel lies on the ink of a hatch. Patterns repeat after so many pixels that a tile's side is a
/// multiple of, and so go on from tile to tile.
constexpr bool inked(Hatch hatch, int col, int row) {
    constexpr int stroke = 2;
    const auto on_stroke = [](int pixel, int period) { return (pixel % period + period) % period < stroke; };
    switch (hatch) {
    case Hatch::falling: // of what covers most of a map: wider
        return on_stroke(col - row, 16);
    case Hatch::level:
        return on_stroke(row, 8);
    case Hatch::dotted:
        return on_stroke(col, 8) && on_stroke(row, 8);
    case Hatch::rising:
        return on_stroke(col + row, 16);
    case Hatch::upright:
        return on_stroke(col, 8);
    case Hatch::crossed:
        return on_stroke(col - row, 16) || on_stroke(col + row, 16);
    case Hatch::stippled: // staggered, finer than dots
        return col % 4 == 0 && (row + (col / 4 % 2) * 2) % 4 == 0;
    case Hatch::sparse: // short dashes far from each other
        return on_stroke(row, 16) && (col + (row / 16 % 2) * 8) % 16 < 6;
    case Hatch::gridded:
        return on_stroke(col, 16) || on_stroke(row, 16);
    case Hatch::none:
    case Hatch::solid:
        break;
    }
    return false;
}

} // namespace swingroom
