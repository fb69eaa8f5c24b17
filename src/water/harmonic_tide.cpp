#include "swingroom/water/harmonic_tide.hpp"

#include "swingroom/base/error.hpp"

#include "base/text.hpp"
#include "water/constituents.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <numbers>
#include <ranges>
#include <set>

namespace swingroom {
namespace {

using namespace std::chrono;

constexpr double degree = std::numbers::pi / 180;

double hours_between(Instant from, Instant to) { return static_cast<double>((to - from).count()) / 3600; }

/// A cosine of the tide: amplitude * cos(phase + speed * hours).
struct Cosine {
    double amplitude_m = 0, phase = 0, speed_h = 0; ///< radians
};

/// The tide of a span within which its cosines do not change.
struct Cosines {
    Instant epoch; ///< hours count from here
    double mean_level_m = 0;
    std::vector<Cosine> terms;

    [[nodiscard]] double height_m(Instant at) const {
        const double hours = hours_between(epoch, at);
        double sum_m = mean_level_m;
        for (const auto& term : terms) {
            sum_m += term.amplitude_m * std::cos(term.phase + term.speed_h * hours);
        }
        return sum_m;
    }
    [[nodiscard]] double slope_m_h(Instant at) const {
        const double hours = hours_between(epoch, at);
        double sum = 0;
        for (const auto& term : terms) {
            sum -= term.amplitude_m * term.speed_h * std::sin(term.phase + term.speed_h * hours);
        }
        return sum;
    }
    [[nodiscard]] double greatest_bend_m_h2() const {
        double sum = 0;
        for (const auto& term : terms) {
            sum += term.amplitude_m * term.speed_h * term.speed_h;
        }
        return sum;
    }
};

} // namespace

struct HarmonicTide::State {
    struct Term {
        Constituent what;
        HarmonicConstant constant;
    };
    std::vector<Term> terms;
    double mean_level_m = 0;
    NodalScheme scheme = NodalScheme::yearly;

