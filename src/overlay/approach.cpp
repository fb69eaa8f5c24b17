#include "swingroom/overlay/approach.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "overlay/access_floor.hpp"
#include "overlay/approach_line.hpp"
#include "overlay/closed_way.hpp"
#include "overlay/search_grid.hpp"
#include "room/way_search.hpp"

#include <algorithm>
#include <cassert>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// No room is looked at beyond this: what is so much wider is wide.
double reach_of_room_m(const SearchGrid& grid, float clear_way_m) {
    constexpr double least_m = 100, clear_ways = 10, most_cells = 400;
    const CellSize cell = grid.metric.least();
    const double wide_m = std::max(least_m, clear_ways * double{clear_way_m});
    return std::max(double{clear_way_m}, std::min(wide_m, most_cells * std::min(cell.dx_m, cell.dy_m)));
}

/// A line as it is found in one grid.
struct FoundLine {
    std::vector<GridCell> turns; ///< from the start to the place
    std::vector<float> needed_m; ///< by leg, the level at which she floats clear all along it
    LineSill sill;
    float sill_m = 0; ///< the level at which she floats clear there
    float room_m = 0;
};

/// A turn at the sill lets the others move a little.
void pull_beside_sill(FoundLine& line, const LineOfSight& sight) {
    if (!line.sill.turn) return;
    const auto sill = line.turns.begin() + static_cast<std::ptrdiff_t>(*line.sill.turn);
    const std::vector<GridCell> to_sill(line.turns.begin(), sill + 1), from_sill(sill, line.turns.end());
    line.turns = pulled_taut(to_sill, sight, to_sill.size() > 1);
    line.sill.turn = line.turns.size() - 1;
    const std::vector<GridCell> rest = pulled_taut(from_sill, sight, false);
    line.turns.insert(line.turns.end(), rest.begin() + 1, rest.end());
}

/// What a line gives for fewer turns: of its room what is beyond the clear way, down to this share of it; of
/// the depth at its sill so much, where that keeps her afloat at its level.
constexpr float least_share_of_room = 0.9F, most_depth_given_m = 0.1F;
/// Nobody steers shorter legs for a sill.
constexpr double shortest_to_sill_m = 25;

/// Looks for lines in a grid at a level of the water.
class LineSearch {
public:
    LineSearch(const SearchGrid& grid, const LineDoubt& doubt, double slack_cells, const UnderWay& needs,
               Turns turns)
        : grid_(grid), doubt_(doubt), slack_cells_(slack_cells), needs_(needs), turns_(turns),
          clear_way_m_(narrow_up(needs.clear_way_m)), by_need_(cheapest_first(grid.needed_m)),
          joiner_(grid.cells), shortest_(grid.cells, grid.metric) {}

    /// By place the level at which it is reached.
    std::vector<float> access_levels_m(std::span<const CellNumber> places) {
        return joiner_.join(grid_.needed_m, by_need_, grid_.starts, places);
    }

    /// By cell whether the way in leads to it at a level: 1 then, else 0.
    const std::vector<std::uint8_t>& reached_at(float level_m);

    /// By place the line to it; nothing where there is none at that level.
    std::vector<std::optional<FoundLine>> find(float level_m, std::span<const GridCell> places,
                                               const std::function<void()>& found_one);

private:
    void look_at(float level_m);
    [[nodiscard]] std::optional<FoundLine> line_to(GridCell place, float room_m, float sill_m, float level_m);
    void leave_out_turns(FoundLine& line, float level_m);
    void open_where(float room_m, float needed_m);
    [[nodiscard]] GridCell start_in(CellNumber cell) const;

