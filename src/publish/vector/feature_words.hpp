#pragma once

#include "publish/vector/ogr_files.hpp"

#include <optional>
#include <string>
#include <string_view>
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

/// What the column `open` of the layer of ways in says of one that is open at every level of the stay.
inline constexpr std::string_view way_open_always = "always";

/// "the seabed, at the least 1.78 m below chart datum", "wreck (wrecks #3), at the least 0.5 m above chart
/// datum: it dries": what a sill is.
/// @param hazard   empty: the seabed   @param depth_m  below chart datum
std::string sill_words(const std::string& hazard, const std::string& depth_m);
/// "1.71 m above chart datum", "0.4 m below chart datum"; empty where there is none.
std::string level_words(const std::string& level_m);
/// "sill 1.78m", "sill dries 0.5m"; empty where there is none.
std::string short_depth(const std::string& what, const std::string& depth_m);

} // namespace swingroom
