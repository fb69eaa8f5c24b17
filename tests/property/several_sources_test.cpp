// Two to five sources of depth, with ragged edges and single cells, some over a chart, against an oracle that
// looks at every source by itself, point by point: which of its cells holds the point, and whether that has a
// depth. Some are surveys, which speak in the place of the chart's depth areas. No source is read on
// another's grid, no polygon is cut. Where all edges lie on quarters of the finest raster's cells, a point in
// each quarter tells all there is, and the answers must be equal; elsewhere the points show what must not be
// lost.

#include "swingroom/sea/bathymetry.hpp"

#include "support/drawing.hpp"

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr float unsurveyed = std::numeric_limits<float>::quiet_NaN();
constexpr float infinite = std::numeric_limits<float>::infinity();

std::string wkt_of(int epsg) {
    OGRSpatialReference crs;
    crs.importFromEPSG(epsg);
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    crs.exportToWkt(&text, options);
    std::string wkt = text;
    CPLFree(text);
    return wkt;
}

/// What a source says of a point or of a cell.
struct Depths {
    float shoal_m = infinite, deep_m = -infinite;
    void add(const Depths& other) {
        shoal_m = std::min(shoal_m, other.shoal_m);
        deep_m = std::max(deep_m, other.deep_m);
    }
    friend bool operator==(const Depths&, const Depths&) = default;
};

struct Raster {
    Grid grid;
    int epsg = 0;
    std::vector<float> depths;
    SurveyTerms terms{}; ///< a model, unless a scene makes it a survey

    [[nodiscard]] float at(int col, int row) const {
        return depths[static_cast<std::size_t>(row) * static_cast<std::size_t>(grid.cols) +
                      static_cast<std::size_t>(col)];
    }
    [[nodiscard]] std::optional<float> at(GridPoint p) const {
        const double col = std::floor(grid.col_of(p.x)), row = std::floor(grid.row_of(p.y));
        if (!(col >= 0 && col < grid.cols && row >= 0 && row < grid.rows)) return std::nullopt;
        const float depth_m = at(static_cast<int>(col), static_cast<int>(row));
        return std::isnan(depth_m) ? std::nullopt : std::optional(depth_m);
    }
};

/// What a chart says of a cell over which a survey may speak, in the terms of the rule.
struct Beside {
    double cell_m = 0; ///< of the largest cells that a survey may have
    int zone = 6;      ///< CATZOC
    float bound_m = unsurveyed, standing_m = 0, area_shoal_m = unsurveyed, area_deep_m = unsurveyed;
    int surveyed = 0;
};

Beside beside_survey(Dice& dice) {
    constexpr double largest_m[] = {0, 6, 12, 25, 25};
    constexpr int days[] = {0, 20'100'101, 20'200'101};
    Beside beside;
    beside.cell_m = largest_m[dice.whole(0, 4)];
    beside.zone = dice.whole(1, 6);
    if (dice.chance(0.3)) beside.bound_m = static_cast<float>(dice.whole(0, 40));
    if (dice.chance(0.1)) beside.standing_m = 2;
    if (dice.chance(0.7)) {
        beside.area_shoal_m = static_cast<float>(dice.whole(0, 30));
        beside.area_deep_m = beside.area_shoal_m + static_cast<float>(dice.whole(0, 20));
    }
    beside.surveyed = days[dice.whole(0, 2)];
    return beside;
}

