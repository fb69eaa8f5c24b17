#include "cli/run/run_control.hpp"

#include "cli/console.hpp"
#include "publish/folder/guarded_files.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <semaphore.h>
#include <system_error>
#include <thread>
#include <unistd.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace swingroom::cli {
namespace {

sem_t noted; ///< posted by the handler, which may do little else

extern "C" void note_signal(int signal) {
    ask_to_stop(signal);
    const int before = errno;
    sem_post(&noted);
    errno = before;
}

constexpr std::array stop_signals = {SIGINT, SIGTERM, SIGHUP};
/// How long a run has to notice by itself and to tidy up.
constexpr std::chrono::milliseconds patience(600);

/// Waits for a signal, and then ends the run if it does not end by itself: one call of a library may draw,
/// sort or search for minutes.
void end_if_not_noticed() {
    while (sem_wait(&noted) != 0 && errno == EINTR) {
    }
    std::this_thread::sleep_for(patience);
    guarded::remove_unfinished();
    end_by(stop_asked());
}

} // namespace

void notice_signals() {
    sem_init(&noted, 0, 0);
    try {
        std::thread(end_if_not_noticed).detach();
    } catch (const std::system_error&) { // no more threads are to be had: the run must notice by itself
    }
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

void keep_large_memory_apart() {
#ifdef __GLIBC__
    // By itself glibc keeps blocks of up to 32 MB once one of their size has been freed. Planes and tiles of
    // a few MB come and go too often to be given back; outlines and tables that are longer do not.
    mallopt(M_MMAP_THRESHOLD, 1 << 23);
    // With that set, glibc gives all back that is free at the end of a heap beyond 128 KB, and each block
    // faults its pages in again: a twelfth of a run of three layers.
    mallopt(M_TRIM_THRESHOLD, 1 << 22);
    mallopt(M_TOP_PAD, 1 << 20);
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
