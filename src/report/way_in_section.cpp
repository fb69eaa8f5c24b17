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

/// So many ways are told of, each with all places that share it; so many approaches are told of, and
/// the first page speaks of so many places: those of the table of drop points.
constexpr std::size_t most_ways_told = 12, lines_told = 3, on_first_page = 12;

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

/// What is told of the way to a place.
std::string words_of(const PositionReport& place, const WayInSetting& setting) {
    const PlaceReach& reach = *place.reach;
    std::string words = reach_text(reach, setting) + ".";
    const std::string when = come_and_go_text(reach, setting);
    if (!when.empty()) words += " Come and go: " + when + ".";
    // Of deep water nobody asks which place is the shoalest.
    if (const Approach* const approach = approach_to(place); approach != nullptr && !when.empty()) {
        const Sill& sill = approach->sill;
        words += " The sill, at " + position_text(sill.at.lon, sill.at.lat, setting.measures) + ": " +
                 sill_text(sill, setting.measures) + "; over it " + over_sill_text(sill, setting) + ".";
    }
    if (place.way && place.way->closed) {
        words += " Closed by " + closed_text(*place.way->closed, reach, setting) + ".";
    }
    return words;
}

std::string points_text(const std::vector<std::size_t>& numbers) {
    return (numbers.size() == 1 ? "drop point " : "drop points ") + numbers_text(numbers);
}

/// Places that share a way in are told of together: their sill is mostly the same. A list, not a table: these
/// are many words, and a phone is narrow.
Markup places_list(const ReportInput& input) {
    const WayInSetting setting = setting_of(input);
    std::vector<std::pair<std::vector<std::size_t>, std::string>> told;
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        if (!input.best_spots[i].reach) continue;
        std::string words = words_of(input.best_spots[i], setting);
        const auto same =
            std::find_if(told.begin(), told.end(), [&](const auto& one) { return one.second == words; });
        if (same != told.end()) {
            same->first.push_back(i + 1);
        } else if (told.size() < most_ways_told) {
            told.emplace_back(std::vector<std::size_t>(1, i + 1), std::move(words));
        }
    }
    Markup list;
    for (const auto& [numbers, words] : told) {
        list += element("li", text_element("strong", "To " + points_text(numbers)) + escaped(": " + words)) +
                "\n";
    }
    return list.empty() ? list : element("ul", "\n" + list) + "\n";
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
std::string line_of(std::size_t number, const Approach& approach, const WayInSetting& setting) {
    const Measures& measures = setting.measures;
    const ApproachLeg& last = approach.legs.back();
    return "Drop point " + std::to_string(number + 1) + ": " + approach_text(approach, setting) + "; in " +
           counted(static_cast<std::int64_t>(approach.legs.size()), "leg", "legs") + ", the last one " +
           course_text(last) + ", " + leg_length_text(last, measures) + ", least depth " +
           leg_depth_text(last, measures) + " below chart datum.";
}

Markup whole_approach(std::size_t number, const Approach& approach, const WayInSetting& setting) {
    return text_element("h3", "The approach to drop point " + std::to_string(number + 1)) + "\n" +
           paragraph("It is " + approach_text(approach, setting) + ".") +
           legs_table(number, approach, setting.measures);
}

/// That to the best place whole, and that to the first one to which the way is open at times, which is where
/// it matters; those to the next ones in a line each.
Markup approaches_part(const ReportInput& input) {
    const WayInSetting setting = setting_of(input);
    const std::optional<std::size_t> waiting = first_at_times(input);
    Markup whole;
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        const Approach* const approach = approach_to(input.best_spots[i]);
        if (approach == nullptr) continue;
        if (whole.empty() || i == waiting) {
            whole += whole_approach(i, *approach, setting);
        } else if (lines.size() < lines_told) {
            lines.push_back(line_of(i, *approach, setting));
        }
    }
    if (whole.empty()) return whole;
    return paragraph("An approach is the widest way there is at the lowest level that does, of those the one "
                     "with the deepest sill, of those the shortest; the way out is the same turned round.") +
           whole +
           (lines.empty() ? Markup()
                          : text_element("h3", "The approaches to the next ones") + "\n" + item_list(lines));
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
        if (places_with(Reach::at_times, input).size() > 1) {
            words += " The section on the way in tells of the others.";
        }
    }
    if (const auto never = places_with(Reach::never, input); !never.empty()) {
        add_word(words, " ",
                 "No way leads to " + points_text(never) + " at any level of the stay that is sure.");
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
           places_list(input) + approaches_part(input) +
           (start.empty() ? Markup()
                          : text_element("h3", "What it is looked for by") + "\n" + item_list(start)) +
           paragraph(
               "It is by depth and room alone: read the chart and the pilot book before you follow it.");
}

} // namespace swingroom
