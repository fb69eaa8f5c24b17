#include "swingroom/base/stop.hpp"

#include "base/parallel.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <csignal>
#include <cstddef>
#include <functional>
#include <latch>
#include <mutex>
#include <optional>
#include <set>
#include <stdexcept>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

TEST(ParallelFor, HandsOutEachNumberOnceAndToEachThreadInAscendingOrder) {
    for (const int threads : {1, 2, 7, 100}) {
        for (const std::size_t count : {0U, 1U, 5U, 1000U}) {
            std::mutex mutex;
            std::vector<std::size_t> all;
            std::set<std::thread::id> workers;
            parallel_for(count, threads, [&](const auto& next) {
                std::vector<std::size_t> own;
                while (const std::optional<std::size_t> i = next()) {
                    own.push_back(*i);
                }
                EXPECT_TRUE(std::is_sorted(own.begin(), own.end()));
                const std::lock_guard lock(mutex);
                all.insert(all.end(), own.begin(), own.end());
                workers.insert(std::this_thread::get_id());
            });
            std::sort(all.begin(), all.end());
            ASSERT_EQ(all.size(), count);
            for (std::size_t i = 0; i < count; ++i) {
                ASSERT_EQ(all[i], i);
            }
            EXPECT_LE(workers.size(), static_cast<std::size_t>(threads));
            EXPECT_LE(workers.size(), std::max<std::size_t>(count, 1)) << "no thread without work";
        }
    }
}

TEST(ParallelFor, StopsAllWhereOneFailsAndThrowsWhatItThrew) {
    std::atomic<int> done = 0;
    try {
        parallel_for(1'000'000'000, 4, [&](const auto& next) {
            while (const std::optional<std::size_t> i = next()) {
                if (*i == 50) throw std::runtime_error("the fiftieth");
                ++done;
                std::this_thread::yield();
            }
        });
        ADD_FAILURE() << "nothing was thrown";
    } catch (const std::runtime_error& error) {
        EXPECT_STREQ(error.what(), "the fiftieth");
    }
    EXPECT_GE(done, 50) << "those before it were handed out";
    EXPECT_LT(done, 100'000'000) << "the others went on";
}

TEST(ParallelFor, StopsWhenAskedTo) {
    std::atomic<int> done = 0;
    EXPECT_THROW(parallel_for(1'000'000'000, 3,
                              [&](const auto& next) {
                                  while (next()) {
                                      if (++done == 20) ask_to_stop(SIGINT);
                                  }
                              }),
                 Interrupted);
    ask_to_stop(0);
    EXPECT_GE(done, 20);
    EXPECT_LT(done, 100'000'000);
}

TEST(SideBySide, DoesEachThingOnceAndAsManyAtATimeAsThereAreThreads) {
    for (const int threads : {1, 2, 3, 8}) {
        std::mutex mutex;
        std::vector<int> done;
        std::vector<std::function<void()>> things;
        for (int i = 0; i < 5; ++i) {
            things.emplace_back([&, i] {
                const std::lock_guard lock(mutex);
                done.push_back(i);
            });
        }
        side_by_side(things, threads);
        EXPECT_TRUE(threads > 1 || std::is_sorted(done.begin(), done.end()));
        std::sort(done.begin(), done.end());
        EXPECT_EQ(done, (std::vector{0, 1, 2, 3, 4}));
    }
    std::latch both(2); // neither ends before the other has begun
    const auto wait = [&both] { both.arrive_and_wait(); };
    side_by_side(std::vector<std::function<void()>>{wait, wait}, 2);
    side_by_side({}, 4);
}

TEST(SideBySide, TellsTheFirstFailureInOrderWhicheverCameFirstInTime) {
    for (const int threads : {1, 2, 4}) {
        std::atomic<bool> last_done = false;
        std::latch second_failed(1);
        const std::vector<std::function<void()>> things = {[&] {
                                                               if (threads > 1) second_failed.wait();
                                                               std::this_thread::sleep_for(
                                                                   std::chrono::milliseconds(20));
                                                               throw std::runtime_error("the first");
                                                           },
                                                           [&] {
                                                               second_failed.count_down();
                                                               throw std::logic_error("the second");
                                                           },
                                                           [] {}, [] {}, [&] { last_done = true; }};
        EXPECT_THROW(side_by_side(things, threads), std::runtime_error);
        EXPECT_FALSE(threads == 1 && last_done) << "nothing is begun after a failure";
    }
}

} // namespace
} // namespace swingroom
