#include "cli/console.hpp"

#include "swingroom/base/measures.hpp"

#include "base/terminal_text.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <sys/resource.h>
#include <unistd.h>

namespace swingroom::cli {
namespace {

using Clock = std::chrono::steady_clock;

const Clock::time_point start = Clock::now();
Loudness chosen = Loudness::plain;

std::string_view environment(const char* name) {
    const char* value = std::getenv(name); // NOLINT(concurrency-mt-unsafe): nothing sets the environment
    return value ? value : "";
}

/// A word on stderr, bold and in a colour of the terminal's own where it may have one.
std::string marked(std::string_view word, const char* colour) {
    if (!stderr_is_terminal() || !environment("NO_COLOR").empty()) return std::string(word);
    return std::string("\033[1;") + colour + "m" + std::string(word) + "\033[0m";
}

double seconds(const timeval& time) {
    return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
}

} // namespace

void set_loudness(Loudness loudness) { chosen = loudness; }
Loudness loudness() { return chosen; }

bool stderr_is_terminal() {
    const std::string_view terminal = environment("TERM");
    return isatty(STDERR_FILENO) == 1 && !terminal.empty() && terminal != "dumb";
}

void print(std::string_view text, Stream to) {
    (to == Stream::out ? std::cout : std::cerr) << for_terminal(text);
}

bool flush_output() { return std::cout.flush() && std::fflush(stdout) == 0; }

void print_warning(const std::string& text) {
    std::cerr << "swingroom: " << marked("warning:", "33") << ' ' << on_one_line(text) << '\n';
}

void print_error(const std::string& text) {
    std::cerr << marked("swingroom:", "31") << ' ' << on_one_line(text) << '\n';
}

void print_refusal(const std::string& text) {
    std::cerr << marked("swingroom:", "31") << ' ' << for_terminal(text);
}

void tell(const std::string& what) {
    if (chosen != Loudness::verbose) return;
    const std::chrono::duration<double> passed = Clock::now() - start;
    std::cerr << "swingroom: " << fixed(passed.count(), 2) << " s: " << on_one_line(what) << '\n';
}

void tell_usage() {
    rusage used{};
    if (chosen != Loudness::verbose || getrusage(RUSAGE_SELF, &used) != 0) return;
    tell("done, with " + fixed(seconds(used.ru_utime) + seconds(used.ru_stime), 2) +
         " s of processor time and " + fixed(static_cast<double>(used.ru_maxrss) * 1024 / 1e6, 0) +
         " MB of memory at most");
}

void print_made(const std::string& path) {
    if (chosen != Loudness::quiet) std::cout << on_one_line(path) << '\n';
}

} // namespace swingroom::cli
