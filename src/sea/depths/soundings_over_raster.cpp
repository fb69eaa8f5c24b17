#include "sea/depths/soundings_over_raster.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/stop.hpp"

#include "sea/depths/height_field.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <map>
#include <utility>

namespace swingroom {
namespace {

/// A sounding so near to an edge of its cell lies in both, as a part of the side: about what rounding a
/// position leaves open.
constexpr double on_the_edge = 1e-3;
/// Cells a side that are read at once.
constexpr int tile_cells = 128;
/// Too few soundings to find a wrong datum by. Common practice, no source.
constexpr std::size_t few = 10;

/// A sounding and where it lies in the grid.
struct Placed {
    std::size_t sounding;
    GridPoint at;
};

/// Those that lie in the grid, in the order of the soundings.
template <class Wanted>
std::vector<Placed> placed(const DepthSource& raster, const Georeference& georeference,
                           const std::vector<ChartedSounding>& soundings, Wanted&& wanted) {
    const Grid& grid = raster.grid();
    const OGREnvelope bounds = lonlat_bounds(grid);
    const double middle = (bounds.MinX + bounds.MaxX) / 2;
    std::vector<Placed> found;
    for (std::size_t i = 0; i < soundings.size(); ++i) {
        const LonLat at = soundings[i].at;
        const double lon = at.lon - 360 * std::round((at.lon - middle) / 360);
        const bool outside =
            lon < bounds.MinX || lon > bounds.MaxX || at.lat < bounds.MinY || at.lat > bounds.MaxY;
        if (outside || !wanted(soundings[i])) continue;
        try {
            const GridPoint p = georeference.grid_point(at);
            if (p.x >= 0 && p.x < grid.cols && p.y >= 0 && p.y < grid.rows) found.push_back({i, p});
        } catch (const InputError&) {
            continue; // the grid has no place for it
        }
    }
    return found;
}

/// What a raster has in a cell that a sounding lies in.
struct Met {
    double shoal_m = 0, deep_m = 0;
    std::size_t source = 0;  ///< the first being 1
    bool by_several = false; ///< rasters that bound the cell
};

/// Calls take(index of the sounding, what is met) for each cell with a depth that a sounding touches, tile by
/// tile, so that no cell is read twice.
void each_met(const DepthSource& raster, const std::vector<Placed>& soundings,
              const std::function<void(std::size_t, const Met&)>& take) {
    struct Touch {
        std::size_t sounding;
        GridCell cell;
    };
    std::map<std::pair<int, int>, std::vector<Touch>> tiles;
    for (const Placed& one : soundings) {
        const auto cell_of = [](double v) { return static_cast<int>(std::floor(v)); };
        for (int row = cell_of(one.at.y - on_the_edge); row <= cell_of(one.at.y + on_the_edge); ++row) {
            for (int col = cell_of(one.at.x - on_the_edge); col <= cell_of(one.at.x + on_the_edge); ++col) {
                if (!raster.grid().extent().contains(col, row)) continue;
                tiles[{row / tile_cells, col / tile_cells}].push_back({one.sounding, {col, row}});
            }
        }
    }
    DepthPlanes depths;
    for (const auto& [tile, touches] : tiles) {
        stop_if_asked();
        int left = touches.front().cell.col, right = left, top = touches.front().cell.row, bottom = top;
        for (const Touch& touch : touches) {
            left = std::min(left, touch.cell.col);
            right = std::max(right, touch.cell.col);
            top = std::min(top, touch.cell.row);
            bottom = std::max(bottom, touch.cell.row);
        }
        try {
            raster.read_with_parts({left, top, right - left + 1, bottom - top + 1}, depths);
        } catch (const HeightUnknown&) {
            continue; // a run that needs a depth there says so
        }
        for (const auto& [sounding, cell] : touches) {
            const float shoal_m = depths.shoal_m.at(cell.col, cell.row);
            if (std::isnan(shoal_m)) continue;
            const bool several = depths.source.size() > 0;
            take(sounding,
                 {.shoal_m = static_cast<double>(shoal_m),
                  .deep_m = static_cast<double>(depths.deep_m.at(cell.col, cell.row)),
                  .source = several ? depths.source.at(cell.col, cell.row) : std::size_t{1},
                  .by_several = depths.joined.size() > 0 && depths.joined.at(cell.col, cell.row) != 0});
        }
    }
}

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 != 0) return *middle;
    return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

} // namespace

