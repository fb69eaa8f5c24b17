#include "swingroom/chart/hazards.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/chart/georeference.hpp"

#include "gdal_messages.hpp"
#include "input_path.hpp"
#include "planar.hpp"
#include "shapes.hpp"
#include "to_grid.hpp"

#include <cpl_string.h>
#include <gdal_priv.h>
#include <ogr_feature.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <filesystem>
#include <map>
#include <mutex>
#include <new>
#include <numbers>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// Angle between neighbouring vertices of a linearised arc.
constexpr double arc_step_deg = 0.5;

/// Whether a name fits a pattern of * and ?, ASCII letter case ignored.
bool fits(std::string_view pattern, std::string_view name) {
    const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
    std::size_t p = 0, n = 0, star = std::string_view::npos, resume = 0;
    while (n < name.size()) {
        if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            resume = n;
        } else if (p < pattern.size() && (pattern[p] == '?' || lower(pattern[p]) == lower(name[n]))) {
            ++p;
            ++n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++resume;
        } else {
            return false;
        }
    }
    return pattern.find_first_not_of('*', p) == std::string_view::npos;
}

std::string joined(const std::vector<std::string>& names) {
    std::string all;
    for (const std::string& name : names)
        all += (all.empty() ? "" : ", ") + name;
    return all;
}

/// A rule that speaks of a layer, with its expression compiled for it.
struct Matched {
    const HazardRule* rule;
    std::unique_ptr<OGRFeatureQuery> query; ///< none: all features
    [[nodiscard]] bool inert() const { return rule->effects == 0 && !rule->seabed; }
};

/// The attributes of a layer, and those besides that rules look at and a layer may lack. Without values these
/// have no type: an expression may compare them with text or with numbers.
class Attributes {
public:
    explicit Attributes(OGRLayer& layer) : own_(layer.GetLayerDefn()) {}

    void may_lack(const std::string& name) {
        const OGRFeatureDefn* const known = as_text_ ? as_text_.get() : own_;
        if (known->GetFieldIndex(name.c_str()) >= 0) return;
        const auto add = [&](Definition& definition, OGRFieldType type) {
            if (!definition) {
                definition.reset(own_->Clone());
                definition->Reference(); // else the first feature to go would take it along
            }
            const OGRFieldDefn field(name.c_str(), type);
            definition->AddFieldDefn(&field);
        };
        add(as_text_, OFTString);
        add(as_numbers_, OFTReal);
        lacking_.push_back(name);
    }
    /// @returns whether the expression fits the layer
    [[nodiscard]] bool compile(OGRFeatureQuery& query, const std::string& where) const {
        if (as_text_) {
            const GdalMessages quiet;
            for (const Definition* definition : {&as_text_, &as_numbers_})
                if (query.Compile(definition->get(), where.c_str()) == OGRERR_NONE) return true;
        }
        return query.Compile(as_text_ ? as_text_.get() : own_, where.c_str()) == OGRERR_NONE;
    }
    [[nodiscard]] const std::vector<std::string>& lacking() const { return lacking_; }
    /// The feature as the expressions of rules see it: with the lacking attributes, not given.
    [[nodiscard]] OGRFeatureUniquePtr seen(OGRFeature& feature) const {
        OGRFeatureUniquePtr wide(OGRFeature::CreateFeature(as_text_.get()));
        if (!wide) throw std::bad_alloc();
        wide->SetFrom(&feature);
        wide->SetFID(feature.GetFID());
        return wide;
    }

private:
    struct Release {
        void operator()(OGRFeatureDefn* definition) const { definition->Release(); }
    };
    using Definition = std::unique_ptr<OGRFeatureDefn, Release>;
    OGRFeatureDefn* own_;
    Definition as_text_, as_numbers_; ///< with what is lacking as the last fields; none if nothing is
    std::vector<std::string> lacking_;
};

