#pragma once

#include "swingroom/base/block_cut.hpp"
#include "swingroom/overlay/overlay.hpp"

#include "overlay/packed_runs.hpp"

#include <condition_variable>
#include <cstddef>
#include <functional>
#include <map>
#include <mutex>

namespace swingroom {

/// Puts the blocks' runs back into whole rows, in order, whichever block is done first, and traces them. One
/// thread at a time traces, whichever brings the block that completes the next band; the others go on
/// deciding meanwhile, but not far ahead, so that what waits does not grow with the raster. Nobody waits for
/// ever if blocks are begun in order, since the first of those at work waits in no collector. The last bands,
/// which are complete when there is nothing left to decide, wait for finish(): the sink says when.
class RowCollector {
public:
    /// @param blocks  of the window   @param together  rows of blocks that are begun together
    /// @param sink    gets the zones; outlives this
    RowCollector(const BlockCut& blocks, std::size_t together, const SeaView& sea, OverlaySink& sink);

    /// @param core  of the block
    void add(Window core, const BlockRuns& runs);
    /// Traces what can be traced, unless another thread does. Waits while whole bands pile up, until others
    /// have brought what is missing before them.
    /// @param make_room  gives back what memory the calling thread can do without: a long outline takes some
    void trace(const std::function<void()>& make_room);
    /// Somebody has failed: what others wait for may never come.
    void give_up();
    /// Traces what is left, after the last add() has returned.
    void finish();

private:
    using Band = std::map<int, PackedRuns>; ///< by first column

    void hand_over(Zone&& zone);
    /// Bands that wait to be traced before finish(), all their blocks there.
    [[nodiscard]] std::ptrdiff_t whole_bands() const;
    /// The next band in row order above `end_row`, if all its blocks are there.
    bool take_next(int end_row, Band& band);
    void trace(Band& band);

    std::size_t across_;
    int last_bands_from_; ///< row: from there on nothing is traced before finish()
    /// Guards all below but the tracer and what it calls, which `tracing_` hands to one thread.
    std::mutex mutex_;
    std::map<int, Band> bands_; ///< by first row
    int next_row_;
    OverlaySink& sink_;
    const std::function<void()>* make_room_ = nullptr; ///< of the thread that traces
    bool tracing_ = false, given_up_ = false;
    std::condition_variable traced_; ///< another band, or given up
    ZoneTracer tracer_;
};

} // namespace swingroom
