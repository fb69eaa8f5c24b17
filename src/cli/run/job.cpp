#include "cli/run/job.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"

#include "cli/console.hpp"
#include "cli/options/bathymetry_options.hpp"
#include "cli/options/conditions_options.hpp"
#include "cli/options/level_rasters.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <filesystem>
#include <limits>
#include <set>
#include <system_error>
#include <utility>

namespace swingroom::cli {

namespace po = boost::program_options;

namespace {

constexpr Needed bathymetry_needed{"bathymetry", "name the raster, or give charts with --chart"},
    boat_needed{"boat", "name the boat file, which says how long and deep she is and what she anchors with; "
                        "swingroom boat --template prints one to fill in"};

/// The rasters of heights that are named: of chart datum and of levels.
std::vector<std::string> level_files(const JobOptions& options) {
    std::vector<std::string> files;
    for (const BathymetryRequest& request : options.bathymetry) {
        if (request.chart_datum_file) files.push_back(*request.chart_datum_file);
    }
    for (const LevelRequest* const level : {&options.levels.low, &options.levels.high}) {
        if (!level->file.empty()) files.push_back(level->file);
    }
    return files;
}

/// However they are called.   @throws InputError  also where there are many
void refuse_boats_twice(const std::vector<std::string>& boats) {
    constexpr std::size_t most = 30;
    if (boats.size() > most) {
        throw InputError("--boat", "is given " + std::to_string(boats.size()) + " times", "give at most 30");
    }
    std::set<std::filesystem::path> met;
    for (const std::string& boat : boats) {
        std::error_code not_there; // which is told when it is read
        const std::filesystem::path place = std::filesystem::weakly_canonical(boat, not_there);
        if (!met.insert(not_there ? std::filesystem::path(boat) : place).second) {
            throw InputError("--boat", "names " + boat + " twice", "leave out one of them");
        }
    }
}

} // namespace

std::string only_boat(const JobOptions& options) {
    if (options.boat_files.size() == 1) return options.boat_files.front();
    throw InputError("--boat",
                     "is given " + std::to_string(options.boat_files.size()) +
                         " times, and this answers for one boat",
                     "give one");
}

void JobOptions::declare(Options& options, void (*more)(Options&)) {
    options.group(Group::looked_at);
    // clang-format off
    options.add_options()
        ("plan", text_value("FILE"), "INI file with any of these options; see --print-plan\n"
         "One name = value a line, # for comments, no sections; a switch is name = true. The command line overrides it; --chart, "
         "--hazards and --margin add to it. Paths in it are seen from its own folder.");
    declare_bathymetry(options);
    options.group(Group::looked_at);
    hazards.declare(options);
    options.add_options()
        ("cell", text_value("M"), "side of the grid's cells, from charts alone\n"
         "Where depths come from charts alone, 0.1 to 10000 m. If not given 0.5 mm at the largest scale of the charts, but no more than a "
         "quarter of the boat's least swinging radius, at least 1 m, and coarser where --bounds, or all of the charts, would have more "
         "than 1e8 cells. The outputs, and --verbose, say which it was and why.")
        ("clearance-datum", text_value("M")->default_value("0"), "level of charted clearances, above chart datum\n"
         "Height above chart datum of the level that charted clearances are given over, 0 to 30 m; 0 is never too high.");
    options.group(Group::boat);
    options.add_options()
        ("boat", text_values("FILE"), "boat file (INI); must be given\n"
         "overlay takes several, up to 30: each gets a folder within --out, of all that it would get by itself.");
    declare_levels(options, true);
    TideOptions::declare(options);
    options.group(Group::boat);
    declare_wind(options);
    options.group(Group::seldom);
    if (more != nullptr) more(options);
    declare_current(options);
    options.add_options()
        ("seabed", text_value("SEABED")->default_value("unknown"), "the ground, where no hazard layer tells it");
    options.add_options()
        ("rode-by", text_value("survey|sounder|source"), "rode for any depth of a place, or by the sounder\n"
         "survey: one rode that holds whatever the depth is. sounder: she reads the sounder before she lets go and veers for "
         "what it shows; a yes then says up to which reading. source: by the sounder where the deep "
         "side of a depth is that of a chart's area, else by the survey. If not given: source.");
    // clang-format on
    declare_measures(options);
}

void JobOptions::require_all(const po::variables_map& given, const Options& own,
                             const std::vector<Needed>& also) const {
    std::vector<Needed> needed;
    if (bathymetry.empty() && hazards.charts.empty()) needed.push_back(bathymetry_needed);
    needed.push_back(boat_needed);
    const std::vector<Needed> water =
        tide.file.empty() ? std::vector<Needed>{low_water_needed, high_water_needed} : TideOptions::needed();
    needed.insert(needed.end(), water.begin(), water.end());
    needed.push_back(wind_needed);
    needed.insert(needed.end(), also.begin(), also.end());
    std::vector<OpenQuestion> missing = unanswered(needed, own, given);
    const std::vector<OpenQuestion> of_tide = tide.unsaid();
    missing.insert(missing.end(), of_tide.begin(), of_tide.end());
    if (missing.empty()) return; // what rasters leave open is asked when they are opened
    const std::vector<OpenQuestion> of_rasters = unsaid();
    missing.insert(missing.begin(), of_rasters.begin(), of_rasters.end());
    refuse(missing);
}

po::variables_map JobOptions::accept(const po::variables_map& on_command_line, const Options& own,
                                     const std::vector<Needed>& also) {
    Given filled = with_plan(on_command_line, own);
    TideOptions::settle(on_command_line, filled.values);
    AreaOptions::settle(on_command_line, filled.values);
    const po::variables_map& given = filled.values;
    planned_paths = std::move(filled.planned_paths);
    measures = measures_of(given);
    hazards.accept(filled.values);
    bathymetry = bathymetry_requests(given);
    tide.accept(given);
    given_ = given;
    require_all(given, own, also);
    if (bathymetry.empty()) chart_uncertainty = uncertainty_of_charts(given);
    if (const auto cell = optional(given, "cell")) {
        cell_m = within(parse_length(*cell, "--cell").metres(), {0.1, 10000}, *cell, "--cell",
                        "give 0.1 to 10000 m");
    }
    area = AreaOptions::accept(given);
    const auto clearance = given["clearance-datum"].as<std::string>();
    const double clearance_datum_m =
        within(parse_length(clearance, "--clearance-datum").metres(), {0, 30}, clearance, "--clearance-datum",
               "give 0 to 30 m above chart datum");
    if (const auto by = optional(given, "rode-by")) {
        const std::vector<std::string> words = words_of("survey|sounder|source");
        const auto word = std::find(words.begin(), words.end(), *by);
        if (word == words.end()) {
            throw InputError("--rode-by", "\"" + *by + "\" is none of them",
                             "give survey, sounder or source");
        }
        constexpr std::array kinds = {RodeBy::survey, RodeBy::sounder, RodeBy::source};
        rode_by = kinds.at(static_cast<std::size_t>(word - words.begin()));
    }
    const std::string ground = given["seabed"].as<std::string>();
    const auto named = seabed_named(ground);
    if (!named) {
        throw InputError("--seabed", "\"" + ground + "\" is no seabed",
                         cure_for_word(ground, words_of("SEABED")));
    }
    seabed = *named;
    boat_files = several(given, boat_needed.name);
    refuse_boats_twice(boat_files);
    if (tide.file.empty()) levels = level_requests(given);
    conditions = conditions_of(given, {levels.low.level_m, levels.high.level_m});
    conditions.water.clearance_datum_m = clearance_datum_m;
    return given;
}

std::vector<OpenQuestion> JobOptions::unsaid() const { return unsaid_of(bathymetry, given_); }

std::vector<std::string> JobOptions::input_files(const po::variables_map& given) const {
    std::vector<std::string> all = hazards.input_files();
    for (const std::string& file : level_files(*this)) {
        all.push_back(file);
    }
    for (const BathymetryRequest& request : bathymetry) {
        all.push_back(request.file);
    }
    all.insert(all.end(), boat_files.begin(), boat_files.end());
    if (!tide.file.empty()) all.push_back(tide.file);
    if (const auto plan = optional(given, "plan")) all.push_back(*plan);
    return all;
}

SeaRequest JobOptions::sea() const {
    SeaRequest request;
    request.bathymetry = bathymetry;
    request.charts = hazards.charts;
    request.hazards = hazards.files;
    request.rules = hazards.rules();
    if (cell_m) request.cell_m = *cell_m;
    request.chart_uncertainty = chart_uncertainty;
    request.zone_margin = hazards.zone_margin;
    request.allowed = hazards.allowed;
    return request;
}

/// The outline of a box is a curve in the grid, so many points of it are taken.
Window window_of(const std::optional<GivenArea>& area, const Grid& grid, const Georeference& georeference,
                 const std::string& source) {
    if (!area) return grid.extent();
    const auto [west, south, east, north] = area->box;
    constexpr int steps = 64;
    double left = std::numeric_limits<double>::infinity(), top = left, right = -left, bottom = -left;
    const auto take = [&](double lon, double lat) {
        const GridPoint p = georeference.grid_point({lon, lat});
        left = std::min(left, p.x);
        right = std::max(right, p.x);
        top = std::min(top, p.y);
        bottom = std::max(bottom, p.y);
    };
    for (int i = 0; i <= steps; ++i) {
        const double t = static_cast<double>(i) / steps;
        take(west + t * (east - west), south);
        take(west + t * (east - west), north);
        take(west, south + t * (north - south));
        take(east, south + t * (north - south));
    }
    const Window all = grid.extent();
    const auto cell = [](double v, int end) { return static_cast<int>(std::clamp(v, -1.0, end + 1.0)); };
    const int col = cell(std::floor(left), all.cols), row = cell(std::floor(top), all.rows);
    const Window asked{col, row, cell(std::ceil(right), all.cols) - col,
                       cell(std::ceil(bottom), all.rows) - row};
    const Window window = common(asked, all);
    if (window.empty()) {
        throw InputError(area->option, "lies outside " + source, "give an area that meets it");
    }
    return window;
}

/// Notes the file before it is read.
std::optional<StayTide> FilesOfJob::tide() {
    if (options_.tide.file.empty()) return std::nullopt;
    require_planned(options_.planned_paths);
    inputs_.note(options_.tide.file);
    return options_.tide.open();
}

/// Notes what is named before any of it is read.
Sea FilesOfJob::sea(CellChoice choose_cell) {
    require_planned(options_.planned_paths);
    for (const std::string& file : options_.boat_files) {
        inputs_.note(file);
    }
    for (const BathymetryRequest& request : options_.bathymetry) {
        inputs_.note(request.file);
    }
    for (const std::string& file : level_files(options_)) {
        inputs_.note(file);
    }
    options_.hazards.note(inputs_);
    tell("opening what there is");
    SeaRequest request = options_.sea();
    if (!options_.cell_m) request.choose_cell = std::move(choose_cell);
    try {
        Sea sea(std::move(request), kept_->sea);
        for (const std::string& file : sea.depth_files()) {
            inputs_.note_also(file);
        }
        return sea;
    } catch (const UnsaidError&) {
        // The first of perhaps several.
        if (const auto all = options_.unsaid(); all.size() > 1) throw OpenQuestions(all);
        throw;
    }
}

Boat FilesOfJob::boat(const std::string& file) { return read_boat_file(file); }

StayLevels FilesOfJob::levels(const Grid& grid, const std::string& grid_name) {
    StayLevels levels = open_levels(options_.levels, grid, grid_name);
    for (const std::string& file : levels.files()) {
        inputs_.note_also(file);
    }
    return levels;
}

std::vector<InputFile> FilesOfJob::digested(const std::vector<std::string>& files) const {
    std::vector<InputFile> inputs = inputs_.digested(files, kept_->digests);
    kept_->sea.require_as_opened(); // those too that were noted by nobody
    return inputs;
}

std::vector<SampledInput> FilesOfJob::sampled(const std::vector<std::string>& files) const {
    return inputs_.sampled(files);
}

} // namespace swingroom::cli
