#include "swingroom/base/stop.hpp"

#include <gtest/gtest.h>

#include <csignal>

namespace swingroom {
namespace {

TEST(Stop, IsNoticedWhereItIsAskedFor) {
    EXPECT_NO_THROW(stop_if_asked());
    // A handler may run between any two instructions.
    const auto before = std::signal(SIGTERM, [](int signal) { ask_to_stop(signal); });
    std::raise(SIGTERM);
    std::signal(SIGTERM, before);
    EXPECT_EQ(stop_asked(), SIGTERM);
    try {
        stop_if_asked();
        ADD_FAILURE() << "went on";
    } catch (const Interrupted& interrupted) {
        EXPECT_EQ(interrupted.signal, SIGTERM);
    }
    ask_to_stop(0);
    EXPECT_NO_THROW(stop_if_asked());
}

} // namespace
} // namespace swingroom
