#pragma once

#include "swingroom/base/error.hpp"

#include <array>
#include <bit>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

/// Values as bytes of a fixed layout, little-endian whatever the machine, and back.
///
/// pass() moves a value between memory and bytes in either direction, so that what is written and what is
/// read are told once for both: `pass(bytes, value)` writes it where `bytes` is a ByteWriter, and fills it
/// where that is a ByteReader. A type of its own gets a pass() that passes its members, see Passed.
namespace swingroom {

/// Writes values one after another.
class ByteWriter {
public:
    /// A number, the least significant byte first.
    template <class T>
    requires std::integral<T> || std::floating_point<T>
    void number(T value) {
        using Bits = std::conditional_t<
            sizeof(T) == 1, std::uint8_t,
            std::conditional_t<sizeof(T) == 2, std::uint16_t,
                               std::conditional_t<sizeof(T) == 4, std::uint32_t, std::uint64_t>>>;
        const auto bits = std::bit_cast<Bits>(value);
        for (std::size_t i = 0; i < sizeof(T); ++i) {
            bytes_.push_back(static_cast<std::uint8_t>(bits >> (8 * i)));
        }
    }
    /// Bytes as they are, without how many there are.
    void bytes(std::span<const std::uint8_t> some) { bytes_.insert(bytes_.end(), some.begin(), some.end()); }

    /// All that was written.
    [[nodiscard]] const std::vector<std::uint8_t>& all() const { return bytes_; }

private:
    std::vector<std::uint8_t> bytes_;
};

/// Reads what a ByteWriter has written. Nothing is believed: what would be read beyond the end is refused.
class ByteReader {
public:
    /// @param bytes  outlive the reader   @param name  of the file that they are from, for messages
    ByteReader(std::span<const std::uint8_t> bytes, std::string name)
        : left_(bytes), name_(std::move(name)) {}

    /// The next number.   @throws IoError  there are no bytes for it
    template <class T>
    requires std::integral<T> || std::floating_point<T> T number() {
        using Bits = std::conditional_t<
            sizeof(T) == 1, std::uint8_t,
            std::conditional_t<sizeof(T) == 2, std::uint16_t,
                               std::conditional_t<sizeof(T) == 4, std::uint32_t, std::uint64_t>>>;
        const std::span<const std::uint8_t> from = bytes(sizeof(T));
        Bits bits = 0;
        for (std::size_t i = 0; i < sizeof(T); ++i) {
            bits = static_cast<Bits>(bits | static_cast<Bits>(static_cast<Bits>(from[i]) << (8 * i)));
        }
        return std::bit_cast<T>(bits);
    }
    /// The next so many bytes.   @throws IoError  there are fewer
    std::span<const std::uint8_t> bytes(std::size_t count);
    /// How many values follow, each of which takes at least a byte: never more than there are bytes left.
    /// @throws IoError  it says more
    std::size_t count();
    /// How many bytes are left.
    [[nodiscard]] std::size_t left() const { return left_.size(); }
    /// @throws IoError  something is left
    void require_end() const;
    /// @param wrong  what is wrong with what was read   @throws IoError  always
    [[noreturn]] void refuse(const std::string& wrong) const;

private:
    std::span<const std::uint8_t> left_;
    std::string name_;
};

/// A sum over bytes by which a file that was damaged on its way is found out; no signature, it keeps out
/// nobody. Bytes that differ within one group of eight always have another sum.
std::uint64_t checksum(std::span<const std::uint8_t> bytes);

/// How pass() is given a value: to be written as it is, or to be filled.
template <class Bytes, class T>
using Passed = std::conditional_t<std::is_same_v<Bytes, ByteWriter>, const T, T>;

template <class T>
requires std::integral<T> || std::floating_point<T>
void pass(ByteWriter& to, const T& number) { to.number(number); }
template <class T>
requires std::integral<T> || std::floating_point<T>
void pass(ByteReader& from, T& number) { number = from.number<T>(); }
inline void pass(ByteWriter& to, const bool& flag) { to.number(static_cast<std::uint8_t>(flag ? 1 : 0)); }
void pass(ByteReader& from, bool& flag);

/// Texts of up to 4 GB; their bytes need not be any encoding's.
void pass(ByteWriter& to, const std::string& text);
void pass(ByteReader& from, std::string& text);

/// An enumerator, by its number.   @param last  the greatest there is   @throws IoError  a number beyond it
template <class Enum>
void pass_enum(ByteWriter& to, const Enum& value, Enum /*last*/) {
    to.number(static_cast<std::uint8_t>(value));
}
template <class Enum>
void pass_enum(ByteReader& from, Enum& value, Enum last) {
    const auto number = from.number<std::uint8_t>();
    if (number > static_cast<std::uint8_t>(last)) from.refuse("holds a kind that is not known");
    value = static_cast<Enum>(number);
}

template <class T>
void pass(ByteWriter& to, const std::optional<T>& value) {
    pass(to, value.has_value());
    if (value) pass(to, *value);
}
template <class T>
void pass(ByteReader& from, std::optional<T>& value) {
    bool there = false;
    pass(from, there);
    value.reset();
    if (there) pass(from, value.emplace());
}

template <class T>
void pass(ByteWriter& to, const std::vector<T>& values) {
    to.number(static_cast<std::uint64_t>(values.size()));
    for (const T& value : values) {
        pass(to, value);
    }
}
template <class T>
void pass(ByteReader& from, std::vector<T>& values) {
    values.clear();
    // Grows with what is read, not with what is promised.
    for (std::size_t left = from.count(); left > 0; --left) {
        pass(from, values.emplace_back());
    }
}

template <class T, std::size_t Count>
void pass(ByteWriter& to, const std::array<T, Count>& values) {
    for (const T& value : values) {
        pass(to, value);
    }
}
template <class T, std::size_t Count>
void pass(ByteReader& from, std::array<T, Count>& values) {
    for (T& value : values) {
        pass(from, value);
    }
}

/// Several values, one after another.
template <class Bytes, class... Values>
void pass_all(Bytes& bytes, Values&... values) {
    (pass(bytes, values), ...);
}

} // namespace swingroom
