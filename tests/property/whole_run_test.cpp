// The promise end to end: real boats, tides and uncertain depths through the whole run. Every yes is held
// against cells as squares and hazards as they are, in GEOS, and against the statics of the rode at that
// place; every wind limit against the statics at that wind.

#include "property/room_oracle.hpp"
#include "property/room_scene.hpp"
#include "support/burnt_seabeds.hpp"
#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <utility>

namespace swingroom::testing_support {
namespace {

constexpr int scenes_per_kind = 24;
constexpr int drops_per_cell = 25;
constexpr int first_seed = 50'000; ///< apart from those of the other tests

struct Tally {
    int scenes = 0, with_levels = 0;
    std::int64_t cells = 0, false_yes = 0, drops = 0, proved = 0, wind_limits = 0, wind_by_reach = 0;
    std::array<std::int64_t, verdict_phrases.size()> verdicts{};
};
Tally& total() {
    static Tally tally;
    return tally;
}

/// A scene of the sea with a boat in it: depths about what she needs, uncertain, with a tide over them.
struct Stay {
    Scene sea;
    Boat boat;
    Conditions conditions;
    DepthUncertainty uncertainty = DepthUncertainty::none();
    OverlayScene run;
    Plane<double> shoal_m, deep_m; ///< chart depths less and plus their uncertainty, NaN where unsurveyed
    /// Where the levels change from place to place; null: they are those of the conditions.
    std::unique_ptr<StayLevels> levels;
    Plane<double> low_m, high_m; ///< the levels of each cell
    /// What is unsafe by depth, for the oracle: its own required depth is 0 there.
    Scene by_depth;
};

/// About half of what the kind of scene with the fewest has: a guard against scenes in which nothing happens.
void expect_much_was_tried(const Tally& t) {
    EXPECT_EQ(t.scenes, scenes_per_kind);
    constexpr std::pair<Verdict, int> least[] = {
        {Verdict::full, 400}, {Verdict::short_scope, 80}, {Verdict::sinker, 10}};
    for (const auto& [verdict, cells] : least) {
        EXPECT_GE(t.verdicts[static_cast<std::size_t>(verdict)], cells) << phrase(verdict);
    }
    EXPECT_GE(t.wind_limits, 100);
    EXPECT_GE(t.wind_by_reach, 5) << "wind limits by the room alone";
}

/// Levels that change from place to place, from those of the conditions upwards: rasters with cells of some
/// of the grid's, of which each of ours takes the least, or the greatest, of those that it touches.
void let_levels_change(Stay& stay, Dice& dice) {
    const Grid& grid = stay.sea.grid;
    const auto level = [&](double from_m, Plane<double>& of_cells, bool least) {
        const double wide = dice.between(3.2, 9.7), before = dice.between(0, 5);
        const Grid coarse{static_cast<int>((grid.cols + before) / wide) + 1,
                          static_cast<int>((grid.rows + before) / wide) + 1,
                          grid.x_of(-before),
                          grid.y_of(-before),
                          grid.step_x * wide,
                          grid.step_y * wide,
                          grid.crs_wkt};
        std::vector<float> values;
        for (int i = 0; i < coarse.cols * coarse.rows; ++i) {
            values.push_back(static_cast<float>(from_m + dice.between(0, 1.2)));
        }
        const auto part = [&](int cell) { return (cell + before) / wide; };
        for (int row = 0; row < grid.rows; ++row) {
            for (int col = 0; col < grid.cols; ++col) {
                double& found = of_cells.at(col, row);
                found = least ? std::numeric_limits<double>::infinity() : -1e9;
                for (int r = static_cast<int>(part(row)); r < part(row + 1); ++r) {
                    for (int c = static_cast<int>(part(col)); c < part(col + 1); ++c) {
                        const auto here =
                            static_cast<double>(values[static_cast<std::size_t>(r * coarse.cols + c)]);
                        found = least ? std::min(found, here) : std::max(found, here);
                    }
                }
            }
        }
        return StayLevels::Level{0, memory_bathymetry(coarse, std::move(values), DepthUncertainty::none())};
    };
    const WaterLevels water = stay.conditions.water;
    StayLevels::Level low = level(water.low_m, stay.low_m, true);
    // Of the one highest level that is no more than a number the lowest levels may change all the same.
    StayLevels::Level high{water.high_m + 1.2, nullptr};
    stay.high_m.reset(grid.extent(), high.level_m);
    if (dice.chance(0.7)) high = level(water.high_m + 1.2, stay.high_m, false);
    stay.levels = std::make_unique<StayLevels>(std::move(low), std::move(high), grid, "scene");
}

std::unique_ptr<Stay> random_stay(const SceneKind& kind, std::uint64_t seed) {
    Dice dice(seed * 31 + 7);
    auto stay = std::make_unique<Stay>();
    stay->sea = random_scene(kind, seed);
    Scene& sea = stay->sea;
    stay->boat = read_trial_boat(trial_boats()[seed % trial_boats().size()]);
    // No two boats are quite alike.
    stay->boat.hull.length_m *= dice.between(0.7, 1.3);
    stay->boat.hull.draught_m *= dice.between(0.7, 1.3);
    stay->boat.hull.bow_roller_m *= dice.between(0.6, 1.5);
    stay->boat.policy.scope *= dice.between(0.8, 1.3);
    stay->boat.policy.pull_angle_deg += dice.between(0, 3);
    stay->boat.policy.position_allowance_m += dice.between(0, 2);
    stay->boat.rode.mark_m = dice.between(0.3, 6);
    const double low_m = dice.between(-0.4, 1.5), required_m = stay->boat.required_depth_m();
    stay->conditions = {{low_m, low_m + dice.between(0, 2.5)}, dice.between(3, 22), 0};
    if (dice.chance(0.7)) {
        stay->uncertainty = dice.chance(0.5) ? DepthUncertainty::constant(dice.between(0, 0.4))
                                             : DepthUncertainty::root_sum_square(0.15, 0.0075);
    }
    // Open water of the scene gets rolling ground about the depth that is needed; its shoals, made for a
    // required depth of 3 m, go as they are beside that.
    const double middle_m = required_m - low_m + dice.between(0.3, 2.5), roll_m = dice.between(0, 0.6);
    const double tilt = dice.between(-1, 1) / 40, wave = dice.between(0.1, 0.5);
    const Window all = sea.grid.extent();
    stay->shoal_m.reset(all);
    stay->deep_m.reset(all);
    stay->low_m.reset(all, low_m);
    stay->high_m.reset(all, stay->conditions.water.high_m);
    // Dice of their own, so that the scenes are what they are without.
    Dice of_levels(seed * 53 + 11);
    if (of_levels.chance(0.4) && !sea.grid.crs_wkt.empty()) let_levels_change(*stay, of_levels);
    stay->by_depth = sea;
    stay->by_depth.required_m = 0;
    std::vector<float> depth_m;
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            const float patch_m = sea.depth_m.at(col, row);
            double d = patch_m;
            if (patch_m == 10) {
                d = middle_m + tilt * (col + row) + roll_m * std::sin(wave * col) * std::cos(wave * row) +
                    dice.between(-0.02, 0.02);
            } else if (!std::isnan(patch_m)) {
                d = patch_m - sea.required_m + required_m - low_m;
            }
            depth_m.push_back(static_cast<float>(d));
            const auto stored_m = static_cast<double>(depth_m.back());
            const double u = std::isnan(stored_m) ? 0 : stay->uncertainty.at(stored_m);
            stay->shoal_m.at(col, row) = stored_m - u;
            stay->deep_m.at(col, row) = stored_m + u;
            if (!std::isnan(patch_m)) {
                stay->by_depth.depth_m.at(col, row) =
                    stored_m - u + stay->low_m.at(col, row) >= required_m ? 1.0F : -1.0F;
            }
        }
    }
    stay->run.depths = memory_bathymetry(sea.grid, std::move(depth_m), stay->uncertainty);
    stay->run.metric = sea.metric;
    if (dice.chance(0.4)) {
        Hazard ground;
        ground.kind = "ground";
        ground.seabed = static_cast<Seabed>(dice.whole(1, 8));
        ground.rings = {box(dice.between(0, all.cols / 2.0), dice.between(0, all.rows / 2.0), 8, 6)};
        sea.hazards.push_back(std::move(ground)); // without effects: nothing to the oracle
    }
    stay->run.hazards = std::make_unique<HazardField>(sea.hazards, all, sea.metric);
    Conditions of_tables = stay->conditions;
    double uncertainty_m = 1.0;
    if (stay->levels) {
        of_tables.water = stay->levels->reference();
        uncertainty_m += stay->levels->greatest_excess_m() / 2;
    }
    stay->run.tables = std::make_unique<TackleTables>(stay->boat, of_tables, uncertainty_m);
    stay->run.seabed = dice.chance(0.7) ? Seabed::sand : Seabed::mud;
    return stay;
}

