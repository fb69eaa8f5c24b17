#include "swingroom/publish/overlay_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/part_files.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/room/inner_places.hpp"

#include "base/parallel.hpp"
#include "publish/part/kept_block.hpp"
#include "publish/part/layers_of_parts.hpp"
#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tiles.hpp"
#include "publish/raster/told_figures.hpp"
#include "publish/styles/qgis_project.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/derived_files.hpp"
#include "publish/vector/spot_layer.hpp"
#include "publish/vector/way_layer.hpp"
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
#include <stdexcept>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace swingroom {
namespace {

/// A place of a zone, kept until the run is over.
struct Candidate {
    PlaceMerits merits;
    float radius_m = 0; ///< the greatest of its zone
    friend bool operator<(const Candidate& a, const Candidate& b) { return a.merits < b.merits; }
};

/// Whether one is in the swinging circle of the other, or may be.
bool in_each_others_way(const Candidate& a, const Candidate& b, const GroundMetric& metric) {
    const double radius_m = std::max(a.radius_m, b.radius_m);
    return least_distance_m(metric, a.merits.cell, b.merits.cell) < radius_m;
}

/// The best places of a run, none in the swinging circle of another, at most so many.
class Candidates {
public:
    /// @param reach_m  no radius is greater
    Candidates(std::size_t most, double reach_m, const GroundMetric& metric) : most_(most), metric_(metric) {
        const CellSize cell = metric.least();
        const auto cells = [reach_m](double of_cell_m) {
            constexpr double longest = 1e9;
            return std::max(1, static_cast<int>(std::min(longest, std::ceil(reach_m / of_cell_m))));
        };
        square_cols_ = cells(cell.dx_m);
        square_rows_ = cells(cell.dy_m);
    }

    /// Whether such a one would be kept, for all that its merits tell.
    [[nodiscard]] bool would_keep(const Candidate& candidate) const {
        return kept_.size() < most_ || (most_ > 0 && candidate < *kept_.rbegin());
    }
    /// Keeps it unless a better one is in its way, and lets go those that are in its way and worse.
    void take(const Candidate& candidate) {
        if (!would_keep(candidate)) return;
        std::vector<Kept::iterator> worse = in_the_way_of(candidate);
        for (const Kept::iterator other : worse) {
            if (*other < candidate) return;
        }
        for (const Kept::iterator other : worse) {
            let_go(other);
        }
        by_square_.emplace(square_of(candidate), kept_.insert(candidate).first);
        if (kept_.size() > most_) let_go(std::prev(kept_.end()));
    }
    /// Keeps it if none is in its way, even a worse one.
    void take_where_free(const Candidate& candidate) {
        if (in_the_way_of(candidate).empty()) take(candidate);
    }
    [[nodiscard]] const std::set<Candidate>& kept() const { return kept_; }

private:
    using Kept = std::set<Candidate>;
    using Square =
        std::pair<int, int>; ///< row, column; as wide as no radius is, so that only neighbours count

    [[nodiscard]] Square square_of(const Candidate& of) const {
        return {of.merits.cell.row / square_rows_, of.merits.cell.col / square_cols_};
    }
    /// Those that are in its swinging circle, or it in theirs.
    [[nodiscard]] std::vector<Kept::iterator> in_the_way_of(const Candidate& candidate) const {
        const Square at = square_of(candidate);
        std::vector<Kept::iterator> found;
        for (int row = at.first - 1; row <= at.first + 1; ++row) {
            for (int col = at.second - 1; col <= at.second + 1; ++col) {
                const auto [begin, end] = by_square_.equal_range({row, col});
                for (auto other = begin; other != end; ++other) {
                    if (in_each_others_way(*other->second, candidate, metric_)) {
                        found.push_back(other->second);
                    }
                }
            }
        }
        return found;
    }
    void let_go(Kept::iterator candidate) {
        const auto [begin, end] = by_square_.equal_range(square_of(*candidate));
        by_square_.erase(std::find_if(begin, end, [&](const auto& of) { return of.second == candidate; }));
        kept_.erase(candidate);
    }

