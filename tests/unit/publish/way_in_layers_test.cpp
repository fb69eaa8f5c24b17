// What zones and drop points say of the way in, in the files of a run: a pool behind a wall beside the sea.

#include "swingroom/overlay/way_in.hpp"
#include "swingroom/publish/overlay_files.hpp"

#include "publish/raster/layer_specs.hpp"
#include "publish/vector/feature_looks.hpp"
#include "publish/vector/feature_words.hpp"
#include "publish/vector/spot_layer.hpp"
#include "publish/vector/vector_formats.hpp"
#include "publish/vector/way_layer.hpp"
#include "support/made_tide.hpp"
#include "support/pool_scene.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstddef>
#include <fstream>
#include <iterator>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using testing::ScratchFolder;
using ::testing::StartsWith;
using namespace testing_support;

/// A run's layers and all that they are made from.
struct PoolRun {
    struct Terms {
        float wall_m = -20;
        bool looked = true, known = true, with_tide = false;
        std::size_t spots = 50;
    };
    explicit PoolRun(Terms terms)
        : tide(sine_stay(1.5, 1, 0, 1500)),
          scene(pool_behind(terms.wall_m, terms.with_tide ? tide.stay.levels() : WaterLevels{0.5, 2.5})),
          all(scene.job()) {
        const WaterLevels& water = scene.tables->conditions().water;
        way_in.needs = {1, scene.tables->boat().required_depth_m()};
        way_in.job = &all;
        if (terms.known) {
            way_in.access = AccessLevels::from_places(all, way_in.needs, std::vector{at_sea});
        }
        way_in.lowest_m = static_cast<float>(water.low_m);
        way_in.highest_m = 2.4F;
        job = all;
        if (terms.with_tide) job.tide = &tide;
        if (terms.looked) job.way_in = &way_in;
        job.wanted = LayerSet::parse("verdict,zones,spots,circles", "layers");
        Outputs outputs;
        outputs.formats =
            LayerFormats::parse("verdict,zones,spots,spots.gpx,spots.kml,circles", {}, "layers");
        outputs.styles = true;
        files.emplace(folder.path(), job, "scene", Provenance{}, MarginSources{}, terms.spots, ZoneStyle{},
                      outputs);
        run_overlay(job, *files, {});
        files->finish({});
    }
    [[nodiscard]] std::vector<CPLJSONObject> features(const std::string& layer) const {
        CPLJSONDocument document;
        EXPECT_TRUE(document.Load(folder / (layer + ".geojson")));
        std::vector<CPLJSONObject> all_features;
        for (const CPLJSONObject& feature : document.GetRoot().GetArray("features")) {
            all_features.push_back(feature.GetObj("properties"));
        }
        return all_features;
    }
    [[nodiscard]] std::string text(const std::string& file) const {
        std::ifstream in(folder / file);
        return {std::istreambuf_iterator<char>(in), {}};
    }

    ScratchFolder folder;
    StayTide tide;
    OverlayScene scene;
    OverlayJob all, job;
    WayIn way_in;
    std::optional<OverlayFiles> files;
};

/// The depth of a wall over which she comes from 1.8 m above chart datum on.
float sill_m() { return static_cast<float>(read_trial_boat(trial_boats().front()).required_depth_m() - 1.8); }

bool is_null(const CPLJSONObject& properties, const std::string& column) {
    return properties.GetObj(column).GetType() == CPLJSONObject::Type::Null;
}

// KML has a folder for each look, in their order.
TEST(WayInLayers, LooksBeginWithTheBestAnswer) {
    const std::vector<FeatureLook> looks = looks_by_verdict(false, true);
    ASSERT_EQ(looks.size(), 7U);
    EXPECT_EQ(looks.front().value, std::to_string(static_cast<int>(Verdict::full)));
    EXPECT_EQ(looks.back().value, std::to_string(static_cast<int>(Verdict::out_of_reach)));
}

