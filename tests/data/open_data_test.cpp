// The built command on real soundings, each set with its own traps of sign, datum, grid and missing values.
// The bounds are wide: they tell a wrong sign, a datum taken the wrong way or a lost margin, not the last
// cell.

#include "golden/support.hpp"
#include "support/open_data.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <map>
#include <regex>
#include <string>
#include <utility>

namespace swingroom::golden {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::StartsWith;

/// Words of a command line.
using Words = std::vector<std::string>;

Words operator+(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

constexpr const char* sloop = R"([hull]
name = tern sloop
length = 9.5 m
beam = 3.2 m
draught = 1.5 m
bow_roller = 1.1 m
windage_area = 8
[rode]
chain = 40 m
chain_diameter = 8 mm
rope = 40 m
rope_diameter = 14 mm
[anchor]
type = scoop
mass = 15 kg
holding.sand = 7 kN
holding.mud = 3.5 kN
[sinker]
mass = 12 kg
material = lead
at = best
line = 12 m
[policy]
scope = 5
short_scope = 3
under_keel = 0.5 m
wave_height = 0.3 m
gust = 1.3
position_allowance = 2 m
set_distance = 2 m
)";

constexpr const char* skiff = R"([hull]
name = creek skiff
length = 3.5 m
beam = 1.4 m
draught = 0.3 m
bow_roller = 0.4 m
windage_area = 1.2
[rode]
chain = 5 m
chain_diameter = 6 mm
rope = 60 m
rope_diameter = 10 mm
mark = 1 m
[anchor]
type = claw
mass = 4 kg
holding.sand = 1.5 kN
[policy]
scope = 3
short_scope = 1.5
pull_angle = 20
under_keel = 0.2 m
wave_height = 0.1 m
gust = 1.2
position_allowance = 0.5 m
set_distance = 0.5 m
)";

/// Cells by verdict: unsurveyed, no, sinker, short, full.
using Counts = std::array<int, 5>;

class OpenData : public testing::Test {
protected:
    void SetUp() override {
        data_ = testing_support::open_data();
        if (data_.empty()) GTEST_SKIP() << testing_support::no_open_data;
        write_bytes(scratch_ / "sloop.ini", sloop);
        write_bytes(scratch_ / "skiff.ini", skiff);
    }

    [[nodiscard]] Words sloop_job(const std::string& raster, const Words& more) const {
        return Words{"--bathymetry", data_ + raster, "--boat", scratch_ / "sloop.ini", "--wind", "15"} + more;
    }
    [[nodiscard]] Words skiff_job(const std::string& raster, const std::string& chart_datum_m) const {
        return {
            "--bathymetry", data_ + raster, "--boat", scratch_ / "skiff.ini", "--wind", "5", "--chart-datum",
            chart_datum_m,  "--low-water",  "0",      "--high-water",         "0.5"};
    }

    /// By depth and room alone: what the way in makes of them has tests of its own.
    Counts verdicts(const Words& of, const std::string& name = "run") {
        run_ = swingroom(Words{"overlay", "--layers", "verdict,depth_low,zones,spots", "--no-way-in",
                               "--overwrite", "--out", scratch_ / name} +
                         of);
        Counts counts{};
        EXPECT_EQ(run_.exit_code, 0) << run_.err;
        if (run_.exit_code != 0) return counts;
        const Outcome verified = swingroom({"verify", scratch_ / name});
        EXPECT_EQ(verified.exit_code, 0) << verified.err;
        verdict_ = read_layer(scratch_ / (name + "/verdict.tif"));
        for (const double v : verdict_.values) {
            ++counts.at(static_cast<std::size_t>(v));
        }
        return counts;
    }

    /// What `spot` says in its first line of a position, after the position.
    static std::string at(const std::string& lon, const std::string& lat, const Words& of) {
        const Outcome spot = swingroom(Words{"spot", lon, lat} + of);
        EXPECT_EQ(spot.exit_code, 0) << spot.err;
        const auto colon = spot.out.find(": ");
        return colon == std::string::npos ? spot.out : spot.out.substr(colon + 2);
    }

    /// Warnings aside that are meant: cells of 10 m and more are coarse for a small boat.
    void expect_only_coarse() const {
        EXPECT_EQ(run_.lines(), 1U) << run_.err;
        EXPECT_TRUE(run_.says("the cells exceed a third of the least swinging radius")) << run_.err;
    }

