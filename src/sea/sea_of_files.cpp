#include "sea/sea_of_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/chart_depths.hpp"

#include "sea/cells/charted.hpp"
#include "sea/cells/charted_depths.hpp"
#include "sea/cells/charted_soundings.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/cells/place_names.hpp"
#include "sea/depths/chart_over_raster.hpp"
#include "sea/depths/open_rasters.hpp"
#include "sea/depths/shared_depths.hpp"
#include "sea/depths/soundings_over_raster.hpp"
#include "sea/files/days.hpp"
#include "sea/ground/vicinity.hpp"
#include "sea/hazards/found_hazards.hpp"
#include "sea/inspected.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

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

/// With cells of a grid for charts alone that nobody need choose any more.
SeaRequest with_cells_chosen(SeaRequest request, const EncCells& cells) {
    const CellChoice choose_cell = std::exchange(request.choose_cell, nullptr);
    if (!choose_cell || !request.bathymetry.empty()) return request;
    const auto grid = [&](double cell_m) { return chart_grid(cells, cell_m); };
    request.cell_m =
        choose_cell({largest_scale(cells), greatest_chart_uncertainty_m(request.chart_uncertainty),
                     request.charts.front(), grid});
    return request;
}

/// Whether the same files are named, and the same is said of rasters.
bool names_the_same(const SeaRequest& a, const SeaRequest& b) {
    return std::tie(a.bathymetry, a.charts, a.hazards) == std::tie(b.bathymetry, b.charts, b.hazards);
}

/// Of requests that leave no cells to be chosen.
bool asks_the_same(const SeaRequest& a, const SeaRequest& b) {
    return names_the_same(a, b) &&
           std::tie(a.rules, a.cell_m, a.chart_uncertainty, a.zone_margin, a.allowed) ==
               std::tie(b.rules, b.cell_m, b.chart_uncertainty, b.zone_margin, b.allowed);
}

} // namespace

/// What there is in files.
class SeaOfFiles final : public SeaSource {
public:
    /// @param wanted  leaves no cells to be chosen   @param raster  null: charts alone
    /// @param opened  charts and other files
    SeaOfFiles(SeaRequest wanted, std::shared_ptr<const DepthSource> raster,
               std::shared_ptr<const OpenedFiles> opened)
        : request_(std::move(wanted)), raster_(std::move(raster)), opened_(std::move(opened)),
          files_(*opened_),
          grid_(raster_ ? raster_->grid() : chart_grid(files_.chart_cells(), request_.cell_m)),
          sources_(raster_ ? raster_->sources() : request_.charts), georeference_(grid_, sources_.front()),
          charted_(swingroom::charted_depths([this] { return charted_cells(); })) {
        if (raster_) depth_files_ = raster_->files();
        for (const VectorFile& chart : files_.charts()) {
            for (const std::string& name : chart.files()) {
                depth_files_.push_back(name);
            }
        }
        if (raster_) sources_.insert(sources_.end(), request_.charts.begin(), request_.charts.end());
    }

    [[nodiscard]] const SeaRequest& request() const { return request_; }
    [[nodiscard]] const std::shared_ptr<const DepthSource>& raster() const { return raster_; }
    [[nodiscard]] const std::shared_ptr<const OpenedFiles>& files() const { return opened_; }

