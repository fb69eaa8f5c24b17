#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/tables.hpp"

#include <vector>

namespace swingroom {

/// What was reckoned with for this boat that her file does not say: defaults of the policy, where loads,
/// masses and holdings come from. For the provenance; what the file says is Boat::as_read.
std::vector<Fact> boat_assumptions(const Boat& boat, const Conditions& conditions);
/// The same of how surely she reads her sounder, for runs in which rode may be chosen by it.
std::vector<Fact> sounder_assumptions(const Boat& boat);

} // namespace swingroom
