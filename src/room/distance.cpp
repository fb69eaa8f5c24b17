#include "swingroom/room/distance.hpp"

#include "swingroom/base/rounding.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>
#include <vector>

namespace swingroom {
namespace {

constexpr int tile = 64; // cells of a row that are worked on together, held in registers

/// What compilers do not find by themselves here: that the least sums of a tile fit into registers.
template <class T>
struct Wide {
    using Values [[gnu::vector_size(32)]] = T;
    static constexpr int lanes = 32 / sizeof(T), groups = tile / lanes;

    [[gnu::always_inline]] static void take(const T* from, Values& values) {
        std::memcpy(&values, from, sizeof values);
    }
    [[gnu::always_inline]] static void least(const Values& other, Values& values) {
        values = other < values ? other : values;
    }
    /// Whether any of the values of a tile is greater than a bound.
    [[gnu::always_inline]] static bool any_above(const Values* values, T bound) {
        Values worst = values[0];
        for (int j = 1; j < groups; ++j) {
            worst = worst < values[j] ? values[j] : worst;
        }
        const auto above = worst > bound;
        std::array<std::uint64_t, 4> marks{};
        std::memcpy(marks.data(), &above, sizeof marks);
        return (marks[0] | marks[1] | marks[2] | marks[3]) != 0;
    }
};

/// out[c] = least over |i| <= reach of v[c + i] + cost[|i|], for the cells of a tile; v may be read reach
/// cells to either side, and nothing there is less than `nearest`. cost grows with i, so that a tile is done
/// once its worst cell cannot be bettered.
template <class T>
[[gnu::always_inline]] inline void least_sums(const T* v, T nearest, const T* cost, int reach, T* out) {
    using Of = Wide<T>;
    typename Of::Values best[Of::groups];
    for (int j = 0; j < Of::groups; ++j) {
        Of::take(v + j * Of::lanes, best[j]);
    }
    for (int i = 1; i <= reach; ++i) {
        if (i % 4 == 1 && !Of::any_above(best, static_cast<T>(cost[i] + nearest))) break;
        const T step = cost[i];
        for (int j = 0; j < Of::groups; ++j) {
            typename Of::Values left, right;
            Of::take(v - i + j * Of::lanes, left);
            Of::take(v + i + j * Of::lanes, right);
            Of::least(left, right);
            Of::least(right + step, best[j]);
        }
    }
    std::memcpy(out, best, sizeof best);
}

SWINGROOM_VECTORISED void tile_pass(const std::uint16_t* v, std::uint16_t nearest, const std::uint16_t* cost,
                                    int reach, std::uint16_t* out) {
    least_sums(v, nearest, cost, reach, out);
}
SWINGROOM_VECTORISED void tile_pass(const std::uint32_t* v, std::uint32_t nearest, const std::uint32_t* cost,
                                    int reach, std::uint32_t* out) {
    least_sums(v, nearest, cost, reach, out);
}
SWINGROOM_VECTORISED void tile_pass(const float* v, float nearest, const float* cost, int reach, float* out) {
    least_sums(v, nearest, cost, reach, out);
}

/// Rows to the nearest unsafe cell passed so far: 0 on one, else one more than the row before, at most
/// `most`.
SWINGROOM_VECTORISED void step_rows(const std::uint8_t* unsafe, std::uint8_t bit, int cols,
                                    std::uint16_t most, std::uint16_t* rows) {
    for (int c = 0; c < cols; ++c) {
        const auto next = static_cast<std::uint16_t>(rows[c] < most ? rows[c] + 1 : most);
        rows[c] = (unsafe[c] & bit) != 0 ? std::uint16_t{0} : next;
    }
}

SWINGROOM_VECTORISED void keep_least(const std::uint16_t* candidate, int cols, std::uint16_t* least) {
    for (int c = 0; c < cols; ++c) {
        least[c] = std::min(least[c], candidate[c]);
    }
}

/// The roots of all squares of 16 bits: to look one up takes less time than to take it.
std::vector<double> all_small_roots() {
    std::vector<double> roots(std::size_t{1} << 16);
    for (std::size_t square = 0; square < roots.size(); ++square) {
        roots[square] = std::sqrt(static_cast<double>(square));
    }
    return roots;
}

SWINGROOM_VECTORISED void look_up_roots(const double* root_of, const std::uint16_t* squares, int cols,
                                        double cell_m, float reach_m, float* room_m) {
    for (int c = 0; c < cols; ++c) {
        room_m[c] = std::min(narrow_down_positive(root_of[squares[c]] * cell_m), reach_m);
    }
}
void roots(const std::uint16_t* squares, int cols, double cell_m, float reach_m, float* room_m) {
    static const std::vector<double> root_of = all_small_roots();
    look_up_roots(root_of.data(), squares, cols, cell_m, reach_m, room_m);
}
SWINGROOM_VECTORISED void roots(const std::uint32_t* squares, int cols, double cell_m, float reach_m,
                                float* room_m) {
    for (int c = 0; c < cols; ++c) {
        room_m[c] =
            std::min(narrow_down_positive(std::sqrt(static_cast<double>(squares[c])) * cell_m), reach_m);
    }
}
/// Squares in square metres. The float sum may have been rounded up by half a last digit: given back here.
constexpr double given_back = 1 - 0x1p-23;
SWINGROOM_VECTORISED void roots(const float* squares, int cols, double, float reach_m, float* room_m) {
    for (int c = 0; c < cols; ++c) {
        room_m[c] =
            std::min(narrow_down_positive(std::sqrt(static_cast<double>(squares[c])) * given_back), reach_m);
    }
}

/// The squared gaps between cells so many rows apart, as squared_gap() has them.
/// @param most  what stands for none within reach, which is `far` then
SWINGROOM_VECTORISED void square_gaps(const std::uint16_t* rows, int cols, std::uint16_t most,
                                      std::uint16_t far, std::uint16_t* squares) {
    for (int c = 0; c < cols; ++c) {
        const auto gap = static_cast<std::uint16_t>(rows[c] - (rows[c] > 0 ? 1 : 0));
        squares[c] = rows[c] == most ? far : static_cast<std::uint16_t>(gap * gap);
    }
}

template <class T>
[[gnu::always_inline]] inline T least_in_tile(const T* values) {
    T least = values[0];
    for (int j = 1; j < tile; ++j) {
        least = std::min(least, values[j]);
    }
    return least;
}
SWINGROOM_VECTORISED std::uint16_t least_of_tile(const std::uint16_t* values) {
    return least_in_tile(values);
}
SWINGROOM_VECTORISED std::uint32_t least_of_tile(const std::uint32_t* values) {
    return least_in_tile(values);
}
SWINGROOM_VECTORISED float least_of_tile(const float* values) { return least_in_tile(values); }

/// Squared gap between cells `apart` cells apart, in the kernel's unit.
template <class T>
T squared_gap(int apart, double cell_m) {
    const auto gap = static_cast<std::uint32_t>(std::max(apart - 1, 0));
    if constexpr (std::floating_point<T>) {
        return narrow_down((gap * cell_m) * (gap * cell_m));
    } else {
        return static_cast<T>(gap * gap);
    }
}

/// Scratch of one kernel type, kept between rows.
template <class T>
struct RowScratch {
    std::vector<T> vertical, tile_least, cost, by_rows;
    double dx_m = 0, dy_m = 0;
    int reach = 0;
    T far = 0;

