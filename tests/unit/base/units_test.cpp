#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <clocale>
#include <cstdlib>
#include <string>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::HasSubstr;

template <class Call>
std::string refusal(Call call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

// International nautical mile 1852 m (BIPM, SI brochure), international foot 0.3048 m and pound 0.45359237 kg
// (yard and pound agreement, 1959), fathom six feet, cable a tenth of a mile; standard gravity 9.80665 m/s2
// (3rd CGPM, 1901).
TEST(Units, PublishedValues) {
    EXPECT_DOUBLE_EQ(Length::nautical_miles(0.25).metres(), 463);
    EXPECT_DOUBLE_EQ(parse_length("3 cable", "x").metres(), 555.6);
    EXPECT_DOUBLE_EQ(Length::fathoms(1).metres(), 1.8288);
    EXPECT_DOUBLE_EQ(Length::fathoms(15).metres(), 27.432) << "a shackle of chain";
    EXPECT_DOUBLE_EQ(Length::feet(6080).metres(), 1853.184) << "the old British sea mile";
    EXPECT_DOUBLE_EQ(Mass::pounds(112).kilograms(), 50.80234544) << "a hundredweight";
    EXPECT_DOUBLE_EQ(Force::pounds_force(1).newtons(), 0.45359237 * 9.80665);
    EXPECT_DOUBLE_EQ(Force::kilograms_force(1).newtons(), 9.80665);
    EXPECT_NEAR(Speed::knots(30).metres_per_second(), 15.433333, 5e-7);
    EXPECT_DOUBLE_EQ(Speed::metres_per_second(1852.0 / 3600).knots(), 1);
}

TEST(Units, EveryNameOfEveryQuantity) {
    EXPECT_DOUBLE_EQ(parse_length("6ft", "x").metres(), 1.8288);
    EXPECT_DOUBLE_EQ(parse_length("2.5 fm", "x").metres(), 4.572);
    EXPECT_DOUBLE_EQ(parse_length("0.25 nm", "x").metres(), 463);
    EXPECT_DOUBLE_EQ(parse_length("1 NM", "x").metres(), 1852);
    EXPECT_DOUBLE_EQ(parse_length("1nmi", "x").metres(), 1852);
    EXPECT_DOUBLE_EQ(parse_length("12 in", "x").metres(), 0.3048);
    EXPECT_DOUBLE_EQ(parse_length("8mm", "x").metres(), 0.008);
    EXPECT_DOUBLE_EQ(parse_length("90 cm", "x").metres(), 0.9);
    EXPECT_DOUBLE_EQ(parse_length("1.2 km", "x").metres(), 1200);
    EXPECT_DOUBLE_EQ(parse_length("4", "x").metres(), 4) << "bare numbers are metres";
    EXPECT_DOUBLE_EQ(parse_area("7", "x").square_metres(), 7) << "bare numbers are square metres";
    EXPECT_DOUBLE_EQ(parse_area("7 m2", "x").square_metres(), 7);
    EXPECT_DOUBLE_EQ(parse_area("7 m\u00b2", "x").square_metres(), 7);
    EXPECT_DOUBLE_EQ(parse_area("100ft2", "x").square_metres(), 9.290304);
    EXPECT_DOUBLE_EQ(parse_area("100 ft\u00b2", "x").square_metres(), 9.290304);
    EXPECT_DOUBLE_EQ(parse_area("0.1 ha", "x").square_metres(), 1000);
    EXPECT_DOUBLE_EQ(parse_mass("35 lb", "x").kilograms(), 15.87573295);
    EXPECT_DOUBLE_EQ(parse_mass("2t", "x").kilograms(), 2000);
    EXPECT_DOUBLE_EQ(parse_mass("900 g", "x").kilograms(), 0.9);
    EXPECT_DOUBLE_EQ(parse_force("1.5 kN", "x").newtons(), 1500);
    EXPECT_DOUBLE_EQ(parse_force("100 lbf", "x").newtons(), 444.82216152605);
    EXPECT_DOUBLE_EQ(parse_speed("10 m/s", "x").knots(), 36000.0 / 1852);
    EXPECT_DOUBLE_EQ(parse_speed("1.852 km/h", "x").knots(), 1);
}

TEST(ParseNumber, TakesPlainDecimals) {
    EXPECT_EQ(parse_number("2.5", "x"), 2.5);
    EXPECT_EQ(parse_number(" -0.25\r", "x"), -0.25);
    EXPECT_EQ(parse_number("+3", "x"), 3);
    EXPECT_EQ(parse_number("1e3", "x"), 1000);
    EXPECT_EQ(parse_number(".5", "x"), 0.5);
}

class NotANumber : public testing::TestWithParam<const char*> {};
TEST_P(NotANumber, IsRefusedByName) {
    EXPECT_THAT(refusal([] { parse_number(GetParam(), "--wind"); }),
                AllOf(HasSubstr("--wind"), HasSubstr(GetParam())));
}
INSTANTIATE_TEST_SUITE_P(All, NotANumber,
                         testing::Values("", " ", "0x10", "1e400", "-1e400", "nan", "inf", "-inf", "2,5",
                                         "1.2.3", "5 5", "+-3", "++3", "1_000", "six", "-", "1e", "NaN"));

TEST(ParseLength, AnUnknownUnitIsNamedWithThoseThatAreKnown) {
    EXPECT_THAT(refusal([] { parse_length("3 yd", "--low-water"); }),
                AllOf(HasSubstr("--low-water"), HasSubstr("\"yd\""), HasSubstr("fm")));
    EXPECT_THAT(refusal([] { parse_length("3 kg", "x"); }), HasSubstr("unknown unit"));
    EXPECT_THAT(refusal([] { parse_length("m", "x"); }), HasSubstr("not a number"));
    EXPECT_THAT(refusal([] { parse_length("1e308 km", "x"); }), HasSubstr("out of range"));
    EXPECT_THAT(refusal([] { parse_length("3 M", "x"); }), HasSubstr("unknown unit"))
        << "M may be miles or metres";
}

TEST(ParseNumber, TheLocaleDoesNotMatter) {
    const std::string before = std::setlocale(LC_ALL, nullptr);
    if (!std::setlocale(LC_ALL, "de_DE.UTF-8")) {
        // scripts/test makes the locale and says where it is.
        ASSERT_EQ(std::getenv("LOCPATH"), nullptr) << "the locale that was made for this is not found";
        GTEST_SKIP() << "no locale with a decimal comma is installed";
    }
    ASSERT_STREQ(std::localeconv()->decimal_point, ",");
    EXPECT_EQ(parse_number("2.5", "x"), 2.5);
    std::setlocale(LC_ALL, before.c_str());
}

} // namespace
} // namespace swingroom
