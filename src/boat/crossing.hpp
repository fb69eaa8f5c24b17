#pragma once

#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cstdint>

namespace swingroom {

/// Where a function that is positive at a and negative at b crosses 0, on a's side of it.
template <class F>
double crossing(F f, double a, double b) {
    std::uintmax_t iterations = 100;
    const auto [low, high] = boost::math::tools::toms748_solve(
        f, std::min(a, b), std::max(a, b), boost::math::tools::eps_tolerance<double>(45), iterations);
    return a < b ? low : high;
}

} // namespace swingroom
