#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <string>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;

/// Points of one layer, each with a margin of 100 m by the rules below.
std::string rocks(int count, double apart_deg) {
    std::string text = R"({"type":"FeatureCollection","name":"rocks","features":[)";
    for (int i = 0; i < count; ++i) {
        text += std::string(i > 0 ? "," : "") +
                R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[)" +
                std::to_string(4 + i * apart_deg) + ",60]}}";
    }
    return text + "]}";
}
const std::string rules = "[rock]\nlayers = rocks\neffects = hull ground\nmargin = 100 m\nsource = made up\n";

/// Features of a folder's exclusions, as text.
std::vector<std::string> features(const std::string& folder) {
    GDALAllRegister();
    const GDALDatasetUniquePtr file(
        GDALDataset::Open((folder + "/exclusions.geojson").c_str(), GDAL_OF_VECTOR));
    std::vector<std::string> texts;
    if (!file) return texts;
    for (const OGRFeatureUniquePtr& feature : *file->GetLayer(0)) {
        EXPECT_TRUE(feature->GetGeometryRef()->IsValid());
        const auto text = [&](const char* name) { return std::string(feature->GetFieldAsString(name)); };
        texts.push_back(text("kind") + "|" + text("forbids") + "|" + text("margin_m") + "|" + text("source") +
                        "|" + text("features") + "|" + text("features_count"));
    }
    return texts;
}

TEST(Exclusions, OfTheHavenAreWholeAndNeitherRasterNorBoatIsLookedAt) {
    const Scratch scratch;
    const std::string out = scratch / "margins";
    const Outcome made = swingroom({"exclusions", "--plan", "testdata/haven/haven.plan", "--out", out,
                                    "--rules", "testdata/haven/haven.rules"});
    EXPECT_EQ(made.exit_code, 0) << made.err;
    EXPECT_EQ(made.err, "");
    EXPECT_EQ(made.out, out + "\n");
    EXPECT_EQ(swingroom({"verify", out}).exit_code, 0);
    EXPECT_THAT(
        features(out),
        testing::IsSupersetOf(
            {"cable|ground|50|invented: bylaw of the haven|cables #0 cable to the light on the west head|1",
             "near a mooring block||60|invented: chains of the old moorings lie about the blocks|moorings "
             "#0 old block 1, moorings #1 old block 2, moorings #2 old block 3, moorings #3 old block 4, "
             "moorings #4 old block 5, moorings #5 old block 6, moorings #6 old block 7, moorings #7 old "
             "block 8|8",
             "fairway|letting go|0|invented: bylaw of the haven|fairways #0 channel to the quay|1"}));
    const std::string manifest = bytes_of(out + "/manifest.json");
    EXPECT_THAT(manifest, HasSubstr("national law differs"));
    EXPECT_THAT(manifest, testing::Not(HasSubstr("bathymetry")));
    const Outcome again =
        swingroom({"exclusions", "--plan", "testdata/haven/haven.plan", "--out", scratch / "again"});
    EXPECT_EQ(again.exit_code, 0);
    EXPECT_EQ(contents(out), contents(scratch / "again")) << "the same bytes";
}

