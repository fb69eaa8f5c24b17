#pragma once

#include <span>
#include <string_view>

namespace swingroom {

/// How many letters must be changed, added or left out to make one text of the other; - and _ are alike.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The name that a misspelt one was meant to be: at most a third of its letters, or two, are wrong. Empty
/// where no name is that near.
std::string_view nearest_name(std::string_view misspelt, std::span<const std::string_view> names);

} // namespace swingroom
