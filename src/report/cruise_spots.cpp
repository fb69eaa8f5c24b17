#include "swingroom/report/cruise_spots.hpp"

#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "base/text.hpp"
#include "publish/styles/answer_words.hpp"
#include "publish/vector/derived_files.hpp"
#include "publish/vector/feature_looks.hpp"
#include "publish/vector/safe_properties.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {
namespace {

std::string windows_text(const CruisePlace& place, const CruiseStay& stay) {
    std::string words;
    for (const TimeWindow& window : place.windows) {
        add_word(words, "; ", window_text(window, stay.zone));
    }
    return words.empty() ? words : words + " " + zone_text(stay.zone);
}

/// The beginning or the end of one of the times in which she gets there; empty where there is none.
std::string time_text(const CruisePlace& place, std::size_t window, Instant TimeWindow::*which,
                      ZoneOffset zone) {
    return window < place.windows.size() ? clock_text(place.windows[window].*which, zone) : std::string();
}

/// Columns that the layer of a run has are called as there, so that their words are the same.
std::vector<Property> properties_of(const CruisePlace& place, std::size_t rank, const CruiseStay& stay,
                                    const CruiseBoat& boat) {
    return {text("name", place.name),
            text("stay", stay.name),
            text("boat", boat.name),
            whole("rank", static_cast<std::int64_t>(rank)),
            whole("verdict", static_cast<int>(told(place.verdict, place.advice))),
            text("meaning", verdict_words(place.verdict, place.advice)),
            down("depth_low_m", place.depth_low_m, 1),
            up("depth_high_m", place.depth_high_m, 1),
            {"rode_m", rode_value(rode_at_marks_m(place.rode_m, boat.marks), boat.marks, Measures{}), 1},
            up("radius_m", place.radius_m, 1),
            down("sounder_limit_m", place.sounder_limit_m, 1),
            down("sounder_at_low_water_m", place.sounder_at_low_water_m, 1),
            text("condition", place.condition),
            down("spare_m", place.spare_m, 1),
            down("wind_limit_kn", place.wind_limit_kn, 0),
            text("wind_limit_by", std::string(name(place.limit_by))),
            text("way_in", std::string(reach_word(place.reach))),
            up("access_level_m", place.access_level_m, 2),
            text("windows", windows_text(place, stay)),
            text("come_from", time_text(place, 0, &TimeWindow::from, stay.zone)),
            text("come_until", time_text(place, 0, &TimeWindow::to, stay.zone)),
            text("leave_by", time_text(place, place.windows.size() - 1, &TimeWindow::to, stay.zone)),
            text("advice", advice_text(place.advice))};
}

} // namespace

void write_cruise_spots(const std::filesystem::path& folder, const CruiseFigures& cruise,
                        const Provenance& provenance) {
    VectorLayer layer(folder, "spots", "The best drop points of all stays of a cruise",
                      VectorLayer::Shape::point, properties_of({}, 0, {}, {}), provenance);
    for (const CruiseStay& stay : cruise.stays) {
        for (std::size_t boat = 0; boat < cruise.boats.size(); ++boat) {
            std::size_t rank = 0;
            for (const CruisePlace& place : stay.answers[boat].places) {
                layer.add_point({place.position.lon, place.position.lat},
                                properties_of(place, ++rank, stay, cruise.boats[boat]));
            }
        }
    }
    layer.finish();
    FormatSet formats = Format::gpx;
    formats.add(Format::gpkg);
    derive_from(layer, folder, formats, false, looks_by_verdict(true, true), provenance);
}

} // namespace swingroom
