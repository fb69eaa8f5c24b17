#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"

#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace swingroom {

/// What a boat needs of the water while she moves, metres.
struct UnderWay {
    /// How much room she needs to each side of any point of a cell that she is in; more than 0.
    double clear_way_m = 0;
    double required_depth_m = 0; ///< draught and the clearance under the keel
};

/// Between which levels it matters at which of them a cell is reached: those up to the lowest count as the
/// lowest, those above the highest as none, which is much less work.
struct LevelRange {
    float lowest_m = -std::numeric_limits<float>::infinity(),
          highest_m = std::numeric_limits<float>::infinity();
};

/// A stretch of a raster's outermost cells, going round it by the right from its first cell, each of which
/// has water enough at the highest level of the stay, by its own depth and by the dangers in it. Where charts
/// end within the raster it is one of the cells along their edge, of which the first and the last are those
/// by row.
struct RimStretch {
    GridCell first, last, deepest;
    float deepest_m = 0;    ///< the greatest depth of its cells, below chart datum: dangers count with theirs
    std::int64_t cells = 0; ///< from the first to the last
};

/// At which level of the water the cells of a raster are reached. The access level of a cell is the least
/// level at which a chain of cells that share edges leads from the start to it, in each of which she floats
/// clear: every point within the clear way of any point of the cell is surveyed, deep enough and no danger to
/// the hull. Dangers count with their depth; what hangs overhead is cleared at the highest level of the stay
/// or not at all. Levels are metres above chart datum, rounded up to a float; infinite: she gets there at no
/// level. Where the levels of the stay change from place to place, they are above those that the tables are
/// made for, as if the water rose by as much everywhere.
///
/// The start is places, or the sea beyond the rim. There nothing outside of the raster counts, where the
/// nearest cell of the raster is one of the start; elsewhere it is unknown, and no way for her. Where hazards
/// tell what no chart covers (effect::uncharted), cells that none covers and that have no depth are outside,
/// too, from the raster's edge on: there only dangers count.
///
/// All of the raster is looked at, whatever the window of a job: hazards that are not prepared for all of it
/// leave the rest closed. First the blocks are reduced to what connects their rims, which are joined, solved,
/// and handed down again; then the levels of any window follow from the rims of the blocks that it touches.
/// Neither blocks nor threads change a digit. Memory does not grow with the cells: what blocks are reduced
/// to, up to 32 bytes for each cell on the rim of one until the way is found and up to 12 from then on, and
/// up to a byte for eight cells of what can be passed, goes to the disk where it is more than the job's
/// spooling keeps. What grows are some 200 bytes for each column and row of the raster. Const calls may come
/// from several threads, each with a workspace.
class AccessLevels {
public:
    /// Of what a job's spooling may keep in memory, the share for each of what is kept as long as levels are
    /// asked for: the run's own files need the memory then.
    static constexpr int share_kept_long = 16;

    /// What one thread keeps from window to window.
    class Workspace {
    public:
        Workspace();
        ~Workspace();
        Workspace(Workspace&&) noexcept;
        Workspace& operator=(Workspace&&) noexcept;

    private:
        friend class AccessLevels;
        struct State;
        std::unique_ptr<State> state_;
    };

    /// From the sea beyond that stretch of the raster's rim that holds the deepest cell of all of its
    /// stretches, the longest of several; nothing where there is none.
    /// @param job       its sea (the window aside), tables, block, threads and spooling count; it must
    /// outlive this
    /// @param range     of the levels that are told apart
    /// @param progress  called with the fraction done, from one thread at a time; may be empty
    /// @throws what the depths or the progress throw, once all threads have stopped; IoError  the disk is
    /// full
    static std::optional<AccessLevels> from_the_rim(const OverlayJob& job, const UnderWay& needs,
                                                    LevelRange range = {},
                                                    const std::function<void(double)>& progress = {});
    /// From cells, each at the level at which she floats clear in it.   @pre they lie in the raster
    static AccessLevels from_places(const OverlayJob& job, const UnderWay& needs,
                                    std::span<const GridCell> places, LevelRange range = {},
                                    const std::function<void(double)>& progress = {});
    ~AccessLevels();
    AccessLevels(AccessLevels&&) noexcept;
    AccessLevels& operator=(AccessLevels&&) noexcept;

    /// The level at which each cell of a window is reached.   @pre the window lies in the raster
    /// @throws IoError  the disk does not give back what was put there
    void levels(Window window, Workspace& work, Plane<float>& level_m) const;
    /// The same with much less work, but only of most cells in which she floats clear at the lowest level of
    /// the range, and in blocks that are reached as a whole: NaN elsewhere.
    void levels_of_open_water(Window window, Workspace& work, Plane<float>& level_m) const;

    /// How much went to the disk while it was made.
    [[nodiscard]] std::uint64_t spooled_bytes() const;
    /// The stretches of the rim, that of the start first; empty where the start is places.
    [[nodiscard]] const std::vector<RimStretch>& stretches() const;
    /// Whether they are those of where charts end, not of the raster's rim alone.
    [[nodiscard]] bool where_charts_end() const;

    /// The level at which she floats clear in a cell by itself, whichever way she got there; outside of the
    /// raster nothing is known. Infinite: at none.   @pre it lies in the raster
    [[nodiscard]] static float level_to_float(const OverlayJob& job, const UnderWay& needs, GridCell cell);
    /// How many cells around one bear on whether she floats clear in it, over the whole raster.
    [[nodiscard]] static int halo_cells(const SeaView& sea, const UnderWay& needs);

private:
    struct State;
    explicit AccessLevels(std::unique_ptr<State> state);
    /// Those of a window.   @param flood  finds those of a block
    template <class Flood>
    void levels_by(const Flood& flood, Window window, Workspace& work, Plane<float>& level_m) const;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
