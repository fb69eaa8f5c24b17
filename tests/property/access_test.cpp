// At which level of the water a boat gets to each cell: that of a run against a search that knows nothing of
// blocks, rims or pools. Every cell looks at all cells and all hazards for what stands in her way, and hands
// the level at which it is reached on to its neighbours until nothing changes any more.
//
// Twice: with the very cells that a run measures and burns, which must give the same floats; and with cells
// as squares and hazards as they are, in GEOS, between whose bounds the run must lie.

#include "swingroom/base/rounding.hpp"
#include "swingroom/overlay/access.hpp"
#include "swingroom/room/distance.hpp"

#include "property/room_oracle.hpp"
#include "property/room_scene.hpp"
#include "room/capsules.hpp"
#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <memory>
#include <optional>
#include <ranges>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr int first_seed = 120'000; ///< apart from those of the other tests
constexpr float infinite = std::numeric_limits<float>::infinity();
constexpr float nan = std::numeric_limits<float>::quiet_NaN();
constexpr std::array<GridCell, 4> beside = {{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};

/// SWINGROOM_SCENES=N tries more scenes of each kind.
int scenes_per_kind() {
    const char* asked = std::getenv("SWINGROOM_SCENES");
    return asked != nullptr ? std::atoi(asked) : 30;
}

struct Tally {
    int scenes = 0, no_start = 0, of_places = 0, several = 0;
    std::int64_t reached = 0, never = 0, by_sill = 0, too_narrow = 0, bounded = 0, tight = 0, in_range = 0,
                 of_open_water = 0;
};

/// A sea behind banks, walls and islands, with gaps of all widths, and a boat that wants in.
struct Approach {
    Scene sea;
    OverlayScene run;
    UnderWay needs;
    Plane<float> shoal_m;
    std::vector<GridCell> places; ///< empty: from the rim
};

/// Land, banks that dry and gaps in the survey along a line from a side of the scene to another, with gaps.
void draw_wall(Plane<float>& depth_m, double deep_m, Dice& dice) {
    const Window all = depth_m.window();
    const bool across = dice.chance(0.5), slanting = dice.chance(0.4);
    const int length = across ? all.cols : all.rows, width = across ? all.rows : all.cols;
    double at = dice.whole(0, width - 1);
    const float height_m = dice.chance(0.3) ? nan : static_cast<float>(-dice.between(0, 6));
    const int gap = dice.whole(0, length - 1), wide = dice.whole(0, 3);
    const auto sill_m = static_cast<float>(deep_m - dice.between(0, 4));
    for (int i = 0; i < length; ++i) {
        const auto side = static_cast<int>(std::floor(at));
        at += slanting ? dice.whole(0, 1) : 0;
        if (side >= width) return;
        float& cell_m = depth_m.at(across ? i : side, across ? side : i);
        cell_m = i >= gap && i < gap + wide ? sill_m : height_m;
    }
}

/// All around but for some entrances.
void close_rim(Plane<float>& depth_m, Dice& dice) {
    const Window all = depth_m.window();
    const int period = dice.whole(4, 20), open = dice.whole(0, 6);
    int at = dice.whole(0, period);
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            if (row != 0 && row != all.rows - 1 && col != 0 && col != all.cols - 1) continue;
            if (at++ % period >= open) depth_m.at(col, row) = -2;
        }
    }
}

/// What stays dry, or falls dry, around a pool.
void draw_ring(Plane<float>& depth_m, float height_m, Dice& dice) {
    const Window all = depth_m.window();
    const double col = dice.between(0, all.cols), row = dice.between(0, all.rows),
                 radius = dice.between(2, 7);
    for (int r = 0; r < all.rows; ++r) {
        for (int c = 0; c < all.cols; ++c) {
            const double off = std::hypot(c + 0.5 - col, r + 0.5 - row);
            if (off < radius && off >= radius - 1.5) depth_m.at(c, r) = height_m;
        }
    }
}

