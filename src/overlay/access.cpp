#include "swingroom/overlay/access.hpp"

#include "swingroom/base/block_cut.hpp"
#include "swingroom/room/passage.hpp"

#include "base/parallel.hpp"
#include "overlay/access_floor.hpp"

#include <algorithm>
#include <cstddef>
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

/// A block of which it is enough to know that every cell can be passed at the same level, infinite: at none.
/// Nothing is kept of its cells; most blocks are open sea or land.
BlockPassages uniform_block(Window block, float level_m) {
    BlockPassages uniform;
    uniform.block = block;
    uniform.level_m = {level_m};
    return uniform;
}
bool is_uniform(const BlockPassages& block) { return block.cells.empty(); }

/// With all cells.
std::vector<BlockPassages> spread(std::span<const BlockPassages> parts) {
    std::vector<BlockPassages> all(parts.begin(), parts.end());
    for (BlockPassages& part : all) {
        if (is_uniform(part)) part = uniform_passages(part.block, part.level_m.front());
    }
    return all;
}

/// Blocks side by side in groups of two by two, row by row, as in the groups: those of a group are joined
/// together, and are the blocks of the next tier.
class Tier {
public:
    Tier(std::size_t across, std::size_t down) : across_(across), groups_(across_of_groups() * half(down)) {
        for (std::size_t row = 0; row < down; ++row) {
            for (std::size_t col = 0; col < across; ++col) {
                groups_[group_of(row * across + col)].emplace_back();
            }
        }
    }

    [[nodiscard]] std::size_t across_of_groups() const { return half(across_); }
    [[nodiscard]] std::size_t groups() const { return groups_.size(); }
    [[nodiscard]] std::vector<BlockPassages>& group(std::size_t i) { return groups_[i]; }
    /// Of a block, counted row by row.
    [[nodiscard]] BlockPassages& block(std::size_t i) { return groups_[group_of(i)][place_of(i)]; }
    /// Which block is the first of a group, and how many blocks lie in one of its rows.
    [[nodiscard]] std::size_t block_of(std::size_t group, std::size_t place) const {
        const std::size_t col = group % across_of_groups() * 2, row = group / across_of_groups() * 2;
        const std::size_t width = width_at(col);
        return (row + place / width) * across_ + col + place % width;
    }
    [[nodiscard]] BlockPassages joined_group(std::size_t i) const {
        const Window first = groups_[i].front().block, last = groups_[i].back().block;
        const Window window{first.col, first.row, last.col_end() - first.col, last.row_end() - first.row};
        const bool alike = std::ranges::all_of(groups_[i], [&](const BlockPassages& part) {
            return is_uniform(part) && part.level_m == groups_[i].front().level_m;
        });
        if (alike) return uniform_block(window, groups_[i].front().level_m.front());
        BlockPassages whole = joined(window, spread(groups_[i]));
        whole.links.shrink_to_fit();
        return whole;
    }

private:
    static std::size_t half(std::size_t count) { return (count + 1) / 2; }
    [[nodiscard]] std::size_t width_at(std::size_t col) const {
        return std::min(across_ - col, std::size_t{2});
    }
    [[nodiscard]] std::size_t group_of(std::size_t block) const {
        return block / across_ / 2 * across_of_groups() + block % across_ / 2;
    }
    [[nodiscard]] std::size_t place_of(std::size_t block) const {
        const std::size_t col = block % across_, row = block / across_;
        return row % 2 * width_at(col / 2 * 2) + col % 2;
    }

    std::size_t across_;
    std::vector<std::vector<BlockPassages>> groups_;
};

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

/// The levels at which the cells of each part are reached; of one that is uniform a single one for all.
/// @param reached_m  of the whole's cells, or of all of a uniform one
std::vector<std::vector<float>> handed_down(const BlockPassages& whole, const std::vector<float>& reached_m,
                                            std::span<const BlockPassages> parts) {
    if (is_uniform(whole)) return std::vector(parts.size(), reached_m);
    std::vector<std::vector<float>> of_parts = levels_of_parts(whole, reached_m, spread(parts));
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (is_uniform(parts[i])) of_parts[i] = {of_parts[i].front()};
    }
    return of_parts;
}

