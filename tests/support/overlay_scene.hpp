#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/sea/georeference.hpp"

#include "support/boats.hpp"
#include "support/drawing.hpp"

#include <array>
#include <cmath>
#include <cstring>
#include <limits>
#include <memory>
#include <mutex>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

namespace swingroom::testing_support {

/// All that a run is made of, owned.
struct OverlayScene {
    std::unique_ptr<DepthSource> depths;
    GroundMetric metric;
    std::unique_ptr<HazardField> hazards;
    std::unique_ptr<TackleTables> tables;
    Seabed seabed = Seabed::unknown;

    [[nodiscard]] OverlayJob job() const {
        OverlayJob job;
        job.depths = depths.get();
        job.metric = &metric;
        job.hazards = hazards.get();
        job.tables = tables.get();
        job.window = depths->grid().extent();
        job.seabed = seabed;
        return job;
    }
};

/// A piece of UTM around the middle of its zone, where north is up to within seconds of arc.
inline Grid utm_grid(int cols, int rows, double step_m, bool south_up = false) {
    Grid grid{cols, rows, 500'000 - cols * step_m / 2, 5'600'000, step_m, south_up ? step_m : -step_m, {}};
    grid.crs_wkt = horizontal_crs_wkt("EPSG:32630", "scene");
    return grid;
}

inline Hazard hazard(Effects effects, double margin_m, std::vector<GridPoint> path, std::string kind = "made",
                     std::string label = "") {
    Hazard h;
    h.effects = effects;
    h.margin_m = margin_m;
    h.paths = {std::move(path)};
    h.kind = std::move(kind);
    h.label = std::move(label);
    return h;
}

/// A closed box.
inline std::vector<GridPoint> box(double x, double y, double width, double height) {
    return {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}, {x, y}};
}

/// Rolling ground with shoals, gaps in the survey, hazards of all effects and pieces of seabed; boat, tide
/// and wind by the seed.
inline OverlayScene random_overlay_scene(std::uint64_t seed, int cols, int rows) {
    Dice dice(seed * 977 + 5);
    OverlayScene scene;
    const TrialBoat& trial = trial_boats()[seed % trial_boats().size()];
    const Boat boat = read_trial_boat(trial);
    const double low_m = dice.between(-0.3, 1);
    const Conditions conditions{{low_m, low_m + dice.between(0, 3)}, dice.between(4, 25), 0};
    const double floor_m = boat.required_depth_m() - low_m, step_m = dice.between(1.5, 6);

    const Grid grid = utm_grid(cols, rows, step_m, dice.chance(0.3));
    std::vector<float> depth_m;
    const double wave = dice.between(0.02, 0.2), amplitude_m = dice.between(0.5, 3),
                 middle_m = floor_m + dice.between(0.5, 4);
    const std::array<double, 4> phase = {dice.between(0, 6), dice.between(0, 6), dice.between(0, 6),
                                         dice.between(0, 6)};
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            depth_m.push_back(static_cast<float>(
                middle_m + amplitude_m * (std::sin(wave * col + phase[0]) + std::sin(wave * row + phase[1]) +
                                          0.4 * std::sin(wave * 3 * (col + row) + phase[2]))));
        }
    }
    for (int i = dice.whole(0, 4); i > 0; --i) { // boulders and gaps
        const auto at = static_cast<std::size_t>(dice.whole(0, cols * rows - 1));
        depth_m[at] = dice.chance(0.5) ? std::numeric_limits<float>::quiet_NaN() : -0.5F;
    }
    std::vector<Hazard> hazards;
    const auto somewhere = [&] { return GridPoint{dice.between(-2, cols + 2), dice.between(-2, rows + 2)}; };
    for (int i = dice.whole(0, 5); i > 0; --i) {
        const auto effects = static_cast<Effects>(dice.whole(1, 15));
        Hazard h = hazard(effects, dice.chance(0.5) ? dice.between(0, 12) : 0, {somewhere()}, "made",
                          "things #" + std::to_string(i));
        if (dice.chance(0.5)) h.paths[0].push_back(somewhere());
        hazards.push_back(std::move(h));
    }
    for (int i = dice.whole(0, 2); i > 0; --i) {
        Hazard h;
        h.kind = "ground";
        h.seabed = static_cast<Seabed>(dice.whole(1, 8));
        const GridPoint at = somewhere();
        h.rings = {box(at.x, at.y, dice.between(3, 30), dice.between(3, 30))};
        hazards.push_back(std::move(h));
    }
    const DepthUncertainty uncertainty = dice.chance(0.3)   ? DepthUncertainty::none()
                                         : dice.chance(0.5) ? DepthUncertainty::constant(dice.between(0, 0.5))
                                                            : DepthUncertainty::root_sum_square(0.25, 0.013);
    scene.depths = memory_bathymetry(grid, std::move(depth_m), uncertainty);
    scene.metric = GroundMetric::uniform(rows, step_m, step_m);
    scene.hazards = std::make_unique<HazardField>(std::move(hazards), grid.extent(), scene.metric);
    // Of the depths that occur; the source's own bound is for the deepest sea.
    scene.tables = std::make_unique<TackleTables>(boat, conditions, 1.0);
    scene.seabed = dice.chance(0.5) ? Seabed::sand : Seabed::unknown;
    return scene;
}