    std::size_t most_;
    const GroundMetric& metric_;
    int square_rows_ = 1, square_cols_ = 1;
    Kept kept_;
    std::multimap<Square, Kept::iterator> by_square_;
};

/// Of one zone no more places: the others are of the same kind, and she can find them from these.
constexpr int most_places_of_zone = 5;
/// A further place is at least so far inside as this share of the first: a zone's narrow parts are no better
/// than a narrow zone. Half of the greatest inner distance is no less than that of most cells, unless holes
/// or bays make the zone narrow all over.
constexpr double least_share_of_first = 0.5;
/// So many of its places are looked at where the sounder's limit may turn out to be hardly of use.
constexpr int most_looked_at = 32;

/// A plane of sets of bits with more of them.   @param more  of the same cells
Plane<std::uint16_t> with_bits(Plane<std::uint16_t> plane, const Plane<std::uint16_t>& more) {
    std::transform(plane.data(), plane.data() + plane.size(), more.data(), plane.data(),
                   [](std::uint16_t a, std::uint16_t b) { return static_cast<std::uint16_t>(a | b); });
    return plane;
}

/// Whether it is known where the way in begins.
bool knows_way_in(const OverlayJob& job) {
    return job.way_in != nullptr && job.way_in->access && job.way_in->job != nullptr;
}

/// What only a look at the cell tells of a place.
PlaceMerits with_facts(PlaceMerits merits, const PositionReport& spot) {
    const double shoal_m = spot.facts.chart_shoal_m(), deep_m = spot.facts.chart_deep_m();
    const auto way = static_cast<std::size_t>(way_of(merits.verdict));
    const auto limit_m = double{spot.answer.way_needs.at(way).sounder_limit_m};
    // Where the nearest sounding is deeper than the limit, so will hers be.
    const bool sounded_deeper =
        spot.expected && spot.expected->soundings > 0 && spot.expected->nearest.depth_m > limit_m;
    merits.hardly_admitted = hardly_admits(shoal_m, deep_m, limit_m) || sounded_deeper;
    merits.band_admitted = band_admitted(shoal_m, deep_m, limit_m);
    merits.holding_known = (spot.answer.advice & advice::unknown_holding) == 0;
    merits.depth_low_m = spot.depth_low_m;
    return merits;
}

} // namespace

struct OverlayFiles::State {
    State(std::filesystem::path into, const OverlayJob& of_job, std::string raster, Provenance of_run,
          MarginSources sources, std::size_t spots, double least_zone, const Outputs& outputs_of_run)
        : folder(std::move(into)), job(of_job), source(std::move(raster)), provenance(std::move(of_run)),
          margin_sources(std::move(sources)), georeference(job.depths->grid(), source), most_spots(spots),
          least_zone_m2(least_zone), outputs(outputs_of_run),
          candidates(2 * spots, reach_m(*job.tables), *job.metric) {}

    std::filesystem::path folder;
    OverlayJob job;
    std::string source;
    Provenance provenance;
    MarginSources margin_sources;
    Georeference georeference;
    std::size_t most_spots;
    double least_zone_m2;
    Outputs outputs;
    std::array<std::unique_ptr<RasterLayer>, layer_table.size()> rasters;
    ToldFigures told_figures{Judge(*job.tables)};
    std::optional<ZoneLayer> zones;
    std::int64_t zones_dropped = 0;
    std::function<void()> last_zones; ///< hands over those that are left after the last block
    Candidates candidates;            ///< more than are wanted: one that comes late may push several out
    /// Of each verdict that is told the best place of its seams: listed where no other zone of it has one.
    std::map<Verdict, Candidate> of_seams;
    std::size_t spots_written = 0;
    std::vector<PositionReport> best_spots;     ///< once they are written
    std::vector<PlaceMerits> best_merits;       ///< of these
    std::vector<VectorLayer::Finished> vectors; ///< once they are written
    std::vector<ProjectLayer> project;          ///< of the vectors, as they are written
    std::atomic<std::int64_t> afloat{0};
    std::mutex tally_mutex; ///< blocks come from several threads
    Tally tally;
    std::map<std::size_t, Tally> anchorages; ///< by their place among those of the run
    std::optional<MapPlanes> map_planes;
    const KeptParts* parts = nullptr; ///< of a run that was shared out

