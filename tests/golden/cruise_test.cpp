// A cruise is the runs that its plans are, to the byte; what has not changed is kept, what fails is told, and
// nothing that is not its own is touched.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cctype>
#include <cstddef>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <sys/file.h>
#include <unistd.h>
#include <vector>

namespace swingroom::golden {
namespace {

namespace fs = std::filesystem;

using testing::AllOf;
using testing::Each;
using testing::HasSubstr;
using testing::Not;
using Words = std::vector<std::string>;

const std::string haven = SWINGROOM_SOURCE "/testdata/haven/", three_nights = haven + "cruise.ini";
const Words stays_of_three_nights = {"west-roads", "inner-pool", "east-bight"},
            boats_of_three_nights = {"heavy-ketch", "light-sloop"};

/// The folders of all stays and boats.
Words folders_of_three_nights() {
    Words folders;
    for (const std::string& stay : stays_of_three_nights) {
        for (const std::string& boat : boats_of_three_nights) {
            folders.push_back(stay + "/" + boat);
        }
    }
    return folders;
}

std::vector<std::string> names_in(const std::string& gpx) {
    std::vector<std::string> names;
    const std::regex point("<wpt[^>]*>\\s*<name>([^<]*)</name>");
    for (std::sregex_iterator i(gpx.begin(), gpx.end(), point), none; i != none; ++i) {
        names.push_back((*i)[1]);
    }
    return names;
}

/// The demo's cruise, made once.
class ThreeNights : public testing::Test {
protected:
    static void SetUpTestSuite() {
        scratch = new Scratch;
        made = new Outcome(swingroom({"cruise", three_nights, "--out", *scratch / "cruise"}));
    }
    static void TearDownTestSuite() {
        delete scratch;
        delete made;
    }
    void SetUp() override { ASSERT_EQ(made->exit_code, 0) << made->err; }

