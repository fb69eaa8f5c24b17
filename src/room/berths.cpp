#include "swingroom/room/berths.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <utility>

namespace swingroom {
namespace {

using Rings = std::vector<std::vector<GridPoint>>;

/// Neighbouring columns [begin, end).
struct Stretch {
    int begin = 0, end = 0;
};

int first_row_at(double y) { return static_cast<int>(std::ceil(y - 0.5)); }

/// An edge and the rows whose middles it crosses, none if it is level. An outline may be long, and so an edge
/// is no more than where it stands in its ring.
struct Side {
    const GridPoint* ends = nullptr;
    [[nodiscard]] int first_row() const { return first_row_at(std::min(ends[0].y, ends[1].y)); }
    [[nodiscard]] int end_row() const { return first_row_at(std::max(ends[0].y, ends[1].y)); }
    [[nodiscard]] double x_at(double y) const {
        const GridPoint a = ends[0], b = ends[1];
        return a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
    }
};

/// Calls fn(side, its first row) for each that crosses the middle of a row.
template <class Fn>
void each_side(const Rings& rings, Fn fn) {
    for (const auto& ring : rings) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const Side side{&ring[i]};
            if (const int first_row = side.first_row(); first_row < side.end_row()) fn(side, first_row);
        }
    }
}

/// The rows [first, end) whose middles rings cross.
struct RowsCrossed {
    int first = std::numeric_limits<int>::max(), end = std::numeric_limits<int>::min();
    [[nodiscard]] bool empty() const { return first >= end; }
};
RowsCrossed rows_crossed(const Rings& rings) {
    RowsCrossed rows;
    each_side(rings, [&rows](Side side, int first_row) {
        rows.first = std::min(rows.first, first_row);
        rows.end = std::max(rows.end, side.end_row());
    });
    return rows;
}

/// The columns whose centres lie inside rings, row by row.
class RowsOfRings {
public:
    /// @param rings  must outlive this   @param rows  of these
    RowsOfRings(const Rings& rings, RowsCrossed rows) {
        // Sorted by the first row, of which there are few.
        const auto at = [rows](int row) { return static_cast<std::size_t>(row - rows.first); };
        std::vector<std::uint32_t> begin(at(rows.end) + 1, 0);
        each_side(rings, [&](Side, int first_row) { ++begin[at(first_row) + 1]; });
        std::partial_sum(begin.begin(), begin.end(), begin.begin());
        sides_.resize(begin.back());
        each_side(rings, [&](Side side, int first_row) { sides_[begin[at(first_row)]++] = side; });
    }

    /// To be asked row after row.
    const std::vector<Stretch>& next(int row) {
        for (; next_side_ < sides_.size() && sides_[next_side_].first_row() == row; ++next_side_) {
            crossed_.push_back({sides_[next_side_], sides_[next_side_].end_row()});
        }
        std::erase_if(crossed_, [&](const Crossed& crossed) { return crossed.end_row <= row; });
        crossings_.clear();
        for (const Crossed& crossed : crossed_) {
            crossings_.push_back(crossed.side.x_at(row + 0.5));
        }
        std::sort(crossings_.begin(), crossings_.end());
        stretches_.clear();
        // A centre so near to an edge that rounding might put it on either side is outside.
        constexpr double rounding_tolerance = 1e-9;
        for (std::size_t i = 0; i + 1 < crossings_.size(); i += 2) {
            const int begin = static_cast<int>(std::ceil(crossings_[i] - 0.5 + rounding_tolerance)),
                      end = static_cast<int>(std::floor(crossings_[i + 1] - 0.5 - rounding_tolerance)) + 1;
            if (begin < end) stretches_.push_back({begin, end});
        }
        return stretches_;
    }

private:
    struct Crossed {
        Side side;
        int end_row = 0;
    };

    std::vector<Side> sides_;
    std::size_t next_side_ = 0;
    std::vector<Crossed> crossed_;
    std::vector<double> crossings_;
    std::vector<Stretch> stretches_;
};

/// How many columns two places must be apart if they are so many rows apart: reckoned once for rows of one
/// cell size, since each place is asked about from every row near it.
class ColumnsApart {
public:
    explicit ColumnsApart(double apart_m) : apart_m_(apart_m) {}

    int operator()(int rows, CellSize cell) {
        if (cell.dx_m != cell_.dx_m || cell.dy_m != cell_.dy_m) {
            cell_ = cell;
            known_.clear();
        }
        const auto at = static_cast<std::size_t>(rows);
        if (at >= known_.size()) known_.resize(at + 1, unknown);
        if (known_[at] == unknown) known_[at] = columns(rows);
        return known_[at];
    }

private:
    static constexpr int unknown = -1;

    [[nodiscard]] int columns(int rows) const {
        const double dy_m = rows * cell_.dy_m;
        if (dy_m >= apart_m_) return 0;
        const double columns = std::sqrt(apart_m_ * apart_m_ - dy_m * dy_m) / cell_.dx_m;
        int whole = static_cast<int>(columns);
        // What is rounded there is far less than this; only next to a whole number does it matter.
        constexpr double rounding_tolerance = 1e-6;
        const double part = columns - whole;
        if (part > rounding_tolerance && part < 1 - rounding_tolerance) return whole + 1;
        while (std::hypot(whole * cell_.dx_m, dy_m) < apart_m_) {
            ++whole;
        }
        return whole;
    }

    double apart_m_;
    CellSize cell_;
    std::vector<int> known_; ///< by rows
};

