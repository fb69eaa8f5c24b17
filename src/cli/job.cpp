#include "cli/job.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/room/distance.hpp"

#include "base/ini_lines.hpp"
#include "cli/bathymetry_options.hpp"
#include "cli/boat_facts.hpp"
#include "cli/boat_report.hpp"
#include "cli/options.hpp"

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <sstream>
#include <system_error>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

std::string required(const po::variables_map& given, const std::string& name, const std::string& cure) {
    if (given.count(name) == 0) throw InputError("--" + name, "is missing", cure);
    return given[name].as<std::string>();
}

std::optional<std::string> optional(const po::variables_map& given, const std::string& name) {
    if (given.count(name) == 0) return std::nullopt;
    return given[name].as<std::string>();
}

double water_level_m(const po::variables_map& given, const std::string& name, const std::string& what) {
    const std::string text =
        required(given, name, "give the " + what + " water of the stay above chart datum");
    return within(parse_length(text, "--" + name).metres(), {-20, 30}, text, "--" + name,
                  "give -20 to 30 m above chart datum");
}

/// A plan's lines as options of the command that are known and have a value.
po::variables_map read_plan(const std::string& plan, const po::options_description& own) {
    if (std::error_code ignored; std::filesystem::is_directory(plan, ignored))
        throw InputError(plan, "is a folder", "give the path of a plan");
    errno = 0;
    std::ifstream file(plan, std::ios::binary);
    if (!file)
        throw InputError(plan,
                         errno == ENOENT ? "no such file"
                                         : "cannot be opened: " + std::generic_category().message(errno),
                         "give the path of a plan that can be read");
    const std::string cure = "a plan holds the options of this command, one name = value a line";
    std::string text{std::istreambuf_iterator<char>(file), {}};
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3); // a byte order mark
    if (const auto sections = check_ini_lines(text, plan, cure); !sections.empty())
        throw InputError(plan + ":" + std::to_string(sections.front().line),
                         "a plan has no sections, as [" + printable(sections.front().name) + "]", cure);
    po::variables_map planned;
    try {
        std::istringstream in(text);
        po::store(po::parse_config_file(in, own), planned);
    } catch (const po::unknown_option& error) {
        throw InputError(plan, "\"" + printable(error.get_option_name()) + "\" is no option of this command",
                         cure_for_unknown(error.get_option_name(), "", own, cure));
    } catch (const po::error& error) {
        throw InputError(plan, printable(error.what()), cure);
    }
    if (planned.count("plan") != 0)
        throw InputError(plan, "names another plan", "put all options into one plan");
    return planned;
}

/// An option without a value is a slip: what it would fall back to may be anything but what was meant.
/// @param before  what stands before the option's name in messages
void refuse_empty(const po::variables_map& given, const std::string& before) {
    for (const auto& [name, value] : given) {
        std::vector<std::string> texts;
        if (const auto* text = boost::any_cast<std::string>(&value.value())) texts = {*text};
        if (const auto* several = boost::any_cast<std::vector<std::string>>(&value.value())) texts = *several;
        for (const std::string& text : texts)
            if (text.find_first_not_of(" \t") == std::string::npos)
                throw InputError(before + name, "has no value", "give one, or leave the option out");
    }
}

} // namespace

void JobOptions::declare(po::options_description& options) {
    const auto text = [] { return po::value<std::string>(); };
    const auto texts = [] { return po::value<std::vector<std::string>>()->composing(); };
    // clang-format off
    options.add_options()
        ("plan", text(), "INI file that holds any of these options; the command line overrides it, but for hazards, which it adds to");
    declare_bathymetry(options);
    options.add_options()
        ("hazards", texts(), "vector file of hazards, in any format that OGR reads; repeatable")
        ("rules", text(), "what the hazards' layers mean; swingroom rules prints the built-in ones")
        ("seabed", text()->default_value("unknown"), "nature of the seabed where no hazard layer tells it")
        ("boat", text(), "boat file (INI); must be given")
        ("low-water", text(), "lowest water of the stay above chart datum, metres; must be given")
        ("high-water", text(), "highest water of the stay above chart datum, metres; must be given")
        ("wind", text(), "mean wind planned for, knots; must be given")
        ("current", text()->default_value("0"), "strongest current of the stay, knots");
    // clang-format on
}