/// A chart on the grid of the rasters: of each cell it knows the whole, nothing, or only that it is no deeper
/// than something.
class Chart final : public DepthSource {
public:
    Chart(Dice& dice, Grid grid) : grid_(std::move(grid)) {
        for (std::size_t i = 0; i < grid_.extent().cells(); ++i) {
            beside_.push_back(beside_survey(dice));
        }
        const double silent = dice.between(0, 0.5), bounds = dice.between(0, 0.3);
        for (std::size_t i = 0; i < grid_.extent().cells(); ++i) {
            const auto shoal_m = static_cast<float>(dice.whole(0, 40));
            const bool says = !dice.chance(silent);
            shoal_m_.push_back(says ? shoal_m : unsurveyed);
            deep_m_.push_back(says && !dice.chance(bounds) ? shoal_m + static_cast<float>(dice.whole(0, 10))
                                                           : unsurveyed);
        }
    }
    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override {
        depths.shoal_m.reset(where, unsurveyed);
        depths.deep_m.reset(where, unsurveyed);
        depths.source.reset({});
        const Window inside = common(where, grid_.extent());
        for (int row = inside.row; row < inside.row_end(); ++row) {
            for (int col = inside.col; col < inside.col_end(); ++col) {
                depths.shoal_m.at(col, row) = shoal_m_[index(col, row)];
                depths.deep_m.at(col, row) = deep_m_[index(col, row)];
            }
        }
    }
    void read_beside_survey(Window where, DepthPlanes& depths, BesideSurvey& beside) const override {
        read(where, depths);
        beside.reset(where);
        const Window inside = common(where, grid_.extent());
        for (int row = inside.row; row < inside.row_end(); ++row) {
            for (int col = inside.col; col < inside.col_end(); ++col) {
                const Beside& of = beside_[index(col, row)];
                beside.cell_m.at(col, row) = static_cast<float>(of.cell_m);
                beside.zone.at(col, row) = static_cast<std::uint8_t>(of.zone);
                beside.shoal_m.at(col, row) = of.bound_m;
                beside.source.at(col, row) = beside.standing_source.at(col, row) = 1;
                beside.standing_m.at(col, row) = of.standing_m;
                beside.area_shoal_m.at(col, row) = of.area_shoal_m;
                beside.area_deep_m.at(col, row) = of.area_deep_m;
                beside.surveyed.at(col, row) = of.surveyed;
            }
        }
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return 30; }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {"chart"}; }
    [[nodiscard]] std::vector<std::string> sources() const override { return {"chart"}; }

    [[nodiscard]] float shoal_m(int col, int row) const { return shoal_m_[index(col, row)]; }
    [[nodiscard]] float deep_m(int col, int row) const { return deep_m_[index(col, row)]; }
    [[nodiscard]] const Beside& beside(int col, int row) const { return beside_[index(col, row)]; }

private:
    [[nodiscard]] std::size_t index(int col, int row) const {
        return static_cast<std::size_t>(row) * static_cast<std::size_t>(grid_.cols) +
               static_cast<std::size_t>(col);
    }
    Grid grid_;
    std::vector<float> shoal_m_, deep_m_;
    std::vector<Beside> beside_;
};

/// How a raster knows its cells: most of them, a ragged patch, or single ones amid nothing.
std::vector<float> soundings(Dice& dice, int cols, int rows) {
    const int kind = dice.whole(0, 3);
    const double holes = dice.between(0, 0.3), single = dice.between(0.02, 0.2),
                 middle_col = dice.between(0, cols), middle_row = dice.between(0, rows),
                 reach = dice.between(0.3, 0.8) * std::max(cols, rows);
    std::vector<float> depths;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const double far = std::hypot(col - middle_col, row - middle_row);
            const bool known = kind == 0   ? true
                               : kind == 1 ? !dice.chance(holes)
                               : kind == 2 ? far + dice.between(-2, 2) < reach
                                           : dice.chance(single);
            depths.push_back(known ? static_cast<float>(dice.whole(0, 40)) : unsurveyed);
        }
    }
    return depths;
}

/// Rasters whose edges all lie on quarters of the finest one's cells of 4 m.
std::vector<Raster> rasters_on_quarters(Dice& dice) {
    const std::string wkt = wkt_of(32631);
    std::vector<Raster> rasters;
    const int count = dice.whole(2, 5);
    for (int i = 0; i < count; ++i) {
        const int step = i == 0 ? 4 : dice.whole(4, 14);
        const int cols = std::max(2, dice.whole(20, 60) / step),
                  rows = std::max(2, dice.whole(20, 60) / step);
        const double west = 600'000 + dice.whole(-30, 30), north = 5'900'000 + dice.whole(-30, 30);
        const bool south_up = dice.chance(0.3);
        Grid grid{cols,
                  rows,
                  west,
                  south_up ? north - rows * step : north,
                  static_cast<double>(step),
                  south_up ? static_cast<double>(step) : -static_cast<double>(step),
                  wkt};
        rasters.push_back({std::move(grid), 32631, soundings(dice, cols, rows)});
    }
    return rasters;
}

