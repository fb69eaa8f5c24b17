#pragma once

#include "swingroom/base/grid.hpp"

#include <cmath>
#include <numbers>
#include <vector>

namespace swingroom::testing_support {

/// A ring whose teeth are 1 m in a grid of 10 m, which costs a plain buffer minutes and gigabytes from 20,000
/// vertices on.
inline std::vector<GridPoint> toothed_ring(int vertices) {
    std::vector<GridPoint> ring;
    const double radius_m = vertices * 0.5 / (2 * std::numbers::pi);
    for (int i = 0; i < vertices; ++i) {
        const double turn = 2 * std::numbers::pi * i / vertices, r = (radius_m + i % 2) / 10;
        ring.push_back({2000 + r * std::cos(turn), 1500 + r * std::sin(turn)});
    }
    ring.push_back(ring.front());
    return ring;
}

} // namespace swingroom::testing_support
