#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/water/uncertainty.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// What the user says about a bathymetry raster; what is not said is read from the file where its format
/// defines it, else refused.
struct BathymetryRequest {
    std::string file;
    std::optional<bool> positive_down;     ///< --positive down | up
    std::optional<std::string> depth_unit; ///< --depth-unit m | ft | fm | ...
    std::optional<double> chart_datum_m;   ///< --chart-datum: height of chart datum above the raster's datum
    std::optional<DepthUncertainty> uncertainty; ///< --uncertainty
    std::optional<std::string> crs;              ///< --crs, for a raster that names none
};

/// Chart depths of a block: metres below chart datum, positive down, NaN where unsurveyed.
struct DepthPlanes {
    Plane<float> shoal_m; ///< depth less its uncertainty, rounded down; of a cell's shoalest sounding
    Plane<float> deep_m;  ///< depth plus it, rounded up; of its deepest
    /// Which of DepthSource::sources() the shoal depth is from, the first being 1; 0 where unsurveyed.
    /// Without a window where there is only one.
    Plane<std::uint8_t> source;
};

/// Chart depths by window. Sign, unit, datum, nodata and format end behind this.
struct DepthSource {
    virtual ~DepthSource() = default;
    [[nodiscard]] virtual const Grid& grid() const = 0;
    /// Fills the planes for a window, which may reach outside the raster: NaN and 0 there. Safe to call from
    /// several threads.   @throws IoError when reading fails
    virtual void read(Window where, DepthPlanes& depths) const = 0;
    /// Half of how far the two planes can be apart in any cell, in metres (a bound, not a statistic).
    [[nodiscard]] virtual double greatest_uncertainty_m() const = 0;
    /// What was read from the file, what the user said, for the provenance: "sign: positive up (BAG)", ...
    [[nodiscard]] virtual std::vector<std::string> assumptions() const = 0;
    /// The file and its sidecars that bore on the result, for the manifest's digests.
    [[nodiscard]] virtual std::vector<std::string> files() const = 0;
    /// What depths are taken from, at most `most_sources`: rasters by their file names, the finest first.
    [[nodiscard]] virtual std::vector<std::string> sources() const { return {"depths"}; }
};

/// A byte tells them apart, and 0 is none.
inline constexpr std::size_t most_sources = 255;

/// Opens a raster in any format GDAL reads.
/// @throws InputError  no such file, a vector file, no CRS, no or a rotated or impossible geotransform, sign,
/// unit, datum or uncertainty
///                     neither in the file nor said, or said against the file; the line names the option to
///                     give
/// @throws IoError     truncated or unreadable
std::unique_ptr<DepthSource> open_bathymetry(const BathymetryRequest& request);

/// Depths held in memory, for tests and trials.
std::unique_ptr<DepthSource> memory_bathymetry(Grid grid, std::vector<float> depth_m,
                                               DepthUncertainty uncertainty);

} // namespace swingroom
