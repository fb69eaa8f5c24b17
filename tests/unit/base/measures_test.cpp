#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/rounding.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>

namespace swingroom {
namespace {

constexpr Measures metric{}, feet{LengthUnit::foot, PositionForm::minutes}, fathoms{LengthUnit::fathom, {}};

TEST(Fixed, GoesTheWayThatIsAskedFor) {
    EXPECT_EQ(fixed(1.25, 1), "1.2");
    EXPECT_EQ(fixed(-0.01, 1), "0.0");
    EXPECT_EQ(fixed_up(35.000001, 1), "35.0") << "a float's last digit is no decimetre";
    // Rode is a float of metres; its marks are whole fathoms, and up to 200 m of it must read so.
    for (int mark = 1; mark <= 110; ++mark) {
        const auto rode_m = static_cast<double>(narrow_up(Length::fathoms(mark).metres()));
        EXPECT_EQ(length_number(rode_m, Rounded::up, feet), fixed(6.0 * mark, 1));
        EXPECT_EQ(length_number(rode_m, Rounded::up, fathoms), fixed(mark, 1));
    }
    EXPECT_EQ(fixed_up(35.01, 1), "35.1");
    EXPECT_EQ(fixed_down(19.99, 0), "19");
    EXPECT_EQ(fixed_down(19.999999, 0), "20");
    for (int decimetres = 1; decimetres < 1000; ++decimetres) {
        const auto metres = static_cast<double>(static_cast<float>(decimetres) / 10);
        EXPECT_EQ(fixed_up(metres, 1), fixed(decimetres / 10.0, 1)) << "no more than a float's last digit";
        EXPECT_EQ(fixed_down(metres, 1), fixed(decimetres / 10.0, 1));
    }
}

// International foot 0.3048 m and fathom of 6 ft: yard and pound agreement, 1959.
TEST(LengthText, RoundsTheSafeWayInEveryUnit) {
    EXPECT_EQ(length_text(5.48, Rounded::down, metric), "5.4 m");
    EXPECT_EQ(length_text(5.48, Rounded::up, feet), "18.0 ft") << "17.98";
    EXPECT_EQ(length_text(5.48, Rounded::down, feet), "17.9 ft");
    EXPECT_EQ(length_text(1.8288, Rounded::up, fathoms), "1.0 fm");
    EXPECT_EQ(length_number(60, Rounded::up, fathoms), "32.9");
    for (const Measures& measures : {metric, feet, fathoms}) {
        for (double metres = 0; metres < 40; metres += 0.0371) {
            const double unit = measures.length == LengthUnit::metre  ? 1
                                : measures.length == LengthUnit::foot ? 0.3048
                                                                      : 1.8288;
            const double down = std::stod(length_number(metres, Rounded::down, measures)) * unit,
                         up = std::stod(length_number(metres, Rounded::up, measures)) * unit;
            EXPECT_LE(down, metres + 2e-5 * unit);
            EXPECT_GE(up, metres - 2e-5 * unit);
            EXPECT_LT(up - down, 0.11 * unit);
        }
    }
}

// The international foot is 0.3048 m, by the agreement on yard and pound of 1959: a mile of 5280 ft is
// 1609.344 m.
TEST(LengthText, KnowsTheFootAndTheFathomByDefinition) {
    EXPECT_EQ(length_text(0.3048, Rounded::nearest, feet, 6), "1.000000 ft");
    EXPECT_EQ(length_text(1609.344, Rounded::nearest, feet, 6), "5280.000000 ft");
    EXPECT_EQ(length_text(0.9144 * 2, Rounded::nearest, fathoms, 6), "1.000000 fm") << "two yards";
    EXPECT_EQ(length_value(60, Rounded::up, feet), 196.9);
    EXPECT_EQ(length_value(60, Rounded::down, feet), 196.8);
}

TEST(DistanceText, IsInNauticalMilesFromHalfOfOneOn) {
    EXPECT_EQ(distance_text(157.9, metric), "157 m");
    EXPECT_EQ(distance_text(157.9, feet), "518 ft");
    EXPECT_EQ(distance_text(925.9, metric), "925 m");
    EXPECT_EQ(distance_text(926, metric), "0.50 nm");
    EXPECT_EQ(distance_text(1851.9, fathoms), "0.99 nm") << "never farther off than it is";
    EXPECT_EQ(distance_text(1852, fathoms), "1.00 nm");
}

TEST(PositionText, IsInDegreesOrInMinutes) {
    EXPECT_EQ(position_text(-29.043932, 47.987038, metric), "-29.043932 47.987038");
    EXPECT_EQ(position_text(-29.043932, 47.987038, feet), "47°59.2223'N 029°02.6359'W");
    EXPECT_EQ(position_text(179.9999999, -0.5, feet), "00°30.0000'S 180°00.0000'E");
    EXPECT_EQ(position_text(190, 0, feet), "00°00.0000'N 170°00.0000'W");
    EXPECT_EQ(position_text(0, -1e-9, feet), "00°00.0000'N 000°00.0000'E");
}

TEST(ParsePosition, ReadsWhatPeopleWrite) {
    const double lat = 47 + 59.222 / 60, lon = -(29 + 2.636 / 60);
    for (const auto& [first, second] :
         {std::pair("47°59.222'N", "29°02.636'W"), std::pair("29°02.636'W", "47°59.222'N"),
          std::pair("47-59.222N", "29-02.636W"), std::pair("N47 59.222", "W029 02.636"),
          std::pair("47:59.222 n", "029:02.636 w"), std::pair("47°59′13.32″N", "29°02′38.16″W"),
          std::pair("47 59 13.32 N", "29 02 38.16 W"), std::pair("47.9870333333N", "29.0439333333W")}) {
        const Position position = parse_position(first, second);
        EXPECT_NEAR(position.lat, lat, 1e-9) << first;
        EXPECT_NEAR(position.lon, lon, 1e-9) << second;
    }
    const Position plain = parse_position("-29.04", "47.99");
    EXPECT_EQ(plain.lon, -29.04);
    EXPECT_EQ(plain.lat, 47.99);
}

TEST(ParsePosition, WhatItPrintsItReadsAgain) {
    for (double lon = -180; lon <= 180; lon += 7.3219) {
        for (double lat = -90; lat <= 90; lat += 3.717) {
            const std::string text = position_text(lon, lat, feet);
            const std::size_t blank = text.find(' ');
            const Position again = parse_position(text.substr(0, blank), text.substr(blank + 1));
            EXPECT_NEAR(again.lat, lat, 0.00005 / 60 * 1.001) << text;
            EXPECT_NEAR(again.lon, lon, 0.00005 / 60 * 1.001) << text;
        }
    }
}

TEST(ParsePosition, TakesBothInOneText) {
    for (const char* text : {"47°59.222'N 29°02.636'W", "29°02.636'W, 47°59.222'N", "N47 59.222 W029 02.636",
                             "47-59.222N29-02.636W", " 47 59.222 N , 29 02.636 W "}) {
        const Position position = parse_position(text);
        EXPECT_NEAR(position.lat, 47 + 59.222 / 60, 1e-9) << text;
        EXPECT_NEAR(position.lon, -(29 + 2.636 / 60), 1e-9) << text;
    }
    for (const char* text : {"-29.04 47.99", "-29.04, 47.99", " -29.04  47.99 "}) {
        EXPECT_EQ(parse_position(text).lon, -29.04) << text;
        EXPECT_EQ(parse_position(text).lat, 47.99) << text;
    }
    for (const char* text :
         {"", "47-59.222N", "N47 59.222", "47.99", "47 59.222N", "29.04,", "29,04", "-29.04,47.99"}) {
        EXPECT_THROW((void)parse_position(text), InputError) << text;
    }
}

TEST(ParsePosition, RefusesWhatIsDoubtful) {
    const auto message = [](const char* first, const char* second) -> std::string {
        try {
            parse_position(first, second);
        } catch (const InputError& error) {
            return error.what();
        }
        return "taken";
    };
    using testing::HasSubstr;
    EXPECT_THAT(message("47.9N", "29.0"), HasSubstr("both with their letters"));
    EXPECT_THAT(message("47.9N", "29.0S"), HasSubstr("are not a longitude and a latitude"));
    EXPECT_THAT(message("47-60N", "29W"), HasSubstr("60 minutes"));
    EXPECT_THAT(message("47-59-60N", "29W"), HasSubstr("60 minutes"));
    EXPECT_THAT(message("47.5-30N", "29W"), HasSubstr("decimals before its last part"));
    EXPECT_THAT(message("-47.5N", "29W"), HasSubstr("a sign beside its letter"));
    EXPECT_THAT(message("91N", "29W"), HasSubstr("no latitude"));
    EXPECT_THAT(message("47N", "361E"), HasSubstr("no longitude"));
    EXPECT_THAT(message("N", "29W"), HasSubstr("is no position"));
    EXPECT_THAT(message("1 2 3 4N", "29W"), HasSubstr("is no position"));
    EXPECT_THAT(message("47,5N", "29W"), HasSubstr("not a comma"));
    EXPECT_THAT(message("47-59.2", "29-02.6"), HasSubstr("not a number"));
}

} // namespace
} // namespace swingroom
