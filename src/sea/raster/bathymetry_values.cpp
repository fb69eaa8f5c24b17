#include "sea/raster/bathymetry_values.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/grid.hpp"

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

namespace {

/// Windows of at most `side` cells a side spread evenly over a raster, 8 x 8 at the most.
std::vector<Window> patches_over(Window extent, int side) {
    const auto starts = [side](int size) {
        constexpr int across = 8;
        const int count = size / side < across ? size / side + 1 : across;
        std::vector<int> at;
        for (int i = 0; i < count; ++i) {
            at.push_back(count < 2 ? 0 : static_cast<int>(std::int64_t{size - side} * i / (count - 1)));
        }
        return at;
    };
    std::vector<Window> patches;
    for (const int row : starts(extent.rows)) {
        for (const int col : starts(extent.cols)) {
            patches.push_back(common({col, row, side, side}, extent));
        }
    }
    return patches;
}

/// "none", "all", "38 %": never a whole that is not one.
std::string part_of_all(std::size_t part, std::size_t all) {
    if (part == 0) return "none";
    if (part == all) return "all";
    const double share = static_cast<double>(part) / static_cast<double>(all);
    return plain(std::clamp(std::round(100 * share), 1.0, 99.0)) + " %";
}

} // namespace

bool look_at_values(const BandValues& depths, const std::string& file, std::size_t quick,
                    const std::function<bool(std::span<const double>)>& take) {
    constexpr int side = 256;
    const Window extent{0, 0, depths.band->GetXSize(), depths.band->GetYSize()};
    const bool whole = extent.cells() <= quick;
    std::vector<double> values;
    for (const Window window : whole ? cut_into_blocks(extent, side) : patches_over(extent, side)) {
        values.resize(window.cells());
        fetch(*depths.band, window, values.data(), GDT_Float64, file);
        std::erase_if(values, [&](double raw) { return depths.missing(raw); });
        for (double& value : values) {
            value = value * depths.scale + depths.offset;
        }
        if (!take(values)) break;
    }
    return whole;
}

std::string value_range(const BandValues& depths, const std::string& file) {
    constexpr std::size_t quick = 16'000'000;
    double least = std::numeric_limits<double>::infinity(), most = -least;
    std::size_t seen = 0, below = 0;
    const bool whole = look_at_values(depths, file, quick, [&](std::span<const double> values) {
        for (const double value : values) {
            least = std::min(least, value);
            most = std::max(most, value);
            below += value < 0 ? 1 : 0;
        }
        seen += values.size();
        return true;
    });
    if (seen == 0) return "no value seen in it";
    return (whole ? "they run from " : "those looked at, in patches all over it, run from ") +
           rounded(least) + " to " + rounded(most) + ", " + part_of_all(below, seen) + " of them below 0";
}

} // namespace swingroom::bathymetry
