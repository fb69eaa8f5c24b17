#pragma once

#include "swingroom/base/grid.hpp"

#include <gdal_priv.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <limits>
#include <span>
#include <string>

namespace swingroom::bathymetry {

/// What planes of depths hold where there is no depth.
inline constexpr float unsurveyed = std::numeric_limits<float>::quiet_NaN();
/// No water is deeper and no land higher (Challenger Deep 10.9 km, Everest 8.8 km): beyond, a unit or a mark
/// for no data has been misread.
inline constexpr double deepest_m = 12000, highest_m = 9000;
/// What the values of a raster of heights may be. Beyond, its unit or a mark for no data has been misread.
struct HeightRange {
    const char* what = ""; ///< "a water level"
    double least_m = 0, greatest_m = 0;
    bool above_chart_datum = false; ///< a file that names another datum is refused
};
/// A band's uncertainty beyond this says that nobody knows: the cell counts as unsurveyed. It is what makes
/// the greatest uncertainty a bound that needs no reading of the whole band.
inline constexpr double useless_uncertainty_m = 50;
/// Values this large mark missing data, whatever a file declares (-1.7e308, 3.4e38 and their like).
inline constexpr double sentinel = 1e30;

/// Raw band values to what they stand for.
struct BandValues {
    GDALRasterBand* band = nullptr; ///< the dataset's, which must outlive this
    double scale = 1, offset = 0;   ///< a value is scale * raw + offset, as the band declares it
    double nodata = std::numeric_limits<double>::quiet_NaN();      ///< equal to nothing unless declared
    double also_nodata = std::numeric_limits<double>::quiet_NaN(); ///< BAG, S-102: 1e6, declared or not
    bool has_mask = false;         ///< whether a mask tells which cells have a value
    bool declares_missing = false; ///< by a value or a mask: its writer thought of cells without a depth
    /// Raw values that mostly mark missing data but are depths by their size, in centimetres if not in
    /// metres: refused unless the file declares them. What is not used is not a number.
    std::array<double, 16> marks = no_marks();

    /// Whether a raw value stands for no value.
    [[nodiscard]] bool missing(double raw) const {
        return !(std::abs(raw) < sentinel) || raw == nodata || raw == also_nodata;
    }
    /// Whether a raw value is one of `marks`.
    [[nodiscard]] bool is_mark(double raw) const {
        return std::find(marks.begin(), marks.end(), raw) != marks.end();
    }

private:
    static constexpr std::array<double, 16> no_marks() {
        std::array<double, 16> none{};
        none.fill(std::numeric_limits<double>::quiet_NaN());
        return none;
    }
};
/// @throws InputError for a scale or offset that cannot be
BandValues values_of(GDALRasterBand& band, const std::string& driver, const std::string& file);

/// From raw values to metres: factor * raw + constant.
struct ToMetres {
    double factor = 1, constant = 0; ///< metres for one of the raw unit; metres
    /// The value in metres.
    [[nodiscard]] double operator()(double raw) const { return factor * raw + constant; }
};

/// Fills the marks of a band of depths: always the extremes of its integer type and rows of nines too long to
/// be met by chance; in a band that declares no missing data at all also the extremes of 16 bits and the
/// short rows of nines, the latter where they would be water.
void find_marks(BandValues& depths, ToMetres to_depth_m);

/// Hands out values of a band, as it declares them and none of the missing ones: all of them where it has at
/// most `quick` cells, else those of patches all over it.
/// @param take  says whether it wants more   @returns whether all were handed out, or would have been
/// @throws IoError when reading fails
bool look_at_values(const BandValues& depths, const std::string& file, std::size_t quick,
                    const std::function<bool(std::span<const double>)>& take);

/// "they run from -30 to 108.8, 60 % of them below 0".   @throws IoError when reading fails
std::string value_range(const BandValues& depths, const std::string& file);

} // namespace swingroom::bathymetry