    void expect_refused(const Words& of, const std::string& why) {
        const Outcome refused = swingroom(Words{"overlay", "--out", scratch_ / "refused"} + of);
        EXPECT_EQ(refused.exit_code, 2);
        // In one line, or all that is missing in lines that are broken anywhere.
        const bool several = refused.err.find(" things are not said") != std::string::npos;
        EXPECT_TRUE(several || refused.lines() == 1U) << refused.err;
        EXPECT_THAT(std::regex_replace(refused.err, std::regex("\\s+"), " "), HasSubstr(why));
        EXPECT_FALSE(std::filesystem::exists(scratch_ / "refused"));
    }

    std::string data_;
    Scratch scratch_;
    Outcome run_;
    Layer verdict_;
};

double share(int part, int whole) { return static_cast<double>(part) / whole; }

TEST_F(OpenData, PortsmouthSurveySaysAllItself) {
    const Words of = sloop_job("portsmouth-bag/sh2007.bag", {"--low-water", "0", "--high-water", "2.6"});
    const Counts counts = verdicts(of);
    EXPECT_EQ(run_.err, "");
    EXPECT_EQ(counts[0], 326182); // the cells without a depth
    EXPECT_NEAR(counts[3], 265700, 8000);
    EXPECT_NEAR(counts[4], 7700, 2000); // the crests of sand waves amid the field
    // The crests do not take every spot for themselves: the wide field about them gets some too.
    EXPECT_THAT(
        bytes_of(scratch_ / "run/spots.geojson"),
        AllOf(HasSubstr("yes, at full scope"), HasSubstr("\"yes, at short scope; holding not known\"")));
    EXPECT_THAT(at("-70.7050", "43.0672", of), StartsWith("yes, at short scope"));
    EXPECT_THAT(at("-70.7046", "43.0698", of), StartsWith("no")); // 20 m from the survey's edge
    EXPECT_THAT(at("-70.7074", "43.0650", of), StartsWith("unsurveyed"));
}

TEST_F(OpenData, BagAndS102SayThatTheyAreSurveysAndWhenTheyWereMade) {
    // As gdalinfo -mdd xml:BAG shows the end of its TimePeriod; the other file has none, but a BAG_DATETIME.
    EXPECT_THAT(swingroom({"inputs", data_ + "portsmouth-bag/sh2007.bag"}).out,
                AllOf(HasSubstr("yes (by format)"), HasSubstr("by 2007-06-08 (the end of its time)")));
    EXPECT_THAT(swingroom({"inputs", data_ + "format-samples/F00788_SR_8m.bag"}).out,
                HasSubstr("by 2019-11-04 (when the file was made)"));
    EXPECT_THAT(swingroom({"inputs", data_ + "format-samples/102US004MI1CI262227.h5"}).out,
                AllOf(HasSubstr("yes (by format)"), HasSubstr("by 2026-01-26 (when it was issued)")));
    EXPECT_THAT(swingroom({"inputs", data_ + "portsmouth-bag/sh2007.bag", "--survey", "no"}).out,
                HasSubstr("no: a model (as said; its format says yes)"));
}

TEST_F(OpenData, TheSameWaterAtOneResolutionAndAtVariable) {
    const Counts single = verdicts(skiff_job("portsmouth-bag/tiny_sr.bag", "0"));
    EXPECT_EQ(run_.err, "");
    const Counts variable = verdicts(skiff_job("portsmouth-bag/tiny_vr.bag", "0"));
    EXPECT_EQ(run_.err, "");
    EXPECT_NEAR(single[3] + single[4], 234, 40);
    EXPECT_NEAR(variable[3] + variable[4], single[3] + single[4], 15);
    EXPECT_NEAR(variable[1], single[1], 200);
}

