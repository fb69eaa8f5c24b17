#pragma once

#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/room/verdict.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <type_traits>
#include <vector>

namespace swingroom {

/// The worse of two cells. NaN, which is unsurveyed, is worse than any value in every layer of floats but
/// those of a condition, where it says that there is none.
template <class T>
[[nodiscard]] T worse(T a, T b, Worst worst) {
    if constexpr (std::is_floating_point_v<T>) {
        if (worst == Worst::least_given) return std::fmin(a, b);
        if (std::isnan(a)) return a;
        if (std::isnan(b)) return b;
    } else {
        if (worst == Worst::any_bit) return static_cast<T>(a | b);
        if (worst == Worst::verdict) {
            return static_cast<T>(worse(static_cast<Verdict>(a), static_cast<Verdict>(b)));
        }
        if (worst == Worst::greatest_or_none) return a == 0 || b == 0 ? T{0} : std::max(a, b);
    }
    return worst == Worst::greatest ? std::max(a, b) : std::min(a, b);
}

/// Halves a piece of a raster: each cell of the result is the worst of the up to four cells that it stands
/// for. An odd last row or column stands alone.
template <class T>
[[nodiscard]] std::vector<T> halved_by_worst(const std::vector<T>& cells, int cols, int rows, Worst worst) {
    const int half_cols = (cols + 1) / 2, half_rows = (rows + 1) / 2;
    std::vector<T> half(static_cast<std::size_t>(half_cols) * static_cast<std::size_t>(half_rows));
    T* to = half.data();
    for (int row = 0; row < half_rows; ++row) {
        const T* upper = cells.data() + static_cast<std::size_t>(2 * row) * static_cast<std::size_t>(cols);
        const T* lower = 2 * row + 1 < rows ? upper + cols : upper;
        for (int col = 0; col < half_cols; ++col) {
            const int left = 2 * col, right = std::min(left + 1, cols - 1);
            *to++ = worse(worse(upper[left], upper[right], worst), worse(lower[left], lower[right], worst),
                          worst);
        }
    }
    return half;
}

} // namespace swingroom
