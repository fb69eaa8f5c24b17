#include "publish/raster/word_deflate.hpp"

#include "publish/raster/prefix_code.hpp"
#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <utility>

namespace swingroom {
namespace {

constexpr std::size_t word_bytes = sizeof(std::uint32_t);
/// How far back Deflate can point.
constexpr std::size_t window_words = 32768 / word_bytes;
/// Bytes that a token can repeat.
constexpr std::uint32_t least_repeat = 3, longest_repeat = 258;

constexpr std::size_t literal_count = 286, distance_count = 30, length_code_count = 19;
constexpr std::size_t end_of_block = 256;

/// A symbol and the bits behind it: RFC 1951, section 3.2.5.
struct Coded {
    std::uint16_t symbol = 0;
    std::uint8_t extra_bits = 0;
    std::uint16_t extra = 0;
};

/// Lengths and distances fall into ranges, each with a symbol, that are twice as long every few of them; the
/// bits behind the symbol tell the place in its range.
/// @param value  what is coded, counted from 0   @param fine  bits that tell ranges of the same length apart
constexpr Coded coded(std::uint32_t value, unsigned fine) {
    const std::uint32_t plain = 2U << fine;
    if (value < plain) return {static_cast<std::uint16_t>(value), 0, 0};
    const auto extra_bits = static_cast<unsigned>(std::bit_width(value)) - 1 - fine;
    const std::uint32_t range = value >> extra_bits; // with the highest bit, so at least 1 << fine
    return {static_cast<std::uint16_t>((extra_bits << fine) + range), static_cast<std::uint8_t>(extra_bits),
            static_cast<std::uint16_t>(value - (range << extra_bits))};
}

Coded coded_length(std::uint32_t bytes) {
    if (bytes == longest_repeat) return {literal_count - 1, 0, 0};
    Coded length = coded(bytes - least_repeat, 2);
    length.symbol = static_cast<std::uint16_t>(length.symbol + end_of_block + 1);
    return length;
}

Coded coded_distance(std::uint32_t bytes) { return coded(bytes - 1, 1); }

/// Bits one after the other, the first in the lowest place of the first byte.
class BitWriter {
public:
    /// @param to  with room for eight bytes more than are written
    explicit BitWriter(std::byte* to) : to_(to) {}

    /// At most 48 bits between two calls of flush().
    void put(std::uint64_t bits, unsigned count) {
        waiting_ |= bits << count_;
        count_ += count;
    }
    void put(CodeWord word) { put(word.bits, word.length); }
    /// Writes the whole bytes of what waits.
    void flush() {
        std::uint64_t bytes = waiting_;
        if constexpr (std::endian::native == std::endian::big) bytes = __builtin_bswap64(bytes);
        std::memcpy(to_, &bytes, sizeof bytes);
        to_ += count_ / 8;
        waiting_ >>= count_ / 8 * 8;
        count_ %= 8;
    }
    /// Zeros up to the next byte.
    void align() {
        count_ = (count_ + 7) / 8 * 8;
        flush();
    }
    /// @pre aligned
    void copy(std::span<const std::byte> bytes) { to_ = std::copy(bytes.begin(), bytes.end(), to_); }
    [[nodiscard]] std::byte* end() const { return to_; }

private:
    std::byte* to_;
    std::uint64_t waiting_ = 0;
    unsigned count_ = 0;
};

/// A byte as it is, or how many bytes repeat from how far back.
struct Token {
    std::uint16_t length = 0; ///< 0: a byte
    std::uint16_t value = 0;  ///< the byte, or the distance
};

/// What is coded together: tokens, and how often their symbols occur.
class TokenBlock {
public:
    TokenBlock() { tokens_.reserve(most_tokens); }

    [[nodiscard]] bool is_full() const { return tokens_.size() >= most_tokens; }
    void add_bytes(std::span<const std::byte> bytes) {
        for (const std::byte byte : bytes) {
            const auto value = std::to_integer<std::uint16_t>(byte);
            tokens_.push_back({0, value});
            ++literals_[value];
        }
    }
    /// @param length, distance  in bytes, at least those of a word
    void add_repeat(std::size_t length, std::uint32_t distance) {
        while (length > 0) {
            const bool leaves_too_few = length > longest_repeat && length < longest_repeat + least_repeat;
            const auto piece = static_cast<std::uint32_t>(
                std::min<std::size_t>(length, leaves_too_few ? longest_repeat - 2 : longest_repeat));
            tokens_.push_back({static_cast<std::uint16_t>(piece), static_cast<std::uint16_t>(distance)});
            ++literals_[coded_length(piece).symbol];
            ++distances_[coded_distance(distance).symbol];
            length -= piece;
        }
    }
    /// Writes it and begins anew.   @param raw  the bytes that the tokens stand for
    void write(BitWriter& to, std::span<const std::byte> raw, bool is_last);

private:
    /// So few that a table of codes suits all of them, so many that it costs little.
    static constexpr std::size_t most_tokens = 32000;

