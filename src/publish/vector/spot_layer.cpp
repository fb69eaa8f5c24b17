#include "publish/vector/spot_layer.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position_words.hpp"

#include "base/text.hpp"
#include "publish/styles/answer_words.hpp"
#include "publish/vector/safe_properties.hpp"
#include "publish/vector/way_in_columns.hpp"

#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
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

/// The way of the verdict; of a no without figures.
WayAtPosition way_of_answer(const PositionReport& spot) {
    for (const WayAtPosition& way : spot.ways) {
        if (is_yes(spot.answer.verdict) && way.way == way_of(spot.answer.verdict)) return way;
    }
    return {};
}

Property rode_of(const WayAtPosition& at, const RodeMarks& marks) {
    return {"rode_m", rode_value(exact_rode_m(at.detail.needs.rode_m, marks), marks, Measures{}), 1};
}

/// What the sounder must show; nothing of a yes without that condition.
void add_condition(std::vector<Property>& properties, const PositionReport& spot, const WayAtPosition& at,
                   const SpotTerms& terms) {
    const double limit_m = at.detail.needs.sounder_limit_m;
    const double shown_at_low_m = shown_above_datum_m(spot.levels.low_m, terms.boat.sounder);
    properties.push_back(down("sounder_limit_m", limit_m, 1));
    properties.push_back(down("sounder_at_low_water_m", limit_m + shown_at_low_m, 1));
    properties.push_back(
        text("condition", sounder_condition(limit_m, shown_at_low_m, plain_way_words(spot, terms.marks))));
}

/// What the water does there while she stays, and what to look for when she arrives. Only with a tide: else
/// there are no such columns.
void add_water(std::vector<Property>& properties, const PositionReport& spot, const WayAtPosition& at,
               const SpotTerms& terms) {
    if (terms.tide == nullptr) return;
    const Stay& stay = terms.tide->stay;
    const bool known = !std::isnan(at.level_needed_m);
    const Arrival arrival = arrival_of(terms.water, spot, terms.boat);
    properties.push_back(up("level_needed_m", at.level_needed_m, 1));
    properties.push_back(
        down("hours_afloat",
             known ? stay.hours_afloat(at.level_needed_m) : std::numeric_limits<double>::quiet_NaN(), 1));
    properties.push_back(text("afloat", known ? afloat_text(stay, at.level_needed_m, terms.tide->zone) : ""));
    constexpr double nobody_says = std::numeric_limits<double>::quiet_NaN();
    properties.push_back(up("transducer_m", terms.boat.sounder.transducer_m.value_or(nobody_says), 2));
    properties.push_back({"sounder_on_arrival_predicted_m", arrival.reading.predicted_m, 1});
    properties.push_back(down("sounder_on_arrival_least_m", arrival.reading.least_m, 1));
    properties.push_back(up("sounder_on_arrival_greatest_m", arrival.reading.greatest_m, 1));
    properties.push_back(
        down("sounder_on_arrival_limit_m", arrival.sounder_most_m.at(static_cast<std::size_t>(at.way)), 1));
    properties.push_back(text("sounder_on_arrival", reading_text(arrival.reading)));
    properties.push_back(text("on_arrival", joined(arrival_sentences(arrival, spot), " ")));
}

/// The shoalest place on the way in; of a way that no water of the stay opens, of the deepest one.
const Sill* sill_of(const PositionReport& spot) {
    if (!spot.way) return nullptr;
    if (spot.way->approach) return &spot.way->approach->sill;
    return spot.way->closed && spot.way->closed->sill ? &*spot.way->closed->sill : nullptr;
}

/// How much water is over the sill is told for the time of arrival, or else for low water.
void add_sill(std::vector<Property>& properties, const Sill* sill, const SpotTerms& terms) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    const double level_m = terms.tide != nullptr ? terms.water.level.least_m : terms.low_water_m;
    properties.push_back({"sill_longitude", sill != nullptr ? sill->at.lon : none, 6});
    properties.push_back({"sill_latitude", sill != nullptr ? sill->at.lat : none, 6});
    properties.push_back(down("sill_depth_m", sill != nullptr ? sill->least_depth_m : none, 2));
    properties.push_back(up("sill_level_m", sill != nullptr ? sill->level_m : none, 2));
    properties.push_back(down(terms.tide != nullptr ? "sill_water_at_arrival_m" : "sill_water_at_low_water_m",
                              sill != nullptr ? sill->least_depth_m + level_m : none, 2));
    properties.push_back(text("sill", sill != nullptr ? sill->hazard : ""));
}

/// Whether she gets there, when, and over what. Only where somebody looked for a way in.
void add_reach(std::vector<Property>& properties, const PositionReport& spot, const SpotTerms& terms) {
    if (!terms.way_in) return;
    const PlaceReach reach = spot.reach.value_or(PlaceReach());
    add_way_in(properties, reach, terms.tide);
    add_times_of_way_in(properties, reach, terms.tide);
    add_sill(properties, sill_of(spot), terms);
}

