#include "overlay/block_reach.hpp"

#include "overlay/extremes.hpp"

#include <algorithm>
#include <cstddef>
#include <functional>
#include <limits>
#include <numeric>

namespace swingroom {

void BlockReach::begin(const WayIn* way_in, Window core, bool everywhere) {
    way_in_ = way_in;
    core_ = core;
    level_m_.reshape({});
    advice_.clear();
    if (everywhere) find_levels();
}

void BlockReach::find_levels() {
    if (way_in_ == nullptr || !way_in_->access || level_m_.size() > 0) return;
    way_in_->access->levels(core_, work_, level_m_);
}

void BlockReach::take_row(int row, const std::vector<int>& yes) {
    row_ = row;
    if (way_in_ == nullptr) return;
    advice_.assign(static_cast<std::size_t>(core_.cols), 0);
    if (yes.empty()) return;
    find_levels();
    const float* const level_m = level_m_.size() > 0 ? level_m_.row(row) : nullptr;
    for (const int i : yes) {
        const Reach reach = level_m != nullptr ? way_in_->reach(level_m[i]) : Reach::unknown;
        advice_[static_cast<std::size_t>(i)] = advice_of(reach);
    }
}

std::uint16_t BlockReach::advice(int begin, int end) const {
    if (advice_.empty()) return 0;
    return std::accumulate(advice_.begin() + begin, advice_.begin() + end, std::uint16_t{0}, std::bit_or<>());
}

float BlockReach::zone_level_m(int begin, int end) const {
    if (level_m_.size() == 0) return -std::numeric_limits<float>::infinity();
    const float* const level_m = level_m_.row(row_);
    const float greatest_m = extremes_of(level_m + begin, static_cast<std::size_t>(end - begin)).most;
    // Of what is always in reach one value, so that a zone says the same however much lower its way is open.
    return std::max(way_in_->told_m(greatest_m), way_in_->lowest_m);
}

} // namespace swingroom