TEST(WayInLayers, APlaceOutOfReachComesLastAndIsNamedSo) {
    const PoolRun run({});
    bool behind = false;
    std::set<std::string> ways;
    for (const CPLJSONObject& spot : run.features("spots")) {
        const bool out = spot.GetString("way_in") == "never";
        ways.insert(spot.GetString("way_in"));
        EXPECT_FALSE(behind && !out) << "one that is in reach behind one that is not";
        behind = behind || out;
        EXPECT_EQ(spot.GetInteger("verdict") == static_cast<int>(Verdict::out_of_reach), out);
        EXPECT_EQ(spot.GetString("name").substr(0, 3) == "BLK", out) << spot.GetString("name");
        EXPECT_EQ(spot.GetString("meaning").starts_with("no way in during the stay; else yes"), out);
        if (!out) {
            EXPECT_TRUE(is_null(spot, "access_level_m")) << "open at any level of the stay";
        }
    }
    EXPECT_EQ(ways, (std::set<std::string>{"always", "never"}));
    for (const CPLJSONObject& zone : run.features("zones")) {
        const bool out = zone.GetString("way_in") == "never";
        EXPECT_EQ(zone.GetInteger("verdict") == static_cast<int>(Verdict::out_of_reach), out);
        EXPECT_EQ(zone.GetString("name").substr(0, 3) == "ZBL", out);
    }
    for (const CPLJSONObject& circle : run.features("circles")) {
        EXPECT_EQ(circle.GetString("name").substr(0, 3) == "CBL", circle.GetInteger("verdict") == 8);
    }
    EXPECT_THAT(run.text("zones.qml"), HasSubstr("&quot;verdict&quot; = 8"));
    EXPECT_THAT(run.text("spots.gpx"), HasSubstr("no way in; "));
    EXPECT_THAT(run.text("spots.gpx"), HasSubstr("<sym>Danger Area</sym>")) << "no anchor";
}

TEST(WayInLayers, PlacesOutOfReachTakeNoPlaceFromOthers) {
    const PoolRun many({});
    std::size_t in_reach = 0;
    for (const CPLJSONObject& spot : many.features("spots")) {
        in_reach += spot.GetString("way_in") == "always";
    }
    ASSERT_GE(in_reach, 1U);
    ASSERT_GT(many.features("spots").size(), in_reach);
    const PoolRun few({.spots = in_reach});
    for (const CPLJSONObject& spot : few.features("spots")) {
        EXPECT_EQ(spot.GetString("way_in"), "always");
    }
    EXPECT_EQ(few.files->best_spots().size(), in_reach);
    EXPECT_NE(few.files->name_of_spot(1).substr(0, 3), "BLK");
}

TEST(WayInLayers, AreAsBeforeWhereNobodyLooked) {
    const PoolRun run({.looked = false});
    for (const char* const layer : {"spots", "zones"}) {
        for (const CPLJSONObject& feature : run.features(layer)) {
            for (const char* const column : {"way_in", "access_level_m", "windows", "sill_depth_m"}) {
                EXPECT_FALSE(feature.GetObj(column).IsValid()) << column;
            }
            EXPECT_NE(feature.GetInteger("verdict"), static_cast<int>(Verdict::out_of_reach));
        }
    }
    for (const char* const style : {"zones.qml", "spots.sld", "circles.qml", "verdict.qml", "verdict.sld"}) {
        EXPECT_THAT(run.text(style), Not(HasSubstr("no way in"))) << style;
    }
    EXPECT_EQ(spec_of(Layer::verdict, {}, false).categories.size(), verdict_phrases.size() - 1);
    EXPECT_EQ(spec_of(Layer::advice, {}, false).bits.back().first, "11");
}

TEST(WayInLayers, WhereTheWayIsNotKnownSaySo) {
    const PoolRun run({.known = false});
    for (const char* const layer : {"spots", "zones"}) {
        ASSERT_FALSE(run.features(layer).empty());
        for (const CPLJSONObject& feature : run.features(layer)) {
            EXPECT_EQ(feature.GetString("way_in"), "not known");
            EXPECT_TRUE(is_null(feature, "access_level_m"));
            EXPECT_THAT(feature.GetString("advice"), HasSubstr("whether a way leads here is not known"));
            EXPECT_NE(feature.GetInteger("verdict"), static_cast<int>(Verdict::out_of_reach));
        }
    }
}

