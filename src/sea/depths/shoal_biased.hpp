#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include "sea/depths/gathered_depths.hpp"
#include "sea/ground/grid_link.hpp"

#include <cstdint>

namespace swingroom {

/// Cells a side of a patch, which are placed in the source together. Patches count from the grid's corner, so
/// that what a cell gets does not depend on what is read with it.
inline constexpr int patch_cells = 128;

/// One raster read on the grid of another: for each cell the shoalest and the deepest of all its cells that
/// share some of its area, as far as it is certain where they lie.
class ShoalBiased {
public:
    /// @param number  what the plane of sources gets where this one has a depth
    /// @pre both outlive it   @throws InputError  no known transformation ties the two
    ShoalBiased(const DepthSource& source, const Grid& grid, const std::string& grid_name,
                std::uint8_t number);

    /// Adds what the source knows of the open cells of a tile.
    /// @pre the tile lies inside the grid and inside one patch
    void add_to(GatheredDepths& depths) const;

    /// From the grid, which is here, to the source, which is there.
    [[nodiscard]] const GridLink& link() const { return link_; }

private:
    /// @param patch  whose cells are placed together; the wanted ones are a part of it
    void add_patch(Window patch, Window wanted, GatheredDepths& depths) const;
    void resample(const PlacedCells& placed, Window wanted, GatheredDepths& depths) const;
    void resample_each(const PlacedCells& placed, Window wanted, const DepthPlanes& seen,
                       GatheredDepths& depths) const;
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
