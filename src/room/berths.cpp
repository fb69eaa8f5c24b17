#include "swingroom/room/berths.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

using Rings = std::vector<std::vector<GridPoint>>;

/// Neighbouring columns [begin, end).
struct Stretch {
    int begin = 0, end = 0;
};

/// The columns whose centres lie inside rings, row by row.
class RowsOfRings {
public:
    /// @param rings  must outlive this
    explicit RowsOfRings(const Rings& rings) {
        for (const auto& ring : rings) {
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                if (const Side side{&ring[i]}; side.first_row() < side.end_row()) {
                    sides_.push_back(side);
                    end_row_ = std::max(end_row_, side.end_row());
                }
            }
        }
        std::sort(sides_.begin(), sides_.end(), [](Side a, Side b) { return a.first_row() < b.first_row(); });
    }

    [[nodiscard]] int first_row() const { return sides_.empty() ? 0 : sides_.front().first_row(); }
    [[nodiscard]] int end_row() const { return end_row_; }

    /// To be asked row after row.
    const std::vector<Stretch>& next(int row) {
        for (; next_side_ < sides_.size() && sides_[next_side_].first_row() == row; ++next_side_) {
            crossed_.push_back(sides_[next_side_]);
        }
        std::erase_if(crossed_, [&](Side side) { return side.end_row() <= row; });
        crossings_.clear();
        for (const Side side : crossed_) {
            crossings_.push_back(side.x_at(row + 0.5));
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
    /// An edge and the rows whose middles it crosses, none if it is level. An outline may be long, and so an
    /// edge is no more than where it stands in its ring.
    struct Side {
        const GridPoint* ends;
        [[nodiscard]] int first_row() const { return first_row_at(std::min(ends[0].y, ends[1].y)); }
        [[nodiscard]] int end_row() const { return first_row_at(std::max(ends[0].y, ends[1].y)); }
        [[nodiscard]] double x_at(double y) const {
            const GridPoint a = ends[0], b = ends[1];
            return a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
        }
    };
    static int first_row_at(double y) { return static_cast<int>(std::ceil(y - 0.5)); }

    std::vector<Side> sides_;
    int end_row_ = std::numeric_limits<int>::min();
    std::size_t next_side_ = 0;
    std::vector<Side> crossed_;
    std::vector<double> crossings_;
    std::vector<Stretch> stretches_;
};

/// How many columns two places must be apart if they are so many rows apart.
int columns_apart(int rows, CellSize cell, double apart_m) {
    const double dy_m = rows * cell.dy_m;
    if (dy_m >= apart_m) return 0;
    int columns = static_cast<int>(std::sqrt(apart_m * apart_m - dy_m * dy_m) / cell.dx_m);
    while (std::hypot(columns * cell.dx_m, dy_m) < apart_m) {
        ++columns;
    }
    return columns;
}

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
    RowsOfRings zone(rings);
    double least_dy_m = std::numeric_limits<double>::infinity();
    for (const CellSize cell : cells) {
        least_dy_m = std::min(least_dy_m, cell.dy_m);
    }
    std::vector<GridCell> taken;
    std::size_t oldest = 0; // of those that may still be too near
    std::vector<Stretch> blocked;
    for (int row = zone.first_row(); row < zone.end_row(); ++row) {
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
            if (const int apart = columns_apart(row - taken[i].row, cell, apart_m); apart > 0) {
                blocked.push_back({taken[i].col - apart + 1, taken[i].col + apart});
            }
        }
        std::sort(blocked.begin(), blocked.end(), [](Stretch a, Stretch b) { return a.begin < b.begin; });
        const int beside = columns_apart(0, cell, apart_m);
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
    const RowsOfRings zone(rings);
    if (zone.first_row() >= zone.end_row()) return {};
    const double apart_m = 2 * radius_m;
    std::vector<CellSize> cells = least_within(metric, zone.first_row(), zone.end_row(), apart_m);
    std::vector<GridCell> best = sweep(rings, cells, zone.first_row(), apart_m);
    std::size_t corners = 0;
    for (const auto& ring : rings) {
        corners += ring.size();
    }
    if (corners > most_corners_swept_again || too_small_for_two(rings.front(), cells, apart_m)) return best;
    for (const bool rows : {false, true}) {
        if (rows) std::reverse(cells.begin(), cells.end());
        const int first_row = rows ? -zone.end_row() : zone.first_row();
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
