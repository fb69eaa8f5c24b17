#include "swingroom/overlay/block_answers.hpp"

#include <utility>

namespace swingroom {
namespace {

LayerPlane plane_of(CellType type) {
    switch (type) {
    case CellType::uint8:
        return Plane<std::uint8_t>();
    case CellType::uint16:
        return Plane<std::uint16_t>();
    case CellType::uint32:
        return Plane<std::uint32_t>();
    case CellType::float32:
        break;
    }
    return Plane<float>();
}

} // namespace

BlockAnswers::BlockAnswers() {
    for (const Layer layer : rasters_of_a_boat) {
        plane(layer) = plane_of(traits(layer).type);
    }
}

void BlockAnswers::reset(LayerSet wanted) {
    for (const Layer layer : rasters_of_a_boat) {
        if (is_gathered(layer)) continue;
        const Window to = wanted.has(layer) ? core : Window{};
        std::visit([&](auto& values) { values.reshape(to); }, plane(layer));
    }
}

} // namespace swingroom
