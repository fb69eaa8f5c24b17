#pragma once

#include "swingroom/base/message.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/inspection.hpp"

#include "sea/cells/charted_soundings.hpp"
#include "sea/ground/vicinity.hpp"

#include <cstddef>
#include <optional>
#include <vector>

/// The soundings of charts and the cells of rasters that they lie in.
namespace swingroom {

/// Neighbourhoods of those soundings near by that are shoaler than a survey in any cell that they touch
/// there, or in a cell of which no survey knows anything: what the chart found between the survey's cells,
/// where no survey went, or since.
/// @param raster  one or several, see DepthSource::survey_terms   @param georeference  of its grid
std::vector<SoundingDisc> shoaler_than_surveys(const DepthSource& raster, const Georeference& georeference,
                                               const std::vector<ChartedSounding>& soundings,
                                               const Vicinity& near);

/// How each of the rasters lies to the soundings of charts, in the order of its sources.
/// @param most  look at no more soundings than this, taken evenly out of them all
std::vector<AgainstCharts> against_charts(const DepthSource& raster, const Georeference& georeference,
                                          const std::vector<ChartedSounding>& soundings, std::size_t most);

/// What is wrong with a raster that lies farther off the charts than uncertainties explain; nothing if they
/// explain it, or if there are fewer than ten soundings, which tell too little.
std::optional<Message> doubt_of(const AgainstCharts& raster);

} // namespace swingroom
