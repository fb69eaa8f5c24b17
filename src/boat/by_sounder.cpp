#include "swingroom/boat/by_sounder.hpp"

#include "swingroom/boat/tables.hpp"

#include <algorithm>
#include <cassert>

namespace swingroom {

/// Readings that share a length of rode are a stretch of depths, from just below where the next shorter rode
/// ends. Radius and ground sweep fall with depth, so what fits at the shoal end of a stretch fits in all of
/// it.
SounderRun TackleTables::by_sounder(Way way, const SoundedBand& band, float hull_room_m,
                                    float ground_room_m) const {
    assert(band.deeper_m >= 0 && band.shoaler_m >= 0 && band.deeper_m + band.shoaler_m <= greatest_apart_m());
    const WayTable& table = tables_.of(way);
    const Tackle& tackle = tables_.tackle;
    const double deepest_at_high_m = std::min(windlass_depth_m_, recovery_depth_m_);
    const double most_m =
        std::min({band.deep_m, deepest_at_high_m - conditions().water.high_m - band.deeper_m,
                  tackle.depth_of_high_span_m(table.deepest_span_m) - band.deeper_m});
    SounderRun run;
    if (!(band.shoal_m <= most_m)) return run;
    // The same sum as the tables are asked with, which may round otherwise.
    if (!(tackle.high_span_m(band.shoal_m + band.deeper_m) <= table.deepest_span_m)) return run;
    double reading_m = band.shoal_m;
    for (std::size_t at = table.row_of(tackle.high_span_m(reading_m + band.deeper_m)); at < table.rows.size();
         ++at) {
        const RodeRow& row = table.rows[at];
        const double low_m = tackle.low_span_m(std::max(band.shoal_m, reading_m - band.shoaler_m));
        const float radius_m = table.radius_m[row.radius_at + row.radius.bin_of(tables_.steps.radius, low_m)];
        const float ground_m = narrow_up(row.rode_m - low_m + tackle.ground_allowance_m());
        if (!(radius_m <= hull_room_m && ground_m <= ground_room_m)) break;
        reading_m = std::min(most_m, tackle.depth_of_high_span_m(row.span_limit_m) - band.deeper_m);
        run.limit_m = narrow_down(reading_m);
        run.rode_m = row.rode_up_m;
        run.radius_m = std::max(run.radius_m, radius_m);
        run.ground_m = std::max(run.ground_m, ground_m);
        if (reading_m >= most_m) break;
    }
    run.whole = run.any() && reading_m >= band.deep_m;
    return run;
}

/// The limit falls with the reach, which is greatest at the shoal end of a stretch, and with the angle of
/// pull, which is steepest at its deep end.
float TackleTables::wind_limit_by_sounder_kn(Way way, const SoundedBand& band, float limit_m,
                                             double hull_room_m, Seabed seabed) const {
    const WayTable& table = tables_.of(way);
    const Tackle& tackle = tables_.tackle;
    float least_kn = greatest_wind_kn;
    double reading_m = band.shoal_m;
    for (std::size_t at = table.row_of(tackle.high_span_m(reading_m + band.deeper_m)); at < table.rows.size();
         ++at) {
        const RodeRow& row = table.rows[at];
        const double shoal_m = std::max(band.shoal_m, reading_m - band.shoaler_m);
        reading_m = std::min(static_cast<double>(limit_m),
                             tackle.depth_of_high_span_m(row.span_limit_m) - band.deeper_m);
        const float limit_kn =
            wind_limit_kn(way, row, true, tackle.high_span_m(reading_m + band.deeper_m),
                          tackle.low_span_m(shoal_m), hull_room_m, seabed, greatest_wind_kn);
        least_kn = std::min(least_kn, limit_kn);
        if (reading_m >= static_cast<double>(limit_m)) break;
    }
    return least_kn;
}

} // namespace swingroom
