#include "swingroom/overlay/access.hpp"

#include "swingroom/base/block_cut.hpp"
#include "swingroom/room/passage.hpp"

#include "base/parallel.hpp"
#include "base/spool.hpp"
#include "overlay/access_floor.hpp"
#include "overlay/kept_runs.hpp"
#include "overlay/passage_tiers.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <mutex>
#include <utility>

namespace swingroom {
namespace {

constexpr float never = std::numeric_limits<float>::infinity();

/// What a way through a block is found with takes some 50 bytes a cell: more than all else of a run.
constexpr int most_block = 512;

/// The start's cells, each reached at its own level, one of each of the whole raster's nodes.
std::vector<ReachedCell> cells_of_start(const BlockPassages& raster, const RimStart& start) {
    std::vector<ReachedCell> from;
    std::vector<bool> taken(raster.level_m.size());
    const auto take = [&](std::size_t number, GridCell cell) {
        const std::uint32_t node = raster.node(number);
        if (node == BlockPassages::no_node || taken[node]) return;
        taken[node] = true;
        from.push_back({cell, raster.level_m[node]});
    };
    const std::vector<GridCell> of_rim = rim_cells(raster.block);
    if (!start.of_start.empty() && !start.charts) {
        const Rim rim(raster.block);
        for (std::size_t i = 0; i < of_rim.size(); ++i) {
            if (start.of_start[rim.index(of_rim[i])]) take(i, of_rim[i]);
        }
    }
    for (std::size_t i = 0; i < raster.also.size(); ++i) {
        take(of_rim.size() + i, raster.also[i]);
    }
    return from;
}

/// Of each block the cells that one gets in over, in little memory.
class BlockEntries {
public:
    BlockEntries(std::size_t blocks, const Spooling& spooling) : of_block_(blocks), spool_(spooling) {}

    /// @throws IoError  the disk is full
    void put(std::size_t block, std::span<const ReachedCell> entries) {
        Entries& of = of_block_[block];
        of.count = entries.size();
        if (of.count == 1) of.only = entries.front();
        if (of.count > 1) of.at = spool_.put(std::as_bytes(entries));
    }
    /// @throws IoError
    void get(std::size_t block, std::vector<ReachedCell>& entries) const {
        const Entries& of = of_block_[block];
        entries.assign(of.count, of.only);
        if (of.count > 1) spool_.get(of.at, std::as_writable_bytes(std::span(entries)));
    }
    [[nodiscard]] bool any(std::size_t block) const { return of_block_[block].count > 0; }
    [[nodiscard]] std::uint64_t bytes_on_disk() const { return spool_.bytes_on_disk(); }

private:
    struct Entries {
        std::uint64_t at = 0;
        std::size_t count = 0;
        ReachedCell only; ///< where it is but one
    };
    std::vector<Entries> of_block_;
    Spool spool_;
};

} // namespace

struct AccessLevels::Workspace::State {
    AccessFloor::Scratch scratch;
    Passages passages;
    Plane<float> reached_m;
    PassableRuns runs;
    std::vector<ReachedCell> from;
};

AccessLevels::Workspace::Workspace() : state_(std::make_unique<State>()) {}
AccessLevels::Workspace::~Workspace() = default;
AccessLevels::Workspace::Workspace(Workspace&&) noexcept = default;
AccessLevels::Workspace& AccessLevels::Workspace::operator=(Workspace&&) noexcept = default;

struct AccessLevels::State {
    State(const OverlayJob& job, const UnderWay& needs, LevelRange levels)
        : range{levels.lowest_m + 0.0F, levels.highest_m}, floor(job, needs, range),
          block(std::min(job.block.rows, most_block)), blocks(floor.extent(), block), spooling(job.spooling),
          entries(blocks.count(), kept(spooling)), runs(blocks.count(), range.lowest_m, kept(spooling)) {}

    /// Of what is kept as long as levels are asked for, less stays in memory than of what is soon gone.
    static Spooling kept(const Spooling& spooling) {
        return {spooling.folder, spooling.in_memory_bytes / share_kept_long};
    }

    LevelRange range;
    AccessFloor floor;
    int block;
    BlockCut blocks;                                     ///< of the whole raster
    std::vector<AccessFloor::Kind> kinds;                ///< by block
    RimStart start;                                      ///< of no stretch where it is places
    std::map<std::size_t, std::vector<GridCell>> places; ///< by block
    Spooling spooling;
    BlockEntries entries;
    KeptRuns runs; ///< of mixed blocks
    std::uint64_t spooled_bytes = 0;

    [[nodiscard]] const RimStart* rim_start() const { return start.of_start.empty() ? nullptr : &start; }
    [[nodiscard]] std::size_t block_of(GridCell cell) const {
        return static_cast<std::size_t>(cell.row / block) * blocks.across() +
               static_cast<std::size_t>(cell.col / block);
    }
    void begin_at(std::span<const GridCell> cells) {
        for (const GridCell cell : cells) {
            places[block_of(cell)].push_back(cell);
        }
    }
    [[nodiscard]] std::span<const GridCell> places_in(std::size_t i) const {
        const auto found = places.find(i);
        return found == places.end() ? std::span<const GridCell>() : found->second;
    }

