#pragma once

#include "swingroom/base/markup.hpp"

#include <string>

namespace swingroom::cli {

/// Writes what --picture names: a whole file or none, and never the file that the command reads.
/// @throws InputError, IoError  as PendingFile
void write_picture(const std::string& path, const Markup& svg, bool overwrite, const std::string& input);

} // namespace swingroom::cli
