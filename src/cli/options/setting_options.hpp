#pragma once

#include "swingroom/base/message.hpp"

#include <string>
#include <vector>

namespace swingroom::cli {

/// The option by which a setting is said: "--chart-datum". The one table from what libraries ask for to what
/// people type.
std::string option_of(Setting setting);

/// What a library says, in the words of the command line.
std::string in_options(const Message& message);
std::vector<std::string> in_options(const std::vector<Message>& messages);

} // namespace swingroom::cli