    void write_coded(BitWriter& to, bool is_last) const;
    void clear();

    std::vector<Token> tokens_;
    std::array<std::uint32_t, literal_count> literals_{};
    std::array<std::uint32_t, distance_count> distances_{};
    std::array<std::uint8_t, literal_count> literal_lengths_{};
    std::array<std::uint8_t, distance_count> distance_lengths_{};
};

/// Bits of all tokens and what is behind their symbols.
std::uint64_t bits_of(std::span<const std::uint32_t> frequencies, std::span<const std::uint8_t> lengths) {
    std::uint64_t bits = 0;
    for (std::size_t i = 0; i < frequencies.size(); ++i) {
        bits += std::uint64_t{frequencies[i]} * lengths[i];
    }
    return bits;
}

void write_stored(BitWriter& to, std::span<const std::byte> raw, bool is_last) {
    constexpr std::size_t most_bytes = 65535;
    do {
        const std::span<const std::byte> piece = raw.first(std::min(raw.size(), most_bytes));
        raw = raw.subspan(piece.size());
        to.put(is_last && raw.empty() ? 1 : 0, 3);
        to.align();
        to.put(piece.size(), 16);
        to.put(~piece.size() & 0xffffU, 16);
        to.flush();
        to.copy(piece);
    } while (!raw.empty());
}

/// How the lengths of codes are told: a length, or one of three kinds of repeats of one.
std::vector<Coded> told_lengths(std::span<const std::uint8_t> lengths) {
    std::vector<Coded> told;
    const auto tell = [&](int symbol, int extra_bits, std::size_t extra) {
        told.push_back({static_cast<std::uint16_t>(symbol), static_cast<std::uint8_t>(extra_bits),
                        static_cast<std::uint16_t>(extra)});
    };
    for (std::size_t i = 0; i < lengths.size();) {
        const std::uint8_t length = lengths[i];
        const auto end = std::find_if(lengths.begin() + static_cast<std::ptrdiff_t>(i), lengths.end(),
                                      [length](std::uint8_t other) { return other != length; });
        auto run = static_cast<std::size_t>(end - lengths.begin()) - i;
        i += run;
        if (length != 0) { // what is repeated has been told
            tell(length, 0, 0);
            --run;
        }
        while (run >= 3) {
            const std::size_t some = std::min<std::size_t>(run, length != 0 ? 6 : 138);
            if (length != 0) {
                tell(16, 2, some - 3);
            } else if (some <= 10) {
                tell(17, 3, some - 3);
            } else {
                tell(18, 7, some - 11);
            }
            run -= some;
        }
        for (; run > 0; --run) {
            tell(length, 0, 0);
        }
    }
    return told;
}

/// @returns how many there are up to the last that is not 0, and no fewer than `least`
std::size_t count_told(std::span<const std::uint8_t> lengths, std::size_t least) {
    std::size_t count = lengths.size();
    while (count > least && lengths[count - 1] == 0) {
        --count;
    }
    return count;
}

/// The codes of a block, in a code of their own: RFC 1951, section 3.2.7.
void write_codes(BitWriter& to, std::span<const std::uint8_t> literal_lengths,
                 std::span<const std::uint8_t> distance_lengths) {
    constexpr std::array<std::uint8_t, length_code_count> order = {16, 17, 18, 0, 8,  7, 9,  6, 10, 5,
                                                                   11, 4,  12, 3, 13, 2, 14, 1, 15};
    const std::size_t literals = count_told(literal_lengths, end_of_block + 1),
                      distances = count_told(distance_lengths, 1);
    std::vector<std::uint8_t> all(literal_lengths.begin(),
                                  literal_lengths.begin() + static_cast<std::ptrdiff_t>(literals));
    all.insert(all.end(), distance_lengths.begin(),
               distance_lengths.begin() + static_cast<std::ptrdiff_t>(distances));
    const std::vector<Coded> told = told_lengths(all);
    std::array<std::uint32_t, length_code_count> often{};
    for (const Coded& one : told) {
        ++often.at(one.symbol);
    }
    std::array<std::uint8_t, length_code_count> lengths{}, in_order{};
    find_code_lengths(often, 7, lengths);
    std::transform(order.begin(), order.end(), in_order.begin(),
                   [&](std::uint8_t symbol) { return lengths.at(symbol); });
    std::array<CodeWord, length_code_count> words;
    find_code_words(lengths, words);
    const std::size_t count = count_told(in_order, 4);
    to.put(literals - (end_of_block + 1), 5);
    to.put(distances - 1, 5);
    to.put(count - 4, 4);
    for (std::size_t i = 0; i < count; ++i) {
        to.put(in_order.at(i), 3);
        to.flush();
    }
    for (const Coded& one : told) {
        to.put(words.at(one.symbol));
        to.put(one.extra, one.extra_bits);
        to.flush();
    }
}

void TokenBlock::write_coded(BitWriter& to, bool is_last) const {
    to.put(is_last ? 1 : 0, 1);
    to.put(2, 2);
    write_codes(to, literal_lengths_, distance_lengths_);
    std::array<CodeWord, literal_count> literals;
    std::array<CodeWord, distance_count> distances;
    find_code_words(literal_lengths_, literals);
    find_code_words(distance_lengths_, distances);
    for (const Token token : tokens_) {
        if (token.length == 0) {
            to.put(literals[token.value]);
        } else {
            const Coded length = coded_length(token.length), distance = coded_distance(token.value);
            to.put(literals[length.symbol]);
            to.put(length.extra, length.extra_bits);
            to.put(distances[distance.symbol]);
            to.put(distance.extra, distance.extra_bits);
        }
        to.flush();
    }
    to.put(literals[end_of_block]);
    to.flush();
}

void TokenBlock::clear() {
    tokens_.clear();
    literals_.fill(0);
    distances_.fill(0);
}

void TokenBlock::write(BitWriter& to, std::span<const std::byte> raw, bool is_last) {
    literals_[end_of_block] = 1;
    find_code_lengths(literals_, 15, literal_lengths_);
    find_code_lengths(distances_, 15, distance_lengths_);
    std::uint64_t bits = bits_of(literals_, literal_lengths_) + bits_of(distances_, distance_lengths_);
    for (const Token token : tokens_) {
        if (token.length == 0) continue;
        bits += coded_length(token.length).extra_bits;
        bits += coded_distance(token.value).extra_bits;
    }
    constexpr std::size_t most_bytes_of_codes = 320; // seven bits for each length, two for what repeats
    if (bits / 8 + most_bytes_of_codes < raw.size()) {
        write_coded(to, is_last);
    } else {
        write_stored(to, raw, is_last);
    }
    clear();
}

/// Where words were last that begin as those at hand: four the same, two the same, or one.
class Repeats {
public:
    explicit Repeats(std::span<const std::uint32_t> words) : words_(words) {}

