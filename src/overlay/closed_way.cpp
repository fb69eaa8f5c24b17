#include "overlay/closed_way.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/room/distance.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
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

std::vector<std::string> ClosedWays::dangers_on(const std::vector<CellNumber>& chain, float level_m) const {
    std::vector<std::string> names;
    std::set<std::size_t> known;
    int looked_at = 0, asked = 0;
    for (const CellNumber cell : std::views::reverse(chain)) {
        if (passing_[cell] != Passing::dearly) continue;
        if (++looked_at > most_cells_looked_at) return names;
        const auto cols = static_cast<CellNumber>(grid_.cells.cols);
        const int together = grid_.together;
        const Window cells = common({static_cast<int>(cell % cols) * together,
                                     static_cast<int>(cell / cols) * together, together, together},
                                    grid_.raster);
        for (const std::size_t index :
             job_.hazards->touching(common(grown(cells, floor_.halo()), grid_.raster))) {
            const Hazard& hazard = job_.hazards->hazards()[index];
            if ((hazard.effects & effect::hull) == 0 || known.contains(index)) continue;
            if (++asked > most_asked) return names;
            if (!closes(index, cells, level_m)) continue;
            known.insert(index);
            names.push_back(name_of(hazard));
            if (hazard.clearance_m) {
                names.back() += ", clearance " + length_text(*hazard.clearance_m, Rounded::down, Measures{});
            }
            if (names.size() == most_named) return names;
        }
    }
    return names;
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
    closed.through = dangers_on(chain, level_m);
    return closed;
}

} // namespace swingroom