std::unique_ptr<Approach> random_approach(const SceneKind& kind, std::uint64_t seed, const Boat& boat,
                                          const WaterLevels& levels) {
    Dice dice(seed * 91 + 7);
    auto made = std::make_unique<Approach>();
    made->sea = random_scene(kind, seed);
    Scene& sea = made->sea;
    made->needs.required_depth_m = boat.hull.draught_m + dice.between(0.1, 1);
    const CellSize cell = sea.metric.least();
    made->needs.clear_way_m = std::min(cell.dx_m, cell.dy_m) * dice.between(0.05, dice.chance(0.3) ? 3 : 1);
    const double deep_m = made->needs.required_depth_m - levels.low_m + dice.between(-2, 3);
    for (Hazard& hazard : sea.hazards) {
        if (dice.chance(0.6)) hazard.effects |= effect::hull;
        if (dice.chance(0.6)) {
            hazard.least_depth_m = deep_m + dice.between(-3, 1);
        } else if (dice.chance(0.5)) {
            hazard.clearance_m = dice.between(0, 30);
        }
    }
    const double tilt_m = dice.between(-1, 1) / 20, wave = dice.between(0.1, 0.6),
                 roll_m = dice.between(0, 1.5);
    const Window all = sea.grid.extent();
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            float& cell_m = sea.depth_m.at(col, row);
            if (cell_m != 10) continue;
            cell_m = static_cast<float>(deep_m + tilt_m * (col + 0.37 * row) +
                                        roll_m * std::sin(wave * col + 1) * std::cos(wave * row));
        }
    }
    for (int i = dice.whole(0, 4); i > 0; --i) {
        draw_wall(sea.depth_m, deep_m, dice);
    }
    if (dice.chance(0.5)) draw_ring(sea.depth_m, static_cast<float>(deep_m - dice.between(1, 6)), dice);
    if (dice.chance(0.4)) close_rim(sea.depth_m, dice);
    const auto uncertainty =
        dice.chance(0.5) ? DepthUncertainty::none() : DepthUncertainty::constant(dice.between(0, 0.4));
    made->run.depths = memory_bathymetry(
        sea.grid, std::vector<float>(sea.depth_m.data(), sea.depth_m.data() + sea.depth_m.size()),
        uncertainty);
    DepthPlanes planes;
    made->run.depths->read(all, planes);
    made->shoal_m = planes.shoal_m;
    made->run.metric = sea.metric;
    made->run.hazards = std::make_unique<HazardField>(sea.hazards, all, sea.metric);
    for (int i = dice.chance(0.3) ? dice.whole(1, 2) : 0; i > 0; --i) {
        made->places.push_back({dice.whole(0, all.cols - 1), dice.whole(0, all.rows - 1)});
    }
    return made;
}

/// What a hazard makes of the depth of a cell that it touches: of what she may meet, whatever the level.
float depth_over(const Hazard& hazard, const Boat& boat, const WaterLevels& levels) {
    if ((hazard.effects & effect::hull) == 0) return infinite;
    const double air_m = boat.hull.air_draught_m;
    if (hazard.clearance_m && air_m > 0 &&
        *hazard.clearance_m + levels.clearance_datum_m - levels.high_m >= air_m) {
        return infinite;
    }
    return hazard.least_depth_m ? narrow_down(*hazard.least_depth_m) : -infinite;
}

/// The least depth of each cell: of the ground and of the hazards that `touches` it.
template <class Touches>
Plane<float> floors(const Approach& scene, const Boat& boat, const WaterLevels& levels,
                    const Touches& touches) {
    const Window all = scene.sea.grid.extent();
    Plane<float> floor_m(all);
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            float& cell_m = floor_m.at(col, row);
            cell_m = std::isnan(scene.shoal_m.at(col, row)) ? -infinite : scene.shoal_m.at(col, row);
            for (std::size_t i = 0; i < scene.sea.hazards.size(); ++i) {
                if (touches(i, col, row)) {
                    cell_m = std::min(cell_m, depth_over(scene.sea.hazards[i], boat, levels));
                }
            }
        }
    }
    return floor_m;
}

