#include "report/map_picture.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/publish/palette.hpp"

#include "publish/raster/class_image.hpp"
#include "publish/styles/hatch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>

namespace swingroom {
namespace {

std::string units(double value) { return fixed(value, 1); }

/// Each class twice: its colour and its ink.
std::array<Rgba, 2 * map_class_count> palette_of(bool night) {
    std::array<Rgba, 2 * map_class_count> palette{};
    for (std::size_t i = 0; i < map_class_count; ++i) {
        const Colour colour = night ? map_looks[i].night : map_looks[i].day, ink = ink_over(colour, night);
        palette[2 * i] = {colour[0], colour[1], colour[2], 255};
        palette[2 * i + 1] = {ink[0], ink[1], ink[2], 255};
    }
    return palette;
}

std::uint8_t inked_class(std::uint8_t of, int col, int row) {
    const Hatch hatch = map_looks[of].hatch;
    return static_cast<std::uint8_t>(2 * of + (inked(hatch, col, row) ? 1 : 0));
}

/// The classes with their hatches, grown to so many pixels, so that patterns are as fine on coarse cells.
/// @param turned_over  whether the first row is to be the last
Plane<std::uint8_t> hatched(const Plane<std::uint8_t>& classes, int width, int height, bool turned_over) {
    const Window& from = classes.window();
    Plane<std::uint8_t> to(Window{0, 0, width, height}, 0);
    for (int y = 0; y < height; ++y) {
        const auto down = static_cast<int>(std::int64_t{y} * from.rows / height);
        const std::uint8_t* const row = classes.row(from.row + (turned_over ? from.rows - 1 - down : down));
        for (int x = 0; x < width; ++x) {
            to.at(x, y) = inked_class(row[std::int64_t{x} * from.cols / width], x, y);
        }
    }
    return to;
}

/// @param placed  x, y, width and height
Markup images(const Plane<std::uint8_t>& pixels, MapColours colours, const std::string& style,
              const Attributes& placed) {
    Markup markup;
    for (const bool night : {false, true}) {
        if (colours != MapColours::page && night != (colours == MapColours::night)) continue;
        const char* const of_page = colours != MapColours::page ? "" : night ? " by-night" : " by-day";
        Attributes attributes = {{"class", style + of_page}};
        attributes.insert(attributes.end(), placed.begin(), placed.end());
        attributes.insert(attributes.end(), {{"preserveAspectRatio", "none"},
                                             {"href", png_data_uri(pixels, palette_of(night))}});
        markup += empty_element("image", attributes) + "\n";
    }
    return markup;
}

/// The worst class of the pixels of the planes that a pixel of the picture stands for; a yes where there is
/// none.
MapClass worst_class(const MapPlanes& planes, int times, int col, int row) {
    const Window finer = common({col * times, row * times, times, times}, planes.classes().window());
    MapClass worst = MapClass::full;
    for (int r = finer.row; r < finer.row_end(); ++r) {
        for (int c = finer.col; c < finer.col_end(); ++c) {
            worst = std::max(worst, static_cast<MapClass>(planes.classes().at(c, r)));
        }
    }
    return worst;
}

} // namespace

ClassPicture class_picture(const FinishedVerdicts& verdicts, Window cells, int most_pixels,
                           const MapPlanes* planes) {
    const VerdictPicture from = verdicts.picture(cells, most_pixels);
    const Window& pixels = from.pixels.window();
    ClassPicture picture{from.factor, Plane<std::uint8_t>(pixels, 0)};
    const bool kinds_known = planes != nullptr && planes->factor() <= from.factor;
    const int times = kinds_known ? from.factor / planes->factor() : 1;
    for (int row = pixels.row; row < pixels.row_end(); ++row) {
        for (int col = pixels.col; col < pixels.col_end(); ++col) {
            MapClass of = map_class_of(static_cast<Verdict>(from.pixels.at(col, row)));
            if (of == MapClass::no && kinds_known) of = std::max(of, worst_class(*planes, times, col, row));
            picture.classes.at(col, row) = static_cast<std::uint8_t>(of);
        }
    }
    return picture;
}

Markup map_image(const ClassPicture& picture, const MapFrame& frame, MapColours colours, const char* style,
                 double scale) {
    const Window& w = picture.classes.window();
    const auto corner = [&](int col, int row) {
        return frame.of_cell(
            {static_cast<double>(col) * picture.factor, static_cast<double>(row) * picture.factor});
    };
    const GridPoint first = corner(w.col, w.row), last = corner(w.col_end(), w.row_end());
    const double width = last.x - first.x, height = std::abs(last.y - first.y);
    // No pixel may be dropped: where cells are not square there are more to a unit, as far as that makes the
    // hatches no stranger than twice as dense.
    const double finer = std::clamp(std::max(w.cols / (scale * width), w.rows / (scale * height)), 1.0, 2.0);
    const auto size = [&](double length, int least) {
        return std::max(least, static_cast<int>(std::lround(length * scale * finer)));
    };
    return images(hatched(picture.classes, size(width, w.cols), size(height, w.rows), frame.turned_over()),
                  colours, std::string("pixels") + (style[0] == '\0' ? "" : " ") + style,
                  {{"x", units(first.x)},
                   {"y", units(std::min(first.y, last.y))},
                   {"width", units(width)},
                   {"height", units(height)}});
}

Markup class_swatch(MapClass of, int width, int height, MapColours colours) {
    const Plane<std::uint8_t> one(Window{0, 0, 1, 1}, static_cast<std::uint8_t>(of));
    return images(hatched(one, width, height, false), colours, "pixels",
                  {{"width", std::to_string(width)}, {"height", std::to_string(height)}});
}

} // namespace swingroom
