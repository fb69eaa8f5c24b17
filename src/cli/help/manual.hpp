#pragma once

#include "cli/commands.hpp"

#include <string>

namespace swingroom::cli {

/// swingroom(1), in roff with the macros of man(7).
std::string manual();
/// swingroom-COMMAND(1)
std::string manual(const Entry& entry);

} // namespace swingroom::cli
