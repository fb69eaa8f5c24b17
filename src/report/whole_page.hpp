#pragma once

#include "swingroom/base/markup.hpp"

#include "report/page_parts.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// A page that stands by itself: no script, nothing from elsewhere, a list of contents, a switch for the
/// night, a footer with the caution. Well-formed as XML too.
/// @param header    what stands above the list of contents   @param sections  those without content are left
/// out
/// @param style     its style sheets
Markup whole_page(const std::string& title, const Markup& header, const std::vector<Section>& sections,
                  const Markup& style);

} // namespace swingroom
