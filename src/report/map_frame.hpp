#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/georeference.hpp"

namespace swingroom {

/// A rectangle of a grid as a picture: units to the right and down, the longer side so many of them, its
/// shape that of the ground at its middle, where cells need not be square. Rasters whose rows count
/// northwards are turned over, so that north is up as far as the grid has it so.
class MapFrame {
public:
    /// @param georeference  of the grid; must outlive the frame
    MapFrame(const Grid& grid, const Georeference& georeference, Window cells, double longest_units);

    /// What is shown, in cells of the grid.
    [[nodiscard]] const Window& cells() const { return cells_; }
    /// Whether the grid's first row is at the lower edge of the picture.
    [[nodiscard]] bool turned_over() const { return turned_over_; }
    /// The grid's own, as the frame was given it.
    [[nodiscard]] const Georeference& georeference() const { return *georeference_; }
    /// Of the picture, in units; like the height at most the units asked for.
    [[nodiscard]] double width() const { return cells_.cols * col_units_; }
    /// Of the picture, in units.
    [[nodiscard]] double height() const { return cells_.rows * row_units_; }
    /// Units to a column of cells.
    [[nodiscard]] double col_units() const { return col_units_; }
    /// Units to a row of cells.
    [[nodiscard]] double row_units() const { return row_units_; }
    /// Units to a metre at the middle, for the scale bars.
    [[nodiscard]] double units_per_m() const { return units_per_m_; }
    /// Degrees clockwise from up to true north, at the middle.
    [[nodiscard]] double north_deg() const { return north_deg_; }

    /// From grid space to the picture, also for places outside of it.
    [[nodiscard]] GridPoint of_cell(GridPoint cell) const;
    /// From a position on earth to the picture.   @throws InputError  the grid's CRS has no place for it
    [[nodiscard]] GridPoint of_position(LonLat position) const;
    /// Whether a place of the picture lies within its edges.
    [[nodiscard]] bool shows(GridPoint in_picture) const {
        return in_picture.x >= 0 && in_picture.y >= 0 && in_picture.x <= width() && in_picture.y <= height();
    }
    /// Units of a length at a place, across and down: what is round on the ground need not be in the picture.
    [[nodiscard]] GridPoint units_of(double metres, LonLat at) const;

private:
    [[nodiscard]] CellSize cell_size(GridPoint at) const;

    const Georeference* georeference_;
    Window cells_;
    bool turned_over_;
    double col_units_ = 1, row_units_ = 1, units_per_m_ = 1, north_deg_ = 0;
};

} // namespace swingroom
