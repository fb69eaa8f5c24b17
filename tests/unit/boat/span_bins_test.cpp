#include "swingroom/boat/span_bins.hpp"

#include <gtest/gtest.h>

#include <cstdint>

namespace swingroom {
namespace {

TEST(BinGrading, PutsAsManyStepsIntoABinAsItsWidthSays) {
    constexpr BinGrading grading{20, 3};
    std::uint32_t bin = 0, steps = 0;
    for (std::uint32_t below = 0; below < 2000; ++below) {
        if (grading.bin(below) != bin) {
            ASSERT_EQ(grading.bin(below), bin + 1) << "no bin is left out";
            ASSERT_EQ(steps, grading.width(below - 1)) << below;
            ASSERT_EQ(grading.most_below(bin), below - 1);
            ++bin;
            steps = 0;
        }
        ++steps;
    }
    EXPECT_EQ(grading.bin(7), 7U) << "fine at first";
    EXPECT_EQ(grading.width(7), 1);
    EXPECT_EQ(grading.width(8), 2);
}

TEST(SpanBins, HoldEachSpanBetweenTheEdgesOfItsBin) {
    for (const BinGrading grading : {BinGrading{20, 7}, BinGrading{4, 2}}) {
        const SpanBins bins(3.1, 61.7, grading);
        std::uint32_t last = bins.count;
        for (double span_m = 3.1; span_m <= 61.7; span_m += 0.013) {
            const std::uint32_t bin = bins.bin_of(grading, span_m);
            ASSERT_LT(bin, bins.count);
            ASSERT_LE(bin, last) << "deeper spans come first";
            ASSERT_LE(bins.lower_edge_m(grading, bin), span_m);
            ASSERT_GT(bins.upper_edge_m(grading, bin), span_m);
            last = bin;
        }
        EXPECT_EQ(bins.bin_of(grading, 1000), 0U) << "what is beyond goes into the bins at the ends";
        EXPECT_EQ(bins.bin_of(grading, 0), bins.count - 1);
    }
}

} // namespace
} // namespace swingroom
