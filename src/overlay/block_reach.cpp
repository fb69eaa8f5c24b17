#include "overlay/block_reach.hpp"

#include "overlay/extremes.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <limits>
#include <numeric>
#include <ranges>

namespace swingroom {

void BlockReach::begin(const WayIn* way_in, Window core, bool everywhere) {
    way_in_ = way_in;
    core_ = core;
    level_m_.reshape({});
    whole_ = false;
    advice_.clear();
    if (everywhere && way_in_ != nullptr && way_in_->access) find_all_levels();
}

void BlockReach::find_all_levels() {
    way_in_->access->levels(core_, work_, level_m_);
    whole_ = true;
}

void BlockReach::take_row(int row, const std::vector<int>& yes) {
    row_ = row;
    always_ = false;
    if (way_in_ == nullptr) return;
    advice_.assign(static_cast<std::size_t>(core_.cols), 0);
    if (yes.empty()) return;
    if (!way_in_->access) {
        for (const int i : yes) {
            advice_[static_cast<std::size_t>(i)] = advice_of(Reach::unknown);
        }
        return;
    }
    if (level_m_.size() == 0) way_in_->access->levels_of_open_water(core_, work_, level_m_);
    const auto any = [&](const auto& is_so) { // of the row's yes cells
        const float* const level_m = level_m_.row(row);
        return std::ranges::any_of(yes, [&](int i) { return is_so(level_m[i]); });
    };
    const float lowest_m = way_in_->lowest_m;
    always_ = !any([lowest_m](float level_m) { return !(level_m <= lowest_m); });
    if (always_) return;
    if (any([](float level_m) { return std::isnan(level_m); })) find_all_levels();
    for (const int i : yes) {
        advice_[static_cast<std::size_t>(i)] = advice_of(way_in_->reach(level_m_.row(row)[i]));
    }
}

std::uint16_t BlockReach::advice(int begin, int end) const {
    if (advice_.empty() || always_) return 0;
    return std::accumulate(advice_.begin() + begin, advice_.begin() + end, std::uint16_t{0}, std::bit_or<>());
}

float BlockReach::zone_level_m(int begin, int end) const {
    if (level_m_.size() == 0) return -std::numeric_limits<float>::infinity();
    if (always_) return way_in_->lowest_m;
    const float* const level_m = level_m_.row(row_);
    const float greatest_m = extremes_of(level_m + begin, static_cast<std::size_t>(end - begin)).most;
    // Of what is always in reach one value, so that a zone says the same however much lower its way is open.
    return std::max(way_in_->told_m(greatest_m), way_in_->lowest_m);
}

} // namespace swingroom
