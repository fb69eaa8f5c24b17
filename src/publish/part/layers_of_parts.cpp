#include "publish/part/layers_of_parts.hpp"

#include "swingroom/overlay/anchorages.hpp"

#include "base/byte_stream.hpp"
#include "publish/raster/layer_coding.hpp"

namespace swingroom {

std::vector<Layer> layers_of_parts(LayerSet wanted, const Outputs& outputs) {
    std::vector<Layer> layers;
    for (const Layer layer : rasters_of_a_boat) {
        if (layer != Layer::access_level && !outputs.formats_of(layer, wanted).empty()) {
            layers.push_back(layer);
        }
    }
    return layers;
}

std::vector<std::uint8_t> terms_of_parts(const OverlayJob& job, const Outputs& outputs) {
    ByteWriter terms;
    const Window& window = job.window;
    pass_all(terms, window.col, window.row, window.cols, window.rows);
    for (const bool wanted :
         {wants_zones(job.wanted), wants_map(job.wanted), job.wanted.has(Layer::report)}) {
        pass(terms, wanted);
    }
    for (const Layer layer : layers_of_parts(job.wanted, outputs)) {
        const TileCoding coding = coding_of(traits(layer).type, outputs.compression);
        terms.number(static_cast<std::uint8_t>(layer));
        terms.number(static_cast<std::uint8_t>(coding.compression));
        terms.number(static_cast<std::uint8_t>(coding.level));
        pass(terms, coding.differences);
    }
    terms.number(static_cast<std::uint64_t>(charted_anchorages(*job.hazards).size()));
    return terms.all();
}

} // namespace swingroom
