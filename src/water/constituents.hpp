#pragma once

#include "swingroom/water/instant.hpp"

#include "water/astronomy.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// Whose node factor and node angle a constituent has, by Schureman's equations 73 to 78, 149, 197 to 235.
enum class NodeKind { mm, mf, o1, j1, oo1, m1, k1, m2, m3, l2, k2 };

/// Node factor and node angle, f and u.
struct NodeFigures {
    double factor = 1, angle_deg = 0;
};
NodeFigures node_figures(NodeKind kind, const OrbitAngles& angles);

/// One kind's part in a constituent: its factor is multiplied so often, its angle added so often, with sign.
struct NodePart {
    NodeKind kind = NodeKind::m2;
    int power = 0, turns = 0;
};

/// What a name stands for.
struct Constituent {
    double speed_deg_h = 0; ///< degrees in an hour
    /// Multiples of: 15 degrees for each hour since midnight UTC, and the longitudes of moon, sun, moon's
    /// perigee and sun's perigee.
    std::array<int, 5> multiples{};
    double constant_deg = 0;
    std::vector<NodePart> nodes;

    /// The equilibrium argument V, in degrees.
    [[nodiscard]] double argument_deg(Instant instant, const MeanLongitudes& longitudes) const;
    /// f and u of all parts.
    [[nodiscard]] NodeFigures nodal(const OrbitAngles& angles) const;
};

/// Looks up one of the 37 that are common to all stations of the US agency, in any case of letters and the
/// other spellings in use, or takes the name of a compound apart: "4MN6" is four times M2 less N2 (annex B of
/// the IHO's list of constituents).
/// @returns nothing where the name is not known, or where published lists mean different things by it
std::optional<Constituent> find_constituent(std::string_view name);

/// Whether lists that are in use disagree in what this name, which find_constituent() knows, means: those of
/// Schureman are meant here, as the US agency's.
bool has_other_meanings(std::string_view name);

/// A name in its usual spelling, in capital letters: "Lambda2" is LAM2.
std::string usual_name(std::string_view name);

} // namespace swingroom
