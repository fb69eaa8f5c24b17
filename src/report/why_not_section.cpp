#include "report/why_not_section.hpp"

#include "swingroom/overlay/position_words.hpp"
#include "swingroom/report/alternatives.hpp"
#include "swingroom/report/why_not.hpp"

#include "report/spot_words.hpp"
#include "report/table_markup.hpp"

#include <algorithm>
#include <cstdint>
#include <vector>

namespace swingroom {

namespace {

bool any_would_do(const ReportInput& input) {
    return std::any_of(input.named_noes.begin(), input.named_noes.end(),
                       [](const NamedNo& no) { return !no.proposals.empty(); });
}

/// Of the shortfalls of a place the one that its leading reason is about: of those by way that of the least
/// demanding one, the last.
std::string lacking_words(const NamedNo& no, const Measures& measures) {
    using reason::OfWay;
    const auto is_about = [&](std::uint32_t bit) {
        for (const Way way : all_ways) {
            if (bit == reason::of_way(way, OfWay::rode)) return no.why == WhyNot::rode;
            if (bit == reason::of_way(way, OfWay::hull_room)) return no.why == WhyNot::hull_room;
            if (bit == reason::of_way(way, OfWay::ground_room)) return no.why == WhyNot::ground_room;
        }
        return leading_reason(bit) == no.why;
    };
    const auto last = std::find_if(no.cell.shortfalls.rbegin(), no.cell.shortfalls.rend(),
                                   [&](const Shortfall& one) { return is_about(one.bit); });
    return last == no.cell.shortfalls.rend() ? std::string(name_of(no.why).words)
                                             : sentence_of(*last, measures);
}

/// A list, not a table: what would do is many words, and a phone is narrow.
Markup named_noes_list(const ReportInput& input) {
    if (input.named_noes.empty()) return {};
    Measures minutes = input.measures;
    minutes.position = PositionForm::minutes;
    Markup list = text_element("h3", "Places that come nearest to a yes, one for each reason") + "\n";
    for (const NamedNo& no : input.named_noes) {
        const LonLat at = no.cell.centre;
        list += element("p", text_element("strong", position_text(at.lon, at.lat, minutes)) +
                                 escaped(": " + lacking_words(no, input.measures) +
                                         (no.proposals.empty() ? ". Nothing alone would do."
                                                               : ". What would do, each alone:"))) +
                "\n";
        Markup changes;
        for (const Proposal& proposal : no.proposals) {
            changes += text_element("li", proposal_text(proposal, input.measures)) + "\n";
        }
        if (!no.proposals.empty()) list += element("ul", "\n" + changes) + "\n";
    }
    const std::string tried = "more water at low water, more rode, less wind, a sinker and a smaller margin";
    return list +
           text_element("p", any_would_do(input)
                                 ? "Tried on each were " + tried +
                                       "; told is what makes it a yes. A margin is there for a reason: who "
                                       "makes it smaller does so at her own risk."
                                 : "Tried on each were " + tried + ": none of these makes it a yes.") +
           "\n";
}

} // namespace

Markup why_not_section(const ReportInput& input) {
    const std::vector<AnswerShare> shares = answer_shares(input.tally);
    if (shares.empty()) return {};
    ReportTable table{"The surveyed area by answer and leading reason",
                      {{"", "Answer", ""}, {"", "Share", "", true}, {"", "Area", ""}},
                      {}};
    for (const AnswerShare& share : shares) {
        table.rows.push_back({share.why ? "no: " + std::string(name_of(*share.why).words) : "yes",
                              share_text(share), area_text(share.covered.area_m2, input.measures)});
    }
    return text_element("p",
                        "Of a place that is a no for several reasons that counts which a skipper acts on "
                        "first; rode and room are told of the least demanding way that she has the tackle "
                        "for. Shares are of the surveyed area, and add up to it.") +
           "\n" + table_markup(table) + named_noes_list(input);
}

std::string nowhere_words(const ReportInput& input) {
    const std::vector<AnswerShare> shares = answer_shares(input.tally);
    if (shares.empty()) return "Nowhere in this area: no depth is known in it.";
    if (!shares.front().why) {
        return "Nowhere in this area that is large enough to be a zone, by what was given; " +
               area_text(shares.front().covered.area_m2, input.measures) + " in small pieces are a yes.";
    }
    return "Nowhere in this area, by what was given. The leading reason: " +
           std::string(name_of(*shares.front().why).words) + ", on " + share_text(shares.front()) +
           " of what is surveyed." +
           (any_would_do(input) ? " What would change that is told under \"Why not\"." : "");
}

} // namespace swingroom
