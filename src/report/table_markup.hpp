#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report_table.hpp"

#include <string>
#include <string_view>
#include <vector>

/// Tables of a page, as markup: wide ones stand in a region that scrolls by itself and can be reached by
/// keyboard.
namespace swingroom {

/// A table as it stands, headings of groups over those of columns.
Markup table_markup(const ReportTable& table);

// What such a table is made of, for those that are laid out otherwise.

/// Styles of the cells of a column: figures stand flush right.
inline constexpr const char *number_style = "n", *word_style = "w";

/// The roles say what the elements are anyhow: on a phone the style lays rows out as blocks, and browsers may
/// then forget what they are made of.
inline Attribute role(std::string_view name) { return {"role", name}; }

/// A row of cells that are ready.
Markup row(const Markup& cells);
/// Headings in two rows where some belong together, else in one.
/// @param styles  of the columns
Markup head_of(const std::vector<ReportTable::Column>& columns, const std::vector<const char*>& styles);
/// The whole, in its region.
/// @param attributes  of the table
Markup table_of(const std::string& caption, const Attributes& attributes, const Markup& head,
                const Markup& bodies);

} // namespace swingroom
