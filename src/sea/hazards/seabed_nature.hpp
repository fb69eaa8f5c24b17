#pragma once

#include <ogr_feature.h>

#include <string>

namespace swingroom {

/// What an object of the chart says of the ground, in the terms of IHO S-57: "soft mud and shells". Empty
/// where it says nothing. What it calls by a code that no table lists, or by what is no code, is told as it
/// stands.
std::string nature_of(const OGRFeature& feature);

} // namespace swingroom
