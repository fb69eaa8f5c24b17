// How little water there is in the swinging circles, and how long within a stay it is enough: the layers of a
// whole run against a sweep over all cells and all hazards, cell by cell, and against the curve itself.
//
// Two sweeps: one by the very cells that a run measures and burns, which must give the same floats; and one
// by cells as squares and hazards as they are, in GEOS, between whose bounds the run must lie.

#include "swingroom/base/rounding.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/room/distance.hpp"
#include "swingroom/sea/georeference.hpp"

#include "property/room_oracle.hpp"
#include "property/room_scene.hpp"
#include "room/capsules.hpp"
#include "support/made_tide.hpp"
#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr int first_seed = 90'000; ///< apart from those of the other tests
constexpr float infinite = std::numeric_limits<float>::infinity();
constexpr float nan = std::numeric_limits<float>::quiet_NaN();

/// SWINGROOM_SCENES=N tries more scenes of each kind.
int scenes_per_kind() {
    const char* asked = std::getenv("SWINGROOM_SCENES");
    return asked != nullptr ? std::atoi(asked) : 30;
}

struct Tally {
    int scenes = 0;
    std::int64_t water = 0, none = 0, hours = 0, some_hours = 0, high_only = 0, by_danger = 0, yes = 0,
                 bounded = 0, tight = 0, positions = 0;
};

/// A boat and the water of its stay, with its tables, for several scenes.
struct Sailing {
    Boat boat;
    StayTide tide;
    Conditions conditions;
    std::unique_ptr<TackleTables> tables;
    std::vector<double> heights_m; ///< of the curve, less the allowance, every ten seconds; the highest first
    double turns = 0;              ///< high waters in the stay, at most

    /// How long the curve itself stands at a level or above it.
    [[nodiscard]] double true_hours(long double level_m) const {
        const auto below = std::partition_point(heights_m.begin(), heights_m.end(), [=](double height_m) {
            return static_cast<long double>(height_m) >= level_m;
        });
        return static_cast<double>(below - heights_m.begin()) / 360;
    }
};

Sailing random_sailing(std::uint64_t seed) {
    Dice dice(seed * 101 + 3);
    Boat boat = read_trial_boat(trial_boats()[seed % trial_boats().size()]);
    boat.hull.draught_m *= dice.between(0.7, 1.3);
    boat.rode.mark_m = dice.between(0.3, 6);
    const double mean_m = dice.between(0.5, 2.5), amplitude_m = dice.between(0.2, 2),
                 below_m = dice.between(0, 0.3);
    const int from_min = dice.whole(-700, 700), minutes = dice.whole(200, 3000);
    StayTide tide = sine_stay(mean_m, amplitude_m, from_min, minutes, below_m);
    const Conditions conditions{tide.stay.levels(), dice.between(3, 15), 0};
    auto tables = std::make_unique<TackleTables>(boat, conditions, 1.0);
    std::vector<double> heights_m;
    for (int i = 0; i < 6 * tide.stay.minutes(); ++i) {
        heights_m.push_back(tide.curve->height_m(tide.stay.arrive() + std::chrono::seconds(10 * i)) -
                            below_m);
    }
    std::sort(heights_m.begin(), heights_m.end(), std::greater<>());
    return {boat, tide, conditions, std::move(tables), heights_m, std::ceil(minutes / 745.0) + 1};
}

/// A scene with banks about the depth that is needed, some of them afloat at high water only, and dangers of
/// known depth.
struct Water {
    Scene sea;
    OverlayScene run; ///< but for the tables
    Plane<float> shoal_m, deep_m;
};

