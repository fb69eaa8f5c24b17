#include "swingroom/room/why_not.hpp"

namespace swingroom {
namespace {

/// The bits that forbid every way, in the order of WhyNot.
constexpr std::array of_all_ways = {reason::unsurveyed,  reason::too_shallow,   reason::drop_forbidden,
                                    reason::hull_danger, reason::ground_danger, reason::recovery,
                                    reason::windlass,    reason::seabed,        reason::holding,
                                    reason::steep};
static_assert(of_all_ways.size() == static_cast<std::size_t>(WhyNot::rode));

constexpr std::size_t common_bits = 10; ///< all of them are below 1 << this

/// The leading reason for every set of these bits.
constexpr std::array<WhyNot, 1U << common_bits> leading_reasons = [] {
    std::array<WhyNot, 1U << common_bits> table{};
    for (std::size_t bits = 1; bits < table.size(); ++bits) {
        std::size_t first = 0;
        while ((bits & of_all_ways[first]) == 0) {
            ++first;
        }
        table[bits] = static_cast<WhyNot>(first);
    }
    return table;
}();

bool has(std::uint32_t reasons, Way way, reason::OfWay what) {
    return (reasons & reason::of_way(way, what)) != 0;
}

} // namespace

const std::array<WhyNotName, why_not_count> why_not_names = {{
    {"unsurveyed", "no depth known"},
    {"too_shallow", "too little water at low water"},
    {"drop_forbidden", "letting go not allowed"},
    {"hull_danger", "within the margin of a danger to the hull"},
    {"ground_danger", "within the margin of a danger to anchor or chain"},
    {"recovery", "too deep to get a fouled anchor back"},
    {"windlass", "too deep for the windlass"},
    {"seabed", "ground that no anchor holds in"},
    {"holding", "ground that holds too little for the planned wind"},
    {"steep", "too steep"},
    {"rode", "too little rode aboard"},
    {"hull_room", "too little room to swing"},
    {"ground_room", "too little room for the rode on the seabed"},
    {"out_of_reach", "no way in during the stay"},
}};

WhyNot leading_reason_of_all_ways(std::uint32_t reasons) {
    return leading_reasons[reasons & (leading_reasons.size() - 1)];
}

std::optional<WhyNot> leading_reason(std::uint32_t reasons) {
    constexpr std::uint32_t common = (1U << reason::first_way_bit) - 1;
    if ((reasons & common) != 0) return leading_reason_of_all_ways(reasons);
    using reason::OfWay;
    for (auto way = all_ways.rbegin(); way != all_ways.rend(); ++way) {
        if (has(reasons, *way, OfWay::unavailable)) continue; // a sinker that is not aboard
        if (has(reasons, *way, OfWay::rode)) return WhyNot::rode;
        if (has(reasons, *way, OfWay::hull_room)) return WhyNot::hull_room;
        if (has(reasons, *way, OfWay::ground_room)) return WhyNot::ground_room;
        return std::nullopt;
    }
    return std::nullopt;
}

} // namespace swingroom
