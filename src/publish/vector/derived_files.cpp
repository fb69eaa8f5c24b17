#include "publish/vector/derived_files.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/vector_formats.hpp"

#include <string>
#include <system_error>

namespace swingroom {

void derive_from(const VectorLayer& layer, const std::filesystem::path& folder, FormatSet formats,
                 bool styles, const std::vector<FeatureLook>& looks, const Provenance& provenance) {
    write_in_formats(folder, layer.finished(), formats, looks, provenance);
    if (styles) write_styles(folder, layer.spec(), looks);
}

void drop_unasked(const std::filesystem::path& folder, std::string_view layer, Content content,
                  FormatSet formats) {
    const FormatTraits& first = traits(first_written_in(content));
    if (formats.empty() || formats.has(first.format)) return;
    const std::string file = std::string(layer) + "." + std::string(first.ending);
    for (const std::string& name : {file, file + ".aux.xml", file + ".qml"}) {
        std::error_code error;
        std::filesystem::remove(folder / name, error);
        if (error) {
            guarded::fail(std::filesystem::absolute(folder / name).lexically_normal(),
                          "could not be removed: " + error.message());
        }
    }
}

} // namespace swingroom