    void solve(int threads, const std::function<void(double)>& progress) {
        PassageTiers tiers(blocks.across(), blocks.count() / blocks.across(), spooling);
        // From the last row up: a run begins with the first ones, and finds what was read last still decoded.
        std::vector<std::size_t> order = tiers.order();
        std::reverse(order.begin(), order.end());
        kinds.assign(blocks.count(), AccessFloor::Kind::mixed);
        std::mutex mutex; // guards the progress
        std::size_t done = 0;
        parallel_for(blocks.count(), threads, [&](const auto& next) {
            Workspace::State work;
            while (const std::optional<std::size_t> at = next()) {
                const std::size_t i = order[*at];
                kinds[i] = floor.passable(blocks[i], rim_start(), work.scratch, work.runs);
                tiers.add(i, passages_of(i, work));
                const std::lock_guard lock(mutex);
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.count()));
            }
        });
        tiers.hand_down(
            cells_of_start(tiers.raster(), start),
            [&](std::size_t i, std::span<const ReachedCell> reached) { entries.put(i, reached); });
        spooled_bytes = tiers.bytes_on_disk() + entries.bytes_on_disk() + runs.bytes_on_disk();
    }

    /// By the runs of the workspace, which are its.
    BlockPassages passages_of(std::size_t i, Workspace::State& work) {
        if (kinds[i] != AccessFloor::Kind::mixed && places_in(i).empty()) {
            return uniform_block(blocks[i], floor.level_of(kinds[i]));
        }
        runs.put(i, work.runs);
        return work.passages.of_block(work.runs, places_in(i));
    }

    /// How one gets into a block, if it has more than one level.
    /// @returns false: all of it is reached at one level, which is filled in
    bool get_entries(std::size_t i, Workspace::State& work, Plane<float>& reached_m) const {
        if (!entries.any(i)) { // mostly land
            reached_m.reset(blocks[i], never);
            return false;
        }
        entries.get(i, work.from);
        if (kinds[i] != AccessFloor::Kind::open) return true;
        reached_m.reset(blocks[i], work.from.front().level_m); // where one cell is reached all are
        return false;
    }

    /// The levels of a whole block.
    void flood(std::size_t i, Workspace::State& work, Plane<float>& reached_m) const {
        if (!get_entries(i, work, reached_m)) return;
        if (!runs.get(i, blocks[i], work.runs)) {
            floor.passable(blocks[i], rim_start(), work.scratch, work.runs);
        }
        work.passages.flood(work.runs, work.from, reached_m);
    }

    /// Those that follow from its runs at the lowest level alone.
    void take_from_rim(std::size_t i, Workspace::State& work, Plane<float>& reached_m) const {
        if (!get_entries(i, work, reached_m)) return;
        if (runs.get_lowest(i, blocks[i], work.runs)) {
            work.passages.take_from_rim(work.runs, work.from, reached_m);
        } else {
            reached_m.reset(blocks[i], std::numeric_limits<float>::quiet_NaN());
        }
    }
};

AccessLevels::AccessLevels(std::unique_ptr<State> state) : state_(std::move(state)) {}
AccessLevels::~AccessLevels() = default;
AccessLevels::AccessLevels(AccessLevels&&) noexcept = default;
AccessLevels& AccessLevels::operator=(AccessLevels&&) noexcept = default;

std::optional<AccessLevels> AccessLevels::from_the_rim(const OverlayJob& job, const UnderWay& needs,
                                                       LevelRange range,
                                                       const std::function<void(double)>& progress) {
    auto state = std::make_unique<State>(job, needs, range);
    state->start = state->floor.rim_start();
    if (state->start.stretches.empty()) return std::nullopt;
    state->begin_at(state->start.cells);
    state->solve(job.threads, progress);
    return AccessLevels(std::move(state));
}

AccessLevels AccessLevels::from_places(const OverlayJob& job, const UnderWay& needs,
                                       std::span<const GridCell> places, LevelRange range,
                                       const std::function<void(double)>& progress) {
    auto state = std::make_unique<State>(job, needs, range);
    state->begin_at(places);
    state->solve(job.threads, progress);
    return AccessLevels(std::move(state));
}

template <class Flood>
void AccessLevels::levels_by(const Flood& flood, Window window, Workspace& work,
                             Plane<float>& level_m) const {
    const int block = state_->block;
    Workspace::State& own = *work.state_;
    level_m.reshape(window);
    for (int row = window.row / block * block; row < window.row_end(); row += block) {
        for (int col = window.col / block * block; col < window.col_end(); col += block) {
            const std::size_t i = state_->block_of({col, row});
            if (state_->blocks[i] == window) {
                flood(i, own, level_m);
                return;
            }
            flood(i, own, own.reached_m);
            const Window part = common(window, own.reached_m.window());
            for (int r = part.row; r < part.row_end(); ++r) {
                std::copy_n(&own.reached_m.at(part.col, r), part.cols, &level_m.at(part.col, r));
            }
        }
    }
}

void AccessLevels::levels(Window window, Workspace& work, Plane<float>& level_m) const {
    levels_by([this](auto&&... of) { state_->flood(of...); }, window, work, level_m);
}

void AccessLevels::levels_of_open_water(Window window, Workspace& work, Plane<float>& level_m) const {
    levels_by([this](auto&&... of) { state_->take_from_rim(of...); }, window, work, level_m);
}

std::uint64_t AccessLevels::spooled_bytes() const { return state_->spooled_bytes; }

const std::vector<RimStretch>& AccessLevels::stretches() const { return state_->start.stretches; }

bool AccessLevels::where_charts_end() const { return state_->start.charts != nullptr; }

float AccessLevels::level_to_float(const OverlayJob& job, const UnderWay& needs, GridCell cell) {
    const AccessFloor floor(job, needs);
    AccessFloor::Scratch scratch;
    Plane<float> needed_m;
    floor.needed({cell.col, cell.row, 1, 1}, nullptr, scratch, needed_m);
    return needed_m.at(cell.col, cell.row);
}

int AccessLevels::halo_cells(const SeaView& sea, const UnderWay& needs) {
    return RoomTransform(*sea.metric, needs.clear_way_m).halo();
}

} // namespace swingroom
