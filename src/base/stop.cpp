#include "swingroom/base/stop.hpp"

#include <atomic>

namespace swingroom {
namespace {

std::atomic<int> asked_by(0);
static_assert(std::atomic<int>::is_always_lock_free, "a handler of signals takes no lock");

} // namespace

void ask_to_stop(int signal) noexcept { asked_by = signal; }
int stop_asked() noexcept { return asked_by; }

} // namespace swingroom
