#include "cli/job.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/room/distance.hpp"

#include <algorithm>
#include <iostream>

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

double within(double value, double least, double most, const std::string& name, const std::string& cure) {
    if (!(value >= least && value <= most)) throw InputError("--" + name, "is not possible", cure);
    return value;
}

double water_level_m(const po::variables_map& given, const std::string& name, const std::string& what) {
    const std::string text =
        required(given, name, "give the " + what + " water of the stay above chart datum");
    return within(parse_length(text, "--" + name).metres(), -20, 30, name,
                  "give -20 to 30 m above chart datum");
}

} // namespace

void JobOptions::declare(po::options_description& options) {
    const auto text = [] { return po::value<std::string>(); };
    const auto texts = [] { return po::value<std::vector<std::string>>()->composing(); };
    // clang-format off
    options.add_options()
        ("plan", text(), "INI file that holds any of these options; the command line overrides it, but for hazards, which it adds to")
        ("bathymetry", text(), "bathymetry raster, in any format that GDAL reads")
        ("positive", text(), "whether the raster's values count up (elevation) or down (depth)")
        ("depth-unit", text(), "unit of the raster's values: m, ft, fm")
        ("chart-datum", text(), "height of chart datum above the raster's own datum, metres")
        ("uncertainty", text(), "of the depths: metres, a pair a,b (root of squares), a letter A1 A2 B C, or band")
        ("crs", text(), "CRS of a raster that names none, for example EPSG:4326")
        ("hazards", texts(), "vector file of hazards, in any format that OGR reads; repeatable")
        ("rules", text(), "what the hazards' layers mean; swingroom rules prints the built-in ones")
        ("seabed", text()->default_value("unknown"), "nature of the seabed where no hazard layer tells it")
        ("boat", text(), "boat file (INI)")
        ("low-water", text(), "lowest water of the stay above chart datum, metres")
        ("high-water", text(), "highest water of the stay above chart datum, metres")
        ("wind", text(), "mean wind planned for, knots")
        ("current", text()->default_value("0"), "strongest current of the stay, knots");
    // clang-format on
}

po::variables_map JobOptions::accept(const po::variables_map& on_command_line,
                                     const po::options_description& own) {
    po::variables_map given = on_command_line;
    if (const auto plan = optional(given, "plan")) {
        po::variables_map planned;
        try {
            po::store(po::parse_config_file(plan->c_str(), own), planned);
        } catch (const po::error& error) {
            throw InputError(*plan, error.what(),
                             "a plan holds the options of this command, one name = value a line");
        }
        if (planned.count("plan") != 0)
            throw InputError(*plan, "names another plan", "put all options into one plan");
        for (const auto& [name, value] : planned) {
            if (name == "hazards" && given.count(name) != 0) {
                // Hazards are only ever added: one left out by an option given again could be a false yes.
                auto files = given[name].as<std::vector<std::string>>();
                const auto& more = value.as<std::vector<std::string>>();
                files.insert(files.end(), more.begin(), more.end());
                given.insert_or_assign(name, po::variable_value(files, false));
            } else if (!value.defaulted() && (given.count(name) == 0 || given[name].defaulted())) {
                given.insert_or_assign(name, value);
            }
        }
    }
    bathymetry.file = required(given, "bathymetry", "name the raster");
    if (const auto positive = optional(given, "positive")) {
        if (*positive != "up" && *positive != "down")
            throw InputError("--positive", "\"" + *positive + "\" is neither",
                             "give up for elevations, down for depths");
        bathymetry.positive_down = *positive == "down";
    }
    bathymetry.depth_unit = optional(given, "depth-unit");
    if (const auto datum = optional(given, "chart-datum"))
        bathymetry.chart_datum_m = parse_length(*datum, "--chart-datum").metres();
    if (const auto uncertainty = optional(given, "uncertainty"))
        bathymetry.uncertainty = DepthUncertainty::parse(*uncertainty, "--uncertainty");
    bathymetry.crs = optional(given, "crs");
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
    conditions.wind_kn = within(
        parse_speed(required(given, "wind", "give the mean wind that is planned for, in knots"), "--wind")
            .knots(),
        1, 100, "wind", "give 1 to 100 kn");
    conditions.current_kn = within(parse_speed(given["current"].as<std::string>(), "--current").knots(), 0,
                                   15, "current", "give 0 to 15 kn");
    return given;
}

OpenedJob::OpenedJob(const JobOptions& options) : options_(options) {
    const Boat boat = read_boat_file(options.boat_file);
    const auto rules =
        options.rules_file.empty() ? default_hazard_rules() : read_hazard_rules_file(options.rules_file);
    depths_ = open_bathymetry(options.bathymetry);
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
                         "covers less than the boat's length of " + std::to_string(boat.hull.length_m) + " m",
                         "give a raster of the whole area");
    if (tables_->greatest_depth_m() < boat.required_depth_m() - options.conditions.water.low_m)
        throw InputError(options.boat_file,
                         "the rode aboard is too short to lie in the least depth that floats the hull at "
                         "these water levels",
                         "give more rode, or other levels");
}

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
    for (const std::string& file : files)
        provenance.inputs.push_back(digest_of_file(file));
    for (const std::string& assumption : depths_->assumptions())
        provenance.facts.emplace_back("depths", assumption);
    for (const auto& [key, value] : tables_->boat().as_read)
        provenance.facts.emplace_back("boat " + key, value);
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