/// 1 for the cells of the stretch of the rim that she comes from: from its deepest cell on along the rim.
struct Start {
    Plane<std::uint8_t> of_it;
    std::optional<GridCell> deepest; ///< none: there is no stretch
    int stretches = 0;
    std::size_t cells = 0;
    bool tied = false; ///< another stretch is as deep and as long: then nobody says which it is
};

Start start_on_rim(const Plane<float>& floor_m, double needed_m) {
    const Window all = floor_m.window();
    const auto open = [&](int col, int row) {
        const bool outermost = col == 0 || row == 0 || col == all.cols - 1 || row == all.rows - 1;
        return all.contains(col, row) && outermost && double{floor_m.at(col, row)} >= needed_m;
    };
    Start start;
    start.of_it.reset(all);
    Plane<std::uint8_t> seen(all);
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            if (!open(col, row) || seen.at(col, row) != 0) continue;
            ++start.stretches;
            std::vector<GridCell> stretch{{col, row}};
            seen.at(col, row) = 1;
            for (std::size_t i = 0; i < stretch.size(); ++i) {
                for (const auto [right, down] : beside) {
                    const int c = stretch[i].col + right, r = stretch[i].row + down;
                    if (!open(c, r) || seen.at(c, r) != 0) continue;
                    seen.at(c, r) = 1;
                    stretch.push_back({c, r});
                }
            }
            const auto depth_m = [&](GridCell cell) { return floor_m.at(cell.col, cell.row); };
            const GridCell deepest = *std::ranges::max_element(stretch, {}, depth_m);
            if (start.deepest) {
                const auto known = std::pair(depth_m(*start.deepest), start.cells),
                           found = std::pair(depth_m(deepest), stretch.size());
                if (found == known) start.tied = true;
                if (found <= known) continue;
            }
            start.tied = false;
            start.cells = stretch.size();
            start.deepest = deepest;
            start.of_it.reset(all);
            for (const GridCell cell : stretch) {
                start.of_it.at(cell.col, cell.row) = 1;
            }
        }
    }
    return start;
}

/// The least of all cells that stand in her way in a cell, what lies outside the raster among them.
/// @param belongs  (columns apart, rows apart)
template <class Belongs>
float swept(const Plane<float>& floor_m, const Start& start, int col, int row, const Belongs& belongs) {
    const Window all = floor_m.window();
    float least_m = infinite;
    int reach = 1;
    while (belongs(reach, 0) || belongs(0, reach)) {
        ++reach;
    }
    for (int r = row - reach; r <= row + reach; ++r) {
        for (int c = col - reach; c <= col + reach; ++c) {
            if (!belongs(std::abs(c - col), std::abs(r - row))) continue;
            if (all.contains(c, r)) {
                least_m = std::min(least_m, floor_m.at(c, r));
            } else if (start.of_it.at(std::clamp(c, 0, all.cols - 1), std::clamp(r, 0, all.rows - 1)) == 0) {
                return -infinite;
            }
        }
    }
    return least_m;
}

Plane<float> handed_on(const Plane<float>& needed_m, const std::vector<GridCell>& from) {
    const Window all = needed_m.window();
    Plane<float> reached_m(all, infinite);
    for (const GridCell cell : from) {
        reached_m.at(cell.col, cell.row) = needed_m.at(cell.col, cell.row);
    }
    for (bool changes = true; changes;) {
        changes = false;
        for (int row = 0; row < all.rows; ++row) {
            for (int col = 0; col < all.cols; ++col) {
                for (const auto [right, down] : beside) {
                    if (!all.contains(col + right, row + down)) continue;
                    const float level_m =
                        std::max(needed_m.at(col, row), reached_m.at(col + right, row + down));
                    if (!(level_m < reached_m.at(col, row))) continue;
                    reached_m.at(col, row) = level_m;
                    changes = true;
                }
            }
        }
    }
    return reached_m;
}

