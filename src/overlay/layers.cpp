#include "swingroom/overlay/layers.hpp"

#include "swingroom/base/error.hpp"

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
            throw InputError(std::string(where), "\"" + std::string(word) + "\" is no layer",
                             "give all, a group such as rode, or names from " + known);
        }
        begin = end + 1;
    }
    if (set.has(Layer::report))
        for (const Layer needed : {Layer::verdict, Layer::zones, Layer::spots})
            set.add(needed);
    return set;
}

} // namespace swingroom
