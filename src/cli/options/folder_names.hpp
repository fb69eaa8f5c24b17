#pragma once

#include <string>
#include <vector>

namespace swingroom::cli {

/// Names of folders for things that have names: small letters of ASCII, digits and hyphens, no two the same,
/// none longer than 45 characters, none that a file system takes for a device. So no name leads out of the
/// folder that they are in, and none is another's where the case of letters does not count.
/// @param names      in UTF-8, anything   @param otherwise  for what has no letter that can be kept
/// @returns one for each, in their order
std::vector<std::string> folder_names(const std::vector<std::string>& names, const std::string& otherwise);

} // namespace swingroom::cli