po::variables_map JobOptions::accept(const po::variables_map& on_command_line,
                                     const po::options_description& own) {
    po::variables_map given = on_command_line;
    refuse_empty(given, "--");
    if (const auto plan = optional(given, "plan")) {
        const po::variables_map planned = read_plan(*plan, own);
        refuse_empty(planned, *plan + ": ");
        for (const auto& [name, value] : planned) {
            if (name == "hazards" && given.count(name) != 0) {
                // Hazards are only ever added: one left out by an option given again could be a false yes.
                auto files = given[name].as<std::vector<std::string>>();
                const auto& more = value.as<std::vector<std::string>>();
                files.insert(files.end(), more.begin(), more.end());
                given.insert_or_assign(name, po::variable_value(files, false));
                planned_paths.insert(planned_paths.end(), more.begin(), more.end());
            } else if (!value.defaulted() && (given.count(name) == 0 || given[name].defaulted())) {
                given.insert_or_assign(name, value);
                if (name == "rules" || name == "boat") planned_paths.push_back(value.as<std::string>());
                if (name == "bathymetry" || name == "hazards")
                    for (const std::string& file : value.as<std::vector<std::string>>())
                        planned_paths.push_back(file);
            }
        }
    }
    bathymetry = bathymetry_requests(given);
    if (given.count("hazards") != 0) hazard_files = given["hazards"].as<std::vector<std::string>>();
    rules_file = optional(given, "rules").value_or("");
    const std::string ground = given["seabed"].as<std::string>();
    const auto named = seabed_named(ground);
    if (!named) {
        std::string known;
        for (const char* name : seabed_names)
            known += (known.empty() ? "" : ", ") + std::string(name);
        throw InputError("--seabed", "\"" + ground + "\" is no seabed", "give one of " + known);
    }
    seabed = *named;
    boat_file = required(given, "boat", "name the boat file");
    conditions.water = {water_level_m(given, "low-water", "lowest"),
                        water_level_m(given, "high-water", "highest")};
    if (conditions.water.high_m < conditions.water.low_m)
        throw InputError("--high-water", "lies below --low-water", "give both above chart datum");
    const std::string wind = required(given, "wind", "give the mean wind that is planned for, in knots");
    conditions.wind_kn =
        within(parse_speed(wind, "--wind").knots(), {1, 100}, wind, "--wind", "give 1 to 100 kn");
    const auto current = given["current"].as<std::string>();
    conditions.current_kn =
        within(parse_speed(current, "--current").knots(), {0, 15}, current, "--current", "give 0 to 15 kn");
    return given;
}

OpenedJob::OpenedJob(const JobOptions& options) : options_(options) {
    for (const std::string& path : options.planned_paths)
        if (std::error_code error;
            std::filesystem::status(path, error).type() == std::filesystem::file_type::not_found)
            throw InputError(path, "no such file", "paths in a plan are seen from where the command runs");
    note_changes(options.boat_file);
    note_changes(options.rules_file);
    for (const BathymetryRequest& request : options.bathymetry)
        note_changes(request.file);
    for (const std::string& file : options.hazard_files)
        note_changes(file);
    const Boat boat = read_boat_file(options.boat_file);
    const auto rules =
        options.rules_file.empty() ? default_hazard_rules() : read_hazard_rules_file(options.rules_file);
    depths_ = open_bathymetry(options.bathymetry);
    raster_ = depths_->sources().front();
    if (const std::size_t others = options.bathymetry.size() - 1; others > 0)
        raster_ += " and " + std::to_string(others) + " more";
    georeference_ = std::make_unique<Georeference>(grid(), raster());
    metric_ = ground_metric(grid(), raster());
    HazardSet hazards = read_hazards(options.hazard_files, rules, grid(), metric_);
    warnings_ = std::move(hazards.warnings);
    hazard_inputs_ = std::move(hazards.files);
    hazards_ = std::make_unique<HazardField>(std::move(hazards.hazards), grid().extent(), metric_);
    tables_ = std::make_unique<TackleTables>(boat, options.conditions, depths_->greatest_uncertainty_m());

    const CellSize cell = metric_.least();
    if (std::max(grid().cols * cell.dx_m, grid().rows * cell.dy_m) < boat.hull.length_m)
        throw InputError(raster(),
                         "covers less than the boat's length of " + fixed_up(boat.hull.length_m, 1) + " m",
                         "give a raster of the whole area");
    if (tables_->greatest_depth_m() < boat.required_depth_m() - options.conditions.water.low_m)
        throw InputError(options.boat_file,
                         "the rode aboard is too short to lie in the least depth that floats the hull at "
                         "these water levels in a wind of " +
                             fixed(options.conditions.wind_kn, 1) + " kn",
                         "give more rode, less wind, or other levels");
}

