#include "swingroom/sea/hazards.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include "base/terminal_text.hpp"
#include "sea/cells/chart_gaps.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/files/attributes.hpp"
#include "sea/files/listed_codes.hpp"
#include "sea/files/seamarks.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/gdal/gdal_messages.hpp"
#include "sea/hazards/placer.hpp"
#include "sea/hazards/rule_matcher.hpp"

#include <algorithm>
#include <map>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

std::string joined(const std::vector<std::string>& names) {
    std::string all;
    for (const std::string& name : names)
        all += (all.empty() ? "" : ", ") + printable(name);
    return all;
}

/// Soundings that tell no least depth: unknown, doubtful, unreliable, reported and never confirmed. QUASOU,
/// IHO S-57 appendix A; 5 (no bottom found at) and 7 (safe clearance at) are depths to be relied on.
const std::vector<int> doubtful_soundings = {2, 3, 4, 8, 9};
/// A least depth beyond this is a mark for none (9999 and its like), not a depth that anybody charts a wreck
/// by.
constexpr double greatest_least_depth_m = 1000;

/// Bytes of what a chart says in words that are kept.
constexpr std::size_t most_words = 500;

/// Where GDAL puts objects of a cell whose class its tables do not know.
constexpr std::string_view unknown_classes = "Generic";

/// What a feature is called: its layer and number, its name where it has one, and for objects of a chart the
/// identity that the producer gave it.
std::string label_of(const std::string& object_class, const OGRFeature& feature) {
    std::string label = printable(object_class) + " #" + std::to_string(feature.GetFID());
    if (const std::string name = text_of(feature, "OBJNAM"); !name.empty()) label += " " + printable(name);
    if (const std::string id = text_of(feature, "LNAM"); !id.empty()) label += " " + id;
    return label;
}

/// Reads the features of one file after another into one set.
class Reader {
public:
    /// @param placer  none: only counts
    Reader(const std::vector<VectorFile>& files, const std::vector<HazardRule>& rules, Placer* placer,
           const HazardTerms& terms)
        : files_(files), rules_(rules), placer_(placer), terms_(terms), cells_(files) {
        for (const EncCell& cell : cells_.cells())
            set_.notes.push_back(cell.description());
        for (const EncCell& cell : cells_.cells())
            for (const std::string& doubt : cell.doubts())
                set_.warnings.push_back({cell.path(), doubt});
        warn_of_datums();
    }

    HazardSet read() {
        for (const VectorFile& file : files_)
            read(file);
        if (placer_)
            for (Hazard& gap : chart_gaps(cells_, *placer_)) {
                gap.effects = effect::uncharted;
                gap.kind = "no chart";
                gap.label = "outside all cells";
                set_.hazards.push_back(std::move(gap));
            }
        if (const auto codes = unlisted_.told(); !codes.empty())
            set_.warnings.push_back(
                {"", "codes that no table here lists were met, which rules may miss: " + joined(codes)});
        std::sort(set_.files.begin(), set_.files.end());
        set_.files.erase(std::unique(set_.files.begin(), set_.files.end()), set_.files.end());
        return std::move(set_);
    }

private:
    /// A class of features of one layer.
    struct Class {
        std::size_t count = 0; ///< in the set's counts
        std::unique_ptr<RuleMatcher> matcher;
        std::int64_t kept = 0; ///< hazards
    };
    struct Layer {
        std::string name, where;
        bool shapeless = false, may_be_tagged = false;
        std::int64_t features = 0;
        std::map<std::string, Class> classes;
        std::unique_ptr<Placer::From> from;
        double reach_m = -1; ///< of `from`
    };
    /// A feature and what is known of it beyond its attributes.
    struct Found {
        const std::string& object_class;
        const OGRFeature& feature; ///< coded attributes
        const OGRFeature& raw;     ///< as the layer has it
        const EncCell* cell;
    };

    /// One low and one high water are given for all.
    void warn_of_datums() {
        for (const EncCell& cell : cells_.cells()) {
            const EncCell& first = cells_.cells().front();
            if (cell.sounding_datum() == first.sounding_datum()) continue;
            set_.warnings.push_back(
                {cell.path(),
                 "its soundings are below " + vertical_datum_name(cell.sounding_datum()) + ", those of " +
                     first.path() + " below " + vertical_datum_name(first.sounding_datum()) +
                     ", and one water level is taken above both; run them apart, or give the lower "
                     "of both low waters"});
            return;
        }
    }

