// The same job gives the same bytes, whatever the threads and the blocks, and a window gives the cells of the
// whole.

#include "support.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

namespace swingroom::golden {
namespace {

std::map<std::string, std::string> bytes_of_run(const std::vector<std::string>& extra) {
    const Scratch scratch;
    std::vector<std::string> words = {"overlay", "--plan", "testdata/haven/haven.plan", "--out",
                                      scratch / "out"};
    words.insert(words.end(), extra.begin(), extra.end());
    const Outcome run = swingroom(words);
    EXPECT_EQ(run.exit_code, 0) << run.err;
    return run.exit_code == 0 ? contents(scratch / "out") : std::map<std::string, std::string>{};
}

void expect_same(const std::map<std::string, std::string>& ours,
                 const std::map<std::string, std::string>& theirs) {
    ASSERT_EQ(ours.size(), theirs.size());
    for (const auto& [name, bytes] : ours) {
        ASSERT_TRUE(theirs.contains(name)) << name;
        // No EXPECT_EQ: nobody wants to read the difference of two rasters.
        EXPECT_TRUE(bytes == theirs.at(name)) << name << " differs";
    }
}

TEST(SameBytes, WhateverTheThreads) {
    const auto one = bytes_of_run({"--threads", "1"});
    ASSERT_FALSE(one.empty());
    expect_same(one, bytes_of_run({"--threads", "2"}));
    expect_same(one, bytes_of_run({"--threads", "7"}));
}

TEST(SameBytes, WhateverTheMemoryAndWithItTheBlocks) {
    const auto usual = bytes_of_run({});
    ASSERT_FALSE(usual.empty());
    expect_same(usual, bytes_of_run({"--memory", "64"}));
    expect_same(usual, bytes_of_run({"--memory", "4000"}));
}

// Places of conditional zones are looked at while blocks are still at work.
TEST(SameBytes, OfZonesAndDropPointsByTheSounder) {
    const Scratch scratch;
    std::string boat = bytes_of(SWINGROOM_TESTDATA "/haven/heavy_ketch.ini");
    for (const auto& [was, is] : {std::pair<std::string, std::string>("chain = 60 m", "chain = 50 m"),
                                  {"mark = 5 m", "mark = 2 m"}}) {
        boat.replace(boat.find(was), was.size(), is);
    }
    write_bytes(scratch / "boat.ini", boat);
    const auto run = [&](const std::vector<std::string>& extra) {
        std::vector<std::string> words = {"overlay",
                                          "--chart",
                                          "testdata/cells/QQ5HAVEN.000",
                                          "--chart",
                                          "testdata/cells/QQ3APPRO.000",
                                          "--boat",
                                          scratch / "boat.ini",
                                          "--low-water",
                                          "0.5",
                                          "--high-water",
                                          "2.5",
                                          "--wind",
                                          "15",
                                          "--layers",
                                          "zones,spots",
                                          "--out",
                                          scratch / "out",
                                          "--overwrite",
                                          "--rode-by",
                                          "source"};
        words.insert(words.end(), extra.begin(), extra.end());
        const Outcome outcome = swingroom(words);
        EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
        return contents(scratch / "out");
    };
    const auto usual = run({"--threads", "1"});
    ASSERT_NE(usual.at("spots.geojson").find("\"IF"), std::string::npos);
    expect_same(usual, run({"--threads", "3"}));
    expect_same(usual, run({"--threads", "2", "--memory", "64"}));
}

TEST(SameBytes, WhateverTheEnvironmentTellsGdal) {
    const std::vector<std::string> few = {"--layers", "verdict,spare_full,zones"};
    const auto usual = bytes_of_run(few);
    ASSERT_FALSE(usual.empty());
    for (const auto& [name, value] :
         {std::pair("TIFF_USE_OVR", "YES"), std::pair("USE_RRD", "YES"),
          std::pair("COMPRESS_OVERVIEW", "JPEG"), std::pair("GDAL_PAM_ENABLED", "NO"),
          std::pair("GDAL_TIFF_OVR_BLOCKSIZE", "64")}) {
        SCOPED_TRACE(name);
        setenv(name, value, 1);
        expect_same(usual, bytes_of_run(few));
        unsetenv(name);
    }
}

/// Layers are in metres and degrees whatever a person reads. The report alone is for people and follows them,
/// and with it its digest in the manifest.
TEST(SameBytes, WhateverIsReadButForTheReport) {
    auto usual = bytes_of_run({}), feet = bytes_of_run({"--units", "ft", "--positions", "minutes"});
    ASSERT_TRUE(usual.contains("report.html"));
    for (auto* run : {&usual, &feet}) {
        for (const char* of_people : {"report.html", "map.svg", "map-night.svg"}) {
            run->erase(of_people);
        }
        run->erase("manifest.json");
    }
    ASSERT_GT(usual.size(), 10U);
    expect_same(usual, feet);
}

TEST(SameCells, InAWindowAsInTheWhole) {
    const Scratch scratch;
    const std::string plan = "testdata/haven/haven.plan", whole = scratch / "whole", part = scratch / "part";
    ASSERT_EQ(swingroom({"overlay", "--plan", plan, "--out", whole}).exit_code, 0);
    // About the narrow pool: what lies outside the window still counts as danger, or as room.
    const Outcome run =
        swingroom({"overlay", "--plan", plan, "--out", part, "--bounds=-29.0475,47.9855,-29.0415,47.9885"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    std::vector<std::string> names = {"verdict", "reasons",   "advice",     "depth_low",
                                      "source",  "hull_room", "ground_room"};
    for (const std::string per_way : {"rode", "radius", "spare", "wind_limit"}) {
        for (const std::string way : {"full", "short", "sinker"}) {
            names.push_back(per_way + "_" + way);
        }
    }
    for (const auto& name : names) {
        SCOPED_TRACE(name);
        const Layer all = read_layer(whole + "/" + name + ".tif"),
                    cut = read_layer(part + "/" + name + ".tif");
        const int first_col = static_cast<int>(std::lround((cut.west - all.west) / all.step_x));
        const int first_row = static_cast<int>(std::lround((cut.north - all.north) / all.step_y));
        ASSERT_LT(cut.cols, all.cols);
        ASSERT_GT(cut.cols, 200);
        ASSERT_GT(cut.rows, 150);
        for (int row = 0; row < cut.rows; ++row) {
            for (int col = 0; col < cut.cols; ++col) {
                const double here = cut.at(col, row), there = all.at(first_col + col, first_row + row);
                ASSERT_TRUE(here == there || (std::isnan(here) && std::isnan(there)))
                    << col << ',' << row << ": " << here << " in the window, " << there << " in the whole";
            }
        }
    }
}

} // namespace
} // namespace swingroom::golden
