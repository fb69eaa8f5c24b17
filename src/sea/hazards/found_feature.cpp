#include "sea/hazards/found_feature.hpp"

#include "sea/files/attributes.hpp"

namespace swingroom {

std::string name_of(const FoundFeature& found) {
    const std::string name = found.tagged() ? name_of(found.feature) : "";
    return name.empty() ? name_of(found.raw) : name;
}

std::string label_of(const FoundFeature& found) {
    return label_of(found.object_class, found.raw, name_of(found));
}

} // namespace swingroom
