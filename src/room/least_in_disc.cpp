#include "swingroom/room/least_in_disc.hpp"

#include "swingroom/base/rounding.hpp"
#include "swingroom/room/distance.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <span>
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
        found_.fill({});
        if (columns_.size() > most_discs) forget();
    }

    /// A circle by its number, and the greatest radius that is sure to have the same one.
    struct Found {
        float radius_m = 0; ///< 0: nothing
        float up_to_m = 0;
        int disc = 0;
    };
    /// @param radius_m  > 0
    const Found& of(float radius_m) {
        Found& found = found_[hash(radius_m) % found_.size()];
        if (found.radius_m != radius_m) find(radius_m, found);
        return found;
    }
    [[nodiscard]] const Disc& columns(int disc) const { return columns_[static_cast<std::size_t>(disc)]; }

    /// What a circle has that another one inside it has not, as columns.   @param inner  -1: none
    const Disc& beyond(int inner, int outer) {
        if (inner < 0) return columns(outer);
        const auto mixed = static_cast<std::size_t>(inner) * 31 + static_cast<std::size_t>(outer);
        Step& step = steps_[mixed % steps];
        if (step.inner != inner || step.outer != outer) find_step(inner, outer, step);
        return step.columns;
    }

private:
    /// What is known of a radius: its circle on cells of a size, and for which radii it would be the same.
    struct Entry {
        float radius_m = 0; ///< 0: nothing
        int disc = 0;
        CellSize cell; ///< that it was measured on
        float above_m = 0, up_to_m = 0;
    };
    struct Step {
        int inner = -1, outer = -1;
        Disc columns;
    };
    static constexpr std::size_t most_discs = 50'000, steps = 4096;

    void forget() {
        columns_.clear();
        numbers_.clear();
        entries_.assign(1024, {});
        used_ = 0;
        steps_.assign(steps_.size(), {});
    }

    void find(float radius_m, Found& into) {
        if (2 * (used_ + 1) > entries_.size()) grow();
        Entry& entry = slot(radius_m);
        double change = 0;
        if (entry.radius_m == 0) {
            ++used_;
            measure(radius_m, entry);
        } else if (change = change_since(entry); !still_holds(entry, change)) {
            measure(radius_m, entry);
            change = 0;
        }
        const float sure_m = change > 0 ? narrow_down(double{entry.up_to_m} * (1 - change)) : entry.up_to_m;
        into = {radius_m, std::max(radius_m, sure_m), entry.disc};
    }
    static std::size_t hash(float radius_m) {
        // Fibonacci hashing: the upper bits of the product are those that all bits of the radius bear on.
        return (std::bit_cast<std::uint32_t>(radius_m) * 2654435769U) >> 12;
    }
    Entry& slot(float radius_m) {
        for (std::size_t i = hash(radius_m);; ++i) {
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
    /// By what part of it distances may have changed since a circle was measured; 0: not at all. In degrees
    /// each row has a size of its own, by next to nothing another one than the row before.
    [[nodiscard]] double change_since(const Entry& entry) const {
        constexpr double rounding = 2e-6; // of floats, several times
        const double of_dx = std::abs(cell_.dx_m / entry.cell.dx_m - 1),
                     of_dy = std::abs(cell_.dy_m / entry.cell.dy_m - 1);
        return of_dx == 0 && of_dy == 0 ? 0 : std::max(of_dx, of_dy) + rounding;
    }
    static bool still_holds(const Entry& entry, double change) {
        return double{entry.above_m} * (1 + change) < double{entry.radius_m} &&
               double{entry.radius_m} <= double{entry.up_to_m} * (1 - change);
    }
    void measure(float radius_m, Entry& into) {
        MeasuredDisc disc = measured_disc(cell_, radius_m);
        const auto [at, is_new] =
            numbers_.try_emplace(std::move(disc.columns), static_cast<int>(columns_.size()));
        if (is_new) columns_.push_back(at->first);
        into = {radius_m, at->second, cell_, disc.above_m, disc.up_to_m};
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
    std::array<Found, 512> found_{}; ///< the last ones that were asked for, on cells of this size
    std::vector<Disc> columns_;      ///< by number
    std::map<Disc, int> numbers_;    ///< the other way round
    std::vector<Entry> entries_ = std::vector<Entry>(1024); ///< a hash table, at most half full
    std::size_t used_ = 0;
    std::vector<Step> steps_ = std::vector<Step>(steps); ///< the last ones that were asked for
};

/// What compilers do not find by themselves here: that the least values of many cells fit into registers.
using Eight [[gnu::vector_size(8 * sizeof(float))]] = float;
using EightAnywhere [[gnu::vector_size(8 * sizeof(float)), gnu::aligned(sizeof(float)), gnu::may_alias]] =
    float;
[[gnu::always_inline]] inline const EightAnywhere& eight_at(const float* at) {
    return *reinterpret_cast<const EightAnywhere*>(at);
}
[[gnu::always_inline]] inline void put_eight(const Eight& values, float* at) {
    *reinterpret_cast<EightAnywhere*>(at) = values;
}
constexpr int groups = lanes / 8;

/// Of as many columns as there are lanes the least over 1, 3, 5 ... rows.
/// @param middle  of the plane; the rows before and after it are `row` values apart
/// @param to      the first of the least values, those of more rows `stride` values on
SWINGROOM_VECTORISED void stack_rows(const float* middle, std::ptrdiff_t row, int half_height, float* to,
                                     std::size_t stride) {
    Eight best[groups];
    for (int j = 0; j < groups; ++j) {
        best[j] = eight_at(middle + 8 * j);
        put_eight(best[j], to + 8 * j);
    }
    const float *above = middle, *below = middle;
    for (int k = 0; k < half_height; ++k) {
        above -= row;
        below += row;
        to += stride;
        for (int j = 0; j < groups; ++j) {
            const Eight a = eight_at(above + 8 * j), b = eight_at(below + 8 * j), both = b < a ? b : a;
            best[j] = both < best[j] ? both : best[j];
            put_eight(best[j], to + 8 * j);
        }
    }
}

/// Takes columns into the least values of as many cells as there are lanes.
/// @param heights  the least over 1, 3, 5 ... rows, `stride` values each, at the first of the cells
SWINGROOM_VECTORISED void take_columns(const float* heights, std::size_t stride, const Column* columns,
                                       std::size_t count, float* least) {
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
    for (int j = 0; j < groups; ++j) {
        put_eight(best[j], least + 8 * j);
    }
}

[[gnu::always_inline]] inline float least_of(Eight values) {
    Eight other = __builtin_shufflevector(values, values, 4, 5, 6, 7, 0, 1, 2, 3);
    values = other < values ? other : values;
    other = __builtin_shufflevector(values, values, 2, 3, 0, 1, 6, 7, 4, 5);
    values = other < values ? other : values;
    other = __builtin_shufflevector(values, values, 1, 0, 3, 2, 5, 4, 7, 6);
    values = other < values ? other : values;
    return values[0];
}

/// The least radius of a group that is greater than another one; infinite if none is.
SWINGROOM_VECTORISED float next_radius_m(const float* radius_m, float than_m) {
    const Eight than = Eight{} + than_m, none = Eight{} + infinite;
    Eight least = none;
    for (int j = 0; j < groups; ++j) {
        const Eight here = eight_at(radius_m + 8 * j), candidate = here > than ? here : none;
        least = candidate < least ? candidate : least;
    }
    return least_of(least);
}

/// The greatest radius, 0 if none is greater.
SWINGROOM_VECTORISED float greatest_radius_m(const float* radius_m, std::size_t count) {
    Eight negative = {};
    std::size_t i = 0;
    for (; i + 8 <= count; i += 8) {
        const Eight here = -eight_at(radius_m + i);
        negative = here < negative ? here : negative; // NaN is not
    }
    float greatest_m = -least_of(negative);
    for (; i < count; ++i) {
        greatest_m = radius_m[i] > greatest_m ? radius_m[i] : greatest_m;
    }
    return greatest_m;
}

/// The least values of those cells of a group whose radius lies between two, both among them.
SWINGROOM_VECTORISED void keep_those_between(const float* radius_m, float from_m, float to_m,
                                             const float* least, float* to) {
    const Eight from = Eight{} + from_m, up_to = Eight{} + to_m;
    for (int j = 0; j < groups; ++j) {
        const Eight here = eight_at(radius_m + 8 * j), now = eight_at(least + 8 * j),
                    before = eight_at(to + 8 * j);
        const Eight kept = here >= from && here <= up_to ? now : before;
        put_eight(kept, to + 8 * j);
    }
}

/// What is worked on in a row of cells.
struct Stretch {
    const Plane<float>* values = nullptr;
    int row = 0, col = 0;                ///< of the first cell that is asked about
    int half_width = 0, half_height = 0; ///< of the greatest circle
};

} // namespace

struct LeastInDisc::Work {
    Discs discs;
    std::vector<float>
        heights;            ///< the least over 1, 3, 5 ... rows, from half a width before the first cell on
    std::size_t stride = 0; ///< values of each
    int stacked = 0;        ///< of these are there

    void begin(const Stretch& of, int cells);
    void stack_up_to(int end, const Stretch& of);
    void stack_what_there_is(const Stretch& of, int col, float* to) const;
    void answer(const Row& asked, int start, int cells, const float* here);
    void answer_group(const float* radius_m, const float* here, float* to);
};

void LeastInDisc::Work::begin(const Stretch& of, int cells) {
    assert(of.row - of.half_height >= of.values->window().row);
    assert(of.row + of.half_height < of.values->window().row_end());
    // Whole groups of lanes are looked at, the last of which may go beyond the row.
    const auto up = [](int count) { return (count + lanes - 1) / lanes * lanes; };
    stride = static_cast<std::size_t>(up(cells)) + static_cast<std::size_t>(up(2 * of.half_width));
    heights.resize(stride * static_cast<std::size_t>(of.half_height + 1));
    stacked = 0;
}

/// Shortly before they are needed, so that they are still at hand then.
void LeastInDisc::Work::stack_up_to(int end, const Stretch& of) {
    const Window window = of.values->window();
    for (; stacked < end; stacked += lanes) {
        float* const to = heights.data() + stacked;
        const int col = of.col - of.half_width + stacked;
        if (col >= window.col && col + lanes <= window.col_end()) {
            stack_rows(&of.values->at(col, of.row), window.cols, of.half_height, to, stride);
        } else {
            stack_what_there_is(of, col, to);
        }
    }
}

/// The same where some of the columns lie beyond the plane, where no circle that is asked about gets.
void LeastInDisc::Work::stack_what_there_is(const Stretch& of, int col, float* to) const {
    const Window window = of.values->window();
    const int from = std::clamp(window.col - col, 0, lanes),
              end = std::clamp(window.col_end() - col, from, lanes);
    std::array<float, lanes> least;
    least.fill(infinite);
    for (int k = 0; k <= of.half_height; ++k) {
        const float *const above = of.values->row(of.row - k) + (col - window.col), *const below =
                                                                                        of.values->row(
                                                                                            of.row + k) +
                                                                                        (col - window.col);
        for (int j = from; j < end; ++j) {
            float& cell = least[static_cast<std::size_t>(j)];
            cell = std::min({cell, above[j], below[j]});
        }
        std::copy(least.begin(), least.end(), to + static_cast<std::size_t>(k) * stride);
    }
}

/// A group of cells of a row, of which there may be fewer than lanes.
void LeastInDisc::Work::answer(const Row& asked, int start, int cells, const float* here) {
    if (cells == lanes) {
        answer_group(asked.radius_m.data() + start, here, asked.least.data() + start);
        return;
    }
    std::array<float, lanes> radius_m{}, found{};
    std::copy_n(asked.radius_m.begin() + start, cells, radius_m.begin());
    std::copy_n(asked.least.begin() + start, cells, found.begin());
    answer_group(radius_m.data(), here, found.data());
    std::copy_n(found.begin(), cells, asked.least.begin() + start);
}

/// The smallest circle of a group for all of it, then what each greater one has beyond the one before.
/// @param here  the first cell's place in `heights`
void LeastInDisc::Work::answer_group(const float* radius_m, const float* here, float* to) {
    std::array<float, lanes> least;
    least.fill(infinite);
    int inner = -1;
    for (float from_m = next_radius_m(radius_m, 0); from_m < infinite;) {
        const auto [of_m, up_to_m, disc] = discs.of(from_m);
        const Disc& more = discs.beyond(inner, disc);
        take_columns(here, stride, more.data(), more.size(), least.data());
        inner = disc;
        keep_those_between(radius_m, from_m, up_to_m, least.data(), to);
        from_m = next_radius_m(radius_m, up_to_m);
    }
}

LeastInDisc::LeastInDisc() : work_(std::make_unique<Work>()) {}
LeastInDisc::~LeastInDisc() = default;
LeastInDisc::LeastInDisc(LeastInDisc&&) noexcept = default;
LeastInDisc& LeastInDisc::operator=(LeastInDisc&&) noexcept = default;

void LeastInDisc::run(const Plane<float>& values, CellSize cell, int row, int first_col,
                      std::span<const Row> asked) {
    float greatest_m = 0;
    int first = std::numeric_limits<int>::max(), end = 0;
    for (const Row& one : asked) {
        const auto is_asked = [](float radius_m) { return radius_m > 0; };
        const auto from = std::find_if(one.radius_m.begin(), one.radius_m.end(), is_asked);
        if (from == one.radius_m.end()) continue;
        const auto last = std::find_if(one.radius_m.rbegin(), one.radius_m.rend(), is_asked);
        first = std::min(first, static_cast<int>(from - one.radius_m.begin()));
        end = std::max(end, static_cast<int>(one.radius_m.rend() - last));
        greatest_m = std::max(greatest_m, greatest_radius_m(one.radius_m.data(), one.radius_m.size()));
    }
    if (end <= first) return;
    Work& work = *work_;
    work.discs.measure_by(cell);
    // The greatest circle holds all others.
    const Disc& greatest = work.discs.columns(work.discs.of(greatest_m).disc);
    const Stretch of{&values, row, first_col + first, greatest.back().apart, greatest.front().half_height};
    work.begin(of, end - first);
    for (int start = first; start < end; start += lanes) {
        const int aside = start - first;
        work.stack_up_to(aside + lanes + 2 * of.half_width, of);
        for (const Row& one : asked) {
            work.answer(one, start, std::min(lanes, end - start),
                        work.heights.data() + of.half_width + aside);
        }
    }
}

} // namespace swingroom
