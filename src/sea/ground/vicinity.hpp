#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"

#include <ogr_geometry.h>

#include <memory>
#include <optional>

namespace swingroom {

/// Bounds of a grid in longitude and latitude, longitudes continuous, and a little more: 5 % and a hundredth
/// of a degree.
OGREnvelope lonlat_bounds(const Grid& grid);

/// A box as a polygon.
std::unique_ptr<OGRGeometry> box_of(const OGREnvelope& bounds);

/// What is near enough to cells to bear on them: by boxes of longitude and latitude, so that what is far away
/// need not be looked at. It errs by taking things for near.
class Vicinity {
public:
    /// Everything is near.
    Vicinity() = default;
    /// @param cells    a window of the grid   @param georeference  of that grid
    /// @param reach_m  how far around the cells anything may matter
    Vicinity(const Georeference& georeference, Window cells, double reach_m);

    /// Whether something in this box, longitudes in any turn, may lie within the reach, or within so much
    /// more.
    [[nodiscard]] bool may_hold(const OGREnvelope& lonlat, double more_m = 0) const;
    /// The box around the cells with their reach; none where everything is near.
    [[nodiscard]] const std::optional<OGREnvelope>& box() const { return box_; }

private:
    std::optional<OGREnvelope> box_;
};

} // namespace swingroom
