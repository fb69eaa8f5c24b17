#include "room/way_search.hpp"

#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <limits>
#include <numeric>

namespace swingroom {
namespace {

constexpr CellNumber none = std::numeric_limits<CellNumber>::max();
constexpr float infinite = std::numeric_limits<float>::infinity();

/// Integers in the order of the floats.
std::uint32_t in_order(float value) {
    const auto bits = std::bit_cast<std::uint32_t>(value);
    constexpr std::uint32_t sign = 1U << 31;
    return (bits & sign) != 0 ? ~bits : bits | sign;
}

/// To the cells around, straight ones first; then across corners; then to those beyond as a knight moves. A
/// step touches, besides where it leads, the cells at `via` and at `also`.
struct Step {
    int cols, rows;
    GridCell via, also;
};
constexpr std::array<Step, 16> steps = {{{0, -1, {0, 0}, {0, 0}},
                                         {-1, 0, {0, 0}, {0, 0}},
                                         {1, 0, {0, 0}, {0, 0}},
                                         {0, 1, {0, 0}, {0, 0}},
                                         {-1, -1, {-1, 0}, {0, -1}},
                                         {1, -1, {1, 0}, {0, -1}},
                                         {-1, 1, {-1, 0}, {0, 1}},
                                         {1, 1, {1, 0}, {0, 1}},
                                         {-2, -1, {-1, 0}, {-1, -1}},
                                         {2, -1, {1, 0}, {1, -1}},
                                         {-2, 1, {-1, 0}, {-1, 1}},
                                         {2, 1, {1, 0}, {1, 1}},
                                         {-1, -2, {0, -1}, {-1, -1}},
                                         {1, -2, {0, -1}, {1, -1}},
                                         {-1, 2, {0, 1}, {-1, 1}},
                                         {1, 2, {0, 1}, {1, 1}}}};
constexpr std::size_t straight_steps = 4;

} // namespace

std::vector<CellNumber> cheapest_first(std::span<const float> cost) {
    assert(cost.size() < none);
    // By eleven bits at a time, the lowest first: each pass keeps the order of the one before.
    constexpr int bits = 11, passes = 3; // 33 of 32
    std::vector<CellNumber> cells, sorted;
    for (CellNumber cell = 0; cell < cost.size(); ++cell) {
        if (cost[cell] < infinite) cells.push_back(cell);
    }
    sorted.resize(cells.size());
    for (int pass = 0; pass < passes; ++pass) {
        const auto digit = [&](CellNumber cell) {
            return (in_order(cost[cell]) >> (bits * pass)) & ((1U << bits) - 1);
        };
        std::array<std::size_t, (1U << bits) + 1> begin{};
        for (const CellNumber cell : cells) {
            ++begin[digit(cell) + 1];
        }
        for (std::size_t i = 1; i < begin.size(); ++i) {
            begin[i] += begin[i - 1];
        }
        for (const CellNumber cell : cells) {
            sorted[begin[digit(cell)]++] = cell;
        }
        cells.swap(sorted);
    }
    return cells;
}

CellNumber CellJoiner::root(CellNumber cell) {
    while (parent_[cell] != cell) {
        parent_[cell] = parent_[parent_[cell]]; // halves the way of whoever comes next
        cell = parent_[cell];
    }
    return cell;
}

void CellJoiner::add(CellNumber cell) {
    parent_[cell] = cell;
    const auto cols = static_cast<CellNumber>(plane_.cols);
    const CellNumber col = cell % cols;
    const auto meet = [&](CellNumber neighbour) {
        if (parent_[neighbour] == none) return;
        const CellNumber kept = root(neighbour), gone = root(cell);
        if (kept == gone) return;
        parent_[gone] = kept;
        starts_[kept] = starts_[kept] | starts_[gone];
        put_places(places_[gone], places_[kept]);
    };
    if (col > 0) meet(cell - 1);
    if (col + 1 < cols) meet(cell + 1);
    if (cell >= cols) meet(cell - cols);
    if (cell + cols < parent_.size()) meet(cell + cols);
    const CellNumber pool = root(cell);
    if (starts_[pool] == 0 || places_[pool] == none) return;
    const CellNumber first = std::exchange(places_[pool], none);
    CellNumber place = first;
    do {
        led_to_.push_back(place);
        place = next_place_[place];
    } while (place != first);
}

void CellJoiner::put_places(CellNumber some, CellNumber& to) {
    if (some == none) return;
    if (to == none) {
        to = some;
    } else {
        std::swap(next_place_[some], next_place_[to]); // two rings become one
    }
}

std::vector<float> CellJoiner::join(std::span<const float> cost, std::span<const CellNumber> order,
                                    std::span<const CellNumber> starts, std::span<const CellNumber> places) {
    parent_.assign(plane_.cells(), none);
    starts_.assign(plane_.cells(), 0);
    places_.assign(plane_.cells(), none);
    next_place_.resize(places.size());
    std::iota(next_place_.begin(), next_place_.end(), CellNumber(0));
    for (const CellNumber start : starts) {
        starts_[start] = 1;
    }
    for (CellNumber place = 0; place < places.size(); ++place) {
        put_places(place, places_[places[place]]);
    }
    std::vector<float> found(places.size(), infinite);
    std::size_t missing = places.size();
    for (std::size_t i = 0; i < order.size() && missing > 0;) {
        const float now = cost[order[i]];
        led_to_.clear();
        for (; i < order.size() && cost[order[i]] == now; ++i) {
            add(order[i]);
        }
        for (const CellNumber place : led_to_) {
            found[place] = now;
        }
        missing -= led_to_.size();
    }
    return found;
}

ShortestWay::ShortestWay(Window plane, const GroundMetric& metric) : plane_(plane) {
    const auto beyond = [&plane](int right, int down) {
        return static_cast<CellNumber>(right + down * plane.cols); // backwards by what wraps round
    };
    std::transform(steps.begin(), steps.end(), reaches_.begin(), [&](const Step& step) {
        return Reaches{beyond(step.cols, step.rows), beyond(step.via.col, step.via.row),
                       beyond(step.also.col, step.also.row)};
    });
    // Sums stay below 32 bits: a way has no more steps than there are cells.
    constexpr double parts = 128, most_units = 4e9, toll_in_steps = 60;
    const CellSize least = metric.least(0, plane.rows - 1), greatest = metric.greatest(0, plane.rows - 1);
    const double longest_m = 2 * std::hypot(greatest.dx_m, greatest.dy_m);
    const double unit_m = std::max(std::min(least.dx_m, least.dy_m) / parts,
                                   longest_m * static_cast<double>(plane.cells()) / most_units);
    const auto units = [unit_m](double metres) {
        return static_cast<std::uint32_t>(std::max(1LL, std::llround(metres / unit_m)));
    };
    for (int row = 0; row < plane.rows; ++row) {
        std::array<std::uint32_t, steps.size()>& of_row = lengths_.emplace_back();
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const int other = std::clamp(row + steps[i].rows, 0, plane.rows - 1);
            const CellSize here = metric.at(row), there = metric.at(other);
            of_row[i] = units(std::hypot(steps[i].cols * (here.dx_m + there.dx_m) / 2,
                                         steps[i].rows * (here.dy_m + there.dy_m) / 2));
        }
    }
    toll_ = std::min(units(longest_m * toll_in_steps),
                     static_cast<std::uint32_t>(most_units / 2 / static_cast<double>(plane.cells())));
    buckets_.resize(std::size_t{units(longest_m)} + toll_ + 2);
}

