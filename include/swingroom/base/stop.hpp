#pragma once

namespace swingroom {

/// Thrown where a run notices that it has been asked to stop; everything half-made is removed on the way out.
/// No std::exception, so that nobody who handles errors takes it for one.
struct Interrupted {
    int signal = 0; ///< the number of the signal by which the run was asked to stop
};

/// Asks what this process is doing to stop, as that signal would. May be called by a handler of signals and
/// from any thread. 0 takes it back.
void ask_to_stop(int signal) noexcept;
/// By which signal it was asked; 0 if it was not. For callbacks through which nothing may be thrown.
[[nodiscard]] int stop_asked() noexcept;
/// To be called by everything that may take long, once for each of its pieces: it reads one word.
/// @throws Interrupted
inline void stop_if_asked() {
    if (const int signal = stop_asked(); signal != 0) throw Interrupted{signal};
}

} // namespace swingroom
