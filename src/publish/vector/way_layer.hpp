#pragma once

#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <cstddef>
#include <filesystem>
#include <string>

namespace swingroom {

/// The layer `ways`: the ways in to the best drop points, each as a line from where it begins to the drop
/// point, with what a helmsman looks for.
class WayLayer {
public:
    /// @param spots  how many drop points there are   @throws IoError
    WayLayer(const std::filesystem::path& folder, const OverlayJob& job, const Provenance& provenance,
             std::size_t spots, NamePrefix prefix);

    /// @param rank  of the drop point that it leads to, from 1   @param spot_name  its name   @throws IoError
    void add(const Approach& way, std::size_t rank, const std::string& spot_name, const PositionReport& spot);
    /// Closes the file, then reads it again and compares.   @throws IoError
    void finish() { lines_.finish(); }
    /// For those that read it when it is finished.
    [[nodiscard]] const VectorLayer& lines() const { return lines_; }

private:
    const OverlayJob& job_;
    std::size_t spots_;
    NamePrefix prefix_;
    VectorLayer lines_;
};

} // namespace swingroom
