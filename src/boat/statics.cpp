#include "swingroom/boat/statics.hpp"

#include <boost/math/constants/constants.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

constexpr double radians = boost::math::constants::degree<double>();

/// What a lifted part adds, from the vertical pull below it to that above it.
struct Step {
    double along_m = 0, up_m = 0;
};

/// sqrt(h^2 + v^2). std::hypot guards against overflow that forces of a boat never meet, at five times the
/// price.
double tension(double pull_n, double vertical_n) {
    return std::sqrt(pull_n * pull_n + vertical_n * vertical_n);
}

double rise_m(double pull_n, double length, double low_n, double high_n, double stiffness_n) {
    const double sum_n = low_n + high_n, tensions_n = tension(pull_n, low_n) + tension(pull_n, high_n);
    // (T2 - T1)/w of the textbook as a quotient of sums: nothing cancels when the part is nearly weightless.
    const double straight = tensions_n > 0 ? sum_n / tensions_n : 0;
    return length * (straight + sum_n / (2 * stiffness_n));
}

/// asinh(x)/x, which is 1 at 0.
double asinh_over(double x) { return x < 1e-4 ? 1 - x * x / 6 : std::asinh(x) / x; }

double run_m(double pull_n, double length, double low_n, double high_n, double stiffness_n) {
    if (pull_n <= 0 || length <= 0) return 0;
    // a(asinh(V2/H) - asinh(V1/H)) with the difference of the two taken by the addition theorem and its
    // cancelling factor divided out by hand: exact for chain, for rope of no weight, and all between.
    const double t_low = tension(pull_n, low_n), t_high = tension(pull_n, high_n);
    const double crossed = high_n * t_low + low_n * t_high;
    const double q = crossed > 0 ? pull_n * (low_n + high_n) / crossed : 1;
    return length * (q * asinh_over((high_n - low_n) / pull_n * q) + pull_n / stiffness_n);
}

/// Walks from the roller down to where the rode meets the seabed, or to the anchor.
/// @param visit  called with each part's index, its lifted length and the vertical pulls below and above it
/// @returns vertical pull left at the anchor
template <class Visit>
double walk_down(double vertical_bow_n, std::span<const RodePart> parts, Visit visit) {
    double vertical_n = vertical_bow_n;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const RodePart& part = parts[i];
        if (vertical_n <= part.weight_n) {
            if (part.weight_n > 0) visit(i, part.length_m * (vertical_n / part.weight_n), 0.0, vertical_n);
            if (part.weight_n > 0 || vertical_n <= 0) return 0;
        }
        visit(i, part.length_m, vertical_n - part.weight_n, vertical_n);
        vertical_n -= part.weight_n;
    }
    return vertical_n;
}

double height_m(double pull_n, double vertical_bow_n, std::span<const RodePart> parts) {
    double height = 0;
    walk_down(vertical_bow_n, parts, [&](std::size_t i, double lifted, double low_n, double high_n) {
        height += rise_m(pull_n, lifted, low_n, high_n, parts[i].stiffness_n);
    });
    return height;
}

/// Root of a function that crosses 0 between a and b, to the last bits.
template <class F>
double root_between(F f, double a, double b) {
    const double fa = f(a), fb = f(b);
    if (fa == 0) return a;
    if (fb == 0) return b;
    std::uintmax_t iterations = 100;
    const auto [low, high] = boost::math::tools::toms748_solve(
        f, a, b, fa, fb, boost::math::tools::eps_tolerance<double>(48), iterations);
    return 0.5 * (low + high);
}

/// The vertical pull at the roller that holds the rode up to the span. Height grows with it, so the root is
/// one.
double vertical_at_bow_n(double pull_n, double span_m, std::span<const RodePart> parts) {
    const auto missing = [&](double vertical_n) { return height_m(pull_n, vertical_n, parts) - span_m; };
    // The part of the rode that bears the span is steeper than a straight line of all of it.
    const double all_m = length_m(parts);
    double low_n = 0, high_n = pull_n * span_m / std::sqrt(all_m * all_m - span_m * span_m) + 1;
    while (missing(high_n) < 0) {
        low_n = high_n;
        high_n *= 2;
    }
    return root_between(missing, low_n, high_n);
}

