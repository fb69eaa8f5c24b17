#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/chart/hazards.hpp"

#include <boost/program_options/parsers.hpp>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
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
                 "use layers, where, effects, margin, seabed or source");
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
# where      an attribute expression in OGR SQL; without it all features of the layer
# effects    hull: the hull must not meet it       ground: anchor and chain must not meet it
#            drop: letting go is not allowed       trip_line: a trip line is wise
#            none: the layer is known to be no hazard
# margin     the danger is everything within this distance: m, ft, fm, cable, nm
# seabed     what the ground is there: clay, sand, mud, gravel, shells, weed, rock, coral
# source     where the margin comes from
#
# These rules look at no depth: what a chart says to lie deep enough is a danger to the hull all the same.
# Categories of restricted areas other than RESTRN are not judged. Local rules come first.

[cable]
layers = cable*, power_cable*, submarine_cable*, telecom*, CBLSUB, CBLSUB_?
effects = ground
margin = 0.25 nm
source = IHO resolution 4/1967 as amended, M-3 C3.10 (2024): at least 0.25 nm either side

[cable area]
layers = CBLARE, CBLARE_?
effects = ground drop
margin = 0 m
source = the authority that drew the area

[pipeline]
layers = pipeline*, submarine_pipeline*, PIPSOL, PIPSOL_?
effects = ground
margin = 200 m
source = Denmark, order 939 of 27 November 1992: protection zone of 200 m each side

[pipeline area]
layers = PIPARE, PIPARE_?
effects = ground drop
margin = 0 m
source = the authority that drew the area

[tunnel]
layers = tunnel*
effects = ground
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
layers = rock*, reef*, UWTROC, UWTROC_?
effects = hull ground
margin = 20 m
source = common practice, no source

[obstruction]
layers = obstruction*, OBSTRN, OBSTRN_?
effects = hull ground
margin = 50 m
source = common practice, no source

[foul ground]
layers = foul*
effects = ground
margin = 50 m
source = common practice, no source

[near foul ground]
layers = foul*, obstruction*, OBSTRN, OBSTRN_?
effects = trip_line
margin = 200 m
source = common practice, no source

[mooring]
layers = mooring*, MORFAC, MORFAC_?
effects = hull ground
margin = 30 m
source = common practice, no source

[near a mooring]
layers = mooring*, MORFAC, MORFAC_?
effects = trip_line
margin = 100 m
source = common practice, no source

[buoy]
layers = buoy*, BOY???, BOY???_?, LITFLT, LITFLT_?
effects = hull ground
margin = 20 m
source = common practice, no source

[floating structure]
layers = pontoon*, hulk*, PONTON, PONTON_?, HULKES, HULKES_?, FLODOC, FLODOC_?, OILBAR, OILBAR_?
effects = hull ground
margin = 20 m
source = common practice, no source

[platform]
layers = platform*, OFSPLF, OFSPLF_?
effects = hull ground
margin = 500 m
source = UNCLOS article 60(5): safety zones of not more than 500 m

[farm or fishing gear]
layers = fish_farm*, marine_farm*, aquaculture*, FSHFAC, FSHFAC_?, MARCUL, MARCUL_?
effects = hull ground
margin = 50 m
source = common practice, no source

[structure]
layers = pier*, jetty*, pile*, quay*, breakwater*, SLCONS, SLCONS_?, PILPNT, PILPNT_?, GRIDRN, GRIDRN_?
effects = hull ground
margin = 10 m
source = common practice, no source

[land]
layers = land, lands, land_*, coastline*, LNDARE, LNDARE_?, COALNE, COALNE_?, RAPIDS, RAPIDS_?
effects = hull ground drop
margin = 0 m
source = the line of the chart itself

[under a bridge or a line]
layers = bridge*, overhead*, CBLOHD, CBLOHD_?, PIPOHD, PIPOHD_?
effects = hull
margin = 20 m
source = common practice, no source; clearances are not compared with the mast

[fairway or lane]
layers = fairway*, traffic_*, FAIRWY, FAIRWY_?, TSSLPT, TSSLPT_?, TSEZNE, TSEZNE_?, TSSRON, TSSRON_?, TSSCRS, TSSCRS_?, DWRTPT, DWRTPT_?, TWRTPT, TWRTPT_?, SPLARE, SPLARE_?
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[track or ferry route]
layers = ferry*, FERYRT, FERYRT_?, NAVLNE, NAVLNE_?, RECTRC, RECTRC_?
effects = drop
margin = 50 m
source = common practice, no source

[no anchoring]
layers = no_anchor*, anchoring_prohibited*, anchoring prohibited*, prohibited*
effects = ground drop
margin = 0 m
source = the authority that drew the area

