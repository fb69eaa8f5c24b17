#pragma once

#include <string>

namespace swingroom {

/// A share of a whole for people, from 0 to 1: "12.3 %", rounded down, so that nothing but all is "100.0 %".
/// Of what is there and rounds to nothing "under 0.1 %", of nothing at all "0 %".
std::string share_text(double share);

} // namespace swingroom