std::unique_ptr<Water> random_water(const SceneKind& kind, std::uint64_t seed, const Sailing& sailing) {
    Dice dice(seed * 57 + 11);
    auto water = std::make_unique<Water>();
    water->sea = random_scene(kind, seed);
    Scene& sea = water->sea;
    const WaterLevels levels = sailing.conditions.water;
    const double needed_m = sailing.boat.required_depth_m() - levels.low_m;
    for (Hazard& hazard : sea.hazards) {
        if (dice.chance(0.6)) hazard.effects |= effect::hull;
        if (dice.chance(0.7)) {
            // Now and then to the digit what is needed, which floats cannot tell from a little less.
            hazard.least_depth_m = dice.chance(0.2) ? needed_m : needed_m + dice.between(-1.5, 1.5);
        } else if (dice.chance(0.5)) {
            hazard.clearance_m = dice.between(0, 30);
        }
    }
    const double middle_m = needed_m + dice.between(-1, 2.5), roll_m = dice.between(0, 1.2),
                 tilt = dice.between(-1, 1) / 40, wave = dice.between(0.1, 0.5);
    const Window all = sea.grid.extent();
    std::vector<float> depth_m;
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            const float patch_m = sea.depth_m.at(col, row);
            double d = double{patch_m};
            if (patch_m == 10) {
                d = middle_m + tilt * (col + row) + roll_m * std::sin(wave * col) * std::cos(wave * row);
            } else if (!std::isnan(patch_m)) {
                d = double{patch_m} - 2.5 + needed_m;
            }
            depth_m.push_back(static_cast<float>(d));
        }
    }
    const auto uncertainty =
        dice.chance(0.5) ? DepthUncertainty::none() : DepthUncertainty::constant(dice.between(0, 0.4));
    water->run.depths = memory_bathymetry(sea.grid, std::move(depth_m), uncertainty);
    DepthPlanes planes;
    water->run.depths->read(all, planes);
    water->shoal_m = planes.shoal_m;
    water->deep_m = planes.deep_m;
    water->run.metric = sea.metric;
    water->run.hazards = std::make_unique<HazardField>(sea.hazards, all, sea.metric);
    return water;
}

/// What a hazard does to the depth of a cell that it touches.
float depth_over(const Hazard& hazard, const Sailing& sailing) {
    const double needed_m = sailing.boat.required_depth_m(), low_m = sailing.conditions.water.low_m;
    const HullNeeds hull = hull_needs(sailing.boat, sailing.conditions.water);
    if ((hazard.effects & effect::hull) == 0) return infinite;
    const bool endangers = (effects_on(hazard, hull) & effect::hull) != 0;
    if (!hazard.least_depth_m) return endangers ? -infinite : infinite;
    if (hazard.clearance_m && !endangers && *hazard.least_depth_m + low_m < needed_m) return infinite;
    const float floats_m = narrow_up(needed_m - low_m), charted_m = narrow_down(*hazard.least_depth_m);
    // Within the last digit of a float what she clears floats her, and what endangers her does not.
    return endangers ? std::min(charted_m, std::nextafter(floats_m, -infinite))
                     : std::max(charted_m, floats_m);
}

/// The least depth of each cell: of the ground and of the hazards that `touches` it.
template <class Touches>
Plane<float> least_depths(const Water& water, const Sailing& sailing, const Touches& touches) {
    const Window all = water.sea.grid.extent();
    Plane<float> least_m(all);
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            float& cell_m = least_m.at(col, row);
            cell_m = std::isnan(water.shoal_m.at(col, row)) ? -infinite : water.shoal_m.at(col, row);
            for (std::size_t i = 0; i < water.sea.hazards.size(); ++i) {
                if (touches(i, col, row)) {
                    cell_m = std::min(cell_m, depth_over(water.sea.hazards[i], sailing));
                }
            }
        }
    }
    return least_m;
}

/// The least of all cells that belong to a circle, what lies outside the raster among them.
/// @param belongs  (columns apart, rows apart)
template <class Belongs>
float swept(const Plane<float>& least_m, int col, int row, const Belongs& belongs) {
    const Window all = least_m.window();
    const bool reaches_out = belongs(col + 1, 0) || belongs(all.cols - col, 0) || belongs(0, row + 1) ||
                             belongs(0, all.rows - row);
    if (reaches_out) return -infinite;
    float least = infinite;
    for (int r = 0; r < all.rows; ++r) {
        for (int c = 0; c < all.cols; ++c) {
            if (least_m.at(c, r) < least && belongs(std::abs(c - col), std::abs(r - row))) {
                least = least_m.at(c, r);
            }
        }
    }
    return least;
}

/// How a way lies at a cell: its radius, NaN where it is out, 0 where the cell never floats her.
float circle_m(const Water& water, const Sailing& sailing, const BlockAnswers& said, Way way, int col,
               int row) {
    const float shoal_m = water.shoal_m.at(col, row), deep_m = water.deep_m.at(col, row);
    const double needed_m = sailing.boat.required_depth_m();
    const WaterLevels levels = sailing.conditions.water;
    if (std::isnan(shoal_m)) return nan;
    const float floats_m = narrow_up(needed_m - levels.low_m);
    if (shoal_m >= floats_m) return said.figures(of(Layer::radius_full, way)).at(col, row);
    // She swings once she is afloat: over a seabed that just floats her at low water.
    const WayNeeds needs = sailing.tables->needs(way, double{floats_m}, double{std::max(deep_m, floats_m)});
    if (needs.out != WayNeeds::Out::none) return nan;
    return shoal_m >= narrow_up(needed_m - levels.high_m) ? needs.radius_m : 0;
}

