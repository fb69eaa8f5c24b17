#pragma once

#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/sea.hpp"

#include "sea/cells/vector_files.hpp"
#include "sea/files/file_stamps.hpp"
#include "sea/sea_source.hpp"

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

class SeaOfFiles;

/// What SeaFiles keeps of the last sea.
class KeptFiles {
public:
    /// The sea of some files, opened and not yet looked into, or that of before.
    /// @throws InputError, IoError  as Sea
    std::shared_ptr<SeaSource> sea(SeaRequest request);
    /// As that function of SeaFiles.   @throws IoError
    void require_as_opened() const;

private:
    void let_go_of_others(const SeaRequest& request);
    std::unique_ptr<DepthSource> raster(const BathymetryRequest& request);

    VectorFiles vectors_;
    std::vector<std::pair<BathymetryRequest, Stamped<std::shared_ptr<const DepthSource>>>> rasters_;
    std::shared_ptr<SeaOfFiles> last_; ///< null: its files are not those that are kept
};

} // namespace swingroom
