#include "overlay/passage_tiers.hpp"

#include <algorithm>
#include <cstring>
#include <ranges>
#include <type_traits>
#include <utility>

namespace swingroom {
namespace {

std::size_t half(std::size_t count) { return (count + 1) / 2; }

/// The number of a block's group, counted row by row as the blocks are.
std::size_t group_of(std::size_t block, std::size_t across) {
    return block / across / 2 * half(across) + block % across / 2;
}

bool is_uniform(const BlockPassages& block) { return block.cells.empty(); }

/// Those with all cells that were without.
void spread(std::vector<BlockPassages>& parts) {
    for (BlockPassages& part : parts) {
        if (is_uniform(part)) part = uniform_passages(part.block, part.level_m.front());
    }
}

bool alike(std::span<const BlockPassages> parts) {
    return std::ranges::all_of(parts, [&](const BlockPassages& part) {
        return is_uniform(part) && part.level_m == parts.front().level_m;
    });
}

Window window_of(std::span<const BlockPassages> parts) {
    const Window first = parts.front().block, last = parts.back().block;
    return {first.col, first.row, last.col_end() - first.col, last.row_end() - first.row};
}

// A block in a record: its head, the levels of its cells, those cells that are not on its rim, its links.
struct Head {
    Window block;
    std::size_t levels = 0, also = 0, links = 0;
    std::size_t uniform = 0;
};

template <class Value>
void append(std::vector<std::byte>& record, std::span<const Value> values) {
    static_assert(std::is_trivially_copyable_v<Value>);
    const auto bytes = std::as_bytes(values);
    record.insert(record.end(), bytes.begin(), bytes.end());
}

template <class Value>
void take(std::span<const std::byte>& record, std::span<Value> values) {
    if (values.empty()) return;
    std::memcpy(values.data(), record.data(), values.size_bytes());
    record = record.subspan(values.size_bytes());
}

std::vector<std::byte> record_of(std::span<const BlockPassages> parts) {
    std::vector<std::byte> record;
    for (const BlockPassages& part : parts) {
        const std::size_t rim = is_uniform(part) ? 0 : rim_cells(part.block).size();
        const std::span<const GridCell> also(part.cells.begin() + static_cast<std::ptrdiff_t>(rim),
                                             part.cells.end());
        const Head head{part.block, part.level_m.size(), also.size(), part.links.size(),
                        is_uniform(part) ? std::size_t{1} : 0};
        append(record, std::span(&head, 1));
        append(record, std::span(part.level_m));
        append(record, also);
        append(record, std::span(part.links));
    }
    return record;
}

BlockPassages next_part(std::span<const std::byte>& record) {
    Head head;
    take(record, std::span(&head, 1));
    BlockPassages part;
    part.block = head.block;
    part.level_m.resize(head.levels);
    take(record, std::span(part.level_m));
    std::vector<GridCell> also(head.also);
    take(record, std::span(also));
    part.links.resize(head.links);
    take(record, std::span(part.links));
    if (head.uniform == 0) {
        part.cells = rim_cells(part.block);
        part.cells.insert(part.cells.end(), also.begin(), also.end());
    }
    return part;
}

} // namespace

BlockPassages uniform_block(Window block, float level_m) {
    BlockPassages uniform;
    uniform.block = block;
    uniform.level_m = {level_m};
    return uniform;
}

PassageTiers::PassageTiers(std::size_t across, std::size_t down, const Spooling& spooling)
    : spool_(spooling) {
    for (;;) {
        Tier& tier = tiers_.emplace_back();
        tier.across = across;
        tier.down = down;
        across = half(across);
        down = half(down);
        tier.records.resize(across * down);
        if (across * down <= 1) return;
    }
}

std::vector<std::size_t> PassageTiers::members(std::size_t tier, std::size_t group) const {
    const Tier& of = tiers_[tier];
    const std::size_t col = group % half(of.across) * 2, row = group / half(of.across) * 2;
    std::vector<std::size_t> blocks;
    for (std::size_t r = row; r < std::min(row + 2, of.down); ++r) {
        for (std::size_t c = col; c < std::min(col + 2, of.across); ++c) {
            blocks.push_back(r * of.across + c);
        }
    }
    return blocks;
}

std::vector<std::size_t> PassageTiers::order() const {
    std::vector<std::size_t> order;
    append_order(tiers_.size() - 1, 0, order);
    return order;
}

void PassageTiers::append_order(std::size_t tier, std::size_t group, std::vector<std::size_t>& order) const {
    constexpr std::size_t by_rows = 4; // groups of 32 by 32 blocks
    const auto before = static_cast<std::ptrdiff_t>(order.size());
    for (const std::size_t block : members(tier, group)) {
        if (tier == 0) {
            order.push_back(block);
        } else {
            append_order(tier - 1, block, order);
        }
    }
    if (tier <= by_rows) std::sort(order.begin() + before, order.end());
}

/// Puts a block into its group.  @returns all blocks of the group, if this one was the last
std::optional<std::vector<BlockPassages>> PassageTiers::completed(std::size_t tier, std::size_t block,
                                                                  BlockPassages&& passages) {
    const std::size_t group = group_of(block, tiers_[tier].across);
    const std::vector<std::size_t> blocks = members(tier, group);
    const auto place = static_cast<std::size_t>(std::ranges::find(blocks, block) - blocks.begin());
    const std::lock_guard lock(mutex_);
    const auto found = tiers_[tier].pending.try_emplace(group).first;
    Group& of = found->second;
    of.members.resize(blocks.size());
    of.members[place] = std::move(passages);
    if (++of.there < blocks.size()) return std::nullopt;
    std::vector<BlockPassages> parts = std::move(of.members);
    tiers_[tier].pending.erase(found);
    return parts;
}

BlockPassages PassageTiers::joined_group(std::size_t tier, std::size_t group,
                                         std::vector<BlockPassages> parts) {
    const Window window = window_of(parts);
    if (alike(parts)) return uniform_block(window, parts.front().level_m.front());
    {
        const std::vector<std::byte> record = record_of(parts);
        tiers_[tier].records[group] = {spool_.put(record), record.size()};
    }
    spread(parts);
    BlockPassages whole = joined(window, parts);
    whole.links.shrink_to_fit();
    return whole;
}

void PassageTiers::add(std::size_t block, BlockPassages&& passages) {
    BlockPassages whole = std::move(passages);
    for (std::size_t tier = 0; tier < tiers_.size(); ++tier) {
        const std::size_t group = group_of(block, tiers_[tier].across);
        std::optional<std::vector<BlockPassages>> parts = completed(tier, block, std::move(whole));
        if (!parts) return;
        whole = joined_group(tier, group, std::move(*parts));
        block = group;
    }
    raster_ = is_uniform(whole) ? uniform_passages(whole.block, whole.level_m.front()) : std::move(whole);
}

std::vector<BlockPassages> PassageTiers::read(const Record& record) const {
    std::vector<std::byte> bytes(record.bytes);
    spool_.get(record.at, bytes);
    std::span<const std::byte> rest(bytes);
    std::vector<BlockPassages> parts;
    while (!rest.empty()) {
        parts.push_back(next_part(rest));
    }
    return parts;
}

void PassageTiers::hand_down(std::vector<float> reached_m, const Take& take) const {
    hand_down(tiers_.size() - 1, 0, raster_.block, std::move(reached_m), take);
}

void PassageTiers::hand_down(std::size_t tier, std::size_t group, Window window, std::vector<float> reached_m,
                             const Take& take) const {
    const std::vector<std::size_t> blocks = members(tier, group);
    const Record& record = tiers_[tier].records[group];
    std::vector<Window> windows(blocks.size(), window);
    std::vector<std::vector<float>> of_parts;
    if (record.bytes == 0) {
        of_parts.assign(blocks.size(), {reached_m.front()});
    } else {
        std::vector<BlockPassages> parts = read(record);
        std::vector<bool> uniform;
        for (const BlockPassages& part : parts) {
            uniform.push_back(is_uniform(part));
        }
        spread(parts);
        BlockPassages whole; // of which nothing but its place is asked
        whole.block = window;
        of_parts = levels_of_parts(whole, reached_m, parts);
        for (std::size_t i = 0; i < parts.size(); ++i) {
            windows[i] = parts[i].block;
            if (uniform[i]) of_parts[i] = {of_parts[i].front()};
        }
    }
    std::vector<float>().swap(reached_m);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        if (tier == 0) {
            take(blocks[i], of_parts[i]);
        } else {
            hand_down(tier - 1, blocks[i], windows[i], std::move(of_parts[i]), take);
        }
    }
}

} // namespace swingroom
