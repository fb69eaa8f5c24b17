#pragma once

namespace swingroom::testing_support {

/// A yacht with a sinker, a windlass and a name that markup must escape.
inline constexpr const char* yacht_text = R"([hull]
name = Sample "A" & <B>
length = 12 m
draught = 1.9 m
bow_roller = 1.3 m
windage_area = 13
[rode]
chain = 60 m
chain_diameter = 10 mm
[anchor]
type = scoop
mass = 25 kg
holding.sand = 8 kN
[sinker]
mass = 20 kg
at = 1.5 spans
line = 15 m
[windlass]
rated_pull = 500 N
[crew]
recovery_depth = 10 m
)";

} // namespace swingroom::testing_support
