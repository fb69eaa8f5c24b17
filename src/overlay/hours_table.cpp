#include "overlay/hours_table.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <chrono>
#include <functional>
#include <iterator>
#include <ranges>

namespace swingroom {

namespace {

float hours_of(std::size_t minutes) { return narrow_down_positive(static_cast<double>(minutes) / 60); }

} // namespace

HoursTable::HoursTable(const Stay& stay) {
    falling_m_.reserve(static_cast<std::size_t>(stay.minutes()));
    for (int minute = 0; minute < stay.minutes(); ++minute) {
        falling_m_.push_back(stay.at(stay.arrive() + std::chrono::minutes(minute)).least_m);
    }
    std::ranges::sort(falling_m_, std::greater{});
    lowest_m_ = falling_m_.back();
    const double range_m = falling_m_.front() - lowest_m_;
    steps_per_m_ = range_m > 0 ? static_cast<double>(steps) / range_m : 0;
    for (std::size_t step = 0; step < steps; ++step) {
        const auto end =
            std::ranges::partition_point(falling_m_, [&](double least_m) { return step_of(least_m) > step; });
        above_.at(step) = static_cast<std::size_t>(std::distance(falling_m_.begin(), end));
    }
}

std::size_t HoursTable::step_of(double level_m) const {
    const double step = (level_m - lowest_m_) * steps_per_m_;
    return static_cast<std::size_t>(std::clamp(step, 0.0, static_cast<double>(steps - 1)));
}

float HoursTable::hours(double level_m) const {
    if (level_m > falling_m_.front()) return 0;
    if (level_m <= lowest_m_) return hours_of(falling_m_.size());
    // Minutes of a higher step stand above the level, those of a lower one below it.
    const std::size_t step = step_of(level_m);
    const auto from = falling_m_.begin() + static_cast<std::ptrdiff_t>(above_.at(step)),
               to = step == 0 ? falling_m_.end()
                              : falling_m_.begin() + static_cast<std::ptrdiff_t>(above_.at(step - 1));
    const auto below = std::partition_point(from, to, [=](double least_m) { return least_m >= level_m; });
    return hours_of(static_cast<std::size_t>(std::distance(falling_m_.begin(), below)));
}

} // namespace swingroom
