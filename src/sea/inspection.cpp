#include "swingroom/sea/inspection.hpp"

#include "swingroom/base/block_cut.hpp"
#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/share_text.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/probe.hpp"

#include "sea/cells/chart_gaps.hpp"
#include "sea/cells/charted_soundings.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/cells/enc_file.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/depths/height_field.hpp"
#include "sea/depths/soundings_over_raster.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/gdal/gdal_start.hpp"
#include "sea/gdal/input_path.hpp"
#include "sea/hazards/found_hazards.hpp"
#include "sea/inspected.hpp"
#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_place.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

LonLatBox box_of(const OGREnvelope& box) { return {box.MinX, box.MinY, box.MaxX, box.MaxY}; }

bool is_geographic(const std::string& wkt) {
    OGRSpatialReference crs;
    return crs.importFromWkt(wkt.c_str()) == OGRERR_NONE && crs.IsGeographic() != 0;
}

/// A position's degrees are good to about 10 m with four decimals.
std::string box_text(const LonLatBox& box, const Measures& measures) {
    const auto [west, south, east, north] = box;
    if (measures.position == PositionForm::minutes) {
        return position_text(west, south, measures) + " to " + position_text(east, north, measures);
    }
    return fixed(south, 4) + " to " + fixed(north, 4) + " N, " + fixed(west, 4) + " to " + fixed(east, 4) +
           " E (below 0: S, W)";
}

std::string crs_name(const std::string& wkt) {
    OGRSpatialReference crs;
    const GdalMessages quiet;
    if (wkt.empty() || crs.importFromWkt(wkt.c_str()) != OGRERR_NONE) return "none";
    const char* const code = crs.GetAuthorityCode(nullptr);
    return std::string(crs.GetName() ? crs.GetName() : "without a name") +
           (code ? std::string(" (") + crs.GetAuthorityName(nullptr) + ":" + code + ")" : "");
}

/// Whether a fact of this name was said here, because nobody else did.
bool assumed(const Probed& probed, const std::string& fact) {
    struct Name {
        Setting setting;
        std::string_view fact;
    };
    static constexpr std::array names = {Name{Setting::positive, "sign"}, Name{Setting::depth_unit, "unit"},
                                         Name{Setting::chart_datum, "chart datum"},
                                         Name{Setting::uncertainty, "uncertainty"}};
    return std::any_of(names.begin(), names.end(),
                       [&](const Name& name) { return name.fact == fact && probed.asks(name.setting); });
}

/// What a run would ask or refuse. The file's name stands above all that is told of it already.
void describe_questions(const Probed& probed, Inspection& out) {
    const auto tell = [&out](const InputError& error) {
        const bool of_the_file = error.where().text() == out.file;
        out.open_questions.push_back(of_the_file ? error.complaint() : error.message());
    };
    for (const UnsaidError& question : probed.questions) {
        tell(question);
    }
    if (probed.refusal) tell(*probed.refusal);
}

/// Least and greatest depth, and how many cells have one; of rows spread over the raster where it is large.
struct DepthStatistics {
    double shoalest_m = std::numeric_limits<double>::infinity(), deepest_m = -shoalest_m;
    std::size_t known = 0, seen = 0;
};
DepthStatistics statistics_of(const DepthSource& source) {
    constexpr int block = 512;
    constexpr double most_blocks = 400;
    constexpr float infinite = std::numeric_limits<float>::infinity();
    DepthStatistics found;
    DepthPlanes depths;
    const BlockCut blocks(source.grid().extent(), block);
    const auto stride =
        static_cast<std::size_t>(std::max(1.0, std::ceil(static_cast<double>(blocks.count()) / most_blocks)));
    for (std::size_t i = 0; i < blocks.count(); i += stride) {
        try {
            source.read(blocks[i], depths);
        } catch (const HeightUnknown&) {
            continue; // a run that needs a depth there says so
        }
        float shoalest_m = infinite, deepest_m = -infinite;
        std::size_t known = 0;
        for (std::size_t cell = 0; cell < depths.shoal_m.size(); ++cell) {
            const float shoal_m = depths.shoal_m.data()[cell];
            const bool has_depth = shoal_m == shoal_m;
            known += has_depth ? 1 : 0;
            shoalest_m = std::min(shoalest_m, shoal_m); // which no NaN becomes
            deepest_m = std::max(deepest_m, has_depth ? depths.deep_m.data()[cell] : -infinite);
        }
        found.known += known;
        found.shoalest_m = std::min(found.shoalest_m, double{shoalest_m});
        found.deepest_m = std::max(found.deepest_m, double{deepest_m});
        found.seen += depths.shoal_m.size();
    }
    return found;
}

