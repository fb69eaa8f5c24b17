#include "report/anchorages_section.hpp"

#include "swingroom/base/measures.hpp"

#include "report/report_tables.hpp"

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// So many stand in the table; all are in the JSON document.
constexpr std::size_t most_anchorages = 100;

Covered all_of(const Tally& anchorage) {
    Covered all = anchorage.surveyed();
    return all += anchorage.of(Verdict::unsurveyed);
}

Covered by_sounder(const Tally& anchorage) {
    Covered sum;
    for (std::size_t i = 0; i < anchorage.by_verdict.size(); ++i) {
        if (is_by_sounder(static_cast<Verdict>(i))) sum += anchorage.by_verdict[i];
    }
    return sum;
}

/// Of what is there and rounds to nothing "under 0.1 %". Rounded down, so that nothing but all is 100.
std::string percent(const Covered& part, const Covered& of) {
    if (part.cells == 0) return "0 %";
    const double share = 100 * part.area_m2 / of.area_m2;
    return share < 0.1 ? "under 0.1 %" : fixed_down(share, 1) + " %";
}

} // namespace

std::string rest_words(const Tally& anchorage) {
    std::vector<std::pair<std::string_view, Covered>> rest;
    const auto add = [&](WhyNot why, const Covered& covered) {
        if (covered.cells > 0) rest.emplace_back(name_of(why).words, covered);
    };
    add(WhyNot::unsurveyed, anchorage.of(Verdict::unsurveyed));
    for (std::size_t i = 0; i < why_not_count; ++i) {
        add(static_cast<WhyNot>(i), anchorage.no_by_reason[i]);
    }
    std::stable_sort(rest.begin(), rest.end(),
                     [](const auto& a, const auto& b) { return a.second.area_m2 > b.second.area_m2; });
    const Covered all = all_of(anchorage);
    std::string words;
    for (const auto& [why, covered] : rest) {
        words += (words.empty() ? "" : ", ") + std::string(why) + " " + percent(covered, all);
    }
    return words;
}

Markup anchorages_section(const ReportInput& input) {
    if (input.anchorages.empty()) return {};
    std::vector<const AnchorageAnswers*> order;
    for (const AnchorageAnswers& anchorage : input.anchorages) {
        order.push_back(&anchorage);
    }
    std::stable_sort(order.begin(), order.end(), [](const AnchorageAnswers* a, const AnchorageAnswers* b) {
        return a->tally.yes().area_m2 > b->tally.yes().area_m2;
    });
    ReportTable table{"Charted anchorages, those with the largest yes first",
                      {{"", "Anchorage", ""},
                       {"", "Area", ""},
                       {"", "Yes", "", true},
                       {"", "Yes, by the sounder", "", true},
                       {"", "Why the rest is not", ""}},
                      {}};
    for (std::size_t i = 0; i < std::min(order.size(), most_anchorages); ++i) {
        const Tally& tally = order[i]->tally;
        const Covered all = all_of(tally), sounded = by_sounder(tally);
        Covered plain = tally.yes();
        plain.cells -= sounded.cells;
        plain.area_m2 -= sounded.area_m2;
        table.rows.push_back({order[i]->label, area_text(all.area_m2), percent(plain, all),
                              percent(sounded, all), rest_words(tally)});
    }
    Markup content =
        text_element("p",
                     "Of each the part inside the area looked at, as the cells that it touches; of a place "
                     "that is a no for several reasons the one that a skipper acts on first. That ships or "
                     "yachts anchor there changes no answer.") +
        "\n" + table_markup(table);
    if (order.size() > most_anchorages) {
        content += text_element("p", "The first " + std::to_string(most_anchorages) + " of " +
                                         std::to_string(order.size()) +
                                         " charted anchorages; all are in what --json prints.") +
                   "\n";
    }
    return content;
}

} // namespace swingroom
