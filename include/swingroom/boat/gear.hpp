#pragma once

#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/statics.hpp"

#include <array>
#include <optional>
#include <vector>

namespace swingroom {

inline constexpr double gravity_m_per_s2 = 9.80665; ///< standard gravity, 3rd CGPM, 1901
inline constexpr double sea_water_kg_per_m3 = 1025; ///< Coastal Engineering Manual, symbols of part II-3
inline constexpr double steel_kg_per_m3 = 7850;     ///< as in structural steel handbooks
inline constexpr double nylon_kg_per_m3 = 1140;     ///< polyamide 6, fibre property tables

/// Weight in sea water, in newtons, of a mass in air; for kg/m in, N/m out.
double in_water_n(double mass_kg, double density_kg_per_m3);

/// Mass of short-link chain in kg/m by its nominal diameter, from makers' tables of DIN 766 and ISO 4565;
/// nothing for a size that the standard does not have.
std::optional<double> chain_kg_per_m(double diameter_mm, ChainStandard standard = ChainStandard::din_766);

/// Mass of nylon rope, 0.62 d^2 g/m (d in mm): within 1.3 % of ISO 1140:2012's table as remembered.
double nylon_kg_per_m(double diameter_mm);

/// Laid rope, of three strands, or braided; it only matters to how far the rope stretches.
enum class RopeMake { laid, braided };
/// EA of nylon rope by diameter. Braided: 3.54 times the breaking load (UFC 4-159-03, 3 October 2005, table
/// 6-8, double braided nylon), with the breaking load scaled by section from 32 kN at 14 mm. Laid rope
/// stretches about twice as much (from memory of makers' sheets).
double nylon_stiffness_n(double diameter_mm, RopeMake make);

/// Static ultimate holding of an anchor in newtons by the US Navy's power law, H_R (m / 4536 kg)^b
/// (UFC 4-159-03, section 5-2, equation 26). The constants H_R and b are from memory of its tables 5-3 and
/// 5-4; the law was found with anchors far heavier than a yacht's, so this is an extrapolation. Known for
/// fluke and stockless anchors in clay and sand ("hard") and mud ("soft"); nothing for the rest.
std::optional<double> published_holding_n(AnchorType type, double mass_kg, Seabed seabed);

/// Holding of a seabed against firm sand's (Crenshaw, Naval Shiphandling, as quoted; weed is ranked with the
/// other poor holding grounds); nothing for an unknown one.
std::optional<double> soil_factor(Seabed seabed);

/// Completes what the user gave. A number of the user's own stands. Elsewhere the power law, but never more
/// than the user's numbers for better ground scaled down by the soil factors, nor, where there are only
/// numbers for worse ground, than the best of those. Rock and coral hold nothing unless the user says
/// otherwise. Unknown seabed takes the least that is known of ground an anchor holds in.
std::array<std::optional<double>, seabed_names.size()>
complete_holding(AnchorType type, double mass_kg,
                 const std::array<std::optional<double>, seabed_names.size()>& own_n);

/// A sinker where it hangs.
struct HungSinker {
    double weight_n = 0;   ///< in water
    double from_bow_m = 0; ///< down the rode; at most the rode veered
};
/// Where a sinker hangs on a rode of this length at this span; for `best` as far down as it can be slid,
/// which is the place that needs the least rode.
double sinker_place_m(const Sinker& sinker, double rode_m, double span_m);

/// How far the rope is taken to stretch. Of an estimate the greatest that is likely (as_aboard) is on the
/// safe side where the reach is asked, the least where the angle is, since a rope that stretches pulls
/// flatter.
enum class Stretch { none, least, as_aboard };
/// The rode of a boat when so much of it is veered: chain next to the anchor, rope above. More than is aboard
/// is made up with more chain (rope where there is no chain), to say how much would be needed.
std::vector<RodePart> rode_parts(const Rode& rode, double veered_m, std::optional<HungSinker> sinker,
                                 Stretch stretch);

} // namespace swingroom
