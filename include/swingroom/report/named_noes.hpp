#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/overlay/what_if.hpp"
#include "swingroom/room/why_not.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"

#include <cstddef>
#include <vector>

namespace swingroom {

/// A place that is a no, and what would change that.
struct NamedNo {
    WhyNot why = WhyNot::unsurveyed; ///< its leading reason
    PositionReport cell;             ///< all about it
    std::vector<Proposal> proposals; ///< empty: nothing alone does
};

/// So many are named of a run: what a page can explain. Common practice, no source.
inline constexpr std::size_t most_named_noes = 5;

/// Of a run the places that tell most of why it is no better: one for each leading reason that something can
/// be done about, those with the largest area first. Each is the cell of its reason that comes nearest to
/// being a yes (NearMiss), since that shows how far the whole area is from one: where the deepest of the
/// shoals or the widest of the small pools wants more than she can have, so do the others; of the near misses
/// of a reason the first for which something alone will do, and those inside the area before those on the rim
/// of a yes.
/// @param rules, known  as WhatIf
std::vector<NamedNo> named_noes(const Tally& tally, const OverlayJob& job, const Georeference& georeference,
                                const std::vector<HazardRule>& rules, Window known);

} // namespace swingroom
