#include "report/feature_tables.hpp"

#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/water/level_text.hpp"

#include "publish/styles/answer_words.hpp"
#include "report/spot_words.hpp"
#include "report/table_markup.hpp"
#include "report/way_in_section.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <iterator>
#include <limits>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

/// What is not there, and will not be.
constexpr const char* none = "\u2013";

/// What the column of the sounder's limits means.
std::string sounder_note(const ReportInput& input) {
    const double transducer_m = input.boat.sounder.transducer_m.value_or(0);
    return "Sounder, at most: taken to chart datum. Let go only where it shows no more than that and the "
           "height "
           "of the water together" +
           (transducer_m > 0 ? ", less " + length_text(transducer_m, Rounded::up, input.measures) +
                                   " by which the transducer is under water"
                             : std::string()) +
           ", within a boat's length around, and veer for the most that it shows there, at high water.";
}

constexpr const char* water_note =
    "Water: least at low water to most at high water, each with all that the depth may be off.";

/// A column of a table of features.
struct FigureColumn {
    ReportTable::Column head;
    const char* style;
    /// Whether a feature has that figure.
    std::function<bool(const FinishedFeature&)> has;
    std::function<Markup(const FinishedFeature&)> content; ///< of its cell
};

std::function<bool(const FinishedFeature&)> has(std::string property) {
    return [name = std::move(property)](const FinishedFeature& of) { return of.has(name); };
}

FigureColumn figure(std::string heading, std::string unit, const std::string& property,
                    const std::function<std::string(double)>& text) {
    return {{"", std::move(heading), std::move(unit)},
            number_style,
            has(property),
            [=](const FinishedFeature& of) {
                return escaped(of.has(property) ? text(of.number(property)) : none);
            }};
}

FigureColumn length(std::string heading, const std::string& property, Rounded way, const Measures& measures) {
    return figure(std::move(heading), std::string(unit_name(measures)), property,
                  [=](double metres) { return length_number(metres, way, measures); });
}

/// "5.5–8.0": the upper end up, the lower one, and what is the same at both, the way that is given: a depth
/// down, a need up.
FigureColumn range(std::string heading, const std::string& least, const std::string& most, Rounded low_end,
                   const Measures& measures) {
    return {{"", std::move(heading), std::string(unit_name(measures))},
            number_style,
            has(least),
            [=](const FinishedFeature& of) {
                const double from = of.number(least), to = of.number(most);
                if (std::isnan(to)) { // a deep edge that is not charted
                    return escaped(length_number(from, low_end, measures) + " or more");
                }
                if (from == to) return escaped(length_number(from, low_end, measures));
                return escaped(length_number(from, low_end, measures) + "\u2013" +
                               length_number(to, Rounded::up, measures));
            }};
}

/// Of a rode to veer: in the unit that is read, and in that of its marks where it is another.
void add_rode(std::vector<FigureColumn>& columns, const std::string& least, const std::string& most,
              const ReportInput& input) {
    const auto add = [&](const char* heading, const Measures& measures) {
        const auto rode = [=, marks = input.marks](const FinishedFeature& of, const std::string& name) {
            return rode_number(rode_at_marks_m(of.number(name), marks), marks, measures);
        };
        columns.push_back({{"", heading, std::string(unit_name(measures))},
                           number_style,
                           has(least),
                           [=](const FinishedFeature& of) {
                               const std::string from = rode(of, least), to = rode(of, most);
                               return escaped(from == to ? to : from + "\u2013" + to);
                           }});
    };
    add("Rode", input.measures);
    if (input.marks.measures.length != input.measures.length) add("Rode by marks", input.marks.measures);
}

/// A wind limit of the layers, with a mark where it is by room alone.
Markup limit_markup(const FinishedFeature& of, const std::string& property) {
    return escaped(of.has(property)
                       ? wind_limit_number(of.number(property), limit_by_of(of.text("wind_limit_by")))
                       : none);
}

/// What the mark means, where any of the features has it.
Markup limit_note(const std::vector<FinishedFeature>& features) {
    const bool any = std::any_of(features.begin(), features.end(), [](const FinishedFeature& of) {
        return limit_by_of(of.text("wind_limit_by")) == LimitBy::room;
    });
    return any ? text_element("p", wind_limit_note) + "\n" : Markup();
}

