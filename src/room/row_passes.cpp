#include "room/row_passes.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <numeric>

namespace swingroom {
namespace {

/// Neighbours in a row that are looked at together: most are alike.
constexpr int neighbours = 16;

/// Whether the places from one on are those of neighbours.
bool are_neighbours(const std::vector<int>& places, std::size_t next) {
    return next + neighbours <= places.size() &&
           places[next + neighbours - 1] == places[next] + neighbours - 1;
}

/// How many marks are 1 before the first that is not.
int count_leading(const std::array<std::uint8_t, neighbours>& marks) {
    constexpr std::uint64_t all_marked = 0x0101010101010101U;
    for (std::size_t first = 0; first < marks.size(); first += sizeof all_marked) {
        std::uint64_t word = 0;
        std::memcpy(&word, marks.data() + first, sizeof word);
        if (word == all_marked) continue;
        const auto from = marks.begin() + static_cast<std::ptrdiff_t>(first);
        return static_cast<int>(std::find(from, marks.end(), std::uint8_t{0}) - marks.begin());
    }
    return neighbours;
}

// Each of the following loops is for wide vectors, which compilers do not find where they have unrolled it.

/// How many neighbours, from the first on, the rode is for.
[[gnu::always_inline]] inline int count_served(const SameRode& rode, const float* deep_m) {
    std::array<std::uint8_t, neighbours> served;
#pragma GCC unroll 1
    for (std::size_t i = 0; i < neighbours; ++i) {
        served[i] = static_cast<std::uint8_t>(rode.serves(double{deep_m[i]}));
    }
    return count_leading(served);
}

/// 1 where both rooms are enough, else 0.
[[gnu::always_inline]] inline std::uint8_t fits_room(float hull_room_m, float radius_m, float ground_room_m,
                                                     float ground_m) {
    return static_cast<std::uint8_t>(static_cast<int>(hull_room_m >= radius_m) &
                                     static_cast<int>(ground_room_m >= ground_m));
}

/// look_up() of the first few neighbours, which take the same rode. All are looked at, and marks of the
/// others left behind, which mean nothing: that takes less time than to look at fewer.
[[gnu::always_inline]] inline void look_up_neighbours(const SameRode& rode, const RowFacts& row, int first,
                                                      int count, WayNeeds* __restrict needs,
                                                      std::uint8_t* __restrict fits) {
    const float* const shoal_m = row.shoal_m + first;
    std::array<float, neighbours> radius_m, ground_m;
    std::array<std::uint32_t, neighbours> steps;
#pragma GCC unroll 1
    for (std::size_t i = 0; i < neighbours; ++i) {
        ground_m[i] = rode.ground_m(double{shoal_m[i]});
    }
#pragma GCC unroll 1
    for (std::size_t i = 0; i < neighbours; ++i) {
        steps[i] = rode.radius_steps(double{shoal_m[i]});
    }
#pragma GCC unroll 1
    for (std::size_t i = 0; i < neighbours; ++i) {
        radius_m[i] = rode.radius_m(steps[i]);
    }
    const float* const hull_room_m = row.hull_room_m + first;
    const float* const ground_room_m = row.ground_room_m + first;
#pragma GCC unroll 1
    for (std::size_t i = 0; i < neighbours; ++i) {
        fits[i] = fits_room(hull_room_m[i], radius_m[i], ground_room_m[i], ground_m[i]);
    }
#pragma GCC unroll 1
    for (int i = 0; i < count; ++i) {
        const auto at = static_cast<std::size_t>(i);
        needs[i] = rode.needs(radius_m[at], ground_m[at]);
    }
}

} // namespace

SWINGROOM_VECTORISED int mark_row(const RowFacts& row, float afloat_m, float least_room_m,
                                  Verdict* __restrict verdict, std::uint8_t* __restrict afloat,
                                  std::uint8_t* __restrict roomy) {
    const float *const shoal_m = row.shoal_m, *const deep_m = row.deep_m, *const room_m = row.hull_room_m;
    const int cells = row.cells;
    int count = 0;
    for (int i = 0; i < cells; ++i) {
        const int surveyed = shoal_m[i] <= deep_m[i] ? 1 : 0; // not so where a side is NaN
        const int floats = surveyed & (shoal_m[i] >= afloat_m ? 1 : 0);
        verdict[i] = static_cast<Verdict>(surveyed);
        afloat[i] = static_cast<std::uint8_t>(floats);
        roomy[i] = static_cast<std::uint8_t>(floats & (room_m[i] >= least_room_m ? 1 : 0));
        count += surveyed;
    }
    return count;
}
static_assert(static_cast<int>(Verdict::unsurveyed) == 0 && static_cast<int>(Verdict::no) == 1);

SWINGROOM_VECTORISED void unmark_forbidden(const RowFacts& row, std::uint32_t grounds,
                                           std::uint8_t* __restrict marks) {
    constexpr Effects forbidding = effect::hull | effect::ground | effect::drop;
    const Effects* const effects = row.effects;
    const Seabed* const seabed = row.seabed;
    const int cells = row.cells;
    for (int i = 0; i < cells; ++i) {
        const std::uint32_t by_ground = grounds >> static_cast<std::uint32_t>(seabed[i]) & 1U,
                            by_danger = (effects[i] & forbidding) != 0 ? 1 : 0;
        marks[i] = static_cast<std::uint8_t>(marks[i] & ~(by_ground | by_danger));
    }
}

void find_places(const std::vector<std::uint8_t>& marks, std::vector<int>& places) {
    constexpr std::size_t at_once = 256, word_cells = sizeof(std::uint64_t);
    constexpr std::uint64_t all_marked = 0x0101010101010101U;
    std::array<int, at_once> found;
    places.clear();
    for (std::size_t first = 0; first < marks.size(); first += at_once) {
        const std::size_t end = std::min(first + at_once, marks.size());
        std::size_t count = 0;
        for (std::size_t i = first; i < end; i += word_cells) {
            const std::size_t cells = std::min(word_cells, end - i);
            std::uint64_t word = 0;
            std::memcpy(&word, &marks[i], cells);
            if (word == all_marked) {
                std::iota(&found[count], &found[count] + word_cells, static_cast<int>(i));
                count += word_cells;
            } else if (word != 0) {
                for (std::size_t k = i; k < i + cells; ++k) {
                    found[count] = static_cast<int>(k);
                    count += marks[k];
                }
            }
        }
        places.insert(places.end(), found.begin(), found.begin() + static_cast<std::ptrdiff_t>(count));
    }
}

// No product is added to anything here, so that instructions which do both in one rounding change nothing.
SWINGROOM_VECTORISED void look_up(const TackleTables& tables, Way way, const RowFacts& row,
                                  const std::vector<int>& places, WayNeeds out_of_reach,
                                  WayNeeds* __restrict needs, std::uint8_t* __restrict fits) {
    const float *const shoal_m = row.shoal_m, *const deep_m = row.deep_m;
    for (std::size_t next = 0; next < places.size();) {
        const int first = places[next];
        if (!tables.has_rode(way, double{deep_m[first]})) {
            needs[first] = out_of_reach;
            fits[first] = 0;
            ++next;
            continue;
        }
        const SameRode rode = tables.rode_for(way, double{deep_m[first]});
        // The first one is served by its own rode, whatever the rounding of its limits.
        int count = 1;
        if (are_neighbours(places, next)) {
            count = std::max(count, count_served(rode, deep_m + first));
            look_up_neighbours(rode, row, first, count, needs + first, fits + first);
        } else {
            needs[first] = rode.needs(double{shoal_m[first]});
            fits[first] = fits_room(row.hull_room_m[first], needs[first].radius_m, row.ground_room_m[first],
                                    needs[first].ground_m);
        }
        next += static_cast<std::size_t>(count);
    }
}

void settle(Verdict yes, const std::uint8_t* fits, Verdict* verdicts, std::vector<int>& open) {
    std::size_t left = 0;
    for (std::size_t next = 0; next < open.size();) {
        const int first = open[next], count = are_neighbours(open, next) ? neighbours : 1;
        const int fitting = std::accumulate(fits + first, fits + first + count, 0);
        if (fitting == count) {
            std::fill_n(verdicts + first, count, yes);
            next += static_cast<std::size_t>(count);
            continue;
        }
        for (const std::size_t end = next + static_cast<std::size_t>(count); next < end; ++next) {
            const int i = open[next];
            verdicts[i] = fits[i] != 0 ? yes : verdicts[i];
            open[left] = i;
            left += static_cast<std::size_t>(1 - fits[i]);
        }
    }
    open.resize(left);
}

SWINGROOM_VECTORISED void mark_yes(const Verdict* __restrict verdicts, int cells,
                                   std::uint8_t* __restrict marks) {
    for (int i = 0; i < cells; ++i) {
        marks[i] = is_yes(verdicts[i]) ? 1 : 0;
    }
}

} // namespace swingroom
