#pragma once

#include "sea/cells/enc_cells.hpp"
#include "sea/cells/vector_files.hpp"
#include "sea/files/vector_file.hpp"

#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// The vector files of a run: each is opened once, each cell among them is read once, whoever asks for it.
class OpenedFiles {
public:
    /// @param charts  S-57 cells   @param others  what may hold hazards, cells among them or not
    /// @throws InputError  also a chart that is no cell, too many charts; IoError, as VectorFile and EncCell
    OpenedFiles(const std::vector<std::string>& charts, const std::vector<std::string>& others);
    /// The same, of files that may be open already.
    OpenedFiles(const std::vector<std::string>& charts, const std::vector<std::string>& others,
                VectorFiles& files);

    /// The files that were given as charts, in that order.
    [[nodiscard]] std::span<const VectorFile> charts() const { return {files_.data(), charts_count_}; }
    /// The cells of the charts: depths come from these alone.
    [[nodiscard]] const EncCells& chart_cells() const { return chart_cells_; }
    /// The charts, then the others.
    [[nodiscard]] std::span<const VectorFile> all() const { return files_; }
    /// The cells of all files, those among the others too: hazards come from these.
    [[nodiscard]] const EncCells& all_cells() const { return all_cells_; }
    /// The cell that one of the files is, by itself; none if it is no cell.
    [[nodiscard]] EncCells cells_of(const VectorFile& file) const;

private:
    std::vector<VectorFile> files_;
    std::size_t charts_count_;
    EncCells all_cells_, chart_cells_;
};

} // namespace swingroom
