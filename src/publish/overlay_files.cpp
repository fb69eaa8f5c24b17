#include "swingroom/publish/overlay_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tiles.hpp"
#include "publish/styles/answer_words.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/derived_files.hpp"
#include "publish/vector/safe_properties.hpp"
#include "publish/vector/zone_layer.hpp"

#include <gdal.h>

#include <algorithm>
#include <atomic>
#include <bit>
#include <cmath>
#include <iterator>
#include <limits>
#include <map>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

namespace swingroom {
namespace {

void add_danger(std::vector<Property>& properties, const std::string& which,
                const std::optional<NearestDanger>& danger, double reach_m) {
    properties.push_back(text(which, danger ? what_is(*danger) : no_danger));
    properties.push_back(down(which + "_m", danger ? danger->distance_m : reach_m, 1));
    properties.push_back(
        {which + "_bearing_deg",
         danger && danger->distance_m > 0 ? danger->bearing_deg : std::numeric_limits<double>::quiet_NaN(),
         0});
}

/// What the chart lets expect; nothing where the depth is no band of a chart.
void add_expected(std::vector<Property>& properties, const std::optional<ExpectedDepth>& expected) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    const bool sounded = expected && expected->soundings > 0;
    const SeenSounding nearest = sounded ? expected->nearest : SeenSounding{none, none, none};
    properties.push_back(text("charted", expected ? expected_text(*expected) : ""));
    properties.push_back(text("charted_area", expected ? areas_text(*expected) : ""));
    properties.push_back(down("charted_from_m", expected ? expected->from_m() : none, 1));
    properties.push_back(up("charted_to_m", expected ? expected->to_m().value_or(none) : none, 1));
    properties.push_back(down("soundings_least_m", sounded ? expected->least_m : none, 1));
    properties.push_back(up("soundings_greatest_m", sounded ? expected->greatest_m : none, 1));
    properties.push_back(down("sounding_nearest_m", nearest.depth_m, 1));
    properties.push_back(down("sounding_nearest_distance_m", nearest.distance_m, 0));
    properties.push_back(
        {"sounding_nearest_bearing_deg", nearest.distance_m > 0 ? nearest.bearing_deg : none, 0});
}

std::vector<Property> spot_properties(const PositionReport& spot, const RodeMarks& marks,
                                      double low_water_m) {
    std::vector<Property> properties = {
        whole("verdict", static_cast<int>(spot.answer.verdict)),
        text("meaning", verdict_words(spot.answer.verdict, spot.answer.advice))};
    WayAtPosition at;
    for (const WayAtPosition& way : spot.ways) {
        if (is_yes(spot.answer.verdict) && way.way == way_of(spot.answer.verdict)) at = way;
    }
    properties.push_back(down("depth_low_m", spot.depth_low_m, 1));
    properties.push_back(up("depth_high_m", spot.depth_high_m, 1));
    properties.push_back(
        {"rode_m", rode_value(exact_rode_m(at.detail.needs.rode_m, marks), marks, Measures{}), 1});
    properties.push_back(up("sinker_from_bow_m", at.detail.sinker_from_bow_m, 1));
    properties.push_back(up("radius_m", at.detail.needs.radius_m, 1));
    properties.push_back(down("sounder_limit_m", at.detail.needs.sounder_limit_m, 1));
    properties.push_back(
        text("condition", sounder_condition(double{at.detail.needs.sounder_limit_m}, low_water_m)));
    properties.push_back(down("spare_m", at.spare_m, 1));
    properties.push_back(down("wind_limit_kn", at.wind_limit_kn, 0));
    properties.push_back(text("wind_limit_by", std::string(name(spot.limit_by))));
    add_danger(properties, "hull_danger", spot.hull_danger, spot.reach_m);
    add_danger(properties, "ground_danger", spot.ground_danger, spot.reach_m);
    properties.push_back(up("hanging_load_n", spot.hanging_load_n, 0));
    properties.push_back(up("trip_line_m", spot.trip_line_m, 1));
    properties.push_back(text("seabed", std::string(name(spot.facts.seabed))));
    properties.push_back(text("seabed_notes", notes_text(spot.notes)));
    add_expected(properties, spot.expected);
    properties.push_back(text("advice", advice_text(spot.answer.advice)));
    return properties;
}

/// A zone's best cell, kept until the run is over.
struct Candidate {
    Verdict verdict = Verdict::no;
    float spare_m = 0;
    int col = 0, row = 0;
    /// The better one first; a total order, so that the choice depends on nothing else.
    friend bool operator<(const Candidate& a, const Candidate& b) {
        if (a.verdict != b.verdict) return rank_of(a.verdict) < rank_of(b.verdict);
        if (a.spare_m != b.spare_m) return a.spare_m > b.spare_m;
        return std::pair(a.row, a.col) < std::pair(b.row, b.col);
    }
};

} // namespace