/// Rasters in planes of their own; the finest has cells of 5 m.
std::vector<Raster> rasters_anywhere(Dice& dice) {
    OGRSpatialReference utm, other;
    utm.importFromEPSG(32631);
    utm.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const int codes[] = {32631, 4326, 32632, 3857};
    std::vector<Raster> rasters;
    const int count = dice.whole(2, 5);
    for (int i = 0; i < count; ++i) {
        const int epsg = i == 0 ? 32631 : codes[dice.whole(0, 3)];
        double x = 700'000 + dice.between(-40, 40), y = 5'900'000 + dice.between(-40, 40);
        if (epsg != 32631) {
            other.importFromEPSG(epsg);
            other.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
            const std::unique_ptr<OGRCoordinateTransformation> there(
                OGRCreateCoordinateTransformation(&utm, &other));
            there->Transform(1, &x, &y);
        }
        const double metre = epsg == 4326 ? 1 / 111'000.0 : epsg == 3857 ? 1.67 : 1;
        const double step = (i == 0 ? 5 : dice.between(5.5, 16)) * metre;
        const int cols = dice.whole(4, 12), rows = dice.whole(4, 12);
        Grid grid{cols, rows, x - step * cols / 2, y + step * rows / 2, step, -step, wkt_of(epsg)};
        rasters.push_back({std::move(grid), epsg, soundings(dice, cols, rows)});
    }
    return rasters;
}

/// Points of a cell, and what each raster says of each of them.
class Oracle {
public:
    Oracle(const std::vector<Raster>& rasters, const Grid& grid, int points_a_side)
        : rasters_(rasters), grid_(grid), side_(points_a_side) {
        OGRSpatialReference from;
        from.importFromEPSG(rasters.front().epsg);
        from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        for (const Raster& raster : rasters) {
            OGRSpatialReference to;
            to.importFromEPSG(raster.epsg);
            to.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
            there_.emplace_back(raster.epsg == rasters.front().epsg
                                    ? nullptr
                                    : OGRCreateCoordinateTransformation(&from, &to));
        }
    }
    struct Cell {
        std::vector<Depths> of; ///< each raster, over the points that it knows
        std::vector<int> known; ///< how many points it knows
        bool by_any_at_all_points = true;
    };
    [[nodiscard]] Cell look(int col, int row) const {
        Cell cell;
        cell.of.resize(rasters_.size());
        cell.known.resize(rasters_.size());
        for (int j = 0; j < side_; ++j) {
            for (int i = 0; i < side_; ++i) {
                const double x = grid_.x_of(col + (i + 0.5) / side_), y = grid_.y_of(row + (j + 0.5) / side_);
                bool by_any = false;
                for (std::size_t r = 0; r < rasters_.size(); ++r) {
                    GridPoint p{x, y};
                    if (there_[r]) there_[r]->Transform(1, &p.x, &p.y);
                    const std::optional<float> depth_m = rasters_[r].at(p);
                    if (!depth_m) continue;
                    by_any = true;
                    ++cell.known[r];
                    cell.of[r].add({*depth_m, *depth_m});
                }
                cell.by_any_at_all_points = cell.by_any_at_all_points && by_any;
            }
        }
        return cell;
    }
    [[nodiscard]] int points() const { return side_ * side_; }

private:
    const std::vector<Raster>& rasters_;
    const Grid& grid_;
    int side_;
    std::vector<std::unique_ptr<OGRCoordinateTransformation>> there_;
};

/// What the rasters say of a cell by the rule: the one that counts, or all that know a part.
struct Answer {
    Depths depths;
    int sources_in_part = 0;         ///< how many bound it; 0: one speaks alone, or none
    std::size_t first = 0, last = 0; ///< of those that bound it
    bool any = false, whole = false;
};

Answer by_the_rule(const Oracle::Cell& cell, int points) {
    Answer answer;
    const auto first = std::find_if(cell.known.begin(), cell.known.end(), [](int n) { return n > 0; });
    if (first == cell.known.end()) return answer;
    answer.any = true;
    answer.first = answer.last = static_cast<std::size_t>(first - cell.known.begin());
    if (*first == points) {
        answer.depths = cell.of[static_cast<std::size_t>(first - cell.known.begin())];
        answer.whole = true;
        return answer;
    }
    for (std::size_t r = 0; r < cell.of.size(); ++r) {
        if (cell.known[r] > 0) {
            answer.depths.add(cell.of[r]);
            answer.last = r;
            ++answer.sources_in_part;
        }
    }
    answer.whole = cell.by_any_at_all_points;
    return answer;
}

