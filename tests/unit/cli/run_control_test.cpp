#include "swingroom/publish/folder.hpp"

#include "cli/run/run_control.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <csignal>
#include <fstream>
#include <string>
#include <thread>

namespace swingroom::cli {
namespace {

using Clock = std::chrono::steady_clock;

/// Fills a folder and asks nobody, as a call of a library does that draws or sorts for minutes.
[[noreturn]] void be_deaf(const std::filesystem::path& target) {
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        std::signal(signal, SIG_DFL); // jobs in the background of a script are born with these ignored
    }
    notice_signals();
    const PendingFolder folder(target, false);
    std::raise(SIGTERM);
    for (int i = 0;; ++i) {
        std::ofstream(folder.working() / std::to_string(i % 1000)) << i;
        std::this_thread::sleep_for(std::chrono::microseconds(10));
    }
}

TEST(RunControl, EndsARunThatIsDeafAndLeavesNothing) {
    const testing_support::Scratch scratch;
    const auto start = Clock::now();
    EXPECT_EXIT(be_deaf(scratch.path() / "run"), ::testing::KilledBySignal(SIGTERM), "");
    EXPECT_LT(Clock::now() - start, std::chrono::seconds(10)) << "0.6 s, on a machine that is free";
    EXPECT_THAT(scratch.names(), ::testing::IsEmpty());
}

/// As if the run were over when the signal comes.
[[noreturn]] void be_done(const std::filesystem::path& target) {
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        std::signal(signal, SIG_DFL);
    }
    notice_signals();
    PendingFolder folder(target, false);
    std::ofstream(folder.working() / "file") << "whole";
    folder.commit({});
    std::raise(SIGTERM);
    std::this_thread::sleep_for(std::chrono::seconds(30));
    std::_Exit(0);
}

TEST(RunControl, LeavesAFolderThatHasItsNameAlready) {
    const testing_support::Scratch scratch;
    EXPECT_EXIT(be_done(scratch.path() / "run"), ::testing::KilledBySignal(SIGTERM), "");
    EXPECT_THAT(scratch.names(), ::testing::ElementsAre("run"));
    EXPECT_THAT(verify_folder(scratch.path() / "run"), ::testing::IsEmpty());
}

} // namespace
} // namespace swingroom::cli
