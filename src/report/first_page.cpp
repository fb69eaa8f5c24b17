#include "report/first_page.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/report/why_not.hpp"

#include "publish/styles/answer_words.hpp"
#include "report/feature_tables.hpp"
#include "report/sources_sections.hpp"
#include "report/spot_words.hpp"
#include "report/stay_water.hpp"
#include "report/way_in_section.hpp"
#include "report/why_not_section.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// What an A4 page has room for beside the map.
constexpr std::size_t best_places = 4, names_of_kind = 4, doubts_shown = 3, doubts_letters = 700;

std::string area_of(const ReportContents& contents) {
    Measures minutes;
    minutes.position = PositionForm::minutes;
    return "SW " + position_text(contents.south_west.x, contents.south_west.y, minutes) + ", NE " +
           position_text(contents.north_east.x, contents.north_east.y, minutes);
}

/// "Man of War Harbor, Key West Bight and 7 more; anchorage: Pool; ashore: Key West".
std::string where_words(const std::vector<PlaceName>& places) {
    constexpr std::array<std::pair<PlaceKind, std::string_view>, 4> kinds = {
        {{PlaceKind::sea_area, ""},
         {PlaceKind::anchorage, "anchorage: "},
         {PlaceKind::harbour, "harbour: "},
         {PlaceKind::land, "ashore: "}}};
    std::string words;
    for (const auto& [kind, title] : kinds) {
        std::size_t count = 0;
        for (const PlaceName& place : places) {
            if (place.kind != kind || ++count > names_of_kind) continue;
            words += (count > 1 ? std::string(", ") : (words.empty() ? "" : "; ") + std::string(title)) +
                     place.name;
        }
        if (count > names_of_kind) words += " and " + std::to_string(count - names_of_kind) + " more";
    }
    return words;
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
        {"Water", stay_levels_text(conditions.water, input)},
        {"Depths from", depths_from},
    };
    if (conditions.current_kn > 0) facts.push_back({"Current", fixed(conditions.current_kn, 1) + " kn"});
    return facts;
}

/// When she stays; nothing where that is not known.
Markup stay_line(const ReportInput& input) {
    if (input.tide == nullptr) return {};
    return text_element("p", {{"class", "where"}}, "Stay: " + stay_times_text(*input.tide)) + "\n";
}

/// The best of the answers that there is a zone of.   @pre there is a zone
std::string best_answer(const ReportContents& contents) {
    std::size_t best = 0;
    for (std::size_t i = 0; i < contents.zones_count.size(); ++i) {
        if (contents.zones_count.at(i) > 0 &&
            rank_of(static_cast<Verdict>(i)) < rank_of(static_cast<Verdict>(best))) {
            best = i;
        }
    }
    const bool unchecked = contents.unchecked_count.at(best) == contents.zones_count.at(best);
    return verdict_words(static_cast<Verdict>(best), unchecked ? advice::unknown_holding : std::uint16_t{0});
}

/// "Yes on 8.1 % of the surveyed area: 44 zones, 12.3 ha together. The best answer: yes, at full scope."
std::string verdict_line(const ReportContents& contents, const ReportInput& input) {
    constexpr auto beyond = static_cast<std::size_t>(Verdict::out_of_reach);
    const std::int64_t shut_off = contents.zones_count.at(beyond), zones = zones_of(contents) - shut_off;
    const std::string would_do = shut_off == 0
                                     ? ""
                                     : counted(shut_off, "zone", "zones") + ", " +
                                           area_text(contents.zones_area_m2.at(beyond), input.measures) +
                                           (shut_off == 1 ? ", has" : " together, have") +
                                           " room and depth, but no way in at any level that is sure.";
    if (zones == 0 && shut_off > 0) return "Nowhere that she can get to: " + would_do;
    if (zones == 0) {
        return nowhere_words(input) + " Ask swingroom spot about a position: it names every reason.";
    }
    double area_m2 = -contents.zones_area_m2.at(beyond);
    for (const double of_verdict_m2 : contents.zones_area_m2) {
        area_m2 += of_verdict_m2;
    }
    const std::vector<AnswerShare> shares = answer_shares(input.tally);
    const bool share_known = !shares.empty() && !shares.front().why;
    return (share_known ? "Yes on " + share_text(shares.front()) + " of the surveyed area: " : "Yes in ") +
           counted(zones, "zone", "zones") + ", " + area_text(area_m2, input.measures) +
           (zones == 1 ? "" : " together") + ". The best answer: " + best_answer(contents) + "." +
           (would_do.empty() ? "" : " Besides, " + would_do);
}

