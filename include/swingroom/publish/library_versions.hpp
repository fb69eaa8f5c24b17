#pragma once

#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// The libraries that the program runs with: name and version, as each of them tells it when it is asked (of
/// Boost, whose part is headers mostly, what the program was built with).
std::vector<std::pair<std::string, std::string>> library_versions();

} // namespace swingroom
