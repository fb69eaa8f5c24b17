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
}

TEST(NearestName, IsNoneWhereNothingIsNear) {
    constexpr std::array<std::string_view, 3> names = {"low-water", "high-water", "wind"};
    EXPECT_EQ(nearest_name("low_watre", names), "low-water");
    EXPECT_EQ(nearest_name("wnd", names), "wind");
    EXPECT_EQ(nearest_name("tender", names), "");
    EXPECT_EQ(nearest_name("wind", {}), "");
}

} // namespace
} // namespace swingroom