/// Half-width of a depth in a zone of confidence, IHO S-68 1.0.0 table 6-2; D and not assessed as C.
double zone_half_width_m(int zone, double depth_m) {
    if (zone == 1) return 0.5 + 0.01 * depth_m;
    return zone <= 3 ? 1 + 0.02 * depth_m : 2 + 0.05 * depth_m;
}

/// Whether what bounds a cell is a survey that counts against the chart: of one raster its own word, of
/// several that of each up to the last.
bool survey_speaks(const Answer& rule, const std::vector<Raster>& rasters, const Beside& beside) {
    const std::size_t first = rule.sources_in_part > 1 ? 0 : rule.first;
    for (std::size_t r = first; r <= rule.last; ++r) {
        // The scale of a projection is forgiven by a hundredth.
        if (!rasters[r].terms.is_survey || rasters[r].terms.cell_m > 1.01 * beside.cell_m) return false;
    }
    const double half_m = static_cast<double>(rule.depths.deep_m - rule.depths.shoal_m) / 2,
                 middle_m = static_cast<double>(rule.depths.deep_m + rule.depths.shoal_m) / 2;
    return half_m <= zone_half_width_m(beside.zone, middle_m);
}

/// The earliest day that all rasters that may bound a cell were measured by; 0: not known.
int measured_by(const Answer& rule, const std::vector<Raster>& rasters) {
    const std::size_t first = rule.sources_in_part > 1 ? 0 : rule.first;
    int day = rasters[first].terms.measured_by;
    for (std::size_t r = first; r <= rule.last; ++r) {
        day = std::min(day, rasters[r].terms.measured_by); // 0, not known, is the least
    }
    return day;
}

/// A raster by its number, which a mosaic tells by its name.
class Numbered final : public DepthSource {
public:
    Numbered(std::size_t number, const Raster& raster)
        : number_(number), terms_(raster.terms),
          source_(memory_bathymetry(raster.grid, raster.depths, DepthUncertainty::none())) {}
    [[nodiscard]] const Grid& grid() const override { return source_->grid(); }
    void read(Window where, DepthPlanes& depths) const override { source_->read(where, depths); }
    [[nodiscard]] double greatest_uncertainty_m() const override { return source_->greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }
    [[nodiscard]] std::vector<std::string> sources() const override { return {std::to_string(number_)}; }
    [[nodiscard]] std::vector<SurveyTerms> survey_terms() const override { return {terms_}; }

private:
    std::size_t number_;
    SurveyTerms terms_;
    std::unique_ptr<DepthSource> source_;
};

/// @param rasters  put into the order in which they count
std::unique_ptr<DepthSource> mosaic_of(std::vector<Raster>& rasters) {
    std::vector<std::unique_ptr<DepthSource>> sources;
    for (std::size_t i = 0; i < rasters.size(); ++i) {
        sources.push_back(std::make_unique<Numbered>(i, rasters[i]));
    }
    std::unique_ptr<DepthSource> all = mosaic(std::move(sources));
    std::vector<Raster> in_order;
    for (const std::string& number : all->sources()) {
        in_order.push_back(rasters[std::stoul(number)]);
    }
    rasters = std::move(in_order);
    return all;
}

/// What was met, so that no kind of cell is passed over unseen.
struct Met {
    long cells = 0, alone = 0, joined = 0, open = 0, nothing = 0, three_or_more = 0, over_chart = 0;
    long surveys = 0, joined_surveys = 0, differ = 0, bound = 0; ///< of cells where a survey speaks
    long anywhere = 0, lost = 0,
         shoaler = 0; ///< of cells in planes of their own that points show to be known
};

/// How many random scenes are tried; SWINGROOM_SCENES asks for more than a test run has time for.
int scenes() {
    const char* const asked = std::getenv("SWINGROOM_SCENES");
    return std::max(60, asked ? std::atoi(asked) : 0);
}

std::string text_of(const Grid& grid) {
    return std::to_string(grid.cols) + " x " + std::to_string(grid.rows) + " of " +
           std::to_string(grid.step_x) + " at " + std::to_string(grid.origin_x) + " " +
           std::to_string(grid.origin_y);
}

