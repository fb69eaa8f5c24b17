#pragma once

#include <ogr_feature.h>

#include <string>

namespace swingroom {

/// What a chart says of a feature in words, and by those of its codes that change no margin: "Shoal reported
/// in 1974; more in US4MD81D.TXT, which is not read; existence doubtful; position approximate". Mostly empty.
/// @param position_quality  a code of QUAPOS; 0: none is stated
std::string chart_words(const OGRFeature& feature, int position_quality);

} // namespace swingroom
