#include "swingroom/base/error.hpp"
#include "swingroom/water/instant.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <optional>
#include <string>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::HasSubstr;

std::string refusal(const std::string& text, std::optional<ZoneOffset> zone = std::nullopt) {
    try {
        parse_instant(text, zone, "--arrive");
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

Instant at(const std::string& text) { return parse_instant(text, std::nullopt, "--arrive"); }

TEST(Instant, TheClocksDistanceFromUtcIsTakenOff) {
    const Instant wanted = sys_days{2026y / December / 24} + 5h + 30min;
    EXPECT_EQ(at("2026-12-24T05:30Z"), wanted);
    EXPECT_EQ(at("2026-12-24 05:30Z"), wanted);
    EXPECT_EQ(at("2026-12-24T05:30:00Z"), wanted);
    EXPECT_EQ(at("2026-12-24T06:30+01"), wanted);
    EXPECT_EQ(at("2026-12-24T06:30 +01:00"), wanted);
    EXPECT_EQ(at("2026-12-23T20:30-09:00"), wanted);
    EXPECT_EQ(at("2026-12-24T11:15+05:45"), wanted);
    EXPECT_EQ(parse_instant("2026-12-24T06:30", ZoneOffset{60}, "--arrive"), wanted);
    EXPECT_EQ(parse_instant("2026-12-24T05:30Z", ZoneOffset{60}, "--arrive"), wanted)
        << "its own zone counts";
}

TEST(Instant, NoZoneIsGuessed) {
    EXPECT_THAT(refusal("2026-12-24T05:30"), HasSubstr("does not say by which clock"));
}

TEST(Instant, WhatCanBeMisreadIsNoTime) {
    for (const char* text :
         {"", "24.12.2026 05:30", "12/24/2026 05:30", "2026/12/24 05:30Z", "2026-12-24", "2026-12-24T5:30Z",
          "2026-12-24T05:30 AM", "2026-12-24T05:30 PST", "2026-12-24T05:30 LST/LDT", "2026-02-29T05:30Z",
          "2026-13-01T05:30Z", "2026-12-24T24:00Z", "2026-12-24T05:60Z", "2026-12-24T05:30:60Z",
          "2026-12-24T05:30+15:00", "2026-12-24T05:30+01:60", "2026-12-24T05:30Z and more",
          "2026-12-24T05:30+1"}) {
        EXPECT_THAT(refusal(text), HasSubstr("is no time")) << text;
    }
}

TEST(Instant, IsWrittenAsItIsRead) {
    for (const char* text : {"2026-12-24T05:30Z", "2024-02-29T23:59:59Z", "1900-01-01T00:00Z"}) {
        EXPECT_EQ(utc_text(at(text)), text);
    }
    EXPECT_EQ(clock_text(at("2026-12-31T23:30Z"), ZoneOffset{60}), "2027-01-01 00:30 UTC+01:00");
    EXPECT_EQ(clock_text(at("2026-12-31T23:30Z"), ZoneOffset{-210}), "2026-12-31 20:00 UTC-03:30");
    EXPECT_EQ(clock_text(at("2026-12-31T23:30Z"), ZoneOffset{0}), "2026-12-31 23:30 UTC");
}

// What people are told they can give back.
TEST(Instant, AClockHasOneNameForPeople) {
    for (const int ahead : {0, 60, -120, 345, -210, 840}) {
        const ZoneOffset zone(ahead);
        EXPECT_EQ(read_zone(zone_text(zone)), zone) << zone_text(zone);
        const Instant moment = at("2026-12-31T23:30Z");
        EXPECT_EQ(at(clock_text(moment, zone)), moment) << clock_text(moment, zone);
        EXPECT_EQ(clock_text(moment, zone),
                  date_text(moment, zone) + " " + hour_text(moment, zone) + " " + zone_text(zone));
        EXPECT_EQ(local_time_text(moment, zone), date_text(moment, zone) + " " + hour_text(moment, zone));
    }
    EXPECT_EQ(zone_text(ZoneOffset{-210}), "UTC-03:30");
    EXPECT_EQ(read_zone("UTC"), ZoneOffset(0)) << "a clock that is never put back";
    for (const char* const text : {"UTC+1", "UTCZ", "UTC+", "utc", "GMT+01:00", "UTC UTC", "UTC+15:00"}) {
        EXPECT_EQ(read_zone(text), std::nullopt) << text;
    }
}

TEST(Instant, ARefusalSaysTheFormThatIsWanted) {
    EXPECT_THAT(refusal("2026-12-24T8:00Z"), HasSubstr("hour and minute in two figures"));
}

TEST(Instant, YearsBeginAtMidnightUtc) {
    EXPECT_EQ(start_of_year(at("2026-07-02T12:00Z")), at("2026-01-01T00:00Z"));
    EXPECT_EQ(start_of_year(at("2026-01-01T00:00Z")), at("2026-01-01T00:00Z"));
    EXPECT_EQ(end_of_year(at("2026-01-01T00:00Z")), at("2027-01-01T00:00Z"));
}

} // namespace
} // namespace swingroom
