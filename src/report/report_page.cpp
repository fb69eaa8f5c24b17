#include "report/report_page.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/publish/palette.hpp"

#include "publish/styles/answer_words.hpp"
#include "report/anchorages_section.hpp"
#include "report/map_style.hpp"
#include "report/why_not_section.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <set>
#include <string_view>

namespace swingroom {
namespace {

/// A section: its name in the list of contents, and what it holds; left out when that is nothing.
struct Section {
    std::string id, heading;
    Markup content;
};

Markup paragraph(const std::string& text) { return text_element("p", text) + "\n"; }

Markup fact_list(const std::vector<Fact>& facts, const char* style = "facts") {
    Markup items;
    for (const Fact& fact : facts) {
        items += element("div", text_element("dt", fact.name) + text_element("dd", fact_value(fact))) + "\n";
    }
    if (facts.empty()) return {};
    return element("dl", {{"class", style}}, "\n" + items) + "\n";
}

Markup item_list(const std::vector<std::string>& texts, const Attributes& attributes = {}) {
    Markup items;
    for (const std::string& text : texts) {
        items += text_element("li", text) + "\n";
    }
    return element("ul", attributes, "\n" + items) + "\n";
}

std::vector<std::string> texts_of(const std::vector<Message>& messages) {
    std::vector<std::string> texts;
    for (const Message& message : messages) {
        texts.push_back(message.text());
    }
    return texts;
}

std::string counted(std::int64_t count, const char* one, const char* several) {
    return std::to_string(count) + " " + (count == 1 ? one : several);
}

std::string count_caption(std::size_t shown, std::size_t all, const char* what, const char* layer) {
    return shown >= all ? ""
                        : "The first " + std::to_string(shown) + " of " + std::to_string(all) + " " + what +
                              "; all are in the layer " + layer + ".";
}

std::string area_of(const ReportContents& contents) {
    Measures minutes;
    minutes.position = PositionForm::minutes;
    return position_text(contents.south_west.x, contents.south_west.y, minutes) + " to " +
           position_text(contents.north_east.x, contents.north_east.y, minutes);
}

std::vector<Fact> conditions_of(const ReportContents& contents, const ReportInput& input) {
    const Conditions& conditions = input.conditions;
    std::string depths_from;
    for (const Inspection& found : input.inspections) {
        if (found.kind != Inspection::Kind::vector) {
            depths_from +=
                (depths_from.empty() ? "" : ", ") + std::filesystem::path(found.file).filename().string();
        }
    }
    std::vector<Fact> facts = {
        {"Area", area_of(contents)},
        {"Boat", input.boat_name + ", needs " +
                     length_text(input.required_depth_m, Rounded::up, input.measures) + " of water"},
        {"Wind", fixed(conditions.wind_kn, 1) + " kn planned"},
        {"Water", length_number(conditions.water.low_m, Rounded::down, input.measures, 2) + " to " +
                      length_text(conditions.water.high_m, Rounded::up, input.measures, 2) +
                      " above chart datum"},
        {"Depths from", depths_from},
    };
    if (conditions.current_kn > 0) facts.push_back({"Current", fixed(conditions.current_kn, 1) + " kn"});
    return facts;
}

std::int64_t zones_of(const ReportContents& contents) {
    std::int64_t all = 0;
    for (const std::int64_t count : contents.zones_count) {
        all += count;
    }
    return all;
}

/// "44 zones, 12.3 ha; the best is at full scope."
std::string verdict_line(const ReportContents& contents, const ReportInput& input) {
    const std::int64_t zones = zones_of(contents);
    if (zones == 0) {
        return nowhere_words(input) + " Ask swingroom spot about a position: it names every reason.";
    }
    double area_m2 = 0;
    std::size_t best = 0;
    for (std::size_t i = 0; i < contents.zones_area_m2.size(); ++i) {
        area_m2 += contents.zones_area_m2.at(i);
        if (contents.zones_count.at(i) > 0 &&
            rank_of(static_cast<Verdict>(i)) < rank_of(static_cast<Verdict>(best))) {
            best = i;
        }
    }
    return "In " + counted(zones, "zone", "zones") + " of " + area_text(area_m2) +
           (zones == 1 ? "" : " together") + "; the best answer is " +
           verdict_words(static_cast<Verdict>(best),
                         contents.unchecked_count.at(best) == contents.zones_count.at(best)
                             ? advice::unknown_holding
                             : std::uint16_t{0}) +
           ".";
}

std::size_t doubts_in(const ReportInput& input) {
    std::set<std::string> doubts;
    for (const Inspection& found : input.inspections) {
        for (const Message& doubt : found.doubts) {
            doubts.insert(found.file + doubt.text());
        }
    }
    for (const Fact& fact : input.provenance.facts) {
        if (fact.kind == Fact::Kind::warning) doubts.insert(fact.value);
    }
    return doubts.size();
}

/// "114.9 ft, 35.0 m by the marks".
std::string rode_words(double rode_m, const ReportInput& input) {
    const auto in = [&](const Measures& unit) {
        return rode_number(rode_at_marks_m(rode_m, input.marks), input.marks, unit) + " " +
               std::string(unit_name(unit));
    };
    std::string text = in(input.measures);
    if (input.marks.measures.length != input.measures.length) {
        text += ", " + in(input.marks.measures) + " by the marks";
    }
    return text;
}

Markup best_spot(const ReportContents& contents, const ReportInput& input) {
    if (contents.spots.empty()) return {};
    const Measures& measures = input.measures;
    const FinishedFeature& spot = contents.spots.front();
    const GridPoint at = spot.rings.front().front();
    const auto length = [&](const char* name, Rounded way) {
        return length_text(spot.number(name), way, measures);
    };
    std::vector<Fact> facts = {
        {"How", spot.text("meaning")},
        {"Depth", spot.has("depth_high_m")
                      ? length_number(spot.number("depth_low_m"), Rounded::down, measures) + " to " +
                            length("depth_high_m", Rounded::up)
                      : length("depth_low_m", Rounded::down) + " or more, deep edge not charted"},
        {"Rode", rode_words(spot.number("rode_m"), input)}};
    if (spot.number("sinker_from_bow_m") > 0) {
        facts.push_back({"Sinker", length("sinker_from_bow_m", Rounded::up) + " down the rode"});
    }
    // Rooms are looked at as far as any way reaches, and no further.
    const bool more = spot.text("hull_danger") == no_danger && spot.text("ground_danger") == no_danger;
    facts.push_back({"Radius", length("radius_m", Rounded::up) + (more ? ", at least " : ", ") +
                                   length("spare_m", Rounded::down) + " to spare"});
    if (spot.has("inner_distance_m")) {
        facts.push_back(
            {"Inner distance", length("inner_distance_m", Rounded::down) + " from the outline of its zone"});
    }
    if (const std::string condition = spot.text("condition"); !condition.empty()) {
        facts.push_back({"Condition", condition});
    }
    facts.push_back({"Wind limit", wind_text(spot, "wind_limit_kn")});
    facts.push_back({"Nearest danger", danger_words(spot, 0, input).hull});
    const std::string advice = own_advice(spot, contents.advice_of_all);
    return element("div", {{"class", "best"}},
                   "\n" + text_element("h3", "The best drop point") + "\n" +
                       element("p", {{"class", "place"}}, position_markup(at.x, at.y)) + "\n" +
                       fact_list(facts) + (advice.empty() ? Markup() : paragraph("Mind: " + advice + "."))) +
           "\n";
}

/// What every zone and every drop point has to mind.
Markup advice_of_all(const ReportContents& contents) {
    const std::string advice = advice_text(contents.advice_of_all);
    return advice.empty() ? Markup() : paragraph("Applies to all places: " + advice + ".");
}

Markup answer_section(const ReportContents& contents, const ReportInput& input) {
    Markup content = text_element("p", {{"class", "verdict"}}, verdict_line(contents, input)) + "\n";
    if (const std::size_t doubts = doubts_in(input); doubts > 0) {
        content += element("p", escaped(counted(static_cast<std::int64_t>(doubts), "thing is", "things are") +
                                        " doubtful in the inputs: ") +
                                    text_element("a", {{"href", "#inputs"}}, "read them") +
                                    " before you trust this.") +
                   "\n";
    }
    content += best_spot(contents, input);
    content += advice_of_all(contents);
    ReportTable totals{
        "Zones by answer", {{"", "Answer", ""}, {"", "Zones", "", true}, {"", "Area", ""}}, {}};
    for (const Verdict verdict : verdicts_by_rank) {
        const auto i = static_cast<std::size_t>(verdict);
        const auto add = [&](std::uint16_t advice, std::int64_t count, double area_m2) {
            if (count <= 0) return;
            totals.rows.push_back(
                {verdict_words(verdict, advice), std::to_string(count), area_text(area_m2)});
        };
        const std::int64_t unchecked = contents.unchecked_count.at(i);
        const double unchecked_m2 = contents.unchecked_area_m2.at(i);
        add(0, contents.zones_count.at(i) - unchecked, contents.zones_area_m2.at(i) - unchecked_m2);
        add(advice::unknown_holding, unchecked, unchecked_m2);
    }
    return totals.rows.empty() ? content : content + table_markup(totals);
}

Markup map_section(const ReportContents& contents) {
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
    if (contents.spots.empty()) return paragraph("There is none.");
    Markup maps;
    for (std::size_t i = 0; i < contents.spot_maps.size(); ++i) {
        maps += element("figure", "\n" + contents.spot_maps[i] +
                                      text_element("figcaption", "Drop point " + std::to_string(i + 1))) +
                "\n";
    }
    const bool any_by_sounder = std::any_of(contents.spots.begin(), contents.spots.end(),
                                            [](const auto& spot) { return spot.has("band_admitted"); });
    const std::string hopeless_last =
        any_by_sounder ? " Where the sounder's limit is hardly above the shoal side, a place comes last."
                       : "";
    return paragraph(
               "Ranked by the way to lie, a plain yes before one by the sounder, then by how far inside "
               "its zone a place is: the inner distance is that to the zone's outline." +
               hopeless_last +
               " Depths are from least water at low water to most at high water. Radius and rode are rounded "
               "up, spare "
               "room, inner distance and wind limit down. Dangers are measured from the edge of the cell, "
               "bearings are true.") +
           (maps.empty() ? maps : element("div", {{"class", "plans"}}, "\n" + maps) + "\n") +
           advice_of_all(contents) + spots_table(contents.spots, input, contents.advice_of_all) +
           paragraph(count_caption(contents.spots.size(), contents.spots_count, "drop points", "spots"));
}

Markup zones_section(const ReportContents& contents, const ReportInput& input) {
    if (contents.zones.empty()) return paragraph("There is none.");
    return paragraph("The figures hold all over a zone.") + advice_of_all(contents) +
           zones_table(contents.zones, input, contents.advice_of_all) +
           paragraph(count_caption(contents.zones.size(), static_cast<std::size_t>(zones_of(contents)),
                                   "zones", "zones"));
}

Markup exclusions_section(const ReportContents& contents, const ReportInput& input) {
    if (!contents.exclusions_known) return {};
    if (contents.exclusions.empty()) return paragraph("No hazard reaches this area, by the files given.");
    return paragraph("Margins are those of the rules. National law differs, and comes first.") +
           exclusions_table(contents.exclusions, input.measures);
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

Markup inspection_markup(const Inspection& found) {
    constexpr std::array kinds = {"raster", "chart", "hazards"};
    Markup content =
        text_element("h3", found.file + ": " + kinds.at(static_cast<std::size_t>(found.kind))) + "\n";
    if (found.doubts.empty()) {
        content += paragraph("Nothing doubtful was found.");
    } else {
        content += text_element("p", {{"class", "doubts"}}, "Doubtful:") + "\n" +
                   item_list(texts_of(found.doubts), {{"class", "doubts"}});
    }
    for (const Message& question : found.open_questions) {
        content += paragraph("The file leaves open: " + question.text());
    }
    return content + fact_list(found.facts, "facts small");
}

std::vector<std::string> warnings_in(const Provenance& provenance) {
    std::vector<std::string> warnings;
    for (const Fact& fact : provenance.facts) {
        if (fact.kind == Fact::Kind::warning) warnings.push_back(fact.value);
    }
    return warnings;
}

Markup inputs_section(const ReportInput& input) {
    Markup content;
    if (const auto warnings = warnings_in(input.provenance); !warnings.empty()) {
        content +=
            text_element("h3", "The run has warned") + "\n" + item_list(warnings, {{"class", "doubts"}});
    }
    for (const Inspection& found : input.inspections) {
        content += inspection_markup(found);
    }
    return content;
}

Markup assumptions_section(const ReportInput& input) {
    std::vector<Fact> assumed, given;
    for (const Fact& fact : input.provenance.facts) {
        if (fact.kind == Fact::Kind::warning) continue;
        (fact.kind == Fact::Kind::assumed ? assumed : given).push_back(fact);
    }
    Markup content;
    if (!assumed.empty()) {
        content += text_element("h3", "Not said, and taken so") + "\n" + fact_list(assumed, "facts small");
    }
    return content + text_element("h3", "Said, or read from the files") + "\n" +
           fact_list(given, "facts small");
}

Markup plan_section(const ReportInput& input) {
    return paragraph("Save it as run.plan, then: swingroom overlay --plan run.plan --out FOLDER") +
           text_element(
               "pre",
               {{"class", "scroll"}, {"role", "region"}, {"tabindex", "0"}, {"aria-label", "The plan"}},
               input.provenance.command) +
           "\n";
}

Markup digests_section(const ReportInput& input) {
    ReportTable table{
        "Files that were read", {{"", "File", ""}, {"", "Bytes", "", true}, {"", "SHA-256", ""}}, {}};
    for (const InputFile& file : input.provenance.inputs) {
        table.rows.push_back({file.path, std::to_string(file.bytes), file.sha256});
    }
    return paragraph("Made by swingroom " + std::string(version()) + ".") + table_markup(table) +
           paragraph("Digests of what was written are in manifest.json; swingroom verify compares them.");
}

Markup cautions_section(const ReportInput& input) {
    Markup waivers;
    if (!input.waivers.empty()) {
        waivers =
            paragraph("In this run, as its user says:") + item_list(input.waivers, {{"class", "doubts"}});
    }
    return paragraph(std::string(caution)) + waivers +
           paragraph("The answer is as good as what it is given. It knows nothing that is not in the files, "
                     "and these are "
                     "simplified:") +
           item_list({cautions.begin(), cautions.end()});
}

Markup head_of(const std::string& title) {
    return element(
               "head",
               "\n<meta charset=\"utf-8\"/>\n"
               "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; "
               "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\"/>\n"
               "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
               "<meta name=\"color-scheme\" content=\"light dark\"/>\n"
               "<meta name=\"referrer\" content=\"no-referrer\"/>\n" +
                   empty_element(
                       "meta", {{"name", "generator"}, {"content", "swingroom " + std::string(version())}}) +
                   "\n" + text_element("title", title) + "\n" +
                   element("style", map_style(MapColours::page) + report_style()) + "\n") +
           "\n";
}

} // namespace

Markup report_page(const ReportContents& contents, const ReportInput& input) {
    const std::string title = "Where can " + input.boat_name + " lie at anchor?";
    const bool nowhere = zones_of(contents) == 0; // then why not is what there is to tell
    const std::vector<Section> sections = {
        {"answer", "The answer", answer_section(contents, input)},
        {"why-not", "Why not", nowhere ? why_not_section(input) : Markup()},
        {"map", "Map", map_section(contents)},
        {"spots", "Drop points", spots_section(contents, input)},
        {"zones", "Zones", zones_section(contents, input)},
        {"why-not", "Why not", nowhere ? Markup() : why_not_section(input)},
        {"anchorages", "Charted anchorages", anchorages_section(input)},
        {"exclusions", "Exclusions", exclusions_section(contents, input)},
        {"boat", "The boat", boat_section(input)},
        {"inputs", "Inputs, and what is doubtful in them", inputs_section(input)},
        {"assumptions", "Assumptions", assumptions_section(input)},
        {"plan", "To run it again", plan_section(input)},
        {"digests", "Digests", digests_section(input)},
        {"cautions", "Cautions", cautions_section(input)},
    };
    Markup links, body;
    for (const auto& [id, heading, content] : sections) {
        if (content.empty()) continue;
        links += element("li", text_element("a", {{"href", "#" + id}}, heading)) + "\n";
        body += element("section", {{"id", id}, {"aria-labelledby", id + "-heading"}},
                        "\n" + text_element("h2", {{"id", id + "-heading"}}, heading) + "\n" + content) +
                "\n";
    }
    const Markup header =
        text_element("h1", title) + "\n" +
        text_element("p", {{"class", "question"}},
                     "Through a whole tide and a whole turn around the anchor, afloat, touching "
                     "nothing, with the rode that is aboard.") +
        "\n" + fact_list(conditions_of(contents, input)) +
        element("p", {{"class", "caution"}, {"role", "note"}},
                text_element("strong", "Caution.") + " " + escaped(caution)) +
        "\n";
    const Markup page = "\n" + text_element("a", {{"class", "skip"}, {"href", "#content"}}, "To the answer") +
                        "\n" + element("header", "\n" + header) + "\n" +
                        element("nav", {{"aria-label", "Contents"}}, element("ul", "\n" + links)) + "\n" +
                        element("main", {{"id", "content"}, {"tabindex", "-1"}}, "\n" + body) + "\n" +
                        element("footer", text_element("p", "swingroom " + std::string(version()) + ". " +
                                                                std::string(caution))) +
                        "\n";
    return "<!DOCTYPE html>\n" +
           element("html", {{"lang", "en"}, {"xmlns", "http://www.w3.org/1999/xhtml"}},
                   "\n" + head_of(title) + element("body", page) + "\n") +
           "\n";
}

} // namespace swingroom
