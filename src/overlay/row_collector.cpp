#include "overlay/row_collector.hpp"

#include <algorithm>
#include <limits>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

constexpr std::ptrdiff_t most_whole_bands = 1;
/// To work out a zone takes some 40 bytes a corner, and a longer outline as much as a block.
constexpr std::size_t long_outline = 200'000;

/// The first row of the last rows of blocks that are begun together.
int last_rows_from(const BlockCut& blocks, std::size_t together, Window window) {
    if (blocks.count() == 0) return window.row;
    const std::size_t last_down = blocks.count() / blocks.across() - 1;
    return blocks[last_down / together * together * blocks.across()].row;
}

std::function<double(int)> cell_areas_by(const GroundMetric& metric) {
    return [&metric](int row) {
        const CellSize cell = metric.at(row);
        return cell.dx_m * cell.dy_m;
    };
}

} // namespace

RowCollector::RowCollector(const BlockCut& blocks, std::size_t together, const SeaView& sea,
                           OverlaySink& sink)
    : across_(blocks.across()), last_bands_from_(last_rows_from(blocks, together, sea.window)),
      next_row_(sea.window.row), sink_(sink), tracer_(sea.window.row, cell_areas_by(*sea.metric),
                                                      [this](Zone&& zone) { hand_over(std::move(zone)); }) {}

void RowCollector::add(Window core, const BlockRuns& runs) {
    PackedRuns packed(runs);
    const std::lock_guard lock(mutex_);
    bands_[core.row].emplace(core.col, std::move(packed));
}

void RowCollector::trace(const std::function<void()>& make_room) {
    std::unique_lock lock(mutex_);
    if (!tracing_) {
        tracing_ = true;
        make_room_ = &make_room;
        for (Band band; take_next(last_bands_from_, band);) {
            lock.unlock();
            trace(band); // should it throw, tracing_ stays set: nobody traces on behind a failure
            lock.lock();
            traced_.notify_all();
        }
        tracing_ = false;
    }
    traced_.wait(lock, [this] { return given_up_ || whole_bands() < most_whole_bands; });
}

void RowCollector::give_up() {
    const std::lock_guard lock(mutex_);
    given_up_ = true;
    traced_.notify_all();
}

void RowCollector::finish() {
    make_room_ = nullptr; // whoever traced last is gone
    for (Band band; take_next(std::numeric_limits<int>::max(), band);) {
        trace(band);
    }
    tracer_.finish();
}

void RowCollector::hand_over(Zone&& zone) {
    std::size_t corners = 0;
    for (const auto& ring : zone.rings) {
        corners += ring.size();
    }
    if (corners > long_outline && make_room_ != nullptr) (*make_room_)();
    sink_.zone(std::move(zone));
}

std::ptrdiff_t RowCollector::whole_bands() const {
    return std::count_if(bands_.begin(), bands_.lower_bound(last_bands_from_),
                         [this](const auto& band) { return band.second.size() == across_; });
}

bool RowCollector::take_next(int end_row, Band& band) {
    if (next_row_ >= end_row) return false;
    const auto found = bands_.find(next_row_);
    if (found == bands_.end() || found->second.size() != across_) return false;
    band = std::move(found->second);
    bands_.erase(found);
    next_row_ += static_cast<int>(band.begin()->second.rows());
    return true;
}

void RowCollector::trace(Band& band) {
    std::vector<Run> row;
    const std::size_t rows = band.begin()->second.rows();
    for (std::size_t r = 0; r < rows; ++r) {
        row.clear();
        for (auto& [col, runs] : band) {
            runs.take_row(row);
        }
        tracer_.add_row(row);
    }
}

} // namespace swingroom