    void prepare(CellSize cell, double reach_m, int most_rows) {
        if (cell.dx_m == dx_m && cell.dy_m == dy_m) return;
        dx_m = cell.dx_m;
        dy_m = cell.dy_m;
        reach = static_cast<int>(std::floor(reach_m / dx_m)) + 1; // a gap of `reach` whole cells is beyond
        cost.resize(static_cast<std::size_t>(reach) + 2);
        for (int i = 0; i < static_cast<int>(cost.size()); ++i) {
            cost[static_cast<std::size_t>(i)] = squared_gap<T>(i, dx_m);
        }
        by_rows.resize(static_cast<std::size_t>(most_rows) + 1);
        for (int k = 0; k < most_rows; ++k) {
            by_rows[static_cast<std::size_t>(k)] = squared_gap<T>(k, dy_m);
        }
        // Nothing within reach: no sum with it may come out within reach, nor overflow.
        far = std::floating_point<T> ? std::numeric_limits<T>::max() / 4
                                     : static_cast<T>(std::numeric_limits<T>::max() - cost.back());
        by_rows.back() = far;
    }

    void row(const std::uint16_t* rows_apart, int pad, int cols, float reach_room_m, float* room_m) {
        // Laid out as: tiles that hold the pad, the row, tiles again; the row starts at a tile.
        const int aside = (reach + tile - 1) / tile, middle = (cols + tile - 1) / tile,
                  all = aside + middle + aside;
        vertical.assign(static_cast<std::size_t>(all) * tile, far);
        T* const v = vertical.data() + aside * tile;
        const int seen = std::min(pad, aside * tile),
                  seen_after = std::min(pad, (middle + aside) * tile - cols);
        const int seen_cols = seen + cols + seen_after;
        if constexpr (std::same_as<T, std::uint16_t>) {
            const auto most = static_cast<std::uint16_t>(by_rows.size() - 1);
            square_gaps(rows_apart + pad - seen, seen_cols, most, far, v - seen);
        } else {
            std::transform(rows_apart + pad - seen, rows_apart + pad - seen + seen_cols, v - seen,
                           [this](std::uint16_t rows) { return by_rows[rows]; });
        }
        tile_least.resize(static_cast<std::size_t>(all));
        for (int t = 0; t < all; ++t) {
            tile_least[static_cast<std::size_t>(t)] = least_of_tile(vertical.data() + t * tile);
        }
        for (int t = 0; t < middle; ++t) {
            const int c0 = t * tile, cells = std::min(tile, cols - c0);
            const auto around = tile_least.begin() + t;
            const T nearest = *std::min_element(around, around + 2 * aside + 1);
            if (nearest < far) {
                T out[tile];
                tile_pass(v + c0, nearest, cost.data(), reach, out);
                roots(out, cells, dx_m, reach_room_m, room_m + c0);
            } else {
                std::fill_n(room_m + c0, cells, reach_room_m);
            }
        }
    }
};

} // namespace

float room_beside_m(CellSize cell, int cols, int rows) {
    if (cell.dx_m != cell.dy_m) {
        const float squares = squared_gap<float>(cols, cell.dx_m) + squared_gap<float>(rows, cell.dy_m);
        return narrow_down_positive(std::sqrt(static_cast<double>(squares)) * given_back);
    }
    const std::uint32_t squares =
        squared_gap<std::uint32_t>(cols, cell.dx_m) + squared_gap<std::uint32_t>(rows, cell.dy_m);
    return narrow_down_positive(std::sqrt(static_cast<double>(squares)) * cell.dx_m);
}

RoomTransform::RoomTransform(const GroundMetric& metric, double reach_m, int first_row, int last_row)
    : metric_(metric.within(reach_m)), reach_m_(reach_m) {
    assert(reach_m > 0);
    const CellSize least = metric_.least(first_row, last_row);
    const double cells = std::floor(reach_m / std::min(least.dx_m, least.dy_m)) + 2;
    halo_ = static_cast<int>(std::min(cells, 2.0 * greatest_halo)); // no cast of what no int holds
}

void RoomTransform::run(const Plane<std::uint8_t>& unsafe, std::uint8_t bit, Plane<float>& room_m) const {
    assert(halo_ <= greatest_halo);
    const Window core = room_m.window(), seen = unsafe.window();
    assert(common(seen, grown(core, halo_)) == grown(core, halo_));

    // Columns. `most` stands for "none within reach".
    const auto most = static_cast<std::uint16_t>(std::min(halo_ + 1, 65534));
    thread_local Plane<std::uint16_t> rows_apart; // kept, since a block has as many as the one before it
    rows_apart.reshape({seen.col, core.row, seen.cols, core.rows});
    std::vector<std::uint16_t> passed(static_cast<std::size_t>(seen.cols), most);
    const int first = core.row - halo_, last = core.row_end() - 1 + halo_;
    for (int r = first; r < core.row_end(); ++r) {
        step_rows(unsafe.row(r), bit, seen.cols, most, passed.data());
        if (r >= core.row) std::copy(passed.begin(), passed.end(), rows_apart.row(r));
    }
    std::fill(passed.begin(), passed.end(), most);
    for (int r = last; r >= core.row; --r) {
        step_rows(unsafe.row(r), bit, seen.cols, most, passed.data());
        if (r < core.row_end()) keep_least(passed.data(), seen.cols, rows_apart.row(r));
    }

    // Rows, each with its own cell size.
    RowScratch<std::uint16_t> small;
    RowScratch<std::uint32_t> large;
    RowScratch<float> unequal;
    const float reach_room_m = narrow_down(reach_m_);
    const int pad = core.col - seen.col;
    for (int r = core.row; r < core.row_end(); ++r) {
        const CellSize cell = metric_.at(r);
        const auto with = [&](auto& scratch) {
            scratch.prepare(cell, reach_m_, most);
            scratch.row(rows_apart.row(r), pad, core.cols, reach_room_m, room_m.row(r));
        };
        constexpr double small_reach = 180; // 2 * 180^2 and a little more fits 16 bits
        if (cell.dx_m != cell.dy_m) {
            with(unequal);
        } else if (halo_ <= small_reach) {
            with(small);
        } else {
            with(large);
        }
    }
}

} // namespace swingroom
