#include "swingroom/water/level_text.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

TEST(LevelText, SaysBelowInsteadOfAMinus) {
    EXPECT_EQ(level_above_datum_text(2.451, Rounded::down), "2.45 m above chart datum");
    EXPECT_EQ(level_above_datum_text(-0.061, Rounded::down), "0.07 m below chart datum");
    EXPECT_EQ(level_above_datum_text(-0.061, Rounded::up), "0.06 m below chart datum");
    EXPECT_EQ(level_above_datum_text(-0.004, Rounded::nearest), "0.00 m above chart datum");
    EXPECT_EQ(level_above_datum_text(-0.3048, Rounded::nearest, {LengthUnit::foot, {}}, 1),
              "1.0 ft below chart datum");
}

TEST(LevelText, ARangeIsRoundedOutwards) {
    EXPECT_EQ(between_levels_text({0.552, 2.448}), "between 0.55 and 2.45 m above chart datum");
    EXPECT_EQ(between_levels_text({-0.061, 2.448}), "between 0.07 m below and 2.45 m above chart datum");
    EXPECT_EQ(between_levels_text({-1.304, -0.304}), "between 1.31 and 0.30 m below chart datum");
    EXPECT_EQ(levels_text({0.314, 4.516}), "0.31 to 4.52 m above chart datum");
    EXPECT_EQ(levels_text({-0.064, 1.2}), "0.07 m below to 1.20 m above chart datum");
    EXPECT_EQ(levels_text({-0.5, -0.128}), "0.50 to 0.12 m below chart datum");
}

} // namespace
} // namespace swingroom