struct OverlayFiles::State {
    State(std::filesystem::path into, const OverlayJob& of_job, std::string raster, Provenance of_run,
          MarginSources sources, std::size_t spots, double least_zone, const Outputs& outputs_of_run)
        : folder(std::move(into)), job(of_job), source(std::move(raster)), provenance(std::move(of_run)),
          margin_sources(std::move(sources)), georeference(job.depths->grid(), source), most_spots(spots),
          least_zone_m2(least_zone), outputs(outputs_of_run) {
        const CellSize cell = job.metric->least();
        square_cols = std::max(1, static_cast<int>(std::min(1e6, reach_m(*job.tables) / cell.dx_m)));
        square_rows = std::max(1, static_cast<int>(std::min(1e6, reach_m(*job.tables) / cell.dy_m)));
    }

    std::filesystem::path folder;
    OverlayJob job;
    std::string source;
    Provenance provenance;
    MarginSources margin_sources;
    Georeference georeference;
    std::size_t most_spots;
    double least_zone_m2;
    Outputs outputs;
    int square_rows = 1, square_cols = 1; ///< of the squares that get one spot, in cells
    std::array<std::unique_ptr<RasterLayer>, layer_table.size()> rasters;
    std::optional<ZoneLayer> zones;
    std::int64_t zones_dropped = 0;
    std::set<Candidate> candidates;                     ///< at most most_spots
    std::map<std::pair<int, int>, Candidate> by_square; ///< the same
    std::vector<PositionReport> best_spots;             ///< once they are written
    std::vector<VectorLayer::Finished> vectors;         ///< the same
    std::atomic<std::int64_t> afloat{0};
    std::mutex tally_mutex; ///< blocks come from several threads
    Tally tally;
    std::map<std::size_t, Tally> anchorages; ///< by their place among those of the run

    [[nodiscard]] Grid part() const { return job.depths->grid().part(job.window); }
    /// Empty where the layer is not wanted.
    [[nodiscard]] FormatSet formats_of(Layer layer) const {
        if (!job.wanted.has(layer)) return {};
        const FormatSet asked_for = outputs.formats.of(layer);
        return asked_for.empty() ? LayerFormats(job.wanted).of(layer) : asked_for;
    }
    void consider(const Candidate& candidate);
    void finish_raster(Layer layer, const std::function<void()>& step);
    void write_spots();
};

OverlayFiles::OverlayFiles(const std::filesystem::path& folder, const OverlayJob& job,
                           const std::string& source, const Provenance& provenance,
                           const MarginSources& margin_sources, std::size_t most_spots,
                           const ZoneStyle& zone_style, const Outputs& outputs)
    : state_(std::make_unique<State>(folder, job, source, provenance, margin_sources, most_spots,
                                     zone_style.least_area_m2, outputs)) {
    const Grid part = state_->part();
    const std::vector<std::string> sources = job.depths->sources();
    for (const Layer layer : raster_layers) {
        if (const FormatSet formats = state_->formats_of(layer); !formats.empty()) {
            if (formats.has(Format::mbtiles)) check_tiles(part, source);
            constexpr int most_under_tiles = 1'000'000'000; // see footprints()
            if (formats.has(Format::mbtiles) && std::max(part.cols, part.rows) > most_under_tiles) {
                throw InputError(source, "is too long for map tiles",
                                 "give " + Setting::bounds + ", or another " + Setting::format);
            }
            state_->rasters[index_of(layer)] =
                std::make_unique<RasterLayer>(folder, spec_of(layer, sources), part, provenance, job.threads,
                                              GridCell{job.window.col, job.window.row});
        }
    }
    if (job.wanted.has(Layer::zones)) {
        state_->zones.emplace(folder, state_->job, state_->georeference, provenance, zone_style.smooth_edges);
    }
}

OverlayFiles::~OverlayFiles() = default;

void limit_file_cache(std::int64_t bytes) { GDALSetCacheMax64(bytes); }

void OverlayFiles::block(const BlockAnswers& answers) {
    State& state = *state_;
    for (const Layer layer : raster_layers) {
        if (RasterLayer* const file = state.rasters[index_of(layer)].get()) {
            std::visit([file](const auto& plane) { file->write(plane); }, answers.plane(layer));
        }
    }
    state.afloat += answers.afloat;
    const std::lock_guard lock(state.tally_mutex);
    state.tally.add(answers.tally);
    for (const AnchoragePart& part : answers.anchorages) {
        state.anchorages[part.anchorage].add(part.tally);
    }
}

void OverlayFiles::zone(Zone&& zone) {
    stop_if_asked();
    State& state = *state_;
    if (zone.area_m2 < state.least_zone_m2) { // no place to send anybody to, and so no spot either
        ++state.zones_dropped;
        return;
    }
    if (state.job.wanted.has(Layer::spots)) {
        const ZoneFigures& figures = zone.figures;
        state.consider({zone.verdict, figures.best_spare_m, figures.best_col, figures.best_row});
    }
    if (state.zones) state.zones->add(std::move(zone));
}