/// Joins blocks up to the whole raster, and hands the levels of its start down to them.
/// @param lowest  its blocks are gone then   @returns by block, of its cells
std::vector<std::vector<float>> solved(Tier lowest, std::size_t down, const RimStart& start) {
    std::vector<Tier> tiers;
    tiers.push_back(std::move(lowest));
    while (tiers.back().groups() > 1) {
        Tier& below = tiers.back();
        down = (down + 1) / 2;
        Tier next(below.across_of_groups(), down);
        for (std::size_t i = 0; i < below.groups(); ++i) {
            next.block(i) = below.joined_group(i);
        }
        tiers.push_back(std::move(next));
    }
    BlockPassages raster = tiers.back().joined_group(0);
    if (is_uniform(raster)) raster = uniform_passages(raster.block, raster.level_m.front());
    std::vector<std::vector<float>> level_m =
        levels_of_parts(raster, of_start(raster, start), {&raster, 1}); // what leads from cell to cell in it
    for (std::size_t at = tiers.size(); at-- > 0;) {
        Tier& tier = tiers[at];
        std::vector<std::vector<float>> of_blocks;
        for (std::size_t i = 0; i < tier.groups(); ++i) {
            const BlockPassages& whole = at + 1 == tiers.size() ? raster : tiers[at + 1].block(i);
            std::vector<std::vector<float>> of_parts = handed_down(whole, level_m[i], tier.group(i));
            for (std::size_t place = 0; place < of_parts.size(); ++place) {
                const std::size_t block = tier.block_of(i, place);
                if (of_blocks.size() <= block) of_blocks.resize(block + 1);
                of_blocks[block] = std::move(of_parts[place]);
            }
        }
        level_m = std::move(of_blocks);
        if (at + 1 < tiers.size()) tiers.pop_back();
    }
    return level_m;
}

} // namespace

struct AccessLevels::Workspace::State {
    AccessFloor::Scratch scratch;
    Passages passages;
    Plane<float> needed_m, reached_m;
    std::vector<ReachedCell> from;
};

AccessLevels::Workspace::Workspace() : state_(std::make_unique<State>()) {}
AccessLevels::Workspace::~Workspace() = default;
AccessLevels::Workspace::Workspace(Workspace&&) noexcept = default;
AccessLevels::Workspace& AccessLevels::Workspace::operator=(Workspace&&) noexcept = default;

struct AccessLevels::State {
    State(const OverlayJob& job, const UnderWay& needs, LevelRange levels)
        : range{levels.lowest_m + 0.0F, levels.highest_m}, floor(job, needs, range),
          block(std::min(job.block, most_block)), blocks(floor.extent(), block) {}

    LevelRange range;
    AccessFloor floor;
    int block;
    BlockCut blocks;                                     ///< of the whole raster
    std::vector<AccessFloor::Kind> kinds;                ///< by block
    RimStart start;                                      ///< of no stretch where it is places
    std::map<std::size_t, std::vector<GridCell>> places; ///< by block
    std::vector<std::vector<float>> level_m;             ///< by block: of its rim, then of the places in it

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
        const std::size_t down = blocks.count() / blocks.across();
        Tier tier(blocks.across(), down);
        kinds.assign(blocks.count(), AccessFloor::Kind::mixed);
        std::mutex mutex; // guards what follows and the progress
        std::size_t done = 0;
        parallel_for(blocks.count(), threads, [&](const auto& next) {
            Workspace::State work;
            while (const std::optional<std::size_t> i = next()) {
                kinds[*i] = floor.needed(blocks[*i], rim_start(), work.scratch, work.needed_m);
                BlockPassages& found = tier.block(*i);
                if (kinds[*i] == AccessFloor::Kind::mixed || !places_in(*i).empty()) {
                    found = work.passages.of_block(work.needed_m, places_in(*i));
                } else {
                    found = uniform_block(blocks[*i], work.needed_m.data()[0]);
                }
                found.links.shrink_to_fit();
                found.level_m.shrink_to_fit();
                const std::lock_guard lock(mutex);
                ++done;
                if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.count()));
            }
        });
        level_m = solved(std::move(tier), down, start);
    }

    /// The levels of a whole block.
    void flood(std::size_t i, Workspace::State& work, Plane<float>& reached_m) const {
        const std::vector<float>& entered_m = level_m[i];
        const bool entered = std::ranges::any_of(entered_m, [](float level) { return level < never; });
        if (!entered) { // which is mostly land
            reached_m.reset(blocks[i], never);
            return;
        }
        if (kinds[i] == AccessFloor::Kind::open) { // where one cell is reached all are
            reached_m.reset(blocks[i], entered_m.front());
            return;
        }
        floor.needed(blocks[i], rim_start(), work.scratch, work.needed_m);
        std::vector<GridCell> cells = rim_cells(blocks[i]);
        const std::span<const GridCell> within = places_in(i);
        cells.insert(cells.end(), within.begin(), within.end());
        work.from.clear();
        for (std::size_t at = 0; at < cells.size(); ++at) {
            if (entered_m[at] < never) work.from.push_back({cells[at], entered_m[at]});
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
