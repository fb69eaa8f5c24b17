#include "overlay/passage_tiers.hpp"

#include <algorithm>
#include <cstring>
#include <limits>
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

bool alike(std::span<const BlockPassages> parts) {
    return std::ranges::all_of(parts, [&](const BlockPassages& part) {
        return part.uniform && part.level_m == parts.front().level_m;
    });
}

Window window_of(std::span<const BlockPassages> parts) {
    const Window first = parts.front().block, last = parts.back().block;
    return {first.col, first.row, last.col_end() - first.col, last.row_end() - first.row};
}

/// Cells one after the other that are in the same node, or each in the one after that of the cell before.
struct Stretch {
    static constexpr std::uint32_t ascending = std::uint32_t{1} << 31;
    std::uint32_t cells = 0; ///< with `ascending` where they are so
    std::uint32_t node = 0;  ///< of the first one
};

std::vector<Stretch> stretches_of(const std::vector<std::uint32_t>& node_of) {
    std::vector<Stretch> found;
    const auto count = [&](std::size_t first, std::uint32_t step) {
        std::size_t end = first + 1;
        while (end < node_of.size() && node_of[end] != BlockPassages::no_node &&
               node_of[end] == node_of[end - 1] + step) {
            ++end;
        }
        return end - first;
    };
    for (std::size_t at = 0; at < node_of.size();) {
        std::size_t cells = 1;
        std::uint32_t ascends = 0;
        if (node_of[at] == BlockPassages::no_node) {
            while (at + cells < node_of.size() && node_of[at + cells] == BlockPassages::no_node) {
                ++cells;
            }
        } else {
            cells = count(at, 0);
            if (cells == 1) {
                cells = count(at, 1);
                ascends = Stretch::ascending;
            }
        }
        found.push_back({static_cast<std::uint32_t>(cells) | ascends, node_of[at]});
        at += cells;
    }
    return found;
}

std::vector<std::uint32_t> nodes_of(const std::vector<Stretch>& stretches) {
    std::vector<std::uint32_t> node_of;
    for (const Stretch& stretch : stretches) {
        const std::uint32_t step = stretch.cells >> 31;
        for (std::uint32_t i = 0; i < (stretch.cells & ~Stretch::ascending); ++i) {
            node_of.push_back(stretch.node + i * step);
        }
    }
    return node_of;
}

/// A block in a record: this, its nodes by cell, the levels of the nodes, the cells asked for besides, its
/// links.
struct Head {
    Window block;
    std::size_t stretches = 0, levels = 0, also = 0, links = 0;
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

template <class Value>
void take(std::span<const std::byte>& record, std::size_t count, std::vector<Value>& values) {
    values.resize(count);
    take(record, std::span(values));
}

std::vector<std::byte> record_of(std::span<const BlockPassages> parts) {
    std::vector<std::byte> record;
    for (const BlockPassages& part : parts) {
        const std::vector<Stretch> stretches = stretches_of(part.node_of);
        const Head head{part.block,       stretches.size(),  part.level_m.size(),
                        part.also.size(), part.links.size(), part.uniform ? std::size_t{1} : 0};
        append(record, std::span(&head, 1));
        append(record, std::span(stretches));
        append(record, std::span(part.level_m));
        append(record, std::span(part.also));
        append(record, std::span(part.links));
    }
    return record;
}

BlockPassages next_part(std::span<const std::byte>& record) {
    Head head;
    take(record, std::span(&head, 1));
    std::vector<Stretch> stretches;
    take(record, head.stretches, stretches);
    BlockPassages part;
    part.block = head.block;
    part.uniform = head.uniform != 0;
    part.node_of = nodes_of(stretches);
    take(record, head.levels, part.level_m);
    take(record, head.also, part.also);
    take(record, head.links, part.links);
    return part;
}

float level_of(const BlockPassages& uniform) {
    return uniform.level_m.empty() ? std::numeric_limits<float>::infinity() : uniform.level_m.front();
}

} // namespace

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
    if (alike(parts)) return uniform_block(window, level_of(parts.front()));
    {
        const std::vector<std::byte> record = record_of(parts);
        tiers_[tier].records[group] = {spool_.put(record), record.size()};
    }
    return joined(window, parts);
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
    raster_ = std::move(whole);
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

void PassageTiers::hand_down(std::vector<ReachedCell> from, const Take& take) const {
    hand_down(tiers_.size() - 1, 0, raster_.block, std::move(from), take);
}

void PassageTiers::hand_down(std::size_t tier, std::size_t group, Window window,
                             std::vector<ReachedCell> from, const Take& take) const {
    const std::vector<std::size_t> blocks = members(tier, group);
    const Record& record = tiers_[tier].records[group];
    std::vector<Window> windows(blocks.size(), window);
    std::vector<std::vector<ReachedCell>> of_parts;
    if (record.bytes == 0) {
        of_parts.assign(blocks.size(), from);
    } else {
        const std::vector<BlockPassages> parts = read(record);
        of_parts = reached_in_parts(from, parts);
        for (std::size_t i = 0; i < parts.size(); ++i) {
            windows[i] = parts[i].block;
        }
    }
    std::vector<ReachedCell>().swap(from);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        if (tier == 0) {
            take(blocks[i], of_parts[i]);
        } else {
            hand_down(tier - 1, blocks[i], windows[i], std::move(of_parts[i]), take);
        }
    }
}

} // namespace swingroom
