#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/report/tide_picture.hpp"
#include "swingroom/water/tide_file.hpp"

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// What is asked of a file of levels.
struct TideQuestion {
    Instant from, to;                          ///< the span that is looked at, at most a year
    std::vector<Instant> at;                   ///< moments whose heights are wanted, within the curve
    std::optional<std::chrono::minutes> every; ///< a step for heights all over the span; none: none of them
    LevelAllowances allowances;                ///< put on all bounds
    ZoneOffset zone{0};                        ///< of the clock that people are told times by
};

/// All that `swingroom tide` prints: computed once, written in any format.
struct TideReport {
    /// The water at a moment, in metres above chart datum.
    struct Height {
        Instant time;
        double height_m = 0; ///< the prediction
        LevelBounds bounds;  ///< the curve's own error and the allowances in them
    };

    std::string path;           ///< of the file, as it was given
    TideFile file;              ///< as it was read
    TideQuestion question;      ///< as it was asked
    std::vector<Turn> turns;    ///< high and low waters of the span
    std::vector<Height> at;     ///< in the order in which they were asked for
    std::vector<Height> series; ///< all over the span
    /// Lowest and highest level of the span, the curve's own error and the allowances in them.
    LevelBounds levels;
};
/// @param path  of the file, for messages and to be told
/// @throws InputError  the span is none, longer than a year or not within the file, nor is a moment
TideReport tide_report(TideFile file, std::string path, TideQuestion question);

/// For people, by the clock. Heights are rounded to nearest, bounds outwards.
/// @param width  characters that a line may have; 0: any number
std::string tide_text(const TideReport& report, const Measures& measures = {}, std::size_t width = 0);
/// For programs: a line for each high and low water and each height that was asked for, in the order of time;
/// UTC and metres.
std::string tide_csv(const TideReport& report);
/// One JSON object: the same, what the file says of itself, what bounds the levels, and what is doubtful.
std::string tide_json(const TideReport& report);

/// What the picture of the span shows: the curve with its bounds.   @pre the report outlives its use
TidePicture picture_of(const TideReport& report, const Measures& measures = {});

} // namespace swingroom
