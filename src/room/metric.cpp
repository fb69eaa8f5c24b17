#include "swingroom/room/metric.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <deque>
#include <limits>

namespace swingroom {

CellSize GroundMetric::at(int row) const {
    assert(!rows_.empty());
    return rows_[static_cast<std::size_t>(std::clamp(row, 0, rows() - 1))];
}

CellSize GroundMetric::least(int first, int last) const {
    CellSize least{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    for (int row = std::clamp(first, 0, rows() - 1); row <= std::clamp(last, 0, rows() - 1); ++row) {
        const CellSize size = at(row);
        least = {std::min(least.dx_m, size.dx_m), std::min(least.dy_m, size.dy_m)};
    }
    return least;
}

namespace {

/// Sliding minimum over [i - half, i + half] by a monotone queue: linear, whatever the width.
template <class Get, class Put>
void sliding_least(int count, int half, Get get, Put put) {
    std::deque<int> queue; // indices with growing values; the front is the least of the window
    for (int enter = 0, centre = 0; centre < count; ++enter) {
        if (enter < count) {
            while (!queue.empty() && get(queue.back()) >= get(enter))
                queue.pop_back();
            queue.push_back(enter);
        }
        if (enter - centre < half) continue;
        while (queue.front() < centre - half)
            queue.pop_front();
        put(centre, get(queue.front()));
        ++centre;
    }
}

} // namespace

GroundMetric GroundMetric::within(double reach_m) const {
    const double cells = std::ceil(reach_m / least().dy_m) + 2;
    const int half = static_cast<int>(std::min(cells, static_cast<double>(rows())));
    std::vector<CellSize> out(rows_.size());
    const auto slot = [](auto& rows, int i) -> auto& { return rows[static_cast<std::size_t>(i)]; };
    sliding_least(
        rows(), half, [&](int i) { return slot(rows_, i).dx_m; },
        [&](int i, double v) { slot(out, i).dx_m = v; });
    sliding_least(
        rows(), half, [&](int i) { return slot(rows_, i).dy_m; },
        [&](int i, double v) { slot(out, i).dy_m = v; });
    return GroundMetric(std::move(out));
}

} // namespace swingroom
