#pragma once

#include "swingroom/publish/exclusion_files.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/sea/hazards.hpp"

#include "cli/options/chart_folder.hpp"
#include "cli/options/option_table.hpp"
#include "cli/run/watched_inputs.hpp"

#include <boost/program_options.hpp>

#include <map>
#include <string>
#include <vector>

namespace swingroom::cli {

/// The options that say where the hazards are and what they mean, shared by all commands that read them.
struct HazardOptions {
    std::vector<std::string> charts;        ///< S-57 cells, also those of folders
    std::vector<ChartFolder> chart_folders; ///< that some of them were found in
    std::vector<std::string> files;         ///< other vector files
    std::string rules_file;                 ///< none: the built-in rules
    bool zone_margin = false;               ///< whether zones of confidence widen the margins
    std::vector<std::string> allowed; ///< identities of features whose restrictions are not for this boat
    /// Margins that take the place of the rules' own, metres by the rule's name.
    std::map<std::string, double> margins_m;

    /// Adds these options to a command's.
    static void declare(Options& options);
    /// Takes what was given, and brings it into the form in which a plan can hold it.
    void accept(boost::program_options::variables_map& given);
    /// Lets all files that are named here be watched for changes, and tells what folders of charts hold.
    void note(WatchedInputs& inputs) const;
    /// Charts and other files, each once.
    [[nodiscard]] std::vector<std::string> all_files() const;
    /// All files that are named here.
    [[nodiscard]] std::vector<std::string> input_files() const;
    /// The rules in use, with the margins that were given for them.
    /// @throws InputError  also a margin for a rule that is not among them; IoError
    [[nodiscard]] std::vector<HazardRule> rules() const;
    /// Adds which rules were used, that the margins are theirs, and which were replaced.
    void add_facts(Provenance& provenance, const std::vector<HazardRule>& rules) const;
};

/// What is to be said of margins below those that the rules' authors gave them: a sentence for each.
std::vector<std::string> warnings_of_lowered_margins(const std::vector<HazardRule>& rules);

/// What is to be said of restrictions that were allowed: a sentence for each.
/// @throws InputError  an identity that no feature has, that several have, or of one that no restriction
///                     forbids
std::vector<std::string> warnings_of_allowed(const HazardSet& found);

/// Where the margins of the rules are from, by the rule's name.
MarginSources sources_of(const std::vector<HazardRule>& rules);

} // namespace swingroom::cli
