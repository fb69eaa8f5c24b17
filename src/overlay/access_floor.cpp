#include "overlay/access_floor.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <ranges>
#include <span>
#include <utility>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// What stands for the depth over a hazard; see HazardField::burn_least().
float depth_over_m(const Hazard& hazard, const HullNeeds& hull) {
    if ((hazard.effects & effect::hull) == 0) return infinite;
    if (hazard.clearance_m && hull.clears_above(*hazard.clearance_m)) return infinite;
    return hazard.least_depth_m ? narrow_down(*hazard.least_depth_m) : -infinite;
}

/// Runs of open cells of a ring; one that goes on over the ring's end is one.
std::vector<RimStretch> stretches_of(const Rim& rim, const std::vector<float>& floor_m, float open_m) {
    const std::size_t size = rim.size();
    const auto open = [&](std::size_t i) { return floor_m[i] >= open_m; };
    std::size_t begin = 0; // so that no run goes on over the end
    if (rim.closed() && open(0) && open(size - 1)) {
        while (begin < size && open(begin)) {
            ++begin;
        }
        begin %= size;
    }
    std::vector<RimStretch> found;
    bool going_on = false;
    for (std::size_t step = 0; step < size; ++step) {
        const std::size_t i = (begin + step) % size;
        if (!open(i)) {
            going_on = false;
            continue;
        }
        const GridCell cell = rim.cell(i);
        if (!going_on) found.push_back({cell, cell, cell, floor_m[i], 0});
        going_on = true;
        RimStretch& stretch = found.back();
        stretch.last = cell;
        ++stretch.cells;
        if (floor_m[i] > stretch.deepest_m) {
            stretch.deepest = cell;
            stretch.deepest_m = floor_m[i];
        }
    }
    return found;
}

} // namespace

std::size_t Rim::size() const {
    const auto cols = static_cast<std::size_t>(extent_.cols), rows = static_cast<std::size_t>(extent_.rows);
    return closed() ? 2 * (cols + rows) - 4 : cols * rows;
}

GridCell Rim::cell(std::size_t i) const {
    const auto at = static_cast<std::int64_t>(i);
    const std::int64_t cols = extent_.cols, rows = extent_.rows;
    const auto made = [](std::int64_t col, std::int64_t row) {
        return GridCell{static_cast<int>(col), static_cast<int>(row)};
    };
    if (at < cols) return made(at, 0);
    const std::int64_t down = at - cols + 1;
    if (down < rows) return made(cols - 1, down);
    const std::int64_t back = down - rows + 1;
    if (back < cols) return made(cols - 1 - back, rows - 1);
    return made(0, rows - 1 - (back - cols + 1));
}

std::size_t Rim::index(GridCell cell) const {
    const auto cols = static_cast<std::size_t>(extent_.cols), rows = static_cast<std::size_t>(extent_.rows);
    const auto col = static_cast<std::size_t>(cell.col), row = static_cast<std::size_t>(cell.row);
    if (row == 0) return col;
    if (col + 1 == cols) return cols - 1 + row;
    if (row + 1 == rows) return cols + rows - 2 + (cols - 1 - col);
    return 2 * cols + rows - 3 + (rows - 1 - row);
}

std::size_t Rim::nearest(GridCell outside) const {
    return index(
        {std::clamp(outside.col, 0, extent_.cols - 1), std::clamp(outside.row, 0, extent_.rows - 1)});
}

std::vector<Window> Rim::strips(int most_cells) const {
    const int cols = extent_.cols, rows = extent_.rows;
    std::vector<Window> sides = {{0, 0, cols, 1}, {cols - 1, 1, 1, rows - 1}};
    if (closed()) {
        sides.push_back({0, rows - 1, cols - 1, 1});
        sides.push_back({0, 1, 1, rows - 2});
    }
    std::vector<Window> pieces;
    for (const Window& side : sides) {
        for (int from = 0; from < std::max(side.cols, side.rows) && !side.empty(); from += most_cells) {
            const Window piece = side.rows == 1 ? Window{side.col + from, side.row, most_cells, 1}
                                                : Window{side.col, side.row + from, 1, most_cells};
            pieces.push_back(common(side, piece));
        }
    }
    return pieces;
}

AccessFloor::AccessFloor(const OverlayJob& job, const UnderWay& needs, LevelRange range)
    : sea_(static_cast<const SeaView&>(job)), rim_extent_(job.depths->grid().extent()),
      required_m_(needs.required_depth_m), high_m_(job.tables->conditions().water.high_m), range_(range),
      clear_way_m_(narrow_up(needs.clear_way_m)), transform_(*job.metric, double{clear_way_m_}) {
    assert(needs.clear_way_m > 0);
    const HullNeeds hull = hull_needs(job);
    for (const Hazard& hazard : sea_.hazards->hazards()) {
        hazard_depths_m_.push_back(depth_over_m(hazard, hull));
    }
}

