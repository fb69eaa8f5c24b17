// A run that is made in parts and merged is the run, to the byte, whatever it is made of and into how many;
// and parts that do not belong together are refused.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <filesystem>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

namespace fs = std::filesystem;

using testing::AllOf;
using testing::HasSubstr;
using Words = std::vector<std::string>;

Words operator+(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// A coast in cells of 3 m or of as many degrees: deep in the west, land in the east, shoals and pools
/// between, one of the pools behind a bar that dries; and a corner that nobody has surveyed.
struct Coast {
    int cols = 1300, rows = 1100;
    std::string crs = "EPSG:32626";
    std::vector<double> transform = {400000, 3, 0, 5300600, 0, -3};
};

float elevation_m(double x, double y) {
    constexpr double pi = std::numbers::pi;
    if (x > 0.9 && y > 0.9) return std::numeric_limits<float>::quiet_NaN();
    const double slope = -14 + 17 * x, shoals = 4 * std::sin(22 * pi * x) * std::sin(14 * pi * y),
                 from_pool = std::hypot(x - 0.72, 0.6 * (y - 0.4));
    const double pool = from_pool < 0.1 ? -5 : from_pool < 0.115 ? 3.0 : 0;
    return static_cast<float>(from_pool < 0.115 ? pool : slope + shoals);
}

void write_coast(const fs::path& file, const Coast& coast = {}) {
    GDALAllRegister();
    const GDALDatasetUniquePtr raster(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        file.c_str(), coast.cols, coast.rows, 1, GDT_Float32, nullptr));
    ASSERT_TRUE(raster) << file;
    std::vector<double> transform = coast.transform;
    raster->SetGeoTransform(transform.data());
    OGRSpatialReference reference;
    reference.SetFromUserInput(coast.crs.c_str());
    raster->SetSpatialRef(&reference);
    raster->GetRasterBand(1)->SetUnitType("m");
    raster->GetRasterBand(1)->SetNoDataValue(std::numeric_limits<float>::quiet_NaN());
    std::vector<float> row(static_cast<std::size_t>(coast.cols));
    for (int r = 0; r < coast.rows; ++r) {
        for (int c = 0; c < coast.cols; ++c) {
            row[static_cast<std::size_t>(c)] = elevation_m((c + 0.5) / coast.cols, (r + 0.5) / coast.rows);
        }
        ASSERT_EQ(raster->GetRasterBand(1)->RasterIO(GF_Write, 0, r, coast.cols, 1, row.data(), coast.cols, 1,
                                                     GDT_Float32, 0, 0),
                  CE_None);
    }
}

const std::string haven = SWINGROOM_SOURCE "/testdata/haven/", cells = SWINGROOM_SOURCE "/testdata/cells/";

class Parts : public testing::Test {
protected:
    /// What is made of a raster at the water levels and in the wind of the tests.
    [[nodiscard]] static Words of_raster(const std::string& file, const Words& more = {}) {
        return Words{"--bathymetry",  file,
                     "--positive",    "up",
                     "--chart-datum", "0",
                     "--uncertainty", "0.2",
                     "--boat",        haven + "heavy_ketch.ini",
                     "--wind",        "15"} +
               more;
    }
    static Words levels() { return {"--low-water", "0.3", "--high-water", "2"}; }

