#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/water/uncertainty.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// A grid for cells of charts where no raster gives one: longitude and latitude (WGS 84), cells of at most
/// `cell_m` a side on the ground wherever they lie in it, over all that the charts cover.
/// @throws InputError  a file that is no S-57 cell, a cell that does not say what it covers, more cells of
///                     the grid than can be counted
Grid chart_grid(const std::vector<std::string>& charts, double cell_m);

/// What a cell of the grid holds where the charts know no depth: nothing, or, to be laid over a raster, a
/// shoal side without a deep one where they say that it is no deeper than that.
enum class ChartGaps { unsurveyed, bounds };

/// The depth that charted land counts as, in metres: a bank that dries 10 m.
inline constexpr double charted_land_m = -10;

/// The deep side of an area that states no deep edge, in metres: deeper than any sea, and than any rode
/// reaches.
inline constexpr double no_deep_edge_m = 12000;

/// Depths as S-57 cells chart them, on any grid, computed window by window. A cell of the grid takes the
/// worst of all that touches it:
/// - for the keel the shallow edge (DRVAL1) of depth areas, dredged and swept areas; charted soundings and
///   least depths over rocks, wrecks and obstructions (VALSOU) where they are less; what sand waves and
///   pipelines may stand above the charted depth (VERLEN; pipelines that state nothing: 2 m) taken off;
/// - for the rode the deep edge (DRVAL2); without one, deeper than any rode reaches;
/// - land is a bank that dries 10 m;
/// - an area without a shallow edge, or of one that is doubtful, only reported or not maintained (QUASOU 2,
///   3, 4, 8, 9, 11), is unsurveyed;
/// - unsurveyed are UNSARE, what the cells do not cover, and what they leave open between their areas.
/// Where cells overlap, the largest compilation scale counts where it covers.
/// @param uncertainty  none: by zone of confidence (M_QUAL), linear in depth; where it is D, not assessed or
///                     lacking, that of zone C, which is the least that it can be
/// @param gaps         what cells without a depth hold
/// @throws as read_hazards; InputError also for a file that is no S-57 cell
std::unique_ptr<DepthSource> open_chart_depths(const std::vector<std::string>& cells, const Grid& grid,
                                               const GroundMetric& metric,
                                               const std::optional<DepthUncertainty>& uncertainty,
                                               ChartGaps gaps = ChartGaps::unsurveyed);

} // namespace swingroom
