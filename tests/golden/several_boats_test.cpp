// Several boats in one run: each has in her folder, to the byte, what a run for her alone makes; and the sea
// is opened and gathered once for all of them.

#include "support.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

namespace fs = std::filesystem;

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Words = std::vector<std::string>;

const std::string haven = SWINGROOM_SOURCE "/testdata/haven/", cells = SWINGROOM_SOURCE "/testdata/cells/";

Words operator+(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

std::size_t times(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++count;
    }
    return count;
}

/// Of the boats that three_boats() makes.
const Words folders_of_three = {"dinghy", "light-sloop", "barge"};

class SeveralBoats : public testing::Test {
protected:
    /// A boat file: the heavy ketch with other lines.
    std::string boat(const std::string& name, const std::map<std::string, std::string>& lines) const {
        std::string text = bytes_of(haven + "heavy_ketch.ini");
        for (const auto& [key, value] : lines) {
            const std::size_t at = text.find("\n" + key + " = "), end = text.find('\n', at + 1);
            EXPECT_NE(at, std::string::npos) << key;
            text.replace(at, end - at, "\n" + key + " = " + value);
        }
        write_bytes(scratch / (name + ".ini"), text);
        return scratch / (name + ".ini");
    }
    /// Boats of different circles: the dinghy's are small, the barge's large.
    Words three_boats() const {
        return {
            boat("dinghy", {{"name", "dinghy"},
                            {"length", "4 m"},
                            {"beam", "1.5 m"},
                            {"draught", "0.3 m"},
                            {"chain", "20 m"}}),
            haven + "light_sloop.ini",
            boat("barge", {{"name", "barge"}, {"length", "25 m"}, {"draught", "3 m"}, {"chain", "90 m"}})};
    }
    static Words of_boats(const Words& boats) {
        Words words;
        for (const std::string& file : boats) {
            words.push_back("--boat");
            words.push_back(file);
        }
        return words;
    }
    static void expect_same(const fs::path& one, const fs::path& other) {
        const auto of_one = contents(one), of_other = contents(other);
        ASSERT_GT(of_one.size(), 3U);
        ASSERT_EQ(of_one.size(), of_other.size());
        for (const auto& [name, bytes] : of_one) {
            ASSERT_TRUE(of_other.contains(name)) << name;
            // No EXPECT_EQ: nobody wants to read the difference of two rasters.
            EXPECT_TRUE(bytes == of_other.at(name)) << name << " differs";
        }
    }
    void make_together(const Words& job, const Words& boats, const Words& more = {}) {
        const Outcome run =
            swingroom(Words{"overlay", "--out", scratch / "all"} + job + of_boats(boats) + more);
        ASSERT_EQ(run.exit_code, 0) << run.err;
        EXPECT_EQ(run.out, fs::canonical(scratch / "all").string() + "\n");
        EXPECT_EQ(swingroom({"verify", scratch / "all"}).exit_code, 0);
    }
    /// Holds a run of all of them, by other threads and memory, against one for each.
    void expect_each_as_alone(const Words& job, const Words& boats, const Words& folders) {
        ASSERT_NO_FATAL_FAILURE(make_together(job, boats, {"--threads", "3", "--memory", "64"}));
        for (std::size_t i = 0; i < boats.size(); ++i) {
            SCOPED_TRACE(folders[i]);
            const Outcome run = swingroom(Words{"overlay", "--out", scratch / "one", "--overwrite",
                                                "--threads", "1", "--boat", boats[i]} +
                                          job);
            ASSERT_EQ(run.exit_code, 0) << run.err;
            expect_same(scratch / "one", scratch / ("all/" + folders[i]));
            EXPECT_EQ(swingroom({"verify", scratch / ("all/" + folders[i])}).exit_code, 0);
        }
    }

    Scratch scratch;
};

TEST_F(SeveralBoats, OverARasterGetWhatEachGetsAlone) {
    expect_each_as_alone({"--plan", haven + "haven.plan"}, three_boats(), folders_of_three);
    EXPECT_EQ(contents(scratch / "all").size(), 1 + 3 * contents(scratch / "all/dinghy").size())
        << "beside theirs there is the manifest";
}

