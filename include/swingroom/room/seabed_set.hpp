#pragma once

#include "swingroom/boat/seabed.hpp"

#include <cstddef>
#include <cstdint>

namespace swingroom {

/// Several seabeds that meet in one cell. Which of them counts depends on the anchor.
class SeabedSet {
public:
    constexpr SeabedSet() = default;
    /// The set of one seabed; `unknown` is a member like any other.
    constexpr explicit SeabedSet(Seabed seabed) { add(seabed); }

    /// Adds a seabed, or all those of another set.
    constexpr void add(Seabed seabed) { bits_ = static_cast<std::uint16_t>(bits_ | bit(seabed)); }
    constexpr void add(SeabedSet others) { bits_ = static_cast<std::uint16_t>(bits_ | others.bits_); }
    /// Whether nothing is in it, not even `unknown`: no file says anything of the ground.
    [[nodiscard]] constexpr bool empty() const { return bits_ == 0; }
    /// The one that counts; `unknown` of none.
    [[nodiscard]] constexpr Seabed worst(const SeabedOrder& order) const {
        bool found = false;
        Seabed worst = Seabed::unknown;
        for (std::size_t slot = 0; slot < seabed_names.size(); ++slot) {
            const auto seabed = static_cast<Seabed>(slot);
            if ((bits_ & bit(seabed)) == 0) continue;
            worst = found ? worse(worst, seabed, order) : seabed;
            found = true;
        }
        return worst;
    }
    constexpr bool operator==(const SeabedSet&) const = default;

private:
    static constexpr std::uint16_t bit(Seabed seabed) {
        static_assert(seabed_names.size() <= 16);
        return static_cast<std::uint16_t>(1U << static_cast<unsigned>(seabed));
    }
    std::uint16_t bits_ = 0;
};

} // namespace swingroom
