#pragma once

#include "swingroom/water/level_curve.hpp"
#include "swingroom/water/stay.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// Where a tide station lies, in degrees, WGS 84.
struct StationPlace {
    double lon = 0, lat = 0; ///< east and north are positive
};

/// The water of a stay as a curve tells it, and all that is told of where it is known from.
struct StayTide {
    std::shared_ptr<const LevelCurve> curve; ///< not null; without the allowances
    LevelAllowances allowances;              ///< for the weather above all
    Stay stay;                               ///< of that curve and these allowances
    ZoneOffset zone{0};                      ///< of the clock that people are told times by
    std::string file;                        ///< its path, as it was given
    std::string station, source, datum;      ///< as the file says; each may be empty
    std::optional<StationPlace> place;       ///< of the station; nothing: nobody says
    /// Sentences for people: what was read and may be meant otherwise, to be looked at.
    std::vector<std::string> doubts;
    std::vector<std::string> notes{}; ///< the same of what is only told, as by which clock times were read
};

} // namespace swingroom
