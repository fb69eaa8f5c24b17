#include "cli/options/hazard_options.hpp"

#include "swingroom/base/error.hpp"

#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>

namespace swingroom::cli {

namespace po = boost::program_options;

void HazardOptions::declare(Options& options) {
    // clang-format off
    options.add_options()
        ("chart", text_values("FILE")->composing(), "S-57 cell (.000): its hazards and its depths\n"
         "Up to 255. Updates are applied from the files beside it.")
        ("hazards", text_values("FILE")->composing(), "other hazards, in any vector format that OGR reads\n"
         "Any CRS. Seamarks in it are known by their tags. Those of a plan are added to, never replaced.")
        ("rules", text_value("FILE"), "what the hazards' layers mean; see swingroom rules\nThe built-in rules if not given.");
    options.group(Group::seldom);
    options.add_options()
        ("zone-margin", text_value("yes|no")->default_value("no"), "yes: widen margins by the zones of confidence\n"
         "Of charted hazards, by how far positions may be off: 8 m in A1, 20 m in A2, 50 m in B, 500 m in C and all others.");
    // clang-format on
}

void HazardOptions::accept(const po::variables_map& given) {
    charts = several(given, "chart");
    files = several(given, "hazards");
    zone_margin = says_yes(given, "zone-margin");
    rules_file = optional(given, "rules").value_or("");
}

void HazardOptions::note(WatchedInputs& inputs) const {
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
    return rules_file.empty() ? default_hazard_rules() : read_hazard_rules_file(rules_file);
}

void HazardOptions::add_facts(Provenance& provenance) const {
    provenance.facts.push_back(
        {"rules", rules_file.empty() ? "the built-in ones" : "the file " + rules_file});
    provenance.facts.push_back(
        {"margins", "as the rules say, which name their sources; national law differs and comes first"});
}

MarginSources sources_of(const std::vector<HazardRule>& rules) {
    MarginSources sources;
    for (const HazardRule& rule : rules) {
        sources[rule.name] = rule.source;
    }
    return sources;
}

} // namespace swingroom::cli
