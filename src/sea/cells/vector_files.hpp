#pragma once

#include "sea/cells/enc_cells.hpp"
#include "sea/files/file_stamps.hpp"
#include "sea/files/vector_file.hpp"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// Vector files by their paths, for who opens several lists of them one after the other: each is opened once,
/// and each cell among them is read once, as long as they do not change.
class VectorFiles {
public:
    /// The file, opened now or before.   @throws InputError, IoError  as VectorFile
    VectorFile open(const std::string& path);
    /// The cell that a file of open() is, read now or before.   @throws InputError, IoError  as EncCell
    std::shared_ptr<const EncCell> cell_of(const VectorFile& file);
    /// Closes all others than these, and those of these that have changed since they were opened.
    /// @returns whether there were any
    bool keep(const std::vector<std::string>& paths);
    /// As FileStamps::first_rewritten(), of all that is open.
    [[nodiscard]] std::string first_rewritten() const;

private:
    struct Kept {
        VectorFile file;
        std::shared_ptr<const EncCell> cell; ///< null: it is none, or was not asked for
    };
    std::map<std::string, Stamped<Kept>> kept_;
};

} // namespace swingroom