TEST(WayInLayers, BehindASillTellFromWhichLevelOn) {
    const PoolRun run({.wall_m = sill_m()});
    int waiting = 0;
    for (const CPLJSONObject& spot : run.features("spots")) {
        if (spot.GetString("way_in") != "at times") continue;
        ++waiting;
        EXPECT_NEAR(spot.GetDouble("access_level_m"), 1.8, 0.0101);
        EXPECT_GE(spot.GetDouble("access_level_m"), 1.8 - 1e-9) << "rounded up";
        EXPECT_FALSE(spot.GetObj("come_from").IsValid()) << "no clock without a tide";
        EXPECT_THAT(spot.GetString("name"), Not(StartsWith("BLK")));
    }
    EXPECT_GT(waiting, 0);
    EXPECT_THAT(run.text("spots.gpx"), HasSubstr("come at 1.8"));
    EXPECT_THAT(run.text("spots.kml"), HasSubstr("m above chart datum on"));
}

TEST(WayInLayers, WithATideTellWhenToComeAndByWhenToLeave) {
    const PoolRun run({.wall_m = sill_m(), .with_tide = true});
    int waiting = 0;
    for (const CPLJSONObject& spot : run.features("spots")) {
        if (spot.GetString("way_in") == "always") {
            EXPECT_EQ(spot.GetString("come_from"), "1970-01-01 00:00 UTC");
            EXPECT_EQ(spot.GetString("come_until"), spot.GetString("leave_by"));
            continue;
        }
        ++waiting;
        const auto reach =
            run.files->best_spots()[static_cast<std::size_t>(spot.GetInteger("rank")) - 1].reach;
        ASSERT_TRUE(reach);
        const std::vector<TimeWindow> windows = run.tide.stay.windows(double{reach->access_level_m});
        ASSERT_GT(windows.size(), 1U);
        EXPECT_EQ(spot.GetString("come_from"), clock_text(windows.front().from, run.tide.zone));
        EXPECT_EQ(spot.GetString("come_until"), clock_text(windows.front().to, run.tide.zone));
        EXPECT_EQ(spot.GetString("leave_by"), clock_text(windows.back().to, run.tide.zone));
        EXPECT_EQ(spot.GetString("windows"),
                  afloat_text(run.tide.stay, double{reach->access_level_m}, run.tide.zone));
    }
    EXPECT_GT(waiting, 0);
    for (const CPLJSONObject& zone : run.features("zones")) {
        EXPECT_EQ(zone.GetString("way_in") == "always",
                  zone.GetString("windows").starts_with("the whole stay"));
    }
    EXPECT_THAT(run.text("spots.gpx"), HasSubstr("come 1970-01-01 00:00 to "));
}

// A line that somebody has found: its sill is told, the water over it by the lower bound on arrival.
TEST(WayInLayers, TellTheSillWhereThereIsALine) {
    for (const bool with_tide : {false, true}) {
        const PoolRun run({.wall_m = sill_m(), .with_tide = with_tide});
        PositionReport spot = run.files->best_spots().back();
        Approach approach;
        approach.sill.at = {-3.1, 50.2};
        approach.sill.least_depth_m = 0.567;
        approach.sill.level_m = 1.801;
        spot.way = WayToPlace{approach, std::nullopt};
        const ScratchFolder folder;
        SpotLayer layer(folder.path(), run.job, {}, 1, {}, false);
        layer.add(spot, run.files->best_merits().back());
        layer.finish();
        CPLJSONDocument document;
        ASSERT_TRUE(document.Load(folder / "spots.geojson"));
        const CPLJSONObject told = document.GetRoot().GetArray("features")[0].GetObj("properties");
        EXPECT_EQ(told.GetDouble("sill_longitude"), -3.1);
        EXPECT_EQ(told.GetDouble("sill_latitude"), 50.2);
        EXPECT_EQ(told.GetDouble("sill_depth_m"), 0.56);
        EXPECT_EQ(told.GetDouble("sill_level_m"), 1.81);
        if (with_tide) {
            const double level_m = run.tide.stay.at(run.tide.stay.arrive()).least_m;
            EXPECT_LE(told.GetDouble("sill_water_at_arrival_m"), 0.567 + level_m);
            EXPECT_GT(told.GetDouble("sill_water_at_arrival_m"), 0.567 + level_m - 0.0101);
        } else {
            EXPECT_EQ(told.GetDouble("sill_water_at_low_water_m"), 1.06);
        }
    }
}

