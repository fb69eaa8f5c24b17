#pragma once

#include "swingroom/base/stop.hpp"

#include <atomic>
#include <cstddef>
#include <exception>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <vector>

namespace swingroom {

/// Runs `work` once on each of several threads, this one among them, with fewer where no more are to be had.
/// Each is given a function that hands out the numbers below `count` in ascending order, each number once,
/// until there are none or one of the threads has failed: what a thread keeps from piece to piece lives in
/// `work`.
/// @throws what the first to fail has thrown, once all have stopped; Interrupted when asked to stop
template <class Work>
void parallel_for(std::size_t count, int threads, const Work& work) {
    std::atomic<std::size_t> handed_out(0);
    std::mutex failure_mutex;
    std::exception_ptr failure;
    const auto next = [&]() -> std::optional<std::size_t> {
        stop_if_asked();
        const std::size_t i = handed_out++;
        return i < count ? std::optional(i) : std::nullopt;
    };
    const auto guarded_work = [&] {
        try {
            work(next);
        } catch (...) {
            const std::lock_guard lock(failure_mutex);
            if (!failure) failure = std::current_exception();
            handed_out = count;
        }
    };
    {
        std::vector<std::jthread> helpers;
        try {
            for (int i = 1; i < threads && static_cast<std::size_t>(i) < count; ++i) {
                helpers.emplace_back(guarded_work);
            }
        } catch (const std::system_error&) { // no more threads are to be had: those there are will do
        }
        guarded_work();
    }
    if (failure) std::rethrow_exception(failure);
}

} // namespace swingroom
