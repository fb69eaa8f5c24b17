#pragma once

#include "swingroom/room/passage.hpp"

#include "base/spool.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace swingroom {

/// What of some blocks can be passed, put away so that it need not be read and measured again: a few bytes a
/// run, of those blocks that have few; of others the runs at the lowest level, if these are few. In time it
/// is worth it where a run spans more than some cells; in space it is never more than the limit.
class KeptRuns {
public:
    /// A block's record takes no more than that; else it is not kept.
    static constexpr std::size_t cells_of_a_byte = 8;

    /// @param lowest_m  the least level of all runs, which need not be told of each
    KeptRuns(std::size_t blocks, float lowest_m, const Spooling& spooling)
        : lowest_m_(lowest_m), of_block_(blocks), spool_(spooling) {}

    /// From several threads, each block once.   @throws IoError  the disk is full
    void put(std::size_t block, const PassableRuns& of);
    /// All runs of a block.
    /// @param window  of the block   @returns whether they were kept   @throws IoError
    bool get(std::size_t block, Window window, PassableRuns& of) const;
    /// Those at the lowest level, in the same way.
    bool get_lowest(std::size_t block, Window window, PassableRuns& of) const;
    [[nodiscard]] std::uint64_t bytes_on_disk() const { return spool_.bytes_on_disk(); }

private:
    struct Record {
        std::uint64_t at = 0;
        std::size_t bytes = 0;    ///< 0: not kept
        bool lowest_only = false; ///< whether others are left out
    };
    /// How many bytes a block may take.
    static std::size_t most_bytes(const PassableRuns& of) { return of.block.cells() / cells_of_a_byte; }
    /// What may be longer than that: then it is not whole.
    [[nodiscard]] std::vector<std::byte> record_of(const PassableRuns& of, bool lowest_only) const;
    /// @returns whether they were kept, all that are asked for
    bool get(std::size_t block, Window window, bool lowest_only, PassableRuns& of) const;

    float lowest_m_;
    std::vector<Record> of_block_;
    Spool spool_;
};

} // namespace swingroom
