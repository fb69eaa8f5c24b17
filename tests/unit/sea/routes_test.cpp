#include "swingroom/base/error.hpp"
#include "swingroom/sea/routes.hpp"

#include "sea/files/watched_reading.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstddef>
#include <cstdint>
#include <fstream>
#include <string>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing_support::Scratch;

const std::string head =
                      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                      "<gpx version=\"1.1\" creator=\"made\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
                  foot = "</gpx>\n";

class Routes : public testing::Test {
protected:
    std::string file(const std::string& text, const std::string& name = "route.gpx") {
        std::string path = folder_ / name;
        std::ofstream(path) << text;
        return path;
    }
    RouteFile read(const std::string& content) { return read_routes(file(head + content + foot)); }
    /// What is said of a file; "read" where nothing is.
    std::string refusal(const std::string& whole) {
        try {
            (void)read_routes(file(whole));
        } catch (const InputError& error) {
            return error.what();
        } catch (const IoError& error) {
            return error.what();
        }
        return "read";
    }

    Scratch folder_;
};

std::string time_text(const RoutePoint& point) {
    if (!point.time) return "none";
    return point.time->zone ? utc_text(instant_of(point.time->clock, *point.time->zone))
                            : utc_text(instant_of(point.time->clock, ZoneOffset(0))) + " of no zone";
}

TEST_F(Routes, HavePointsWithNamesAndTimesInTheirOrder) {
    const RouteFile found = read(
        R"(<wpt lat="47.5" lon="-29.5"><time>2026-07-01T12:00:00Z</time><name>Far &amp; out</name></wpt>
<rte><name>West</name>
  <rtept lat="47.98" lon="-29.04"><time>2026-07-01T18:00:00.750Z</time><name>Île</name></rtept>
  <rtept lat="47.99" lon="-29.02"><name>Inner Pool</name>
    <extensions><time>is no time of the point</time></extensions></rtept>
</rte>
<rte/>
<rte><rtept lat="-1" lon="180"><time>2026-07-02T20:00:00+02:00</time></rtept>
  <rtept lat="-1" lon="-180"><time>2026-07-02T21:00:00</time></rtept></rte>
)");
    ASSERT_EQ(found.way_points.size(), 1U);
    EXPECT_EQ(found.way_points[0].name, "Far & out");
    EXPECT_EQ(time_text(found.way_points[0]), "2026-07-01T12:00Z");
    ASSERT_EQ(found.routes.size(), 3U);
    EXPECT_EQ(found.routes[0].name, "West");
    ASSERT_EQ(found.routes[0].points.size(), 2U);
    EXPECT_EQ(found.routes[0].points[0].name, "\u00cele");
    EXPECT_EQ(time_text(found.routes[0].points[0]), "2026-07-01T18:00Z");
    EXPECT_EQ(found.routes[0].points[0].position.lon, -29.04);
    EXPECT_EQ(found.routes[0].points[0].position.lat, 47.98);
    EXPECT_EQ(time_text(found.routes[0].points[1]), "none");
    EXPECT_TRUE(found.routes[1].points.empty());
    ASSERT_EQ(found.routes[2].points.size(), 2U);
    EXPECT_EQ(time_text(found.routes[2].points[0]), "2026-07-02T18:00Z");
    EXPECT_EQ(time_text(found.routes[2].points[1]), "2026-07-02T21:00Z of no zone");
}

TEST_F(Routes, TracksAreTheirSegments) {
    const RouteFile found = read(R"(<trk><trkseg><trkpt lat="1" lon="2"><time>whatever</time></trkpt>
<trkpt lat="1" lon="3"/></trkseg><trkseg/></trk><trk><trkseg><trkpt lat="5" lon="6"/></trkseg></trk>)");
    EXPECT_TRUE(found.routes.empty());
    ASSERT_EQ(found.tracks.size(), 2U);
    ASSERT_EQ(found.tracks[0].size(), 2U);
    EXPECT_EQ(found.tracks[0][1].lon, 3);
    EXPECT_EQ(found.tracks[1].size(), 1U);
}

