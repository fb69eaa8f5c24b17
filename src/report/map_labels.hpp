#pragma once

#include "swingroom/base/grid.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// What takes room on a map, in units of its frame.
struct MapBox {
    double left = 0, top = 0, right = 0, bottom = 0;
    [[nodiscard]] bool meets(const MapBox& other) const {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
};

/// Keeps words off each other and off the marks: who comes first has the place.
class MapLabels {
public:
    /// @param width, height  of the map; words stay within   @param letter  width of a letter, in units
    MapLabels(double width, double height, double letter) : width_(width), height_(height), letter_(letter) {}

    /// Where a word is put: the middle of its lower edge.
    struct Place {
        bool found = false;
        GridPoint at; ///< for text-anchor "middle", on the base line
    };
    /// Takes the first free place beside a point: above, below, right, left, and so on a little
    /// farther off; from afar nobody would know whose words they are.
    /// @param clear  how far from the point, at the least
    Place beside(GridPoint point, const std::string& words, double clear);
    /// Takes the place upon a point, if it is free.
    Place upon(GridPoint point, const std::string& words);
    /// Keeps words off a mark.
    void keep_clear(GridPoint of, double half_side);

private:
    Place take(GridPoint base, const std::string& words);

    double width_, height_, letter_;
    std::vector<MapBox> taken_;
};

} // namespace swingroom