/// At no pull the rode hangs straight down and the rest of it lies anywhere within reach.
RodeState hanging_state(double span_m, std::span<const RodePart> parts) {
    RodeState state;
    state.grounded_m = state.reach_m = length_m(parts) - span_m;
    double left_m = span_m;
    for (const RodePart& part : parts) {
        if (left_m <= 0) {
            if (part.length_m == 0) state.sinker_on_seabed_n += part.weight_n;
            continue;
        }
        const double share = part.length_m > left_m ? left_m / part.length_m : 1;
        state.vertical_bow_n += part.weight_n * share;
        left_m -= part.length_m;
    }
    state.tension_n = state.vertical_bow_n;
    return state;
}

/// A rode lifted from end to end, that pulls at the anchor at a given angle: how high its upper end is.
/// With v the weight below a point, H the pull and t the angle's tangent, the vertical pull there is
/// V = H t + v and the height is the sum of V/T (which is the slope) and of V/EA (what the stretch lends)
/// along the rode. V/T falls with the pull; V/EA grows with it, in a straight line, where t > 0 and else
/// stays.
class LiftedAtAngle {
public:
    LiftedAtAngle(double angle_deg, std::span<const RodePart> parts)
        : parts_(parts), tangent_(std::tan(angle_deg * radians)) {
        double below_n = 0;
        for (std::size_t i = parts.size(); i-- > 0;) {
            const double strain_per_n = parts[i].length_m / parts[i].stiffness_n;
            stretch_m_ += strain_per_n * (below_n + parts[i].weight_n / 2);
            stretch_per_n_m_ += strain_per_n * tangent_;
            below_n += parts[i].weight_n;
        }
    }
    [[nodiscard]] bool stretch_grows() const { return stretch_per_n_m_ > 0; }
    [[nodiscard]] double height_m(double pull_n) const { return height_m(pull_n, true); }

    /// The least height at any pull up to this one, from below. Between two pulls the height is at least what
    /// the slope lends at the greater and the stretch at the lesser. Pulls are taken 0.14 % apart, at
    /// fixed places (but for the last), so that what holds of each of these bounds holds of the least: it
    /// falls with the pull, and grows with weight and length.
    [[nodiscard]] double least_height_m(double pull_n) const {
        const int last =
            pull_n <= 1 ? 1 : 1 + static_cast<int>(std::ceil(std::log2(pull_n) * steps_per_octave));
        return least_height_m({0, last, 0, pull_n, straight_height_m(pull_n)},
                              std::numeric_limits<double>::infinity());
    }

private:
    static constexpr int steps_per_octave = 512;
    static double pull_of(int step) {
        return step <= 0 ? 0 : std::exp2(static_cast<double>(step - 1) / steps_per_octave);
    }
    [[nodiscard]] double height_m(double pull_n, bool stretched) const {
        double vertical_n = pull_n * tangent_, height = 0;
        for (std::size_t i = parts_.size(); i-- > 0;) {
            const RodePart& part = parts_[i];
            const double above_n = vertical_n + part.weight_n;
            height += rise_m(pull_n, part.length_m, vertical_n, above_n,
                             stretched ? part.stiffness_n : std::numeric_limits<double>::infinity());
            vertical_n = above_n;
        }
        return height;
    }
    [[nodiscard]] double straight_height_m(double pull_n) const { return height_m(pull_n, false); }
    /// Steps of the pull, the pulls at both ends, and what the slope lends at the greater.
    struct Pulls {
        int from, to;
        double from_n, to_n, straight_m;
    };
    [[nodiscard]] double bound_m(const Pulls& pulls) const {
        return pulls.straight_m + stretch_m_ + stretch_per_n_m_ * pulls.from_n;
    }
    /// The least bound of single steps, or best_m if that is less: halves that cannot have a lesser one are
    /// passed over, which changes nothing.
    [[nodiscard]] double least_height_m(const Pulls& all, double best_m) const {
        if (all.to - all.from == 1) return std::min(best_m, bound_m(all));
        const int middle = all.from + (all.to - all.from) / 2;
        const double middle_n = std::min(pull_of(middle), all.to_n);
        Pulls first{all.from, middle, all.from_n, middle_n, straight_height_m(middle_n)};
        Pulls second{middle, all.to, middle_n, all.to_n, all.straight_m};
        if (bound_m(second) < bound_m(first)) std::swap(first, second);
        for (const Pulls& half : {first, second}) {
            if (bound_m(half) < best_m) best_m = least_height_m(half, best_m);
        }
        return best_m;
    }

