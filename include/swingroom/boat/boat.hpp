#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/seabed.hpp"

#include <algorithm>
#include <array>
#include <iosfwd>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// Which row of beams the table of loads is entered by; sail is the one that asks for more.
enum class HullKind { sail, power };

/// [hull]
struct Hull {
    /// Which of its two columns of beams the table of loads is entered by; the table by length is the same
    /// for both.
    HullKind kind = HullKind::sail;
    double length_m = 0; ///< over all; the swing adds the length from the roller aft
    /// The greatest depth of the hull below the waterline; the file must give it.
    double draught_m = 0;
    double air_draught_m = 0; ///< 0: not given
    double bow_roller_m = 0;  ///< height of the bow roller above water
    double beam_m = 0;        ///< 0: not given
    /// Frontal area; 0: not given, then the load is taken from the table by length and beam.
    double windage_area_m2 = 0;
    /// Of the wind on windage_area_m2, without unit; it has no bearing on the load where no area is given.
    double drag_coefficient = 1;
    double tender_length_m = 0; ///< towed astern; 0: none
    double wetted_area_m2 = 0;  ///< for the drag of a current; 0: estimated from length, beam and draught
};

/// By whose table of sizes chain is made.
enum class ChainStandard { din_766, iso_4565 };

/// [rode]: chain next to the anchor, rope above it.
struct Rode {
    /// Length of the chain aboard; 0 for a rode of rope alone.
    double chain_m = 0;
    double chain_kg_per_m = 0; ///< mass in air
    /// Length of the rope aboard, before it is stretched; 0 for a rode of chain alone.
    double rope_m = 0;
    /// Mass of the rope in air, where the file gives none that of nylon by its diameter.
    double rope_kg_per_m = 0;
    double rope_stiffness_n = 0; ///< EA: pull per unit strain; 0 only without rope
    double mark_m = 5;           ///< distance between the marks on the rode, to which rode is rounded up
    LengthUnit mark_unit = LengthUnit::metre; ///< that the distance is given in, and the rode counted in
    /// The most that EA may be, for what is the worse the less the rope stretches: the user's own number,
    /// else that of the stiffest make; 0: not known, and no stretch is counted on.
    double rope_stiffest_n = 0;
    /// In whose table the chain's mass was looked up, where that is not given.
    ChainStandard chain_standard = ChainStandard::din_766;
    /// All the rode there is, in metres: a way that needs more is not to be had.
    [[nodiscard]] double aboard_m() const { return chain_m + rope_m; }
};

/// The trade types of anchors, without makes: lightweight with pivoting flukes, plough, claw, concave
/// (scoop), fisherman (with a stock), stockless. A published law of holding is known for fluke and stockless
/// alone.
enum class AnchorType { fluke, plough, claw, scoop, fisherman, stockless };

/// [anchor]
struct Anchor {
    /// Chooses the law of holding, and counts for nothing where the user's own numbers are given for every
    /// seabed.
    AnchorType type = AnchorType::scoop;
    /// In air. The law of holding takes it, and so does what hangs from the windlass.
    double mass_kg = 0;
    /// Holding by seabed in newtons, ultimate and for a horizontal pull: the user's own number, else the
    /// published power law for its trade type where there is one, each carried to other seabeds by published
    /// soil factors and never upwards (complete_holding in gear.hpp); empty where nothing is known. `unknown`
    /// seabed takes the least of those that are known for ground that an anchor holds in.
    std::array<std::optional<double>, seabed_names.size()> holding_n{};
    bool unknown_given = false; ///< what it holds in `unknown` seabed is the user's own number
};

/// [sinker]: a point weight on the rode.
struct Sinker {
    /// In air; in water it weighs less by what it displaces.
    double mass_kg = 0;
    /// Of its material: steel 7850 unless the file says lead (11340), cast iron (7200) or concrete (2400).
    double density_kg_per_m3 = 7850;
    /// Where it hangs: metres down the rode from the roller, or a multiple of the span, or the place that
    /// needs the least rode among those that can be slid to.
    enum class At { metres, spans, best } at = At::spans;
    /// Metres or spans by `at`; it means nothing where that is `best`.
    double at_value = 1;
    double line_m = 0; ///< length of the line it is slid down on: it gets no farther; 0: not given
};

/// [sounder]: the echo sounder by which she veers where a chart gives no more than a band of depths.
struct Sounder {
    double error_m = 0.3; ///< of a reading. Common practice, no source
    /// From the transducer to the bow roller, over which the seabed may slope; 0: not given, the hull's
    /// length.
    double to_roller_m = 0;
    /// How deep the transducer is in the water: so much less than the water's depth is what the sounder
    /// shows. 0 where it is set to show the water's depth; nothing: not given.
    std::optional<double> transducer_m;
};

