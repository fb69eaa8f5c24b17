#pragma once

#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"

#include "sea/hazards/found_feature.hpp"

#include <map>
#include <string>
#include <vector>

namespace swingroom {

/// Of the names of features that a user allows those that are meant by a feature: its identity, which for an
/// object of a chart is what its producer calls it, for others layer and number; or its whole label. A # in
/// either means nothing, since a plan takes what follows it for a comment.
std::vector<std::string> names_among(const std::vector<std::string>& allowed, const FoundFeature& found);

/// Remembers which features the names that a user allows were met at.
class Allowances {
public:
    /// Where a feature is.
    struct Place {
        std::string file;  ///< its path
        std::string where; ///< file, layer and number, unlike that of any other feature
    };
    /// Notes a feature if it is among them; once, however often it is met.
    void note(const std::vector<std::string>& allowed, const FoundFeature& found, const Place& place,
              const std::vector<const HazardRule*>& rules);
    /// All that was met at a name.
    [[nodiscard]] AllowedFeature what_came_of(const std::string& name) const;

private:
    struct Met {
        std::string file, label;
        bool of_chart = false; ///< its identity is that of an object of a chart
        std::vector<const HazardRule*> rules;
    };
    std::map<std::string, std::map<std::string, Met>> met_; ///< by name, then by Place::where
};

} // namespace swingroom