/// What the statics say of one way at one place, from the rode that the layer gives.
struct Lying {
    const Stay& stay;
    Way way;
    double rode_m, sinker_from_bow_m, low_span_m, high_span_m;

    [[nodiscard]] std::vector<RodePart> parts(Stretch stretch) const {
        const Boat& boat = stay.boat;
        std::optional<HungSinker> sinker;
        if (way == Way::sinker) {
            sinker = HungSinker{in_water_n(boat.sinker->mass_kg, boat.sinker->density_kg_per_m3),
                                sinker_from_bow_m};
        }
        return rode_parts(boat.rode, rode_m, sinker, stretch);
    }
    [[nodiscard]] double allowance_m() const {
        return stay.boat.policy.position_allowance_m + stay.boat.policy.set_distance_m;
    }
    [[nodiscard]] double radius_m(double pull_n, double span_m) const {
        return rode_state(pull_n, span_m, parts(Stretch::as_aboard)).reach_m + allowance_m() +
               stay.boat.hull.length_m + stay.boat.hull.tender_length_m;
    }
    [[nodiscard]] double angle_deg(double pull_n, double span_m) const {
        return rode_state(pull_n, span_m, parts(Stretch::least)).angle_deg;
    }
};

Lying lying(const Stay& stay, Way way, double rode_m, int col, int row) {
    const WaterLevels water{stay.low_m.at(col, row), stay.high_m.at(col, row)};
    const WaterLevels& of_tables = stay.run.tables->conditions().water;
    const double shoal_m = stay.shoal_m.at(col, row), deep_m = stay.deep_m.at(col, row);
    const double roller_m = stay.boat.hull.bow_roller_m;
    return {stay,
            way,
            rode_m,
            stay.run.tables
                ->detail(way, shoal_m + (water.low_m - of_tables.low_m),
                         deep_m + (water.high_m - of_tables.high_m))
                .sinker_from_bow_m,
            shoal_m + water.low_m + roller_m,
            deep_m + water.high_m + roller_m};
}

