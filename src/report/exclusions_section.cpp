#include "report/exclusions_section.hpp"

#include "swingroom/report/report_table.hpp"

#include "report/page_parts.hpp"
#include "report/table_markup.hpp"

namespace swingroom {

Markup exclusions_section(const std::vector<ExclusionKind>& kinds, const Measures& measures) {
    if (kinds.empty()) return paragraph("No hazard reaches this area, by the files given.");
    ReportTable table{"What is kept clear of",
                      {{"", "Kind", ""},
                       {"", "How many", "", true},
                       {"", "Forbids", ""},
                       {"", "Advises", ""},
                       {"", "Margin, most", std::string(unit_name(measures)), true},
                       {"", "Where the margin is from", ""}},
                      {}};
    for (const ExclusionKind& kind : kinds) {
        table.rows.push_back({kind.kind, std::to_string(kind.count), kind.forbids, kind.advises,
                              length_number(kind.margin_m, Rounded::up, measures), kind.source});
    }
    return paragraph("Margins are those of the rules. National law differs, and comes first.") +
           table_markup(table);
}

} // namespace swingroom
