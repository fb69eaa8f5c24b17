#include "swingroom/room/least_in_disc.hpp"

#include "swingroom/room/distance.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>
#include <map>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

constexpr int lanes = 32; // cells of a row that are worked on together, held in registers
constexpr float infinite = std::numeric_limits<float>::infinity();

/// The two columns of a circle that are so far from its middle, up and down from which it reaches so many
/// rows.
struct Column {
    std::uint16_t apart = 0, half_height = 0;
    friend auto operator<=>(const Column&, const Column&) = default;
};
/// From the middle outwards: column i is i apart.
using Disc = std::vector<Column>;

/// A circle on cells of a size, and between which radii it has the same cells: above the first, up to the
/// second.
struct MeasuredDisc {
    Disc columns;
    float above_m = 0, up_to_m = infinite;
};

MeasuredDisc measured_disc(CellSize cell, float radius_m) {
    MeasuredDisc disc;
    int rows = static_cast<int>(std::ceil(static_cast<double>(radius_m) / cell.dy_m)) + 1;
    for (int cols = 0;; ++cols) {
        float room_m = room_beside_m(cell, cols, rows);
        for (; room_m >= radius_m && rows > 0; room_m = room_beside_m(cell, cols, rows)) {
            disc.up_to_m = std::min(disc.up_to_m, room_m);
            --rows;
        }
        if (room_m >= radius_m) { // not even beside the middle
            disc.up_to_m = std::min(disc.up_to_m, room_m);
            return disc;
        }
        disc.above_m = std::max(disc.above_m, room_m);
        disc.up_to_m = std::min(disc.up_to_m, room_beside_m(cell, cols, rows + 1));
        disc.columns.push_back({static_cast<std::uint16_t>(cols), static_cast<std::uint16_t>(rows)});
    }
}

/// Circles by their radius on cells of a size, numbered: those that have the same cells share a number.
class Discs {
public:
    /// The size of the cells for the radii that follow.
    void measure_by(CellSize cell) {
        if (cell.dx_m == cell_.dx_m && cell.dy_m == cell_.dy_m) return;
        cell_ = cell;
        ++size_number_;
        if (columns_.size() > most_discs) forget();
    }

    /// Number of the circle.   @param radius_m  > 0
    int of(float radius_m) {
        if (radius_m == last_radius_m_ && size_number_ == last_size_) return last_;
        last_radius_m_ = radius_m;
        last_size_ = size_number_;
        return last_ = entry(radius_m).disc;
    }
    [[nodiscard]] const Disc& columns(int disc) const { return columns_[static_cast<std::size_t>(disc)]; }

    /// What a circle has that another one inside it has not, as columns.   @param inner  -1: none
    const Disc& beyond(int inner, int outer) {
        if (inner < 0) return columns(outer);
        const auto hash = static_cast<std::uint32_t>(inner) * 2654435761U ^ static_cast<std::uint32_t>(outer);
        Step& step = steps_[hash % steps_.size()];
        if (step.inner != inner || step.outer != outer) find_step(inner, outer, step);
        return step.columns;
    }

private:
    /// What is known of a radius: its circle on cells of a size, and for which radii it would be the same.
    struct Entry {
        float radius_m = 0; ///< 0: nothing
        int disc = 0;
        std::uint32_t size_number = 0; ///< that it was last seen to hold for
        CellSize cell;                 ///< that it was measured on
        float above_m = 0, up_to_m = 0;
    };
    struct Step {
        int inner = -1, outer = -1;
        Disc columns;
    };
    static constexpr std::size_t most_discs = 50'000;

    void forget() {
        columns_.clear();
        numbers_.clear();
        entries_.assign(1024, {});
        used_ = 0;
        steps_.assign(steps_.size(), {});
        last_radius_m_ = 0;
    }

