#include "sea/depths/chart_over_raster.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/raster/bathymetry_values.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <utility>

namespace swingroom {
namespace {

using bathymetry::unsurveyed;

template <class T>
std::vector<T> joined(std::vector<T> first, const std::vector<T>& more) {
    first.insert(first.end(), more.begin(), more.end());
    return first;
}

/// What a source says of a cell: its own number, or the only one there is.
std::uint8_t number_of(const DepthPlanes& depths, std::size_t cell) {
    return depths.source.size() > 0 ? depths.source.data()[cell] : std::uint8_t{1};
}

class ChartOverRaster final : public DepthSource {
public:
    ChartOverRaster(std::unique_ptr<DepthSource> raster, std::unique_ptr<DepthSource> chart)
        : raster_(std::move(raster)), chart_(std::move(chart)), of_raster_(raster_->sources().size()),
          alone_(raster_->survey_terms()), together_(together(alone_)) {
        for (int zone = 0; zone <= zone_not_assessed; ++zone) {
            half_widths_.push_back(zone_uncertainty(zone));
        }
        assert(raster_->grid().extent() == chart_->grid().extent());
        assert(sources().size() <= most_sources);
    }
    [[nodiscard]] const Grid& grid() const override { return raster_->grid(); }
    void read(Window where, DepthPlanes& depths) const override {
        read_all(where, depths, nullptr);
        depths.partial.reset({});
    }
    void read_with_parts(Window where, DepthPlanes& depths) const override {
        Plane<std::uint8_t> partial(where, 0);
        read_all(where, depths, &partial);
        depths.partial = std::move(partial);
    }
    [[nodiscard]] std::int64_t decoded_bytes(Window where) const override {
        return raster_->decoded_bytes(where);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override {
        return greatest_uncertainty_over_raster_m(raster_->greatest_uncertainty_m(),
                                                  chart_->greatest_uncertainty_m());
    }
    [[nodiscard]] std::vector<Fact> assumptions() const override {
        std::vector<Fact> notes = joined(raster_->assumptions(), chart_->assumptions());
        notes.push_back({"chart over raster", "the shoaler of both for the keel; for the rode the raster's "
                                              "deep side, or the chart's shoal side where that is deeper"});
        if (any_survey()) {
            notes.push_back(
                {"chart over survey",
                 "where a survey's cells are no more than 1 mm at the chart's scale and 25 m, and it is no "
                 "less "
                 "certain than the chart's zone of confidence, the chart's depth areas do not count; its "
                 "soundings, dangers, dredged and swept depths, land, areas that dry and doubtful depths do, "
                 "and a sounding that is shoaler than the survey, or in a hole of it, counts half way to the "
                 "next; advice tells "
                 "where "
                 "survey and depth area differ by more than both may be off or the chart says that it was "
                 "surveyed "
                 "later: where either does not say when, look at the dates"});
        }
        return notes;
    }
    [[nodiscard]] std::vector<std::string> files() const override {
        return joined(raster_->files(), chart_->files());
    }
    [[nodiscard]] std::vector<std::string> sources() const override {
        return joined(raster_->sources(), chart_->sources());
    }

private:
    [[nodiscard]] bool any_survey() const {
        return std::any_of(alone_.begin(), alone_.end(), [](const SurveyTerms& t) { return t.is_survey; });
    }
    /// What several rasters are that bound a cell: no better than any of those that may be among them.
    /// @returns by the last of them
    static std::vector<SurveyTerms> together(std::vector<SurveyTerms> terms) {
        for (std::size_t i = 1; i < terms.size(); ++i) {
            const SurveyTerms& before = terms[i - 1];
            terms[i].is_survey = terms[i].is_survey && before.is_survey;
            terms[i].cell_m = std::max(terms[i].cell_m, before.cell_m);
            const bool either_unknown = terms[i].measured_by == 0 || before.measured_by == 0;
            terms[i].measured_by = either_unknown ? 0 : std::min(terms[i].measured_by, before.measured_by);
        }
        return terms;
    }
    /// Of the raster or rasters that bound a cell.
    [[nodiscard]] const SurveyTerms& terms_of(const DepthPlanes& raster, std::size_t cell) const {
        const std::uint8_t last = raster.joined.size() > 0 ? raster.joined.data()[cell] : std::uint8_t{0};
        return last > 0 ? together_[last - 1U] : alone_[number_of(raster, cell) - 1U];
    }
    [[nodiscard]] bool survey_counts(const SurveyTerms& terms, float shoal_m, float deep_m,
                                     const BesideSurvey& beside, std::size_t cell) const;
    /// @param partial  of the window: which cells are known in part only and keep it; null: none does
    void read_all(Window where, DepthPlanes& depths, Plane<std::uint8_t>* partial) const;
    void lay(Window strip, DepthPlanes& depths, Plane<std::uint8_t>& source,
             Plane<std::uint8_t>* partial) const;
    void lay_over_model(const DepthPlanes& chart, std::size_t of_chart, DepthPlanes& depths, std::size_t i,
                        std::uint8_t& source) const;
    static bool keep_part(const DepthPlanes& chart, std::size_t of_chart, DepthPlanes& depths, std::size_t i);
    void lay_beside_survey(const SurveyTerms& terms, const BesideSurvey& beside, std::size_t cell,
                           DepthPlanes& depths, std::size_t i, std::uint8_t& source) const;

    std::unique_ptr<DepthSource> raster_, chart_;
    std::size_t of_raster_; ///< its sources
    std::vector<SurveyTerms> alone_, together_;
    std::vector<DepthUncertainty> half_widths_; ///< by zone of confidence
};

/// Whether a survey that knows the whole cell speaks in the place of the chart's depth areas.
bool ChartOverRaster::survey_counts(const SurveyTerms& terms, float shoal_m, float deep_m,
                                    const BesideSurvey& beside, std::size_t cell) const {
    // The cells of a projection are as long on the ground as its scale makes them.
    constexpr double as_good_as = 1.01;
    if (!terms.is_survey || !(terms.cell_m <= as_good_as * static_cast<double>(beside.cell_m.data()[cell]))) {
        return false;
    }
    const auto shoal = static_cast<double>(shoal_m), deep = static_cast<double>(deep_m);
    constexpr double rounding_of_depths_m = 0.001;
    return (deep - shoal) / 2 <=
           half_widths_[beside.zone.data()[cell]].at((shoal + deep) / 2) + rounding_of_depths_m;
}

/// Lays what bounds a survey over it, and says where the two differ.
/// @param cell  its place in what was read of the chart   @param i  and of the raster
/// @param source  of the shoal depth: the raster's at first
void ChartOverRaster::lay_beside_survey(const SurveyTerms& terms, const BesideSurvey& beside,
                                        std::size_t cell, DepthPlanes& depths, std::size_t i,
                                        std::uint8_t& source) const {
    float &shoal_m = depths.shoal_m.data()[i], &deep_m = depths.deep_m.data()[i];
    const float area_shoal_m = beside.area_shoal_m.data()[cell],
                area_deep_m = beside.area_deep_m.data()[cell];
    const bool apart = deep_m < area_shoal_m || shoal_m > area_deep_m; // false for NaN: no area yields
    const bool newer =
        area_shoal_m < shoal_m && terms.measured_by != 0 && beside.surveyed.data()[cell] > terms.measured_by;
    depths.differs.data()[i] = apart || newer ? 1 : 0;
    const auto of_chart = [this](std::uint8_t number) {
        return static_cast<std::uint8_t>(of_raster_ + number);
    };
    if (const float standing_m = beside.standing_m.data()[cell]; standing_m > 0) {
        shoal_m = narrow_down(static_cast<double>(shoal_m) - static_cast<double>(standing_m));
        source = of_chart(beside.standing_source.data()[cell]);
    }
    const float bound_m = beside.shoal_m.data()[cell];
    if (bound_m < shoal_m) {
        shoal_m = bound_m;
        source = of_chart(beside.source.data()[cell]);
    }
    deep_m = std::max(deep_m, bound_m); // NaN is no greater
}

void ChartOverRaster::read_all(Window where, DepthPlanes& depths, Plane<std::uint8_t>* partial) const {
    raster_->read_with_parts(where, depths);
    const bool surveys = any_survey();
    depths.differs.reset(surveys ? where : Window{}, 0);
    depths.banded.reset(where, 0);
    Plane<std::uint8_t> source(where, 0);
    // What a chart says beside a survey takes far more memory than what comes of it.
    const int strip_rows = surveys ? 64 : std::max(1, where.rows);
    for (int row = where.row; row < where.row_end(); row += strip_rows) {
        lay({where.col, row, where.cols, std::min(strip_rows, where.row_end() - row)}, depths, source,
            partial);
    }
    depths.source = std::move(source);
    depths.joined.reset({});
}

/// Lays the chart over some rows of what was read of the raster.
void ChartOverRaster::lay(Window strip, DepthPlanes& depths, Plane<std::uint8_t>& source,
                          Plane<std::uint8_t>* partial) const {
    DepthPlanes chart;
    BesideSurvey beside;
    const bool surveys = any_survey();
    if (surveys) {
        chart_->read_beside_survey(strip, chart, beside);
    } else {
        chart_->read(strip, chart);
    }
    const auto first =
        static_cast<std::size_t>(strip.row - source.window().row) * static_cast<std::size_t>(strip.cols);
    for (std::size_t of_strip = 0; of_strip < chart.shoal_m.size(); ++of_strip) {
        const std::size_t i = first + of_strip;
        const float shoal_m = depths.shoal_m.data()[i], deep_m = depths.deep_m.data()[i];
        const bool in_part = depths.partial.size() > 0 && depths.partial.data()[i] != 0;
        if (surveys && !in_part && !std::isnan(shoal_m)) {
            const SurveyTerms& terms = terms_of(depths, i);
            if (survey_counts(terms, shoal_m, deep_m, beside, of_strip)) {
                source.data()[i] = number_of(depths, i);
                lay_beside_survey(terms, beside, of_strip, depths, i, source.data()[i]);
                continue;
            }
        }
        if (partial != nullptr && keep_part(chart, of_strip, depths, i)) {
            partial->data()[i] = 1;
            continue;
        }
        lay_over_model(chart, of_strip, depths, i, source.data()[i]);
    }
}

/// What is known of a cell that neither knows whole; false where it is nothing, or one of them knows it
/// whole.
bool ChartOverRaster::keep_part(const DepthPlanes& chart, std::size_t of_chart, DepthPlanes& depths,
                                std::size_t i) {
    float &shoal_m = depths.shoal_m.data()[i], &deep_m = depths.deep_m.data()[i];
    const float chart_shoal_m = chart.shoal_m.data()[of_chart];
    const bool in_part = depths.partial.size() > 0 && depths.partial.data()[i] != 0,
               by_chart = !std::isnan(chart_shoal_m);
    const bool whole_by_raster = !in_part && !std::isnan(shoal_m),
               whole_by_chart = by_chart && !std::isnan(chart.deep_m.data()[of_chart]);
    if (whole_by_raster || whole_by_chart || (!in_part && !by_chart)) return false;
    if (!by_chart) return true;
    deep_m = in_part ? std::max(deep_m, chart_shoal_m) : chart_shoal_m;
    shoal_m = in_part ? std::min(shoal_m, chart_shoal_m) : chart_shoal_m;
    return true;
}

/// @param of_chart  the cell's place in what was read of the chart   @param i  and of the raster
void ChartOverRaster::lay_over_model(const DepthPlanes& chart, std::size_t of_chart, DepthPlanes& depths,
                                     std::size_t i, std::uint8_t& source) const {
    float &shoal_m = depths.shoal_m.data()[i], &deep_m = depths.deep_m.data()[i];
    const float chart_shoal_m = chart.shoal_m.data()[of_chart], chart_deep_m = chart.deep_m.data()[of_chart];
    const bool in_part = depths.partial.size() > 0 && depths.partial.data()[i] != 0;
    const bool whole_by_raster = !in_part && !std::isnan(shoal_m), by_chart = !std::isnan(chart_shoal_m);
    // A chart may know how deep it is at the most, and no more.
    const bool whole_by_chart = by_chart && !std::isnan(chart_deep_m);
    if (!whole_by_raster && !whole_by_chart) {
        shoal_m = deep_m = unsurveyed;
        return;
    }
    const std::uint8_t banded = chart.banded.size() > 0 ? chart.banded.data()[of_chart] : std::uint8_t(0);
    // What a raster knows of a part of the cell bounds it, whoever speaks for the rest.
    if (in_part) {
        deep_m = std::max(deep_m, chart_deep_m);
        depths.banded.data()[i] = banded;
    } else if (whole_by_raster && by_chart) {
        deep_m = std::max(deep_m, chart_shoal_m);
    } else if (!whole_by_raster) {
        deep_m = chart_deep_m;
        depths.banded.data()[i] = banded;
    }
    if (by_chart && !(shoal_m <= chart_shoal_m)) {
        source = static_cast<std::uint8_t>(of_raster_ + number_of(chart, of_chart));
        shoal_m = chart_shoal_m;
    } else {
        source = number_of(depths, i);
    }
}

} // namespace

void BesideSurvey::reset(Window where) {
    cell_m.reset(where, 0);
    zone.reset(where, zone_not_assessed);
    surveyed.reset(where, 0);
    standing_m.reset(where, 0);
    source.reset(where, 0);
    standing_source.reset(where, 0);
    for (Plane<float>* const depths : {&shoal_m, &area_shoal_m, &area_deep_m}) {
        depths->reset(where, unsurveyed);
    }
}

/// The shoal side may be the one's and the deep side the other's, of any depths.
double greatest_uncertainty_over_raster_m(double raster_m, double chart_m) {
    return std::max(raster_m, chart_m) + (bathymetry::deepest_m + bathymetry::highest_m) / 2;
}

std::unique_ptr<DepthSource> chart_over_raster(std::unique_ptr<DepthSource> raster,
                                               std::unique_ptr<DepthSource> chart) {
    const std::size_t count = raster->sources().size() + chart->sources().size();
    if (count > most_sources) {
        throw InputError(Setting::chart,
                         "makes " + std::to_string(count) + " sources of depths with the rasters",
                         "give at most " + std::to_string(most_sources) + " files at a time");
    }
    return std::make_unique<ChartOverRaster>(std::move(raster), std::move(chart));
}

} // namespace swingroom
