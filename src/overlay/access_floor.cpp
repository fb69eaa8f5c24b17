#include "overlay/access_floor.hpp"

#include "swingroom/base/rounding.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
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

/// Those that she may meet, by how near she may come to them under way; null where that is their margin.
std::shared_ptr<const HazardField> hazards_under_way(const HazardField& all, const HullNeeds& hull,
                                                     Window extent, const GroundMetric& metric) {
    if (std::ranges::none_of(all.hazards(),
                             [](const Hazard& hazard) { return hazard.under_way_m.has_value(); })) {
        return nullptr;
    }
    std::vector<Hazard> met;
    for (const Hazard& hazard : all.hazards()) {
        if (depth_over_m(hazard, hull) == infinite) continue;
        const double near_m = std::min(hazard.under_way_m.value_or(hazard.margin_m), hazard.margin_m);
        if (near_m < 0) continue; // she may pass through
        met.push_back(hazard);
        met.back().margin_m = near_m;
    }
    return std::make_shared<const HazardField>(std::move(met), extent, metric, all.within());
}

/// The depth at which a level is the one that is needed, so far off to one side that no rounding of levels,
/// which are floats, bears on what is compared with it.
double beyond_doubt(double required_m, float level_m, int side) {
    const double of_level_m = double{level_m};
    return required_m - of_level_m + side * (required_m + std::abs(of_level_m) + 1) * 1e-6;
}

SWINGROOM_VECTORISED bool any_below(const float* values, std::size_t count, float limit) {
    int below = 0;
    for (std::size_t i = 0; i < count; ++i) {
        below |= static_cast<int>(values[i] < limit);
    }
    return below != 0;
}

SWINGROOM_VECTORISED bool any_from(const float* values, std::size_t count, float limit) {
    int from = 0;
    for (std::size_t i = 0; i < count; ++i) {
        from |= static_cast<int>(values[i] >= limit);
    }
    return from != 0;
}

SWINGROOM_VECTORISED void mark_below(const float* values, std::size_t count, float limit,
                                     std::uint8_t* marks) {
    for (std::size_t i = 0; i < count; ++i) {
        marks[i] = values[i] < limit ? 1 : 0;
    }
}

