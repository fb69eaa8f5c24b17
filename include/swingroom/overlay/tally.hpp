#pragma once

#include "swingroom/room/verdict.hpp"
#include "swingroom/room/why_not.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>

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

/// What is counted of a run's answers: the same for any size of blocks and any number of threads.
struct Tally {
    std::array<Covered, verdict_phrases.size()> by_verdict{}; ///< by Verdict
    /// Of the cells that are a no, by their leading reason; together they are all of these. Those without a
    /// depth are no no, and are not among them.
    std::array<Covered, why_not_count> no_by_reason{};
    /// One for each leading reason, where a report is wanted.
    std::array<NearMiss, why_not_count> near_misses{};

    /// Of a verdict, and of the noes with a leading reason.
    [[nodiscard]] const Covered& of(Verdict verdict) const {
        return by_verdict[static_cast<std::size_t>(verdict)];
    }
    [[nodiscard]] const Covered& of(WhyNot why) const { return no_by_reason[static_cast<std::size_t>(why)]; }
    /// All that have a depth; of these all that are a yes.
    [[nodiscard]] Covered surveyed() const;
    [[nodiscard]] Covered yes() const;
    /// Adds what was counted elsewhere.
    void add(const Tally& more);
};

} // namespace swingroom
