#include "report/report_page.hpp"

#include "swingroom/base/measures.hpp"

#include "publish/styles/answer_words.hpp"
#include "report/anchorages_section.hpp"
#include "report/first_page.hpp"
#include "report/map_style.hpp"
#include "report/page_parts.hpp"
#include "report/sources_sections.hpp"
#include "report/spot_words.hpp"
#include "report/table_markup.hpp"
#include "report/water_section.hpp"
#include "report/way_in_section.hpp"
#include "report/whole_page.hpp"
#include "report/why_not_section.hpp"

#include <algorithm>
#include <cstdint>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

/// All are in the layer, and on paper they would be many sheets.
constexpr std::size_t spots_in_table = 12;

std::string count_caption(std::size_t shown, std::size_t all, const char* what, const char* layer) {
    return shown >= all ? ""
                        : "The first " + std::to_string(shown) + " of " + std::to_string(all) + " " + what +
                              "; all are in the layer " + layer + ".";
}

Markup map_figure(const ReportContents& contents) {
    std::string notes;
    if (!contents.spots.empty()) {
        notes += "Numbers are drop points, best first, as in all tables and files, with their swinging "
                 "circles to scale; dots are those "
                 "without room for a number. A circle may cross what is a no: she may swing over it, but not "
                 "let go there.";
    }
    if (contents.zones_drawn > 0) notes += " Thin outlines are zones.";
    if (contents.cells_per_pixel > 1) {
        notes += " A pixel is the worst of " + std::to_string(contents.cells_per_pixel) + " x " +
                 std::to_string(contents.cells_per_pixel) +
                 " cells: a zone may be larger than its colour, never smaller than its outline.";
    }
    if (const std::int64_t all = zones_of(contents); static_cast<std::int64_t>(contents.zones_drawn) < all) {
        notes += " Of " + std::to_string(all) + " zones the largest " + std::to_string(contents.zones_drawn) +
                 " are outlined.";
    }
    if (contents.exclusions_drawn < contents.exclusions_count) {
        notes += " Of " + std::to_string(contents.exclusions_count) + " exclusions " +
                 (contents.exclusions_drawn == 0 ? "none is"
                                                 : std::to_string(contents.exclusions_drawn) + " are") +
                 " outlined: small ones, those that only advise, and those on land or outside of the map do "
                 "not show here.";
    }
    if (!contents.exclusions_known) {
        notes += " The run was not asked for exclusions: their outlines are not drawn.";
    }
    return element("figure", {{"class", "whole"}},
                   "\n" + contents.map + contents.legend + text_element("figcaption", notes) + "\n") +
           "\n";
}

Markup spots_section(const ReportContents& contents, const ReportInput& input) {
    if (contents.spots.empty()) return {};
    Markup maps;
    for (std::size_t i = 0; i < contents.spot_maps.size(); ++i) {
        maps += element("figure", "\n" + contents.spot_maps[i] +
                                      text_element("figcaption", "Drop point " + std::to_string(i + 1))) +
                "\n";
    }
    const bool any_by_sounder = std::any_of(contents.spots.begin(), contents.spots.end(),
                                            [](const auto& spot) { return spot.has("band_admitted"); });
    const bool any_out_of_reach = std::any_of(contents.spots.begin(), contents.spots.end(), is_out_of_reach);
    const std::string hopeless_last =
        any_by_sounder ? " Where the sounder's limit is hardly above the shoal side, a place comes last."
                       : "";
    return paragraph(
               "Ranked by the way to lie, a plain yes before one by the sounder, then by how far inside "
               "its zone a place is: the inner distance is that to the zone's outline." +
               hopeless_last + (any_out_of_reach ? " Those to which no way leads come last." : "") +
               " Water is from the least at low water to the most at high water, each with all that the "
               "depth may be "
               "off. Radius and rode are rounded "
               "up, spare "
               "room, inner distance and wind limit down. Dangers are measured from the edge of the cell, "
               "bearings are true.") +
           (maps.empty() ? maps : element("div", {{"class", "plans"}}, "\n" + maps) + "\n") +
           spots_table(contents.spots, spots_in_table, input, contents.advice_of_all) +
           paragraph(count_caption(std::min(spots_in_table, contents.spots.size()), contents.spots_count,
                                   "drop points", "spots"));
}

