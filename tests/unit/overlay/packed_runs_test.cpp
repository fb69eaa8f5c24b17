// Runs that wait for their neighbours come back as they were.

#include "overlay/packed_runs.hpp"
#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <tuple>
#include <vector>

namespace swingroom {
namespace {

using testing_support::Dice;

/// All members: one that is added does not compile until it is compared here.
auto members_of(const Run& run) {
    const auto& [begin, end, verdict, figures, out_of_reach] = run;
    const auto& [low_min, low_max, deep_max, sounder, rode_min, rode_max, radius_min, radius_max, limits,
                 spare, level, access, advice, seabeds, ways, plain_ways, hardly] = figures;
    return std::tuple(begin, end, verdict, out_of_reach, low_min, low_max, deep_max, sounder, rode_min,
                      rode_max, radius_min, radius_max, limits, spare, level, access, advice, seabeds, ways,
                      plain_ways, hardly);
}

/// Mostly the figures of the run before, as of zones with many rows.
Run random_run(Dice& dice, int begin, const ZoneFigures& before) {
    Run run{begin, begin + 1 + dice.whole(0, dice.chance(0.1) ? 100'000 : 20), Verdict::full, before,
            dice.chance(0.1)};
    if (dice.chance(0.3)) run.verdict = Verdict::short_scope;
    ZoneFigures& figures = run.figures;
    if (dice.chance(0.3)) figures.depth_low_min_m = static_cast<float>(dice.between(-3, 30));
    if (dice.chance(0.3)) figures.spare_max_m = static_cast<float>(dice.between(0, 500));
    if (dice.chance(0.2)) figures.wind_limit_min_kn[1] = std::floor(static_cast<float>(dice.between(0, 99)));
    if (dice.chance(0.1)) figures.access_level_max_m = std::numeric_limits<float>::infinity();
    if (dice.chance(0.1)) figures.advice = static_cast<std::uint16_t>(dice.whole(0, 65'535));
    if (dice.chance(0.1)) figures.seabeds = static_cast<std::uint16_t>(dice.whole(0, 65'535));
    if (dice.chance(0.1)) figures.ways = static_cast<std::uint8_t>(dice.whole(0, 7));
    if (dice.chance(0.1)) figures.hardly_admitted = dice.chance(0.5);
    return run;
}

TEST(PackedRuns, ComeBackRowByRowAsTheyWere) {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        SCOPED_TRACE(seed);
        Dice dice(seed);
        BlockRuns runs(static_cast<std::size_t>(dice.whole(0, 12)));
        ZoneFigures before;
        for (std::vector<swingroom::Run>& row : runs) {
            int begin = dice.whole(0, 100'000);
            for (int count = dice.whole(0, 5); count > 0; --count) {
                row.push_back(random_run(dice, begin, before));
                before = row.back().figures;
                begin = row.back().end + dice.whole(0, 2);
            }
        }
        PackedRuns packed(runs);
        ASSERT_EQ(packed.rows(), runs.size());
        const swingroom::Run another{1, 2, Verdict::full, {}, false};
        for (const std::vector<swingroom::Run>& row : runs) {
            std::vector<swingroom::Run> found{another}; // stays: rows of several blocks are put together
            packed.take_row(found);
            ASSERT_EQ(found.size(), row.size() + 1);
            EXPECT_EQ(members_of(found.front()), members_of(another));
            for (std::size_t i = 0; i < row.size(); ++i) {
                ASSERT_EQ(members_of(found[i + 1]), members_of(row[i])) << i;
            }
        }
    }
}

} // namespace
} // namespace swingroom
