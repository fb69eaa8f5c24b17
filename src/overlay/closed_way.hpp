#pragma once

#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "overlay/search_grid.hpp"
#include "room/way_search.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// "wreck (wrecks #3)".
std::string name_of(const Hazard& hazard);

/// The danger of known depth that makes a cell as shoal as it is within the clear way of it; empty where that
/// is the seabed.
/// @param needed_m  the level at which she floats clear in the cell
std::string danger_at_sill(const OverlayJob& job, const UnderWay& needs, const AccessFloor& floor,
                           GridCell cell, float needed_m);

/// Finds out why no way leads to places.
class ClosedWays {
public:
    /// @param start  as of the grid; all must outlive it
    ClosedWays(const OverlayJob& job, const WayIn& way_in, const AccessFloor& floor, const RimStart* start,
               const SearchGrid& grid)
        : job_(job), way_in_(way_in), floor_(floor), start_(start), grid_(grid),
          shortest_(grid.cells, grid.metric) {}

    /// @param access_level_m  of the place
    /// @param sill_of  makes a sill of a cell of the grid
    ClosedWay of(GridCell place, float access_level_m, const std::function<Sill(CellNumber)>& sill_of);

private:
    [[nodiscard]] CellNumber sill_on(const std::vector<CellNumber>& chain, float level_m) const;
    [[nodiscard]] std::vector<CellNumber> chain_past_dangers(CellNumber place, float level_m);
    [[nodiscard]] std::vector<std::size_t> dangers_on(const std::vector<CellNumber>& chain,
                                                      float level_m) const;
    [[nodiscard]] std::vector<std::size_t> needed_alone(std::vector<std::size_t> dangers, CellNumber place,
                                                        float level_m);
    [[nodiscard]] bool leads_without(const std::vector<std::size_t>& dangers, Window near, CellNumber place,
                                     float level_m);
    [[nodiscard]] Window near_to(const std::vector<CellNumber>& chain) const;
    [[nodiscard]] bool closes(std::size_t hazard, Window cells, float level_m) const;
    const std::vector<float>& without_dangers();

    const OverlayJob& job_;
    const WayIn& way_in_;
    const AccessFloor& floor_;
    const RimStart* start_;
    const SearchGrid& grid_;
    ShortestWay shortest_;
    std::vector<float> without_dangers_m_; ///< as SearchGrid::needed_m, if there were none; empty: not yet
    std::vector<std::uint8_t> goals_;
    std::vector<Passing> passing_;
    Window around_chain_; ///< of the raster, whole cells of the grid: what lies by the chain in hand
};

} // namespace swingroom