    /// One run into the folder `one`.
    void make_one(const Words& job) {
        const Outcome run = swingroom(Words{"overlay", "--out", scratch / "one", "--overwrite"} + job);
        ASSERT_EQ(run.exit_code, 0) << run.err;
    }
    std::string part(int i, int of) const {
        return scratch / ("parts/" + std::to_string(i) + "-of-" + std::to_string(of));
    }
    Outcome make_part(const Words& job, int i, int of, const Words& more = {}) {
        fs::create_directories(scratch / "parts");
        return swingroom(
            Words{"overlay", "--out", part(i, of), "--part", std::to_string(i) + "/" + std::to_string(of)} +
            job + more);
    }
    /// All parts of a job.
    Words make_parts(const Words& job, int of) {
        Words folders;
        for (int i = of; i >= 1; --i) { // in any order
            const Outcome run =
                make_part(job, i, of, {"--threads", std::to_string(1 + i % 3), "--overwrite"});
            EXPECT_EQ(run.exit_code, 0) << "part " << i << " of " << of << ": " << run.err;
            folders.push_back(part(i, of));
        }
        return folders;
    }
    Outcome merge(const Words& folders, const Words& more = {}) const {
        return swingroom(Words{"merge", "--out", scratch / "merged", "--overwrite"} + folders + more);
    }
    void expect_merged_is_one() const {
        const auto one = contents(scratch / "one"), merged = contents(scratch / "merged");
        ASSERT_GT(one.size(), 3U);
        ASSERT_EQ(one.size(), merged.size());
        for (const auto& [name, bytes] : one) {
            ASSERT_TRUE(merged.contains(name)) << name;
            // No EXPECT_EQ: nobody wants to read the difference of two rasters.
            EXPECT_TRUE(bytes == merged.at(name)) << name << " differs";
        }
    }
    void expect_same(const Words& job, const std::vector<int>& numbers_of_parts) {
        ASSERT_NO_FATAL_FAILURE(make_one(job));
        for (const int of : numbers_of_parts) {
            SCOPED_TRACE(std::to_string(of) + " parts");
            const Words folders = make_parts(job, of);
            const Outcome run = merge(folders);
            ASSERT_EQ(run.exit_code, 0) << run.err;
            expect_merged_is_one();
            fs::remove_all(scratch / "parts");
        }
    }

    Scratch scratch;
};

TEST_F(Parts, OfARasterWithAllLayers) {
    write_coast(scratch / "coast.tif");
    expect_same(of_raster(scratch / "coast.tif", levels()), {1, 3, 16});
}

TEST_F(Parts, AreMoreThanThereAreBlocks) {
    write_coast(scratch / "coast.tif");
    expect_same(of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict,spare_full,zones"}),
                {37});
}

TEST_F(Parts, OfDegreesWithLevelsOfAccess) {
    write_coast(scratch / "coast.tif", {1300, 1100, "EPSG:4326", {-29.2, 0.00004, 0, 47.99, 0, -0.000027}});
    expect_same(
        of_raster(scratch / "coast.tif",
                  levels() + Words{"--layers", "verdict,advice,zones,spots,ways,report,access_level"}),
        {3, 16});
}

TEST_F(Parts, OfARasterThatStandsOnItsHead) {
    write_coast(scratch / "coast.tif", {1300, 1100, "EPSG:32626", {400000, 3, 0, 5300600, 0, 3}});
    expect_same(of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict,rode,zones,spots"}),
                {3});
}

TEST_F(Parts, AcrossTheAntimeridian) {
    write_coast(scratch / "coast.tif", {1300, 1100, "EPSG:4326", {179.96, 0.00004, 0, -16.9, 0, -0.000027}});
    expect_same(
        of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict,zones,spots,exclusions,report",
                                                          "--hazards", haven + "rocks.geojson"}),
        {3});
}

TEST_F(Parts, OfAWindowInEveryFormat) {
    write_coast(scratch / "coast.tif");
    expect_same(of_raster(scratch / "coast.tif",
                          levels() + Words{"--bounds", "-28.335,47.832,-28.295,47.850", "--format",
                                           "cog,mbtiles,geojson,gpkg,flatgeobuf,kml,gpx", "--units", "ft",
                                           "--name", "CST", "--styles", "no"}),
                {3});
}

/// With rules, restrictions and water from minute to minute; a single block, so that most parts are empty.
TEST_F(Parts, OfTheHavensEvening) { expect_same({"--plan", haven + "evening.plan"}, {1, 3}); }

TEST_F(Parts, OfChartsAlone) {
    expect_same({"--chart", cells + "QQ5HAVEN.000", "--chart", cells + "QQ3APPRO.000", "--boat",
                 haven + "heavy_ketch.ini", "--low-water", "0.5", "--high-water", "2.5", "--wind", "15"},
                {3, 16});
}

/// A folder of charts is looked into by the parts alone.
TEST_F(Parts, OfAFolderOfChartsOverARaster) {
    fs::create_directories(scratch / "charts");
    for (const char* const cell : {"QQ5HAVEN.000", "QQ5HAVEN.001", "QQ3APPRO.000"}) {
        fs::copy_file(cells + cell, scratch / (std::string("charts/") + cell));
    }
    const Words job = {"--plan",   haven + "haven.plan",
                       "--chart",  scratch / "charts",
                       "--layers", "verdict,source,spare,zones,spots,exclusions,report"};
    make_one(job);
    const Words folders = make_parts(job, 3);
    fs::remove_all(scratch / "charts");
    const Outcome run = merge(folders);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    expect_merged_is_one();
}

