#pragma once

#include "sea/geometry/planar.hpp"

#include <optional>
#include <vector>

/// Outlines of all that lies within a reach of segments and rings of one plane. Arcs are drawn by edges that
/// touch them from outside, so that nothing within the reach is left out and the excess is at most
/// `most_arc_excess_m`.
namespace swingroom {

/// How far an outline with arcs of this radius is outside of them at the most.
double most_arc_excess_m(double reach_m);

/// How many edges half a circle is drawn with.
int arc_edges(double reach_m);
/// The radius of its vertices, so that the edges touch the reach from outside.
double arc_radius_m(double reach_m);

/// A segment and everything within the reach.
Chain capsule(GridPoint a, GridPoint b, double reach_m);

/// Whether a closed ring turns one way only, and once.
bool is_convex(const Chain& ring);

/// Whether a convex ring holds all vertices of another one.
bool encloses(const Chain& convex, const Chain& other);

/// The inside of a convex ring and everything within the reach: what the capsules of its edges come to with
/// it, at a fraction of their vertices and without joining them.
Chain grown_convex(Chain ring, double reach_m);

/// Whether a closed ring has a reflex corner nearer than `depth_m` to the line between the vertices beside
/// it.
bool has_shallow_bays(const Chain& ring, double depth_m);

/// Convex rings that together cover the inside of a ring and nothing else. To grow them all is to grow the
/// ring. Nothing where the ring is not proven to be simple, has more vertices than it pays for, or rounding
/// is in the way.
std::optional<std::vector<Chain>> convex_pieces(const Chain& ring);

} // namespace swingroom
