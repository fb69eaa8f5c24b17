#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/depths/shoal_biased.hpp"

#include <memory>
#include <string>

namespace swingroom {

/// A raster of heights, as open_heights() has them, read on the grid of another: for each cell the least and
/// the greatest of all its cells that share some of its area, as far as it is certain where they lie. Const
/// calls may come from several threads.
class HeightField {
public:
    /// @param grid_name  for messages
    /// @throws InputError  no known transformation ties the two, or it has no value where the grid lies
    HeightField(std::unique_ptr<DepthSource> raster, const Grid& grid, const std::string& grid_name);

    /// Fills both planes, `shoal_m` with the least and `deep_m` with the greatest height; NaN where it does
    /// not know the whole of a cell, and outside of the grid.   @throws IoError
    void read(Window where, DepthPlanes& heights) const;

    /// Bounds of all that can be met on the grid.
    [[nodiscard]] double least_m() const { return least_m_; }
    [[nodiscard]] double greatest_m() const { return greatest_m_; }
    /// The raster itself, and the cells of it that may bear on the grid.
    [[nodiscard]] const DepthSource& raster() const { return *raster_; }
    [[nodiscard]] const Window& region() const { return region_; }
    /// How well its datum is tied to that of the grid, metres.
    [[nodiscard]] double accuracy_m() const { return biased_.link().accuracy_m(); }
    /// "-0.32 to 0.1 m": its least and greatest height.
    [[nodiscard]] std::string range_text() const;

private:
    void measure(const std::string& grid_name);

    std::unique_ptr<DepthSource> raster_;
    Grid grid_;
    ShoalBiased biased_;
    Window region_;
    double least_m_, greatest_m_;
};

/// Cells of one grid that another, here, may touch at all; bounds that err to the large side.
Window touched_region(const Grid& here, const Grid& there, const std::string& here_name,
                      const std::string& there_name);

/// A cell with a depth touches what a raster of heights does not know. Who only asks what rasters hold goes
/// on without it.
class HeightUnknown final : public InputError {
public:
    using InputError::InputError;
};

/// A place as an error names it: "5.123400 53.123400 (column 3, row 7 of depths.tif)".
std::string place_text(const Grid& grid, const std::string& grid_name, int col, int row);

} // namespace swingroom
