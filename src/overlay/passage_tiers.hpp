#pragma once

#include "swingroom/room/passage.hpp"

#include "base/spool.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <span>
#include <vector>

namespace swingroom {

/// Joins the blocks of a raster, side by side in groups of two by two, which are the blocks of the next tier,
/// up to the whole of it; and hands levels down again. A group is joined as soon as its last block is there,
/// and its blocks are put away until they are asked for again: what is in memory are the groups of each tier
/// that lack a block. A group depends on its blocks alone, so that their order changes nothing.
class PassageTiers {
public:
    /// @param across  how many blocks lie side by side   @param down  in how many rows
    PassageTiers(std::size_t across, std::size_t down, const Spooling& spooling);

    /// The blocks, counted row by row, in an order in which those of a group come soon after each other. Row
    /// by row over some blocks, as strips of a file are best read.
    [[nodiscard]] std::vector<std::size_t> order() const;
    /// Adds a block, each once; from several threads.   @throws IoError  the disk is full
    void add(std::size_t block, BlockPassages&& passages);

    /// The whole.   @pre all blocks have been added
    [[nodiscard]] const BlockPassages& raster() const { return raster_; }
    /// Called with each block and, of each of its nodes that is reached at any level, the first cell.
    using Take = std::function<void(std::size_t block, std::span<const ReachedCell> reached)>;
    /// @param from  cells of the raster's rim, or asked for besides, that one gets in from, none below its
    /// own level   @pre as raster()   @throws IoError
    void hand_down(std::vector<ReachedCell> from, const Take& take) const;

    [[nodiscard]] std::uint64_t bytes_on_disk() const { return spool_.bytes_on_disk(); }

private:
    struct Record {
        std::uint64_t at = 0;
        std::size_t bytes = 0; ///< 0: its blocks are as uniform as the group, and nothing is kept of them
    };
    struct Group {
        std::vector<BlockPassages> members;
        std::size_t there = 0;
    };
    struct Tier {
        std::size_t across = 0, down = 0; ///< blocks
        std::map<std::size_t, Group> pending;
        std::vector<Record> records; ///< by group
    };

    /// The blocks of a group, row by row.
    [[nodiscard]] std::vector<std::size_t> members(std::size_t tier, std::size_t group) const;
    [[nodiscard]] std::optional<std::vector<BlockPassages>> completed(std::size_t tier, std::size_t block,
                                                                      BlockPassages&& passages);
    [[nodiscard]] BlockPassages joined_group(std::size_t tier, std::size_t group,
                                             std::vector<BlockPassages> parts);
    [[nodiscard]] std::vector<BlockPassages> read(const Record& record) const;
    void append_order(std::size_t tier, std::size_t group, std::vector<std::size_t>& order) const;
    void hand_down(std::size_t tier, std::size_t group, Window window, std::vector<ReachedCell> from,
                   const Take& take) const;

    std::mutex mutex_; ///< guards what the tiers wait for
    std::vector<Tier> tiers_;
    BlockPassages raster_;
    Spool spool_;
};

} // namespace swingroom
