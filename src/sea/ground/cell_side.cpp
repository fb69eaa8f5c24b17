#include "sea/ground/cell_side.hpp"

#include "swingroom/sea/georeference.hpp"

#include <algorithm>

namespace swingroom {

double longest_cell_side_m(const Grid& grid, const std::string& source) {
    const Georeference georeference(grid, source);
    double longest_m = 0;
    for (const int row : {0, grid.rows / 2, grid.rows - 1}) {
        for (const int col : {0, grid.cols / 2, grid.cols - 1}) {
            const double x = col, y = row;
            const LonLat corner = georeference.lonlat({x, y});
            longest_m = std::max({longest_m, geodesic(corner, georeference.lonlat({x + 1, y})).distance_m,
                                  geodesic(corner, georeference.lonlat({x, y + 1})).distance_m});
        }
    }
    return longest_m;
}

} // namespace swingroom