class WaterInCircles : public testing::TestWithParam<int> {
protected:
    void expect_water(const Water& water, const Sailing& sailing, const BlockAnswers& said);
    void expect_cell(const Sailing& sailing, const BlockAnswers& said, Way way, int col, int row,
                     float least_m);
    void expect_bounds(const Water& water, const Sailing& sailing, const BlockAnswers& said);
    void expect_zones(const Sailing& sailing, const Recorder& said) const;
    void expect_positions(const Sailing& sailing, const OverlayJob& job, const BlockAnswers& said,
                          Dice& dice);

    Tally tally_;
    long double greatest_of_yes_m_ = -double{infinite}; ///< level needed, of a scene's yes cells at their way
};

void WaterInCircles::expect_cell(const Sailing& sailing, const BlockAnswers& said, Way way, int col, int row,
                                 float least_m) {
    const double low_m = sailing.conditions.water.low_m;
    const float water_m = said.figures(of(Layer::least_water_full, way)).at(col, row),
                hours = said.figures(of(Layer::hours_afloat_full, way)).at(col, row);
    if (least_m == -infinite) {
        ASSERT_TRUE(std::isnan(water_m)) << water_m;
        ASSERT_EQ(hours, 0);
        ++tally_.none;
        return;
    }
    ASSERT_EQ(water_m, narrow_down(double{least_m} + low_m));
    ++tally_.water;
    const long double level_m =
        static_cast<long double>(sailing.boat.required_depth_m()) - static_cast<long double>(least_m);
    const double true_hours = sailing.true_hours(level_m);
    ASSERT_LE(double{hours}, true_hours + 1e-12) << "more than the curve itself, level " << double(level_m);
    // Each time afloat may lose a minute at either end.
    ASSERT_GE(double{hours}, true_hours - sailing.turns * 2 / 60.0 - 1e-6) << "level " << double(level_m);
    ++tally_.hours;
    tally_.some_hours += hours > 0 && double{hours} < sailing.tide.stay.minutes() / 60.0 - 0.1;
    const auto verdict = static_cast<Verdict>(said.plane<Layer::verdict>().at(col, row));
    if (!is_yes(verdict) || way_of(verdict) > way) return;
    if (way_of(verdict) == way) {
        ++tally_.yes;
        greatest_of_yes_m_ = std::max(greatest_of_yes_m_, level_m);
        ASSERT_GE(least_m, narrow_up(sailing.boat.required_depth_m() - low_m)) << "a yes that is not afloat";
        ASSERT_EQ(hours, narrow_down(sailing.tide.stay.minutes() / 60.0)) << "a yes lies afloat all the stay";
    }
}

void WaterInCircles::expect_water(const Water& water, const Sailing& sailing, const BlockAnswers& said) {
    const Window all = water.sea.grid.extent();
    const GroundMetric metric = water.sea.metric.within(reach_m(*sailing.tables));
    std::vector<std::vector<std::size_t>> touching;
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            touching.push_back(water.run.hazards->touching({col, row, 1, 1}));
        }
    }
    const Plane<float> least_m = least_depths(water, sailing, [&](std::size_t i, int col, int row) {
        const auto& here = touching[static_cast<std::size_t>(row * all.cols + col)];
        return std::find(here.begin(), here.end(), i) != here.end();
    });
    for (int row = 0; row < all.rows; ++row) {
        const CellSize cell = metric.at(row);
        for (int col = 0; col < all.cols; ++col) {
            for (const Way way : all_ways) {
                SCOPED_TRACE(std::string(phrase(way)) + ", column " + std::to_string(col) + ", row " +
                             std::to_string(row));
                const float radius_m = circle_m(water, sailing, said, way, col, row);
                if (radius_m > 0) {
                    const float circle_least_m = swept(least_m, col, row, [=](int cols, int rows) {
                        return room_beside_m(cell, cols, rows) < radius_m;
                    });
                    expect_cell(sailing, said, way, col, row, circle_least_m);
                    tally_.high_only += !(water.shoal_m.at(col, row) + sailing.conditions.water.low_m >=
                                          sailing.boat.required_depth_m());
                    tally_.by_danger +=
                        circle_least_m > -infinite && circle_least_m < water.shoal_m.at(col, row);
                    if (HasFatalFailure()) return;
                    continue;
                }
                ASSERT_TRUE(std::isnan(said.figures(of(Layer::least_water_full, way)).at(col, row)));
                const float hours = said.figures(of(Layer::hours_afloat_full, way)).at(col, row);
                ASSERT_TRUE(std::isnan(radius_m) ? std::isnan(hours) : hours == 0) << hours;
            }
        }
    }
}

