#include "swingroom/report/cruise_page.hpp"

#include "swingroom/base/share_text.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/report/report_table.hpp"
#include "swingroom/water/level_text.hpp"

#include "base/text.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/cruise_map.hpp"
#include "report/map_style.hpp"
#include "report/page_parts.hpp"
#include "report/report_page.hpp"
#include "report/table_markup.hpp"
#include "report/whole_page.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

/// What is not there.
constexpr const char* none = "\u2013";
// Of the rest the report of each stay tells.
constexpr std::size_t places_shown = 4, doubts_shown = 3, windows_shown = 3;

/// What this page asks for beyond the style of the report's.
constexpr MarkupLiteral cruise_style = R"css(
.stay { display: grid; grid-template-columns: minmax(0, 1fr) 15rem; gap: 0 1.5rem; align-items: start; }
.stay figure { margin: .5rem 0; }
.stay .map { max-height: 14rem; }
.overview .map { max-height: 38rem; }
@media screen and (max-width: 640px) { .stay { grid-template-columns: minmax(0, 1fr); } .stay figure { max-width: 15rem; } }
@media print {
  .stay { grid-template-columns: minmax(0, 1fr) 42mm; gap: 0 4mm; break-inside: avoid; }
  .stay figure { margin: 0; }
  .stay .map { max-height: 36mm; }
  .stay dl.facts { grid-template-columns: 1fr 1fr; }
  header dl.facts { grid-template-columns: 1fr 1fr 1fr; }
  .overview .map { width: auto; max-width: 100%; height: 92mm; max-height: none; margin: 0 auto; }
}
)css";

std::string stay_id(std::size_t stay) { return "stay-" + std::to_string(stay + 1); }

std::string numbered_name(const CruiseFigures& cruise, std::size_t stay) {
    return std::to_string(stay + 1) + " " + cruise.stays[stay].name;
}

bool has_answer(const CruiseAnswer& answer) { return answer.failure.empty(); }

std::string share_of(const Covered& part, const Tally& of) {
    const double all_m2 = of.surveyed().area_m2;
    return all_m2 > 0 ? share_text(part.area_m2 / all_m2) : none;
}

std::string time_text(const CruiseStay& stay) {
    return window_text(*stay.time, stay.zone) + " " + zone_text(stay.zone);
}

/// "yes, at full scope", "yes, at short scope, way in open at times": of the best place, or of the best cells
/// where no place is listed.
std::string best_answer(const CruiseAnswer& answer) {
    if (!has_answer(answer)) return "none: see the stay";
    if (!answer.places.empty()) {
        const CruisePlace& best = answer.places.front();
        return verdict_words(best.verdict, best.advice) +
               (best.reach == Reach::at_times ? ", way in open at times" : "");
    }
    const auto best = std::find_if(verdicts_by_rank.begin(), verdicts_by_rank.end(),
                                   [&](Verdict verdict) { return answer.tally.of(verdict).cells > 0; });
    return std::string(phrase(best == verdicts_by_rank.end() ? Verdict::unsurveyed : *best));
}

/// The figures of a place, in the order of figure_columns().
std::vector<std::string> figures_of(const CruisePlace& place, const CruiseBoat& boat,
                                    const Measures& measures) {
    return {rode_number(rode_at_marks_m(place.rode_m, boat.marks), boat.marks, measures),
            length_number(place.radius_m, Rounded::up, measures),
            (place.spare_is_at_least ? "at least " : "") +
                length_number(place.spare_m, Rounded::down, measures),
            wind_limit_number(place.wind_limit_kn, place.limit_by)};
}

std::vector<ReportTable::Column> figure_columns(const Measures& measures) {
    const std::string unit(unit_name(measures));
    return {{"", "Rode", unit, true},
            {"", "Radius", unit, true},
            {"", "Spare", unit, true},
            {"", "Wind limit", "kn", true}};
}

template <class Items>
void append(std::vector<Items>& list, const std::vector<Items>& more) {
    list.insert(list.end(), more.begin(), more.end());
}

/// Whether any of the places has a wind limit by room alone, which is marked.
bool any_by_room(const std::vector<CruisePlace>& places) {
    return std::any_of(places.begin(), places.end(),
                       [](const CruisePlace& place) { return place.limit_by == LimitBy::room; });
}

Markup limit_note(bool any) { return any ? paragraph(std::string(wind_limit_note)) : Markup(); }

