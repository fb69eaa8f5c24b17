#include "sea/cells/opened_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <utility>

namespace swingroom {
namespace {

std::vector<VectorFile> opened(const std::vector<std::string>& charts, const std::vector<std::string>& others,
                               VectorFiles& kept) {
    std::vector<VectorFile> files;
    files.reserve(charts.size() + others.size());
    for (const std::string& path : charts) {
        files.push_back(kept.open(path));
        if (!files.back().is_cell()) {
            throw InputError(path,
                             "is no S-57 cell (" + std::string(files.back().dataset().GetDriverName()) + ")",
                             "give cells (.000) with " + Setting::chart + ", other files of hazards with " +
                                 Setting::hazards);
        }
    }
    if (files.size() > most_sources) {
        throw InputError(Setting::chart, "is given " + std::to_string(files.size()) + " times",
                         "give at most " + std::to_string(most_sources) + " cells at a time");
    }
    for (const std::string& path : others) {
        files.push_back(kept.open(path));
    }
    return files;
}

std::vector<std::shared_ptr<const EncCell>> read_cells(const std::vector<VectorFile>& files,
                                                       VectorFiles& kept) {
    std::vector<std::shared_ptr<const EncCell>> cells;
    for (const VectorFile& file : files) {
        if (file.is_cell()) cells.push_back(kept.cell_of(file));
    }
    return cells;
}

/// The charts come first, and each of them is a cell.
std::vector<std::shared_ptr<const EncCell>> first_of(const EncCells& cells, std::size_t count) {
    return {cells.cells().begin(), cells.cells().begin() + static_cast<std::ptrdiff_t>(count)};
}

} // namespace

OpenedFiles::OpenedFiles(const std::vector<std::string>& charts, const std::vector<std::string>& others)
    : OpenedFiles(charts, others, *std::make_unique<VectorFiles>()) {}

OpenedFiles::OpenedFiles(const std::vector<std::string>& charts, const std::vector<std::string>& others,
                         VectorFiles& files)
    : files_(opened(charts, others, files)), charts_count_(charts.size()),
      all_cells_(read_cells(files_, files)), chart_cells_(first_of(all_cells_, charts_count_)) {}

EncCells OpenedFiles::cells_of(const VectorFile& file) const {
    std::vector<std::shared_ptr<const EncCell>> found;
    for (const auto& cell : all_cells_.cells()) {
        if (cell->path() == file.path()) found.push_back(cell);
    }
    return EncCells(std::move(found));
}

} // namespace swingroom
