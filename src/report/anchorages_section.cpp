#include "report/anchorages_section.hpp"

#include "swingroom/base/share_text.hpp"

#include "base/text.hpp"
#include "report/spot_words.hpp"
#include "report/table_markup.hpp"

#include <algorithm>
#include <cstddef>
#include <map>
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

std::string percent(const Covered& part, const Covered& of) {
    return share_text(part.cells == 0 ? 0 : part.area_m2 / of.area_m2);
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// By their letters, numbers in them by their value: A2 before A10.
bool by_name(std::string_view a, std::string_view b) {
    const auto number = [](std::string_view& text) {
        std::size_t end = 0;
        while (end < text.size() && is_digit(text[end])) {
            ++end;
        }
        std::string_view digits = text.substr(0, end);
        digits.remove_prefix(std::min(digits.find_first_not_of('0'), digits.size()));
        text.remove_prefix(end);
        return std::pair(digits.size(), digits);
    };
    while (!a.empty() && !b.empty()) {
        if (is_digit(a.front()) && is_digit(b.front())) {
            const auto of_a = number(a), of_b = number(b);
            if (of_a != of_b) return of_a < of_b;
        } else {
            if (a.front() != b.front()) return a.front() < b.front();
            a.remove_prefix(1);
            b.remove_prefix(1);
        }
    }
    return a.size() < b.size();
}

/// The answer of a berth that is a point: that of the one cell that it lies in.
std::string answer_of(const Tally& berth) {
    for (const Verdict verdict : verdicts_by_rank) {
        if (is_yes(verdict) && berth.of(verdict).cells > 0) return std::string(phrase(verdict));
    }
    for (std::size_t i = 0; i < why_not_count; ++i) {
        const auto why = static_cast<WhyNot>(i);
        if (berth.of(why).cells > 0) return "no: " + std::string(name_of(why).words);
    }
    return std::string(phrase(Verdict::unsurveyed));
}

/// Berths that are points by their answer, a yes first, each with its name.
Markup berths_table(const std::vector<AnchorageAnswers>& anchorages) {
    std::map<std::pair<bool, std::string>, std::vector<std::string>> berths;
    for (const AnchorageAnswers& anchorage : anchorages) {
        if (!anchorage.is_point) continue;
        const std::string answer = answer_of(anchorage.tally);
        berths[{!answer.starts_with("yes"), answer}].push_back(anchorage_name(anchorage.label));
    }
    if (berths.empty()) return {};
    ReportTable table{"Charted berths that are points, by the answer there",
                      {{"", "Answer", ""}, {"", "How many", "", true}, {"", "Berths", ""}},
                      {}};
    for (auto& [answer, names] : berths) {
        std::sort(names.begin(), names.end(), by_name);
        table.rows.push_back({answer.second, std::to_string(names.size()), joined(names, "; ")});
    }
    return table_markup(table);
}

} // namespace

std::string anchorage_name(std::string_view label) {
    std::vector<std::string_view> words;
    for (std::size_t at = 0; at < label.size();) {
        const std::size_t end = std::min(label.find(' ', at), label.size());
        words.push_back(label.substr(at, end - at));
        at = end + 1;
    }
    constexpr std::size_t digits_of_identity = 16;
    const bool identified = words.size() > 2 && words.back().size() == digits_of_identity &&
                            words.back().find_first_not_of("0123456789ABCDEF") == std::string_view::npos;
    if (identified) words.pop_back();
    std::string name;
    for (std::size_t i = 2; i < words.size(); ++i) {
        name += (name.empty() ? "" : " ") + std::string(words[i]);
    }
    const std::string object =
        words.size() < 2 ? std::string(label) : std::string(words[0]) + " " + std::string(words[1]);
    return name.empty() ? object : name;
}

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
        if (!anchorage.is_point) order.push_back(&anchorage);
    }
    Markup berths = berths_table(input.anchorages);
    if (order.empty()) return berths;
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
        table.rows.push_back({anchorage_name(order[i]->label), area_text(all.area_m2, input.measures),
                              percent(plain, all), percent(sounded, all), rest_words(tally)});
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
    return content + berths;
}

} // namespace swingroom