    [[nodiscard]] Grid part() const { return job.depths->grid().part(job.window); }
    /// Empty where the layer is not wanted.
    [[nodiscard]] FormatSet formats_of(Layer layer) const {
        if (layer == Layer::ways && !knows_way_in(job)) return {};
        return outputs.formats_of(layer, job.wanted);
    }
    void count(std::int64_t afloat_of_block, const Tally& of_block,
               const std::vector<AnchoragePart>& anchorages_of_block);
    [[nodiscard]] Candidate candidate(const Zone& zone, GridCell cell, double inner_m) const;
    void look_at(Candidate& found) const;
    [[nodiscard]] bool is_seam(InnerPlace best) const;
    void consider(const Zone& zone, InnerPlaces& places, InnerPlace first);
    void take_of_seam(const Zone& zone, InnerPlace best);
    void list_seams();
    /// Of a raster that is finished and read back.
    struct FinishedRaster {
        LayerSpec spec;
        ProjectLayer in_project;
    };
    FinishedRaster finish_raster(Layer layer);
    void finish_vectors();
    void write_spots();
    void find_ways(std::vector<std::pair<PlaceMerits, PositionReport>>& best) const;
    void write_ways();
    [[nodiscard]] VectorLayer::Finished write_exclusions() const;
    void write_spot(SpotLayer& file, const PlaceMerits& merits, const PositionReport& spot);
    void derive(const VectorLayer& file, Layer layer, const std::vector<FeatureLook>& looks);
    void add_to_project(const VectorLayer::Spec& spec, Layer layer, const std::vector<FeatureLook>& looks);
};

OverlayFiles::OverlayFiles(const std::filesystem::path& folder, const OverlayJob& job,
                           const std::string& source, const Provenance& provenance,
                           const MarginSources& margin_sources, std::size_t most_spots,
                           const ZoneStyle& zone_style, const Outputs& outputs)
    : state_(std::make_unique<State>(folder, job, source, provenance, margin_sources, most_spots,
                                     zone_style.least_area_m2, outputs)) {
    const Grid part = state_->part();
    const std::vector<std::string> sources = job.depths->sources();
    const auto rasters = std::count_if(rasters_of_a_boat.begin(), rasters_of_a_boat.end(),
                                       [&](Layer layer) { return !state_->formats_of(layer).empty(); });
    const RasterStorage storage{outputs.compression,
                                outputs.waiting_bytes /
                                    static_cast<std::size_t>(std::max<std::ptrdiff_t>(1, rasters))};
    // Many are read back beside each other, few by all threads.
    const int threads_of_each = rasters > 2 * job.threads ? 1 : job.threads;
    for (const Layer layer : rasters_of_a_boat) {
        if (const FormatSet formats = state_->formats_of(layer); !formats.empty()) {
            if (formats.has(Format::mbtiles)) check_tiles(part, source);
            state_->rasters[index_of(layer)] = std::make_unique<RasterLayer>(
                folder, spec_of(layer, sources, job.way_in != nullptr), part, provenance, threads_of_each,
                GridCell{job.window.col, job.window.row}, storage);
        }
    }
    if (wants_map(job.wanted)) state_->map_planes.emplace(job.window);
    if (job.wanted.has(Layer::zones)) {
        state_->zones.emplace(folder, state_->job, state_->georeference, provenance, zone_style.smooth_edges,
                              outputs.prefix);
    }
}

OverlayFiles::~OverlayFiles() = default;

void limit_file_cache(std::int64_t bytes) { GDALSetCacheMax64(bytes); }

void OverlayFiles::block(const BlockAnswers& answers) {
    State& state = *state_;
    // Kept, since memory that is new for each block costs more than to fill it.
    thread_local Plane<float> told;
    for (const Layer layer : rasters_of_a_boat) {
        RasterLayer* const file = state.rasters[index_of(layer)].get();
        if (file == nullptr) continue;
        if (traits(layer).type == CellType::float32) {
            file->write(*state.told_figures.of(layer, answers.figures(layer), told));
        } else {
            std::visit([file](const auto& plane) { file->write(plane); }, answers.plane(layer));
        }
    }
    if (state.map_planes) state.map_planes->take(answers);
    state.count(answers.afloat, answers.tally, answers.anchorages);
}

void OverlayFiles::State::count(std::int64_t afloat_of_block, const Tally& of_block,
                                const std::vector<AnchoragePart>& anchorages_of_block) {
    afloat += afloat_of_block;
    const std::lock_guard lock(tally_mutex);
    tally.add(of_block);
    for (const AnchoragePart& part : anchorages_of_block) {
        anchorages[part.anchorage].add(part.tally);
    }
}

