#include "swingroom/sea/stay_levels.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"

#include "sea/depths/height_field.hpp"
#include "sea/depths/level_raster.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/height_raster.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

using bathymetry::rounded;

/// Cells along the side of the blocks that rasters are looked through in.
constexpr int block_cells = 512;

double to_centimetres_down(double metres) { return std::floor(metres * 100) / 100; }

bool same_cells(const Grid& a, const Grid& b) {
    return a.cols == b.cols && a.rows == b.rows && a.origin_x == b.origin_x && a.origin_y == b.origin_y &&
           a.step_x == b.step_x && a.step_y == b.step_y && a.crs_wkt == b.crs_wkt;
}

/// The least difference of two rasters of the same cells, of those that know both.
double least_range_m(const HeightField& low, const HeightField& high) {
    double least_m = std::numeric_limits<double>::infinity();
    DepthPlanes lows, highs;
    for (const Window block : cut_into_blocks(low.region(), block_cells)) {
        low.raster().read(block, lows);
        high.raster().read(block, highs);
        for (std::size_t i = 0; i < lows.deep_m.size(); ++i) {
            const double range_m = double{highs.shoal_m.data()[i]} - double{lows.deep_m.data()[i]};
            if (range_m < least_m) least_m = range_m; // never of NaN
        }
    }
    return least_m;
}

/// One of the two levels on the grid.
struct OnGrid {
    OnGrid(StayLevels::Level level, const Grid& grid, const std::string& grid_name)
        : least_m(level.level_m), greatest_m(level.level_m) {
        if (!level.raster) return;
        field.emplace(std::move(level.raster), grid, grid_name);
        least_m = field->least_m();
        greatest_m = field->greatest_m();
    }
    /// As a message names it.
    [[nodiscard]] std::string text(double level_m) const {
        return rounded(level_m) + " m" + (field ? " of " + field->raster().sources().front() : "");
    }

    std::optional<HeightField> field; ///< none: the same everywhere
    double least_m, greatest_m;
};

} // namespace

struct StayLevels::State {
    State(Level low_level, Level high_level, const Grid& of, const std::string& name)
        : grid(of), grid_name(name), low(std::move(low_level), of, name),
          high(std::move(high_level), of, name) {
        const bool alike =
            low.field && high.field && same_cells(low.field->raster().grid(), high.field->raster().grid());
        const double range_m = alike ? least_range_m(*low.field, *high.field) : high.least_m - low.greatest_m;
        reference.low_m = low.field ? to_centimetres_down(low.least_m) : low.least_m;
        // Rasters with no cell that knows both leave nothing to compare, and no cell of the grid either.
        const double known_m = std::isfinite(range_m) ? std::max(0.0, range_m) : 0.0;
        // What a float leaves out of 2.3 m makes no other reference: an excess is never below 0.
        constexpr double of_floats_m = 1e-6;
        reference.high_m = to_centimetres_down(reference.low_m + known_m + of_floats_m);
        if (reference.high_m < reference.low_m) reference.high_m = reference.low_m;
        greatest_excess_m =
            std::max(0.0, (high.greatest_m - reference.high_m) - (low.least_m - reference.low_m));
    }

    /// Levels of one cell with a depth, which is shifted by them.
    void shift(GridCell cell, double low_m, double high_m, float& shoal_m, float& deep_m,
               LevelPlanes& levels) const;
    [[noreturn]] void refuse_hole(const OnGrid& level, GridCell cell) const {
        throw HeightUnknown(level.field->raster().sources().front(),
                            "does not say how high the water stands at " +
                                place_text(grid, grid_name, cell.col, cell.row) + ", where there is a depth",
                            "fill its gaps and edges with values that are known to be right, or give " +
                                Setting::bounds + " that leave the place out");
    }

    Grid grid;
    std::string grid_name;
    OnGrid low, high;
    WaterLevels reference;
    double greatest_excess_m = 0;
};