/// Of the run and of its inputs, each once, those of the run first.
std::vector<std::string> doubts_of(const ReportInput& input) {
    std::vector<std::string> doubts = warnings_in(input.provenance);
    const auto add = [&](std::string doubt) {
        if (std::find(doubts.begin(), doubts.end(), doubt) == doubts.end()) {
            doubts.push_back(std::move(doubt));
        }
    };
    for (const Inspection& found : input.inspections) {
        for (const std::string& text : texts_of(found.doubts)) {
            add(std::filesystem::path(found.file).filename().string() + ": " + text);
        }
    }
    return doubts;
}

/// "zones of confidence: QQ5HAVEN.000 A1 12 %, B 88 %"; empty where no chart has any.
std::string confidence_words(const ReportInput& input) {
    std::string words;
    for (const Inspection& found : input.inspections) {
        for (const Fact& fact : found.facts) {
            if (fact.name != "zones of confidence") continue;
            words += (words.empty() ? "Zones of confidence: " : "; ") +
                     std::filesystem::path(found.file).filename().string() + " " + fact.value;
        }
    }
    return words.empty() ? words : words + ".";
}

Markup doubts_section(const ReportContents& contents, const ReportInput& input) {
    const std::vector<std::string> doubts = doubts_of(input);
    std::vector<std::string> shown;
    std::size_t letters = 0;
    for (const std::string& doubt : doubts) {
        letters += doubt.size();
        if (shown.size() == doubts_shown || (!shown.empty() && letters > doubts_letters)) break;
        shown.push_back(doubt);
    }
    Markup content = advice_of_all(contents) + paragraph(confidence_words(input));
    if (doubts.empty()) return content + paragraph("Nothing doubtful was found in the inputs.");
    content += item_list(shown, {{"class", "doubts"}});
    const std::size_t more = doubts.size() - shown.size();
    const Markup link = text_element("a", {{"href", "#inputs"}}, "Inputs, and what is doubtful in them");
    return content +
           element("p", more == 0 ? escaped("Read ") + link + escaped(" before you trust this.")
                                  : escaped("And " + std::to_string(more) + " more: read ") + link +
                                        escaped(" before you trust this.")) +
           "\n";
}

} // namespace

std::int64_t zones_of(const ReportContents& contents) {
    std::int64_t all = 0;
    for (const std::int64_t count : contents.zones_count) {
        all += count;
    }
    return all;
}

Markup advice_of_all(const ReportContents& contents) {
    const std::string advice =
        advice_text(static_cast<std::uint16_t>(contents.advice_of_all & ~told_of_the_way));
    return advice.empty() ? Markup() : paragraph("Applies to all places: " + advice + ".");
}

Markup page_header(const ReportContents& contents, const ReportInput& input) {
    const std::string where = where_words(input.places);
    return text_element("h1", "Where can " + input.boat_name + " lie at anchor?") + "\n" +
           (where.empty() ? Markup() : text_element("p", {{"class", "where"}}, where) + "\n") +
           stay_line(input) +
           text_element("p", {{"class", "question"}},
                        "Through a whole tide and a whole turn around the anchor, afloat, touching "
                        "nothing, with the rode that is aboard.") +
           "\n" + fact_list(conditions_of(contents, input)) +
           element("p", {{"class", "caution"}, {"role", "note"}},
                   text_element("strong", "Caution.") + " " + escaped(caution)) +
           "\n";
}

std::vector<Section> first_sections(const ReportContents& contents, const ReportInput& input, Markup map) {
    const Markup best = contents.spots.empty()
                            ? Markup()
                            : best_places_table(contents.spots, best_places, input, contents.advice_of_all);
    return {{"answer", "The answer",
             text_element("p", {{"class", "verdict"}}, verdict_line(contents, input)) + "\n" +
                 paragraph(when_to_come_text(input))},
            {"map", "Map", std::move(map)},
            {"doubts", "What is doubtful", doubts_section(contents, input)},
            {"best", "The best places", best}};
}

} // namespace swingroom
