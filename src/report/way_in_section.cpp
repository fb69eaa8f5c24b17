#include "report/way_in_section.hpp"

#include "base/text.hpp"
#include "report/page_parts.hpp"
#include "report/table_markup.hpp"
#include "report/way_in_words.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// So many rows has the table, each for all places that share a way in; so many approaches are told of, and
/// the first page speaks of so many places: those of the table of drop points.
constexpr std::size_t most_rows = 12, approaches_told = 4, on_first_page = 12;

/// Positions on paper are read in minutes, as drop points are.
WayInSetting setting_of(const ReportInput& input) {
    Measures minutes = input.measures;
    minutes.position = PositionForm::minutes;
    return {input.way_in, input.tide, minutes};
}

bool is_known(const ReportInput& input) {
    if (input.way_in == nullptr) return false;
    return input.way_in->access ||
           std::any_of(input.best_spots.begin(), input.best_spots.end(), [](const PositionReport& spot) {
               return spot.reach && spot.reach->reach != Reach::unknown;
           });
}

const Approach* approach_to(const PositionReport& place) {
    if (!place.way || !place.way->approach || place.way->approach->legs.empty()) return nullptr;
    return &*place.way->approach;
}

/// "1, 2 and 5 to 7".
std::string numbers_text(const std::vector<std::size_t>& numbers) {
    std::vector<std::string> runs;
    for (std::size_t i = 0; i < numbers.size();) {
        std::size_t last = i;
        while (last + 1 < numbers.size() && numbers[last + 1] == numbers[last] + 1) {
            ++last;
        }
        runs.push_back(std::to_string(numbers[i]) +
                       (last == i ? "" : (last == i + 1 ? ", " : "\u2013") + std::to_string(numbers[last])));
        i = last + 1;
    }
    return joined(runs, ", ");
}

/// What a row says of the way to a place, but its number.
std::vector<std::string> row_of(const PositionReport& place, const WayInSetting& setting) {
    const std::string none = "\u2013";
    const PlaceReach& reach = *place.reach;
    std::string when = reach.reach == Reach::always ? "at any time" : come_and_go_text(reach, setting);
    std::string sill = none, over = none;
    if (const Approach* const approach = approach_to(place)) {
        const Sill& at = approach->sill;
        sill = position_text(at.at.lon, at.at.lat, setting.measures) + ": " + sill_text(at, setting.measures);
        over = over_sill_text(at, setting);
    } else if (place.way && place.way->closed) {
        sill = "closed by " + closed_text(*place.way->closed, setting.measures);
    }
    return {reach_text(reach, setting), when.empty() ? none : when, sill, over};
}

/// Places that share a way in share a row: their sill is mostly the same.
Markup places_table(const ReportInput& input) {
    const WayInSetting setting = setting_of(input);
    std::vector<std::pair<std::vector<std::size_t>, std::vector<std::string>>> rows;
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        if (!input.best_spots[i].reach) continue;
        std::vector<std::string> told = row_of(input.best_spots[i], setting);
        const auto same =
            std::find_if(rows.begin(), rows.end(), [&](const auto& row) { return row.second == told; });
        if (same != rows.end()) {
            same->first.push_back(i + 1);
        } else if (rows.size() < most_rows) {
            rows.push_back({{i + 1}, std::move(told)});
        }
    }
    if (rows.empty()) return {};
    ReportTable table{"When to come to the best places, and when to go",
                      {{"", "Drop points", ""},
                       {"", "Way in", ""},
                       {"", "Come and go", ""},
                       {"", "Sill", ""},
                       {"", "Water over the sill", ""}},
                      {}};
    for (auto& [numbers, told] : rows) {
        told.insert(told.begin(), numbers_text(numbers));
        table.rows.push_back(std::move(told));
    }
    return table_markup(table);
}

Markup legs_table(std::size_t number, const Approach& approach, const Measures& measures) {
    ReportTable table{"The approach to drop point " + std::to_string(number + 1) + ", leg by leg",
                      {{"", "Leg", ""},
                       {"", "From", ""},
                       {"", "Course, true", "", true},
                       {"", "Length", "", true},
                       {"", "Least depth below chart datum", "", true}},
                      {}};
    for (std::size_t i = 0; i < approach.legs.size(); ++i) {
        const ApproachLeg& leg = approach.legs[i];
        table.rows.push_back({std::to_string(i + 1), position_text(leg.from.lon, leg.from.lat, measures),
                              course_text(leg), leg_length_text(leg, measures),
                              leg_depth_text(leg, measures)});
    }
    return table_markup(table);
}

/// "Drop point 2: 0.42 nm long, ...; the last leg 035°, 310 m, least depth 4.1 m".
std::string line_of(std::size_t number, const Approach& approach, const Measures& measures) {
    const ApproachLeg& last = approach.legs.back();
    return "Drop point " + std::to_string(number + 1) + ": " + approach_text(approach, measures) + "; in " +
           counted(static_cast<std::int64_t>(approach.legs.size()), "leg", "legs") + ", the last one " +
           course_text(last) + ", " + leg_length_text(last, measures) + ", least depth " +
           leg_depth_text(last, measures) + " below chart datum.";
}

