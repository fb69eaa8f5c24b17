#include "swingroom/room/place_rank.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace swingroom {

double band_admitted(double shoal_m, double deep_m, double limit_m) {
    if (std::isnan(limit_m) || !(deep_m > shoal_m)) return 1;
    return std::clamp((limit_m - shoal_m) / (deep_m - shoal_m), 0.0, 1.0);
}

bool hardly_admits(double shoal_m, double deep_m, double limit_m) {
    if (std::isnan(limit_m)) return false;
    const double band_m = deep_m - shoal_m;
    return limit_m - shoal_m < std::max(band_m / 4, std::min(1.0, band_m / 2));
}

bool operator<(const PlaceMerits& a, const PlaceMerits& b) {
    const auto key = [](const PlaceMerits& of) {
        return std::tuple(of.out_of_reach, of.hardly_admitted, of.of_seam, rank_of(of.verdict), -of.inner_dm,
                          !of.holding_known, -of.band_admitted, of.depth_low_m, of.cell.row, of.cell.col);
    };
    return key(a) < key(b);
}

std::int64_t inner_dm_of(double inner_m) { return static_cast<std::int64_t>(std::floor(inner_m * 10)); }

} // namespace swingroom
