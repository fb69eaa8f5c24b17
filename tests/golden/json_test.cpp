// --json of every command: a whole document on stdout and nothing else, that agrees with the files and the
// text. It is read by json-c, through GDAL: a parser that is not ours.

#include "swingroom/room/verdict.hpp"
#include "swingroom/room/why_not.hpp"

#include "support.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <map>
#include <string>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using Words = std::vector<std::string>;

CPLJSONObject parsed(const std::string& text, const std::string& command) {
    CPLJSONDocument document;
    EXPECT_TRUE(document.LoadMemory(text)) << text;
    const CPLJSONObject root = document.GetRoot();
    EXPECT_EQ(root.GetInteger("schema"), 2);
    EXPECT_EQ(root.GetString("command"), command);
    return root;
}

bool is_null(const CPLJSONObject& of, const std::string& member) {
    return of.GetObj(member).GetType() == CPLJSONObject::Type::Null;
}

struct Place {
    const char *lon, *lat;
};
// The pool, the roads, the cable, the deep and land, by PROJ.
constexpr std::array places = {Place{"-29.0439320", "47.9870379"}, Place{"-29.0397104", "47.9829650"},
                               Place{"-29.0434016", "47.9820895"}, Place{"-29.0369186", "47.9801352"},
                               Place{"-29.0504167", "47.9893427"}};

Outcome spot(const Place& place, const Words& more) {
    Words words = {"spot", place.lon, place.lat, "--plan", "testdata/haven/haven.plan"};
    words.insert(words.end(), more.begin(), more.end());
    return swingroom(words);
}

class Json : public testing::Test {
protected:
    static void SetUpTestSuite() {
        scratch_ = new Scratch;
        run_ = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--units", "ft", "--positions",
                          "minutes", "--json", "--out", folder()});
    }
    static void TearDownTestSuite() {
        delete scratch_;
        scratch_ = nullptr;
    }
    void SetUp() override { ASSERT_EQ(run_.exit_code, 0) << run_.err; }
    static std::string folder() { return *scratch_ / "haven"; }
    /// What a layer of the folder says of the cell that `spot` has looked at.
    static double value(const std::string& layer, const CPLJSONObject& spot) {
        const CPLJSONObject cell = spot.GetObj("cell");
        return read_layer(folder() + "/" + layer + ".tif")
            .at(cell.GetInteger("column"), cell.GetInteger("row"));
    }

    static Scratch* scratch_;
    static Outcome run_;
};
Scratch* Json::scratch_ = nullptr;
Outcome Json::run_;