    const SearchGrid& grid_;
    const LineDoubt& doubt_;
    double slack_cells_;
    const UnderWay& needs_;
    Turns turns_;
    float clear_way_m_;
    std::vector<CellNumber> by_need_;
    CellJoiner joiner_;
    ShortestWay shortest_;
    std::optional<float> level_m_;  ///< the level in hand
    std::vector<float> room_m_;     ///< at that level
    std::vector<float> narrowness_; ///< the same, that the widest is the cheapest
    std::vector<CellNumber> widest_first_;
    std::vector<std::uint8_t> goals_;
    std::vector<Passing> passing_;
    std::vector<std::uint8_t> reached_;
    std::optional<float> reached_at_m_; ///< the level that it is of
};

/// Asked of many cells at once, whose levels nobody needs.
const std::vector<std::uint8_t>& LineSearch::reached_at(float level_m) {
    if (reached_at_m_ == level_m) return reached_;
    reached_at_m_ = level_m;
    reached_.assign(grid_.cells.cells(), 0);
    std::vector<CellNumber> edge; // of what is reached so far
    const auto reach = [&](CellNumber cell) {
        if (reached_[cell] != 0 || !(grid_.needed_m[cell] <= level_m)) return;
        reached_[cell] = 1;
        edge.push_back(cell);
    };
    std::for_each(grid_.starts.begin(), grid_.starts.end(), reach);
    const auto cols = static_cast<CellNumber>(grid_.cells.cols);
    while (!edge.empty()) {
        const CellNumber cell = edge.back();
        edge.pop_back();
        if (cell % cols > 0) reach(cell - 1);
        if (cell % cols + 1 < cols) reach(cell + 1);
        if (cell >= cols) reach(cell - cols);
        if (cell + cols < reached_.size()) reach(cell + cols);
    }
    return reached_;
}

std::vector<std::optional<FoundLine>> LineSearch::find(float level_m, std::span<const GridCell> places,
                                                       const std::function<void()>& found_one) {
    std::vector<CellNumber> numbers;
    for (const GridCell place : places) {
        numbers.push_back(grid_.number_of(place));
    }
    look_at(level_m);
    const std::vector<float> narrowest = joiner_.join(narrowness_, widest_first_, grid_.starts, numbers);
    std::map<float, std::vector<std::size_t>> by_room; // the widest first
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (narrowest[i] < infinite) by_room[narrowest[i]].push_back(i);
    }
    goals_.assign(grid_.cells.cells(), 0);
    for (const CellNumber start : grid_.starts) {
        goals_[start] = 1;
    }
    std::vector<std::optional<FoundLine>> lines(places.size());
    for (const auto& [narrow, of_places] : by_room) {
        const float room_m = -narrow;
        std::vector<CellNumber> order, of_room;
        std::copy_if(by_need_.begin(), by_need_.end(), std::back_inserter(order),
                     [&](CellNumber cell) { return room_m_[cell] >= room_m; });
        for (const std::size_t i : of_places) {
            of_room.push_back(numbers[i]);
        }
        const std::vector<float> sills_m = joiner_.join(grid_.needed_m, order, grid_.starts, of_room);
        for (std::size_t i = 0; i < of_places.size(); ++i) {
            stop_if_asked();
            lines[of_places[i]] = line_to(places[of_places[i]], room_m, sills_m[i], level_m);
            found_one();
        }
    }
    return lines;
}

/// Finds the rooms at a level, unless it is in hand: places are mostly asked about at the same one, the
/// lowest of the stay.
void LineSearch::look_at(float level_m) {
    if (level_m_ == level_m) return;
    room_m_ =
        rooms_at(grid_, level_m, needs_.required_depth_m, clear_way_m_, reach_of_room_m(grid_, clear_way_m_));
    narrowness_.resize(room_m_.size());
    std::transform(room_m_.begin(), room_m_.end(), narrowness_.begin(), std::negate());
    widest_first_ = cheapest_first(narrowness_);
    level_m_ = level_m;
}

/// Cells with so much room at the level in hand in which she floats clear at another.
void LineSearch::open_where(float room_m, float needed_m) {
    passing_.resize(grid_.cells.cells());
    for (std::size_t i = 0; i < passing_.size(); ++i) {
        passing_[i] = room_m_[i] >= room_m && grid_.needed_m[i] <= needed_m ? Passing::open : Passing::closed;
    }
}