    std::span<const RodePart> parts_;
    double tangent_;
    double stretch_m_ = 0,
           stretch_per_n_m_ = 0; ///< what the stretch lends: by the weight, by a newton of pull
};

} // namespace

double length_m(std::span<const RodePart> parts) {
    double sum = 0;
    for (const RodePart& part : parts) {
        sum += part.length_m;
    }
    return sum;
}

RodeState rode_state(double pull_n, double span_m, std::span<const RodePart> parts) {
    assert(pull_n >= 0 && span_m > 0 && span_m < length_m(parts));
    if (pull_n <= 0) return hanging_state(span_m, parts);
    RodeState state;
    state.vertical_bow_n = vertical_at_bow_n(pull_n, span_m, parts);
    double lifted_m = 0, lifted_points_n = 0;
    state.vertical_anchor_n = walk_down(
        state.vertical_bow_n, parts, [&](std::size_t i, double lifted, double low_n, double high_n) {
            state.reach_m += run_m(pull_n, lifted, low_n, high_n, parts[i].stiffness_n);
            lifted_m += lifted;
            if (parts[i].length_m == 0) lifted_points_n += high_n - low_n;
            // What of this part lies on the seabed is stretched by the bare pull.
            const double rest_m = parts[i].length_m - lifted;
            state.reach_m += rest_m * (1 + pull_n / parts[i].stiffness_n);
        });
    std::size_t met = 0;
    walk_down(state.vertical_bow_n, parts, [&](std::size_t i, double, double, double) { met = i + 1; });
    for (std::size_t i = met; i < parts.size(); ++i) {
        state.reach_m += parts[i].length_m * (1 + pull_n / parts[i].stiffness_n);
    }
    for (const RodePart& part : parts) {
        if (part.length_m == 0) state.sinker_on_seabed_n += part.weight_n;
    }
    state.sinker_on_seabed_n = std::max(0.0, state.sinker_on_seabed_n - lifted_points_n);
    state.grounded_m = std::max(0.0, length_m(parts) - lifted_m);
    state.angle_deg = std::atan2(state.vertical_anchor_n, pull_n) / radians;
    state.tension_n = tension(pull_n, state.vertical_bow_n);
    return state;
}

double greatest_span_m(double pull_n, double angle_deg, std::span<const RodePart> parts) {
    if (pull_n <= 0) return length_m(parts);
    const LiftedAtAngle lifted(angle_deg, parts);
    return lifted.stretch_grows() ? lifted.least_height_m(pull_n) : lifted.height_m(pull_n);
}

double greatest_pull_n(double span_m, double angle_deg, std::span<const RodePart> parts) {
    if (length_m(parts) * std::sin(angle_deg * radians) >= span_m) {
        return std::numeric_limits<double>::infinity();
    }
    if (length_m(parts) <= span_m) return 0;
    // In the logarithm, because the pull may be a newton or a hundred kilonewtons.
    constexpr double least = -14, most = 25; // e^-14 N is nothing, e^25 N is beyond any boat
    const auto spare = [&](double log_pull) {
        return greatest_span_m(std::exp(log_pull), angle_deg, parts) - span_m;
    };
    if (spare(most) >= 0) return std::numeric_limits<double>::infinity();
    if (spare(least) <= 0) return 0;
    return std::exp(root_between(spare, least, most));
}

std::vector<ShapePoint> rode_shape(double pull_n, double span_m, std::span<const RodePart> parts, int steps) {
    const RodeState state = rode_state(pull_n, span_m, parts);
    ShapePoint at{state.reach_m, span_m};
    std::vector<ShapePoint> points = {at};
    if (pull_n <= 0) {
        points.push_back({at.x_m, 0});
        points.push_back({0, 0});
        return points;
    }
    walk_down(state.vertical_bow_n, parts, [&](std::size_t i, double lifted, double low_n, double high_n) {
        if (lifted <= 0) return;
        for (int k = 0; k < steps; ++k) {
            const double above_n = high_n - (high_n - low_n) * k / steps;
            const double below_n = high_n - (high_n - low_n) * (k + 1) / steps;
            at.x_m -= run_m(pull_n, lifted / steps, below_n, above_n, parts[i].stiffness_n);
            at.z_m -= rise_m(pull_n, lifted / steps, below_n, above_n, parts[i].stiffness_n);
            points.push_back({at.x_m, std::max(0.0, at.z_m)});
        }
    });
    points.push_back({0, 0});
    return points;
}

} // namespace swingroom