/// A row for each stay and boat.
Markup comparison(const CruiseFigures& cruise) {
    const bool several = cruise.boats.size() > 1;
    ReportTable table{
        several ? "What the stays offer each boat" : "What the stays offer", {{"", "Stay", ""}}, {}};
    if (several) table.columns.push_back({"", "Boat", ""});
    append(table.columns, {{"", "Yes on", "", true}, {"", "Best answer", ""}, {"", "Best place", ""}});
    append(table.columns, figure_columns(cruise.measures));
    table.columns.push_back({"", "Doubts", "", true});
    bool by_room = false;
    for (std::size_t stay = 0; stay < cruise.stays.size(); ++stay) {
        for (std::size_t boat = 0; boat < cruise.boats.size(); ++boat) {
            const CruiseAnswer& answer = cruise.stays[stay].answers[boat];
            std::vector<std::string> row = {numbered_name(cruise, stay)};
            if (several) row.push_back(cruise.boats[boat].name);
            row.push_back(has_answer(answer) ? share_of(answer.tally.yes(), answer.tally) : none);
            row.push_back(best_answer(answer));
            if (answer.places.empty()) {
                row.insert(row.end(), 1 + figure_columns(cruise.measures).size(), none);
            } else {
                const CruisePlace& best = answer.places.front();
                row.push_back(best.name);
                append(row, figures_of(best, cruise.boats[boat], cruise.measures));
                by_room = by_room || best.limit_by == LimitBy::room;
            }
            row.push_back(has_answer(answer) ? std::to_string(answer.doubts.size()) : none);
            table.rows.push_back(std::move(row));
        }
    }
    return table_markup(table) + limit_note(by_room) +
           paragraph(
               "Yes on: of the surveyed area, rounded down. The best place is the first of the stay's drop "
               "points; a place that no way leads to counts as no yes. Radius: of the swinging circle; "
               "spare: room beyond it.");
}

Markup map_figure(const CruiseFigures& cruise, const CruiseMap& map) {
    const bool one = cruise.stays.size() == 1;
    return element(
               "figure", {{"class", "whole overview"}},
               "\n" + map.overview() +
                   text_element("figcaption",
                                std::string(one ? "The number is that of the stay"
                                                : "Numbers are those of the stays") +
                                    ", frames their areas. Neither coasts nor depths are drawn. The scale "
                                    "holds in the middle.")) +
           "\n";
}

/// Its corners; where it passes 180 degrees the eastern one is in the west.
std::string corners_text(const LonLatBox& window) {
    Measures minutes;
    minutes.position = PositionForm::minutes;
    const double east = window[2] > 180 ? window[2] - 360 : window[2];
    return "SW " + position_text(window[0], window[1], minutes) + ", NE " +
           position_text(east, window[3], minutes);
}

std::vector<Fact> facts_of(const CruiseStay& stay, const Measures& measures) {
    std::vector<Fact> facts;
    if (stay.time) facts.push_back({"Stay", time_text(stay)});
    if (std::isfinite(stay.levels.low_m)) {
        facts.push_back({"Water", levels_text({stay.levels.low_m, stay.levels.high_m}, measures) +
                                      (stay.station.empty() ? "" : ", by the tide of " + stay.station)});
    }
    facts.push_back({"Wind", fixed(stay.wind_kn, 1) + " kn planned"});
    if (!stay.shelter.empty()) facts.push_back({"Shelter", stay.shelter});
    if (stay.all_boats && stay.all_boats->cells == 0) {
        facts.push_back({"All boats", "nowhere is a yes for each of them"});
    } else if (stay.all_boats) {
        facts.push_back({"All boats", share_of(*stay.all_boats, stay.answers.front().tally) +
                                          " of the surveyed area is a yes for each of them"});
    }
    facts.push_back({"Area", corners_text(stay.window)});
    return facts;
}

/// Shares of the surveyed area, a row for each boat and a column for each answer that any of them has.
Markup shares_table(const CruiseFigures& cruise, const CruiseStay& stay) {
    std::vector<Verdict> told(verdicts_by_rank.begin(), verdicts_by_rank.end());
    std::erase_if(told, [&](Verdict verdict) {
        return verdict == Verdict::unsurveyed ||
               std::none_of(stay.answers.begin(), stay.answers.end(), [&](const CruiseAnswer& answer) {
                   return has_answer(answer) && answer.tally.of(verdict).cells > 0;
               });
    });
    if (told.empty()) return {};
    ReportTable table{"Shares of the surveyed area by answer", {{"", "Boat", ""}}, {}};
    for (const Verdict verdict : told) {
        table.columns.push_back({"", std::string(phrase(verdict)), "", true});
    }
    for (std::size_t boat = 0; boat < cruise.boats.size(); ++boat) {
        const CruiseAnswer& answer = stay.answers[boat];
        if (!has_answer(answer)) continue;
        std::vector<std::string> row = {cruise.boats[boat].name};
        for (const Verdict verdict : told) {
            row.push_back(share_of(answer.tally.of(verdict), answer.tally));
        }
        table.rows.push_back(std::move(row));
    }
    return table_markup(table);
}