    static Scratch* scratch;
    static Outcome* made;
};
Scratch* ThreeNights::scratch = nullptr;
Outcome* ThreeNights::made = nullptr;

TEST_F(ThreeNights, AreTheRunsThatTheirPlansAre) {
    EXPECT_EQ(made->out, fs::canonical(*scratch / "cruise").string() + "\n");
    for (const std::string& folder : stays_of_three_nights) {
        SCOPED_TRACE(folder);
        const Outcome plan = swingroom(
            {"cruise", three_nights, "--out", *scratch / "cruise", "--print-plan", folder, "--threads", "1"});
        ASSERT_EQ(plan.exit_code, 0) << plan.err;
        write_bytes(*scratch / (folder + ".plan"), plan.out);
        const Outcome one = swingroom(
            {"overlay", "--plan", *scratch / (folder + ".plan"), "--out", *scratch / "one", "--overwrite"});
        ASSERT_EQ(one.exit_code, 0) << one.err;
        const auto of_cruise = contents(*scratch / ("cruise/" + folder)),
                   of_plan = contents(*scratch / "one");
        ASSERT_EQ(of_cruise.size(), of_plan.size());
        for (const std::string& boat : boats_of_three_nights) {
            EXPECT_TRUE(of_plan.contains(boat + "/report.html")) << boat;
        }
        EXPECT_TRUE(of_plan.contains("manifest.json"));
        EXPECT_TRUE(of_plan.contains("boats_yes.tif"));
        for (const auto& [name, bytes] : of_plan) {
            ASSERT_TRUE(of_cruise.contains(name)) << name;
            EXPECT_TRUE(bytes == of_cruise.at(name)) << name << " differs";
        }
    }
}

TEST_F(ThreeNights, HaveDropPointsWhoseNamesTellTheStay) {
    const auto names = names_in(bytes_of(*scratch / "cruise/spots.gpx"));
    ASSERT_GE(names.size(), 12U);
    EXPECT_EQ(std::set<std::string>(names.begin(), names.end()).size(), names.size());
    std::map<std::string, int> by_prefix;
    for (const std::string& name : names) {
        EXPECT_LE(name.size(), 10U) << name;
        EXPECT_TRUE(std::all_of(name.begin(), name.end(), [](unsigned char c) {
            return std::isupper(c) || std::isdigit(c);
        })) << name;
        ++by_prefix[name.substr(0, 3)];
    }
    EXPECT_EQ(by_prefix.size(), folders_of_three_nights().size()) << "three letters for each stay and boat";
    // The same points in the GeoPackage, with their stays.
    GDALAllRegister();
    const GDALDatasetUniquePtr file(
        GDALDataset::Open((*scratch / "cruise/spots.gpkg").c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY));
    ASSERT_TRUE(file);
    std::set<std::string> stays, boats;
    std::size_t next = 0;
    for (const auto& feature : *file->GetLayer(0)) {
        ASSERT_LT(next, names.size());
        EXPECT_EQ(feature->GetFieldAsString("name"), names[next++]);
        stays.insert(feature->GetFieldAsString("stay"));
        boats.insert(feature->GetFieldAsString("boat"));
    }
    EXPECT_EQ(next, names.size());
    EXPECT_EQ(stays, (std::set<std::string>{"East Bight", "Inner Pool", "West Roads"}));
    EXPECT_EQ(boats, (std::set<std::string>{"heavy ketch", "light sloop"}));
}

TEST_F(ThreeNights, StandOnOnePage) {
    const std::string page = bytes_of(*scratch / "cruise/cruise.html");
    for (const std::string& folder : folders_of_three_nights()) {
        EXPECT_THAT(page, HasSubstr("href=\"" + folder + "/report.html\""));
        EXPECT_TRUE(fs::exists(*scratch / ("cruise/" + folder + "/report.html")));
        EXPECT_EQ(swingroom({"verify", *scratch / ("cruise/" + folder)}).exit_code, 0);
    }
    EXPECT_THAT(page, HasSubstr("by the tide of Ebbering Haven, quay"));
    EXPECT_THAT(page, HasSubstr("yes, at short scope, way in open at times")) << "over the bar of the pool";
    EXPECT_THAT(page, Not(HasSubstr("missing")));
}

TEST_F(ThreeNights, GiveEachBoatWhatSheGetsAloneUnderHerOwnNames) {
    const std::string plan =
        swingroom({"cruise", three_nights, "--out", *scratch / "cruise", "--print-plan", "Inner Pool"}).out;
    std::smatch names;
    ASSERT_TRUE(std::regex_search(plan, names, std::regex("name = ([A-Z0-9]{3}),([A-Z0-9]{3})\n")));
    write_bytes(*scratch / "pool.plan", plan);
    for (std::size_t boat = 0; boat < 2; ++boat) {
        const std::string file = boat == 0 ? "heavy_ketch.ini" : "light_sloop.ini";
        const Outcome run =
            swingroom({"overlay", "--plan", *scratch / "pool.plan", "--boat", haven + file, "--name",
                       names[boat + 1].str(), "--layers", "verdict,zones,spots,report", "--out",
                       *scratch / "alone", "--overwrite"});
        ASSERT_EQ(run.exit_code, 0) << run.err;
        EXPECT_TRUE(contents(*scratch / "alone") ==
                    contents(*scratch / ("cruise/inner-pool/" + boats_of_three_nights[boat])))
            << file;
    }
}

TEST_F(ThreeNights, SayHowMuchTakesBothBoats) {
    std::vector<std::size_t> in_rasters, told;
    for (const std::string& stay : stays_of_three_nights) {
        const Layer counts = read_layer(*scratch / ("cruise/" + stay + "/boats_yes.tif"));
        in_rasters.push_back(
            static_cast<std::size_t>(std::count(counts.values.begin(), counts.values.end(), 2.0)));
    }
    const std::string json = bytes_of(*scratch / "cruise/cruise.json");
    const std::regex cells("\"all_boats\": *\\{\"cells\": *([0-9]+)");
    for (std::sregex_iterator i(json.begin(), json.end(), cells), none; i != none; ++i) {
        told.push_back(std::stoul((*i)[1]));
    }
    EXPECT_EQ(told, in_rasters);
    EXPECT_GT(in_rasters.front(), 0U);
    EXPECT_THAT(bytes_of(*scratch / "cruise/cruise.html"),
                HasSubstr("of the surveyed area is a yes for each of them"));
}

TEST_F(ThreeNights, MadeAgainKeepEverythingAndTheirBytes) {
    const auto before = contents(*scratch / "cruise");
    const auto made_at = [](const std::string& folder) {
        return fs::last_write_time(*scratch / ("cruise/" + folder + "/manifest.json"));
    };
    std::map<std::string, fs::file_time_type> times;
    for (const std::string& folder : folders_of_three_nights()) {
        times[folder] = made_at(folder);
    }
    const Outcome again = swingroom({"cruise", three_nights, "--out", *scratch / "cruise", "--json"});
    ASSERT_EQ(again.exit_code, 0) << again.err;
    EXPECT_EQ(again.out, bytes_of(*scratch / "cruise/cruise.json"));
    EXPECT_TRUE(contents(*scratch / "cruise") == before);
    for (const std::string& folder : folders_of_three_nights()) {
        EXPECT_EQ(made_at(folder), times[folder]) << folder << " was made anew";
    }
}

TEST_F(ThreeNights, AreAskedForByTheNameOfTheStayOrItsFolder) {
    const auto print = [&](const std::string& stay) {
        return swingroom({"cruise", three_nights, "--out", *scratch / "cruise", "--print-plan", stay});
    };
    const Outcome by_name = print("inner pool"), by_folder = print("inner-pool");
    EXPECT_EQ(by_name.exit_code, 0) << by_name.err;
    EXPECT_EQ(by_name.out, by_folder.out);
    EXPECT_THAT(by_name.out, AllOf(HasSubstr("/heavy_ketch.ini\n"), HasSubstr("/light_sloop.ini\n")));
    const Outcome none = print("Inner Pole");
    EXPECT_EQ(none.exit_code, 2);
    EXPECT_THAT(none.err, HasSubstr("did you mean Inner Pool?"));
}

/// Cruises over a flat sea, which take no time.
class Cruise : public testing::Test {
protected:
    void SetUp() override {
        write_sea(scratch / "sea.tif");
        write_bytes(scratch / "ketch.ini", bytes_of(haven + "heavy_ketch.ini"));
    }
    static inline const std::string common =
        "boat = ketch.ini\nbathymetry = sea.tif\npositive = up\nchart-datum = 0\nuncertainty = 0.2\n"
        "low-water = 0\nhigh-water = 1\nwind = 12\nlayers = verdict,spots,report\n";
    static inline const std::string cove = "[stay Gull Cove]\nbounds = -28.335,47.845,-28.331,47.848\n",
                                    bay = "[stay Long Bay]\nbounds = -28.3345,47.8455,-28.332,47.8475\n",
                                    nowhere = "[stay Nowhere]\nbounds = -20,40,-19.9,40.1\n";

