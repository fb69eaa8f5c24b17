// The order in which reasons lead, written out once more: it is published in
// src/manual/reasons-and-advice.md.

#include "swingroom/room/why_not.hpp"

#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <optional>
#include <set>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using reason::of_way;
using reason::OfWay;

/// By the words of the contract: the reasons that forbid every way in the order of a skipper, then those of
/// the least demanding way for which the tackle is there.
std::optional<WhyNot> by_the_words(std::uint32_t reasons) {
    const std::vector<std::pair<std::uint32_t, WhyNot>> order = {
        {reason::unsurveyed, WhyNot::unsurveyed},
        {reason::too_shallow, WhyNot::too_shallow},
        {reason::drop_forbidden, WhyNot::drop_forbidden},
        {reason::hull_danger, WhyNot::hull_danger},
        {reason::ground_danger, WhyNot::ground_danger},
        {reason::recovery, WhyNot::recovery},
        {reason::windlass, WhyNot::windlass},
        {reason::seabed, WhyNot::seabed},
        {reason::holding, WhyNot::holding},
        {reason::steep, WhyNot::steep}};
    for (const auto& [bit, why] : order) {
        if (reasons & bit) return why;
    }
    const bool sinker = (reasons & of_way(Way::sinker, OfWay::unavailable)) == 0;
    const Way least = sinker ? Way::sinker : Way::short_scope;
    if (reasons & of_way(least, OfWay::rode)) return WhyNot::rode;
    if (reasons & of_way(least, OfWay::hull_room)) return WhyNot::hull_room;
    if (reasons & of_way(least, OfWay::ground_room)) return WhyNot::ground_room;
    return std::nullopt;
}

TEST(WhyNot, OfSeveralReasonsLeadsTheOneThatASkipperActsOnFirst) {
    EXPECT_EQ(leading_reason(0), std::nullopt);
    EXPECT_EQ(leading_reason(of_way(Way::full, OfWay::hull_room)), std::nullopt) << "short scope will do";
    EXPECT_EQ(leading_reason(reason::hull_danger | reason::too_shallow), WhyNot::too_shallow);
    EXPECT_EQ(leading_reason(reason::hull_danger | reason::drop_forbidden), WhyNot::drop_forbidden);
    EXPECT_EQ(leading_reason(of_way(Way::full, OfWay::rode) | of_way(Way::short_scope, OfWay::hull_room) |
                             of_way(Way::sinker, OfWay::unavailable)),
              WhyNot::hull_room);
    EXPECT_EQ(leading_reason(of_way(Way::full, OfWay::rode) | of_way(Way::short_scope, OfWay::rode) |
                             of_way(Way::sinker, OfWay::hull_room) | of_way(Way::sinker, OfWay::ground_room)),
              WhyNot::hull_room);
    testing_support::Dice dice(7);
    for (int trial = 0; trial < 20000; ++trial) {
        // Few bits, so that the later ones have their turn, and sometimes none that forbids every way.
        std::uint32_t reasons = 0;
        for (int bit = 0; bit < 24; ++bit) {
            if (dice.chance(0.12)) reasons |= 1U << bit;
        }
        if (trial % 2 == 0) reasons &= ~((1U << reason::first_way_bit) - 1);
        reasons &= ~(3U << 10);                               // free
        for (const Way way : {Way::full, Way::short_scope}) { // which need nothing that may not be aboard
            reasons &= ~of_way(way, OfWay::unavailable);
        }
        ASSERT_EQ(leading_reason(reasons), by_the_words(reasons)) << reasons;
        const std::uint32_t common = reasons & ((1U << reason::first_way_bit) - 1);
        if (common != 0) {
            ASSERT_EQ(leading_reason_of_all_ways(common), by_the_words(common)) << reasons;
        }
    }
}

TEST(WhyNot, EachHasANameAndWordsOfItsOwn) {
    std::set<std::string_view> names, words;
    for (const WhyNotName& name : why_not_names) {
        EXPECT_FALSE(name.name.empty());
        EXPECT_TRUE(std::all_of(name.name.begin(), name.name.end(), [](char c) {
            return (c >= 'a' && c <= 'z') || c == '_';
        })) << name.name;
        names.insert(name.name);
        words.insert(name.words);
    }
    EXPECT_EQ(names.size(), why_not_count);
    EXPECT_EQ(words.size(), why_not_count);
    EXPECT_EQ(name_of(WhyNot::unsurveyed).name, "unsurveyed");
    EXPECT_EQ(name_of(WhyNot::too_shallow).name, "too_shallow");
    EXPECT_EQ(name_of(WhyNot::ground_room).name, "ground_room");
}

} // namespace
} // namespace swingroom
