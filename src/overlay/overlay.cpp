#include "swingroom/overlay/overlay.hpp"

#include "base/parallel.hpp"
#include "overlay/block_decider.hpp"

#include <algorithm>
#include <condition_variable>
#include <deque>
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
    RowCollector(std::size_t across, const SeaView& sea, OverlaySink& sink)
        : across_(across), next_row_(sea.window.row), sink_(sink),
          tracer_(
              sea.window.row,
              [metric = sea.metric](int row) {
                  const CellSize cell = metric->at(row);
                  return cell.dx_m * cell.dy_m;
              },
              [this](Zone&& zone) { hand_over(std::move(zone)); }) {}

    void add(Window core, BlockRuns&& runs) {
        const std::lock_guard lock(mutex_);
        bands_[core.row].emplace(core.col, std::move(runs));
    }
    /// Traces what can be traced, unless another thread does. Waits while whole bands pile up, until others
    /// have brought what is missing before them.
    /// @param make_room  gives back what memory the calling thread can do without: a long outline takes some
    void trace(const std::function<void()>& make_room) {
        std::unique_lock lock(mutex_);
        if (!tracing_) {
            tracing_ = true;
            make_room_ = &make_room;
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
    void finish() {
        make_room_ = nullptr; // whoever traced last is gone
        tracer_.finish();
    }

private:
    using Band = std::map<int, BlockRuns>; ///< by first column

    static constexpr std::ptrdiff_t most_whole_bands = 1;
    /// To work out a zone takes some 40 bytes a corner, and a longer outline as much as a block.
    static constexpr std::size_t long_outline = 200'000;

    void hand_over(Zone&& zone) {
        std::size_t corners = 0;
        for (const auto& ring : zone.rings) {
            corners += ring.size();
        }
        if (corners > long_outline && make_room_ != nullptr) (*make_room_)();
        sink_.zone(std::move(zone));
    }

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
    std::mutex
        mutex_; ///< guards all below but the tracer and what it calls, which `tracing_` hands to one thread
    std::map<int, Band> bands_; ///< by first row
    int next_row_;
    OverlaySink& sink_;
    const std::function<void()>* make_room_ = nullptr; ///< of the thread that traces
    bool tracing_ = false, given_up_ = false;
    std::condition_variable traced_; ///< another band, or given up
    ZoneTracer tracer_;
};

/// One boat's way through the run.
struct Course {
    Course(const SeaView& sea, const BoatJob& boat, std::size_t across)
        : decider(sea, *boat.tables, boat.wanted, boat.tide, boat.way_in), collector(across, sea, *boat.sink),
          sink(*boat.sink), traced(boat.wanted.has(Layer::zones) || boat.wanted.has(Layer::spots)) {}

    void take(Gathered& gathered, Workspace& work) {
        BlockRuns runs = decider.decide(gathered, work);
        sink.block(work.answers);
        if (traced) collector.add(gathered.core, std::move(runs));
    }

    BlockDecider decider;
    RowCollector collector;
    OverlaySink& sink;
    bool traced;
};

} // namespace

HullNeeds hull_needs(const OverlayJob& job) {
    return hull_needs(job.tables->boat(), job.tables->conditions().water);
}

void run_overlay(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress) {
    const BoatJob boat{job.tables, job.wanted, &sink, job.tide, job.way_in};
    run_overlay(job, {&boat, 1}, job.block, job.threads, progress);
}

void run_overlay(const SeaView& sea, std::span<const BoatJob> boats, BlockSize block, int threads,
                 const std::function<void(double)>& progress) {
    const BlockCut blocks(sea.window, block);
    const Anchorages anchorages(*sea.hazards, *sea.metric, sea.depths->grid().extent(), sea.window);
    std::deque<Course> courses; // which do not move
    int halo = 0;
    for (const BoatJob& boat : boats) {
        courses.emplace_back(sea, boat, blocks.across());
        courses.back().decider.count(anchorages);
        halo = std::max(halo, courses.back().decider.halo());
    }
    const BlockGatherer gatherer(sea, halo);
    std::mutex mutex; // guards what follows and the progress
    std::size_t done = 0;
    parallel_for(blocks.count(), threads, [&](const auto& next) {
        Gathered gathered;
        Workspace workspace;
        // Between two blocks nothing of them is needed.
        const std::function<void()> make_room = [&] {
            gathered = Gathered();
            workspace = Workspace();
        };
        try {
            while (const std::optional<std::size_t> i = next()) {
                gatherer.gather(blocks[*i], gathered);
                for (Course& course : courses) {
                    course.take(gathered, workspace);
                }
                // Nobody waits for ever: blocks are begun in order, so that the first of those at work waits
                // in no collector.
                for (Course& course : courses) {
                    if (course.traced) course.collector.trace(make_room);
                }
                const std::lock_guard lock(mutex);
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.count()));
            }
        } catch (...) {
            for (Course& course : courses) {
                course.collector.give_up();
            }
            throw;
        }
    });
    for (Course& course : courses) {
        course.collector.finish();
    }
}

} // namespace swingroom
