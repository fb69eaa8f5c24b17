#include "report/water_section.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/report/tide_picture.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/water/tide_table.hpp"

#include "base/text.hpp"
#include "report/page_parts.hpp"
#include "report/stay_water.hpp"
#include "report/table_markup.hpp"
#include "report/way_in_section.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::round;

/// Of a long stay the page has the first ones; all are what --json has.
constexpr std::size_t most_turns = 24;

std::string centimetres(double metres, const Measures& measures) {
    return length_text(metres, Rounded::up, measures, 2);
}

/// The way of a drop point's verdict, where what it needs of the water is known.
std::optional<WayAtPosition> way_with_level(const PositionReport& spot) {
    for (const WayAtPosition& at : spot.ways) {
        if (is_yes(spot.answer.verdict) && at.way == way_of(spot.answer.verdict) &&
            std::isfinite(at.level_needed_m)) {
            return at;
        }
    }
    return std::nullopt;
}

/// What the drop point needs that needs the most, where that lies within the picture; nothing: it does not.
std::optional<TidePicture::Level> greatest_need(const ReportInput& input) {
    std::optional<TidePicture::Level> greatest;
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        const auto at = way_with_level(input.best_spots[i]);
        if (!at || (greatest && at->level_needed_m <= greatest->level_m)) continue;
        greatest = {at->level_needed_m, "drop point " + std::to_string(i + 1)};
    }
    // A yes is afloat at the lowest level: mostly what it needs lies far below all that the water does.
    constexpr double margin = 0.1;
    const WaterLevels levels = input.tide->stay.levels();
    if (greatest && greatest->level_m < levels.low_m - margin * levels.range_m()) greatest.reset();
    return greatest;
}

/// The curve with what matters of the stay on it.
Markup curve_figure(const ReportInput& input) {
    const StayTide& tide = *input.tide;
    const WaterLevels levels = tide.stay.levels();
    TidePicture picture;
    picture.curve = tide.curve.get();
    // A little of what comes before and after, as far as it is known.
    constexpr hours around(1);
    picture.from = std::max(tide.curve->first(), tide.stay.arrive() - around);
    picture.to = std::min(tide.curve->last(), tide.stay.depart() + around);
    picture.allowances = tide.allowances;
    picture.zone = tide.zone;
    picture.measures = input.measures;
    picture.moments = {{tide.stay.arrive(), "arrival"}, {tide.stay.depart(), "departure"}};
    picture.levels = {{levels.low_m, "lowest"}, {levels.high_m, "highest"}};
    std::string caption = "The water above chart datum, by the clock " + zone_text(tide.zone) +
                          ": the prediction, and the band that the level may be in, allowances counted. "
                          "Lines across: the lowest "
                          "and highest level that this page reckons with";
    if (const auto need = greatest_need(input)) {
        picture.levels.push_back(*need);
        caption +=
            ", and the level at which the drop point that needs the most water floats her all over its "
            "swinging circle";
    }
    if (const auto place = first_at_times(input)) {
        const auto level_m = double{input.best_spots[*place].reach->access_level_m};
        const std::string of = "the way in to drop point " + std::to_string(*place + 1);
        picture.levels.push_back({level_m, "way in opens"});
        picture.windows = tide.stay.windows(level_m);
        picture.windows_label = "Open is " + of;
        caption += ", and the level from which on " + of +
                   " is open, over its sill; bars along the lower edge: when it is open for sure";
    }
    caption += ".";
    return element("figure", {{"class", "water"}},
                   "\n" + tide_picture(picture) + text_element("figcaption", caption) + "\n") +
           "\n";
}

