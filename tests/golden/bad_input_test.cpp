// Bad input: one line that names the file, key or option, the exit code that says whose fault it is, and
// nothing under the final name.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <cstddef>
#include <cstdlib>
#include <fcntl.h>
#include <grp.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <system_error>
#include <thread>
#include <unistd.h>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;

constexpr int users_mistake = 2, failing_file = 1;

/// The command run by a user who is nobody, so that permissions hold for a root that runs the tests as well.
/// The folder it works in must be open to everybody.
Outcome swingroom_as_nobody(const std::vector<std::string>& arguments, const std::filesystem::path& folder) {
    constexpr uid_t nobody = 65534;
    std::array<int, 2> ends{};
    if (pipe(ends.data()) != 0) throw std::system_error(errno, std::generic_category(), "pipe");
    const pid_t child = fork();
    if (child < 0) throw std::system_error(errno, std::generic_category(), "fork");
    if (child == 0) {
        if (setgroups(0, nullptr) != 0 || setgid(nobody) != 0 || setuid(nobody) != 0) _exit(126);
        try {
            const Outcome run = swingroom(arguments, folder);
            const std::string said = run.out + '\0' + run.err;
            const bool told = write(ends[1], said.data(), said.size()) == static_cast<ssize_t>(said.size());
            _exit(told ? run.exit_code : 126);
        } catch (...) {
            _exit(126);
        }
    }
    close(ends[1]);
    std::string said;
    std::array<char, 4096> part{};
    for (ssize_t got = 0; (got = read(ends[0], part.data(), part.size())) > 0;) {
        said.append(part.data(), static_cast<std::size_t>(got));
    }
    close(ends[0]);
    int status = 0;
    while (waitpid(child, &status, 0) < 0) {
        if (errno != EINTR) throw std::system_error(errno, std::generic_category(), "waitpid");
    }
    const auto parting = std::min(said.find('\0'), said.size());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), said.substr(0, parting),
            said.substr(std::min(parting + 1, said.size()))};
}

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
        for (std::size_t i = 0; i + 1 < words.size(); ++i) {
            if (words[i] == option) {
                words[i + 1] = value;
                return words;
            }
        }
        words.push_back(option);
        words.push_back(value);
        return words;
    }
    [[nodiscard]] std::vector<std::string> job_without(const std::string& option) const {
        auto words = job();
        for (std::size_t i = 0; i + 1 < words.size(); ++i) {
            if (words[i] == option) {
                words.erase(words.begin() + static_cast<std::ptrdiff_t>(i),
                            words.begin() + static_cast<std::ptrdiff_t>(i) + 2);
                break;
            }
        }
        return words;
    }

    void expect_refused(const std::vector<std::string>& words, int code,
                        const std::vector<std::string>& said) {
        const auto before = scratch.names();
        expect_refusal(swingroom(words), code, said);
        EXPECT_EQ(scratch.names(), before) << "something was left behind";
        std::filesystem::remove_all(out);
    }
    static void expect_refusal(const Outcome& run, int code, const std::vector<std::string>& said) {
        EXPECT_EQ(run.exit_code, code) << run.err;
        EXPECT_EQ(run.lines(), 1u) << run.err;
        EXPECT_EQ(run.out, "");
        for (const auto& text : said) {
            EXPECT_THAT(run.err, HasSubstr(text));
        }
    }

    Scratch scratch;
    const std::string sea = scratch / "sea.tif", out = scratch / "out";
    const std::string boat = SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini";
};

TEST_F(BadInput, MissingRaster) {
    expect_refused(job_with("--bathymetry", scratch / "none.tif"), users_mistake,
                   {"none.tif", "give the path of an existing file"});
}

TEST_F(BadInput, VectorFileInTheRastersPlace) {
    write_bytes(
        scratch / "cables.geojson",
        R"({"type": "FeatureCollection", "name": "cables", "features": [{"type": "Feature", "properties": {},
                "geometry": {"type": "LineString", "coordinates": [[10, 10], [10.1, 10]]}}]})");
    expect_refused(job_with("--bathymetry", scratch / "cables.geojson"), users_mistake,
                   {"cables.geojson", "--hazards"});
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
        if (percent == 99) {
            EXPECT_EQ(run.exit_code, failing_file) << run.err;
        } else {
            EXPECT_THAT(run.exit_code, testing::AnyOf(users_mistake, failing_file)) << run.err;
        }
        EXPECT_EQ(run.lines(), 1u) << run.err;
        EXPECT_THAT(run.err, HasSubstr("cut.tif"));
        EXPECT_EQ(scratch.names(), before) << "something was left behind";
    }
}

