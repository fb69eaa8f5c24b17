#include "water/tide_doubts.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/water/tide_table.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <optional>
#include <ranges>
#include <utility>

namespace swingroom {
namespace {

using namespace std::chrono;

// The greatest range on earth is some 17 m, in the Bay of Fundy; all its amplitudes together are some 10 m.
constexpr double greatest_range_m = 20, greatest_sum_m = 15;
/// Of names that mean different things in different lists: less than this nobody has to look at, for there is
/// nothing to be done about it and weather moves the sea further; what is less than a centimetre is not told.
constexpr double least_doubted_m = 0.15, least_told_m = 0.01;
constexpr const char* look_at_unit = "look at the unit of the heights, and for a slip of a column";

std::string metres(double value_m) { return fixed(value_m, 2) + " m"; }

std::string length_in_hours(seconds length) {
    return fixed(static_cast<double>(length.count()) / 3600, 1) + " hours";
}

std::string words(const Turn& turn, ZoneOffset zone) {
    return std::string(turn.high ? "high" : "low") + " water of " + clock_text(turn.time, zone);
}

void check_ranges(const std::vector<Turn>& turns, ZoneOffset zone, std::string_view where) {
    for (std::size_t i = 1; i < turns.size(); ++i) {
        const double range_m = std::abs(turns[i].height_m - turns[i - 1].height_m);
        if (range_m <= greatest_range_m) continue;
        throw InputError(std::string(where),
                         "from the " + words(turns[i - 1], zone) + " to the " + words(turns[i], zone) +
                             " are " + metres(range_m) + ", more than any tide has",
                         look_at_unit);
    }
}

seconds usual_step(const std::vector<Turn>& turns) {
    std::vector<seconds> steps;
    for (std::size_t i = 1; i < turns.size(); ++i) {
        steps.push_back(turns[i].time - turns[i - 1].time);
    }
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

/// A tide that turns twice a day does so every six hours, after seven or eight at the most; a diurnal one
/// every 12.4; one that is both, with a pair of turns that vanishes, after some 18. A pair that was left out
/// looks like that, too: where enough turns are there to see what is usual it is a doubt, and TideTable
/// counts with the extremes around.
std::optional<std::string> gap(const std::vector<Turn>& turns, ZoneOffset zone, std::string_view where) {
    constexpr std::size_t enough = 6;
    const auto usual = usual_step(turns);
    std::size_t longest = 1;
    for (std::size_t i = 1; i < turns.size(); ++i) {
        const auto step = turns[i].time - turns[i - 1].time;
        const bool unseen = turns.size() < enough && step > TideTable::longest_tide;
        if (step > hours(26) || unseen) {
            throw InputError(std::string(where),
                             "from the " + words(turns[i - 1], zone) + " on no turn is there for " +
                                 length_in_hours(step),
                             unseen ? "add the high and low waters that are missing; if none is, give six or "
                                      "more, by which that is seen"
                                    : "add the high and low waters that are missing");
        }
        if (step > turns[longest].time - turns[longest - 1].time) longest = i;
    }
    const auto step = turns[longest].time - turns[longest - 1].time;
    if (step <= hours(18) || 5 * step <= 11 * usual) return std::nullopt;
    return "From the " + words(turns[longest - 1], zone) + " on no turn is there for " +
           length_in_hours(step) + ", elsewhere for " + length_in_hours(usual) +
           ": look whether some are left out. Meanwhile the lowest and the highest of the turns around are "
           "counted with.";
}

/// Whether a turn stands off the two of its kind on either side as far again as they do off the other kind,
/// and more: feet in a table of metres make it three times as high. What is off only because the tide grows
/// is not.
bool stands_out(const std::vector<Turn>& turns, std::size_t i) {
    double greatest_m = -INFINITY, other_m = 0;
    int others = 0;
    for (std::size_t j = i >= 4 ? i - 4 : 0; j < std::min(turns.size(), i + 5); ++j) {
        if (j == i) continue;
        if (turns[j].high == turns[i].high) {
            greatest_m = std::max(greatest_m, turns[i].high ? turns[j].height_m : -turns[j].height_m);
        } else {
            other_m += turns[i].high ? turns[j].height_m : -turns[j].height_m;
            ++others;
        }
    }
    if (others < 2 || greatest_m == -INFINITY) return false;
    const double height_m = turns[i].high ? turns[i].height_m : -turns[i].height_m;
    const double usual_m = greatest_m - other_m / others;
    return height_m - greatest_m > std::max(0.5, usual_m);
}

double sum_of_amplitudes_m(const std::vector<HarmonicConstant>& constants) {
    double sum_m = 0;
    for (const HarmonicConstant& constant : constants) {
        sum_m += constant.amplitude_m;
    }
    return sum_m;
}

bool has(const std::vector<HarmonicConstant>& constants, std::string_view name) {
    return std::ranges::find(constants, name, &HarmonicConstant::name) != constants.end();
}

/// "SA", "SA and S1", "SA, S1 and M1".
std::string names_of(const std::vector<HarmonicConstant>& constants) {
    std::string names;
    for (std::size_t i = 0; i < constants.size(); ++i) {
        names += (i == 0 ? "" : i + 1 == constants.size() ? " and " : ", ") + constants[i].name;
    }
    return names;
}

} // namespace

void check_height(double height_m, const std::string& place) {
    constexpr double lowest_m = -20, highest_m = 30;
    if (height_m >= lowest_m && height_m <= highest_m) return;
    throw InputError(place, "a height of " + metres(height_m) + " above chart datum is beyond any water",
                     look_at_unit);
}

std::vector<std::string> doubts_of_turns(const std::vector<Turn>& turns, ZoneOffset zone,
                                         std::string_view where) {
    check_ranges(turns, zone, where);
    std::vector<std::string> doubts;
    if (turns.size() < 2) return doubts; // refused elsewhere
    if (auto left_out = gap(turns, zone, where)) doubts.push_back(std::move(*left_out));
    for (std::size_t i = 0; i < turns.size(); ++i) {
        if (!stands_out(turns, i)) continue;
        doubts.push_back("The " + words(turns[i], zone) + ", " + metres(turns[i].height_m) +
                         ", stands far off those before and after it: look whether it is in another unit.");
        break; // one is enough to look
    }
    return doubts;
}

std::vector<std::string> doubts_of_series(const LevelSeries& series, double range_m) {
    if (series.slack_m() <= std::max(0.2, range_m / 10)) return {};
    return {"Heights of the series bend so sharply from one to the next that all bounds are wider by " +
            fixed_up(series.slack_m(), 2) + " m: look for a slip, or give them closer together."};
}

void take_amplitudes(const std::vector<HarmonicConstant>& constants, std::string_view where,
                     std::vector<std::string>& doubts, std::vector<std::string>& notes) {
    if (const double sum_m = sum_of_amplitudes_m(constants); sum_m > greatest_sum_m) {
        throw InputError(std::string(where),
                         "the amplitudes add up to " + metres(sum_m) + ", more than any tide has",
                         "look at the unit of the amplitudes, and for a slip of a column");
    }
    if (!has(constants, "M2") && !has(constants, "K1")) {
        doubts.emplace_back("There is neither M2 nor K1 among the constituents: that is no usual tide.");
    }
    const auto others = with_other_meanings(constants);
    const double at_stake_m = sum_of_amplitudes_m(others);
    if (at_stake_m < least_told_m) return;
    auto& told = at_stake_m < least_doubted_m ? notes : doubts;
    told.push_back("Lists disagree in what " + names_of(others) +
                   (others.size() > 1 ? " mean (" : " means (") + fixed_up(at_stake_m, 2) + " m" +
                   (others.size() > 1 ? " in sum" : "") + "): taken as the US agency has " +
                   (others.size() > 1 ? "them." : "it."));
}

} // namespace swingroom