std::optional<FoundLine> LineSearch::line_to(GridCell place, float room_m, float sill_m, float level_m) {
    open_where(room_m, sill_m);
    const std::vector<CellNumber> numbers = shortest_.find(grid_.number_of(place), goals_, passing_);
    assert(!numbers.empty());
    std::vector<GridCell> chain;
    for (auto number = numbers.rbegin(); number != numbers.rend(); ++number) {
        chain.push_back(grid_.middle_of(*number));
    }
    // Where cells are put together neither of the ends lies in the middle of its own: only from there on does
    // a step to the next cell keep to the two of them.
    const auto same = [](GridCell a, GridCell b) { return a.col == b.col && a.row == b.row; };
    if (const GridCell start = start_in(numbers.back()); !same(start, chain.front())) {
        chain.insert(chain.begin(), start);
    }
    if (!same(place, chain.back())) chain.push_back(place);
    const LineOfSight sight(grid_, doubt_, slack_cells_, passing_);
    FoundLine line{pulled_taut(chain, sight, true), {}, {}, sill_m, room_m};
    line.sill = turn_at_sill(line.turns, sight, double{clear_way_m_});
    pull_beside_sill(line, sight);
    if (turns_ == Turns::fewer && line.turns.size() > 2) leave_out_turns(line, level_m);
    for (std::size_t i = 0; i + 1 < line.turns.size(); ++i) {
        float needed_m = -infinite, least_room_m = infinite;
        sight.touched(line.turns[i], line.turns[i + 1], [&](CellNumber cell) {
            needed_m = std::max(needed_m, grid_.needed_m[cell]);
            least_room_m = std::min(least_room_m, room_m_[cell]);
        });
        // However the line was found: no leg is told that she has no water or no room for.
        if (needed_m > level_m || least_room_m < line.room_m) return std::nullopt;
        line.needed_m.push_back(needed_m);
    }
    return line;
}

/// Straight on where that takes a little less room, or a little more water, than the best line has; its room
/// and sill are then those of what it touches.
void LineSearch::leave_out_turns(FoundLine& line, float level_m) {
    open_where(std::max(clear_way_m_, least_share_of_room * line.room_m),
               std::min(level_m, line.sill_m + most_depth_given_m));
    const LineOfSight sight(grid_, doubt_, slack_cells_, passing_);
    const auto put = [&](const std::vector<GridCell>& turns, LineSill sill) {
        float room_m = infinite, sill_m = -infinite;
        for (std::size_t i = 0; i + 1 < turns.size(); ++i) {
            if (!sight.sees(turns[i], turns[i + 1])) return false;
            sight.touched(turns[i], turns[i + 1], [&](CellNumber cell) {
                room_m = std::min(room_m, room_m_[cell]);
                sill_m = std::max(sill_m, grid_.needed_m[cell]);
            });
        }
        if (turns.size() > line.turns.size() || grid_.needed_m[grid_.number_of(sill.cell)] != sill_m) {
            return false;
        }
        line = {turns, {}, sill, sill_m, room_m};
        return true;
    };
    const std::vector<GridCell> fewest = fewest_turns(line.turns, sight);
    std::vector<GridCell> over_sill = fewest;
    const LineSill sill =
        single_turn_at_sill(over_sill, sight, std::max(double{clear_way_m_}, shortest_to_sill_m));
    // By way of its sill a line may touch what is shoaler: then there is no turn on it.
    if (put(over_sill, sill) || over_sill.size() == fewest.size()) return;
    put(fewest, {sill.cell, std::nullopt});
}

GridCell LineSearch::start_in(CellNumber cell) const {
    const auto found = std::lower_bound(grid_.starts.begin(), grid_.starts.end(), cell);
    return grid_.start_cells[static_cast<std::size_t>(found - grid_.starts.begin())];
}

} // namespace

