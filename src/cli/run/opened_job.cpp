#include "cli/run/opened_job.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/report/boat_facts.hpp"
#include "swingroom/report/tide_facts.hpp"
#include "swingroom/room/distance.hpp"

#include "base/text.hpp"
#include "cli/console.hpp"
#include "cli/options/hazard_options.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/chart_cells.hpp"
#include "cli/run/each_boat.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <ranges>
#include <utility>

namespace swingroom::cli {
namespace {

constexpr const char* level_error_key = "policy.level_error";

bool says_level_error(const Boat& boat) {
    return std::ranges::any_of(boat.as_read, [](const auto& read) { return read.first == level_error_key; });
}

/// How far the nearest point of a window is from a place, in metres.
double distance_to(const Window& window, LonLat place, const Georeference& georeference) {
    const GridPoint at = georeference.grid_point(place);
    const double left = window.col, top = window.row, right = window.col_end(), bottom = window.row_end();
    const GridPoint nearest{std::clamp(at.x, left, right), std::clamp(at.y, top, bottom)};
    return geodesic(place, georeference.lonlat(nearest)).distance_m;
}

/// What is to be said of a station that is far from what is looked at; nothing of one that is near. Ten miles
/// are common practice, no source.
std::string warning_of_distance(const StayTide& tide, const Window& window, const Georeference& georeference,
                                const Measures& measures) {
    if (!tide.place) return {};
    const double distance_m = distance_to(window, {tide.place->lon, tide.place->lat}, georeference);
    if (distance_m <= Length::nautical_miles(10).metres()) return {};
    return tide.file + ": its station" + (tide.station.empty() ? "" : ", " + tide.station + ",") + " lies " +
           distance_text(distance_m, measures) +
           " from what is looked at, where the range and the times of the tide may be others";
}

/// Where the seabed is steeper than this, rise over run, the tables need not serve rode by the sounder.
constexpr double steepest_sounded = 0.25;

/// "a, b and c"; of more than that the first and how many more.
std::string named(const std::vector<std::string>& files) {
    constexpr std::size_t most = 3;
    if (files.size() == 1) return files.front();
    if (files.size() > most) return files.front() + " and " + std::to_string(files.size() - 1) + " more";
    return joined({files.begin(), files.end() - 1}, ", ") + " and " + files.back();
}

std::optional<StayTide> opened_tide(const JobOptions& options, JobInputs& inputs) {
    if (options.tide.file.empty()) return std::nullopt;
    tell("reading the tide");
    std::optional<StayTide> tide = inputs.tide();
    for (const std::string& note : tide ? tide->notes : std::vector<std::string>()) {
        tell(note);
    }
    return tide;
}

void append(std::vector<Fact>& to, std::vector<Fact> more) {
    std::move(more.begin(), more.end(), std::back_inserter(to));
}

/// Each file once.
void add_files(std::vector<std::string>& to, const std::vector<std::string>& more) {
    for (const std::string& file : more) {
        if (std::find(to.begin(), to.end(), file) == to.end()) to.push_back(file);
    }
}

} // namespace

OpenedJob::OpenedJob(const JobOptions& options, const ChooseWindow& choose, double around_m)
    : OpenedJob(options, nullptr, choose, around_m) {}

OpenedJob::OpenedJob(const JobOptions& options, std::unique_ptr<JobInputs> inputs, const ChooseWindow& choose,
                     double around_m)
    : options_(options), inputs_(inputs ? std::move(inputs) : std::make_unique<FilesOfJob>(options_)),
      tide_(opened_tide(options_, *inputs_)),
      sea_(inputs_->sea([this](const ChartsAlone& charts) { return chosen_cell_m(charts); })),
      around_m_(around_m) {
    const bool grid_is_by_boat = !boats_.empty();
    read_boats();
    raster_ = sea_.source();
    const std::size_t of_grid =
        options.bathymetry.empty() ? options.hazards.charts.size() : options.bathymetry.size();
    if (of_grid > 1) raster_ += " and " + std::to_string(of_grid - 1) + " more";
    const std::vector<std::string> of_area(sea_.sources().begin(),
                                           sea_.sources().begin() + static_cast<std::ptrdiff_t>(of_grid));
    window_ = choose(grid(), georeference(), named(of_area));
    open_levels_over(grid(), raster_);
    if (!grid_is_by_boat || levels_) make_tables(sea_.greatest_uncertainty_m());
    measure_boats();
    tell("reading the hazards");
    margin_sources_ = sources_of(sea_.rules());
    prepare_hazards();
    for (OpenedBoat& boat : boats_) {
        warn_of(boat);
    }
}

/// Whether the sea is one for each of the boats, and how far their circles reach.
void OpenedJob::measure_boats() {
    const CellSize cell = sea_.metric().least();
    const double covered_m = std::max(grid().cols * cell.dx_m, grid().rows * cell.dy_m);
    each_boat(boats_, &OpenedBoat::file, [&](OpenedBoat& boat) {
        if (covered_m < boat.boat.hull.length_m) {
            throw InputError(raster(),
                             "covers less than the boat's length of " +
                                 length_text(boat.boat.hull.length_m, Rounded::up, options_.measures),
                             "give a raster of the whole area");
        }
        const int halo = halo_cells(sea_.metric(), *boat.tables, window_);
        if (halo > RoomTransform::greatest_halo) {
            throw InputError(raster(),
                             "the cells are so small that a swinging circle spans more than 30000 of them",
                             "give --bounds away from the pole, or a coarser raster");
        }
        boat.known = common(grown(window_, halo), grid().extent());
        halo_ = std::max(halo_, halo);
    });
}

/// What is near depends on how far one looks: a boat that looks less far is told of what she would find.
void OpenedJob::prepare_hazards() {
    known_ = common(grown(window_, halo_), grid().extent());
    part_ = sea_.part(grown(window_, halo_), around_m_);
    for (OpenedBoat& boat : boats_) {
        if (boat.known == known_) {
            boat.around = &part_;
            continue;
        }
        const auto same = std::ranges::find_if(boats_, [&](const OpenedBoat& other) {
            return other.around != nullptr && other.known == boat.known;
        });
        boat.around = same != boats_.end() ? same->around
                                           : &narrower_.emplace_back(sea_.hazards(boat.known, around_m_));
    }
}

void OpenedJob::warn_of(OpenedBoat& boat) const {
    boat.waivers = warnings_of_lowered_margins(sea_.rules());
    for (const std::string& warning : warnings_of_allowed(boat.around->found)) {
        boat.waivers.push_back(warning);
    }
    boat.warnings = boat.waivers;
    for (const Warning& warning : boat.around->found.warnings) {
        boat.warnings.push_back(in_options(warning.message()));
    }
    if (boat.boat.policy.max_slope && !options_.hazards.charts.empty()) {
        boat.warnings.push_back(
            boat.file + ": max_slope is not judged in the depth areas of charts, whose edges are steps: "
                        "look at the soundings there");
    }
    for (const std::string& doubt : doubts_of_tide()) {
        boat.warnings.push_back(doubt);
    }
    if (coarse_cells(sea_.metric(), *boat.tables, window_)) {
        boat.warnings.push_back(
            raster() +
            ": the cells exceed a third of the least swinging radius; what they say of a "
            "room is coarse, " +
            (options_.bathymetry.empty() ? "give a smaller --cell" : "look for a finer raster"));
    }
}

void OpenedJob::widen(Window window) {
    const int left = std::min(known_.col, window.col), top = std::min(known_.row, window.row);
    const Window before = known_;
    known_ = common({left, top, std::max(known_.col_end(), window.col_end()) - left,
                     std::max(known_.row_end(), window.row_end()) - top},
                    grid().extent());
    boats_.front().known = known_;
    if (known_ == before) return;
    tell("reading more of the sea around");
    part_ = sea_.part(known_, around_m_);
}

void OpenedJob::open_levels_over(const Grid& grid, const std::string& source) {
    if (!options_.levels.vary()) return;
    tell("the water levels");
    levels_.emplace(inputs_->levels(grid, source));
}

TackleTables OpenedJob::tables_for_people(const OpenedBoat& boat) const {
    if (!levels_) return *boat.tables;
    Conditions widest = boat.tables->conditions();
    widest.water.high_m = levels_->greatest_high_m();
    return {boat.boat, widest, boat.tables->greatest_apart_m() / 2};
}

/// With a curve it is known how surely the level is known when she reads her sounder, unless her file says
/// so.
void OpenedJob::read_boats() {
    if (!boats_.empty()) return;
    each_boat(options_.boat_files, std::identity(), [&](const std::string& file) {
        OpenedBoat& opened = boats_.emplace_back();
        opened.file = file;
        opened.boat = inputs_->boat(file);
        if (!tide_) return;
        if (!says_level_error(opened.boat)) opened.boat.policy.level_error_m = level_error_m(*tide_);
        opened.boat.policy.level_within_m = level_within_m(*tide_);
    });
}

void OpenedJob::make_tables(double greatest_uncertainty_m) {
    tell("the boat's tables");
    Conditions conditions = options_.conditions;
    if (tide_) {
        const double clearance_datum_m = conditions.water.clearance_datum_m;
        conditions.water = tide_->stay.levels();
        conditions.water.clearance_datum_m = clearance_datum_m;
    }
    if (levels_) conditions.water = levels_->reference(conditions.water.clearance_datum_m);
    each_boat(boats_, &OpenedBoat::file, [&](OpenedBoat& of) {
        const double of_readings_m =
            options_.may_sound()
                ? (of.boat.reading_error_m() + of.boat.shoaler_than_reading_m(steepest_sounded)) / 2
                : 0;
        double uncertainty_m = std::max(greatest_uncertainty_m, of_readings_m);
        if (levels_) uncertainty_m += levels_->greatest_excess_m() / 2;
        of.tables = std::make_unique<TackleTables>(of.boat, conditions, uncertainty_m);
    });
}

std::vector<std::string> OpenedJob::doubts_of_tide() const {
    std::vector<std::string> doubts;
    if (!tide_) return doubts;
    for (const std::string& doubt : tide_->doubts) {
        doubts.push_back(tide_->file + ": " + doubt);
    }
    std::string far = warning_of_distance(*tide_, window_, georeference(), options_.measures);
    if (!far.empty()) doubts.push_back(std::move(far));
    return doubts;
}

double OpenedJob::chosen_cell_m(const ChartsAlone& charts) {
    // What is chosen does not ask for levels to the centimetre: any cells over the charts will do for them.
    constexpr double any_cells_m = 100;
    if (options_.levels.vary()) open_levels_over(charts.grid(any_cells_m), charts.source);
    read_boats();
    make_tables(charts.greatest_uncertainty_m);
    std::vector<ChartCells> of_boats;
    for (const OpenedBoat& boat : boats_) {
        of_boats.push_back(
            chart_cells(charts.largest_scale, boat.tables->least_radius_m(), [&](double side_m) {
                const Grid grid = charts.grid(side_m);
                if (!options_.area) return grid.extent().cells();
                return window_of(options_.area, grid, Georeference(grid, charts.source), charts.source)
                    .cells();
            }));
    }
    const double side_m = std::ranges::min(of_boats, {}, &ChartCells::side_m).side_m;
    for (std::size_t i = 0; i < boats_.size(); ++i) {
        if (of_boats[i].side_m > side_m) {
            boats_[i].cell_m = side_m;
        } else {
            boats_[i].cell_fact = assumed_fact("cells of the grid", "at most " + fixed(side_m, 1) +
                                                                        " m a side, " + of_boats[i].why);
        }
    }
    tell(fact_line(*cell_fact()));
    return side_m;
}

std::optional<Fact> OpenedJob::cell_fact() const {
    const auto chooser =
        std::ranges::find_if(boats_, [](const OpenedBoat& b) { return b.cell_fact.has_value(); });
    if (chooser == boats_.end()) return std::nullopt;
    std::optional<Fact> fact = chooser->cell_fact;
    if (std::ranges::any_of(boats_, [](const OpenedBoat& b) { return b.cell_m.has_value(); })) {
        fact->value += ", as " + chooser->file + " needs them";
    }
    return fact;
}

SeaView OpenedJob::view() const {
    SeaView view;
    view.depths = part_.depths.get();
    view.metric = &sea_.metric();
    view.hazards = part_.hazards.get();
    view.charted = &sea_.charted();
    view.window = window_;
    view.seabed = options_.seabed;
    view.rode_by = options_.rode_by;
    view.levels = levels_ ? &*levels_ : nullptr;
    return view;
}

OverlayJob OpenedJob::job(const OpenedBoat& boat) const {
    OverlayJob job;
    static_cast<SeaView&>(job) = view();
    job.hazards = boat.around->hazards.get();
    job.tables = boat.tables.get();
    job.wanted = {};
    job.tide = tide();
    return job;
}

OverlayJob OpenedJob::job_of_all(const OpenedBoat& boat) {
    OverlayJob all = job(boat);
    all.window = grid().extent();
    if (known_ != all.window && !all_) {
        tell("reading all of the sea");
        all_ = sea_.whole(around_m_);
    }
    const SeaPart& part = all_ ? *all_ : part_;
    all.depths = part.depths.get();
    all.hazards = part.hazards.get();
    return all;
}

AskedOfSea OpenedJob::asked() const {
    return {grown(window_, halo_), around_m_, false, window_, options_.measures};
}

std::vector<std::string> OpenedJob::files_with(const std::vector<std::string>& boat_files) const {
    std::vector<std::string> files = part_.depths->files();
    if (levels_) add_files(files, levels_->files());
    add_files(files, part_.found.files);
    files.insert(files.end(), boat_files.begin(), boat_files.end());
    if (tide_) files.push_back(tide_->file);
    if (!options_.hazards.rules_file.empty()) files.push_back(options_.hazards.rules_file);
    return files;
}

std::vector<std::string> OpenedJob::files(const OpenedBoat& boat) const { return files_with({boat.file}); }
std::vector<std::string> OpenedJob::files() const { return files_with(options_.boat_files); }

std::vector<Fact> OpenedJob::facts_of_depths() const {
    std::vector<Fact> facts;
    for (const Fact& assumption : part_.depths->assumptions()) {
        facts.push_back({"depths", fact_line(assumption)});
    }
    for (const Fact& level : levels_ ? levels_->facts() : std::vector<Fact>()) {
        facts.push_back({"water", fact_line(level)});
    }
    return facts;
}

std::vector<Fact> OpenedJob::facts_of_hazards() const {
    Provenance provenance; // whose facts options add to
    options_.hazards.add_facts(provenance, sea_.rules());
    for (const std::string& note : part_.found.notes) {
        provenance.facts.push_back({"chart", note});
    }
    return provenance.facts;
}

std::vector<Fact> OpenedJob::facts(const OpenedBoat& boat) const {
    std::vector<Fact> facts;
    if (boat.cell_fact) facts.push_back(*boat.cell_fact);
    append(facts, facts_of_depths());
    for (const auto& [key, value] : boat.boat.as_read) {
        facts.push_back({"boat " + key, value});
    }
    if (tide_) append(facts, tide_facts(*tide_));
    append(facts, boat_assumptions(boat.boat, boat.tables->conditions()));
    if (options_.may_sound()) {
        for (Fact& fact : sounder_assumptions(boat.boat)) {
            if (tide_ && fact.name == level_error_key) {
                fact.value +=
                    ", half the width of the tide's bounds at arrival, or how far they reach below the "
                    "prediction";
            }
            facts.push_back(std::move(fact));
        }
    }
    append(facts, facts_of_hazards());
    for (const std::string& warning : boat.warnings) {
        facts.push_back(warning_fact(warning));
    }
    return facts;
}

std::vector<Fact> OpenedJob::common_facts() const {
    std::vector<Fact> facts;
    if (const std::optional<Fact> cells = cell_fact()) facts.push_back(*cells);
    append(facts, facts_of_depths());
    if (tide_) append(facts, tide_facts(*tide_));
    append(facts, facts_of_hazards());
    return facts;
}

} // namespace swingroom::cli
