#include "swingroom/room/verdict.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <set>
#include <string>

namespace swingroom {
namespace {

TEST(Verdict, AGreaterNumberIsABetterAnswer) {
    // The numbers are those of the verdict layer: they are published.
    EXPECT_EQ(static_cast<int>(Verdict::unsurveyed), 0);
    EXPECT_EQ(static_cast<int>(Verdict::no), 1);
    EXPECT_EQ(static_cast<int>(Verdict::sinker), 2);
    EXPECT_EQ(static_cast<int>(Verdict::short_scope), 3);
    EXPECT_EQ(static_cast<int>(Verdict::full), 4);
    EXPECT_EQ(static_cast<int>(Verdict::sinker_by_sounder), 5);
    EXPECT_EQ(static_cast<int>(Verdict::short_by_sounder), 6);
    EXPECT_EQ(static_cast<int>(Verdict::full_by_sounder), 7);
    EXPECT_EQ(static_cast<int>(Verdict::out_of_reach), 8);
    EXPECT_FALSE(is_yes(Verdict::out_of_reach)) << "the one that is greater and yet no better";
    EXPECT_FALSE(is_yes(Verdict::unsurveyed));
    EXPECT_FALSE(is_yes(Verdict::no));
}

TEST(Verdict, EachWayHasItsYes) {
    for (const Way way : all_ways) {
        EXPECT_TRUE(is_yes(yes_to(way)));
        EXPECT_EQ(way_of(yes_to(way)), way);
        EXPECT_NE(phrase(yes_to(way)).find(phrase(way)), std::string_view::npos);
    }
    EXPECT_GT(yes_to(Way::full), yes_to(Way::short_scope)) << "the way that asks for most is the best answer";
    EXPECT_GT(yes_to(Way::short_scope), yes_to(Way::sinker));
}

TEST(Verdict, OfTwoCellsWhatHoldsInBothIsSaid) {
    // Not the lesser number: short scope alone is no answer where the sounder has to be read, and full scope
    // by the sounder none where only short scope is to be had.
    EXPECT_EQ(worse(Verdict::full, Verdict::short_scope), Verdict::short_scope);
    EXPECT_EQ(worse(Verdict::short_scope, Verdict::full_by_sounder), Verdict::short_by_sounder);
    EXPECT_EQ(worse(Verdict::full_by_sounder, Verdict::sinker), Verdict::sinker_by_sounder);
    for (const Verdict yes : verdicts_by_rank) {
        EXPECT_EQ(worse(yes, Verdict::unsurveyed), Verdict::unsurveyed);
        EXPECT_EQ(worse(yes, yes), yes);
        if (yes != Verdict::unsurveyed) {
            EXPECT_EQ(worse(yes, Verdict::no), Verdict::no);
        }
        for (const Verdict other : verdicts_by_rank) {
            const Verdict both = worse(yes, other);
            EXPECT_EQ(both, worse(other, yes));
            if (!is_yes(both)) continue;
            EXPECT_GE(way_of(both), way_of(yes));
            EXPECT_GE(is_by_sounder(both), is_by_sounder(yes));
        }
    }
}

// Overviews take cells in any grouping, so that the worst of them must not depend on it.
TEST(Verdict, OfManyCellsTheWorstIsTheSameInAnyGrouping) {
    for (const Verdict a : verdicts_by_rank) {
        EXPECT_EQ(worse(a, Verdict::full), a) << "none is better";
        for (const Verdict b : verdicts_by_rank) {
            EXPECT_GE(rank_of(worse(a, b)), std::max(rank_of(a), rank_of(b)));
            for (const Verdict c : verdicts_by_rank) {
                EXPECT_EQ(worse(worse(a, b), c), worse(a, worse(b, c)));
            }
        }
    }
    for (const Verdict any : verdicts_by_rank) {
        EXPECT_EQ(worse(any, Verdict::out_of_reach),
                  rank_of(any) > rank_of(Verdict::out_of_reach) ? any : Verdict::out_of_reach);
    }
}

TEST(Verdict, OutOfReachIsToldInThePlaceOfAnyYesAndOfNothingElse) {
    constexpr std::uint16_t all_others = 0xffff & ~advice::out_of_reach;
    for (const Verdict judged : verdicts_by_rank) {
        EXPECT_EQ(told(judged, all_others), judged);
        EXPECT_EQ(told(judged, advice::out_of_reach), is_yes(judged) ? Verdict::out_of_reach : judged);
        const std::string words = verdict_words(judged, advice::out_of_reach | advice::unknown_holding);
        EXPECT_EQ(words.find(no_way_in) != std::string::npos, is_yes(judged)) << words;
    }
    EXPECT_EQ(verdict_words(Verdict::full, advice::out_of_reach | advice::unknown_holding),
              "no way in during the stay; else yes, at full scope; holding not known");
    EXPECT_FALSE(phrase(Verdict::out_of_reach).starts_with("yes"));
}

TEST(Verdict, ThoseByRankAreAllOfThem) {
    for (std::size_t i = 0; i < verdicts_by_rank.size(); ++i) {
        EXPECT_EQ(rank_of(verdicts_by_rank[i]), static_cast<int>(i));
    }
}

TEST(Verdict, WithAConditionEachWayHasAYesToo) {
    for (const Way way : all_ways) {
        EXPECT_EQ(way_of(yes_to(way, true)), way);
        EXPECT_TRUE(is_by_sounder(yes_to(way, true)));
        EXPECT_FALSE(is_by_sounder(yes_to(way)));
        EXPECT_NE(phrase(yes_to(way, true)).find("by the sounder"), std::string_view::npos);
    }
}

template <class Names>
void expect_ordered_single_bits(const Names& names) {
    std::set<std::string_view> seen;
    std::uint32_t before = 0;
    for (const BitName& name : names) {
        EXPECT_EQ(std::popcount(name.bit), 1) << name.name;
        EXPECT_GT(name.bit, before) << name.name << " is out of order";
        before = name.bit;
        EXPECT_FALSE(name.name.empty());
        EXPECT_FALSE(name.sentence.empty());
        EXPECT_NE(name.sentence.back(), '.') << "figures follow it";
        EXPECT_TRUE(seen.insert(name.name).second) << name.name << " is twice";
        EXPECT_TRUE(seen.insert(name.sentence).second) << name.sentence << " is twice";
    }
}

TEST(Verdict, AYesSaysThatNobodyHasCheckedTheHolding) {
    const auto unknown = static_cast<std::uint16_t>(advice::unknown_holding | advice::steep);
    EXPECT_EQ(verdict_words(Verdict::full, unknown), "yes, at full scope; holding not known");
    EXPECT_EQ(verdict_words(Verdict::full, advice::steep), "yes, at full scope");
    EXPECT_EQ(verdict_words(Verdict::no, unknown), "no") << "nobody lies there";
    for (const Verdict verdict : verdicts_by_rank) {
        EXPECT_EQ(says_holding_not_known(verdict_words(verdict, unknown)), is_yes(verdict));
        EXPECT_FALSE(says_holding_not_known(verdict_words(verdict, 0)));
    }
}

TEST(ReasonNames, AreOnePerBitInOrder) {
    expect_ordered_single_bits(reason_names);
    std::uint32_t named = 0;
    for (const BitName& name : reason_names) {
        named |= name.bit;
    }
    std::uint32_t all = reason::unsurveyed | reason::too_shallow | reason::hull_danger |
                        reason::ground_danger | reason::drop_forbidden | reason::windlass | reason::recovery |
                        reason::steep | reason::seabed | reason::holding;
    EXPECT_LT(all, 1u << reason::first_way_bit) << "a common reason lies among those of the ways";
    for (const Way way : all_ways) {
        for (const auto what : {reason::OfWay::hull_room, reason::OfWay::ground_room, reason::OfWay::rode,
                                reason::OfWay::unavailable}) {
            const std::uint32_t bit = reason::of_way(way, what);
            EXPECT_EQ(all & bit, 0u) << "a bit means two things";
            all |= bit;
            const auto found = std::find_if(reason_names.begin(), reason_names.end(),
                                            [bit](const BitName& name) { return name.bit == bit; });
            ASSERT_NE(found, reason_names.end());
            EXPECT_TRUE(found->name.starts_with(name(way))) << found->name;
        }
    }
    EXPECT_EQ(named, all);
}

TEST(AdviceNames, AreOnePerBitInOrder) {
    expect_ordered_single_bits(advice_names);
    std::uint32_t named = 0;
    for (const BitName& name : advice_names) {
        named |= name.bit;
    }
    EXPECT_EQ(named, advice::trip_line | advice::poor_holding | advice::unknown_holding | advice::steep |
                         advice::coarse_data | advice::deep_recovery | advice::wind_above_limit |
                         advice::read_chart | advice::poor_survey | advice::uncharted | advice::sound_first |
                         advice::survey_and_chart_differ | advice::out_of_reach | advice::wait_for_water |
                         advice::way_unknown);
}

} // namespace
} // namespace swingroom