void add_dates(const std::string& file, std::vector<Fact>& facts) {
    std::vector<Fact> ignored;
    const GdalMessages quiet;
    const GDALDatasetUniquePtr dataset = bathymetry::open_dataset(file, {}, ignored);
    for (char** item = dataset->GetMetadata(); item && *item; ++item) {
        const std::string text = *item;
        const std::string key = text.substr(0, text.find('='));
        if (key.find("DATE") != std::string::npos || key.find("date") != std::string::npos) {
            facts.push_back({"date", text});
        }
    }
}

void describe_notes(const Probed& probed, Inspection& out) {
    for (const Warning& doubt : probed.source->doubts()) {
        if (!probed.asks(Setting::positive)) out.doubts.push_back(doubt.text);
    }
    for (const Fact& note : probed.source->assumptions()) {
        if (note.kind == Fact::Kind::warning) {
            out.doubts.emplace_back(note.value);
        } else if (note.name == bathymetry::crs_fact) {
            continue; // told below, with its code
        } else if (note.kind == Fact::Kind::stated && assumed(probed, note.name)) {
            out.facts.push_back({note.name, note.value, Fact::Kind::assumed, "assumed here"});
        } else {
            out.facts.push_back(note);
        }
    }
}

/// Of a grid whose CRS nobody names and whose coordinates are no degrees.
void describe_unplaced(const Grid& grid, Inspection& out) {
    const auto [left, right] = std::minmax({grid.x_of(0), grid.x_of(grid.cols)});
    const auto [low, high] = std::minmax({grid.y_of(0), grid.y_of(grid.rows)});
    out.facts.push_back(
        {"resolution", fixed(grid.step_x, 2) + " x " + fixed(std::abs(grid.step_y), 2) + " in its own unit"});
    out.facts.push_back({"corners", "x " + fixed(left, 0) + " to " + fixed(right, 0) + ", y " +
                                        fixed(low, 0) + " to " + fixed(high, 0) +
                                        " in a CRS that is not named"});
}

/// Where the cells lie and how large they are, as far as the CRS is known or the coordinates may be degrees.
void describe_place(const Probed& probed, const Measures& measures, Inspection& out) {
    const Grid& grid = probed.source->grid();
    out.facts.push_back({"size", std::to_string(grid.cols) + " x " + std::to_string(grid.rows) + " cells"});
    out.raster.emplace();
    out.raster->cols = grid.cols;
    out.raster->rows = grid.rows;
    if (probed.asks(Setting::crs) && !is_geographic(grid.crs_wkt)) {
        describe_unplaced(grid, out);
        return;
    }
    out.raster->cell = ground_metric(grid, out.file).at(grid.rows / 2);
    const CellSize& cell = out.raster->cell;
    out.facts.push_back({"resolution", length_text(cell.dx_m, Rounded::nearest, measures, 2) + " x " +
                                           length_text(cell.dy_m, Rounded::nearest, measures, 2) +
                                           " on the ground"});
    out.facts.push_back({"CRS", crs_name(grid.crs_wkt)});
    const Georeference georeference(grid, out.file);
    std::vector<GridPoint> corners = {{0, 0},
                                      {static_cast<double>(grid.cols), 0},
                                      {0, static_cast<double>(grid.rows)},
                                      {static_cast<double>(grid.cols), static_cast<double>(grid.rows)}};
    georeference.to_lonlat_unwrapped(corners);
    OGREnvelope box;
    for (const GridPoint p : corners) {
        box.Merge(p.x, p.y);
    }
    out.bounds = box_of(box);
    out.facts.push_back({"corners", box_text(*out.bounds, measures)});
}

