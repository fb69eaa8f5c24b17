#include "swingroom/publish/boats_files.hpp"

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include "overlay/cell_areas.hpp"
#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tiles.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/derived_files.hpp"

#include <algorithm>
#include <cstddef>
#include <mutex>
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
          styles(outputs.styles), areas(*sea.metric, sea.window), boats_count(boats.size()),
          raster_layer(folder, spec_of(Layer::boats_yes, boats), grid, provenance, threads,
                       GridCell{sea.window.col, sea.window.row},
                       {outputs.compression, outputs.waiting_bytes}) {
        if (formats.has(Format::mbtiles)) check_tiles(grid, source);
    }

    void count(const Plane<std::uint8_t>& boats_yes) {
        Covered of_block;
        const Window& window = boats_yes.window();
        for (int row = window.row; row < window.row_end(); ++row) {
            const std::uint8_t* const cells = &boats_yes.at(window.col, row);
            const auto of_row =
                std::count(cells, cells + window.cols, static_cast<std::uint8_t>(boats_count));
            of_block += {of_row, static_cast<double>(of_row) * areas.at(row)};
        }
        const std::scoped_lock lock(one_at_a_time);
        of_all_boats += of_block;
    }

    std::filesystem::path folder;
    Grid grid; ///< of the window
    std::string source;
    Provenance provenance;
    int threads;
    FormatSet formats;
    bool styles;
    CellAreas areas;
    std::size_t boats_count;
    std::mutex one_at_a_time; ///< of what is counted
    Covered of_all_boats;
    RasterLayer raster_layer;
};

BoatsFiles::BoatsFiles(const std::filesystem::path& folder, const SeaView& sea,
                       const std::vector<std::string>& boats, const std::string& source,
                       const Provenance& provenance, int threads, const Outputs& outputs)
    : state_(std::make_unique<State>(folder, sea, boats, source, provenance, threads, outputs)) {}

BoatsFiles::~BoatsFiles() = default;

void BoatsFiles::block(const Plane<std::uint8_t>& boats_yes) {
    state_->count(boats_yes);
    state_->raster_layer.write(boats_yes);
}

const Covered& BoatsFiles::of_all_boats() const { return state_->of_all_boats; }

void BoatsFiles::finish(const std::function<void(double)>& progress) {
    State& state = *state_;
    const LayerSpec& spec = state.raster_layer.spec();
    state.raster_layer.finish();
    if (progress) progress(0.5);
    const bool tiles = state.formats.has(Format::mbtiles);
    if (tiles) {
        write_tiles(state.folder, {spec}, state.grid, state.source, state.provenance, state.threads, [&] {
            if (progress) progress(0.5);
        });
    }
    if (state.styles) write_styles(state.folder, spec, tiles);
    drop_unasked(state.folder, spec.name, traits(Layer::boats_yes).content, state.formats);
    if (progress) progress(1);
}

} // namespace swingroom
