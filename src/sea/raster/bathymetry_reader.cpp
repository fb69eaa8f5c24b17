#include "sea/raster/bathymetry_reader.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"

#include "room/vectorised.hpp"
#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/locked_block.hpp"
#include "sea/raster/sound_values.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

namespace swingroom::bathymetry {
namespace {

template <class T>
[[gnu::always_inline]] inline bool plain_depths(const T* raw, int count, const Sound<T>& sound) {
    int plain = 1;
    for (int c = 0; c < count; ++c) {
        plain &= sound.plain_depth(raw[c]);
    }
    return plain != 0;
}

template <class T>
[[gnu::always_inline]] inline bool mark_missing_of(T* __restrict raw, int count, const Sound<T>& sound) {
    constexpr int stretch = 128; // most have nothing but depths
    int wrong = 0;
    for (int first = 0; first < count; first += stretch) {
        const int end = std::min(count, first + stretch);
        if (plain_depths(raw + first, end - first, sound)) continue;
        for (int c = first; c < end; ++c) {
            const T value = raw[c];
            const int missing = sound.missing(value);
            wrong |= sound.impossible(value) & (missing ^ 1);
            raw[c] = missing ? std::numeric_limits<T>::quiet_NaN() : value;
        }
    }
    return wrong == 0;
}

/// Turns what is missing into NaN. @returns false if some value cannot be a depth
SWINGROOM_VECTORISED bool mark_missing(float* raw, int count, Sound<float> sound) {
    return mark_missing_of(raw, count, sound);
}
SWINGROOM_VECTORISED bool mark_missing(double* raw, int count, Sound<double> sound) {
    return mark_missing_of(raw, count, sound);
}

/// One row of raw values, NaN where missing, to both planes; `half_m` gives the uncertainty by column and
/// depth.
template <class T, class Uncertainty>
[[gnu::always_inline]] inline void convert_row(const T* __restrict raw, int count, ToMetres to_depth_m,
                                               const Uncertainty& half_m, float* __restrict shoal,
                                               float* __restrict deep) {
    for (int c = 0; c < count; ++c) {
        const double depth_m = to_depth_m(static_cast<double>(raw[c]));
        const double u_m = half_m(c, depth_m);
        shoal[c] = narrow_normal_down(depth_m - u_m);
        deep[c] = narrow_normal_up(depth_m + u_m);
    }
}

/// The same uncertainty in every cell, as most rasters have it.
struct ConstantUncertainty {
    double half_m;
    double operator()(int, double) const { return half_m; }
};
SWINGROOM_VECTORISED void convert_row(const float* raw, int count, ToMetres to_depth_m,
                                      const ConstantUncertainty& half_m, float* shoal, float* deep) {
    convert_row<float, ConstantUncertainty>(raw, count, to_depth_m, half_m, shoal, deep);
}
SWINGROOM_VECTORISED void convert_row(const double* raw, int count, ToMetres to_depth_m,
                                      const ConstantUncertainty& half_m, float* shoal, float* deep) {
    convert_row<double, ConstantUncertainty>(raw, count, to_depth_m, half_m, shoal, deep);
}

/// A window as the bands hold it.
struct Raw {
    std::vector<float> depth_f; // one of these two is filled
    std::vector<double> depth_d;
    std::vector<float> half_width, other_half_width;
    std::vector<std::uint8_t> mask;
};

/// Whether a band holds more digits than a float.
bool needs_double(GDALRasterBand& band) {
    const GDALDataType type = band.GetRasterDataType();
    return type == GDT_Float64 || GDALGetDataTypeSizeBits(type) > 32 || type == GDT_Int32 ||
           type == GDT_UInt32;
}

/// How a band tells of blocks that were never written.
enum class Blocks { whole, unwritten, unknown };

Blocks blocks_of(GDALRasterBand& band, Window inside) {
    const GdalMessages messages;
    const int status = band.GetDataCoverageStatus(inside.col, inside.row, inside.cols, inside.rows,
                                                  GDAL_DATA_COVERAGE_STATUS_EMPTY, nullptr);
    if ((status & GDAL_DATA_COVERAGE_STATUS_UNIMPLEMENTED) != 0) return Blocks::unknown;
    return (status & GDAL_DATA_COVERAGE_STATUS_EMPTY) != 0 ? Blocks::unwritten : Blocks::whole;
}

template <class T>
bool all_zero(const T* values, std::size_t count) {
    return std::all_of(values, values + count, [](T v) { return v == 0; });
}

/// A block of the file that holds nothing but zeros: where a format does not tell which blocks were written,
/// that is what the others read as.
template <class T>
void refuse_blocks_of_zeros(const DepthBand& band, Window inside, const std::vector<T>& depth,
                            GDALDataType type) {
    constexpr std::size_t least_cells = 64; // that many cells of depth zero to the last digit are no chance
    int width = 0, height = 0;
    band.depths.band->GetBlockSize(&width, &height);
    const Window extent{0, 0, band.depths.band->GetXSize(), band.depths.band->GetYSize()};
    const auto zero_in = [&](Window part) {
        for (int r = part.row; r < part.row_end(); ++r) {
            const auto start =
                static_cast<std::size_t>(r - inside.row) * static_cast<std::size_t>(inside.cols) +
                static_cast<std::size_t>(part.col - inside.col);
            if (!all_zero(depth.data() + start, static_cast<std::size_t>(part.cols))) return false;
        }
        return true;
    };
    std::vector<T> whole;
    for (int row = inside.row / height * height; row < inside.row_end(); row += height) {
        for (int col = inside.col / width * width; col < inside.col_end(); col += width) {
            const Window block = common({col, row, width, height}, extent);
            if (block.cells() < least_cells || !zero_in(common(block, inside))) continue;
            whole.resize(block.cells());
            fetch(*band.depths.band, block, whole.data(), type, band.file);
            if (all_zero(whole.data(), whole.size())) {
                throw InputError(band.file,
                                 "has a block of nothing but zeros (column " + std::to_string(block.col) +
                                     ", row " + std::to_string(block.row) +
                                     "), as blocks read that were never written",
                                 "write it to a GeoTIFF in which missing cells hold a declared value "
                                 "(gdalwarp -dstnodata)");
            }
        }
    }
}

/// Half-widths as the band holds them, the greater of two where there are two.
void read_half_widths(const DepthBand& band, Window inside, Raw& raw) {
    raw.half_width.resize(inside.cells());
    fetch(*band.half_widths.band, inside, raw.half_width.data(), GDT_Float32, band.file);
    if (!band.also_half_widths) return;
    raw.other_half_width.resize(inside.cells());
    fetch(*band.also_half_widths, inside, raw.other_half_width.data(), GDT_Float32, band.file);
    for (std::size_t i = 0; i < raw.half_width.size(); ++i) {
        float& half_width = raw.half_width[i];
        const float other = raw.other_half_width[i];
        if (band.half_widths.missing(static_cast<double>(half_width))) continue;
        if (other > half_width || band.half_widths.missing(static_cast<double>(other))) half_width = other;
    }
}

/// The driver of a band, "MEM" for a grid of points that GDAL cannot open.
std::string format_of(const DepthBand& band) {
    GDALDataset* const dataset = band.depths.band->GetDataset();
    return dataset && dataset->GetDriver() ? dataset->GetDriver()->GetDescription() : "";
}

/// Depths as T, what the file's own mask hides as NaN.
template <class T>
void read_raw(const DepthBand& band, Window inside, std::vector<T>& depth, GDALDataType type, Raw& raw) {
    quieten_hdf5();
    depth.resize(inside.cells());
    fetch(*band.depths.band, inside, depth.data(), type, band.file);
    const Blocks blocks = band.may_be_unwritten ? blocks_of(*band.depths.band, inside) : Blocks::whole;
    if (blocks == Blocks::unwritten) {
        throw InputError(band.file,
                         "has blocks that were never written and declares no value for missing data",
                         "write it again, or declare one with " + declaring_nodata(format_of(band), "") +
                             " if it is meant so");
    }
    if (blocks == Blocks::unknown) refuse_blocks_of_zeros(band, inside, depth, type);
    if (band.has_half_widths()) read_half_widths(band, inside, raw);
    if (!band.depths.has_mask) return;
    raw.mask.resize(inside.cells());
    fetch(*band.depths.band->GetMaskBand(), inside, raw.mask.data(), GDT_Byte, band.file);
    for (std::size_t i = 0; i < depth.size(); ++i) {
        if (raw.mask[i] == 0) depth[i] = std::numeric_limits<T>::quiet_NaN();
    }
}

[[noreturn]] void refuse_value(const DepthBand& band, double raw) {
    // A grid of points that was read into memory GDAL cannot open.
    const bool only_points = format_of(band) == "MEM";
    const std::string declare = declaring_nodata(format_of(band), plain(raw));
    if (band.depths.is_mark(raw)) {
        throw InputError(
            band.file,
            "holds the value " + plain(raw) + ", mostly a mark for missing data, and does not declare it",
            (only_points ? "take these points out, or write nan" : "declare it with " + declare) +
                (only_points || band.depths.declares_missing
                     ? ""
                     : ", or, if it is a depth, declare a value that none of its cells has"));
    }
    if (band.range) {
        throw InputError(
            band.file,
            "holds the value " + plain(raw) + ", " + band.range->what + " of " + rounded(band.depth_m(raw)) +
                " m (can be " + plain(band.range->least_m) + " to " + plain(band.range->greatest_m) + " m)",
            "check its unit (gdal_edit.py -units), or declare the value as missing data with " + declare);
    }
    throw InputError(band.file,
                     "holds the value " + plain(raw) + ", a depth of " + rounded(band.depth_m(raw)) +
                         " m, which no sea has (" + plain(-highest_m) + " to " + plain(deepest_m) + " m)",
                     "check " + Setting::depth_unit +
                         (only_points ? ", or take these points out, or write nan"
                                      : ", or declare the value as missing data with " + declare));
}

template <class T>
Sound<T> sound_values(const DepthBand& band) {
    return {band.depths, band.depth_m, band.range ? band.range->least_m : -highest_m,
            band.range ? band.range->greatest_m : deepest_m};
}

/// The first value that cannot be a depth, refused.
template <class T>
void refuse_impossible(const DepthBand& band, const std::vector<T>& raw) {
    const auto sound = sound_values<T>(band);
    for (const T value : raw) {
        if (sound.impossible(value) && !sound.missing(value)) refuse_value(band, static_cast<double>(value));
    }
}

/// Half-width of one value of an uncertainty band, metres; NaN where it is missing or useless.
double known_half_width_m(const DepthBand& band, double raw) {
    const double half_m = band.half_width_m(raw);
    const bool known = !band.half_widths.missing(raw) && half_m >= 0 && half_m <= useless_uncertainty_m;
    return known ? half_m : std::numeric_limits<double>::quiet_NaN();
}

/// The same where the height of chart datum is known between two sides. An uncertainty grows with how far a
/// depth is from chart datum, to either side.
template <class T, class Uncertainty>
void convert_row_over(const float* least_m, const float* greatest_m, const T* raw, int count,
                      ToMetres to_height_m, Uncertainty half_m, float* shoal, float* deep) {
    for (int c = 0; c < count; ++c) {
        const double height_m = to_height_m(static_cast<double>(raw[c]));
        const double shoalest_m = height_m + double{least_m[c]}, deepest_m = height_m + double{greatest_m[c]};
        const double u_m = std::max(half_m(c, shoalest_m), half_m(c, deepest_m));
        const bool known = !std::isnan(u_m) && !std::isnan(height_m);
        shoal[c] = known ? narrow_down(shoalest_m - u_m) : unsurveyed;
        deep[c] = known ? narrow_up(deepest_m + u_m) : unsurveyed;
    }
}

/// Fills both planes in a window.
/// @param raw_row  gives the values of a row of it, which become NaN where missing
/// @returns false if some value cannot be a depth
template <class T, class RawRow>
bool convert(const DepthBand& band, Window inside, const RawRow& raw_row, const float* half_width,
             const DepthPlanes* datum, DepthPlanes& depths) {
    const DepthUncertainty& uncertainty = band.uncertainty;
    const bool constant = uncertainty.kind() == DepthUncertainty::Kind::none ||
                          uncertainty.kind() == DepthUncertainty::Kind::constant;
    const double constant_m = constant ? uncertainty.at(0) : 0;
    const auto sound = sound_values<T>(band);
    for (int r = inside.row; r < inside.row_end(); ++r) {
        T* const raw = raw_row(r);
        const auto row = [&](auto half_m) {
            if (datum != nullptr) {
                convert_row_over(&datum->shoal_m.at(inside.col, r), &datum->deep_m.at(inside.col, r), raw,
                                 inside.cols, band.depth_m, half_m, &depths.shoal_m.at(inside.col, r),
                                 &depths.deep_m.at(inside.col, r));
                return;
            }
            convert_row(raw, inside.cols, band.depth_m, half_m, &depths.shoal_m.at(inside.col, r),
                        &depths.deep_m.at(inside.col, r));
        };
        if (!mark_missing(raw, inside.cols, sound)) return false;
        if (band.has_half_widths()) {
            row([&](int c, double) { return known_half_width_m(band, static_cast<double>(half_width[c])); });
            half_width += inside.cols;
        } else if (constant) {
            row(ConstantUncertainty{constant_m});
        } else {
            row([&](int, double depth_m) { return uncertainty.at(depth_m); });
        }
    }
    return true;
}

/// Whether blocks of the file hold all that is to be known of its depths.
bool blocks_tell_all(const DepthBand& band) {
    return format_of(band) == "GTiff" && !band.depths.has_mask && !band.may_be_unwritten &&
           !band.has_half_widths();
}

/// Fills both planes from the blocks that GDAL has decoded, without a copy of the whole window.
/// @returns false if there is anything to be complained of, which reading it as a whole does
template <class T>
bool convert_blocks(const DepthBand& band, Window inside, GDALDataType type, std::mutex& one_at_a_time,
                    std::vector<T>& values, const DepthPlanes* datum, DepthPlanes& depths) {
    int width = 0, height = 0;
    band.depths.band->GetBlockSize(&width, &height);
    values.resize(static_cast<std::size_t>(width));
    for (int row = inside.row / height; row * height < inside.row_end(); ++row) {
        for (int col = inside.col / width; col * width < inside.col_end(); ++col) {
            const LockedBlock block(*band.depths.band, col, row, one_at_a_time);
            if (!block.read()) return false;
            const Window part = common(inside, {col * width, row * height, width, height});
            const auto raw_row = [&](int r) {
                block.copy(part.col - col * width, r - row * height, part.cols, type, values.data());
                return values.data();
            };
            if (!convert<T>(band, part, raw_row, nullptr, datum, depths)) return false;
        }
    }
    return true;
}

/// The same of one band of the file.
std::int64_t decoded_bytes_of(GDALRasterBand& band, Window inside) {
    int width = 0, height = 0;
    band.GetBlockSize(&width, &height);
    const auto blocks = [](int first, int end, int side) {
        return std::int64_t{(end - 1) / side} - first / side + 1;
    };
    return blocks(inside.col, inside.col_end(), width) * width *
           blocks(inside.row, inside.row_end(), height) * height *
           GDALGetDataTypeSizeBytes(band.GetRasterDataType());
}

} // namespace

std::int64_t decoded_bytes(const DepthBand& band, Window inside) {
    if (inside.empty()) return 0;
    std::int64_t bytes = decoded_bytes_of(*band.depths.band, inside);
    if (band.has_half_widths()) bytes += decoded_bytes_of(*band.half_widths.band, inside);
    if (band.also_half_widths != nullptr) bytes += decoded_bytes_of(*band.also_half_widths, inside);
    if (band.depths.has_mask) bytes += decoded_bytes_of(*band.depths.band->GetMaskBand(), inside);
    return bytes;
}

void read_depths(const DepthBand& band, Window inside, std::mutex& one_at_a_time, DepthPlanes& depths,
                 const DepthPlanes* datum) {
    thread_local Raw raw; // kept, since a block asks for as much as the one before it
    const auto read_as = [&]<class T>(std::vector<T>& depth, GDALDataType type) {
        if (blocks_tell_all(band) &&
            convert_blocks(band, inside, type, one_at_a_time, depth, datum, depths)) {
            return;
        }
        {
            const std::lock_guard lock(one_at_a_time);
            read_raw(band, inside, depth, type, raw);
        }
        const auto raw_row = [&](int r) {
            return depth.data() +
                   static_cast<std::size_t>(r - inside.row) * static_cast<std::size_t>(inside.cols);
        };
        if (!convert<T>(band, inside, raw_row, raw.half_width.data(), datum, depths)) {
            refuse_impossible(band, depth);
        }
    };
    if (needs_double(*band.depths.band)) {
        read_as(raw.depth_d, GDT_Float64);
    } else {
        read_as(raw.depth_f, GDT_Float32);
    }
}

} // namespace swingroom::bathymetry
