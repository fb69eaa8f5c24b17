#include "swingroom/water/level_series.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <map>
#include <ranges>
#include <utility>

namespace swingroom {
namespace {

using namespace std::chrono;
using Height = LevelSeries::Height;

std::string minutes_text(seconds step) {
    return fixed(static_cast<double>(step.count()) / 60, step.count() % 60 == 0 ? 0 : 1) + " minutes";
}

seconds commonest_step(const std::vector<Height>& heights) {
    std::map<seconds, std::size_t> counts;
    for (std::size_t i = 1; i < heights.size(); ++i) {
        ++counts[heights[i].time - heights[i - 1].time];
    }
    return std::ranges::max_element(counts, {}, [](const auto& step) { return step.second; })->first;
}

void check_steps(const std::vector<Height>& heights, ZoneOffset zone, std::string_view where) {
    for (std::size_t i = 1; i < heights.size(); ++i) {
        if (heights[i].time <= heights[i - 1].time) {
            throw InputError(
                std::string(where),
                "the height of " + clock_text(heights[i].time, zone) + " comes after that of " +
                    clock_text(heights[i - 1].time, zone),
                "times have to ascend: look for a clock that was put back, and give all times by one "
                "clock");
        }
    }
    const auto usual = commonest_step(heights);
    for (std::size_t i = 1; i < heights.size(); ++i) {
        const auto step = heights[i].time - heights[i - 1].time;
        if (step > hours(1) || 2 * step > 3 * usual) {
            throw InputError(
                std::string(where),
                "from " + clock_text(heights[i - 1].time, zone) + " on there is no height for " +
                    minutes_text(step),
                "give heights at most an hour apart and without a gap; a list of high and low waters "
                "needs a column type, with H and L");
        }
    }
}

/// The greatest that the curve bends from height to height, as an eighth of the second difference: how far an
/// arc through three heights lies off its chords. Steps may differ a little, so that slopes are compared.
double greatest_sag_m(const std::vector<Height>& heights) {
    double greatest_m = 0;
    for (std::size_t i = 2; i < heights.size(); ++i) {
        const auto before_s = static_cast<double>((heights[i - 1].time - heights[i - 2].time).count());
        const auto after_s = static_cast<double>((heights[i].time - heights[i - 1].time).count());
        const double bend = 2 *
                            ((heights[i].height_m - heights[i - 1].height_m) / after_s -
                             (heights[i - 1].height_m - heights[i - 2].height_m) / before_s) /
                            (before_s + after_s);
        const double step_s = std::max(before_s, after_s);
        greatest_m = std::max(greatest_m, std::abs(bend) * step_s * step_s / 8);
    }
    return greatest_m;
}

} // namespace

LevelSeries::LevelSeries(std::vector<Height> heights, double half_digit_m, std::string_view where,
                         ZoneOffset zone)
    : heights_(std::move(heights)) {
    if (heights_.size() < 3) {
        throw InputError(std::string(where), "there are fewer than three heights",
                         "give those from arrival to departure");
    }
    check_steps(heights_, zone, where);
    constexpr double unseen = 1.1;
    // Rounded heights make second differences of up to four half digits of their own: they are within the
    // sag.
    slack_m_ = unseen * greatest_sag_m(heights_) + half_digit_m;
}

std::size_t LevelSeries::step_of(Instant at) const {
    const auto after = std::ranges::upper_bound(heights_, at, {}, &Height::time);
    const auto index = std::distance(heights_.begin(), after);
    return static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(index - 1, 0, std::ssize(heights_) - 2));
}

double LevelSeries::height_m(Instant at) const {
    const std::size_t step = step_of(at);
    const auto& from = heights_[step];
    const auto& to = heights_[step + 1];
    const double passed =
        static_cast<double>((at - from.time).count()) / static_cast<double>((to.time - from.time).count());
    return std::lerp(from.height_m, to.height_m, passed);
}

std::vector<LevelBounds> LevelSeries::by_minute(Instant from, int minutes) const {
    std::vector<LevelBounds> bounds;
    bounds.reserve(static_cast<std::size_t>(minutes));
    std::size_t step = step_of(from);
    for (int minute = 0; minute < minutes; ++minute) {
        const Instant here = from + std::chrono::minutes(minute);
        const Instant end = here + std::chrono::minutes(1);
        auto [least_m, greatest_m] = std::minmax({height_m(here), height_m(end)});
        while (step + 1 < heights_.size() && heights_[step + 1].time <= here) {
            ++step;
        }
        for (std::size_t i = step + 1; i < heights_.size() && heights_[i].time < end; ++i) {
            least_m = std::min(least_m, heights_[i].height_m);
            greatest_m = std::max(greatest_m, heights_[i].height_m);
        }
        bounds.push_back({least_m - slack_m_, greatest_m + slack_m_});
    }
    return bounds;
}

std::vector<Turn> LevelSeries::turns(Instant from, Instant to) const {
    std::vector<Turn> found;
    std::size_t first_of_stand = 0;
    int direction = 0; // of the last step that was one
    for (std::size_t i = 1; i < heights_.size(); ++i) {
        const double rise_m = heights_[i].height_m - heights_[i - 1].height_m;
        if (rise_m == 0) continue;
        const int now = rise_m > 0 ? 1 : -1;
        // What came before this step at the same height belongs to the stand.
        std::size_t stand = i - 1;
        while (stand > first_of_stand && heights_[stand - 1].height_m == heights_[i - 1].height_m) {
            --stand;
        }
        const auto& at = heights_[stand];
        if (direction == -now && from <= at.time && at.time <= to) {
            found.push_back({at.time, at.height_m, direction > 0});
        }
        direction = now;
        first_of_stand = i;
    }
    return found;
}

std::string LevelSeries::bounds_text() const {
    return "a series of heights joined by straight lines, widened by " + fixed_up(slack_m_, 3) +
           " m for what lies between them";
}

} // namespace swingroom
