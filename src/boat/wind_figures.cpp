#include "swingroom/boat/wind_figures.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/tackle.hpp"

#include <algorithm>

namespace swingroom {
namespace {

bool is_no_limit(double limit_kn, LimitBy by) {
    return by == LimitBy::room && limit_kn >= double{greatest_wind_kn};
}

} // namespace

LimitBy limit_by_of(std::string_view column) {
    const auto found = std::find(limit_by_names.begin(), limit_by_names.end(), column);
    return found == limit_by_names.end() ? LimitBy::room
                                         : static_cast<LimitBy>(found - limit_by_names.begin());
}

std::string wind_limit_text(double limit_kn, LimitBy by) {
    std::string knots = fixed_down(limit_kn, 0) + " kn";
    if (by == LimitBy::holding || !(limit_kn > 0)) return knots; // nothing is nothing, whatever holds
    const std::string how = " by " + std::string(name(by));
    if (by == LimitBy::least_holding) return knots + how + ": that of this ground is not known";
    return (is_no_limit(limit_kn, by) ? "no limit" : knots) + how + ": holding not known";
}

std::string wind_limit_number(double limit_kn, LimitBy by) {
    if (is_no_limit(limit_kn, by)) return "any*";
    return fixed_down(limit_kn, 0) + (by == LimitBy::room && limit_kn > 0 ? "*" : "");
}

} // namespace swingroom
