// A program of somebody else's gets from the library what the command prints with --json, byte by byte. Only
// headers that are installed are used.

#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/report/alternatives.hpp"
#include "swingroom/report/boat_report.hpp"
#include "swingroom/report/spot_report.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cstddef>
#include <cstdio>
#include <fstream>
#include <memory>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

const std::string haven = SWINGROOM_TESTDATA "/haven/";

/// The options of testdata/haven/haven.plan, as a program says them.
struct Haven {
    Boat boat = read_boat_file(haven + "heavy_ketch.ini");
    std::unique_ptr<DepthSource> depths = open_bathymetry(
        BathymetryRequest{haven + "bathymetry.tif", false, {}, 0.0, DepthUncertainty::constant(0.2), {}, {}});
    TackleTables tables{boat, {{0.5, 2.5}, 15, 0}, depths->greatest_uncertainty_m()};
    Georeference georeference{depths->grid(), "bathymetry.tif"};
    GroundMetric metric = ground_metric(depths->grid(), "bathymetry.tif");
    std::vector<HazardRule> rules = read_hazard_rules_file(haven + "haven.rules");
    HazardField hazards{read(), depths->grid().extent(), metric};

    [[nodiscard]] std::vector<Hazard> read() const {
        HazardTerms terms;
        terms.uncertainty = DepthUncertainty::constant(0.2);
        std::vector<std::string> files;
        for (const char* name : {"cables", "rocks", "wrecks", "moorings", "fairways", "seabed"}) {
            files.push_back(haven + name + ".geojson");
        }
        return read_hazards(files, rules, depths->grid(), metric, terms).hazards;
    }
    /// All that the command says of a place.
    [[nodiscard]] SpotReport spot(LonLat at) const {
        SpotReport report = spot_report(job(), georeference, at);
        if (!is_yes(report.cell.answer.verdict)) {
            report.alternatives =
                find_alternatives(report.cell, job(), georeference, at, rules, depths->grid().extent());
        }
        return report;
    }
    [[nodiscard]] OverlayJob job() const {
        OverlayJob job;
        job.depths = depths.get();
        job.metric = &metric;
        job.hazards = &hazards;
        job.tables = &tables;
        job.window = depths->grid().extent();
        return job;
    }
};

// Whoever asks for a position alone looks for no way in.
TEST(Library, TellsOfASpotWhatTheCommandDoes) {
    const Haven here;
    // The pool, the roads, the cable, the deep and land.
    for (const LonLat at :
         {LonLat{-29.043932, 47.987038}, LonLat{-29.03971, 47.982965}, LonLat{-29.043402, 47.982089},
          LonLat{-29.036919, 47.980135}, LonLat{-29.050417, 47.989343}}) {
        const std::string lon = std::to_string(at.lon), lat = std::to_string(at.lat);
        const Outcome printed =
            swingroom({"spot", lon, lat, "--plan", "testdata/haven/haven.plan", "--no-way-in", "--json"});
        ASSERT_EQ(printed.exit_code, 0) << printed.err;
        EXPECT_EQ(spot_json(here.spot(at)), printed.out);
        const Measures feet{LengthUnit::foot, PositionForm::minutes};
        const Outcome read = swingroom({"spot", lon, lat, "--plan", "testdata/haven/haven.plan",
                                        "--no-way-in", "--units", "ft", "--positions", "minutes"});
        EXPECT_EQ(spot_text(here.spot(at), feet), read.out);
    }
}

TEST(Library, TellsOfABoatWhatTheCommandDoes) {
    const Boat boat = read_boat_file(haven + "heavy_ketch.ini");
    const TackleTables tables(boat, {{0.5, 2.5}, 15, 1}, sounded_uncertainty_m(boat));
    const BoatReport report = boat_report(tables, -1);
    const auto printed = [&](const char* format) {
        const Outcome run =
            swingroom({"boat", "testdata/haven/heavy_ketch.ini", "--low-water", "0.5", "--high-water", "2.5",
                       "--wind", "15", "--current", "1", "--format", format});
        EXPECT_EQ(run.exit_code, 0) << run.err;
        return run.out;
    };
    EXPECT_EQ(boat_json(tables, report), printed("json"));
    EXPECT_EQ(boat_csv(tables, report), printed("csv"));
    EXPECT_EQ(boat_text(tables, report), printed("text"));
    EXPECT_EQ(boat_markdown(tables, report), printed("markdown"));
}

/// testdata/library/anchor_here.cpp: a chart of verdicts, then the spot as JSON.
TEST(Library, TheExampleIsShortAndTellsOfVerdictsAndASpot) {
    std::ifstream source(SWINGROOM_TESTDATA "/library/anchor_here.cpp");
    std::size_t lines = 0;
    for (std::string line; std::getline(source, line);) {
        ++lines;
    }
    EXPECT_GT(lines, 20U);
    EXPECT_LE(lines, 40U) << "what a newcomer reads at one sight";

    const std::string command = std::string(SWINGROOM_LIBRARY_EXAMPLE) + " " + haven + "heavy_ketch.ini";
    const std::unique_ptr<FILE, int (*)(FILE*)> run(popen(command.c_str(), "r"), pclose);
    ASSERT_TRUE(run);
    std::string printed;
    std::array<char, 4096> piece{};
    while (const std::size_t got = std::fread(piece.data(), 1, piece.size(), run.get())) {
        printed.append(piece.data(), got);
    }
    const auto json = printed.find('{');
    ASSERT_NE(json, std::string::npos) << printed;
    const std::string chart = printed.substr(0, json);
    ASSERT_EQ(chart.size(), 20U * 61) << chart;
    for (const char verdict : {'.', '1', '2', '3'}) {
        EXPECT_NE(chart.find(verdict), std::string::npos) << verdict << " is missing:\n" << chart;
    }
    EXPECT_EQ(chart[5 * 61 + 45], '.') << "the wreck";
    EXPECT_EQ(chart[10 * 61 + 5], '.') << "land";
    EXPECT_NE(printed.find("\"meaning\": \"yes, at full scope; holding not known\""), std::string::npos)
        << printed;
    EXPECT_NE(printed.find("\"label\": \"wreck\", \"distance_m\": 169"), std::string::npos) << printed;
}

} // namespace
} // namespace swingroom::golden