void StayLevels::State::shift(GridCell cell, double low_m, double high_m, float& shoal_m, float& deep_m,
                              LevelPlanes& levels) const {
    if (std::isnan(low_m) || std::isnan(high_m)) {
        // Land above all water needs no level of its own: with the reference's it is land as well.
        if (double{deep_m} + high.greatest_m < 0) return;
        refuse_hole(std::isnan(low_m) ? low : high, cell);
    }
    if (low_m > high_m) {
        const OnGrid& of = low.field ? low : high;
        throw InputError(of.field->raster().sources().front(),
                         "the lowest water, " + low.text(low_m) + ", lies above the highest, " +
                             high.text(high_m) + ", at " + place_text(grid, grid_name, cell.col, cell.row),
                         "give both above chart datum, in metres");
    }
    float &rise_m = levels.rise_m.at(cell.col, cell.row), &excess_m = levels.excess_m.at(cell.col, cell.row);
    rise_m = narrow_normal_down(low_m - reference.low_m);
    excess_m = std::max(0.0F, narrow_normal_up((high_m - reference.high_m) - double{rise_m}));
    shoal_m = narrow_normal_down(double{shoal_m} + double{rise_m});
    deep_m = narrow_normal_up(double{deep_m} + double{rise_m} + double{excess_m});
}

StayLevels::StayLevels(Level low, Level high, const Grid& grid, const std::string& grid_name)
    : state_(std::make_unique<const State>(std::move(low), std::move(high), grid, grid_name)) {}
StayLevels::~StayLevels() = default;
StayLevels::StayLevels(StayLevels&&) noexcept = default;
StayLevels& StayLevels::operator=(StayLevels&&) noexcept = default;

WaterLevels StayLevels::reference(double clearance_datum_m) const {
    WaterLevels levels = state_->reference;
    levels.clearance_datum_m = clearance_datum_m - (greatest_high_m() - levels.high_m);
    return levels;
}
double StayLevels::greatest_high_m() const { return state_->high.greatest_m; }
double StayLevels::greatest_excess_m() const { return state_->greatest_excess_m; }

void StayLevels::shift(DepthPlanes& depths, LevelPlanes& levels) const {
    const Window where = depths.shoal_m.window();
    levels.rise_m.reset(where, 0);
    levels.excess_m.reset(where, 0);
    const OnGrid &low = state_->low, &high = state_->high;
    DepthPlanes lows, highs;
    // In strips, so that what is read of levels stays small beside the block.
    for (const Window strip : cut_into_blocks(common(where, state_->grid.extent()), patch_cells)) {
        if (low.field) low.field->read(strip, lows);
        if (high.field) high.field->read(strip, highs);
        for (int r = strip.row; r < strip.row_end(); ++r) {
            for (int c = strip.col; c < strip.col_end(); ++c) {
                float &shoal_m = depths.shoal_m.at(c, r), &deep_m = depths.deep_m.at(c, r);
                if (!(shoal_m <= deep_m)) continue; // no depth
                state_->shift({c, r}, low.field ? double{lows.shoal_m.at(c, r)} : low.least_m,
                              high.field ? double{highs.deep_m.at(c, r)} : high.greatest_m, shoal_m, deep_m,
                              levels);
            }
        }
    }
}

std::vector<Fact> StayLevels::facts() const {
    std::vector<Fact> facts;
    const auto tell = [&facts](const std::string& name, const OnGrid& level, const std::string& of_cell) {
        if (!level.field) return;
        const std::string file = level.field->raster().sources().front();
        facts.push_back(stated_fact(name, level.field->range_text() + " above chart datum, by " + file +
                                              ": of each cell the " + of_cell + " that it touches"));
        for (Fact& note : level.field->raster().assumptions()) {
            note.of = file;
            facts.push_back(std::move(note));
        }
        if (level.field->accuracy_m() > 0) {
            facts.push_back({"",
                             "datum tied to the grid's within " +
                                 bathymetry::plain(level.field->accuracy_m()) +
                                 " m, by which cells reach farther",
                             Fact::Kind::read, "", file});
        }
    };
    tell("lowest water", state_->low, "least");
    tell("highest water", state_->high, "greatest");
    return facts;
}

std::vector<std::string> StayLevels::files() const {
    std::vector<std::string> all;
    for (const OnGrid* const level : {&state_->low, &state_->high}) {
        if (!level->field) continue;
        for (const std::string& file : level->field->raster().files()) {
            if (std::find(all.begin(), all.end(), file) == all.end()) all.push_back(file);
        }
    }
    return all;
}

std::unique_ptr<DepthSource> open_level_raster(const std::string& file) {
    // Levels as options take them, metres above chart datum.
    constexpr bathymetry::HeightRange level_range{"a water level", -20, 30, true};
    return open_heights(file, level_range);
}

StayLevels open_levels(const LevelsRequest& request, const Grid& grid, const std::string& grid_name) {
    const auto opened = [](const LevelRequest& level) {
        return StayLevels::Level{level.level_m, level.file.empty() ? nullptr : open_level_raster(level.file)};
    };
    return {opened(request.low), opened(request.high), grid, grid_name};
}

} // namespace swingroom