/// Calls f(layer, plane of a, plane of b) for each raster layer.
template <class A, class B, class F>
void each_layer(A& a, B& b, F f) {
    for (const Layer layer : rasters_of_a_boat) {
        std::visit(
            [&](auto& of_a) {
                using Of = std::remove_cvref_t<decltype(of_a)>;
                f(layer, of_a, std::get<Of>(b.plane(layer)));
            },
            a.plane(layer));
    }
}

/// Everything that a run says, put together again.
struct Recorder : OverlaySink {
    explicit Recorder(Window window) : visits(window) {
        all.core = window;
        each_layer(all, all, [window](Layer, auto& plane, auto&) { plane.reset(window); });
    }
    void block(const BlockAnswers& answers) override {
        const std::lock_guard lock(mutex);
        all.tally.add(answers.tally);
        const Window core = answers.core;
        for (int row = core.row; row < core.row_end(); ++row) {
            for (int col = core.col; col < core.col_end(); ++col) {
                ++visits.at(col, row);
            }
        }
        each_layer(all, answers, [core](Layer, auto& into, const auto& from) {
            if (from.size() == 0) return; // not wanted
            for (int row = core.row; row < core.row_end(); ++row) {
                std::memcpy(&into.at(core.col, row), &from.at(core.col, row),
                            sizeof(*from.data()) * static_cast<std::size_t>(core.cols));
            }
        });
    }
    void zone(Zone&& zone) override {
        const std::lock_guard lock(mutex);
        zones.push_back(std::move(zone));
    }

    std::mutex mutex;
    BlockAnswers all;
    Plane<int> visits; ///< how many blocks a cell was in
    std::vector<Zone> zones;
};

/// The first layer of those wanted that differs in some byte within a window; empty where none does.
inline std::string first_difference(BlockAnswers& a, BlockAnswers& b, Window part, LayerSet wanted) {
    std::string which;
    each_layer(a, b, [&](Layer layer, const auto& one, const auto& other) {
        if (!wanted.has(layer)) return;
        for (int row = part.row; row < part.row_end() && which.empty(); ++row) {
            for (int col = part.col; col < part.col_end() && which.empty(); ++col) {
                if (std::memcmp(&one.at(col, row), &other.at(col, row), sizeof(*one.data())) != 0) {
                    which = std::string(name(layer)) + " at column " + std::to_string(col) + ", row " +
                            std::to_string(row) + ": " + std::to_string(one.at(col, row)) + " and " +
                            std::to_string(other.at(col, row));
                }
            }
        }
    });
    return which;
}

} // namespace swingroom::testing_support