SWINGROOM_VECTORISED void take_marks(const std::uint8_t* marks, std::size_t count, std::uint8_t* into) {
    for (std::size_t i = 0; i < count; ++i) {
        into[i] = static_cast<std::uint8_t>(into[i] | marks[i]);
    }
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

/// That with the deepest cell, the longest of several, the first of those.
std::size_t start_of(const std::vector<RimStretch>& stretches) {
    const auto deepest = std::ranges::max_element(
        stretches, {}, [](const RimStretch& stretch) { return std::pair(stretch.deepest_m, stretch.cells); });
    return static_cast<std::size_t>(deepest - stretches.begin());
}

void put_first(std::vector<RimStretch>& stretches, std::size_t chosen) {
    const auto at = stretches.begin() + static_cast<std::ptrdiff_t>(chosen);
    std::rotate(stretches.begin(), at, at + 1);
}

/// Open cells along an edge of any shape that hang together by edges or corners. The first and the last of a
/// stretch are those by row.
/// @param rim  row by row   @param stretch_of  of each of its cells, from 0 on; of closed ones none
std::vector<RimStretch> stretches_along(const std::vector<GridCell>& rim, const std::vector<float>& floor_m,
                                        float open_m, std::vector<std::size_t>& stretch_of) {
    constexpr std::size_t none = std::numeric_limits<std::size_t>::max();
    stretch_of.assign(rim.size(), none);
    const auto in_order = [](GridCell cell) { return std::pair(cell.row, cell.col); };
    std::vector<RimStretch> found;
    std::vector<std::size_t> waiting;
    const auto take = [&](std::size_t cell) {
        RimStretch& stretch = found.back();
        stretch_of[cell] = found.size() - 1;
        waiting.push_back(cell);
        ++stretch.cells;
        if (in_order(stretch.last) < in_order(rim[cell])) stretch.last = rim[cell];
        if (floor_m[cell] > stretch.deepest_m) {
            stretch.deepest = rim[cell];
            stretch.deepest_m = floor_m[cell];
        }
    };
    for (std::size_t i = 0; i < rim.size(); ++i) {
        if (stretch_of[i] != none || !(floor_m[i] >= open_m)) continue;
        found.push_back({rim[i], rim[i], rim[i], floor_m[i], 0});
        take(i);
        while (!waiting.empty()) {
            const GridCell at = rim[waiting.back()];
            waiting.pop_back();
            for (int row = at.row - 1; row <= at.row + 1; ++row) {
                auto beside = std::ranges::lower_bound(rim, std::pair(row, at.col - 1), {}, in_order);
                for (; beside != rim.end() && beside->row == row && beside->col <= at.col + 1; ++beside) {
                    const auto cell = static_cast<std::size_t>(beside - rim.begin());
                    if (stretch_of[cell] == none && floor_m[cell] >= open_m) take(cell);
                }
            }
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
      always_from_m_(narrow_up(beyond_doubt(required_m_, range.lowest_m, 1))),
      never_below_m_(std::max(narrow_down(beyond_doubt(required_m_, range.highest_m, -1)),
                              std::numeric_limits<float>::lowest())),
      clear_way_m_(narrow_up(needs.clear_way_m)), transform_(*job.metric, double{clear_way_m_}) {
    assert(needs.clear_way_m > 0);
    const HullNeeds hull = hull_needs(job);
    under_way_ = hazards_under_way(*sea_.hazards, hull, rim_extent_, *job.metric);
    for (const Hazard& hazard : hazards().hazards()) {
        hazard_depths_m_.push_back(depth_over_m(hazard, hull));
    }
}

void AccessFloor::read(Window window, Scratch& scratch) const {
    read_depths(window, false, scratch);
    burn_dangers(scratch.floor_m);
}

void AccessFloor::read_outside(Window window, Scratch& scratch) const {
    read_depths(window, true, scratch);
    std::fill_n(scratch.floor_m.data(), scratch.floor_m.size(), infinite);
    bound_open_parts(scratch);
    burn_dangers(scratch.floor_m);
}

/// Of a cell that is open outside the part that is known counts.
void AccessFloor::bound_open_parts(Scratch& scratch) {
    const Plane<std::uint8_t>& partial = scratch.depths.partial;
    for (std::size_t i = 0; i < partial.size(); ++i) {
        float& floor_m = scratch.floor_m.data()[i];
        if (partial.data()[i] != 0 && floor_m == infinite) floor_m = scratch.depths.shoal_m.data()[i];
    }
}

void AccessFloor::burn_dangers(Plane<float>& floor_m) const {
    hazards().burn_least(floor_m, hazard_depths_m_);
}

void AccessFloor::read_depths(Window window, bool with_parts, Scratch& scratch) const {
    DepthPlanes& depths = scratch.depths;
    depths.banded.reset({});
    depths.differs.reset({});
    depths.partial.reset({});
    with_parts ? sea_.depths->read_with_parts(window, depths) : sea_.depths->read(window, depths);
    if (sea_.levels != nullptr) sea_.levels->shift(depths, scratch.levels);
    scratch.floor_m.reshape(window);
    const float* const shoal_m = depths.shoal_m.data();
    const float* const deep_m = depths.deep_m.data();
    float* const out = scratch.floor_m.data();
    for (std::size_t i = 0; i < scratch.floor_m.size(); ++i) {
        const bool in_part = depths.partial.size() > 0 && depths.partial.data()[i] != 0;
        const bool known = shoal_m[i] <= deep_m[i] && !in_part; // false for NaN
        out[i] = known ? shoal_m[i] : -infinite;
    }
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
    if (!any_below(floor_m.data(), floor_m.size(), always_from_m_)) return Kind::open;
    const auto cells = static_cast<std::size_t>(block.cols);
    for (int row = block.row; row < block.row_end(); ++row) {
        if (any_from(&floor_m.at(block.col, row), cells, never_below_m_)) return Kind::mixed;
    }
    return Kind::closed;
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

AccessFloor::Kind AccessFloor::look(Window block, const RimStart* start, Scratch& scratch) const {
    const Window seen = grown(block, halo());
    const ChartEdge* const charts = start != nullptr ? start->charts.get() : nullptr;
    scratch.edge = charts != nullptr && charts->meets(seen) ? charts : nullptr;
    read_depths(seen, scratch.edge != nullptr, scratch);
    if (scratch.edge != nullptr) {
        charts->open_outside(*sea_.metric, halo() + 2, scratch.floor_m);
        bound_open_parts(scratch);
    } else if (start != nullptr && charts == nullptr) {
        open_outside(*start, scratch.floor_m);
    }
    burn_dangers(scratch.floor_m); // those that lie outside, on a part of the grid, count there
    if (scratch.edge == nullptr) {
        if (const Kind kind = kind_of(block, scratch.floor_m); kind != Kind::mixed) return kind;
    }
    scratch.not_always.reshape(seen);
    mark_below(scratch.floor_m.data(), scratch.floor_m.size(), always_from_m_, scratch.not_always.data());
    return Kind::mixed;
}

AccessFloor::Kind AccessFloor::needed(Window block, const RimStart* start, Scratch& scratch,
                                      Plane<float>& needed_m, Outside outside) const {
    const Kind kind = look(block, start, scratch);
    if (kind != Kind::mixed) {
        needed_m.reset(block, level_of(kind));
        return kind;
    }
    needed_m.reshape(block);
    for (int row = block.row; row < block.row_end(); ++row) {
        needed_row(block, row, outside, scratch, needed_m.row(row));
    }
    return kind;
}

AccessFloor::Kind AccessFloor::passable(Window block, const RimStart* start, Scratch& scratch,
                                        PassableRuns& runs) const {
    const Kind kind = look(block, start, scratch);
    if (kind != Kind::mixed) {
        runs.take(block, level_of(kind));
        return kind;
    }
    runs.begin(block);
    scratch.row_m.resize(static_cast<std::size_t>(block.cols));
    for (int row = block.row; row < block.row_end(); ++row) {
        needed_row(block, row, Outside::closed, scratch, scratch.row_m.data());
        runs.take_row(row, scratch.row_m.data());
    }
    return kind;
}

/// Most stretches of a row are deep throughout, or too shoal by the cells' own depths: that is seen at once,
/// and nothing is measured there.
void AccessFloor::needed_row(Window block, int row, Outside outside, Scratch& scratch, float* out) const {
    constexpr int stretch_cells = 32;
    const Window seen = scratch.not_always.window();
    const auto seen_cells = static_cast<std::size_t>(seen.cols);
    scratch.in_column.assign(seen_cells, 0);
    for (int r = row - halo(); r <= row + halo(); ++r) {
        take_marks(scratch.not_always.row(r), seen_cells, scratch.in_column.data());
    }
    const std::uint8_t* const in_column = scratch.in_column.data(); // from a halo before the block on
    int measured_from = 0, measured_end = 0;                        // what waits to be measured
    const auto measure = [&] {
        if (measured_end == measured_from) return;
        measure_stretch({block.col + measured_from, row}, measured_end - measured_from, scratch,
                        out + measured_from);
    };
    for (int at = 0; at < block.cols; at += stretch_cells) {
        const int end = std::min(at + stretch_cells, block.cols);
        const auto cells = static_cast<std::size_t>(end - at);
        const bool deep = std::none_of(in_column + at, in_column + end + 2 * halo(),
                                       [](std::uint8_t mark) { return mark != 0; });
        if (deep || !any_from(&scratch.floor_m.at(block.col + at, row), cells, never_below_m_)) {
            std::fill(out + at, out + end, deep ? range_.lowest_m : infinite);
            continue;
        }
        if (measured_end != at) {
            measure();
            measured_from = at;
        }
        measured_end = end;
    }
    measure();
    if (outside == Outside::as_water || scratch.edge == nullptr) return;
    for (int i = 0; i < block.cols; ++i) {
        if (scratch.edge->outside(block.col + i, row)) out[i] = infinite;
    }
}

void AccessFloor::measure_stretch(GridCell first, int cells, Scratch& scratch, float* needed_m) const {
    const auto count = static_cast<std::size_t>(cells);
    scratch.radius_m.assign(count, clear_way_m_);
    const LeastInDisc::Row asked{scratch.radius_m, {needed_m, count}};
    scratch.discs.run(scratch.floor_m, transform_.metric().at(first.row), first.row, first.col, {&asked, 1});
    for (std::size_t i = 0; i < count; ++i) {
        const float least_m = needed_m[i];
        needed_m[i] = least_m >= always_from_m_  ? range_.lowest_m
                      : least_m < never_below_m_ ? infinite
                                                 : in_range_m(least_m);
    }
}

RimStart AccessFloor::chart_start(std::unique_ptr<ChartEdge> edge) const {
    const std::vector<ChartEdge::RimCell> all_of_rim = edge->rim(*sea_.hazards);
    std::vector<GridCell> rim;
    for (const ChartEdge::RimCell& of_rim : all_of_rim) {
        rim.push_back(of_rim.cell);
    }
    const auto outermost = [this](GridCell cell) {
        return cell.col == 0 || cell.row == 0 || cell.col + 1 == rim_extent_.cols ||
               cell.row + 1 == rim_extent_.rows;
    };
    std::vector<float> floor_m(rim.size(), -infinite);
    constexpr int block_cells = 512;
    std::map<std::pair<int, int>, std::vector<std::size_t>> by_block;
    for (std::size_t i = 0; i < rim.size(); ++i) {
        // Where a raster has no depth beside one that no chart covers, there is mostly land.
        if (!all_of_rim[i].charted && !outermost(rim[i])) continue;
        by_block[{rim[i].row / block_cells, rim[i].col / block_cells}].push_back(i);
    }
    Scratch scratch;
    for (const auto& [block, cells] : by_block) {
        read(common(rim_extent_,
                    {block.second * block_cells, block.first * block_cells, block_cells, block_cells}),
             scratch);
        for (const std::size_t i : cells) {
            floor_m[i] = scratch.floor_m.at(rim[i].col, rim[i].row);
        }
    }
    std::vector<std::size_t> stretch_of;
    RimStart start;
    start.stretches = stretches_along(rim, floor_m, narrow_up(required_m_ - high_m_), stretch_of);
    if (start.stretches.empty()) return start;
    const std::size_t chosen = start_of(start.stretches);
    std::vector<bool> of_start(rim.size());
    for (std::size_t i = 0; i < rim.size(); ++i) {
        of_start[i] = stretch_of[i] == chosen;
        if (of_start[i]) start.cells.push_back(rim[i]);
    }
    edge->begin_at(all_of_rim, of_start);
    start.charts = std::move(edge);
    start.of_start.resize(Rim(rim_extent_).size());
    put_first(start.stretches, chosen);
    return start;
}

RimStart AccessFloor::rim_start() const {
    if (ChartEdge::is_known(*sea_.hazards)) {
        auto edge = std::make_unique<ChartEdge>(*sea_.hazards, *sea_.depths, rim_extent_);
        if (edge->any_outside()) return chart_start(std::move(edge));
    }
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
    put_first(start.stretches, start_of(start.stretches));
    start.of_start.resize(rim.size());
    std::size_t at = rim.index(start.stretches.front().first);
    for (std::int64_t i = 0; i < start.stretches.front().cells; ++i) {
        start.of_start[at] = true;
        at = (at + 1) % rim.size();
    }
    return start;
}

} // namespace swingroom