/// "always"; "2026-12-24 06:30 to 10:00, ... and 2 more"; "never".
std::string way_in_text(const CruisePlace& place, ZoneOffset zone) {
    if (place.reach != Reach::at_times || place.windows.empty()) return std::string(reach_word(place.reach));
    std::string words;
    for (std::size_t i = 0; i < std::min(windows_shown, place.windows.size()); ++i) {
        add_word(words, "; ", window_text(place.windows[i], zone));
    }
    const std::size_t more = place.windows.size() - std::min(windows_shown, place.windows.size());
    return words + (more == 0 ? "" : "; and " + std::to_string(more) + " more");
}

/// "5.5–8.0".
std::string depth_text(const CruisePlace& place, const Measures& measures) {
    const std::string low = length_number(place.depth_low_m, Rounded::down, measures);
    return std::isnan(place.depth_high_m)
               ? low + " or more"
               : low + "\u2013" + length_number(place.depth_high_m, Rounded::up, measures);
}

Markup places_table(const CruiseAnswer& answer, const CruiseBoat& boat, const CruiseStay& stay,
                    const Measures& measures) {
    if (answer.places.empty()) return {};
    const std::size_t shown = std::min(places_shown, answer.places.size());
    const auto any = [&](auto has) { return std::any_of(answer.places.begin(), answer.places.end(), has); };
    const bool by_sounder = any([](const CruisePlace&place) { return !std::isnan(place.sounder_limit_m); }),
               ways = any([](const CruisePlace&place) { return place.reach != Reach::unknown; });
    const std::string unit(unit_name(measures));
    ReportTable table{"Best places for " + boat.name +
                          (shown < answer.spots ? ", of " + std::to_string(answer.spots) : ""),
                      {{"", "Name", ""}, {"", "Position", ""}, {"", "Answer", ""}, {"", "Water", unit, true}},
                      {}};
    append(table.columns, figure_columns(measures));
    if (by_sounder) table.columns.push_back({"", "Sounder, at most", unit, true});
    if (ways) table.columns.push_back({"", "Way in open", stay.time ? zone_text(stay.zone) : "", false});
    Measures minutes;
    minutes.position = PositionForm::minutes;
    for (std::size_t i = 0; i < shown; ++i) {
        const CruisePlace& place = answer.places[i];
        std::vector<std::string> row = {
            place.name, position_text(place.position.lon, place.position.lat, minutes),
            verdict_words(place.verdict, place.advice), depth_text(place, measures)};
        append(row, figures_of(place, boat, measures));
        if (by_sounder) {
            row.push_back(std::isnan(place.sounder_limit_m)
                              ? none
                              : length_number(place.sounder_limit_m, Rounded::down, measures));
        }
        if (ways) row.push_back(way_in_text(place, stay.zone));
        table.rows.push_back(std::move(row));
    }
    return table_markup(table) + limit_note(any_by_room(answer.places));
}

Markup doubts_list(const CruiseAnswer& answer) {
    if (answer.doubts.empty()) return {};
    const std::size_t shown = std::min(doubts_shown, answer.doubts.size()),
                      more = answer.doubts.size() - shown;
    return text_element("p", {{"class", "doubts"}}, "What is doubtful") + "\n" +
           item_list({answer.doubts.begin(), answer.doubts.begin() + static_cast<std::ptrdiff_t>(shown)},
                     {{"class", "doubts"}}) +
           paragraph(more == 0 ? "" : "And " + std::to_string(more) + " more: read the report.");
}

Markup link_to_report(const CruiseAnswer& answer, const CruiseStay& stay, const CruiseBoat& boat) {
    if (!answer.has_report) return {};
    return element("p", text_element("a", {{"href", answer.folder + "/report.html"}},
                                     "The report of " + stay.name + " for " + boat.name)) +
           "\n";
}

Markup no_answer(const CruiseAnswer& answer) {
    return text_element("p", {{"class", "doubts"}}, "There is no answer: " + answer.failure) + "\n";
}

/// Whether each of the boats lacks her answer for the same reason.
bool fails_for_all(const CruiseStay& stay) {
    return std::all_of(stay.answers.begin(), stay.answers.end(), [&](const CruiseAnswer& answer) {
        return !has_answer(answer) && answer.failure == stay.answers.front().failure;
    });
}