/// Lays what a chart says beside a survey over it.
void expect_beside_survey(const Answer& rule, const std::vector<Raster>& rasters, const Beside& beside,
                          const DepthPlanes& depths, GridCell cell, Met& met) {
    const float own_m = rule.depths.shoal_m - beside.standing_m;
    const bool bound = beside.bound_m < own_m;
    ASSERT_EQ(depths.shoal_m.at(cell.col, cell.row), bound ? beside.bound_m : own_m);
    ASSERT_EQ(depths.deep_m.at(cell.col, cell.row),
              std::isnan(beside.bound_m) ? rule.depths.deep_m : std::max(rule.depths.deep_m, beside.bound_m));
    const std::size_t source = depths.source.at(cell.col, cell.row);
    if (bound || beside.standing_m > 0) {
        ASSERT_EQ(source, rasters.size() + 1);
    } else {
        ASSERT_GE(source, rule.first + 1);
        ASSERT_LE(source, rule.last + 1);
    }
    const bool apart = rule.depths.deep_m < beside.area_shoal_m || rule.depths.shoal_m > beside.area_deep_m;
    const int day = measured_by(rule, rasters);
    const bool newer = day != 0 && beside.surveyed > day && beside.area_shoal_m < rule.depths.shoal_m;
    ASSERT_EQ(depths.differs.at(cell.col, cell.row) != 0, apart || newer);
    ++met.surveys;
    met.joined_surveys += rule.sources_in_part > 1 ? 1 : 0;
    met.differ += apart || newer ? 1 : 0;
    met.bound += bound ? 1 : 0;
}

void look_at_quarters(int seed, Met& met) {
    Dice dice(static_cast<std::uint64_t>(seed));
    std::vector<Raster> rasters = rasters_on_quarters(dice);
    const double surveyed = dice.chance(0.4) ? 0 : dice.chance(0.5) ? 1 : dice.between(0.3, 0.9);
    for (Raster& raster : rasters) {
        raster.terms = {.is_survey = dice.chance(surveyed),
                        .cell_m = raster.grid.step_x,
                        .measured_by = dice.chance(0.5) ? 20'150'101 : 0};
        // Water that is flat enough for a survey to be sure of it.
        for (float& depth_m : raster.depths) {
            if (surveyed > 0) depth_m = 18 + std::fmod(depth_m, 3.0F);
        }
    }
    std::unique_ptr<DepthSource> all = mosaic_of(rasters);
    const Grid grid = all->grid();
    const Chart* chart = nullptr;
    if (dice.chance(0.6)) {
        auto beneath = std::make_unique<Chart>(dice, grid);
        chart = beneath.get();
        all = chart_over_raster(std::move(all), std::move(beneath));
    }
    DepthPlanes depths;
    all->read(grid.extent(), depths);
    const Oracle oracle(rasters, grid, 4);
    for (int row = 0; row < grid.rows; ++row) {
        for (int col = 0; col < grid.cols; ++col) {
            SCOPED_TRACE("seed " + std::to_string(seed) + ", cell " + std::to_string(col) + " " +
                         std::to_string(row) + " of " + text_of(grid) + (chart ? ", over a chart" : ""));
            const Answer rule = by_the_rule(oracle.look(col, row), oracle.points());
            std::optional<Depths> expected;
            if (rule.whole) expected = rule.depths;
            if (chart && rule.whole && survey_speaks(rule, rasters, chart->beside(col, row))) {
                ++met.cells;
                expect_beside_survey(rule, rasters, chart->beside(col, row), depths, {col, row}, met);
                if (testing::Test::HasFatalFailure()) return;
                continue;
            }
            if (depths.differs.size() > 0) {
                ASSERT_EQ(depths.differs.at(col, row), 0);
            }
            const float charted_m = chart ? chart->shoal_m(col, row) : unsurveyed,
                        charted_deep_m = chart ? chart->deep_m(col, row) : unsurveyed;
            if (rule.whole && !std::isnan(charted_m)) expected->add({charted_m, charted_m});
            if (!rule.whole && !std::isnan(charted_deep_m)) {
                expected = rule.depths;
                expected->add({charted_m, charted_deep_m});
                met.over_chart += rule.any ? 1 : 0;
            }
            ++met.cells;
            ++(!rule.any                  ? met.nothing
               : !rule.whole              ? met.open
               : rule.sources_in_part > 0 ? met.joined
                                          : met.alone);
            met.three_or_more += rule.whole && rule.sources_in_part >= 3 ? 1 : 0;
            const float shoal_m = depths.shoal_m.at(col, row), deep_m = depths.deep_m.at(col, row);
            ASSERT_EQ(std::isnan(shoal_m), !expected);
            ASSERT_EQ(std::isnan(deep_m), !expected);
            ASSERT_EQ(depths.source.at(col, row) == 0, !expected);
            if (expected) {
                ASSERT_EQ(shoal_m, expected->shoal_m);
                ASSERT_EQ(deep_m, expected->deep_m);
            }
        }
    }
}

