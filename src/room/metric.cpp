#include "swingroom/room/metric.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <deque>
#include <limits>

namespace swingroom {

std::size_t GroundMetric::index(int row) const {
    assert(!sizes_.empty());
    return static_cast<std::size_t>(std::clamp(row, 0, rows_ - 1) / rows_each_);
}

CellSize GroundMetric::at(int row) const { return sizes_[index(row)]; }

CellSize GroundMetric::least(int first, int last) const {
    CellSize least{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    for (std::size_t i = index(first), end = index(last); i <= end; ++i) {
        least = {std::min(least.dx_m, sizes_[i].dx_m), std::min(least.dy_m, sizes_[i].dy_m)};
    }
    return least;
}

CellSize GroundMetric::greatest(int first, int last) const {
    CellSize greatest;
    for (std::size_t i = index(first), end = index(last); i <= end; ++i) {
        greatest = {std::max(greatest.dx_m, sizes_[i].dx_m), std::max(greatest.dy_m, sizes_[i].dy_m)};
    }
    return greatest;
}

namespace {

/// Sliding minimum over [i - half, i + half] by a monotone queue: linear, whatever the width.
template <class Get, class Put>
void sliding_least(int count, int half, Get get, Put put) {
    std::deque<int> queue; // indices with growing values; the front is the least of the window
    for (int enter = 0, centre = 0; centre < count; ++enter) {
        if (enter < count) {
            while (!queue.empty() && get(queue.back()) >= get(enter)) {
                queue.pop_back();
            }
            queue.push_back(enter);
        }
        if (enter - centre < half) continue;
        while (queue.front() < centre - half) {
            queue.pop_front();
        }
        put(centre, get(queue.front()));
        ++centre;
    }
}

} // namespace

GroundMetric GroundMetric::within(double reach_m) const {
    const double cells = std::ceil(reach_m / least().dy_m) + 2;
    const auto count = static_cast<int>(sizes_.size());
    // From any row of those that share a size; of one row each it is the cells themselves.
    const int half = static_cast<int>(std::min(std::ceil(cells / rows_each_), static_cast<double>(count)));
    std::vector<CellSize> out(sizes_.size());
    const auto slot = [](auto& rows, int i) -> auto& { return rows[static_cast<std::size_t>(i)]; };
    sliding_least(
        count, half, [&](int i) { return slot(sizes_, i).dx_m; },
        [&](int i, double v) { slot(out, i).dx_m = v; });
    sliding_least(
        count, half, [&](int i) { return slot(sizes_, i).dy_m; },
        [&](int i, double v) { slot(out, i).dy_m = v; });
    return GroundMetric(std::move(out), rows_each_, rows_);
}

} // namespace swingroom
