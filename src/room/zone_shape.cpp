#include "swingroom/room/zone_shape.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <queue>
#include <utility>

namespace swingroom {
namespace {

using Rings = std::vector<std::vector<GridPoint>>;
using Index = std::uint32_t;

constexpr std::int64_t steps_per_cell = 1024, half_cell_steps = steps_per_cell / 2;
static_assert(shape_step * steps_per_cell == 1);
/// Products of two lengths below this, in steps, and their sums fit into 64 bits.
constexpr double greatest_extent_cells = 1 << 20;
/// Above so many corners behind one edge their distance from a new one is bounded, not measured: without it a
/// fan of edges from one corner could cost the square of its corners.
constexpr Index most_measured = 512;

/// In steps, from the least coordinates of the zone.
struct Corner {
    std::int32_t x = 0, y = 0;
};
struct Vector {
    std::int64_t x = 0, y = 0;
};
Vector operator-(Corner a, Corner b) { return {std::int64_t{a.x} - b.x, std::int64_t{a.y} - b.y}; }
std::int64_t cross(Vector a, Vector b) { return a.x * b.y - a.y * b.x; }
std::int64_t dot(Vector a, Vector b) { return a.x * b.x + a.y * b.y; }

double length(Vector a) { return std::sqrt(static_cast<double>(dot(a, a))); }

/// Distance from a point to the segment a-b, in steps.
double distance(Corner point, Corner a, Corner b) {
    const Vector edge = b - a, from_a = point - a, from_b = point - b;
    if (dot(edge, from_a) <= 0) return length(from_a);
    if (dot(edge, from_b) >= 0) return length(from_b);
    return std::abs(static_cast<double>(cross(edge, from_a))) / length(edge);
}

/// Columns that a triangle covers between two rows, in steps; empty where it does not reach them.
struct Reach {
    double from = std::numeric_limits<double>::infinity(), to = -from;

    void add_edge(Corner a, Corner b, double top, double bottom) {
        if (a.y > b.y) std::swap(a, b);
        if (a.y > bottom || b.y < top) return;
        const auto x_at = [a, b](double y) {
            if (a.y == b.y) return static_cast<double>(a.x);
            return a.x + (y - a.y) / (static_cast<double>(b.y) - a.y) * (static_cast<double>(b.x) - a.x);
        };
        for (const double x : {a.y == b.y ? static_cast<double>(b.x) : x_at(std::min<double>(b.y, bottom)),
                               x_at(std::max<double>(a.y, top))}) {
            from = std::min(from, x);
            to = std::max(to, x);
        }
    }
};

/// All corners of a zone, found by place: those of a row stand together, sorted by column. Corners lie about
/// the lines between rows of cells, so that a row here is what is nearest to such a line.
class CornersByRow {
public:
    /// @param corners  must outlive this
    explicit CornersByRow(const std::vector<Corner>& corners) : corners_(corners) {
        std::int32_t last = 0;
        for (const Corner corner : corners) {
            last = std::max(last, row_of(corner.y));
        }
        first_of_row_.assign(static_cast<std::size_t>(last) + 2, 0);
        for (const Corner corner : corners) {
            ++first_of_row_[static_cast<std::size_t>(row_of(corner.y)) + 1];
        }
        for (std::size_t row = 1; row < first_of_row_.size(); ++row) {
            first_of_row_[row] += first_of_row_[row - 1];
        }
        order_.resize(corners.size());
        std::vector<Index> next(first_of_row_.begin(), first_of_row_.end() - 1);
        for (Index i = 0; i < corners.size(); ++i) {
            order_[next[static_cast<std::size_t>(row_of(corners[i].y))]++] = i;
        }
        for (std::size_t row = 0; row + 1 < first_of_row_.size(); ++row) {
            std::sort(
                order_.begin() + first_of_row_[row], order_.begin() + first_of_row_[row + 1],
                [&](Index a, Index b) { return std::pair(corners[a].x, a) < std::pair(corners[b].x, b); });
        }
        x_.reserve(order_.size());
        place_.resize(order_.size());
        for (const Index i : order_) {
            place_[i] = static_cast<Index>(x_.size());
            x_.push_back(corners[i].x);
        }
    }