/// The first whole, the others in a line each.
Markup approaches_part(const ReportInput& input) {
    const Measures measures = setting_of(input).measures;
    Markup content;
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        const Approach* const approach = approach_to(input.best_spots[i]);
        if (approach == nullptr) continue;
        if (content.empty()) {
            content = text_element("h3", "The approach to drop point " + std::to_string(i + 1)) + "\n" +
                      paragraph("It is " + approach_text(*approach, measures) +
                                ": the widest there is, of those the deepest, of those the shortest. The way "
                                "out is the same turned round.") +
                      legs_table(i, *approach, measures);
        } else if (lines.size() + 1 < approaches_told) {
            lines.push_back(line_of(i, *approach, measures));
        }
    }
    if (lines.empty()) return content;
    return content + text_element("h3", "The approaches to the next ones") + "\n" + item_list(lines);
}

/// What the run says of where the way begins.
std::vector<std::string> start_texts(const ReportInput& input) {
    std::vector<std::string> texts;
    for (const Fact& fact : input.provenance.facts) {
        if (fact.name == "way in") texts.push_back(fact.value);
    }
    return texts;
}

/// Of the places that the first page speaks of those to which the way is so, by their numbers.
std::vector<std::size_t> places_with(Reach reach, const ReportInput& input) {
    std::vector<std::size_t> numbers;
    for (std::size_t i = 0; i < std::min(on_first_page, input.best_spots.size()); ++i) {
        const std::optional<PlaceReach>& of = input.best_spots[i].reach;
        if (of && of->reach == reach) numbers.push_back(i + 1);
    }
    return numbers;
}

std::string points_text(const std::vector<std::size_t>& numbers) {
    return (numbers.size() == 1 ? "drop point " : "drop points ") + numbers_text(numbers);
}

} // namespace

std::optional<std::size_t> first_at_times(const ReportInput& input) {
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        const std::optional<PlaceReach>& reach = input.best_spots[i].reach;
        if (reach && reach->reach == Reach::at_times) return i;
    }
    return std::nullopt;
}

std::string when_to_come_text(const ReportInput& input) {
    if (!is_known(input)) return {};
    const WayInSetting setting = setting_of(input);
    std::string words;
    if (const auto always = places_with(Reach::always, input); !always.empty()) {
        words = "The way in to " + points_text(always) + " is open the whole stay.";
    }
    if (const auto place = first_at_times(input); place && *place < on_first_page) {
        const PlaceReach& reach = *input.best_spots[*place].reach;
        add_word(words, " ",
                 "The way in to " + points_text({*place + 1}) + ": " + reach_text(reach, setting) +
                     ". Come and go: " + come_and_go_text(reach, setting) + ".");
        if (input.tide != nullptr) {
            words += " At arrival " + at_arrival_text(reach, setting) + "; at departure " +
                     at_departure_text(reach, setting) + ".";
        }
        if (places_with(Reach::at_times, input).size() > 1)
            words += " The section on the way in tells of the others.";
    }
    if (const auto never = places_with(Reach::never, input); !never.empty()) {
        add_word(words, " ", "No way leads to " + points_text(never) + " during the stay.");
    }
    return words;
}

std::string way_in_words(std::size_t number, const ReportInput& input) {
    if (!is_known(input) || number >= input.best_spots.size() || !input.best_spots[number].reach) return {};
    const WayInSetting setting = setting_of(input);
    const PlaceReach& reach = *input.best_spots[number].reach;
    if (reach.reach == Reach::always) return {};
    const std::string when = come_and_go_text(reach, setting);
    return when.empty() ? reach_text(reach, setting) : when;
}

Markup way_in_section(const ReportInput& input) {
    if (input.way_in == nullptr) return {};
    if (!is_known(input)) {
        return paragraph("Whether a way leads to these places is not known: " + std::string(way_in_cure) +
                         ". Until then look for one on the chart.");
    }
    const UnderWay& needs = input.way_in->needs;
    const auto up = [&](double metres) { return length_text(metres, Rounded::up, input.measures); };
    const std::vector<std::string> start = start_texts(input);
    return paragraph("Under way she needs " + up(needs.required_depth_m) + " of water within " +
                     up(needs.clear_way_m) +
                     " to each side. The way in is looked for through all that is surveyed, from where it "
                     "begins to every cell.") +
           places_table(input) + approaches_part(input) +
           (start.empty() ? Markup()
                          : text_element("h3", "What it is looked for by") + "\n" + item_list(start)) +
           paragraph(
               "It is by depth and room alone: read the chart and the pilot book before you follow it.");
}

} // namespace swingroom
