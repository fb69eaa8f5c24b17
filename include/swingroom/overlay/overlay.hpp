#pragma once

#include "swingroom/base/block_cut.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/base/spooling.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/overlay/block_answers.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/room/judge.hpp"
#include "swingroom/room/zones.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/charted_depths.hpp"
#include "swingroom/sea/stay_levels.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>

namespace swingroom {

struct WayIn;

/// By what she chooses how much rode she veers: for any depth that the place may have, or for what the
/// sounder shows before she lets go.
enum class RodeBy : std::uint8_t {
    source, ///< by the sounder where the deep side is that of a chart's area, else by the survey
    survey,
    sounder
};

/// The sea that a run looks at, whoever asks. All of it must outlive the run and is only read.
struct SeaView {
    /// Not null, nor are the next two: where depths are read, by several threads at once.
    const DepthSource* depths = nullptr;
    /// Lower bounds of the ground size of the cells, a size for every row of the raster.
    const GroundMetric* metric = nullptr;
    /// The hazards, prepared for the raster or at least for the window and its halo; it may hold none.
    const HazardField* hazards = nullptr;
    Window window;                   ///< cells to decide, inside the raster
    Seabed seabed = Seabed::unknown; ///< where no hazard layer says otherwise
    /// What rode is chosen by in the cells of the window.
    RodeBy rode_by = RodeBy::source;
    /// What charts let expect at a place, for positions and drop points alone; null: nothing is told of it.
    /// Several threads may ask it.
    const ChartedDepths* charted = nullptr;
    /// The levels of the stay where they change from place to place: the tables are then made for its
    /// reference(), and for sides of a depth that are farther apart by its greatest excess. Null: the levels
    /// are those of the tables everywhere.
    const StayLevels* levels = nullptr;
};

/// A run for one boat at its levels. The tables must outlive the run.
struct OverlayJob : SeaView {
    /// What the boat needs at each depth, at the levels of the stay; not null.
    const TackleTables* tables = nullptr;
    /// Only these layers get planes; zones and spots in it ask for the tracing of zones.
    LayerSet wanted = LayerSet::all();
    /// The blocks that the window is cut into, from its first cell on: they decide about memory and speed,
    /// never about an answer. Layers are written fastest if blocks are whole tiles of theirs, 512 x 512
    /// cells.
    BlockSize block = {1024, 512};
    /// How many blocks may be worked at together, at least 1.
    int threads = 1;
    /// The water from minute to minute, whose levels the tables are made for; null: only two levels are
    /// known.
    const StayTide* tide = nullptr;
    /// At which levels she gets to the cells; null: nobody looked, and nothing is told of it.
    const WayIn* way_in = nullptr;
    /// Where the search for the way in keeps what memory does not.
    Spooling spooling = {};
};

/// What hazards are weighed against in a job.
HullNeeds hull_needs(const OverlayJob& job);

/// Where the answers go; `publish` and tests implement it.
struct OverlaySink {
    virtual ~OverlaySink() = default;
    /// Called from several threads, blocks in any order, each once.
    virtual void block(const BlockAnswers& answers) = 0;
    /// Called from one thread at a time, in an order that does not depend on blocks or threads; only if zones
    /// or spots are wanted.
    virtual void zone(Zone&& zone) = 0;
    /// Called when there are no more blocks: the zones that are left come by zone() while `hand_over` runs,
    /// which may be kept and called once after the run, beside what else is done with the answers then.
    virtual void last_zones(const std::function<void()>& hand_over) { hand_over(); }
};

/// Where goes what a run of several boats tells of all of them; `publish` and tests implement it.
struct BoatsSink {
    virtual ~BoatsSink() = default;
    /// Called from several threads, blocks in any order, each once, when all boats have answered it.
    /// @param boats_yes  over the block's core, in cells of the raster: how many boats have a yes in the cell
    ///                   in any way, of a yes that is out of reach none; boats_yes_unsurveyed where there is
    ///                   no depth. Land has a depth, and no boat there
    virtual void block(const Plane<std::uint8_t>& boats_yes) = 0;
};

/// What stands for the count in a cell that is unsurveyed, which it is for all boats.
inline constexpr std::uint8_t boats_yes_unsurveyed = 255;
/// So many boats can be counted: in a byte, each count with a colour in the 256 of a map tile's palette.
inline constexpr std::size_t most_boats_counted = 250;

/// One of several boats, or levels, of a run.
struct BoatJob {
    /// As in OverlayJob, each boat with tables of its own.
    const TackleTables* tables = nullptr;
    /// The layers that this boat's sink is to get.
    LayerSet wanted = LayerSet::all();
    OverlaySink* sink = nullptr; ///< takes this boat's answers
    /// As in OverlayJob.
    const StayTide* tide = nullptr;
    /// As in OverlayJob: of this boat.
    const WayIn* way_in = nullptr;
    /// Of these hazards her charted anchorages are counted, by their places among them: those of a run of her
    /// own, where the sea is prepared farther around. Null: those of the sea.
    const HazardField* hazards = nullptr;
};

/// Decides every cell of the window, block by block with a halo, and traces the yes zones. The same answers
/// for any block size and any number of threads. Memory depends on block, halo and open zones, never on the
/// raster.
/// @param progress  called with the fraction done, from one thread at a time; may be empty
/// @throws what the depths, the sink or the progress throw, once all threads have stopped
void run_overlay(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress);
/// The same for several boats: each block of sea is gathered once and answered for one after the other. Each
/// gets the answers of a run of its own.
/// @param block  as in OverlayJob   @param boats  at least one, and most_boats_counted where they are counted
/// @param all_boats  null: nobody asks for the count, which then costs nothing
void run_overlay(const SeaView& sea, std::span<const BoatJob> boats, BlockSize block, int threads,
                 const std::function<void(double)>& progress, BoatsSink* all_boats = nullptr);

/// How far around a cell anything can bear on its answer, in metres; rooms beyond it are "at least" this.
double reach_m(const TackleTables& tables);

/// The same in cells, over the rows of a window; of a job over those of its own.
int halo_cells(const GroundMetric& metric, const TackleTables& tables, Window window);
int halo_cells(const OverlayJob& job);

/// Cells that exceed a third of the least swinging radius are too coarse to trust a room taken from them;
/// over the rows of a window.
bool coarse_cells(const GroundMetric& metric, const TackleTables& tables, Window window);

} // namespace swingroom
