#pragma once

#include "swingroom/publish/raster_layer.hpp"

#include "publish/raster/mbtiles_file.hpp"
#include "publish/styles/hatch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <type_traits>
#include <vector>

namespace swingroom {

/// What stands for a cell of which nothing is known: nothing is worse.
template <class T>
T unsurveyed_cell(const LayerSpec& spec) {
    if constexpr (std::is_floating_point_v<T>) return std::numeric_limits<T>::quiet_NaN();
    return static_cast<T>(spec.nodata.value_or(0));
}

/// Whether a cell is such a one.
template <class T>
bool is_unsurveyed(T value, const LayerSpec& spec) {
    if constexpr (std::is_floating_point_v<T>) return std::isnan(value);
    return value == unsurveyed_cell<T>(spec);
}

/// The colours of a layer's tiles, and which of them a value has: half-transparent, in full strength on its
/// class's hatch, and none where nothing is known.
class TilePalette {
public:
    /// @param spec  must outlive it
    explicit TilePalette(const LayerSpec& spec);

    /// All that occur; the first is transparent.
    [[nodiscard]] const std::vector<TileColour>& colours() const { return colours_; }

    /// The number of a value's colour at a pixel of a tile.
    template <class T>
    [[nodiscard]] std::uint8_t of(T value, int col, int row) const {
        if (is_unsurveyed(value, spec_)) return 0;
        if constexpr (std::is_floating_point_v<T>) {
            const auto step = std::find_if(spec_.steps.begin(), spec_.steps.end(),
                                           [&](const Step& one) { return value <= one.up_to; });
            const auto at = static_cast<std::size_t>(step - spec_.steps.begin());
            return at < of_steps_.size() ? of_steps_[at] : of_others_;
        } else {
            const OfClass& one = of_classes_.at(value);
            return one.hatch != Hatch::none && inked(one.hatch, col, row) ? one.on_hatch : one.plain;
        }
    }

private:
    struct OfClass {
        std::uint8_t plain = 0, on_hatch = 0;
        Hatch hatch = Hatch::none;
    };
    std::uint8_t number_of(TileColour colour);

    const LayerSpec& spec_;
    std::vector<TileColour> colours_;
    std::uint8_t of_others_; ///< of values without a step or a class
    std::vector<std::uint8_t> of_steps_;
    std::array<OfClass, 256> of_classes_{};
};

} // namespace swingroom
