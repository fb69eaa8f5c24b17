#include "swingroom/overlay/layers.hpp"

#include "swingroom/base/error.hpp"

#include "base/nearest_name.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <string>
#include <string_view>

namespace swingroom {
namespace {

constexpr std::string_view place_of_way = "{way}"; ///< in descriptions

constexpr bool rows_are_in_the_order_of_the_enumerators() {
    for (std::size_t i = 0; i < layer_table.size(); ++i) {
        if (index_of(layer_table[i].layer) != i) return false;
    }
    return true;
}

constexpr bool names_fit_files_and_differ() {
    for (const LayerTraits& layer : layer_table) {
        const auto fits = [](char c) { return c == '_' || (c >= 'a' && c <= 'z'); };
        if (layer.name.empty() || !std::all_of(layer.name.begin(), layer.name.end(), fits)) return false;
        if (std::count(layer_names.begin(), layer_names.end(), layer.name) != 1) return false;
    }
    return true;
}

/// "rode_short" is of the group "rode" and the way "short", and that group has every other way, too.
constexpr bool groups_have_every_way() {
    for (const LayerTraits& layer : layer_table) {
        if (layer.group.empty() != !layer.way.has_value()) return false;
        if (!layer.way) continue;
        const std::string_view ending = name(*layer.way);
        if (layer.name.size() != layer.group.size() + 1 + ending.size() ||
            !layer.name.starts_with(layer.group) || !layer.name.ends_with(ending)) {
            return false;
        }
        if (layer.description.find(place_of_way) == std::string_view::npos) return false;
        for (const Way way : all_ways) {
            if (traits(of(layer.layer, way)).way != way) return false;
        }
    }
    return true;
}

constexpr bool is_figure(CellMeaning meaning) { return meaning >= CellMeaning::depth; }

/// Figures are floats with a unit, of which the least or the greatest is the worst; all else are integers.
constexpr bool types_fit_what_cells_mean() {
    for (const Layer layer : raster_layers) {
        const LayerTraits& row = traits(layer);
        const bool is_float = row.type == CellType::float32;
        if (is_float != is_figure(row.meaning) || is_float != !row.unit.empty()) return false;
        if (is_float && row.worst != Worst::least && row.worst != Worst::greatest &&
            row.worst != Worst::least_given) {
            return false;
        }
        if (row.description.empty()) return false;
        if (row.steps != 0 && (!is_float || !std::has_single_bit(static_cast<unsigned>(row.steps)))) {
            return false;
        }
    }
    return true;
}

static_assert(layer_table.size() == index_of(Layer::project) + 1, "a layer has no row, or a row no layer");
static_assert(rows_are_in_the_order_of_the_enumerators(), "rows stand in another order than enumerators");
static_assert(names_fit_files_and_differ(), "a name is none for a file, or stands twice");
static_assert(groups_have_every_way(), "a layer of a way is not named after it, or its group lacks a way");
static_assert(types_fit_what_cells_mean(), "a layer of figures is no float with a unit, or another is one");

/// Adds what a word stands for; false where it stands for nothing.
bool add_word(std::string_view word, BoatCount boats, LayerSet& set) {
    const LayerSet all = LayerSet::all(boats);
    bool known = false;
    for (const LayerTraits& layer : layer_table) {
        if (layer.name == word || (layer.way && layer.group == word) ||
            (word == "all" && all.has(layer.layer))) {
            set.add(layer.layer);
            known = true;
        }
    }
    return known;
}

} // namespace

std::string description(Layer layer) {
    const LayerTraits& row = traits(layer);
    std::string text(row.description);
    if (row.way) text.replace(text.find(place_of_way), place_of_way.size(), phrase(*row.way));
    if (row.steps == 0) return text;
    const std::string step = (row.steps == 1 ? "1" : "1/" + std::to_string(row.steps)) + " ";
    return text + (is_told_up(layer) ? "; rounded up" : "; rounded down") + " to steps of " + step +
           std::string(row.unit);
}

LayerSet LayerSet::parse(std::string_view text, std::string_view where, BoatCount boats) {
    LayerSet set;
    for (std::size_t begin = 0; begin <= text.size();) {
        const std::size_t end = std::min(text.find(',', begin), text.size());
        const std::string_view word = text.substr(begin, end - begin);
        if (!add_word(word, boats, set)) {
            std::string known;
            for (const std::string_view layer : layer_names) {
                known += (known.empty() ? "" : ", ") + std::string(layer);
            }
            const std::string_view nearest = nearest_name(word, layer_names);
            throw InputError(std::string(where), "\"" + std::string(word) + "\" is no layer",
                             nearest.empty() ? "give all, a group such as rode, or names from " + known
                                             : "did you mean " + std::string(nearest) + "?");
        }
        begin = end + 1;
    }
    for (const LayerTraits& layer : layer_table) {
        if (boats == BoatCount::one && of_all_boats(layer.layer) && set.has(layer.layer)) {
            throw InputError(std::string(where),
                             std::string(layer.name) + " counts several boats, and there is one",
                             "give several boats, or leave it out");
        }
    }
    return set;
}

} // namespace swingroom
