// The promise with its condition: where a cell says yes by the sounder up to a reading, she may let go
// anywhere in it where the sounder shows no more, veer for what it shows, and lie through tide and swing. The
// oracle knows neither tables nor transforms: it asks the statics, mark by mark, and measures room from
// square to square.

#include "swingroom/overlay/overlay.hpp"

#include "support/overlay_scene.hpp"
#include "support/rode_at_reading.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <limits>
#include <memory>
#include <string>
#include <vector>

namespace swingroom::testing_support {
namespace {

/// Depths that are known as bands alone, as a chart's areas give them.
class Bands final : public DepthSource {
public:
    Bands(Grid grid, std::vector<SoundedBand> cells) : grid_(std::move(grid)), cells_(std::move(cells)) {}
    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override {
        depths.shoal_m.reset(where, std::numeric_limits<float>::quiet_NaN());
        depths.deep_m.reset(where, std::numeric_limits<float>::quiet_NaN());
        depths.source.reset({});
        depths.banded.reset(where, 0);
        const Window known = common(where, grid_.extent());
        for (int row = known.row; row < known.row_end(); ++row) {
            for (int col = known.col; col < known.col_end(); ++col) {
                const SoundedBand& band = at(col, row);
                depths.shoal_m.at(col, row) = static_cast<float>(band.shoal_m);
                depths.deep_m.at(col, row) = static_cast<float>(band.deep_m);
                depths.banded.at(col, row) = 1;
            }
        }
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return 15; }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

    [[nodiscard]] const SoundedBand& at(int col, int row) const {
        return cells_[static_cast<std::size_t>(row) * static_cast<std::size_t>(grid_.cols) +
                      static_cast<std::size_t>(col)];
    }

private:
    Grid grid_;
    std::vector<SoundedBand> cells_;
};

/// Areas of a chart, each with edges of its own, some of them land, and gently sloping shoal sides here and
/// there.
struct BandedScene {
    std::unique_ptr<Bands> depths;
    GroundMetric metric;
    std::unique_ptr<HazardField> hazards;
    Boat boat;
    Conditions conditions;
    std::unique_ptr<TackleTables> tables;
    double step_m = 0;

    [[nodiscard]] OverlayJob job() const {
        OverlayJob job;
        job.depths = depths.get();
        job.metric = &metric;
        job.hazards = hazards.get();
        job.tables = tables.get();
        job.window = depths->grid().extent();
        job.seabed = Seabed::sand;
        job.rode_by = RodeBy::source;
        return job;
    }
};

BandedScene random_banded_scene(std::uint64_t seed) {
    Dice dice(seed * 7919 + 11);
    BandedScene scene;
    scene.boat = read_trial_boat(trial_boats()[seed % trial_boats().size()]);
    scene.boat.rode.mark_m = dice.chance(0.3) ? dice.between(0.5, 1) : dice.between(1, 10);
    scene.boat.sounder.error_m = dice.between(0, 0.6);
    scene.boat.policy.level_error_m = dice.between(0, 0.7);
    scene.boat.sounder.to_roller_m = dice.between(1, 8);
    const double low_m = dice.between(-0.3, 1);
    scene.conditions = {{low_m, low_m + dice.between(0, 3)}, dice.between(2, 16), 0};
    const int cols = 44, rows = 40;
    scene.step_m = dice.between(2, 6);
    const double floor_m = scene.boat.required_depth_m() - low_m;
    std::vector<SoundedBand> areas;
    for (int i = 0; i < 9; ++i) {
        const double shoal_m = dice.chance(0.12) ? -2 : floor_m + dice.between(-0.3, 5);
        areas.push_back({shoal_m, shoal_m + dice.between(0.2, 14), 0});
    }
    std::vector<SoundedBand> cells;
    const int across = dice.whole(9, 44), down = dice.whole(9, 40);
    const double tilt = dice.between(0, 0.03);
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            SoundedBand band = areas[static_cast<std::size_t>((col / across + 3 * (row / down)) % 9)];
            band.shoal_m =
                static_cast<double>(static_cast<float>(band.shoal_m + tilt * scene.step_m * (col % across)));
            band.deep_m = static_cast<double>(static_cast<float>(std::max(band.deep_m, band.shoal_m)));
            cells.push_back(band);
        }
    }
    scene.depths = std::make_unique<Bands>(utm_grid(cols, rows, scene.step_m), std::move(cells));
    scene.metric = GroundMetric::uniform(rows, scene.step_m, scene.step_m);
    scene.hazards =
        std::make_unique<HazardField>(std::vector<Hazard>(), scene.depths->grid().extent(), scene.metric);
    scene.tables = std::make_unique<TackleTables>(scene.boat, scene.conditions, 15);
    return scene;
}