struct ApproachFinder::State {
    State(const OverlayJob& of_job, const Georeference& where, Turns of_lines)
        : job(of_job), georeference(where), turns(of_lines), way_in(*of_job.way_in),
          floor(of_job, way_in.needs), doubt(of_job.depths->grid(), where) {
        if (way_in.places.empty()) rim = floor.rim_start();
    }

    const OverlayJob& job;
    const Georeference& georeference;
    Turns turns;
    const WayIn& way_in;
    AccessFloor floor;
    LineDoubt doubt;
    std::optional<RimStart> rim; ///< nothing: it begins at places

    [[nodiscard]] const RimStart* start() const { return rim ? &*rim : nullptr; }
    [[nodiscard]] SearchGrid read(Window part, int together,
                                  const std::function<void(double)>& progress) const {
        return read_search_grid(job, floor, start(), way_in.places, part, together, progress);
    }
    [[nodiscard]] double slack_cells() const { return job.depths->grid().slack_cells; }
    [[nodiscard]] LineSearch search(const SearchGrid& grid) const {
        return {grid, doubt, slack_cells(), way_in.needs, turns};
    }
    [[nodiscard]] LonLat centre(GridCell cell) const {
        return georeference.lonlat({cell.col + 0.5, cell.row + 0.5});
    }
    /// How deep it is where she floats clear from a level on.
    [[nodiscard]] double least_depth_m(float level_m) const {
        return way_in.needs.required_depth_m - double{level_m};
    }
    [[nodiscard]] Sill sill(GridCell cell, float level_m) const {
        return {cell, centre(cell), least_depth_m(level_m), double{level_m},
                danger_at_sill(job, way_in.needs, floor, cell, level_m)};
    }
    [[nodiscard]] GridCell shoalest_in(const SearchGrid& grid, CellNumber cell) const;
    [[nodiscard]] std::vector<float> levels_of_closed_m(const SearchGrid& grid, LineSearch& search,
                                                        std::span<const GridCell> places,
                                                        std::span<const float> access_m) const;
    [[nodiscard]] Approach approach(const FoundLine& line, float level_m, int together) const;
    [[nodiscard]] std::optional<FoundLine> out_of_window(const SearchGrid& coarse, LineSearch& search,
                                                         GridCell place, int half, float level_m) const;
    [[nodiscard]] std::vector<std::optional<FoundLine>> by_windows(const SearchGrid& coarse,
                                                                   LineSearch& search,
                                                                   std::span<const GridCell> places,
                                                                   float level_m) const;
    [[nodiscard]] std::vector<float> access_levels_m(const SearchGrid& grid, LineSearch& search,
                                                     std::span<const GridCell> places) const;
};

Approach ApproachFinder::State::approach(const FoundLine& line, float level_m, int together) const {
    Approach found;
    found.level_m = double{level_m};
    found.clear_m = double{line.room_m};
    found.together = together;
    for (std::size_t i = 0; i + 1 < line.turns.size(); ++i) {
        ApproachLeg leg{centre(line.turns[i]), centre(line.turns[i + 1]), 0, 0,
                        least_depth_m(line.needed_m[i])};
        const Geodesic along = geodesic(leg.from, leg.to);
        leg.length_m = along.distance_m;
        leg.course_deg = along.azimuth_deg;
        found.length_m += leg.length_m;
        found.legs.push_back(leg);
    }
    found.sill = sill(line.sill.cell, line.sill_m);
    return found;
}

