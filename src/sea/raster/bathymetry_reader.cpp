#include "sea/raster/bathymetry_reader.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"

#include "room/vectorised.hpp"
#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <tuple>
#include <vector>

namespace swingroom::bathymetry {
namespace {

/// What a depth can be, in raw values of type T.
template <class T>
struct Sound {
    T nodata, also_nodata, least, most;
    std::array<T, std::tuple_size_v<decltype(BandValues::marks)>> marks;
    /// Between these, next to which lies the least or the most or a value with a meaning, all are depths.
    T above, below;

    /// @param least_m, greatest_m  what the values may be
    Sound(const BandValues& band, ToMetres to_depth_m, double least_m, double greatest_m)
        : nodata(static_cast<T>(band.nodata)), also_nodata(static_cast<T>(band.also_nodata)) {
        const double at_deepest = (greatest_m - to_depth_m.constant) / to_depth_m.factor,
                     at_highest = (least_m - to_depth_m.constant) / to_depth_m.factor;
        least = static_cast<T>(std::max(-sentinel, std::min(at_deepest, at_highest)));
        most = static_cast<T>(std::min(sentinel, std::max(at_deepest, at_highest)));
        for (std::size_t i = 0; i < marks.size(); ++i) {
            marks[i] = static_cast<T>(band.marks[i]);
        }
        above = least;
        below = most;
        keep_out(nodata);
        keep_out(also_nodata);
        std::for_each(marks.begin(), marks.end(), [this](T mark) { keep_out(mark); });
    }
    /// Whether a value is surely a depth; not every depth is.
    [[nodiscard]] int plain_depth(T raw) const {
        return static_cast<int>(raw > above) & static_cast<int>(raw < below);
    }
    [[nodiscard]] int missing(T raw) const { // bitwise, no branch
        return static_cast<int>(!(std::abs(raw) < static_cast<T>(sentinel))) |
               static_cast<int>(raw == nodata) | static_cast<int>(raw == also_nodata);
    }
    [[nodiscard]] int impossible(T raw) const {
        int marked = 0;
        for (const T mark : marks) {
            marked |= static_cast<int>(raw == mark);
        }
        return static_cast<int>(!(raw <= most)) | static_cast<int>(!(raw >= least)) | marked;
    }

private:
    void keep_out(T value) { // most depths are about zero
        if (value < 0) {
            above = std::max(above, value);
        } else if (value >= 0) { // not a NaN, which stands for nothing
            below = std::min(below, value);
        }
    }
};

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

/// The first value that cannot be a depth, refused.
template <class T>
void refuse_impossible(const DepthBand& band, const T* raw, int count, const Sound<T>& sound) {
    for (int c = 0; c < count; ++c) {
        if (sound.impossible(raw[c]) && !sound.missing(raw[c])) {
            refuse_value(band, static_cast<double>(raw[c]));
        }
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

template <class T>
void convert(const DepthBand& band, Window inside, T* raw, const float* half_width, const DepthPlanes* datum,
             DepthPlanes& depths) {
    const DepthUncertainty& uncertainty = band.uncertainty;
    const bool constant = uncertainty.kind() == DepthUncertainty::Kind::none ||
                          uncertainty.kind() == DepthUncertainty::Kind::constant;
    const double constant_m = constant ? uncertainty.at(0) : 0;
    const Sound<T> sound(band.depths, band.depth_m, band.range ? band.range->least_m : -highest_m,
                         band.range ? band.range->greatest_m : deepest_m);
    for (int r = inside.row; r < inside.row_end(); ++r, raw += inside.cols) {
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
        if (!mark_missing(raw, inside.cols, sound)) refuse_impossible(band, raw, inside.cols, sound);
        if (band.has_half_widths()) {
            row([&](int c, double) { return known_half_width_m(band, static_cast<double>(half_width[c])); });
            half_width += inside.cols;
        } else if (constant) {
            row(ConstantUncertainty{constant_m});
        } else {
            row([&](int, double depth_m) { return uncertainty.at(depth_m); });
        }
    }
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
    const auto read_as = [&](auto& depth, GDALDataType type) {
        {
            const std::lock_guard lock(one_at_a_time);
            read_raw(band, inside, depth, type, raw);
        }
        convert(band, inside, depth.data(), raw.half_width.data(), datum, depths);
    };
    if (needs_double(*band.depths.band)) {
        read_as(raw.depth_d, GDT_Float64);
    } else {
        read_as(raw.depth_f, GDT_Float32);
    }
}

} // namespace swingroom::bathymetry