    Entry& entry(float radius_m) {
        if (2 * (used_ + 1) > entries_.size()) grow();
        Entry& found = slot(radius_m);
        if (found.radius_m == 0) {
            ++used_;
            measure(radius_m, found);
        } else if (found.size_number != size_number_) {
            if (still_holds(found)) {
                found.size_number = size_number_;
            } else {
                measure(radius_m, found);
            }
        }
        return found;
    }
    Entry& slot(float radius_m) {
        const std::uint32_t hash = std::bit_cast<std::uint32_t>(radius_m) * 2654435761U;
        for (std::size_t i = hash >> 7;; ++i) {
            Entry& entry = entries_[i & (entries_.size() - 1)];
            if (entry.radius_m == radius_m || entry.radius_m == 0) return entry;
        }
    }
    void grow() {
        std::vector<Entry> old(2 * entries_.size());
        old.swap(entries_);
        for (const Entry& entry : old) {
            if (entry.radius_m != 0) slot(entry.radius_m) = entry;
        }
    }
    /// In degrees each row has a size of its own, by next to nothing another one than the row before.
    [[nodiscard]] bool still_holds(const Entry& entry) const {
        constexpr double rounding = 2e-6; // of floats, several times
        const double change =
            std::max(std::abs(cell_.dx_m / entry.cell.dx_m - 1), std::abs(cell_.dy_m / entry.cell.dy_m - 1)) +
            rounding;
        return double{entry.above_m} * (1 + change) < double{entry.radius_m} &&
               double{entry.radius_m} < double{entry.up_to_m} * (1 - change);
    }
    void measure(float radius_m, Entry& into) {
        MeasuredDisc disc = measured_disc(cell_, radius_m);
        const auto [at, is_new] =
            numbers_.try_emplace(std::move(disc.columns), static_cast<int>(columns_.size()));
        if (is_new) columns_.push_back(at->first);
        into = {radius_m, at->second, size_number_, cell_, disc.above_m, disc.up_to_m};
    }
    void find_step(int inner, int outer, Step& step) {
        step.inner = inner;
        step.outer = outer;
        step.columns.clear();
        const Disc &in = columns(inner), &out = columns(outer);
        for (std::size_t i = 0; i < out.size(); ++i) {
            if (i >= in.size() || in[i] != out[i]) step.columns.push_back(out[i]);
        }
    }

    CellSize cell_;
    std::uint32_t size_number_ = 0, last_size_ = 0;
    float last_radius_m_ = 0;
    int last_ = 0;
    std::vector<Disc> columns_;                             ///< by number
    std::map<Disc, int> numbers_;                           ///< the other way round
    std::vector<Entry> entries_ = std::vector<Entry>(1024); ///< a hash table, at most half full
    std::size_t used_ = 0;
    std::vector<Step> steps_ = std::vector<Step>(1024); ///< the last ones that were asked for
};

/// As std::min, but of values instead of references, which do not vectorise.
[[gnu::always_inline]] inline float lesser(float a, float b) { return b < a ? b : a; }

SWINGROOM_VECTORISED void take_two_rows(const float* above, const float* below, const float* before, int cols,
                                        float* least) {
    for (int c = 0; c < cols; ++c) {
        least[c] = lesser(before[c], lesser(above[c], below[c]));
    }
}

/// What compilers do not find by themselves here: that the least values fit into registers.
using Eight [[gnu::vector_size(8 * sizeof(float))]] = float;
using EightAnywhere [[gnu::vector_size(8 * sizeof(float)), gnu::aligned(sizeof(float)), gnu::may_alias]] =
    float;
[[gnu::always_inline]] inline const EightAnywhere& eight_at(const float* at) {
    return *reinterpret_cast<const EightAnywhere*>(at);
}

/// Takes columns into the least values of as many cells as there are lanes.
/// @param heights  the least over 1, 3, 5 ... rows, `stride` values each, at the first of the cells
SWINGROOM_VECTORISED void take_columns(const float* heights, std::size_t stride, const Column* columns,
                                       std::size_t count, float* least) {
    constexpr int groups = lanes / 8;
    Eight best[groups];
    for (int j = 0; j < groups; ++j) {
        best[j] = eight_at(least + 8 * j);
    }
    for (std::size_t k = 0; k < count; ++k) {
        const float* const middle = heights + columns[k].half_height * stride;
        const float *const left = middle - columns[k].apart, *const right = middle + columns[k].apart;
        for (int j = 0; j < groups; ++j) {
            const Eight a = eight_at(left + 8 * j), b = eight_at(right + 8 * j), side = b < a ? b : a;
            best[j] = side < best[j] ? side : best[j];
        }
    }
    std::memcpy(least, best, sizeof best);
}

} // namespace

struct LeastInDisc::Work {
    Discs discs;
    std::vector<float> heights;            ///< the least over 1, 3, 5 ... rows of a stretch of columns
    std::size_t stride = 0;                ///< values of each
    int first = 0;                         ///< the first cell of a row that is asked about
    std::vector<std::vector<int>> numbers; ///< of each answer that is asked for, by cell; -1: nothing is

    void find_heights(const Plane<float>& values, int row, int first_col, int cells, int half_width,
                      int half_height);
    void answer(const Row& asked, const std::vector<int>& disc_of, int cells, int half_width);
};

