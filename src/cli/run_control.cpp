#include "cli/run_control.hpp"

#include "cli/console.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <semaphore.h>
#include <system_error>
#include <thread>
#include <unistd.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace swingroom::cli {
namespace {

/// Who decides how the run ends, once a signal has come: the first to move it away from `running`.
enum class Stage {
    running,
    unwinding, ///< the run has noticed, and tidies up by itself
    ending,    ///< it has not, and is ended
    appearing  ///< it is done: its folder gets its name
};

std::atomic<int> asked_by = 0;
std::atomic<Stage> stage = Stage::running;
static_assert(std::atomic<int>::is_always_lock_free, "a signal may come while another thread looks");
sem_t asked; // what a handler of signals may wake a thread by

extern "C" void note_signal(int signal) {
    asked_by = signal;
    sem_post(&asked);
}

/// What is left to a run that has been asked to stop, until it is ended.
constexpr auto patience = std::chrono::milliseconds(700);

/// Whether the run may go from `running` to this.
bool takes(Stage next) {
    Stage now = Stage::running;
    return stage.compare_exchange_strong(now, next);
}

/// The thread that is kept by a library may still be writing.
void remove_in_use(const std::filesystem::path& folder) {
    std::error_code error;
    for (int attempt = 0; attempt < 20; ++attempt) {
        std::filesystem::remove_all(folder, error);
        if (!error && !std::filesystem::exists(folder, error)) return;
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
}

/// Waits for a signal, gives the run time to notice, and ends it if it has not.
void watch(const std::filesystem::path& working) {
    while (sem_wait(&asked) != 0) {
    }
    std::this_thread::sleep_for(patience);
    if (!takes(Stage::ending)) return;
    remove_in_use(working);
    end_by(asked_by);
}

constexpr std::array stop_signals = {SIGINT, SIGTERM, SIGHUP};

} // namespace

void notice_signals() {
    sem_init(&asked, 0, 0);
    for (const int signal : stop_signals) {
        struct sigaction before = {};
        // One that is ignored, as nohup does it, stays ignored.
        if (sigaction(signal, nullptr, &before) == 0 && before.sa_handler == SIG_IGN) continue;
        struct sigaction action = {};
        action.sa_handler = note_signal;
        // A second signal of the kind ends the program at once.
        action.sa_flags = static_cast<int>(SA_RESETHAND);
        sigaction(signal, &action, nullptr);
    }
}

void end_if_unheeded(const std::filesystem::path& working) {
    try {
        std::thread(watch, working).detach();
    } catch (const std::system_error&) {
        // No thread is to be had: a second signal, which ends the program at once, must do.
        return;
    }
}

void wait_if_ending() {
    while (stage == Stage::ending)
        pause();
}

void stop_if_asked() {
    if (asked_by == 0) return;
    takes(Stage::unwinding);
    wait_if_ending();
    throw Interrupted{asked_by};
}

void stop_no_more() {
    stop_if_asked();
    if (!takes(Stage::appearing)) wait_if_ending();
}

void end_by(int signal) {
    std::signal(signal, SIG_DFL);
    std::raise(signal);
    _exit(128 + signal);
}

void return_freed_memory() {
#ifdef __GLIBC__
    malloc_trim(0); // glibc keeps freed memory by itself
#endif
}

ProgressBar::ProgressBar() : shown_(stderr_is_terminal() && loudness() == Loudness::plain) {}

ProgressBar::~ProgressBar() { clear(); }

void ProgressBar::clear() {
    if (shown_ && last_permille_ >= 0) std::fputs("\r\033[K", stderr);
    last_permille_ = -1;
}

void ProgressBar::show(double fraction) {
    if (!shown_) return;
    const int permille = static_cast<int>(std::clamp(fraction, 0.0, 1.0) * 1000);
    if (permille <= last_permille_) return;
    last_permille_ = permille;
    constexpr int width = 40;
    std::array<char, width + 1> bar{};
    std::fill_n(bar.begin(), width, '.');
    std::fill_n(bar.begin(), permille * width / 1000, '=');
    std::fprintf(stderr, "\r[%s] %3d %%", bar.data(), permille / 10);
    std::fflush(stderr);
}

} // namespace swingroom::cli