TEST_F(Json, OfOverlayTellsWhatIsInTheFolder) {
    EXPECT_EQ(run_.err, "");
    const CPLJSONObject root = parsed(run_.out, "overlay");
    EXPECT_EQ(root.GetString("folder"), folder());
    CPLJSONDocument manifest;
    ASSERT_TRUE(manifest.Load(folder() + "/manifest.json"));
    const CPLJSONArray files = root.GetArray("files"), outputs = manifest.GetRoot().GetArray("outputs");
    ASSERT_EQ(files.Size(), outputs.Size());
    for (int i = 0; i < files.Size(); ++i) {
        for (const char* member : {"name", "bytes", "sha256"}) {
            EXPECT_EQ(files[i].GetString(member), outputs[i].GetString(member));
        }
    }

    std::array<std::int64_t, verdict_phrases.size()> cells{};
    for (const double verdict : read_layer(folder() + "/verdict.tif").values) {
        ++cells.at(static_cast<std::size_t>(verdict));
    }
    const CPLJSONObject counted = root.GetObj("cells");
    for (const auto& [name, verdict] : {std::pair("unsurveyed", Verdict::unsurveyed),
                                        {"no", Verdict::no},
                                        {"sinker", Verdict::sinker},
                                        {"short", Verdict::short_scope},
                                        {"full", Verdict::full},
                                        {"out_of_reach", Verdict::out_of_reach}}) {
        EXPECT_EQ(counted.GetLong(name), cells.at(static_cast<std::size_t>(verdict))) << name;
    }

    // By leading reason: together they are all that is a no, and what the layer of reasons tells.
    std::map<std::string, std::int64_t> noes;
    for (const double reasons : read_layer(folder() + "/reasons.tif").values) {
        const auto why = leading_reason(static_cast<std::uint32_t>(reasons));
        if (why) ++noes[std::string(name_of(*why).name)];
    }
    // No reason is one that no way leads there.
    noes["out_of_reach"] = cells.at(static_cast<std::size_t>(Verdict::out_of_reach));
    EXPECT_EQ(noes["unsurveyed"], counted.GetLong("unsurveyed"));
    double area_m2 = root.GetObj("yes").GetDouble("area_m2");
    std::int64_t all = root.GetObj("yes").GetLong("cells");
    for (const CPLJSONObject& of : root.GetObj("no_by_reason").GetChildren()) {
        EXPECT_EQ(of.GetLong("cells"), noes[of.GetName()]) << of.GetName();
        EXPECT_NEAR(of.GetDouble("area_m2"), 4.0 * static_cast<double>(noes[of.GetName()]),
                    0.005 * of.GetDouble("area_m2") + 1)
            << "cells of 2 m, " << of.GetName();
        area_m2 += of.GetDouble("area_m2");
        all += of.GetLong("cells");
    }
    EXPECT_EQ(all, root.GetObj("surveyed").GetLong("cells"));
    EXPECT_NEAR(area_m2, root.GetObj("surveyed").GetDouble("area_m2"), 7) << "each rounded to a square metre";

    CPLJSONDocument zones, spots;
    ASSERT_TRUE(zones.Load(folder() + "/zones.geojson"));
    EXPECT_EQ(root.GetInteger("zones"), zones.GetRoot().GetArray("features").Size());
    EXPECT_GE(root.GetInteger("zones_too_small"), 0);
    ASSERT_TRUE(spots.Load(folder() + "/spots.geojson"));
    const CPLJSONArray features = spots.GetRoot().GetArray("features");
    EXPECT_EQ(root.GetInteger("spots"), features.Size());
    const CPLJSONObject best = root.GetObj("best_spot"), first = features[0].GetObj("properties");
    EXPECT_EQ(best.GetString("name"), "FUL01");
    EXPECT_EQ(first.GetString("name"), "FUL01");
    for (const char* member : {"rank", "verdict", "depth_low_m", "depth_high_m", "rode_m", "radius_m",
                               "inner_distance_m", "spare_m", "wind_limit_kn"}) {
        EXPECT_EQ(best.GetDouble(member), first.GetDouble(member)) << member;
    }
    const CPLJSONArray at = features[0].GetObj("geometry").GetArray("coordinates");
    EXPECT_NEAR(best.GetDouble("longitude"), at[0].ToDouble(), 1e-6);
    EXPECT_NEAR(best.GetDouble("latitude"), at[1].ToDouble(), 1e-6);
    EXPECT_EQ(root.GetArray("warnings").Size(), 0);
    EXPECT_THAT(root.GetString("caution"), HasSubstr("not for navigation"));
}

// Read as feet or in minutes, the files are the same, byte by byte: what people read bears on no file.
TEST_F(Json, FilesDoNotDependOnWhatPeopleRead) {
    const std::string metric = *scratch_ / "metric", feet = *scratch_ / "feet";
    const Words job = {"overlay",
                       "--plan",
                       "testdata/haven/haven.plan",
                       "--layers",
                       "verdict,zones,spots",
                       "--bounds",
                       "29-03W,47-58.5N,29-01.9W,47-59.4N",
                       "--out"};
    Words one = job, other = job;
    one.push_back(metric);
    for (const std::string& word : Words{feet, "--units", "fm", "--positions", "minutes"}) {
        other.push_back(word);
    }
    ASSERT_EQ(swingroom(one).exit_code, 0);
    ASSERT_EQ(swingroom(other).exit_code, 0);
    EXPECT_EQ(contents(metric), contents(feet));
}

/// A figure that both round down by themselves: the layer to a step of 1/16 m (src/manual/layers.md), the
/// text to a decimetre.
void expect_rounded_alike(double in_layer, double printed) {
    constexpr double step_m = 1.0 / 16, noise_m = 2e-5;
    EXPECT_LE(printed, in_layer + step_m + noise_m);
    EXPECT_GT(printed, in_layer - 0.1 - noise_m);
    EXPECT_EQ(in_layer / step_m, std::round(in_layer / step_m)) << in_layer;
}

