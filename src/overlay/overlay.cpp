#include "swingroom/overlay/overlay.hpp"

#include "overlay/block_decider.hpp"

#include <exception>
#include <map>
#include <mutex>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

/// Puts the blocks' runs back into whole rows, in order, whichever block is done first.
class RowCollector {
public:
    RowCollector(const std::vector<Window>& blocks, const OverlayJob& job, OverlaySink& sink)
        : next_row_(job.window.row), tracer_(
                                         job.window.row,
                                         [metric = job.metric](int row) {
                                             const CellSize cell = metric->at(row);
                                             return cell.dx_m * cell.dy_m;
                                         },
                                         [&sink](Zone&& zone) { sink.zone(std::move(zone)); }) {
        for (const Window& block : blocks)
            ++awaited_[block.row];
    }

    void add(Window core, BlockRuns&& runs) {
        auto& band = bands_[core.row];
        band.emplace(core.col, std::move(runs));
        while (!bands_.empty() && bands_.begin()->first == next_row_ &&
               static_cast<int>(bands_.begin()->second.size()) == awaited_[next_row_])
            trace(bands_.begin()->second);
    }
    void finish() { tracer_.finish(); }

private:
    void trace(std::map<int, BlockRuns>& band) {
        const std::size_t rows = band.begin()->second.size();
        std::vector<Run> row;
        for (std::size_t r = 0; r < rows; ++r) {
            row.clear();
            for (const auto& [col, runs] : band)
                row.insert(row.end(), runs[r].begin(), runs[r].end());
            tracer_.add_row(row);
        }
        bands_.erase(next_row_);
        next_row_ += static_cast<int>(rows);
    }

    std::map<int, int> awaited_;                    // blocks of a band, by its first row
    std::map<int, std::map<int, BlockRuns>> bands_; // by first row, then first column
    int next_row_;
    ZoneTracer tracer_;
};

} // namespace

void run_overlay(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress) {
    const std::vector<Window> blocks = cut_into_blocks(job.window, job.block);
    const BlockDecider decider(job);
    RowCollector collector(blocks, job, sink);
    const bool traced = job.wanted.has(Layer::zones) || job.wanted.has(Layer::spots);
    std::mutex mutex; // guards all below, the collector and the progress
    std::size_t next = 0, done = 0;
    std::exception_ptr failure;

    const auto work = [&] {
        Workspace workspace;
        for (;;) {
            Window core;
            {
                const std::lock_guard lock(mutex);
                if (failure || next == blocks.size()) return;
                core = blocks[next++];
            }
            try {
                BlockRuns runs = decider.decide(core, workspace);
                sink.block(workspace.answers);
                const std::lock_guard lock(mutex);
                if (traced) collector.add(core, std::move(runs));
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.size()));
            } catch (...) {
                const std::lock_guard lock(mutex);
                if (!failure) failure = std::current_exception();
                return;
            }
        }
    };
    {
        std::vector<std::jthread> others;
        for (int i = 1; i < job.threads; ++i)
            others.emplace_back(work);
        work();
    }
    if (failure) std::rethrow_exception(failure);
    collector.finish();
}

} // namespace swingroom
