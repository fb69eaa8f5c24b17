#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom {

/// What a kind of exclusion forbids, and how often it is there.
struct ExclusionKind {
    /// The rule's name and, as the layer has them, what it forbids, what it advises, and where its
    /// margin comes from.
    std::string kind, forbids, advises, source;
    double margin_m = 0; ///< the greatest
    /// How many polygons of this kind are in the layer.
    std::size_t count = 0;
};

/// A row for each kind, margins rounded up in the unit of the measures.
Markup exclusions_section(const std::vector<ExclusionKind>& kinds, const Measures& measures);

} // namespace swingroom
