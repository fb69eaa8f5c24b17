#include "publish/raster/told_figures.hpp"

#include "swingroom/base/rounding.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace swingroom {
namespace {

SWINGROOM_VECTORISED void round_down(const float* __restrict exact, std::size_t count, float steps,
                                     float kept, float* __restrict told) {
    for (std::size_t i = 0; i < count; ++i) {
        const float down = down_to_step(exact[i], steps);
        told[i] = chosen(exact[i] >= kept, std::max(down, kept), down);
    }
}

SWINGROOM_VECTORISED void round_up(const float* __restrict exact, std::size_t count, float steps,
                                   float* __restrict told) {
    for (std::size_t i = 0; i < count; ++i) {
        told[i] = up_to_step(exact[i], steps);
    }
}

} // namespace

/// What a figure of a layer that reaches it is not told below.
float ToldFigures::kept(Layer layer) const {
    const LayerTraits& of = traits(layer);
    if (of.meaning == CellMeaning::depth && of.worst == Worst::least) return afloat_m_;
    if (of.meaning == CellMeaning::wind) return planned_wind_kn_;
    return std::numeric_limits<float>::infinity();
}

const Plane<float>* ToldFigures::of(Layer layer, const Plane<float>& exact, Plane<float>& scratch) const {
    if (traits(layer).steps == 0) return &exact;
    scratch.reshape(exact.window());
    const auto steps = static_cast<float>(traits(layer).steps);
    if (is_told_up(layer)) {
        round_up(exact.data(), exact.size(), steps, scratch.data());
    } else {
        round_down(exact.data(), exact.size(), steps, kept(layer), scratch.data());
    }
    return &scratch;
}

} // namespace swingroom