void look_anywhere(int seed, Met& met) {
    Dice dice(1'000'000 + static_cast<std::uint64_t>(seed));
    std::vector<Raster> rasters = rasters_anywhere(dice);
    const std::unique_ptr<DepthSource> all = mosaic_of(rasters);
    const Grid& grid = all->grid();
    DepthPlanes depths;
    all->read(grid.extent(), depths);
    const Oracle oracle(rasters, grid, 7);
    for (int row = 0; row < grid.rows; ++row) {
        for (int col = 0; col < grid.cols; ++col) {
            SCOPED_TRACE("seed " + std::to_string(seed) + ", cell " + std::to_string(col) + " " +
                         std::to_string(row) + " of " + text_of(grid));
            const Answer rule = by_the_rule(oracle.look(col, row), oracle.points());
            const float shoal_m = depths.shoal_m.at(col, row), deep_m = depths.deep_m.at(col, row);
            met.anywhere += rule.whole ? 1 : 0;
            if (std::isnan(shoal_m)) {
                met.lost += rule.whole ? 1 : 0;
                continue;
            }
            ASSERT_TRUE(rule.whole); // no point of it is unknown to all
            ASSERT_LE(shoal_m, rule.depths.shoal_m);
            ASSERT_GE(deep_m, rule.depths.deep_m);
            met.shoaler += shoal_m < rule.depths.shoal_m ? 1 : 0;
        }
    }
}

TEST(SeveralSources, OnQuartersOfCellsEqualTheRuleInEveryCell) {
    Met met;
    for (int seed = 0; seed < scenes() && !HasFatalFailure(); ++seed) {
        look_at_quarters(seed, met);
    }
    std::printf("cells %ld: by one source %ld, by several that know parts %ld (three or more: %ld), known in "
                "part only %ld (a chart knows the rest: %ld), unknown %ld\n",
                met.cells, met.alone, met.joined, met.three_or_more, met.open, met.over_chart, met.nothing);
    std::printf(
        "a survey speaks in %ld: several surveys together %ld, bounded by the chart %ld, they differ in "
        "%ld\n",
        met.surveys, met.joined_surveys, met.bound, met.differ);
    EXPECT_GT(met.cells, 20'000); // all kinds were met
    EXPECT_GT(met.alone, 5'000);
    EXPECT_GT(met.joined, 200);
    EXPECT_GT(met.three_or_more, 20);
    EXPECT_GT(met.open, 2'000);
    EXPECT_GT(met.over_chart, 500);
    EXPECT_GT(met.surveys, 1'000);
    EXPECT_GT(met.joined_surveys, 10);
    EXPECT_GT(met.bound, 100);
    EXPECT_GT(met.differ, 100);
}

TEST(SeveralSources, InPlanesOfTheirOwnLoseNothingThatAPointShows) {
    Met met;
    for (int seed = 0; seed < scenes() && !HasFatalFailure(); ++seed) {
        look_anywhere(seed, met);
    }
    std::printf("in planes of their own: known %ld, of which lost %ld, shoaler than the points show %ld\n",
                met.anywhere, met.lost, met.shoaler);
    EXPECT_GT(met.anywhere, 20'000);
    EXPECT_LT(static_cast<double>(met.lost), 0.05 * static_cast<double>(met.anywhere)); // nor is it timid
    EXPECT_LT(static_cast<double>(met.shoaler), 0.1 * static_cast<double>(met.anywhere));
}

} // namespace
} // namespace swingroom::testing_support
