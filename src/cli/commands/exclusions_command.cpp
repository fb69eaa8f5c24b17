#include "cli/commands/exclusions_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/publish/exclusion_files.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/report/run_summary.hpp"
#include "swingroom/sea/georeference.hpp"

#include "cli/console.hpp"
#include "cli/options/format_options.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/overlay_options.hpp"
#include "cli/options/plan.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/kept_inputs.hpp"
#include "cli/run/run_control.hpp"

#include <optional>

namespace swingroom::cli {

namespace po = boost::program_options;

namespace {

/// What stands for a raster in messages.
constexpr const char* source = "the hazards";

} // namespace

void ExclusionsCommand::declare(Options& options, po::positional_options_description&) {
    options.group(Group::looked_at);
    // clang-format off
    options.add_options()
        ("plan", text_value("FILE"), "a plan of overlay, of which hazards count\nIts charts, hazards, rules, margins, allow, zone-margin and area; the rest is passed over.");
    HazardOptions::declare(options);
    declare_formats(options, "POLYGON-FORMAT,...", "geojson", "Only from the command line.");
    options.group(Group::comes_out);
    options.add_options()
        ("bounds", text_value("W,S,E,N"), "only hazards whose danger touches this box, degrees\nTheir polygons may reach outside.")
        ("around", text_value("LON,LAT,M"), "only those near a position\nAs 29-02.4W,47-58.8N,1.5nm, in place of --bounds: the box about all that lies so near.")
        ("out", text_value("FOLDER"), "folder to make, whole or not at all; must be given\n"
         "Only from the command line: a plan's is the overlay's.")
        ("overwrite", po::bool_switch(), "replace a folder that an earlier run has made\nOnly from the command line.");
    // clang-format on
    declare_json(options);
}

void ExclusionsCommand::accept(const po::variables_map& on_command_line) {
    Given given = with_plan(on_command_line, OverlayOptions::planned());
    planned_paths_ = std::move(given.planned_paths);
    hazards_.accept(given.values);
    if (hazards_.all_files().empty()) {
        throw InputError("--hazards", "is missing", "name a vector file of hazards, or a chart with --chart");
    }
    AreaOptions::settle(on_command_line, given.values);
    area_ = AreaOptions::accept(given.values);
    // A plan's folder is the overlay's: it is not to be replaced by this one.
    out_ = required(on_command_line, {"out", "name the folder to make on the command line"});
    overwrite_ = on_command_line["overwrite"].as<bool>();
    json_ = on_command_line["json"].as<bool>();
    for (const FormatTraits& format : format_table) {
        if (formats_of(on_command_line).has(format.format)) {
            if (!format.can_hold(Content::polygons)) {
                throw InputError("--format",
                                 std::string(format.name) + " holds " + std::string(format.holds) +
                                     ", no exclusions",
                                 "give some of geojson, gpkg, flatgeobuf, kml, gpx");
            }
            formats_.add(format.format);
        }
    }
    styles_ = styles_of(on_command_line);
    prefix_ = prefix_of(on_command_line);
    for (const char* name :
         {"chart", "allow", "margin", "zone-margin", "hazards", "rules", "bounds", "around"}) {
        if (given.values.count(name) != 0) used_.insert({name, given.values[name]});
    }
    plan_ = effective_plan(used_, {});
    inputs_ = hazards_.input_files();
    if (const auto plan = optional(on_command_line, "plan")) inputs_.push_back(*plan);
}

std::string ExclusionsCommand::plan() const { return whole_plan(used_, OverlayOptions::planned()); }

int ExclusionsCommand::run() {
    notice_signals();
    PendingFolder folder(out_, overwrite_, inputs_);
    for (const std::string& note : folder.notes()) {
        print_warning(note);
    }
    require_planned(planned_paths_);
    WatchedInputs inputs;
    hazards_.note(inputs);
    const std::vector<HazardRule> rules = hazards_.rules();
    std::optional<Grid> within;
    if (area_) within = grid_over(area_->box, area_->option);
    tell("reading the hazards");
    HazardTerms terms;
    terms.zone_margin = hazards_.zone_margin;
    terms.allowed = hazards_.allowed;
    auto [grid, set] = read_hazards_alone(hazards_.all_files(), rules, within, source, terms);
    std::vector<std::string> warnings = warnings_of_lowered_margins(rules);
    for (const std::string& warning : warnings_of_allowed(set)) {
        warnings.push_back(warning);
    }
    for (const Warning& warning : set.warnings) {
        warnings.push_back(in_options(warning.message()));
    }
    for (const std::string& warning : warnings) {
        print_warning(warning);
    }
    stop_if_asked();

    Provenance provenance;
    provenance.command = plan_;
    if (!hazards_.rules_file.empty()) set.files.push_back(hazards_.rules_file);
    InputDigests digests;
    provenance.inputs = inputs.digested(set.files, digests);
    folder.keep_inputs(inputs_);
    folder.keep_inputs(names_of(provenance.inputs)); // those too that others have brought with them
    hazards_.add_facts(provenance, rules);
    for (const std::string& note : set.notes) {
        provenance.facts.push_back({"chart", note});
    }
    for (const std::string& warning : warnings) {
        provenance.facts.push_back(warning_fact(warning));
    }

    tell("drawing the margins");
    const std::int64_t features =
        write_dissolved_exclusions(folder.working(), {set.hazards, grid, source}, sources_of(rules),
                                   provenance, formats_, styles_, prefix_);
    if (features == 0) {
        warnings.push_back(std::string(source) + ": none endangers anything" +
                           (area_ ? " within " + area_->option : "") + ", so there is nothing to draw");
        print_warning(warnings.back());
    }
    stop_if_asked();
    folder.commit(provenance);
    if (json_) {
        print_document(exclusions_json(folder, features, warnings));
    } else {
        print_made(folder.target().string());
    }
    return 0;
}

} // namespace swingroom::cli
