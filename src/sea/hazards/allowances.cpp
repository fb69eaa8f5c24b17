#include "sea/hazards/allowances.hpp"

#include "swingroom/room/effect.hpp"

#include "base/terminal_text.hpp"
#include "sea/files/attributes.hpp"

#include <ogr_feature.h>

#include <algorithm>

namespace swingroom {
namespace {

constexpr Effects forbidding = effect::hull | effect::ground | effect::drop;

std::string identity_of(const FoundFeature& found) {
    const std::string id = text_of(found.raw, "LNAM");
    if (!id.empty()) return printable(id);
    return printable(found.object_class) + " #" + std::to_string(found.raw.GetFID());
}

std::string without_hashes(std::string text) {
    std::erase(text, '#');
    return text;
}

void add_once(std::vector<std::string>& names, const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

} // namespace

std::vector<std::string> names_among(const std::vector<std::string>& allowed, const FoundFeature& found) {
    std::vector<std::string> names;
    if (allowed.empty()) return names;
    const std::string identity = without_hashes(identity_of(found)), label = without_hashes(label_of(found));
    for (const std::string& name : allowed) {
        const std::string bare = without_hashes(name);
        if (bare == identity || bare == label) names.push_back(name);
    }
    return names;
}

void Allowances::note(const std::vector<std::string>& allowed, const FoundFeature& found, const Place& place,
                      const std::vector<const HazardRule*>& rules) {
    for (const std::string& name : names_among(allowed, found)) {
        met_[name].insert_or_assign(
            place.where, Met{place.file, label_of(found), !text_of(found.raw, "LNAM").empty(), rules});
    }
}

AllowedFeature Allowances::what_came_of(const std::string& name) const {
    AllowedFeature allowed{name, {}, true, {}, {}};
    const auto found = met_.find(name);
    if (found == met_.end()) return allowed;
    bool all_of_charts = true;
    for (const auto& [where, feature] : found->second) {
        allowed.features.push_back(feature.file + ": " + feature.label);
        all_of_charts = all_of_charts && feature.of_chart;
        for (const HazardRule* const rule : feature.rules) {
            if ((rule->effects & forbidding) == 0) continue;
            add_once(rule->restriction ? allowed.lifted : allowed.stays, rule->name);
        }
    }
    allowed.one_object = all_of_charts || allowed.features.size() == 1;
    return allowed;
}

} // namespace swingroom
