#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// What a named place of a chart is.
enum class PlaceKind : std::uint8_t {
    sea_area,  ///< a stretch of water: SEAARE
    anchorage, ///< ACHARE
    harbour,   ///< HRBFAC
    land       ///< a stretch of land or a town: LNDRGN, BUAARE
};

/// A place as a chart calls it (OBJNAM), for people to find it there: nothing is reckoned with it.
struct PlaceName {
    PlaceKind kind = PlaceKind::sea_area; ///< which class of objects it is
    std::string name;                     ///< fit to be printed
    friend bool operator==(const PlaceName&, const PlaceName&) = default;
};

} // namespace swingroom
