#include "sea/hazards/chart_words.hpp"

#include "base/terminal_text.hpp"
#include "sea/files/attributes.hpp"

#include <array>
#include <cstddef>
#include <string_view>

namespace swingroom {
namespace {

/// Bytes of what a chart says in words that are kept, and of a date or a name.
constexpr std::size_t most_words = 500, most_name = 40;

struct Term {
    std::string_view attribute;
    int code;
    std::string_view words;
};
// IHO S-57 edition 3.1, appendix A, chapter 2: CONDTN (81), EXPSOU (93), STATUS (149), QUAPOS (402). Those
// that a skipper would do something about; none of them makes a danger less of one.
constexpr std::array terms = {
    Term{"CONDTN", 1, "under construction"},
    Term{"CONDTN", 2, "ruined"},
    Term{"CONDTN", 3, "under reclamation"},
    Term{"CONDTN", 4, "wingless"},
    Term{"CONDTN", 5, "planned"},
    Term{"EXPSOU", 2, "shoaler than the depths charted around it"},
    Term{"STATUS", 4, "not in use"},
    Term{"STATUS", 5, "periodic"},
    Term{"STATUS", 7, "temporary"},
    Term{"STATUS", 18, "existence doubtful"},
};
constexpr std::array<std::string_view, 10> qualities = {
    "",
    "",
    "position unsurveyed",
    "position inadequately surveyed",
    "position approximate",
    "position doubtful",
    "position unreliable",
    "position reported, not surveyed",
    "position reported, not confirmed",
    "position estimated",
};

void add(std::string& all, const std::string& words) {
    if (!words.empty()) all += (all.empty() ? "" : "; ") + words;
}

/// "PERSTA to PEREND", either of which may be lacking.
std::string span_of(const OGRFeature& feature, const char* from, const char* to) {
    const std::string first = printable(text_of(feature, from), most_name),
                      last = printable(text_of(feature, to), most_name);
    return (first.empty() ? "" : " from " + first) + (last.empty() ? "" : " to " + last);
}

std::string told(const char* what, const std::string& span) { return span.empty() ? "" : what + span; }

} // namespace

std::string chart_words(const OGRFeature& feature, int position_quality) {
    std::string all;
    add(all, printable(text_of(feature, "INFORM"), most_words));
    if (all.empty()) add(all, printable(text_of(feature, "NINFOM"), most_words));
    for (const char* const attribute : {"TXTDSC", "NTXTDS"}) {
        const std::string file = printable(text_of(feature, attribute), most_name);
        if (!file.empty()) add(all, "more in " + file + ", which is not read");
    }
    for (const Term& term : terms) {
        const std::string attribute(term.attribute);
        if (codes_of(feature, attribute).has_any({term.code})) add(all, std::string(term.words));
    }
    if (position_quality > 0 && static_cast<std::size_t>(position_quality) < qualities.size()) {
        add(all, std::string(qualities[static_cast<std::size_t>(position_quality)]));
    }
    add(all, told("each year", span_of(feature, "PERSTA", "PEREND")));
    add(all, told("in force", span_of(feature, "DATSTA", "DATEND")));
    add(all, told("surveyed", span_of(feature, "SURSTA", "SUREND")));
    return all;
}

} // namespace swingroom
