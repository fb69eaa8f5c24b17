#pragma once

namespace swingroom {

/// Lowest and highest water level above chart datum during the stay, in metres; low_m <= high_m.
struct WaterLevels {
    double low_m = 0, high_m = 0; ///< negative below chart datum
    /// How far the water rises from the one to the other, in metres.
    [[nodiscard]] double range_m() const { return high_m - low_m; }
};

} // namespace swingroom