/// Levels by the words of the definition.
template <class Belongs>
Plane<float> searched(const Approach& scene, const Plane<float>& floor_m, const Start& start,
                      const Belongs& belongs) {
    const Window all = floor_m.window();
    Plane<float> needed_m(all);
    std::vector<GridCell> from = scene.places;
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            const float least_m =
                swept(floor_m, start, col, row, [&](int cols, int rows) { return belongs(row, cols, rows); });
            const auto level_m =
                static_cast<long double>(scene.needs.required_depth_m) - static_cast<long double>(least_m);
            auto up_m = static_cast<float>(level_m);
            if (static_cast<long double>(up_m) < level_m) up_m = std::nextafter(up_m, infinite);
            needed_m.at(col, row) = up_m;
            if (scene.places.empty() && start.of_it.at(col, row) != 0) from.push_back({col, row});
        }
    }
    return handed_on(needed_m, from);
}

float within(LevelRange range, float level_m) {
    return level_m > range.highest_m ? infinite : std::max(level_m, range.lowest_m);
}

/// Where levels are told apart between two only, they are those that are told apart everywhere, put there;
/// those of open water are some of these.
void expect_within_range(const Approach& scene, const OverlayJob& job, const Plane<float>& exact_m,
                         Dice& dice, Tally& tally) {
    const Window all = exact_m.window();
    const auto picked_m = [&] {
        for (int tries = 0; tries < 20; ++tries) {
            const float level_m = exact_m.at(dice.whole(0, all.cols - 1), dice.whole(0, all.rows - 1));
            if (level_m < infinite) return level_m;
        }
        return static_cast<float>(dice.between(-3, 3));
    };
    LevelRange range{picked_m(), picked_m()};
    if (range.highest_m < range.lowest_m) std::swap(range.lowest_m, range.highest_m);
    const auto access = scene.places.empty()
                            ? AccessLevels::from_the_rim(job, scene.needs, range)
                            : std::optional(AccessLevels::from_places(job, scene.needs, scene.places, range));
    ASSERT_TRUE(access.has_value());
    AccessLevels::Workspace work;
    for (const Window window : cut_into_blocks(all, dice.whole(2, 32))) {
        Plane<float> part_m, open_water_m;
        access->levels(window, work, part_m);
        access->levels_of_open_water(window, work, open_water_m);
        for (int row = window.row; row < window.row_end(); ++row) {
            for (int col = window.col; col < window.col_end(); ++col) {
                ASSERT_EQ(part_m.at(col, row), within(range, exact_m.at(col, row)))
                    << "column " << col << ", row " << row << " from " << range.lowest_m << " to "
                    << range.highest_m;
                ++tally.in_range;
                if (std::isnan(open_water_m.at(col, row))) continue;
                ASSERT_EQ(open_water_m.at(col, row), part_m.at(col, row))
                    << "column " << col << ", row " << row;
                ++tally.of_open_water;
            }
        }
    }
}

class WaysIn : public testing::TestWithParam<int> {
protected:
    void expect_bounds(const Approach& scene, const Boat& boat, const WaterLevels& levels, const Start& start,
                       const Plane<float>& said_m);
    void tally(const Approach& scene, const Plane<float>& expected_m, const Plane<float>& floor_m);

    Tally tally_;
};