void describe_depths(const DepthSource& source, const Measures& measures, Inspection& out) {
    const DepthStatistics depths = statistics_of(source);
    out.raster->with_depth =
        static_cast<double>(depths.known) / static_cast<double>(std::max<std::size_t>(depths.seen, 1));
    out.facts.push_back({"coverage", share_text(out.raster->with_depth) + " of the cells have a depth"});
    if (depths.known == 0) {
        out.doubts.emplace_back("no cell has a depth");
        return;
    }
    out.raster->shoalest_m = depths.shoalest_m;
    out.raster->deepest_m = depths.deepest_m;
    out.facts.push_back({"depths", length_number(depths.shoalest_m, Rounded::down, measures) + " to " +
                                       length_text(depths.deepest_m, Rounded::up, measures) +
                                       " below chart datum, uncertainty included" +
                                       (out.open_questions.empty() ? "" : ", by what is assumed here")});
    if (depths.deepest_m <= 0) {
        out.doubts.emplace_back("nothing lies below chart datum: look at the sign and the datum");
    }
    constexpr double coarse_m = 25; // a small yacht's swinging radius is about 50 m
    if (std::max(out.raster->cell.dx_m, out.raster->cell.dy_m) > coarse_m) {
        out.doubts.emplace_back(
            "the cells are coarse against a swinging circle: a head between two soundings "
            "does not show");
    }
}

/// Compares a raster that has depths with what charts say.
void describe_difference(const DepthSource& source, const std::vector<ChartedSounding>& soundings,
                         const Measures& measures, Inspection& out) {
    if (soundings.empty() || !out.bounds) return;
    const AgainstCharts found =
        against_charts(source, Georeference(source.grid(), out.file), soundings, soundings.size()).front();
    out.raster->against_charts = found;
    if (found.soundings == 0) {
        out.facts.push_back({"against the charts", "none of their soundings lies in a cell with a depth"});
        return;
    }
    out.facts.push_back({"against the charts",
                         "raster less chart " + length_text(found.median_m, Rounded::nearest, measures, 2) +
                             " (median of " + std::to_string(found.soundings) +
                             (found.soundings == 1 ? " sounding)" : " soundings)") +
                             ", of which how far both may be off explains " +
                             length_text(found.explained_m, Rounded::nearest, measures, 2) +
                             (out.open_questions.empty() ? "" : "; by what is assumed here")});
    if (auto doubt = doubt_of(found)) out.doubts.push_back(std::move(*doubt));
}

} // namespace

Inspection inspected(const BathymetryRequest& request, const std::vector<ChartedSounding>& soundings,
                     const Measures& measures) {
    Inspection out;
    out.file = request.file;
    out.kind = Inspection::Kind::raster;
    const Probed probed = probe(request);
    describe_questions(probed, out);
    const DepthSource* const source = probed.source.get();
    if (!source) return out;
    describe_notes(probed, out);
    describe_place(probed, measures, out);
    describe_depths(*source, measures, out);
    describe_difference(*source, soundings, measures, out);
    add_dates(request.file, out.facts);
    for (const std::string& name : source->files()) {
        if (name != request.file) out.facts.push_back({"read with it", name});
    }
    return out;
}

namespace {

void describe_cell(const VectorFile& file, const EncCell& cell, const Measures& measures, Inspection& out) {
    out.facts.push_back({"cell", cell.description()});
    if (file.updates() > 0) out.facts.push_back({"updates applied", std::to_string(file.updates())});
    if (cell.covered()) {
        OGREnvelope box;
        cell.covered()->getEnvelope(&box);
        out.bounds = box_of(box);
        out.facts.push_back({"coverage", box_text(*out.bounds, measures)});
    }
    constexpr std::array letters = {"none", "A1", "A2", "B", "C", "D", "not assessed"};
    std::string zones;
    double poor = 0;
    for (const auto& [code, share] : cell.zone_shares()) {
        zones += (zones.empty() ? "" : ", ") + std::string(letters[static_cast<std::size_t>(code)]) + " " +
                 share_text(share);
        if (code >= 5) poor += share;
    }
    out.facts.push_back({"zones of confidence", zones.empty() ? "none" : zones});
    if (zones.empty() || poor > 0) {
        out.doubts.emplace_back(
            (zones.empty() ? std::string("all") : share_text(poor)) +
            " of it is of zone D or not assessed: no number is published for how far its depths "
            "may be off");
    }
}

void describe_layers(const VectorFile& file, Inspection& out) {
    std::vector<std::string> systems;
    OGREnvelope all;
    for (OGRLayer* const layer : file.layers()) {
        if (layer->GetGeomType() == wkbNone) continue;
        const OGRSpatialReference* const crs = layer->GetSpatialRef();
        char* text = nullptr;
        if (crs) crs->exportToWkt(&text);
        const std::string name = text ? crs_name(text) : "none";
        CPLFree(text);
        if (name == "none") {
            out.open_questions.emplace_back(
                "layer " + std::string(layer->GetName()) +
                " has no CRS; write the file with its CRS, for example EPSG:4326");
        }
        if (std::find(systems.begin(), systems.end(), name) == systems.end()) systems.push_back(name);
        if (OGREnvelope box; layer->GetExtent(&box, TRUE) == OGRERR_NONE) all.Merge(box);
    }
    for (const std::string& name : systems) {
        out.facts.push_back({"CRS", name});
    }
    if (systems.size() == 1 && all.IsInit()) {
        out.facts.push_back({"extent", "x " + fixed(all.MinX, 4) + " to " + fixed(all.MaxX, 4) + ", y " +
                                           fixed(all.MinY, 4) + " to " + fixed(all.MaxY, 4) +
                                           " in that CRS"});
    }
}

} // namespace

