#include "report/why_not_section.hpp"

#include "swingroom/report/why_not.hpp"

#include "report/report_tables.hpp"

#include <vector>

namespace swingroom {

Markup why_not_section(const ReportInput& input) {
    const std::vector<AnswerShare> shares = answer_shares(input.tally);
    if (shares.empty()) return {};
    ReportTable table{"The surveyed area by answer and leading reason",
                      {{"", "Answer", ""}, {"", "Share", "", true}, {"", "Area", ""}},
                      {}};
    for (const AnswerShare& share : shares) {
        table.rows.push_back({share.why ? "no: " + std::string(name_of(*share.why).words) : "yes",
                              share_text(share), area_text(share.covered.area_m2)});
    }
    return text_element("p",
                        "Of a place that is a no for several reasons that counts which a skipper acts on "
                        "first; rode and room are told of the least demanding way that she has the tackle "
                        "for. Shares are of the surveyed area, and add up to it.") +
           "\n" + table_markup(table);
}

std::string nowhere_words(const ReportInput& input) {
    const std::vector<AnswerShare> shares = answer_shares(input.tally);
    if (shares.empty()) return "Nowhere in this area: no depth is known in it.";
    if (!shares.front().why) {
        return "Nowhere in this area that is large enough to be a zone, by what was given; " +
               area_text(shares.front().covered.area_m2) + " in small pieces are a yes.";
    }
    return "Nowhere in this area, by what was given. The leading reason: " +
           std::string(name_of(*shares.front().why).words) + ", on " + share_text(shares.front()) +
           " of what is surveyed.";
}

} // namespace swingroom