/// The depth is within every limit of the boat, and rode and radius are those that the statics ask for.
void expect_lies_well(const Stay& stay, Way way, const BlockAnswers& said, int col, int row) {
    const Boat& boat = stay.boat;
    const WaterLevels water{stay.low_m.at(col, row), stay.high_m.at(col, row)};
    const TackleTables& tables = *stay.run.tables;
    const double shoal_m = stay.shoal_m.at(col, row), deep_m = stay.deep_m.at(col, row);
    const auto rode_m = static_cast<double>(said.figures(of(Layer::rode_full, way)).at(col, row)),
               radius_m = static_cast<double>(said.figures(of(Layer::radius_full, way)).at(col, row));
    ASSERT_GE(shoal_m + water.low_m, boat.required_depth_m());
    if (boat.windlass_rated_pull_n > 0) {
        const double shifted_m = deep_m + (water.high_m - tables.conditions().water.high_m);
        ASSERT_LE(tables.hanging_load_n(shifted_m), boat.windlass_rated_pull_n * (1 + 1e-6));
    }
    if (boat.recovery_depth_m > 0) {
        ASSERT_LE(deep_m + water.high_m, boat.recovery_depth_m);
    }
    if (boat.policy.max_slope) {
        for (const auto& [dc, dr] :
             {std::pair(-1, -1), {0, -1}, {1, -1}, {-1, 0}, {1, 0}, {-1, 1}, {0, 1}, {1, 1}}) {
            if (!stay.shoal_m.window().contains(col + dc, row + dr)) continue;
            const CellSize cell = stay.sea.metric.at(row);
            const double rise_m = std::abs(stay.shoal_m.at(col + dc, row + dr) - shoal_m);
            if (std::isnan(rise_m)) continue;
            ASSERT_LE(rise_m, *boat.policy.max_slope * std::hypot(dc * cell.dx_m, dr * cell.dy_m) + 1e-6);
        }
    }
    const Lying at = lying(stay, way, rode_m, col, row);
    const double planned_n = tables.loads().pull_n(stay.conditions.wind_kn);
    double greatest_n = planned_n;
    for (const auto& holding_n : boat.anchor.holding_n) {
        greatest_n = std::max(greatest_n, holding_n.value_or(0));
    }
    ASSERT_LE(rode_m, boat.rode.aboard_m() * (1 + 1e-7));
    const double scope = way == Way::full ? boat.policy.scope : boat.policy.short_scope;
    ASSERT_GE(rode_m, scope * at.high_span_m * (1 - 1e-7) - 1e-6);
    ASSERT_LE(at.angle_deg(planned_n, at.high_span_m), boat.policy.pull_angle_deg + 1e-4);
    // Full scope holds at any pull that the anchor holds, the others at the planned one.
    const double pull_n = way == Way::full ? greatest_n : planned_n;
    ASSERT_GE(radius_m, at.radius_m(pull_n, at.low_span_m) * (1 - 1e-7));
    ASSERT_LE(at.low_span_m, at.high_span_m);
    ASSERT_GE(static_cast<double>(said.plane<Layer::ground_room>().at(col, row)),
              (rode_m - at.low_span_m + at.allowance_m()) * (1 - 1e-6));
}

