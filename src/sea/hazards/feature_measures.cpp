#include "sea/hazards/feature_measures.hpp"

#include "swingroom/base/error.hpp"

#include "base/terminal_text.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/files/attributes.hpp"

#include <ogr_feature.h>

#include <algorithm>
#include <vector>

namespace swingroom {
namespace {

/// Soundings that tell no least depth: unknown, doubtful, unreliable, reported and never confirmed. QUASOU,
/// IHO S-57 appendix A; 5 (no bottom found at) and 7 (safe clearance at) are depths to be relied on.
const std::vector<int> doubtful_soundings = {2, 3, 4, 8, 9};
/// A least depth beyond this is a mark for none (9999 and its like), not a depth that anybody charts a wreck
/// by.
constexpr double greatest_least_depth_m = 1000;

/// A length that widens a danger; 0 where it is not given.   @throws InputError
double length_m(const OGRFeature& feature, const std::string& attribute, const std::string& name) {
    const std::string text = text_of(feature, attribute);
    if (text.empty()) return 0;
    const auto metres = number_of(feature, attribute);
    if (!metres || *metres < 0) {
        throw InputError(name,
                         "its " + attribute + " is \"" + printable(text) + "\", which is no length in metres",
                         "mend it, or leave it empty if it is not known");
    }
    return *metres;
}

/// What the feature itself states, else its zone of confidence, else what the job assumes.
double uncertainty_m(const FoundFeature& found, double depth_m, const DepthUncertainty& of_job) {
    if (!text_of(found.feature, "SOUACC").empty()) {
        const auto stated_m = number_of(found.feature, "SOUACC");
        return stated_m && *stated_m >= 0 ? *stated_m : greatest_least_depth_m; // unreadable: any
    }
    if (found.cell && found.raw.GetGeometryRef()) {
        return zone_uncertainty(found.cell->zone_of(*found.raw.GetGeometryRef())).at(depth_m);
    }
    const bool of_raster = of_job.kind() == DepthUncertainty::Kind::band;
    return (of_raster ? zone_uncertainty(zone_not_assessed) : of_job).at(depth_m);
}

} // namespace

int position_quality(const FoundFeature& found) {
    if (found.cell) return found.cell->position_quality(found.raw);
    const Codes codes = codes_of(found.feature, "QUAPOS");
    return codes.values.empty() ? 0 : codes.values.front();
}

double stated_position_m(const FoundFeature& found, const std::string& name) {
    const double stated_m = length_m(found.feature, "POSACC", name);
    return stated_m > 0 ? stated_m : quality_position_m(position_quality(found));
}

double margin_m(const HazardRule& rule, const FoundFeature& found, const std::string& name) {
    return rule.margin_m + (rule.radius.empty() ? 0 : length_m(found.feature, rule.radius, name));
}

/// A margin that was lowered for a run is what is meant under way, too.
std::optional<double> under_way_m(const HazardRule& rule, const FoundFeature& found,
                                  const std::string& name) {
    if (!rule.under_way_m) return std::nullopt;
    HazardRule nearer = rule;
    nearer.margin_m = std::min(*rule.under_way_m, rule.margin_m);
    return margin_m(nearer, found, name);
}

std::optional<double> least_depth_m(const HazardRule& rule, const FoundFeature& found,
                                    const DepthUncertainty& of_job) {
    const auto depth_m = first_number_of(found.feature, rule.least_depth);
    const Codes quality = codes_of(found.feature, "QUASOU");
    if (!depth_m || !quality.readable || quality.has_any(doubtful_soundings)) return std::nullopt;
    if (*depth_m > greatest_least_depth_m) return std::nullopt;
    return *depth_m - uncertainty_m(found, *depth_m, of_job);
}

} // namespace swingroom