TEST_F(Routes, OfGpx10AreReadToo) {
    EXPECT_EQ(read_routes(file("<gpx version=\"1.0\" xmlns=\"http://www.topografix.com/GPX/1/0\"><rte><rtept "
                               "lat=\"1\" lon=\"2\"><time>2026-07-01T12:00:00Z</time></rtept></rte></gpx>"))
                  .routes.at(0)
                  .points.size(),
              1U);
}

// Each of these GDAL opens without a word, or reads as something else.
TEST_F(Routes, DoubtfulOnesAreRefusedInOneLine) {
    const auto point = [](const std::string& time) {
        return head + "<rte><rtept lat=\"1\" lon=\"2\"><time>" + time + "</time></rtept></rte>" + foot;
    };
    for (const std::string time : {"", "soon", "2026-07-01", "2026-02-30T18:00:00Z", "07/01/2026 18:00",
                                   "2026-07-01T25:00:00Z", "2026-07-01T18:00:00 CET"}) {
        EXPECT_THAT(refusal(point(time)),
                    HasSubstr("route.gpx, line 3: \"" + time + "\" is no time; write it as "))
            << time;
    }
    EXPECT_THAT(refusal(head + "<rte><rtept lat=\"91\" lon=\"2\"/></rte>" + foot),
                HasSubstr("is no position; "));
    EXPECT_THAT(refusal(head + "<wpt lat=\"1\" lon=\"181\"/>" + foot), HasSubstr("is no position; "));
    EXPECT_THAT(refusal(head + "<rte><rtept lat=\"47,9\" lon=\"2\"/></rte>" + foot), HasSubstr("no number"));
    EXPECT_THAT(refusal(head + "<rte><rtept lat=\"1\" lon=\"2\"/></rte>"), HasSubstr("route.gpx"))
        << "cut off";
    EXPECT_THAT(refusal("{\"type\":\"FeatureCollection\",\"features\":[]}"), HasSubstr("is no GPX file; "));
    EXPECT_THAT(refusal("<!DOCTYPE gpx [<!ENTITY x SYSTEM \"/etc/passwd\">]>" + head +
                        "<wpt lat=\"1\" "
                        "lon=\"2\"><name>&x;</name></wpt>" +
                        foot),
                testing::Not("read"));
    EXPECT_THROW((void)read_routes(folder_ / "none.gpx"), InputError);
    EXPECT_THROW((void)read_routes("/vsicurl/http://localhost/route.gpx"), InputError);
}

// A route that lacks its last points is another route: a disk that fails is told, at whichever call.
TEST_F(Routes, AreWholeOrNotAtAll) {
    std::string points;
    for (int i = 0; i < 500; ++i) {
        points += "<rtept lat=\"1\" lon=\"2\"><time>2026-07-01T12:00:00Z</time><name>a long name of a "
                  "point</name></rtept>\n";
    }
    const std::string path = file(head + "<rte>" + points + "</rte>" + foot);
    watched::plan_fault(0);
    EXPECT_EQ(read_routes(path).routes.at(0).points.size(), 500U);
    const std::int64_t calls = watched::calls_since_fault_planned();
    ASSERT_GT(calls, 3);
    for (std::int64_t at = 1; at <= calls; ++at) {
        watched::plan_fault(at);
        EXPECT_THROW((void)read_routes(path), IoError) << at;
    }
    watched::plan_fault(0);
}

// Cut off anywhere it is refused.
TEST_F(Routes, ThatAreCutOffAreRefused) {
    const std::string whole = head +
                              "<rte><rtept lat=\"1\" lon=\"2\"><time>2026-07-01T12:00:00Z</time></rtept>\n"
                              "<rtept lat=\"1\" lon=\"3\"/></rte>" +
                              foot;
    for (std::size_t length = 0; length + 2 < whole.size(); ++length) {
        EXPECT_NE(refusal(whole.substr(0, length)), "read") << whole.substr(0, length);
    }
    EXPECT_EQ(refusal(whole), "read");
}

} // namespace
} // namespace swingroom