/// [policy]
struct Policy {
    /// The ratio of rode to span (height of the roller above the seabed) at high water that full scope has at
    /// least.
    double scope = 5;
    /// The same ratio for both ways at short scope; never more than `scope`.
    double short_scope = 3;
    double pull_angle_deg = 0; ///< greatest angle of pull at the anchor above the seabed
    /// Clearance that is kept between keel and seabed at low water, besides half of the wave height.
    double under_keel_m = 0.5;
    /// The same while she is under way, waves or not; nothing: what she requires at anchor.
    std::optional<double> under_keel_under_way_m;
    double wave_height_m = 0; ///< planned; half of it is added to the required depth
    double gust = 1.4;        ///< gust speed over mean speed
    /// How far from the intended place the anchor may be let go; every radius is longer by so much.
    double position_allowance_m = 5;
    double set_distance_m = 5;       ///< how far the anchor drags to set
    std::optional<double> max_slope; ///< rise over run; no limit when not given
    /// How far the water may stand from what it is thought to stand when a reading is taken to chart datum.
    /// Common practice, no source
    double level_error_m = 0.5;
    /// The same towards less water, where that is more: whoever counts from the lowest that the level may be
    /// takes a place for deeper than it is, by up to all that the level is known within. No key of the file:
    /// it follows from a curve of the water.
    double level_within_m = 0;
};

/// All that is known of a boat, checked: every number finite and possible, SI inside.
struct Boat {
    std::string name; ///< [hull] name, or the file's name
    /// The boat herself, by [hull].
    Hull hull;
    /// Chain and rope, by [rode].
    Rode rode;
    /// The anchor, its holding completed for every seabed of which anything is known.
    Anchor anchor;
    /// Nothing: there is no [sinker], and the way with a sinker is never to be had.
    std::optional<Sinker> sinker;
    /// By [sounder], with the defaults above for what the file leaves out.
    Sounder sounder;
    /// By [policy], with the defaults above for what the file leaves out.
    Policy policy;
    double windlass_rated_pull_n = 0; ///< 0: not given
    double recovery_depth_m = 0;      ///< [crew]; 0: not given
    /// [load], the user's own: mean wind in knots and pull in newtons with gusts and all, ascending; else
    /// empty.
    std::vector<std::pair<double, double>> load_table;
    /// Every key and value of the file, for the provenance.
    std::vector<std::pair<std::string, std::string>> as_read;

    /// draught + under-keel clearance + half the planned wave height
    [[nodiscard]] double required_depth_m() const {
        return hull.draught_m + policy.under_keel_m + policy.wave_height_m / 2;
    }
    /// What she needs of water under way: draught and the clearance then, or as much as at anchor.
    [[nodiscard]] double required_under_way_m() const {
        const std::optional<double>& clearance_m = policy.under_keel_under_way_m;
        return clearance_m ? hull.draught_m + *clearance_m : required_depth_m();
    }
    /// From the transducer to the bow roller: her length where nobody has said.
    [[nodiscard]] double to_roller_m() const {
        return sounder.to_roller_m > 0 ? sounder.to_roller_m : hull.length_m;
    }
    /// How far from the anchor the greatest reading within a boat's length may have been.
    [[nodiscard]] double sounded_over_m() const { return std::max(hull.length_m, to_roller_m()); }
    /// How much the depth may be more than a reading of the sounder, taken to chart datum, and how much less,
    /// right under the transducer.
    [[nodiscard]] double reading_error_m() const { return sounder.error_m + policy.level_error_m; }
    /// How much shoaler than the greatest reading within a boat's length it may be under the anchor.
    /// @param slope  of the seabed, rise over run
    [[nodiscard]] double shoaler_than_reading_m(double slope) const {
        return sounder.error_m + std::max(policy.level_error_m, policy.level_within_m) +
               slope * sounded_over_m();
    }
};

/// Reads a boat file (INI). Each unknown key, missing key, wrong unit or impossible value is named in one
/// line. `#` starts a comment. * marks what must be given; lengths, masses and forces may carry a unit.
///
///     [hull]     length*, draught*, bow_roller*, name, kind (sail, power), air_draught, beam,
///                tender (its length), windage_area (m2), drag_coefficient, wetted_area (m2)
///     [rode]     chain* (length), chain_diameter (with its unit: 10 mm) or chain_mass (kg/m),
///                chain_standard (din_766, iso_4565), rope (length), rope_diameter, mark,
///                rope_make (laid, braided), rope_mass (kg/m), rope_stiffness (force)
///     [anchor]   type* (fluke, plough, claw, scoop, fisherman, stockless), mass*,
///                holding.<seabed> (force)
///     [sinker]   mass*, material (steel, lead, iron, concrete), at (8 m, 1.5 spans, best), line
///     [sounder]  error, to_roller (from the transducer to the bow roller), transducer (how deep it is)
///     [windlass] rated_pull
///     [crew]     recovery_depth
///     [load]     <mean wind> = <pull>, as many as wanted: replaces windage, drag and gusts
///     [policy]   scope, short_scope, pull_angle (degrees), under_keel, under_keel_under_way,
///                wave_height, gust, position_allowance, set_distance, max_slope, level_error
/// @param source  the file's name, for messages   @throws InputError
Boat read_boat(std::istream& in, const std::string& source);
/// @throws InputError also where there is no such file, or it is none   @throws IoError reading fails
Boat read_boat_file(const std::string& path);

} // namespace swingroom
