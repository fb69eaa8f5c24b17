#pragma once

#include <atomic>
#include <cstddef>
#include <exception>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

namespace swingroom {

/// Runs `work` on several threads at once. Each is given a function that hands out the numbers below `count`,
/// each number once, until there are none or one of the threads has failed.
/// @throws what the first to fail has thrown
template <class Work>
void share_out(std::size_t count, int threads, const Work& work) {
    std::atomic<std::size_t> handed_out{0};
    std::mutex failure_mutex;
    std::exception_ptr failure;
    const auto next = [&]() -> std::optional<std::size_t> {
        const std::size_t i = handed_out++;
        return i < count ? std::optional{i} : std::nullopt;
    };
    const auto guarded_work = [&] {
        try {
            work(next);
        } catch (...) {
            const std::scoped_lock lock{failure_mutex};
            if (!failure) {
                failure = std::current_exception();
            }
            handed_out = count;
        }
    };
    {
        std::vector<std::jthread> helpers;
        for (int i = 1; i < threads; ++i) {
            helpers.emplace_back(guarded_work);
        }
        guarded_work();
    }
    if (failure) {
        std::rethrow_exception(failure);
    }
}

} // namespace swingroom