/// The least wind limit of a way all over a zone.
FigureColumn wind_limit_of(Way way) {
    const std::string property = "wind_limit_" + std::string(name(way)) + "_min_kn";
    return {{"Wind limit, least", std::string(phrase(way)), "kn"},
            number_style,
            has(property),
            [=](const FinishedFeature& zone) { return limit_markup(zone, property); }};
}

FigureColumn position(std::string heading, const std::function<GridPoint(const FinishedFeature&)>& place) {
    return {{"", std::move(heading), ""},
            "position",
            [](const FinishedFeature&) { return true; },
            [=](const FinishedFeature& of) { return position_markup(place(of).x, place(of).y); }};
}

/// @param said  advice that is said of all: not again in each row
FigureColumn how(std::uint16_t said) {
    const bool holding_said = (said & advice::unknown_holding) != 0;
    return {{"", "How", ""}, "how", has("verdict"), [holding_said](const FinishedFeature& of) {
                const bool not_known = !holding_said && says_holding_not_known(of.text("meaning"));
                const Verdict verdict = verdict_of(of.number("verdict"));
                return escaped(std::string(is_yes(verdict) && is_out_of_reach(of) ? "no way in; else " : "") +
                               (is_yes(verdict) ? "at " : "") + short_phrase(verdict) +
                               std::string(not_known ? holding_not_known : ""));
            }};
}

/// The place of a drop point in its layer, from 0; beyond all where it has no rank.
std::size_t number_of(const FinishedFeature& spot) {
    const double rank = spot.number("rank");
    return rank >= 1 ? static_cast<std::size_t>(rank) - 1 : std::numeric_limits<std::size_t>::max();
}

/// "12.3"; "at least 12.3" where nothing is near enough to end it.
FigureColumn spare(const ReportInput& input) {
    FigureColumn column = length("Spare", "spare_m", Rounded::down, input.measures);
    column.content = [figures = column.content, &input](const FinishedFeature& spot) {
        const bool more = spot.has("spare_m") && spare_is_at_least(spot, number_of(spot), input);
        return escaped(more ? "at least " : "") + figures(spot);
    };
    return column;
}

FigureColumn sinker(const Measures& measures) {
    FigureColumn column = length("Sinker at", "sinker_from_bow_m", Rounded::up, measures);
    column.has = [](const FinishedFeature& spot) { return spot.number("sinker_from_bow_m") > 0; };
    column.content = [hung = column.has, place = column.content](const FinishedFeature& spot) {
        return hung(spot) ? place(spot) : escaped(none);
    };
    return column;
}

FigureColumn wind_limit() {
    FigureColumn column = figure("Wind limit", "kn", "wind_limit_kn", [](double) { return std::string(); });
    column.content = [](const FinishedFeature& spot) { return limit_markup(spot, "wind_limit_kn"); };
    return column;
}

/// What a skipper needs to let go at a drop point.
/// @param said  as how()
std::vector<FigureColumn> columns_to_let_go(const ReportInput& input, std::uint16_t said) {
    std::vector<FigureColumn> columns = {
        position("Position", [](const FinishedFeature& spot) { return spot.rings.front().front(); }),
        how(said),
        range("Water", "depth_low_m", "depth_high_m", Rounded::down, input.measures),
    };
    add_rode(columns, "rode_m", "rode_m", input);
    columns.push_back(sinker(input.measures));
    columns.push_back(length("Sounder, at most", "sounder_limit_m", Rounded::down, input.measures));
    columns.push_back(length("Radius", "radius_m", Rounded::up, input.measures));
    columns.push_back(spare(input));
    columns.push_back(wind_limit());
    return columns;
}

/// Drops the columns that nothing has a figure for.
std::vector<FigureColumn> used(std::vector<FigureColumn> columns,
                               const std::vector<FinishedFeature>& features) {
    std::erase_if(columns, [&](const FigureColumn& column) {
        return std::none_of(features.begin(), features.end(), column.has);
    });
    return columns;
}