void OverlayFiles::take_from(const KeptParts& kept) { state_->parts = &kept; }

void OverlayFiles::kept_block(std::size_t number, const Plane<std::uint16_t>& more_advice) {
    State& state = *state_;
    if (state.parts == nullptr) throw std::logic_error("nobody has said where blocks are kept");
    const KeptBlock block = state.parts->block(number);
    const Window core = blocks_of_parts(state.job.window)[number];
    const std::vector<Layer> layers = layers_of_parts(state.job.wanted, state.outputs);
    for (std::size_t i = 0; i < layers.size(); ++i) {
        RasterLayer& file = *state.rasters[index_of(layers[i])];
        if (layers[i] == Layer::advice && more_advice.size() > 0) {
            file.write(
                with_bits(unpacked_plane(block.layers.at(i), core, state.outputs.compression), more_advice));
        } else {
            file.put(core, block.layers.at(i));
        }
    }
    if (state.map_planes && block.map) state.map_planes->take(*block.map);
    state.count(block.afloat, block.tally, block.anchorages);
}

void OverlayFiles::access_levels(const Plane<float>& level_m) {
    State& state = *state_;
    RasterLayer* const file = state.rasters[index_of(Layer::access_level)].get();
    Plane<float> told;
    if (file != nullptr) file->write(*state.told_figures.of(Layer::access_level, level_m, told));
}

void OverlayFiles::zone(Zone&& zone) {
    stop_if_asked();
    State& state = *state_;
    if (zone.area_m2 < state.least_zone_m2) { // no place to send anybody to, and so no spot either
        ++state.zones_dropped;
        return;
    }
    // What cannot be listed even if it were a disc costs nothing more.
    const bool may_be_listed =
        state.job.wanted.has(Layer::spots) &&
        state.candidates.would_keep(state.candidate(zone, {}, greatest_inner_m(zone.area_m2)));
    if (!may_be_listed && !state.zones) return;
    std::optional<InnerPlace> best;
    { // what knows the outline is gone before it is drawn
        InnerPlaces places(zone.rings, *state.job.metric);
        best = places.next();
        if (!best) throw std::logic_error("a zone without a cell");
        if (may_be_listed && state.is_seam(*best)) {
            state.take_of_seam(zone, *best);
        } else if (may_be_listed) {
            state.consider(zone, places, *best);
        }
    }
    if (state.zones) state.zones->add(std::move(zone), *best);
}

void OverlayFiles::last_zones(const std::function<void()>& hand_over) { state_->last_zones = hand_over; }

/// As good as one with that inner distance can be.
Candidate OverlayFiles::State::candidate(const Zone& zone, GridCell cell, double inner_m) const {
    PlaceMerits merits{.verdict = zone.verdict, .inner_dm = inner_dm_of(inner_m), .cell = cell};
    merits.out_of_reach = told(zone.verdict, zone.figures.advice) == Verdict::out_of_reach;
    merits.hardly_admitted = is_by_sounder(zone.verdict) && zone.figures.hardly_admitted;
    merits.holding_known = true;
    merits.depth_low_m = -std::numeric_limits<double>::infinity();
    return {merits, zone.figures.radius_max_m};
}

/// What only a look at the cell tells of how much the sounder's limit admits there.
void OverlayFiles::State::look_at(Candidate& found) const {
    stop_if_asked();
    OverlayJob by_depth = job;
    by_depth.way_in = nullptr; // which the zone has told already, and which takes long to ask for
    const GridCell cell = found.merits.cell;
    found.merits = with_facts(found.merits, examine(by_depth, georeference, cell.col, cell.row));
}

/// Whether a zone is a seam, hardly wider than a cell, as they lie along contours: no place of it is farther
/// inside than the longer side of a cell. Such a zone is no place to aim at while there are broader ones, and
/// a long coast has thousands, which would leave no room for others in the list.
bool OverlayFiles::State::is_seam(InnerPlace best) const {
    const CellSize cell = job.metric->least();
    return best.inner_m < std::max(cell.dx_m, cell.dy_m);
}

