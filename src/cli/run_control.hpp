#pragma once

#include <filesystem>

namespace swingroom::cli {

/// Thrown where a run notices that it has been asked to stop; everything half-made is removed on the way out.
struct Interrupted {
    int signal = 0;
};

/// From here on SIGINT, SIGTERM and SIGHUP do not end the program but are noticed by stop_if_asked().
void notice_signals();
/// The last resort: a run that is within a library, which may never come back from some inputs, notices
/// nothing. If it has not within most of a second, its working folder is removed from under it, and the
/// program ends by the signal. After notice_signals(); what came in between counts.
void end_if_unheeded(const std::filesystem::path& working);
/// @throws Interrupted
void stop_if_asked();
/// To be called once, when all that is left is to give the finished folder its name: from here on a signal
/// changes nothing any more.   @throws Interrupted
void stop_no_more();
/// Does not return if the program is being ended while a library kept it, whose work then fails for want of
/// the folder: nobody is to be told of that.
void wait_if_ending();
/// Ends the program by the signal's own default action, so that the caller sees what ended it.
[[noreturn]] void end_by(int signal);

/// Gives back to the system what the phase before has freed, so that the phases' memory does not add up.
void return_freed_memory();

/// One bar over a whole run, on stderr, and only where that is a terminal; not with --quiet, nor with
/// --verbose, whose lines tell more.
class ProgressBar {
public:
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
