#include "swingroom/publish/exclusion_files.hpp"

#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/sea/dissolved_exclusions.hpp"
#include "swingroom/sea/exclusions.hpp"

#include "base/text.hpp"
#include "publish/vector/derived_files.hpp"
#include "publish/vector/safe_properties.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// More features than this are only counted.
constexpr std::size_t most_named = 20;

std::string forbidden_by(Effects effects) {
    std::string text;
    const auto add = [&](Effects bit, const char* what) {
        if (effects & bit) add_word(text, ", ", what);
    };
    add(effect::hull, "hull");
    add(effect::ground, "ground");
    add(effect::drop, "letting go");
    return text;
}

std::string source_of(const std::string& kind, const MarginSources& sources) {
    const auto known = sources.find(kind);
    return known == sources.end() ? "" : known->second;
}

std::string advised_by(Effects effects) {
    std::string text = effects & effect::trip_line ? "a trip line" : "";
    if (effects & effect::warn) add_word(text, ", ", "reading the chart");
    return text;
}

/// What both kinds of polygons say of their effects and their margin.
template <class Zone>
void add_danger(const Zone& zone, const MarginSources& sources, std::vector<Property>& properties) {
    properties.push_back(text("forbids", forbidden_by(zone.effects)));
    properties.push_back(text("advises", advised_by(zone.effects)));
    properties.push_back(up("margin_m", zone.margin_m, 1));
    properties.push_back(text("source", source_of(zone.kind, sources)));
}

std::vector<Property> properties_of(const Exclusion& exclusion, const MarginSources& sources,
                                    const std::string& name) {
    std::vector<Property> properties{text("name", name), text("kind", exclusion.kind),
                                     text("label", exclusion.label)};
    add_danger(exclusion, sources, properties);
    return properties;
}

std::string named(const std::vector<std::string>& features) {
    std::string names;
    const std::size_t shown = std::min(features.size(), most_named);
    for (std::size_t i = 0; i < shown; ++i) {
        names += (i == 0 ? "" : ", ") + features[i];
    }
    if (features.size() > shown) names += " and " + std::to_string(features.size() - shown) + " more";
    return names;
}

std::vector<Property> properties_of(const DissolvedExclusion& zone, const MarginSources& sources,
                                    const std::string& name) {
    std::vector<Property> properties{text("name", name), text("kind", zone.kind)};
    add_danger(zone, sources, properties);
    properties.push_back(text("features", named(zone.features)));
    properties.push_back(whole("features_count", static_cast<std::int64_t>(zone.features.size())));
    return properties;
}

VectorLayer layer(const std::filesystem::path& folder, const std::string& description,
                  const std::vector<Property>& columns, const Provenance& provenance) {
    return {folder,
            "exclusions",
            description,
            VectorLayer::Shape::polygon,
            columns,
            provenance,
            VectorLayer::Rounding::outwards};
}

} // namespace

VectorLayer::Finished write_exclusions(const std::filesystem::path& folder, const HazardsToDraw& drawn,
                                       const MarginSources& margin_sources, const Provenance& provenance,
                                       FormatSet formats, bool styles, const NamePrefix& prefix) {
    VectorLayer file = layer(folder, "Hazards grown by their margins",
                             properties_of(Exclusion{}, margin_sources, ""), provenance);
    each_exclusion(drawn, [&](Exclusion&& exclusion) {
        const auto properties = properties_of(exclusion, margin_sources,
                                              exclusion_name(file.count() + 1, exclusion.effects, prefix));
        file.add_polygon(std::move(exclusion.rings), properties);
    });
    file.finish();
    derive_from(file, folder, formats, styles, looks_by_prohibition(), provenance);
    return file.finished();
}

std::int64_t write_dissolved_exclusions(const std::filesystem::path& folder, const HazardsToDraw& drawn,
                                        const MarginSources& margin_sources, const Provenance& provenance,
                                        FormatSet formats, bool styles, const NamePrefix& prefix) {
    VectorLayer file = layer(folder, "Hazards grown by their margins; what overlaps is one, class by class",
                             properties_of(DissolvedExclusion{}, margin_sources, ""), provenance);
    each_dissolved_exclusion(drawn, [&](DissolvedExclusion&& zone) {
        const auto properties =
            properties_of(zone, margin_sources, exclusion_name(file.count() + 1, zone.effects, prefix));
        file.add_polygon(std::move(zone.rings), properties);
    });
    file.finish();
    derive_from(file, folder, formats, styles, looks_by_prohibition(), provenance);
    drop_unasked(folder, name(Layer::exclusions), traits(Layer::exclusions).content, formats);
    return file.count();
}

} // namespace swingroom
