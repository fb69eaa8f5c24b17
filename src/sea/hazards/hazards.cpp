#include "swingroom/sea/hazards.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include "base/terminal_text.hpp"
#include "sea/cells/chart_gaps.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/files/attributes.hpp"
#include "sea/files/listed_codes.hpp"
#include "sea/files/seamarks.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/gdal/gdal_messages.hpp"
#include "sea/hazards/allowances.hpp"
#include "sea/hazards/chart_words.hpp"
#include "sea/hazards/feature_measures.hpp"
#include "sea/hazards/found_feature.hpp"
#include "sea/hazards/found_hazards.hpp"
#include "sea/hazards/placer.hpp"
#include "sea/hazards/rule_matcher.hpp"
#include "sea/hazards/seabed_nature.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>
#include <span>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

std::string joined(const std::vector<std::string>& names) {
    std::string all;
    for (const std::string& name : names) {
        all += (all.empty() ? "" : ", ") + printable(name);
    }
    return all;
}

/// Where GDAL puts objects of a cell whose class its tables do not know.
constexpr std::string_view unknown_classes = "Generic";

constexpr Effects forbidding = effect::hull | effect::ground | effect::drop;

/// No two datums that are still met differ by more.
constexpr double datums_apart_m = 2000;

/// Whether a plane is longitude and latitude, from Greenwich.
bool is_in_degrees(const OGRSpatialReference& crs) {
    return crs.IsGeographic() && std::abs(crs.GetAngularUnits() * 180 / std::numbers::pi - 1) < 1e-9 &&
           crs.GetPrimeMeridian() == 0;
}

/// Reads the features of one file after another into one set, for one part of the sea after another. What
/// rules make of the features of a cell is found out once.
class Reader {
public:
    /// @param placer  none: only counts
    Reader(std::span<const VectorFile> files, const EncCells& cells, std::vector<HazardRule> rules,
           std::unique_ptr<Placer> placer)
        : files_(files), cells_(cells), rules_(std::move(rules)), placer_(std::move(placer)) {}

    /// @param near  of what is further away it is only counted
    HazardSet read(const HazardTerms& terms, const Vicinity& near) {
        terms_ = &terms;
        near_ = &near;
        set_ = HazardSet();
        for (const auto& cell : cells_.cells()) {
            set_.notes.push_back(cell->description());
        }
        for (const auto& cell : cells_.cells()) {
            for (const std::string& doubt : cell->doubts()) {
                set_.warnings.push_back({cell->path(), doubt});
            }
        }
        warn_of_datums();
        for (const VectorFile& file : files_) {
            read(file);
        }
        if (placer_) {
            for (Shape& shape : chart_gaps(cells_, *placer_, *near_)) {
                Hazard gap;
                static_cast<Shape&>(gap) = std::move(shape);
                gap.effects = effect::uncharted;
                gap.kind = "no chart";
                gap.label = "outside all cells";
                set_.hazards.push_back(std::move(gap));
            }
        }
        if (const auto codes = unlisted_.messages(); !codes.empty()) {
            set_.warnings.push_back(
                {"", "codes that no table here lists were met, which rules may miss: " + joined(codes)});
        }
        for (const std::string& identity : terms.allowed) {
            set_.allowed.push_back(allowances_.what_came_of(identity));
        }
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
        std::optional<bool> in_degrees;
    };
    /// A feature that rules pick, of a file that keeps its features.
    struct Matched {
        Layer* layer;
        OGRLayer* source;
        OGRFeature* feature;
        Class* kind;
        std::string object_class;
        const EncCell* cell;
        std::vector<const HazardRule*> rules;
        std::optional<std::vector<Shape>> placed = std::nullopt; ///< once a part of the sea has asked for it
    };
    /// What is known of a file once it has been read.
    struct FileState {
        std::map<OGRLayer*, Layer> layers;
        std::vector<ClassCount> counts;
        std::vector<std::string> warnings; ///< of GDAL
        std::vector<Matched> matched;      ///< of a cell
        std::int64_t qualities_alone = 0;  ///< notes that say how the ground is, and not what it is
    };