Inspection inspected(const VectorFile& file, const EncCells& cell, const std::vector<HazardRule>& rules,
                     const Measures& measures) {
    Inspection out;
    out.file = file.path();
    out.kind = file.is_cell() ? Inspection::Kind::chart : Inspection::Kind::vector;
    out.facts.push_back({"format", file.dataset().GetDriverName()});
    if (!cell.empty()) {
        describe_cell(file, *cell.cells().front(), measures, out);
    } else if (!file.is_openstreetmap()) {
        describe_layers(file, out);
    }
    for (const std::string& name : file.files()) {
        if (name != file.path()) out.facts.push_back({"read with it", name});
    }
    HazardSet counted = counts_in({&file, 1}, cell, rules);
    out.counts = std::move(counted.counts);
    for (const Warning& warning : counted.warnings) {
        out.doubts.push_back(warning.file == file.path() ? warning.text : warning.message());
    }
    return out;
}

namespace {

/// Makes the libraries ready that look at files.
void start_looking() {
    start_gdal();
    bathymetry::quieten_hdf5();
}

/// A GeoPackage may hold either; as a raster it is met with so rarely that hazards are meant.
bool is_vector(const std::string& file) {
    return GDALIdentifyDriverEx(file.c_str(), GDAL_OF_VECTOR, local_vector_drivers.data(), nullptr) !=
               nullptr ||
           is_s101(file); // which is named as what it is
}

std::vector<BathymetryRequest> nothing_said(const std::vector<std::string>& rasters) {
    std::vector<BathymetryRequest> requests;
    for (const std::string& raster : rasters) {
        requests.emplace_back().file = raster;
    }
    return requests;
}

} // namespace

Inspection inspect(const BathymetryRequest& request, const Measures& measures) {
    start_looking();
    return inspected(request, {}, measures);
}

Inspection inspect(const std::string& file, const std::vector<HazardRule>& rules, const Measures& measures) {
    return std::move(inspect(std::vector{file}, rules, measures).front());
}

std::vector<Inspection> inspect(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                                const Measures& measures, const SaidOfRasters& said) {
    start_looking();
    std::vector<std::string> rasters, vectors;
    std::vector<bool> as_vector;
    for (const std::string& file : files) {
        require_file_or_folder(file);
        as_vector.push_back(is_vector(file));
        (as_vector.back() ? vectors : rasters).push_back(file);
    }
    const std::vector<BathymetryRequest> requests = said ? said(rasters) : nothing_said(rasters);
    const OpenedFiles opened({}, vectors);
    std::vector<ChartedSounding> soundings;
    if (!rasters.empty()) soundings = charted_soundings(opened.all(), opened.all_cells());
    std::vector<Inspection> found;
    auto request = requests.begin();
    auto vector = opened.all().begin();
    for (const bool is_vector : as_vector) {
        if (is_vector) {
            found.push_back(inspected(*vector, opened.cells_of(*vector), rules, measures));
            ++vector;
        } else {
            found.push_back(inspected(*request, soundings, measures));
            ++request;
        }
    }
    return found;
}

} // namespace swingroom