void OpenedJob::note_changes(const std::string& file) { changed_ns_[file] = last_change_ns(file); }

void OpenedJob::settle(const OverlayJob& job) {
    if (halo_cells(job) > RoomTransform::greatest_halo)
        throw InputError(raster(),
                         "the cells are so small that a swinging circle spans more than 30000 of them",
                         "give --bounds away from the pole, or a coarser raster");
    if (coarse_cells(metric_, *tables_, job.window))
        warnings_.push_back(raster() +
                            ": the cells exceed a third of the least swinging radius; what they say of a "
                            "room is coarse, look for a finer raster");
    for (const std::string& warning : warnings_)
        print_warning(warning);
}

void print_warning(const std::string& warning) { std::cerr << "swingroom: warning: " << warning << '\n'; }

OverlayJob OpenedJob::job() const {
    OverlayJob job;
    job.depths = depths_.get();
    job.metric = &metric_;
    job.hazards = hazards_.get();
    job.tables = tables_.get();
    job.window = grid().extent();
    job.wanted = {};
    job.seabed = options_.seabed;
    return job;
}

Provenance OpenedJob::provenance(const std::string& command) const {
    Provenance provenance;
    provenance.command = command;
    std::vector<std::string> files = depths_->files();
    files.insert(files.end(), hazard_inputs_.begin(), hazard_inputs_.end());
    files.push_back(options_.boat_file);
    if (!options_.rules_file.empty()) files.push_back(options_.rules_file);
    for (const std::string& file : files) {
        provenance.inputs.push_back(digest_of_file(file));
        // What was read must be what is digested; from here on it is the commit that looks.
        const auto noted = changed_ns_.find(file);
        if (noted != changed_ns_.end() && noted->second != provenance.inputs.back().changed_ns)
            throw IoError(file, "changed during the run; run again");
    }
    for (const std::string& assumption : depths_->assumptions())
        provenance.facts.emplace_back("depths", assumption);
    for (const auto& [key, value] : tables_->boat().as_read)
        provenance.facts.emplace_back("boat " + key, value);
    for (auto& fact : boat_assumptions(tables_->boat(), options_.conditions))
        provenance.facts.push_back(std::move(fact));
    provenance.facts.emplace_back("rules", options_.rules_file.empty() ? "the built-in ones"
                                                                       : "the file " + options_.rules_file);
    for (const std::string& warning : warnings_)
        provenance.facts.emplace_back("warning", warning);
    return provenance;
}

std::string effective_plan(const po::variables_map& given, const std::vector<std::string>& leave_out) {
    std::string plan;
    for (const auto& [name, value] : given) {
        if (std::find(leave_out.begin(), leave_out.end(), name) != leave_out.end()) continue;
        const auto line = [&plan, &key = name](const std::string& text) {
            plan += key + " = " + text + "\n";
        };
        if (const auto* text = boost::any_cast<std::string>(&value.value()))
            line(*text);
        else if (const auto* texts = boost::any_cast<std::vector<std::string>>(&value.value()))
            for (const std::string& one : *texts)
                line(one);
    }
    return plan;
}

} // namespace swingroom::cli