TEST(Exclusions, AreDrawnByTheMarginsThatAreGivenForRules) {
    const Scratch scratch;
    write_bytes(scratch / "a.rules", rules);
    write_bytes(scratch / "one.geojson", rocks(1, 1));
    const std::vector<std::string> job = {"exclusions", "--hazards", "one.geojson", "--rules", "a.rules"};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.begin(), job.begin(), job.end());
        return swingroom(more, scratch.path());
    };
    const Outcome lowered = with({"--margin", "rock=30m", "--out", "lowered"});
    ASSERT_EQ(lowered.exit_code, 0) << lowered.err;
    EXPECT_THAT(lowered.err,
                HasSubstr("the margin of [rock] is 30.0 m for this run, less than the rule's own "
                          "100.0 m"));
    EXPECT_EQ(lowered.lines(), 1u);
    EXPECT_EQ(features(scratch / "lowered"),
              std::vector<std::string>{"rock|hull, ground|30|set for this run in place of 100.0 m, which is "
                                       "by: made up|rocks #0|1"});
    EXPECT_THAT(bytes_of(scratch / "lowered/manifest.json"),
                testing::AllOf(HasSubstr("margin = rock=30m"), HasSubstr("less than the rule's own")));
    const Outcome raised = with({"--margin", "rock=0.1 nm", "--out", "raised"});
    EXPECT_EQ(raised.exit_code, 0);
    EXPECT_EQ(raised.err, "");
    EXPECT_THAT(bytes_of(scratch / "raised/manifest.json"),
                HasSubstr("185.2 m in place of the rule's own 100.0 m"));
    const Outcome unknown = with({"--margin", "rook=30m", "--out", "unknown"});
    EXPECT_EQ(unknown.exit_code, 2);
    EXPECT_THAT(unknown.err, HasSubstr("did you mean rock?"));
}

TEST(Exclusions, AnIdentityOfSeveralFeaturesIsRefused) {
    const Scratch scratch;
    const std::string area =
        R"({"type":"FeatureCollection","name":"RESARE","features":[{"type":"Feature","properties":{"RESTRN":"1"},)"
        R"("geometry":{"type":"Polygon","coordinates":[[[4,60],[4.01,60],[4.01,60.01],[4,60.01],[4,60]]]}}]})";
    write_bytes(scratch / "a.geojson", area);
    write_bytes(scratch / "b.geojson", area);
    const Outcome two = swingroom({"exclusions", "--hazards", "a.geojson", "--hazards", "b.geojson",
                                   "--allow", "RESARE #0", "--out", "two"},
                                  scratch.path());
    EXPECT_EQ(two.exit_code, 2);
    EXPECT_THAT(two.err, HasSubstr("is 2 features, a.geojson: RESARE #0 and b.geojson: RESARE #0"));
    const Outcome one = swingroom(
        {"exclusions", "--hazards", "a.geojson", "--allow", "RESARE #0", "--out", "one"}, scratch.path());
    EXPECT_EQ(one.exit_code, 0) << one.err;
    EXPECT_THAT(features(scratch / "one"), testing::ElementsAre(HasSubstr("anchoring prohibited||0|")));
    EXPECT_THAT(bytes_of(scratch / "one/manifest.json"), HasSubstr("allow = RESARE 0"));
}

TEST(Exclusions, ManyFeaturesInOneAreCountedAndThoseApartAreApart) {
    const Scratch scratch;
    write_bytes(scratch / "a.rules", rules);
    write_bytes(scratch / "near.geojson", rocks(25, 0.001)); // 56 m
    write_bytes(scratch / "far.geojson", rocks(3, 0.01));
    ASSERT_EQ(swingroom({"exclusions", "--hazards", "near.geojson", "--rules", "a.rules", "--out", "near"},
                        scratch.path())
                  .exit_code,
              0);
    const auto near = features(scratch / "near");
    ASSERT_EQ(near.size(), 1u);
    EXPECT_THAT(near[0], HasSubstr("rock|hull, ground|100|made up|rocks #0, rocks #1, "));
    EXPECT_THAT(near[0], HasSubstr("rocks #19 and 5 more|25"));
    ASSERT_EQ(swingroom({"exclusions", "--hazards", "far.geojson", "--rules", "a.rules", "--out", "far"},
                        scratch.path())
                  .exit_code,
              0);
    EXPECT_EQ(features(scratch / "far").size(), 3u);
}