/// From a place through cells of the raster near it to any that lies in a cell of the coarse grid which is
/// reached; nothing where there is none so near.
std::optional<FoundLine> ApproachFinder::State::out_of_window(const SearchGrid& coarse, LineSearch& search,
                                                              GridCell place, int half, float level_m) const {
    const Window part =
        common({place.col - half, place.row - half, 2 * half + 1, 2 * half + 1}, coarse.raster);
    SearchGrid fine = read(part, 1, {});
    const std::vector<std::uint8_t>& reached = search.reached_at(level_m);
    // One way out in each coarse cell that is reached: the one next to the place is found by length.
    std::map<CellNumber, GridCell> by_coarse;
    for (CellNumber cell = 0; cell < fine.cells.cells(); ++cell) {
        const GridCell of_raster = fine.middle_of(cell);
        const CellNumber number = coarse.number_of(of_raster);
        if (reached[number] != 0) by_coarse.emplace(number, of_raster);
    }
    fine.starts.clear();
    fine.start_cells.clear();
    for (const auto& [number, of_raster] : by_coarse) {
        fine.starts.push_back(fine.number_of(of_raster));
        fine.start_cells.push_back(of_raster);
    }
    const auto order = [&](GridCell cell) { return fine.number_of(cell); };
    std::sort(fine.starts.begin(), fine.starts.end());
    std::sort(fine.start_cells.begin(), fine.start_cells.end(),
              [&](GridCell a, GridCell b) { return order(a) < order(b); });
    return this->search(fine).find(level_m, {&place, 1}, [] {}).front();
}

/// Through cells of the raster out of a window around each place, and on from there.
std::vector<std::optional<FoundLine>> ApproachFinder::State::by_windows(const SearchGrid& coarse,
                                                                        LineSearch& search,
                                                                        std::span<const GridCell> places,
                                                                        float level_m) const {
    std::vector<std::optional<FoundLine>> lines(places.size());
    for (const int half : {64, 256, 1000}) {
        std::vector<std::size_t> of_places;
        std::vector<FoundLine> near;
        std::vector<GridCell> between; // where the two halves of a line meet
        for (std::size_t i = 0; i < places.size(); ++i) {
            if (lines[i]) continue;
            std::optional<FoundLine> out = out_of_window(coarse, search, places[i], half, level_m);
            if (!out) continue;
            of_places.push_back(i);
            between.push_back(out->turns.front());
            near.push_back(std::move(*out));
        }
        if (between.empty()) continue;
        std::vector<std::optional<FoundLine>> far = search.find(level_m, between, [] {});
        for (std::size_t i = 0; i < far.size(); ++i) {
            if (!far[i]) continue;
            FoundLine& line = *far[i];
            const FoundLine& rest = near[i];
            if (rest.sill_m > line.sill_m) {
                line.sill = rest.sill;
                line.sill_m = rest.sill_m;
            }
            line.room_m = std::min(rest.room_m, line.room_m);
            line.turns.insert(line.turns.end(), rest.turns.begin() + 1, rest.turns.end());
            line.needed_m.insert(line.needed_m.end(), rest.needed_m.begin(), rest.needed_m.end());
            lines[of_places[i]] = std::move(line);
        }
    }
    return lines;
}

/// Where cells are put together, those of the raster's own are asked.
std::vector<float> ApproachFinder::State::access_levels_m(const SearchGrid& grid, LineSearch& search,
                                                          std::span<const GridCell> places) const {
    if (grid.together == 1) {
        std::vector<CellNumber> numbers;
        for (const GridCell place : places) {
            numbers.push_back(grid.number_of(place));
        }
        return search.access_levels_m(numbers);
    }
    std::vector<float> levels_m;
    AccessLevels::Workspace work;
    Plane<float> level_m;
    for (const GridCell place : places) {
        way_in.access->levels({place.col, place.row, 1, 1}, work, level_m);
        levels_m.push_back(level_m.at(place.col, place.row));
    }
    return levels_m;
}

/// The cell of the raster by which a cell of the grid is as shoal as it is.
GridCell ApproachFinder::State::shoalest_in(const SearchGrid& grid, CellNumber cell) const {
    AccessFloor::Scratch scratch;
    Plane<float> needed_m;
    floor.needed(grid.of_raster(cell), start(), scratch, needed_m);
    const Window cells = needed_m.window();
    GridCell shoalest = grid.middle_of(cell);
    float most_m = -infinite;
    for (int row = cells.row; row < cells.row_end(); ++row) {
        for (int col = cells.col; col < cells.col_end(); ++col) {
            const float here_m = needed_m.at(col, row);
            if (!(here_m < infinite && here_m > most_m)) continue;
            most_m = here_m;
            shoalest = {col, row};
        }
    }
    return shoalest;
}