    /// Whether `is_wanted` is true of some corner that may lie within so many steps of a triangle.
    /// @param triangle  of three of the corners
    template <class IsWanted>
    [[nodiscard]] bool any_near(const std::array<Index, 3>& triangle, double within,
                                IsWanted is_wanted) const {
        const Corner a = corners_[triangle[0]], b = corners_[triangle[1]], c = corners_[triangle[2]];
        const auto [top, bottom] = std::minmax({a.y, b.y, c.y});
        const auto last_row = static_cast<std::int64_t>(first_of_row_.size()) - 2;
        const auto margin = static_cast<std::int64_t>(std::ceil(within));
        const std::int64_t first = std::max<std::int64_t>(0, row_of(top - margin)),
                           last = std::min(last_row, row_of(bottom + margin));
        const auto [left, right] = std::minmax({a.x, b.x, c.x});
        Reach reach{static_cast<double>(left), static_cast<double>(right)};
        for (std::int64_t row = first; row <= last; ++row) {
            // Of few rows each may have corners all across the triangle.
            constexpr std::int64_t few_rows = 4;
            if (last - first >= few_rows) {
                const auto slab_top = static_cast<double>(row * steps_per_cell - half_cell_steps - margin),
                           slab_bottom = slab_top + static_cast<double>(steps_per_cell + 2 * margin);
                reach = {};
                reach.add_edge(a, b, slab_top, slab_bottom);
                reach.add_edge(b, c, slab_top, slab_bottom);
                reach.add_edge(c, a, slab_top, slab_bottom);
            }
            const double from = reach.from - within - 1, to = reach.to + within + 1; // 1: for rounding
            const Index begin = first_of_row_[static_cast<std::size_t>(row)],
                        end = first_of_row_[static_cast<std::size_t>(row) + 1];
            const Index middle = place_in(row, triangle, begin, end, from);
            for (Index at = middle; at < end && x_[at] <= to; ++at) {
                if (is_wanted(order_[at])) return true;
            }
            for (Index at = middle; at > begin && x_[at - 1] >= from; --at) {
                if (is_wanted(order_[at - 1])) return true;
            }
        }
        return false;
    }

private:
    template <class Y>
    static Y row_of(Y y) {
        y = static_cast<Y>(y + half_cell_steps);
        return static_cast<Y>(y >= 0 ? y / steps_per_cell : (y - steps_per_cell + 1) / steps_per_cell);
    }
    /// From where on to look at the corners of a row in both directions: from a corner of the triangle, most
    /// of which reach no farther than the rows of theirs, or else from the first one beyond `from`.
    [[nodiscard]] Index place_in(std::int64_t row, const std::array<Index, 3>& triangle, Index begin,
                                 Index end, double from) const {
        for (const Index corner : triangle) {
            if (row_of(corners_[corner].y) == row) return place_[corner];
        }
        return static_cast<Index>(std::lower_bound(x_.begin() + begin, x_.begin() + end, from) - x_.begin());
    }

