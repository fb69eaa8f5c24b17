#include "swingroom/sea/sea.hpp"

#include "swingroom/sea/chart_depths.hpp"

#include "sea/cells/charted.hpp"
#include "sea/cells/charted_depths.hpp"
#include "sea/cells/charted_soundings.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/cells/place_names.hpp"
#include "sea/depths/chart_over_raster.hpp"
#include "sea/depths/soundings_over_raster.hpp"
#include "sea/files/days.hpp"
#include "sea/ground/vicinity.hpp"
#include "sea/hazards/found_hazards.hpp"
#include "sea/inspected.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <utility>

namespace swingroom {
namespace {

/// Files that are no charts already, each once.
std::vector<std::string> others_than(const std::vector<std::string>& charts,
                                     const std::vector<std::string>& hazards) {
    std::vector<std::string> others;
    for (const std::string& file : hazards) {
        if (std::find(charts.begin(), charts.end(), file) == charts.end() &&
            std::find(others.begin(), others.end(), file) == others.end()) {
            others.push_back(file);
        }
    }
    return others;
}

/// The largest compilation scale of any of the cells, 1 to this many; 0: none states one.
int largest_scale(const EncCells& cells) {
    int largest = 0;
    for (const auto& cell : cells.cells()) {
        if (cell->scale() > 0 && (largest == 0 || cell->scale() < largest)) largest = cell->scale();
    }
    return largest;
}

Grid grid_for_charts(const EncCells& cells, const SeaRequest& request) {
    if (!request.choose_cell) return chart_grid(cells, request.cell_m);
    const auto grid = [&](double cell_m) { return chart_grid(cells, cell_m); };
    return grid(
        request.choose_cell({largest_scale(cells), greatest_chart_uncertainty_m(request.chart_uncertainty),
                             request.charts.front(), grid}));
}

/// Hands on what another source holds, which outlives it: a part's source that is the whole sea's.
class SharedDepths final : public DepthSource {
public:
    explicit SharedDepths(std::shared_ptr<const DepthSource> lender) : lender_(std::move(lender)) {}
    [[nodiscard]] const Grid& grid() const override { return lender_->grid(); }
    void read(Window where, DepthPlanes& depths) const override { lender_->read(where, depths); }
    void read_with_parts(Window where, DepthPlanes& depths) const override {
        lender_->read_with_parts(where, depths);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return lender_->greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return lender_->assumptions(); }
    [[nodiscard]] std::vector<Warning> doubts() const override { return lender_->doubts(); }
    [[nodiscard]] std::vector<std::string> files() const override { return lender_->files(); }
    [[nodiscard]] std::vector<std::string> sources() const override { return lender_->sources(); }
    [[nodiscard]] std::vector<SurveyTerms> survey_terms() const override { return lender_->survey_terms(); }

private:
    std::shared_ptr<const DepthSource> lender_;
};

} // namespace

struct Sea::State {
    explicit State(SeaRequest wanted)
        : request(std::move(wanted)),
          raster(request.bathymetry.empty() ? nullptr : open_bathymetry(request.bathymetry)),
          files(request.charts, others_than(request.charts, request.hazards)),
          grid(raster ? raster->grid() : grid_for_charts(files.chart_cells(), request)),
          sources(raster ? raster->sources() : request.charts), georeference(grid, sources.front()),
          charted(charted_depths(files)) {
        if (raster) depth_files = raster->files();
        for (const VectorFile& chart : files.charts()) {
            for (const std::string& name : chart.files()) {
                depth_files.push_back(name);
            }
        }
        if (raster) sources.insert(sources.end(), request.charts.begin(), request.charts.end());
    }

    SeaRequest request;
    std::shared_ptr<const DepthSource> raster; ///< none: charts alone
    OpenedFiles files;
    Grid grid;
    std::vector<std::string> sources, depth_files;
    Georeference georeference;
    std::unique_ptr<ChartedDepths> charted;
    std::optional<GroundMetric> metric;
    std::optional<HazardReader> reader;
    std::shared_ptr<const ChartStatements> statements;
    std::optional<std::vector<ChartedSounding>> all_soundings; ///< soundings()
    std::optional<std::vector<Warning>> off_the_charts;        ///< rasters that charts say are wrong