/// ways.gpx of one line, over a sill that needs a level.
std::string gpx_of_way(double least_depth_m, double level_m, const std::string& hazard = {}) {
    const PoolRun run({});
    const ScratchFolder folder;
    WayLayer layer(folder.path(), run.job, {}, 1, {});
    Approach way;
    way.level_m = level_m;
    way.length_m = 300;
    way.clear_m = 4;
    way.legs = {{{-3.1, 50.2}, {-3.1, 50.201}, 111, 0, least_depth_m},
                {{-3.1, 50.201}, {-3.1, 50.202}, 111, 0, 7.5}};
    way.sill = {{3, 4}, {-3.1, 50.2005}, least_depth_m, level_m, hazard};
    layer.add(way, 1, "FUL01", run.files->best_spots().front());
    layer.finish();
    write_in_formats(folder.path(), layer.lines().finished(), Format::gpx, {}, {});
    std::ifstream in(folder / "ways.gpx");
    return {std::istreambuf_iterator<char>(in), {}};
}

// The lowest level of the stay is 0.5 m, the highest that is sure 2.4 m.
TEST(WayInLayers, APlotterGetsASillOnlyWhereSheHasToWaitForWater) {
    const std::string waits = gpx_of_way(0.567, 1.801);
    EXPECT_THAT(waits, HasSubstr("<name>SIL01</name><cmt>sill 0.56m; the seabed</cmt>"));
    EXPECT_THAT(waits, HasSubstr("the seabed, at the least 0.56 m below chart datum; enough from a level of "
                                 "1.81 m above chart datum on. "));
    EXPECT_THAT(waits,
                HasSubstr("<cmt>to FUL01; sill 0.56m; come at 1.81m above datum or more; clear 4m each "
                          "side; length 300m</cmt>"));
    EXPECT_THAT(waits, HasSubstr("from a level of 1.81 m above chart datum on"));
    const std::string open = gpx_of_way(10.687, -2.812);
    EXPECT_THAT(open, Not(HasSubstr("<wpt")));
    EXPECT_THAT(open, Not(HasSubstr("sill")));
    EXPECT_THAT(open, HasSubstr("<cmt>to FUL01; least depth 10.68m; clear 4m each side"));
    EXPECT_THAT(open, HasSubstr("enough from a level of: 2.81 m below chart datum on"));
}

TEST(WayInLayers, ASillThatDriesIsNoNegativeDepth) {
    const std::string dries = gpx_of_way(-0.481, 2.31, "wreck (wrecks #3)");
    EXPECT_THAT(dries, HasSubstr("<cmt>sill dries 0.49m; wreck (wrecks #3)</cmt>"));
    EXPECT_THAT(dries, HasSubstr("wreck (wrecks #3), at the least 0.49 m above chart datum: it dries"));
    EXPECT_THAT(dries, HasSubstr("<cmt>then course 000, 111 m, dries 0.49 m</cmt>"));
    EXPECT_THAT(dries, Not(HasSubstr("-0.4")));
}

TEST(WayInLayers, LevelsBelowChartDatumAreTold) {
    EXPECT_EQ(level_words("-2.81"), "2.81 m below chart datum");
    EXPECT_EQ(level_words("0"), "0 m above chart datum");
    EXPECT_EQ(level_words(""), "");
    EXPECT_EQ(sill_words("", "0"), "the seabed, at the least 0 m below chart datum");
    EXPECT_EQ(short_depth("sill", ""), "");
}

} // namespace
} // namespace swingroom