    void read(const VectorFile& file) {
        const std::vector<std::string> read_with = file.files();
        set_.files.insert(set_.files.end(), read_with.begin(), read_with.end());
        std::map<OGRLayer*, Layer> layers;
        const std::vector<OGRLayer*> all = file.layers();
        for (OGRLayer* const layer : all) {
            Layer& state = layers[layer];
            state.name = layer->GetName();
            state.where = file.path() + ", layer " + state.name;
            state.shapeless = layer->GetGeomType() == wkbNone;
            state.may_be_tagged = !file.is_cell() && may_hold_seamarks(*layer->GetLayerDefn());
            // Known or not, an untagged layer is one class, be it empty.
            const bool of_classes = state.may_be_tagged || (file.is_cell() && state.name == unknown_classes);
            if (!of_classes) class_of(file, state, state.name, *layer->GetLayerDefn());
        }
        const EncCell* const cell = cells_.of(file);
        std::vector<std::string> warnings = file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
            take(file, layers.at(&layer), layer, feature, cell);
        });
        warnings.insert(warnings.end(), file.warnings().begin(), file.warnings().end());
        std::sort(warnings.begin(), warnings.end());
        warnings.erase(std::unique(warnings.begin(), warnings.end()), warnings.end());
        // What a chart says and GDAL's tables do not know must not be lost without a word.
        if (file.is_cell())
            for (const std::string& warning : warnings)
                set_.warnings.push_back({file.path(), warning});
        for (const std::string& loss :
             file.losses([&](const OpenStreetMapFile::Tags& tags) { return may_endanger(file, tags); }))
            set_.warnings.push_back({file.path(), loss});
        std::vector<const Layer*> in_order;
        for (OGRLayer* const layer : all)
            in_order.push_back(&layers.at(layer));
        warn_of(file, in_order);
    }

    /// Whether hull, ground, letting go or holding may depend by a rule on a seamark of which no more than
    /// the tags is known. An expression may ask for its place as well, and counts as fulfilled.
    [[nodiscard]] bool may_endanger(const VectorFile& file, const OpenStreetMapFile::Tags& tags) const {
        const Seamark mark = seamarks_.read(tags);
        if (!mark.feature) return false;
        std::vector<HazardRule> rules = rules_;
        for (HazardRule& rule : rules)
            rule.where.clear();
        std::vector<std::string> names = {mark.object_class};
        for (OGRLayer* const layer : file.layers())
            names.emplace_back(layer->GetName());
        const RuleMatcher matcher(rules, names, seamarks_.definition(), file.path());
        const std::vector<const HazardRule*> matching = matcher.matching(*mark.feature);
        return std::any_of(matching.begin(), matching.end(), [](const HazardRule* rule) {
            return rule->seabed || (rule->effects & (effect::hull | effect::ground | effect::drop)) != 0;
        });
    }

    Class& class_of(const VectorFile& file, Layer& layer, const std::string& name,
                    OGRFeatureDefn& definition) {
        const auto known = layer.classes.find(name);
        if (known != layer.classes.end()) return known->second;
        Class made;
        std::vector<std::string> names = {name};
        if (name != layer.name) names.push_back(layer.name);
        made.matcher = std::make_unique<RuleMatcher>(rules_, names, definition, layer.where);
        made.count = set_.counts.size();
        ClassCount count;
        count.file = file.path();
        count.name = name;
        count.known = made.matcher->known();
        set_.counts.push_back(std::move(count));
        return layer.classes.emplace(name, std::move(made)).first->second;
    }

    void take(const VectorFile& file, Layer& layer, OGRLayer& source, OGRFeature& raw, const EncCell* cell) {
        ++layer.features;
        const Seamark mark = layer.may_be_tagged ? seamarks_.read(raw) : Seamark{};
        // Most of what such a file holds lies on land and is no business of ours.
        if (file.is_openstreetmap() && !mark.feature) return;
        const std::string name = mark.feature ? mark.object_class : class_name(layer, raw, cell);
        OGRFeatureDefn& definition = mark.feature ? seamarks_.definition() : *source.GetLayerDefn();
        Class& kind = class_of(file, layer, name, definition);
        OGRFeature& feature = mark.feature ? *mark.feature : raw;
        ClassCount& count = set_.counts[kind.count];
        ++count.features;
        unlisted_.look_at(name, feature);
        const std::vector<const HazardRule*> rules = kind.matcher->matching(feature);
        if (rules.empty()) return;
        ++count.matched;
        tally(rules, count);
        if (!placer_ || layer.shapeless) return;
        kind.kept += place(layer, source, {name, feature, raw, cell}, rules);
    }

    /// Objects whose class GDAL's tables do not know share a layer: their number is their name.
    static std::string class_name(const Layer& layer, const OGRFeature& feature, const EncCell* cell) {
        if (cell && layer.name == unknown_classes) return "object class " + text_of(feature, "OBJL");
        return layer.name;
    }

    static void tally(const std::vector<const HazardRule*>& rules, ClassCount& count) {
        std::uint8_t effects = 0;
        bool seabed = false;
        for (const HazardRule* const rule : rules) {
            effects = static_cast<std::uint8_t>(effects | rule->effects);
            seabed = seabed || rule->seabed;
        }
        for (std::size_t bit = 0; bit < count.by_effect.size(); ++bit)
            count.by_effect[bit] += (effects >> bit) & 1;
        count.seabeds += seabed ? 1 : 0;
    }

    /// @returns how many hazards it has given
    std::int64_t place(Layer& layer, OGRLayer& source, const Found& found,
                       const std::vector<const HazardRule*>& rules) {
        const std::string name = layer.where + ", feature #" + std::to_string(found.raw.GetFID());
        const OGRGeometry* const given = found.raw.GetGeometryRef();
        if (!given) throw InputError(name, "has no geometry", "repair the feature, or take it out");
        const OwnedGeometry geometry = what_counts(found, *given);
        if (!geometry) return 0;
        if (&found.raw != &found.feature && lacks_its_area(found.object_class, *geometry))
            set_.warnings.push_back(
                {"", name + " (" + printable(found.object_class) +
                         "): an area is meant, but its outline does not close; only the outline counts"});
        const double beside_m = position_m(found, *given, name);
        double reach_m = 0;
        for (const HazardRule* const rule : rules)
            reach_m = std::max(reach_m, margin_m(*rule, found, name) + beside_m);
        if (reach_m > layer.reach_m) {
            const double most_m = std::max({reach_m, 2 * layer.reach_m, greatest_margin_m(layer)});
            layer.from =
                std::make_unique<Placer::From>(*placer_, crs_of(source, layer.where), most_m, layer.where);
            layer.reach_m = most_m;
        }
        const double loss = placer_->outside_loss(layer.reach_m);
        std::int64_t kept = 0;
        for (const Hazard& shape : layer.from->place(*geometry, name))
            for (const HazardRule* const rule : rules)
                kept += keep(shape, *rule, found, beside_m, loss, name);
        return kept;
    }

    static double greatest_margin_m(const Layer& layer) {
        double margin_m = 0;
        for (const auto& [name, kind] : layer.classes)
            margin_m = std::max(margin_m, kind.matcher->greatest_margin_m());
        return margin_m;
    }

    [[nodiscard]] OwnedGeometry what_counts(const Found& found, const OGRGeometry& geometry) const {
        if (&found.raw != &found.feature) return as_seamark(found.object_class, geometry);
        return found.cell ? cells_.what_counts(*found.cell, geometry) : OwnedGeometry(geometry.clone());
    }

    /// How far a feature may lie beside its charted place.
    [[nodiscard]] double position_m(const Found& found, const OGRGeometry& geometry,
                                    const std::string& name) const {
        if (!found.cell) return length_m(found.feature, "POSACC", name);
        const double stated_m = found.cell->position_accuracy_m(found.raw);
        if (!terms_.zone_margin) return stated_m;
        return std::max(stated_m, zone_position_m(found.cell->zone_of(geometry)));
    }

    /// A length that widens a danger; 0 where it is not given.   @throws InputError
    static double length_m(const OGRFeature& feature, const std::string& attribute, const std::string& name) {
        const std::string text = text_of(feature, attribute);
        if (text.empty()) return 0;
        const auto metres = number_of(feature, attribute);
        if (!metres || *metres < 0)
            throw InputError(
                name, "its " + attribute + " is \"" + printable(text) + "\", which is no length in metres",
                "mend it, or leave it empty if it is not known");
        return *metres;
    }

    static double margin_m(const HazardRule& rule, const Found& found, const std::string& name) {
        return rule.margin_m + (rule.radius.empty() ? 0 : length_m(found.feature, rule.radius, name));
    }

    /// The rule's effects without that on a hull which clears the feature.
    [[nodiscard]] std::uint8_t effects_of(const HazardRule& rule, const Found& found) const {
        const bool clears = terms_.hull && (rule.effects & effect::hull) != 0 &&
                            (clears_below(rule, found) || clears_above(rule, found));
        return clears ? static_cast<std::uint8_t>(rule.effects & ~effect::hull) : rule.effects;
    }

    [[nodiscard]] bool clears_below(const HazardRule& rule, const Found& found) const {
        const auto depth_m = first_number_of(found.feature, rule.least_depth);
        const Codes quality = codes_of(found.feature, "QUASOU");
        if (!depth_m || !quality.readable || quality.has_any(doubtful_soundings)) return false;
        if (*depth_m > greatest_least_depth_m) return false;
        return terms_.hull->clears_below(*depth_m - uncertainty_m(found, *depth_m));
    }

    [[nodiscard]] bool clears_above(const HazardRule& rule, const Found& found) const {
        const auto clearance_m = first_number_of(found.feature, rule.clearance);
        return clearance_m && terms_.hull->clears_above(*clearance_m);
    }

    /// What the feature itself states, else its zone of confidence, else what the job assumes.
    [[nodiscard]] double uncertainty_m(const Found& found, double depth_m) const {
        if (!text_of(found.feature, "SOUACC").empty()) {
            const auto stated_m = number_of(found.feature, "SOUACC");
            return stated_m && *stated_m >= 0 ? *stated_m : greatest_least_depth_m; // unreadable: any
        }
        if (found.cell && found.raw.GetGeometryRef())
            return zone_uncertainty(found.cell->zone_of(*found.raw.GetGeometryRef())).at(depth_m);
        const bool of_raster = terms_.uncertainty.kind() == DepthUncertainty::Kind::band;
        return (of_raster ? zone_uncertainty(zone_not_assessed) : terms_.uncertainty).at(depth_m);
    }

    /// Adds a hazard if it can touch the raster and is one.
    std::int64_t keep(const Hazard& shape, const HazardRule& rule, const Found& found, double beside_m,
                      double loss, const std::string& name) {
        const std::uint8_t effects = effects_of(rule, found);
        if (effects == 0 && !rule.seabed) return 1; // known and deep enough: nothing to wonder at
        Hazard hazard = shape;
        hazard.slack_m += beside_m;
        if (!placer_->give_margin(hazard, margin_m(rule, found, name), loss)) return 0;
        hazard.effects = effects;
        hazard.seabed = rule.seabed;
        hazard.kind = rule.name;
        hazard.label = label_of(found.object_class, found.raw);
        if (&found.raw != &found.feature)
            if (const std::string called = text_of(found.feature, "OBJNAM"); !called.empty())
                hazard.label += " " + printable(called);
        hazard.information = printable(text_of(found.feature, "INFORM"), most_words);
        set_.hazards.push_back(std::move(hazard));
        return 1;
    }

    void warn_of(const VectorFile& file, const std::vector<const Layer*>& layers) {
        std::vector<std::string> uncovered, unmatched, lacking, empty, shapeless, outside;
        for (const Layer* const layer : layers) {
            if (layer->features == 0 && !layer->shapeless && !file.is_openstreetmap())
                empty.push_back(layer->name);
            for (const auto& [name, kind] : layer->classes) {
                const ClassCount& count = set_.counts[kind.count];
                if (count.features == 0) continue;
                if (layer->shapeless) {
                    if (count.known && !kind.matcher->empty()) shapeless.push_back(name);
                    continue;
                }
                if (!count.known && count.matched < count.features) uncovered.push_back(name);
                if (!kind.matcher->lacking().empty())
                    lacking.push_back(name + " (" + joined(kind.matcher->lacking()) + ")");
                // Those that are built in pick what they want by code; somebody's own that picks nothing may
                // be wrong.
                if (count.matched == 0 && count.known && kind.matcher->expected()) unmatched.push_back(name);
                if (placer_ && count.matched > 0 && kind.kept == 0 && !file.is_cell())
                    outside.push_back(name);
            }
        }
        const auto warn = [&](const char* what, const std::vector<std::string>& names,
                              const Message& cure = "") {
            if (!names.empty()) set_.warnings.push_back({file.path(), what + (": " + joined(names)) + cure});
        };
        warn("no rule speaks of these layers, so they were left out", uncovered,
             "; add a rule for them with " + Setting::rules +
                 ", one with effects = none where they are no hazard");
        warn("rules speak of these layers, but no feature matches their expressions", unmatched,
             "; mind that no value at all is neither = nor <> to anything (IS NULL finds it)");
        warn("attributes that rules look at are lacking, and count as not given, in these layers", lacking);
        warn("these layers are empty", empty);
        warn("these layers have no geometry", shapeless);
        warn("all features that a rule matched lie outside the raster, margins included, in these layers",
             outside);
        if (layers.empty()) set_.warnings.push_back({file.path(), "holds no layer"});
    }

    const std::vector<VectorFile>& files_;
    const std::vector<HazardRule>& rules_;
    Placer* placer_;
    const HazardTerms& terms_;
    EncCells cells_;
    SeamarkReader seamarks_;
    UnlistedCodes unlisted_;
    HazardSet set_;
};

std::vector<VectorFile> opened(const std::vector<std::string>& paths) {
    std::vector<VectorFile> files;
    files.reserve(paths.size());
    for (const std::string& path : paths)
        files.emplace_back(path);
    return files;
}

} // namespace

HazardSet read_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                       const Grid& grid, const GroundMetric& metric, const HazardTerms& terms) {
    Placer placer(grid, metric);
    const std::vector<VectorFile> open = opened(files);
    return Reader(open, rules, &placer, terms).read();
}

HazardSet count_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules) {
    const std::vector<VectorFile> open = opened(files);
    const HazardTerms terms;
    return Reader(open, rules, nullptr, terms).read();
}

} // namespace swingroom
