#pragma once

#include "swingroom/boat/seabed.hpp"
#include "swingroom/room/effect.hpp"

#include <cstdint>
#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// What a rule asks of an attribute that holds a code or a list of codes, read as numbers.
struct CodeCondition {
    /// When it holds.
    enum class Wants {
        any_of,     ///< it holds at least one of the codes
        none_of,    ///< it holds none of them, or nothing at all
        absent,     ///< it holds nothing
        given,      ///< it holds something
        unreadable, ///< it holds something that is no list of whole numbers
    };
    std::string attribute;       ///< its name, letter case ignored
    Wants wants = Wants::any_of; ///< when the condition holds
    std::vector<int> codes;      ///< for any_of and none_of; empty otherwise

    /// Whether they ask the same.
    friend bool operator==(const CodeCondition&, const CodeCondition&) = default;
};

/// What a rule asks of a geometry.
enum class RuleGeometry : std::uint8_t { any, point, line, area };

/// One rule: features of the layers it names, filtered by their codes and by an attribute expression, have
/// these effects within this margin. All rules that match a feature apply.
struct HazardRule {
    std::string name;                ///< the INI section: "cable"
    std::vector<std::string> layers; ///< name patterns with * and ?, letter case ignored
    std::vector<CodeCondition>
        codes; ///< all must hold; an attribute that the layer lacks counts as not given
    RuleGeometry geometry = RuleGeometry::any; ///< features of that kind alone
    /// Words of which one must stand in what the feature says of itself (INFORM, NINFOM, TXTDSC, NTXTDS),
    /// with
    /// * and ?, letter case ignored; empty: whatever it says.
    std::vector<std::string> words;
    std::string where; ///< OGR SQL attribute expression; empty: all features
    /// Attributes of `where` that count as not given in a layer that has none of that name.
    std::vector<std::string> may_lack;
    Effects effects = 0; ///< bits of `effect`
    double margin_m = 0; ///< how far around the feature, on the ground
    /// How near the hull may come under way, on the ground; negative infinity: she may pass through. None: as
    /// near as the margin.
    std::optional<double> under_way_m;
    /// The margin that its author gave it, where this run has replaced it (see replace_margin()); none: it
    /// has not.
    std::optional<double> replaced_margin_m;
    std::string radius; ///< attribute with a radius in metres that is added to the margin; empty: none
    /// Attributes with the least depth over the feature in metres below chart datum, or with its least height
    /// above the level that clearances are given over: the first that is given counts. Where the hull clears
    /// it, the effect on the hull falls away.
    std::vector<std::string> least_depth, clearance;
    /// Whether it tells what is not allowed, not what lies there: on a feature that the skipper has allowed
    /// it only advises, see HazardTerms::allowed.
    bool restriction = false;
    std::optional<Seabed> seabed; ///< what the feature says of the seabed that it covers; none: nothing
    std::string source;           ///< where the margin comes from, as the rule's author says
    int line = 0;                 ///< in the rules file, for messages
    bool built_in = false; ///< not somebody's own, of whom a rule that matches nothing may be a mistake

    /// Whether it picks features out of every layer that has the attributes: that makes no layer known.
    [[nodiscard]] bool of_every_layer() const {
        return layers.size() == 1 && layers.front() == "*" &&
               !(codes.empty() && where.empty() && words.empty());
    }
    /// Whether it only says that a layer is known to be no hazard.
    [[nodiscard]] bool inert() const { return effects == 0 && !seabed; }

    /// Whether they are the same in every word.
    friend bool operator==(const HazardRule&, const HazardRule&) = default;
};

/// Reads a rules file (INI, one section per rule; keys: layers, codes, geometry, words, where, may_lack,
/// effects, margin, under_way, radius, least_depth, clearance, restriction, seabed, source). Effects "none"
/// without a seabed say that a layer is known to be no hazard.
/// @throws InputError with file and line, or when there is no such file
/// @throws IoError when reading fails
/// @param source  what messages call the text
std::vector<HazardRule> read_hazard_rules(std::istream& in, const std::string& source);
/// The same from a file, by its path.
std::vector<HazardRule> read_hazard_rules_file(const std::string& path);
/// Gives a rule another margin for one run, and says so in its source. Radii and position accuracies, which
/// widen the danger of a feature, are added to it as to the rule's own: no danger gets narrower than where
/// its feature may lie.
/// @param margin_m  0 or more
/// @pre the rule is not inert, and its margin has not been replaced before
void replace_margin(HazardRule& rule, double margin_m);

/// The built-in rules as INI text, to copy and edit.
std::string_view default_hazard_rules_text();
/// The built-in rules as they are read.
std::vector<HazardRule> default_hazard_rules();

} // namespace swingroom