/// On planes in metres, where distances are known without a bound: true squares and true hazards. The start
/// is the run's own: which cells a danger touches decides about it, and then about all.
void WaysIn::expect_bounds(const Approach& scene, const Boat& boat, const WaterLevels& levels,
                           const Start& start, const Plane<float>& said_m) {
    const Scene& sea = scene.sea;
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
    const Plane<float> most_m = floors(scene, boat, levels, [&](std::size_t i, int col, int row) {
        return oracles[i]->signed_gap_m(col, row) < -doubt_m;
    });
    const Plane<float> least_m = floors(scene, boat, levels, [&](std::size_t i, int col, int row) {
        return oracles[i]->signed_gap_m(col, row) <= burnt_excess_m(sea.hazards[i], sea.metric) + doubt_m;
    });
    const auto gap_m = [cell](int cols, int rows) {
        return std::hypot(std::max(cols - 1, 0) * cell.dx_m, std::max(rows - 1, 0) * cell.dy_m);
    };
    const double clear_m = scene.needs.clear_way_m;
    const Plane<float> low_m = searched(scene, most_m, start, [&](int, int cols, int rows) {
        return gap_m(cols, rows) < clear_m * (1 - 1e-6);
    });
    const Plane<float> high_m = searched(scene, least_m, start, [&](int, int cols, int rows) {
        return gap_m(cols, rows) < clear_m * (1 + 1e-6);
    });
    for (std::size_t i = 0; i < said_m.size(); ++i) {
        ASSERT_GE(said_m.data()[i], low_m.data()[i]) << "reached before it is, cell " << i;
        ASSERT_LE(double{said_m.data()[i]}, double{high_m.data()[i]} + 1e-6) << "too late, cell " << i;
        ++tally_.bounded;
        tally_.tight += low_m.data()[i] == high_m.data()[i];
    }
}

/// A guard against scenes in which nothing happens.
void WaysIn::tally(const Approach& scene, const Plane<float>& expected_m, const Plane<float>& floor_m) {
    for (std::size_t i = 0; i < expected_m.size(); ++i) {
        const float level_m = expected_m.data()[i], floor = floor_m.data()[i];
        ++(level_m < infinite ? tally_.reached : tally_.never);
        const double own_m = scene.needs.required_depth_m - double{floor};
        tally_.by_sill += level_m<infinite&& double{level_m}> own_m + 0.1;
        tally_.too_narrow += level_m == infinite && own_m < infinite;
    }
}

