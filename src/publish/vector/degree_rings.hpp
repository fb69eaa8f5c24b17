#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace swingroom {

/// No chord of DegreeRings strays farther from what it stands for.
inline constexpr double greatest_bend_m = 0.005;

/// Draws rings of the grid in longitude and latitude, closely enough for their edges to be straight there: a
/// straight edge of the grid is a curve, the more so the nearer to a pole.
class DegreeRings {
public:
    /// @param georeference  outlives this   @param least  cell size of the raster
    DegreeRings(const Georeference& georeference, CellSize least);

    /// @param ring  first corner repeated last, as it is in what is returned
    [[nodiscard]] std::vector<GridPoint> of(const std::vector<GridPoint>& ring);

private:
    struct Place {
        GridPoint grid, degrees;
    };
    /// A square that was looked at.
    struct Square {
        std::int64_t col = 0, row = 0; ///< counted in squares
        double bend_m = 0;             ///< bend_around_m() there
    };
    [[nodiscard]] Place place(GridPoint grid) const;
    void draw(const Place& from, const Place& to, double length_m);
    [[nodiscard]] bool hardly_bends(GridPoint from, GridPoint to);
    [[nodiscard]] const Square& square_at(GridPoint point);
    [[nodiscard]] double bend_around_m(GridPoint square) const;

    const Georeference& georeference_;
    GridPoint longest_, side_; ///< of a piece of an edge, and of a square: in columns and rows
    /// Since an outline comes back to where it was, some more than the last one are kept: by their place,
    /// each until another one takes it.
    std::vector<std::optional<Square>> squares_;
    std::vector<GridPoint> drawn_;
};

} // namespace swingroom
