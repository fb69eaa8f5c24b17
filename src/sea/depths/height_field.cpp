#include "sea/depths/height_field.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/depths/gathered_depths.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

/// Cells along the side of the blocks that a raster is looked through in.
constexpr int block_cells = 512;

/// How far cells of the other grid may lie beside their places here: twice the most that is met at corners
/// and middle, whole cells.
double off_cells(const GridLink& from_there, const Grid& there) {
    const int right = std::max(0, there.cols - 1), low = std::max(0, there.rows - 1);
    double most = 0;
    for (const GridCell cell : {GridCell{0, 0}, GridCell{right, 0}, GridCell{0, low}, GridCell{right, low},
                                GridCell{there.cols / 2, there.rows / 2}}) {
        const std::optional<PlacedCells> placed = from_there.placed({cell.col, cell.row, 1, 1});
        if (placed) most = std::max({most, placed->off.x, placed->off.y});
    }
    return std::ceil(2 * most);
}

} // namespace

Window touched_region(const Grid& here, const Grid& there, const std::string& here_name,
                      const std::string& there_name) {
    const Bounds frame = GridLink(here, there, here_name, there_name).other();
    const GridLink from_there(there, here, there_name, here_name);
    if (from_there.wraps_around()) return here.extent(); // columns in any turn of the globe
    // Between the points that are looked at the frame may bulge by a thousandth of its side.
    constexpr double bulge = 0.01;
    const double more =
        1 + bulge * std::max(frame.right - frame.left, frame.high - frame.low) + off_cells(from_there, there);
    const auto whole = [](double v, int end) { return static_cast<int>(std::clamp(v, -1.0, end + 1.0)); };
    const int col = whole(std::floor(frame.left - more), here.cols),
              row = whole(std::floor(frame.low - more), here.rows);
    return common({col, row, whole(std::ceil(frame.right + more), here.cols) - col,
                   whole(std::ceil(frame.high + more), here.rows) - row},
                  here.extent());
}

std::string place_text(const Grid& grid, const std::string& grid_name, int col, int row) {
    const LonLat at = Georeference(grid, grid_name).lonlat({col + 0.5, row + 0.5});
    return position_text(at.lon, at.lat, Measures{}) + " (column " + std::to_string(col) + ", row " +
           std::to_string(row) + " of " + grid_name + ")";
}

HeightField::HeightField(std::unique_ptr<DepthSource> raster, const Grid& grid, const std::string& grid_name)
    : raster_(std::move(raster)), grid_(grid), biased_(*raster_, grid_, grid_name, 1),
      region_(touched_region(raster_->grid(), grid_, raster_->sources().front(), grid_name)),
      least_m_(std::numeric_limits<double>::infinity()), greatest_m_(-least_m_) {
    measure(grid_name);
}

void HeightField::measure(const std::string& grid_name) {
    DepthPlanes heights;
    for (const Window block : cut_into_blocks(region_, block_cells)) {
        raster_->read(block, heights);
        for (std::size_t i = 0; i < heights.shoal_m.size(); ++i) {
            const auto low_m = double{heights.shoal_m.data()[i]}, high_m = double{heights.deep_m.data()[i]};
            if (low_m < least_m_) least_m_ = low_m; // never of NaN
            if (high_m > greatest_m_) greatest_m_ = high_m;
        }
    }
    if (!(least_m_ <= greatest_m_)) {
        throw InputError(raster_->sources().front(), "holds no value where " + grid_name + " lies",
                         "give a raster of that area");
    }
}

void HeightField::read(Window where, DepthPlanes& heights) const {
    heights.shoal_m.reset(where, unsurveyed);
    heights.deep_m.reset(where, unsurveyed);
    heights.source.reset(where, 0);
    heights.partial.reset(where, 0);
    heights.joined.reset(where, 0);
    for (const Window tile : cut_into_blocks(common(where, grid_.extent()), patch_cells)) {
        GatheredDepths gathered(tile, heights);
        biased_.add_to(gathered);
        gathered.finish();
    }
    for (std::size_t i = 0; i < heights.partial.size(); ++i) {
        if (heights.partial.data()[i] != 0) {
            heights.shoal_m.data()[i] = heights.deep_m.data()[i] = unsurveyed;
        }
    }
}

std::string HeightField::range_text() const {
    return bathymetry::rounded(least_m_) + " to " + bathymetry::rounded(greatest_m_) + " m";
}

} // namespace swingroom