Markup zones_by_answer(const ReportContents& contents, const ReportInput& input) {
    ReportTable totals{
        "Zones by answer", {{"", "Answer", ""}, {"", "Zones", "", true}, {"", "Area", ""}}, {}};
    for (const Verdict verdict : verdicts_by_rank) {
        const auto i = static_cast<std::size_t>(verdict);
        const auto add = [&](std::uint16_t advice, std::int64_t count, double area_m2) {
            if (count <= 0) return;
            totals.rows.push_back(
                {verdict_words(verdict, advice), std::to_string(count), area_text(area_m2, input.measures)});
        };
        const std::int64_t unchecked = contents.unchecked_count.at(i);
        const double unchecked_m2 = contents.unchecked_area_m2.at(i);
        add(0, contents.zones_count.at(i) - unchecked, contents.zones_area_m2.at(i) - unchecked_m2);
        add(advice::unknown_holding, unchecked, unchecked_m2);
    }
    return totals.rows.empty() ? Markup() : table_markup(totals);
}

/// How many of the zones are in the table, and what the others are.
std::string zones_note(const ReportContents& contents, const ReportInput& input) {
    const std::int64_t all = zones_of(contents), worth = contents.zones_worth,
                       shown = static_cast<std::int64_t>(contents.zones.size());
    std::string note;
    if (worth < all) {
        note = std::to_string(all - worth) + " of " + counted(all, "zone", "zones") +
               (all - worth == 1 ? " has" : " have") + " no place farther from the outline than the " +
               length_text(input.position_allowance_m, Rounded::up, input.measures) +
               " by which the anchor may fall beside: nobody can be sure to let go inside.";
    }
    if (shown < worth) {
        note += (note.empty() ? "Of " : " Of the other ") + counted(worth, "zone", "zones") +
                " the largest " + std::to_string(shown) + " are told of, and " +
                std::to_string(worth - shown) + " more are not.";
    }
    return note.empty() ? note : note + " All are in the layer zones.";
}

Markup zones_section(const ReportContents& contents, const ReportInput& input) {
    if (zones_of(contents) == 0) return {};
    return zones_by_answer(contents, input) + paragraph(zones_note(contents, input)) +
           (contents.zones.empty() ? Markup()
                                   : paragraph("The figures hold all over a zone.") +
                                         zones_table(contents.zones, input, contents.advice_of_all));
}

Markup boat_section(const ReportInput& input) {
    Markup content;
    for (const std::string& sentence : input.boat_sentences) {
        if (!sentence.empty()) content += paragraph(sentence);
    }
    content += table_markup(input.boat_table);
    if (!input.rode_picture.empty()) {
        const Markup drawn =
            element("div", {{"role", "img"}, {"aria-label", input.rode_caption}}, input.rode_picture);
        content += element("figure", {{"class", "rode"}},
                           "\n" +
                               element("div",
                                       {{"class", "scroll"},
                                        {"role", "region"},
                                        {"tabindex", "0"},
                                        {"aria-label", "The rode, drawn"}},
                                       drawn) +
                               "\n" + text_element("figcaption", input.rode_caption)) +
                   "\n";
    }
    if (!input.reading_table.rows.empty()) content += table_markup(input.reading_table);
    if (!input.sinker_table.rows.empty()) content += table_markup(input.sinker_table);
    return content;
}

/// What the section of the water asks for on paper, where it should not take a sheet of its own.
constexpr MarkupLiteral water_style = R"css(
@media print {
  .water { margin: 1mm 0; }
  .water .tide { width: auto; max-height: 58mm; }
  #water table { width: auto; min-width: 90mm; }
  #water ul { columns: 2; column-gap: 6mm; }
}
)css";

} // namespace

Markup report_page(const ReportContents& contents, const ReportInput& input) {
    const bool nowhere = zones_of(contents) == 0; // then why not is what there is to tell
    const Section why_not{"why-not", "Why not", why_not_section(input)};
    std::vector<Section> sections = first_sections(contents, input, map_figure(contents));
    sections.push_back({"way-in", "The way in", way_in_section(input)});
    sections.push_back({"water", "The water of the stay", water_section(contents, input)});
    if (nowhere) sections.push_back(why_not);
    sections.push_back({"spots", "Drop points", spots_section(contents, input)});
    sections.push_back({"zones", "Zones", zones_section(contents, input)});
    if (!nowhere) sections.push_back(why_not);
    sections.push_back({"anchorages", "Charted anchorages", anchorages_section(input)});
    if (contents.exclusions_known) {
        sections.push_back(
            {"exclusions", "Exclusions", exclusions_section(contents.exclusions, input.measures)});
    }
    sections.push_back({"boat", "The boat", boat_section(input)});
    for (Section& section : sources_sections(input)) {
        sections.push_back(std::move(section));
    }
    return whole_page("Where can " + input.boat_name + " lie at anchor?", page_header(contents, input),
                      sections,
                      map_style(MapColours::page) + report_style() +
                          (input.tide != nullptr ? Markup(water_style) : Markup()));
}

} // namespace swingroom