TEST_F(Json, OfSpotAgreesWithTheLayers) {
    for (const Place& place : places) {
        SCOPED_TRACE(place.lon);
        const Outcome run = spot(place, {"--json"});
        EXPECT_EQ(run.exit_code, 0);
        EXPECT_EQ(run.err, "");
        EXPECT_EQ(spot(place, {"--json", "--units", "fm", "--positions", "minutes"}).out, run.out);
        const CPLJSONObject root = parsed(run.out, "spot");
        const double verdict = value("verdict", root);
        EXPECT_EQ(root.GetDouble("verdict"), verdict);
        if (verdict == 0) {
            EXPECT_TRUE(is_null(root, "depth_low_m") && is_null(root, "hull_room_m"));
            EXPECT_TRUE(root.GetObj("ways").GetChildren().empty());
            continue;
        }
        for (const std::string name : {"depth_low", "hull_room", "ground_room"}) {
            expect_rounded_alike(value(name, root), root.GetDouble(name + "_m"));
        }
        std::int64_t reasons = 0, advice = 0;
        for (int i = 0; i < root.GetArray("reasons").Size(); ++i) {
            reasons |= root.GetArray("reasons")[i].GetLong("value");
        }
        for (int i = 0; i < root.GetArray("advice").Size(); ++i) {
            advice |= root.GetArray("advice")[i].GetLong("value");
        }
        EXPECT_EQ(static_cast<double>(reasons), value("reasons", root));
        EXPECT_EQ(static_cast<double>(advice), value("advice", root));
        for (const std::string name : {"full", "short", "sinker"}) {
            const CPLJSONObject way = root.GetObj("ways").GetObj(name);
            const double rode_m = value("rode_" + name, root);
            EXPECT_EQ(way.GetBool("possible"), !std::isnan(rode_m)) << name;
            if (std::isnan(rode_m)) continue;
            EXPECT_NEAR(way.GetDouble("rode_m"), rode_m, 2e-5)
                << "the haven's boat is marked in whole metres";
            expect_rounded_alike(-value("radius_" + name, root), -way.GetDouble("radius_m")); // up
            const double spare_m = value("spare_" + name, root), printed_m = way.GetDouble("spare_m");
            EXPECT_EQ(printed_m >= 0, spare_m >= 0);
            // Below zero the text's is the difference of the two figures beside it.
            EXPECT_LE(printed_m, spare_m + 1.0 / 16 + 2e-5);
            EXPECT_GT(printed_m, spare_m - 0.2001);
            EXPECT_EQ(way.GetDouble("wind_limit_kn"), std::floor(value("wind_limit_" + name, root)));
        }
    }
}

TEST_F(Json, APositionMayBeSaidInMinutesAndIsToldInFathoms) {
    const auto asked = [](Words words) {
        words.insert(words.begin(), "spot");
        for (const char* word :
             {"--plan", "testdata/haven/haven.plan", "--units", "fm", "--positions", "minutes"}) {
            words.emplace_back(word);
        }
        return swingroom(words);
    };
    const Outcome run = asked({"47°59.2223'N", "29°02.6359'W"});
    EXPECT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(run.out, testing::StartsWith("47°59.2223'N 029°02.6359'W: yes, at short scope\n"));
    for (const Words& words : {Words{"29-02.6359W", "47-59.2223N"},
                               {"47°59.2223'N 29°02.6359'W"},
                               {"47 59.2223 N", "29 02.6359 W"}}) {
        EXPECT_EQ(asked(words).out, run.out) << words.front();
    }
    // 35 m are 19.14 fm, 2.6 m are 1.42: what is needed reads more, what is there less.
    EXPECT_THAT(run.out, HasSubstr("  rode             19.2 fm (35.0 m by the marks)\n"));
    EXPECT_THAT(
        run.out,
        HasSubstr(
            "  hull room        33.1 fm from the edge of the cell, to shoal water, 1.4 fm at low water"));
    EXPECT_THAT(run.out, testing::Not(testing::ContainsRegex("[0-9] m[,\n;]")));
}

TEST_F(Json, OfVerifyListsWhatIsWrong) {
    const Outcome whole = swingroom({"verify", folder(), "--json"});
    EXPECT_EQ(whole.exit_code, 0);
    EXPECT_TRUE(parsed(whole.out, "verify").GetBool("whole"));
    write_bytes(folder() + "/stray \"one\"", "x");
    const Outcome stray = swingroom({"verify", folder(), "--json"});
    std::filesystem::remove(folder() + "/stray \"one\"");
    EXPECT_EQ(stray.exit_code, 1);
    EXPECT_EQ(stray.err, "") << "what was found is data";
    const CPLJSONObject root = parsed(stray.out, "verify");
    EXPECT_FALSE(root.GetBool("whole"));
    ASSERT_EQ(root.GetArray("faults").Size(), 1);
    EXPECT_EQ(root.GetArray("faults")[0].ToString(), "stray \"one\": is not in the manifest");
    const Outcome none = swingroom({"verify", folder() + "/none", "--json"});
    EXPECT_EQ(none.exit_code, 2);
    EXPECT_EQ(none.out, "");
    EXPECT_EQ(none.lines(), 1u);
}

