#include "sea/hazards/found_feature.hpp"

#include "base/terminal_text.hpp"
#include "sea/files/attributes.hpp"

namespace swingroom {

std::string label_of(const FoundFeature& found) {
    std::string label = label_of(found.object_class, found.raw);
    if (!found.tagged()) return label;
    if (const std::string called = text_of(found.feature, "OBJNAM"); !called.empty()) {
        label += " " + printable(called);
    }
    return label;
}

} // namespace swingroom
