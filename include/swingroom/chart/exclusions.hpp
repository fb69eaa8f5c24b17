#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard.hpp"

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// One polygon of a hazard's danger zone, for people to look at.
struct Exclusion {
    std::string kind, label;  ///< of the hazard: the rule's name; layer and feature
    std::uint8_t effects = 0; ///< bits of `effect`
    double margin_m = 0;      ///< as the rule gives it
    /// The outer ring, then holes; WGS 84 degrees, x longitude (continuous around the raster, may pass 180),
    /// y latitude; first vertex repeated last. Straight lines between neighbours stay outside the danger.
    std::vector<std::vector<GridPoint>> rings;
};

/// Buffers each hazard that has an effect by its margin and slack and delivers the polygons one by one,
/// hazard after hazard; those of one hazard may overlap. A picture, not the judgement: the cells come from
/// HazardField.
///
/// Never less than the danger. What it may be more, in metres, is at most `exclusion_excess_m` for a hazard
/// of few vertices; outlines with very many relative to their margin are simplified outwards first, or stand
/// as their convex hull, since the cost of a buffer has no other bound. Not for hazards around a pole.
/// @param source  the raster's file, for messages
/// @throws InputError  a hazard that spans too much of the globe to be drawn in one piece
void each_exclusion(std::span<const Hazard> hazards, const Grid& grid, const std::string& source,
                    const std::function<void(Exclusion&&)>& deliver);

/// Bound of what a drawn danger may reach beyond its margin and slack where nothing had to be simplified.
/// @param away_m  greatest distance of the hazard from the raster's centre
double exclusion_excess_m(const Hazard& hazard, double away_m);

} // namespace swingroom
