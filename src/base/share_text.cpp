#include "swingroom/base/share_text.hpp"

#include "swingroom/base/measures.hpp"

namespace swingroom {

std::string share_text(double share) {
    constexpr double least_told = 0.001;
    if (share <= 0) return "0 %";
    if (share < least_told) return "under 0.1 %";
    return fixed_down(100 * share, 1) + " %";
}

} // namespace swingroom
