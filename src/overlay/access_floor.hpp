#pragma once

#include "swingroom/overlay/access.hpp"
#include "swingroom/room/distance.hpp"
#include "swingroom/room/least_in_disc.hpp"
#include "swingroom/room/passage.hpp"

#include "overlay/chart_edge.hpp"

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <vector>

namespace swingroom {

/// The outermost cells of a raster as a ring: along its first row, down its last column, back along its last
/// row and up its first column. That of a raster of a single row or column is none: it has two ends.
class Rim {
public:
    explicit Rim(Window extent) : extent_(extent) {}
    /// How many cells it has.
    [[nodiscard]] std::size_t size() const;
    /// Whether its last cell comes before its first one.
    [[nodiscard]] bool closed() const { return extent_.cols > 1 && extent_.rows > 1; }
    [[nodiscard]] GridCell cell(std::size_t i) const;
    /// The number of a cell of the rim.
    [[nodiscard]] std::size_t index(GridCell cell) const;
    /// The number of that cell of the rim which is nearest to a cell outside of the raster.
    [[nodiscard]] std::size_t nearest(GridCell outside) const;
    /// Its cells in strips that are a cell wide, none longer than so many cells.
    [[nodiscard]] std::vector<Window> strips(int most_cells) const;

private:
    Window extent_;
};

/// A start on the rim of a raster, or where the charts end.
struct RimStart {
    /// That of the start first. Where charts end: of cells along their edge, the first and the last by row.
    std::vector<RimStretch> stretches;
    std::vector<bool> of_start; ///< by number on the rim; none where charts end inside of it
    /// Where the charts end, with the cells that she comes in over; null: it is the raster's rim.
    std::shared_ptr<const ChartEdge> charts;
    std::vector<GridCell> cells; ///< those cells, row by row
};

/// How deep the water is where a boat under way may meet the bottom or a danger, and at which level she
/// floats clear. Const calls may come from several threads, each with what it fills.
class AccessFloor {
public:
    AccessFloor(const OverlayJob& job, const UnderWay& needs, LevelRange range = {});

    /// What is filled again and again.
    struct Scratch {
        DepthPlanes depths;
        LevelPlanes levels;
        Plane<float> floor_m;
        std::vector<float> radius_m;
        LeastInDisc discs;
        Plane<std::uint8_t> not_always;      ///< not 0 where the water is not deep enough at any level
        std::vector<std::uint8_t> in_column; ///< the same of all rows that bear on a row
        std::vector<float> row_m;
        const ChartEdge* edge = nullptr; ///< where charts end beside what is looked at
    };

    /// The least depth of each cell of a window, dangers counted, in metres below chart datum; negative
    /// infinity where no water is enough, as it is outside of the raster.
    void read(Window window, Scratch& scratch) const;
    /// The same of cells that are outside, were they all open: dangers, and what is known of a part of them.
    void read_outside(Window window, Scratch& scratch) const;
    /// What is known of a block at once.
    enum class Kind : std::uint8_t {
        open,   ///< she floats clear everywhere in it at the lowest level of the range
        closed, ///< nowhere in it at any level of the range
        mixed
    };
    /// What cells outside of the charts are: no way, or as what is opened there leaves them.
    enum class Outside : std::uint8_t { closed, as_water };
    /// The level of the range at which she floats clear in each cell of a block; infinite: at none.
    /// @param start  where the water outside of the raster is hers to come from; null: nowhere
    /// @param outside  of the charts
    Kind needed(Window block, const RimStart* start, Scratch& scratch, Plane<float>& needed_m,
                Outside outside = Outside::closed) const;
    /// The same as runs, cells outside of the charts closed.
    Kind passable(Window block, const RimStart* start, Scratch& scratch, PassableRuns& runs) const;
    /// Of all cells of a block that is not mixed.
    [[nodiscard]] float level_of(Kind kind) const {
        return kind == Kind::open ? range_.lowest_m : std::numeric_limits<float>::infinity();
    }
    /// The stretches of the rim; those of no cell where there are none.
    [[nodiscard]] RimStart rim_start() const;

    /// The dangers that count, each with what it is burnt by.
    [[nodiscard]] const HazardField& hazards() const { return under_way_ ? *under_way_ : *sea_.hazards; }
    [[nodiscard]] int halo() const { return transform_.halo(); }
    [[nodiscard]] Window extent() const { return rim_extent_; }

private:
    [[nodiscard]] RimStart chart_start(std::unique_ptr<ChartEdge> edge) const;
    /// As read(), without the dangers.
    void read_depths(Window window, bool with_parts, Scratch& scratch) const;
    static void bound_open_parts(Scratch& scratch);
    /// Takes the least depth over each danger into a plane that holds how deep the water is.
    void burn_dangers(Plane<float>& floor_m) const;
    /// The level at which so much depth floats her, rounded up.
    [[nodiscard]] float level_m(float least_m) const;
    /// The same within the range.
    [[nodiscard]] float in_range_m(float least_m) const;
    [[nodiscard]] Kind kind_of(Window block, const Plane<float>& floor_m) const;
    /// Finds how deep it is in and around a block, and of a mixed one what needed_row() asks for.
    Kind look(Window block, const RimStart* start, Scratch& scratch) const;
    /// The levels of a row of the block, from the floor within her clear way.
    void needed_row(Window block, int row, Outside outside, Scratch& scratch, float* out) const;
    void measure_stretch(GridCell first, int cells, Scratch& scratch, float* needed_m) const;
    void open_outside(const RimStart& start, Plane<float>& floor_m) const;

    SeaView sea_;
    /// Hazards by how near she may come under way, where that is nearer than a margin; null: those of the
    /// sea.
    std::shared_ptr<const HazardField> under_way_;
    Window rim_extent_;
    double required_m_, high_m_;
    LevelRange range_;
    float always_from_m_; ///< from this depth on the level of a cell is surely the range's lowest
    float never_below_m_; ///< below this depth there is surely none
    float clear_way_m_;   ///< rounded up
    RoomTransform transform_;
    std::vector<float> hazard_depths_m_; ///< by hazard of hazards(), as HazardField::burn_least() takes them
};

} // namespace swingroom
