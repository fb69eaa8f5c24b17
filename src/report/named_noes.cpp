#include "swingroom/report/named_noes.hpp"

#include "swingroom/base/stop.hpp"
#include "swingroom/report/why_not.hpp"

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
        break;
    }
    return false;
}

} // namespace

std::vector<NamedNo> named_noes(const Tally& tally, const OverlayJob& job, const Georeference& georeference,
                                const std::vector<HazardRule>& rules, Window known) {
    WhatIf what_if(job, rules, known);
    std::vector<NamedNo> named;
    for (const AnswerShare& share : answer_shares(tally)) {
        if (named.size() == most_named_noes) break;
        if (!share.why || !may_be_cured(*share.why)) continue;
        std::optional<NamedNo> nearest;
        for (const NearMiss& miss : tally.near_misses[static_cast<std::size_t>(*share.why)].by_nearness()) {
            stop_if_asked();
            NamedNo no{*share.why, examine(job, georeference, miss.col, miss.row), {}};
            no.proposals = what_if.proposals(no.cell);
            const bool would_do = !no.proposals.empty();
            if (would_do || !nearest) nearest = std::move(no);
            if (would_do) break;
        }
        if (nearest) named.push_back(std::move(*nearest));
    }
    return named;
}

} // namespace swingroom
