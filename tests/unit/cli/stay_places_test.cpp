#include "swingroom/base/error.hpp"

#include "cli/cruise/stay_places.hpp"
#include "cli/options/area_options.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <string>

namespace swingroom::cli {
namespace {

using testing::HasSubstr;
using testing_support::Scratch;

template <class Call>
std::string refusal(Call call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.what();
    }
    return "taken";
}

class StayPlaces : public testing::Test {
protected:
    std::string gpx(const std::string& content) {
        std::string path = folder_ / "route.gpx";
        std::ofstream(path) << "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\">" << content
                            << "</gpx>";
        return path;
    }
    std::string refused_places(const std::string& content) {
        return refusal([&] { (void)places_of_route(gpx(content)); });
    }

    Scratch folder_;
};

std::string point(const std::string& name, double lat = 47.5, const char* kind = "rtept") {
    return "<" + std::string(kind) + " lat=\"" + std::to_string(lat) + "\" lon=\"-29.5\">" +
           (name.empty() ? "" : "<name>" + name + "</name>") + "</" + kind + ">";
}

TEST_F(StayPlaces, ACircleIsAPositionAndADistance) {
    const GivenCircle plain = parse_around("-29.04,47.98, 1.5 nm", "around");
    EXPECT_EQ(plain.centre.lon, -29.04);
    EXPECT_EQ(plain.centre.lat, 47.98);
    EXPECT_NEAR(plain.radius_m, 2778, 1e-9);
    const GivenCircle lettered = parse_around("47-58.8N , 29-02.4W, 900", "around");
    EXPECT_NEAR(lettered.centre.lon, -29.04, 1e-12);
    EXPECT_NEAR(lettered.centre.lat, 47.98, 1e-12);
    EXPECT_EQ(lettered.radius_m, 900);
    for (const char* const text : {"", "-29,47", "-29,04,47,98,1", "-29,x,1 nm", "-29,91,1 nm", "-29,47,0",
                                   "-29,47,-1 nm", "-29,47,61 nm", "-29,47,1 mile", "-29,47N,1 nm"}) {
        EXPECT_THAT(refusal([&] { (void)parse_around(text, "around"); }), testing::StartsWith("around: "))
            << text;
    }
}

TEST_F(StayPlaces, ACorridorIsAFileAndADistance) {
    const GivenCorridor corridor = parse_along("to, and fro.gpx , within 2 nm", "along");
    EXPECT_EQ(corridor.file, "to, and fro.gpx");
    EXPECT_EQ(corridor.within_m, 3704);
    for (const char* const text :
         {"route.gpx", "route.gpx, 2 nm", ", within 2 nm", "route.gpx, within", "route.gpx, within 0"}) {
        EXPECT_THAT(refusal([&] { (void)parse_along(text, "along"); }), testing::StartsWith("along: "))
            << text;
    }
}

TEST_F(StayPlaces, AreTheRoutesPointsAndElseTheWayPoints) {
    const auto names = [&](const std::string& content) {
        std::string all;
        for (const StayPlace& place : places_of_route(gpx(content))) {
            all += place.name + ";";
        }
        return all;
    };
    const std::string way_points = point("North", 47.5, "wpt") + point("East", 47.6, "wpt");
    EXPECT_EQ(names(way_points), "North;East;");
    EXPECT_EQ(names(way_points + "<rte/><rte>" + point(" Gull Cove ") + point("") + point("Pool") + "</rte>"),
              "Gull Cove;Point 2;Pool;");
}

TEST_F(StayPlaces, ThatAreDoubtfulAreRefused) {
    EXPECT_THAT(refused_places(""), HasSubstr("holds no route and no way points; "));
    EXPECT_THAT(refused_places("<rte>" + point("a") + "</rte><rte>" + point("b") + "</rte>"),
                HasSubstr("holds more than one route; "));
    EXPECT_THAT(refused_places("<rte>" + point("Pool") + point("POOL") + "</rte>"),
                HasSubstr("stay POOL is there twice; "));
    EXPECT_THAT(refused_places("<rte>" + point("../up") + "</rte>"), HasSubstr("is called like a path; "));
    EXPECT_THAT(refused_places("<rte>" + point("a\nb") + "</rte>"),
                HasSubstr("that a terminal cannot show; "));
    EXPECT_THAT(refused_places("<rte>" + point(std::string(61, 'x')) + "</rte>"),
                HasSubstr("has a long name; "));
}

TEST_F(StayPlaces, AlongAWayAreAsManyAsItsLengthAsksFor) {
    // A degree of latitude is 60 nautical miles and a little more; stretches are of 8 at the most.
    const std::vector<Stretch> stretches =
        stretches_along(gpx("<rte>" + point("a", 47) + point("b", 48) + "</rte>"), 3704);
    ASSERT_EQ(stretches.size(), 8U);
    EXPECT_EQ(stretches.front().name, "Along 1");
    EXPECT_EQ(stretches.back().name, "Along 8");
    EXPECT_LT(stretches.front().window[1], 47);
    EXPECT_GT(stretches.back().window[3], 48);
    EXPECT_EQ(stretches_along(gpx("<trk><trkseg>" + point("", 47, "trkpt") + point("", 47.01, "trkpt") +
                                  "</trkseg></trk>"),
                              3704)
                  .size(),
              1U);
    EXPECT_THAT(refusal([&] { (void)stretches_along(gpx(point("a", 47, "wpt")), 3704); }),
                HasSubstr("holds no route and no track; "));
    EXPECT_THAT(refusal([&] {
                    (void)stretches_along(gpx("<rte>" + point("a", -40) + point("b", 48) + "</rte>"), 100);
                }),
                HasSubstr("at most 200 will do"));
}

} // namespace
} // namespace swingroom::cli