/// Drops the anchor all over a cell and looks whether a circle stays clear of all danger.
void drop_anchors(const RoomOracle& oracle, const Scene& sea, double radius_m, int col, int row, Dice& dice) {
    const double needed_m = radius_m - sea.oracle_error_m - 1e-9 * radius_m;
    total().drops += drops_per_cell;
    // Distances to a set of points differ by no more than the points are apart: a middle with that much to
    // spare speaks for the whole cell.
    if (oracle.to_danger_m({col + 0.5, row + 0.5}) >= radius_m + 0.51 * sea.diagonal_m + sea.oracle_error_m) {
        total().proved += drops_per_cell;
        return;
    }
    for (int i = 0; i < drops_per_cell; ++i) {
        // Corners and edges first: that is where a circle reaches furthest.
        const double x = i < 4 ? i % 2 : dice.unit(), y = i < 4 ? i / 2 : i < 8 ? i % 2 : dice.unit();
        total().false_yes += oracle.to_danger_m({col + x, row + y}) < needed_m;
    }
}

void expect_yes_is_yes(const Stay& stay, BlockAnswers& said, Dice& dice) {
    Scene true_depths = stay.by_depth;
    true_depths.hazards = stay.sea.hazards;
    // A seabed is no danger, and its shape no matter of the oracle's.
    std::erase_if(true_depths.hazards, [](const Hazard& h) { return h.effects == 0; });
    const RoomOracle hull(true_depths, effect::hull), ground(true_depths, effect::ground),
        drop(true_depths, effect::drop);
    for (int row = 0; row < stay.sea.grid.rows; ++row) {
        for (int col = 0; col < stay.sea.grid.cols; ++col) {
            SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
            const auto verdict = static_cast<Verdict>(said.plane<Layer::verdict>().at(col, row));
            ++total().cells;
            ++total().verdicts[static_cast<std::size_t>(verdict)];
            if (!is_yes(verdict)) continue;
            const Way way = way_of(verdict);
            expect_lies_well(stay, way, said, col, row);
            if (testing::Test::HasFatalFailure()) return;
            ASSERT_GT(drop.to_hazards_m(col, row) + stay.sea.oracle_error_m, 0)
                << "letting go is forbidden here";
            const Lying at =
                lying(stay, way, static_cast<double>(said.figures(of(Layer::rode_full, way)).at(col, row)),
                      col, row);
            drop_anchors(hull, stay.sea,
                         static_cast<double>(said.figures(of(Layer::radius_full, way)).at(col, row)), col,
                         row, dice);
            drop_anchors(ground, stay.sea, at.rode_m - at.low_span_m + at.allowance_m(), col, row, dice);
            ASSERT_EQ(total().false_yes, 0) << "a false yes";
        }
    }
}

