#pragma once

#include "swingroom/overlay/block_answers.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace swingroom {

/// The runs of a block while they wait for those of the blocks beside it: bands are as wide as the raster,
/// and of most figures a run has those of the run above. So each is kept as what is other than there, in a
/// part of the eighty bytes of a run.
class PackedRuns {
public:
    /// Row by row, each in the order of columns.
    explicit PackedRuns(const BlockRuns& runs);
    /// How many rows there are.
    [[nodiscard]] std::size_t rows() const { return rows_; }
    /// Appends the runs of the next row.   @pre it was called less often than there are rows
    void take_row(std::vector<Run>& to);

private:
    /// Of figures; the last byte of the last one is none of theirs.
    static constexpr std::size_t words_of_figures = 16;
    using Words = std::array<std::uint32_t, words_of_figures>;

    void put_row(const std::vector<Run>& runs);
    void put_number(std::uint32_t number);
    [[nodiscard]] std::uint32_t next_number();

    std::size_t rows_ = 0;
    std::vector<std::uint8_t> bytes_;
    std::size_t at_ = 0;       ///< of the next row
    std::vector<Words> above_; ///< figures of the row before it, by the order of its runs
};

} // namespace swingroom
