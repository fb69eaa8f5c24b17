#include "property/our_rooms.hpp"

#include "swingroom/room/distance.hpp"
#include "swingroom/room/hazard_field.hpp"

#include <algorithm>
#include <cmath>

// Hazards are burnt, metrics made and rooms taken by the program's own code, block by block as in a run.

namespace swingroom::testing_support {

Plane<float> our_rooms(const Scene& scene, Effects effect, int block) {
    const HazardField field(scene.hazards, scene.grid.extent(), scene.metric);
    const RoomTransform transform(scene.metric, scene.reach_m);
    Plane<float> rooms_m(scene.grid.extent());
    for (const Window core : cut_into_blocks(scene.grid.extent(), block)) {
        Plane<Effects> effects(grown(core, transform.halo()));
        field.burn(effects);
        const Window seen = effects.window();
        Plane<std::uint8_t> unsafe(seen);
        for (int row = seen.row; row < seen.row_end(); ++row) {
            for (int col = seen.col; col < seen.col_end(); ++col) {
                unsafe.at(col, row) =
                    (effects.at(col, row) & effect) != 0 || scene.unsafe_depth(col, row, effect) ? 1 : 0;
            }
        }
        Plane<float> room_m(core);
        transform.run(unsafe, 1, room_m);
        for (int row = core.row; row < core.row_end(); ++row) {
            for (int col = core.col; col < core.col_end(); ++col) {
                rooms_m.at(col, row) = room_m.at(col, row);
            }
        }
    }
    return rooms_m;
}

double our_loss_bound_m(const Scene& scene, double room_m) {
    // Each row takes the least size within reach: at most the least of all against the greatest of all.
    const CellSize least = scene.metric.least();
    double ratio = 1;
    for (int row = 0; row < scene.metric.rows(); ++row) {
        const CellSize size = scene.metric.at(row);
        ratio = std::max({ratio, size.dx_m / least.dx_m, size.dy_m / least.dy_m});
    }
    return room_m * (ratio * (1 + scene.metric_loss) - 1 + RoomTransform::rounding_loss);
}

} // namespace swingroom::testing_support