/// What the anchor is credited with on a ground: what is known of it there, else the least known of any that
/// an anchor holds in; rock and coral are none of those, and hold nothing unless told.
std::optional<double> credited_n(const Anchor& anchor, Seabed seabed) {
    if (const auto& own = anchor.holding_n[static_cast<std::size_t>(seabed)]) return own;
    if (seabed == Seabed::rock || seabed == Seabed::coral) return 0;
    std::optional<double> least;
    for (std::size_t i = 0; i < anchor.holding_n.size(); ++i) {
        const auto ground = static_cast<Seabed>(i);
        const auto& known = anchor.holding_n[i];
        if (known && ground != Seabed::rock && ground != Seabed::coral && !(least && *least < *known)) {
            least = known;
        }
    }
    return least;
}

/// At the wind limit all fits; a knot above it something does not.
void expect_wind_limit(const Stay& stay, const BlockAnswers& said, Way way, int col, int row) {
    const auto limit_kn = static_cast<double>(said.figures(of(Layer::wind_limit_full, way)).at(col, row));
    if (!(limit_kn > 0)) return; // out, no room, or not afloat
    const TackleTables& tables = *stay.run.tables;
    const Lying at =
        lying(stay, way, static_cast<double>(said.figures(of(Layer::rode_full, way)).at(col, row)), col, row);
    const auto room_m = static_cast<double>(said.plane<Layer::hull_room>().at(col, row));
    const Plane<Seabed> seabed = burnt_seabeds(*stay.run.hazards, Window{col, row, 1, 1}, stay.run.seabed,
                                               Judge(tables).seabed_order());
    const std::optional<double> holding_n = credited_n(stay.boat.anchor, seabed.at(col, row));
    const double allowed_deg = stay.boat.policy.pull_angle_deg;
    const double pull_n = tables.loads().pull_n(limit_kn);
    ++total().wind_limits;
    SCOPED_TRACE(std::string(phrase(way)) + ", limit " + std::to_string(limit_kn) + " kn, room " +
                 std::to_string(room_m) + " m, rode " + std::to_string(at.rode_m) + " m");
    ASSERT_LE(at.radius_m(pull_n, at.low_span_m), room_m * (1 + 1e-7));
    ASSERT_LE(at.angle_deg(pull_n, at.high_span_m), allowed_deg + 1e-4);
    if (holding_n) {
        ASSERT_LE(pull_n, *holding_n * (1 + 1e-6));
    }
    if (limit_kn >= static_cast<double>(TackleTables::greatest_wind_kn)) return;
    // The reach is taken in whole knots, and by the tables' angle a limit is less than a knot too low.
    const double above_n = tables.loads().pull_n(limit_kn + 1.001);
    const bool too_wide = at.radius_m(above_n, at.low_span_m) > room_m;
    const bool too_steep = above_n > greatest_pull_n(at.high_span_m, allowed_deg, at.parts(Stretch::least));
    const bool drags = holding_n && above_n > *holding_n;
    total().wind_by_reach += too_wide && !too_steep && !drags;
    ASSERT_TRUE(too_wide || too_steep || drags) << "a wind of a knot above the limit would do as well";
}

