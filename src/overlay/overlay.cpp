#include "swingroom/overlay/overlay.hpp"

#include "swingroom/base/block_cut.hpp"

#include "base/parallel.hpp"
#include "overlay/block_decider.hpp"

#include <algorithm>
#include <condition_variable>
#include <map>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// Puts the blocks' runs back into whole rows, in order, whichever block is done first, and traces them. One
/// thread at a time traces, whichever brings the block that completes the next band; the others go on
/// deciding meanwhile, but not far ahead, so that what waits does not grow with the raster.
class RowCollector {
public:
    /// @param across  blocks of a band
    RowCollector(std::size_t across, const OverlayJob& job, OverlaySink& sink)
        : across_(across), next_row_(job.window.row),
          tracer_(
              job.window.row,
              [metric = job.metric](int row) {
                  const CellSize cell = metric->at(row);
                  return cell.dx_m * cell.dy_m;
              },
              [&sink](Zone&& zone) { sink.zone(std::move(zone)); }) {}

    /// Waits while whole bands pile up, until others have brought what is missing before them.
    void add(Window core, BlockRuns&& runs) {
        std::unique_lock lock(mutex_);
        bands_[core.row].emplace(core.col, std::move(runs));
        if (!tracing_) {
            tracing_ = true;
            for (Band band; take_next(band);) {
                lock.unlock();
                trace(band); // should it throw, tracing_ stays set: nobody traces on behind a failure
                lock.lock();
                traced_.notify_all();
            }
            tracing_ = false;
        }
        traced_.wait(lock, [this] { return given_up_ || whole_bands() < most_whole_bands; });
    }
    /// Somebody has failed: what others wait for may never come.
    void give_up() {
        const std::lock_guard lock(mutex_);
        given_up_ = true;
        traced_.notify_all();
    }
    /// After the last add() has returned.
    void finish() { tracer_.finish(); }

private:
    using Band = std::map<int, BlockRuns>; ///< by first column

    static constexpr std::ptrdiff_t most_whole_bands = 1;

    /// Bands that wait to be traced, all their blocks there.
    [[nodiscard]] std::ptrdiff_t whole_bands() const {
        return std::count_if(bands_.begin(), bands_.end(),
                             [this](const auto& band) { return band.second.size() == across_; });
    }
    /// The next band in row order, if all its blocks are there.
    bool take_next(Band& band) {
        const auto found = bands_.find(next_row_);
        if (found == bands_.end() || found->second.size() != across_) return false;
        band = std::move(found->second);
        bands_.erase(found);
        next_row_ += static_cast<int>(band.begin()->second.size());
        return true;
    }
    void trace(Band& band) {
        std::vector<Run> row;
        const std::size_t rows = band.begin()->second.size();
        for (std::size_t r = 0; r < rows; ++r) {
            row.clear();
            for (auto& [col, runs] : band) {
                row.insert(row.end(), runs[r].begin(), runs[r].end());
                runs[r] = {}; // bands are as wide as the raster: what is traced makes room
            }
            tracer_.add_row(row);
        }
    }

    std::size_t across_;
    std::mutex mutex_;          ///< guards all below but the tracer, which `tracing_` hands to one thread
    std::map<int, Band> bands_; ///< by first row
    int next_row_;
    bool tracing_ = false, given_up_ = false;
    std::condition_variable traced_; ///< another band, or given up
    ZoneTracer tracer_;
};

} // namespace

void run_overlay(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress) {
    const BlockCut blocks(job.window, job.block);
    const BlockDecider decider(job);
    RowCollector collector(blocks.across(), job, sink);
    const bool traced = job.wanted.has(Layer::zones) || job.wanted.has(Layer::spots);
    std::mutex mutex; // guards what follows and the progress
    std::size_t done = 0;
    parallel_for(blocks.count(), job.threads, [&](const auto& next) {
        Workspace workspace;
        try {
            while (const std::optional<std::size_t> i = next()) {
                BlockRuns runs = decider.decide(blocks[*i], workspace);
                sink.block(workspace.answers);
                if (traced) collector.add(workspace.answers.core, std::move(runs));
                const std::lock_guard lock(mutex);
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.count()));
            }
        } catch (...) {
            collector.give_up();
            throw;
        }
    });
    collector.finish();
}

} // namespace swingroom
