#include "swingroom/overlay/map_planes.hpp"

#include "overlay/block_decider.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

namespace swingroom {
namespace {

constexpr auto worse_of = [] {
    std::array<std::array<std::uint8_t, map_class_count>, map_class_count> table{};
    for (std::size_t a = 0; a < map_class_count; ++a) {
        for (std::size_t b = 0; b < map_class_count; ++b) {
            table[a][b] =
                static_cast<std::uint8_t>(worse(static_cast<MapClass>(a), static_cast<MapClass>(b)));
        }
    }
    return table;
}();

int factor_for(Window window, int most) {
    int factor = 1;
    while ((std::max(window.cols, window.rows) + factor - 1) / factor > most) {
        factor *= 2;
    }
    return factor;
}

Window pixels_for(Window window, int factor) {
    return {0, 0, (window.cols + factor - 1) / factor, (window.rows + factor - 1) / factor};
}

/// Which pixels a block's cells are in; all of them lie behind `first`.
Window pixels_under(Window cells, GridCell first, int factor) {
    const int col = (cells.col - first.col) / factor, row = (cells.row - first.row) / factor;
    return {col, row, (cells.col_end() - 1 - first.col) / factor + 1 - col,
            (cells.row_end() - 1 - first.row) / factor + 1 - row};
}

/// Of two depths the less; what is not known is passed over.
float least(float a, float b) { return std::isnan(a) || b < a ? b : a; }

} // namespace

MapPlanes::MapPlanes(Window window, int most)
    : MapPlanes(pixels_for(window, factor_for(window, most)), factor_for(window, most),
                {window.col, window.row}) {}

MapPlanes::MapPlanes(Window pixels, int factor, GridCell first)
    : factor_(factor), first_(first), classes_(pixels, 0),
      depth_low_m_(pixels, std::numeric_limits<float>::quiet_NaN()) {}

Window MapPlanes::cells() const {
    const Window& pixels = classes_.window();
    return {first_.col + pixels.col * factor_, first_.row + pixels.row * factor_, pixels.cols * factor_,
            pixels.rows * factor_};
}

MapPixels MapPlanes::pixels_of(const BlockAnswers& answers) const {
    const Window taken = common(answers.core, cells());
    if (taken.empty() || answers.map_class.size() == 0) return {};
    const Plane<float>& depths = answers.plane<Layer::depth_low>();
    const Window pixels = pixels_under(taken, first_, factor_);
    MapPixels made{Plane<std::uint8_t>(pixels, 0),
                   Plane<float>(pixels, std::numeric_limits<float>::quiet_NaN())};
    for (int row = taken.row; row < taken.row_end(); ++row) {
        const int pixel_row = (row - first_.row) / factor_;
        std::uint8_t* const to_class = made.classes.row(pixel_row);
        float* const to_depth = made.depth_low_m.row(pixel_row);
        for (int col = taken.col; col < taken.col_end(); ++col) {
            const int at = (col - first_.col) / factor_ - pixels.col;
            to_class[at] = worse_of[to_class[at]][answers.map_class.at(col, row)];
            to_depth[at] = least(to_depth[at], depths.at(col, row));
        }
    }
    return made;
}

void MapPlanes::take(const MapPixels& pixels) {
    const Window taken = common(pixels.classes.window(), classes_.window());
    const std::lock_guard lock(mutex_); // blocks meet within a pixel
    for (int row = taken.row; row < taken.row_end(); ++row) {
        for (int col = taken.col; col < taken.col_end(); ++col) {
            std::uint8_t& to_class = classes_.at(col, row);
            float& to_depth = depth_low_m_.at(col, row);
            to_class = worse_of[to_class][pixels.classes.at(col, row)];
            to_depth = least(to_depth, pixels.depth_low_m.at(col, row));
        }
    }
}

void look_closer(const OverlayJob& job, MapPlanes& into) {
    LayerSet wanted;
    wanted.add(Layer::map);
    OverlayJob closer = job;
    closer.window = common(into.cells(), job.window);
    closer.wanted = wanted;
    struct Taker : OverlaySink {
        explicit Taker(MapPlanes& planes) : to(planes) {}
        void block(const BlockAnswers& answers) override { to.take(answers); }
        void zone(Zone&&) override {}
        MapPlanes& to;
    } taker(into);
    run_overlay(closer, taker, {});
}

} // namespace swingroom
