#pragma once

#include "swingroom/base/stop.hpp"

#include <atomic>
#include <cstddef>
#include <exception>
#include <functional>
#include <mutex>
#include <optional>
#include <span>
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

/// Does several things side by side as far as the threads go, which take them in that order: the longest
/// belong first.
/// @throws what the first of them in that order has thrown that has failed, once all that were begun have
///         ended; no more are begun then. Interrupted when asked to stop
inline void side_by_side(std::span<const std::function<void()>> things, int threads) {
    std::vector<std::exception_ptr> failures(things.size());
    try {
        parallel_for(things.size(), threads, [&](const auto& next) {
            while (const std::optional<std::size_t> i = next()) {
                try {
                    things[*i]();
                } catch (...) {
                    failures[*i] = std::current_exception();
                    throw;
                }
            }
        });
    } catch (...) {
        // All before one that was begun were begun, too: whichever was the first to fail in time, the first
        // in order is the same.
        for (const std::exception_ptr& failure : failures) {
            if (failure) std::rethrow_exception(failure);
        }
        throw;
    }
}

} // namespace swingroom