/// Levels as rasters, one of them named without a path, and merged where the inputs are gone.
TEST_F(Parts, OfLevelsByRastersAndWithoutTheInputs) {
    write_coast(scratch / "coast.tif");
    write_sea(scratch / "low",
              {.cols = 60, .rows = 40, .elevation_m = 0.4F, .transform = {399900, 150, 0, 5300700, 0, -150}});
    const std::string boat = bytes_of(haven + "heavy_ketch.ini");
    write_bytes(scratch / "boat.ini", boat);
    const fs::path folder = fs::path(scratch / "low").parent_path();
    const Words job = {"--bathymetry",  "coast.tif",
                       "--positive",    "up",
                       "--chart-datum", "0",
                       "--uncertainty", "0.2",
                       "--low-water",   "low",
                       "--high-water",  "2.1",
                       "--boat",        "boat.ini",
                       "--wind",        "12",
                       "--layers",      "verdict,depth_low,zones,spots,report"};
    ASSERT_EQ(swingroom(Words{"overlay", "--out", "one"} + job, folder).exit_code, 0);
    for (const char* const number : {"1/2", "2/2"}) {
        const Outcome run = swingroom(
            Words{"overlay", "--out", std::string("part-") + number[0], "--part", number} + job, folder);
        ASSERT_EQ(run.exit_code, 0) << run.err;
    }
    for (const char* const input : {"coast.tif", "low", "boat.ini"}) {
        fs::remove(folder / input);
    }
    const Outcome run = swingroom({"merge", "part-1", "part-2", "--out", "merged"}, folder);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    expect_merged_is_one();
}

TEST_F(Parts, WhereNobodyKnowsTheWayIn) {
    write_coast(scratch / "coast.tif");
    std::string boat = bytes_of(haven + "heavy_ketch.ini");
    const std::size_t beam = boat.find("beam = ");
    ASSERT_NE(beam, std::string::npos);
    boat.erase(beam, boat.find('\n', beam) + 1 - beam);
    write_bytes(scratch / "boat.ini", boat);
    Words job = of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict,advice,zones,spots"});
    for (std::string& word : job) {
        if (word == haven + "heavy_ketch.ini") word = scratch / "boat.ini";
    }
    expect_same(job, {3});
    const Outcome run = make_part(job, 1, 3, {"--clear-way", "3", "--from", "0,0"});
    EXPECT_EQ(run.exit_code, 2) << run.err;
    EXPECT_THAT(run.err, HasSubstr("lies outside")) << "a part finds that out, not the merge hours later";
}

TEST_F(Parts, SayWhatIsWrongWithThem) {
    write_coast(scratch / "coast.tif");
    const Words job = of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict"});
    const Words three = make_parts(job, 3);
    const auto expect_refused = [&](const Words& folders, const std::vector<std::string>& said) {
        const Outcome run = merge(folders);
        EXPECT_EQ(run.exit_code, 2) << run.err;
        EXPECT_EQ(run.lines(), 1U) << run.err;
        for (const std::string& text : said) {
            EXPECT_THAT(run.err, HasSubstr(text));
        }
        EXPECT_FALSE(fs::exists(scratch / "merged"));
    };
    expect_refused({part(1, 3), part(3, 3)}, {"part 2 of 3", "is missing"});
    expect_refused({part(1, 3), part(2, 3), part(3, 3), part(2, 3)}, {part(2, 3), "as", "once"});
    expect_refused({part(1, 3), part(2, 3), scratch.path().string()}, {"is no part of a run"});
    ASSERT_EQ(make_part(job, 1, 2).exit_code, 0);
    expect_refused({part(2, 3), part(3, 3), part(1, 2)}, {part(1, 2), "is part 1 of 2"});
    // Another plan, another input.
    ASSERT_EQ(make_part(job, 2, 3, {"--seabed", "sand", "--overwrite"}).exit_code, 0);
    expect_refused(three, {"is of another plan", "seabed"});
    ASSERT_EQ(make_part(job, 2, 3, {"--overwrite"}).exit_code, 0);
    ASSERT_EQ(merge(three).exit_code, 0);
    fs::remove_all(scratch / "merged");
    fs::last_write_time(scratch / "coast.tif", fs::file_time_type::clock::now() + std::chrono::seconds(10));
    ASSERT_EQ(make_part(job, 2, 3, {"--overwrite"}).exit_code, 0);
    expect_refused(three, {"coast.tif", "was changed"});
    // The merge never replaces what it reads.
    const Words whole = make_parts(job, 3);
    const Outcome into_part = swingroom(Words{"merge", "--out", part(1, 3), "--overwrite"} + whole);
    EXPECT_EQ(into_part.exit_code, 2) << into_part.err;
    EXPECT_TRUE(fs::exists(part(1, 3) + "/part.bin"));
}

