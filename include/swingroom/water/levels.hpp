#pragma once

namespace swingroom {

/// Lowest and highest water level above chart datum during the stay, in metres; low_m <= high_m.
struct WaterLevels {
    double low_m = 0, high_m = 0; ///< negative below chart datum
    /// Level that charted clearances are given over, above chart datum too: a high water. 0, chart datum
    /// itself, is never too high.
    double clearance_datum_m = 0;
    /// How far the water rises from the lowest to the highest, in metres.
    [[nodiscard]] double range_m() const { return high_m - low_m; }
};

} // namespace swingroom
