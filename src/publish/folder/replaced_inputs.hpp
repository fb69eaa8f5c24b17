#pragma once

#include "swingroom/base/message.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace swingroom {

/// Refuses to make what would replace an input: the target is the same file as one, by whatever name (a link
/// of either kind), or is a folder that holds one, or lies in a folder that is one.
/// @param inputs  as the user wrote them; those that are not there are passed over
/// @param called  the setting that names the target
/// @throws InputError
void refuse_to_replace(const std::filesystem::path& target, const std::vector<std::string>& inputs,
                       Setting called);

} // namespace swingroom
