#include "cli/hazard_options.hpp"

#include "swingroom/base/error.hpp"

#include "cli/plan.hpp"

#include <algorithm>

namespace swingroom::cli {

namespace po = boost::program_options;

void HazardOptions::declare(po::options_description& options) {
    // clang-format off
    options.add_options()
        ("chart", po::value<std::vector<std::string>>()->composing(), "S-57 cell (.000): its hazards and its depths; repeatable")
        ("zone-margin", po::value<std::string>()->default_value("no"), "yes: widen the margins of charted hazards by the position accuracy of their zone of confidence")
        ("hazards", po::value<std::vector<std::string>>()->composing(), "vector file of hazards, in any format that OGR reads; repeatable")
        ("rules", po::value<std::string>(), "what the hazards' layers mean; swingroom rules prints the built-in ones");
    // clang-format on
}

void HazardOptions::accept(const po::variables_map& given) {
    charts = several(given, "chart");
    files = several(given, "hazards");
    const auto zone = given["zone-margin"].as<std::string>();
    if (zone != "yes" && zone != "no")
        throw InputError("--zone-margin", "\"" + zone + "\" is neither", "give yes or no");
    zone_margin = zone == "yes";
    rules_file = optional(given, "rules").value_or("");
}

void HazardOptions::note(WatchedInputs& inputs) const {
    inputs.note(rules_file);
    for (const std::string& file : all_files()) {
        inputs.note(file);
        for (const std::string& update : chart_updates(file))
            inputs.note(update);
    }
}

std::vector<std::string> HazardOptions::all_files() const {
    std::vector<std::string> all = charts;
    for (const std::string& file : files)
        if (std::find(all.begin(), all.end(), file) == all.end()) all.push_back(file);
    return all;
}

std::vector<HazardRule> HazardOptions::rules() const {
    return rules_file.empty() ? default_hazard_rules() : read_hazard_rules_file(rules_file);
}

void HazardOptions::add_facts(Provenance& provenance) const {
    provenance.facts.emplace_back("rules",
                                  rules_file.empty() ? "the built-in ones" : "the file " + rules_file);
    provenance.facts.emplace_back(
        "margins", "as the rules say, which name their sources; national law differs and comes first");
}

MarginSources sources_of(const std::vector<HazardRule>& rules) {
    MarginSources sources;
    for (const HazardRule& rule : rules)
        sources[rule.name] = rule.source;
    return sources;
}

} // namespace swingroom::cli