/// What is damaged is an error, unless nobody needs it: a block that is decided anew is not read.
TEST_F(Parts, ThatAreDamagedAreFoundOut) {
    write_coast(scratch / "coast.tif");
    const Words job = of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict,zones"});
    make_one(job);
    const Words folders = make_parts(job, 2);
    int files = 0, found_out = 0;
    for (const fs::directory_entry& entry : fs::directory_iterator(part(1, 2))) {
        if (entry.path().filename() == "manifest.json") continue;
        ++files;
        const std::string whole = bytes_of(entry.path());
        for (const double where : {0.1, 0.5, 0.9, 1.0}) {
            SCOPED_TRACE(entry.path().filename().string() + " at " + std::to_string(where));
            std::string bytes = whole;
            const auto at = static_cast<std::size_t>(where * static_cast<double>(whole.size()));
            if (at < bytes.size()) {
                bytes[at] = static_cast<char>(~bytes[at]);
            } else {
                bytes.pop_back();
            }
            write_bytes(entry.path(), bytes);
            const Outcome run = merge(folders);
            if (run.exit_code == 0) {
                EXPECT_EQ(entry.path().filename(), "blocks.bin");
                expect_merged_is_one();
                fs::remove_all(scratch / "merged");
                continue;
            }
            ++found_out;
            EXPECT_TRUE(run.exit_code == 1 || run.exit_code == 2) << run.err;
            EXPECT_EQ(run.lines(), 1U) << run.err;
            EXPECT_THAT(run.err, HasSubstr(entry.path().filename().string()));
            EXPECT_FALSE(fs::exists(scratch / "merged"));
        }
        write_bytes(entry.path(), whole);
    }
    EXPECT_GE(files, 4);
    EXPECT_GE(found_out, 4 * files - 3);
    EXPECT_EQ(merge(folders).exit_code, 0);
}

/// A part that is there and whole stands: its files are not written again. Any other is refused, or replaced.
TEST_F(Parts, ThatAreThereStand) {
    write_coast(scratch / "coast.tif");
    const Words job = of_raster(scratch / "coast.tif", levels() + Words{"--layers", "verdict"});
    ASSERT_EQ(make_part(job, 1, 2).exit_code, 0);
    const auto written = fs::last_write_time(part(1, 2) + "/part.bin");
    const Outcome again = make_part(job, 1, 2, {"--overwrite"});
    EXPECT_EQ(again.exit_code, 0) << again.err;
    EXPECT_THAT(again.out, HasSubstr("1-of-2"));
    EXPECT_EQ(fs::last_write_time(part(1, 2) + "/part.bin"), written);
    const Outcome other = make_part(job, 1, 2, {"--seabed", "sand"});
    EXPECT_EQ(other.exit_code, 2) << other.err;
    EXPECT_THAT(other.err, HasSubstr("--overwrite"));
    // Damaged since.
    write_bytes(part(1, 2) + "/part.bin", bytes_of(part(1, 2) + "/part.bin") + " ");
    const Outcome mended = make_part(job, 1, 2, {"--overwrite"});
    EXPECT_EQ(mended.exit_code, 0) << mended.err;
    EXPECT_EQ(swingroom({"verify", part(1, 2)}).exit_code, 0);
}

