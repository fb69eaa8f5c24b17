// decide_layers COAST BOAT THREADS RUNS LAYERS...: what layers cost in deciding, nothing read or written
// meanwhile.
//
// Loads the raster that made_coast has made into memory, with obstructions of every depth strewn over it, and
// decides it for each set of LAYERS, as --layers takes them, in turn and RUNS times; over two days of a tide
// between the levels of scripts/benchmark. Prints the medians: seconds by the clock, and those of all
// processors together, which other work on the machine disturbs less.

#include "swingroom/boat/boat.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <exception>
#include <iostream>
#include <memory>
#include <numbers>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace {

using namespace swingroom;

/// A semidiurnal tide between 0.5 and 2.5 m.
class Tide final : public LevelCurve {
public:
    [[nodiscard]] Instant first() const override { return Instant(std::chrono::hours(0)); }
    [[nodiscard]] Instant last() const override { return Instant(std::chrono::hours(100)); }
    [[nodiscard]] double height_m(Instant at) const override {
        const double turns = static_cast<double>(at.time_since_epoch().count()) / (745 * 60.0);
        return 1.5 + std::cos(2 * std::numbers::pi * turns);
    }
    [[nodiscard]] std::vector<LevelBounds> by_minute(Instant from, int minutes) const override {
        std::vector<LevelBounds> bounds;
        for (int i = 0; i < minutes; ++i) {
            const double here_m = height_m(from + std::chrono::minutes(i));
            bounds.push_back({here_m - 0.01, here_m + 0.01});
        }
        return bounds;
    }
    [[nodiscard]] std::vector<Turn> turns(Instant, Instant) const override { return {}; }
    [[nodiscard]] std::string bounds_text() const override { return "a cosine"; }
};

struct Nowhere final : OverlaySink {
    void block(const BlockAnswers&) override {}
    void zone(Zone&&) override {}
};

std::vector<Hazard> obstructions(Window extent) {
    std::vector<Hazard> hazards;
    std::uint64_t state = 1;
    const auto unit = [&state] {
        state = state * 6364136223846793005u + 1442695040888963407u;
        return static_cast<double>(state >> 11) * 0x1p-53;
    };
    for (std::size_t i = 0; i < extent.cells() / 33554; ++i) { // 2,000 on 8192 x 8192 cells
        Hazard hazard;
        hazard.effects = effect::hull | effect::ground;
        hazard.margin_m = 20;
        hazard.paths = {{{unit() * extent.cols, unit() * extent.rows}}};
        hazard.least_depth_m = unit() * 12;
        hazards.push_back(std::move(hazard));
    }
    return hazards;
}

std::unique_ptr<DepthSource> in_memory(const std::string& file, const DepthUncertainty& uncertainty) {
    BathymetryRequest request;
    request.file = file;
    request.positive_down = false;
    request.chart_datum_m = 0;
    request.uncertainty = DepthUncertainty::none();
    const auto source = open_bathymetry(request);
    const Window all = source->grid().extent();
    std::vector<float> depth_m(all.cells());
    DepthPlanes planes;
    for (const Window part : cut_into_blocks(all, 2048)) {
        source->read(part, planes);
        for (int row = part.row; row < part.row_end(); ++row) {
            std::copy_n(planes.shoal_m.row(row), part.cols,
                        depth_m.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(all.cols) +
                            part.col);
        }
    }
    return memory_bathymetry(source->grid(), std::move(depth_m), uncertainty);
}

struct Took {
    double seconds = 0, of_processors = 0;
};

Took decide(OverlayJob job, const std::string& layers) {
    job.wanted = LayerSet::parse(layers, "LAYERS");
    Nowhere nowhere;
    const auto from = std::chrono::steady_clock::now();
    const std::clock_t worked_from = std::clock();
    run_overlay(job, nowhere, {});
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count(),
            static_cast<double>(std::clock() - worked_from) / CLOCKS_PER_SEC};
}

double median(std::vector<double> of) {
    std::sort(of.begin(), of.end());
    return of.at(of.size() / 2);
}

void run(int argc, char** argv) {
    if (argc < 6) throw std::invalid_argument("usage: decide_layers COAST BOAT THREADS RUNS LAYERS...");
    const auto depths = in_memory(std::string(argv[1]) + "/bathymetry.tif", DepthUncertainty::constant(0.2));
    const GroundMetric metric = ground_metric(depths->grid(), argv[1]);
    const Window extent = depths->grid().extent();
    const HazardField hazards(obstructions(extent), extent, metric);
    const auto curve = std::make_shared<Tide>();
    const Stay stay(*curve, curve->first(), curve->first() + std::chrono::hours(48), {}, "tide");
    const StayTide tide{curve, {}, stay, ZoneOffset(0), "tide", {}, {}, {}, {}, {}};
    const TackleTables tables(read_boat_file(argv[2]), {stay.levels(), 15, 0}, 1);
    OverlayJob job;
    job.depths = depths.get();
    job.metric = &metric;
    job.hazards = &hazards;
    job.window = extent;
    job.tables = &tables;
    job.tide = &tide;
    job.threads = std::atoi(argv[3]);
    const std::vector<std::string> sets(argv + 5, argv + argc);
    std::vector<std::vector<double>> seconds(sets.size()), of_processors(sets.size());
    for (int i = 0; i < std::atoi(argv[4]); ++i) {
        for (std::size_t k = 0; k < sets.size(); ++k) {
            const Took took = decide(job, sets[k]);
            seconds[k].push_back(took.seconds);
            of_processors[k].push_back(took.of_processors);
        }
    }
    for (std::size_t k = 0; k < sets.size(); ++k) {
        std::printf("%7.2f s, %7.2f s of processors  %s\n", median(seconds[k]), median(of_processors[k]),
                    sets[k].c_str());
    }
}

} // namespace

int main(int argc, char** argv) {
    try {
        run(argc, argv);
        return EXIT_SUCCESS;
    } catch (const std::exception& error) {
        std::cerr << error.what() << '\n';
        return EXIT_FAILURE;
    }
}