TEST_F(Json, OfInputsTellsEachFile) {
    const std::string raster = "testdata/haven/bathymetry.tif", chart = "testdata/cells/QQ3APPRO.000";
    const Outcome run = swingroom({"inputs", raster, chart, "testdata/haven/cables.geojson", "--json"});
    EXPECT_EQ(run.exit_code, 2) << "something is to be said of the raster";
    const CPLJSONObject root = parsed(run.out, "inputs");
    EXPECT_FALSE(root.GetBool("usable"));
    const CPLJSONArray files = root.GetArray("files");
    ASSERT_EQ(files.Size(), 3);
    EXPECT_EQ(files[0].GetString("kind"), "raster");
    EXPECT_EQ(files[0].GetArray("to_be_said").Size(), 3);
    // As scripts/make-testdata makes it: 700 x 600 cells of 2 m, 2.5 m above to 26.07 m below.
    const CPLJSONObject figures = files[0].GetObj("raster");
    EXPECT_EQ(figures.GetInteger("columns"), 700);
    EXPECT_NEAR(figures.GetDouble("cell_x_m"), 2, 0.01);
    EXPECT_EQ(figures.GetDouble("shoalest_m"), -2.5);
    EXPECT_EQ(figures.GetDouble("deepest_m"), 26.1);
    // The approach's chart has six soundings of its own off the haven, none in the raster's cells.
    EXPECT_EQ(figures.GetInteger("chart_soundings"), 0);
    EXPECT_EQ(figures.GetObj("chart_difference_m").GetType(), CPLJSONObject::Type::Null);
    EXPECT_EQ(files[1].GetString("kind"), "chart");
    ASSERT_EQ(files[1].GetArray("bounds").Size(), 4);
    EXPECT_NEAR(files[1].GetArray("bounds")[0].ToDouble(), -29.0779, 5e-5);
    EXPECT_EQ(files[1].GetArray("doubtful").Size(), 1);
    const CPLJSONObject cables = files[2].GetArray("classes")[0];
    EXPECT_EQ(cables.GetString("name"), "cables");
    EXPECT_EQ(cables.GetInteger("ground"), 1);
    EXPECT_FALSE(files[2].GetObj("bounds").IsValid());

    const CPLJSONObject beside = parsed(swingroom({"inputs", raster, "testdata/cells/QQ5HAVEN.000", "--json",
                                                   "--chart-datum", "5", "--positive", "up"})
                                            .out,
                                        "inputs");
    const CPLJSONObject compared = beside.GetArray("files")[0].GetObj("raster");
    EXPECT_EQ(compared.GetInteger("chart_soundings"), 119);
    EXPECT_NEAR(compared.GetDouble("chart_difference_m"), 5, 0.2);
    EXPECT_GT(compared.GetDouble("chart_difference_explained_m"), 1);
    EXPECT_EQ(beside.GetArray("files")[0].GetArray("doubtful").Size(), 1);

    const Outcome second_missing = swingroom({"inputs", chart, "none.tif", "--json"});
    EXPECT_EQ(second_missing.exit_code, 2);
    EXPECT_EQ(second_missing.out, "") << "a document is whole or not there";
    const Outcome words = swingroom({"inputs", raster, "--units", "ft", "--positions", "minutes"});
    EXPECT_THAT(words.out, HasSubstr("6.56 ft x 6.56 ft on the ground"));
    EXPECT_THAT(words.out, HasSubstr("47°58.7399'N 029°03.0421'W to 47°59.4073'N 029°01.8916'W"));
    EXPECT_THAT(words.out, HasSubstr("-8.3 to 85.6 ft below chart datum"));
}

TEST_F(Json, OfExclusionsTellsHowManyThereAre) {
    const Outcome run = swingroom(
        {"exclusions", "--plan", "testdata/haven/haven.plan", "--out", *scratch_ / "margins", "--json"});
    EXPECT_EQ(run.exit_code, 0) << run.err;
    const CPLJSONObject root = parsed(run.out, "exclusions");
    CPLJSONDocument drawn;
    ASSERT_TRUE(drawn.Load(*scratch_ / "margins/exclusions.geojson"));
    EXPECT_EQ(root.GetInteger("features"), drawn.GetRoot().GetArray("features").Size());
    EXPECT_EQ(root.GetArray("files")[0].GetString("name"), "exclusions.geojson");
}

} // namespace
} // namespace swingroom::golden
