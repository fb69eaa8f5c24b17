#pragma once

#include "swingroom/sea/georeference.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/files/vector_file.hpp"

#include <cstdint>
#include <span>
#include <vector>

/// The soundings of charts, one by one: what a raster is compared with.
namespace swingroom {

/// A sounding that counts: no cell of a larger scale covers its place.
struct ChartedSounding {
    LonLat at;                  ///< its place
    double depth_m = 0;         ///< below chart datum, as charted
    double uncertainty_m = 0;   ///< by its zone of confidence
    double scale = 0;           ///< of its cell, 1 to this many; 0: not stated
    std::uint8_t source = 0;    ///< its cell, the first being 1
    double neighbourhood_m = 0; ///< see below
};

/// All soundings that count, in the order of the cells.
///
/// Their neighbourhoods are discs of half the distance to the nearest other sounding, so that no two overlap,
/// and at most 10 mm at the scale of their cell and 500 m. A chart has a sounding every one to two
/// centimetres (common practice, no source), so that one alone speaks for half the wider spacing; 500 m is
/// how far the positions of the poorest zone of confidence with a number may be off (C, IHO S-68 table 6-1).
/// Soundings within a decimetre of each other are one place.
/// @param files  the files of the cells, in the order in which these are counted; others among them are
/// passed
///               over
std::vector<ChartedSounding> charted_soundings(std::span<const VectorFile> files, const EncCells& cells);

/// What a sounding says of its neighbourhood, where a survey is deeper.
struct SoundingDisc {
    LonLat at;               ///< its middle
    double radius_m = 0;     ///< on the ground
    double shoal_m = 0;      ///< no more than this counts in it, uncertainty taken off
    double scale = 0;        ///< as ChartedSounding::scale
    std::uint8_t source = 0; ///< as ChartedSounding::source
};

} // namespace swingroom
