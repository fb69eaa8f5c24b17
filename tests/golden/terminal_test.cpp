// What the command is to the shell and the terminal around it: signals, the progress bar, a full output.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <fcntl.h>
#include <functional>
#include <pty.h>
#include <sys/wait.h>
#include <system_error>
#include <thread>
#include <unistd.h>

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
        for (std::string& word : words)
            argv.push_back(word.data());
        argv.push_back(nullptr);
        std::array<int, 2> ends{-1, -1};
        if (!terminal && pipe2(ends.data(), O_CLOEXEC) != 0)
            throw std::system_error(errno, std::generic_category(), "pipe");
        child_ = terminal ? forkpty(&from_, nullptr, nullptr, nullptr) : fork();
        if (child_ < 0) throw std::system_error(errno, std::generic_category(), "fork");
        if (child_ == 0) {
            if (!terminal && (dup2(ends[1], 1) < 0 || dup2(ends[1], 2) < 0)) _exit(126);
            // Jobs in the background of a script are born with these ignored.
            for (const int signal : {SIGINT, SIGTERM, SIGHUP})
                std::signal(signal, SIG_DFL);
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
    /// Until its working folder holds something: from there on it has much to clean up.
    [[nodiscard]] bool is_at_work() const {
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (std::chrono::steady_clock::now() < end) {
            for (const std::string& name : scratch_.names())
                if (name.starts_with(".out.part-") && !std::filesystem::is_empty(scratch_ / name))
                    return true;
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
        if (no_color)
            setenv("NO_COLOR", no_color, 1);
        else
            unsetenv("NO_COLOR");
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

} // namespace
} // namespace swingroom::golden