/// The places of a zone farthest inside, each at least two radii from the others and outside of the clear
/// circles of those before it: within such a circle there is room for anybody, so that a second point in the
/// middle of a broad zone would tell nothing that the first does not. What the sounder's limit admits may
/// differ from cell to cell.
void OverlayFiles::State::consider(const Zone& zone, InnerPlaces& places, InnerPlace first) {
    const double apart_m = 2 * double{zone.figures.radius_max_m};
    const bool look = is_by_sounder(zone.verdict) && !zone.figures.hardly_admitted;
    int good = 0, hardly = 0;
    double least_m = 0;
    for (std::optional<InnerPlace> place = first; place; place = places.next()) {
        Candidate found = candidate(zone, place->cell, place->inner_m);
        // Nor is what comes after it.
        if (place->inner_m < least_m || !candidates.would_keep(found)) return;
        if (look) look_at(found);
        if (look && found.merits.hardly_admitted) {
            if (++hardly <= most_places_of_zone) candidates.take(found);
        } else {
            candidates.take(found);
            if (++good == most_places_of_zone) return;
            least_m = std::max(least_m, least_share_of_first * place->inner_m);
        }
        if (good + hardly == most_looked_at) return;
        places.keep_clear_of(place->cell, std::max(apart_m, place->inner_m));
    }
}

void OverlayFiles::State::take_of_seam(const Zone& zone, InnerPlace best) {
    Candidate found = candidate(zone, best.cell, best.inner_m);
    found.merits.of_seam = true;
    const auto [listed, is_new] = of_seams.emplace(told(zone.verdict, zone.figures.advice), found);
    if (!is_new && found < listed->second) listed->second = found;
}

/// Once all zones have told their places.
void OverlayFiles::State::list_seams() {
    const auto told_of = [](const Candidate& place) {
        return place.merits.out_of_reach ? Verdict::out_of_reach : place.merits.verdict;
    };
    for (const Candidate& place : candidates.kept()) {
        of_seams.erase(told_of(place));
    }
    for (auto& [verdict, place] : of_seams) {
        if (is_by_sounder(place.merits.verdict)) look_at(place);
        candidates.take_where_free(place);
    }
    of_seams.clear();
}

void OverlayFiles::State::write_spot(SpotLayer& file, const PlaceMerits& merits, const PositionReport& spot) {
    ++spots_written;
    file.add(spot, merits);
    if (best_spots.size() < most_best_spots) {
        best_spots.push_back(spot);
        best_merits.push_back(merits);
    }
}

/// Other formats of a finished layer, and its styles.
void OverlayFiles::State::derive(const VectorLayer& file, Layer layer,
                                 const std::vector<FeatureLook>& looks) {
    derive_from(file, folder, formats_of(layer), outputs.styles, looks, provenance);
    vectors.push_back(file.finished());
    add_to_project(file.spec(), layer, looks);
}

VectorLayer::Finished OverlayFiles::State::write_exclusions() const {
    const HazardsToDraw drawn{job.hazards->hazards(), job.depths->grid(), source, hull_needs(job)};
    return swingroom::write_exclusions(folder, drawn, margin_sources, provenance,
                                       formats_of(Layer::exclusions), outputs.styles, outputs.prefix);
}

/// By the format that a GIS reads best; KML and GPX are for others, and split a layer by its looks.
void OverlayFiles::State::add_to_project(const VectorLayer::Spec& spec, Layer layer,
                                         const std::vector<FeatureLook>& looks) {
    for (const Format format : {Format::gpkg, Format::flatgeobuf, Format::geojson}) {
        if (!formats_of(layer).has(format)) continue;
        project.push_back(project_layer(spec, looks, std::string(traits(format).ending)));
        return;
    }
}

