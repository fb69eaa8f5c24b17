#pragma once

namespace swingroom {

/// DepthSource::greatest_uncertainty_m() of a chart laid over a raster, from those of the two.
double greatest_uncertainty_over_raster_m(double raster_m, double chart_m);

} // namespace swingroom