/// On planes in metres, where distances are known without a bound: true squares and true hazards.
void WaterInCircles::expect_bounds(const Water& water, const Sailing& sailing, const BlockAnswers& said) {
    const Scene& sea = water.sea;
    const CellSize cell = sea.metric.at(0);
    const double doubt_m = 1e-5;
    std::vector<std::unique_ptr<RoomOracle>> oracles;
    std::vector<Scene> singles;
    singles.reserve(sea.hazards.size()); // which oracles refer to
    for (const Hazard& hazard : sea.hazards) {
        singles.push_back(sea);
        singles.back().hazards = {hazard};
        singles.back().hazards[0].effects = effect::hull;
        oracles.push_back(std::make_unique<RoomOracle>(singles.back(), effect::hull));
    }
    const Plane<float> most_m = least_depths(water, sailing, [&](std::size_t i, int col, int row) {
        return oracles[i]->signed_gap_m(col, row) < -doubt_m;
    });
    const Plane<float> least_m = least_depths(water, sailing, [&](std::size_t i, int col, int row) {
        return oracles[i]->signed_gap_m(col, row) <= burnt_excess_m(sea.hazards[i], sea.metric) + doubt_m;
    });
    const auto gap_m = [cell](int cols, int rows) {
        return std::hypot(std::max(cols - 1, 0) * cell.dx_m, std::max(rows - 1, 0) * cell.dy_m);
    };
    for (int row = 0; row < sea.grid.rows; ++row) {
        for (int col = 0; col < sea.grid.cols; ++col) {
            for (const Way way : all_ways) {
                const auto radius_m = double{circle_m(water, sailing, said, way, col, row)};
                if (!(radius_m > 0)) continue;
                const float low = swept(least_m, col, row, [&](int cols, int rows) {
                    return gap_m(cols, rows) < radius_m * (1 + 1e-6);
                });
                const float high = swept(most_m, col, row, [&](int cols, int rows) {
                    return gap_m(cols, rows) < radius_m * (1 - 1e-6);
                });
                const float water_m = said.figures(of(Layer::least_water_full, way)).at(col, row);
                const double low_m = sailing.conditions.water.low_m;
                const double said_m = std::isnan(water_m) ? -double{infinite} : double{water_m} - low_m;
                ASSERT_LE(said_m, double{high} + 1e-6) << "more water than there is";
                ASSERT_GE(said_m, double{low} - 1e-6) << "less water than there may be";
                ++tally_.bounded;
                tally_.tight += low == high;
            }
        }
    }
}

void WaterInCircles::expect_zones(const Sailing& sailing, const Recorder& said) const {
    long double of_zones_m = -double{infinite};
    for (const Zone& zone : said.zones) {
        of_zones_m = std::max(of_zones_m, static_cast<long double>(zone.figures.level_needed_max_m));
    }
    ASSERT_LE(of_zones_m, narrow_up(sailing.conditions.water.low_m));
    if (said.zones.empty()) return;
    ASSERT_GE(of_zones_m, greatest_of_yes_m_ - 1e-12L);
    ASSERT_LE(of_zones_m, greatest_of_yes_m_ + 1e-6L);
}

/// Where a position can be told: what it says, anywhere in the scene.
void WaterInCircles::expect_positions(const Sailing& sailing, const OverlayJob& job, const BlockAnswers& said,
                                      Dice& dice) {
    const Georeference georeference(job.depths->grid(), "scene");
    for (int i = 0; i < 6; ++i) {
        const int col = dice.whole(0, job.window.cols - 1), row = dice.whole(0, job.window.rows - 1);
        const PositionReport position = examine(job, georeference, col, row);
        for (const Way way : all_ways) {
            const WaterOfWay& of_way = position.water[static_cast<std::size_t>(way)];
            const float water_m = said.figures(of(Layer::least_water_full, way)).at(col, row),
                        hours = said.figures(of(Layer::hours_afloat_full, way)).at(col, row);
            ASSERT_TRUE(std::isnan(hours) ? std::isnan(of_way.hours_afloat)
                                          : of_way.hours_afloat == double{hours});
            if (std::isnan(water_m)) {
                ASSERT_FALSE(std::isfinite(of_way.least_water_m));
                ASSERT_FALSE(of_way.level_needed_m < 1e9);
                continue;
            }
            ASSERT_EQ(of_way.least_water_m, double{water_m});
            // What the layer rounds down to a float, the level rounds up from the exact depth.
            const double from_layer_m =
                sailing.boat.required_depth_m() - (double{water_m} - sailing.conditions.water.low_m);
            ASSERT_LE(of_way.level_needed_m, from_layer_m + 1e-12);
            ASSERT_GE(of_way.level_needed_m, from_layer_m - 1e-5);
            ++tally_.positions;
        }
    }
}

