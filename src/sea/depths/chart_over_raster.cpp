#include "sea/depths/chart_over_raster.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/sea/bathymetry.hpp"

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
        : raster_(std::move(raster)), chart_(std::move(chart)), of_raster_(raster_->sources().size()) {
        assert(raster_->grid().extent() == chart_->grid().extent());
        assert(sources().size() <= most_sources);
    }
    [[nodiscard]] const Grid& grid() const override { return raster_->grid(); }
    void read(Window where, DepthPlanes& depths) const override;
    [[nodiscard]] double greatest_uncertainty_m() const override {
        return greatest_uncertainty_over_raster_m(raster_->greatest_uncertainty_m(),
                                                  chart_->greatest_uncertainty_m());
    }
    [[nodiscard]] std::vector<Fact> assumptions() const override {
        std::vector<Fact> notes = joined(raster_->assumptions(), chart_->assumptions());
        notes.push_back({"chart over raster", "the shoaler of both for the keel; for the rode the raster's "
                                              "deep side, or the chart's shoal side where that is deeper"});
        return notes;
    }
    [[nodiscard]] std::vector<std::string> files() const override {
        return joined(raster_->files(), chart_->files());
    }
    [[nodiscard]] std::vector<std::string> sources() const override {
        return joined(raster_->sources(), chart_->sources());
    }

private:
    std::unique_ptr<DepthSource> raster_, chart_;
    std::size_t of_raster_; ///< its sources
};

void ChartOverRaster::read(Window where, DepthPlanes& depths) const {
    raster_->read_with_parts(where, depths);
    DepthPlanes chart;
    chart_->read(where, chart);
    Plane<std::uint8_t> source(where, 0);
    const auto banded = [&chart](std::size_t cell) {
        return chart.banded.size() > 0 ? chart.banded.data()[cell] : std::uint8_t(0);
    };
    depths.banded.reset(where, 0);
    for (std::size_t i = 0; i < source.size(); ++i) {
        float &shoal_m = depths.shoal_m.data()[i], &deep_m = depths.deep_m.data()[i];
        const float chart_shoal_m = chart.shoal_m.data()[i], chart_deep_m = chart.deep_m.data()[i];
        const bool in_part = depths.partial.size() > 0 && depths.partial.data()[i] != 0;
        const bool whole_by_raster = !in_part && !std::isnan(shoal_m), by_chart = !std::isnan(chart_shoal_m);
        // A chart may know how deep it is at the most, and no more.
        const bool whole_by_chart = by_chart && !std::isnan(chart_deep_m);
        if (!whole_by_raster && !whole_by_chart) {
            shoal_m = deep_m = unsurveyed;
            continue;
        }
        // What a raster knows of a part of the cell bounds it, whoever speaks for the rest.
        if (in_part) {
            deep_m = std::max(deep_m, chart_deep_m);
            depths.banded.data()[i] = banded(i);
        } else if (whole_by_raster && by_chart) {
            deep_m = std::max(deep_m, chart_shoal_m);
        } else if (!whole_by_raster) {
            deep_m = chart_deep_m;
            depths.banded.data()[i] = banded(i);
        }
        if (by_chart && !(shoal_m <= chart_shoal_m)) {
            source.data()[i] = static_cast<std::uint8_t>(of_raster_ + number_of(chart, i));
            shoal_m = chart_shoal_m;
        } else {
            source.data()[i] = number_of(depths, i);
        }
    }
    depths.source = std::move(source);
    depths.partial.reset({});
}

} // namespace

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