TEST_F(SeveralBoats, InAWindowOfATideWithLevelsOfAccessGetWhatEachGetsAlone) {
    expect_each_as_alone({"--plan", haven + "evening.plan", "--bounds", "29-02.4W,47-59.0N,29-02.1W,47-59.2N",
                          "--layers",
                          "verdict,access_level,hours_afloat,zones,spots,exclusions,report,project"},
                         three_boats(), folders_of_three);
}

// A boat with small circles looks less far around than the sea is prepared for the others: she is told of
// those hazards alone that a run of her own would find, and draws them.
TEST_F(SeveralBoats, KnowOfNoMoreHazardsThanEachAlone) {
    write_sea(scratch / "sea.tif", {.cols = 1000});
    std::string rocks; // 5 m from each other, from one end of the sea to the other
    for (int i = 0; i < 1000; ++i) {
        rocks += std::string(rocks.empty() ? "" : ",") +
                 R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[)" +
                 std::to_string(-28.3365 + i * 0.0666 / 1000) + "," + std::to_string(47.84826 + i * 7.6e-7) +
                 "]}}";
    }
    write_bytes(scratch / "rocks.geojson",
                R"({"type":"FeatureCollection","name":"rocks","features":[)" + rocks + "]}");
    expect_each_as_alone({"--bathymetry",  scratch / "sea.tif",
                          "--positive",    "up",
                          "--chart-datum", "0",
                          "--uncertainty", "0.2",
                          "--hazards",     scratch / "rocks.geojson",
                          "--rules",       haven + "haven.rules",
                          "--bounds",      "-28.3360,47.8475,-28.3300,47.8490",
                          "--low-water",   "0.5",
                          "--high-water",  "2",
                          "--wind",        "15",
                          "--layers",      "verdict,exclusions,report,map"},
                         three_boats(), folders_of_three);
    const std::string small = bytes_of(scratch / "all/dinghy/exclusions.geojson"),
                      large = bytes_of(scratch / "all/barge/exclusions.geojson");
    EXPECT_LT(times(small, "\"Feature\""), times(large, "\"Feature\""));
    EXPECT_LT(times(large, "\"Feature\""), 1000U);
}

TEST_F(SeveralBoats, OverChartsWithCellsGetWhatEachGetsAlone) {
    expect_each_as_alone({"--chart", cells + "QQ5HAVEN.000", "--chart", cells + "QQ3APPRO.000", "--cell", "6",
                          "--bounds", "29-03W,47-58.5N,29-02W,47-59.2N", "--low-water", "0.5", "--high-water",
                          "2.5", "--wind", "15", "--format", "cog,gpkg,kml"},
                         three_boats(), folders_of_three);
}

// The grid is one for all of them. Whoever would get larger cells by herself is told which she got, in a plan
// that makes the same.
TEST_F(SeveralBoats, OverChartsAloneShareTheCellsOfWhoNeedsTheSmallest) {
    const Words job = {"--chart",      cells + "QQ3APPRO.000",
                       "--bounds",     "29-03W,47-58.5N,29-01W,47-59.5N",
                       "--low-water",  "0.5",
                       "--high-water", "2.5",
                       "--wind",       "15",
                       "--layers",     "verdict,zones,report"},
                boats = three_boats();
    ASSERT_NO_FATAL_FAILURE(make_together(job, boats));
    const Outcome alone =
        swingroom(Words{"overlay", "--out", scratch / "one", "--boat", boats.front()} + job);
    ASSERT_EQ(alone.exit_code, 0) << alone.err;
    expect_same(scratch / "one", scratch / "all/dinghy");
    for (const char* const folder : {"light-sloop", "barge"}) {
        SCOPED_TRACE(folder);
        CPLJSONDocument manifest;
        ASSERT_TRUE(manifest.Load(scratch / ("all/" + std::string(folder) + "/manifest.json")));
        const std::string plan = manifest.GetRoot().GetObj("provenance").GetString("command");
        EXPECT_THAT(plan, HasSubstr("\ncell = "));
        write_bytes(scratch / "told.plan", plan);
        const Outcome run =
            swingroom({"overlay", "--plan", scratch / "told.plan", "--out", scratch / "one", "--overwrite"});
        ASSERT_EQ(run.exit_code, 0) << run.err;
        expect_same(scratch / "one", scratch / ("all/" + std::string(folder)));
    }
    EXPECT_THAT(bytes_of(scratch / "all/manifest.json"),
                AllOf(HasSubstr("a quarter of the least swinging radius"),
                      HasSubstr("as " + boats.front() + " needs them")));
}

