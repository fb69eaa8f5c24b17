#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

// What may stand in a boat file: the one table that the reader's checks, the template, the help, the man page
// and the manual's table are made from.

namespace swingroom {

/// How a value of a boat file is written.
enum class BoatValue {
    text,
    word,
    length,
    diameter,
    area,
    mass,
    mass_by_length,
    force,
    speed,
    number,
    angle,
    place
};

/// Whether a key must be given.
enum class BoatNeed {
    always,
    unless_replaced, ///< or the keys that its meaning names in its place
    with_its_gear,   ///< only if there is rope, or a sinker
    optional
};

/// A key of a boat file.
struct BoatKey {
    /// "hull.length"; a name in capitals stands for any of its kind: "anchor.holding.SEABED", "load.WIND".
    std::string_view key;
    BoatValue value = BoatValue::text;
    BoatNeed need = BoatNeed::optional;
    double least = 0, most = 0; ///< in the unit of unit_of(); of numbers alone
    std::string_view words;     ///< all that it may be, commas between them; empty: anything of its kind
    std::string_view preset;    ///< the value that counts where none is given; empty: what `otherwise` says
    std::string_view otherwise; ///< in words, what counts where none is given; empty: nothing to be said
    std::string_view example;   ///< a value that is taken
    std::string_view meaning;   ///< a phrase, for the template and the tables

    /// "hull"
    [[nodiscard]] std::string_view section() const { return key.substr(0, key.find('.')); }
    /// "length"
    [[nodiscard]] std::string_view name() const { return key.substr(key.find('.') + 1); }
};

/// All keys, in the order in which a file is written: sections stand together.
std::span<const BoatKey> boat_keys();
/// The row of a key as a file gives it, "anchor.holding.sand"; none: there is no such key.
const BoatKey* boat_key(std::string_view key);
/// The names of the sections, in the order of their keys, and last [anchor.holding], which may be written for
/// the keys of [anchor] that begin so.
std::vector<std::string_view> boat_sections();

/// "[hull] length", as people find it in the file.
std::string shown_key(std::string_view key);
/// What a value of this kind is called: "LENGTH".
std::string_view placeholder(BoatValue value);
/// The unit that limits are in, and numbers without one: "m"; empty where there is none.
std::string_view unit_of(BoatValue value);
/// What values of this kind may look like: "12.5 m, 41 ft, 6.8 fm; also cm, mm, km, in, nm, cable"; empty for
/// words.
std::string_view spellings(BoatValue value);

} // namespace swingroom
