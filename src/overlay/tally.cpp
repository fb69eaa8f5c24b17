#include "swingroom/overlay/tally.hpp"

namespace swingroom {

Covered Tally::yes() const {
    Covered sum;
    for (std::size_t i = 0; i < by_verdict.size(); ++i) {
        if (is_yes(static_cast<Verdict>(i))) sum += by_verdict[i];
    }
    return sum;
}

Covered Tally::surveyed() const {
    Covered sum = yes();
    return sum += of(Verdict::no);
}

void Tally::add(const Tally& more) {
    for (std::size_t i = 0; i < by_verdict.size(); ++i) {
        by_verdict[i] += more.by_verdict[i];
    }
    for (std::size_t i = 0; i < no_by_reason.size(); ++i) {
        no_by_reason[i] += more.no_by_reason[i];
        near_misses[i].take(more.near_misses[i]);
    }
}

} // namespace swingroom
