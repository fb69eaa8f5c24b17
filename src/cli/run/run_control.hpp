#pragma once

#include "swingroom/base/stop.hpp"

#include <string>

namespace swingroom::cli {

/// From here on SIGINT, SIGTERM and SIGHUP do not end the program but are noticed by stop_if_asked(). Where
/// that is not called for most of a second, in the middle of a library that asks nobody, the folders under
/// way are removed and the program is ended all the same.
void notice_signals();
/// Ends the program by the signal's own default action, so that the caller sees what ended it.
[[noreturn]] void end_by(int signal);

/// Gives back to the system what the phase before has freed, so that the phases' memory does not add up.
void return_freed_memory();

/// From here on what is large goes back at once when it is freed.
void keep_large_memory_apart();

/// One bar over a whole run, on stderr, and only where that is a terminal; not with --quiet, nor with
/// --verbose, whose lines tell more.
class ProgressBar {
public:
    /// Shows nothing yet.
    ProgressBar();
    ~ProgressBar();
    ProgressBar(const ProgressBar&) = delete;
    ProgressBar& operator=(const ProgressBar&) = delete;
    /// @param fraction  of the whole run, never less than before
    void show(double fraction);
    /// Leaves the line empty for what is printed next.
    void clear();

private:
    bool shown_;
    int last_permille_ = -1;
};

} // namespace swingroom::cli
