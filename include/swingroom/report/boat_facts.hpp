#pragma once

#include "swingroom/boat/tables.hpp"

#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// What was reckoned with for this boat that her file does not say: defaults of the policy, where loads,
/// masses and holdings come from. Name and value, for the provenance; what the file says is Boat::as_read.
std::vector<std::pair<std::string, std::string>> boat_assumptions(const Boat& boat,
                                                                  const Conditions& conditions);

} // namespace swingroom
