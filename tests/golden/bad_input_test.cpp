// Bad input: one line that names the file, key or option, the exit code that says whose fault it is, and
// nothing under the final name.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <unistd.h>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;

constexpr int users_mistake = 2, failing_file = 1;

/// A sound job on a small sea, to be spoilt in one place.
class BadInput : public testing::Test {
protected:
    void SetUp() override {
        write_sea(sea);
        ASSERT_EQ(swingroom(job()).exit_code, 0) << "the job is not sound before it is spoilt";
        std::filesystem::remove_all(out);
    }

    [[nodiscard]] std::vector<std::string> job() const {
        return {"overlay", "--bathymetry", sea,  "--positive",  "up", "--chart-datum", "0", "--uncertainty",
                "0",       "--boat",       boat, "--low-water", "0",  "--high-water",  "1", "--wind",
                "10",      "--out",        out};
    }
    /// The job with an option's value replaced, or the option added.
    [[nodiscard]] std::vector<std::string> job_with(const std::string& option,
                                                    const std::string& value) const {
        auto words = job();
        for (std::size_t i = 0; i + 1 < words.size(); ++i)
            if (words[i] == option) {
                words[i + 1] = value;
                return words;
            }
        words.push_back(option);
        words.push_back(value);
        return words;
    }
    [[nodiscard]] std::vector<std::string> job_without(const std::string& option) const {
        auto words = job();
        for (std::size_t i = 0; i + 1 < words.size(); ++i)
            if (words[i] == option) {
                words.erase(words.begin() + static_cast<std::ptrdiff_t>(i),
                            words.begin() + static_cast<std::ptrdiff_t>(i) + 2);
                break;
            }
        return words;
    }

    void expect_refused(const std::vector<std::string>& words, int code,
                        const std::vector<std::string>& said) {
        const auto before = scratch.names();
        const Outcome run = swingroom(words);
        EXPECT_EQ(run.exit_code, code) << run.err;
        EXPECT_EQ(run.lines(), 1u) << run.err;
        EXPECT_EQ(run.out, "");
        for (const auto& text : said)
            EXPECT_THAT(run.err, HasSubstr(text));
        EXPECT_EQ(scratch.names(), before) << "something was left behind";
        std::filesystem::remove_all(out);
    }

    Scratch scratch;
    const std::string sea = scratch / "sea.tif", out = scratch / "out";
    const std::string boat = SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini";
};

TEST_F(BadInput, MissingRaster) {
    expect_refused(job_with("--bathymetry", scratch / "none.tif"), failing_file, {"none.tif"});
}

TEST_F(BadInput, TruncatedRaster) {
    // Cut early, an uncompressed GeoTIFF cannot be told from one that was never filled: the user's to mend.
    // Cut late, it is a failing file.
    const std::string whole = bytes_of(sea);
    const std::string cut = scratch / "cut.tif";
    for (const std::size_t percent : {5u, 50u, 90u, 99u}) {
        SCOPED_TRACE(percent);
        write_bytes(cut, whole.substr(0, whole.size() * percent / 100));
        const auto before = scratch.names();
        const Outcome run = swingroom(job_with("--bathymetry", cut));
        EXPECT_THAT(run.exit_code, testing::AnyOf(users_mistake, failing_file)) << run.err;
        EXPECT_EQ(run.lines(), 1u) << run.err;
        EXPECT_THAT(run.err, HasSubstr("cut.tif"));
        EXPECT_EQ(scratch.names(), before) << "something was left behind";
    }
}

TEST_F(BadInput, RasterThatIsNone) {
    write_bytes(scratch / "text.tif", "this is no raster\n");
    expect_refused(job_with("--bathymetry", scratch / "text.tif"), failing_file, {"text.tif"});
}

TEST_F(BadInput, RasterWithoutCrs) {
    Sea bare;
    bare.crs.clear();
    write_sea(scratch / "bare.tif", bare);
    expect_refused(job_with("--bathymetry", scratch / "bare.tif"), users_mistake, {"bare.tif", "--crs"});
}

TEST_F(BadInput, RasterWithoutPosition) {
    Sea nowhere;
    nowhere.transform.clear();
    write_sea(scratch / "nowhere.tif", nowhere);
    expect_refused(job_with("--bathymetry", scratch / "nowhere.tif"), users_mistake, {"nowhere.tif"});
}

TEST_F(BadInput, RotatedRaster) {
    Sea rotated;
    rotated.transform = {400000, 9, 1, 5300600, 1, -9};
    write_sea(scratch / "rotated.tif", rotated);
    expect_refused(job_with("--bathymetry", scratch / "rotated.tif"), users_mistake, {"rotated.tif"});
}

TEST_F(BadInput, UnknownSignShowsTheRangeAndTheOption) {
    expect_refused(job_without("--positive"), users_mistake, {"sea.tif", "-6", "--positive"});
}

TEST_F(BadInput, UnknownDatum) {
    expect_refused(job_without("--chart-datum"), users_mistake, {"sea.tif", "--chart-datum"});
}

TEST_F(BadInput, UnknownUnit) {
    Sea unitless;
    unitless.unit.clear();
    write_sea(scratch / "unitless.tif", unitless);
    expect_refused(job_with("--bathymetry", scratch / "unitless.tif"), users_mistake,
                   {"unitless.tif", "--depth-unit"});
}

TEST_F(BadInput, UncertaintyNotSaid) {
    expect_refused(job_without("--uncertainty"), users_mistake, {"--uncertainty"});
}

TEST_F(BadInput, MissingHazardFile) {
    expect_refused(job_with("--hazards", scratch / "none.gpkg"), failing_file, {"none.gpkg"});
}

