#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace swingroom {

/// Seabed classes for holding, from the best to the worst; where several meet in one cell the worst counts.
/// `unknown` is what has no data; it is no class of ground and sorts first only so that any datum replaces
/// it.
enum class Seabed : std::uint8_t { unknown, clay, sand, mud, gravel, shells, weed, rock, coral };

/// The worse of two for an anchor. `unknown` ranks behind the grounds that hold (it is credited with the
/// least holding of those) and before those that hold poorly or not at all.
constexpr Seabed worse(Seabed a, Seabed b) {
    const auto rank = [](Seabed s) {
        return s == Seabed::unknown ? 2 * static_cast<int>(Seabed::mud) + 1 : 2 * static_cast<int>(s);
    };
    return rank(a) >= rank(b) ? a : b;
}

inline constexpr std::array seabed_names = {"unknown", "clay", "sand", "mud",  "gravel",
                                            "shells",  "weed", "rock", "coral"};

inline std::string_view name(Seabed seabed) { return seabed_names[static_cast<std::size_t>(seabed)]; }

inline std::optional<Seabed> seabed_named(std::string_view text) {
    for (std::size_t i = 0; i < seabed_names.size(); ++i)
        if (seabed_names[i] == text) return static_cast<Seabed>(i);
    return std::nullopt;
}

} // namespace swingroom
