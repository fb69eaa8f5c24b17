#include "sea/raster/xyz_grid.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"

#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/xyz_axis.hpp"
#include "sea/raster/xyz_points.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>

namespace swingroom::bathymetry {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
/// 128 MB, and as much again while they are handed over to GDAL.
constexpr std::int64_t most_cells = 16'000'000;

[[noreturn]] void refuse_scattered(const std::string& file, const std::string& why) {
    throw InputError(file, "holds points that are no regular grid: " + why,
                     "make a grid of them first (gdal_grid), or write the points of one with more decimals");
}

/// To four digits or the hundredth, so that a step in degrees is more than 0.
std::string step_text(double step) {
    const int leading = step > 0 ? static_cast<int>(std::floor(std::log10(step))) : 0;
    return fixed(step, std::max(2, 3 - leading));
}

XyzAxis axis_of(const std::vector<double>& coordinates, const std::string& what, const std::string& file) {
    const XyzAxis axis = fitted_axis(coordinates);
    if (axis.count > 1 && axis.stray <= greatest_stray) return axis;
    constexpr double worth_telling = 0.1; // beyond, it is no grid at all
    if (!(axis.stray <= worth_telling)) refuse_scattered(file, "their " + what + " have no one step");
    refuse_scattered(file, "their " + what + " lie up to " + fixed(100 * axis.stray, 1) +
                               " % of the step of " + step_text(axis.step) +
                               " beside their places, at most " + fixed(100 * greatest_stray, 0) +
                               " % is taken for rounding");
}

/// The most that coordinates lie beside the middles of cells, in cells.
double stray_of(const std::vector<double>& coordinates, double origin, double step) {
    double most = 0;
    for (const double value : coordinates) {
        const double cells = (value - origin) / step - 0.5;
        most = std::max(most, std::abs(cells - std::round(cells)));
    }
    return most;
}

/// What is seen of it, and what the last digit may hide besides.
double slack_of(double stray, double step, double last_digit) {
    constexpr double exact = 1e-6;
    return stray <= exact ? 0 : stray + last_digit / 2 / std::abs(step);
}

/// Values by cell, the northernmost row first; missing ones are not a number.
std::vector<double> cells_of(const XyzPoints& points, const XyzAxis& x, const XyzAxis& y,
                             const std::string& file) {
    const auto cols = static_cast<std::size_t>(x.count);
    std::vector<double> cells(cols * static_cast<std::size_t>(y.count), nan);
    std::vector<bool> taken(cells.size());
    for (std::size_t i = 0; i < points.z.size(); ++i) {
        const std::size_t cell = static_cast<std::size_t>(y.count - 1 - y.index(points.y[i])) * cols +
                                 static_cast<std::size_t>(x.index(points.x[i]));
        if (taken[cell]) refuse_scattered(file, "two of them lie in one cell");
        taken[cell] = true;
        cells[cell] = points.z[i];
    }
    return cells;
}

GDALDatasetUniquePtr in_memory(const std::vector<double>& cells, const XyzAxis& x, const XyzAxis& y,
                               const std::string& file) {
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("MEM");
    GDALDatasetUniquePtr dataset(driver ? driver->Create("", x.count, y.count, 1, GDT_Float64, nullptr)
                                        : nullptr);
    if (!dataset) throw IoError(file, "cannot be held in memory as a grid");
    std::array<double, 6> place = {
        x.first - x.step / 2, x.step, 0, y.first + (y.count - 0.5) * y.step, 0, -y.step};
    dataset->SetGeoTransform(place.data());
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    if (std::any_of(cells.begin(), cells.end(), [](double v) { return std::isnan(v); })) {
        band.SetNoDataValue(nan);
    }
    auto* const from = const_cast<double*>(cells.data()); // GDAL writes from it alone
    if (band.RasterIO(GF_Write, 0, 0, x.count, y.count, from, x.count, y.count, GDT_Float64, 0, 0, nullptr) !=
        CE_None) {
        throw IoError(file, "cannot be held in memory as a grid");
    }
    return dataset;
}

} // namespace

GDALDatasetUniquePtr open_rounded_xyz(const std::string& file, const std::string& name) {
    const XyzPoints points = read_xyz_points(file, name);
    const XyzAxis x = axis_of(points.x, "eastings (x)", file), y = axis_of(points.y, "northings (y)", file);
    if (std::int64_t{x.count} * y.count > most_cells) {
        throw InputError(file,
                         "has " + std::to_string(x.count) + " x " + std::to_string(y.count) +
                             " cells, too many to be held in memory",
                         "write it to a GeoTIFF where it comes from");
    }
    return in_memory(cells_of(points, x, y, file), x, y, file);
}

double xyz_slack_cells(GDALDataset& dataset, const std::string& file, const std::string& name) {
    const XyzPoints points = read_xyz_points(file, name);
    // What is in memory was read here, by the names of the columns.
    const bool read_by_gdal = text_or_empty(dataset.GetDriver()->GetDescription()) != "MEM";
    if (read_by_gdal && !points.other_column.empty()) {
        throw InputError(
            file, "its column " + in_quotes(points.other_column) + " would be taken for another one by GDAL",
            "keep three columns: x y z");
    }
    std::array<double, 6> place{};
    dataset.GetGeoTransform(place.data());
    const double x = stray_of(points.x, place[0], place[1]), y = stray_of(points.y, place[3], place[5]);
    constexpr double rounding = 1e-9;
    if (!(std::max(x, y) <= greatest_stray + rounding)) {
        refuse_scattered(file, "they lie up to " + fixed_up(100 * std::max(x, y), 1) +
                                   " % of a step beside the places of one");
    }
    return std::max(slack_of(x, place[1], points.last_digit), slack_of(y, place[5], points.last_digit));
}

} // namespace swingroom::bathymetry