/// Refuses an edge longer than half a turn of the globe: whether it goes the long way or crosses the meridian
/// opposite, unsplit, is not known. Edges of a whole turn frame the world.
/// @throws UnusableGeometry
void refuse_doubtful_edges(const Chain& chain, const ToGrid& to_grid) {
    const double turn = to_grid.turn();
    if (!(turn > 0)) return;
    const Bounds bounds = bounds_of(chain);
    // Either way it passes every longitude: only latitude can tell that it is nowhere near.
    if (bounds.high < to_grid.box().low || to_grid.box().high < bounds.low) return;
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
        const double length = std::abs(chain[i + 1].x - chain[i].x);
        if (length > turn / 2 && length < turn * (1 - 1e-9))
            throw UnusableGeometry{
                "has an edge of more than half a turn around the globe, and which way round it goes is not "
                "known (split it at 180 degrees with ogr2ogr -wrapdateline, or give it a vertex between)"};
    }
}

/// How much more than its margin a hazard beyond the raster's edge must be given, as a fraction: outside, the
/// metric takes the nearest row's size, and cells there may be smaller.
double outside_loss(const Grid& grid, const GroundMetric& metric, double reach_m) {
    const CellSize least = metric.least();
    const double cols = std::ceil(reach_m / least.dx_m) + 2, rows = std::ceil(reach_m / least.dy_m) + 2;
    // Such a reach is no margin of a hazard any more; 2 % is what a degree of latitude costs at 50 degrees.
    constexpr double unknown_loss = 0.02;
    if (cols > 1e8 || rows > 1e8) return unknown_loss;
    const int c = static_cast<int>(cols), r = static_cast<int>(rows);
    double loss = 0;
    for (const auto& [outer, edge] :
         {std::pair{-r, 0}, std::pair{grid.rows - 1 + r, grid.rows - 1}, std::pair{0, 0},
          std::pair{grid.rows - 1, grid.rows - 1}, std::pair{grid.rows / 2, grid.rows / 2}}) {
        try {
            const CellSize there =
                ground_metric(grid.part({-c, outer, grid.cols + 2 * c, 1}), "raster").least();
            const CellSize here = metric.at(edge);
            loss = std::max({loss, here.dx_m / there.dx_m - 1, here.dy_m / there.dy_m - 1});
        } catch (const InputError&) {
            loss = std::max(loss, unknown_loss);
        }
    }
    return loss;
}

/// Reads the layers of one file after another into one set.
class Reader {
public:
    Reader(const std::vector<HazardRule>& rules, const Grid& grid, const GroundMetric& metric)
        : rules_(rules), grid_(grid), metric_(metric), least_(metric.least()) {
        GdalMessages messages;
        OGRSpatialReference srs;
        if (srs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE)
            throw InputError("raster", "its CRS cannot be read (" + messages.failure() + ")",
                             "name it with --crs");
        target_ = horizontal(srs);
    }

    void read(const std::string& file) {
        GdalMessages messages;
        const GDALDatasetUniquePtr dataset = open(file, messages);
        list_files(file, *dataset);
        LayerNames names;
        for (int i = 0; i < dataset->GetLayerCount(); ++i)
            read_layer(file, *dataset->GetLayer(i), names, messages);
        const auto warn = [&](const char* what, const std::vector<std::string>& layers,
                              const char* cure = "") {
            if (!layers.empty()) set_.warnings.push_back(file + ": " + what + ": " + joined(layers) + cure);
        };
        warn("no rule speaks of these layers, so they were left out", names.uncovered,
             "; add a rule for them with --rules, one with effects = none where they are no hazard");
        warn("rules speak of these layers, but no feature matches their expressions", names.unmatched,
             "; mind that no value at all is neither = nor <> to anything (IS NULL finds it)");
        warn("attributes that rules look at are lacking, and count as not given, in these layers",
             names.lacking);
        warn("these layers are empty", names.empty);
        warn("these layers have no geometry", names.shapeless);
        warn("all features that a rule matched lie outside the raster, margins included, in these layers",
             names.outside);
        if (dataset->GetLayerCount() == 0) set_.warnings.push_back(file + ": holds no layer");
    }