/// The program with another build ID, or without any with another digest.
std::string as_of_another_build(std::string program) {
    const std::string note("\4\0\0\0\24\0\0\0\3\0\0\0GNU\0", 16);
    const std::size_t at = program.find(note);
    if (at == std::string::npos) return program + "\n";
    program[at + note.size()] ^= 1;
    return program;
}

/// Two builds of one version may answer otherwise: one may have a false yes that the other has mended.
TEST_F(Parts, OfAnotherBuildAreRefused) {
    const std::string other = scratch / "swingroom";
    write_bytes(other, as_of_another_build(bytes_of(SWINGROOM_COMMAND))); // which runs as before
    fs::permissions(other, fs::perms::owner_all);
    const Words job = {"--plan", haven + "haven.plan", "--layers", "verdict"};
    const Words folders = make_parts(job, 2);
    ASSERT_EQ(std::system((other + " overlay --plan " + haven +
                           "haven.plan --layers verdict --part 2/2 --overwrite --out " + part(2, 2) +
                           " > /dev/null")
                              .c_str()),
              0);
    const Outcome mixed = merge(folders);
    EXPECT_EQ(mixed.exit_code, 2) << mixed.err;
    EXPECT_THAT(mixed.err, AllOf(HasSubstr("another build"), HasSubstr("-of-2")));
    EXPECT_FALSE(fs::exists(scratch / "merged"));
    // Nor does a part stand that another build has made.
    ASSERT_EQ(make_part(job, 2, 2, {"--overwrite"}).exit_code, 0);
    EXPECT_EQ(merge(folders).exit_code, 0);
}

TEST_F(Parts, AreAskedForInNumbersThatMakeSense) {
    const Words job = {"--plan", haven + "haven.plan"};
    for (const std::string text : {"0/3", "4/3", "3", "1/", "/3", "1/2/3", "a/b", "-1/3", "1/1000000"}) {
        const Outcome run = swingroom(Words{"overlay", "--out", scratch / "part", "--part=" + text} + job);
        EXPECT_EQ(run.exit_code, 2) << text;
        EXPECT_THAT(run.err, AllOf(HasSubstr("--part"), HasSubstr(text), HasSubstr("3/16")));
    }
    const Outcome json =
        swingroom(Words{"overlay", "--out", scratch / "part", "--part", "1/3", "--json"} + job);
    EXPECT_EQ(json.exit_code, 2);
    EXPECT_THAT(json.err, HasSubstr("--json"));
    write_bytes(scratch / "own.plan", "part = 1/2\n");
    const Outcome planned = swingroom({"overlay", "--plan", scratch / "own.plan", "--out", scratch / "part"});
    EXPECT_EQ(planned.exit_code, 2);
    EXPECT_THAT(planned.err, HasSubstr("command line"));
}

/// The script makes parts and merge without a scheduler, too, and again nothing of what is there.
TEST_F(Parts, AreMadeByTheScript) {
    make_one({"--plan", haven + "haven.plan", "--layers", "verdict,zones"});
    const fs::path folder = fs::path(scratch / "one").parent_path();
    const Outcome script = swingroom({"overlay", "--plan", haven + "haven.plan", "--layers", "verdict,zones",
                                      "--out", "merged", "--print-parts", "2", "--threads", "2"},
                                     folder);
    ASSERT_EQ(script.exit_code, 0) << script.err;
    write_bytes(scratch / "parts.sh", script.out);
    const std::string with_program = "PATH=\"$(dirname " SWINGROOM_COMMAND "):$PATH\" sh ";
    for (const char* const step : {" part 2", " part 1", " merge", " part 1"}) {
        ASSERT_EQ(std::system((with_program + (scratch / "parts.sh") + step + " > /dev/null").c_str()), 0)
            << step;
    }
    EXPECT_TRUE(fs::exists(scratch / "merged.parts/1-of-2/part.bin"));
    // Paths of a printed plan are absolute, and outputs tell the plan: so cells and figures are compared.
    const Layer one = read_layer(scratch / "one/verdict.tif"),
                merged = read_layer(scratch / "merged/verdict.tif");
    EXPECT_EQ(one.values, merged.values);
    EXPECT_EQ(swingroom({"verify", scratch / "merged"}).exit_code, 0);
    EXPECT_NE(std::system((with_program + (scratch / "parts.sh") + " nonsense 2> /dev/null").c_str()), 0);
}

} // namespace
} // namespace swingroom::golden
