#include "sea/raster/bathymetry_values.hpp"

#include "swingroom/base/error.hpp"

#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <algorithm>
#include <cstdint>
#include <vector>

namespace swingroom::bathymetry {

BandValues values_of(GDALRasterBand& band, const std::string& driver, const std::string& file) {
    BandValues values;
    values.band = &band;
    if (driver == "BAG" || driver == "S102") values.also_nodata = 1e6;
    int given = 0;
    values.scale = band.GetScale(&given);
    if (!given) values.scale = 1;
    values.offset = band.GetOffset(&given);
    if (!given) values.offset = 0;
    if (!std::isfinite(values.scale) || values.scale == 0 || !std::isfinite(values.offset)) {
        throw InputError(file, "has a scale or offset that is zero or not finite", "correct its metadata");
    }
    const double nodata = band.GetNoDataValue(&given);
    // Compared in the band's own precision: -9999.9 is not the same number as a float and as a double.
    if (given && std::abs(nodata) < sentinel) {
        values.nodata = band.GetRasterDataType() == GDT_Float32
                            ? static_cast<double>(static_cast<float>(nodata))
                            : nodata;
    }
    const int flags = band.GetMaskFlags();
    values.has_mask = (flags & (GMF_ALL_VALID | GMF_NODATA)) == 0;
    values.declares_missing = given != 0 || values.has_mask || !std::isnan(values.also_nodata);
    return values;
}

void find_marks(BandValues& depths, ToMetres to_depth_m) {
    auto next = depths.marks.begin();
    const auto mark = [&](double raw) { *next++ = raw; };
    for (const double nines : {9999.0, 99999.0, 999999.0}) {
        mark(nines);
        mark(-nines);
    }
    const auto extremes = [&](double least, double most) {
        if (least < 0) mark(least);
        mark(most);
    };
    switch (depths.band->GetRasterDataType()) {
    case GDT_Byte:
        extremes(0, 255);
        break;
    case GDT_UInt16:
        extremes(0, 65535);
        break;
    case GDT_Int16:
        extremes(-32768, 32767);
        mark(-32767);
        break;
    case GDT_UInt32:
        extremes(0, 4294967295.0);
        break;
    case GDT_Int32:
        extremes(-2147483648.0, 2147483647.0);
        break;
    default:
        break;
    }
    if (depths.declares_missing) return;
    // Depths of 99 m or, in centimetres, of 9.99 m are met in good files: only where nothing is declared.
    for (const double nines : {99.0, 999.0}) {
        const double as_water = to_depth_m.factor < 0 ? -nines : nines;
        if (to_depth_m(as_water) > 0) mark(as_water);
    }
    for (const double extreme : {-32768.0, -32767.0, 32767.0, 65535.0}) {
        if (!depths.is_mark(extreme)) mark(extreme);
    }
}

std::string value_range(const BandValues& depths, Window extent, const std::string& file) {
    constexpr int patch = 256, across = 8;
    const bool whole = extent.cells() <= 16'000'000;
    const int across_x = whole ? 1 : std::min(across, extent.cols / patch + 1);
    const int across_y =
        whole ? (extent.rows + patch - 1) / patch : std::min(across, extent.rows / patch + 1);
    double least = std::numeric_limits<double>::infinity(), most = -least;
    std::vector<double> values;
    for (int j = 0; j < across_y; ++j) {
        for (int i = 0; i < across_x; ++i) {
            const auto start = [](int k, int count, int size) {
                return count < 2 ? 0 : static_cast<int>(std::int64_t{size} * k / count);
            };
            const Window w = common({start(i, across_x, extent.cols), start(j, across_y, extent.rows),
                                     whole ? extent.cols : patch, patch},
                                    extent);
            values.resize(w.cells());
            fetch(*depths.band, w, values.data(), GDT_Float64, file);
            for (const double raw : values) {
                if (!depths.missing(raw)) {
                    const double v = raw * depths.scale + depths.offset;
                    least = std::min(least, v);
                    most = std::max(most, v);
                }
            }
        }
    }
    if (least > most) return "no value seen in it";
    return (whole ? "they run from " : "those looked at run from ") + rounded(least) + " to " + rounded(most);
}

} // namespace swingroom::bathymetry
