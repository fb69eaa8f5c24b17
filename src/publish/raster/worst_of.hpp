#pragma once

#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/room/verdict.hpp"

#include "publish/raster/tile_codec.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
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
            if (a == b) return a; // most neighbours
            return static_cast<T>(worse(static_cast<Verdict>(a), static_cast<Verdict>(b)));
        }
        if (worst == Worst::greatest_or_none) return a == 0 || b == 0 ? T{0} : std::max(a, b);
        if (worst == Worst::least_or_none) {
            constexpr T none = std::numeric_limits<T>::max();
            return a == none || b == none ? none : std::min(a, b);
        }
    }
    return worst == Worst::greatest ? std::max(a, b) : std::min(a, b);
}

/// Halves a rectangle of cells: each cell of the result is the worst of the up to four cells that it stands
/// for. An odd last row or column stands alone.
/// @param to  room for half as many columns and rows, rounded up, row by row
template <Worst worst, class T>
void halve(const CellView<T>& view, T* to) {
    const auto pairs = static_cast<std::ptrdiff_t>(view.cols / 2);
    for (int row = 0; row < view.rows; row += 2) {
        const T* const upper = view.row(row);
        const T* const lower = view.row(std::min(row + 1, view.rows - 1));
        for (std::ptrdiff_t i = 0; i < pairs; ++i) {
            to[i] = worse(worse(upper[2 * i], upper[2 * i + 1], worst),
                          worse(lower[2 * i], lower[2 * i + 1], worst), worst);
        }
        to += pairs;
        if (view.cols % 2 != 0) *to++ = worse(upper[view.cols - 1], lower[view.cols - 1], worst);
    }
}

/// Calls a function with the worst that a layer has as a constant of the compiler's, so that nothing is asked
/// cell by cell.   @param with  takes a std::integral_constant<Worst, ...>
template <class With>
void with_worst(Worst worst, const With& with) {
    switch (worst) {
    case Worst::least:
        with(std::integral_constant<Worst, Worst::least>());
        break;
    case Worst::greatest:
        with(std::integral_constant<Worst, Worst::greatest>());
        break;
    case Worst::any_bit:
        with(std::integral_constant<Worst, Worst::any_bit>());
        break;
    case Worst::verdict:
        with(std::integral_constant<Worst, Worst::verdict>());
        break;
    case Worst::greatest_or_none:
        with(std::integral_constant<Worst, Worst::greatest_or_none>());
        break;
    case Worst::least_or_none:
        with(std::integral_constant<Worst, Worst::least_or_none>());
        break;
    case Worst::least_given:
        with(std::integral_constant<Worst, Worst::least_given>());
        break;
    }
}

/// The same by the worst that a layer has.
template <class T>
[[nodiscard]] std::vector<T> halved_by_worst(const CellView<T>& view, Worst worst) {
    std::vector<T> half(static_cast<std::size_t>((view.cols + 1) / 2) *
                        static_cast<std::size_t>((view.rows + 1) / 2));
    with_worst(worst, [&](auto of_layer) { halve<decltype(of_layer)::value>(view, half.data()); });
    return half;
}

/// The same of cells that are row by row without gaps.
template <class T>
[[nodiscard]] std::vector<T> halved_by_worst(const std::vector<T>& cells, int cols, int rows, Worst worst) {
    return halved_by_worst(CellView<T>{cells.data(), cols, cols, rows}, worst);
}

} // namespace swingroom