/// Keeps the best of each square that the boat would fill anyhow, and of those the best few: a patchwork of
/// small zones would else take every spot for itself. Which are kept does not depend on the order they come
/// in: the least that is kept only ever gets better.
void OverlayFiles::State::consider(const Candidate& candidate) {
    if (most_spots == 0 || (candidates.size() == most_spots && !(candidate < *candidates.rbegin()))) return;
    const auto square_of = [&](const Candidate& of) {
        return std::pair(of.row / square_rows, of.col / square_cols);
    };
    const auto [same, added] = by_square.try_emplace(square_of(candidate), candidate);
    if (!added) {
        if (!(candidate < same->second)) return;
        candidates.erase(same->second);
        same->second = candidate;
    }
    candidates.insert(candidate);
    if (candidates.size() <= most_spots) return;
    by_square.erase(square_of(*candidates.rbegin()));
    candidates.erase(std::prev(candidates.end()));
}

void OverlayFiles::State::write_spots() {
    VectorLayer file(
        folder, "spots",
        "The best drop points, best first, one at the most in each square of the greatest swinging radius",
        VectorLayer::Shape::point, spot_properties({}, {}, 0), provenance);
    const RodeMarks marks = rode_marks(job.tables->boat());
    for (const Candidate& candidate : candidates) {
        stop_if_asked();
        const PositionReport spot = examine(job, georeference, candidate.col, candidate.row);
        file.add_point({spot.centre.lon, spot.centre.lat},
                       spot_properties(spot, marks, job.tables->conditions().water.low_m));
        if (best_spots.size() < most_best_spots) best_spots.push_back(spot);
    }
    file.finish();
    derive_from(file, folder, formats_of(Layer::spots), outputs.styles, looks_by_verdict(true), provenance);
    vectors.push_back(file.finished());
}

void OverlayFiles::State::finish_raster(Layer layer, const std::function<void()>& step) {
    std::unique_ptr<RasterLayer>& file = rasters[index_of(layer)];
    file->finish();
    const LayerSpec spec = file->spec();
    file.reset();
    const bool tiles = formats_of(layer).has(Format::mbtiles);
    if (tiles) write_tiles(folder, spec, part(), source, provenance, step);
    if (outputs.styles && (!spec.categories.empty() || !spec.steps.empty())) {
        write_styles(folder, spec, tiles);
    }
}

void OverlayFiles::finish(const std::function<void(double)>& progress) {
    State& state = *state_;
    const auto steps = static_cast<double>(std::count_if(state.rasters.begin(), state.rasters.end(),
                                                         [](const auto& file) { return file != nullptr; })) +
                       1;
    double done = 0;
    const auto step = [&] {
        done += 1;
        if (progress) progress(done / steps);
    };
    const auto working = [&] {
        if (progress) progress(done / steps);
    };
    for (const Layer layer : raster_layers) {
        if (state.rasters[index_of(layer)]) {
            state.finish_raster(layer, working);
            step();
        }
    }
    if (state.zones) {
        state.zones->finish();
        derive_from(state.zones->file(), state.folder, state.formats_of(Layer::zones), state.outputs.styles,
                    looks_by_verdict(false), state.provenance);
        state.vectors.push_back(state.zones->file().finished());
    }
    if (state.job.wanted.has(Layer::spots)) state.write_spots();
    if (state.job.wanted.has(Layer::exclusions)) {
        state.vectors.push_back(write_exclusions(
            state.folder,
            {state.job.hazards->hazards(), state.job.depths->grid(), state.source, hull_needs(state.job)},
            state.margin_sources, state.provenance, state.formats_of(Layer::exclusions),
            state.outputs.styles));
    }
    step();
}

std::int64_t OverlayFiles::zones_written() const { return state_->zones ? state_->zones->count() : 0; }
std::int64_t OverlayFiles::zones_dropped() const { return state_->zones_dropped; }
std::int64_t OverlayFiles::cells_of(Verdict verdict) const { return tally().of(verdict).cells; }
std::int64_t OverlayFiles::cells_surveyed() const { return tally().surveyed().cells; }
const Tally& OverlayFiles::tally() const { return state_->tally; }
std::vector<AnchorageAnswers> OverlayFiles::anchorages() const {
    const std::vector<std::string> labels = anchorage_labels(*state_->job.hazards);
    std::vector<AnchorageAnswers> all;
    for (const auto& [number, tally] : state_->anchorages) {
        all.push_back({labels.at(number), tally});
    }
    return all;
}
void OverlayFiles::drop_unasked() {
    for (const LayerTraits& layer : layer_table) {
        swingroom::drop_unasked(state_->folder, layer.name, layer.content, state_->formats_of(layer.layer));
    }
}

std::int64_t OverlayFiles::cells_afloat() const { return state_->afloat; }
const std::vector<VectorLayer::Finished>& OverlayFiles::vectors() const { return state_->vectors; }
std::size_t OverlayFiles::spots_written() const { return state_->candidates.size(); }
const std::vector<PositionReport>& OverlayFiles::best_spots() const { return state_->best_spots; }

} // namespace swingroom