    const std::vector<Corner>& corners_;
    std::vector<Index> first_of_row_, order_;
    std::vector<Index> place_;    ///< of each corner in that order
    std::vector<std::int32_t> x_; ///< in that order, so that a search touches nothing else
};

/// A corner that might be dropped, with twice the area that this would cost when it was looked at. The least
/// area comes first, of equals the first corner. Both are one number, which is compared in one step: floats
/// that are not negative are ordered as their bits are.
class Candidate {
public:
    /// @param doubled_area  not negative
    Candidate(float doubled_area, Index corner)
        : key_(std::uint64_t{std::bit_cast<std::uint32_t>(doubled_area)} << 32 | corner) {}
    [[nodiscard]] float doubled_area() const {
        return std::bit_cast<float>(static_cast<std::uint32_t>(key_ >> 32));
    }
    [[nodiscard]] Index corner() const { return static_cast<Index>(key_); }
    /// The greatest comes out of a heap first.
    friend bool operator<(Candidate a, Candidate b) { return a.key_ > b.key_; }

private:
    std::uint64_t key_;
};

class Smoother {
public:
    Smoother(Rings rings, GridPoint keep, const Smoothing& limits, GridPoint origin)
        : origin_(origin), keep_(corner_of(keep)), tolerance_(limits.tolerance * steps_per_cell),
          clearance_(limits.clearance * steps_per_cell), corners_(take(std::move(rings))), by_row_(corners_),
          gone_(corners_.size(), false) {}

    Rings smoothed() {
        Rings out;
        for (std::size_t ring = 0; ring + 1 < ring_begin_.size(); ++ring) {
            smooth_ring(ring_begin_[ring], ring_begin_[ring + 1]);
            out.push_back(what_is_left(ring_begin_[ring], ring_begin_[ring + 1]));
        }
        return out;
    }

private:
    [[nodiscard]] Corner corner_of(GridPoint point) const {
        return {static_cast<std::int32_t>(std::lround((point.x - origin_.x) * steps_per_cell)),
                static_cast<std::int32_t>(std::lround((point.y - origin_.y) * steps_per_cell))};
    }
    std::vector<Corner> take(Rings rings) {
        std::size_t count = 0;
        for (const auto& ring : rings) {
            count += ring.size() - 1;
        }
        std::vector<Corner> corners;
        corners.reserve(count);
        for (auto& ring : rings) {
            ring_begin_.push_back(static_cast<Index>(corners.size()));
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                corners.push_back(corner_of(ring[i]));
            }
            ring = {}; // an outline may be long
        }
        ring_begin_.push_back(static_cast<Index>(corners.size()));
        return corners;
    }

    void smooth_ring(Index begin, Index end) {
        begin_ = begin;
        left_ = end - begin;
        before_.resize(left_);
        after_.resize(left_);
        lost_.assign(left_, 0);
        std::vector<Candidate> first;
        for (Index i = begin; i < end; ++i) {
            before_[i - begin] = i == begin ? end - 1 : i - 1;
            after_[i - begin] = i + 1 == end ? begin : i + 1;
        }
        for (Index i = begin; i < end; ++i) {
            if (const auto area = doubled_area(i); area >= 0) first.emplace_back(area, i);
        }
        std::priority_queue<Candidate> queue({}, std::move(first));
        while (!queue.empty() && left_ > 3) {
            const Candidate candidate = queue.top();
            queue.pop();
            const Index i = candidate.corner();
            // Neighbours may have gone since: then it has been put in again.
            if (gone_[i] || doubled_area(i) != candidate.doubled_area() || !drop(i)) continue;
            for (const Index neighbour : {before(i), after(i)}) {
                if (const auto area = doubled_area(neighbour); area >= 0) queue.emplace(area, neighbour);
            }
        }
    }

    std::vector<GridPoint> what_is_left(Index begin, Index end) const {
        std::vector<GridPoint> ring;
        ring.reserve(left_ + 1);
        for (Index i = begin; i < end; ++i) {
            if (!gone_[i]) {
                ring.push_back(
                    {origin_.x + corners_[i].x * shape_step, origin_.y + corners_[i].y * shape_step});
            }
        }
        ring.push_back(ring.front());
        return ring;
    }

    [[nodiscard]] Index before(Index i) const { return before_[i - begin_]; }
    [[nodiscard]] Index after(Index i) const { return after_[i - begin_]; }
    /// Of the triangle of a corner and its neighbours; below zero where the zone is not convex.
    [[nodiscard]] float doubled_area(Index i) const {
        const Corner corner = corners_[i];
        return static_cast<float>(cross(corner - corners_[before(i)], corners_[after(i)] - corner));
    }