/// Access levels are known within the stay's alone where the raster's own cells were asked: of places that
/// are not reached then, the level at which they are through cells that are put together, which is no lower.
std::vector<float> ApproachFinder::State::levels_of_closed_m(const SearchGrid& grid, LineSearch& search,
                                                             std::span<const GridCell> places,
                                                             std::span<const float> access_m) const {
    std::vector<float> levels_m(access_m.begin(), access_m.end());
    if (grid.together == 1) return levels_m;
    std::vector<CellNumber> numbers;
    for (const GridCell place : places) {
        numbers.push_back(grid.number_of(place));
    }
    return search.access_levels_m(numbers);
}

ApproachFinder::ApproachFinder(const OverlayJob& job, const Georeference& georeference, Turns turns)
    : state_(std::make_unique<State>(job, georeference, turns)) {}
ApproachFinder::~ApproachFinder() = default;

std::vector<WayToPlace> ApproachFinder::find(std::span<const GridCell> places,
                                             const std::function<void(double)>& progress) const {
    const State& state = *state_;
    std::vector<WayToPlace> ways(places.size());
    if (places.empty() || !state.way_in.access) return ways;
    constexpr double share_of_reading = 0.4;
    const Window raster = state.floor.extent();
    const SearchGrid grid = state.read(raster, put_together(raster, most_cells), [&](double done) {
        if (progress) progress(share_of_reading * done);
    });
    std::size_t done = 0;
    const auto found_one = [&] {
        ++done;
        const double share = static_cast<double>(done) / static_cast<double>(places.size());
        if (progress) progress(share_of_reading + (1 - share_of_reading) * std::min(share, 1.0));
    };
    LineSearch search = state.search(grid);
    const std::vector<float> access_m = state.access_levels_m(grid, search, places);
    std::map<float, std::vector<std::size_t>> by_level;
    std::vector<std::size_t> never;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (state.way_in.reach(access_m[i]) == Reach::never) {
            never.push_back(i);
        } else {
            by_level[std::max(access_m[i], state.way_in.lowest_m)].push_back(i);
        }
    }
    for (const auto& [level_m, of_places] : by_level) {
        std::vector<GridCell> cells;
        for (const std::size_t i : of_places) {
            cells.push_back(places[i]);
        }
        std::vector<std::size_t> without;
        std::vector<GridCell> cells_without;
        const auto put = [&](std::size_t place, const FoundLine& line) {
            ways[place].approach = state.approach(line, level_m, grid.together);
        };
        const std::vector<std::optional<FoundLine>> lines = search.find(level_m, cells, found_one);
        for (std::size_t i = 0; i < of_places.size(); ++i) {
            if (lines[i]) {
                put(of_places[i], *lines[i]);
            } else {
                without.push_back(of_places[i]);
                cells_without.push_back(cells[i]);
            }
        }
        if (grid.together == 1) continue;
        const auto others = state.by_windows(grid, search, cells_without, level_m);
        for (std::size_t i = 0; i < others.size(); ++i) {
            if (others[i]) put(without[i], *others[i]);
        }
    }
    if (never.empty()) return ways;
    ClosedWays closed(state.job, state.way_in, state.floor, state.start(), grid);
    const std::vector<float> closed_m = state.levels_of_closed_m(grid, search, places, access_m);
    for (const std::size_t i : never) {
        stop_if_asked();
        ways[i].closed = closed.of(places[i], closed_m[i], [&](CellNumber cell) {
            return state.sill(state.shoalest_in(grid, cell), grid.needed_m[cell]);
        });
        found_one();
    }
    return ways;
}

} // namespace swingroom