    /// One low and one high water are given for all.
    void warn_of_datums() {
        for (const auto& cell : cells_.cells()) {
            const EncCell& first = *cells_.cells().front();
            if (cell->sounding_datum() == first.sounding_datum()) continue;
            set_.warnings.push_back(
                {cell->path(),
                 "its soundings are below " + vertical_datum_name(cell->sounding_datum()) + ", those of " +
                     first.path() + " below " + vertical_datum_name(first.sounding_datum()) +
                     ", and one water level is taken above both; run them apart, or give the lower "
                     "of both low waters"});
            return;
        }
    }

    void read(const VectorFile& file) {
        const std::vector<std::string> read_with = file.files();
        set_.files.insert(set_.files.end(), read_with.begin(), read_with.end());
        const bool is_known = states_.contains(&file);
        FileState& state = states_[&file];
        if (!is_known) read_features(file, state);
        place_matched(state);
        // What a chart says and GDAL's tables do not know must not be lost without a word.
        if (file.is_cell()) {
            for (const std::string& warning : state.warnings) {
                set_.warnings.push_back({file.path(), warning});
            }
        }
        for (const std::string& loss :
             file.losses([&](const OpenStreetMapFile::Tags& tags) { return may_endanger(file, tags); })) {
            set_.warnings.push_back({file.path(), loss});
        }
        std::vector<const Layer*> in_order;
        for (OGRLayer* const layer : file.layers()) {
            in_order.push_back(&state.layers.at(layer));
        }
        warn_of(file, state, in_order);
        set_.counts.insert(set_.counts.end(), state.counts.begin(), state.counts.end());
        if (!file.is_cell()) states_.erase(&file); // its features are not kept
    }

