#include "sea/raster/bathymetry_sign.hpp"

#include "swingroom/base/measures.hpp"

#include <algorithm>
#include <cstddef>
#include <span>
#include <string>

namespace swingroom::bathymetry {
namespace {

/// Metres above chart datum that no drying bank reaches.
constexpr double hill_m = 20;
/// The share of such cells from which on they are no odd values.
constexpr double many = 0.02;
/// Water that is nowhere deeper may be banks with the sign turned.
constexpr double shallow_m = 5;

/// Heights of the cells of a raster, counted.
struct Heights {
    std::size_t seen = 0, hills = 0;
    double deepest_m = 0; ///< below chart datum

    [[nodiscard]] double hill_share() const {
        return seen == 0 ? 0 : static_cast<double>(hills) / static_cast<double>(seen);
    }
    /// Whether there is water that no bank with its sign turned could be.
    [[nodiscard]] bool are_of_water() const { return deepest_m > shallow_m; }
};

/// @param until_water  enough is seen where they are_of_water(): most of a large raster need not be read then
Heights heights_in(const DepthBand& band, bool until_water) {
    constexpr std::size_t quick = 1'000'000;
    // The band gives values with its scale and offset taken; what is left of the way to metres is linear.
    const double factor = band.depth_m.factor / band.depths.scale,
                 constant_m = band.depth_m.constant - factor * band.depths.offset;
    Heights heights;
    look_at_values(band.depths, band.file, quick, [&](std::span<const double> values) {
        for (const double value : values) {
            const double depth_m = factor * value + constant_m;
            heights.hills += depth_m < -hill_m ? 1 : 0;
            heights.deepest_m = std::max(heights.deepest_m, depth_m);
        }
        heights.seen += values.size();
        return !(until_water && heights.are_of_water());
    });
    return heights;
}

} // namespace

std::optional<Message> doubt_of_sign(const DepthBand& band, bool down) {
    const Heights heights = heights_in(band, !down);
    if (heights.hill_share() < many || (!down && heights.are_of_water())) return std::nullopt;
    const std::string hills = fixed(100 * heights.hill_share(), 0) +
                              " % of the cells looked at stand more than " + fixed(hill_m, 0) +
                              " m above chart datum, as no drying bank does";
    if (down) {
        return "read as depths, " + hills + "; if its values are heights, give " + Setting::positive + " up";
    }
    return "read as heights, " + hills + ", and no water is deeper than " + fixed(shallow_m, 0) +
           " m; if its values are depths, give " + Setting::positive + " down";
}

} // namespace swingroom::bathymetry
