#include "property/our_rooms.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

// Hazards are burnt and metrics made by the program's own code, block by block as in a run. The step from
// unsafe cells to rooms is done here by the words of the definition, over all pairs of cells.

namespace swingroom::testing_support {
namespace {

struct Cell {
    int col, row;
};

std::vector<Cell> unsafe_cells(const Scene& scene, const HazardField& field, std::uint8_t effect, int block) {
    std::vector<Cell> unsafe;
    const Window all = grown(scene.grid.extent(), 1); // one cell beyond stands for the outside
    for (const Window window : cut_into_blocks(all, block)) {
        Plane<std::uint8_t> bits(window);
        field.burn(bits);
        for (int row = window.row; row < window.row_end(); ++row)
            for (int col = window.col; col < window.col_end(); ++col)
                if (scene.unsafe_depth(col, row, effect) || (bits.at(col, row) & effect))
                    unsafe.push_back({col, row});
    }
    return unsafe;
}

} // namespace

Plane<float> our_rooms(const Scene& scene, std::uint8_t effect, int block) {
    const HazardField field(scene.hazards, scene.grid.extent(), scene.metric);
    const std::vector<Cell> unsafe = unsafe_cells(scene, field, effect, block);
    const GroundMetric metric = scene.metric.within(scene.reach_m);
    Plane<float> room_m(scene.grid.extent());
    for (int row = 0; row < scene.grid.rows; ++row) {
        const CellSize size = metric.at(row);
        for (int col = 0; col < scene.grid.cols; ++col) {
            double least_m2 = scene.reach_m * scene.reach_m;
            for (const Cell& cell : unsafe) {
                const double x_m = std::max(0, std::abs(cell.col - col) - 1) * size.dx_m;
                const double y_m = std::max(0, std::abs(cell.row - row) - 1) * size.dy_m;
                least_m2 = std::min(least_m2, x_m * x_m + y_m * y_m);
            }
            room_m.at(col, row) = narrow_down(std::sqrt(least_m2));
        }
    }
    return room_m;
}

double our_loss_bound_m(const Scene& scene, double room_m) {
    // Each row takes the least size within reach: at most the least of all against the greatest of all.
    const CellSize least = scene.metric.least();
    double ratio = 1;
    for (int row = 0; row < scene.metric.rows(); ++row) {
        const CellSize size = scene.metric.at(row);
        ratio = std::max({ratio, size.dx_m / least.dx_m, size.dy_m / least.dy_m});
    }
    return room_m * (ratio * (1 + scene.metric_loss) - 1);
}

} // namespace swingroom::testing_support
