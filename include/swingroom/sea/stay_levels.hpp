#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/water/levels.hpp"

#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// What is said of one of the two levels of a stay.
struct LevelRequest {
    double level_m = 0; ///< above chart datum, the same everywhere
    std::string file{}; ///< a raster of it, in the place of the number; empty: there is none
};
/// What is said of both.
struct LevelsRequest {
    LevelRequest low, high; ///< lowest and highest level of the stay
    /// Whether either of them changes from place to place.
    [[nodiscard]] bool vary() const { return !low.file.empty() || !high.file.empty(); }
};

/// How the levels of cells stand to those that a boat's tables are made for, metres. Never NaN.
struct LevelPlanes {
    Plane<float> rise_m;   ///< how much higher the lowest level is
    Plane<float> excess_m; ///< how much greater the range from the lowest to the highest level is; >= 0
};

/// The two levels of a stay where they change along a coast. A cell's lowest level is the least, and its
/// highest the greatest, of all cells of the raster that share some of its area, as far as the transformation
/// between the two is certain.
///
/// A boat's tables are made for one pair of levels, reference(), and depths are shifted: the shoal side by
/// how much a cell's lowest level is higher, the deep side by how much its highest is. Then the water over
/// either side, at its own level, is what it is, and so is all that follows from it. The reference does not
/// depend on the window of a run, so that what is said of a cell does not either. Const calls may come from
/// several threads.
class StayLevels {
public:
    /// Levels above chart datum, metres, of a raster as of open_bathymetry(): both planes hold the value.
    struct Level {
        double level_m = 0;                  ///< the same everywhere
        std::unique_ptr<DepthSource> raster; ///< in its place; null: there is none
    };
    /// @param grid  whose cells the levels are for; of at least one level there is a raster
    /// @param grid_name  for messages
    /// @throws InputError  a raster has no level where the grid lies, or cannot be tied to it
    /// @throws IoError     reading fails
    StayLevels(Level low, Level high, const Grid& grid, const std::string& grid_name);
    ~StayLevels();
    StayLevels(StayLevels&&) noexcept;
    StayLevels& operator=(StayLevels&&) noexcept;

    /// The levels that tables are to be made for: the least that is met anywhere on the grid, and as much
    /// above it as the range is everywhere at the least. What lies in the water with a least depth is so
    /// judged by the least of all levels.
    /// @param clearance_datum_m  the level that charted clearances are given over. It is returned lower by
    /// how
    ///     much the greatest of all levels is above the reference's highest: what hangs overhead is so judged
    ///     by the greatest
    [[nodiscard]] WaterLevels reference(double clearance_datum_m = 0) const;
    /// The greatest level that is met anywhere on the grid.
    [[nodiscard]] double greatest_high_m() const;
    /// A bound of LevelPlanes::excess_m: by so much tables have to reckon with sides of a depth that are
    /// farther apart than those of DepthSource::greatest_uncertainty_m().
    [[nodiscard]] double greatest_excess_m() const;

    /// Shifts depths as told above, and tells by how much, for the same window. Land that stands above the
    /// greatest level of all needs no level of its own.
    /// @throws InputError  a cell with a depth touches a place that a raster does not know, or its lowest
    ///                     level is above its highest   @throws IoError  reading fails
    void shift(DepthPlanes& depths, LevelPlanes& levels) const;

    /// What was read, for the provenance.
    [[nodiscard]] std::vector<Fact> facts() const;
    /// The files of the rasters and what lies beside them, for digests.
    [[nodiscard]] std::vector<std::string> files() const;

private:
    struct State;
    std::unique_ptr<const State> state_;
};

/// Opens the rasters of the levels. Their unit is the metre unless they state another.
/// @throws InputError  as open_bathymetry(); also no CRS, several bands, a unit that is not known, and a
/// value
///                     that is no level (-20 to 30 m)
StayLevels open_levels(const LevelsRequest& request, const Grid& grid, const std::string& grid_name);

} // namespace swingroom
