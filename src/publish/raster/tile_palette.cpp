#include "publish/raster/tile_palette.hpp"

#include "publish/styles/styles.hpp"

namespace swingroom {
namespace {

constexpr auto alpha = static_cast<std::uint8_t>(255 * style_opacity);

TileColour with_opacity(TileColour colour, std::uint8_t opacity) {
    colour[3] = opacity;
    return colour;
}

} // namespace

TilePalette::TilePalette(const LayerSpec& spec)
    : spec_(spec), colours_{TileColour{}}, of_others_(number_of({0, 0, 0, alpha})) {
    for (const Step& step : spec.steps) {
        of_steps_.push_back(number_of(with_opacity(step.rgba, alpha)));
    }
    of_classes_.fill({of_others_, of_others_, Hatch::none});
    for (const Category& one : spec.categories) {
        const std::uint8_t plain = number_of(with_opacity(one.rgba, alpha));
        const bool hatched = one.hatch != Hatch::none;
        of_classes_.at(one.value) = {plain, hatched ? number_of(with_opacity(one.rgba, 255)) : plain,
                                     one.hatch};
    }
}

/// A layer that is a picture has a dozen classes or steps, so that the numbers never come to an end.
std::uint8_t TilePalette::number_of(TileColour colour) {
    const auto at = std::find(colours_.begin(), colours_.end(), colour);
    const auto number = static_cast<std::uint8_t>(at - colours_.begin());
    if (at == colours_.end()) colours_.push_back(colour);
    return number;
}

} // namespace swingroom
