#pragma once

#include "swingroom/base/fact.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// Facts as lines, for matchers.
inline std::vector<std::string> told_all(const std::vector<Fact>& facts) {
    std::vector<std::string> lines;
    for (const Fact& fact : facts) {
        lines.push_back(fact_line(fact));
    }
    return lines;
}

} // namespace swingroom
