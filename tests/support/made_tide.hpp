#pragma once

#include "swingroom/water/stay_tide.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <memory>
#include <numbers>
#include <string>
#include <vector>

namespace swingroom::testing_support {

/// A tide that is a sine of 745 minutes, high at the epoch, whose bounds of each minute are those of the
/// sine.
class SineTide final : public LevelCurve {
public:
    SineTide(double mean_m, double amplitude_m) : mean_m_(mean_m), amplitude_m_(amplitude_m) {}

    [[nodiscard]] Instant first() const override { return Instant(std::chrono::hours(-2000)); }
    [[nodiscard]] Instant last() const override { return Instant(std::chrono::hours(2000)); }
    [[nodiscard]] double height_m(Instant at) const override {
        const double turns = static_cast<double>(at.time_since_epoch().count()) / (period_min * 60.0);
        return mean_m_ + amplitude_m_ * std::cos(2 * std::numbers::pi * turns);
    }
    [[nodiscard]] std::vector<LevelBounds> by_minute(Instant from, int minutes) const override {
        std::vector<LevelBounds> bounds;
        for (int i = 0; i < minutes; ++i) {
            const Instant begin = from + std::chrono::minutes(i), end = begin + std::chrono::minutes(1);
            const double a = height_m(begin), b = height_m(end);
            LevelBounds of{std::min(a, b), std::max(a, b)};
            // A turn may lie within the minute: then the bound is the turn's.
            if (half_turns(begin) != half_turns(end)) {
                (half_turns(end) % 2 == 0 ? of.greatest_m : of.least_m) =
                    mean_m_ + (half_turns(end) % 2 == 0 ? amplitude_m_ : -amplitude_m_);
            }
            bounds.push_back(of);
        }
        return bounds;
    }
    [[nodiscard]] std::vector<Turn> turns(Instant, Instant) const override { return {}; }
    [[nodiscard]] std::string bounds_text() const override { return "a sine"; }

private:
    static constexpr int period_min = 745;
    static long half_turns(Instant at) {
        return static_cast<long>(
            std::floor(static_cast<double>(at.time_since_epoch().count()) / (period_min * 30.0)));
    }
    double mean_m_, amplitude_m_;
};

/// A stay of so many minutes in such a tide, from so many minutes after a high water on.
inline StayTide sine_stay(double mean_m, double amplitude_m, int from_min, int minutes, double below_m = 0) {
    const auto curve = std::make_shared<SineTide>(mean_m, amplitude_m);
    const LevelAllowances allowances{below_m, 0};
    const Instant arrive{std::chrono::minutes(from_min)};
    const Stay stay(*curve, arrive, arrive + std::chrono::minutes(minutes), allowances, "sine");
    return {curve, allowances, stay, ZoneOffset(0), "sine", {}, {}, {}, {}, {}};
}

} // namespace swingroom::testing_support
