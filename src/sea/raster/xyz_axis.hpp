#pragma once

#include <cmath>
#include <vector>

namespace swingroom::bathymetry {

/// Places a step apart along one axis, fitted to coordinates that stand a little beside them.
struct XyzAxis {
    double first = 0, step = 0; ///< the lowest place; the distance to the next
    int count = 0;              ///< how many places there are; 0: no places fit the coordinates
    double stray = 0;           ///< the most that any coordinate lies beside its place, in steps

    /// The place nearest to a coordinate, counted from the first.
    [[nodiscard]] int index(double value) const {
        return static_cast<int>(std::lround((value - first) / step));
    }
};

/// How far beside their places coordinates of a grid may lie, in steps.
inline constexpr double greatest_stray = 0.01;

/// The widest step by which all coordinates lie within `greatest_stray` of their places. Not every place need
/// have a coordinate, but most of them.
/// @returns where there is none, the step that comes nearest to it, with its stray
XyzAxis fitted_axis(std::vector<double> coordinates);

} // namespace swingroom::bathymetry
