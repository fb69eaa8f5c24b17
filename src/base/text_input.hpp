#pragma once

#include <string>

namespace swingroom {

/// The whole of a small text file that the user gave (a boat, a plan, rules). Nothing but a plain file is
/// opened: a pipe or a device may never end, and opening one may do something.
/// @throws InputError  there is no such file, it is none, may not be read, is larger than 16 MiB or no text
/// @throws IoError     it cannot be read to its end
std::string read_text_input(const std::string& path);

} // namespace swingroom