Markup answer_part(const CruiseFigures& cruise, const CruiseStay& stay, std::size_t boat) {
    const CruiseAnswer& answer = stay.answers[boat];
    const CruiseBoat& of = cruise.boats[boat];
    const Markup heading = cruise.boats.size() == 1 ? Markup() : text_element("h3", of.name) + "\n";
    if (!has_answer(answer)) return heading + no_answer(answer);
    const Markup nowhere =
        answer.places.empty() ? paragraph("No drop point is listed: " + best_answer(answer) + ".") : Markup();
    return heading + nowhere + places_table(answer, of, stay, cruise.measures) + doubts_list(answer) +
           link_to_report(answer, stay, of);
}

Markup stay_section(const CruiseFigures& cruise, const CruiseMap& map, std::size_t index) {
    const CruiseStay& stay = cruise.stays[index];
    const Markup locator = element("figure", "\n" + map.locator(index)) + "\n";
    Markup content = element("div", {{"class", "stay"}},
                             "\n" +
                                 element("div", "\n" + fact_list(facts_of(stay, cruise.measures)) +
                                                    shares_table(cruise, stay)) +
                                 "\n" + locator) +
                     "\n";
    if (fails_for_all(stay)) return content + no_answer(stay.answers.front());
    for (std::size_t boat = 0; boat < cruise.boats.size(); ++boat) {
        content += answer_part(cruise, stay, boat);
    }
    return content;
}

/// How many answers there are not; nothing where all are there.
Markup failures(const CruiseFigures& cruise) {
    std::vector<std::string> lines;
    std::size_t missing = 0;
    for (std::size_t stay = 0; stay < cruise.stays.size(); ++stay) {
        const std::vector<CruiseAnswer>& answers = cruise.stays[stay].answers;
        const bool at_once = fails_for_all(cruise.stays[stay]);
        if (at_once) lines.push_back(numbered_name(cruise, stay) + ": " + answers.front().failure);
        for (std::size_t boat = 0; boat < cruise.boats.size(); ++boat) {
            if (has_answer(answers[boat])) continue;
            ++missing;
            if (at_once) continue;
            lines.push_back(numbered_name(cruise, stay) + ", " + cruise.boats[boat].name + ": " +
                            answers[boat].failure);
        }
    }
    if (lines.empty()) return {};
    const std::size_t all = cruise.stays.size() * cruise.boats.size();
    return text_element("p", {{"class", "doubts"}},
                        "Of " + counted(static_cast<std::int64_t>(all), "answer", "answers") + " " +
                            std::to_string(missing) + (missing == 1 ? " is" : " are") + " missing") +
           "\n" + item_list(lines, {{"class", "doubts"}});
}

std::vector<Fact> facts_of(const CruiseFigures& cruise) {
    std::vector<Fact> facts;
    for (const CruiseBoat& boat : cruise.boats) {
        facts.push_back({"Boat", boat.name + ", needs " +
                                     length_text(boat.required_depth_m, Rounded::up, cruise.measures) +
                                     " of water"});
    }
    const CruiseStay &first = cruise.stays.front(), &last = cruise.stays.back();
    if (first.time && last.time) {
        facts.push_back({"From", clock_text(first.time->from, first.zone)});
        facts.push_back({"To", clock_text(last.time->to, last.zone)});
    }
    return facts;
}

std::string title_of(const CruiseFigures& cruise) {
    return cruise.boats.size() == 1
               ? "Where can " + cruise.boats.front().name + " lie on this cruise?"
               : "Where can " + std::to_string(cruise.boats.size()) + " boats lie on this cruise?";
}

Markup header_of(const CruiseFigures& cruise) {
    return text_element("h1", title_of(cruise)) + "\n" +
           text_element("p", {{"class", "where"}},
                        counted(static_cast<std::int64_t>(cruise.stays.size()), "stay", "stays") + ": " +
                            cruise.stays.front().name +
                            (cruise.stays.size() == 1 ? "" : " to " + cruise.stays.back().name)) +
           "\n" + fact_list(facts_of(cruise)) + failures(cruise) +
           element("p", {{"class", "caution"}, {"role", "note"}},
                   text_element("strong", "Caution.") + " " + escaped(caution)) +
           "\n";
}

} // namespace

Markup cruise_page(const CruiseFigures& cruise) {
    const CruiseMap map(cruise);
    std::vector<Section> sections = {{"comparison", "The stays compared", comparison(cruise)},
                                     {"where", "Map", map_figure(cruise, map)}};
    for (std::size_t stay = 0; stay < cruise.stays.size(); ++stay) {
        sections.push_back({stay_id(stay), numbered_name(cruise, stay), stay_section(cruise, map, stay)});
    }
    return whole_page(title_of(cruise), header_of(cruise), sections,
                      map_style(MapColours::page) + report_style() + cruise_style);
}

} // namespace swingroom
