#pragma once

#include "water/constituents.hpp"

#include <optional>
#include <string_view>

namespace swingroom {

/// Takes the name of a compound apart, by the rules of annex B of the IHO's list: its letters are
/// constituents (M, S, N, L, T, R, NU of species 2, O, P, Q, J of species 1, K either K1 or K2), a figure
/// multiplies what follows, the last figure is the species. Where the species do not add up to it, signs turn
/// from the right until they do; where they never do, the first figure was meant to multiply all that
/// follows, as if in brackets.
/// @param name  in capital letters
/// @returns nothing where that gives no constituent, or one of those that published lists have otherwise
std::optional<Constituent> compound_constituent(std::string_view name);

} // namespace swingroom
