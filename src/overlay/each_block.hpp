#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/parts.hpp"

#include "base/parallel.hpp"
#include "overlay/block_decider.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <mutex>
#include <optional>

namespace swingroom {

/// What a thread that works at blocks keeps from one to the next.
struct BlockScratch {
    Gathered gathered;
    Workspace workspace;
    Plane<std::uint8_t> boats_yes; ///< as BoatsSink has it, where boats are counted
};

/// Calls `take` for each block of a share, from several threads, which begin them in order.
/// @param progress  called with the fraction done, from one thread at a time; may be empty
/// @param take      gets the block's number and the thread's BlockScratch
/// @param failed    called by each thread that fails, before what it threw goes on
/// @throws what one of them has thrown, once all threads have stopped; Interrupted when asked to stop
template <class Take, class Failed>
void each_block(BlockShare share, int threads, const std::function<void(double)>& progress, const Take& take,
                const Failed& failed) {
    std::mutex mutex; // guards what follows and the progress
    std::size_t done = 0;
    parallel_for(share.count(), threads, [&](const auto& next) {
        BlockScratch scratch;
        try {
            while (const std::optional<std::size_t> i = next()) {
                take(share.first + *i, scratch);
                const std::lock_guard lock(mutex);
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(share.count()));
            }
        } catch (...) {
            failed();
            throw;
        }
    });
}

} // namespace swingroom
