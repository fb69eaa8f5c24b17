#include "report/whole_text.hpp"

#include "publish/folder/guarded_files.hpp"

#include <string_view>

namespace swingroom {

void write_whole(const std::filesystem::path& path, const std::string& text) {
    const std::filesystem::path file = std::filesystem::absolute(path).lexically_normal();
    guarded::Writer writer(file);
    writer.write(text);
    writer.close();
    std::string read;
    guarded::read_file(file, [&](std::string_view bytes) { read += bytes; });
    if (read != text) guarded::fail(file, "reads otherwise than it was written");
}

} // namespace swingroom
