#pragma once

#include <string_view>

namespace swingroom {

/// The text of default.rules, put into the program when it is built.
extern const std::string_view default_rules;

} // namespace swingroom
