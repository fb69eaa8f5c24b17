#include "sea/cells/vector_files.hpp"

#include <algorithm>

namespace swingroom {

VectorFile VectorFiles::open(const std::string& path) {
    const auto kept = kept_.find(path);
    if (kept != kept_.end()) return kept->second.opened().file;
    Stamped<Kept> opened(
        {path}, Beside::counted,
        [&] {
            return Kept{VectorFile(path), nullptr};
        },
        [&](const Kept& now) {
            std::vector<std::string> files = now.file.files();
            files.push_back(path); // which may be a folder
            return files;
        });
    return kept_.emplace(path, std::move(opened)).first->second.opened().file;
}

std::shared_ptr<const EncCell> VectorFiles::cell_of(const VectorFile& file) {
    Kept& kept = kept_.at(file.path()).opened();
    if (!kept.cell) kept.cell = std::make_shared<EncCell>(file);
    return kept.cell;
}

bool VectorFiles::keep(const std::vector<std::string>& paths) {
    return std::erase_if(kept_, [&](const auto& one) {
               const bool is_named = std::find(paths.begin(), paths.end(), one.first) != paths.end();
               return !is_named || !one.second.still_holds();
           }) > 0;
}

std::string VectorFiles::first_rewritten() const {
    for (const auto& [path, kept] : kept_) {
        if (std::string file = kept.first_rewritten(); !file.empty()) return file;
    }
    return {};
}

} // namespace swingroom
