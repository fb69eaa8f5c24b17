// Levels that change from place to place, against runs with the levels of one place everywhere.

#include "swingroom/base/error.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/sea/stay_levels.hpp"

#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <limits>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

/// The same depths, of which nobody knows how much deeper they are: bands as those of a chart's areas.
class Banded final : public DepthSource {
public:
    Banded(std::unique_ptr<DepthSource> source, float deeper_m)
        : source_(std::move(source)), deeper_m_(deeper_m) {}
    [[nodiscard]] const Grid& grid() const override { return source_->grid(); }
    void read(Window where, DepthPlanes& depths) const override {
        source_->read(where, depths);
        for (std::size_t i = 0; i < depths.deep_m.size(); ++i) {
            depths.deep_m.data()[i] += deeper_m_;
        }
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return source_->greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return source_->assumptions(); }
    [[nodiscard]] std::vector<std::string> files() const override { return source_->files(); }

private:
    std::unique_ptr<DepthSource> source_;
    float deeper_m_;
};

constexpr float band_m = 6;
constexpr int parts_a_side = 2, cells_a_side = 90;

/// A scene of four parts, each with levels of its own.
struct Parted {
    OverlayScene scene;
    std::vector<WaterLevels> of_part;
    std::unique_ptr<StayLevels> levels;
    double excess_m = 0;

    explicit Parted(std::uint64_t seed)
        : scene(random_overlay_scene(seed, parts_a_side * cells_a_side, parts_a_side * cells_a_side)) {
        Dice dice(seed * 7 + 1);
        scene.depths = std::make_unique<Banded>(std::move(scene.depths), seed % 2 == 1 ? band_m : 0);
        const WaterLevels least = scene.tables->conditions().water;
        std::vector<float> lows, highs;
        for (int i = 0; i < parts_a_side * parts_a_side; ++i) {
            lows.push_back(static_cast<float>(least.low_m + dice.between(0, 1.5)));
            highs.push_back(static_cast<float>(static_cast<double>(lows.back()) + least.range_m() +
                                               dice.between(0, 1.5)));
            of_part.push_back({static_cast<double>(lows.back()), static_cast<double>(highs.back())});
        }
        const Grid& grid = scene.depths->grid();
        const Grid coarse{parts_a_side,
                          parts_a_side,
                          grid.origin_x,
                          grid.origin_y,
                          grid.step_x * cells_a_side,
                          grid.step_y * cells_a_side,
                          grid.crs_wkt};
        const auto raster = [&](std::vector<float> values) {
            return StayLevels::Level{0,
                                     memory_bathymetry(coarse, std::move(values), DepthUncertainty::none())};
        };
        levels = std::make_unique<StayLevels>(raster(lows), raster(highs), grid, "scene");
        excess_m = levels->greatest_excess_m();
    }
    /// All are made for sides of a depth that are equally far apart.
    [[nodiscard]] std::unique_ptr<TackleTables> tables(const WaterLevels& water) const {
        Conditions conditions = scene.tables->conditions();
        conditions.water = water;
        return std::make_unique<TackleTables>(scene.tables->boat(), conditions,
                                              1.0 + (double{band_m} + excess_m) / 2);
    }
    [[nodiscard]] std::size_t part_of(int col, int row) const {
        return static_cast<std::size_t>(row / cells_a_side * parts_a_side + col / cells_a_side);
    }
    /// Whether all within so many cells has the levels of one part.
    [[nodiscard]] static bool amid(int col, int row, int halo) {
        const auto inside = [halo](int at) {
            return at % cells_a_side >= halo && at % cells_a_side < cells_a_side - halo;
        };
        return inside(col) && inside(row);
    }
};

/// Two figures of a way, of which the tables of either run may be wrong by a bin.
void expect_near(double ours, double theirs, double within, const char* what) {
    ASSERT_EQ(std::isnan(ours), std::isnan(theirs)) << what << ": " << ours << " and " << theirs;
    if (std::isnan(ours)) return;
    ASSERT_NEAR(ours, theirs, within) << what;
}

struct Compared {
    int cells = 0, yes = 0, other_verdict = 0, sounded = 0;
};

