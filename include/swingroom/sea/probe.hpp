#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/base/message.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <memory>
#include <optional>
#include <vector>

namespace swingroom {

/// A raster that was opened as far as it goes, and all that it leaves open.
struct Probed {
    /// With an answer to each question, made up only to see the rest; none: it opens with no answer.
    std::unique_ptr<DepthSource> source;
    std::vector<UnsaidError> questions; ///< in the order in which opening asks them
    std::optional<InputError> refusal;  ///< why it cannot be opened whatever is said; none: it can

    /// Whether an answer was made up here.
    [[nodiscard]] bool asks(Setting setting) const;
};

/// Opens a raster and asks everything that it leaves unsaid at once, where open_bathymetry() would ask one
/// question at a time. At most patches of a large raster are read.
/// @throws IoError  as open_bathymetry()
Probed probe(BathymetryRequest request);

} // namespace swingroom
