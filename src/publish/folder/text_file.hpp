#pragma once

#include "publish/folder/guarded_files.hpp"

#include <filesystem>
#include <string>
#include <string_view>

namespace swingroom {

/// Writes a small text file and reads it back.   @throws IoError
inline void write_text_file(const std::filesystem::path& path, const std::string& text) {
    guarded::Writer writer(path);
    writer.write(text);
    writer.close();
    std::string read;
    guarded::read_file(path, [&](std::string_view bytes) { read += bytes; });
    if (read != text) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace swingroom
