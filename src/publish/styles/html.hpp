#pragma once

#include <string>
#include <string_view>

namespace swingroom {

/// Text for HTML and XML, as content or between double quotes: what has a meaning there is escaped; bytes
/// that are not UTF-8, control characters but for the line feed, marks that turn the direction of writing and
/// what no XML may hold become U+FFFD. Names from files are anything that somebody has thought of.
std::string html_text(std::string_view text);

/// The same replacements in markup that is made already: nothing is escaped.
std::string clean_markup(std::string_view markup);

/// "<td class="n">...</td>".
/// @param opening  name and attributes: "td class=\"n\""   @param content  markup
std::string element(std::string_view opening, std::string_view content);

/// An element that holds text and nothing else.
std::string text_element(std::string_view opening, std::string_view text);

} // namespace swingroom
