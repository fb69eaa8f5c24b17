#include "cli/options/hazard_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"

#include "base/nearest_name.hpp"
#include "base/terminal_text.hpp"
#include "base/text.hpp"
#include "cli/console.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

namespace swingroom::cli {

namespace po = boost::program_options;

namespace {

/// The rule and the length of RULE=M: a rule's name may hold anything, so the last = counts.
std::pair<std::string, std::string> split_margin(const std::string& text) {
    constexpr std::string_view blanks = " \t";
    const auto trimmed = [&](const std::string& part) {
        const auto begin = part.find_first_not_of(blanks);
        return begin == std::string::npos ? std::string()
                                          : part.substr(begin, part.find_last_not_of(blanks) - begin + 1);
    };
    const auto at = text.rfind('=');
    std::string rule = trimmed(text.substr(0, at)),
                length = at == std::string::npos ? "" : trimmed(text.substr(at + 1));
    if (rule.empty() || length.empty()) {
        throw InputError("--margin", "\"" + shortened(text) + "\" is no rule with a length",
                         "give the name of a rule and its margin, as cable=50m");
    }
    return {std::move(rule), std::move(length)};
}

/// @throws InputError  there is none, or none to which a margin means anything
HazardRule& rule_named(const std::string& name, std::vector<HazardRule>& rules) {
    const auto found =
        std::find_if(rules.begin(), rules.end(), [&](const HazardRule& rule) { return rule.name == name; });
    if (found == rules.end()) {
        std::vector<std::string_view> names;
        for (const HazardRule& rule : rules) {
            if (!rule.inert()) names.emplace_back(rule.name);
        }
        const std::string_view nearest = nearest_name(name, names);
        throw InputError("--margin", "the rules in use have no [" + shortened(name) + "]",
                         nearest.empty() ? "see their names with swingroom rules, or in the file given with "
                                           "--rules"
                                         : "did you mean " + std::string(nearest) + "?");
    }
    if (found->inert()) {
        throw InputError("--margin", "[" + shortened(name) + "] says what is no hazard, and has no margin",
                         "name a rule with a margin, or give rules of your own with --rules");
    }
    return *found;
}

/// As exports have it, whatever people read.
std::string metres(double length_m) { return length_text(length_m, Rounded::nearest, Measures{}); }

} // namespace

void HazardOptions::declare(Options& options) {
    // clang-format off
    options.add_options()
        ("chart", text_values("FILE")->composing(), "S-57 cell (.000) or folder of them: hazards, depths\n"
         "Up to 255. Updates are applied from the files beside a cell. Of a folder, such as the ENC_ROOT of an exchange set, all cells in "
         "it and below it are taken.")
        ("hazards", text_values("FILE")->composing(), "vector file of other hazards\n"
         "GeoPackage, GeoJSON (also as a sequence), TopoJSON, Shapefile, FlatGeobuf, S-57 (hazards without depths), OpenStreetMap (.osm, "
         ".osm.pbf), KML, GPX, MapInfo or file geodatabase, in any CRS. Seamarks in it are known by their tags. Those of a plan are added to, never replaced.");
    options.group(Group::seldom);
    options.add_options()
        ("rules", text_value("FILE"), "what the hazards' layers mean; see swingroom rules\nThe built-in rules if not given.")
        ("margin", text_values("RULE=M")->composing(), "another margin for a rule, as cable=50m\n"
         "0 to 100 km, each rule once. RULE is the name of a section of the rules in use, the built-in or your own; see swingroom rules. What "
         "widens the danger of one feature (RADIUS, POSACC, --zone-margin) is added as ever, so that no danger gets narrower than where its "
         "feature may lie. A margin below the rule's own is warned of, and every one stands in the outputs. Those of a plan "
         "stand unless the command line gives one for the same rule.")
        ("allow", text_values("ID"), "a restriction that you know is not for you, as spot names it\n"
         "ID is what the label of the feature ends in, as FFFE000000080001 of a chart's object or \"RESARE #3\" of another file (in a plan without the #), or "
         "the whole label. Its restrictions (rules with restriction = yes) then only advise; what lies there stays a danger, and an ID of a danger "
         "alone, of several features or of none is refused. Told among the warnings and cautions of the run. Given on the command line they replace those of a plan.")
        ("zone-margin", text_value("yes|no")->default_value("no"), "yes: widen margins by the zones of confidence\n"
         "Of charted hazards, by how far positions may be off: 8 m in A1, 20 m in A2, 50 m in B, 500 m in C and all others.");
    // clang-format on
}

void HazardOptions::accept(po::variables_map& given) {
    GivenCharts all_charts = charts_given(several(given, "chart"));
    charts = std::move(all_charts.cells);
    chart_folders = std::move(all_charts.folders);
    files = several(given, "hazards");
    zone_margin = says_yes(given, "zone-margin");
    rules_file = optional(given, "rules").value_or("");
    allowed.clear();
    for (std::string id : several(given, "allow")) {
        std::erase(id, '#'); // it would be a comment in a plan
        if (std::find(allowed.begin(), allowed.end(), id) == allowed.end()) allowed.push_back(id);
    }
    if (!allowed.empty()) given.insert_or_assign("allow", po::variable_value(allowed, false));
    margins_m.clear();
    for (const std::string& text : several(given, "margin")) {
        const auto [rule, length] = split_margin(text);
        const double margin_m = within(parse_length(length, "--margin").metres(), {0, 100'000}, text,
                                       "--margin", "give 0 to 100 km");
        if (!margins_m.emplace(rule, margin_m).second) {
            throw InputError("--margin", "gives the rule [" + shortened(rule) + "] two margins",
                             "keep one of them");
        }
    }
}

void HazardOptions::note(WatchedInputs& inputs) const {
    for (const ChartFolder& folder : chart_folders) {
        print_note(folder.folder + ": " + cells_text(folder));
    }
    inputs.note(rules_file);
    for (const std::string& file : all_files()) {
        inputs.note(file);
        for (const std::string& update : chart_updates(file)) {
            inputs.note(update);
        }
    }
}

std::vector<std::string> HazardOptions::all_files() const {
    std::vector<std::string> all = charts;
    for (const std::string& file : files) {
        if (std::find(all.begin(), all.end(), file) == all.end()) all.push_back(file);
    }
    return all;
}

std::vector<std::string> HazardOptions::input_files() const {
    std::vector<std::string> all = all_files();
    if (!rules_file.empty()) all.push_back(rules_file);
    return all;
}

std::vector<HazardRule> HazardOptions::rules() const {
    std::vector<HazardRule> rules =
        rules_file.empty() ? default_hazard_rules() : read_hazard_rules_file(rules_file);
    for (const auto& [name, margin_m] : margins_m) {
        replace_margin(rule_named(name, rules), margin_m);
    }
    return rules;
}

void HazardOptions::add_facts(Provenance& provenance, const std::vector<HazardRule>& rules) const {
    for (const ChartFolder& folder : chart_folders) {
        provenance.facts.push_back({"charts", folder.folder + " holds " + cells_text(folder)});
    }
    provenance.facts.push_back(
        {"rules", rules_file.empty() ? "the built-in ones" : "the file " + rules_file});
    provenance.facts.push_back(
        {"margins", "as the rules say, which name their sources; national law differs and comes first"});
    for (const HazardRule& rule : rules) {
        if (!rule.replaced_margin_m) continue;
        provenance.facts.push_back(stated_fact("margin of [" + rule.name + "]",
                                               metres(rule.margin_m) + " in place of the rule's own " +
                                                   metres(*rule.replaced_margin_m)));
    }
}

std::vector<std::string> warnings_of_lowered_margins(const std::vector<HazardRule>& rules) {
    std::vector<std::string> warnings;
    for (const HazardRule& rule : rules) {
        if (!rule.replaced_margin_m || rule.margin_m >= *rule.replaced_margin_m) continue;
        warnings.push_back("--margin: the margin of [" + rule.name + "] is " + metres(rule.margin_m) +
                           " for this run, less than the rule's own " + metres(*rule.replaced_margin_m));
    }
    return warnings;
}

std::vector<std::string> warnings_of_allowed(const HazardSet& found) {
    const auto listed = [](const std::vector<std::string>& rules) {
        std::string names;
        for (const std::string& rule : rules) {
            names += (names.empty() ? "[" : ", [") + rule + "]";
        }
        return names;
    };
    std::vector<std::string> warnings;
    for (const AllowedFeature& of : found.allowed) {
        const std::string id = "\"" + shortened(of.identity) + "\"";
        if (of.features.empty()) {
            throw InputError(
                "--allow", id + " is no feature of what is given",
                "give what the label of one ends in, as spot prints it, and in a plan without its #");
        }
        if (!of.one_object) {
            throw InputError("--allow",
                             id + " is " + std::to_string(of.features.size()) + " features, " +
                                 joined(of.features, " and "),
                             "leave one of the files out, or write rules of your own with --rules");
        }
        if (of.lifted.empty() && of.stays.empty()) {
            throw InputError("--allow", of.features.front() + " forbids nothing",
                             "leave it out, or give what spot names as the reason");
        }
        if (of.lifted.empty()) {
            throw InputError("--allow",
                             of.features.front() + " is a danger, by " + listed(of.stays) +
                                 ", and no restriction",
                             "leave it out: what lies there lies there whoever comes");
        }
        warnings.push_back("--allow: " + of.features.front() + " forbids nothing by " + listed(of.lifted) +
                           " for this run, as you say" +
                           (of.stays.empty() ? "" : "; it is a danger still by " + listed(of.stays)));
    }
    return warnings;
}

MarginSources sources_of(const std::vector<HazardRule>& rules) {
    MarginSources sources;
    for (const HazardRule& rule : rules) {
        sources[rule.name] = rule.source;
    }
    return sources;
}

} // namespace swingroom::cli