void OverlayFiles::State::write_spots() {
    list_seams();
    const std::set<Candidate>& kept = candidates.kept();
    const std::size_t spots = std::min(most_spots, kept.size());
    SpotLayer file(folder, job, provenance, spots, outputs.prefix, job.wanted.has(Layer::circles));
    // A look at the cells decides only between those that rank the same without it.
    std::vector<std::pair<PlaceMerits, PositionReport>> same;
    // The best ones are written with what is found of the ways to them, which are looked for together.
    std::vector<std::pair<PlaceMerits, PositionReport>> best;
    bool best_written = false;
    const auto write_best = [&] {
        if (!best_written) find_ways(best);
        best_written = true;
        for (const auto& [merits, spot] : best) {
            write_spot(file, merits, spot);
        }
        best.clear();
    };
    const auto write_same = [&] {
        std::sort(same.begin(), same.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
        std::move(same.begin(), same.end(), std::back_inserter(best));
        same.clear();
        if (best_written || best.size() >= most_best_spots) write_best();
    };
    for (auto next = kept.begin(); next != std::next(kept.begin(), static_cast<std::ptrdiff_t>(spots));
         ++next) {
        stop_if_asked();
        const PlaceMerits& merits = next->merits;
        if (!same.empty() && !same.front().first.alike(merits)) write_same();
        PositionReport spot = examine(job, georeference, merits.cell.col, merits.cell.row);
        same.emplace_back(with_facts(merits, spot), std::move(spot));
    }
    write_same();
    write_best();
    file.finish();
    derive(file.points(), Layer::spots, looks_by_verdict(true, job.way_in != nullptr));
    if (file.circles()) derive(*file.circles(), Layer::circles, looks_of_circles(job.way_in != nullptr));
}

/// The lines to the best of the spots, where it is known where the way in begins; to the best of those that
/// are reached at times, too, wherever they rank: of these there is something to tell. And what closes as
/// many of those that are out of reach, which may be groups that have nothing in common.
void OverlayFiles::State::find_ways(std::vector<std::pair<PlaceMerits, PositionReport>>& best) const {
    if (!knows_way_in(job) || best.empty()) return;
    std::vector<std::size_t> wanted;
    std::set<Reach> told;
    std::size_t out_of_reach = 0;
    for (std::size_t i = 0; i < best.size(); ++i) {
        const Reach reach = best[i].second.reach ? best[i].second.reach->reach : Reach::unknown;
        const bool first_of_kind = told.insert(reach).second;
        const bool closed = reach == Reach::never && out_of_reach < most_ways;
        if (closed) ++out_of_reach;
        if (wanted.size() < most_ways || first_of_kind || closed) wanted.push_back(i);
    }
    std::vector<GridCell> places;
    for (const std::size_t i : wanted) {
        places.push_back({best[i].second.col, best[i].second.row});
    }
    OverlayJob all = *job.way_in->job;
    all.way_in = job.way_in;
    std::vector<WayToPlace> ways = ApproachFinder(all, georeference).find(places);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        best[wanted[i]].second.way = std::move(ways[i]);
    }
}

void OverlayFiles::State::write_ways() {
    WayLayer file(folder, job, provenance, spots_written, outputs.prefix);
    for (std::size_t i = 0; i < best_spots.size(); ++i) {
        const std::optional<WayToPlace>& way = best_spots[i].way;
        if (!way || !way->approach) continue;
        const CellAnswer& answer = best_spots[i].answer;
        const std::string spot =
            spot_name(i + 1, spots_written, told(answer.verdict, answer.advice), outputs.prefix);
        file.add(*way->approach, i + 1, spot, best_spots[i]);
    }
    file.finish();
    derive(file.lines(), Layer::ways, looks_of_ways());
}

OverlayFiles::State::FinishedRaster OverlayFiles::State::finish_raster(Layer layer) {
    std::unique_ptr<RasterLayer>& file = rasters[index_of(layer)];
    file->finish();
    FinishedRaster finished{file->spec(), {}};
    file.reset();
    const FormatSet formats = formats_of(layer);
    const LayerSpec& spec = finished.spec;
    finished.in_project = project_layer(spec, part(), formats.has(Format::cog) ? "tif" : "mbtiles");
    if (outputs.styles && (!spec.categories.empty() || !spec.steps.empty())) {
        write_styles(folder, spec, formats.has(Format::mbtiles));
    }
    return finished;
}

void OverlayFiles::State::finish_vectors() {
    // Margins ask for no answers.
    std::optional<VectorLayer::Finished> exclusions;
    const std::array<std::function<void()>, 2> things = {
        [&] {
            if (last_zones) std::exchange(last_zones, nullptr)(); // what handed them over is gone then
            if (zones) {
                zones->finish();
                derive(zones->file(), Layer::zones, looks_by_verdict(false, job.way_in != nullptr));
            }
            if (job.wanted.has(Layer::spots)) write_spots();
            if (!formats_of(Layer::ways).empty()) write_ways();
        },
        [&] {
            if (job.wanted.has(Layer::exclusions)) exclusions = write_exclusions();
        }};
    side_by_side(things, job.threads);
    if (!exclusions) return;
    vectors.push_back(*std::move(exclusions));
    add_to_project(vectors.back().spec, Layer::exclusions, looks_by_prohibition());
}

