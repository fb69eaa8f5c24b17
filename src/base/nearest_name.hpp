#pragma once

#include <cstddef>
#include <span>
#include <string_view>

namespace swingroom {

/// How many letters must be changed, added, left out or swapped with the next one to make one text of the
/// other; - and _ are alike.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The name that a misspelt one was meant to be: the first that begins with it, else the nearest of those
/// with at most a third of its letters wrong, or two of five, one of three. Empty where no name is that near.
std::string_view nearest_name(std::string_view misspelt, std::span<const std::string_view> names);

} // namespace swingroom