/// A bucket for each length that is not yet left behind, in a ring: lengths are whole and steps are short.
std::vector<CellNumber> ShortestWay::find(CellNumber place, std::span<const std::uint8_t> goals,
                                          std::span<const Passing> passing) {
    if (passing[place] == Passing::closed) return {};
    constexpr std::uint32_t far = std::numeric_limits<std::uint32_t>::max();
    length_.assign(plane_.cells(), far);
    came_by_.assign(plane_.cells(), steps.size());
    for (std::vector<CellNumber>& bucket : buckets_) {
        bucket.clear();
    }
    length_[place] = 0;
    buckets_[0].push_back(place);
    std::size_t waiting = 1;
    std::vector<CellNumber> now;
    for (std::uint32_t length = 0; waiting > 0; ++length) {
        std::vector<CellNumber>& bucket = buckets_[length % buckets_.size()];
        if (bucket.empty()) continue;
        now.swap(bucket);
        bucket.clear();
        waiting -= now.size();
        CellNumber goal = none;
        for (const CellNumber cell : now) {
            if (length_[cell] == length && goals[cell] != 0) goal = std::min(goal, cell);
        }
        if (goal != none) return chain_from(goal);
        for (const CellNumber cell : now) {
            if (length_[cell] == length) waiting += step_on(cell, passing);
        }
        now.clear();
    }
    return {};
}

std::size_t ShortestWay::step_on(CellNumber cell, std::span<const Passing> passing) {
    const int cols = plane_.cols, col = static_cast<int>(cell) % cols, row = static_cast<int>(cell) / cols;
    constexpr int longest_step = 2;
    const bool by_edge = col < longest_step || col >= cols - longest_step || row < longest_step ||
                         row >= plane_.rows - longest_step;
    const std::uint32_t length = length_[cell];
    const std::array<std::uint32_t, steps.size()>& lengths = lengths_[static_cast<std::size_t>(row)];
    std::size_t put = 0;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (by_edge) {
            const int to_col = col + steps[i].cols, to_row = row + steps[i].rows;
            if (to_col < 0 || to_col >= cols || to_row < 0 || to_row >= plane_.rows) continue;
        }
        const Reaches& reaches = reaches_[i];
        const CellNumber next = cell + reaches.to;
        std::uint32_t there = length + lengths[i];
        // Mostly it has been there by a shorter way, which is looked up first.
        if (there >= length_[next] || passing[next] == Passing::closed) continue;
        if (i >= straight_steps &&
            (passing[cell + reaches.via] != Passing::open || passing[cell + reaches.also] != Passing::open)) {
            continue;
        }
        if (passing[next] == Passing::dearly) there += toll_;
        if (there >= length_[next]) continue;
        length_[next] = there;
        came_by_[next] = static_cast<std::uint8_t>(i);
        buckets_[there % buckets_.size()].push_back(next);
        ++put;
    }
    return put;
}

std::vector<CellNumber> ShortestWay::chain_from(CellNumber end) const {
    std::vector<CellNumber> chain = {end};
    while (came_by_[chain.back()] < steps.size()) {
        const Step& step = steps[came_by_[chain.back()]];
        const int before = static_cast<int>(chain.back()) - step.cols - step.rows * plane_.cols;
        const auto passed = [&](GridCell beside) {
            chain.push_back(static_cast<CellNumber>(before + beside.col + beside.row * plane_.cols));
        };
        const bool slanting = step.cols != 0 && step.rows != 0;
        const bool as_a_knight = std::abs(step.cols) + std::abs(step.rows) == 3;
        if (as_a_knight) passed(step.also);
        if (slanting) passed(step.via);
        chain.push_back(static_cast<CellNumber>(before));
    }
    std::reverse(chain.begin(), chain.end());
    return chain;
}

} // namespace swingroom
