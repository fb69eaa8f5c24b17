#include "report/report_tables.hpp"

#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position_words.hpp"

#include "publish/styles/answer_words.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <optional>
#include <string_view>

namespace swingroom {
namespace {

/// Wide tables scroll by themselves, never the page.
Markup scroll_region(const std::string& name, const Markup& table) {
    return element("div", {{"class", "scroll"}, {"role", "region"}, {"tabindex", "0"}, {"aria-label", name}},
                   "\n" + table) +
           "\n";
}

Markup with_unit(const std::string& name, const std::string& unit) {
    Markup markup = escaped(name);
    if (!unit.empty()) markup += " " + text_element("span", {{"class", "unit"}}, unit);
    return markup;
}

// The roles say what the elements are anyhow: on a phone the style lays rows out as blocks, and browsers may
// then forget what they are made of.
Attribute role(std::string_view name) { return {"role", name}; }

Markup row(const Markup& cells) { return element("tr", {role("row")}, cells) + "\n"; }

/// @param style  of its cells: a heading stands on their side
Markup head_cell(const ReportTable::Column& column, const char* style, bool over_two_rows = false) {
    Attributes attributes = {{"scope", "col"}, {"class", style}, role("columnheader")};
    if (over_two_rows) attributes.insert(attributes.end(), {{"rowspan", "2"}});
    return element("th", attributes, with_unit(column.name, column.unit));
}

/// Headings in two rows where some belong together, else in one.
/// @param styles  of the columns
Markup head_of(const std::vector<ReportTable::Column>& columns, const std::vector<const char*>& styles) {
    const bool grouped =
        std::any_of(columns.begin(), columns.end(), [](const auto& c) { return !c.group.empty(); });
    Markup upper, lower;
    for (std::size_t i = 0; i < columns.size();) {
        const std::string& group = columns[i].group;
        if (group.empty()) {
            upper += head_cell(columns[i], styles[i], grouped);
            ++i;
            continue;
        }
        std::size_t members = 0;
        for (; i + members < columns.size() && columns[i + members].group == group; ++members) {
            lower += head_cell(columns[i + members], styles[i + members]);
        }
        upper += text_element(
            "th", {{"scope", "colgroup"}, {"colspan", std::to_string(members)}, role("columnheader")}, group);
        i += members;
    }
    return element("thead", {role("rowgroup")}, "\n" + row(upper) + (lower.empty() ? Markup() : row(lower))) +
           "\n";
}

/// @param attributes  of the table
Markup table_of(const std::string& caption, const Attributes& attributes, const Markup& head,
                const Markup& bodies) {
    return scroll_region(caption, element("table", attributes,
                                          "\n" + text_element("caption", caption) + "\n" + head + bodies));
}

constexpr const char *number_style = "n", *word_style = "w";
/// What is not there, and will not be.
constexpr const char* none = "\u2013";

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

FigureColumn how() {
    return {{"", "How", ""}, "how", has("verdict"), [](const FinishedFeature& of) {
                return escaped(
                    "at " + short_phrase(verdict_of(of.number("verdict"))) +
                    std::string(says_holding_not_known(of.text("meaning")) ? holding_not_known : ""));
            }};
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

/// A zone by the number that it has in its layer; what has none, by its place in the table, from 1.
std::string number_of(const FinishedFeature& of, std::size_t place) {
    return of.has("number") ? fixed(of.number("number"), 0) : std::to_string(place + 1);
}

/// A table of features by their numbers, each with a second row of words where `words` has any.
Markup feature_table(const std::string& caption, const char* id, const std::vector<FigureColumn>& columns,
                     const std::vector<FinishedFeature>& features,
                     const std::function<Markup(const FinishedFeature&, std::size_t)>& words) {
    std::vector<ReportTable::Column> heads = {{"", "No.", ""}};
    std::vector<const char*> styles = {word_style};
    for (const FigureColumn& column : columns) {
        heads.push_back(column.head);
        styles.push_back(column.style);
    }
    Markup bodies;
    for (std::size_t i = 0; i < features.size(); ++i) {
        const Markup more = words(features[i], i);
        const std::string number = number_of(features[i], i);
        Markup figures = text_element("th",
                                      {{"scope", "rowgroup"},
                                       {"id", id + number},
                                       {"rowspan", more.empty() ? "1" : "2"},
                                       role("rowheader")},
                                      number);
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

Markup fact(const char* name, const std::string& value) {
    if (value.empty()) return {};
    return element("span", {{"class", "fact"}}, text_element("b", name) + " " + escaped(value)) + " ";
}

/// With its water in tenths of a metre, as the layers tell it: what is read in feet is that.
NearestDanger as_in_layers(NearestDanger danger) {
    const double tenths_m = rounded(danger.depth_low_m, 1, Rounded::down);
    danger.depth_low_m = danger.depth_low_m < 0 ? std::min(tenths_m, -1e-9) : tenths_m; // still dry
    return danger;
}

/// @param which  the columns of the layer: "hull_danger" or "ground_danger"
std::string danger_text(const FinishedFeature& spot, const std::string& which, const std::string& what,
                        const Measures& measures) {
    const double metres = spot.number(which + "_m"), bearing = spot.number(which + "_bearing_deg");
    const std::string distance = std::isnan(metres) ? "" : length_text(metres, Rounded::down, measures);
    if (what == no_danger) return distance.empty() ? what : "none within " + distance;
    if (std::isnan(bearing)) return what + (distance.empty() ? "" : " (" + distance + ")");
    std::string degrees = fixed(std::fmod(std::round(bearing), 360), 0);
    degrees.insert(0, 3 - std::min<std::size_t>(3, degrees.size()), '0');
    return what + ", " + distance + " off, bearing " + degrees + "\u00b0";
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

} // namespace

std::string area_text(double square_metres) {
    constexpr double hectare = 10'000, square_kilometre = 1'000'000;
    if (square_metres < hectare) return fixed_down(square_metres, 0) + " m\u00b2";
    if (square_metres < 10 * square_kilometre) return fixed_down(square_metres / hectare, 1) + " ha";
    return fixed_down(square_metres / square_kilometre, 1) + " km\u00b2";
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

std::string wind_text(const FinishedFeature& of, const std::string& name) {
    return wind_limit_text(of.number(name), limit_by_of(of.text("wind_limit_by")));
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

Markup table_markup(const ReportTable& table) {
    std::vector<const char*> styles(table.columns.size(), word_style);
    for (std::size_t i = 1; i < styles.size(); ++i) { // the first names the row, even if by a number
        if (table.columns[i].numbers) styles[i] = number_style;
    }
    Markup rows;
    for (const std::vector<std::string>& texts : table.rows) {
        Markup cells;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            cells += i == 0 ? text_element("th", {{"scope", "row"}, role("rowheader")}, texts[i])
                            : text_element("td", {{"class", styles[i]}, role("cell")}, texts[i]);
        }
        rows += row(cells);
    }
    return table_of(table.caption, {role("table")}, head_of(table.columns, styles),
                    element("tbody", {role("rowgroup")}, "\n" + rows));
}

std::string own_advice(const FinishedFeature& of, std::uint16_t said) {
    return advice_text(static_cast<std::uint16_t>(advice_of(of.text("advice")) & ~said));
}

Markup spots_table(const std::vector<FinishedFeature>& spots, const ReportInput& input, std::uint16_t said) {
    const Measures& measures = input.measures;
    const auto whole = [](double value) { return fixed(value, 0); };
    std::vector<FigureColumn> columns = {
        position("Position", [](const FinishedFeature& spot) { return spot.rings.front().front(); }),
        how(),
        range("Depth", "depth_low_m", "depth_high_m", Rounded::down, measures),
    };
    add_rode(columns, "rode_m", "rode_m", input);
    FigureColumn sinker = length("Sinker at", "sinker_from_bow_m", Rounded::up, measures);
    sinker.has = [](const FinishedFeature& spot) { return spot.number("sinker_from_bow_m") > 0; };
    sinker.content = [hung = sinker.has, place = sinker.content](const FinishedFeature& spot) {
        return hung(spot) ? place(spot) : escaped(none);
    };
    columns.push_back(std::move(sinker));
    columns.push_back(length("Sounder, at most", "sounder_limit_m", Rounded::down, measures));
    columns.push_back(figure("Band admitted", "%", "band_admitted",
                             [](double share) { return fixed_down(100 * share, 0); }));
    columns.push_back(length("Radius", "radius_m", Rounded::up, measures));
    columns.push_back(length("Spare", "spare_m", Rounded::down, measures));
    columns.push_back(length("Inner distance", "inner_distance_m", Rounded::down, measures));
    columns.push_back(figure("Wind limit", "kn", "wind_limit_kn", whole));
    columns.back().content = [](const auto& spot) { return limit_markup(spot, "wind_limit_kn"); };
    columns.push_back(length("Trip line", "trip_line_m", Rounded::up, measures));
    columns.push_back(figure("Hangs", "N", "hanging_load_n", whole));
    const Markup table = feature_table(
        "Drop points, best first", "spot-", used(std::move(columns), spots), spots,
        [&](const FinishedFeature& spot, std::size_t number) {
            const auto [hull, ground] = danger_words(spot, number, input);
            return (hull == ground ? fact("For hull and ground tackle:", hull)
                                   : fact("For the hull:", hull) + fact("For ground tackle:", ground)) +
                   fact("Condition:", spot.text("condition")) + fact("Seabed:", spot.text("seabed")) +
                   fact("Expect:", expected_words(spot, number, input)) +
                   fact("Noted near:", notes_words(spot, number, input)) +
                   fact("Mind:", own_advice(spot, said));
        });
    return table + limit_note(spots);
}

Markup zones_table(const std::vector<FinishedFeature>& zones, const ReportInput& input, std::uint16_t said) {
    const Measures& measures = input.measures;
    std::vector<FigureColumn> columns = {
        how(),
        figure("Area", "", "area_m2", area_text),
        range("Depth at low water", "depth_low_min_m", "depth_low_max_m", Rounded::down, measures),
    };
    add_rode(columns, "rode_min_m", "rode_max_m", input);
    columns.push_back(length("Sounder, at most", "sounder_limit_m", Rounded::down, measures));
    columns.push_back(length("Radius, most", "radius_max_m", Rounded::up, measures));
    for (const Way way : all_ways) {
        columns.push_back(wind_limit_of(way));
    }
    columns.push_back(length("Trip line, most", "trip_line_max_m", Rounded::up, measures));
    columns.push_back(figure("Boats", "", "boats", [](double boats) { return fixed(boats, 0); }));
    columns.push_back(length("Spare, most", "spare_max_m", Rounded::down, measures));
    columns.push_back(length("Inner distance", "best_inner_distance_m", Rounded::down, measures));
    columns.push_back(position("Best place", [](const FinishedFeature& zone) {
        return GridPoint{zone.number("best_longitude"), zone.number("best_latitude")};
    }));
    const Markup table = feature_table("Zones, the largest first", "zone-", used(std::move(columns), zones),
                                       zones, [&](const FinishedFeature& zone, std::size_t) {
                                           return fact("Condition:", zone.text("condition")) +
                                                  fact("Ways:", zone.text("ways")) +
                                                  fact("Seabed:", zone.text("seabed")) +
                                                  fact("Trip line:", zone.text("trip_line")) +
                                                  fact("Mind:", own_advice(zone, said));
                                       });
    return table + limit_note(zones);
}

Markup exclusions_table(const std::vector<ExclusionKind>& kinds, const Measures& measures) {
    ReportTable table{"What is kept clear of",
                      {{"", "Kind", ""},
                       {"", "How many", "", true},
                       {"", "Forbids", ""},
                       {"", "Advises", ""},
                       {"", "Margin, most", std::string(unit_name(measures)), true},
                       {"", "Where the margin is from", ""}},
                      {}};
    for (const ExclusionKind& kind : kinds) {
        table.rows.push_back({kind.kind, std::to_string(kind.count), kind.forbids, kind.advises,
                              length_number(kind.margin_m, Rounded::up, measures), kind.source});
    }
    return table_markup(table);
}

} // namespace swingroom
