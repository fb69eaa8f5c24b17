#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/boat.hpp"

#include <string>

namespace swingroom::cli {

/// The unit that the rode is marked in, as the boat file says it: what is counted on deck.
Measures rode_marks(const Boat& boat);

/// A length to veer, rounded up: "35.0 m"; where its marks are in another unit "114.9 ft (35.0 m by the
/// marks)".
std::string rode_text(double rode_m, const Measures& measures, const Measures& marks);

} // namespace swingroom::cli
