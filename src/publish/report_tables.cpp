#include "publish/report_tables.hpp"

#include "publish/html.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

namespace swingroom {
namespace {

/// Wide tables scroll by themselves, never the page.
std::string scroll_region(const std::string& name, const std::string& table) {
    return element("div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"" + html_text(name) +
                       "\"",
                   "\n" + table) +
           "\n";
}

std::string with_unit(const std::string& name, const std::string& unit) {
    return html_text(name) + (unit.empty() ? "" : " " + text_element("span class=\"unit\"", unit));
}

/// Over numbers, which have a unit, a heading stands on their side.
std::string head_cell(const ReportTable::Column& column, const char* more = "") {
    return element(std::string("th scope=\"col\"") + (column.unit.empty() ? "" : " class=\"n\"") + more,
                   with_unit(column.name, column.unit));
}

/// Headings in two rows where some belong together, else in one.
std::string head_of(const std::vector<ReportTable::Column>& columns) {
    const bool grouped =
        std::any_of(columns.begin(), columns.end(), [](const auto& c) { return !c.group.empty(); });
    std::string upper, lower;
    for (std::size_t i = 0; i < columns.size();) {
        const std::string& group = columns[i].group;
        if (group.empty()) {
            upper += head_cell(columns[i], grouped ? " rowspan=\"2\"" : "");
            ++i;
            continue;
        }
        std::size_t members = 0;
        for (; i + members < columns.size() && columns[i + members].group == group; ++members)
            lower += head_cell(columns[i + members]);
        upper += text_element("th scope=\"colgroup\" colspan=\"" + std::to_string(members) + "\"", group);
        i += members;
    }
    return element("thead", element("tr", upper) + (lower.empty() ? "" : element("tr", lower))) + "\n";
}

bool is_number(const std::string& text) {
    return !text.empty() && text.find_first_not_of("0123456789.-+ \u2013?") == std::string::npos;
}

std::string cell(const std::string& text) {
    return text_element(is_number(text) ? "td class=\"n\"" : "td", text);
}

/// A column of a table of features.
struct FigureColumn {
    ReportTable::Column head;
    /// Whether a feature has that figure.
    std::function<bool(const FinishedFeature&)> has;
    std::function<std::string(const FinishedFeature&)> markup; ///< of the cell
};

std::function<bool(const FinishedFeature&)> has(std::string property) {
    return [name = std::move(property)](const FinishedFeature& of) { return of.has(name); };
}

FigureColumn length(std::string heading, const std::string& property, Rounded way, const Measures& measures) {
    return {{"", std::move(heading), std::string(unit_name(measures))},
            has(property),
            [=](const FinishedFeature& of) {
                return of.has(property) ? cell(length_number(of.number(property), way, measures)) : cell("");
            }};
}

/// "5.5–8.0": down, and up.
FigureColumn range(std::string heading, const std::string& least, const std::string& most,
                   const Measures& measures) {
    return {{"", std::move(heading), std::string(unit_name(measures))},
            has(least),
            [=](const FinishedFeature& of) {
                const std::string from = length_number(of.number(least), Rounded::down, measures),
                                  to = length_number(of.number(most), Rounded::up, measures);
                return cell(from == to ? from : from + "\u2013" + to);
            }};
}

FigureColumn plain(std::string heading, std::string unit, const std::string& property, int decimals = 0) {
    return {
        {"", std::move(heading), std::move(unit)}, has(property), [=](const FinishedFeature& of) {
            const std::string text = of.text(property);
            return cell(!text.empty() ? text : of.has(property) ? fixed(of.number(property), decimals) : "?");
        }};
}

FigureColumn position(std::string heading, const std::function<GridPoint(const FinishedFeature&)>& place) {
    return {{"", std::move(heading), ""},
            [](const FinishedFeature&) { return true; },
            [=](const FinishedFeature& of) {
                return element("td class=\"position\"", position_markup(place(of).x, place(of).y));
            }};
}

FigureColumn way() {
    return {{"", "How", ""}, has("meaning"), [](const FinishedFeature& of) {
                const std::string meaning = of.text("meaning"), yes = "yes, ";
                return text_element("td class=\"how\"",
                                    meaning.starts_with(yes) ? meaning.substr(yes.size()) : meaning);
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

/// A table of features, numbered from 1, each with a second row of words where `words` has any.
std::string feature_table(const std::string& caption, const char* id,
                          const std::vector<FigureColumn>& columns,
                          const std::vector<FinishedFeature>& features,
                          const std::function<std::string(const FinishedFeature&)>& words) {
    std::vector<ReportTable::Column> heads = {{"", "No.", ""}};
    for (const FigureColumn& column : columns)
        heads.push_back(column.head);
    std::string bodies;
    for (std::size_t i = 0; i < features.size(); ++i) {
        const std::string more = words(features[i]), number = std::to_string(i + 1);
        std::string figures = text_element(std::string("th scope=\"rowgroup\" id=\"") + id + number +
                                               "\" rowspan=\"" + (more.empty() ? "1" : "2") + "\"",
                                           number);
        for (const FigureColumn& column : columns)
            figures += column.markup(features[i]);
        std::string rows = element("tr", figures) + "\n";
        if (!more.empty())
            rows +=
                element("tr class=\"words\"", element("td colspan=\"" + std::to_string(columns.size()) + "\"",
                                                      element("div", more))) +
                "\n";
        bodies += element("tbody", "\n" + rows) + "\n";
    }
    return scroll_region(caption,
                         element("table class=\"features\"",
                                 "\n" + text_element("caption", caption) + "\n" + head_of(heads) + bodies));
}

std::string fact(const char* name, const std::string& value) {
    return value.empty()
               ? ""
               : element("span class=\"fact\"", text_element("b", name) + " " + html_text(value)) + " ";
}

} // namespace

std::string area_text(double square_metres) {
    constexpr double hectare = 10'000, square_kilometre = 1'000'000;
    if (square_metres < hectare) return fixed_down(square_metres, 0) + " m\u00b2";
    if (square_metres < 10 * square_kilometre) return fixed_down(square_metres / hectare, 1) + " ha";
    return fixed_down(square_metres / square_kilometre, 1) + " km\u00b2";
}

std::string danger_text(const FinishedFeature& spot, const std::string& which, const Measures& measures) {
    const double metres = spot.number(which + "_m"), bearing = spot.number(which + "_bearing_deg");
    const std::string what = spot.text(which);
    if (std::isnan(bearing))
        return what + (std::isnan(metres) ? "" : " (" + length_text(metres, Rounded::down, measures) + ")");
    std::string degrees = fixed(std::fmod(std::round(bearing), 360), 0);
    degrees.insert(0, 3 - std::min<std::size_t>(3, degrees.size()), '0');
    return what + ", " + length_text(metres, Rounded::down, measures) + " off, bearing " + degrees + "\u00b0";
}

std::string wind_text(const FinishedFeature& of, const std::string& name) {
    return of.has(name) ? fixed_down(of.number(name), 0) + " kn" : "not known";
}

std::string position_markup(double lon, double lat) {
    Measures minutes;
    minutes.position = PositionForm::minutes;
    const std::string both = position_text(lon, lat, minutes);
    const std::size_t blank = both.find(' ');
    const std::string latitude = both.substr(0, blank), longitude = both.substr(blank + 1);
    return text_element("span class=\"minutes\"", latitude) + " " +
           text_element("span class=\"minutes\"", longitude) + " " +
           text_element("span class=\"degrees\"", fixed(lat, 6) + ", " + fixed(lon, 6));
}

std::string table_markup(const ReportTable& table) {
    std::string rows;
    for (const std::vector<std::string>& row : table.rows) {
        std::string cells;
        for (std::size_t i = 0; i < row.size(); ++i)
            cells += i == 0 ? text_element("th scope=\"row\"", row[i]) : cell(row[i]);
        rows += element("tr", cells) + "\n";
    }
    return scroll_region(table.caption,
                         element("table", "\n" + text_element("caption", table.caption) + "\n" +
                                              head_of(table.columns) + element("tbody", "\n" + rows)));
}

std::string spots_table(const std::vector<FinishedFeature>& spots, const Measures& measures) {
    std::vector<FigureColumn> columns = {
        position("Position", [](const FinishedFeature& spot) { return spot.rings.front().front(); }),
        way(),
        range("Depth", "depth_low_m", "depth_high_m", measures),
        length("Rode", "rode_m", Rounded::up, measures),
        length("Sinker at", "sinker_from_bow_m", Rounded::up, measures),
        length("Radius", "radius_m", Rounded::up, measures),
        length("Spare", "spare_m", Rounded::down, measures),
        plain("Wind limit", "kn", "wind_limit_kn"),
        length("Trip line", "trip_line_m", Rounded::up, measures),
        plain("Hangs", "N", "hanging_load_n"),
    };
    FigureColumn& sinker = columns[4];
    sinker.has = [](const FinishedFeature& spot) { return spot.number("sinker_from_bow_m") > 0; };
    sinker.markup = [hung = sinker.has, markup = sinker.markup](const FinishedFeature& spot) {
        return hung(spot) ? markup(spot) : cell("\u2013");
    };
    return feature_table("Drop points, best first", "spot-", used(std::move(columns), spots), spots,
                         [&](const FinishedFeature& spot) {
                             const std::string hull = danger_text(spot, "hull_danger", measures),
                                               ground = danger_text(spot, "ground_danger", measures);
                             return (hull == ground
                                         ? fact("For hull and ground tackle:", hull)
                                         : fact("For the hull:", hull) + fact("For ground tackle:", ground)) +
                                    fact("Seabed:", spot.text("seabed")) + fact("Mind:", spot.text("advice"));
                         });
}

std::string zones_table(const std::vector<FinishedFeature>& zones, const Measures& measures) {
    const std::vector<FigureColumn> columns = {
        way(),
        {{"", "Area", ""},
         has("area_m2"),
         [](const FinishedFeature& zone) {
             return text_element("td class=\"n\"", area_text(zone.number("area_m2")));
         }},
        range("Depth at low water", "depth_low_min_m", "depth_low_max_m", measures),
        range("Rode", "rode_min_m", "rode_max_m", measures),
        length("Radius, most", "radius_max_m", Rounded::up, measures),
        plain("Wind limit, least", "kn", "wind_limit_min_kn"),
        plain("full scope", "kn", "wind_limit_full_min_kn"),
        plain("short scope", "kn", "wind_limit_short_min_kn"),
        plain("with sinker", "kn", "wind_limit_sinker_min_kn"),
        length("Trip line, most", "trip_line_max_m", Rounded::up, measures),
        plain("Boats", "", "boats"),
        length("Spare, best", "best_spare_m", Rounded::down, measures),
        position("Best place",
                 [](const FinishedFeature& zone) {
                     return GridPoint{zone.number("best_longitude"), zone.number("best_latitude")};
                 }),
    };
    return feature_table(
        "Zones, the largest first", "zone-", used(columns, zones), zones, [](const FinishedFeature& zone) {
            return fact("Ways:", zone.text("ways")) + fact("Seabed:", zone.text("seabed")) +
                   fact("Trip line:", zone.text("trip_line")) + fact("Mind:", zone.text("advice"));
        });
}

std::string exclusions_table(const std::vector<ExclusionKind>& kinds, const Measures& measures) {
    ReportTable table{"What is kept clear of",
                      {{"", "Kind", ""},
                       {"", "How many", ""},
                       {"", "Forbids", ""},
                       {"", "Advises", ""},
                       {"", "Margin, most", std::string(unit_name(measures))},
                       {"", "Where the margin is from", ""}},
                      {}};
    for (const ExclusionKind& kind : kinds)
        table.rows.push_back({kind.kind, std::to_string(kind.count), kind.forbids, kind.advises,
                              length_number(kind.margin_m, Rounded::up, measures), kind.source});
    return table_markup(table);
}

} // namespace swingroom
