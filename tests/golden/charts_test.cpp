#include "support.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <random>
#include <string>
#include <utility>
#include <vector>

// Runs on the invented cells of testdata/cells, from outside.

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using testing::Not;
using Words = std::vector<std::string>;

const std::string harbour = "testdata/cells/QQ5HAVEN.000", approach = "testdata/cells/QQ3APPRO.000";
const Words stay = {
    "--boat", "testdata/haven/heavy_ketch.ini", "--low-water", "0.5", "--high-water", "2.5", "--wind", "15"};

Words operator+(Words a, const Words& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

/// The built-in rules with the haven's own margin for cables, as the manual's page of charts shows it.
void write_own_rules(const std::string& file) {
    std::string rules = swingroom({"rules"}).out;
    const std::string margin = "margin = 0.25 nm";
    const auto at = rules.find(margin, rules.find("[cable]"));
    ASSERT_NE(at, std::string::npos);
    write_bytes(file, rules.replace(at, margin.size(), "margin = 50 m"));
}

/// The haven's ketch with less chain, so that its charted bands are a yes by the sounder in many ways.
void write_short_of_chain(const std::string& file) {
    std::string boat = bytes_of(SWINGROOM_TESTDATA "/haven/heavy_ketch.ini");
    for (const auto& [was, is] :
         {std::pair("chain = 60 m", "chain = 45 m"), {"mark = 5 m", "mark = 2.5 m"}}) {
        const auto at = boat.find(was);
        ASSERT_NE(at, std::string::npos);
        boat.replace(at, std::string(was).size(), is);
    }
    write_bytes(file, boat);
}

// One numbering in every format, and what the sounder's limit hardly admits comes last.
TEST(Charts, DropPointsByTheSounderAreNumberedAndTheHopelessOnesAreLast) {
    const Scratch scratch;
    write_short_of_chain(scratch / "boat.ini");
    const std::string out = scratch / "out";
    const Words job = {"overlay",
                       "--chart",
                       harbour,
                       "--chart",
                       approach,
                       "--boat",
                       scratch / "boat.ini",
                       "--low-water",
                       "0.5",
                       "--high-water",
                       "2.5",
                       "--wind",
                       "15",
                       "--rode-by",
                       "source",
                       "--layers",
                       "spots.geojson,spots.gpx,spots.kml",
                       "--out",
                       out};
    const Outcome run = swingroom(job);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    CPLJSONDocument document;
    ASSERT_TRUE(document.Load(out + "/spots.geojson"));
    const CPLJSONArray spots = document.GetRoot().GetArray("features");
    const std::string gpx = bytes_of(out + "/spots.gpx"), kml = bytes_of(out + "/spots.kml");
    int sounded = 0, hardly = 0;
    for (int i = 0; i < spots.Size(); ++i) {
        const CPLJSONObject spot = spots[i].GetObj("properties");
        EXPECT_EQ(spot.GetInteger("rank"), i + 1);
        const std::string name = spot.GetString("name");
        EXPECT_EQ(std::stoi(name.substr(3)), i + 1);
        EXPECT_THAT(gpx, HasSubstr("<name>" + name + "</name>"));
        EXPECT_THAT(kml, HasSubstr("<name>" + name + "</name>"));
        const bool by_sounder = name.starts_with("IF");
        EXPECT_EQ(by_sounder, spot.GetInteger("verdict") >= 5);
        EXPECT_EQ(by_sounder, spot.GetObj("band_admitted").GetType() != CPLJSONObject::Type::Null);
        sounded += by_sounder ? 1 : 0;
        const double nearest_m = spot.GetDouble("sounding_nearest_m", -1);
        const bool sounded_deeper = nearest_m > spot.GetDouble("sounder_limit_m") + 0.1; // as printed
        if (by_sounder && (spot.GetDouble("band_admitted") < 0.2 || sounded_deeper)) {
            ++hardly;
        } else {
            EXPECT_EQ(hardly, 0) << name << " after one that its limit hardly admits";
        }
    }
    EXPECT_GT(sounded, hardly);
    EXPECT_GT(hardly, 0);
}

TEST(Charts, GiveDepthsAndHazardsWithoutARaster) {
    const Scratch scratch;
    write_own_rules(scratch / "own.rules");
    const std::string out = scratch / "charts";
    const Outcome run = swingroom(Words{"overlay", "--chart", harbour, "--chart", approach, "--rules",
                                        scratch / "own.rules", "--out", out} +
                                  stay);
    EXPECT_EQ(run.exit_code, 0) << run.err;
    EXPECT_EQ(run.err, "");
    EXPECT_EQ(swingroom({"verify", out}).exit_code, 0);
    const Layer verdict = read_layer(out + "/verdict.tif"), source = read_layer(out + "/source.tif"),
                depth_low = read_layer(out + "/depth_low.tif");
    int yes = 0, of_harbour = 0, of_approach = 0;
    for (std::size_t i = 0; i < verdict.values.size(); ++i) {
        yes += verdict.values[i] >= 2 ? 1 : 0;
        of_harbour += source.values[i] == 1 ? 1 : 0;
        of_approach += source.values[i] == 2 ? 1 : 0;
        EXPECT_EQ(source.values[i] == 0, std::isnan(depth_low.values[i]));
    }
    EXPECT_THAT(bytes_of(out + "/spots.geojson"),
                testing::ContainsRegex("mud and sand, [0-9]* m off, bearing [0-9]"));
    EXPECT_THAT(bytes_of(out + "/report.html"), HasSubstr("Noted near:"));
    EXPECT_GT(yes, 2000);
    EXPECT_GT(of_harbour, 10000);
    EXPECT_GT(of_approach, 100000);
    const std::string manifest = bytes_of(out + "/manifest.json");
    EXPECT_THAT(manifest, HasSubstr("QQ5HAVEN.001"));
    EXPECT_THAT(manifest, HasSubstr("edition 1, update 1"));
}

TEST(Charts, ALimitToTheSlopeThatTheirAreasLeaveOpenIsTold) {
    const Scratch scratch;
    const std::string boat = scratch / "boat.ini";
    write_bytes(boat, bytes_of(SWINGROOM_TESTDATA "/haven/heavy_ketch.ini") + "max_slope = 0.2\n");
    const std::string told = "warning: " + boat +
                             ": max_slope is not judged in the depth areas of charts, whose edges are steps: "
                             "look at the soundings there";
    const Words levels = {"--low-water", "0.5", "--high-water", "2.5", "--wind", "15", "--boat"};
    const Words charts = Words{"--chart", harbour, "--chart", approach} + levels;
    const Words raster = Words{"--bathymetry",  "testdata/haven/bathymetry.tif",
                               "--positive",    "up",
                               "--chart-datum", "0",
                               "--uncertainty", "0.2"} +
                         levels;
    const Words spot = {"spot", "-29.04", "47.985"}, ketch = {"testdata/haven/heavy_ketch.ini"};
    const auto overlay = [&](const char* out) {
        return Words{"overlay", "--layers", "verdict", "--out", scratch / out};
    };
    EXPECT_THAT(swingroom(spot + charts + Words{boat}).err, HasSubstr(told));
    const std::string err = swingroom(overlay("out") + charts + Words{boat}).err;
    EXPECT_THAT(err, HasSubstr(told));
    EXPECT_EQ(err.find("max_slope"), err.rfind("max_slope")) << "once";
    EXPECT_THAT(bytes_of(scratch / "out/manifest.json"), HasSubstr("max_slope is not judged"));
    EXPECT_THAT(swingroom(spot + charts + ketch).err, Not(HasSubstr("max_slope"))) << "no limit, no word";
    EXPECT_THAT(swingroom(spot + raster + Words{boat}).err, Not(HasSubstr("max_slope"))) << "no chart";
}

// Each drop point by the sounder at full scope, asked about by itself.
TEST(Charts, AConditionEndsInTheWayThatNeedsNone) {
    const Scratch scratch;
    write_own_rules(scratch / "own.rules");
    const Words sea =
        Words{"--chart", harbour, "--chart", approach, "--rules", scratch / "own.rules", "--cell", "5"} +
        stay;
    const Outcome run = swingroom(Words{"overlay", "--layers", "spots", "--out", scratch / "sounded"} + sea);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    CPLJSONDocument document;
    ASSERT_TRUE(document.Load(scratch / "sounded/spots.geojson"));
    int asked = 0, named = 0;
    for (const CPLJSONObject& feature : document.GetRoot().GetArray("features")) {
        const CPLJSONObject properties = feature.GetObj("properties");
        if (properties.GetInteger("verdict") != 7) continue; // by the sounder, at full scope
        if (++asked > 8) break;
        Words words = {"spot"};
        for (const CPLJSONObject& degrees : feature.GetArray("geometry/coordinates")) {
            words.push_back(std::to_string(degrees.ToDouble()));
        }
        const Outcome here = swingroom(words + sea + Words{"--json"});
        ASSERT_EQ(here.exit_code, 0) << here.err;
        CPLJSONDocument spot;
        ASSERT_TRUE(spot.LoadMemory(here.out));
        const CPLJSONObject lesser = spot.GetRoot().GetObj("ways/short");
        const bool plain =
            lesser.GetBool("fits") && lesser.GetObj("sounder_limit_m").GetType() == CPLJSONObject::Type::Null;
        const std::string condition = properties.GetString("condition");
        EXPECT_THAT(condition, HasSubstr("let go only where the sounder shows no more than "));
        const std::string begin = "; at short scope with ";
        const auto at = condition.find(begin);
        EXPECT_EQ(at != std::string::npos, plain) << condition;
        if (at == std::string::npos) continue;
        ++named;
        EXPECT_EQ(std::stod(condition.substr(at + begin.size())), lesser.GetDouble("rode_m"));
        EXPECT_TRUE(condition.ends_with(" m of rode whatever it shows")) << condition;
    }
    EXPECT_GT(named, 0) << "of " << asked;
}

TEST(Charts, AloneGetCellsByTheirScaleAndTheBoat) {
    const Scratch scratch;
    const auto run = [&](const std::string& name, const Words& more) {
        const Outcome made =
            swingroom(Words{"overlay", "--out", scratch / name, "--layers", "verdict"} + more + stay);
        EXPECT_EQ(made.exit_code, 0) << made.err;
        return made.err;
    };
    EXPECT_THAT(
        run("harbour", {"--chart", approach, "--chart", harbour, "--verbose"}),
        HasSubstr("assumed cells of the grid: at most 5.0 m a side, 0.5 mm at the largest scale of the "
                  "charts, 1:10000"));
    EXPECT_THAT(bytes_of(scratch / "harbour/manifest.json"), HasSubstr("at most 5.0 m a side"));
    run("five", {"--chart", approach, "--chart", harbour, "--cell", "5"});
    EXPECT_EQ(read_layer(scratch / "harbour/verdict.tif").values,
              read_layer(scratch / "five/verdict.tif").values);
    EXPECT_THAT(bytes_of(scratch / "five/manifest.json"), Not(HasSubstr("cells of the grid")));
    // 0.5 mm at 1:90 000 would be 45 m, as long as a whole swinging radius.
    run("approach", {"--chart", approach});
    const std::string manifest = bytes_of(scratch / "approach/manifest.json");
    EXPECT_THAT(manifest, HasSubstr("a quarter of the least swinging radius"));
    const Layer layer = read_layer(scratch / "approach/verdict.tif");
    EXPECT_LT(-layer.step_y * 111'700, 15);
    EXPECT_GT(-layer.step_y * 111'000, 5);
    // A spot looks at the cell that an overlay of the same plan decides.
    const std::string place_lon = std::to_string(layer.west + 100.5 * layer.step_x),
                      place_lat = std::to_string(layer.north + 200.5 * layer.step_y);
    const Outcome spot = swingroom(Words{"spot", place_lon, place_lat, "--chart", approach, "--json"} + stay);
    EXPECT_EQ(spot.exit_code, 0) << spot.err;
    EXPECT_THAT(spot.out, HasSubstr("\"column\": 100"));
    EXPECT_THAT(spot.out, HasSubstr("\"row\": 200"));
}

TEST(Charts, AnAnchorageIsNamed) {
    const Words pool = {"spot", "-29.0457", "47.9872", "--chart", harbour};
    EXPECT_THAT(swingroom(pool + stay).out, HasSubstr("  here             charted anchorage (ACHARE #"));
    EXPECT_THAT(swingroom(pool + Words{"--json"} + stay).out, HasSubstr(" Pool "));
    const Words elsewhere = {"spot", "-29.0228", "47.9795", "--chart", approach};
    EXPECT_THAT(swingroom(elsewhere + stay).out, Not(HasSubstr("anchorage")));
}

TEST(Charts, AnAnchorageIsToldHowMuchOfItIsAYes) {
    const Scratch scratch;
    const Words run = {"overlay", "--out", scratch / "out", "--chart", harbour, "--cell", "5", "--json"};
    const Outcome made = swingroom(run + stay);
    EXPECT_EQ(made.exit_code, 0) << made.err;
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(made.out)) << made.out;
    const CPLJSONArray anchorages = document.GetRoot().GetArray("anchorages");
    ASSERT_EQ(anchorages.Size(), 2) << "the pool and the berth";
    for (int i = 0; i < anchorages.Size(); ++i) {
        const CPLJSONObject anchorage = anchorages[i];
        SCOPED_TRACE(anchorage.GetString("label"));
        EXPECT_THAT(anchorage.GetString("label"),
                    testing::AnyOf(HasSubstr(" Pool "), HasSubstr(" Roads A ")));
        std::int64_t cells =
            anchorage.GetObj("yes").GetLong("cells") + anchorage.GetObj("unsurveyed").GetLong("cells");
        for (const CPLJSONObject& why : anchorage.GetObj("no_by_reason").GetChildren()) {
            cells += why.GetLong("cells");
        }
        const bool is_berth = anchorage.GetString("label").find("ACHBRT") == 0;
        if (is_berth) {
            EXPECT_EQ(cells, 1) << "a point";
        } else {
            EXPECT_GT(cells, 100);
        }
    }
    const std::string page = bytes_of(scratch / "out/report.html");
    EXPECT_THAT(page, HasSubstr("Charted anchorages, those with the largest yes first"));
    EXPECT_THAT(page, testing::ContainsRegex(">Pool<"));
}

TEST(Charts, WhatToExpectIsToldAndADeepEdgeThatIsNotChartedIsNoDepth) {
    const Words outer = {"spot", "-29.038550", "47.982815", "--chart", harbour, "--cell", "5"};
    const std::string told = swingroom(outer + stay).out;
    EXPECT_THAT(told, HasSubstr("  charted          5.0 to 10.0 m: DEPARE #"));
    EXPECT_THAT(told,
                testing::ContainsRegex("  soundings        -?[0-9.]+ to [0-9.]+ m within 370 m, nearest "
                                       "[0-9.]+ m, [0-9]+ m off, bearing [0-9]{3}\u00b0; below chart datum"));
    // The channel is dredged to 4.5 m, and no object says how deep it is at the most.
    const Words channel = {"spot",        "-29.04135", "47.98735",
                           "--chart",     harbour,     "--cell",
                           "5",           "--boat",    "testdata/haven/heavy_ketch.ini",
                           "--low-water", "2",         "--high-water",
                           "2.5",         "--wind",    "15",
                           "--rode-by",   "survey"};
    const std::string text = swingroom(channel).out;
    EXPECT_THAT(text, HasSubstr("m at low water, deep edge not charted; the hull needs"));
    EXPECT_THAT(text, HasSubstr("  charted          4.5 m or more, deep edge not charted: DRGARE #"));
    EXPECT_THAT(text, HasSubstr("full scope: no, deep edge not charted: no rode is known to do"));
    EXPECT_THAT(text, HasSubstr("  trip line        not known: deep edge not charted"));
    EXPECT_THAT(text, Not(testing::ContainsRegex("12[0-9]{3}|[0-9]{5} ?m")));
    const std::string json = swingroom(channel + Words{"--json"}).out;
    EXPECT_THAT(json, HasSubstr("\"depth_high_m\": null"));
    EXPECT_THAT(json, HasSubstr("\"trip_line_m\": null"));
    EXPECT_THAT(json, HasSubstr("\"hanging_load_n\": null"));
    EXPECT_THAT(json, HasSubstr("\"rode_m\": null"));
    EXPECT_THAT(json, HasSubstr("\"charted\": {\"from_m\": 4.5, \"to_m\": null"));
}

TEST(Charts, ARestrictionThatIsAllowedOnlyAdvises) {
    const Scratch scratch;
    const std::string id = "FFFE000000160001", label = "RESARE #21 " + id; // CATREA 2: anchoring prohibited
    const auto spot = [&](const Words& more) {
        return swingroom(Words{"spot", "-29.0228", "47.9795", "--chart", approach, "--chart", harbour} +
                         more + stay);
    };
    const Outcome forbidden = spot({});
    EXPECT_EQ(forbidden.exit_code, 0) << forbidden.err;
    EXPECT_THAT(forbidden.out, HasSubstr("restricted area (" + label + ")"));
    EXPECT_THAT(forbidden.out, HasSubstr("letting go an anchor is not allowed here"));
    for (const std::string& name : {id, label, "RESARE 21 " + id}) {
        const Outcome allowed = spot({"--allow", name});
        EXPECT_EQ(allowed.exit_code, 0) << allowed.err;
        EXPECT_THAT(allowed.out, HasSubstr("restricted area (" + label + "): allowed for this run"));
        EXPECT_THAT(allowed.out, Not(HasSubstr("letting go an anchor is not allowed")));
        EXPECT_THAT(allowed.out, HasSubstr("the chart has a warning or a restriction here: read it"));
        EXPECT_THAT(allowed.err, HasSubstr("--allow: " + approach + ": " + label +
                                           " forbids nothing by [restricted area] for this run, as you say"));
        EXPECT_EQ(allowed.lines(), 1U) << allowed.err;
    }
    // Unknown, of nothing that forbids, of a danger.
    for (const auto& [name, says] : std::vector<std::pair<std::string, std::string>>{
             {"FFFE000000160009", "is no feature of what is given"},
             {"RESARE", "is no feature of what is given"},
             {"FFFE000000430001", "ACHBRT #65 Roads A FFFE000000430001 forbids nothing"},
             {"FFFE0000002B0001", "is a danger, by [wreck], [wreck under the hull], and no restriction"}}) {
        const Outcome refused = spot({"--allow", name});
        EXPECT_EQ(refused.exit_code, 2) << name;
        EXPECT_THAT(refused.err, HasSubstr(says)) << name;
        EXPECT_EQ(refused.lines(), 1U) << refused.err;
        EXPECT_EQ(refused.out, "");
    }
    // In a plan, on the page and in the provenance; only ever more yes, and there alone.
    const auto made = [&](const std::string& name, const Words& more) {
        const Outcome run =
            swingroom(Words{"overlay", "--chart", approach, "--bounds", "-29.03,47.976,-29.016,47.983",
                            "--layers", "verdict,reasons,report", "--out", scratch / name} +
                      more + stay);
        EXPECT_EQ(run.exit_code, 0) << run.err;
    };
    write_bytes(scratch / "allow.plan", "allow = " + id + "\n");
    made("plain", {});
    made("allowed", {"--plan", scratch / "allow.plan", "--margin", "cable=100m"});
    const std::string page = bytes_of(scratch / "allowed/report.html");
    const auto cautions = page.find("id=\"cautions\"");
    ASSERT_NE(cautions, std::string::npos);
    EXPECT_THAT(page.substr(cautions), HasSubstr("forbids nothing by [restricted area] for this run"));
    EXPECT_THAT(page.substr(cautions), HasSubstr("the margin of [cable] is 100.0 m for this run"));
    EXPECT_THAT(
        bytes_of(scratch / "allowed/manifest.json"),
        testing::AllOf(HasSubstr("allow = " + id), HasSubstr("forbids nothing by [restricted area]")));
    const Layer before = read_layer(scratch / "plain/reasons.tif"),
                after = read_layer(scratch / "allowed/reasons.tif");
    const auto forbids = [](double reasons) { return (static_cast<unsigned>(reasons) & 16U) != 0; };
    EXPECT_GT(std::count_if(before.values.begin(), before.values.end(), forbids), 1000);
    EXPECT_EQ(std::count_if(after.values.begin(), after.values.end(), forbids), 0);
}

TEST(Charts, LaidOverARasterNeverSayYesWhereOneOfThemSaysNo) {
    const Scratch scratch;
    write_own_rules(scratch / "own.rules");
    const Words raster = {"--bathymetry",  "testdata/haven/bathymetry.tif",
                          "--positive",    "up",
                          "--chart-datum", "0",
                          "--uncertainty", "0.2",
                          "--rules",       scratch / "own.rules",
                          "--layers",      "verdict,depth_low"};
    const auto run = [&](const std::string& name, const Words& more) {
        EXPECT_EQ(swingroom(Words{"overlay", "--out", scratch / name} + raster + more + stay).exit_code, 0);
    };
    run("raster", {"--hazards", harbour});
    run("both", {"--chart", harbour});
    const Layer alone = read_layer(scratch / "raster/verdict.tif"),
                both = read_layer(scratch / "both/verdict.tif");
    const Layer low_alone = read_layer(scratch / "raster/depth_low.tif"),
                low_both = read_layer(scratch / "both/depth_low.tif");
    int filled = 0, shoaler = 0, yes = 0;
    for (std::size_t i = 0; i < alone.values.size(); ++i) {
        if (std::isnan(low_alone.values[i])) {
            filled += std::isnan(low_both.values[i]) ? 0 : 1;
            continue;
        }
        ASSERT_LE(low_both.values[i], low_alone.values[i]);
        shoaler += low_both.values[i] < low_alone.values[i] ? 1 : 0;
        ASSERT_LE(both.values[i], std::max(1.0, alone.values[i]));
        yes += both.values[i] >= 2 ? 1 : 0;
    }
    EXPECT_GT(filled, 10000) << "land, which the raster leaves out";
    EXPECT_GT(shoaler, 10000);
    EXPECT_GT(yes, 1000);
}

TEST(Charts, AHullMaySwingOverACableAndChainMaySweepAShoalHead) {
    const Outcome cable =
        swingroom({"spot", "-29.043444", "47.981819", "--plan", "testdata/haven/haven.plan"});
    EXPECT_THAT(cable.out, HasSubstr("hull room        at least 78.3 m: nothing within reach"));
    EXPECT_THAT(cable.out, HasSubstr("ground room      none: cable"));
    const Outcome bank =
        swingroom({"spot", "-29.037460", "47.988782", "--plan", "testdata/haven/haven.plan"});
    EXPECT_THAT(bank.out, HasSubstr("hull room        none: a bank that dries by up to 1.1 m at low water"));
    EXPECT_THAT(bank.out, HasSubstr("ground room      56.9 m"));
}

TEST(Charts, SpotTellsWhatTheChartSaysThere) {
    const Outcome eddies = swingroom(Words{"spot", "-29.042393", "47.983709", "--chart", harbour} + stay);
    EXPECT_EQ(eddies.exit_code, 0) << eddies.err;
    EXPECT_THAT(eddies.out, HasSubstr("warning of the chart (CTNARE"));
    EXPECT_THAT(eddies.out, HasSubstr("Strong eddies on the ebb"));
    EXPECT_THAT(eddies.out, HasSubstr("the chart has a warning or a restriction here: read it"));
}

TEST(Charts, ExclusionsNameTheObjectsOfTheChart) {
    const Scratch scratch;
    const std::string out = scratch / "margins";
    const Outcome made = swingroom({"exclusions", "--chart", harbour, "--out", out});
    EXPECT_EQ(made.exit_code, 0) << made.err;
    const std::string text = bytes_of(out + "/exclusions.geojson");
    EXPECT_THAT(text, HasSubstr("Cable to the west head"));
    EXPECT_THAT(text, HasSubstr("IHO resolution 4/1967"));
    EXPECT_THAT(text, Not(HasSubstr("survey of zone")));
    EXPECT_THAT(text, Not(HasSubstr("outside all cells")));
}

/// The haven's raster and chart, with the haven's own margin for cables.
struct HavenRuns {
    HavenRuns() { write_own_rules(scratch / "own.rules"); }
    Outcome run(const std::string& name, const Words& more, const std::string& datum = "0") const {
        return swingroom(Words{"overlay", "--bathymetry", "testdata/haven/bathymetry.tif", "--positive", "up",
                               "--chart-datum", datum, "--uncertainty", "0.2", "--rules",
                               scratch / "own.rules", "--layers", "verdict,advice,source,depth_low,zones",
                               "--out", scratch / name} +
                         more + stay);
    }
    [[nodiscard]] Layer layer(const std::string& run, const std::string& name) const {
        return read_layer(scratch / (run + "/" + name + ".tif"));
    }
    Scratch scratch;
};

TEST(Charts, OverASurveyTakeHardlyAnyYesOfWhatTheSurveyGivesByItself) {
    const HavenRuns haven;
    for (const auto& [name, more] : {std::pair("alone", Words{"--hazards", harbour}),
                                     std::pair("survey", Words{"--chart", harbour, "--survey", "yes"}),
                                     std::pair("model", Words{"--chart", harbour})}) {
        const Outcome made = haven.run(name, more);
        ASSERT_EQ(made.exit_code, 0) << made.err;
        EXPECT_EQ(made.err, "");
    }
    const Layer alone = haven.layer("alone", "verdict"), survey = haven.layer("survey", "verdict"),
                model = haven.layer("model", "verdict"), low = haven.layer("survey", "depth_low"),
                low_alone = haven.layer("alone", "depth_low"), source = haven.layer("survey", "source"),
                advice = haven.layer("survey", "advice");
    int yes = 0, kept = 0, kept_by_model = 0, differ = 0, by_chart = 0, shoaler = 0;
    for (std::size_t i = 0; i < alone.values.size(); ++i) {
        if (alone.values[i] >= 2) {
            ++yes;
            kept += survey.values[i] >= 2 ? 1 : 0;
            kept_by_model += model.values[i] >= 2 ? 1 : 0;
        } else if (!std::isnan(low_alone.values[i])) {
            EXPECT_LT(survey.values[i], 2) << "a chart makes no yes of a surveyed no";
        }
        if (!std::isnan(low_alone.values[i])) {
            EXPECT_LE(low.values[i], low_alone.values[i]);
            if (low.values[i] < low_alone.values[i]) {
                EXPECT_EQ(source.values[i], 2);
            }
            by_chart += source.values[i] == 2 ? 1 : 0; // some shoaler by less than a step of the raster
            shoaler += low.values[i] < low_alone.values[i] ? 1 : 0;
        }
        differ += (static_cast<int>(advice.values[i]) & 2048) != 0 ? 1 : 0;
    }
    EXPECT_GT(shoaler, 1000);
    EXPECT_LE(by_chart, shoaler + shoaler / 10);
    EXPECT_GT(yes, 1000);
    EXPECT_GE(kept, yes * 9 / 10);
    EXPECT_LT(kept_by_model, kept);
    EXPECT_GT(differ, 100);
    EXPECT_LT(differ, static_cast<int>(alone.values.size()) / 20)
        << "an advice that stands everywhere tells nothing";
    EXPECT_THAT(bytes_of(haven.scratch / "survey/manifest.json"),
                testing::AllOf(HasSubstr("survey: yes"), HasSubstr("the chart may be the newer"),
                               HasSubstr("chart over survey")));
}

TEST(Charts, FindAWrongDatumOfARasterAndWhichSourceSpoke) {
    const HavenRuns haven;
    const Outcome wrong = haven.run("wrong", {"--chart", harbour}, "5");
    EXPECT_EQ(wrong.exit_code, 0);
    EXPECT_THAT(wrong.err, testing::AllOf(HasSubstr("warning: testdata/haven/bathymetry.tif"),
                                          HasSubstr("m deeper than the charts' soundings"),
                                          HasSubstr("look at --chart-datum")));
    const auto spot = [&](const Words& more, const std::string& lon, const std::string& lat) {
        return swingroom(Words{"spot", lon, lat, "--bathymetry", "testdata/haven/bathymetry.tif",
                               "--positive", "up", "--chart-datum", "0", "--uncertainty", "0.2", "--chart",
                               harbour} +
                         more + stay);
    };
    EXPECT_THAT(spot({"--survey", "yes"}, "-29.04", "47.985").out,
                testing::ContainsRegex("depth from +testdata/haven/bathymetry.tif"));
    EXPECT_THAT(spot({}, "-29.04", "47.985").out, testing::ContainsRegex("depth from +" + harbour));
    write_bytes(haven.scratch / "survey.plan", "survey = yes\n");
    EXPECT_EQ(spot({"--plan", haven.scratch / "survey.plan"}, "-29.04", "47.985").out,
              spot({"--survey", "yes"}, "-29.04", "47.985").out);
    EXPECT_THAT(spot({"--survey", "maybe"}, "-29.04", "47.985").err, HasSubstr("is neither yes nor no"));
}

TEST(Inputs, CompareRastersWithTheChartsBesideThem) {
    const Words files = {"inputs", "testdata/haven/bathymetry.tif", harbour};
    const Outcome found =
        swingroom(files + Words{"--positive", "up", "--chart-datum", "0", "--uncertainty", "0.2"});
    EXPECT_EQ(found.exit_code, 0) << found.err;
    EXPECT_THAT(found.out,
                testing::ContainsRegex("raster less chart 0\\.0[0-9] m \\(median of 119 soundings\\)"));
    EXPECT_THAT(found.out, Not(HasSubstr("doubtful: its depths are")));
    const Outcome turned =
        swingroom(files + Words{"--positive", "down", "--chart-datum", "0", "--uncertainty", "0.2"});
    EXPECT_THAT(turned.out, HasSubstr("with the other sign they would fit; look at --positive"));
    const Outcome twice = swingroom(files + Words{"--positive", "down", "--positive", "up"});
    EXPECT_EQ(twice.exit_code, 2);
    EXPECT_THAT(twice.err, HasSubstr("--positive: is given twice, a raster once"));
    EXPECT_THAT(swingroom({"inputs", harbour, "--chart-datum", "1"}).err,
                HasSubstr("--chart-datum: tells of a raster, and none is given"));
}

TEST(Inputs, TellWhatIsDoubtfulAndFailWhereARunWould) {
    const Outcome chart = swingroom({"inputs", harbour});
    EXPECT_EQ(chart.exit_code, 0);
    EXPECT_THAT(chart.out, HasSubstr("A2 90.4 %, C 9.5 %"));
    EXPECT_THAT(chart.out, HasSubstr("nothing doubtful was found"));
    const Outcome raster =
        swingroom({"inputs", "testdata/haven/bathymetry.tif", "testdata/haven/cables.geojson"});
    EXPECT_EQ(raster.exit_code, 2);
    EXPECT_EQ(raster.err, "");
    EXPECT_THAT(raster.out, HasSubstr("to be said: "));
    EXPECT_THAT(raster.out, HasSubstr("2.00 m x 2.00 m on the ground"));
    EXPECT_THAT(raster.out, HasSubstr("cables"));
    const Outcome odd = swingroom({"inputs", "testdata/cells/QQ5ODD.000"});
    EXPECT_THAT(odd.out, HasSubstr("object class 40000"));
    const Outcome s101 = swingroom({"inputs", "testdata/cells/S101-like.000"});
    EXPECT_EQ(s101.exit_code, 2);
    EXPECT_EQ(s101.lines(), 1U);
    EXPECT_THAT(s101.err, HasSubstr("is an S-101 data set"));
}

TEST(Charts, TheSameBytesWhateverTheThreadsAndTheBlocks) {
    const Scratch scratch;
    const auto run = [&](const std::string& name, const Words& more) {
        EXPECT_EQ(
            swingroom(Words{"overlay", "--chart", harbour, "--chart", approach, "--out", scratch / name} +
                      more + stay)
                .exit_code,
            0);
        return contents(scratch / name);
    };
    const auto one = run("one", {"--threads", "1"});
    EXPECT_EQ(one, run("three", {"--threads", "3", "--memory", "64"}));
    EXPECT_GE(one.size(), 22U);
}

TEST(Charts, BrokenCellsAreToldAndNeverCrash) {
    const Scratch scratch;
    const std::string sound = bytes_of(std::filesystem::path(SWINGROOM_TESTDATA "/cells/QQ5HAVEN.000"));
    std::mt19937 dice(20260411);
    int refused = 0;
    for (int i = 0; i < 40; ++i) {
        std::string bytes = sound;
        if (i % 2 == 0) {
            bytes.resize(dice() % bytes.size());
        } else {
            for (int flip = 0; flip < 4; ++flip) {
                const std::size_t at = dice() % bytes.size();
                bytes[at] = static_cast<char>(bytes[at] ^ (1 << dice() % 8));
            }
        }
        write_bytes(scratch / "QQ5HAVEN.000", bytes);
        const Outcome run = swingroom({"inputs", scratch / "QQ5HAVEN.000"});
        EXPECT_TRUE(run.exit_code == 0 || run.exit_code == 1 || run.exit_code == 2) << i << run.err;
        if (run.exit_code == 0) continue;
        ++refused;
        EXPECT_EQ(run.lines(), 1U) << i << ": " << run.err;
        EXPECT_THAT(run.err, HasSubstr("QQ5HAVEN.000")) << i;
    }
    EXPECT_GE(refused, 20) << "all that were cut off";
}

TEST(Charts, MistakesGiveOneLine) {
    const Scratch scratch;
    const auto says = [&](const Words& more) {
        const Outcome run = swingroom(Words{"overlay", "--out", scratch / "x"} + more + stay);
        EXPECT_EQ(run.exit_code, 2) << run.err;
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_TRUE(scratch.names().empty());
        return run.err;
    };
    EXPECT_THAT(says({}),
                HasSubstr("--bathymetry: is missing; name the raster, or give charts with --chart"));
    EXPECT_THAT(says({"--chart", "testdata/haven/cables.geojson"}), HasSubstr("is no S-57 cell"));
    EXPECT_THAT(says({"--chart", harbour, "--positive", "up"}), HasSubstr("--positive: tells of a raster"));
    EXPECT_THAT(says({"--chart", harbour, "--uncertainty", "band"}), HasSubstr("--uncertainty: is band"));
    EXPECT_THAT(says({"--chart", harbour, "--cell", "0"}), HasSubstr("--cell"));
    EXPECT_THAT(says({"--chart", harbour, "--zone-margin", "maybe"}),
                HasSubstr("--zone-margin: \"maybe\" is neither"));
    EXPECT_THAT(says({"--chart", "testdata/cells/QQ5HAVEN.001"}), HasSubstr("is an update of an S-57 cell"));
    EXPECT_THAT(says({"--chart", "testdata/cells/none.000"}), HasSubstr("no such file"));
}

} // namespace
} // namespace swingroom::golden
