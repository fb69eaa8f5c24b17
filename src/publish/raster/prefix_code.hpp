#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

namespace swingroom {

/// What stands for a symbol in a stream of Deflate: its bits, the first in the lowest place.
struct CodeWord {
    std::uint16_t bits = 0;
    std::uint8_t length = 0; ///< 0: the symbol does not occur
};

/// How long the words of Huffman's code are for symbols that occur so often (D. A. Huffman, A Method for the
/// Construction of Minimum-Redundancy Codes, 1952). Where one would be longer than allowed, the frequencies
/// are evened out until none is: that costs a little, and hardly ever happens.
/// @param most     bits of a word; at least as many as to tell all symbols apart
/// @param lengths  as many as frequencies: 0 for what does not occur, 1 for a symbol that is alone
void find_code_lengths(std::span<const std::uint32_t> frequencies, int most, std::span<std::uint8_t> lengths);

/// The words that follow from their lengths, as RFC 1951 has them (section 3.2.2).
/// @param words  as many as lengths
void find_code_words(std::span<const std::uint8_t> lengths, std::span<CodeWord> words);

} // namespace swingroom