TEST_F(OpenData, HiloInLongitudesToThreeHundredAndSixty) {
    const Words of =
        sloop_job("hilo-harbour/hilo_grid_1_3_arsec.tif",
                  {"--crs", "EPSG:4326", "--positive", "up", "--depth-unit", "m", "--chart-datum", "-0.6",
                   "--uncertainty", "0.5", "--low-water", "-0.1", "--high-water", "0.8"});
    const Counts counts = verdicts(of);
    expect_only_coarse();
    EXPECT_EQ(counts[0], 0);
    EXPECT_NEAR(share(counts[4], 701 * 692), 0.149, 0.01);
    EXPECT_NEAR(share(counts[3], 701 * 692), 0.085, 0.01);
    EXPECT_THAT(at("-155.085", "19.735", of), StartsWith("yes, at full scope")); // the inner bay
    EXPECT_THAT(at("204.915", "19.735", of), StartsWith("yes, at full scope"));  // the same place
    EXPECT_THAT(at("-155.05", "19.765", of), StartsWith("no"));                  // too deep
    EXPECT_THAT(at("-155.09", "19.715", of), StartsWith("no"));                  // the town
    EXPECT_NEAR(verdict_.west, 204.9, 0.001);

    const Counts part = verdicts(of + Words{"--bounds", "-155.2,19.72,-155.06,19.74"}, "part");
    const Layer window = verdict_, whole = read_layer(scratch_ / "run/verdict.tif");
    EXPECT_GT(part[4], 30000);
    const int first_row = static_cast<int>((whole.north - window.north) / -whole.step_y + 0.5);
    for (int row = 0; row < window.rows; ++row) {
        for (int col = 0; col < window.cols; ++col) {
            ASSERT_EQ(window.at(col, row), whole.at(col, first_row + row)) << col << ' ' << row;
        }
    }
}

TEST_F(OpenData, TerschellingFlatsAndChannels) {
    const Words of =
        sloop_job("terschelling-tidal/terschelling_bathymetry_30m.tif",
                  {"--positive", "up", "--uncertainty", "0.3", "--low-water", "0.3", "--high-water", "2.4"});
    const Counts counts = verdicts(of);
    expect_only_coarse();
    EXPECT_EQ(counts[0], 342086); // the cells without a depth
    EXPECT_NEAR(share(counts[4], 1521 * 1194), 0.163, 0.01);
    EXPECT_NEAR(share(counts[3], 1521 * 1194), 0.155, 0.01);
    EXPECT_THAT(at("5.181156", "53.256281", of), StartsWith("yes, at full scope"));  // a wide channel
    EXPECT_THAT(at("5.456392", "53.480202", of), StartsWith("yes, at short scope")); // off the island
    EXPECT_THAT(at("5.474232", "53.268539", of), StartsWith("no"));                  // a drying flat
    expect_refused(sloop_job("terschelling-tidal/terschelling_bathymetry_30m.tif",
                             {"--low-water", "0.3", "--high-water", "2.4"}),
                   "they run from -40.57 to 3.23");
}

TEST_F(OpenData, KeyWestWithItsHarbourCells) {
    const std::string folder = data_ + "key-west-enc/";
    const Words of = sloop_job("key-west-enc/key_west_depth_10m_derived.tif",
                               {"--positive", "down", "--chart-datum", "0", "--uncertainty", "0.3",
                                "--hazards", folder + "US5FL4DR.000", "--hazards", folder + "US5FL4DQ.000",
                                "--seabed", "sand", "--low-water", "-0.1", "--high-water", "0.6"});
    const Counts counts = verdicts(of);
    expect_only_coarse(); // every class in the cells has a rule
    EXPECT_EQ(counts[0], 171942);
    EXPECT_NEAR(share(counts[4], 1525 * 841), 0.17, 0.012);
    EXPECT_GT(counts[1], 800000);
    EXPECT_THAT(at("-81.84", "24.53", of), StartsWith("yes, at full scope")); // the open roadstead
    const Outcome cable = swingroom(Words{"spot", "-81.777457", "24.530643"} + of);
    EXPECT_THAT(cable.out, HasSubstr(": no\n"));
    EXPECT_THAT(cable.out, HasSubstr("cable area"));
    const Outcome wreck = swingroom(Words{"spot", "-81.813425", "24.567648"} + of);
    EXPECT_THAT(wreck.out, HasSubstr(": no\n"));
    EXPECT_THAT(wreck.out, HasSubstr("wreck (WRECKS"));
    const Outcome naval = swingroom(Words{"spot", "-81.809248", "24.554092"} + of);
    EXPECT_THAT(naval.out, HasSubstr(": no\n"));
    EXPECT_THAT(naval.out, HasSubstr("entry restricted (RESARE"));
    const Outcome flat = swingroom(Words{"spot", "-81.87", "24.56"} + of);
    EXPECT_THAT(flat.out, HasSubstr(": no\n"));
    EXPECT_THAT(flat.out, HasSubstr("2.2 m needed, 0.7 m there"));
}

