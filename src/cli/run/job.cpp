#include "cli/run/job.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/report/boat_facts.hpp"
#include "swingroom/room/distance.hpp"

#include "cli/console.hpp"
#include "cli/options/bathymetry_options.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

double water_level_m(const po::variables_map& given, const std::string& name, const std::string& what) {
    const std::string text =
        required(given, name, "give the " + what + " water of the stay above chart datum");
    return within(parse_length(text, "--" + name).metres(), {-20, 30}, text, "--" + name,
                  "give -20 to 30 m above chart datum");
}

} // namespace

void JobOptions::declare(Options& options) {
    options.group(Group::looked_at);
    // clang-format off
    options.add_options()
        ("plan", text_value("FILE"), "INI file with any of these options; see --print-plan\n"
         "One name = value a line, # for comments, no sections; a switch is name = true. The command line overrides it; --chart "
         "and --hazards add to it. Paths in it are seen from where the command runs.");
    declare_bathymetry(options);
    options.group(Group::looked_at);
    hazards.declare(options);
    options.add_options()
        ("cell", text_value("M")->default_value("5"), "side of the grid's cells, from charts alone\n"
         "Where depths come from charts alone, 0.1 to 10000 m.")
        ("clearance-datum", text_value("M")->default_value("0"), "level of charted clearances, above chart datum\n"
         "Height above chart datum of the level that charted clearances are given over, 0 to 30 m; 0 is never too high.");
    options.group(Group::boat);
    options.add_options()
        ("boat", text_value("FILE"), "boat file (INI); must be given")
        ("low-water", text_value("M"), "lowest water above chart datum; must be given\nOf the whole stay, -20 to 30 m.")
        ("high-water", text_value("M"), "highest water above chart datum; must be given\nOf the whole stay, -20 to 30 m.")
        ("wind", text_value("KN"), "mean wind planned for; must be given\n1 to 100 kn; the boat's gust factor is applied on top.")
        ("current", text_value("KN")->default_value("0"), "strongest current of the stay\n0 to 15 kn; its drag is added to the wind's.")
        ("seabed", text_value("SEABED")->default_value("unknown"), "the ground, where no hazard layer tells it");
    // clang-format on
    declare_measures(options);
}