TEST(Exclusions, BoundsKeepWhatReachesIn) {
    const Scratch scratch;
    write_bytes(scratch / "a.rules", rules);
    write_bytes(scratch / "rocks.geojson", rocks(10, 0.01));
    // From 4.0305 E: rock 3, at 4.03, lies 28 m outside; rock 6 at 4.06 is the last inside.
    const Outcome made = swingroom({"exclusions", "--hazards", "rocks.geojson", "--rules", "a.rules",
                                    "--bounds", "4.0305,59.9,4.065,60.1", "--out", "some"},
                                   scratch.path());
    EXPECT_EQ(made.exit_code, 0) << made.err;
    EXPECT_EQ(features(scratch / "some").size(), 4u);
    const Outcome none = swingroom({"exclusions", "--hazards", "rocks.geojson", "--rules", "a.rules",
                                    "--bounds", "5,59.9,6,60.1", "--out", "none"},
                                   scratch.path());
    EXPECT_EQ(none.exit_code, 0);
    EXPECT_TRUE(none.says("nothing to draw"));
    EXPECT_TRUE(features(scratch / "none").empty());
}

TEST(Exclusions, APlansFolderIsTheOverlays) {
    const Scratch scratch;
    write_bytes(scratch / "a.rules", rules);
    write_bytes(scratch / "rocks.geojson", rocks(1, 0));
    write_bytes(scratch / "job.plan",
                "hazards = rocks.geojson\nrules = a.rules\nout = overlay\noverwrite = true\nwind = 15\n");
    const Outcome without = swingroom({"exclusions", "--plan", "job.plan"}, scratch.path());
    EXPECT_EQ(without.exit_code, 2);
    EXPECT_TRUE(without.says("--out: is missing"));
    EXPECT_EQ(swingroom({"exclusions", "--plan", "job.plan", "--out", "m"}, scratch.path()).exit_code, 0);
    EXPECT_THAT(scratch.names(), testing::ElementsAre("a.rules", "job.plan", "m", "rocks.geojson"));
    const Outcome kept = swingroom({"exclusions", "--plan", "job.plan", "--out", "m"}, scratch.path());
    EXPECT_EQ(kept.exit_code, 2) << "what a plan says of overwriting is of the overlay's folder";
    EXPECT_EQ(swingroom({"exclusions", "--plan", "job.plan", "--out", "m", "--overwrite"}, scratch.path())
                  .exit_code,
              0);
}

TEST(Exclusions, WhatIsWrongIsSaidInOneLineAndLeavesNothing) {
    const Scratch scratch;
    write_bytes(scratch / "rocks.geojson", rocks(1, 0));
    write_bytes(scratch / "text.txt", "nothing");
    write_bytes(scratch / "gone.plan", "hazards = gone.gpkg\n");
    for (const auto& [arguments, says] : std::vector<std::pair<std::vector<std::string>, std::string>>{
             {{}, "--hazards: is missing"},
             {{"--hazards", "none.gpkg"}, "none.gpkg: no such file"},
             {{"--hazards", "text.txt"}, "text.txt: is in no vector format"},
             {{"--plan", "gone.plan"}, "gone.gpkg: no such file; paths in a plan"},
             {{"--hazards", "rocks.geojson", "--rules", "none.rules"}, "none.rules"},
             {{"--hazards", "rocks.geojson", "--bounds", "1,2,3"}, "--bounds: \"1,2,3\" is not four numbers"},
             {{"--hazards", "rocks.geojson", "--bounds", "1,80,3,90"}, "--bounds: reaches to latitude 90"}}) {
        std::vector<std::string> all{"exclusions", "--out", "out"};
        all.insert(all.end(), arguments.begin(), arguments.end());
        const Outcome failed = swingroom(all, scratch.path());
        EXPECT_EQ(failed.exit_code, 2) << says;
        EXPECT_TRUE(failed.says(says)) << failed.err;
        EXPECT_EQ(failed.lines(), 1u) << failed.err;
        EXPECT_THAT(scratch.names(), testing::ElementsAre("gone.plan", "rocks.geojson", "text.txt"));
    }
}

} // namespace
} // namespace swingroom::golden
