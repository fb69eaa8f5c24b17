#include "swingroom/report/alternatives.hpp"

#include "swingroom/overlay/arrival.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/room/verdict.hpp"

#include "base/json.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>

namespace swingroom {
namespace {

/// A figure without the zeros that say nothing: "50", "46.3".
std::string plain(double value) { return json_number(value, 1); }

std::string with_unit(double value, const Measures& measures) {
    return plain(value) + " " + std::string(unit_name(measures));
}

std::string whole_length(double metres, Rounded way, const Measures& measures) {
    return with_unit(length_value(metres, way, measures, 0), measures);
}

/// How far there is to go: never less than it is.
std::string way_to_go(double metres, const Measures& measures) {
    constexpr double nautical_mile_m = 1852;
    return measures.length == LengthUnit::metre ? whole_length(metres, Rounded::up, measures)
                                                : fixed_up(metres / nautical_mile_m, 2) + " nm";
}

std::string looked_text(double metres, const Measures& measures) {
    return measures.length == LengthUnit::metre ? whole_length(metres, Rounded::down, measures)
                                                : distance_text(metres, measures);
}

/// The words of a verdict with its condition.
std::string answer_words(Verdict verdict, std::uint16_t advice, float sounder_limit_m,
                         const Measures& measures) {
    std::string words = verdict_words(verdict, advice);
    if (!std::isnan(sounder_limit_m)) {
        words += "; where the sounder, taken to chart datum, shows no more than " +
                 length_text(static_cast<double>(sounder_limit_m), Rounded::down, measures);
    }
    return words;
}

/// How far and where a yes is, and what kind of yes.
std::string where_words(const NearestYes& yes, const Measures& measures) {
    return way_to_go(yes.distance_m, measures) + ", bearing " + bearing_text(yes.bearing_deg) +
           ", to the centre of the cell at " + position_text(yes.centre.lon, yes.centre.lat, measures) +
           ": " + answer_words(yes.verdict, yes.advice, yes.sounder_limit_m, measures);
}

std::string yes_json(const std::optional<NearestYes>& found) {
    if (!found) return "null";
    const NearestYes& yes = *found;
    return JsonObject()
        .number("distance_m", yes.distance_m, 0, Rounded::up)
        .whole("bearing_deg", std::lround(yes.bearing_deg) % 360)
        .whole("verdict", static_cast<int>(told(yes.verdict, yes.advice)))
        .text("meaning", verdict_words(yes.verdict, yes.advice))
        .number("sounder_limit_m", static_cast<double>(yes.sounder_limit_m), 1, Rounded::down)
        .whole("column", yes.col)
        .whole("row", yes.row)
        .number("longitude", yes.centre.lon, 6)
        .number("latitude", yes.centre.lat, 6)
        .line();
}

} // namespace

std::string nothing_alone() {
    return "nothing alone: not more water, up to high water; not as much rode again; not less wind, down "
           "to " +
           plain(least_proposed_wind_kn) + " kn; not a sinker, nor a smaller margin";
}

Alternatives find_alternatives(const PositionReport& cell, const OverlayJob& job,
                               const Georeference& georeference, LonLat from,
                               const std::vector<HazardRule>& rules, Window known) {
    Alternatives found{cell.answer.verdict != Verdict::unsurveyed, WhatIf(job, rules, known).proposals(cell),
                       nearest_yes(job, georeference, from, yes_within_m),
                       told(cell.answer.verdict, cell.answer.advice) == Verdict::out_of_reach};
    std::optional<NearestYes>& other = found.nearest.out_of_reach;
    if (other && other->col == cell.col && other->row == cell.row) other.reset(); // the place itself
    return found;
}

std::string change_text(const Proposal& proposal, const Measures& measures) {
    switch (proposal.change) {
    case Change::water:
        if (proposal.of_tide) {
            return "water from " + level_needed_text(proposal.amount, measures) + " on, " +
                   length_text(proposal.by(), Rounded::up, measures) + " more than at its lowest";
        }
        return length_text(proposal.by(), Rounded::up, measures) + " more water at low water (" +
               length_text(proposal.amount, Rounded::up, measures, 2) + " above chart datum)";
    case Change::rode:
        return whole_length(proposal.by(), Rounded::up, measures) + " more rode (" +
               length_text(proposal.amount, Rounded::up, measures) + " in all)";
    case Change::wind:
        return "at " + plain(proposal.amount) + " kn instead of " + plain(proposal.instead_of);
    case Change::sinker:
        return "with a sinker of " + plain(proposal.amount) +
               " kg, slid down by the height of the roller above the seabed";
    case Change::margin:
        break;
    }
    return "with a margin of " + whole_length(proposal.amount, Rounded::down, measures) + " instead of " +
           with_unit(length_value(proposal.instead_of, Rounded::nearest, measures), measures) + " around '" +
           proposal.rule + "' (" +
           (proposal.source.empty() ? "whose source is not told" : "whose source is: " + proposal.source) +
           ")";
}

std::string proposal_text(const Proposal& proposal, const Measures& measures) {
    return change_text(proposal, measures) + ": " +
           answer_words(proposal.verdict, proposal.advice, proposal.sounder_limit_m, measures);
}

std::vector<std::string> alternatives_lines(const Alternatives& alternatives, const Measures& measures) {
    std::vector<std::string> lines;
    if (alternatives.no_way_in) {
        lines.emplace_back("What would make it a yes: more water on the way in, or another day");
    } else if (!alternatives.surveyed) {
        lines.emplace_back("What would make it a yes: a survey, before all else");
    } else if (alternatives.proposals.empty()) {
        lines.push_back("What would make it a yes: " + nothing_alone());
    } else {
        lines.emplace_back("What would make it a yes, each alone:");
        for (const Proposal& proposal : alternatives.proposals) {
            lines.push_back("  " + proposal_text(proposal, measures));
        }
    }
    if (const auto& yes = alternatives.nearest.nearest) {
        lines.push_back("Nearest yes: " + where_words(*yes, measures));
    } else {
        lines.push_back("Nearest yes: none within " + looked_text(alternatives.nearest.looked_m, measures) +
                        " on the raster" + (alternatives.nearest.out_of_reach ? " that a way leads to" : ""));
    }
    if (const auto& other = alternatives.nearest.out_of_reach) {
        lines.push_back("Nearer, but out of reach: " + where_words(*other, measures));
    }
    return lines;
}

std::string proposals_json(const std::vector<Proposal>& proposals) {
    std::vector<std::string> all;
    for (const Proposal& proposal : proposals) {
        JsonObject json;
        json.text("change", change_names[static_cast<std::size_t>(proposal.change)]);
        switch (proposal.change) {
        case Change::water:
            json.number("more_m", proposal.by(), 1, proposal.of_tide ? Rounded::up : Rounded::nearest)
                .number("low_water_m", proposal.amount, 6);
            break;
        case Change::rode:
            json.number("more_m", proposal.by(), 1).number("aboard_m", proposal.amount, 6);
            break;
        case Change::wind:
            json.number("wind_kn", proposal.amount, 1).number("instead_of_kn", proposal.instead_of, 1);
            break;
        case Change::sinker:
            json.number("sinker_kg", proposal.amount, 1);
            break;
        case Change::margin:
            json.text("rule", proposal.rule)
                .number("margin_m", proposal.amount, 1)
                .number("instead_of_m", proposal.instead_of, 1)
                .text("source", proposal.source);
            break;
        }
        all.push_back(
            json.whole("verdict", static_cast<int>(proposal.verdict))
                .text("meaning", verdict_words(proposal.verdict, proposal.advice))
                .number("sounder_limit_m", static_cast<double>(proposal.sounder_limit_m), 1, Rounded::down)
                .line());
    }
    return json_lines(all);
}

std::string nearest_yes_json(const YesSearch& search) { return yes_json(search.nearest); }
std::string nearest_out_of_reach_json(const YesSearch& search) { return yes_json(search.out_of_reach); }

} // namespace swingroom
