#pragma once

#include "swingroom/base/message.hpp"

#include <string>

namespace swingroom {

/// Names that stand in no sentence by chance: a test that finds "<chart datum>" knows that the message names
/// the setting by its type.
inline std::string marked(Setting setting) { return "<" + plain_name(setting) + ">"; }

} // namespace swingroom
