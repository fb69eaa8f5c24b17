#include "overlay/anchorages.hpp"

#include "swingroom/overlay/anchorages.hpp"
#include "swingroom/room/effect.hpp"

#include <algorithm>
#include <string>
#include <tuple>
#include <utility>

namespace swingroom {
namespace {

/// Calls take(hazard, anchorage) for each hazard that is an anchorage, or a part of one. Those that are one
/// feature follow each other.
template <class Take>
void each_anchorage(const HazardField& hazards, Take&& take) {
    const Hazard* before = nullptr;
    std::size_t count = 0;
    for (const Hazard& hazard : hazards.hazards()) {
        if ((hazard.effects & effect::anchorage) == 0) continue;
        if (before == nullptr || hazard.label.empty() || before->label != hazard.label) ++count;
        take(hazard, count - 1);
        before = &hazard;
    }
}

std::vector<Shape> shapes_of(const HazardField& hazards) {
    std::vector<Shape> shapes;
    each_anchorage(hazards, [&](const Hazard& hazard, std::size_t) {
        shapes.push_back(hazard);
        shapes.back().margin_m = shapes.back().placement_allowance_m = 0;
    });
    return shapes;
}

std::vector<std::size_t> numbers_of(const HazardField& hazards) {
    std::vector<std::size_t> numbers;
    each_anchorage(hazards, [&](const Hazard&, std::size_t anchorage) { numbers.push_back(anchorage); });
    return numbers;
}

} // namespace

std::vector<ChartedAnchorage> charted_anchorages(const HazardField& hazards) {
    std::vector<ChartedAnchorage> anchorages;
    each_anchorage(hazards, [&](const Hazard& hazard, std::size_t anchorage) {
        if (anchorage == anchorages.size()) {
            anchorages.push_back({hazard.label.empty() ? hazard.kind : hazard.label});
        }
        const bool points =
            hazard.rings.empty() && std::all_of(hazard.paths.begin(), hazard.paths.end(),
                                                [](const auto& path) { return path.size() == 1; });
        anchorages.back().is_point = anchorages.back().is_point && points;
    });
    return anchorages;
}

Anchorages::Anchorages(const HazardField& hazards, const GroundMetric& metric, Window extent, Window window)
    : anchorage_of_(numbers_of(hazards)), field_(shapes_of(hazards), extent, metric, window) {}

std::vector<Anchorages::Stretch> Anchorages::in(Window block) const {
    std::vector<Stretch> all;
    if (anchorage_of_.empty()) return all;
    field_.each_touched(
        block, [](std::size_t) { return true; },
        [&](std::size_t shape, ShapePart, int row, int first, int last) {
            all.push_back({row, first, last, anchorage_of_[shape]});
        });
    std::sort(all.begin(), all.end(), [](const Stretch& a, const Stretch& b) {
        return std::tie(a.row, a.anchorage, a.first, a.last) < std::tie(b.row, b.anchorage, b.first, b.last);
    });
    std::vector<Stretch> joined;
    for (const Stretch& stretch : all) {
        Stretch* const last = joined.empty() ? nullptr : &joined.back();
        if (last != nullptr && last->row == stretch.row && last->anchorage == stretch.anchorage &&
            stretch.first <= last->last + 1) {
            last->last = std::max(last->last, stretch.last);
        } else {
            joined.push_back(stretch);
        }
    }
    return joined;
}

} // namespace swingroom
