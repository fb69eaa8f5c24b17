// The promise that everything is built on: a yes is a yes from every point of the cell. Rooms from burnt
// hazards and row-wise ground sizes are held against squares and true shapes in GEOS on hundreds of made
// scenes.

#include "swingroom/room/hazard_field.hpp"

#include "property/our_rooms.hpp"
#include "property/room_oracle.hpp"
#include "property/room_scene.hpp"
#include "room/capsules.hpp"
#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>

namespace swingroom::testing_support {
namespace {

/// Scenes of a kind; each kind has seeds of its own, beginning at its number times this.
constexpr int scenes_per_kind = 60;
constexpr int drops_per_cell = 25;

/// What is reported for a kind of scene.
struct Tally {
    int scenes = 0;
    std::int64_t cells = 0, drops = 0, false_yes = 0;
    std::int64_t yes_exact = 0, yes_by_cells = 0, yes_ours = 0; ///< summed over all radii
    double greatest_loss_diagonals = 0;
};
std::map<std::string_view, Tally>& tallies() {
    static std::map<std::string_view, Tally> all;
    return all;
}

int first_seed(const SceneKind& kind) {
    return scenes_per_kind * static_cast<int>(&kind - scene_kinds().data());
}

class Rooms : public testing::TestWithParam<int> {
protected:
    static void TearDownTestSuite() {
        std::printf("\n%-30s %6s %8s %9s %9s %9s %7s %7s %10s %9s %9s\n", "scenes on a grid of", "scenes",
                    "cells", "yes exact", "by cells", "ours", "lost %", "(grid)", "drops", "false yes",
                    "max loss");
        for (const auto& [kind, t] : tallies()) {
            const auto lost = [&t = t](std::int64_t yes) {
                return t.yes_exact
                           ? 100.0 * static_cast<double>(t.yes_exact - yes) / static_cast<double>(t.yes_exact)
                           : 0;
            };
            std::printf("%-30s %6d %8lld %9lld %9lld %9lld %7.3f %7.3f %10lld %9lld %5.3f diag\n",
                        std::string(kind).c_str(), t.scenes, static_cast<long long>(t.cells),
                        static_cast<long long>(t.yes_exact), static_cast<long long>(t.yes_by_cells),
                        static_cast<long long>(t.yes_ours), lost(t.yes_ours), lost(t.yes_by_cells),
                        static_cast<long long>(t.drops), static_cast<long long>(t.false_yes),
                        t.greatest_loss_diagonals);
        }
        std::printf(
            "lost: yes cells of the exact answer that ours says no to; (grid): lost already by calling every "
            "cell unsafe that a hazard touches.\n\n");
    }
};

/// Rooms cell by cell. Exact: to what is dangerous itself. By cells: to the nearest cell that it touches.
void compare_rooms(const Scene& scene, const RoomOracle& oracle, double excess_m, const Plane<float>& ours_m,
                   Tally& tally) {
    // Cells that a danger touches or misses by next to nothing may be called either way, and burning may go
    // beyond what is touched by a bound that it states.
    const double doubt_m = 1e-5 + scene.oracle_error_m;
    const std::vector<double> least_m = oracle.room_by_cells_m(excess_m + doubt_m),
                              most_m = oracle.room_by_cells_m(-doubt_m),
                              touched_m = oracle.room_by_cells_m(doubt_m); // for the report

    std::size_t i = 0;
    for (int row = 0; row < scene.grid.rows; ++row) {
        for (int col = 0; col < scene.grid.cols; ++col, ++i) {
            SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
            const double depth_m = oracle.to_depth_m(col, row), hazard_m = oracle.to_hazards_m(col, row);
            const double exact_m = std::min(depth_m, hazard_m);
            const double capped_m = std::min(exact_m, scene.reach_m);
            const double ours = static_cast<double>(ours_m.at(col, row));
            const double above_m = scene.oracle_error_m + 1e-9 * exact_m;
            ASSERT_LE(ours, exact_m + above_m) << "more room than there is";
            ASSERT_LE(ours, most_m[i] + above_m) << "more room than to the nearest unsafe cell";
            const double below_m = our_loss_bound_m(scene, capped_m) + scene.oracle_error_m + 1e-6 * capped_m;
            ASSERT_GE(ours, capped_m - scene.diagonal_m - excess_m - below_m) << "timid by more than a cell";
            ASSERT_GE(ours, std::min(least_m[i], scene.reach_m) - below_m)
                << "less room than to the nearest unsafe cell";
            if (depth_m < hazard_m - scene.diagonal_m - excess_m - doubt_m) {
                ASSERT_GE(ours, capped_m - below_m) << "the nearest danger is a cell, and yet it is not met";
            }
            tally.greatest_loss_diagonals =
                std::max(tally.greatest_loss_diagonals, (capped_m - ours) / scene.diagonal_m);
            ++tally.cells;
            for (const double radius_m : scene.radii_m) {
                tally.yes_exact += exact_m >= radius_m;
                tally.yes_by_cells += touched_m[i] >= radius_m;
                tally.yes_ours += ours >= radius_m;
            }
        }
    }
}

/// Drops the anchor all over every yes cell and looks at the whole circle.
void drop_anchors(const Scene& scene, const RoomOracle& oracle, const Plane<float>& ours_m, Dice& dice,
                  Tally& tally) {
    for (int row = 0; row < scene.grid.rows; ++row) {
        for (int col = 0; col < scene.grid.cols; ++col) {
            const double ours = static_cast<double>(ours_m.at(col, row));
            // The greatest circle that is a yes here covers all smaller ones.
            double radius_m = -1;
            for (const double r : scene.radii_m) {
                if (ours >= r) radius_m = std::max(radius_m, r);
            }
            if (radius_m < 0) continue;
            for (int i = 0; i < drops_per_cell; ++i) {
                // Corners and edges first: that is where a circle reaches furthest.
                const double x = i < 4 ? i % 2 : dice.unit(), y = i < 4 ? i / 2 : i < 8 ? i % 2 : dice.unit();
                const double clear_m = oracle.to_danger_m({col + x, row + y});
                ++tally.drops;
                tally.false_yes += clear_m < radius_m - scene.oracle_error_m - 1e-9 * radius_m;
            }
        }
    }
    ASSERT_EQ(tally.false_yes, 0);
}

/// How far beyond what is touched the burning of a scene's hazards may go.
double excess_of(const Scene& scene, const Hazard& hazard) {
    return burnt_excess_m(hazard, scene.metric) + scene.metric_loss * hazard.reach_m();
}
double greatest_excess_m(const Scene& scene) {
    double excess_m = 0;
    for (const Hazard& hazard : scene.hazards) {
        excess_m = std::max(excess_m, excess_of(scene, hazard));
    }
    return excess_m;
}

TEST_P(Rooms, AreNeverMoreThanTheExactOnesAndHardlyLess) {
    const SceneKind& kind = scene_kinds()[static_cast<std::size_t>(GetParam())];
    Tally& tally = tallies()[kind.name];
    // SWINGROOM_SEED=n looks at one scene again.
    const char* only = std::getenv("SWINGROOM_SEED");
    const int first = only ? std::atoi(only) : first_seed(kind),
              last = only ? first : first + scenes_per_kind - 1;
    for (int seed = first; seed <= last; ++seed) {
        const Scene scene = random_scene(kind, static_cast<std::uint64_t>(seed));
        SCOPED_TRACE(scene.describe());
        Dice dice(static_cast<std::uint64_t>(seed) + 1'000'000);
        const int block = dice.whole(5, 32);
        for (const Effects effect : {effect::hull, effect::ground}) {
            SCOPED_TRACE(effect == effect::hull ? "hull room" : "ground room");
            const RoomOracle oracle(scene, effect);
            const Plane<float> ours_m = our_rooms(scene, effect, block);
            compare_rooms(scene, oracle, greatest_excess_m(scene), ours_m, tally);
            if (HasFatalFailure()) return;
            drop_anchors(scene, oracle, ours_m, dice, tally);
            if (HasFatalFailure()) return;
        }
        ++tally.scenes;
    }
    RecordProperty("scenes", tally.scenes);
    RecordProperty("drops", std::to_string(tally.drops));
    RecordProperty("false_yes", std::to_string(tally.false_yes));
    RecordProperty("yes_exact", std::to_string(tally.yes_exact));
    RecordProperty("yes_ours", std::to_string(tally.yes_ours));
    if (!only) {
        EXPECT_GT(tally.yes_ours, 1000) << "scenes without a yes would prove nothing";
    }
}

std::string test_name(const testing::TestParamInfo<int>& info) {
    std::string name;
    for (const char c : scene_kinds()[static_cast<std::size_t>(info.param)].name) {
        name += c == ' ' || c == ',' || c == '-' ? '_' : c;
    }
    return name;
}
INSTANTIATE_TEST_SUITE_P(Scenes, Rooms, testing::Range(0, static_cast<int>(scene_kinds().size())), test_name);

/// Every cell that a hazard's danger touches bears its bits, and hardly one more.
TEST_P(Rooms, RestOnHazardsThatMarkEveryCellTheyTouch) {
    const SceneKind& kind = scene_kinds()[static_cast<std::size_t>(GetParam())];
    const int first = first_seed(kind);
    for (int seed = first; seed < first + scenes_per_kind; ++seed) {
        const Scene scene = random_scene(kind, static_cast<std::uint64_t>(seed));
        SCOPED_TRACE(scene.describe());
        for (const Hazard& hazard : scene.hazards) { // one by one, or one would hide what another lacks
            Hazard alone = hazard;
            alone.effects = effect::hull;
            Scene single = scene;
            single.hazards = {alone};
            const RoomOracle oracle(single, effect::hull);
            const HazardField field({alone}, scene.grid.extent(), scene.metric);
            Plane<Effects> bits(scene.grid.extent());
            field.burn(bits);
            const double doubt_m = 1e-6 + scene.oracle_error_m;
            const double excess_m = excess_of(scene, alone) + doubt_m;
            for (int row = 0; row < scene.grid.rows; ++row) {
                for (int col = 0; col < scene.grid.cols; ++col) {
                    const bool marked = bits.at(col, row) & effect::hull;
                    const double gap_m = oracle.to_hazards_m(col, row),
                                 overlap_m = -oracle.signed_gap_m(col, row);
                    if (!marked) {
                        ASSERT_LE(overlap_m, doubt_m) << "missed: column " << col << ", row " << row;
                    }
                    if (marked) {
                        ASSERT_LE(gap_m, excess_m) << "untouched: column " << col << ", row " << row;
                    }
                }
            }
        }
    }
}

} // namespace
} // namespace swingroom::testing_support
