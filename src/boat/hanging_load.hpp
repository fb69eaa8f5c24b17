#pragma once

#include "swingroom/boat/boat.hpp"

namespace swingroom {

/// Weight of anchor and rode hanging straight down, in newtons: in air from roller to water, in water below.
double hanging_n(const Boat& boat, double depth_m);

/// Depth of water at which the hanging weight reaches the rated pull; infinity where it never does.
double depth_of_load_m(const Boat& boat, double rated_n);

} // namespace swingroom
