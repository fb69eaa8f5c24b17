#include "base/byte_stream.hpp"

#include <cstring>

namespace swingroom {

std::span<const std::uint8_t> ByteReader::bytes(std::size_t count) {
    if (count > left_.size()) refuse("ends in the middle of what it holds");
    const std::span<const std::uint8_t> next = left_.first(count);
    left_ = left_.subspan(count);
    return next;
}

std::size_t ByteReader::count() {
    const auto count = number<std::uint64_t>();
    if (count > left_.size()) refuse("promises more than it holds");
    return static_cast<std::size_t>(count);
}

void ByteReader::require_end() const {
    if (!left_.empty()) refuse("holds more than it promises");
}

void ByteReader::refuse(const std::string& wrong) const { throw IoError(name_, wrong + ": it is damaged"); }

std::uint64_t checksum(std::span<const std::uint8_t> bytes) {
    // Each step is one to one in what came before and in the bytes that it takes in, so that a difference in
    // one group of eight bytes never gets lost. The odd factor is that of splitmix64's finaliser.
    constexpr std::uint64_t factor = 0xBF58476D1CE4E5B9U;
    std::uint64_t sum = bytes.size() * factor;
    const auto take_in = [&sum](std::uint64_t group) {
        sum = (sum ^ group) * factor;
        sum ^= sum >> 29;
    };
    std::size_t i = 0;
    for (; i + 8 <= bytes.size(); i += 8) {
        std::uint64_t group = 0;
        std::memcpy(&group, bytes.data() + i, 8);
        if constexpr (std::endian::native == std::endian::big) {
            std::uint64_t turned = 0;
            for (int byte = 0; byte < 8; ++byte) {
                turned |= ((group >> (8 * byte)) & 0xFFU) << (56 - 8 * byte);
            }
            group = turned;
        }
        take_in(group);
    }
    std::uint64_t rest = 0;
    for (int byte = 0; i < bytes.size(); ++i, ++byte) {
        rest |= static_cast<std::uint64_t>(bytes[i]) << (8 * byte);
    }
    take_in(rest);
    return sum;
}

void pass(ByteReader& from, bool& flag) {
    const auto number = from.number<std::uint8_t>();
    if (number > 1) from.refuse("holds neither yes nor no where one of them has to be");
    flag = number != 0;
}

void pass(ByteWriter& to, const std::string& text) {
    to.number(static_cast<std::uint64_t>(text.size()));
    for (const char letter : text) {
        to.number(letter);
    }
}

void pass(ByteReader& from, std::string& text) {
    const std::span<const std::uint8_t> letters = from.bytes(from.count());
    text.assign(letters.begin(), letters.end());
}

} // namespace swingroom
