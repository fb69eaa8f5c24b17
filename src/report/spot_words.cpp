#include "report/spot_words.hpp"

#include "swingroom/overlay/position_words.hpp"

#include "publish/styles/answer_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>

namespace swingroom {
namespace {

/// With its water in tenths of a metre, as the layers tell it: what is read in feet is that.
NearestDanger as_in_layers(NearestDanger danger) {
    const double tenths_m = rounded(danger.depth_low_m, 1, Rounded::down);
    danger.depth_low_m = danger.depth_low_m < 0 ? std::min(tenths_m, -1e-9) : tenths_m; // still below 0
    return danger;
}

/// @param which  the columns of the layer: "hull_danger" or "ground_danger"
std::string danger_text(const FinishedFeature& spot, const std::string& which, const std::string& what,
                        const Measures& measures) {
    const double metres = spot.number(which + "_m"), bearing = spot.number(which + "_bearing_deg");
    const std::string distance = std::isnan(metres) ? "" : length_text(metres, Rounded::down, measures);
    if (what == no_danger) return distance.empty() ? what : "none within " + distance;
    if (std::isnan(bearing)) return what + (distance.empty() ? "" : " (" + distance + ")");
    return what + ", " + distance + " off, bearing " + bearing_text(bearing);
}

} // namespace

std::string area_text(double square_metres, const Measures& measures) {
    struct Unit {
        double square_metres;
        std::string_view name;
        int decimals;
    };
    constexpr double foot = metres_per_unit({LengthUnit::foot, {}}), nautical_mile = 1852;
    constexpr std::array metric = {Unit{1, " m\u00b2", 0}, Unit{10'000, " ha", 1},
                                   Unit{1'000'000, " km\u00b2", 1}};
    constexpr std::array other = {Unit{foot * foot, " ft\u00b2", 0}, Unit{43'560 * foot * foot, " acres", 1},
                                  Unit{nautical_mile * nautical_mile, " nm\u00b2", 1}};
    const auto& [small, middle, large] = measures.length == LengthUnit::metre ? metric : other;
    constexpr double most_of_middle_m2 = 1e7;
    const Unit& unit = square_metres < middle.square_metres ? small
                       : square_metres < most_of_middle_m2  ? middle
                                                            : large;
    return fixed_down(square_metres / unit.square_metres, unit.decimals) + std::string(unit.name);
}

DangerWords danger_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input) {
    if (number >= input.best_spots.size()) {
        return {danger_text(spot, "hull_danger", spot.text("hull_danger"), input.measures),
                danger_text(spot, "ground_danger", spot.text("ground_danger"), input.measures)};
    }
    const PositionReport& known = input.best_spots[number];
    const auto words = [&](const char* which, const std::optional<NearestDanger>& danger) {
        return danger_text(spot, which, danger ? what_is(as_in_layers(*danger), input.measures) : no_danger,
                           input.measures);
    };
    return {words("hull_danger", known.hull_danger), words("ground_danger", known.ground_danger)};
}

std::string nearest_danger_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input) {
    const DangerWords words = danger_words(spot, number, input);
    if (words.hull == words.ground) return words.hull;
    const bool of_hull = spot.text("hull_danger") != no_danger,
               of_ground = spot.text("ground_danger") != no_danger;
    const bool ground_nearer =
        of_ground && (!of_hull || spot.number("ground_danger_m") < spot.number("hull_danger_m"));
    return ground_nearer ? "for anchor and rode: " + words.ground : "for the hull: " + words.hull;
}

/// What the chart lets expect, in the unit that is read where the point is known.
std::string expected_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input) {
    if (number >= input.best_spots.size()) return spot.text("charted");
    const std::optional<ExpectedDepth>& expected = input.best_spots[number].expected;
    return expected ? expected_text(*expected, input.measures) : "";
}

std::string notes_words(const FinishedFeature& spot, std::size_t number, const ReportInput& input) {
    return number < input.best_spots.size() ? notes_text(input.best_spots[number].notes, input.measures)
                                            : spot.text("seabed_notes");
}

bool spare_is_at_least(const FinishedFeature& spot, std::size_t number, const ReportInput& input) {
    const bool none_near = spot.text("hull_danger") == no_danger && spot.text("ground_danger") == no_danger;
    if (none_near || number >= input.best_spots.size()) return none_near;
    const PositionReport& known = input.best_spots[number];
    for (const WayAtPosition& at : known.ways) {
        if (at.way == way_of(known.answer.verdict)) return !end_of_spare(known, at);
    }
    return false;
}

Markup position_markup(double lon, double lat) {
    Measures minutes;
    minutes.position = PositionForm::minutes;
    const std::string both = position_text(lon, lat, minutes);
    const std::size_t blank = both.find(' ');
    const std::string latitude = both.substr(0, blank), longitude = both.substr(blank + 1);
    return text_element("span", {{"class", "minutes"}}, latitude) + " " +
           text_element("span", {{"class", "minutes"}}, longitude) + " " +
           text_element("span", {{"class", "degrees"}}, fixed(lat, 6) + ", " + fixed(lon, 6));
}

} // namespace swingroom