    [[nodiscard]] bool both() const { return raster && !files.charts().empty(); }
    /// The soundings of the charts, looked up when they are first asked for.
    const std::vector<ChartedSounding>& soundings() {
        if (!all_soundings) all_soundings = charted_soundings(files.charts(), files.chart_cells());
        return *all_soundings;
    }
    /// What soundings spread over all of the charts say of the rasters: of few enough that any part of the
    /// sea is ready at once.
    const std::vector<Warning>& rasters_off_the_charts() {
        constexpr std::size_t most_asked = 300;
        if (off_the_charts) return *off_the_charts;
        off_the_charts.emplace();
        const std::vector<AgainstCharts> found =
            against_charts(*raster, georeference, soundings(), most_asked);
        for (std::size_t i = 0; i < found.size(); ++i) {
            if (auto doubt = doubt_of(found[i])) off_the_charts->push_back({sources[i], std::move(*doubt)});
        }
        return *off_the_charts;
    }
    /// What the dates of surveys and charts leave open, told once: a sentence for each survey.
    [[nodiscard]] std::vector<std::string> told_of_dates() const {
        int issued = 0;
        for (const auto& cell : files.chart_cells().cells()) {
            issued = std::max(issued, cell->issued());
        }
        std::vector<std::string> told;
        const std::vector<SurveyTerms> terms = raster->survey_terms();
        for (std::size_t i = 0; i < terms.size(); ++i) {
            const int day = terms[i].measured_by;
            if (!terms[i].is_survey || (day != 0 && day >= issued && issued != 0)) continue;
            told.push_back(
                sources[i] +
                (day != 0 ? " was surveyed by " + day_text(day)
                          : ", a survey, does not say when it was measured") +
                ", and the charts were issued " +
                (issued != 0 ? "up to " + day_text(issued) : std::string("nobody knows when")) +
                ": where a zone of confidence does not say when it was surveyed, the chart may be the newer");
        }
        return told;
    }
    /// Neighbourhoods of soundings that are shoaler than a survey.
    std::vector<SoundingDisc> discs(const Vicinity& near) {
        const std::vector<SurveyTerms> terms = raster->survey_terms();
        const bool any =
            std::any_of(terms.begin(), terms.end(), [](const SurveyTerms& t) { return t.is_survey; });
        if (!any) return {};
        return shoaler_than_surveys(*raster, georeference, soundings(), near);
    }
};

Sea::Sea(SeaRequest request) : state_(std::make_unique<State>(std::move(request))) {}
Sea::~Sea() = default;
Sea::Sea(Sea&&) noexcept = default;
Sea& Sea::operator=(Sea&&) noexcept = default;

const Grid& Sea::grid() const { return state_->grid; }
const Georeference& Sea::georeference() const { return state_->georeference; }
const std::string& Sea::source() const { return state_->sources.front(); }
const std::vector<std::string>& Sea::sources() const { return state_->sources; }
const std::vector<std::string>& Sea::depth_files() const { return state_->depth_files; }
const std::vector<HazardRule>& Sea::rules() const { return state_->request.rules; }
const ChartedDepths& Sea::charted() const { return *state_->charted; }

const GroundMetric& Sea::metric() const {
    if (!state_->metric) state_->metric = ground_metric(state_->grid, source());
    return *state_->metric;
}

double Sea::greatest_uncertainty_m() const {
    const State& state = *state_;
    if (!state.raster) return greatest_chart_uncertainty_m(state.request.chart_uncertainty);
    const double raster_m = state.raster->greatest_uncertainty_m();
    if (state.files.charts().empty()) return raster_m;
    return greatest_uncertainty_over_raster_m(raster_m, greatest_chart_uncertainty_m(std::nullopt));
}

SeaPart Sea::part(Window window, double reach_m) const {
    const State& state = *state_;
    const Window inside = common(window, state.grid.extent());
    const bool whole = inside == state.grid.extent();
    const Vicinity near =
        whole || inside.empty() ? Vicinity() : Vicinity(state.georeference, inside, reach_m);
    SeaPart part;
    const bool charted = !state.files.charts().empty();
    std::unique_ptr<DepthSource> charts;
    if (charted && !state_->statements) {
        state_->statements = chart_statements(state.files, state.grid, metric());
    }
    if (charted) {
        charts = chart_depths(state.files, *state.statements, state.grid, metric(),
                              state.raster ? std::nullopt : state.request.chart_uncertainty,
                              state.raster ? ChartGaps::bounds : ChartGaps::unsurveyed,
                              state.raster ? state_->discs(near) : std::vector<SoundingDisc>(), near, inside);
    }
    if (!state.raster) {
        part.depths = std::move(charts);
    } else if (charted) {
        part.depths = chart_over_raster(std::make_unique<SharedDepths>(state.raster), std::move(charts));
    } else {
        part.depths = std::make_unique<SharedDepths>(state.raster);
    }

    HazardTerms terms;
    // Several rasters may be of several makes: then nothing is known of what lies between them.
    const auto& rasters = state.request.bathymetry;
    if (rasters.size() == 1 && rasters.front().uncertainty) terms.uncertainty = *rasters.front().uncertainty;
    if (!state.raster && state.request.chart_uncertainty) {
        terms.uncertainty = *state.request.chart_uncertainty;
    }
    terms.zone_margin = state.request.zone_margin;
    terms.allowed = state.request.allowed;
    if (!state_->reader) {
        state_->reader.emplace(state.files.all(), state.files.all_cells(), state.request.rules, state.grid,
                               metric());
    }
    part.found = state_->reader->read(terms, near);
    if (state.raster) {
        for (Warning& doubt : state.raster->doubts()) {
            part.found.warnings.push_back(std::move(doubt));
        }
    }
    if (state.both()) {
        for (const Warning& warning : state_->rasters_off_the_charts()) {
            part.found.warnings.push_back(warning);
        }
        for (std::string& told : state_->told_of_dates()) {
            part.found.notes.push_back(std::move(told));
        }
    }
    part.hazards =
        std::make_unique<HazardField>(std::move(part.found.hazards), state.grid.extent(), metric(), inside);
    return part;
}

std::vector<PlaceName> Sea::place_names(Window window) const {
    return swingroom::place_names(state_->files.all(), state_->georeference, window);
}

std::vector<Inspection> Sea::inspections(const Measures& measures) const {
    std::vector<Inspection> found;
    const std::vector<ChartedSounding> none;
    for (const BathymetryRequest& request : state_->request.bathymetry) {
        found.push_back(inspected(request, state_->both() ? state_->soundings() : none, measures));
    }
    for (const VectorFile& file : state_->files.all()) {
        found.push_back(inspected(file, state_->files.cells_of(file), state_->request.rules, measures));
    }
    return found;
}

} // namespace swingroom
