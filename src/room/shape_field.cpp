#include "room/shape_field.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace swingroom {
namespace {

/// Coordinates beyond this are a broken file, not a place: with them a double no longer resolves a cell.
constexpr double farthest_cells = 1e12;

} // namespace

void require_usable(const Shape& shape, const std::string& name) {
    const auto usable = [](const std::vector<GridPoint>& points) {
        return std::all_of(points.begin(), points.end(), [](GridPoint p) {
            return std::abs(p.x) <= farthest_cells && std::abs(p.y) <= farthest_cells; // false for NaN
        });
    };
    const bool sound = std::all_of(shape.paths.begin(), shape.paths.end(), usable) &&
                       std::all_of(shape.rings.begin(), shape.rings.end(), usable);
    if (!sound) {
        throw InputError(name, "a vertex is not a number or lies 1e12 cells away", "repair the feature");
    }
    if (!(shape.margin_m >= 0 && shape.placement_allowance_m >= 0 && std::isfinite(shape.reach_m()))) {
        throw InputError(name, "its margin is negative or not a number", "give 0 m or more");
    }
}

void ShapeField::add(const Shape& shape, std::uint32_t index, CapsuleCutter& cutter) {
    if (within_.empty()) return;
    cutter.add(shape, index);
    insides_.add(shape, index);
}

void ShapeField::arrange(CapsuleCutter& cutter) {
    capsules_ = std::move(cutter.capsules);
    sizes_ = std::move(cutter.sizes);
    capsule_tree_ = arranged(capsules_, cutter.boxes, extent_);
    insides_.arrange(extent_);
}

} // namespace swingroom
