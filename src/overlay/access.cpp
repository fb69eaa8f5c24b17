#include "swingroom/overlay/access.hpp"

#include "swingroom/base/block_cut.hpp"
#include "swingroom/room/passage.hpp"

#include "base/parallel.hpp"
#include "base/spool.hpp"
#include "overlay/access_floor.hpp"
#include "overlay/passage_tiers.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <mutex>
#include <ranges>
#include <utility>

namespace swingroom {
namespace {

constexpr float never = std::numeric_limits<float>::infinity();

/// What a way through a block is found with takes some 50 bytes a cell: more than all else of a run.
constexpr int most_block = 512;

/// The levels at which the start's cells are reached, those of the whole raster's: each at its own.
std::vector<float> of_start(const BlockPassages& raster, const RimStart& start) {
    std::vector<float> level_m(raster.level_m); // of places, which come behind the rim
    if (start.of_start.empty() || start.charts) {
        std::fill_n(level_m.begin(), rim_cells(raster.block).size(), never);
        return level_m;
    }
    const Rim rim(raster.block);
    for (std::size_t i = 0; i < level_m.size(); ++i) {
        if (!start.of_start[rim.index(raster.cells[i])]) level_m[i] = never;
    }
    return level_m;
}

/// Of each block the levels at which its cells are reached, in little memory.
class BlockLevels {
public:
    BlockLevels(std::size_t blocks, const Spooling& spooling)
        : of_block_(blocks), spool_({spooling.folder, spooling.in_memory_bytes / 2}) {}

    /// @throws IoError  the disk is full
    void put(std::size_t block, std::span<const float> level_m) {
        Levels& of = of_block_[block];
        of.level_m = level_m.front();
        if (std::ranges::all_of(level_m, [&](float other) { return other == of.level_m; })) return;
        of.count = level_m.size();
        of.at = spool_.put(std::as_bytes(level_m));
    }
    /// @param cells    how many cells of the block are told of
    /// @param level_m  of each; only from one thread   @throws IoError
    void get(std::size_t block, std::size_t cells, std::vector<float>& level_m) const {
        const Levels& of = of_block_[block];
        level_m.assign(of.count > 0 ? of.count : cells, of.level_m);
        if (of.count > 0) spool_.get(of.at, std::as_writable_bytes(std::span(level_m)));
    }
    /// That of all cells of a block; nothing where they differ.
    [[nodiscard]] std::optional<float> of_all(std::size_t block) const {
        const Levels& of = of_block_[block];
        return of.count == 0 ? std::optional(of.level_m) : std::nullopt;
    }
    [[nodiscard]] std::uint64_t bytes_on_disk() const { return spool_.bytes_on_disk(); }

private:
    struct Levels {
        std::uint64_t at = 0;
        std::size_t count = 0; ///< 0: it is the same for all
        float level_m = never;
    };
    std::vector<Levels> of_block_;
    Spool spool_;
};

} // namespace

struct AccessLevels::Workspace::State {
    AccessFloor::Scratch scratch;
    Passages passages;
    Plane<float> needed_m, reached_m;
    std::vector<ReachedCell> from;
    std::vector<float> entered_m;
};

AccessLevels::Workspace::Workspace() : state_(std::make_unique<State>()) {}
AccessLevels::Workspace::~Workspace() = default;
AccessLevels::Workspace::Workspace(Workspace&&) noexcept = default;
AccessLevels::Workspace& AccessLevels::Workspace::operator=(Workspace&&) noexcept = default;

struct AccessLevels::State {
    State(const OverlayJob& job, const UnderWay& needs, LevelRange levels)
        : range{levels.lowest_m + 0.0F, levels.highest_m}, floor(job, needs, range),
          block(std::min(job.block, most_block)), blocks(floor.extent(), block), spooling(job.spooling),
          level_m(blocks.count(), spooling) {}

    LevelRange range;
    AccessFloor floor;
    int block;
    BlockCut blocks;                                     ///< of the whole raster
    std::vector<AccessFloor::Kind> kinds;                ///< by block
    RimStart start;                                      ///< of no stretch where it is places
    std::map<std::size_t, std::vector<GridCell>> places; ///< by block
    Spooling spooling;
    BlockLevels level_m; ///< of a block's rim, then of the places in it
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
        const std::vector<std::size_t> order = tiers.order();
        kinds.assign(blocks.count(), AccessFloor::Kind::mixed);
        std::mutex mutex; // guards the progress
        std::size_t done = 0;
        parallel_for(blocks.count(), threads, [&](const auto& next) {
            Workspace::State work;
            while (const std::optional<std::size_t> at = next()) {
                const std::size_t i = order[*at];
                kinds[i] = floor.needed(blocks[i], rim_start(), work.scratch, work.needed_m);
                tiers.add(i, passages_of(i, work));
                const std::lock_guard lock(mutex);
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.count()));
            }
        });
        const BlockPassages& raster = tiers.raster();
        tiers.hand_down(
            levels_of_parts(raster, of_start(raster, start), {&raster, 1}).front(),
            [&](std::size_t i, const std::vector<float>& of_cells_m) { level_m.put(i, of_cells_m); });
        spooled_bytes = tiers.bytes_on_disk() + level_m.bytes_on_disk();
    }

    [[nodiscard]] BlockPassages passages_of(std::size_t i, Workspace::State& work) const {
        if (kinds[i] != AccessFloor::Kind::mixed && places_in(i).empty()) {
            return uniform_block(blocks[i], work.needed_m.data()[0]);
        }
        BlockPassages found = work.passages.of_block(work.needed_m, places_in(i));
        found.links.shrink_to_fit();
        found.level_m.shrink_to_fit();
        return found;
    }

    /// The levels of a whole block.
    void flood(std::size_t i, Workspace::State& work, Plane<float>& reached_m) const {
        const std::optional<float> of_all_m = level_m.of_all(i);
        const bool open = kinds[i] == AccessFloor::Kind::open; // where one cell is reached all are
        if (of_all_m && (open || *of_all_m == never)) {        // not entered at all is mostly land
            reached_m.reset(blocks[i], *of_all_m);
            return;
        }
        floor.needed(blocks[i], rim_start(), work.scratch, work.needed_m);
        std::vector<GridCell> cells = rim_cells(blocks[i]);
        const std::span<const GridCell> within = places_in(i);
        cells.insert(cells.end(), within.begin(), within.end());
        level_m.get(i, cells.size(), work.entered_m);
        work.from.clear();
        for (std::size_t at = 0; at < cells.size(); ++at) {
            if (work.entered_m[at] < never) work.from.push_back({cells[at], work.entered_m[at]});
        }
        work.passages.flood(work.needed_m, work.from, reached_m);
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

void AccessLevels::levels(Window window, Workspace& work, Plane<float>& level_m) const {
    const int block = state_->block;
    Workspace::State& own = *work.state_;
    level_m.reshape(window);
    for (int row = window.row / block * block; row < window.row_end(); row += block) {
        for (int col = window.col / block * block; col < window.col_end(); col += block) {
            state_->flood(state_->block_of({col, row}), own, own.reached_m);
            const Window part = common(window, own.reached_m.window());
            for (int r = part.row; r < part.row_end(); ++r) {
                std::copy_n(&own.reached_m.at(part.col, r), part.cols, &level_m.at(part.col, r));
            }
        }
    }
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