Markup turns_table(const ReportInput& input) {
    const StayTide& tide = *input.tide;
    const std::vector<Turn> turns = turns_of_stay(tide);
    const std::string unit(unit_name(input.measures));
    ReportTable table{"High and low waters of the stay, as predicted",
                      {{"", "", ""}, {"", "Time, " + zone_text(tide.zone), ""}, {"", "Level", unit, true}},
                      {}};
    for (std::size_t i = 0; i < std::min(most_turns, turns.size()); ++i) {
        table.rows.push_back({turns[i].high ? "High" : "Low",
                              local_time_text(round<minutes>(turns[i].time), tide.zone),
                              length_number(turns[i].height_m, Rounded::nearest, input.measures, 2)});
    }
    if (table.rows.empty()) return {};
    const std::size_t more = turns.size() - table.rows.size();
    return table_markup(table) +
           paragraph(more == 0 ? "" : "And " + std::to_string(more) + " more before departure.");
}

/// What to look for on arrival at the best drop point; of the others the tables have the figures.
Markup arrival_part(const ReportInput& input) {
    if (input.best_spots.empty()) return {};
    const PositionReport& best = input.best_spots.front();
    const std::vector<std::string> sentences =
        arrival_sentences(arrival_of(arrival_water(*input.tide), best, input.boat), best, input.measures);
    if (sentences.empty()) return {};
    return text_element("h3", "On arrival at drop point 1") + "\n" + item_list(sentences);
}

/// Where the station lies as seen from the middle of the area.
std::string station_sentence(const StayTide& tide, LonLat middle, const Measures& measures) {
    if (!tide.place) {
        return "Nobody says where " + (tide.station.empty() ? "the station" : tide.station) +
               " lies: look up how far it is, and whether the tide here is the tide there.";
    }
    const Geodesic way = geodesic(middle, {tide.place->lon, tide.place->lat});
    constexpr double half_a_mile_m = 926;
    const std::string off = way.distance_m < half_a_mile_m
                                ? length_text(way.distance_m, Rounded::nearest, measures, 0)
                                : fixed(way.distance_m / 1852, 1) + " nm";
    return "The station" + (tide.station.empty() ? "" : ", " + tide.station + ",") + " lies " + off +
           " from the middle of the area, bearing " + bearing_text(way.azimuth_deg) +
           ": range and times of the tide change with distance, behind headlands and up rivers.";
}

std::vector<std::string> how_sure(const ReportContents& contents, const ReportInput& input) {
    const StayTide& tide = *input.tide;
    const LonLat middle{(contents.south_west.x + contents.north_east.x) / 2,
                        (contents.south_west.y + contents.north_east.y) / 2};
    std::vector<std::string> sentences = {station_sentence(tide, middle, input.measures),
                                          "The curve: " + tide.curve->bounds_text() + "."};
    if (dynamic_cast<const TideTable*>(tide.curve.get()) != nullptr) {
        sentences.emplace_back(
            "Between high and low water the curve of a table is a mean one: in estuaries, and "
            "where the tide stands or has two high waters, the water may lie lower. There a "
            "series of heights or constituents will do, a table will not.");
    }
    sentences.push_back("For weather, " + centimetres(tide.allowances.below_m, input.measures) +
                        " are taken off the curve, and " +
                        centimetres(tide.allowances.above_m, input.measures) +
                        " put on it: look at the forecast, since wind and pressure may move the water "
                        "further.");
    return sentences;
}

} // namespace

Markup water_section(const ReportContents& contents, const ReportInput& input) {
    if (input.tide == nullptr) return {};
    const StayTide& tide = *input.tide;
    constexpr const char* where_no =
        "A yes is afloat the whole stay. Where the answer is no, the layers hours_afloat_full, "
        "hours_afloat_short and hours_afloat_sinker tell for how long of it the water would float her all "
        "over her swinging circle.";
    const std::string from = tide.station.empty() ? "" : ", by the tide of " + tide.station;
    return paragraph("From " + stay_text(tide, input.measures) + from + ".") + curve_figure(input) +
           turns_table(input) + paragraph(where_no) + arrival_part(input) +
           text_element("h3", "How sure the level is") + "\n" + item_list(how_sure(contents, input));
}

} // namespace swingroom
