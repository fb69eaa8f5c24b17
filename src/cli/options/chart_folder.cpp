#include "cli/options/chart_folder.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

namespace swingroom::cli {
namespace {

namespace fs = std::filesystem;

/// What a folder holds of charts.
struct Found {
    std::vector<fs::path> cells, updates;
};

/// ".000" of a cell, ".001" to ".999" of its updates.
bool is_edition(const std::string& extension) {
    constexpr std::string_view digits = "0123456789";
    return extension.size() == 4 && extension.find_first_not_of(digits, 1) == std::string::npos;
}

/// What lies in a folder, sorted.
std::vector<fs::path> entries_of(const fs::path& folder) {
    std::vector<fs::path> entries;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        entries.push_back(entry.path());
    }
    std::sort(entries.begin(), entries.end());
    return entries;
}

/// Follows links; each folder is looked into once, by whatever way it is reached, so that loops end.
Found search(const std::string& folder) {
    Found found;
    std::set<fs::path> seen;
    std::vector<fs::path> folders = {folder};
    try {
        for (std::size_t i = 0; i < folders.size(); ++i) {
            const fs::path here = folders[i];
            if (!seen.insert(fs::canonical(here)).second) continue;
            for (const fs::path& path : entries_of(here)) {
                const fs::file_status status = fs::status(path); // of what a link leads to
                if (fs::is_directory(status)) folders.push_back(path);
                if (!fs::exists(status)) {
                    throw InputError(path.string(), "is a link that leads nowhere",
                                     "mend it or take it away, since charts may be missing");
                }
                const std::string extension = path.extension().string();
                const bool catalogue = path.stem() == "CATALOG"; // CATALOG.031, of an exchange set
                if (catalogue || !is_edition(extension) || !fs::is_regular_file(status)) continue;
                (extension == ".000" ? found.cells : found.updates).push_back(path);
            }
        }
    } catch (const fs::filesystem_error& error) {
        throw IoError(error.path1().empty() ? folder : error.path1().string(),
                      "cannot be read: " + error.code().message());
    }
    std::sort(found.cells.begin(), found.cells.end());
    std::sort(found.updates.begin(), found.updates.end());
    return found;
}

void require_cells_of_updates(const Found& found) {
    for (fs::path update : found.updates) {
        const std::string name = update.string();
        if (!std::binary_search(found.cells.begin(), found.cells.end(), update.replace_extension(".000"))) {
            throw InputError(name, "is an update that does not lie beside its cell, and would be passed over",
                             "put " + update.filename().string() + " and all its updates into one folder");
        }
    }
}

/// One path for each file, whatever links lead to it; as given where it is not there.
std::string canonical(const std::string& path) {
    std::error_code not_there;
    const fs::path of_file = fs::canonical(path, not_there);
    return not_there ? path : of_file.string();
}

/// What is a folder of cells. A file geodatabase is a folder, too, but one input.
bool is_folder(const std::string& path) {
    std::error_code not_there;
    return fs::is_directory(path, not_there) && fs::path(path).extension() != ".gdb";
}

/// Cells of one name, of which at least one was found in a folder.
void refuse_cells_of_one_name(const std::vector<std::string>& cells) {
    std::map<std::string, std::string> paths; // by name
    for (const std::string& cell : cells) {
        const fs::path path(cell);
        if (path.extension() != ".000") continue;
        const auto [first, added] = paths.emplace(path.filename().string(), cell);
        if (!added && canonical(first->second) != canonical(cell)) {
            throw InputError(cell,
                             "has the name of another cell, " + first->second +
                                 ", and one of the two may be the older edition",
                             "keep the newer one, or give the cells by themselves");
        }
    }
}

} // namespace

GivenCharts charts_given(const std::vector<std::string>& paths) {
    GivenCharts given;
    std::set<std::string> taken; // canonical
    for (const std::string& path : paths) {
        if (!is_folder(path)) {
            given.cells.push_back(path);
            taken.insert(canonical(path));
            continue;
        }
        const Found found = search(path);
        if (found.cells.empty()) {
            throw InputError(path, "holds no S-57 cell, neither itself nor below",
                             "give a folder with files that end in .000, or the cells by themselves");
        }
        require_cells_of_updates(found);
        given.folders.push_back({path, found.cells.size()});
        for (const fs::path& cell : found.cells) {
            if (taken.insert(canonical(cell.string())).second) given.cells.push_back(cell.string());
        }
    }
    if (!given.folders.empty()) refuse_cells_of_one_name(given.cells);
    return given;
}

std::string cells_text(const ChartFolder& folder) {
    return std::to_string(folder.cells) + (folder.cells == 1 ? " S-57 cell" : " S-57 cells");
}

} // namespace swingroom::cli