[anchoring prohibited by RESTRN 1]
layers = RESARE*, ACHARE*, DRGARE*, PRCARE*, ISTZNE*, DMPGRD*, OSPARE*, SUBTLN*, MIPARE*, ICNARE*, TESARE*
where = RESTRN = '1' OR RESTRN LIKE '1,%' OR RESTRN LIKE '%,1' OR RESTRN LIKE '%,1,%' OR RESTRN LIKE '%, 1' OR RESTRN LIKE '%, 1,%'
effects = ground drop
margin = 0 m
source = the authority that drew the area

[entry prohibited by RESTRN 7]
layers = RESARE*, ACHARE*, DRGARE*, PRCARE*, ISTZNE*, DMPGRD*, OSPARE*, SUBTLN*, MIPARE*, ICNARE*, TESARE*
where = RESTRN = '7' OR RESTRN LIKE '7,%' OR RESTRN LIKE '%,7' OR RESTRN LIKE '%,7,%' OR RESTRN LIKE '%, 7' OR RESTRN LIKE '%, 7,%'
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[to be avoided by RESTRN 14]
layers = RESARE*, ACHARE*, DRGARE*, PRCARE*, ISTZNE*, DMPGRD*, OSPARE*, SUBTLN*, MIPARE*, ICNARE*, TESARE*
where = RESTRN LIKE '14' OR RESTRN LIKE '14,%' OR RESTRN LIKE '%,14%' OR RESTRN LIKE '%, 14%'
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[anchoring restricted by RESTRN 2]
layers = RESARE*, ACHARE*, DRGARE*, PRCARE*, ISTZNE*, DMPGRD*, OSPARE*, SUBTLN*, MIPARE*, ICNARE*, TESARE*
where = RESTRN = '2' OR RESTRN LIKE '2,%' OR RESTRN LIKE '%,2' OR RESTRN LIKE '%,2,%' OR RESTRN LIKE '%, 2' OR RESTRN LIKE '%, 2,%'
effects = drop
margin = 0 m
source = the authority that drew the area; its conditions are not known here

[entry restricted by RESTRN 8]
layers = RESARE*, ACHARE*, DRGARE*, PRCARE*, ISTZNE*, DMPGRD*, OSPARE*, SUBTLN*, MIPARE*, ICNARE*, TESARE*
where = RESTRN = '8' OR RESTRN LIKE '8,%' OR RESTRN LIKE '%,8' OR RESTRN LIKE '%,8,%' OR RESTRN LIKE '%, 8' OR RESTRN LIKE '%, 8,%'
effects = drop
margin = 0 m
source = the authority that drew the area; its conditions are not known here

[stopping prohibited by RESTRN 25]
layers = RESARE*, ACHARE*, DRGARE*, PRCARE*, ISTZNE*, DMPGRD*, OSPARE*, SUBTLN*, MIPARE*, ICNARE*, TESARE*
where = RESTRN LIKE '25' OR RESTRN LIKE '25,%' OR RESTRN LIKE '%,25%' OR RESTRN LIKE '%, 25%'
effects = hull ground drop
margin = 0 m
source = the authority that drew the area

[dumping ground]
layers = dumping*, explosive*, DMPGRD, DMPGRD_?
effects = ground
margin = 0 m
source = the authority that drew the area

[seagrass]
layers = seagrass*, sea_grass*, eelgrass*, posidonia*
effects = ground
margin = 0 m
seabed = weed
source = Balearic Islands, Decree 25/2018, article 7: no anchoring on Posidonia

[weed]
layers = weed*, kelp*, WEDKLP, WEDKLP_?
margin = 0 m
seabed = weed
source = the survey

[no hazard]
layers = ACHARE*, ACHBRT*, anchorage*, DEPARE*, DEPCNT*, SOUNDG*, DRGARE*, UNSARE*, M_*, C_*, LIGHTS*, FOGSIG*, DAYMAR*, BCN*, RTPBCN*, RDOSTA*, LNDMRK*, LNDELV*, LNDRGN*, SEAARE*, BUAARE*, BUISGL*, MAGVAR*, LAKARE*, RIVERS*, VEGATN*, PYLONS*, FORSTC*, DYKCON*, AIRARE*, TOPMAR*, ADMARE*
effects = none
)";

} // namespace

std::vector<HazardRule> read_hazard_rules(std::istream& in, const std::string& source) {
    return RuleReader(in, source).read();
}

std::vector<HazardRule> read_hazard_rules_file(const std::string& path) {
    std::error_code ignored;
    if (!std::filesystem::is_regular_file(path, ignored))
        throw IoError(path, std::filesystem::exists(path, ignored) ? "is no file" : "no such file");
    errno = 0;
    std::ifstream in(path);
    if (!in) throw IoError(path, std::string("cannot be opened: ") + std::strerror(errno));
    return read_hazard_rules(in, path);
}

std::string_view default_hazard_rules_text() { return default_rules; }

std::vector<HazardRule> default_hazard_rules() {
    std::istringstream in{std::string(default_rules)};
    return read_hazard_rules(in, "built-in rules");
}

} // namespace swingroom