void OverlayFiles::finish(const std::function<void(double)>& progress, const std::function<void()>& pages) {
    State& state = *state_;
    std::vector<Layer> rasters;
    std::copy_if(rasters_of_a_boat.begin(), rasters_of_a_boat.end(), std::back_inserter(rasters),
                 [&](Layer layer) { return state.rasters[index_of(layer)] != nullptr; });
    std::mutex progress_mutex; // guards what follows
    std::size_t done = 0;
    const auto step = [&](std::size_t steps) {
        const std::lock_guard lock(progress_mutex);
        done += steps;
        if (progress) progress(static_cast<double>(done) / static_cast<double>(rasters.size() + 1));
    };
    std::vector<State::FinishedRaster> finished(rasters.size());
    const auto finish_raster = [&](std::size_t i) {
        finished[i] = state.finish_raster(rasters[i]);
        step(1);
    };
    // Pages show the verdicts, which have the fewest bytes of all rasters.
    static_assert(rasters_of_a_boat.front() == Layer::verdict);
    const std::size_t first = !rasters.empty() && pages ? 1 : 0;
    if (first == 1) finish_raster(0);
    std::vector<std::function<void()>> things = {[&] {
        state.finish_vectors();
        if (pages) pages();
    }};
    for (std::size_t i = first; i < rasters.size(); ++i) {
        things.emplace_back([&finish_raster, i] { finish_raster(i); });
    }
    side_by_side(things, state.job.threads);
    std::vector<LayerSpec> with_tiles;
    for (std::size_t i = 0; i < rasters.size(); ++i) {
        if (state.formats_of(rasters[i]).has(Format::mbtiles)) with_tiles.push_back(finished[i].spec);
    }
    if (!with_tiles.empty()) {
        write_tiles(state.folder, with_tiles, state.part(), state.source, state.provenance, state.job.threads,
                    [&] { step(0); });
    }
    if (state.job.wanted.has(Layer::project)) {
        std::vector<ProjectLayer> on_top(state.project.rbegin(), state.project.rend());
        for (State::FinishedRaster& raster : finished) {
            on_top.push_back(std::move(raster.in_project));
        }
        write_project(state.folder, on_top, state.part(), state.provenance);
    }
    step(1);
}

std::int64_t OverlayFiles::zones_written() const { return state_->zones ? state_->zones->count() : 0; }
std::int64_t OverlayFiles::zones_dropped() const { return state_->zones_dropped; }
std::int64_t OverlayFiles::cells_of(Verdict verdict) const { return tally().of(verdict).cells; }
std::int64_t OverlayFiles::cells_surveyed() const { return tally().surveyed().cells; }
const Tally& OverlayFiles::tally() const { return state_->tally; }
std::vector<AnchorageAnswers> OverlayFiles::anchorages() const {
    const std::vector<ChartedAnchorage> charted = charted_anchorages(*state_->job.hazards);
    std::vector<AnchorageAnswers> all;
    for (const auto& [number, tally] : state_->anchorages) {
        all.push_back({charted.at(number).label, tally, charted.at(number).is_point});
    }
    return all;
}
void OverlayFiles::drop_unasked() {
    for (const LayerTraits& layer : layer_table) {
        swingroom::drop_unasked(state_->folder, layer.name, layer.content, state_->formats_of(layer.layer));
    }
}

const MapPlanes* OverlayFiles::map_planes() const {
    return state_->map_planes ? &*state_->map_planes : nullptr;
}
std::int64_t OverlayFiles::cells_afloat() const { return state_->afloat; }
const std::vector<VectorLayer::Finished>& OverlayFiles::vectors() const { return state_->vectors; }
std::string OverlayFiles::name_of_spot(std::size_t rank) const {
    const CellAnswer& answer = state_->best_spots.at(rank - 1).answer;
    return spot_name(rank, state_->spots_written, told(answer.verdict, answer.advice),
                     state_->outputs.prefix);
}
std::size_t OverlayFiles::spots_written() const { return state_->spots_written; }
const std::vector<PositionReport>& OverlayFiles::best_spots() const { return state_->best_spots; }
const std::vector<PlaceMerits>& OverlayFiles::best_merits() const { return state_->best_merits; }

} // namespace swingroom
