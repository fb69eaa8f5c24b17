#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/water/level_curve.hpp"
#include "swingroom/water/stay.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// What the picture of a curve of the water's level shows.
struct TidePicture {
    const LevelCurve* curve = nullptr; ///< not null
    Instant from, to;                  ///< the span that is drawn, within the curve
    LevelAllowances allowances;        ///< the band of the bounds is drawn with them put on
    ZoneOffset zone{0};                ///< of the clock along the lower edge
    Measures measures;                 ///< unit of the heights along the side
    /// A moment with a line and its name: arrival, departure.
    struct Moment {
        Instant at;
        std::string label;
    };
    std::vector<Moment> moments; ///< those outside of the span are left out
    /// A level with a line across and its name: what a place needs.
    struct Level {
        double level_m = 0; ///< above chart datum
        std::string label;
    };
    /// In the order in which they matter: one whose line or name would stand in another's is left out of the
    /// drawing, as is one that is farther off than the tide is high. The description has them all.
    std::vector<Level> levels;
    /// Times that are marked by bars along the lower edge, and what they are of: "the way in is open".
    std::vector<TimeWindow> windows;
    std::string windows_label;
    std::string caption; ///< under it, for a picture that stands by itself; may be empty
};

/// The curve as SVG that stands in a page or by itself: the prediction, band of its bounds, high and low
/// waters with time and height, moments, levels. Readable in black and white, described in words for who
/// cannot see it.
Markup tide_picture(const TidePicture& picture);

} // namespace swingroom
