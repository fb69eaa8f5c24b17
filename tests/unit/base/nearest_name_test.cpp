#include "base/nearest_name.hpp"

#include <gtest/gtest.h>

#include <array>

namespace swingroom {
namespace {

TEST(EditDistance, CountsLettersChangedAddedOrLeftOut) {
    EXPECT_EQ(edit_distance("", ""), 0U);
    EXPECT_EQ(edit_distance("", "abc"), 3U);
    EXPECT_EQ(edit_distance("draft", "draught"), 3U);
    EXPECT_EQ(edit_distance("wind", "winds"), 1U);
    EXPECT_EQ(edit_distance("low_water", "low-water"), 0U);
    EXPECT_EQ(edit_distance("wnid", "wind"), 1U);
    EXPECT_EQ(edit_distance("ca", "abc"), 3U); // no letter is swapped and changed again
}

TEST(NearestName, IsNoneWhereNothingIsNear) {
    constexpr std::array<std::string_view, 3> names = {"low-water", "high-water", "wind"};
    EXPECT_EQ(nearest_name("low_watre", names), "low-water");
    EXPECT_EQ(nearest_name("wnd", names), "wind");
    EXPECT_EQ(nearest_name("tender", names), "");
    EXPECT_EQ(nearest_name("wind", {}), "");
    // Two letters of three or four make another word.
    EXPECT_EQ(nearest_name("pdf", std::array<std::string_view, 2>{"tif", "kml"}), "");
    EXPECT_EQ(nearest_name("tcsh", std::array<std::string_view, 2>{"bash", "zsh"}), "");
}

TEST(NearestName, IsTheOneThatWasCutShort) {
    constexpr std::array<std::string_view, 3> names = {"out", "quiet", "zone-margin"};
    EXPECT_EQ(nearest_name("qui", names), "quiet");
    EXPECT_EQ(nearest_name("zone", names), "zone-margin");
    EXPECT_EQ(nearest_name("", names), "");
}

} // namespace
} // namespace swingroom
