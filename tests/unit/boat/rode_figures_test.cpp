#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/rode_figures.hpp"

#include <gtest/gtest.h>

#include <cstdlib>

namespace swingroom {
namespace {

constexpr Measures metres{}, feet{LengthUnit::foot, {}}, fathoms{LengthUnit::fathom, {}};

RodeMarks marked(const Measures& measures, double every, double aboard_m) {
    return {measures, every * metres_per_unit(measures), aboard_m};
}

TEST(RodeAtMarks, IsWhatIsCountedOnDeck) {
    // The layers are in tenths of a metre, rounded up or down.
    EXPECT_DOUBLE_EQ(rode_at_marks_m(45.8, marked(fathoms, 5, 100)), 25 * 1.8288);
    EXPECT_DOUBLE_EQ(rode_at_marks_m(45.7, marked(feet, 25, 100)), 150 * 0.3048);
    EXPECT_DOUBLE_EQ(rode_at_marks_m(35, marked(metres, 5, 100)), 35);
    EXPECT_DOUBLE_EQ(rode_at_marks_m(35.2, marked(metres, 5, 100)), 35.2);
    EXPECT_DOUBLE_EQ(rode_at_marks_m(139.1, marked(metres, 5, 139.14)), 139.14) << "all of it";
    EXPECT_DOUBLE_EQ(rode_at_marks_m(59.9, marked(metres, 5, 59.96)), 59.96) << "no mark is aboard there";
}

TEST(ExactRode, IsWhatItWasBeforeItBecameAFloat) {
    for (const double aboard_m : {139.1, 139.14, 0.1 + 59.9, 200 * 0.3048, 137.16}) {
        EXPECT_EQ(exact_rode_m(narrow_up(aboard_m), marked(metres, 7, aboard_m)), aboard_m);
    }
    for (int count = 1; count < 40; ++count) {
        EXPECT_DOUBLE_EQ(exact_rode_m(narrow_up(count * 5 * 1.8288), marked(fathoms, 5, 1000)),
                         count * 5 * 1.8288);
    }
    EXPECT_EQ(exact_rode_m(35.05F, marked(metres, 5, 100)), static_cast<double>(35.05F));
}

TEST(RodeValue, IsRoundedUpButNeverBeyondWhatIsAboard) {
    const RodeMarks marks = marked(metres, 5, 139.14);
    EXPECT_EQ(rode_number(139.14, marks, metres), "139.1");
    EXPECT_DOUBLE_EQ(rode_value(139.14, marks, metres, 2), 139.14);
    EXPECT_EQ(rode_number(139.14, marks, feet), "456.5") << "a conversion: 456.496 ft are aboard";
    EXPECT_EQ(rode_number(130.02, marks, metres), "130.1");
    EXPECT_EQ(rode_number(140, marks, metres), "140.0") << "a need that is not to be had goes up";
    EXPECT_EQ(rode_number(60.96, marked(feet, 25, 200 * 0.3048), metres), "60.9");
    EXPECT_EQ(rode_number(60.96, marked(feet, 25, 200 * 0.3048), feet), "200.0");
}

TEST(RodeValue, OfAllThatIsAboardSaysNoMoreInAnyDecimals) {
    for (const double aboard_m : {139.1, 139.14, 59.96, 61.0, 200 * 0.3048, 25 * 1.8288}) {
        for (const Measures& unit : {metres, feet, fathoms}) {
            for (const int decimals : {1, 2, 3}) {
                const RodeMarks marks = marked(unit, 5, aboard_m);
                const double unit_m = metres_per_unit(unit),
                             exact_m = exact_rode_m(narrow_up(aboard_m), marks),
                             by_marks = rode_value(exact_m, marks, unit, decimals),
                             in_metres = rode_value(exact_m, marks, metres, decimals);
                EXPECT_LE(by_marks * unit_m, aboard_m + 1e-9);
                EXPECT_GT(by_marks * unit_m, aboard_m - 0.1 * unit_m);
                EXPECT_LE(in_metres, aboard_m + 1e-9);
                EXPECT_GT(in_metres, aboard_m - 0.1);
                EXPECT_LE(by_marks, std::strtod(aboard_text(aboard_m, marks, unit).c_str(), nullptr) + 0.1);
            }
        }
    }
}

TEST(RodeText, NamesTheMarksWhereTheyAreInAnotherUnit) {
    EXPECT_EQ(rode_text(35, marked(metres, 5, 60), metres), "35.0 m");
    EXPECT_EQ(rode_text(35, marked(metres, 5, 60), feet), "114.9 ft (35.0 m by the marks)");
}

} // namespace
} // namespace swingroom
