#include "overlay/closed_way.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/room/distance.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <ranges>
#include <set>
#include <utility>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// More than these are too many to read.
constexpr std::size_t most_named = 6;
/// Of a way that leads through dangers for long, so many cells are looked at, and so many dangers beside
/// them.
constexpr int most_cells_looked_at = 1000, most_asked = 400;
/// Of no more dangers is asked which of them may stay, within so many cells of the raster.
constexpr std::size_t most_dropped = 12;
constexpr std::int64_t most_cells_around = 4 << 20;
/// So many cells of the grid beside a chain are looked at for a way round a danger.
constexpr int least_beside = 20;

} // namespace

std::string name_of(const Hazard& hazard) {
    return hazard.label.empty() ? hazard.kind : hazard.kind + " (" + hazard.label + ")";
}

std::string danger_at_sill(const OverlayJob& job, const UnderWay& needs, const AccessFloor& floor,
                           GridCell cell, float needed_m) {
    const float clear_way_m = narrow_up(needs.clear_way_m);
    const CellSize size = RoomTransform(*job.metric, double{clear_way_m}).metric().at(cell.row);
    const Window near = common(grown({cell.col, cell.row, 1, 1}, floor.halo()), floor.extent());
    AccessFloor::Scratch scratch;
    floor.read(near, scratch);
    // No other cell within the clear way needs as much.
    std::optional<GridCell> shoalest;
    for (int row = near.row; row < near.row_end(); ++row) {
        for (int col = near.col; col < near.col_end(); ++col) {
            const float room_m = room_beside_m(size, std::abs(col - cell.col), std::abs(row - cell.row));
            if (room_m >= clear_way_m && !(col == cell.col && row == cell.row)) continue;
            if (!shoalest ||
                scratch.floor_m.at(col, row) < scratch.floor_m.at(shoalest->col, shoalest->row)) {
                shoalest = GridCell{col, row};
            }
        }
    }
    const float least_m = scratch.floor_m.at(shoalest->col, shoalest->row);
    if (narrow_up(needs.required_depth_m - double{least_m}) < needed_m) return {};
    for (const std::size_t index : job.hazards->touching({shoalest->col, shoalest->row, 1, 1})) {
        const Hazard& hazard = job.hazards->hazards()[index];
        if ((hazard.effects & effect::hull) == 0 || !hazard.least_depth_m) continue;
        if (narrow_down(*hazard.least_depth_m) == least_m) return name_of(hazard);
    }
    return {};
}

const std::vector<float>& ClosedWays::without_dangers() {
    if (!without_dangers_m_.empty()) return without_dangers_m_;
    const HazardField none({}, grid_.raster, *job_.metric);
    OverlayJob job = job_;
    job.hazards = &none;
    const AccessFloor floor(job, way_in_.needs);
    without_dangers_m_ =
        read_search_grid(job, floor, start_, way_in_.places, grid_.part, grid_.together, {}).needed_m;
    return without_dangers_m_;
}

/// The first from the start on that needs the level; of a step across a corner the cells beside it count.
CellNumber ClosedWays::sill_on(const std::vector<CellNumber>& chain, float level_m) const {
    const auto cols = static_cast<CellNumber>(grid_.cells.cols);
    for (std::size_t i = chain.size(); i-- > 0;) { // from the goal back
        if (grid_.needed_m[chain[i]] == level_m) return chain[i];
        if (i == 0) break;
        const CellNumber here = chain[i], next = chain[i - 1];
        for (const CellNumber beside : {here / cols * cols + next % cols, next / cols * cols + here % cols}) {
            if (grid_.needed_m[beside] == level_m) return beside;
        }
    }
    return chain.back();
}

/// Through water that is deep enough at a level, or would be if no danger were there.
std::vector<CellNumber> ClosedWays::chain_past_dangers(CellNumber place, float level_m) {
    const std::vector<float>& seabed_m = without_dangers();
    for (std::size_t i = 0; i < passing_.size(); ++i) {
        const bool ever = seabed_m[i] < infinite && seabed_m[i] <= level_m;
        passing_[i] = grid_.needed_m[i] < infinite && grid_.needed_m[i] <= level_m ? Passing::open
                      : ever                                                       ? Passing::dearly
                                                                                   : Passing::closed;
    }
    return shortest_.find(place, goals_, passing_);
}

/// Whether a danger by itself closes one of a few cells at a level.
bool ClosedWays::closes(std::size_t hazard, Window cells, float level_m) const {
    const Window near = common(grown(cells, floor_.halo()), grid_.raster);
    const HazardField alone({job_.hazards->hazards()[hazard]}, grid_.raster, *job_.metric, near);
    OverlayJob job = job_;
    job.hazards = &alone;
    AccessFloor::Scratch scratch;
    Plane<float> needed_m;
    AccessFloor(job, way_in_.needs).needed(cells, start_, scratch, needed_m);
    return std::any_of(needed_m.data(), needed_m.data() + needed_m.size(),
                       [level_m](float needed) { return !(needed < infinite && needed <= level_m); });
}