    void read_features(const VectorFile& file, FileState& state) {
        for (OGRLayer* const layer : file.layers()) {
            Layer& of = state.layers[layer];
            of.name = layer->GetName();
            of.where = file.path() + ", layer " + of.name;
            of.shapeless = layer->GetGeomType() == wkbNone;
            of.may_be_tagged = !file.is_cell() && may_hold_seamarks(*layer->GetLayerDefn());
            // Known or not, an untagged layer is one class, be it empty.
            const bool of_classes = of.may_be_tagged || (file.is_cell() && of.name == unknown_classes);
            if (!of_classes) class_of(file, state, of, of.name, *layer->GetLayerDefn());
        }
        const EncCell* const cell = cells_.of(file);
        std::vector<std::string>& warnings = state.warnings;
        warnings = file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
            take(file, state, state.layers.at(&layer), layer, feature, cell);
        });
        warnings.insert(warnings.end(), file.warnings().begin(), file.warnings().end());
        std::sort(warnings.begin(), warnings.end());
        warnings.erase(std::unique(warnings.begin(), warnings.end()), warnings.end());
    }

    /// Of a cell. How its features are placed must not depend on which of them are: each layer by the
    /// furthest reach of all.
    void place_matched(FileState& state) {
        if (state.matched.empty() || !placer_) return;
        for (auto& [source, layer] : state.layers) {
            for (auto& [name, kind] : layer.classes) {
                kind.kept = 0;
            }
        }
        for (const Matched& matched : state.matched) {
            Layer& layer = *matched.layer;
            if (layer.from) continue; // its reach is known
            const FoundFeature found{matched.object_class, *matched.feature, *matched.feature, matched.cell};
            layer.reach_m = std::max(
                {layer.reach_m, greatest_margin_m(layer), stated_reach_m(layer.where, found, matched.rules)});
        }
        for (Matched& matched : state.matched) {
            matched.kind->kept +=
                place(*matched.layer, *matched.source,
                      {matched.object_class, *matched.feature, *matched.feature, matched.cell}, matched.rules,
                      &matched.placed);
        }
    }

    /// Whether hull, ground, letting go or holding may depend by a rule on a seamark of which no more than
    /// the tags is known. An expression may ask for its place as well, and counts as fulfilled.
    [[nodiscard]] bool may_endanger(const VectorFile& file, const OpenStreetMapFile::Tags& tags) const {
        const Seamark mark = seamarks_.read(tags);
        if (!mark.feature) return false;
        std::vector<HazardRule> rules = rules_;
        for (HazardRule& rule : rules) {
            rule.where.clear();
        }
        std::vector<std::string> names = {mark.object_class};
        for (OGRLayer* const layer : file.layers()) {
            names.emplace_back(layer->GetName());
        }
        const RuleMatcher matcher(rules, names, seamarks_.definition(), file.path());
        const std::vector<const HazardRule*> matching = matcher.matching(*mark.feature, nullptr);
        return std::any_of(matching.begin(), matching.end(), [](const HazardRule* rule) {
            return rule->seabed || (rule->effects & forbidding) != 0;
        });
    }

    Class& class_of(const VectorFile& file, FileState& state, Layer& layer, const std::string& name,
                    OGRFeatureDefn& definition) {
        const auto known = layer.classes.find(name);
        if (known != layer.classes.end()) return known->second;
        Class made;
        std::vector<std::string> names = {name};
        if (name != layer.name) names.push_back(layer.name);
        made.matcher = std::make_unique<RuleMatcher>(rules_, names, definition, layer.where);
        made.count = state.counts.size();
        ClassCount count;
        count.file = file.path();
        count.name = name;
        count.known = made.matcher->known();
        state.counts.push_back(std::move(count));
        return layer.classes.emplace(name, std::move(made)).first->second;
    }

    void take(const VectorFile& file, FileState& state, Layer& layer, OGRLayer& source, OGRFeature& raw,
              const EncCell* cell) {
        ++layer.features;
        const Seamark mark = layer.may_be_tagged ? seamarks_.read(raw) : Seamark{};
        // Most of what such a file holds lies on land and is no business of ours.
        if (file.is_openstreetmap() && !mark.feature) return;
        const std::string name = mark.feature ? mark.object_class : class_name(layer, raw, cell);
        OGRFeatureDefn& definition = mark.feature ? seamarks_.definition() : *source.GetLayerDefn();
        Class& kind = class_of(file, state, layer, name, definition);
        OGRFeature& feature = mark.feature ? *mark.feature : raw;
        ClassCount& count = state.counts[kind.count];
        ++count.features;
        unlisted_.look_at(name, feature);
        std::vector<const HazardRule*> rules = matching(*kind.matcher, name, feature, raw);
        allowances_.note(terms_->allowed, {name, feature, raw, cell},
                         {file.path(), layer.where + ", feature #" + std::to_string(raw.GetFID())}, rules);
        if (rules.empty()) return;
        ++count.matched;
        if (is_note(rules) && !codes_of(feature, "NATSUR").given && codes_of(feature, "NATQUA").given) {
            ++state.qualities_alone;
        }
        tally(rules, count);
        if (!placer_ || layer.shapeless) return;
        if (cell) {
            state.matched.push_back({&layer, &source, &raw, &kind, name, cell, std::move(rules)});
        } else {
            kind.kept += place(layer, source, {name, feature, raw, cell}, rules);
        }
    }

    /// Tagged seamarks may mean another geometry than they are drawn with.
    static std::vector<const HazardRule*> matching(const RuleMatcher& matcher,
                                                   const std::string& object_class, OGRFeature& feature,
                                                   const OGRFeature& raw) {
        const OGRGeometry* const given = raw.GetGeometryRef();
        if (given == nullptr || &raw == &feature || !matcher.minds_geometry()) {
            return matcher.matching(feature, given);
        }
        return matcher.matching(feature, as_seamark(object_class, *given).get());
    }

    /// Whether there is a margin that could be smaller: only then anybody asks how surely a thing lies.
    static bool keeps_away(const std::vector<const HazardRule*>& rules) {
        return std::any_of(rules.begin(), rules.end(), [](const HazardRule* rule) {
            return (rule->effects & forbidding) != 0 && rule->margin_m > 1;
        });
    }

    static bool is_note(const std::vector<const HazardRule*>& rules) {
        return std::any_of(rules.begin(), rules.end(),
                           [](const HazardRule* rule) { return (rule->effects & effect::note) != 0; });
    }

    /// Objects whose class GDAL's tables do not know share a layer: their number is their name.
    static std::string class_name(const Layer& layer, const OGRFeature& feature, const EncCell* cell) {
        if (cell && layer.name == unknown_classes) return "object class " + text_of(feature, "OBJL");
        return layer.name;
    }

    static void tally(const std::vector<const HazardRule*>& rules, ClassCount& count) {
        Effects effects = 0;
        bool seabed = false;
        for (const HazardRule* const rule : rules) {
            effects = static_cast<Effects>(effects | rule->effects);
            seabed = seabed || rule->seabed;
        }
        for (std::size_t bit = 0; bit < count.by_effect.size(); ++bit) {
            count.by_effect[bit] += (effects >> bit) & 1;
        }
        count.seabeds += seabed ? 1 : 0;
    }

    /// @returns how many hazards it has given
    /// @param kept_shapes  where its shapes are kept for the next part; null: nowhere
    std::int64_t place(Layer& layer, OGRLayer& source, const FoundFeature& found,
                       const std::vector<const HazardRule*>& rules,
                       std::optional<std::vector<Shape>>* kept_shapes = nullptr) {
        const std::string name = layer.where + ", feature #" + std::to_string(found.raw.GetFID());
        const OGRGeometry* const given = found.raw.GetGeometryRef();
        if (!given) throw InputError(name, "has no geometry", "repair the feature, or take it out");
        // Before anything is passed over: how features are placed must not depend on which of them are.
        if (const double reach_m = found.cell ? 0 : stated_reach_m(layer.where, found, rules);
            reach_m > layer.reach_m) {
            layer.reach_m = std::max({reach_m, 2 * layer.reach_m, greatest_margin_m(layer)});
            layer.from = nullptr;
        }
        if (const auto far = count_if_far(layer, source, found, rules)) return *far;
        const bool keep_shapes = kept_shapes != nullptr && near_->box();
        std::vector<Shape> shapes;
        if (keep_shapes && *kept_shapes) {
            shapes = **kept_shapes;
        } else {
            shapes = placed(layer, source, found, *given, name);
        }
        if (keep_shapes && !*kept_shapes) *kept_shapes = shapes;
        if (shapes.empty()) return 0;
        const double beside_m = position_m(found, *given, name);
        const std::optional<double> known_m =
            keeps_away(rules) ? known_position_m(found, *given, name) : std::nullopt;
        const bool is_allowed = !names_among(terms_->allowed, found).empty();
        std::int64_t kept = 0;
        for (const Shape& shape : shapes) {
            for (const HazardRule* const rule : rules) {
                kept += keep(shape, *rule, found, beside_m, known_m, layer.reach_m, name,
                             is_allowed && rule->restriction);
            }
        }
        return kept;
    }

    /// The shapes of what of a feature counts, in grid space.
    std::vector<Shape> placed(Layer& layer, OGRLayer& source, const FoundFeature& found,
                              const OGRGeometry& given, const std::string& name) {
        const OwnedGeometry geometry = clipped_by_scale(found, given);
        if (!geometry) return {};
        if (found.tagged() && lacks_its_area(found.object_class, *geometry)) {
            set_.warnings.push_back(
                {"", name + " (" + printable(found.object_class) +
                         "): an area is meant, but its outline does not close; only the outline counts"});
        }
        if (!layer.from) {
            layer.from = std::make_unique<Placer::From>(*placer_, crs_of(source, layer.where), layer.reach_m,
                                                        layer.where);
        }
        return layer.from->place(*geometry, name);
    }

    /// No less than margin and position accuracy of a feature come to, whatever its zone of confidence is.
    [[nodiscard]] double stated_reach_m(const std::string& where, const FoundFeature& found,
                                        const std::vector<const HazardRule*>& rules) const {
        const std::string name = where + ", feature #" + std::to_string(found.raw.GetFID());
        double reach_m = 0;
        for (const HazardRule* const rule : rules) {
            reach_m = std::max(reach_m, margin_m(*rule, found, name));
        }
        if (!found.cell) return reach_m + stated_position_m(found, name);
        reach_m += found.cell->position_accuracy_m(found.raw);
        return terms_->zone_margin ? reach_m + zone_position_m(zone_not_assessed) : reach_m;
    }

    /// Of a feature too far from what is near to be placed: 1 where it bears on the raster elsewhere, as far
    /// as its box tells, else 0. Nothing for those that are near, or whose layer is in no degrees of
    /// longitude and latitude.
    std::optional<std::int64_t> count_if_far(Layer& layer, OGRLayer& source, const FoundFeature& found,
                                             const std::vector<const HazardRule*>& rules) {
        if (!near_->box()) return std::nullopt;
        if (!layer.in_degrees) layer.in_degrees = is_in_degrees(crs_of(source, layer.where));
        if (!*layer.in_degrees) return std::nullopt;
        // As far as the rest of the reading could widen its danger.
        const double reach_m = stated_reach_m(layer.where, found, rules) + (found.cell ? 0 : datums_apart_m);
        OGREnvelope box;
        found.raw.GetGeometryRef()->getEnvelope(&box);
        if (near_->may_hold(box, 1.1 * reach_m)) return std::nullopt;
        if (!whole_raster_) {
            whole_raster_ = Vicinity(Georeference(placer_->grid(), "raster"), placer_->grid().extent(), 0);
        }
        return whole_raster_->may_hold(box, reach_m) ? 1 : 0;
    }

    static double greatest_margin_m(const Layer& layer) {
        double margin_m = 0;
        for (const auto& [name, kind] : layer.classes) {
            margin_m = std::max(margin_m, kind.matcher->greatest_margin_m());
        }
        return margin_m;
    }

    [[nodiscard]] OwnedGeometry clipped_by_scale(const FoundFeature& found,
                                                 const OGRGeometry& geometry) const {
        if (found.tagged()) return as_seamark(found.object_class, geometry);
        return found.cell ? cells_.clipped_by_scale(*found.cell, geometry) : OwnedGeometry(geometry.clone());
    }

    /// How far a feature may lie beside its charted place.
    [[nodiscard]] double position_m(const FoundFeature& found, const OGRGeometry& geometry,
                                    const std::string& name) const {
        if (!found.cell) return stated_position_m(found, name);
        const double stated_m = found.cell->position_accuracy_m(found.raw);
        if (!terms_->zone_margin) return stated_m;
        return std::max(stated_m, zone_position_m(found.cell->zone_of(geometry)));
    }

    /// What is known of how far a feature may lie beside its charted place; none: nobody says.
    [[nodiscard]] static std::optional<double>
    known_position_m(const FoundFeature& found, const OGRGeometry& geometry, const std::string& name) {
        if (found.cell) {
            return std::max(found.cell->position_accuracy_m(found.raw),
                            zone_position_m(found.cell->zone_by_box(geometry)));
        }
        const double stated_m = stated_position_m(found, name);
        return stated_m > 0 ? std::optional(stated_m) : std::nullopt;
    }

    /// Adds a hazard if it can touch the raster and is one.
    /// @param reach_m  of the layer   @param lifted  whether what the rule forbids is allowed
    std::int64_t keep(const Shape& shape, const HazardRule& rule, const FoundFeature& found, double beside_m,
                      std::optional<double> position_m, double reach_m, const std::string& name,
                      bool lifted) {
        if (rule.effects == 0 && !rule.seabed) return 1; // known and harmless: nothing to wonder at
        Hazard hazard;
        static_cast<Shape&>(hazard) = shape;
        hazard.placement_allowance_m += beside_m;
        if (!placer_->give_margin(hazard, margin_m(rule, found, name), reach_m)) return 0;
        hazard.effects = rule.effects;
        if (lifted) hazard.effects = static_cast<Effects>((rule.effects & ~forbidding) | effect::warn);
        if (hazard.effects & effect::hull) {
            hazard.least_depth_m = least_depth_m(rule, found, terms_->uncertainty);
            hazard.clearance_m = first_number_of(found.feature, rule.clearance);
        }
        hazard.under_way_m = under_way_m(rule, found, name);
        hazard.position_m = position_m;
        hazard.seabed = rule.seabed;
        hazard.kind = rule.name;
        hazard.label = label_of(found);
        hazard.called = name_of(found);
        hazard.information = chart_words(found.feature, position_quality(found));
        if (lifted && (rule.effects & forbidding) != 0) {
            hazard.information =
                "allowed for this run" + (hazard.information.empty() ? "" : "; " + hazard.information);
        }
        if (rule.effects & effect::note) {
            hazard.nature = nature_of(found.feature);
            if (hazard.nature.empty()) {
                hazard.nature = rule.seabed ? swingroom::name(*rule.seabed) : "not told";
            }
        }
        set_.hazards.push_back(std::move(hazard));
        return 1;
    }

    void warn_of(const VectorFile& file, const FileState& state, const std::vector<const Layer*>& layers) {
        std::vector<std::string> uncovered, unmatched, lacking, empty, shapeless, outside;
        for (const Layer* const layer : layers) {
            if (layer->features == 0 && !layer->shapeless && !file.is_openstreetmap()) {
                empty.push_back(layer->name);
            }
            for (const auto& [name, kind] : layer->classes) {
                const ClassCount& count = state.counts[kind.count];
                if (count.features == 0) continue;
                if (layer->shapeless) {
                    if (count.known && kind.matcher->named()) shapeless.push_back(name);
                    continue;
                }
                if (!count.known && count.matched < count.features) uncovered.push_back(name);
                if (!kind.matcher->lacking().empty()) {
                    lacking.push_back(name + " (" + joined(kind.matcher->lacking()) + ")");
                }
                // Those that are built in pick what they want by code; somebody's own that picks nothing may
                // be wrong.
                if (count.matched == 0 && count.known && kind.matcher->expected()) unmatched.push_back(name);
                if (placer_ && count.matched > 0 && kind.kept == 0 && !file.is_cell()) {
                    outside.push_back(name);
                }
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
        if (state.qualities_alone > 0) {
            const std::string told =
                "notes that say only how the ground is, as soft or hard, and not of what it is: " +
                std::to_string(state.qualities_alone) + "; they tell nothing of its holding";
            // Whoever asks about a file is told; a run can do nothing about it, and only records it.
            if (placer_) {
                set_.notes.push_back(file.path() + ": " + told);
            } else {
                set_.warnings.push_back({file.path(), told});
            }
        }
        if (layers.empty()) set_.warnings.push_back({file.path(), "holds no layer"});
    }

    std::span<const VectorFile> files_;
    const EncCells& cells_;
    std::vector<HazardRule> rules_;
    std::unique_ptr<Placer> placer_;
    const HazardTerms* terms_ = nullptr;
    const Vicinity* near_ = nullptr;
    std::optional<Vicinity> whole_raster_;
    std::map<const VectorFile*, FileState> states_;
    SeamarkReader seamarks_;
    UnlistedCodes unlisted_;
    Allowances allowances_; ///< of all parts of the sea that were asked for
    HazardSet set_;
};

} // namespace