/// Least distance between the squares of a cell and of any that does not float the hull, or lies outside.
double exact_room_m(const BandedScene& scene, int col, int row, bool hull) {
    const Window all = scene.depths->grid().extent();
    const double floor_m = scene.boat.required_depth_m() - scene.conditions.water.low_m;
    double least_m2 = std::numeric_limits<double>::infinity();
    for (int r = all.row - 1; r <= all.row_end(); ++r) {
        for (int c = all.col - 1; c <= all.col_end(); ++c) {
            if (all.contains(c, r) && !(hull && scene.depths->at(c, r).shoal_m < floor_m)) continue;
            const double x = std::max(std::abs(c - col) - 1, 0) * scene.step_m,
                         y = std::max(std::abs(r - row) - 1, 0) * scene.step_m;
            least_m2 = std::min(least_m2, x * x + y * y);
        }
    }
    return std::sqrt(least_m2);
}

/// Rise over run to the steepest neighbour, of either side of the band.
double exact_slope(const BandedScene& scene, int col, int row) {
    const SoundedBand& here = scene.depths->at(col, row);
    double slope = 0;
    for (int r = row - 1; r <= row + 1; ++r) {
        for (int c = col - 1; c <= col + 1; ++c) {
            if (!scene.depths->grid().extent().contains(c, r) || (c == col && r == row)) continue;
            const SoundedBand& there = scene.depths->at(c, r);
            const double away_m = std::hypot(c - col, r - row) * scene.step_m;
            slope = std::max({slope, std::abs(there.shoal_m - here.shoal_m) / away_m,
                              std::abs(there.deep_m - here.deep_m) / away_m});
        }
    }
    return slope;
}

int scenes_to_try() {
    const char* const asked = std::getenv("SWINGROOM_SCENES");
    return asked != nullptr ? std::atoi(asked) : 60;
}

