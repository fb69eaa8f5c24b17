#include "swingroom/overlay/layers.hpp"

#include "swingroom/base/error.hpp"

#include "base/nearest_name.hpp"

#include <algorithm>
#include <string>

namespace swingroom {
namespace {

/// Adds what a word stands for; false where it stands for nothing.
bool add_word(std::string_view word, LayerSet& set) {
    bool known = false;
    for (std::size_t i = 0; i < layer_names.size(); ++i) {
        const std::string_view layer = layer_names[i];
        // "rode" is rode_full, rode_short and rode_sinker.
        const auto group_end = layer.rfind('_');
        const bool of_group =
            i >= static_cast<std::size_t>(Layer::rode_full) && layer.substr(0, group_end) == word;
        if (layer == word || of_group || word == "all") {
            set.add(static_cast<Layer>(i));
            known = true;
        }
    }
    return known;
}

} // namespace

LayerSet LayerSet::parse(std::string_view text, std::string_view where) {
    LayerSet set;
    for (std::size_t begin = 0; begin <= text.size();) {
        const std::size_t end = std::min(text.find(',', begin), text.size());
        const std::string_view word = text.substr(begin, end - begin);
        if (!add_word(word, set)) {
            std::string known;
            for (const std::string_view layer : layer_names)
                known += (known.empty() ? "" : ", ") + std::string(layer);
            const std::string_view nearest = nearest_name(word, layer_names);
            throw InputError(std::string(where), "\"" + std::string(word) + "\" is no layer",
                             nearest.empty() ? "give all, a group such as rode, or names from " + known
                                             : "did you mean " + std::string(nearest) + "?");
        }
        begin = end + 1;
    }
    return set;
}

} // namespace swingroom