    /// Drops a corner if nothing speaks against it.
    bool drop(Index i) {
        const Index from = before(i), to = after(i);
        float& lost = lost_[from - begin_];
        const float lost_behind = lost_[i - begin_];
        if (doubled_area(i) == 0) { // straight on: nothing changes
            lost = std::max(lost, lost_behind);
        } else {
            if (too_sharp(corners_[before(from)], corners_[from], corners_[to]) ||
                too_sharp(corners_[from], corners_[to], corners_[after(to)])) {
                return false;
            }
            const double distance = greatest_distance(i, std::max(lost, lost_behind));
            if (distance > tolerance_ || anything_in_the_way(from, i, to)) return false;
            lost = narrow_up(distance);
        }
        after_[from - begin_] = to;
        before_[to - begin_] = from;
        gone_[i] = true;
        --left_;
        return true;
    }

    /// Whether the zone would have an angle of less than 45 degrees, or an edge would turn back on itself.
    static bool too_sharp(Corner a, Corner b, Corner c) {
        const Vector in = b - a, out = c - b;
        const std::int64_t turn = cross(in, out);
        return turn >= 0 && -dot(in, out) > turn;
    }

    /// Of the corners that the edge past `i` replaces from it, or no less than that; beyond the tolerance the
    /// first that is.
    [[nodiscard]] double greatest_distance(Index i, double lost_before) const {
        const Index from = before(i), to = after(i), size = static_cast<Index>(before_.size());
        double greatest = distance(corners_[i], corners_[from], corners_[to]);
        const Index behind = to > from ? to - from : to + size - from;
        if (behind > most_measured) return greatest + lost_before;
        for (Index k = 1; k < behind && greatest <= tolerance_; ++k) {
            const Index other = from + k < begin_ + size ? from + k : from + k - size;
            greatest = std::max(greatest, distance(corners_[other], corners_[from], corners_[to]));
        }
        return greatest;
    }

    [[nodiscard]] bool anything_in_the_way(Index from, Index i, Index to) const {
        const Corner a = corners_[from], b = corners_[i], c = corners_[to];
        const auto in_the_way = [&](Corner point) {
            const bool inside =
                cross(b - a, point - a) >= 0 && cross(c - b, point - b) >= 0 && cross(a - c, point - c) >= 0;
            return inside || distance(point, a, c) < clearance_;
        };
        if (in_the_way(keep_)) return true;
        return by_row_.any_near({from, i, to}, clearance_, [&](Index other) {
            return other != from && other != i && other != to && !gone_[other] && in_the_way(corners_[other]);
        });
    }

    GridPoint origin_;
    Corner keep_;
    double tolerance_, clearance_;
    std::vector<Index> ring_begin_; ///< and one more
    std::vector<Corner> corners_;
    CornersByRow by_row_;
    std::vector<bool> gone_;
    // Of the ring in hand, by how far from its first corner:
    Index begin_ = 0, left_ = 0;
    std::vector<Index> before_, after_;
    std::vector<float> lost_; ///< the greatest distance of what the edge from there on has replaced
};

} // namespace

Rings smoothed_inwards(Rings rings, GridPoint keep, const Smoothing& limits) {
    GridPoint least{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()},
        greatest{-least.x, -least.y};
    std::size_t corners = 0;
    for (const auto& ring : rings) {
        corners += ring.size();
        for (const GridPoint point : ring) {
            least = {std::min(least.x, point.x), std::min(least.y, point.y)};
            greatest = {std::max(greatest.x, point.x), std::max(greatest.y, point.y)};
        }
    }
    if (corners == 0 || corners >= std::numeric_limits<Index>::max() ||
        greatest.x - least.x > greatest_extent_cells || greatest.y - least.y > greatest_extent_cells) {
        return rings;
    }
    return Smoother(std::move(rings), keep, limits, least).smoothed();
}

} // namespace swingroom
