#pragma once

#include "swingroom/room/metric.hpp"
#include "swingroom/room/shape.hpp"

#include "room/box_tree.hpp"
#include "room/capsules.hpp"
#include "room/insides.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

// A shape is the inside of its polygons plus a capsule (a segment and everything within the margin) around
// every segment of every line and ring. A cell is touched when its square meets one of these:
//
// - Inside. A square whose centre is inside is touched. One that is touched but has its centre outside is met
//   by the boundary, and boundaries are burnt as capsules. So the centres are enough, and a centre that
//   rounding puts on the wrong side lies on the boundary, whose capsule marks the cell anyway.
// - Capsules are convex, and so is their part inside one row of cells. The columns it meets are therefore all
//   those between its least and its greatest x in that row, and no others: one exact interval a row.
//
// All is computed in the raster's own grid space, from numbers that do not depend on the window asked for.

namespace swingroom {

/// What of a shape touches cells: its polygons' insides, by the cells' centres, or the capsules around its
/// outlines.
enum class ShapePart { inside, outline };

/// Which cells many shapes touch, prepared once for a raster; what they mean is known elsewhere, by their
/// indexes. Any window may then be asked about, by several threads at once. See HazardField for the promise.
class ShapeField {
public:
    /// @param shapes  a range of Shape or of what derives from it; only read while the field is made
    /// @param extent  the raster's own window   @param metric  of the raster, one size per row
    /// @param within  the only cells that are asked for: what is far from them is not prepared
    /// @throws InputError  as require_usable
    template <class Shapes>
    ShapeField(const Shapes& shapes, Window extent, const GroundMetric& metric, Window within)
        : ShapeField(shapes, extent, SizeBounds(metric), within) {}
    /// The same, for who makes several.
    /// @param sizes  only read while the field is made
    template <class Shapes>
    ShapeField(const Shapes& shapes, Window extent, const SizeBounds& sizes, Window within)
        : extent_(extent), within_(common(within, extent)), insides_(within_) {
        CapsuleCutter cutter(sizes, extent_, within_);
        std::uint32_t index = 0;
        for (const Shape& shape : shapes) {
            add(shape, index++, cutter);
        }
        arrange(cutter);
    }

    /// Calls mark(index, ShapePart, row, first column, last column) for runs of cells of a window that a
    /// shape touches; runs may overlap and come in any order.
    /// @param wanted  (index) whether a shape is asked for
    template <class Wanted, class Mark>
    void each_touched(Window window, Wanted&& wanted, Mark&& mark) const {
        const Box part = box_of(common(window, within_));
        if (part.empty()) return;
        insides_.each(part, wanted, [&](std::uint32_t shape, int row, int first, int last) {
            mark(std::size_t{shape}, ShapePart::inside, row, first, last);
        });
        capsule_tree_.each(part, [&](std::size_t i) {
            const std::size_t shape = capsules_[i].shape;
            if (wanted(shape)) {
                each_row(capsules_[i], sizes_[capsules_[i].size], part, [&](int row, int first, int last) {
                    mark(shape, ShapePart::outline, row, first, last);
                });
            }
        });
    }

    /// The raster's own window.
    [[nodiscard]] Window extent() const { return extent_; }
    /// What can be asked about.
    [[nodiscard]] Window within() const { return within_; }

private:
    void add(const Shape& shape, std::uint32_t index, CapsuleCutter& cutter);
    void arrange(CapsuleCutter& cutter);

    Window extent_, within_;
    std::vector<Capsule> capsules_;
    std::vector<CellSize> sizes_; ///< of these
    BoxTree capsule_tree_;
    Insides insides_;
};

} // namespace swingroom
