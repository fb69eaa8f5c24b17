#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include "sea/raster/bathymetry_values.hpp"

#include <cstdint>
#include <mutex>
#include <optional>
#include <string>

namespace swingroom::bathymetry {

/// A band of depths and all that turns its values into planes of metres below chart datum.
struct DepthBand {
    std::string file;              ///< as the user wrote it, for errors
    BandValues depths;             ///< raw, as the file holds them
    ToMetres depth_m;              ///< from raw to metres below chart datum
    bool may_be_unwritten = false; ///< blocks that were never written may read as zeros
    DepthUncertainty uncertainty = DepthUncertainty::none(); ///< how far the depths may be off
    BandValues half_widths{}; ///< for an uncertainty of Kind::band, with the next one
    ToMetres half_width_m{};  ///< from raw to metres
    /// Of the same kind: where it is greater or missing, it counts instead.
    GDALRasterBand* also_half_widths = nullptr;
    /// Of a raster of heights, which are read as they are; none: its values are depths.
    std::optional<HeightRange> range{};

    /// Whether each cell has an uncertainty of its own.
    [[nodiscard]] bool has_half_widths() const { return uncertainty.kind() == DepthUncertainty::Kind::band; }
};

/// Fills both planes there; a cell without a depth or an uncertainty becomes NaN. Safe to call from several
/// threads.
/// @param inside  within the raster and within both planes
/// @param datum   of each cell there the least and the greatest height of chart datum above the raster's own,
///                which DepthBand::depth_m does not have in it then; null: it has
/// @param one_at_a_time  guards the datasets of the band: a GDAL handle serves one thread at a time
/// @throws IoError when reading fails; InputError for a value that no sea has
void read_depths(const DepthBand& band, Window inside, std::mutex& one_at_a_time, DepthPlanes& depths,
                 const DepthPlanes* datum = nullptr);

/// Bytes of the blocks of the file, decoded, that a window within the raster touches. Parts of a virtual
/// raster have blocks of their own, which are not known here.
std::int64_t decoded_bytes(const DepthBand& band, Window inside);

} // namespace swingroom::bathymetry