void print(const Tally& t) {
    std::printf(
        "%d scenes: %lld circles with water, %lld without, %lld afloat for a part of the stay, %lld of cells "
        "that are aground at low water, %lld with less water than their middle, %lld of a yes; %lld between "
        "true bounds, of which %lld are one number\n",
        t.scenes, static_cast<long long>(t.water), static_cast<long long>(t.none),
        static_cast<long long>(t.some_hours), static_cast<long long>(t.high_only),
        static_cast<long long>(t.by_danger), static_cast<long long>(t.yes), static_cast<long long>(t.bounded),
        static_cast<long long>(t.tight));
}

/// A guard against scenes in which nothing happens.
void expect_much_was_tried(const Tally& t, bool positions) {
    EXPECT_GT(t.water, 1000);
    EXPECT_GT(t.none, 1000);
    EXPECT_GT(t.some_hours, 200);
    EXPECT_GT(t.high_only, 200);
    EXPECT_GT(t.by_danger, 500);
    EXPECT_GT(t.yes, 50);
    EXPECT_GE(static_cast<double>(t.tight), 0.9 * static_cast<double>(t.bounded));
    EXPECT_EQ(t.positions > 100, positions);
}

TEST_P(WaterInCircles, IsThatOfASweepAndLastsNoLongerThanTheCurveAllows) {
    const SceneKind& kind = scene_kinds()[static_cast<std::size_t>(GetParam())];
    const char* only = std::getenv("SWINGROOM_SEED");
    const int scenes = scenes_per_kind(), scenes_of_a_boat = 15;
    const int first = only ? std::atoi(only) : first_seed + 1000 * GetParam(),
              last = only ? first : first + scenes - 1;
    std::optional<Sailing> sailing;
    for (int seed = first; seed <= last; ++seed) {
        const auto number = static_cast<std::uint64_t>(seed);
        if (!sailing || seed % scenes_of_a_boat == 0) {
            sailing.emplace(random_sailing(number / scenes_of_a_boat));
        }
        const auto water = random_water(kind, number, *sailing);
        SCOPED_TRACE(sailing->boat.name + ", " + water->sea.describe());
        Dice dice(number + 5'000'000);
        OverlayJob job = water->run.job();
        job.tables = sailing->tables.get();
        job.tide = &sailing->tide;
        job.block = dice.whole(5, 32);
        job.threads = dice.whole(1, 2);
        Recorder said(job.window);
        run_overlay(job, said, {});
        greatest_of_yes_m_ = -double{infinite};
        expect_water(*water, *sailing, said.all);
        if (HasFatalFailure()) return;
        expect_zones(*sailing, said);
        if (HasFatalFailure()) return;
        if (!kind.crs.empty()) expect_positions(*sailing, job, said.all, dice);
        if (HasFatalFailure()) return;
        job.block = dice.whole(5, 32);
        job.threads = 3 - job.threads;
        Recorder again(job.window);
        run_overlay(job, again, {});
        ASSERT_EQ(first_difference(said.all, again.all, job.window, LayerSet::all()), "");
        if (water->sea.exact_metric && seed % 3 == 0) expect_bounds(*water, *sailing, said.all);
        if (HasFatalFailure()) return;
        ++tally_.scenes;
    }
    print(tally_);
    if (only == nullptr) expect_much_was_tried(tally_, !kind.crs.empty());
}

std::string test_name(const testing::TestParamInfo<int>& info) {
    std::string name;
    for (const char c : scene_kinds()[static_cast<std::size_t>(info.param)].name) {
        name += c == ' ' || c == ',' || c == '-' ? '_' : c;
    }
    return name;
}
INSTANTIATE_TEST_SUITE_P(Scenes, WaterInCircles, testing::Range(0, static_cast<int>(scene_kinds().size())),
                         test_name);

} // namespace
} // namespace swingroom::testing_support