TEST_F(OpenData, FormatsThatCannotBeJudgedAreRefusedInOneLine) {
    const auto sample = [&](const std::string& name) {
        return sloop_job("format-samples/" + name, {"--low-water", "0", "--high-water", "1"});
    };
    const std::string shore = "FRF_20151014_1108_FRF_NAVD88_LARC_GPS_UTC_v20170328_grid_latlon.nc";
    expect_refused(sample(shore), "has no geotransform");
    expect_refused(sample(shore) + Words{"--variable", "lidar"},
                   "give --variable one of latitude, longitude, northing, easting, elevation");
    expect_refused(sample("Sample_VR_BAG-gzip.bag"), "names no CRS");
    expect_refused(sample("true_n_nominal.bag"), "names no CRS");
    expect_refused(sample("F00788_SR_8m.bag"), "vertical datum \"unknown\"");
    expect_refused(sample("sample-2.0.1.bag"), "Alicante");
    expect_refused(sample("BlueTopo_BC25M26L_20221102b.tiff"), "they run from -3541.02 to -791.93");
}

/// Options that a refusal asks for, in its order.
Words asked_in(const std::string& refusal) {
    static const std::regex line("\n  --([a-z-]+) ");
    Words options;
    for (std::sregex_iterator at(refusal.begin(), refusal.end(), line), end; at != end; ++at) {
        options.push_back((*at)[1]);
    }
    return options;
}

TEST_F(OpenData, AFirstOverlayTakesTwoAttempts) {
    const std::vector<std::pair<std::string, Words>> rasters = {
        {"portsmouth-bag/sh2007.bag", {"boat", "low-water", "high-water", "wind", "out"}},
        {"hilo-harbour/hilo_grid_1_3_arsec.tif",
         {"crs", "positive", "depth-unit", "chart-datum", "uncertainty", "boat", "low-water", "high-water",
          "wind", "out"}}};
    // Of Hilo, whose file says nothing, a trial's assumptions: NAD 83, and mean high water 0.6 m above MLLW.
    const std::map<std::string, std::string> known = {
        {"crs", "EPSG:4269"},       {"positive", "up"},     {"depth-unit", "m"},
        {"chart-datum", "-0.6"},    {"uncertainty", "0.5"}, {"boat", scratch_ / "sloop.ini"},
        {"low-water", "0"},         {"high-water", "1"},    {"wind", "15"},
        {"out", scratch_ / "first"}};
    for (const auto& [raster, asked] : rasters) {
        Words job = {"overlay", "--bathymetry", data_ + raster, "--layers", "verdict", "--overwrite"};
        const Outcome refused = swingroom(job);
        EXPECT_EQ(refused.exit_code, 2);
        EXPECT_EQ(asked_in(refused.err), asked) << refused.err;
        for (const std::string& option : asked_in(refused.err)) {
            job.insert(job.end(), {"--" + option, known.at(option)});
        }
        const Outcome made = swingroom(job);
        EXPECT_EQ(made.exit_code, 0) << made.err;
    }
}

TEST_F(OpenData, AWrongSignIsDoubtedWhereDepthsWouldBeHills) {
    for (const std::string raster :
         {"hilo-harbour/hilo_grid_1_3_arsec.tif", "terschelling-tidal/terschelling_bathymetry_30m.tif"}) {
        const auto told = [&](const std::string& sign) {
            return swingroom({"inputs", data_ + raster, "--positive", sign}).out;
        };
        EXPECT_THAT(told("down"), HasSubstr("doubtful: read as depths, ")) << raster;
        EXPECT_THAT(told("up"), testing::Not(HasSubstr("read as heights, "))) << raster;
    }
    EXPECT_THAT(
        swingroom({"inputs", data_ + "key-west-enc/key_west_depth_10m_derived.tif", "--positive", "down"})
            .out,
        testing::Not(HasSubstr("read as depths, ")));
}

