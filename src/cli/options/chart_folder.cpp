#include "cli/options/chart_folder.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <string_view>
#include <system_error>

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

Found search(const std::string& folder) {
    Found found;
    try {
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
            const std::string extension = entry.path().extension().string();
            const bool catalogue = entry.path().stem() == "CATALOG"; // CATALOG.031, of an exchange set
            if (catalogue || !is_edition(extension) || !entry.is_regular_file()) continue;
            (extension == ".000" ? found.cells : found.updates).push_back(entry.path());
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

bool same_file(const std::string& a, const std::string& b) {
    std::error_code ignored;
    return a == b || fs::equivalent(a, b, ignored);
}

} // namespace

GivenCharts charts_given(const std::vector<std::string>& paths) {
    GivenCharts given;
    std::map<std::string, std::string> of_folders; // the paths of cells by their names
    for (const std::string& path : paths) {
        std::error_code not_there;
        // A file geodatabase is a folder, too, but one input.
        if (!fs::is_directory(path, not_there) || fs::path(path).extension() == ".gdb") {
            given.cells.push_back(path);
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
            const auto is_this = [&](const std::string& other) { return same_file(cell.string(), other); };
            if (std::any_of(given.cells.begin(), given.cells.end(), is_this)) continue;
            const auto [first, added] = of_folders.emplace(cell.filename().string(), cell.string());
            if (!added) {
                throw InputError(cell.string(),
                                 "has the name of another cell, " + first->second +
                                     ", and one of the two may be the older edition",
                                 "keep the newer one, or give the cells by themselves");
            }
            given.cells.push_back(cell.string());
        }
    }
    return given;
}

std::string cells_text(const ChartFolder& folder) {
    return std::to_string(folder.cells) + (folder.cells == 1 ? " S-57 cell" : " S-57 cells");
}

} // namespace swingroom::cli