/// For each row of a stretch of rows, the least cell size that counts between it and what is near.
std::vector<CellSize> least_within(const GroundMetric& metric, int first_row, int end_row, double reach_m) {
    std::vector<CellSize> rows;
    for (int row = first_row; row < end_row; ++row) {
        rows.push_back(metric.at(row));
    }
    const GroundMetric least = GroundMetric(rows).within(reach_m);
    for (int row = first_row; row < end_row; ++row) {
        rows[static_cast<std::size_t>(row - first_row)] = least.at(row - first_row);
    }
    return rows;
}

/// Takes places row by row, each the first that is free.
/// @param cells  sizes that count, from `first_row` on
std::vector<GridCell> sweep(const Rings& rings, const std::vector<CellSize>& cells, int first_row,
                            double apart_m) {
    const RowsCrossed rows = rows_crossed(rings);
    RowsOfRings zone(rings, rows);
    double least_dy_m = std::numeric_limits<double>::infinity();
    for (const CellSize cell : cells) {
        least_dy_m = std::min(least_dy_m, cell.dy_m);
    }
    ColumnsApart columns_apart(apart_m);
    std::vector<GridCell> taken;
    std::size_t oldest = 0; // of those that may still be too near
    std::vector<Stretch> blocked;
    for (int row = rows.first; row < rows.end; ++row) {
        const std::vector<Stretch>& stretches = zone.next(row);
        // A corner in the very middle of a row counts in one direction only: mirrored, there may be a row
        // more.
        const int at = std::clamp(row - first_row, 0, static_cast<int>(cells.size()) - 1);
        const CellSize cell = cells[static_cast<std::size_t>(at)];
        while (oldest < taken.size() && (row - taken[oldest].row) * least_dy_m >= apart_m) {
            ++oldest;
        }
        blocked.clear();
        for (std::size_t i = oldest; i < taken.size(); ++i) {
            if (const int apart = columns_apart(row - taken[i].row, cell); apart > 0) {
                blocked.push_back({taken[i].col - apart + 1, taken[i].col + apart});
            }
        }
        std::sort(blocked.begin(), blocked.end(), [](Stretch a, Stretch b) { return a.begin < b.begin; });
        const int beside = columns_apart(0, cell);
        auto next_blocked = blocked.begin();
        int free_from = std::numeric_limits<int>::min();
        for (const Stretch stretch : stretches) {
            for (;;) {
                int col = std::max(free_from, stretch.begin);
                for (; next_blocked != blocked.end() && next_blocked->begin <= col; ++next_blocked) {
                    col = std::max(col, next_blocked->end);
                }
                free_from = col;
                if (col >= stretch.end) break;
                taken.push_back({col, row});
                free_from = col + beside;
            }
        }
    }
    return taken;
}

/// Turned about the grid's origin, left for right or top for bottom or both: which way a ring runs does not
/// matter to a sweep.
Rings mirrored(const Rings& rings, bool columns, bool rows) {
    Rings out = rings;
    for (auto& ring : out) {
        for (GridPoint& point : ring) {
            point = {columns ? -point.x : point.x, rows ? -point.y : point.y};
        }
    }
    return out;
}
GridCell mirrored(GridCell cell, bool columns, bool rows) {
    return {columns ? -1 - cell.col : cell.col, rows ? -1 - cell.row : cell.row};
}

/// Whether not even the corners of the box around a ring are so far apart.
bool too_small_for_two(const std::vector<GridPoint>& outline, const std::vector<CellSize>& cells,
                       double apart_m) {
    const auto [west, east] = std::minmax_element(outline.begin(), outline.end(),
                                                  [](GridPoint a, GridPoint b) { return a.x < b.x; });
    const auto [north, south] = std::minmax_element(outline.begin(), outline.end(),
                                                    [](GridPoint a, GridPoint b) { return a.y < b.y; });
    double most_m = 0;
    for (const CellSize cell : cells) {
        most_m =
            std::max(most_m, std::hypot((east->x - west->x) * cell.dx_m, (south->y - north->y) * cell.dy_m));
    }
    return most_m < apart_m;
}

/// Above so many corners a zone is swept once only: its edges are few beside its area, and time is not.
constexpr std::size_t most_corners_swept_again = 2'000;

} // namespace

std::vector<GridCell> berths(const Rings& rings, const GroundMetric& metric, double radius_m) {
    const RowsCrossed crossed = rows_crossed(rings);
    if (crossed.empty()) return {};
    const double apart_m = 2 * radius_m;
    std::vector<CellSize> cells = least_within(metric, crossed.first, crossed.end, apart_m);
    std::vector<GridCell> best = sweep(rings, cells, crossed.first, apart_m);
    std::size_t corners = 0;
    for (const auto& ring : rings) {
        corners += ring.size();
    }
    if (corners > most_corners_swept_again || too_small_for_two(rings.front(), cells, apart_m)) return best;
    for (const bool rows : {false, true}) {
        if (rows) std::reverse(cells.begin(), cells.end());
        const int first_row = rows ? -crossed.end : crossed.first;
        for (const bool columns : {false, true}) {
            if (!rows && !columns) continue;
            std::vector<GridCell> found = sweep(mirrored(rings, columns, rows), cells, first_row, apart_m);
            if (found.size() <= best.size()) continue;
            for (GridCell& cell : found) {
                cell = mirrored(cell, columns, rows);
            }
            best = std::move(found);
        }
    }
    std::sort(best.begin(), best.end(),
              [](GridCell a, GridCell b) { return std::pair(a.row, a.col) < std::pair(b.row, b.col); });
    return best;
}

} // namespace swingroom
