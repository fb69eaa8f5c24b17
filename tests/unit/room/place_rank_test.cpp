#include "swingroom/room/place_rank.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <vector>

namespace swingroom {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

TEST(BandAdmitted, IsTheShareFromTheShoalSideOn) {
    EXPECT_EQ(band_admitted(5, 10, none), 1) << "no limit";
    EXPECT_EQ(band_admitted(5, 10, 10), 1);
    EXPECT_EQ(band_admitted(5, 10, 7), 0.4);
    EXPECT_EQ(band_admitted(5, 10, 5), 0);
    EXPECT_EQ(band_admitted(5, 5, 5), 1) << "no band";
}

TEST(HardlyAdmits, AQuarterOfTheBandOrAMetre) {
    EXPECT_FALSE(hardly_admits(10, 20, none));
    EXPECT_TRUE(hardly_admits(10, 20, 12.4)) << "less than a quarter of 10 m";
    EXPECT_FALSE(hardly_admits(10, 20, 12.5));
    EXPECT_TRUE(hardly_admits(5, 8, 5.9)) << "more than a quarter, but less than a metre";
    EXPECT_FALSE(hardly_admits(5, 8, 6.1));
    EXPECT_TRUE(hardly_admits(5, 6, 5.4)) << "less than half of a narrow band";
    EXPECT_FALSE(hardly_admits(5, 6, 5.6));
}

PlaceMerits place(Verdict verdict, bool hardly, std::int64_t inner_dm, bool holding, double admitted,
                  double depth_m, int row, int col) {
    return {verdict, false, hardly, false, inner_dm, holding, admitted, depth_m, {col, row}};
}

PlaceMerits of_a_seam(PlaceMerits place) {
    place.of_seam = true;
    return place;
}

TEST(PlaceMerits, RankInTheOrderThatTheirCommentSays) {
    const std::vector<PlaceMerits> in_order = {
        place(Verdict::full, false, 900, false, 1, 9, 5, 5),
        place(Verdict::full, false, 20, true, 1, 4, 5, 6),
        place(Verdict::full, false, 20, true, 1, 4, 5, 7),
        place(Verdict::full, false, 20, true, 1, 4, 6, 1),
        place(Verdict::full, false, 20, true, 1, 5, 5, 8),
        place(Verdict::full, false, 20, false, 1, 3, 5, 9),
        place(Verdict::full, false, 19, true, 1, 3, 4, 9),
        place(Verdict::full_by_sounder, false, 50, false, 0.5, 8, 1, 1),
        place(Verdict::full_by_sounder, false, 30, false, 0.9, 8, 1, 2),
        place(Verdict::full_by_sounder, false, 30, false, 0.8, 2, 1, 3),
        place(Verdict::short_scope, false, 9000, true, 1, 2, 1, 5),
        place(Verdict::sinker, false, 9500, true, 1, 2, 1, 6),
        place(Verdict::sinker_by_sounder, false, 9700, true, 0.7, 2, 1, 7),
        of_a_seam(place(Verdict::full, false, 9, true, 1, 2, 1, 8)),
        of_a_seam(place(Verdict::full_by_sounder, false, 9, true, 1, 2, 1, 9)),
        place(Verdict::full_by_sounder, true, 9800, true, 0.2, 2, 1, 4),
        place(Verdict::short_by_sounder, true, 9900, true, 0.2, 2, 1, 4),
    };
    for (std::size_t i = 0; i < in_order.size(); ++i) {
        for (std::size_t k = 0; k < in_order.size(); ++k) {
            EXPECT_EQ(in_order[i] < in_order[k], i < k) << i << ' ' << k;
        }
    }
    EXPECT_EQ(inner_dm_of(12.39), 123);
}

TEST(PlaceMerits, NonethelessPutAPlaceOutOfReachBehindAllThatAreInReach) {
    PlaceMerits best_out_of_reach = place(Verdict::full, false, 9900, true, 1, 2, 1, 1);
    best_out_of_reach.out_of_reach = true;
    for (const Verdict verdict : verdicts_by_rank) {
        if (!is_yes(verdict)) continue;
        for (const bool hardly : {false, true}) {
            const PlaceMerits in_reach = place(verdict, hardly, 0, false, 0, 99, 9, 9);
            EXPECT_TRUE(in_reach < best_out_of_reach);
            EXPECT_FALSE(best_out_of_reach < in_reach);
            EXPECT_FALSE(in_reach.alike(best_out_of_reach));
        }
    }
    PlaceMerits worse = best_out_of_reach;
    worse.verdict = Verdict::sinker;
    EXPECT_TRUE(best_out_of_reach < worse) << "among themselves they rank as ever";
}

} // namespace
} // namespace swingroom
