#pragma once

#include "swingroom/sea/chart_depths.hpp"

#include "sea/cells/charted_soundings.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/ground/vicinity.hpp"

#include <memory>
#include <optional>
#include <vector>

/// What the functions of chart_depths.hpp do, for who has opened the charts already.
namespace swingroom {

/// The public function of that name, over cells that are read already.   @throws InputError  as that one
Grid chart_grid(const EncCells& cells, double cell_m);

/// What the objects of the charts say of depths: found out once, for one part of them after another.
struct ChartStatements;
/// They refer to files, grid and metric, which must outlive them.
std::shared_ptr<const ChartStatements> chart_statements(const OpenedFiles& files, const Grid& grid,
                                                        const GroundMetric& metric);

/// @param discs   of soundings that are shoaler than a survey; for BesideSurvey alone
/// @param near    what is further away is not read ...
/// @param within  ... and these are the only cells of the grid that may be asked for
std::unique_ptr<DepthSource> chart_depths(const OpenedFiles& files, const ChartStatements& statements,
                                          const Grid& grid, const GroundMetric& metric,
                                          const std::optional<DepthUncertainty>& uncertainty, ChartGaps gaps,
                                          const std::vector<SoundingDisc>& discs, const Vicinity& near,
                                          Window within);

/// DepthSource::greatest_uncertainty_m() of every such source, whatever it has read.
double greatest_chart_uncertainty_m(const std::optional<DepthUncertainty>& uncertainty);

} // namespace swingroom