struct HazardReader::State {
    State(std::span<const VectorFile> files, const EncCells& cells, std::vector<HazardRule> rules,
          const Grid& grid, const GroundMetric& metric)
        : reader(files, cells, std::move(rules), std::make_unique<Placer>(grid, metric)) {}
    Reader reader;
};

HazardReader::HazardReader(std::span<const VectorFile> files, const EncCells& cells,
                           std::vector<HazardRule> rules, const Grid& grid, const GroundMetric& metric)
    : state_(std::make_unique<State>(files, cells, std::move(rules), grid, metric)) {}
HazardReader::~HazardReader() = default;

HazardSet HazardReader::read(const HazardTerms& terms, const Vicinity& near) {
    return state_->reader.read(terms, near);
}

HazardSet counts_in(std::span<const VectorFile> files, const EncCells& cells,
                    const std::vector<HazardRule>& rules) {
    return Reader(files, cells, rules, nullptr).read(HazardTerms(), Vicinity());
}

HazardSet read_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                       const Grid& grid, const GroundMetric& metric, const HazardTerms& terms) {
    const OpenedFiles opened({}, files);
    return HazardReader(opened.all(), opened.all_cells(), rules, grid, metric).read(terms, Vicinity());
}

HazardSet count_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules) {
    const OpenedFiles opened({}, files);
    return counts_in(opened.all(), opened.all_cells(), rules);
}

} // namespace swingroom
