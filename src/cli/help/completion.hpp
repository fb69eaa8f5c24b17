#pragma once

#include <string>

namespace swingroom::cli {

/// Scripts that make a shell complete commands, options, and values by their kind: words, lists of words,
/// files and folders.
std::string bash_completion();
/// The same for zsh.
std::string zsh_completion();
/// The same for fish.
std::string fish_completion();

} // namespace swingroom::cli