TEST_F(SeveralBoats, HaveTheSeaOpenedAndGatheredOnce) {
    Words boats;
    for (int i = 0; i < 10; ++i) {
        boats.push_back(boat("boat" + std::to_string(i), {{"length", std::to_string(8 + i) + " m"},
                                                          {"draught", "1." + std::to_string(i) + " m"}}));
    }
    const Outcome run = swingroom(Words{"overlay", "--plan", haven + "evening.plan", "--bounds",
                                        "29-02.4W,47-59.0N,29-02.1W,47-59.2N", "--layers", "verdict", "--out",
                                        scratch / "all", "--verbose"} +
                                  of_boats(boats));
    ASSERT_EQ(run.exit_code, 0) << run.err;
    for (const char* const once :
         {": opening what there is\n", ": reading the tide\n", ": reading the hazards\n",
          ": digests of the inputs\n", ": flushing the folder to disk\n"}) {
        EXPECT_EQ(times(run.err, once), 1U) << once << run.err;
    }
    EXPECT_EQ(times(run.err, ": deciding "), 1U) << run.err;
    EXPECT_THAT(run.err, HasSubstr(" cells for 10 boats, "));
    for (int i = 0; i < 10; ++i) {
        EXPECT_EQ(times(run.err, ": boat" + std::to_string(i) + ": overviews"), 1U) << run.err;
    }
}

TEST_F(SeveralBoats, AreToldInOneDocumentAsEachIs) {
    const Words job = {"--plan", haven + "haven.plan", "--layers", "verdict,zones,spots,report", "--json"},
                boats = three_boats();
    const Outcome all = swingroom(Words{"overlay", "--out", scratch / "all"} + job + of_boats(boats));
    ASSERT_EQ(all.exit_code, 0) << all.err;
    CPLJSONDocument told;
    ASSERT_TRUE(told.LoadMemory(all.out)) << all.out;
    EXPECT_EQ(told.GetRoot().GetString("folder"), fs::canonical(scratch / "all").string());
    EXPECT_EQ(told.GetRoot().GetArray("files").Size(), 0);
    const CPLJSONArray of_boats_told = told.GetRoot().GetArray("boats");
    ASSERT_EQ(of_boats_told.Size(), 3);
    for (int i = 0; i < 3; ++i) {
        const std::string& folder = folders_of_three[static_cast<std::size_t>(i)];
        SCOPED_TRACE(folder);
        const Outcome one = swingroom(
            Words{"overlay", "--out", scratch / folder, "--boat", boats[static_cast<std::size_t>(i)]} + job);
        ASSERT_EQ(one.exit_code, 0) << one.err;
        CPLJSONDocument alone;
        ASSERT_TRUE(alone.LoadMemory(one.out));
        EXPECT_EQ(of_boats_told[i].GetString("folder"),
                  fs::canonical(scratch / "all").string() + "/" + folder);
        int compared = 0;
        for (const CPLJSONObject& member : alone.GetRoot().GetChildren()) {
            const std::string name = member.GetName();
            if (name == "schema" || name == "command" || name == "version" || name == "folder" ||
                name == "caution" || name == "program") {
                continue;
            }
            EXPECT_EQ(of_boats_told[i].GetObj(name).ToString(), member.ToString()) << name;
            ++compared;
        }
        EXPECT_GE(compared, 10);
    }
}

TEST_F(SeveralBoats, WithoutAYesSayWhose) {
    const Words boats = {haven + "light_sloop.ini", boat("barge", {{"draught", "20 m"}})};
    const Outcome run = swingroom(
        Words{"overlay", "--plan", haven + "haven.plan", "--layers", "verdict", "--out", scratch / "all"} +
        of_boats(boats));
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(run.err, HasSubstr("swingroom: warning: barge: "));
    EXPECT_THAT(run.err, Not(HasSubstr("warning: light-sloop: ")));
}

