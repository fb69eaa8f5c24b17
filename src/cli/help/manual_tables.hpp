#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// The tables that the pages of the manual show and the program itself knows: options of commands, bits of
/// layers, leading reasons.
std::vector<std::string> manual_table_names();

/// One of them, as a table in Markdown.   @throws InputError  there is none of that name
std::string manual_table(std::string_view name);

} // namespace swingroom::cli
