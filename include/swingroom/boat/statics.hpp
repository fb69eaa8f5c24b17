#pragma once

#include <limits>
#include <span>
#include <vector>

namespace swingroom {

/// One part of a rode, heavy in water; a part of no length is a point weight (a sinker). A rode is a list of
/// parts from the bow roller down to the anchor.
struct RodePart {
    double length_m = 0;                                          ///< before stretching, >= 0
    double weight_n = 0;                                          ///< of the whole part, in water, >= 0
    double stiffness_n = std::numeric_limits<double>::infinity(); ///< EA: pull per unit strain, > 0

    /// A piece of chain or rope by its weight in water, in newtons a metre; chain is taken not to stretch.
    static RodePart line(double length_m, double weight_n_per_m,
                         double stiffness_n = std::numeric_limits<double>::infinity()) {
        return {length_m, length_m * weight_n_per_m, stiffness_n};
    }
    /// A point weight, in newtons in water: a sinker.
    static RodePart point(double weight_n) { return {0, weight_n}; }
};

/// How a rode lies under a steady pull.
struct RodeState {
    double reach_m = 0;            ///< horizontally from the anchor to the roller
    double grounded_m = 0;         ///< rode on the seabed (before stretching)
    double angle_deg = 0;          ///< of the pull at the anchor, above the seabed
    double tension_n = 0;          ///< at the roller; a sinker that hangs there is in it
    double vertical_bow_n = 0;     ///< vertical part of that tension
    double vertical_anchor_n = 0;  ///< vertical pull on the anchor
    double sinker_on_seabed_n = 0; ///< how much of the point weights the seabed carries
};

/// Statics of a rode on a flat seabed without friction, at rest: each lifted part is an elastic catenary, a
/// point weight on the seabed is lifted by as much as equilibrium asks, from nothing to the whole of it.
/// Textbook; see for example MIT OpenCourseWare 2.019, lectures 13 and 14, for the part without a sinker.
/// @param pull_n  horizontal pull, finite, >= 0; at 0 the rode hangs up and down and reach is length - span
/// @param span_m  roller above the seabed, > 0 and less than the length of all parts
/// Reach grows with the pull and falls with the span; length - span <= reach <= sqrt(length^2 - span^2) for a
/// rode that does not stretch. Relative error below 1e-9 for 0 to 100 kN, 1 to 100 m of span.
RodeState rode_state(double pull_n, double span_m, std::span<const RodePart> parts);

/// The greatest span at which the rode pulls at the anchor no steeper than angle_deg (>= 0, < 90), at this
/// pull and at every lesser one. Falls with the pull; at no pull it is the whole length. A rode that does not
/// stretch is the steeper the harder it is pulled: a closed form, from the anchor up. One that stretches may
/// be flatter in a harder pull, so lesser ones are looked at too; the answer is then less than the exact one
/// by at most 0.14 % of what the stretch lends to the span.
double greatest_span_m(double pull_n, double angle_deg, std::span<const RodePart> parts);

/// The greatest horizontal pull up to which the angle stays within angle_deg at this span; infinity where the
/// rode is long enough for any pull (length * sin(angle) >= span), 0 where it is too short for any.
double greatest_pull_n(double span_m, double angle_deg, std::span<const RodePart> parts);

/// A point of the rode's shape: x from the anchor, z above the seabed, both in metres.
struct ShapePoint {
    /// Both at rest on a flat seabed, so z is 0 where the rode lies on it.
    double x_m = 0, z_m = 0;
};
/// The rode from the roller down to the anchor, for a drawing: parts cut into `steps` pieces each.
std::vector<ShapePoint> rode_shape(double pull_n, double span_m, std::span<const RodePart> parts, int steps);

/// The sum of the parts' lengths before stretching, in metres.
double length_m(std::span<const RodePart> parts);

} // namespace swingroom
