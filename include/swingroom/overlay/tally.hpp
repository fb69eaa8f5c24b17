#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/room/why_not.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace swingroom {

/// So many cells, and the ground that they cover by the lower bounds of their size.
struct Covered {
    std::int64_t cells = 0; ///< how many
    /// Square metres. Sums over parts of one run are exact, in whatever order they are made.
    double area_m2 = 0;
    /// Puts more of the same to it.
    Covered& operator+=(const Covered& more) {
        cells += more.cells;
        area_m2 += more.area_m2;
        return *this;
    }
};

/// A no that comes as near to being a yes as any of its leading reason, by what is at hand when it is
/// counted.
struct NearMiss {
    /// The greater the nearer; it compares cells of one leading reason, and means nothing else.
    double nearness = -std::numeric_limits<double>::infinity();
    int col = -1, row = -1; ///< the cell, counted from the raster's first; -1: none
    /// Whether there is one.
    [[nodiscard]] bool any() const { return col >= 0; }
    /// A total order, so that the choice depends on no order of blocks.
    void take(const NearMiss& other) {
        if (!other.any()) return;
        if (any()) {
            if (other.nearness < nearness) return;
            const bool before = other.row != row ? other.row < row : other.col < col;
            if (other.nearness == nearness && !before) return;
        }
        *this = other;
    }
};

/// The noes of a leading reason that come nearest to being a yes, one for each of a few parts of the window:
/// near by what is at hand is a guess, so that there is another where it proves wrong.
class NearMisses {
public:
    /// @param window  of the run
    void take(const NearMiss& miss, Window window) {
        const auto part = [](std::int64_t at, int from, int of) { return (at - from) * parts_a_side / of; };
        const std::int64_t down = part(miss.row, window.row, window.rows),
                           across = part(miss.col, window.col, window.cols);
        by_part_[static_cast<std::size_t>(down * parts_a_side + across)].take(miss);
    }
    /// The first column that is in another part of the window than this one.
    static int end_of_part(int col, Window window) {
        const std::int64_t part = std::int64_t{col - window.col} * parts_a_side / window.cols + 1;
        return window.col + static_cast<int>((part * window.cols + parts_a_side - 1) / parts_a_side);
    }
    /// Those of another part of the run's cells.
    void add(const NearMisses& more) {
        for (std::size_t i = 0; i < by_part_.size(); ++i) {
            by_part_[i].take(more.by_part_[i]);
        }
    }
    /// All that there are, the nearest first.
    [[nodiscard]] std::vector<NearMiss> by_nearness() const;

private:
    static constexpr int parts_a_side = 4;
    std::array<NearMiss, parts_a_side * parts_a_side> by_part_{};
};

/// What is counted of a run's answers: the same for any size of blocks and any number of threads.
struct Tally {
    std::array<Covered, verdict_phrases.size()> by_verdict{}; ///< by Verdict, as it is told()
    /// Of the cells that are a no, by their leading reason, and of those out of reach; together they are all
    /// of these. Those without a depth are no no, and are not among them.
    std::array<Covered, why_not_count> no_by_reason{};
    /// By leading reason, where a report is wanted.
    std::array<NearMisses, why_not_count> near_misses{};

    /// Of a verdict, and of the noes with a leading reason.
    [[nodiscard]] const Covered& of(Verdict verdict) const {
        return by_verdict[static_cast<std::size_t>(verdict)];
    }
    [[nodiscard]] const Covered& of(WhyNot why) const { return no_by_reason[static_cast<std::size_t>(why)]; }
    /// All that have a depth; of these all that are a yes to which a way leads, or may.
    [[nodiscard]] Covered surveyed() const;
    [[nodiscard]] Covered yes() const;
    /// Adds what was counted elsewhere.
    void add(const Tally& more);
};

} // namespace swingroom
