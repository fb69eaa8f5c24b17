#pragma once

#include "swingroom/base/markup.hpp"

#include "report/map_picture.hpp"

namespace swingroom {

/// The style sheet of maps, src/report/map.css, in the palette's inks: as variables of a page for day and
/// night, or put in for a drawing by itself, which viewers without variables show, too.
Markup map_style(MapColours colours);

} // namespace swingroom