po::variables_map JobOptions::accept(const po::variables_map& on_command_line, const Options& own) {
    Given filled = with_plan(on_command_line, own);
    const po::variables_map& given = filled.values;
    planned_paths = std::move(filled.planned_paths);
    measures = measures_of(given);
    hazards.accept(given);
    bathymetry = bathymetry_requests(given);
    if (bathymetry.empty() && hazards.charts.empty())
        throw InputError("--bathymetry", "is missing", "name the raster, or give charts with --chart");
    if (bathymetry.empty()) chart_uncertainty = uncertainty_of_charts(given);
    const auto cell = given["cell"].as<std::string>();
    cell_m =
        within(parse_length(cell, "--cell").metres(), {0.1, 10000}, cell, "--cell", "give 0.1 to 10000 m");
    const auto clearance = given["clearance-datum"].as<std::string>();
    clearance_datum_m = within(parse_length(clearance, "--clearance-datum").metres(), {0, 30}, clearance,
                               "--clearance-datum", "give 0 to 30 m above chart datum");
    const std::string ground = given["seabed"].as<std::string>();
    const auto named = seabed_named(ground);
    if (!named)
        throw InputError("--seabed", "\"" + ground + "\" is no seabed",
                         cure_for_word(ground, words_of("SEABED")));
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

std::vector<std::string> JobOptions::input_files(const po::variables_map& given) const {
    std::vector<std::string> all = hazards.input_files();
    for (const BathymetryRequest& request : bathymetry)
        all.push_back(request.file);
    all.push_back(boat_file);
    if (const auto plan = optional(given, "plan")) all.push_back(*plan);
    return all;
}

OpenedJob::OpenedJob(const JobOptions& options, const GridCheck& check) : options_(options) {
    require_planned(options.planned_paths);
    inputs_.note(options.boat_file);
    for (const BathymetryRequest& request : options.bathymetry)
        inputs_.note(request.file);
    options.hazards.note(inputs_);
    const Boat boat = read_boat_file(options.boat_file);
    tell("opening the depths");
    open_depths(check);
    for (const std::string& file : depths_->files())
        inputs_.note_also(file);
    tell("reading the hazards");
    open_hazards(boat);
    tell("the boat's tables");
    tables_ = std::make_unique<TackleTables>(boat, options.conditions, depths_->greatest_uncertainty_m());

    const CellSize cell = metric_.least();
    if (std::max(grid().cols * cell.dx_m, grid().rows * cell.dy_m) < boat.hull.length_m)
        throw InputError(raster(),
                         "covers less than the boat's length of " +
                             length_text(boat.hull.length_m, Rounded::up, options.measures),
                         "give a raster of the whole area");
    if (tables_->greatest_depth_m() < boat.required_depth_m() - options.conditions.water.low_m)
        throw InputError(options.boat_file,
                         "the rode aboard is too short to lie in the least depth that floats the hull at "
                         "these water levels in a wind of " +
                             fixed(options.conditions.wind_kn, 1) + " kn",
                         "give more rode, less wind, or other levels");
}

void OpenedJob::open_depths(const GridCheck& check) {
    const std::vector<std::string>& charts = options_.hazards.charts;
    const auto look_at = [&](const Grid& grid, const std::string& source) {
        if (check) check(grid, Georeference(grid, source), source);
    };
    if (options_.bathymetry.empty()) {
        const Grid grid = chart_grid(charts, options_.cell_m);
        look_at(grid, charts.front());
        metric_ = ground_metric(grid, charts.front());
        depths_ = open_chart_depths(charts, grid, metric_, options_.chart_uncertainty);
    } else {
        depths_ = open_bathymetry(options_.bathymetry);
        look_at(grid(), depths_->sources().front());
        metric_ = ground_metric(grid(), depths_->sources().front());
    }
    raster_ = depths_->sources().front();
    if (const std::size_t others = depths_->sources().size() - 1; others > 0)
        raster_ += " and " + std::to_string(others) + " more";
    georeference_ = std::make_unique<Georeference>(grid(), raster());
    if (!options_.bathymetry.empty() && !charts.empty()) {
        auto charted = open_chart_depths(charts, grid(), metric_, std::nullopt, ChartGaps::bounds);
        depths_ = laid_over(std::move(depths_), std::move(charted));
    }
}

void OpenedJob::open_hazards(const Boat& boat) {
    const std::vector<HazardRule> rules = options_.hazards.rules();
    margin_sources_ = sources_of(rules);
    HazardTerms terms;
    terms.hull = HullNeeds{boat.required_depth_m(), options_.conditions.water.low_m, boat.hull.air_draught_m,
                           options_.conditions.water.high_m, options_.clearance_datum_m};
    // Several rasters may be of several makes: then nothing is known of what lies between them.
    if (options_.bathymetry.size() == 1 && options_.bathymetry.front().uncertainty)
        terms.uncertainty = *options_.bathymetry.front().uncertainty;
    if (options_.chart_uncertainty) terms.uncertainty = *options_.chart_uncertainty;
    terms.zone_margin = options_.hazards.zone_margin;
    HazardSet hazards = read_hazards(options_.hazards.all_files(), rules, grid(), metric_, terms);
    warnings_ = std::move(hazards.warnings);
    hazard_inputs_ = std::move(hazards.files);
    hazard_notes_ = std::move(hazards.notes);
    hazards_ = std::make_unique<HazardField>(std::move(hazards.hazards), grid().extent(), metric_);
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
    for (const std::string& file : hazard_inputs_)
        if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(file);
    files.push_back(options_.boat_file);
    if (!options_.hazards.rules_file.empty()) files.push_back(options_.hazards.rules_file);
    provenance.inputs = inputs_.digested(files);
    for (const std::string& assumption : depths_->assumptions())
        provenance.facts.emplace_back("depths", assumption);
    for (const auto& [key, value] : tables_->boat().as_read)
        provenance.facts.emplace_back("boat " + key, value);
    for (Fact& fact : boat_assumptions(tables_->boat(), options_.conditions))
        provenance.facts.push_back(std::move(fact));
    options_.hazards.add_facts(provenance);
    for (const std::string& note : hazard_notes_)
        provenance.facts.emplace_back("chart", note);
    for (const std::string& warning : warnings_)
        provenance.facts.push_back({"warning", warning, Fact::Kind::warning});
    return provenance;
}

} // namespace swingroom::cli
