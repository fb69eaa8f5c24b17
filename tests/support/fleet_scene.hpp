#pragma once

#include "swingroom/overlay/overlay.hpp"

#include "support/boats.hpp"
#include "support/drawing.hpp"
#include "support/overlay_scene.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace swingroom::testing_support {

/// The gear of thirty boats that differ in themselves, in their water and in their wind.
inline const std::vector<std::unique_ptr<TackleTables>>& tables_of_fleet() {
    static const std::vector<std::unique_ptr<TackleTables>> fleet = [] {
        std::vector<std::unique_ptr<TackleTables>> tables;
        for (int i = 0; i < 30; ++i) {
            const auto boat = static_cast<std::size_t>(i) % trial_boats().size();
            const double low_m = -0.3 + 0.07 * i;
            tables.push_back(std::make_unique<TackleTables>(
                read_trial_boat(trial_boats()[boat]), Conditions{{low_m, 2.5}, 6.0 + 7 * i % 15, 0}, 1.0));
        }
        return tables;
    }();
    return fleet;
}

/// A bay that falls away from one side to the other, with islands, and with gaps in its survey; hazards and
/// seabeds of random_overlay_scene.
inline OverlayScene island_sea(std::uint64_t seed, int cols, int rows) {
    OverlayScene scene = random_overlay_scene(seed, cols, rows);
    Dice dice(seed * 31 + 7);
    const Grid grid = scene.depths->grid();
    std::vector<float> depth_m;
    const double slope_m = dice.between(6, 14) / cols;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            depth_m.push_back(static_cast<float>(-0.5 + slope_m * col + 0.2 * std::sin(0.3 * row)));
        }
    }
    const auto paint = [&](int width, int height, const auto& value_of) {
        const int left = dice.whole(0, cols - width), top = dice.whole(0, rows - height);
        for (int row = top; row < top + height; ++row) {
            for (int col = left; col < left + width; ++col) {
                float& depth = depth_m[static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
                                       static_cast<std::size_t>(col)];
                depth = value_of(depth);
            }
        }
    };
    for (int i = dice.whole(2, 6); i > 0; --i) {
        paint(dice.whole(2, cols / 8), dice.whole(2, rows / 8), [](float) { return -3.0F; });
    }
    for (int i = dice.whole(2, 6); i > 0; --i) {
        paint(dice.whole(1, cols / 6), dice.whole(1, rows / 6),
              [](float) { return std::numeric_limits<float>::quiet_NaN(); });
    }
    scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::constant(0.1));
    return scene;
}

/// The count of each cell, put together again.
struct BoatsRecorder : BoatsSink {
    explicit BoatsRecorder(Window window) : boats_yes(window), visits(window) {}
    void block(const Plane<std::uint8_t>& of_block) override {
        const std::lock_guard lock(mutex);
        const Window core = of_block.window();
        for (int row = core.row; row < core.row_end(); ++row) {
            for (int col = core.col; col < core.col_end(); ++col) {
                boats_yes.at(col, row) = of_block.at(col, row);
                ++visits.at(col, row);
            }
        }
    }

    std::mutex mutex;
    Plane<std::uint8_t> boats_yes;
    Plane<int> visits; ///< how many blocks a cell was in
};

} // namespace swingroom::testing_support
