#include "swingroom/report/named_noes.hpp"

#include "swingroom/base/stop.hpp"
#include "swingroom/report/why_not.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

/// Whether some change alone may do. Where letting go is forbidden only another law would, where it is too
/// deep or too steep only another place.
bool may_be_cured(WhyNot why) {
    switch (why) {
    case WhyNot::too_shallow:
    case WhyNot::hull_danger:
    case WhyNot::ground_danger:
    case WhyNot::holding:
    case WhyNot::rode:
    case WhyNot::hull_room:
    case WhyNot::ground_room:
        return true;
    case WhyNot::unsurveyed:
    case WhyNot::drop_forbidden:
    case WhyNot::recovery:
    case WhyNot::windlass:
    case WhyNot::seabed:
    case WhyNot::steep:
    case WhyNot::out_of_reach:
        break;
    }
    return false;
}

/// Whether a yes is so near, a cell or a boat's length away, that the place is only its rim: of that no
/// skipper has to be told.
bool beside_a_yes(const OverlayJob& job, const NearMiss& miss) {
    constexpr double near_m = 12;
    const CellSize cell = job.metric->within(near_m).at(miss.row);
    const int cols = std::max(1, static_cast<int>(near_m / cell.dx_m)),
              rows = std::max(1, static_cast<int>(near_m / cell.dy_m));
    for (const int row : {miss.row - rows, miss.row, miss.row + rows}) {
        for (const int col : {miss.col - cols, miss.col, miss.col + cols}) {
            stop_if_asked();
            if (job.window.contains(col, row) && is_yes(answer_at(job, col, row).verdict)) return true;
        }
    }
    return false;
}

/// Of the near misses of a reason the first that something alone makes a yes, those inside the area of the
/// reason before those on the rim of a yes; if nothing does, the first of all.
std::optional<NamedNo> named_no(WhyNot why, const std::vector<NearMiss>& misses, const OverlayJob& job,
                                const Georeference& georeference, WhatIf& what_if) {
    std::optional<NamedNo> first;
    const auto would_do = [&](const NearMiss& miss) {
        stop_if_asked();
        NamedNo no{why, examine(job, georeference, miss.col, miss.row), {}};
        no.proposals = what_if.proposals(no.cell);
        const bool does = !no.proposals.empty();
        if (does || !first) first = std::move(no);
        return does;
    };
    std::vector<NearMiss> on_the_rim;
    for (const NearMiss& miss : misses) {
        if (beside_a_yes(job, miss)) {
            on_the_rim.push_back(miss);
        } else if (would_do(miss)) {
            return first;
        }
    }
    for (const NearMiss& miss : on_the_rim) {
        if (would_do(miss)) break;
    }
    return first;
}

} // namespace

std::vector<NamedNo> named_noes(const Tally& tally, const OverlayJob& job, const Georeference& georeference,
                                const std::vector<HazardRule>& rules, Window known) {
    WhatIf what_if(job, rules, known);
    std::vector<NamedNo> named;
    for (const AnswerShare& share : answer_shares(tally)) {
        if (named.size() == most_named_noes) break;
        if (!share.why || !may_be_cured(*share.why)) continue;
        std::optional<NamedNo> nearest =
            named_no(*share.why, tally.near_misses[static_cast<std::size_t>(*share.why)].by_nearness(), job,
                     georeference, what_if);
        if (nearest) named.push_back(std::move(*nearest));
    }
    return named;
}

} // namespace swingroom