    struct Found {
        std::size_t from = 0, count = 0; ///< count 0: there is none
    };
    /// Looks for the words from `at` on, and keeps them for those to come.
    Found look(std::size_t at) {
        if (at + key_words > words_.size()) return {};
        Found found; // most of all the word before: nothing is nearer
        if (at > 0 && words_[at] == words_[at - 1]) found = {at - 1, count_same(at - 1, at)};
        for (Place* const place : places(at)) {
            const Place last = std::exchange(*place, static_cast<Place>(at + 1));
            if (found.count >= good_enough || last == 0 || at + 1 - last > window_words) continue;
            const std::size_t from = last - 1, count = count_same(from, at);
            if (count > found.count) found = {from, count};
        }
        return found;
    }
    /// Keeps words that were passed over.
    void keep(std::size_t at) {
        if (at + key_words > words_.size()) return;
        for (Place* const place : places(at)) {
            *place = static_cast<Place>(at + 1);
        }
    }

private:
    using Place = std::uint32_t; ///< of a word, counted from 1; 0: none yet
    static constexpr std::size_t key_words = 4, good_enough = 4;
    static constexpr unsigned key_bits = 12;

    [[nodiscard]] std::uint64_t two(std::size_t at) const {
        std::uint64_t both = 0;
        std::memcpy(&both, words_.data() + at, sizeof both);
        return both;
    }
    /// By the highest bits of products, which all bits of a factor have a part in.
    [[nodiscard]] std::array<Place*, 3> places(std::size_t at) {
        constexpr std::uint64_t first = 0x9e3779b97f4a7c15, second = 0xc2b2ae3d27d4eb4f;
        const auto key = [](std::uint64_t product) {
            return static_cast<std::size_t>(product >> (64 - key_bits));
        };
        const std::uint64_t of_two = two(at) * first, of_four = (of_two ^ (two(at + 2) * second)) * first;
        return {&of_four_[key(of_four)], &of_two_[key(of_two)], &of_one_[key(words_[at] * first)]};
    }
    [[nodiscard]] std::size_t count_same(std::size_t from, std::size_t at) const {
        const std::size_t most = words_.size() - at;
        std::size_t count = 0;
        while (count + 2 <= most && two(from + count) == two(at + count)) {
            count += 2;
        }
        return count < most && words_[from + count] == words_[at + count] ? count + 1 : count;
    }

