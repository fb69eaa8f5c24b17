#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/room/metric.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// What a hazard forbids (the first three) or advises, as bits of one byte per cell.
namespace effect {
inline constexpr std::uint8_t hull = 1;      ///< a hull must not meet it
inline constexpr std::uint8_t ground = 2;    ///< an anchor or chain on the seabed must not meet it
inline constexpr std::uint8_t drop = 4;      ///< letting go is not allowed here
inline constexpr std::uint8_t trip_line = 8; ///< a trip line is wise here
inline constexpr std::uint8_t warn = 16;     ///< the chart has a warning or a restriction to be read
inline constexpr std::uint8_t survey = 32; ///< the survey is poor: dangers may lie beside their charted place
inline constexpr std::uint8_t uncharted = 64; ///< no chart covers this: dangers are not known
/// What is worth a line on a map or in a list: not where a survey is poor, or where no chart is, which is
/// most of the sea.
inline constexpr std::uint8_t shown = hull | ground | drop | trip_line | warn;
} // namespace effect

/// One hazard in grid space (x in columns, y in rows), as chart/hazards delivers it: reprojected, repaired,
/// curves stroked, straight between neighbouring vertices to within `slack_m` on the ground.
struct Hazard {
    std::uint8_t effects = 0; ///< bits of `effect`
    double margin_m = 0;      ///< the danger is everything within this distance on the ground, >= 0
    double slack_m = 0;       ///< how far the stored geometry may lie from the true one; added to the margin
    std::optional<Seabed> seabed;              ///< what the ground is inside it, if the hazard says that
    std::vector<std::vector<GridPoint>> paths; ///< points (one vertex) and lines (two or more)
    std::vector<std::vector<GridPoint>> rings; ///< polygon rings, first vertex repeated last; even-odd inside
    std::string kind;                          ///< name of the rule: "cable", "wreck", ...
    std::string label;                         ///< layer and feature for messages: "cables #12"
    std::string information;                   ///< what the chart says of it in words; mostly empty
};

/// Hazards prepared once for a raster; any window of it can then be burnt, by several threads at once, at a
/// cost that grows with what lies in the window and linearly with the vertices and with the cells along the
/// outlines (as many to each side as the margin spans), never worse.
///
/// A cell is marked if any point of its square lies within margin + slack of the hazard, distances taken on
/// the ground by the metric's lower bounds: never fewer cells than the danger touches. The same cells are
/// marked whatever the window.
class HazardField {
public:
    /// @param hazards  in any order; those that cannot touch the raster may be present. Those that lie beyond
    ///                 the raster's first or last row must bring slack for cells that are smaller there: they
    ///                 are burnt with the nearest row's size
    /// @param extent   the raster's own window   @param metric  one size per raster row (not `within`
    /// anything)
    /// @throws InputError  a vertex that is not finite or 1e12 cells away, a margin that is no length
    HazardField(std::vector<Hazard> hazards, Window extent, GroundMetric metric);
    /// @param within  the only cells of the raster that are asked for: what is far from them is not prepared,
    /// and
    ///                burn() marks all others as unsafe
    HazardField(std::vector<Hazard> hazards, Window extent, GroundMetric metric, Window within);
    ~HazardField();
    HazardField(HazardField&&) noexcept;
    HazardField& operator=(HazardField&&) noexcept;

    /// ORs effect bits into `bits`. Its window may reach outside the raster; nothing is marked there, where
    /// all is unsurveyed anyway. Seabed-only hazards leave no bits.
    void burn(Plane<std::uint8_t>& bits) const;
    /// Puts in what the hazards say of the ground: the worst of all that touch a cell, and of what the plane
    /// held before unless the cell lies wholly inside an area that tells. Cells that nothing touches keep
    /// what they hold.
    void burn_seabed(Plane<Seabed>& seabed, const SeabedOrder& order = seabeds_by_class) const;

    /// Calls visit(index into hazards(), row, first column, last column) for runs of cells of a window that a
    /// hazard touches; runs may overlap and come in any order. Safe to call from several threads.
    using Visit = std::function<void(std::size_t index, int row, int first, int last)>;
    void each_touched(Window window, const Visit& visit) const;

    /// Which hazards touch any cell of a window: indexes into hazards(), ascending. Not for the hot loop.
    [[nodiscard]] std::vector<std::size_t> touching(Window window) const;

    [[nodiscard]] const std::vector<Hazard>& hazards() const;
    /// Union of the effects and whether any hazard names a seabed: lets a run skip what nobody asks for.
    [[nodiscard]] std::uint8_t effects() const;
    [[nodiscard]] bool names_seabed() const;

    /// Upper bound of how much wider than margin + slack a burnt danger can be (beyond the cells it touches),
    /// in metres: the guard against rounding, and what the metric's lower bounds lose over one piece of a
    /// hazard.
    [[nodiscard]] double excess_bound_m(const Hazard& hazard) const;

private:
    struct Prepared;
    std::unique_ptr<Prepared> prepared_;
};

} // namespace swingroom
