// How a run says why its area is no yes: shares that add up, and name what they are of.

#include "swingroom/report/why_not.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstddef>
#include <cstdint>
#include <limits>
#include <random>
#include <vector>

namespace swingroom {
namespace {

Covered covered(std::int64_t cells) { return {cells, 4.0 * static_cast<double>(cells)}; }

Tally random_tally(std::uint64_t seed) {
    std::mt19937_64 dice(seed);
    Tally tally;
    for (std::size_t i = 1; i < why_not_count; ++i) {
        if (dice() % 3 == 0) continue;
        tally.no_by_reason[i] = covered(static_cast<std::int64_t>(dice() % (dice() % 2 == 0 ? 9 : 90000)));
        const Verdict told =
            static_cast<WhyNot>(i) == WhyNot::out_of_reach ? Verdict::out_of_reach : Verdict::no;
        tally.by_verdict[static_cast<std::size_t>(told)] += tally.no_by_reason[i];
    }
    tally.by_verdict[static_cast<std::size_t>(Verdict::full)] =
        covered(static_cast<std::int64_t>(dice() % 3 == 0 ? 0 : dice() % 50000));
    tally.by_verdict[static_cast<std::size_t>(Verdict::unsurveyed)] = covered(5000);
    return tally;
}

TEST(WhyNotShares, AddUpToTheSurveyedAreaWithinATenthOfAPercentEach) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        const Tally tally = random_tally(seed);
        const std::vector<AnswerShare> shares = answer_shares(tally);
        if (shares.empty()) continue;
        int sum = 0;
        double last_m2 = std::numeric_limits<double>::infinity();
        for (const AnswerShare& share : shares) {
            sum += share.tenths;
            const double exact = 1000 * share.covered.area_m2 / tally.surveyed().area_m2;
            EXPECT_NEAR(share.tenths, exact, 1);
            EXPECT_GT(share.covered.cells, 0);
            if (!share.why) continue;
            EXPECT_LE(share.covered.area_m2, last_m2) << "the largest first";
            last_m2 = share.covered.area_m2;
        }
        EXPECT_EQ(sum, 1000);
    }
}

TEST(WhyNotShares, AreSaidInWords) {
    Tally tally;
    EXPECT_EQ(why_not_text(tally), "") << "nothing is surveyed";
    tally.no_by_reason[static_cast<std::size_t>(WhyNot::rode)] = covered(9000);
    tally.no_by_reason[static_cast<std::size_t>(WhyNot::hull_room)] = covered(999);
    tally.by_verdict[static_cast<std::size_t>(Verdict::no)] = covered(9999);
    EXPECT_EQ(why_not_text(tally),
              "of the surveyed area nothing is a yes; why the rest is not: too little rode "
              "aboard 90.0 %, too little room to swing 10.0 %");
    tally.by_verdict[static_cast<std::size_t>(Verdict::sinker)] = covered(1);
    EXPECT_THAT(why_not_text(tally), testing::HasSubstr("of the surveyed area under 0.1 % is a yes; "));
}

TEST(WhyNotShares, SayThatAllIsOutOfReach) {
    Tally tally;
    tally.by_verdict[static_cast<std::size_t>(Verdict::no)] =
        tally.no_by_reason[static_cast<std::size_t>(WhyNot::rode)] = covered(3000);
    tally.by_verdict[static_cast<std::size_t>(Verdict::out_of_reach)] =
        tally.no_by_reason[static_cast<std::size_t>(WhyNot::out_of_reach)] = covered(1000);
    EXPECT_EQ(tally.yes().cells, 0);
    EXPECT_EQ(tally.surveyed().cells, 4000);
    EXPECT_EQ(why_not_text(tally),
              "of the surveyed area nothing is a yes that a way leads to; why the rest is not: too little "
              "rode aboard 75.0 %, no way in during the stay 25.0 %");
    tally.by_verdict[static_cast<std::size_t>(Verdict::full)] = covered(1);
    EXPECT_THAT(why_not_text(tally), testing::HasSubstr(" is a yes; "));
}

} // namespace
} // namespace swingroom