Verdict told_of(const PositionReport& spot) { return told(spot.answer.verdict, spot.answer.advice); }

std::vector<Property> spot_properties(const PositionReport& spot, const PlaceMerits& merits, std::size_t rank,
                                      const std::string& spot_name, const SpotTerms& terms) {
    const double admitted =
        is_by_sounder(merits.verdict) ? merits.band_admitted : std::numeric_limits<double>::quiet_NaN();
    std::vector<Property> properties = {
        whole("rank", static_cast<std::int64_t>(rank)), text("name", spot_name),
        whole("verdict", static_cast<int>(told_of(spot))),
        text("meaning", verdict_words(spot.answer.verdict, spot.answer.advice))};
    const WayAtPosition at = way_of_answer(spot);
    properties.push_back(down("depth_low_m", spot.depth_low_m, 1));
    properties.push_back(up("depth_high_m", spot.depth_high_m, 1));
    properties.push_back(rode_of(at, terms.marks));
    properties.push_back(up("sinker_from_bow_m", at.detail.sinker_from_bow_m, 1));
    properties.push_back(up("radius_m", at.detail.needs.radius_m, 1));
    add_condition(properties, spot, at, terms);
    properties.push_back(down("band_admitted", admitted, 2));
    properties.push_back({"inner_distance_m", static_cast<double>(merits.inner_dm) / 10, 1});
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
    add_water(properties, spot, at, terms);
    add_reach(properties, spot, terms);
    properties.push_back(text("advice", advice_text(spot.answer.advice)));
    return properties;
}

std::vector<Property> circle_properties(const PositionReport& spot, std::size_t rank, const std::string& name,
                                        const SpotTerms& terms) {
    const WayAtPosition at = way_of_answer(spot);
    std::vector<Property> properties = {
        whole("rank", static_cast<std::int64_t>(rank)), text("name", name),
        whole("verdict", static_cast<int>(told_of(spot))),
        text("meaning", verdict_words(spot.answer.verdict, spot.answer.advice))};
    add_condition(properties, spot, at, terms);
    properties.push_back(rode_of(at, terms.marks));
    properties.push_back(up("radius_m", at.detail.needs.radius_m, 1));
    return properties;
}

SpotTerms terms_of(const OverlayJob& job) {
    const Boat& boat = job.tables->boat();
    return {rode_marks(boat),
            boat,
            job.tide,
            job.tide == nullptr ? ArrivalWater() : arrival_water(*job.tide),
            job.way_in != nullptr,
            job.tables->conditions().water.low_m};
}

} // namespace

SpotLayer::SpotLayer(const std::filesystem::path& folder, const OverlayJob& job, const Provenance& provenance,
                     std::size_t spots, NamePrefix prefix, bool circles)
    : spots_(spots), prefix_(std::move(prefix)), terms_(terms_of(job)),
      points_(folder, "spots", "The best drop points, best first, none in the swinging circle of another",
              VectorLayer::Shape::point, spot_properties({}, {}, 0, "", terms_), provenance) {
    if (!circles) return;
    circles_.emplace(folder, "circles",
                     "What the boat sweeps at each drop point, by the radius at its way to lie",
                     VectorLayer::Shape::polygon, circle_properties({}, 0, "", terms_), provenance,
                     VectorLayer::Rounding::outwards);
}

void SpotLayer::add(const PositionReport& spot, const PlaceMerits& merits) {
    const auto rank = static_cast<std::size_t>(points_.count()) + 1;
    points_.add_point(
        {spot.centre.lon, spot.centre.lat},
        spot_properties(spot, merits, rank, spot_name(rank, spots_, told_of(spot), prefix_), terms_));
    if (!circles_) return;
    const std::string name = circle_name(rank, spots_, told_of(spot), prefix_);
    circles_->add_polygon({circle_around(spot.centre, way_of_answer(spot).detail.needs.radius_m)},
                          circle_properties(spot, rank, name, terms_));
}

void SpotLayer::finish() {
    points_.finish();
    if (circles_) circles_->finish();
}

std::vector<GridPoint> circle_around(LonLat centre, double radius_m) {
    // A chord that is straight on longitudes and latitudes lies micrometres beside the geodesic; corners are
    // rounded outwards when they are written.
    constexpr int corners = 72;
    constexpr double slack_m = 0.01;
    const double corner_m = (radius_m + slack_m) / std::cos(std::numbers::pi / corners);
    std::vector<GridPoint> ring;
    for (int i = 0; i < corners; ++i) {
        const LonLat corner = destination(centre, -360.0 * i / corners, corner_m);
        ring.push_back({corner.lon, corner.lat});
    }
    ring.push_back(ring.front());
    return ring;
}

} // namespace swingroom
