#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/overlay/map_planes.hpp"

#include "publish/folder/finished_layers.hpp"
#include "report/map_frame.hpp"

#include <cstdint>

namespace swingroom {

/// Which of its colours a map is drawn in: those of the day, those of the night, or both, of which a page's
/// style shows one.
enum class MapColours : std::uint8_t { day, night, page };

/// Classes, each pixel the worst of factor x factor cells: pixel (i, j) stands for the cells from
/// (i * factor, j * factor) on.
struct ClassPicture {
    /// Cells along a pixel's side, at least 1.
    int factor = 1;
    /// Values of MapClass; the window is in pixels.
    Plane<std::uint8_t> classes;
};

/// What is a yes, a no and not surveyed by the finished layer, and of a no what kind it is.
/// @param planes  of the same first cell and no coarser; null or coarser: of no is told no more
/// @param most_pixels  as of FinishedVerdicts::picture()   @throws IoError
ClassPicture class_picture(const FinishedVerdicts& verdicts, Window cells, int most_pixels,
                           const MapPlanes* planes);

/// The picture as an SVG image in its place of a frame, with the hatches in it.
/// @param style  a class of the style sheet besides "pixels"
/// @param scale  pixels to a unit where that drops none of the picture's   @throws IoError
Markup map_image(const ClassPicture& picture, const MapFrame& frame, MapColours colours, const char* style,
                 double scale);

/// A piece of a class's colour and hatch, for a legend: SVG images at (0, 0).
Markup class_swatch(MapClass of, int width, int height, MapColours colours);

} // namespace swingroom
