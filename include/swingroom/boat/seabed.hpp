#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace swingroom {

/// Seabed classes for holding, from the best to the worst; where several meet in one cell the worst counts.
/// `unknown` is what has no data; it is no class of ground and sorts first only so that any datum replaces
/// it.
enum class Seabed : std::uint8_t { unknown, clay, sand, mud, gravel, shells, weed, rock, coral };

/// Names by Seabed, as boat files, options, layers and reports have them.
inline constexpr std::array seabed_names = {"unknown", "clay", "sand", "mud",  "gravel",
                                            "shells",  "weed", "rock", "coral"};

/// How bad each seabed is, whatever the scale: of several in one cell the one with the greatest number
/// counts.
using SeabedOrder = std::array<std::uint8_t, seabed_names.size()>;

/// The order where nothing is known of the anchor. `unknown` ranks behind the grounds that hold and before
/// those that hold poorly or not at all.
inline constexpr SeabedOrder seabeds_by_class = {3, 0, 1, 2, 4, 5, 6, 7, 8};

/// The one that counts where both meet; the first of two that are equally bad.
constexpr Seabed worse(Seabed a, Seabed b, const SeabedOrder& order) {
    return order[static_cast<std::size_t>(a)] >= order[static_cast<std::size_t>(b)] ? a : b;
}

/// The name of a seabed, as in seabed_names.
inline std::string_view name(Seabed seabed) { return seabed_names[static_cast<std::size_t>(seabed)]; }

/// The seabed of exactly that name, in lower case; nothing where there is none.
inline std::optional<Seabed> seabed_named(std::string_view text) {
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        if (seabed_names[i] == text) return static_cast<Seabed>(i);
    }
    return std::nullopt;
}

} // namespace swingroom