/// A cell that can stand by itself: the style shows its column's name and unit where rows are blocks.
Markup figure_cell(const FigureColumn& column, const FinishedFeature& of) {
    const ReportTable::Column& head = column.head;
    const Markup content = column.content(of);
    Attributes attributes = {{"class", column.style},
                             role("cell"),
                             {"data-name", head.group.empty() ? head.name : head.group + ", " + head.name}};
    if (!head.unit.empty() && content != escaped(none)) {
        attributes.insert(attributes.end(), {{"data-unit", " " + head.unit}});
    }
    return element("td", attributes, content);
}

/// What the rows of a table are called.
struct RowTitles {
    std::string heading; ///< over them
    const char* id;      ///< for the ids of rows, unique in the page; null: they have none
    std::function<std::string(std::size_t)> of; ///< of a row, from 0
};

/// By their rank.   @param id  as RowTitles
RowTitles numbers(const char* id) {
    return {"No.", id, [](std::size_t i) { return std::to_string(i + 1); }};
}

/// A table of features, each with a second row of words where `words` has any.
Markup feature_table(const std::string& caption, const RowTitles& titles,
                     const std::vector<FigureColumn>& columns, const std::vector<FinishedFeature>& features,
                     const std::function<Markup(const FinishedFeature&, std::size_t)>& words) {
    std::vector<ReportTable::Column> heads = {{"", titles.heading, ""}};
    std::vector<const char*> styles = {word_style};
    for (const FigureColumn& column : columns) {
        heads.push_back(column.head);
        styles.push_back(column.style);
    }
    Markup bodies;
    for (std::size_t i = 0; i < features.size(); ++i) {
        const Markup more = words(features[i], i);
        Attributes attributes = {
            {"scope", "rowgroup"}, {"rowspan", more.empty() ? "1" : "2"}, role("rowheader")};
        if (titles.id != nullptr) {
            attributes.insert(attributes.end(), {{"id", titles.id + std::to_string(i + 1)}});
        }
        Markup figures = text_element("th", attributes, titles.of(i));
        for (const FigureColumn& column : columns) {
            figures += figure_cell(column, features[i]);
        }
        Markup rows = row(figures);
        if (!more.empty()) {
            rows += element("tr", {{"class", "words"}, role("row")},
                            element("td", {{"colspan", std::to_string(columns.size())}, role("cell")},
                                    element("div", more))) +
                    "\n";
        }
        bodies += element("tbody", {role("rowgroup")}, "\n" + rows) + "\n";
    }
    return table_of(caption, {{"class", "features"}, role("table")}, head_of(heads, styles), bodies);
}

Markup fact(const char* name, const Markup& value) {
    return element("span", {{"class", "fact"}}, text_element("b", name) + " " + value) + " ";
}

Markup fact(const char* name, const std::string& value) {
    return value.empty() ? Markup() : fact(name, escaped(value));
}

/// A figure of the layer among the words, where there is one.
Markup fact(const char* name, const FinishedFeature& of, const std::string& property,
            const std::function<std::string(double)>& text) {
    return of.has(property) ? fact(name, text(of.number(property))) : Markup();
}

std::function<std::string(double)> length_in(const Measures& measures, Rounded way) {
    return [=](double metres) { return length_text(metres, way, measures); };
}

/// What the sounder should read on arrival, and the most that it may show then; nothing without a tide. Among
/// the words, since a column more would be too many on paper; reading_note() says what the figures are.
Markup on_arrival(const FinishedFeature& spot, const ReportInput& input) {
    if (!spot.has("sounder_on_arrival_least_m")) return {};
    SounderReading reading;
    reading.predicted_m = spot.number("sounder_on_arrival_predicted_m");
    reading.least_m = spot.number("sounder_on_arrival_least_m");
    const bool charted = spot.has("sounder_on_arrival_greatest_m"); // its deep edge
    reading.greatest_m =
        charted ? spot.number("sounder_on_arrival_greatest_m") : std::numeric_limits<double>::infinity();
    const double most_m = spot.number("sounder_on_arrival_limit_m");
    return fact(input.boat.sounder.transducer_m ? "Sounder on arrival:" : "Water on arrival:",
                range_text(reading, input.measures) +
                    (std::isnan(most_m)
                         ? std::string()
                         : "; let go then only at " + length_text(most_m, Rounded::down, input.measures) +
                               " or less"));
}