    Outcome make(const std::string& text, const Words& more = {}) {
        write_bytes(scratch / "cruise.ini", text);
        Words words = {"cruise", scratch / "cruise.ini", "--out", out()};
        words.insert(words.end(), more.begin(), more.end());
        return swingroom(words);
    }
    [[nodiscard]] std::string out() const { return scratch / "out"; }
    [[nodiscard]] fs::file_time_type made_at(const std::string& folder) const {
        return fs::last_write_time(out() + "/" + folder + "/manifest.json");
    }
    /// Makes the cruise and tells of both stays whether they were made anew.
    std::string made_anew(const std::string& text, const Words& more = {}) {
        const auto cove_before = made_at("gull-cove"), bay_before = made_at("long-bay");
        const Outcome run = make(text, more);
        EXPECT_EQ(run.exit_code, 0) << run.err;
        return std::string(made_at("gull-cove") == cove_before ? "" : "cove ") +
               (made_at("long-bay") == bay_before ? "" : "bay ");
    }

    Scratch scratch;
};

TEST_F(Cruise, MakesAnewWhatHasChangedAlone) {
    ASSERT_EQ(make(common + cove + bay).exit_code, 0);
    EXPECT_EQ(made_anew(common + cove + bay), "");
    EXPECT_EQ(made_anew(common + "# a comment\n" + cove + bay, {"--threads", "1", "--memory", "200"}), "");
    EXPECT_EQ(made_anew(common + cove + bay + "wind = 18\n"), "bay ");
    EXPECT_EQ(made_anew(common + cove + bay + "units = ft\nwind = 18\n"), "bay ") << "its report tells feet";
    EXPECT_EQ(made_anew(common + cove + bay), "bay ");
    EXPECT_EQ(made_anew(common + cove + bay, {"--overwrite"}), "cove bay ");
    // A folder that is not as it was written.
    write_bytes(out() + "/gull-cove/report.html", "x");
    EXPECT_EQ(made_anew(common + cove + bay), "cove ");
    fs::remove(out() + "/.cruise/long-bay.json");
    EXPECT_EQ(made_anew(common + cove + bay), "bay ");
    write_bytes(out() + "/.cruise/long-bay.json", "{\"schema\": 1");
    EXPECT_EQ(made_anew(common + cove + bay), "bay ");
    // Another input, and a file beside one that is read with it.
    const std::string boat = bytes_of(scratch / "ketch.ini");
    write_bytes(scratch / "ketch.ini", boat + "# another\n");
    EXPECT_EQ(made_anew(common + cove + bay), "cove bay ");
    write_bytes(scratch / "SEA.tfw", "5\n0\n0\n-5\n400002.5\n5300597.5\n");
    EXPECT_EQ(made_anew(common + cove + bay), "cove bay ");
    EXPECT_EQ(made_anew(common + cove + bay), "");
}

TEST_F(Cruise, GoesOnWhereAStayFails) {
    const Outcome run = make(common + cove + nowhere + bay);
    EXPECT_EQ(run.exit_code, 1);
    EXPECT_THAT(run.err, AllOf(HasSubstr("swingroom: Nowhere: --bounds: lies outside"),
                               HasSubstr("stays without an answer: 1 of 3")));
    EXPECT_EQ(run.lines(), 2U) << run.err;
    EXPECT_FALSE(fs::exists(out() + "/nowhere"));
    EXPECT_EQ(swingroom({"verify", out() + "/gull-cove"}).exit_code, 0);
    EXPECT_EQ(swingroom({"verify", out() + "/long-bay"}).exit_code, 0);
    const std::string page = bytes_of(out() + "/cruise.html");
    EXPECT_THAT(page, AllOf(HasSubstr("Of 3 answers 1 is missing"), HasSubstr("lies outside")));
    EXPECT_EQ(made_anew(common + cove + "[stay Nowhere]\nbounds = -28.335,47.845,-28.331,47.848\n" + bay),
              "");
    EXPECT_THAT(bytes_of(out() + "/cruise.html"), Not(HasSubstr("missing")));
    // What is there of a stay that fails now is told to be older.
    const Outcome older = make(common + cove + nowhere + bay);
    EXPECT_EQ(older.exit_code, 1);
    EXPECT_THAT(bytes_of(out() + "/cruise.json"), HasSubstr("what is in its folder is older"));
}

TEST_F(Cruise, TellsOnceWhatFailsForAllBoats) {
    write_bytes(scratch / "sloop.ini", bytes_of(haven + "light_sloop.ini"));
    const Outcome run = make("boat = sloop.ini\n" + common + cove + nowhere + bay);
    EXPECT_EQ(run.exit_code, 1);
    EXPECT_EQ(run.lines(), 2U) << run.err;
    EXPECT_THAT(run.err, AllOf(HasSubstr("swingroom: Nowhere: --bounds: lies outside"),
                               HasSubstr("stays without an answer: 1 of 3")));
    for (const char* const folder : {"gull-cove", "gull-cove/sloop", "gull-cove/ketch", "long-bay/ketch"}) {
        EXPECT_EQ(swingroom({"verify", out() + "/" + folder}).exit_code, 0) << folder;
    }
    EXPECT_THAT(bytes_of(out() + "/cruise.html"), HasSubstr("Of 6 answers 2 are missing"));
}

TEST_F(Cruise, LeavesFoldersOfAnOlderLayoutAlone) {
    ASSERT_EQ(make(common + cove).exit_code, 0);
    // One folder for each stay and boat, as they once were.
    fs::rename(out() + "/gull-cove", out() + "/gull-cove_ketch");
    fs::rename(out() + "/.cruise/gull-cove.json", out() + "/.cruise/gull-cove_ketch.json");
    const auto before = contents(out() + "/gull-cove_ketch");
    write_bytes(scratch / "sloop.ini", bytes_of(haven + "light_sloop.ini"));
    const Outcome run = make("boat = sloop.ini\n" + common + cove);
    EXPECT_EQ(run.exit_code, 0);
    EXPECT_THAT(run.err, HasSubstr("gull-cove_ketch: is of no stay of this cruise any more"));
    EXPECT_TRUE(contents(out() + "/gull-cove_ketch") == before);
    EXPECT_EQ(swingroom({"verify", out() + "/gull-cove/ketch"}).exit_code, 0);
}

/// Stays that share files, and others between them, in two orders and each by itself.
TEST_F(Cruise, MakesTheSameBytesWhateverWasOpenBefore) {
    const std::string of_haven =
        "boat = " + haven + "light_sloop.ini\nrules = " + haven + "haven.rules\nhazards = " + haven +
        "rocks.geojson\nlow-water = 0.5\nhigh-water = 2.5\nwind = 12\nlayers = verdict,spots,report\n";
    const std::string raster = "bathymetry = " + haven +
                               "bathymetry.tif\npositive = up\nchart-datum = 0\nuncertainty = 0.2\n",
                      chart = "chart = " + haven + "../cells/QQ5HAVEN.000\n",
                      pool = "around = 29.0440W,47.9872N, 200 m\n",
                      bight = "around = 29.0345W,47.9822N, 200 m\n";
    const Words stays = {"[stay Pool]\n" + raster + pool,
                         "[stay Bight]\n" + raster + bight,
                         "[stay Charted]\n" + raster + chart + bight,
                         "[stay Without]\n" + chart + bight + "cell = 5\n",
                         "[stay Margins]\n" + raster + pool + "margin = rock=90\n",
                         "[stay More]\n" + raster + pool + "hazards = " + haven + "cables.geojson\n"};
    const auto all = [&](const std::vector<std::size_t>& order) {
        std::string text = of_haven;
        for (const std::size_t i : order) {
            text += stays[i];
        }
        fs::remove_all(out());
        const Outcome run = make(text);
        EXPECT_EQ(run.exit_code, 0) << run.err;
        auto made = contents(out());
        std::erase_if(made, [](const auto& file) { // what stands over all stays, and what is kept of them
            return file.first.find('/') == std::string::npos || file.first.starts_with(".cruise/");
        });
        return made;
    };
    const auto forth = all({0, 1, 2, 3, 4, 5}), back = all({5, 2, 0, 4, 3, 1});
    EXPECT_GE(forth.size(), stays.size() * 4);
    EXPECT_TRUE(forth == back);
    std::size_t compared = 0;
    for (std::size_t i = 0; i < stays.size(); ++i) {
        for (const auto& [name, bytes] : all({i})) {
            ASSERT_TRUE(forth.contains(name)) << name;
            EXPECT_TRUE(forth.at(name) == bytes) << name << " differs";
            ++compared;
        }
    }
    EXPECT_EQ(compared, forth.size());
}

/// A file that is replaced when the first stay is made: what the last is made of is what its manifest names.
TEST_F(Cruise, ReadsAnewWhatChangesBetweenStays) {
    const auto rock_at = [](const std::string& position) {
        return R"({"type": "FeatureCollection", "name": "rocks", "features": [{"type": "Feature", )"
               R"("properties": {"id": 1}, "geometry": {"type": "Point", "coordinates": [)" +
               position + "]}}]}";
    };
    const std::string before = rock_at("-28.3330, 47.8465"), after = rock_at("-28.3340, 47.8470");
    write_bytes(scratch / "rocks.geojson", before);
    write_bytes(scratch / "moved.geojson", after);
    write_sea(scratch / "wide.tif", {.cols = 1500, .rows = 1500});
    const std::string text =
        common + "hazards = rocks.geojson\nrules = " + haven + "haven.rules\n" + cove +
        "[stay Wide Sound]\nbathymetry = wide.tif\nbounds = -28.33,47.77,-28.21,47.845\n" +
        "layers = verdict,spare,rode,radius,wind_limit,spots,report\n[stay Gull Bay]\n" +
        "bounds = -28.335,47.845,-28.331,47.848\n";
    write_bytes(scratch / "cruise.ini", text);
    // Long enough for the files to be kept open.
    (void)std::system("sleep 2.2");
    const std::string words = " cruise '" + (scratch / "cruise.ini") + "' --out '" + out() + "'";
    (void)std::system(("'" SWINGROOM_COMMAND "'" + words + " >/dev/null 2>&1 & pid=$!; until [ -e '" + out() +
                       "/.cruise/gull-cove.json' ] || ! kill -0 $pid 2>/dev/null; do :; done; mv '" +
                       (scratch / "moved.geojson") + "' '" + (scratch / "rocks.geojson") + "'; wait $pid")
                          .c_str());
    const auto first = contents(out() + "/gull-cove"), last = contents(out() + "/gull-bay");
    fs::remove_all(out());
    ASSERT_EQ(make(text).exit_code, 0);
    EXPECT_TRUE(contents(out() + "/gull-bay") == last);
    EXPECT_FALSE(contents(out() + "/gull-cove") == first);
    write_bytes(scratch / "rocks.geojson", before);
    fs::remove_all(out());
    ASSERT_EQ(make(text).exit_code, 0);
    EXPECT_TRUE(contents(out() + "/gull-cove") == first);
    EXPECT_FALSE(contents(out() + "/gull-bay").at("verdict.tif") == last.at("verdict.tif"));
}

TEST_F(Cruise, KilledInTheMiddleKeepsWhatIsFinished) {
    // The second stay takes long enough to be hit.
    write_sea(scratch / "wide.tif", {.cols = 2000, .rows = 2000});
    const std::string text = common + cove +
                             "[stay Wide Sound]\nbathymetry = wide.tif\nbounds = -28.33,47.77,-28.21,47.845\n"
                             "layers = verdict,spare,rode,radius,wind_limit,spots,report\n";
    write_bytes(scratch / "cruise.ini", text);
    const std::string words = " cruise '" + (scratch / "cruise.ini") + "' --out '" + out() + "'";
    const std::string kill_after_the_first = "'" SWINGROOM_COMMAND "'" + words +
                                             " >/dev/null 2>&1 & pid=$!; until [ -e '" + out() +
                                             "/.cruise/gull-cove.json' ] || ! kill -0 $pid 2>/dev/null; do "
                                             ":; done; kill -9 $pid; wait $pid 2>/dev/null";
    (void)std::system(("{ " + kill_after_the_first + "; } 2>/dev/null").c_str());
    ASSERT_EQ(swingroom({"verify", out() + "/gull-cove"}).exit_code, 0);
    ASSERT_FALSE(fs::exists(out() + "/cruise.html")) << "it was not killed in the middle";
    const auto before = made_at("gull-cove");
    const Outcome again = make(text);
    ASSERT_EQ(again.exit_code, 0) << again.err;
    EXPECT_EQ(made_at("gull-cove"), before);
    // The same as one that nobody has disturbed.
    const auto resumed = contents(out());
    fs::remove_all(out());
    ASSERT_EQ(make(text).exit_code, 0);
    for (const auto& [name, bytes] : contents(out())) {
        ASSERT_TRUE(resumed.contains(name)) << name;
        EXPECT_TRUE(resumed.at(name) == bytes) << name << " differs";
    }
    for (const auto& [name, bytes] : resumed) {
        EXPECT_TRUE(fs::exists(out() + "/" + name)) << name;
    }
}

TEST_F(Cruise, RefusesBadStaysBeforeTheFirstIsMade) {
    const Outcome two = make(common + cove + "wind = strong\n" + bay + "layers = nonsense\n");
    EXPECT_EQ(two.exit_code, 2);
    EXPECT_EQ(two.lines(), 3U) << two.err;
    EXPECT_THAT(two.err, AllOf(HasSubstr("2 things are to be mended"), HasSubstr("stay Gull Cove: --wind"),
                               HasSubstr("stay Long Bay: --layers")));
    for (const std::string& bad :
         {cove + "wind = strong\n", cove + "[stay gull cove]\nbounds = 0,0,1,1\n",
          std::string("[stay ../cove]\nbounds = 0,0,1,1\n"), std::string("[stay Cove]\n"),
          cove + "boat = other.ini\n", std::string()}) {
        const Outcome run = make(common + bad);
        EXPECT_EQ(run.exit_code, 2) << bad;
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_THAT(run.err, HasSubstr("cruise.ini")) << bad;
        EXPECT_FALSE(fs::exists(out()));
    }
    // A raster that leaves something open is asked about before anything is made, too.
    write_sea(scratch / "unsaid.tif", {.crs = "", .unit = ""});
    const Outcome unsaid = make(common + cove + bay + "bathymetry = unsaid.tif\n");
    EXPECT_EQ(unsaid.exit_code, 2);
    EXPECT_EQ(unsaid.lines(), 1U) << unsaid.err;
    EXPECT_THAT(unsaid.err, AllOf(HasSubstr("stay Long Bay"), HasSubstr("--crs"), HasSubstr("--depth-unit")));
    EXPECT_FALSE(fs::exists(out()));
    write_bytes(scratch / "ketch.ini", "[hull]\nlength = 12 m\n");
    const Outcome boat = make(common + cove);
    EXPECT_EQ(boat.exit_code, 2);
    EXPECT_THAT(boat.err, HasSubstr("ketch.ini"));
    EXPECT_FALSE(fs::exists(out()));
}

TEST_F(Cruise, TouchesNothingThatIsNotItsOwn) {
    const auto expect_refused = [&](const std::string& said) {
        const Outcome run = make(common + cove, {"--overwrite"});
        EXPECT_EQ(run.exit_code, 2) << run.err;
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_THAT(run.err, AllOf(HasSubstr("--out"), HasSubstr(said)));
    };
    fs::create_directory(out());
    write_bytes(out() + "/letter.txt", "x");
    expect_refused("was not made by a cruise");
    EXPECT_EQ(bytes_of(out() + "/letter.txt"), "x");
    fs::remove_all(out());
    fs::create_directory(scratch / "elsewhere");
    fs::create_directory_symlink(scratch / "elsewhere", out());
    expect_refused("is a symbolic link");
    fs::remove(out());
    write_bytes(out(), "x");
    expect_refused("is not a folder");
    fs::remove(out());

    ASSERT_EQ(make(common + cove + bay).exit_code, 0);
    write_bytes(out() + "/letter.txt", "x");
    fs::create_directory(out() + "/photos");
    ASSERT_EQ(make(common + cove).exit_code, 0);
    EXPECT_EQ(bytes_of(out() + "/letter.txt"), "x");
    EXPECT_TRUE(fs::exists(out() + "/photos"));
    EXPECT_TRUE(fs::exists(out() + "/long-bay/manifest.json")) << "it is the user's to remove";
    EXPECT_THAT(make(common + cove).err, HasSubstr("long-bay: is of no stay of this cruise any more"));
    // Where a stay's folder would be, there is something else.
    fs::remove_all(out() + "/gull-cove");
    fs::create_directory(out() + "/gull-cove");
    write_bytes(out() + "/gull-cove/photo.jpg", "x");
    const Outcome other = make(common + cove, {"--overwrite"});
    EXPECT_EQ(other.exit_code, 1);
    EXPECT_THAT(other.err, HasSubstr("is not a folder made by this program"));
    EXPECT_EQ(bytes_of(out() + "/gull-cove/photo.jpg"), "x");
}

TEST_F(Cruise, IsMadeOnceAtATime) {
    ASSERT_EQ(make(common + cove).exit_code, 0);
    const int lock = ::open((out() + "/.cruise/lock").c_str(), O_RDWR | O_CLOEXEC);
    ASSERT_GE(lock, 0);
    ASSERT_EQ(::flock(lock, LOCK_EX | LOCK_NB), 0);
    const Outcome run = make(common + cove);
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, HasSubstr("another cruise is being made in"));
    ::close(lock);
    EXPECT_EQ(make(common + cove).exit_code, 0);
}

/// From a route of a plotter and a boat file to the page.
TEST_F(Cruise, TakesItsStaysFromARoute) {
    write_bytes(scratch / "route.gpx",
                "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><rte>"
                "<rtept lat=\"47.8465\" lon=\"-28.333\"><name>Gull Cove</name></rtept>"
                "<rtept lat=\"47.8462\" lon=\"-28.3328\"><name>Long Bay</name></rtept></rte></gpx>");
    const Outcome run = make(common + "stays = route.gpx\nradius = 120 m\n");
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(names_in(bytes_of(out() + "/spots.gpx")),
                AllOf(testing::Contains(testing::StartsWith("GU")),
                      testing::Contains(testing::StartsWith("LO")),
                      Each(testing::MatchesRegex("(GU|LO)[A-Z0-9]+"))));
    EXPECT_THAT(bytes_of(out() + "/cruise.html"), AllOf(HasSubstr("1 Gull Cove"), HasSubstr("2 Long Bay")));
}

} // namespace
} // namespace swingroom::golden