TEST_P(WaysIn, AreThoseOfASearchThatHandsLevelsOn) {
    const SceneKind& kind = scene_kinds()[static_cast<std::size_t>(GetParam())];
    const char* only = std::getenv("SWINGROOM_SEED");
    const int scenes = scenes_per_kind();
    const int first = only ? std::atoi(only) : first_seed + 1000 * GetParam(),
              last = only ? first : first + scenes - 1;
    const auto kind_number = static_cast<std::size_t>(GetParam());
    const Boat boat = read_trial_boat(trial_boats()[kind_number % trial_boats().size()]);
    const WaterLevels levels{0.4 + 0.1 * GetParam(), 1.9 + 0.3 * GetParam()};
    const TackleTables tables(boat, {levels, 8, 0}, 1.0);
    for (int seed = first; seed <= last; ++seed) {
        const auto number = static_cast<std::uint64_t>(seed);
        const auto scene = random_approach(kind, number, boat, levels);
        SCOPED_TRACE(boat.name + ", " + scene->sea.describe());
        Dice dice(number + 7'000'000);
        OverlayJob job = scene->run.job();
        job.tables = &tables;
        job.block = dice.whole(2, 32);
        job.threads = dice.whole(1, 2);

        const Window all = job.window;
        const HazardField& hazards = *job.hazards;
        const Plane<float> floor_m = floors(*scene, boat, levels, [&](std::size_t i, int col, int row) {
            const std::vector<std::size_t> here = hazards.touching({col, row, 1, 1});
            return std::find(here.begin(), here.end(), i) != here.end();
        });
        Start start;
        start.of_it.reset(all);
        if (scene->places.empty()) {
            start = start_on_rim(floor_m, scene->needs.required_depth_m - levels.high_m);
        }
        if (start.tied) continue;
        const float clear_m = narrow_up(scene->needs.clear_way_m);
        const GroundMetric metric = scene->sea.metric.within(double{clear_m});
        const Plane<float> expected_m = searched(*scene, floor_m, start, [&](int row, int cols, int rows) {
            return room_beside_m(metric.at(row), cols, rows) < clear_m;
        });
        ++tally_.scenes;
        tally_.of_places += !scene->places.empty();
        tally_.several += start.stretches > 1;

        std::optional<AccessLevels> access;
        Plane<float> said_m;
        for (int trial = 0; trial < 2; ++trial) { // in other blocks, by other threads, over the disk
            job.spooling.in_memory_bytes = trial == 0 ? 1'000'000 : 0;
            if (scene->places.empty()) {
                access = AccessLevels::from_the_rim(job, scene->needs);
                ASSERT_EQ(access.has_value(), start.deepest.has_value());
                if (!access) break;
                const RimStretch& from = access->stretches().front();
                ASSERT_EQ(access->stretches().size(), static_cast<std::size_t>(start.stretches));
                ASSERT_EQ(from.cells, static_cast<std::int64_t>(start.cells));
                ASSERT_EQ(from.deepest_m, floor_m.at(start.deepest->col, start.deepest->row));
                for (const GridCell cell : {from.first, from.last, from.deepest}) {
                    ASSERT_EQ(start.of_it.at(cell.col, cell.row), 1);
                }
            } else {
                access.emplace(AccessLevels::from_places(job, scene->needs, scene->places));
            }
            said_m.reset(all, nan);
            AccessLevels::Workspace work;
            for (const Window window : cut_into_blocks(all, dice.whole(2, 32))) {
                Plane<float> part_m;
                access->levels(window, work, part_m);
                for (int row = window.row; row < window.row_end(); ++row) {
                    for (int col = window.col; col < window.col_end(); ++col) {
                        said_m.at(col, row) = part_m.at(col, row);
                    }
                }
            }
            for (std::size_t i = 0; i < said_m.size(); ++i) {
                ASSERT_EQ(said_m.data()[i], expected_m.data()[i])
                    << "column " << i % static_cast<std::size_t>(all.cols) << ", row "
                    << i / static_cast<std::size_t>(all.cols) << ", blocks of " << job.block.rows;
            }
            job.block = dice.whole(2, 32);
            job.threads = 3 - job.threads;
            expect_within_range(*scene, job, said_m, dice, tally_);
        }
        if (!access) {
            ++tally_.no_start;
            continue;
        }
        tally(*scene, expected_m, floor_m);
        if (scene->sea.exact_metric && seed % 3 == 0) expect_bounds(*scene, boat, levels, start, said_m);
        if (HasFatalFailure()) return;
    }
    std::printf("%d scenes, %d of places, %d of several stretches, %d without a start: %lld cells reached, "
                "%lld of them later than their own depth allows, %lld never, %lld of them for want of a way; "
                "%lld between true bounds, of which %lld are one number\n",
                tally_.scenes, tally_.of_places, tally_.several, tally_.no_start,
                static_cast<long long>(tally_.reached), static_cast<long long>(tally_.by_sill),
                static_cast<long long>(tally_.never), static_cast<long long>(tally_.too_narrow),
                static_cast<long long>(tally_.bounded), static_cast<long long>(tally_.tight));
    if (only != nullptr) return;
    EXPECT_GT(tally_.reached, 2000);
    EXPECT_GT(tally_.by_sill, 500);
    EXPECT_GT(tally_.too_narrow, 200);
    EXPECT_GT(tally_.of_places, 2);
    EXPECT_GT(tally_.several, 2);
    EXPECT_LT(tally_.no_start, scenes / 2);
    EXPECT_GE(static_cast<double>(tally_.tight), 0.8 * static_cast<double>(tally_.bounded));
    EXPECT_GT(tally_.of_open_water, tally_.in_range / 20);
}

std::string test_name(const testing::TestParamInfo<int>& info) {
    std::string name;
    for (const char c : scene_kinds()[static_cast<std::size_t>(info.param)].name) {
        name += c == ' ' || c == ',' || c == '-' ? '_' : c;
    }
    return name;
}
INSTANTIATE_TEST_SUITE_P(Scenes, WaysIn, testing::Range(0, static_cast<int>(scene_kinds().size())),
                         test_name);

} // namespace
} // namespace swingroom::testing_support