/// What all rows mean by the sounder on arrival, once below the table; nothing without a tide.
Markup reading_note(const std::vector<FinishedFeature>& spots, const ReportInput& input) {
    const auto has = [&](const char* column) {
        return std::any_of(spots.begin(), spots.end(), [=](const auto& spot) { return spot.has(column); });
    };
    if (!has("sounder_on_arrival_least_m")) return {};
    const Sounder& sounder = input.boat.sounder;
    std::string words = sounder.transducer_m ? "Sounder on arrival: " : "Water on arrival: ";
    words += has("sounder_on_arrival_predicted_m")
                 ? "by the prediction, and in brackets with all that depth and level may be off"
                 : "with all that depth and level may be off";
    if (!sounder.transducer_m) words += "; the sounder shows less, by how deep its transducer is";
    if (sounder.error_m > 0) {
        words += "; error of the sounder \u00b1 " + length_text(sounder.error_m, Rounded::up, input.measures);
    }
    return text_element("p", words + ".") + "\n";
}

std::uint16_t own_advice(const FinishedFeature& of, std::uint16_t said) {
    return static_cast<std::uint16_t>(advice_of(of.text("advice")) & ~said & ~told_of_the_way);
}

/// The advice of a zone or of a drop point by its names, but for what is said of all.
std::string minded(const FinishedFeature& of, std::uint16_t said) {
    std::string names;
    for (const BitName& name : advice_names) {
        if ((own_advice(of, said) & name.bit) != 0) add_word(names, ", ", name.name);
    }
    return names;
}

/// What these names stand for, each once, below the table.
Markup key_to_minded(const std::vector<FinishedFeature>& features, std::uint16_t said) {
    unsigned any = 0;
    for (const FinishedFeature& of : features) {
        any |= own_advice(of, said);
    }
    std::string key;
    for (const BitName& name : advice_names) {
        if ((any & name.bit) != 0) {
            key += (key.empty() ? "" : "; ") + std::string(name.name) + ": " + std::string(name.sentence);
        }
    }
    return key.empty() ? Markup() : text_element("p", "To mind: " + key + ".") + "\n";
}

std::vector<FinishedFeature> first_of(const std::vector<FinishedFeature>& all, std::size_t most) {
    return {all.begin(), std::next(all.begin(), static_cast<std::ptrdiff_t>(std::min(most, all.size())))};
}

/// The ranks of the drop points in a zone, as far as they are read.
std::string ranks_in(const TabledZone& zone) {
    std::string ranks;
    for (const std::size_t rank : zone.spots) {
        ranks += (ranks.empty() ? "" : ", ") + std::to_string(rank);
    }
    return ranks;
}

/// From which level of the water on she gets to all of a zone, and when that is; nothing where that is
/// always.
Markup zone_way_in(const FinishedFeature& zone, const Measures& measures) {
    constexpr int decimals = 2;
    const auto level = [&](double level_m) {
        return level_above_datum_text(level_m, Rounded::up, measures, decimals);
    };
    return fact("Way in, to all of it, from:", zone, "access_level_m", level) +
           (zone.has("access_level_m") ? fact("Come and go:", zone.text("windows")) : Markup());
}

} // namespace

bool is_out_of_reach(const FinishedFeature& of) {
    return verdict_of(of.number("verdict")) == Verdict::out_of_reach ||
           (advice_of(of.text("advice")) & advice::out_of_reach) != 0;
}

Markup best_places_table(const std::vector<FinishedFeature>& spots, std::size_t most,
                         const ReportInput& input, std::uint16_t said) {
    const std::vector<FinishedFeature> best = first_of(spots, most);
    const bool by_sounder =
        std::any_of(best.begin(), best.end(), [](const auto& spot) { return spot.has("sounder_limit_m"); });
    const Markup table =
        feature_table("The best drop points", numbers("best-"), used(columns_to_let_go(input, said), best),
                      best, [&](const FinishedFeature& spot, std::size_t number) {
                          return fact("Nearest danger:", nearest_danger_words(spot, number, input)) +
                                 fact("Way in:", way_in_words(number, input)) + on_arrival(spot, input) +
                                 fact("Mind:", minded(spot, said));
                      });
    return table + text_element("p", water_note) + "\n" +
           (by_sounder ? text_element("p", sounder_note(input)) + "\n" : Markup()) +
           reading_note(best, input) + limit_note(best) + key_to_minded(best, said);
}