TEST_F(OpenData, TwoSurveysOfOneHarbourWhoseGridsFit) {
    const auto layers = [&](const std::string& name, const Words& rasters) {
        const Outcome run =
            swingroom(Words{"overlay", "--layers", "source,depth_low", "--out", scratch_ / name, "--boat",
                            scratch_ / "skiff.ini", "--wind", "5", "--low-water", "0", "--high-water", "1"} +
                      rasters);
        EXPECT_EQ(run.exit_code, 0) << run.err;
        return std::pair(read_layer(scratch_ / (name + "/source.tif")),
                         read_layer(scratch_ / (name + "/depth_low.tif")));
    };
    const std::string large = data_ + "portsmouth-bag/sh2007.bag",
                      small = data_ + "portsmouth-bag/tiny_sr.bag";
    const auto [ignored, large_m] = layers("large", {"--bathymetry", large});
    const auto [all_small, small_m] = layers("small", {"--bathymetry", small, "--chart-datum", "0"});
    const auto [source, both_m] = layers("both", {"--bathymetry", small, "--bathymetry", large,
                                                  "--chart-datum", "0", "--chart-datum", "stated"});
    ASSERT_EQ(source.cols, large_m.cols); // the small one lies within, its cells on the others'
    ASSERT_EQ(source.rows, large_m.rows);
    const int first_col = static_cast<int>(std::lround((small_m.west - source.west) / 0.5)),
              first_row = static_cast<int>(std::lround((source.north - small_m.north) / 0.5));
    int of_small = 0;
    for (int row = 0; row < source.rows; ++row) {
        for (int col = 0; col < source.cols; ++col) {
            const int c = col - first_col, r = row - first_row;
            const bool inside = c >= 0 && c < small_m.cols && r >= 0 && r < small_m.rows;
            const bool first = inside && all_small.at(c, r) == 1;
            const double expected_m = first ? small_m.at(c, r) : large_m.at(col, row);
            const bool none = std::isnan(expected_m);
            ASSERT_EQ(source.at(col, row), first ? 1 : none ? 0 : 2) << col << ' ' << row;
            ASSERT_TRUE(none ? std::isnan(both_m.at(col, row)) : both_m.at(col, row) == expected_m)
                << col << ' ' << row;
            of_small += first;
        }
    }
    EXPECT_GT(of_small, 5000);
}

TEST_F(OpenData, AnS102OfALakeSaysAllItself) {
    const Words of =
        skiff_job("format-samples/102US004MI1CI262227.h5", "0") + Words{"--layers", "verdict,depth_low"};
    const Outcome run = swingroom(Words{"overlay", "--out", scratch_ / "lake"} + of);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const Layer depth = read_layer(scratch_ / "lake/depth_low.tif"),
                verdict = read_layer(scratch_ / "lake/verdict.tif");
    EXPECT_EQ(depth.cols, 21);
    EXPECT_EQ(depth.rows, 31);
    EXPECT_EQ(depth.step_y, -16);
    EXPECT_NEAR(depth.west, 321943.655, 0.001);
    EXPECT_NEAR(depth.north, 4685832.927, 0.001);
    EXPECT_EQ(std::count(verdict.values.begin(), verdict.values.end(), 0), 432); // the fill values
    double least = 1e9, most = -1e9;
    for (const double v : depth.values) {
        if (!std::isnan(v)) {
            least = std::min(least, v);
            most = std::max(most, v);
        }
    }
    // 4.44 m and more, each less its own uncertainty of up to 3.66 m: 0.79 to 7.71 m, in steps of 1/16 m.
    EXPECT_EQ(least, 0.75);
    EXPECT_EQ(most, 7.6875);
}

TEST_F(OpenData, VariableResolutionWithAndWithoutHoles) {
    const Counts puget =
        verdicts(sloop_job("format-samples/2801_4NodeSubset.bag", {"--low-water", "0", "--high-water", "3"}));
    EXPECT_THAT(run_.err, testing::HasSubstr("of the surveyed area nothing is a yes"));
    EXPECT_EQ(puget[0], 3 * puget[1]); // four supergrids of sixteen
    EXPECT_EQ(puget[2] + puget[3] + puget[4], 0);
    const Counts river = verdicts(skiff_job("format-samples/CARIS_Density_20.bag", "50"));
    expect_only_coarse();
    EXPECT_LT(river[0], 640); // not the holes of a grid at the finest spacing
    EXPECT_NEAR(river[3] + river[4], 153, 40);
}

} // namespace
} // namespace swingroom::golden