void AccessFloor::read(Window window, Scratch& scratch) const {
    DepthPlanes& depths = scratch.depths;
    depths.banded.reset({});
    depths.differs.reset({});
    sea_.depths->read(window, depths);
    if (sea_.levels != nullptr) sea_.levels->shift(depths, scratch.levels);
    scratch.floor_m.reshape(window);
    const float* const shoal_m = depths.shoal_m.data();
    const float* const deep_m = depths.deep_m.data();
    float* const out = scratch.floor_m.data();
    for (std::size_t i = 0; i < scratch.floor_m.size(); ++i) {
        const bool known = shoal_m[i] <= deep_m[i]; // false for NaN
        out[i] = known ? shoal_m[i] : -infinite;
    }
    sea_.hazards->burn_least(scratch.floor_m, hazard_depths_m_);
}

float AccessFloor::level_m(float least_m) const {
    const double depth_m = double{least_m}, level_m = required_m_ - depth_m;
    // What the difference has lost, exactly (Knuth's sum of two); NaN where no water is enough.
    const double back_m = level_m - required_m_;
    const double lost_m = (required_m_ - (level_m - back_m)) - (depth_m + back_m);
    const double up_m = lost_m > 0 ? level_m + std::abs(level_m) * 0x1p-52 : level_m;
    return narrow_up(up_m) + 0.0F; // there is one zero only
}

float AccessFloor::in_range_m(float least_m) const {
    const float needed_m = level_m(least_m);
    return needed_m > range_.highest_m ? infinite : std::max(needed_m, range_.lowest_m);
}

/// A cell's own depth is among those that it is judged by.
AccessFloor::Kind AccessFloor::kind_of(Window block, const Plane<float>& floor_m) const {
    float greatest_m = -infinite;
    for (int row = block.row; row < block.row_end(); ++row) {
        const float* const own_m = &floor_m.at(block.col, row);
        for (int i = 0; i < block.cols; ++i) {
            greatest_m = std::max(greatest_m, own_m[i]);
        }
    }
    if (in_range_m(greatest_m) == infinite) return Kind::closed;
    float least_m = infinite;
    for (std::size_t i = 0; i < floor_m.size(); ++i) {
        least_m = std::min(least_m, floor_m.data()[i]);
    }
    return level_m(least_m) <= range_.lowest_m ? Kind::open : Kind::mixed;
}

void AccessFloor::open_outside(const RimStart& start, Plane<float>& floor_m) const {
    const Rim rim(rim_extent_);
    const Window seen = floor_m.window(), inside = common(seen, rim_extent_);
    const auto open = [&](int row, int from, int end) {
        for (int col = from; col < end; ++col) {
            if (start.of_start[rim.nearest({col, row})]) floor_m.at(col, row) = infinite;
        }
    };
    for (int row = seen.row; row < seen.row_end(); ++row) {
        if (row < inside.row || row >= inside.row_end()) {
            open(row, seen.col, seen.col_end());
        } else {
            open(row, seen.col, inside.col);
            open(row, inside.col_end(), seen.col_end());
        }
    }
}

AccessFloor::Kind AccessFloor::needed(Window block, const RimStart* start, Scratch& scratch,
                                      Plane<float>& needed_m) const {
    read(grown(block, halo()), scratch);
    if (start != nullptr) open_outside(*start, scratch.floor_m);
    if (const Kind kind = kind_of(block, scratch.floor_m); kind != Kind::mixed) return kind;
    const auto cells = static_cast<std::size_t>(block.cols);
    scratch.radius_m.assign(cells, clear_way_m_);
    needed_m.reshape(block);
    for (int row = block.row; row < block.row_end(); ++row) {
        float* const out = needed_m.row(row);
        const LeastInDisc::Row asked{scratch.radius_m, {out, cells}};
        scratch.discs.run(scratch.floor_m, transform_.metric().at(row), row, block.col, {&asked, 1});
        for (std::size_t i = 0; i < cells; ++i) {
            out[i] = in_range_m(out[i]);
        }
    }
    return Kind::mixed;
}

RimStart AccessFloor::rim_start() const {
    constexpr int strip_cells = 4096;
    const Rim rim(rim_extent_);
    std::vector<float> floor_m(rim.size());
    Scratch scratch;
    for (const Window strip : rim.strips(strip_cells)) {
        read(strip, scratch);
        for (int row = strip.row; row < strip.row_end(); ++row) {
            for (int col = strip.col; col < strip.col_end(); ++col) {
                floor_m[rim.index({col, row})] = scratch.floor_m.at(col, row);
            }
        }
    }
    RimStart start;
    start.stretches = stretches_of(rim, floor_m, narrow_up(required_m_ - high_m_));
    if (start.stretches.empty()) return start;
    const auto deepest = std::ranges::max_element(start.stretches, {}, [](const RimStretch& stretch) {
        return std::pair(stretch.deepest_m, stretch.cells);
    });
    std::rotate(start.stretches.begin(), deepest, deepest + 1);
    start.of_start.resize(rim.size());
    std::size_t at = rim.index(start.stretches.front().first);
    for (std::int64_t i = 0; i < start.stretches.front().cells; ++i) {
        start.of_start[at] = true;
        at = (at + 1) % rim.size();
    }
    return start;
}

} // namespace swingroom
