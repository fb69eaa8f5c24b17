#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/room/metric.hpp"

#include "room/shape_field.hpp"

#include <cstddef>
#include <vector>

namespace swingroom {

/// Which cells the charted anchorages of a run touch: of the shapes themselves, since neither a margin nor
/// how surely they are placed belongs to them.
class Anchorages {
public:
    /// @param hazards  only read while this is made   @param window  the only cells that are asked for
    Anchorages(const HazardField& hazards, const GroundMetric& metric, Window extent, Window window);

    /// Cells of one row from first to last, both included, of one anchorage.
    struct Stretch {
        int row = 0, first = 0, last = 0; ///< in cells of the raster
        std::size_t anchorage = 0;        ///< by anchorage_labels()
    };
    /// Those of a block, by row, then by anchorage, then by column; no cell of an anchorage twice.
    [[nodiscard]] std::vector<Stretch> in(Window block) const;

private:
    std::vector<std::size_t> anchorage_of_; ///< by shape
    ShapeField field_;
};

} // namespace swingroom