TEST_F(BadInput, EmptyHazardLayerIsAWarning) {
    write_bytes(scratch / "cables.geojson",
                R"({"type": "FeatureCollection", "name": "cables", "features": []})");
    const Outcome run = swingroom(job_with("--hazards", scratch / "cables.geojson"));
    EXPECT_EQ(run.exit_code, 0) << run.err;
    EXPECT_EQ(run.lines(), 1u) << run.err;
    EXPECT_THAT(run.err, HasSubstr("cables"));
}

TEST_F(BadInput, HazardsWhollyOutsideAreAWarning) {
    write_bytes(
        scratch / "cables.geojson",
        R"({"type": "FeatureCollection", "name": "cables", "features": [{"type": "Feature", "properties": {},
                "geometry": {"type": "LineString", "coordinates": [[10, 10], [10.1, 10]]}}]})");
    const Outcome run = swingroom(job_with("--hazards", scratch / "cables.geojson"));
    EXPECT_EQ(run.exit_code, 0) << run.err;
    EXPECT_EQ(run.lines(), 1u) << run.err;
    EXPECT_THAT(run.err, HasSubstr("outside"));
}

TEST_F(BadInput, BoatLongerThanTheRaster) {
    Sea puddle;
    puddle.cols = puddle.rows = 3;
    puddle.transform = {400000, 2, 0, 5300600, 0, -2};
    write_sea(scratch / "puddle.tif", puddle);
    expect_refused(job_with("--bathymetry", scratch / "puddle.tif"), users_mistake, {"puddle.tif", "14"});
}

TEST_F(BadInput, RequiredDepthBeyondTheRode) {
    std::string text = bytes_of(boat);
    text.replace(text.find("chain = 60 m"), 12, "chain = 5 m");
    write_bytes(scratch / "short.ini", text);
    expect_refused(job_with("--boat", scratch / "short.ini"), users_mistake, {"rode"});
}

TEST_F(BadInput, BoundsOutsideTheRaster) {
    expect_refused(job_with("--bounds", "10,10,10.1,10.1"), users_mistake, {"--bounds", "sea.tif"});
}

TEST_F(BadInput, BoundsThatAreNone) {
    for (const std::string bounds : {"1,2,3", "a,b,c,d", "3,1,2,nan", "", "1,5,2,4"}) {
        SCOPED_TRACE(bounds);
        expect_refused(job_with("--bounds", bounds), users_mistake, {"--bounds"});
    }
}

TEST_F(BadInput, PlanKeyMisspelt) {
    write_bytes(scratch / "job.plan", "low-watter = 1\n");
    expect_refused(job_with("--plan", scratch / "job.plan"), users_mistake, {"job.plan", "low-watter"});
}

TEST_F(BadInput, MissingPlan) {
    expect_refused(job_with("--plan", scratch / "none.plan"), users_mistake, {"none.plan"});
}

TEST_F(BadInput, BoatKeyMisspelt) {
    std::string text = bytes_of(boat);
    text.replace(text.find("draught"), 7, "drauhgt");
    write_bytes(scratch / "typo.ini", text);
    expect_refused(job_with("--boat", scratch / "typo.ini"), users_mistake,
                   {"typo.ini", "drauhgt", "draught"});
}

TEST_F(BadInput, RulesFileWithAnUnknownEffect) {
    write_bytes(scratch / "bad.rules", "[cable]\nlayers = cables\neffects = grund\nmargin = 5 m\n");
    expect_refused(job_with("--rules", scratch / "bad.rules"), users_mistake, {"bad.rules", "grund"});
}

TEST_F(BadInput, UnknownLayer) {
    expect_refused(job_with("--layers", "verdict,depth_hgih"), users_mistake, {"--layers", "depth_hgih"});
}

TEST_F(BadInput, UnknownOptionAndUnknownCommand) {
    expect_refused(job_with("--low-watre", "1"), users_mistake, {"--low-watre"});
    expect_refused({"overlya"}, users_mistake, {"overlya"});
}

TEST_F(BadInput, NumbersThatAreNone) {
    for (const auto& [option, value] :
         std::vector<std::pair<std::string, std::string>>{{"--wind", "-1"},
                                                          {"--wind", "nan"},
                                                          {"--low-water", "1e400"},
                                                          {"--high-water", "0x10"},
                                                          {"--uncertainty", "-0.5"},
                                                          {"--threads", "0"},
                                                          {"--threads", "many"}}) {
        SCOPED_TRACE(option + " " + value);
        expect_refused(job_with(option, value), users_mistake, {option});
    }
}

TEST_F(BadInput, HighWaterBelowLowWater) {
    expect_refused(job_with("--high-water", "-1"), users_mistake, {"--high-water"});
}

TEST_F(BadInput, OutputBelowNothing) {
    expect_refused(job_with("--out", scratch / "none/out"), users_mistake, {"none"});
}

TEST_F(BadInput, OutputFolderThatCannotBeWritten) {
    if (geteuid() == 0) {
        // Root writes anywhere but into the kernel's own folders.
        expect_refused(job_with("--out", "/proc/out"), users_mistake, {"/proc"});
        return;
    }
    const std::filesystem::path locked = scratch / "locked";
    std::filesystem::create_directory(locked);
    std::filesystem::permissions(locked,
                                 std::filesystem::perms::owner_read | std::filesystem::perms::owner_exec);
    expect_refused(job_with("--out", (locked / "out").string()), users_mistake, {"locked"});
}

TEST_F(BadInput, OutputNotSaid) { expect_refused(job_without("--out"), users_mistake, {"--out"}); }

} // namespace
} // namespace swingroom::golden
