#include "swingroom/overlay/tally.hpp"

#include <algorithm>
#include <iterator>

namespace swingroom {

std::vector<NearMiss> NearMisses::by_nearness() const {
    std::vector<NearMiss> all;
    std::copy_if(by_part_.begin(), by_part_.end(), std::back_inserter(all),
                 [](const NearMiss& miss) { return miss.any(); });
    std::stable_sort(all.begin(), all.end(),
                     [](const NearMiss& a, const NearMiss& b) { return a.nearness > b.nearness; });
    return all;
}

Covered Tally::yes() const {
    Covered sum;
    for (std::size_t i = 0; i < by_verdict.size(); ++i) {
        if (is_yes(static_cast<Verdict>(i))) sum += by_verdict[i];
    }
    return sum;
}

Covered Tally::surveyed() const {
    Covered sum = yes();
    sum += of(Verdict::out_of_reach);
    return sum += of(Verdict::no);
}

void Tally::add(const Tally& more) {
    for (std::size_t i = 0; i < by_verdict.size(); ++i) {
        by_verdict[i] += more.by_verdict[i];
    }
    for (std::size_t i = 0; i < no_by_reason.size(); ++i) {
        no_by_reason[i] += more.no_by_reason[i];
        near_misses[i].add(more.near_misses[i]);
    }
}

} // namespace swingroom
