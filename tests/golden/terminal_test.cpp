// What the command is to the shell and the terminal around it: signals, the progress bar, a full output.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <fcntl.h>
#include <functional>
#include <pty.h>
#include <stdexcept>
#include <string>
#include <sys/wait.h>
#include <system_error>
#include <thread>
#include <unistd.h>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

/// A command on its way.
class Running {
public:
    /// @param terminal  gives it a terminal of its own, else its output goes into a pipe
    /// @param prepare   called in the new process before the command takes its place
    Running(
        std::vector<std::string> words, bool terminal, const std::function<void()>& prepare = [] {}) {
        words.insert(words.begin(), SWINGROOM_COMMAND);
        std::vector<char*> argv;
        for (std::string& word : words) {
            argv.push_back(word.data());
        }
        argv.push_back(nullptr);
        std::array<int, 2> ends{-1, -1};
        if (!terminal && pipe2(ends.data(), O_CLOEXEC) != 0) {
            throw std::system_error(errno, std::generic_category(), "pipe");
        }
        child_ = terminal ? forkpty(&from_, nullptr, nullptr, nullptr) : fork();
        if (child_ < 0) throw std::system_error(errno, std::generic_category(), "fork");
        if (child_ == 0) {
            if (!terminal && (dup2(ends[1], 1) < 0 || dup2(ends[1], 2) < 0)) _exit(126);
            // Jobs in the background of a script are born with these ignored.
            for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
                std::signal(signal, SIG_DFL);
            }
            prepare();
            if (chdir(SWINGROOM_SOURCE) != 0) _exit(126);
            execv(SWINGROOM_COMMAND, argv.data());
            _exit(127);
        }
        if (!terminal) {
            close(ends[1]);
            from_ = ends[0];
        }
        reader_ = std::thread([this] { read_all(); });
    }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;
    ~Running() {
        if (child_ > 0) {
            ::kill(child_, SIGKILL);
            wait();
        }
    }

    void send(int signal) const { ::kill(child_, signal); }
    /// @returns the status that waitpid gives
    int wait() {
        int status = 0;
        while (waitpid(child_, &status, 0) < 0 && errno == EINTR) {
        }
        child_ = -1;
        reader_.join();
        close(from_);
        return status;
    }
    /// The same; one that is still there after that long is killed.
    int wait_at_most(std::chrono::milliseconds most) {
        const auto end = std::chrono::steady_clock::now() + most;
        siginfo_t gone{};
        while (std::chrono::steady_clock::now() < end) {
            if (waitid(P_PID, static_cast<id_t>(child_), &gone, WEXITED | WNOHANG | WNOWAIT) == 0 &&
                gone.si_pid != 0) {
                return wait();
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        send(SIGKILL);
        return wait();
    }
    /// All that it has said on both streams; after wait().
    [[nodiscard]] const std::string& said() const { return said_; }

private:
    void read_all() {
        std::array<char, 4096> piece{};
        while (true) {
            const ssize_t got = read(from_, piece.data(), piece.size());
            if (got < 0 && errno == EINTR) continue;
            if (got <= 0) return; // a terminal that nobody holds any more says EIO
            said_.append(piece.data(), static_cast<std::size_t>(got));
        }
    }

    pid_t child_ = -1;
    int from_ = -1;
    std::thread reader_;
    std::string said_;
};

/// A tree of a system without /dev/pts has none.
bool can_have_a_terminal() {
    int ours = -1, theirs = -1;
    if (openpty(&ours, &theirs, nullptr, nullptr, nullptr) != 0) return false;
    close(theirs);
    close(ours);
    return true;
}
// A macro, since GTEST_SKIP returns from the test that it stands in.
#define NEEDS_A_TERMINAL()                                                                                   \
    if (!can_have_a_terminal()) GTEST_SKIP() << "no terminal can be had here (is /dev/pts mounted?)"

/// A sea that takes the command some seconds.
class LongRun : public testing::Test {
protected:
    void SetUp() override {
        Sea wide;
        wide.cols = wide.rows = 3000;
        write_sea(sea_, wide);
    }
    [[nodiscard]] std::vector<std::string> job() const {
        return {"overlay",
                "--bathymetry",
                sea_,
                "--positive",
                "up",
                "--chart-datum",
                "0",
                "--uncertainty",
                "0",
                "--boat",
                "testdata/haven/heavy_ketch.ini",
                "--low-water",
                "0",
                "--high-water",
                "1",
                "--wind",
                "10",
                "--threads",
                "2",
                "--out",
                scratch_ / "out"};
    }
    /// Until it has a working folder.
    [[nodiscard]] bool has_begun() const {
        return appears([](const std::string&) { return true; });
    }
    /// Until its working folder holds something: from there on it has much to clean up.
    [[nodiscard]] bool is_at_work() const {
        return appears([](const std::string& folder) { return !std::filesystem::is_empty(folder); });
    }
    template <class Counts>
    [[nodiscard]] bool appears(Counts counts) const {
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (std::chrono::steady_clock::now() < end) {
            for (const std::string& name : scratch_.names()) {
                if (name.starts_with(".out.part-") && counts(scratch_ / name)) return true;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        return false;
    }

    Scratch scratch_;
    const std::string sea_ = scratch_ / "sea.tif";
};

class StoppedBy : public LongRun, public testing::WithParamInterface<int> {};

TEST_P(StoppedBy, EndsByThatSignalAndLeavesNothing) {
    Running run(job(), false);
    ASSERT_TRUE(is_at_work());
    run.send(GetParam());
    const int status = run.wait();
    ASSERT_TRUE(WIFSIGNALED(status)) << "so that a shell says 128 and the signal; it ended by itself with "
                                     << WEXITSTATUS(status) << ": " << run.said();
    EXPECT_EQ(WTERMSIG(status), GetParam());
    EXPECT_THAT(scratch_.names(), testing::ElementsAre("sea.tif"));
}
INSTANTIATE_TEST_SUITE_P(Signals, StoppedBy, testing::Values(SIGINT, SIGTERM, SIGHUP));

/// A file of hazards from which the first feature never comes: a view that counts without end. The library is
/// asked once, and does not come back.
void write_endless_hazards(const std::string& file) {
    GDALAllRegister();
    const GDALDatasetUniquePtr made(
        GetGDALDriverManager()->GetDriverByName("GPKG")->Create(file.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
    if (!made) throw std::runtime_error("cannot make " + file);
    OGRSpatialReference wgs84;
    wgs84.importFromEPSG(4326);
    OGRLayer* const layer = made->CreateLayer("rock", &wgs84, wkbPoint, nullptr);
    OGRFeature rock(layer->GetLayerDefn());
    const OGRPoint place(-28.33, 47.84);
    rock.SetGeometry(&place);
    bool done = layer->CreateFeature(&rock) == OGRERR_NONE;
    for (const char* statement :
         {"CREATE VIEW endless AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) "
          "SELECT n.i AS OGC_FID, rock.geom AS geom FROM n, rock WHERE n.i < 0",
          "INSERT INTO gpkg_contents (table_name, identifier, data_type, srs_id) "
          "VALUES ('endless', 'endless', 'features', 4326)",
          "INSERT INTO gpkg_geometry_columns VALUES ('endless', 'geom', 'POINT', 4326, 0, 0)"}) {
        CPLErrorReset();
        made->ExecuteSQL(statement, nullptr, nullptr);
        done = done && CPLGetLastErrorType() == CE_None;
    }
    if (!done) throw std::runtime_error("cannot fill " + file);
}

class StoppedInALibrary : public LongRun, public testing::WithParamInterface<const char*> {};

TEST_P(StoppedInALibrary, EndsWithinASecondByThatSignalAndLeavesNothing) {
    const std::string hazards = scratch_ / "endless.gpkg", rules = scratch_ / "any.rules";
    write_endless_hazards(hazards);
    write_bytes(rules, "[any]\nlayers = *\neffects = hull\nmargin = 5 m\n");
    const std::string command = GetParam();
    std::vector<std::string> words = job();
    if (command == "exclusions") {
        words = {command, "--bounds", "-28.4,47.8,-28.3,47.9", "--out", scratch_ / "out"};
    }
    words.insert(words.end(), {"--hazards", hazards, "--rules", rules, "--verbose"});
    for (const int signal : {SIGINT, SIGTERM}) {
        Running run(words, false);
        ASSERT_TRUE(has_begun());
        std::this_thread::sleep_for(std::chrono::seconds(1)); // to come to the hazards, and be kept there
        const auto sent = std::chrono::steady_clock::now();
        run.send(signal);
        const int status = run.wait_at_most(std::chrono::seconds(10));
        const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - sent;
        ASSERT_TRUE(WIFSIGNALED(status)) << run.said();
        EXPECT_EQ(WTERMSIG(status), signal);
        EXPECT_LT(taken.count(), 2) << "a second, and what a busy machine adds";
        EXPECT_THAT(run.said(), HasSubstr("reading the hazards"));
        EXPECT_THAT(run.said(), testing::Not(HasSubstr("deciding")));
        EXPECT_THAT(scratch_.names(), testing::ElementsAre("any.rules", "endless.gpkg", "sea.tif"));
    }
}
INSTANTIATE_TEST_SUITE_P(Commands, StoppedInALibrary, testing::Values("overlay", "exclusions"));

TEST_F(LongRun, ASignalThatWasIgnoredBeforeStaysIgnored) {
    // As under nohup.
    Running run(job(), false, [] { std::signal(SIGHUP, SIG_IGN); });
    ASSERT_TRUE(is_at_work());
    run.send(SIGHUP);
    const int status = run.wait();
    ASSERT_TRUE(WIFEXITED(status)) << "ended by signal " << WTERMSIG(status);
    EXPECT_EQ(WEXITSTATUS(status), 0) << run.said();
    EXPECT_TRUE(std::filesystem::exists(scratch_ / "out/manifest.json"));
}

TEST(Progress, IsShownOnATerminalAndOnlyThere) {
    NEEDS_A_TERMINAL();
    const Scratch scratch;
    const auto job = [&](const char* name) -> std::vector<std::string> {
        return {"overlay", "--plan", "testdata/haven/haven.plan", "--out", scratch / name};
    };
    const auto capable = [] { setenv("TERM", "xterm", 1); };
    Running seen(job("seen"), true, capable);
    EXPECT_EQ(seen.wait(), 0) << seen.said();
    EXPECT_THAT(seen.said(), HasSubstr("\r[="));
    EXPECT_THAT(seen.said(), HasSubstr("\r\x1b[K")) << "the line is empty afterwards";
    Running dumb(job("dumb"), true, [] { setenv("TERM", "dumb", 1); });
    EXPECT_EQ(dumb.wait(), 0) << dumb.said();
    EXPECT_THAT(dumb.said(), testing::Not(HasSubstr("[=")));
    auto quiet_job = job("quiet");
    quiet_job.emplace_back("--quiet");
    Running quiet(quiet_job, true, capable);
    EXPECT_EQ(quiet.wait(), 0);
    EXPECT_EQ(quiet.said(), "");
    Running piped(job("piped"), false, capable);
    EXPECT_EQ(piped.wait(), 0) << piped.said();
    EXPECT_THAT(piped.said(), testing::Not(HasSubstr("[=")));
    EXPECT_THAT(piped.said(), testing::Not(HasSubstr("\r")));
}

/// What a mistake says on a terminal of this kind.
std::string mistake_on(const char* terminal, const char* no_color) {
    Running run({"overlay", "--plan", "no such"}, true, [&] {
        setenv("TERM", terminal, 1);
        if (no_color) {
            setenv("NO_COLOR", no_color, 1);
        } else {
            unsetenv("NO_COLOR");
        }
    });
    EXPECT_NE(run.wait(), 0);
    return run.said();
}

TEST(Colour, IsThereOnATerminalUnlessItIsNotWanted) {
    NEEDS_A_TERMINAL();
    constexpr const char* red = "\x1b[1;31mswingroom:\x1b[0m no such: ";
    EXPECT_THAT(mistake_on("xterm", nullptr), HasSubstr(red));
    EXPECT_THAT(mistake_on("xterm", ""), HasSubstr(red))
        << "no-color.org: when present and not an empty string";
    for (const std::string& said : {mistake_on("xterm", "1"), mistake_on("dumb", nullptr)}) {
        EXPECT_THAT(said, HasSubstr("swingroom: no such: "));
        EXPECT_THAT(said, testing::Not(HasSubstr("\x1b")));
    }
    EXPECT_THAT(swingroom({"overlay", "--plan", "no such"}).err, testing::Not(HasSubstr("\x1b")))
        << "no terminal";
}

TEST(StandardOutput, ThatIsFullIsAFailureThatIsTold) {
    for (const std::vector<std::string>& words :
         std::vector<std::vector<std::string>>{{"rules"},
                                               {"--help"},
                                               {"--version"},
                                               {"boat", "testdata/haven/heavy_ketch.ini", "--wind", "20"}}) {
        SCOPED_TRACE(words.front());
        Running run(words, false, [] {
            const int full = open("/dev/full", O_WRONLY);
            if (full < 0 || dup2(full, 1) < 0) _exit(126);
        });
        const int status = run.wait();
        ASSERT_TRUE(WIFEXITED(status));
        EXPECT_EQ(WEXITSTATUS(status), 1);
        EXPECT_THAT(run.said(), HasSubstr("standard output"));
    }
}

class BoatPicture : public testing::Test {
protected:
    [[nodiscard]] std::vector<std::string> job(const std::string& picture) const {
        return {"boat", "testdata/haven/heavy_ketch.ini", "--wind", "20", "--picture", picture};
    }
    Scratch scratch;
};

TEST_F(BoatPicture, HarmsNoFileBesideIt) {
    write_bytes(scratch / "rode.svg.part", "mine");
    EXPECT_EQ(swingroom(job(scratch / "rode.svg")).exit_code, 0);
    EXPECT_THAT(bytes_of(scratch / "rode.svg"), HasSubstr("<svg"));
    EXPECT_EQ(bytes_of(scratch / "rode.svg.part"), "mine");
    EXPECT_THAT(scratch.names(), testing::ElementsAre("rode.svg", "rode.svg.part"));
}

TEST_F(BoatPicture, ThatCannotBeMadeIsToldWithReasonAndCure) {
    const Outcome run = swingroom(job(scratch / "missing/rode.svg"));
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_EQ(run.lines(), 1u) << run.err;
    EXPECT_THAT(run.err, testing::AllOf(HasSubstr("missing/rode.svg"), HasSubstr("No such file or directory"),
                                        HasSubstr("give another --picture")));
    EXPECT_THAT(scratch.names(), IsEmpty());
}

TEST_F(BoatPicture, ReplacesNothingButAPlainFileAndThatOnlyWhenAsked) {
    write_bytes(scratch / "old.svg", "old");
    std::filesystem::create_symlink("old.svg", scratch / "link.svg");
    EXPECT_EQ(swingroom(job(scratch / "link.svg")).exit_code, 2);
    EXPECT_EQ(bytes_of(scratch / "old.svg"), "old");
    auto words = job(scratch / "link.svg");
    words.emplace_back("--overwrite");
    const Outcome linked = swingroom(words);
    EXPECT_EQ(linked.exit_code, 2) << "nothing is written through a link";
    EXPECT_EQ(linked.lines(), 1U) << linked.err;
    EXPECT_THAT(linked.err, HasSubstr("link.svg is a symbolic link"));
    EXPECT_EQ(bytes_of(scratch / "old.svg"), "old");
    words = job(scratch / "old.svg");
    words.emplace_back("--overwrite");
    EXPECT_EQ(swingroom(words).exit_code, 0);
    EXPECT_THAT(bytes_of(scratch / "old.svg"), HasSubstr("<svg"));
    EXPECT_TRUE(std::filesystem::is_symlink(scratch / "link.svg"));
    std::filesystem::create_directory(scratch / "folder");
    words = job(scratch / "folder");
    words.emplace_back("--overwrite");
    const Outcome run = swingroom(words);
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, HasSubstr("not a plain file"));
}

TEST_F(BoatPicture, IsNeverTheBoatFile) {
    const std::string boat = scratch / "ketch.ini",
                      before = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    write_bytes(boat, before);
    std::filesystem::create_hard_link(boat, scratch / "hard.svg");
    std::filesystem::create_symlink("ketch.ini", scratch / "soft.svg");
    for (const std::string& name :
         std::vector<std::string>{"ketch.ini", "hard.svg", "soft.svg",
                                  "../" + scratch.path().filename().string() + "/ketch.ini"}) {
        const Outcome run =
            swingroom({"boat", boat, "--wind", "20", "--picture", scratch / name, "--overwrite"});
        EXPECT_EQ(run.exit_code, 2) << name;
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_THAT(run.err, HasSubstr("ketch.ini, which is read")) << name;
        EXPECT_EQ(bytes_of(boat), before) << name;
    }
    EXPECT_THAT(scratch.names(), testing::ElementsAre("hard.svg", "ketch.ini", "soft.svg"));
}

} // namespace
} // namespace swingroom::golden
