#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/chart/hazards.hpp"

#include "input_path.hpp"

#include <boost/program_options/parsers.hpp>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <istream>
#include <sstream>

namespace swingroom {
namespace {

namespace po = boost::program_options;

constexpr std::string_view blanks = " \t\r\n";

std::string_view trimmed(std::string_view text) {
    const auto begin = text.find_first_not_of(blanks);
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

/// The parts of a text between any of the separators, trimmed, empty ones left out.
std::vector<std::string> parts_of(std::string_view text, std::string_view separators) {
    std::vector<std::string> parts;
    while (!text.empty()) {
        const auto end = std::min(text.find_first_of(separators), text.size());
        if (const auto part = trimmed(text.substr(0, end)); !part.empty()) parts.emplace_back(part);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return parts;
}

struct EffectName {
    std::string_view name;
    std::uint8_t bits;
};
constexpr std::array effect_names = {EffectName{"hull", effect::hull}, EffectName{"ground", effect::ground},
                                     EffectName{"drop", effect::drop},
                                     EffectName{"trip_line", effect::trip_line}, EffectName{"none", 0}};

/// Reads rules line by line, so that each message can say which line it means: Boost.Program_options takes
/// each line apart, but keeps no count of them.
class RuleReader {
public:
    RuleReader(std::istream& in, std::string source) : in_(in), source_(std::move(source)) {}

    std::vector<HazardRule> read() {
        std::string line;
        while (std::getline(in_, line)) {
            ++line_;
            if (line_ == 1 && line.starts_with("\xEF\xBB\xBF")) line.erase(0, 3); // a byte order mark
            take(line);
        }
        if (in_.bad()) throw IoError(source_, "cannot be read to its end");
        finish_rule();
        if (rules_.empty())
            throw InputError(source_, "holds no rule", "give at least one, as `swingroom rules` shows");
        return std::move(rules_);
    }

private:
    [[noreturn]] void fail(int line, const std::string& wrong, const std::string& cure) const {
        throw InputError(source_ + ":" + std::to_string(line), wrong, cure);
    }

    void take(const std::string& line) {
        const auto text = trimmed(line);
        if (text.starts_with('[')) {
            const auto end = text.find(']');
            const auto rest = end == std::string_view::npos ? text : trimmed(text.substr(end + 1));
            if (end == std::string_view::npos || !(rest.empty() || rest.starts_with('#')))
                fail(line_, "a section name must stand between [ and ]", "write it as [cable]");
            start_rule(std::string(trimmed(text.substr(1, end - 1))));
            return;
        }
        for (const auto& option : parsed(line))
            set(option.string_key, std::string(trimmed(option.value.front())), line);
    }

    [[nodiscard]] std::vector<po::option> parsed(const std::string& line) const {
        std::istringstream one(line);
        try {
            return po::parse_config_file(one, po::options_description(), true).options;
        } catch (const po::error&) {
            fail(line_, "this line is no \"key = value\"",
                 "write one, or begin the line with # to make it a comment");
        }
    }

    void start_rule(std::string name) {
        finish_rule();
        if (name.empty()) fail(line_, "a rule has no name", "name it, as in [cable]");
        for (const HazardRule& rule : rules_)
            if (rule.name == name)
                fail(line_,
                     "the rule [" + name + "] is given twice, first on line " + std::to_string(rule.line),
                     "give each rule a name of its own");
        rule_ = HazardRule{};
        rule_->name = std::move(name);
        rule_->line = line_;
        seen_.clear();
    }

    void finish_rule() {
        if (!rule_) return;
        const std::string of = "the rule [" + rule_->name + "] ";
        const auto given = [&](const char* key) {
            return std::find(seen_.begin(), seen_.end(), key) != seen_.end();
        };
        if (!given("layers")) fail(rule_->line, of + "names no layers", "add layers = NAME");
        const bool ground_only = !given("effects") && rule_->seabed;
        if (!given("effects") && !ground_only)
            fail(rule_->line, of + "has no effects", "add effects = hull, ground, drop, trip_line or none");
        const bool inert = rule_->effects == 0 && !rule_->seabed;
        if (!given("margin") && !inert) fail(rule_->line, of + "has no margin", "add margin = 0 m, or more");
        rules_.push_back(std::move(*rule_));
        rule_.reset();
    }

    void set(const std::string& key, const std::string& value, const std::string& line) {
        if (!rule_)
            fail(line_, "\"" + key + "\" stands before any rule",
                 "begin a rule with its name, as in [cable]");
        if (std::find(seen_.begin(), seen_.end(), key) != seen_.end())
            fail(line_, "\"" + key + "\" is given twice in [" + rule_->name + "]", "keep one of them");
        if (value.empty() && key != "where")
            fail(line_, "\"" + key + "\" has no value", "give one, or remove the line");
        seen_.push_back(key);
        if (key == "layers") {
            rule_->layers = parts_of(value, ",");
            if (rule_->layers.empty())
                fail(line_, "\"layers\" names none", "give names, with commas between them");
        } else if (key == "where") {
            set_where(value, line);
        } else if (key == "may_lack") {
            rule_->may_lack = parts_of(value, ",");
        } else if (key == "effects") {
            set_effects(value);
        } else if (key == "margin") {
            rule_->margin_m =
                parse_length(value, source_ + ":" + std::to_string(line_) + ": margin").metres();
            if (!(rule_->margin_m >= 0)) fail(line_, "margin is " + value, "give 0 m or more");
        } else if (key == "seabed") {
            set_seabed(value);
        } else if (key == "source") {
            rule_->source = value;
        } else {
            fail(line_, "unknown key \"" + key + "\"",
                 "use layers, where, may_lack, effects, margin, seabed or source");
        }
    }

    void set_where(const std::string& value, const std::string& line) {
        // A # inside quotes would cut the expression short without a word, and perhaps still leave a valid
        // one.
        const auto hash = line.find('#');
        const auto quotes = std::count(
            line.begin(), line.begin() + static_cast<std::ptrdiff_t>(std::min(hash, line.size())), '\'');
        if (hash != std::string::npos && quotes % 2 != 0)
            fail(line_, "# begins a comment, inside quotes too", "compare with LIKE and _ in the place of #");
        rule_->where = value;
    }

    void set_effects(const std::string& value) {
        const auto names = parts_of(value, ", \t");
        for (const std::string& name : names) {
            const auto* const found = std::find_if(effect_names.begin(), effect_names.end(),
                                                   [&](const EffectName& e) { return e.name == name; });
            if (found == effect_names.end())
                fail(line_, "unknown effect \"" + name + "\"", "use hull, ground, drop, trip_line or none");
            if (found->bits == 0 && names.size() > 1)
                fail(line_, "\"none\" stands beside other effects", "keep one or the other");
            rule_->effects = static_cast<std::uint8_t>(rule_->effects | found->bits);
        }
    }

    void set_seabed(const std::string& value) {
        rule_->seabed = seabed_named(value);
        if (rule_->seabed) return;
        std::string known;
        for (const auto* name : seabed_names)
            known += (known.empty() ? "" : ", ") + std::string(name);
        fail(line_, "unknown seabed \"" + value + "\"", "use one of " + known);
    }

    std::istream& in_;
    std::string source_;
    int line_ = 0;
    std::optional<HazardRule> rule_;
    std::vector<std::string> seen_; // keys of the rule at hand
    std::vector<HazardRule> rules_;
};

/// Built-in rules. Acronyms are those of S-57 object classes, with the suffix that survey files give to
/// points, lines and areas; classes and codes after IHO S-57 edition 3.1, appendix A.
constexpr std::string_view default_rules = R"(# Hazard rules: which features endanger what, and how near.
#
# [name]     a rule; every rule that matches a feature applies
# layers     layer names with * and ?, commas between them, letter case ignored
# where      an attribute expression in OGR SQL; without it all features of the layer. An attribute without a
#            value (NULL) is neither = nor <> to anything: "STATUS IS NULL OR STATUS <> 'removed'"
# may_lack   attributes of it that a layer may be without: they count as not given (NULL) there
# effects    hull: the hull must not meet it       ground: anchor and chain must not meet it
#            drop: letting go is not allowed       trip_line: a trip line is wise
#            none: the layer is known to be no hazard
# margin     the danger is everything within this distance: m, ft, fm, cable, nm
# seabed     what the ground is there: clay, sand, mud, gravel, shells, weed, rock, coral
# source     where the margin comes from
#
# These rules look at no depth: what a chart says to lie deep enough is a danger to the hull all the same.
# Local rules come first. NEWOBJ, a class for what the standard has no class for, has no rule on purpose.

[cable]
layers = cable*, power_cable*, submarine_cable*, telecom*, CBLSUB*
effects = ground
margin = 0.25 nm
source = IHO resolution 4/1967 as amended, M-3 C3.10 (2024): at least 0.25 nm either side

[cable area]
layers = CBLARE*
effects = ground drop
margin = 0 m
source = the authority that drew the area

[pipeline]
layers = pipeline*, submarine_pipeline*, PIPSOL*
effects = ground
margin = 200 m
source = Denmark, order 939 of 27 November 1992: protection zone of 200 m each side

[pipeline area]
layers = PIPARE*
effects = ground drop
margin = 0 m
source = the authority that drew the area

[tunnel]
layers = tunnel*
effects = ground drop
margin = 0 m
source = United States, 33 CFR 110.224: no anchoring in a tunnel area on a Government chart

[wreck]
layers = wreck*
effects = hull ground
margin = 50 m
source = common practice, no source

[near a wreck]
layers = wreck*
effects = trip_line
margin = 200 m
source = common practice, no source

[rock]
layers = rock*, reef*, UWTROC*
effects = hull ground
margin = 20 m
source = common practice, no source

[obstruction]
layers = obstruction*, OBSTRN*
effects = hull ground
margin = 50 m
source = common practice, no source

[foul ground]
layers = foul*
effects = ground
margin = 50 m
source = common practice, no source

[near foul ground]
layers = foul*, obstruction*, OBSTRN*
effects = trip_line
margin = 200 m
source = common practice, no source

[mooring]
layers = mooring*, MORFAC*
effects = hull ground
margin = 30 m
source = common practice, no source

[near a mooring]
layers = mooring*, MORFAC*
effects = trip_line
margin = 100 m
source = common practice, no source

[buoy or beacon]
layers = buoy*, beacon*, light_float*, light_vessel*, BOY*, BCN*, LITFLT*, LITVES*
effects = hull ground
margin = 20 m
source = common practice, no source

[floating structure]
layers = pontoon*, hulk*, floating_dock*, oil_barrier*, PONTON*, HULKES*, FLODOC*, OILBAR*, LOGPON*
effects = hull ground
margin = 20 m
source = common practice, no source

[platform]
layers = platform*, OFSPLF*
effects = hull ground
margin = 500 m
source = UNCLOS article 60(5): safety zones of not more than 500 m

[production area]
layers = production_area*, OSPARE*
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[farm or fishing gear]
layers = fish_farm*, marine_farm*, aquaculture*, fishing_facilit*, FSHFAC*, MARCUL*
effects = hull ground
margin = 50 m
source = common practice, no source

[pile or pylon]
layers = pile, piles, pile_*, pylon*, PILPNT*, PYLONS*
effects = hull ground
margin = 20 m
source = common practice, no source

[structure]
layers = pier*, jetty*, quay*, breakwater*, shoreline_construction*, SLCONS*, GRIDRN*, GATCON*, DAMCON*, DYKCON*, CAUSWY*, DRYDOC*, FORSTC*, CRANES*
effects = hull ground
margin = 10 m
source = common practice, no source

[land]
layers = land, lands, land_*, coastline*, LNDARE*, COALNE*, LAKSHR*, RIVBNK*, CANBNK*, rapids*, waterfall*, WATFAL*
effects = hull ground drop
margin = 0 m
source = the line of the chart itself

[ice]
layers = ICEARE*
effects = hull ground drop
margin = 0 m
source = the line of the chart itself

[unsurveyed]
layers = unsurveyed*, UNSARE*
effects = hull ground drop
margin = 0 m
source = nothing is known there, whatever a raster holds

[bridge]
layers = bridge*
effects = hull ground
margin = 20 m
source = common practice, no source; clearances are not compared with the mast

[under a line]
layers = overhead*, CBLOHD*, PIPOHD*, CONVYR*
effects = hull
margin = 20 m
source = common practice, no source; clearances are not compared with the mast

[fairway or lane]
layers = fairway*, traffic_*, separation_*, deep_water_route*, two-way_route*, seaplane*, FAIRWY*, TSSLPT*, TSEZNE*, TSSRON*, TSSCRS*, DWRTPT*, TWRTPT*, RCTLPT*, ARCSLN*, SPLARE*
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[track or ferry route]
layers = ferry*, navigation_line*, recommended_track*, FERYRT*, NAVLNE*, RECTRC*, RCRTCL*, DWRTCL*, TSELNE*, ASLXIS*
effects = hull ground drop
margin = 50 m
source = common practice, no source

[canal or berth]
layers = CANALS*, LOKBSN*, DOCARE*, BERTHS*, CTSARE*
effects = drop
margin = 0 m
source = where ships pass or lie; common practice, no source

[dredged area]
layers = dredged_area*, DRGARE*
effects = drop
margin = 0 m
source = a channel or basin kept for ships; common practice, no source

[no anchoring]
layers = no_anchor*, anchoring_prohibited*, anchoring prohibited*, prohibited*
effects = ground drop
margin = 0 m
source = the authority that drew the area

[anchoring prohibited by RESTRN 1]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,1,%'
may_lack = RESTRN
effects = ground drop
margin = 0 m
source = the authority that drew the area

[entry prohibited by RESTRN 7]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,7,%'
may_lack = RESTRN
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[to be avoided by RESTRN 14]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,14,%'
may_lack = RESTRN
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[stopping prohibited by RESTRN 25]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,25,%'
may_lack = RESTRN
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[anchoring restricted by RESTRN 2]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,2,%'
may_lack = RESTRN
effects = drop
margin = 0 m
source = the authority that drew the area; its conditions are not known here

[entry restricted by RESTRN 8]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,8,%'
may_lack = RESTRN
effects = drop
margin = 0 m
source = the authority that drew the area; its conditions are not known here

[dragging prohibited by RESTRN 24]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = CONCAT(',', CAST(RESTRN AS CHARACTER), ',') LIKE '%,24,%'
may_lack = RESTRN
effects = drop
margin = 0 m
source = the authority that drew the area; it speaks of gear on the seabed

[restriction that cannot be read]
layers = RESARE*, ACHARE*, CBLARE*, DMPGRD*, DRGARE*, ICNARE*, ISTZNE*, MIPARE*, PIPARE*, PRCARE*, SUBTLN*, TESARE*
where = RESTRN IS NOT NULL AND CAST(RESTRN AS CHARACTER) <> '' AND (SUBSTR(CAST(RESTRN AS CHARACTER), 1, 1) NOT IN ('1', '2', '3', '4', '5', '6', '7', '8', '9') OR CAST(RESTRN AS CHARACTER) LIKE '% %')
may_lack = RESTRN
effects = hull ground drop
margin = 0 m
source = a list of codes that is not written as 1,7 counts as the worst

# CATREA 1 offshore safety zone, 2 anchoring prohibited (older cells), 8 degaussing range, 10 historic wreck,
# 17 prohibited (older cells), 21 dredging, 25 swinging area; 9 military, 14 minefield, 18 swimming. The other
# categories (reserves, sanctuaries, research, no wake) are for the eye, unless RESTRN says more.
[restricted area]
layers = RESARE*
where = CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,1,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,2,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,8,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,10,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,17,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,21,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,25,%'
may_lack = CATREA
effects = ground drop
margin = 0 m
source = the authority that drew the area

[restricted area not to be entered]
layers = RESARE*
where = CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,9,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,14,%' OR CONCAT(',', CAST(CATREA AS CHARACTER), ',') LIKE '%,18,%'
may_lack = CATREA
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[restricted area of unknown kind]
layers = RESARE*
where = (RESTRN IS NULL OR CAST(RESTRN AS CHARACTER) = '') AND (CATREA IS NULL OR CAST(CATREA AS CHARACTER) = '')
may_lack = RESTRN, CATREA
effects = ground drop
margin = 0 m
source = neither RESTRN nor CATREA says what is forbidden

[restricted area that cannot be read]
layers = RESARE*
where = CATREA IS NOT NULL AND CAST(CATREA AS CHARACTER) <> '' AND (SUBSTR(CAST(CATREA AS CHARACTER), 1, 1) NOT IN ('1', '2', '3', '4', '5', '6', '7', '8', '9') OR CAST(CATREA AS CHARACTER) LIKE '% %')
may_lack = CATREA
effects = hull ground drop
margin = 0 m
source = a list of codes that is not written as 1,7 counts as the worst

[mine-laying practice area]
layers = MIPARE*
where = CONCAT(',', CAST(CATMPA AS CHARACTER), ',') LIKE '%,5,%'
may_lack = CATMPA
effects = ground drop
margin = 0 m
source = the authority that drew the area

[dumping ground]
layers = dumping*, explosive*, DMPGRD*
effects = ground
margin = 0 m
source = the authority that drew the area

[seagrass]
layers = seagrass*, sea_grass*, eelgrass*, posidonia*
effects = ground
margin = 0 m
seabed = weed
source = Balearic Islands, Decree 25/2018, article 7: no anchoring on Posidonia

[sea grass of a chart]
layers = WEDKLP*
where = CONCAT(',', CAST(CATWED AS CHARACTER), ',') LIKE '%,3,%'
may_lack = CATWED
effects = ground
margin = 0 m
seabed = weed
source = CATWED 3; as seagrass

[weed]
layers = weed*, kelp*, WEDKLP*
margin = 0 m
seabed = weed
source = the survey

# What the ground is, by NATSUR: every rule that fits applies, and where several do the worst holds, so that a
# list such as 4,9 (sand over rock) is rock. Without NATSUR the ground stays what it is elsewhere.
[clay seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,2,%'
may_lack = NATSUR
margin = 0 m
seabed = clay
source = the survey: NATSUR 2 clay

[sandy seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,4,%'
may_lack = NATSUR
margin = 0 m
seabed = sand
source = the survey: NATSUR 4 sand

[muddy seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,1,%' OR CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,3,%'
may_lack = NATSUR
margin = 0 m
seabed = mud
source = the survey: NATSUR 1 mud, 3 silt

[gravel seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,6,%' OR CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,7,%'
may_lack = NATSUR
margin = 0 m
seabed = gravel
source = the survey: NATSUR 6 gravel, 7 pebbles

[coarse sand seabed]
layers = SBDARE*
where = (CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,4,%') AND (CONCAT(',', CAST(NATQUA AS CHARACTER), ',') LIKE '%,3,%')
may_lack = NATSUR, NATQUA
margin = 0 m
seabed = gravel
source = the survey: NATSUR 4 sand with NATQUA 3 coarse, which holds as gravel does

[shell seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,17,%'
may_lack = NATSUR
margin = 0 m
seabed = shells
source = the survey: NATSUR 17 shells

[rocky seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,5,%' OR CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,8,%' OR CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,9,%' OR CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,11,%' OR CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,18,%'
may_lack = NATSUR
margin = 0 m
seabed = rock
source = the survey: NATSUR 5 stone, 8 cobbles, 9 rock, 11 lava, 18 boulder

[seabed that cannot be read]
layers = SBDARE*
where = NATSUR IS NOT NULL AND CAST(NATSUR AS CHARACTER) <> '' AND (SUBSTR(CAST(NATSUR AS CHARACTER), 1, 1) NOT IN ('1', '2', '3', '4', '5', '6', '7', '8', '9') OR CAST(NATSUR AS CHARACTER) LIKE '% %')
may_lack = NATSUR
margin = 0 m
seabed = rock
source = a list of codes that is not written as 1,4 counts as ground that holds nothing

[coral seabed]
layers = SBDARE*
where = CONCAT(',', CAST(NATSUR AS CHARACTER), ',') LIKE '%,14,%'
may_lack = NATSUR
effects = ground
margin = 0 m
seabed = coral
source = the survey: NATSUR 14 coral, which chain and anchor destroy

[coral]
layers = coral*
effects = ground
margin = 0 m
seabed = coral
source = chain and anchor destroy it

# What follows is no hazard, for the reason given.
# Depths come from the raster, with its uncertainty; charted ones would judge it a second time and more coarsely.
[no hazard: depth]
layers = DEPARE, DEPARE_?, DEPCNT, DEPCNT_?, SOUNDG, SOUNDG_?, SWPARE, SWPARE_?, TIDEWY, TIDEWY_?
effects = none

# Equipment and services: what carries them in the water is an object of its own (beacon, buoy, pile, land).
[no hazard: lights and signals]
layers = LIGHTS, LIGHTS_?, FOGSIG, FOGSIG_?, DAYMAR, DAYMAR_?, TOPMAR, TOPMAR_?, RETRFL, RETRFL_?, RADRFL, RADRFL_?, RTPBCN, RTPBCN_?, DISMAR, DISMAR_?, SISTAT, SISTAT_?, SISTAW, SISTAW_?, RADSTA, RADSTA_?, RDOSTA, RDOSTA_?, CGUSTA, CGUSTA_?, RSCSTA, RSCSTA_?, PILBOP, PILBOP_?, RDOCAL, RDOCAL_?, CHKPNT, CHKPNT_?, RADLNE, RADLNE_?, RADRNG, RADRNG_?
effects = none

# Things on land, and names of inland waters: the coast is what the hull must not cross.
[no hazard: on land]
layers = LNDMRK, LNDMRK_?, LNDELV, LNDELV_?, LNDRGN, LNDRGN_?, BUAARE, BUAARE_?, BUISGL, BUISGL_?, AIRARE, AIRARE_?, RUNWAY, RUNWAY_?, RAILWY, RAILWY_?, ROADWY, ROADWY_?, SQUARE, SQUARE_?, FNCLNE, FNCLNE_?, SILTNK, SILTNK_?, PRDARE, PRDARE_?, SLOTOP, SLOTOP_?, SLOGRD, SLOGRD_?, VEGATN, VEGATN_?, LAKARE, LAKARE_?, RIVERS, RIVERS_?, CTRPNT, CTRPNT_?, HRBFAC, HRBFAC_?, SMCFAC, SMCFAC_?
effects = none

# Borders and names. Territorial seas are judged by RESTRN above.
[no hazard: administration]
layers = ADMARE, ADMARE_?, CONZNE, CONZNE_?, COSARE, COSARE_?, CUSZNE, CUSZNE_?, EXEZNE, EXEZNE_?, FSHZNE, FSHZNE_?, FRPARE, FRPARE_?, HRBARE, HRBARE_?, SEAARE, SEAARE_?, STSLNE, STSLNE_?
effects = none

# What the chart says of itself. An area without data (M_COVR 2) of one cell is as a rule the next cell.
[no hazard: about the chart]
layers = M_ACCY, M_ACCY_?, M_CSCL, M_CSCL_?, M_COVR, M_COVR_?, M_HDAT, M_HDAT_?, M_HOPA, M_HOPA_?, M_NPUB, M_NPUB_?, M_NSYS, M_NSYS_?, M_PROD, M_PROD_?, M_QUAL, M_QUAL_?, M_SDAT, M_SDAT_?, M_SREL, M_SREL_?, M_UNIT, M_UNIT_?, M_VDAT, M_VDAT_?, C_AGGR, C_AGGR_?, C_ASSO, C_ASSO_?, C_STAC, C_STAC_?
effects = none

# Currents, tides and magnetism: the levels and the wind of the job stand for them.
[no hazard: water and compass]
layers = CURENT, CURENT_?, TS_PRH, TS_PRH_?, TS_PNH, TS_PNH_?, TS_PAD, TS_PAD_?, TS_TIS, TS_TIS_?, TS_FEB, TS_FEB_?, T_HMON, T_HMON_?, T_NHMN, T_NHMN_?, T_TIMS, T_TIMS_?, LOCMAG, LOCMAG_?, MAGVAR, MAGVAR_?
effects = none

# Warnings and advice that forbid nothing by themselves (what RESTRN and CATMPA forbid is judged above): ship
# anchorages, caution, practice and fishing areas, the bounds of lanes, sand waves, springs, turbulence.
[no hazard: read the chart]
layers = anchorage, anchorages, ACHARE, ACHARE_?, ACHBRT, ACHBRT_?, CTNARE, CTNARE_?, FSHGRD, FSHGRD_?, ICNARE, ICNARE_?, ISTZNE, ISTZNE_?, MIPARE, MIPARE_?, PRCARE, PRCARE_?, SUBTLN, SUBTLN_?, TESARE, TESARE_?, TSSBND, TSSBND_?, SNDWAV, SNDWAV_?, SPRING, SPRING_?, WATTUR, WATTUR_?
effects = none
)";

} // namespace

std::vector<HazardRule> read_hazard_rules(std::istream& in, const std::string& source) {
    return RuleReader(in, source).read();
}

std::vector<HazardRule> read_hazard_rules_file(const std::string& path) {
    require_file(path);
    errno = 0;
    std::ifstream in(path);
    if (!in) throw IoError(path, std::string("cannot be opened: ") + std::strerror(errno));
    return read_hazard_rules(in, path);
}

std::string_view default_hazard_rules_text() { return default_rules; }

std::vector<HazardRule> default_hazard_rules() {
    std::istringstream in{std::string(default_rules)};
    std::vector<HazardRule> rules = read_hazard_rules(in, "built-in rules");
    for (HazardRule& rule : rules)
        rule.built_in = true;
    return rules;
}

} // namespace swingroom