TEST_F(SeveralBoats, ThatWillNotDoAreToldInOneGo) {
    const Words boats = {boat("broken", {{"draught", "deep"}}), haven + "light_sloop.ini",
                         boat("other", {{"length", "-1 m"}})};
    const Outcome run = swingroom(Words{"overlay", "--plan", haven + "haven.plan", "--out", scratch / "all"} +
                                  of_boats(boats));
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, AllOf(HasSubstr("broken.ini"), HasSubstr("other.ini"), HasSubstr("draught"),
                               HasSubstr("length"), Not(HasSubstr("light_sloop"))));
    EXPECT_FALSE(fs::exists(scratch / "all"));
    const Outcome twice = swingroom({"overlay", "--plan", haven + "haven.plan", "--out", scratch / "all",
                                     "--boat", boats[1], "--boat", haven + "../haven/light_sloop.ini"});
    EXPECT_EQ(twice.exit_code, 2);
    EXPECT_EQ(twice.err, "swingroom: --boat: names " + haven +
                             "../haven/light_sloop.ini twice; leave out one of "
                             "them\n");
}

TEST_F(SeveralBoats, AreOneTooManyForWhatAnswersOne) {
    const Words two = of_boats({haven + "light_sloop.ini", haven + "heavy_ketch.ini"}),
                job = {"--plan", haven + "haven.plan", "--out", scratch / "all"};
    for (const Words& command :
         {Words{"spot", "-29.0439320", "47.9870379", "--plan", haven + "haven.plan"},
          Words{"overlay", "--part", "1/3"} + job, Words{"overlay", "--print-parts", "3"} + job}) {
        const Outcome run = swingroom(command + two);
        EXPECT_EQ(run.exit_code, 2) << command.front();
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_THAT(run.err,
                    AllOf(StartsWith("swingroom: --boat: is given 2 times"), HasSubstr("; give one")));
    }
}

TEST_F(SeveralBoats, AreVerifiedAndReplacedAsAWhole) {
    const Words job = {"--plan", haven + "haven.plan", "--layers", "verdict"};
    ASSERT_NO_FATAL_FAILURE(make_together(job, three_boats()));
    const auto before = contents(scratch / "all");
    std::string raster = bytes_of(scratch / "all/barge/verdict.tif");
    raster[raster.size() / 2] = static_cast<char>(raster[raster.size() / 2] ^ 1);
    write_bytes(scratch / "all/barge/verdict.tif", raster);
    const Outcome changed = swingroom({"verify", scratch / "all"});
    EXPECT_EQ(changed.exit_code, 1);
    EXPECT_EQ(changed.err, "swingroom: barge/verdict.tif: its digest is not the manifest's\n");
    make_together(job, three_boats(), {"--overwrite"});
    EXPECT_TRUE(contents(scratch / "all") == before);
    make_together(job, {haven + "light_sloop.ini"}, {"--overwrite"});
    EXPECT_TRUE(fs::exists(scratch / "all/verdict.tif")) << "one boat has all of the folder";
    EXPECT_FALSE(fs::exists(scratch / "all/barge"));
    EXPECT_EQ(std::distance(fs::directory_iterator(scratch.path()), fs::directory_iterator()), 3)
        << "the folder, two boat files, and nothing else";
}

// Boats of plans are lines of them; a boat on the command line takes their place.
TEST_F(SeveralBoats, StandInAPlan) {
    const Words boats = three_boats();
    const Outcome printed = swingroom(Words{"overlay", "--plan", haven + "haven.plan", "--layers", "verdict",
                                            "--out", scratch / "all", "--print-plan"} +
                                      of_boats(boats));
    ASSERT_EQ(printed.exit_code, 0) << printed.err;
    EXPECT_EQ(times(printed.out, "\nboat = "), 3U) << printed.out;
    write_bytes(scratch / "printed.plan", printed.out);
    ASSERT_EQ(swingroom({"overlay", "--plan", scratch / "printed.plan"}).exit_code, 0);
    EXPECT_EQ(swingroom({"verify", scratch / "all"}).exit_code, 0);
    const Outcome one = swingroom(
        {"overlay", "--plan", scratch / "printed.plan", "--boat", boats.front(), "--out", scratch / "one"});
    ASSERT_EQ(one.exit_code, 0) << one.err;
    expect_same(scratch / "one", scratch / "all/dinghy");
}

} // namespace
} // namespace swingroom::golden
