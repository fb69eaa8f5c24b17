#pragma once

#include "swingroom/room/verdict.hpp"

#include <array>
#include <string_view>

namespace swingroom {

/// Members of JSON, by Verdict.
inline constexpr std::array<std::string_view, verdict_phrases.size()> verdict_names = {
    "unsurveyed",      "no",          "sinker", "short", "full", "sinker_by_sounder", "short_by_sounder",
    "full_by_sounder", "out_of_reach"};

} // namespace swingroom