Markup spots_table(const std::vector<FinishedFeature>& all, std::size_t most, const ReportInput& input,
                   std::uint16_t said) {
    const std::vector<FinishedFeature> spots = first_of(all, most);
    const auto words = [&](const FinishedFeature& spot, std::size_t number) {
        const auto [hull, ground] = danger_words(spot, number, input);
        const auto percent = [](double share) { return fixed_down(100 * share, 0) + " %"; };
        const auto newtons = [](double pull) { return fixed(pull, 0) + " N"; };
        return (hull == ground ? fact("Nearest danger:", hull)
                               : fact("For the hull:", hull) + fact("For ground tackle:", ground)) +
               fact("Way in:", way_in_words(number, input)) + on_arrival(spot, input) +
               fact("Inner distance:", spot, "inner_distance_m", length_in(input.measures, Rounded::down)) +
               fact("Trip line:", spot, "trip_line_m", length_in(input.measures, Rounded::up)) +
               fact("Hangs:", spot, "hanging_load_n", newtons) +
               fact("Band admitted:", spot, "band_admitted", percent) +
               fact("Condition:", spot.text("condition")) + fact("Seabed:", spot.text("seabed")) +
               fact("Expect:", expected_words(spot, number, input)) +
               fact("Noted near:", notes_words(spot, number, input)) + fact("Mind:", minded(spot, said));
    };
    return feature_table("Drop points, best first", numbers("spot-"),
                         used(columns_to_let_go(input, said), spots), spots, words) +
           reading_note(spots, input) + limit_note(spots) + key_to_minded(spots, said);
}

Markup zones_table(const std::vector<TabledZone>& tabled, const ReportInput& input, std::uint16_t said) {
    const Measures& measures = input.measures;
    std::vector<FinishedFeature> zones;
    for (const TabledZone& one : tabled) {
        zones.push_back(one.zone);
    }
    // By the number that a zone has in its layer.
    const RowTitles by_number{"Zone", nullptr,
                              [&](std::size_t i) { return fixed(zones[i].number("number"), 0); }};
    std::vector<FigureColumn> columns = {
        how(said),
        figure("Area", "", "area_m2",
               [measures](double square_metres) { return area_text(square_metres, measures); }),
        range("Least water", "depth_low_min_m", "depth_low_max_m", Rounded::down, measures),
    };
    add_rode(columns, "rode_min_m", "rode_max_m", input);
    columns.push_back(length("Sounder, at most", "sounder_limit_m", Rounded::down, measures));
    columns.push_back(length("Radius, most", "radius_max_m", Rounded::up, measures));
    for (const Way way : all_ways) {
        columns.push_back(wind_limit_of(way));
    }
    columns.push_back(figure("Boats", "", "boats", [](double boats) { return fixed(boats, 0); }));
    const Markup table =
        feature_table("Zones, the largest first", by_number, used(std::move(columns), zones), zones,
                      [&](const FinishedFeature& zone, std::size_t i) {
                          const bool wise = (advice_of(zone.text("advice")) & advice::trip_line) != 0;
                          const Markup best =
                              position_markup(zone.number("best_longitude"), zone.number("best_latitude"));
                          return fact("Best place:", best) + fact("Drop points:", ranks_in(tabled[i])) +
                                 zone_way_in(zone, measures) + fact("Condition:", zone.text("condition")) +
                                 fact("Seabed:", zone.text("seabed")) +
                                 (wise ? fact("Trip line, at most:", zone, "trip_line_max_m",
                                              length_in(measures, Rounded::up))
                                       : Markup()) +
                                 fact("Mind:", minded(zone, said));
                      });
    return table + limit_note(zones) + key_to_minded(zones, said);
}

} // namespace swingroom