    [[nodiscard]] const Grid& grid() const override { return grid_; }
    [[nodiscard]] const Georeference& georeference() const override { return georeference_; }
    [[nodiscard]] const std::vector<std::string>& sources() const override { return sources_; }
    [[nodiscard]] const std::vector<std::string>& depth_files() const override { return depth_files_; }
    [[nodiscard]] const std::vector<HazardRule>& rules() const override { return request_.rules; }
    [[nodiscard]] double greatest_uncertainty_m() const override;
    [[nodiscard]] std::unique_ptr<DepthSource> depths(Window inside, double reach_m) override;
    [[nodiscard]] HazardSet hazards(Window inside, double reach_m) override;
    [[nodiscard]] const ChartedDepths& charted() const override { return *charted_; }
    [[nodiscard]] std::vector<ChartedCell> charted_cells() const override {
        return read_charted_cells(files_);
    }
    [[nodiscard]] std::vector<PlaceName> place_names(Window window) const override {
        return swingroom::place_names(files_.all(), georeference_, window);
    }
    [[nodiscard]] std::vector<Inspection> inspections(const Measures& measures) override;

private:
    /// What is near enough to a window to bear on it.
    [[nodiscard]] Vicinity near(Window inside, double reach_m) const {
        const bool all = inside == grid_.extent() || inside.empty();
        return all ? Vicinity() : Vicinity(georeference_, inside, reach_m);
    }
    [[nodiscard]] HazardTerms hazard_terms() const;
    [[nodiscard]] bool both() const { return raster_ && !files_.charts().empty(); }
    /// The soundings of the charts, looked up when they are first asked for.
    const std::vector<ChartedSounding>& soundings() {
        if (!all_soundings_) all_soundings_ = charted_soundings(files_.charts(), files_.chart_cells());
        return *all_soundings_;
    }
    /// What soundings spread over all of the charts say of the rasters: of few enough that any part of the
    /// sea is ready at once.
    const std::vector<Warning>& rasters_off_the_charts() {
        constexpr std::size_t most_asked = 300;
        if (off_the_charts_) return *off_the_charts_;
        off_the_charts_.emplace();
        const std::vector<AgainstCharts> found =
            against_charts(*raster_, georeference_, soundings(), most_asked);
        for (std::size_t i = 0; i < found.size(); ++i) {
            if (auto doubt = doubt_of(found[i])) off_the_charts_->push_back({sources_[i], std::move(*doubt)});
        }
        return *off_the_charts_;
    }
    /// What the dates of surveys and charts leave open, told once: a sentence for each survey.
    [[nodiscard]] std::vector<std::string> told_of_dates() const {
        int issued = 0;
        for (const auto& cell : files_.chart_cells().cells()) {
            issued = std::max(issued, cell->issued());
        }
        std::vector<std::string> told;
        const std::vector<SurveyTerms> terms = raster_->survey_terms();
        for (std::size_t i = 0; i < terms.size(); ++i) {
            const int day = terms[i].measured_by;
            if (!terms[i].is_survey || (day != 0 && day >= issued && issued != 0)) continue;
            told.push_back(
                sources_[i] +
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
        const std::vector<SurveyTerms> terms = raster_->survey_terms();
        const bool any =
            std::any_of(terms.begin(), terms.end(), [](const SurveyTerms& t) { return t.is_survey; });
        if (!any) return {};
        return shoaler_than_surveys(*raster_, georeference_, soundings(), near);
    }

    SeaRequest request_;
    std::shared_ptr<const DepthSource> raster_; ///< none: charts alone
    std::shared_ptr<const OpenedFiles> opened_;
    const OpenedFiles& files_; ///< the same
    Grid grid_;
    std::vector<std::string> sources_, depth_files_;
    Georeference georeference_;
    std::unique_ptr<ChartedDepths> charted_;
    std::optional<HazardReader> reader_;
    std::shared_ptr<const ChartStatements> statements_;
    std::optional<std::vector<ChartedSounding>> all_soundings_; ///< soundings()
    std::optional<std::vector<Warning>> off_the_charts_;        ///< rasters that charts say are wrong
    std::vector<Inspection> inspected_;                         ///< what inspections() told last ...
    std::optional<Measures> inspected_in_;                      ///< ... in these; none: it was not asked
};

double SeaOfFiles::greatest_uncertainty_m() const {
    if (!raster_) return greatest_chart_uncertainty_m(request_.chart_uncertainty);
    const double raster_m = raster_->greatest_uncertainty_m();
    if (files_.charts().empty()) return raster_m;
    return greatest_uncertainty_over_raster_m(raster_m, greatest_chart_uncertainty_m(std::nullopt));
}

std::unique_ptr<DepthSource> SeaOfFiles::depths(Window inside, double reach_m) {
    if (files_.charts().empty()) return std::make_unique<SharedDepths>(raster_);
    if (!statements_) statements_ = chart_statements(files_, grid_, metric());
    const Vicinity around = near(inside, reach_m);
    std::unique_ptr<DepthSource> charts = chart_depths(
        files_, *statements_, grid_, metric(), raster_ ? std::nullopt : request_.chart_uncertainty,
        raster_ ? ChartGaps::bounds : ChartGaps::unsurveyed,
        raster_ ? discs(around) : std::vector<SoundingDisc>(), around, inside);
    if (!raster_) return charts;
    return chart_over_raster(std::make_unique<SharedDepths>(raster_), std::move(charts));
}

HazardTerms SeaOfFiles::hazard_terms() const {
    HazardTerms terms;
    // Several rasters may be of several makes: then nothing is known of what lies between them.
    const auto& rasters = request_.bathymetry;
    if (rasters.size() == 1 && rasters.front().uncertainty) terms.uncertainty = *rasters.front().uncertainty;
    if (!raster_ && request_.chart_uncertainty) terms.uncertainty = *request_.chart_uncertainty;
    terms.zone_margin = request_.zone_margin;
    terms.allowed = request_.allowed;
    return terms;
}

HazardSet SeaOfFiles::hazards(Window inside, double reach_m) {
    if (!reader_) {
        reader_.emplace(files_.all(), files_.all_cells(), request_.rules, grid_, metric());
    }
    HazardSet found = reader_->read(hazard_terms(), near(inside, reach_m));
    if (raster_) {
        for (Warning& doubt : raster_->doubts()) {
            found.warnings.push_back(std::move(doubt));
        }
    }
    if (both()) {
        for (const Warning& warning : rasters_off_the_charts()) {
            found.warnings.push_back(warning);
        }
        for (std::string& told : told_of_dates()) {
            found.notes.push_back(std::move(told));
        }
    }
    return found;
}

std::vector<Inspection> SeaOfFiles::inspections(const Measures& measures) {
    if (inspected_in_ == measures) return inspected_;
    std::vector<Inspection> found;
    const std::vector<ChartedSounding> none;
    for (const BathymetryRequest& request : request_.bathymetry) {
        found.push_back(inspected(request, both() ? soundings() : none, measures));
    }
    for (const VectorFile& file : files_.all()) {
        found.push_back(inspected(file, files_.cells_of(file), request_.rules, measures));
    }
    inspected_ = std::move(found);
    inspected_in_ = measures;
    return inspected_;
}

/// What is let go of goes before anything is opened in its place, so that both never need room at once.
void KeptFiles::let_go_of_others(const SeaRequest& request) {
    std::vector<std::string> named = request.charts;
    named.insert(named.end(), request.hazards.begin(), request.hazards.end());
    const auto unwanted = std::erase_if(rasters_, [&](const auto& kept) {
        const auto& all = request.bathymetry;
        return std::find(all.begin(), all.end(), kept.first) == all.end() || !kept.second.still_holds();
    });
    const bool any = vectors_.keep(named) || unwanted > 0;
    if (any || (last_ && !names_the_same(last_->request(), request))) last_.reset();
}

std::unique_ptr<DepthSource> KeptFiles::raster(const BathymetryRequest& request) {
    auto kept =
        std::find_if(rasters_.begin(), rasters_.end(), [&](const auto& one) { return one.first == request; });
    if (kept == rasters_.end()) {
        std::vector<std::string> named = {request.file};
        if (request.chart_datum_file) named.push_back(*request.chart_datum_file);
        rasters_.emplace_back(
            request, Stamped<std::shared_ptr<const DepthSource>>(
                         named, Beside::counted, [&] { return open_bathymetry(request); },
                         [](const std::shared_ptr<const DepthSource>& raster) { return raster->files(); }));
        kept = rasters_.end() - 1;
    }
    return std::make_unique<SharedDepths>(kept->second.opened());
}

void KeptFiles::require_as_opened() const {
    std::string changed = vectors_.first_rewritten();
    for (const auto& [request, raster] : rasters_) {
        if (changed.empty()) changed = raster.first_rewritten();
    }
    if (!changed.empty()) throw IoError(changed, "changed during the run; run again");
}

std::shared_ptr<SeaSource> KeptFiles::sea(SeaRequest request) {
    let_go_of_others(request);
    std::shared_ptr<const DepthSource> raster = last_ ? last_->raster() : nullptr;
    std::shared_ptr<const OpenedFiles> files = last_ ? last_->files() : nullptr;
    if (!last_) {
        if (!request.bathymetry.empty()) {
            raster = open_rasters(request.bathymetry,
                                  [this](const BathymetryRequest& one) { return this->raster(one); });
        }
        files = std::make_shared<OpenedFiles>(request.charts, others_than(request.charts, request.hazards),
                                              vectors_);
    }
    request = with_cells_chosen(std::move(request), files->chart_cells());
    if (last_ && asks_the_same(last_->request(), request)) return last_;
    last_.reset();
    last_ = std::make_shared<SeaOfFiles>(std::move(request), std::move(raster), std::move(files));
    return last_;
}

} // namespace swingroom
