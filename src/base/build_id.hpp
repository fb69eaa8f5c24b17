#pragma once

#include <string>

namespace swingroom {

/// What the linker has called the program that runs: a digest of all that it was linked of, in hexadecimal
/// digits, which is in memory anyway. Empty: it was told to leave that out.
std::string build_id();

} // namespace swingroom
