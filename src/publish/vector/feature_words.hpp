#pragma once

#include "publish/vector/ogr_files.hpp"

#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// One thing that a feature says, as people read it: "rode to veer", "25 m".
struct FeatureFact {
    std::string name, value; ///< neither is empty
};

/// All that is of use on the water, whatever layer the feature is of. What must be known before anything else
/// comes first, and then what is looked for first, as small screens cut off the rest: the condition by the
/// sounder, rode, depth, radius, wind limit, danger; then the others.
std::vector<FeatureFact> facts_of(const OGRFeature& feature, const ColumnReader& reader);

/// The same in few characters of ASCII, as old plotters keep them: "sounder max 8.3m at low water; rode max
/// 35m; depth 5.4-9.9m; radius 52.1m; wind 21kn; danger 60.3m bearing 045".
std::string short_words_of(const OGRFeature& feature, const ColumnReader& reader);

/// Of a drop point: the nearer of what the hull and what anchor and rode must not meet.
struct NearerDanger {
    std::string what;       ///< empty: none within the distance
    std::string distance_m; ///< as the layer has it: "60.3"
    std::string bearing;    ///< "045"; empty where it has none
};
/// None where the layer does not speak of dangers.
std::optional<NearerDanger> nearer_danger(const OGRFeature& feature, const ColumnReader& reader);

} // namespace swingroom
