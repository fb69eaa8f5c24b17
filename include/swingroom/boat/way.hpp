#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace swingroom {

/// The three ways to lie, the most demanding of room first.
enum class Way : std::uint8_t { full, short_scope, sinker };

/// In the order of the enumerators, so that a way's number is its place in arrays that have one entry for
/// each.
inline constexpr std::array all_ways = {Way::full, Way::short_scope, Way::sinker};

/// A way as names of layers end in it: rode_full, radius_short, spare_sinker.
constexpr std::string_view name(Way way) {
    constexpr std::array<std::string_view, 3> names = {"full", "short", "sinker"};
    return names[static_cast<std::size_t>(way)];
}

/// A way in the words of sentences and legends.
constexpr std::string_view phrase(Way way) {
    constexpr std::array<std::string_view, 3> phrases = {"full scope", "short scope",
                                                         "short scope with sinker"};
    return phrases[static_cast<std::size_t>(way)];
}

} // namespace swingroom
