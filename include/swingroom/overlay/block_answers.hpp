#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/anchorages.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/room/zones.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <variant>
#include <vector>

namespace swingroom {

/// A plane of one of the types that cells can have, in the order of CellType.
using LayerPlane =
    std::variant<Plane<std::uint8_t>, Plane<std::uint16_t>, Plane<std::uint32_t>, Plane<float>>;
static_assert(
    std::is_same_v<std::variant_alternative_t<static_cast<std::size_t>(CellType::float32), LayerPlane>,
                   Plane<float>>);

/// The plane of a layer that is known when the program is compiled.
template <Layer layer>
using PlaneOf = std::variant_alternative_t<static_cast<std::size_t>(traits(layer).type), LayerPlane>;

/// Yes runs of a block, one list per row of its core.
using BlockRuns = std::vector<std::vector<Run>>;

/// The answers for a block: a plane over the core window, in cells of the raster, for each raster layer that
/// is wanted and for both rooms; the others are empty.
class BlockAnswers {
public:
    /// Planes of the right types, all of them empty.
    BlockAnswers();

    /// The cells that are answered for, in cells of the raster.
    Window core;
    std::int64_t afloat = 0; ///< cells that float the hull at low water
    Tally tally;             ///< of all cells of the core, by answer and by reason
    /// The same of the charted anchorages that have cells in the core, in their order.
    std::vector<AnchoragePart> anchorages;

    /// Values of MapClass, where a map is wanted, else empty; depth_low then has a plane, too.
    Plane<std::uint8_t> map_class;

    /// The plane of a layer, of whatever type; empty where the layer is not wanted or is no raster.
    [[nodiscard]] LayerPlane& plane(Layer layer) { return planes_[index_of(layer)]; }
    [[nodiscard]] const LayerPlane& plane(Layer layer) const { return planes_[index_of(layer)]; }
    /// The plane of a raster layer in its own type, where the layer is known when the program is compiled.
    template <Layer layer>
    [[nodiscard]] PlaneOf<layer>& plane() {
        static_assert(is_raster(traits(layer).content));
        return std::get<PlaneOf<layer>>(plane(layer));
    }
    /// The same of answers that are only read.
    template <Layer layer>
    [[nodiscard]] const PlaneOf<layer>& plane() const {
        static_assert(is_raster(traits(layer).content));
        return std::get<PlaneOf<layer>>(plane(layer));
    }
    /// The plane of a layer of figures, where the layer is known only when the program runs; of any other
    /// layer std::bad_variant_access is thrown.
    [[nodiscard]] Plane<float>& figures(Layer layer) { return std::get<Plane<float>>(plane(layer)); }
    [[nodiscard]] const Plane<float>& figures(Layer layer) const {
        return std::get<Plane<float>>(plane(layer));
    }

    /// Gives each layer that is wanted a plane over the core, and empties the others but the rooms, which are
    /// as they were gathered. What cells hold before they are written is left open.
    void reset(LayerSet wanted);

private:
    std::array<LayerPlane, layer_table.size()> planes_; ///< those of layers that are no rasters stay empty
};

} // namespace swingroom