/// Figures of a cell amid a part against those of a run with its levels everywhere.
void compare(const BlockAnswers& ours, const BlockAnswers& theirs, double bin_m, double reach_m, int col,
             int row, Compared& compared) {
    ++compared.cells;
    const auto verdict = static_cast<Verdict>(ours.plane<Layer::verdict>().at(col, row)),
               expected = static_cast<Verdict>(theirs.plane<Layer::verdict>().at(col, row));
    compared.yes += is_yes(expected) ? 1 : 0;
    constexpr double float_noise_m = 1e-5;
    // Rooms beyond the reach of either run are only known to be at least that.
    const auto room_m = [&](const BlockAnswers& of, bool hull) {
        return std::min(reach_m, static_cast<double>(hull ? of.plane<Layer::hull_room>().at(col, row)
                                                          : of.plane<Layer::ground_room>().at(col, row)));
    };
    ASSERT_NEAR(room_m(ours, true), room_m(theirs, true), float_noise_m);
    ASSERT_NEAR(room_m(ours, false), room_m(theirs, false), float_noise_m);
    const bool whole_rooms = room_m(theirs, true) < reach_m && room_m(theirs, false) < reach_m;
    expect_near(static_cast<double>(ours.plane<Layer::depth_low>().at(col, row)),
                static_cast<double>(theirs.plane<Layer::depth_low>().at(col, row)), float_noise_m,
                "depth_low");
    double least_spare_m = 1e9;
    for (const Way way : all_ways) {
        const auto figure = [&](const BlockAnswers& of, Layer layer) {
            return static_cast<double>(of.figures(swingroom::of(layer, way)).at(col, row));
        };
        const auto each = [&](Layer layer, double within, const char* what) {
            expect_near(figure(ours, layer), figure(theirs, layer), within, what);
        };
        each(Layer::rode_full, float_noise_m, "rode");
        each(Layer::radius_full, bin_m, "radius");
        if (whole_rooms) each(Layer::spare_full, bin_m, "spare");
        each(Layer::sounder_limit_full, float_noise_m, "sounder limit");
        compared.sounded += std::isnan(figure(theirs, Layer::sounder_limit_full)) ? 0 : 1;
        if (testing::Test::HasFatalFailure()) return;
        least_spare_m = std::min(least_spare_m, std::abs(figure(theirs, Layer::spare_full)));
        if (verdict == expected && whole_rooms) each(Layer::wind_limit_full, 2.1, "wind limit");
    }
    if (verdict != expected) {
        ++compared.other_verdict;
        ASSERT_LE(least_spare_m, bin_m) << "another verdict, and no way that just fits";
    }
}

class LevelledScenes : public testing::TestWithParam<std::uint64_t> {};

TEST_P(LevelledScenes, SayAmidEachPartWhatARunWithItsLevelsSays) {
    const Parted parted(GetParam());
    OverlayJob job = parted.scene.job();
    if (GetParam() % 2 == 1) job.rode_by = RodeBy::sounder;
    job.block = 61;
    job.threads = 2;
    job.wanted = LayerSet::all();
    job.levels = parted.levels.get();
    const auto tables = parted.tables(parted.levels->reference());
    job.tables = tables.get();
    Recorder ours(job.window);
    run_overlay(job, ours, {});
    const int halo = halo_cells(job);
    Compared compared;
    std::vector<std::unique_ptr<Recorder>> alone;
    for (std::size_t part = 0; part < parted.of_part.size(); ++part) {
        const auto own = parted.tables(parted.of_part[part]);
        OverlayJob one = job;
        one.levels = nullptr;
        one.tables = own.get();
        alone.push_back(std::make_unique<Recorder>(one.window));
        run_overlay(one, *alone.back(), {});
        const double bin_m = 2 * tables->radius_step_m() + 0.01;
        for (int row = 0; row < job.window.rows; ++row) {
            for (int col = 0; col < job.window.cols; ++col) {
                if (parted.part_of(col, row) != part || !Parted::amid(col, row, halo)) continue;
                SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
                compare(ours.all, alone.back()->all, bin_m, std::min(reach_m(*tables), reach_m(*own)) - 0.001,
                        col, row, compared);
                if (HasFatalFailure()) return;
            }
        }
    }
    // Everywhere the room lies between those of the runs: what floats her at one level does at a higher one.
    for (int row = 0; row < job.window.rows; ++row) {
        for (int col = 0; col < job.window.cols; ++col) {
            float least_m = std::numeric_limits<float>::infinity(), most_m = 0;
            for (const auto& one : alone) {
                const float room_m = one->all.plane<Layer::hull_room>().at(col, row);
                least_m = std::min(least_m, room_m);
                most_m = std::max(most_m, room_m);
            }
            const float room_m = ours.all.plane<Layer::hull_room>().at(col, row);
            ASSERT_GE(room_m, least_m - 1e-4F) << col << " " << row;
            ASSERT_LE(room_m, most_m + 2) << "the reach of a run may be longer";
        }
    }
    std::printf("%d cells compared, %d of them yes, %d with another verdict, %d limits of the sounder\n",
                compared.cells, compared.yes, compared.other_verdict, compared.sounded);
    EXPECT_LE(compared.other_verdict, compared.cells / 50);
    // A position says what the layers say, and its own levels.
    const Georeference georeference(job.depths->grid(), "scene");
    Dice dice(GetParam());
    for (int i = 0; i < 40; ++i) {
        const int col = dice.whole(0, job.window.cols - 1), row = dice.whole(0, job.window.rows - 1);
        const PositionReport at = examine(job, georeference, col, row);
        ASSERT_EQ(static_cast<int>(at.answer.verdict), int{ours.all.plane<Layer::verdict>().at(col, row)});
        if (at.answer.verdict == Verdict::unsurveyed) continue;
        const WaterLevels& own = parted.of_part[parted.part_of(col, row)];
        EXPECT_NEAR(at.levels.low_m, own.low_m, 1e-5);
        EXPECT_NEAR(at.levels.high_m, own.high_m, 1e-5);
        EXPECT_EQ(at.depth_low_m, ours.all.plane<Layer::depth_low>().at(col, row));
        EXPECT_NEAR(at.depth_low_m - own.low_m, at.facts.chart_shoal_m(), 1e-5);
        EXPECT_NEAR(at.depth_high_m - own.high_m, at.facts.chart_deep_m(), 1e-5);
    }
}
INSTANTIATE_TEST_SUITE_P(Seeds, LevelledScenes, testing::Range<std::uint64_t>(0, 8));

