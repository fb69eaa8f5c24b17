#include "overlay/layer_answers.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <type_traits>
#include <utility>

namespace swingroom {
namespace {

/// How the rows of a layer are written.
struct LayerAnswer {
    Layer layer;
    bool needs_reasons;
    void (*write)(const RowToAnswer&, BlockAnswers&);
};

template <Layer layer>
using Cell = std::remove_pointer_t<decltype(PlaneOf<layer>().data())>;

/// A layer whose cells are answered one by one: `cell` is called with the row and a cell's place in it.
template <Layer layer, auto cell>
constexpr LayerAnswer of_each_cell() {
    static_assert(!is_gathered(layer));
    static_assert(std::is_same_v<Cell<layer>, decltype(cell(std::declval<const RowToAnswer&>(), 0))>);
    return {layer, false, [](const RowToAnswer& row, BlockAnswers& answers) {
                Cell<layer>* const to = answers.plane<layer>().row(row.row);
                for (int i = 0; i < row.facts.cells; ++i) {
                    to[i] = cell(row, i);
                }
            }};
}

/// A layer that is part of what Judge::judge says of a cell.
template <Layer layer, auto part>
constexpr LayerAnswer of_the_reasons() {
    return {layer, true, [](const RowToAnswer& row, BlockAnswers& answers) {
                std::copy_n((row.said.*part).begin(), row.facts.cells, answers.plane<layer>().row(row.row));
            }};
}

/// A row of figures without any: rows are filled one by one, just before they are written to.
template <Layer layer>
Cell<layer>* row_without_figures(const RowToAnswer& row, BlockAnswers& answers) {
    Cell<layer>* const to = answers.plane<layer>().row(row.row);
    std::fill_n(to, row.facts.cells, std::numeric_limits<Cell<layer>>::quiet_NaN());
    return to;
}

/// A layer of a way: `figure` is called for the cells that float the hull and where the way is to be had.
template <Layer layer, auto figure>
constexpr LayerAnswer of_the_way() {
    return {layer, false, [](const RowToAnswer& row, BlockAnswers& answers) {
                constexpr Way way = traits(layer).way.value();
                const std::vector<WayNeeds>& way_needs =
                    row.verdicts.way_needs[static_cast<std::size_t>(way)];
                Cell<layer>* const to = row_without_figures<layer>(row, answers);
                for (const int i : row.verdicts.afloat) {
                    const WayNeeds& needs = way_needs[static_cast<std::size_t>(i)];
                    if (needs.out == WayNeeds::Out::none) to[i] = figure(row, way, needs, i);
                }
            }};
}

/// The wind limits of a way, of a whole row at once.
template <Layer layer>
constexpr LayerAnswer of_the_wind() {
    return {layer, false, [](const RowToAnswer& row, BlockAnswers& answers) {
                row.judge.wind_limits_kn(traits(layer).way.value(), row.facts, row.verdicts,
                                         row_without_figures<layer>(row, answers));
            }};
}

/// A layer of the water in the circles of a way: `figure` is called where there is a circle.
template <Layer layer, auto figure>
constexpr LayerAnswer of_the_water() {
    return {layer, false, [](const RowToAnswer& row, BlockAnswers& answers) {
                Cell<layer>* const to = row_without_figures<layer>(row, answers);
                if (needs_tide(layer) && row.hours == nullptr) return;
                constexpr auto way = static_cast<std::size_t>(traits(layer).way.value());
                const float* const radius_m = row.water.radius_m[way].data();
                const float* const least_m = row.water.least_depth_m[way].data();
                // What is shoalest in a circle is mostly so in the next one, too.
                float last_m = std::numeric_limits<float>::quiet_NaN();
                Cell<layer> of_last = 0;
                for (int i = 0; i < row.facts.cells; ++i) {
                    if (radius_m[i] > 0) {
                        if (least_m[i] != last_m) of_last = figure(row, least_m[i]);
                        last_m = least_m[i];
                        to[i] = of_last;
                    } else if (needs_tide(layer) && radius_m[i] == 0) {
                        to[i] = 0;
                    }
                }
            }};
}

/// Told as they were judged, but for those that no way leads to.
constexpr LayerAnswer of_the_verdicts() {
    return {Layer::verdict, false, [](const RowToAnswer& row, BlockAnswers& answers) {
                const Verdict* const judged = row.verdicts.verdict.data();
                std::uint8_t* const to = answers.plane<Layer::verdict>().row(row.row);
                std::transform(judged, judged + row.facts.cells, to,
                               [](Verdict of_cell) { return static_cast<std::uint8_t>(of_cell); });
                if ((row.reach.advice(0, row.facts.cells) & advice::out_of_reach) == 0) return;
                for (const int i : row.verdicts.yes) {
                    to[i] = static_cast<std::uint8_t>(row.reach.told(judged[i], i));
                }
            }};
}

/// A room: what is gathered for a block is the layer.
template <Layer layer>
constexpr LayerAnswer as_gathered() {
    static_assert(is_gathered(layer));
    return {layer, false, [](const RowToAnswer&, BlockAnswers&) {}};
}

float depth_low_m(const RowToAnswer& row, int i) { return row.judge.depth_low_m(row.facts.cell(i)); }
std::uint8_t source(const RowToAnswer& row, int i) {
    return source_of(row.depths, row.first_col + i, row.row);
}
float rode_m(const RowToAnswer&, Way, const WayNeeds& needs, int) { return needs.rode_m; }
float radius_m(const RowToAnswer&, Way, const WayNeeds& needs, int) { return needs.radius_m; }
float sounder_limit_m(const RowToAnswer&, Way, const WayNeeds& needs, int) { return needs.sounder_limit_m; }
float spare_of(const RowToAnswer& row, Way, const WayNeeds& needs, int i) {
    return spare_m(row.facts.cell(i), needs);
}

float least_water_m(const RowToAnswer& row, float least_depth_m) {
    const float water_m = row.judge.least_water_m(least_depth_m);
    return std::isinf(water_m) ? std::numeric_limits<float>::quiet_NaN() : water_m;
}
float hours_afloat(const RowToAnswer& row, float least_depth_m) {
    return row.hours->hours(row.judge.level_needed_m(least_depth_m));
}

float access_level_m(const RowToAnswer& row, int i) {
    const Plane<float>* const levels_m = row.reach.levels_m();
    if (levels_m == nullptr) return std::numeric_limits<float>::quiet_NaN();
    return told_access_level_m(levels_m->at(row.first_col + i, row.row));
}

/// One for each raster layer, in the order of layer_table.
constexpr std::array layer_answers = {
    of_the_verdicts(),
    of_the_reasons<Layer::reasons, &RowReasons::reasons>(),
    of_the_reasons<Layer::advice, &RowReasons::advice>(),
    of_each_cell<Layer::depth_low, depth_low_m>(),
    of_each_cell<Layer::source, source>(),
    as_gathered<Layer::hull_room>(),
    as_gathered<Layer::ground_room>(),
    of_the_way<Layer::rode_full, rode_m>(),
    of_the_way<Layer::rode_short, rode_m>(),
    of_the_way<Layer::rode_sinker, rode_m>(),
    of_the_way<Layer::radius_full, radius_m>(),
    of_the_way<Layer::radius_short, radius_m>(),
    of_the_way<Layer::radius_sinker, radius_m>(),
    of_the_way<Layer::spare_full, spare_of>(),
    of_the_way<Layer::spare_short, spare_of>(),
    of_the_way<Layer::spare_sinker, spare_of>(),
    of_the_way<Layer::sounder_limit_full, sounder_limit_m>(),
    of_the_way<Layer::sounder_limit_short, sounder_limit_m>(),
    of_the_way<Layer::sounder_limit_sinker, sounder_limit_m>(),
    of_the_wind<Layer::wind_limit_full>(),
    of_the_wind<Layer::wind_limit_short>(),
    of_the_wind<Layer::wind_limit_sinker>(),
    of_the_water<Layer::least_water_full, least_water_m>(),
    of_the_water<Layer::least_water_short, least_water_m>(),
    of_the_water<Layer::least_water_sinker, least_water_m>(),
    of_the_water<Layer::hours_afloat_full, hours_afloat>(),
    of_the_water<Layer::hours_afloat_short, hours_afloat>(),
    of_the_water<Layer::hours_afloat_sinker, hours_afloat>(),
    of_each_cell<Layer::access_level, access_level_m>(),
};

constexpr bool each_raster_layer_is_answered() {
    if (layer_answers.size() != rasters_of_a_boat.size()) return false;
    for (std::size_t i = 0; i < layer_answers.size(); ++i) {
        if (layer_answers[i].layer != rasters_of_a_boat[i]) return false;
    }
    return true;
}
static_assert(each_raster_layer_is_answered(), "a raster layer of layer_table has no row in layer_answers");

} // namespace

float told_access_level_m(float level_m) {
    return std::isinf(level_m) ? std::numeric_limits<float>::quiet_NaN() : level_m;
}

std::uint8_t source_of(const DepthPlanes& depths, int col, int row) {
    if (depths.source.size() > 0) return depths.source.at(col, row);
    return std::isnan(depths.shoal_m.at(col, row)) ? 0 : 1;
}

bool needs_reasons(LayerSet wanted) {
    for (const LayerAnswer& answer : layer_answers) {
        if (answer.needs_reasons && wanted.has(answer.layer)) return true;
    }
    return false;
}

std::array<bool, all_ways.size()> ways_of(LayerSet wanted) {
    std::array<bool, all_ways.size()> ways{};
    ways.fill(needs_reasons(wanted));
    for (const Layer layer : rasters_of_a_boat) {
        if (const std::optional<Way> way = traits(layer).way; way && wanted.has(layer)) {
            ways[static_cast<std::size_t>(*way)] = true;
        }
    }
    return ways;
}

std::array<bool, all_ways.size()> ways_of_water(LayerSet wanted, bool tide) {
    std::array<bool, all_ways.size()> ways{};
    for (const Way way : all_ways) {
        ways[static_cast<std::size_t>(way)] = wanted.has(of(Layer::least_water_full, way)) ||
                                              (tide && wanted.has(of(Layer::hours_afloat_full, way)));
    }
    return ways;
}

void answer_layers(const RowToAnswer& row, LayerSet wanted, BlockAnswers& answers) {
    for (const LayerAnswer& answer : layer_answers) {
        if (wanted.has(answer.layer)) answer.write(row, answers);
    }
}

} // namespace swingroom
