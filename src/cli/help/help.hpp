#pragma once

#include "cli/commands.hpp"

#include <string>

namespace swingroom::cli {

/// What `swingroom --help` prints: the commands.
std::string usage_text();
/// What `swingroom COMMAND --help` prints: a screen of 80 columns.
std::string help_text(const Entry& entry, const Options& options);
/// The program's version, and those of the libraries that it runs with, a line each.
std::string version_text();

} // namespace swingroom::cli
