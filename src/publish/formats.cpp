#include "swingroom/publish/formats.hpp"

#include "swingroom/base/error.hpp"

#include "base/nearest_name.hpp"
#include "base/text.hpp"

#include <algorithm>
#include <cctype>
#include <string>
#include <vector>

namespace swingroom {
namespace {

std::string lower(std::string_view text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return result;
}

const FormatTraits* find_format(std::string_view word) {
    const std::string plain = lower(word);
    const auto* const found =
        std::find_if(format_table.begin(), format_table.end(), [&](const FormatTraits& format) {
            return format.name == plain || format.ending == plain;
        });
    return found == format_table.end() ? nullptr : found;
}

/// Every text that one of them has, with commas between.
template <class Text>
std::string listed(Text text_of) {
    std::string list;
    for (const FormatTraits& format : format_table) {
        add_word(list, ", ", text_of(format));
    }
    return list;
}

std::string cure_for(std::string_view word) {
    std::vector<std::string_view> names;
    for (const FormatTraits& format : format_table) {
        names.insert(names.end(), {format.name, format.ending});
    }
    const std::string_view nearest = nearest_name(lower(word), names);
    return nearest.empty() ? "give some of " + listed([](const FormatTraits& format) { return format.name; })
                           : "did you mean " + std::string(nearest) + "?";
}

std::string endings_for(Content content) {
    std::string list;
    for (const FormatTraits& format : format_table) {
        if (format.can_hold(content)) list += (list.empty() ? "." : ", .") + std::string(format.ending);
    }
    return list;
}

/// Calls `take` with each word between commas; "verdict, zones" is the same list as "verdict,zones".
template <class Take>
void each_word(std::string_view text, Take take) {
    constexpr std::string_view blanks = " \t";
    for (std::size_t begin = 0; begin <= text.size();) {
        const std::size_t end = std::min(text.find(',', begin), text.size());
        take(trimmed(text.substr(begin, end - begin), blanks));
        begin = end + 1;
    }
}

/// Calls `take` with each layer of a set.
template <class Take>
void each_layer(LayerSet layers, Take take) {
    for (const LayerTraits& layer : layer_table) {
        if (layers.has(layer.layer)) take(layer.layer);
    }
}

} // namespace

Format first_written_in(Content content) {
    switch (content) {
    case Content::picture:
    case Content::cells:
        return Format::cog;
    case Content::page:
        return Format::html;
    case Content::drawing:
        return Format::svg;
    case Content::project:
        return Format::qgs;
    default:
        return Format::geojson;
    }
}

FormatSet FormatSet::parse(std::string_view text, std::string_view where) {
    FormatSet set;
    each_word(text, [&](std::string_view word) {
        const FormatTraits* const format = find_format(word);
        if (!format) {
            throw InputError(std::string(where), "\"" + std::string(word) + "\" is no format",
                             cure_for(word));
        }
        set.add(format->format);
    });
    return set;
}

FormatSet FormatSet::for_content(Content content) const {
    FormatSet fitting;
    for (const FormatTraits& format : format_table) {
        if (has(format.format) && format.can_hold(content)) fitting.add(format.format);
    }
    return fitting.empty() ? FormatSet(first_written_in(content)) : fitting;
}

LayerFormats::LayerFormats(LayerSet layers) {
    each_layer(layers,
               [&](Layer layer) { formats_[index_of(layer)] = first_written_in(traits(layer).content); });
}

LayerFormats LayerFormats::parse(std::string_view text, FormatSet formats, std::string_view where,
                                 BoatCount boats) {
    LayerFormats result;
    each_word(text, [&](std::string_view word) {
        const std::size_t dot = word.rfind('.');
        const LayerSet named = LayerSet::parse(word.substr(0, dot), where, boats);
        const FormatTraits* format = nullptr;
        if (dot != std::string_view::npos) {
            const std::string_view ending = word.substr(dot + 1);
            format = find_format(ending);
            if (!format || lower(ending) != format->ending) {
                throw InputError(std::string(where),
                                 "\"" + std::string(word) + "\": ." + std::string(ending) +
                                     " is the ending of no format",
                                 "endings are " + listed([](const FormatTraits& one) { return one.ending; }));
            }
        }
        each_layer(named, [&](Layer layer) {
            FormatSet& of_layer = result.formats_[index_of(layer)];
            const Content content = traits(layer).content;
            if (!format) {
                of_layer.add(formats.for_content(content));
            } else if (format->can_hold(content)) {
                of_layer.add(format->format);
            } else {
                throw InputError(std::string(where),
                                 "\"" + std::string(word) + "\": ." + std::string(format->ending) +
                                     " holds " + std::string(format->holds) + " only",
                                 std::string(name(layer)) + " can be " + endings_for(content));
            }
        });
    });
    const auto bring = [&](Layer needed) {
        FormatSet& of_layer = result.formats_[index_of(needed)];
        if (of_layer.empty()) of_layer = formats.for_content(traits(needed).content);
    };
    if (wants_map(result.layers()) || !result.of(Layer::project).empty()) {
        for (const Layer needed : {Layer::verdict, Layer::zones, Layer::spots, Layer::ways}) {
            bring(needed);
        }
    }
    if (!result.of(Layer::circles).empty() || !result.of(Layer::ways).empty()) bring(Layer::spots);
    return result;
}

void LayerFormats::drop(LayerSet layers) {
    for (const LayerTraits& layer : layer_table) {
        if (layers.has(layer.layer)) formats_[index_of(layer.layer)] = {};
    }
}

LayerSet LayerFormats::layers() const {
    LayerSet set;
    for (const LayerTraits& layer : layer_table) {
        if (!of(layer.layer).empty()) set.add(layer.layer);
    }
    return set;
}

FormatSet Outputs::formats_of(Layer layer, LayerSet wanted) const {
    if (!wanted.has(layer)) return {};
    const FormatSet asked_for = formats.of(layer);
    return asked_for.empty() ? LayerFormats(wanted).of(layer) : asked_for;
}

} // namespace swingroom
