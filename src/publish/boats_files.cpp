#include "swingroom/publish/boats_files.hpp"

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tiles.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/derived_files.hpp"

#include <utility>

namespace swingroom {
namespace {

FormatSet formats_of_boats_yes(const Outputs& outputs) {
    LayerSet wanted;
    wanted.add(Layer::boats_yes);
    return outputs.formats_of(Layer::boats_yes, wanted);
}

} // namespace

struct BoatsFiles::State {
    State(std::filesystem::path into, const SeaView& sea, const std::vector<std::string>& boats,
          std::string raster, Provenance of_run, int on_threads, const Outputs& outputs)
        : folder(std::move(into)), grid(sea.depths->grid().part(sea.window)), source(std::move(raster)),
          provenance(std::move(of_run)), threads(on_threads), formats(formats_of_boats_yes(outputs)),
          styles(outputs.styles), raster_layer(folder, spec_of(Layer::boats_yes, boats), grid, provenance,
                                               threads, GridCell{sea.window.col, sea.window.row},
                                               {outputs.compression, outputs.waiting_bytes}) {
        if (formats.has(Format::mbtiles)) check_tiles(grid, source);
    }

    std::filesystem::path folder;
    Grid grid; ///< of the window
    std::string source;
    Provenance provenance;
    int threads;
    FormatSet formats;
    bool styles;
    RasterLayer raster_layer;
};

BoatsFiles::BoatsFiles(const std::filesystem::path& folder, const SeaView& sea,
                       const std::vector<std::string>& boats, const std::string& source,
                       const Provenance& provenance, int threads, const Outputs& outputs)
    : state_(std::make_unique<State>(folder, sea, boats, source, provenance, threads, outputs)) {}

BoatsFiles::~BoatsFiles() = default;

void BoatsFiles::block(const Plane<std::uint8_t>& boats_yes) { state_->raster_layer.write(boats_yes); }

void BoatsFiles::finish(const std::function<void(double)>& progress) {
    State& state = *state_;
    const LayerSpec& spec = state.raster_layer.spec();
    state.raster_layer.finish();
    if (progress) progress(0.5);
    const bool tiles = state.formats.has(Format::mbtiles);
    if (tiles) {
        write_tiles(state.folder, spec, state.grid, state.source, state.provenance, state.threads, [&] {
            if (progress) progress(0.5);
        });
    }
    if (state.styles) write_styles(state.folder, spec, tiles);
    drop_unasked(state.folder, spec.name, traits(Layer::boats_yes).content, state.formats);
    if (progress) progress(1);
}

} // namespace swingroom
