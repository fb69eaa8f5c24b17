#pragma once

#include "swingroom/room/verdict.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace swingroom {

/// The one reason for a no that a skipper acts on first, in that order.
///
/// A no mostly has several reasons, and of most of them nothing follows: that a drying bank is too small to
/// swing on moves nobody. The order is that in which a place is struck off on the chart. First what leaves
/// nothing else to be asked: no depth is known, or she would be aground, in which case no rode is chosen at
/// all. Then what nothing aboard can change: letting go is not allowed, something lies there that the hull
/// must not meet, or anchor and chain. Then what bears on getting the anchor down and back: too deep for the
/// crew or the windlass, ground that holds nothing, or not enough for the wind that is planned for, a slope.
/// Last, nearest to a cure, what would do in another wind or with other tackle: rode, room to swing, room on
/// the seabed. These are told of the least demanding way that she has: where that is out, all are.
enum class WhyNot : std::uint8_t {
    unsurveyed,     ///< no depth is known
    too_shallow,    ///< she would be aground at low water
    drop_forbidden, ///< letting go is not allowed
    hull_danger,    ///< within the margin of what the hull must not meet
    ground_danger,  ///< within the margin of what anchor or chain must not meet
    recovery,       ///< too deep to get a fouled anchor back
    windlass,       ///< too deep for the windlass
    seabed,         ///< ground that no anchor holds in
    holding,        ///< the planned wind pulls more than the anchor holds there
    steep,          ///< steeper than the policy allows
    rode,           ///< too little rode aboard
    hull_room,      ///< the boat would swing into what she must not meet
    ground_room,    ///< the rode would sweep over what it must not meet
    out_of_reach    ///< nothing but that no way leads there: of a yes that is none for it, never of a no
};

/// How many there are.
inline constexpr std::size_t why_not_count = 14;

/// What each is called.
struct WhyNotName {
    /// As documents for programs have it: "too_shallow".
    std::string_view name;
    /// A few words that stand behind an area or a share: "too little water at low water".
    std::string_view words;
};
/// In the order of the enumerators.
extern const std::array<WhyNotName, why_not_count> why_not_names;

/// Its names.
inline const WhyNotName& name_of(WhyNot why) { return why_not_names[static_cast<std::size_t>(why)]; }

/// The leading reason of a cell.
/// @param reasons  bits of `reason`, as CellAnswer has them   @returns nothing where they leave a way
std::optional<WhyNot> leading_reason(std::uint32_t reasons);

/// The same of reasons that forbid whatever the way; quick, for the hot loop.
/// @pre at least one of the bits below reason::first_way_bit is set
WhyNot leading_reason_of_all_ways(std::uint32_t reasons);

} // namespace swingroom