class WholeRun : public testing::TestWithParam<int> {
protected:
    void SetUp() override { total() = {}; }
};

void print(const Tally& t) {
    const auto n = [](std::int64_t v) { return static_cast<long long>(v); };
    std::printf("%d scenes, %d with levels that change, %lld cells: %lld full, %lld short, %lld sinker, %lld "
                "no, %lld unsurveyed; "
                "%lld drops (%lld by the middle of their cell), %lld false yes; %lld wind limits, %lld by "
                "the reach alone\n",
                t.scenes, t.with_levels, n(t.cells), n(t.verdicts[4]), n(t.verdicts[3]), n(t.verdicts[2]),
                n(t.verdicts[1]), n(t.verdicts[0]), n(t.drops), n(t.proved), n(t.false_yes), n(t.wind_limits),
                n(t.wind_by_reach));
}

TEST_P(WholeRun, SaysNoFalseYesAndWindLimitsAreThoseOfTheStatics) {
    const auto kind_number = static_cast<std::size_t>(GetParam());
    const SceneKind& kind = scene_kinds()[kind_number];
    // SWINGROOM_SEED=n looks at one scene again.
    const char* only = std::getenv("SWINGROOM_SEED");
    const int first = only ? std::atoi(only) : first_seed + scenes_per_kind * GetParam(),
              last = only ? first : first + scenes_per_kind - 1;
    for (int seed = first; seed <= last; ++seed) {
        const auto stay = random_stay(kind, static_cast<std::uint64_t>(seed));
        Dice dice(static_cast<std::uint64_t>(seed) + 2'000'000);
        OverlayJob job = stay->run.job();
        job.levels = stay->levels.get();
        job.block = dice.whole(5, 32);
        job.threads = dice.whole(1, 2);
        SCOPED_TRACE(stay->boat.name + ", wind " + std::to_string(stay->conditions.wind_kn) +
                     " kn, low water " + std::to_string(stay->conditions.water.low_m) + " m, " +
                     stay->sea.describe());
        Recorder said(job.window);
        run_overlay(job, said, {});
        expect_yes_is_yes(*stay, said.all, dice);
        if (HasFatalFailure()) return;
        for (int i = 0; i < 200; ++i) {
            const int col = dice.whole(0, stay->sea.grid.cols - 1),
                      row = dice.whole(0, stay->sea.grid.rows - 1);
            SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
            expect_wind_limit(*stay, said.all, all_ways[static_cast<std::size_t>(dice.whole(0, 2))], col,
                              row);
            if (HasFatalFailure()) return;
        }
        ++total().scenes;
        total().with_levels += stay->levels ? 1 : 0;
    }
    print(total());
    if (only == nullptr) expect_much_was_tried(total());
    if (only == nullptr && !kind.crs.empty()) {
        EXPECT_GE(total().with_levels, 4) << "levels that change from place to place";
    }
}

std::string test_name(const testing::TestParamInfo<int>& info) {
    std::string name;
    for (const char c : scene_kinds()[static_cast<std::size_t>(info.param)].name) {
        name += c == ' ' || c == ',' || c == '-' ? '_' : c;
    }
    return name;
}
INSTANTIATE_TEST_SUITE_P(Scenes, WholeRun, testing::Range(0, static_cast<int>(scene_kinds().size())),
                         test_name);

} // namespace
} // namespace swingroom::testing_support