    std::span<const std::uint32_t> words_;
    std::array<Place, std::size_t{1} << key_bits> of_four_{}, of_two_{}, of_one_{};
};

void write_words(BitWriter& to, std::span<const std::uint32_t> words) {
    /// Of long repeats, which are mostly of one value, only the last words are kept.
    constexpr std::size_t most_kept = 16;
    thread_local TokenBlock block; // empty between two calls
    Repeats repeats(words);
    std::size_t first = 0; // of the block
    for (std::size_t at = 0; at < words.size();) {
        if (block.is_full()) {
            block.write(to, std::as_bytes(words.subspan(first, at - first)), false);
            first = at;
        }
        const Repeats::Found found = repeats.look(at);
        if (found.count == 0) {
            block.add_bytes(std::as_bytes(words.subspan(at, 1)));
            ++at;
            continue;
        }
        block.add_repeat(found.count * word_bytes,
                         static_cast<std::uint32_t>((at - found.from) * word_bytes));
        const std::size_t end = at + found.count;
        for (at = std::max(at + 1, end - std::min(end, most_kept)); at < end; ++at) {
            repeats.keep(at);
        }
    }
    block.write(to, std::as_bytes(words.subspan(first)), true);
}

struct Sums {
    std::uint32_t plain = 0, weighted = 0;
};

/// Of at most 4096 bytes: their sum, and that of each as often as it is followed by others and itself.
SWINGROOM_VECTORISED Sums sums_of(const unsigned char* bytes, std::uint32_t count) {
    Sums sums;
    for (std::uint32_t i = 0; i < count; ++i) {
        sums.plain += bytes[i];
        sums.weighted += (count - i) * bytes[i];
    }
    return sums;
}

} // namespace

std::uint32_t adler32(std::span<const std::byte> bytes) {
    constexpr std::uint32_t greatest_prime = 65521;
    constexpr std::size_t piece_bytes = 4096; // whose weighted sum fits into 32 bits
    std::uint32_t a = 1, b = 0;
    while (!bytes.empty()) {
        const auto count = static_cast<std::uint32_t>(std::min(bytes.size(), piece_bytes));
        const Sums sums = sums_of(reinterpret_cast<const unsigned char*>(bytes.data()), count);
        b = (b + a * count + sums.weighted) % greatest_prime;
        a = (a + sums.plain) % greatest_prime;
        bytes = bytes.subspan(count);
    }
    return b << 16U | a;
}

std::vector<std::byte> deflated_words(std::span<const std::uint32_t> words) {
    // Blocks that do not compress are stored, in pieces of at least 32 kB; and the frame.
    constexpr std::size_t growth = 8192, frame = 64;
    thread_local std::vector<std::byte> room; // kept, as that of other tiles
    const std::size_t bytes = words.size_bytes();
    if (room.size() < bytes + bytes / growth * 16 + frame) room.resize(bytes + bytes / growth * 16 + frame);
    BitWriter to(room.data());
    to.put(0x0178, 16); // Deflate with a window of 32 kB, by the fastest way, without a dictionary
    to.flush();
    write_words(to, words);
    to.align();
    const std::uint32_t sum = adler32(std::as_bytes(words));
    for (const unsigned shift : {24U, 16U, 8U, 0U}) {
        to.put(sum >> shift & 0xffU, 8);
    }
    to.flush();
    return {room.data(), to.end()};
}

} // namespace swingroom
