#pragma once

#include <boost/math/tools/toms748_solve.hpp>

#include <cstdint>

namespace swingroom {

/// Where a function that is positive at a and negative at b crosses, on a's side of it.
template <class F>
double crossing(F f, double a, double b) {
    std::uintmax_t iterations = 100;
    return boost::math::tools::toms748_solve(f, a, b, boost::math::tools::eps_tolerance<double>(45),
                                             iterations)
        .first;
}

} // namespace swingroom
