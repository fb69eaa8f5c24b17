#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/room/distance.hpp"
#include "swingroom/room/seabed_set.hpp"

#include <vector>

namespace swingroom {

/// A block of sea and what lies around it: all that is known of it before anybody says which boat comes.
class Gathered {
public:
    Window core;        ///< the block; `seen` is what lies within the halo of it, too
    DepthPlanes depths; ///< seen; shifted by the levels, where these change from place to place
    /// The same before that, and by how much. Without windows where the levels are the same everywhere.
    Plane<float> chart_shoal_m, chart_deep_m;
    LevelPlanes levels; ///< seen
    /// 1 where a depth is that of an area of a chart, whatever rode is chosen by. Without a window: nowhere.
    Plane<std::uint8_t> stepped;
    Plane<Effects> effects;            ///< seen: of hazards on any hull, see BlockGatherer
    Plane<std::uint8_t> ground_unsafe; ///< seen: unsafe::ground where no anchor or chain may lie
    Plane<SeabedSet> seabeds;          ///< core; without a window where all cells have the sea's own seabed

    /// The two sides of the depth below chart datum: seen.
    [[nodiscard]] const Plane<float>& shoal_of_chart_m() const {
        return chart_shoal_m.size() > 0 ? chart_shoal_m : depths.shoal_m;
    }
    [[nodiscard]] const Plane<float>& deep_of_chart_m() const {
        return chart_deep_m.size() > 0 ? chart_deep_m : depths.deep_m;
    }
    /// The levels of a cell.   @param of_tables  those that the boat's tables are made for
    [[nodiscard]] WaterLevels water_at(int col, int row, WaterLevels of_tables) const;

    /// The ground room of the core. Boats that look equally far share it, where they fill the same plane one
    /// after the other; what another one would find depends in degrees on how far it looks, since a cell's
    /// size is the least that there is within its reach.
    /// @param room_m  as the last call left it, or anything else
    void find_ground_room(const RoomTransform& transform, Plane<float>& room_m);

private:
    friend class BlockGatherer;
    const Plane<float>* ground_room_m_ = nullptr; ///< that was filled last; null: none yet
    double ground_reach_m_ = 0;                   ///< that it was found for
};

/// Gathers blocks. Const calls may come from several threads, each with what it gathers into.
class BlockGatherer {
public:
    /// @param halo  cells around a block that bear on it: the greatest of all boats
    BlockGatherer(const SeaView& sea, int halo);

    /// Fills `into` with a block and its halo; what it held before is gone, its memory is used again.
    void gather(Window core, Gathered& into) const;

    /// Whether what is gathered of the effects is all there is for any hull. Where not, the effect on the
    /// hull of those hazards that some hulls clear is left to BlockDecider.
    [[nodiscard]] static Effects on_any_hull(const Hazard& hazard);

private:
    SeaView sea_;
    int halo_;
    std::vector<Effects> effects_; ///< of each hazard, on any hull
};

} // namespace swingroom
