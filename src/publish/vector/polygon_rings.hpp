#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// A position in units of 1e-7 degrees: what seven decimals can say.
struct LatticePoint {
    /// Longitude and latitude.
    std::int64_t x = 0, y = 0;
    friend bool operator==(const LatticePoint&, const LatticePoint&) = default;
};

/// Corners in degrees, x longitude and y latitude, the first one repeated last.
using Ring = std::vector<GridPoint>;
/// The same as written.
using LatticeRing = std::vector<LatticePoint>;

/// Seven decimals of a degree, without a detour over binary fractions: "-5.2500001".
[[nodiscard]] std::string lattice_text(std::int64_t value);
/// The same at the end of a text: outlines have hundreds of thousands of corners.
void append_lattice_text(std::string& text, std::int64_t value);

/// A longitude moved by whole turns to -180 .. 180.
[[nodiscard]] double wrapped_longitude(double lon);

/// Takes out the jumps of whole turns along a ring: each longitude comes within half a turn of the one
/// before. A ring around a pole so ends a turn from where it starts.
[[nodiscard]] Ring unrolled(Ring ring);

/// Cuts a polygon that may pass the antimeridian into polygons within -180 .. 180 (RFC 7946, section 3.1.9).
/// One that holds a pole is cut along the antimeridian up to the pole, and along the pole's parallel.
/// @param rings  outer ring first; edges of less than half a turn of longitude; jumps of whole turns between
///               vertices mean nothing
/// @throws std::invalid_argument  a coordinate is not finite or beyond the poles
[[nodiscard]] std::vector<std::vector<Ring>> cut_at_antimeridian(std::vector<Ring> rings);

/// Cuts a line that may pass the antimeridian into lines within -180 .. 180 (RFC 7946, section 3.1.9), which
/// meet in the points where it does.
/// @param line  legs of less than half a turn of longitude; jumps of whole turns between points mean nothing
/// @throws std::invalid_argument  a coordinate is not finite or beyond the poles
[[nodiscard]] std::vector<std::vector<GridPoint>> cut_line_at_antimeridian(std::vector<GridPoint> line);

/// Turns the outer ring counter-clockwise and the holes clockwise (RFC 7946, section 3.1.6), and rounds the
/// corners. Rounded inwards, each corner stays on the inner side of the lines of both its edges, so that the
/// polygon stays within itself; outwards the other way round. A corner so sharp that no position near it does
/// that goes to the nearest. Rings that collapse are left out; nothing is left of a polygon whose outer
/// ring does.
[[nodiscard]] std::vector<LatticeRing> wound_and_rounded(std::vector<Ring> rings,
                                                         VectorLayer::Rounding rounding);

} // namespace swingroom
