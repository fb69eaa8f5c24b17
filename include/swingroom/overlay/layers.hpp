#pragma once

#include "swingroom/boat/way.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace swingroom {

/// What a run can be asked for. The per-way ones come in the order of all_ways.
enum class Layer : std::uint8_t {
    verdict,
    reasons,
    advice,
    depth_low,
    source,
    hull_room,
    ground_room,
    rode_full,
    rode_short,
    rode_sinker,
    radius_full,
    radius_short,
    radius_sinker,
    spare_full,
    spare_short,
    spare_sinker,
    wind_limit_full,
    wind_limit_short,
    wind_limit_sinker,
    zones,
    spots,
    exclusions,
    report
};

/// Layer and file names (without ending), in the order of the enumerators.
inline constexpr std::array<std::string_view, 23> layer_names = {
    "verdict",           "reasons",    "advice",      "depth_low",    "source",          "hull_room",
    "ground_room",       "rode_full",  "rode_short",  "rode_sinker",  "radius_full",     "radius_short",
    "radius_sinker",     "spare_full", "spare_short", "spare_sinker", "wind_limit_full", "wind_limit_short",
    "wind_limit_sinker", "zones",      "spots",       "exclusions",   "report"};

constexpr std::string_view name(Layer layer) { return layer_names[static_cast<std::size_t>(layer)]; }

/// The layer of a group for a way: of(Layer::rode_full, Way::sinker) is rode_sinker.
constexpr Layer of(Layer first_of_group, Way way) {
    return static_cast<Layer>(static_cast<int>(first_of_group) + static_cast<int>(way));
}

/// A set of layers.
class LayerSet {
public:
    constexpr LayerSet() = default;
    static constexpr LayerSet all() {
        LayerSet set;
        set.bits_ = (1u << layer_names.size()) - 1;
        return set;
    }
    /// Reads "verdict,rode,zones": names, a group's name for all its ways, or "all".
    /// @throws InputError naming `where` and the word that is no layer
    static LayerSet parse(std::string_view text, std::string_view where);

    constexpr void add(Layer layer) { bits_ |= bit(layer); }
    [[nodiscard]] constexpr bool has(Layer layer) const { return (bits_ & bit(layer)) != 0; }
    /// Whether any way's layer of a group is asked for.
    [[nodiscard]] constexpr bool has_any(Layer first_of_group) const {
        return ((bits_ >> static_cast<unsigned>(first_of_group)) & 7u) != 0;
    }
    [[nodiscard]] constexpr bool empty() const { return bits_ == 0; }

private:
    static constexpr std::uint32_t bit(Layer layer) { return 1u << static_cast<unsigned>(layer); }
    std::uint32_t bits_ = 0;
};

} // namespace swingroom
