#pragma once

#include "swingroom/chart/bathymetry.hpp"

#include "grid_link.hpp"

#include <cstdint>

namespace swingroom {

/// One raster read on the grid of another: for each cell the shoalest and the deepest of all its cells that
/// share some of its area, as far as it is certain where they lie.
class ShoalBiased {
public:
    /// @param number  what the plane of sources gets where this one has a depth
    /// @pre both outlive it   @throws InputError  no known transformation ties the two
    ShoalBiased(const DepthSource& source, const Grid& grid, const std::string& grid_name,
                std::uint8_t number);

    /// Fills the cells of a window that have no depth yet, where the source has one in all that they touch.
    /// What a cell gets does not depend on the window.
    /// @param wanted  inside the grid and the planes
    void fill(Window wanted, DepthPlanes& depths) const;

    [[nodiscard]] const GridLink& link() const { return link_; }

private:
    /// @param patch  whose cells are placed together; the wanted ones are a part of it
    void fill_patch(Window patch, Window wanted, DepthPlanes& depths) const;
    void resample(const PlacedCells& placed, Window wanted, DepthPlanes& depths) const;
    /// Cells of the source that a patch, or a part of it, can touch; columns go on beyond the seam of one
    /// that goes all round the globe.
    [[nodiscard]] Window touched(const PlacedCells& placed, Window part) const;
    /// Reads a window of the source, columns in any turn of the globe.
    void read(Window where, DepthPlanes& seen) const;

    const DepthSource& source_;
    const Grid& grid_;
    GridLink link_;
    Window reach_;    ///< of the source in the grid
    Window readable_; ///< the source's extent; as wide as wanted if it goes all round the globe
    std::uint8_t number_;
};

} // namespace swingroom
