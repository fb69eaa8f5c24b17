#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/verdict.hpp"

#include <cstdint>

namespace swingroom {

/// The share of a depth band that a limit of the sounder admits, from the shoal side on: 1 if there is no
/// limit (NaN), 0 to 1. The deeper the seabed may be beyond the limit, the less likely it is that the sounder
/// shows what lets her go.
/// @param shoal_m, deep_m  the sides of the band, shoal_m <= deep_m; all three to chart datum
double band_admitted(double shoal_m, double deep_m, double limit_m);

/// Whether a limit is hardly above the shoal side: below it lies less than a quarter of the band, or less
/// than a metre, of a band narrower than 2 m less than half. Such a place is no good one to be sent to. (Our
/// own choice: of 10 to 20 m a limit of 12.5 m is the least that counts.)
bool hardly_admits(double shoal_m, double deep_m, double limit_m);

/// By what a place is ranked among those that are told of.
struct PlaceMerits {
    Verdict verdict = Verdict::no;
    bool out_of_reach = false; ///< no way leads there at any level of the stay
    /// hardly_admits(), or what is known of the depth near by says that the sounder will show more.
    bool hardly_admitted = false;
    /// Its zone is hardly wider than a cell, as they lie along contours.
    bool of_seam = false;
    /// How far it is from the outline of its zone, in tenths of a metre, rounded down as it is printed: what
    /// looks the same ranks as the same.
    std::int64_t inner_dm = 0;
    bool holding_known = false; ///< of the ground there
    double band_admitted = 1;   ///< band_admitted()
    double depth_low_m = 0;     ///< least water at low water
    GridCell cell;              ///< counted from the raster's first column and first row

    /// The better one first: a place out of reach comes behind all that are not; a place that its limit
    /// hardly admits comes behind all others, whatever its verdict, for it promises what the sounder will
    /// hardly ever let her have; then a place of a seam comes behind those of broader zones, for nobody can
    /// aim at it; then by rank_of the verdict; then the one farther inside its zone; then where the holding
    /// is known; then where more of the band is admitted; then the shoaler one, for all are deep enough and
    /// there less rode is out. Last by row and column, so that no two are equal.
    friend bool operator<(const PlaceMerits& a, const PlaceMerits& b);
    /// Whether all is the same that is known without a look at the cell, so that the rest decides.
    [[nodiscard]] bool alike(const PlaceMerits& other) const {
        return out_of_reach == other.out_of_reach && verdict == other.verdict &&
               hardly_admitted == other.hardly_admitted && of_seam == other.of_seam &&
               inner_dm == other.inner_dm;
    }
};

/// An inner distance as merits have it: in tenths of a metre, rounded down.
std::int64_t inner_dm_of(double inner_m);

} // namespace swingroom