    /// The cosines from `epoch` on, with the node's figures of `nodes_at`.
    [[nodiscard]] Cosines cosines(Instant epoch, Instant nodes_at) const {
        const auto longitudes = mean_longitudes(epoch);
        const auto angles = orbit_angles(mean_longitudes(nodes_at));
        Cosines all{epoch, mean_level_m, {}};
        for (const auto& [what, constant] : terms) {
            const auto nodal = what.nodal(angles);
            const double phase_deg =
                what.argument_deg(epoch, longitudes) + nodal.angle_deg - constant.lag_deg;
            all.terms.push_back({nodal.factor * constant.amplitude_m, std::remainder(phase_deg, 360) * degree,
                                 what.speed_deg_h * degree});
        }
        return all;
    }
    [[nodiscard]] Cosines of_year(Instant in_year) const {
        const Instant start = start_of_year(in_year);
        return cosines(start, start + (end_of_year(in_year) - start) / 2);
    }
    /// Those by which the level of a moment is reckoned. Without a yearly step they are made anew for each
    /// day, and what the node does within half a day is far below a tenth of a millimetre.
    [[nodiscard]] Cosines at(Instant moment) const {
        return scheme == NodalScheme::yearly ? of_year(moment) : cosines(moment, moment);
    }
    /// The end of the span that has one set of cosines.
    [[nodiscard]] Instant end_of_piece(Instant moment) const {
        return scheme == NodalScheme::yearly ? end_of_year(moment) : floor<days>(moment) + days(1);
    }
    /// The cosines of the piece that begins at, or holds, a moment.
    [[nodiscard]] Cosines of_piece(Instant moment) const {
        return scheme == NodalScheme::yearly
                   ? of_year(moment)
                   : cosines(floor<days>(moment) + hours(12), floor<days>(moment) + hours(12));
    }
};

HarmonicTide::HarmonicTide(const std::vector<HarmonicConstant>& constants, double mean_level_m,
                           NodalScheme scheme, std::string_view where) {
    auto state = std::make_shared<State>();
    state->mean_level_m = mean_level_m;
    state->scheme = scheme;
    std::set<std::string> seen;
    for (const auto& constant : constants) {
        if (!seen.insert(usual_name(constant.name)).second) {
            throw InputError(std::string(where), "the constituent " + constant.name + " is there twice",
                             "leave one of them out");
        }
        if (!(constant.amplitude_m >= 0) || !std::isfinite(constant.amplitude_m) ||
            !std::isfinite(constant.lag_deg)) {
            throw InputError(std::string(where),
                             "the constituent " + constant.name + " has no amplitude of 0 or more",
                             "turn a negative one's phase by 180 degrees");
        }
        if (constant.amplitude_m == 0) continue;
        auto what = find_constituent(constant.name);
        if (!what) {
            throw InputError(
                std::string(where),
                "the constituent " + quoted(constant.name) +
                    " is not known, or lists disagree in what it means",
                "the prediction would be wrong by up to its amplitude: leave the line out only if "
                "you can spare that, and say so with the allowances");
        }
        state->terms.push_back({std::move(*what), constant});
    }
    state_ = std::move(state);
}

Instant HarmonicTide::first() const { return sys_days(January / 1 / 1900); }
Instant HarmonicTide::last() const { return sys_days(January / 1 / 2101); }

double HarmonicTide::height_m(Instant at) const { return state_->at(at).height_m(at); }

double HarmonicTide::greatest_bend_m_h2(Instant in_year) const {
    return state_->of_year(in_year).greatest_bend_m_h2();
}

std::vector<LevelBounds> HarmonicTide::by_minute(Instant from, int minutes) const {
    std::vector<LevelBounds> bounds;
    bounds.reserve(static_cast<std::size_t>(minutes));
    // A piece ends before its cosines change, and the next begins there anew: they step, by up to a decimetre
    // at New Year.
    const Instant end = from + std::chrono::minutes(minutes);
    Instant start = from;
    while (start < end) {
        const auto cosines = state_->of_piece(start);
        const Instant stop = std::min(end, state_->end_of_piece(start));
        // Between samples a minute apart the curve stays so near to the chord. A hundredth more covers that
        // amplitudes and phases that follow the node bend it a little, too.
        constexpr double minute_h = 1.0 / 60;
        const double slack_m = 1.01 * cosines.greatest_bend_m_h2() * minute_h * minute_h / 8 +
                               (state_->scheme == NodalScheme::continuous ? 1e-4 : 0);
        double here_m = cosines.height_m(start);
        while (start < stop) {
            start += std::chrono::minutes(1);
            const double there_m = cosines.height_m(start);
            bounds.push_back({std::min(here_m, there_m) - slack_m, std::max(here_m, there_m) + slack_m});
            here_m = there_m;
        }
    }
    return bounds;
}

std::vector<Turn> HarmonicTide::turns(Instant from, Instant to) const {
    std::vector<Turn> found;
    constexpr std::chrono::minutes step(5); // two turns nearer than that are one stand of the water
    for (Instant piece = from; piece <= to;) {
        const auto cosines = state_->of_piece(piece);
        const Instant stop = std::min(to, state_->end_of_piece(piece));
        double slope = cosines.slope_m_h(piece);
        for (Instant here = piece; here < stop;) {
            const Instant next = std::min(stop, here + step);
            const double next_slope = cosines.slope_m_h(next);
            if ((slope > 0) != (next_slope > 0)) {
                Instant low = here;
                Instant high = next;
                while (high - low > seconds(1)) {
                    const Instant middle = low + (high - low) / 2;
                    ((cosines.slope_m_h(middle) > 0) == (slope > 0) ? low : high) = middle;
                }
                found.push_back({high, cosines.height_m(high), slope > 0});
            }
            here = next;
            slope = next_slope;
        }
        if (stop == to) break;
        piece = stop;
    }
    return found;
}

std::string HarmonicTide::bounds_text() const {
    return std::string("harmonic constituents, node factors ") +
           (state_->scheme == NodalScheme::yearly ? "of the middle of the year" : "of the moment") +
           "; bounded from minute to minute by how fast the curve can bend";
}

std::vector<HarmonicConstant> with_other_meanings(const std::vector<HarmonicConstant>& constants) {
    std::vector<HarmonicConstant> found;
    std::ranges::copy_if(constants, std::back_inserter(found), [](const HarmonicConstant& constant) {
        return constant.amplitude_m > 0 && has_other_meanings(constant.name);
    });
    std::ranges::stable_sort(found, std::ranges::greater{}, &HarmonicConstant::amplitude_m);
    return found;
}

} // namespace swingroom
