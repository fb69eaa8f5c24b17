#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/room/seabed_set.hpp"

#include <memory>
#include <span>
#include <vector>

namespace swingroom {

/// Hazards placed on a raster; any window of it can be burnt, by several threads at once and for any number
/// of boats, at a cost that grows with what lies in the window and linearly with the vertices and with the
/// cells along the outlines (as many to each side as the margin spans), never worse. What is burnt with is
/// prepared for a band of rows when a window first asks for it, and few bands are kept: windows row by row
/// cost least.
///
/// A cell is marked if any point of its square lies within margin + placement allowance of the hazard,
/// distances taken on the ground by the metric's lower bounds: never fewer cells than the danger touches. The
/// same cells are marked whatever the window.
class HazardField {
public:
    /// @param hazards  in any order; those that cannot touch the raster may be present. Those that lie beyond
    ///                 the raster's first or last row must bring a placement allowance for cells that are
    ///                 smaller there: they are burnt with the nearest row's size
    /// @param extent   the raster's own window   @param metric  one size per raster row (not `within`
    /// anything)
    /// @throws InputError  as require_usable
    HazardField(std::vector<Hazard> hazards, Window extent, const GroundMetric& metric);
    /// @param within  the only cells of the raster that are asked for: what is far from them is not prepared,
    ///                and burn() marks all others as unsafe
    HazardField(std::vector<Hazard> hazards, Window extent, const GroundMetric& metric, Window within);
    ~HazardField();
    HazardField(HazardField&&) noexcept;
    HazardField& operator=(HazardField&&) noexcept;

    /// ORs effects into `bits`. Its window may reach outside the raster; nothing is marked there, where all
    /// is unsurveyed anyway.
    /// @param of_each  the effects of each hazard, in the order of hazards()
    void burn(Plane<Effects>& bits, std::span<const Effects> of_each) const;
    /// The same with the effects that the rules give, whatever hull may come.
    void burn(Plane<Effects>& bits) const;
    /// Takes into the plane, which holds how deep the water is, the least depth over each hazard: a cell
    /// keeps the least of what it held and of all that touch it. Its window may reach outside the raster;
    /// nothing is changed there.
    /// @param of_each  metres below chart datum, in the order of hazards(); infinite for a hazard that leaves
    ///                 depths as they are, negative infinity for one over which no water is enough
    void burn_least(Plane<float>& depth_m, std::span<const float> of_each) const;
    /// Puts in what the hazards say of the ground: all that touch a cell, and what the plane held before
    /// unless the cell lies wholly inside an area that tells. Cells that nothing touches keep what they hold.
    void burn_seabeds(Plane<SeabedSet>& seabeds) const;

    /// Which hazards touch any cell of a window: indexes into hazards(), ascending. Not for the hot loop.
    [[nodiscard]] std::vector<std::size_t> touching(Window window) const;

    /// The cells that may be asked for.
    [[nodiscard]] Window within() const;
    /// All that were given, in that order, whether or not they touch the raster.
    [[nodiscard]] const std::vector<Hazard>& hazards() const;
    /// Whether any hazard names a seabed: lets a run skip what nobody asks for.
    [[nodiscard]] bool names_seabed() const;

private:
    struct Prepared;
    std::unique_ptr<Prepared> prepared_;
};

} // namespace swingroom