/// Those that close a cell of a chain, the first from the start on first.
std::vector<std::size_t> ClosedWays::dangers_on(const std::vector<CellNumber>& chain, float level_m) const {
    std::vector<std::size_t> dangers;
    std::set<std::size_t> known;
    int looked_at = 0, asked = 0;
    for (const CellNumber cell : std::views::reverse(chain)) {
        if (passing_[cell] != Passing::dearly) continue;
        if (++looked_at > most_cells_looked_at) return dangers;
        const Window cells = grid_.of_raster(cell);
        for (const std::size_t index :
             job_.hazards->touching(common(grown(cells, floor_.halo()), grid_.raster))) {
            const Hazard& hazard = job_.hazards->hazards()[index];
            if ((hazard.effects & effect::hull) == 0 || known.contains(index)) continue;
            if (++asked > most_asked) return dangers;
            if (!closes(index, cells, level_m)) continue;
            known.insert(index);
            dangers.push_back(index);
        }
    }
    return dangers;
}

/// What of the raster lies by the cells that a chain passes dearly, in whole cells of the grid.
Window ClosedWays::near_to(const std::vector<CellNumber>& chain) const {
    Window around;
    for (const CellNumber cell : chain) {
        if (passing_[cell] != Passing::dearly) continue;
        const Window one = grid_.of_raster(cell);
        if (around.empty()) around = one;
        const int col = std::min(around.col, one.col), row = std::min(around.row, one.row);
        around = {col, row, std::max(around.col_end(), one.col_end()) - col,
                  std::max(around.row_end(), one.row_end()) - row};
    }
    if (around.empty()) return around;
    // So far around them that she finds her way by what closes nothing.
    const int side = (std::max(around.cols, around.rows) + 2 * floor_.halo()) / grid_.together + least_beside;
    return common(grown(around, side * grid_.together), grid_.raster);
}

/// Whether a way leads to a place at a level if some dangers were not there.
/// @param near  what is looked at of the raster; elsewhere they stay
bool ClosedWays::leads_without(const std::vector<std::size_t>& dangers, Window near, CellNumber place,
                               float level_m) {
    std::vector<Hazard> others;
    for (const std::size_t index : job_.hazards->touching(common(grown(near, floor_.halo()), grid_.raster))) {
        if (std::ranges::find(dangers, index) != dangers.end()) continue;
        others.push_back(job_.hazards->hazards()[index]);
    }
    const HazardField rest(std::move(others), grid_.raster, *job_.metric,
                           common(grown(near, floor_.halo()), grid_.raster));
    OverlayJob job = job_;
    job.hazards = &rest;
    const AccessFloor floor(job, way_in_.needs);
    const SearchGrid part = read_search_grid(job, floor, start_, way_in_.places, near, grid_.together, {});
    std::vector<Passing> passing(passing_.size());
    for (CellNumber cell = 0; cell < passing.size(); ++cell) {
        const bool open = grid_.needed_m[cell] < infinite && grid_.needed_m[cell] <= level_m;
        passing[cell] = open ? Passing::open : Passing::closed;
    }
    for (CellNumber cell = 0; cell < part.cells.cells(); ++cell) {
        const bool open = part.needed_m[cell] < infinite && part.needed_m[cell] <= level_m;
        passing[grid_.number_of(part.middle_of(cell))] = open ? Passing::open : Passing::closed;
    }
    return !shortest_.find(place, goals_, passing).empty();
}

/// Within the margin of one danger others cost nothing more: those are dropped that may stay, since she finds
/// a way round them once the rest is gone.
std::vector<std::size_t> ClosedWays::needed_alone(std::vector<std::size_t> dangers, CellNumber place,
                                                  float level_m) {
    if (dangers.size() < 2 || dangers.size() > most_dropped || around_chain_.cells() > most_cells_around) {
        return dangers;
    }
    for (std::size_t i = 0; i < dangers.size() && dangers.size() > 1;) {
        std::vector<std::size_t> rest = dangers;
        rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
        if (leads_without(rest, around_chain_, place, level_m)) {
            dangers = std::move(rest);
        } else {
            ++i;
        }
    }
    return dangers;
}

ClosedWay ClosedWays::of(GridCell place, float access_level_m,
                         const std::function<Sill(CellNumber)>& sill_of) {
    const CellNumber cell = grid_.number_of(place);
    goals_.assign(grid_.cells.cells(), 0);
    for (const CellNumber start : grid_.starts) {
        goals_[start] = 1;
    }
    passing_.assign(grid_.cells.cells(), Passing::closed);
    ClosedWay closed;
    if (access_level_m < infinite) {
        for (std::size_t i = 0; i < passing_.size(); ++i) {
            if (grid_.needed_m[i] <= access_level_m) passing_[i] = Passing::open;
        }
        const std::vector<CellNumber> chain = shortest_.find(cell, goals_, passing_);
        if (!chain.empty()) closed.sill = sill_of(sill_on(chain, access_level_m));
    }
    std::vector<CellNumber> chain = chain_past_dangers(cell, way_in_.highest_m);
    float level_m = way_in_.highest_m;
    if (chain.empty() && access_level_m == infinite) {
        level_m = std::numeric_limits<float>::max();
        chain = chain_past_dangers(cell, level_m);
    }
    closed.data_ends = chain.empty() && level_m > way_in_.highest_m;
    closed.together = grid_.together;
    around_chain_ = near_to(chain);
    for (const std::size_t index : needed_alone(dangers_on(chain, level_m), cell, level_m)) {
        const Hazard& hazard = job_.hazards->hazards()[index];
        closed.through.push_back(name_of(hazard));
        if (hazard.clearance_m) {
            closed.through.back() +=
                ", clearance " + length_text(*hazard.clearance_m, Rounded::down, Measures{});
        }
        if (closed.through.size() == most_named) break;
    }
    return closed;
}

} // namespace swingroom
