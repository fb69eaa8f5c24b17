// Values as bytes and back: whatever is written comes back, and nothing that was not written is believed.

#include "base/byte_stream.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

enum class Colour : std::uint8_t { white, red, green };

/// Something of all kinds.
struct Mixed {
    std::int32_t number = 0;
    double length_m = 0;
    bool flag = false;
    Colour colour = Colour::white;
    std::string text;
    std::optional<float> perhaps;
    std::vector<std::vector<std::uint16_t>> lists;
    std::array<std::int64_t, 2> pair{};
    friend bool operator==(const Mixed&, const Mixed&) = default;
};
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Mixed>& mixed) {
    pass_all(bytes, mixed.number, mixed.length_m, mixed.flag);
    pass_enum(bytes, mixed.colour, Colour::green);
    pass_all(bytes, mixed.text, mixed.perhaps, mixed.lists, mixed.pair);
}

const Mixed sample{
    -7, 0.1, true, Colour::red, std::string("a\0b", 3), 2.5F, {{1, 2}, {}, {3}}, {-1, 1LL << 40}};

std::vector<std::uint8_t> bytes_of(const Mixed& mixed) {
    ByteWriter to;
    pass(to, mixed);
    return to.all();
}

/// What reading says against some bytes; empty: nothing.
std::string complaint(std::span<const std::uint8_t> bytes) {
    // A buffer of exactly that length: what reads beyond it is seen by the sanitizers.
    const std::vector<std::uint8_t> exactly(bytes.begin(), bytes.end());
    ByteReader from(exactly, "some.bin");
    Mixed mixed;
    try {
        pass(from, mixed);
        from.require_end();
    } catch (const IoError& error) {
        return error.what();
    }
    return "";
}

TEST(ByteStream, GivesBackWhatWasWritten) {
    const std::vector<std::uint8_t> bytes = bytes_of(sample);
    ByteReader from(bytes, "some.bin");
    Mixed read;
    read.perhaps = 9;
    pass(from, read);
    from.require_end();
    EXPECT_EQ(read, sample);
}

TEST(ByteStream, HasTheLeastSignificantByteFirst) {
    ByteWriter to;
    to.number(std::uint32_t{0x01020304});
    to.number(std::int16_t{-2});
    to.number(1.0F); // 0x3F800000, IEEE 754
    EXPECT_THAT(to.all(), ElementsAre(4, 3, 2, 1, 0xFE, 0xFF, 0, 0, 0x80, 0x3F));
}

TEST(ByteStream, KeepsEveryBitOfANumber) {
    for (const double number : {-0.0, 5e-324, std::numeric_limits<double>::infinity(), std::nan("7")}) {
        ByteWriter to;
        to.number(number);
        ByteReader from(to.all(), "some.bin");
        EXPECT_EQ(std::bit_cast<std::uint64_t>(from.number<double>()), std::bit_cast<std::uint64_t>(number));
    }
}

TEST(ByteStream, RefusesWhatIsCutOffAndWhatIsTooLong) {
    std::vector<std::uint8_t> bytes = bytes_of(sample);
    for (std::size_t length = 0; length < bytes.size(); ++length) {
        EXPECT_THAT(complaint(std::span(bytes).first(length)), HasSubstr("some.bin: ")) << length;
    }
    bytes.push_back(0);
    EXPECT_EQ(complaint(bytes), "some.bin: holds more than it promises: it is damaged");
}

// Not every flipped bit shows, of a number none does: but none makes it read beyond the end or take memory
// for what is not there.
TEST(ByteStream, SurvivesFlippedBits) {
    const std::vector<std::uint8_t> bytes = bytes_of(sample);
    int refused = 0;
    for (std::size_t bit = 0; bit < 8 * bytes.size(); ++bit) {
        std::vector<std::uint8_t> flipped = bytes;
        flipped[bit / 8] ^= static_cast<std::uint8_t>(1U << (bit % 8));
        refused += complaint(flipped).empty() ? 0 : 1;
    }
    EXPECT_GT(refused, 100);
}

TEST(ByteStream, ASumTellsEveryFlippedBitAndEveryLength) {
    std::vector<std::uint8_t> bytes(37, 0);
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        bytes[i] = static_cast<std::uint8_t>(11 * i);
    }
    const std::uint64_t sum = checksum(bytes);
    for (std::size_t bit = 0; bit < 8 * bytes.size(); ++bit) {
        bytes[bit / 8] ^= static_cast<std::uint8_t>(1U << (bit % 8));
        EXPECT_NE(checksum(bytes), sum) << bit;
        bytes[bit / 8] ^= static_cast<std::uint8_t>(1U << (bit % 8));
    }
    EXPECT_EQ(checksum(bytes), sum);
    const std::vector<std::uint8_t> zeros(64, 0);
    for (std::size_t length = 1; length < zeros.size(); ++length) {
        EXPECT_NE(checksum(std::span(zeros).first(length)), checksum(std::span(zeros).first(length - 1)));
    }
}

} // namespace
} // namespace swingroom