TEST_F(BadInput, RasterThatIsNone) {
    write_bytes(scratch / "text.tif", "this is no raster\n");
    expect_refused(job_with("--bathymetry", scratch / "text.tif"), users_mistake,
                   {"text.tif", "such as GeoTIFF"});
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

/// What libraries print by themselves would stand before the one line.
TEST_F(BadInput, LibrariesPrintNothingOfTheirOwn) {
    std::filesystem::create_directory(scratch / "proj");
    write_bytes(scratch / "proj/proj.db", "no database\n");
    write_bytes(scratch / "grid.txt", "0 0 -5\n1 0 -5\n0 1 -5\n1 1 -5\n");
    const std::vector<std::string> cell = {"inputs", "testdata/cells/QQ5HAVEN.000"},
                                   drawn = {"exclusions", "--chart", "testdata/cells/QQ5HAVEN.000", "--out",
                                            out};
    for (const char* const variable : {"PROJ_DATA", "PROJ_LIB"}) {
        for (const std::string& folder : {std::string("/nonexistent"), scratch / "proj"}) {
            for (const std::vector<std::string>& words : {job(), cell, drawn, {"inputs", sea}, [&] {
                                                              auto text = job_with("--crs", "EPSG:32626");
                                                              text[2] = scratch / "grid.txt";
                                                              return text;
                                                          }()}) {
                SCOPED_TRACE(folder + " " + words.front());
                setenv(variable, folder.c_str(), 1);
                const Outcome run = swingroom(words);
                unsetenv(variable);
                expect_refusal(run, failing_file,
                               {"swingroom: PROJ: its database", "set PROJ_DATA to its folder"});
            }
        }
    }
    setenv("CPL_DEBUG", "ON", 1);
    setenv("PROJ_DEBUG", "3", 1);
    expect_refused(job_with("--bathymetry", scratch / "none.tif"), users_mistake, {"none.tif"});
    const Outcome sound = swingroom(job());
    unsetenv("CPL_DEBUG");
    unsetenv("PROJ_DEBUG");
    EXPECT_EQ(sound.exit_code, 0) << sound.err;
    EXPECT_EQ(sound.err, "");
}

TEST_F(BadInput, MissingHazardFile) {
    expect_refused(job_with("--hazards", scratch / "none.gpkg"), users_mistake,
                   {"none.gpkg", "give the path of an existing file"});
}

TEST_F(BadInput, RasterInTheHazardsPlace) {
    expect_refused(job_with("--hazards", sea), users_mistake, {"sea.tif", "--bathymetry"});
}

TEST_F(BadInput, MissingRules) {
    expect_refused(job_with("--rules", scratch / "none.rules"), users_mistake,
                   {"none.rules", "give the path of an existing file"});
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
    expect_refused(job_with("--bathymetry", scratch / "puddle.tif"), users_mistake,
                   {"puddle.tif", " 14.0 m"});
}

TEST_F(BadInput, BoundsOutsideTheRaster) {
    expect_refused(job_with("--bounds", "10,10,10.1,10.1"), users_mistake, {"--bounds", "sea.tif"});
    expect_refused(job_with("--around", "10E,10N,1nm"), users_mistake, {"--around", "sea.tif"});
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

TEST_F(BadInput, EdgesOfZonesOfNoKind) {
    expect_refused(job_with("--zone-edges", "round"), users_mistake,
                   {"--zone-edges: \"round\" is neither; give smooth or stepped"});
}

TEST_F(BadInput, UnknownOptionAndUnknownCommand) {
    expect_refused(job_with("--low-watre", "1"), users_mistake,
                   {"swingroom: --low-watre: is no option of swingroom overlay; did you mean --low-water?"});
    expect_refused(job_with("--low_water", "1"), users_mistake, {"did you mean --low-water?"});
    expect_refused({"overlay", "word"}, users_mistake, {"swingroom: overlay: does not take \"word\"; see"});
    expect_refused({"overlya"}, users_mistake, {"swingroom: overlya: is no command; did you mean overlay?"});
    expect_refused({"overlay", "--overwrite", "yes", "word"}, users_mistake,
                   {"swingroom: overlay: does not take \"yes\"; see"});
    expect_refused({"spot", "-29.04", "47.98", "-12"}, users_mistake,
                   {"swingroom: spot: does not take \"-12\"; see"});
    expect_refused({"--quiet", "overlay"}, users_mistake,
                   {"swingroom: --quiet: stands before the command; give the command first"});
    expect_refused({"anchor"}, users_mistake, {"swingroom: anchor: is no command; see swingroom --help"});
}

TEST_F(BadInput, NumbersThatAreNone) {
    for (const auto& [option, value] :
         std::vector<std::pair<std::string, std::string>>{{"--wind", "-1"},
                                                          {"--wind", "nan"},
                                                          {"--low-water", "1e400"},
                                                          {"--high-water", "0x10"},
                                                          {"--uncertainty", "-0.5"},
                                                          {"--least-zone", "-1"},
                                                          {"--least-zone", "all"},
                                                          {"--threads", "0"},
                                                          {"--threads", "many"}}) {
        SCOPED_TRACE(option + " " + value);
        expect_refused(job_with(option, value), users_mistake, {option});
    }
}

TEST_F(BadInput, UnitsAndPositionsThatAreNone) {
    expect_refused(job_with("--units", "yd"), users_mistake,
                   {"--units: \"yd\" is not known; give m, ft or fm"});
    expect_refused(job_with("--positions", "dms"), users_mistake, {"--positions", "degrees or minutes"});
    expect_refused(job_with("--high-water", "1 yd"), users_mistake, {"--high-water", "\"yd\"", "ft"});
    expect_refused(job_with("--bounds", "29-03W,47-58N,29-01W,47.99"), users_mistake,
                   {"--bounds", "all of them with their letters"});
    const std::vector<std::string> asked = {"--plan", "testdata/haven/haven.plan"};
    const auto spot = [&](std::vector<std::string> words) {
        words.insert(words.begin(), "spot");
        words.insert(words.end(), asked.begin(), asked.end());
        return swingroom(words);
    };
    for (const std::vector<std::string>& words : {std::vector<std::string>{"47-59.222N"},
                                                  {"47-59.222N", "29-02.636"},
                                                  {"47-59.222N", "29-02.636N"},
                                                  {"47-59.222N", "29-62.636W"},
                                                  {"-47-59.222N", "29-02.636W"},
                                                  {"-29-02.636", "47-59.222"},
                                                  {"47-59.222N 29-02.636"}}) {
        SCOPED_TRACE(words.front());
        for (const bool json : {false, true}) {
            auto said = words;
            if (json) said.emplace_back("--json");
            expect_refusal(spot(said), users_mistake, {"swingroom: L"}); // LON, LAT or both
        }
    }
}

TEST_F(BadInput, HighWaterBelowLowWater) {
    expect_refused(job_with("--high-water", "-1"), users_mistake, {"--high-water"});
}

TEST_F(BadInput, OutputBelowNothing) {
    expect_refused(job_with("--out", scratch / "none/out"), users_mistake, {"none"});
}

TEST_F(BadInput, OutputFolderThatCannotBeWritten) {
    using std::filesystem::perms;
    const std::filesystem::path locked = scratch / "locked", open = scratch / "open";
    std::filesystem::create_directory(locked);
    std::filesystem::create_directory(open);
    constexpr perms readable = perms::owner_read | perms::owner_exec | perms::group_read | perms::group_exec |
                               perms::others_read | perms::others_exec;
    std::filesystem::permissions(locked, readable);
    if (geteuid() != 0) {
        expect_refused(job_with("--out", (locked / "out").string()), users_mistake, {"locked"});
        return;
    }
    // Root writes everywhere but into the kernel's own folders.
    expect_refused(job_with("--out", "/proc/out"), users_mistake, {"/proc"});
    std::filesystem::permissions(scratch.path(), readable | perms::owner_write);
    std::filesystem::permissions(open, perms::all);
    write_bytes(scratch / "boat.ini", bytes_of(boat));
    const auto job_into = [&](const std::filesystem::path& folder) {
        auto words = job_with("--out", (folder / "out").string());
        std::replace(words.begin(), words.end(), boat, scratch / "boat.ini");
        return words;
    };
    const Outcome sound = swingroom_as_nobody(job_into(open), scratch.path());
    if (sound.exit_code == 126 || sound.exit_code == 127) {
        GTEST_SKIP() << "another user cannot run the command where it was built";
    }
    ASSERT_EQ(sound.exit_code, 0) << sound.err;
    expect_refusal(swingroom_as_nobody(job_into(locked), scratch.path()), users_mistake, {"locked"});
    EXPECT_TRUE(std::filesystem::is_empty(locked)) << "something was left behind";
}

TEST_F(BadInput, BoatFileThatCannotBeOpenedSaysWhy) {
    expect_refused(job_with("--boat", scratch / "none.ini"), users_mistake, {"none.ini", "no such file"});
    expect_refused(job_with("--boat", scratch.path().string()), users_mistake, {"is a folder"});
}

/// A pipe that is waited on by whoever opens it; here he gets an end at once, so that a test cannot hang.
class Pipe {
public:
    explicit Pipe(const std::string& name) : name_(name) {
        if (mkfifo(name.c_str(), 0666) != 0) throw std::system_error(errno, std::generic_category(), name);
        feeder_ = std::thread([this] {
            while (!done_) {
                // Succeeds only while somebody has it open for reading.
                if (const int end = open(name_.c_str(), O_WRONLY | O_NONBLOCK); end >= 0) {
                    opened_ = true;
                    close(end);
                }
                std::this_thread::sleep_for(std::chrono::milliseconds(2));
            }
        });
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    ~Pipe() {
        done_ = true;
        feeder_.join();
    }
    [[nodiscard]] bool opened() const { return opened_; }

private:
    std::string name_;
    std::atomic<bool> done_ = false, opened_ = false;
    std::thread feeder_;
};

TEST_F(BadInput, APipeOrADeviceInATextsPlaceIsRefusedUnopened) {
    const Pipe pipe(scratch / "pipe");
    for (const char* option : {"--boat", "--plan", "--rules"}) {
        SCOPED_TRACE(option);
        for (const std::string& path : {scratch / "pipe", std::string("/dev/null")}) {
            expect_refused(job_with(option, path), users_mistake,
                           {path + ": is a pipe or a device, not a file; "});
        }
    }
    expect_refusal(swingroom({"boat", scratch / "pipe", "--wind", "9"}), users_mistake, {"is a pipe"});
    expect_refusal(swingroom({"inputs", sea, "--rules", scratch / "pipe"}), users_mistake, {"is a pipe"});
    EXPECT_FALSE(pipe.opened()) << "it would wait for ever";
}

TEST_F(BadInput, ATextThatFailsInReadingIsTheDisksFailure) {
    // The first page of a process's memory is never there: reading it is an input/output error.
    const std::string failing = "/proc/self/mem";
    for (const char* option : {"--boat", "--plan", "--rules"}) {
        SCOPED_TRACE(option);
        expect_refused(job_with(option, failing), failing_file,
                       {"swingroom: " + failing + ": cannot be read: Input/output error\n"});
    }
}

TEST_F(BadInput, HelpHasNoBlanksTooMany) {
    for (const std::vector<std::string>& words : {std::vector<std::string>{"--help"},
                                                  {"overlay", "--help"},
                                                  {"spot", "--help"},
                                                  {"boat", "--help"},
                                                  {"rules", "--help"},
                                                  {"verify", "--help"}}) {
        const Outcome run = swingroom(words);
        EXPECT_EQ(run.exit_code, 0);
        EXPECT_EQ(run.out.find(" \n"), std::string::npos) << run.out;
        EXPECT_EQ(run.out.substr(0, run.out.find('\n')).find("  "), std::string::npos) << run.out;
    }
}

TEST_F(BadInput, OutputNotSaid) { expect_refused(job_without("--out"), users_mistake, {"--out"}); }

} // namespace
} // namespace swingroom::golden
