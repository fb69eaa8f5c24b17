#include "boat/boat_keys.hpp"

#include "swingroom/boat/seabed.hpp"

#include <algorithm>
#include <array>

namespace swingroom {
namespace {

using enum BoatValue;

constexpr BoatNeed must = BoatNeed::always, must_or = BoatNeed::unless_replaced,
                   with_gear = BoatNeed::with_its_gear, may = BoatNeed::optional;

constexpr std::array<BoatKey, 45> table = {{
    {"hull.name", text, may, 0, 0, "", "", "the file's name", "heavy ketch", "name of the boat, for titles"},
    {"hull.kind", word, may, 0, 0, "sail, power", "sail", "", "power", "which column of the load table"},
    {"hull.length", length, must, 2, 150, "", "", "", "14 m", "length over all"},
    {"hull.draught", length, must, 0.05, 20, "", "", "", "2.1 m", "greatest depth below the waterline"},
    {"hull.bow_roller", length, must, 0.1, 20, "", "", "", "1.4 m", "height of the bow roller above water"},
    {"hull.beam", length, may, 0.5, 40, "", "", "loads by length alone", "4.3 m",
     "for loads where no area is given"},
    {"hull.windage_area", area, may, 0.1, 2000, "", "",
     "the small-craft load table by length and beam, gusts and surge in it", "15 m2",
     "seen from ahead: hull, masts, rigging"},
    {"hull.drag_coefficient", number, may, 0.1, 3, "", "1", "", "1.1", "of the wind on that area"},
    {"hull.wetted_area", area, may, 0.5, 5000, "", "", "estimated from length, beam and draught", "60 m2",
     "for the drag of a current"},
    {"hull.air_draught", length, may, 0.1, 120, "", "", "nothing overhead is high enough", "19 m",
     "height above water, for charted clearances"},
    {"hull.tender", length, may, 0, 30, "", "", "none", "3 m", "length of a tender towed astern"},

    {"rode.chain", length, must, 0, 1000, "", "", "", "60 m",
     "length of chain next to the anchor; 0 for none"},
    {"rode.chain_diameter", diameter, must_or, 3, 40, "", "", "", "10 mm",
     "of the chain, nominal; leave it out without chain, or where chain_mass is given"},
    {"rode.chain_mass", mass_by_length, may, 0.2, 60, "", "", "from the diameter", "2.2 kg/m",
     "mass of the chain, in the place of chain_diameter"},
    {"rode.chain_standard", word, may, 0, 0, "din_766, iso_4565", "din_766", "", "iso_4565",
     "the table for the diameter"},
    {"rode.rope", length, may, 0, 1000, "", "0 m", "", "40 m", "length of nylon above the chain"},
    {"rode.rope_diameter", diameter, with_gear, 4, 80, "", "", "", "14 mm",
     "of the rope: it must be given with rope, or rope_mass and rope_stiffness"},
    {"rode.rope_make", word, may, 0, 0, "laid, braided", "laid", "", "braided", "how the rope is made"},
    {"rode.rope_mass", mass_by_length, may, 0.005, 10, "", "", "from the diameter", "0.12 kg/m",
     "mass of the rope"},
    {"rode.rope_stiffness", force, may, 1e3, 1e9, "", "",
     "from the diameter: for the radius by its make, for the angle of pull as if braided", "60 kN",
     "pull of the rope per unit of strain"},
    {"rode.mark", length, may, 0.5, 100, "", "5 m", "", "10 m", "distance between the marks on the rode"},

    {"anchor.type", word, must, 0, 0, "fluke, plough, claw, scoop, fisherman, stockless", "", "", "scoop",
     "kind of the anchor"},
    {"anchor.mass", mass, must, 0.5, 20000, "", "", "", "33 kg", "mass of the anchor"},
    {"anchor.holding.SEABED", force, may, 0, 1e7, "", "",
     "a published law where there is one, carried to other ground by soil factors; must be given once if "
     "there is rope and no law is known",
     "14 kN", "what it holds there with a horizontal pull, as holding.sand"},

    {"sinker.mass", mass, with_gear, 0.5, 500, "", "", "no sinker", "20 kg", "mass of the sinker"},
    {"sinker.material", word, may, 0, 0, "steel, lead, iron, concrete", "steel", "", "lead",
     "what the sinker is of"},
    {"sinker.at", place, may, 0, 0, "", "1 spans", "", "8 m",
     "where it hangs: so far down the rode; so many times the greatest span for which a length of rode is "
     "veered; or best, where it needs the least rode of the places it can be slid to"},
    {"sinker.line", length, may, 0.5, 1000, "", "", "it may hang anywhere", "16 m",
     "length of the line that it is slid down on; must be given with best"},

    {"sounder.error", length, may, 0, 5, "", "0.3 m", "", "0.2 m", "how far a reading may be wrong"},
    {"sounder.to_roller", length, may, 0.1, 150, "", "", "the hull's length", "9 m",
     "from the transducer to the bow roller; the seabed may slope over that, or over her length if that is "
     "more"},
    {"sounder.transducer", length, may, 0, 10, "", "", "what the sounder reads is told as the water's depth",
     "0.6 m",
     "how deep the transducer is in the water; 0 where the sounder is set to show the water's depth"},

    {"windlass.rated_pull", force, may, 10, 1e7, "", "", "no limit", "6 kN",
     "deeper water than it can lift chain and anchor from is a no"},

    {"crew.recovery_depth", length, may, 0.5, 200, "", "", "no limit", "30 m",
     "deepest water at high water from which a fouled anchor can be got back"},

    {"load.WIND", force, may, 0.1, 1e7, "", "", "windage, drag and gusts, or the small-craft load table",
     "900 N",
     "your own table, as many lines as wanted: mean wind = pull with gusts and all, as 15 kn = 900 N"},

    {"policy.scope", number, may, 1.5, 30, "", "5", "", "6", "rode over span at full scope"},
    {"policy.short_scope", number, may, 1.2, 30, "", "3", "", "3.5", "least rode over span at short scope"},
    {"policy.pull_angle", angle, may, 0, 30, "", "0 deg", "", "4 deg",
     "greatest angle of pull at the anchor above the seabed"},
    {"policy.under_keel", length, may, 0, 50, "", "0.5 m", "", "0.8 m",
     "clearance under the keel at low water"},
    {"policy.under_keel_under_way", length, may, 0, 50, "", "", "the depth that she needs at anchor", "0.6 m",
     "clearance under the keel on her way in; waves are not added to it"},
    {"policy.wave_height", length, may, 0, 20, "", "0 m", "", "0.3 m",
     "planned; half of it is added to the depth that the hull needs"},
    {"policy.gust", number, may, 1, 3, "", "1.4", "", "1.3", "gust speed over mean speed"},
    {"policy.position_allowance", length, may, 0, 1000, "", "5 m", "", "2 m",
     "how far off the anchor may fall, and its position be"},
    {"policy.set_distance", length, may, 0, 500, "", "5 m", "", "2 m",
     "how far the anchor drags until it has set"},
    {"policy.max_slope", number, may, 0, 10, "", "", "no limit", "0.2",
     "rise over run above which the seabed is a no, where it is known: not in the depth areas of a chart"},
    {"policy.level_error", length, may, 0, 5, "", "0.5 m", "", "0.3 m",
     "how far the water may stand from what it is thought to when the sounder is read"},
}};

constexpr std::string_view holding_keys = "anchor.holding.", load_keys = "load.";

struct ValueTraits {
    std::string_view placeholder, unit, spellings;
};
/// In the order of the enumerators.
constexpr std::array<ValueTraits, 12> value_traits = {{
    {"TEXT", "", ""},
    {"WORD", "", ""},
    {"LENGTH", "m", "12.5 m, 41 ft, 6.8 fm; also cm, mm, km, in, nm, cable"},
    {"DIAMETER", "mm", "10 mm; always with its unit"},
    {"AREA", "m2", "15 m2, 160 ft2; also ha"},
    {"MASS", "kg", "20 kg, 45 lb; also g, t"},
    {"MASS/LENGTH", "kg/m", "2.2 kg/m, 1.5 lb/ft"},
    {"FORCE", "N", "900 N, 8 kN, 800 kgf, 1800 lbf"},
    {"SPEED", "kn", "15 kn, 8 m/s, 28 km/h"},
    {"NUMBER", "", "1.4"},
    {"ANGLE", "deg", "4 deg"},
    {"PLACE", "", "8 m, 1.5 spans, best"},
}};

const ValueTraits& traits_of(BoatValue value) { return value_traits.at(static_cast<std::size_t>(value)); }

} // namespace

std::span<const BoatKey> boat_keys() { return table; }

const BoatKey* boat_key(std::string_view key) {
    std::string_view row = key;
    if (key.starts_with(load_keys)) row = "load.WIND";
    if (key.starts_with(holding_keys)) {
        if (!seabed_named(key.substr(holding_keys.size()))) return nullptr;
        row = "anchor.holding.SEABED";
    }
    const auto* const at =
        std::find_if(table.begin(), table.end(), [row](const BoatKey& one) { return one.key == row; });
    return at == table.end() ? nullptr : at;
}

std::vector<std::string_view> boat_sections() {
    std::vector<std::string_view> sections;
    for (const BoatKey& key : table) {
        if (sections.empty() || sections.back() != key.section()) sections.push_back(key.section());
    }
    sections.emplace_back("anchor.holding");
    return sections;
}

std::string shown_key(std::string_view key) {
    const auto dot = key.find('.');
    return dot == std::string_view::npos
               ? std::string(key)
               : "[" + std::string(key.substr(0, dot)) + "] " + std::string(key.substr(dot + 1));
}

std::string_view placeholder(BoatValue value) { return traits_of(value).placeholder; }
std::string_view unit_of(BoatValue value) { return traits_of(value).unit; }
std::string_view spellings(BoatValue value) { return traits_of(value).spellings; }

} // namespace swingroom