    HazardSet take() {
        std::sort(set_.files.begin(), set_.files.end());
        set_.files.erase(std::unique(set_.files.begin(), set_.files.end()), set_.files.end());
        return std::move(set_);
    }

private:
    /// Layers of a file that give no hazard, by cause.
    struct LayerNames {
        std::vector<std::string> uncovered, unmatched, lacking, empty, shapeless, outside;
    };

    static GDALDatasetUniquePtr open(const std::string& file, GdalMessages& messages) {
        static std::once_flag registered;
        std::call_once(registered, [] { GDALAllRegister(); });
        // GDAL takes more than files for a name (addresses, data itself): only what exists gets through.
        const fs::file_status status = status_of_given(file);
        if (!fs::is_regular_file(status) && !fs::is_directory(status))
            throw InputError(file, "is neither file nor folder", "give the path of an existing file");
        GDALDatasetUniquePtr dataset(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR,
                                                       local_vector_drivers.data()));
        if (dataset && EQUAL(dataset->GetDriverName(), "S57")) {
            // Lists of codes as text, so that an expression can look into them.
            const char* const options[] = {"LIST_AS_STRING=ON", "UPDATES=APPLY", nullptr};
            dataset.reset(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR,
                                            local_vector_drivers.data(), options));
        }
        if (!dataset) refuse_other_formats(file);
        if (!dataset || messages.failed())
            throw IoError(file, "cannot be read as a vector file" +
                                    (messages.failed() ? " (" + messages.failure() + ")" : ""));
        return dataset;
    }

    /// What is in none of our formats, sound or not, was given in the wrong place.
    static void refuse_other_formats(const std::string& file) {
        const fs::path ending = fs::path(file).extension();
        if (ending.string().size() == 4 && ending != ".000" &&
            ending.string().find_first_not_of("0123456789", 1) == std::string::npos)
            throw InputError(file, "is an update of an S-57 cell",
                             "give the cell itself (.000): updates beside it are applied");
        std::error_code ignored;
        if (fs::is_regular_file(file, ignored) && fs::file_size(file, ignored) == 0)
            throw IoError(file, "is empty");
        if (GDALIdentifyDriverEx(file.c_str(), GDAL_OF_VECTOR, local_vector_drivers.data(), nullptr)) return;
        GDALDriver* const found = GDALDriver::FromHandle(
            GDALIdentifyDriverEx(file.c_str(), GDAL_OF_RASTER | GDAL_OF_VECTOR, nullptr, nullptr));
        if (found && !found->GetMetadataItem(GDAL_DCAP_VECTOR))
            throw InputError(
                file, std::string("is a raster (") + found->GetDescription() + ")",
                "give depths with --bathymetry, and hazards as a vector file, such as GeoPackage "
                "or GeoJSON");
        throw InputError(file,
                         found ? std::string("is a vector file (") + found->GetDescription() +
                                     ") of a format that is not read here"
                               : std::string("is in no vector format that is known here"),
                         "convert it: ogr2ogr OUT.gpkg IN");
    }

    void list_files(const std::string& file, GDALDataset& dataset) {
        const auto add = [&](const fs::path& path) {
            std::error_code ignored;
            if (fs::is_regular_file(path, ignored)) set_.files.push_back(path.string());
        };
        const CPLStringList listed(dataset.GetFileList());
        for (int i = 0; i < listed.size(); ++i)
            add(listed[i]);
        add(file);
        // What the drivers do not name and yet read.
        const fs::path path(file);
        for (const char* extension : {".shx", ".dbf", ".prj", ".cpg", ".qpj"})
            if (EQUAL(dataset.GetDriverName(), "ESRI Shapefile"))
                add(fs::path(path).replace_extension(extension));
        for (const char* tail : {"-wal", "-journal"})
            if (EQUAL(dataset.GetDriverName(), "GPKG")) add(file + tail);
        if (EQUAL(dataset.GetDriverName(), "S57")) {
            for (int update = 1; update < 1000; ++update) {
                const std::string number = std::to_string(update);
                const fs::path next =
                    fs::path(path).replace_extension(std::string(3 - number.size(), '0') + number);
                std::error_code ignored;
                if (!fs::exists(next, ignored)) break;
                add(next);
            }
        }
    }

    /// The rules that speak of a layer.
    [[nodiscard]] std::vector<const HazardRule*> naming(const char* layer) const {
        std::vector<const HazardRule*> rules;
        for (const HazardRule& rule : rules_)
            if (std::any_of(rule.layers.begin(), rule.layers.end(),
                            [&](const std::string& pattern) { return fits(pattern, layer); }))
                rules.push_back(&rule);
        return rules;
    }

    /// The same rules, each with its expression.
    [[nodiscard]] static std::vector<Matched> compiled(const std::vector<const HazardRule*>& rules,
                                                       const Attributes& attributes,
                                                       const std::string& where) {
        std::vector<Matched> matched;
        for (const HazardRule* const rule : rules) {
            Matched match{rule, nullptr};
            if (!rule->where.empty()) {
                GdalMessages messages;
                match.query = std::make_unique<OGRFeatureQuery>();
                if (!attributes.compile(*match.query, rule->where) || messages.failed())
                    throw InputError(
                        where,
                        "the expression of rule [" + rule->name + "], line " + std::to_string(rule->line) +
                            " of the rules, does not fit this layer (" + messages.failure() + ")",
                        "mend \"where = " + rule->where +
                            "\", or name in may_lack what the layer may be without");
            }
            matched.push_back(std::move(match));
        }
        return matched;
    }

    void read_layer(const std::string& file, OGRLayer& layer, LayerNames& names, GdalMessages& messages) {
        const std::string where = file + ", layer " + layer.GetName();
        const bool shapeless = layer.GetGeomType() == wkbNone;
        const std::vector<const HazardRule*> named = naming(layer.GetName());
        if (named.empty()) {
            if (shapeless) return;
            (layer.GetFeatureCount() != 0 ? names.uncovered : names.empty).emplace_back(layer.GetName());
            return;
        }
        Attributes attributes(layer);
        for (const HazardRule* const rule : named)
            for (const std::string& name : rule->may_lack)
                attributes.may_lack(name);
        std::vector<Matched> matched = compiled(named, attributes, where);
        std::erase_if(matched, [](const Matched& m) { return m.inert(); });
        if (matched.empty()) return;
        if (shapeless) {
            names.shapeless.emplace_back(layer.GetName());
            return;
        }
        double reach_m = 0;
        for (const Matched& match : matched)
            reach_m = std::max(reach_m, match.rule->margin_m);
        std::unique_ptr<ToGrid> to_grid;
        const double loss = loss_for(reach_m);
        long features = 0, fitting = 0;
        const std::size_t before = set_.hazards.size();
        layer.ResetReading();
        while (const OGRFeatureUniquePtr feature{layer.GetNextFeature()}) {
            ++features;
            const OGRFeatureUniquePtr wide =
                attributes.lacking().empty() ? nullptr : attributes.seen(*feature);
            std::vector<const HazardRule*> rules;
            for (const Matched& match : matched)
                if (!match.query || match.query->Evaluate(wide ? wide.get() : feature.get()))
                    rules.push_back(match.rule);
            if (messages.failed()) break;
            if (rules.empty()) continue;
            ++fitting;
            if (!to_grid)
                to_grid = std::make_unique<ToGrid>(source_crs(layer, where), target_, grid_, metric_, reach_m,
                                                   where);
            read_feature(*feature, rules, *to_grid, where, layer.GetName(), loss);
        }
        if (messages.failed()) throw IoError(where, "cannot be read to its end (" + messages.failure() + ")");
        if (features > 0 && !attributes.lacking().empty())
            names.lacking.push_back(std::string(layer.GetName()) + " (" + joined(attributes.lacking()) + ")");
        if (features == 0)
            names.empty.emplace_back(layer.GetName());
        else if (fitting > 0 && set_.hazards.size() == before)
            names.outside.emplace_back(layer.GetName());
        // Those that are built in pick what they want by code; somebody's own that picks nothing may be
        // wrong.
        const bool own =
            std::none_of(named.begin(), named.end(), [](const HazardRule* r) { return r->built_in; });
        if (features > 0 && fitting == 0 && own) names.unmatched.emplace_back(layer.GetName());
    }

    double loss_for(double reach_m) {
        const auto known = losses_.find(reach_m);
        if (known != losses_.end()) return known->second;
        return losses_[reach_m] = outside_loss(grid_, metric_, reach_m * 1.05);
    }

    static OGRSpatialReference source_crs(OGRLayer& layer, const std::string& where) {
        const OGRSpatialReference* const given = layer.GetSpatialRef();
        if (!given || given->IsEmpty() || given->IsLocal())
            throw InputError(where, "has no CRS, or one without a place on earth",
                             "write the file with its CRS, for example EPSG:4326");
        return horizontal(*given);
    }

    void read_feature(OGRFeature& feature, const std::vector<const HazardRule*>& rules, ToGrid& to_grid,
                      const std::string& where, const char* layer, double loss) {
        const std::string fid = "#" + std::to_string(feature.GetFID());
        const auto refuse = [&](const std::string& why) {
            throw InputError(where + ", feature " + fid, why, "repair the feature, or take it out");
        };
        OGRGeometry* geometry = feature.GetGeometryRef();
        if (!geometry) refuse("has no geometry");
        GdalMessages quiet; // GEOS speaks of every broken polygon
        geometry->closeRings();
        std::unique_ptr<OGRGeometry> linear;
        double arc_slack = 0;
        if (geometry->hasCurveGeometry()) {
            linear.reset(geometry->getLinearGeometry(arc_step_deg));
            if (!linear) refuse("has a curve that cannot be read");
            // The rise of an arc over its chord, as a part of the chord.
            arc_slack = 0.5 * std::tan(arc_step_deg / 4 * std::numbers::pi / 180) * 1.01;
            geometry = linear.get();
        }
        try {
            const Shapes shapes = shapes_of(*geometry);
            for (const Chain& path : shapes.paths)
                refuse_doubtful_edges(path, to_grid);
            for (const auto& group : shapes.ring_groups)
                for (const Chain& ring : group)
                    refuse_doubtful_edges(ring, to_grid);
            for (Hazard& hazard : placed(shapes, to_grid, arc_slack))
                keep(std::move(hazard), rules, std::string(layer) + " " + fid, loss);
        } catch (const UnusableGeometry& unusable) {
            refuse(unusable.why);
        } catch (const ToGrid::Unusable&) {
            refuse("has a vertex that has no place in the raster's CRS");
        }
    }

    /// Shapes in grid space, cut to what is near: one hazard for the paths and the first group of rings,
    /// further ones for further groups and turns of the globe.
    static std::vector<Hazard> placed(const Shapes& shapes, ToGrid& to_grid, double arc_slack) {
        std::vector<Hazard> hazards;
        const bool anywhere = !std::isfinite(to_grid.box().left);
        const int turns = to_grid.from_degrees() && !anywhere ? 2 : 0;
        // A cut arc would not show how far it rises.
        const bool cut = arc_slack == 0;
        const auto add_ring = [&](const Chain& ring, double shift, std::vector<Chain>& rings) {
            const auto clip = [](const Chain& r, const Bounds& box) {
                return std::vector<Chain>{clipped_ring(r, box)};
            };
            for (const Chain& part : near(ring, shift, to_grid, cut, clip))
                rings.push_back(to_grid.mapped(part));
        };
        for (int turn = -turns; turn <= turns; ++turn) {
            const double shift = 360.0 * turn;
            Hazard lines;
            for (const Chain& path : shapes.paths)
                for (const Chain& part : near(path, shift, to_grid, cut, clipped_line))
                    lines.paths.push_back(to_grid.mapped(part));
            finish(std::move(lines), to_grid, arc_slack, hazards);
            for (const auto& group : shapes.ring_groups) {
                Hazard area;
                for (const Chain& ring : group)
                    add_ring(ring, shift, area.rings);
                finish(std::move(area), to_grid, arc_slack, hazards);
            }
        }
        return hazards;
    }

    static void finish(Hazard hazard, ToGrid& to_grid, double arc_slack, std::vector<Hazard>& hazards) {
        hazard.slack_m = to_grid.take_stray_m();
        hazard.slack_m += arc_slack * to_grid.take_longest_m();
        if (!hazard.paths.empty() || !hazard.rings.empty()) hazards.push_back(std::move(hazard));
    }

    /// A chain turned by a shift in longitude, cut to the box; nothing if it lies outside.
    template <class Clip>
    static std::vector<Chain> near(const Chain& chain, double shift, const ToGrid& to_grid, bool cut,
                                   Clip clip) {
        // Further round the globe, or beyond a pole, is no longitude and latitude but a mistake.
        constexpr Bounds world{-540, -90 - 1e-9, 540, 90 + 1e-9};
        Bounds bounds = bounds_of(chain);
        if (to_grid.from_degrees() && !world.holds(bounds)) throw ToGrid::Unusable{};
        const Bounds& box = to_grid.box();
        bounds.left += shift;
        bounds.right += shift;
        if (!bounds.meets(box)) return {};
        Chain shifted = chain;
        for (GridPoint& p : shifted)
            p.x += shift;
        if (!cut || box.holds(bounds)) return {std::move(shifted)};
        std::vector<Chain> parts = clip(shifted, box);
        std::erase_if(parts, [](const Chain& part) { return part.empty(); });
        return parts;
    }

    /// Adds a hazard for each rule that speaks of it, if it can touch the raster.
    void keep(Hazard hazard, const std::vector<const HazardRule*>& rules, const std::string& label,
              double loss) {
        Bounds bounds;
        for (const auto* chains : {&hazard.paths, &hazard.rings})
            for (const Chain& chain : *chains)
                for (const GridPoint p : chain)
                    bounds.add(p);
        const Bounds raster{0, 0, static_cast<double>(grid_.cols), static_cast<double>(grid_.rows)};
        const bool reaches_out = !raster.holds(bounds);
        const double slack_m = hazard.slack_m;
        for (const HazardRule* rule : rules) {
            hazard.slack_m = slack_m + (reaches_out ? loss * (rule->margin_m + slack_m) : 0);
            const double reach_m = rule->margin_m + hazard.slack_m;
            if (!bounds.grown(reach_m / least_.dx_m + 1, reach_m / least_.dy_m + 1).meets(raster)) continue;
            Hazard one = hazard;
            one.effects = rule->effects;
            one.margin_m = rule->margin_m;
            one.seabed = rule->seabed;
            one.kind = rule->name;
            one.label = label;
            set_.hazards.push_back(std::move(one));
        }
    }

    const std::vector<HazardRule>& rules_;
    const Grid& grid_;
    const GroundMetric& metric_;
    CellSize least_;
    OGRSpatialReference target_;
    std::map<double, double> losses_; ///< by reach
    HazardSet set_;
};

} // namespace

HazardSet read_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                       const Grid& grid, const GroundMetric& metric) {
    Reader reader(rules, grid, metric);
    for (const std::string& file : files)
        reader.read(file);
    return reader.take();
}

} // namespace swingroom