std::vector<SoundingDisc> shoaler_than_surveys(const DepthSource& raster, const Georeference& georeference,
                                               const std::vector<ChartedSounding>& soundings,
                                               const Vicinity& near) {
    const std::vector<SurveyTerms> terms = raster.survey_terms();
    const auto bears = [&near](const ChartedSounding& sounding) {
        OGREnvelope box;
        box.Merge(sounding.at.lon, sounding.at.lat);
        return near.may_hold(box, sounding.neighbourhood_m);
    };
    // One in a hole of a survey, or beside it, bounds what of it lies around as well as one that is shoaler.
    std::vector<char> agrees(soundings.size(), 0), bounds(soundings.size(), 0);
    each_met(raster, placed(raster, georeference, soundings, bears), [&](std::size_t i, const Met& met) {
        const bool survey = met.by_several || terms[met.source - 1].is_survey;
        (survey && soundings[i].depth_m >= met.shoal_m ? agrees : bounds)[i] = 1;
    });
    std::vector<SoundingDisc> discs;
    for (std::size_t i = 0; i < soundings.size(); ++i) {
        const ChartedSounding& of = soundings[i];
        if (!bears(of) || (agrees[i] != 0 && bounds[i] == 0)) continue;
        discs.push_back({of.at, of.neighbourhood_m, of.depth_m - of.uncertainty_m, of.scale, of.source});
    }
    return discs;
}

std::vector<AgainstCharts> against_charts(const DepthSource& raster, const Georeference& georeference,
                                          const std::vector<ChartedSounding>& soundings, std::size_t most) {
    std::vector<Placed> all =
        placed(raster, georeference, soundings, [](const ChartedSounding&) { return true; });
    if (all.size() > most) {
        std::vector<Placed> some;
        for (std::size_t i = 0; i < most; ++i) {
            some.push_back(all[i * all.size() / most]);
        }
        all = std::move(some);
    }
    struct Differences {
        std::vector<double> as_it_is_m, turned_m, explained_m;
        std::size_t last = SIZE_MAX; ///< the sounding that was counted last: each counts once
    };
    std::vector<Differences> of(raster.sources().size());
    each_met(raster, all, [&](std::size_t i, const Met& met) {
        Differences& differences = of[met.source - 1];
        if (differences.last == i) return;
        differences.last = i;
        const double middle_m = (met.shoal_m + met.deep_m) / 2;
        differences.as_it_is_m.push_back(middle_m - soundings[i].depth_m);
        differences.turned_m.push_back(-middle_m - soundings[i].depth_m);
        differences.explained_m.push_back((met.deep_m - met.shoal_m) / 2 + soundings[i].uncertainty_m);
    });
    std::vector<AgainstCharts> found;
    for (const Differences& differences : of) {
        AgainstCharts& one = found.emplace_back();
        one.soundings = differences.as_it_is_m.size();
        if (one.soundings == 0) continue;
        one.median_m = median_of(differences.as_it_is_m);
        one.turned_m = median_of(differences.turned_m);
        one.explained_m = median_of(differences.explained_m);
    }
    return found;
}

std::optional<Message> doubt_of(const AgainstCharts& raster) {
    if (raster.soundings < few || std::abs(raster.median_m) <= raster.explained_m) return std::nullopt;
    const Message text = "its depths are " + fixed(std::abs(raster.median_m), 1) + " m " +
                         (raster.median_m > 0 ? "deeper" : "shoaler") +
                         " than the charts' soundings (median of " + std::to_string(raster.soundings) +
                         "), of which how far both may be off explains " + fixed(raster.explained_m, 1) +
                         " m: ";
    if (std::abs(raster.turned_m) <= raster.explained_m) {
        return text + "with the other sign they would fit; look at " + Setting::positive;
    }
    return text + "look at " + Setting::chart_datum + ", " + Setting::depth_unit + " and " +
           Setting::positive;
}

} // namespace swingroom
