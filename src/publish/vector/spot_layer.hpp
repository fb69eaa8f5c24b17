#pragma once

#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/room/place_rank.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <vector>

namespace swingroom {

/// What the figures of drop points are told with, whichever they are.
struct SpotTerms {
    RodeMarks marks;
    Boat boat;
    const StayTide* tide = nullptr; ///< null: two levels alone are known, and nothing is told over time
    ArrivalWater water;             ///< of the tide; it means nothing without one
    bool way_in = false;            ///< whether somebody looked for one: else nothing is told of it
    double low_water_m = 0;         ///< the lowest level of the stay
};

/// The layer `spots`, drop points with all their figures, and if wanted `circles`, what the boat sweeps at
/// each of them: same rank, a name of its own.
class SpotLayer {
public:
    /// @param spots  how many there will be   @throws IoError
    SpotLayer(const std::filesystem::path& folder, const OverlayJob& job, const Provenance& provenance,
              std::size_t spots, NamePrefix prefix, bool circles);

    /// Writes the next best one.   @throws IoError
    void add(const PositionReport& spot, const PlaceMerits& merits);
    /// Closes the files, then reads them again and compares.   @throws IoError
    void finish();
    /// The layers themselves, for those that read them when they are finished; circles only if wanted.
    [[nodiscard]] const VectorLayer& points() const { return points_; }
    [[nodiscard]] const std::optional<VectorLayer>& circles() const { return circles_; }

private:
    std::size_t spots_;
    NamePrefix prefix_;
    SpotTerms terms_;
    VectorLayer points_;
    std::optional<VectorLayer> circles_;
};

/// A ring of longitudes and latitudes all around a circle on the ground: it lies outside of it, by a
/// thousandth of its radius and a centimetre at the most. Longitudes are within half a turn of the centre's.
std::vector<GridPoint> circle_around(LonLat centre, double radius_m);

} // namespace swingroom