// A hull clears a wreck by the least of all low waters, and a bridge by the greatest of all high ones.
TEST(Levels, JudgeHazardsWithADepthByTheWorstLevel) {
    Parted parted(3);
    const auto tables = parted.tables(parted.levels->reference());
    OverlayJob job = parted.scene.job();
    job.tables = tables.get();
    job.levels = parted.levels.get();
    double least_m = 1e9, greatest_m = -1e9;
    for (const WaterLevels& water : parted.of_part) {
        least_m = std::min(least_m, water.low_m);
        greatest_m = std::max(greatest_m, water.high_m);
    }
    const HullNeeds needs = hull_needs(job);
    EXPECT_LE(needs.low_water_m, least_m);
    EXPECT_GT(needs.low_water_m, least_m - 0.011);
    EXPECT_NEAR(needs.high_water_m - needs.clearance_datum_m, greatest_m, 1e-6);
    const double required_m = tables->boat().required_depth_m();
    for (const double over_m : {-0.02, 0.02}) {
        Hazard wreck = hazard(effect::hull, 0, box(20, 20, 3, 3), "wreck");
        wreck.least_depth_m = required_m - least_m + over_m;
        const HazardField field({wreck}, job.depths->grid().extent(), parted.scene.metric);
        job.hazards = &field;
        const PositionReport at = examine(job, Georeference(job.depths->grid(), "scene"), 20, 20);
        EXPECT_EQ((at.facts.effects & effect::hull) != 0, over_m < 0);
        Hazard bridge = hazard(effect::hull, 0, box(20, 20, 3, 3), "bridge");
        bridge.clearance_m = greatest_m + 10 + over_m;
        HullNeeds with_mast = needs;
        with_mast.air_draught_m = 10;
        EXPECT_EQ((effects_on(bridge, with_mast) & effect::hull) != 0, over_m < 0);
    }
}

// A gap in the levels stops a run that needs them there, whoever gathers it.
TEST(Levels, ThatAreNotKnownStopTheRun) {
    const OverlayScene scene = random_overlay_scene(1, 60, 50);
    const Grid& grid = scene.depths->grid();
    const Grid pair{2, 1, grid.origin_x, grid.origin_y, grid.step_x * 50, grid.step_y * 50, grid.crs_wkt};
    const StayLevels levels({0, memory_bathymetry(pair, {0.5F, std::numeric_limits<float>::quiet_NaN()},
                                                  DepthUncertainty::none())},
                            {4, nullptr}, grid, "scene");
    OverlayJob job = scene.job();
    job.levels = &levels;
    job.threads = 2;
    Recorder recorder(job.window);
    EXPECT_THROW(run_overlay(job, recorder, {}), InputError);
}

} // namespace
} // namespace swingroom
