#include "swingroom/water/tide_table.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <numbers>
#include <ranges>
#include <utility>

namespace swingroom {
namespace {

std::string words(const Turn& turn, ZoneOffset zone) {
    return std::string(turn.high ? "high" : "low") + " water of " + clock_text(turn.time, zone) + ", " +
           fixed(turn.height_m, 2) + " m";
}

/// What cannot be two neighbours of a table.
void check(const Turn& turn, const Turn& next, ZoneOffset zone, std::string_view where) {
    if (next.time <= turn.time) {
        throw InputError(
            std::string(where), "the " + words(next, zone) + ", does not come after the " + words(turn, zone),
            "times have to ascend: look for a clock that was put back, and give all times by one clock");
    }
    if (next.high == turn.high) {
        throw InputError(std::string(where),
                         "the " + words(next, zone) + ", follows the " + words(turn, zone),
                         "high and low waters have to alternate: add the one that is missing");
    }
    const auto& high = turn.high ? turn : next;
    const auto& low = turn.high ? next : turn;
    if (high.height_m < low.height_m) {
        throw InputError(std::string(where),
                         "the " + words(high, zone) + ", lies below the " + words(low, zone),
                         "look for a slip of a column or a mixture of units");
    }
}

} // namespace

TideTable::TideTable(std::vector<Turn> turns, double half_digit_m, CurveAllowance allowance,
                     std::string_view where, ZoneOffset zone)
    : turns_(std::move(turns)), half_digit_m_(half_digit_m), allowance_(allowance) {
    if (turns_.size() < 2) {
        throw InputError(std::string(where), "there are fewer than two high and low waters",
                         "give the turns before arrival and after departure, too");
    }
    for (std::size_t i = 1; i < turns_.size(); ++i) {
        check(turns_[i - 1], turns_[i], zone, where);
    }
}

std::size_t TideTable::tide_of(Instant at) const {
    const auto after = std::ranges::upper_bound(turns_, at, {}, &Turn::time);
    const auto index = std::distance(turns_.begin(), after);
    return static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(index - 1, 0, std::ssize(turns_) - 2));
}

double TideTable::cosine_m(std::size_t tide, Instant at) const {
    const auto& from = turns_[tide];
    const auto& to = turns_[tide + 1];
    const double passed =
        static_cast<double>((at - from.time).count()) / static_cast<double>((to.time - from.time).count());
    return (from.height_m + to.height_m) / 2 +
           (from.height_m - to.height_m) / 2 * std::cos(std::numbers::pi * passed);
}

double TideTable::height_m(Instant at) const { return cosine_m(tide_of(at), at); }

std::pair<double, double> TideTable::extremes_m(std::size_t tide) const {
    if (turns_[tide + 1].time - turns_[tide].time <= longest_tide) {
        return std::minmax({turns_[tide].height_m, turns_[tide + 1].height_m});
    }
    constexpr std::size_t around = 4; // two tides to each side, of a high and a low water each
    const auto first = turns_.begin() + static_cast<std::ptrdiff_t>(tide - std::min(tide, around));
    const auto last =
        turns_.begin() + static_cast<std::ptrdiff_t>(std::min(turns_.size(), tide + 2 + around));
    const auto [low, high] = std::minmax_element(
        first, last, [](const Turn& a, const Turn& b) { return a.height_m < b.height_m; });
    const double slack_m =
        std::max(allowance_.least_m, allowance_.share_of_range * (high->height_m - low->height_m));
    return {low->height_m - slack_m, high->height_m + slack_m};
}

LevelBounds TideTable::bounds_in(std::size_t tide, Instant from, Instant to) const {
    const auto [low_m, high_m] = extremes_m(tide);
    const LevelBounds widest{low_m - half_digit_m_, high_m + half_digit_m_};
    if (turns_[tide + 1].time - turns_[tide].time > longest_tide) return widest;
    const double below_m = std::max(allowance_.least_m, allowance_.share_of_range * (high_m - low_m));
    // Between two turns the cosine goes one way only: its least is at an end.
    const double cosine_low_m = std::min(cosine_m(tide, from), cosine_m(tide, to));
    return {std::max(widest.least_m, cosine_low_m - below_m - half_digit_m_), widest.greatest_m};
}

std::vector<LevelBounds> TideTable::by_minute(Instant from, int minutes) const {
    std::vector<LevelBounds> bounds;
    bounds.reserve(static_cast<std::size_t>(minutes));
    std::size_t tide = tide_of(from);
    for (int minute = 0; minute < minutes; ++minute) {
        Instant here = from + std::chrono::minutes(minute);
        const Instant end = here + std::chrono::minutes(1);
        LevelBounds all{INFINITY, -INFINITY};
        // Mostly one tide; where a turn falls within the minute, both.
        while (here < end) {
            while (tide + 2 < turns_.size() && turns_[tide + 1].time <= here) {
                ++tide;
            }
            const Instant stop = tide + 2 < turns_.size() ? std::min(end, turns_[tide + 1].time) : end;
            const auto piece = bounds_in(tide, here, stop);
            all = {std::min(all.least_m, piece.least_m), std::max(all.greatest_m, piece.greatest_m)};
            here = stop;
        }
        bounds.push_back(all);
    }
    return bounds;
}

std::vector<Turn> TideTable::turns(Instant from, Instant to) const {
    std::vector<Turn> within;
    std::ranges::copy_if(turns_, std::back_inserter(within),
                         [from, to](const Turn& turn) { return from <= turn.time && turn.time <= to; });
    return within;
}

std::string TideTable::bounds_text() const {
    return "a table of high and low waters; between them the cosine less " + fixed(allowance_.least_m, 2) +
           " m or " + fixed(100 * allowance_.share_of_range, 0) +
           " % of that tide's range for the keel, the higher of the two for the rode; all widened by " +
           fixed_up(half_digit_m_, 3) + " m, half the table's last digit";
}

std::vector<Turn> subordinate_turns(const std::vector<Turn>& reference, const StationOffsets& offsets,
                                    std::string_view where, ZoneOffset zone) {
    std::vector<Turn> turns;
    std::ranges::transform(reference, std::back_inserter(turns), [&offsets](const Turn& turn) {
        const auto& offset = turn.high ? offsets.high : offsets.low;
        return Turn{turn.time + offset.later, turn.height_m * offset.ratio + offset.difference_m, turn.high};
    });
    for (std::size_t i = 1; i < turns.size(); ++i) {
        check(turns[i - 1], turns[i], zone, where);
    }
    return turns;
}

} // namespace swingroom
