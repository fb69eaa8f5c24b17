#include "overlay/approach_line.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <optional>
#include <queue>
#include <utility>

namespace swingroom {
namespace {

LonLat midpoint(LonLat a, LonLat b) {
    const Geodesic line = geodesic(a, b);
    return destination(a, line.azimuth_deg, line.distance_m / 2);
}

/// Halfway in latitude, on the sphere: what that is beside the ellipsoid is small beside what is measured.
LonLat rhumb_midpoint(LonLat a, LonLat b) {
    constexpr double degree = std::numbers::pi / 180;
    const auto stretched = [](double lat) { return std::asinh(std::tan(lat * degree)); };
    const double lat = (a.lat + b.lat) / 2, turned = std::remainder(b.lon - a.lon, 360.0);
    const double from = stretched(a.lat), to = stretched(b.lat);
    const double part = std::abs(to - from) > 1e-9 ? (stretched(lat) - from) / (to - from) : 0.5;
    return {a.lon + part * turned, lat};
}

/// How far apart the middles of all lines between two places of the raster are.
double middles_apart_m(GridPoint from, GridPoint to, const Georeference& georeference) {
    const LonLat a = georeference.lonlat(from), b = georeference.lonlat(to);
    const std::array<LonLat, 4> middles = {
        georeference.lonlat({(from.x + to.x) / 2, (from.y + to.y) / 2}), midpoint(a, b), rhumb_midpoint(a, b),
        LonLat{a.lon + std::remainder(b.lon - a.lon, 360.0) / 2, (a.lat + b.lat) / 2}};
    double apart_m = 0;
    for (const LonLat& one : middles) {
        for (const LonLat& other : middles) {
            apart_m = std::max(apart_m, geodesic(one, other).distance_m);
        }
    }
    return apart_m;
}

/// From the first cell on as far as one sees, then on from there. A chain goes across corners by way of cells
/// beside them, which may be out of sight where the next ones are not.
std::vector<GridCell> by_farthest(const std::vector<GridCell>& chain, const LineOfSight& sight) {
    std::vector<GridCell> turns = {chain.front()};
    for (std::size_t at = 0; at + 1 < chain.size();) {
        constexpr std::size_t most_ahead = 3;
        std::size_t next = at + 1;
        for (std::size_t ahead = 1; ahead <= most_ahead && next + ahead < chain.size();) {
            if (sight.sees(chain[at], chain[next + ahead])) {
                next += ahead;
                ahead = 1;
            } else {
                ++ahead;
            }
        }
        turns.push_back(chain[next]);
        at = next;
    }
    return turns;
}

double length_m(const std::vector<GridCell>& turns, const LineOfSight& sight) {
    double all_m = 0;
    for (std::size_t i = 0; i + 1 < turns.size(); ++i) {
        all_m += sight.length_m(turns[i], turns[i + 1]);
    }
    return all_m;
}

bool leave_out_turns(std::vector<GridCell>& turns, const LineOfSight& sight) {
    bool changed = false;
    for (std::size_t i = 1; i + 1 < turns.size();) {
        if (sight.sees(turns[i - 1], turns[i + 1])) {
            turns.erase(turns.begin() + static_cast<std::ptrdiff_t>(i));
            changed = true;
        } else {
            ++i;
        }
    }
    return changed;
}

/// Moves a turn to where the two legs at it are shorter.
bool move_turn(GridCell before, GridCell& turn, GridCell after, const LineOfSight& sight) {
    constexpr double least_gain_m = 1e-6;
    const Window part = sight.grid().part;
    double now_m = sight.length_m(before, turn) + sight.length_m(turn, after);
    bool moved = false;
    for (const int by : {16, 4, 1}) {
        for (bool better = true; better;) {
            better = false;
            const GridCell from = turn;
            for (int rows = -1; rows <= 1; ++rows) {
                for (int cols = -1; cols <= 1; ++cols) {
                    const int step = by * sight.grid().together;
                    const GridCell to{from.col + cols * step, from.row + rows * step};
                    if (!part.contains(to.col, to.row)) continue;
                    const double there_m = sight.length_m(before, to) + sight.length_m(to, after);
                    if (there_m > now_m - least_gain_m) continue;
                    if (!sight.sees(before, to) || !sight.sees(to, after)) continue;
                    turn = to;
                    now_m = there_m;
                    better = moved = true;
                }
            }
        }
    }
    return moved;
}

/// Moves where the line starts to another start, from which its first leg is shorter.
bool move_start(GridCell& start, GridCell after, const LineOfSight& sight) {
    const SearchGrid& grid = sight.grid();
    bool moved = false;
    for (std::size_t i = 0; i < grid.starts.size(); ++i) {
        const GridCell to = grid.start_cells[i];
        constexpr double least_gain_m = 1e-6;
        if (!sight.open(grid.starts[i]) ||
            sight.length_m(to, after) > sight.length_m(start, after) - least_gain_m ||
            !sight.sees(to, after)) {
            continue;
        }
        start = to;
        moved = true;
    }
    return moved;
}

/// A chain of cells of the raster that share edges, all of which a leg touches, between two of them.
std::vector<GridCell> chain_along(GridCell from, GridCell to, GridCell leg_from, GridCell leg_to,
                                  const LineOfSight& sight) {
    const SearchGrid& grid = sight.grid();
    std::map<CellNumber, CellNumber> came_from; // of those that the leg touches
    constexpr CellNumber not_yet = std::numeric_limits<CellNumber>::max();
    sight.touched(leg_from, leg_to, [&](CellNumber cell) { came_from.emplace(cell, not_yet); });
    const CellNumber first = grid.number_of(from), last = grid.number_of(to);
    const auto cols = static_cast<CellNumber>(grid.cells.cols);
    std::queue<CellNumber> reached;
    reached.push(first);
    came_from[first] = first;
    while (!reached.empty() && came_from[last] == not_yet) {
        const CellNumber cell = reached.front();
        reached.pop();
        const auto go = [&](CellNumber next) {
            const auto found = came_from.find(next);
            if (found == came_from.end() || found->second != not_yet) return;
            found->second = cell;
            reached.push(next);
        };
        if (cell % cols > 0) go(cell - 1);
        if (cell % cols + 1 < cols) go(cell + 1);
        if (cell >= cols) go(cell - cols);
        go(cell + cols);
    }
    std::vector<GridCell> chain = {to};
    for (CellNumber cell = last; cell != first && came_from[cell] != not_yet;) {
        cell = came_from[cell];
        chain.push_back(cell == first ? from : grid.middle_of(cell));
    }
    std::reverse(chain.begin(), chain.end());
    return chain;
}

/// A place where a line may get a turn.
struct Candidate {
    double longer_m = 0;
    std::size_t leg = 0;
    GridCell cell;
};

/// The shoalest place of a line where it is a turn, else where it may get one, the best first.
struct SillSearch {
    LineSill found;
    std::vector<Candidate> candidates; ///< empty: it is a turn
};

SillSearch look_for_sill(const std::vector<GridCell>& turns, const LineOfSight& sight) {
    const std::vector<float>& needed_m = sight.grid().needed_m;
    const auto needed_at = [&](GridCell cell) { return needed_m[sight.grid().number_of(cell)]; };
    float sill_m = needed_at(turns.front());
    for (std::size_t i = 0; i + 1 < turns.size(); ++i) {
        sight.touched(turns[i], turns[i + 1],
                      [&](CellNumber cell) { sill_m = std::max(sill_m, needed_m[cell]); });
    }
    for (std::size_t i = 0; i < turns.size(); ++i) {
        if (needed_at(turns[i]) == sill_m) return {{turns[i], i}, {}};
    }
    SillSearch search;
    for (std::size_t i = 0; i + 1 < turns.size(); ++i) {
        const double leg_m = sight.length_m(turns[i], turns[i + 1]);
        sight.touched(turns[i], turns[i + 1], [&](CellNumber cell) {
            if (needed_m[cell] != sill_m) return;
            const GridCell at = sight.grid().middle_of(cell);
            search.candidates.push_back(
                {sight.length_m(turns[i], at) + sight.length_m(at, turns[i + 1]) - leg_m, i, at});
        });
    }
    std::stable_sort(search.candidates.begin(), search.candidates.end(),
                     [](const Candidate& a, const Candidate& b) {
                         return std::pair(a.longer_m, a.leg) < std::pair(b.longer_m, b.leg);
                     });
    return search;
}

bool is_near_turn(const std::vector<GridCell>& turns, const Candidate& candidate, const LineOfSight& sight,
                  double near_m) {
    return std::min(sight.length_m(turns[candidate.leg], candidate.cell),
                    sight.length_m(candidate.cell, turns[candidate.leg + 1])) < near_m;
}

/// Puts a turn on the first candidate that is seen from the turns beside it, unless one of them is near.
/// Nothing where none is seen.
std::optional<LineSill> put_seen_turn(std::vector<GridCell>& turns, const std::vector<Candidate>& candidates,
                                      const LineOfSight& sight, double near_m) {
    constexpr std::size_t most_tried = 64;
    for (std::size_t i = 0; i < std::min(most_tried, candidates.size()); ++i) {
        const auto& [longer_m, leg, cell] = candidates[i];
        if (!sight.sees(turns[leg], cell) || !sight.sees(cell, turns[leg + 1])) continue;
        if (is_near_turn(turns, candidates[i], sight, near_m)) return LineSill{cell, std::nullopt};
        turns.insert(turns.begin() + static_cast<std::ptrdiff_t>(leg) + 1, cell);
        return LineSill{cell, leg + 1};
    }
    return std::nullopt;
}

} // namespace

LineDoubt::LineDoubt(const Grid& raster, const Georeference& georeference) {
    constexpr double longest_m = 20'000, safety = 2;
    std::vector<GridPoint> places;
    for (int row = 0; row <= 2; ++row) {
        for (int col = 0; col <= 2; ++col) {
            places.push_back({raster.cols * col / 2.0, raster.rows * row / 2.0});
        }
    }
    for (const GridPoint& from : places) {
        for (const GridPoint& other : places) {
            if (from == other) continue;
            const double all_m = geodesic(georeference.lonlat(from), georeference.lonlat(other)).distance_m;
            if (!(all_m > 0)) continue;
            const double part = std::min(1.0, longest_m / all_m);
            const GridPoint to{from.x + part * (other.x - from.x), from.y + part * (other.y - from.y)};
            const double apart_m = middles_apart_m(from, to, georeference), leg_m = part * all_m;
            per_square_m_ = std::max(per_square_m_, safety * apart_m / (leg_m * leg_m));
        }
    }
}

double LineDoubt::of_length_m(double length_m) const {
    constexpr double of_rounding_m = 0.012; // half of 1e-7 degrees in both ways at each end, and more
    return of_rounding_m + per_square_m_ * length_m * length_m;
}

double LineOfSight::length_m(GridCell from, GridCell to) const {
    const GridPoint a = grid_.point_of(from), b = grid_.point_of(to);
    const double row = (a.y + b.y) / 2 - 0.5;
    const int upper = static_cast<int>(std::floor(row));
    const CellSize here = grid_.metric.at(upper), next = grid_.metric.at(upper + 1);
    const double part = row - upper;
    return std::hypot((b.x - a.x) * std::lerp(here.dx_m, next.dx_m, part),
                      (b.y - a.y) * std::lerp(here.dy_m, next.dy_m, part));
}

LegDoubt LineOfSight::width(GridCell from, GridCell to) const {
    const double doubt_m = doubt_.of_length_m(length_m(from, to));
    const CellSize least = grid_.metric.least(std::min(from.row, to.row) / grid_.together,
                                              std::max(from.row, to.row) / grid_.together);
    const double slack = slack_cells_ / grid_.together;
    LegDoubt width{doubt_m / least.dx_m + slack, doubt_m / least.dy_m + slack};
    // The next cell is always seen: there the line cannot be meant to be elsewhere.
    const GridPoint a = grid_.point_of(from), b = grid_.point_of(to);
    if (std::abs(std::floor(a.x) - std::floor(b.x)) <= 1 &&
        std::abs(std::floor(a.y) - std::floor(b.y)) <= 1) {
        const double most = 0.49 / grid_.together;
        width = {std::min(width.cols, most), std::min(width.rows, most)};
    }
    return width;
}

bool LineOfSight::sees(GridCell from, GridCell to) const {
    return each_touched(grid_.point_of(from), grid_.point_of(to), width(from, to), [&](int col, int row) {
        if (!grid_.cells.contains(col, row)) return false;
        const CellNumber cell = static_cast<CellNumber>(row) * static_cast<CellNumber>(grid_.cells.cols) +
                                static_cast<CellNumber>(col);
        return passing_[cell] == Passing::open;
    });
}

void LineOfSight::touched(GridCell from, GridCell to, const std::function<void(CellNumber)>& take) const {
    each_touched(grid_.point_of(from), grid_.point_of(to), width(from, to), [&](int col, int row) {
        if (grid_.cells.contains(col, row)) {
            take(static_cast<CellNumber>(row) * static_cast<CellNumber>(grid_.cells.cols) +
                 static_cast<CellNumber>(col));
        }
        return true;
    });
}

std::vector<GridCell> pulled_taut(const std::vector<GridCell>& chain, const LineOfSight& sight,
                                  bool from_any_start) {
    std::vector<GridCell> turns = by_farthest(chain, sight);
    std::vector<GridCell> turned = by_farthest({chain.rbegin(), chain.rend()}, sight);
    if (length_m(turned, sight) < length_m(turns, sight)) turns.assign(turned.rbegin(), turned.rend());
    constexpr int most_rounds = 100;
    bool changed = true;
    for (int round = 0; changed && round < most_rounds; ++round) {
        changed = leave_out_turns(turns, sight);
        for (std::size_t i = 1; i + 1 < turns.size(); ++i) {
            if (move_turn(turns[i - 1], turns[i], turns[i + 1], sight)) changed = true;
        }
        if (from_any_start && turns.size() > 1 && move_start(turns.front(), turns[1], sight)) changed = true;
    }
    return turns;
}

LineSill turn_at_sill(std::vector<GridCell>& turns, const LineOfSight& sight, double near_m) {
    const SillSearch search = look_for_sill(turns, sight);
    if (search.candidates.empty()) return search.found;
    if (const std::optional<LineSill> found = put_seen_turn(turns, search.candidates, sight, near_m)) {
        return *found;
    }
    // By the cells that the leg touches there is always a way to one of them.
    const auto& [longer_m, leg, cell] = search.candidates.front();
    if (is_near_turn(turns, search.candidates.front(), sight, near_m)) return {cell, std::nullopt};
    const GridCell from = turns[leg], to = turns[leg + 1], at_sill = cell;
    std::vector<GridCell> there = pulled_taut(chain_along(from, cell, from, to, sight), sight, false);
    const std::vector<GridCell> back = pulled_taut(chain_along(cell, to, from, to, sight), sight, false);
    const std::size_t sill = leg + there.size() - 1;
    there.insert(there.end(), back.begin() + 1, back.end());
    turns.insert(turns.begin() + static_cast<std::ptrdiff_t>(leg) + 1, there.begin() + 1, there.end() - 1);
    return {at_sill, sill};
}

std::vector<GridCell> fewest_turns(const std::vector<GridCell>& turns, const LineOfSight& sight) {
    constexpr std::size_t none = std::numeric_limits<std::size_t>::max();
    struct Best {
        std::size_t legs = none, before = 0;
        double length_m = 0;
    };
    std::vector<Best> best(turns.size());
    best.front().legs = 0;
    for (std::size_t to = 1; to < turns.size(); ++to) {
        for (std::size_t from = 0; from < to; ++from) {
            const std::size_t legs = best[from].legs + 1;
            if (best[from].legs == none || legs > best[to].legs) continue;
            const double all_m = best[from].length_m + sight.length_m(turns[from], turns[to]);
            if (legs == best[to].legs && all_m >= best[to].length_m) continue;
            if (sight.sees(turns[from], turns[to])) best[to] = {legs, from, all_m};
        }
    }
    if (best.back().legs == none) return turns;
    std::vector<GridCell> kept;
    for (std::size_t at = turns.size() - 1; at > 0; at = best[at].before) {
        kept.push_back(turns[at]);
    }
    kept.push_back(turns.front());
    std::reverse(kept.begin(), kept.end());
    return kept;
}

LineSill single_turn_at_sill(std::vector<GridCell>& turns, const LineOfSight& sight, double near_m) {
    const SillSearch search = look_for_sill(turns, sight);
    if (search.candidates.empty()) return search.found;
    if (const std::optional<LineSill> found = put_seen_turn(turns, search.candidates, sight, near_m)) {
        return *found;
    }
    return {search.candidates.front().cell, std::nullopt};
}

} // namespace swingroom
