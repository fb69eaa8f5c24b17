#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard.hpp"

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// One polygon of a hazard's danger zone, for people to look at.
struct Exclusion {
    std::string kind, label; ///< of the hazard: the rule's name; layer and feature
    Effects effects = 0;     ///< bits of `effect`
    double margin_m = 0;     ///< as the rule gives it
    /// The outer ring, then holes; WGS 84 degrees, x longitude (continuous around the raster, may pass 180),
    /// y latitude; first vertex repeated last. Straight lines between neighbours stay outside the danger.
    std::vector<std::vector<GridPoint>> rings;
};

/// Hazards of which those with an effect are drawn.
struct HazardsToDraw {
    /// In any order; those without an effect are passed over.
    std::span<const Hazard> hazards;
    /// The raster's, in whose space the hazards lie; it must outlive this.
    const Grid& grid;
    const std::string& source; ///< the raster's file, for messages
    /// Whom they endanger; none: any hull, so that none clears them.
    std::optional<HullNeeds> hull = std::nullopt;
};

/// Draws each hazard that has an effect, grown by its margin and placement allowance, and delivers the
/// polygons one by one, hazard after hazard; those of one hazard may overlap. A picture, not the judgement:
/// the cells come from HazardField.
///
/// Never less than the danger. What it may be more, in metres, is at most `exclusion_excess_m` for outlines
/// of up to 20,000 edges each; with more they are simplified outwards first, and what crosses itself or
/// others very often stands as its convex hull, so that neither time nor memory grow faster than the
/// vertices. Not for hazards around a pole.
/// @throws InputError  a hazard that spans too much of the globe to be drawn in one piece
void each_exclusion(const HazardsToDraw& drawn, const std::function<void(Exclusion&&)>& deliver);

/// Bound of what a drawn danger may reach beyond its margin and placement allowance where nothing had to be
/// simplified by more than a 2000th of them: 0.25 % and 0.35 m, below 0.5 % from a margin of 150 m on.
double exclusion_excess_m(const Hazard& hazard);

} // namespace swingroom
