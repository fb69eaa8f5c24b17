#include "cli/console.hpp"

#include "swingroom/base/measures.hpp"

#include "base/folded_text.hpp"
#include "base/terminal_text.hpp"

#include <charconv>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <string>
#include <sys/ioctl.h>
#include <sys/resource.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace swingroom::cli {
namespace {

using Clock = std::chrono::steady_clock;

const Clock::time_point start = Clock::now();
Loudness chosen = Loudness::plain;
std::string warned_of; ///< set_subject()

std::string_view environment(const char* name) {
    const char* value = std::getenv(name); // NOLINT(concurrency-mt-unsafe): nothing sets the environment
    return value ? value : "";
}

/// A word on stderr, bold and in a colour of the terminal's own where it may have one.
std::string marked(std::string_view word, const char* colour) {
    if (!stderr_is_terminal() || !environment("NO_COLOR").empty()) return std::string(word);
    return std::string("\033[1;") + colour + "m" + std::string(word) + "\033[0m";
}

int descriptor(Stream stream) { return stream == Stream::out ? STDOUT_FILENO : STDERR_FILENO; }

/// One line on stderr that begins with a word of ours.
/// @param shown  that word as it is shown, with its colour
void print_line(const std::string& word, const std::string& shown, const std::string& text) {
    const std::string line = folded(word + ' ' + on_one_line(text), columns(Stream::err));
    std::cerr << shown << line.substr(word.size()) << '\n';
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

std::size_t columns(Stream of) {
    constexpr int narrowest = 20, widest = 1000; // what is beyond is no screen
    if (isatty(descriptor(of)) != 1) return 0;
    int count = 0;
    const std::string_view said = environment("COLUMNS");
    if (std::from_chars(said.data(), said.data() + said.size(), count).ec != std::errc{}) {
        winsize size{};
        if (ioctl(descriptor(of), TIOCGWINSZ, &size) == 0) count = size.ws_col;
    }
    return count < narrowest || count > widest ? 0 : static_cast<std::size_t>(count);
}

void print(std::string_view text, Stream to) {
    (to == Stream::out ? std::cout : std::cerr) << folded(for_terminal(text), columns(to));
}

void print_document(std::string_view text) { std::cout << for_terminal(text); }

bool flush_output() { return std::cout.flush() && std::fflush(stdout) == 0; }

void set_subject(std::string subject) { warned_of = std::move(subject); }

void print_warning(const std::string& text) {
    print_line("swingroom: warning:", "swingroom: " + marked("warning:", "33"),
               warned_of.empty() ? text : warned_of + ": " + text);
}

void print_error(const std::string& text) { print_line("swingroom:", marked("swingroom:", "31"), text); }

void print_list(const std::vector<std::string>& texts) {
    for (const std::string& text : texts) {
        std::cerr << folded("  " + on_one_line(text), columns(Stream::err)) << '\n';
    }
}

void print_note(const std::string& text) {
    if (chosen == Loudness::verbose) {
        tell(text);
    } else if (chosen == Loudness::plain && stderr_is_terminal()) {
        print_line("swingroom:", "swingroom:", text);
    }
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