TEST(BySounderScenes, AYesHoldsForEveryReadingUpToItsLimitAndNotBeyond) {
    int conditional = 0, plain = 0, readings = 0, ended = 0;
    for (int seed = 0; seed < scenes_to_try(); ++seed) {
        SCOPED_TRACE("scene " + std::to_string(seed));
        const BandedScene scene = random_banded_scene(static_cast<std::uint64_t>(seed));
        const OverlayJob job = scene.job();
        Recorder told(job.window);
        run_overlay(job, told, {});
        Dice dice(static_cast<std::uint64_t>(seed) + 99);
        const Plane<std::uint8_t>& verdicts = told.all.plane<Layer::verdict>();
        int looked_at = 0;
        for (int tries = 0; tries < 400 && looked_at < 25; ++tries) {
            const int col = dice.whole(0, job.window.cols - 1), row = dice.whole(0, job.window.rows - 1);
            const auto verdict = static_cast<Verdict>(verdicts.at(col, row));
            if (!is_yes(verdict)) continue;
            ++looked_at;
            const Way way = way_of(verdict);
            SoundedBand band = scene.depths->at(col, row);
            const double hull_room_m = exact_room_m(scene, col, row, true),
                         ground_room_m = exact_room_m(scene, col, row, false);
            const auto limit_m =
                static_cast<double>(told.all
                                        .figures(static_cast<Layer>(index_of(Layer::sounder_limit_full) +
                                                                    static_cast<std::size_t>(way)))
                                        .at(col, row));
            const RodeAtReading any_depth(scene.boat, scene.conditions,
                                          {band.shoal_m, band.deep_m, (band.deep_m - band.shoal_m) / 2,
                                           (band.deep_m - band.shoal_m) / 2});
            if (!is_by_sounder(verdict)) {
                // One rode for the deep side, and its radius at the shoal one.
                ++plain;
                ASSERT_TRUE(std::isnan(limit_m));
                ASSERT_TRUE(
                    any_depth.fits(way, (band.shoal_m + band.deep_m) / 2, hull_room_m, ground_room_m, 1e-4));
                continue;
            }
            ++conditional;
            band.deeper_m = scene.boat.sounder.error_m + scene.boat.policy.level_error_m;
            band.shoaler_m =
                band.deeper_m + std::max(0.1, exact_slope(scene, col, row)) *
                                    std::max(scene.boat.hull.length_m, scene.boat.sounder.to_roller_m);
            const RodeAtReading asked(scene.boat, scene.conditions, band);
            SCOPED_TRACE("cell " + std::to_string(col) + ", " + std::to_string(row) + ": " +
                         std::to_string(band.shoal_m) + " to " + std::to_string(band.deep_m) + " m, deeper " +
                         std::to_string(band.deeper_m) + ", shoaler " + std::to_string(band.shoaler_m) +
                         ", limit " + std::to_string(limit_m));
            ASSERT_GE(limit_m, band.shoal_m - 1e-5);
            ASSERT_LE(limit_m, band.deep_m + 1e-5);
            for (int i = 0; i <= 20; ++i) {
                const double reading_m = band.shoal_m + (limit_m - band.shoal_m) * i / 20;
                ++readings;
                ASSERT_TRUE(asked.fits(way, reading_m, hull_room_m, ground_room_m, 1e-4))
                    << "reading " << reading_m;
            }
            // Above it the next mark is too much: but for what a cell's room, the slope and a step of the
            // tables are rounded by.
            if (limit_m >= band.deep_m - 1e-5) continue;
            ++ended;
            const double step_m = scene.tables->radius_step_m(band.deeper_m + band.shoaler_m) + 1e-3;
            ASSERT_FALSE(asked.fits(way, limit_m + 1e-4, hull_room_m, ground_room_m, -1e-3, step_m));
        }
    }
    std::cout << conditional << " yes by the sounder, " << plain << " plain ones, " << readings
              << " readings, " << ended << " limits above which there is none\n";
    EXPECT_GT(conditional, 3 * scenes_to_try());
    EXPECT_GT(plain, scenes_to_try() / 2);
    EXPECT_GT(ended, scenes_to_try());
}

TEST(BySounderScenes, BySurveyNoneHasACondition) {
    for (int seed = 0; seed < 10; ++seed) {
        const BandedScene scene = random_banded_scene(static_cast<std::uint64_t>(seed));
        OverlayJob job = scene.job();
        Recorder by_sounder(job.window), by_survey(job.window);
        run_overlay(job, by_sounder, {});
        job.rode_by = RodeBy::survey;
        run_overlay(job, by_survey, {});
        for (std::size_t i = 0; i < by_survey.all.plane<Layer::verdict>().size(); ++i) {
            const auto survey = static_cast<Verdict>(by_survey.all.plane<Layer::verdict>().data()[i]),
                       sounder = static_cast<Verdict>(by_sounder.all.plane<Layer::verdict>().data()[i]);
            ASSERT_FALSE(is_by_sounder(survey));
            ASSERT_LE(rank_of(sounder), rank_of(survey)) << "nothing is lost by reading the sounder";
        }
    }
}

} // namespace
} // namespace swingroom::testing_support
