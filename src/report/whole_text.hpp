#pragma once

#include <filesystem>
#include <string>

namespace swingroom {

/// Writes a text, re-reads and compares it.   @throws IoError
void write_whole(const std::filesystem::path& path, const std::string& text);

} // namespace swingroom
