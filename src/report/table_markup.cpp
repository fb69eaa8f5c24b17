#include "report/table_markup.hpp"

#include <algorithm>
#include <cstddef>

namespace swingroom {
namespace {

/// Wide tables scroll by themselves, never the page.
Markup scroll_region(const std::string& name, const Markup& table) {
    return element("div", {{"class", "scroll"}, {"role", "region"}, {"tabindex", "0"}, {"aria-label", name}},
                   "\n" + table) +
           "\n";
}

Markup with_unit(const std::string& name, const std::string& unit) {
    Markup markup = escaped(name);
    if (!unit.empty()) markup += " " + text_element("span", {{"class", "unit"}}, unit);
    return markup;
}

/// @param style  of its cells: a heading stands on their side
Markup head_cell(const ReportTable::Column& column, const char* style, bool over_two_rows = false) {
    Attributes attributes = {{"scope", "col"}, {"class", style}, role("columnheader")};
    if (over_two_rows) attributes.insert(attributes.end(), {{"rowspan", "2"}});
    return element("th", attributes, with_unit(column.name, column.unit));
}

} // namespace

Markup row(const Markup& cells) { return element("tr", {role("row")}, cells) + "\n"; }

Markup head_of(const std::vector<ReportTable::Column>& columns, const std::vector<const char*>& styles) {
    const bool grouped =
        std::any_of(columns.begin(), columns.end(), [](const auto& c) { return !c.group.empty(); });
    Markup upper, lower;
    for (std::size_t i = 0; i < columns.size();) {
        const std::string& group = columns[i].group;
        if (group.empty()) {
            upper += head_cell(columns[i], styles[i], grouped);
            ++i;
            continue;
        }
        std::size_t members = 0;
        for (; i + members < columns.size() && columns[i + members].group == group; ++members) {
            lower += head_cell(columns[i + members], styles[i + members]);
        }
        upper += text_element(
            "th", {{"scope", "colgroup"}, {"colspan", std::to_string(members)}, role("columnheader")}, group);
        i += members;
    }
    return element("thead", {role("rowgroup")}, "\n" + row(upper) + (lower.empty() ? Markup() : row(lower))) +
           "\n";
}

Markup table_of(const std::string& caption, const Attributes& attributes, const Markup& head,
                const Markup& bodies) {
    return scroll_region(caption, element("table", attributes,
                                          "\n" + text_element("caption", caption) + "\n" + head + bodies));
}

Markup table_markup(const ReportTable& table) {
    std::vector<const char*> styles(table.columns.size(), word_style);
    for (std::size_t i = 1; i < styles.size(); ++i) { // the first names the row, even if by a number
        if (table.columns[i].numbers) styles[i] = number_style;
    }
    Markup rows;
    for (const std::vector<std::string>& texts : table.rows) {
        Markup cells;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            cells += i == 0 ? text_element("th", {{"scope", "row"}, role("rowheader")}, texts[i])
                            : text_element("td", {{"class", styles[i]}, role("cell")}, texts[i]);
        }
        rows += row(cells);
    }
    return table_of(table.caption, {role("table")}, head_of(table.columns, styles),
                    element("tbody", {role("rowgroup")}, "\n" + rows));
}

} // namespace swingroom
