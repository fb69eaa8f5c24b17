#include "swingroom/water/stay.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <iterator>
#include <ranges>

namespace swingroom {
namespace {

using namespace std::chrono;

Instant whole_minutes_up(Instant moment) { return ceil<std::chrono::minutes>(moment); }
Instant whole_minutes_down(Instant moment) { return floor<std::chrono::minutes>(moment); }

void check(const LevelCurve& curve, Instant arrive, Instant depart, ZoneOffset zone, std::string_view where) {
    const auto told = [zone](Instant moment) { return clock_text(moment, zone); };
    if (depart <= arrive) {
        throw InputError(std::string(where),
                         "departure, " + told(depart) + ", is not after arrival, " + told(arrive),
                         "give the later of the two as departure");
    }
    if (depart - arrive > days(366)) {
        throw InputError(std::string(where), "the stay is longer than a year", "cut it into shorter ones");
    }
    if (arrive < curve.first() || depart > curve.last()) {
        throw InputError(std::string(where),
                         "the stay, from " + told(arrive) + " to " + told(depart) +
                             ", is not within what it tells, from " + told(curve.first()) + " to " +
                             told(curve.last()),
                         "give levels from before arrival until after departure: none is made up");
    }
}

} // namespace

double TimeWindow::hours() const { return static_cast<double>((to - from).count()) / 3600; }

Stay::Stay(const LevelCurve& curve, Instant arrive, Instant depart, LevelAllowances allowances,
           std::string_view where, ZoneOffset zone)
    : arrive_(whole_minutes_down(arrive)) {
    const Instant end = whole_minutes_up(depart);
    check(curve, arrive, depart, zone, where);
    check(curve, arrive_, end, zone, where);
    by_minute_ = curve.by_minute(arrive_, static_cast<int>((end - arrive_) / std::chrono::minutes(1)));
    for (auto& minute : by_minute_) {
        minute.least_m -= allowances.below_m;
        minute.greatest_m += allowances.above_m;
    }
    std::ranges::transform(by_minute_, std::back_inserter(falling_), &LevelBounds::least_m);
    std::ranges::sort(falling_, std::greater{});
}

WaterLevels Stay::levels() const {
    // What sums of decimals carry, so that 0.35 is not 0.34; a millionth of a centimetre.
    constexpr double rounding_tolerance_cm = 1e-6;
    const auto highest = std::ranges::max(by_minute_, {}, &LevelBounds::greatest_m).greatest_m;
    WaterLevels levels;
    levels.low_m = std::floor(falling_.back() * 100 + rounding_tolerance_cm) / 100;
    levels.high_m = std::ceil(highest * 100 - rounding_tolerance_cm) / 100;
    return levels;
}

LevelBounds Stay::at(Instant moment) const {
    const auto minute = (moment - arrive_) / std::chrono::minutes(1);
    return by_minute_[static_cast<std::size_t>(std::clamp<std::int64_t>(minute, 0, minutes() - 1))];
}

std::vector<TimeWindow> Stay::windows(double level_m) const {
    std::vector<TimeWindow> found;
    for (int minute = 0; minute < minutes(); ++minute) {
        if (by_minute_[static_cast<std::size_t>(minute)].least_m < level_m) continue;
        const Instant start = arrive_ + std::chrono::minutes(minute);
        if (found.empty() || found.back().to != start) found.push_back({start, start});
        found.back().to = start + std::chrono::minutes(1);
    }
    return found;
}

double Stay::hours_afloat(double level_m) const {
    const auto below =
        std::ranges::partition_point(falling_, [level_m](double least_m) { return least_m >= level_m; });
    return static_cast<double>(std::distance(falling_.begin(), below)) / 60;
}

} // namespace swingroom
