#include "swingroom/publish/part_files.hpp"

#include "publish/part/block_file.hpp"
#include "publish/part/kept_block.hpp"
#include "publish/part/layers_of_parts.hpp"
#include "publish/raster/kept_tiles.hpp"
#include "publish/raster/told_figures.hpp"

#include <optional>
#include <utility>
#include <variant>

namespace swingroom {
namespace {

/// A layer, and who makes its tiles.
struct KeptLayer {
    Layer layer;
    TileKeeper tiles;
};

std::vector<KeptLayer> kept_layers(const OverlayJob& job, const Outputs& outputs) {
    std::vector<KeptLayer> layers;
    for (const Layer layer : layers_of_parts(job.wanted, outputs)) {
        layers.push_back({layer, TileKeeper(layer, outputs.compression)});
    }
    return layers;
}

} // namespace

struct PartFiles::State {
    State(const std::filesystem::path& folder, const OverlayJob& job, const Outputs& outputs,
          BlockShare share)
        : first{job.window.col, job.window.row}, layers(kept_layers(job, outputs)),
          told_figures(Judge(*job.tables)),
          file(folder / blocks_file, {share, terms_of_parts(job, outputs)}, {folder, outputs.waiting_bytes}) {
        if (wants_map(job.wanted)) map.emplace(job.window);
    }

    /// @param rounded  room for figures as they are told
    [[nodiscard]] KeptTiles tiles_of(const KeptLayer& layer, const BlockAnswers& answers,
                                     Plane<float>& rounded) const {
        if (traits(layer.layer).type != CellType::float32) {
            return std::visit([&](const auto& plane) { return layer.tiles.kept(plane, first); },
                              answers.plane(layer.layer));
        }
        return layer.tiles.kept(*told_figures.of(layer.layer, answers.figures(layer.layer), rounded), first);
    }

    GridCell first; ///< of the layers, in cells of the raster
    std::vector<KeptLayer> layers;
    ToldFigures told_figures;
    std::optional<MapPlanes> map; ///< whose pixels count; it stays empty
    BlockFileWriter file;
};

PartFiles::PartFiles(const std::filesystem::path& folder, const OverlayJob& job, const Outputs& outputs,
                     BlockShare share)
    : state_(std::make_unique<State>(folder, job, outputs, share)) {}
PartFiles::~PartFiles() = default;

void PartFiles::block(std::size_t number, const BlockAnswers& answers, const BlockRuns& runs) {
    KeptBlock block{answers.afloat, answers.tally, answers.anchorages, std::nullopt, {}};
    if (state_->map) block.map = state_->map->pixels_of(answers);
    // Kept, since memory that is new for each block costs more than to fill it.
    thread_local Plane<float> rounded;
    for (const KeptLayer& layer : state_->layers) {
        block.layers.push_back(state_->tiles_of(layer, answers, rounded));
    }
    state_->file.put(number, {packed(runs), packed(block)});
}

void PartFiles::finish() { state_->file.finish(); }

} // namespace swingroom