/// @param first_col  of the raster, of the first cell that is asked about
void LeastInDisc::Work::find_heights(const Plane<float>& values, int row, int first_col, int cells,
                                     int half_width, int half_height) {
    // Whole groups of lanes are looked at, the last of which may go beyond the row.
    const int wide = (cells + lanes - 1) / lanes * lanes + 2 * half_width;
    stride = static_cast<std::size_t>(wide);
    heights.resize(stride * static_cast<std::size_t>(half_height + 1));
    const Window window = values.window();
    const int from = std::max(first_col - half_width, window.col),
              to = std::min(first_col - half_width + wide, window.col_end());
    const auto aside = static_cast<std::size_t>(from - (first_col - half_width));
    const int cols = to - from;
    for (int k = 0; k <= half_height; ++k) {
        float* const level = heights.data() + static_cast<std::size_t>(k) * stride;
        // Where the plane ends no circle of a cell that is asked about gets.
        std::fill_n(level, aside, infinite);
        std::fill(level + aside + cols, level + stride, infinite);
        const int above = row - k, below = row + k;
        assert(above >= window.row && below < window.row_end());
        const float* const first_row = &values.at(from, above);
        if (k == 0) {
            std::copy_n(first_row, cols, level + aside);
        } else {
            take_two_rows(first_row, &values.at(from, below), level + aside - stride, cols, level + aside);
        }
    }
}

void LeastInDisc::Work::answer(const Row& asked, const std::vector<int>& disc_of, int cells, int half_width) {
    std::array<std::pair<float, int>, lanes> circles; // of a group, by radius, and their numbers
    for (int start = 0; start < cells; start += lanes) {
        const int end = std::min(start + lanes, cells);
        std::size_t count = 0;
        int last = -1;
        for (int i = start; i < end; ++i) {
            const int disc = disc_of[static_cast<std::size_t>(first + i)];
            if (disc < 0 || disc == last) continue;
            last = disc;
            const bool known = std::any_of(circles.begin(), circles.begin() + count,
                                           [disc](const auto& circle) { return circle.second == disc; });
            if (!known) circles[count++] = {asked.radius_m[static_cast<std::size_t>(first + i)], disc};
        }
        std::sort(circles.begin(), circles.begin() + count);
        std::array<float, lanes> least;
        least.fill(infinite);
        int inner = -1;
        for (std::size_t k = 0; k < count; ++k) {
            const int disc = circles[k].second;
            const Disc& more = discs.beyond(inner, disc);
            take_columns(heights.data() + half_width + start, stride, more.data(), more.size(), least.data());
            inner = disc;
            for (int i = start; i < end; ++i) {
                if (disc_of[static_cast<std::size_t>(first + i)] == disc) {
                    asked.least[static_cast<std::size_t>(first + i)] =
                        least[static_cast<std::size_t>(i - start)];
                }
            }
        }
    }
}

LeastInDisc::LeastInDisc() : work_(std::make_unique<Work>()) {}
LeastInDisc::~LeastInDisc() = default;
LeastInDisc::LeastInDisc(LeastInDisc&&) noexcept = default;
LeastInDisc& LeastInDisc::operator=(LeastInDisc&&) noexcept = default;

void LeastInDisc::run(const Plane<float>& values, CellSize cell, int row, int first_col,
                      std::span<const Row> asked) {
    Work& work = *work_;
    work.discs.measure_by(cell);
    work.numbers.resize(std::max(work.numbers.size(), asked.size()));
    int first = std::numeric_limits<int>::max(), end = 0, half_width = 0, half_height = 0, widest = -1;
    for (std::size_t k = 0; k < asked.size(); ++k) {
        const auto cells = static_cast<int>(asked[k].radius_m.size());
        std::vector<int>& disc_of = work.numbers[k];
        disc_of.assign(static_cast<std::size_t>(cells), -1);
        for (int i = 0; i < cells; ++i) {
            const float radius_m = asked[k].radius_m[static_cast<std::size_t>(i)];
            if (!(radius_m > 0)) continue;
            const int disc = disc_of[static_cast<std::size_t>(i)] = work.discs.of(radius_m);
            first = std::min(first, i);
            end = std::max(end, i + 1);
            if (disc == widest) continue;
            widest = disc;
            const Disc& columns = work.discs.columns(disc);
            half_width = std::max(half_width, int{columns.back().apart});
            half_height = std::max(half_height, int{columns.front().half_height});
        }
    }
    if (end <= first) return;
    work.first = first;
    work.find_heights(values, row, first_col + first, end - first, half_width, half_height);
    for (std::size_t k = 0; k < asked.size(); ++k) {
        work.answer(asked[k], work.numbers[k], end - first, half_width);
    }
}

} // namespace swingroom
