#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/parts.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "support/overlay_scene.hpp"
#include "support/same_answers.hpp"
#include "support/way_scene.hpp"
#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <cmath>
#include <deque>
#include <memory>
#include <stdexcept>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

Recorder& run(const OverlayJob& job, Recorder& into) {
    run_overlay(job, into, {});
    return into;
}

class Scenes : public testing::TestWithParam<std::uint64_t> {};

TEST_P(Scenes, AnswerTheSameForAnyBlockSizeAndAnyNumberOfThreads) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 150, 130);
    OverlayJob job = scene.job();
    const OverlayJob looked = job;
    const WayIn way_in = way_from_the_middle(looked);
    if (GetParam() % 2 == 1) job.way_in = &way_in;
    Recorder whole(job.window);
    run(job, whole);
    for (const int block : {17, 64, 100, 1024}) {
        for (const int threads : {1, 2, 5}) {
            SCOPED_TRACE("block " + std::to_string(block) + ", threads " + std::to_string(threads));
            job.block = block;
            job.threads = threads;
            Recorder parts(job.window);
            run(job, parts);
            ASSERT_EQ(first_difference(whole.all, parts.all, job.window, LayerSet::all()), "");
            for (std::size_t i = 0; i < parts.visits.size(); ++i) {
                ASSERT_EQ(parts.visits.data()[i], 1) << "each cell comes once";
            }
            expect_same_zones(whole.zones, parts.zones);
            expect_same_tally(whole.all.tally, parts.all.tally);
            if (HasFatalFailure()) return;
        }
    }
}

// Against a count over the layer of reasons, cell by cell, whose bits are Judge::judge's.
TEST_P(Scenes, AreCountedByLeadingReason) {
    OverlayScene scene = random_overlay_scene(GetParam(), 90, 80);
    std::vector<CellSize> rows; // of no area that a sum of doubles would hold without rounding
    for (int row = 0; row < 80; ++row) {
        rows.push_back({3.1 - 0.01 * row, 3.3});
    }
    scene.metric = GroundMetric(rows);
    scene.hazards =
        std::make_unique<HazardField>(scene.hazards->hazards(), scene.depths->grid().extent(), scene.metric);
    for (const RodeBy by : {RodeBy::survey, RodeBy::sounder}) {
        OverlayJob job = scene.job();
        job.rode_by = by;
        job.block = 37;
        job.threads = 2;
        Recorder recorder(job.window);
        run(job, recorder);
        const Tally& tally = recorder.all.tally;
        std::array<std::int64_t, why_not_count> cells{};
        std::array<double, why_not_count> area_m2{};
        double surveyed_m2 = 0;
        for (int row = 0; row < job.window.rows; ++row) {
            const double cell_m2 = rows[static_cast<std::size_t>(row)].dx_m * 3.3;
            for (int col = 0; col < job.window.cols; ++col) {
                const auto verdict = static_cast<Verdict>(recorder.all.plane<Layer::verdict>().at(col, row));
                if (verdict != Verdict::unsurveyed) surveyed_m2 += cell_m2;
                if (verdict != Verdict::no) continue;
                const auto why = leading_reason(recorder.all.plane<Layer::reasons>().at(col, row));
                ASSERT_TRUE(why.has_value()) << col << ", " << row;
                ++cells[static_cast<std::size_t>(*why)];
                area_m2[static_cast<std::size_t>(*why)] += cell_m2;
            }
        }
        Covered noes;
        for (std::size_t i = 0; i < why_not_count; ++i) {
            SCOPED_TRACE(why_not_names[i].name);
            EXPECT_EQ(tally.no_by_reason[i].cells, cells[i]);
            EXPECT_NEAR(tally.no_by_reason[i].area_m2, area_m2[i], 1e-6);
            noes += tally.no_by_reason[i];
            const std::vector<NearMiss> misses = tally.near_misses[i].by_nearness();
            EXPECT_EQ(misses.empty(), cells[i] == 0);
            for (const NearMiss& miss : misses) {
                EXPECT_EQ(leading_reason(recorder.all.plane<Layer::reasons>().at(miss.col, miss.row)),
                          static_cast<WhyNot>(i));
            }
        }
        EXPECT_EQ(noes.cells, tally.of(Verdict::no).cells);
        EXPECT_EQ(noes.area_m2, tally.of(Verdict::no).area_m2) << "exactly";
        EXPECT_EQ(tally.surveyed().cells + tally.of(Verdict::unsurveyed).cells,
                  static_cast<std::int64_t>(job.window.cells()));
        EXPECT_NEAR(tally.surveyed().area_m2, surveyed_m2, 1e-6);
    }
}

TEST_P(Scenes, AnswerSeveralBoatsInOneRunAsEachAlone) {
    OverlayScene scene = random_overlay_scene(GetParam(), 90, 80);
    // As in degrees, cells shrink along the rows, so that a boat's rooms depend on how far it looks; and some
    // dangers are none to a boat that clears them.
    std::vector<CellSize> rows;
    for (int row = 0; row < 80; ++row) {
        rows.push_back({3 - 0.01 * row, 3});
    }
    scene.metric = GroundMetric(rows);
    std::vector<Hazard> hazards = scene.hazards->hazards();
    for (std::size_t i = 0; i < hazards.size(); i += 2) {
        hazards[i].least_depth_m = 2.5;
    }
    scene.hazards = std::make_unique<HazardField>(hazards, scene.depths->grid().extent(), scene.metric);

    const std::vector<TrialBoat>& boats = trial_boats();
    std::vector<std::unique_ptr<TackleTables>> tables;
    for (const auto& [boat, conditions] :
         {std::pair(0, Conditions{{0.2, 1.5}, 12, 0}), std::pair(0, Conditions{{1.2, 1.5}, 12, 0}),
          std::pair(1, Conditions{{0.2, 1.5}, 20, 0.5}), std::pair(2, Conditions{{-0.2, 2}, 8, 0})}) {
        tables.push_back(std::make_unique<TackleTables>(
            read_trial_boat(boats[static_cast<std::size_t>(boat) % boats.size()]), conditions, 1.0));
    }
    const Window window = scene.depths->grid().extent();
    std::deque<Recorder> together;
    std::deque<OverlayJob> looked;
    std::deque<WayIn> ways_in; // of each boat but the first
    std::vector<BoatJob> jobs;
    for (const auto& of_boat : tables) {
        together.emplace_back(window);
        looked.push_back(scene.job());
        looked.back().tables = of_boat.get();
        ways_in.push_back(way_from_the_middle(looked.back()));
        jobs.push_back({of_boat.get(), LayerSet::all(), &together.back(), nullptr,
                        jobs.empty() ? nullptr : &ways_in.back()});
    }
    run_overlay(scene.job(), jobs, 32, 3, {});
    for (std::size_t i = 0; i < tables.size(); ++i) {
        SCOPED_TRACE("boat " + std::to_string(i));
        OverlayJob job = scene.job();
        job.tables = tables[i].get();
        job.way_in = jobs[i].way_in;
        job.block = 32;
        Recorder alone(window);
        run(job, alone);
        ASSERT_EQ(first_difference(alone.all, together[i].all, window, LayerSet::all()), "");
        expect_same_zones(alone.zones, together[i].zones);
        if (HasFatalFailure()) return;
    }
}

/// Depths that count how many cells of them are read.
class CountedDepths final : public DepthSource {
public:
    explicit CountedDepths(const DepthSource& of) : of_(of) {}
    [[nodiscard]] const Grid& grid() const override { return of_.grid(); }
    void read(Window where, DepthPlanes& depths) const override {
        cells_ += where.cells();
        of_.read(where, depths);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return of_.greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return of_.assumptions(); }
    [[nodiscard]] std::vector<std::string> files() const override { return of_.files(); }
    [[nodiscard]] std::size_t cells() const { return cells_; }

private:
    const DepthSource& of_;
    mutable std::atomic<std::size_t> cells_ = 0;
};

TEST_P(Scenes, AreGatheredOnceForTenBoats) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 90, 80);
    std::vector<std::unique_ptr<TackleTables>> tables;
    int halo = 0, widest = 0;
    for (int i = 0; i < 10; ++i) {
        const TrialBoat& boat = trial_boats()[static_cast<std::size_t>(i) % trial_boats().size()];
        tables.push_back(std::make_unique<TackleTables>(read_trial_boat(boat),
                                                        Conditions{{0.1 * i, 1.5}, 10.0 + i, 0}, 1.0));
        const int own = halo_cells(scene.metric, *tables.back(), scene.job().window);
        if (own > halo) widest = i;
        halo = std::max(halo, own);
    }
    const auto cells_read = [&](const std::vector<int>& of) {
        const CountedDepths depths(*scene.depths);
        OverlayJob sea = scene.job();
        sea.depths = &depths;
        std::deque<Recorder> sinks;
        std::vector<BoatJob> boats;
        for (const int i : of) {
            sinks.emplace_back(sea.window);
            boats.push_back({tables[static_cast<std::size_t>(i)].get(), LayerSet::all(), &sinks.back()});
        }
        run_overlay(sea, boats, 32, 2, {});
        return depths.cells();
    };
    EXPECT_EQ(cells_read({0, 1, 2, 3, 4, 5, 6, 7, 8, 9}), cells_read({widest}))
        << "the boat with the greatest circles asks for the most";
}

TEST_P(Scenes, AnswerTheSameWhateverElseIsWanted) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 70, 60);
    OverlayJob job = scene.job();
    job.block = 64;
    const WayIn way_in{.needs = {3, 2},
                       .job = &job,
                       .access = AccessLevels::from_places(job, {3, 2}, std::vector{GridCell{35, 30}}),
                       .places = {}};
    job.way_in = &way_in;
    job.wanted.add(Layer::access_level);
    Recorder everything(job.window);
    run(job, everything);
    const auto expect_same = [&](LayerSet wanted) {
        job.wanted = wanted;
        Recorder some(job.window);
        run(job, some);
        ASSERT_EQ(first_difference(everything.all, some.all, job.window, wanted), "");
        if (wanted.has(Layer::zones) || wanted.has(Layer::spots)) {
            expect_same_zones(everything.zones, some.zones);
        } else {
            ASSERT_TRUE(some.zones.empty()) << "zones that nobody asked for";
        }
    };
    for (std::size_t i = 0; i < layer_names.size(); ++i) {
        SCOPED_TRACE("alone: " + std::string(layer_names[i]));
        LayerSet one;
        one.add(static_cast<Layer>(i));
        expect_same(one);
        if (HasFatalFailure()) return;
    }
    Dice dice(GetParam());
    for (int trial = 0; trial < 12; ++trial) {
        LayerSet some;
        std::string which;
        for (std::size_t i = 0; i < layer_names.size(); ++i) {
            if (dice.chance(0.3)) {
                some.add(static_cast<Layer>(i));
                which += std::string(layer_names[i]) + ' ';
            }
        }
        SCOPED_TRACE(which);
        expect_same(some);
        if (HasFatalFailure()) return;
    }
}

TEST_P(Scenes, AWindowIsAPartOfTheWhole) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 110, 90);
    OverlayJob job = scene.job();
    Recorder whole(job.window);
    run(job, whole);
    Dice dice(GetParam());
    for (int trial = 0; trial < 6; ++trial) {
        const int col = dice.whole(0, 109), row = dice.whole(0, 89);
        job.window = {col, row, dice.whole(1, 110 - col), dice.whole(1, 90 - row)};
        job.block = dice.whole(7, 80);
        job.threads = dice.whole(1, 3);
        Recorder part(job.window);
        run(job, part);
        ASSERT_EQ(first_difference(whole.all, part.all, job.window, LayerSet::all()), "");
        std::int64_t yes = 0, in_zones = 0;
        for (std::size_t i = 0; i < part.all.plane<Layer::verdict>().size(); ++i) {
            yes += is_yes(static_cast<Verdict>(part.all.plane<Layer::verdict>().data()[i]));
        }
        for (const Zone& zone : part.zones) {
            in_zones += zone.cells;
        }
        ASSERT_EQ(yes, in_zones);
    }
}

TEST_P(Scenes, ZonesAreTheYesCellsWithTheirFigures) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 60, 50);
    OverlayJob job = scene.job();
    job.block = 32;
    Recorder said(job.window);
    run(job, said);
    const Georeference georeference(job.depths->grid(), "scene");
    const auto facts_at = [&](int col, int row) { return examine(job, georeference, col, row).facts; };
    Plane<int> zone_of(job.window, 0);
    int before_row = -1, before_col = -1;
    for (const Zone& zone : said.zones) {
        ZoneFigures figures;
        std::int64_t cells = 0;
        std::uint32_t advice = 0;
        int last_row = -1, first_col = -1;
        for (int row = 0; row < job.window.rows; ++row) {
            for (int col = 0; col < job.window.cols; ++col) {
                if (!covers_cell(zone.rings, col, row)) continue;
                ++cells;
                ++zone_of.at(col, row);
                if (row != last_row) first_col = col;
                last_row = row;
                ASSERT_EQ(said.all.plane<Layer::verdict>().at(col, row), static_cast<int>(zone.verdict));
                figures.depth_low_min_m =
                    std::min(figures.depth_low_min_m, said.all.plane<Layer::depth_low>().at(col, row));
                figures.depth_low_max_m =
                    std::max(figures.depth_low_max_m, said.all.plane<Layer::depth_low>().at(col, row));
                figures.rode_min_m =
                    std::min(figures.rode_min_m,
                             said.all.figures(of(Layer::rode_full, way_of(zone.verdict))).at(col, row));
                figures.rode_max_m =
                    std::max(figures.rode_max_m,
                             said.all.figures(of(Layer::rode_full, way_of(zone.verdict))).at(col, row));
                figures.radius_min_m =
                    std::min(figures.radius_min_m,
                             said.all.figures(of(Layer::radius_full, way_of(zone.verdict))).at(col, row));
                figures.radius_max_m =
                    std::max(figures.radius_max_m,
                             said.all.figures(of(Layer::radius_full, way_of(zone.verdict))).at(col, row));
                for (const Way way : all_ways) {
                    const auto at = static_cast<std::size_t>(way);
                    const float limit_kn = said.all.figures(of(Layer::wind_limit_full, way)).at(col, row);
                    float& least_kn = figures.wind_limit_min_kn[at];
                    least_kn = std::min(least_kn, limit_kn);
                    // The spare room of a way is nothing or more where that way is a yes.
                    if (!(said.all.figures(of(Layer::spare_full, way)).at(col, row) >= 0)) {
                        figures.ways = static_cast<std::uint8_t>(figures.ways & ~bit_of(way));
                    }
                }
                const CellFacts facts = facts_at(col, row);
                figures.seabeds = static_cast<std::uint16_t>(figures.seabeds | bit_of(facts.seabed));
                figures.depth_deep_max_m = std::max(figures.depth_deep_max_m, facts.deep_m);
                figures.spare_max_m =
                    std::max(figures.spare_max_m,
                             said.all.figures(of(Layer::spare_full, way_of(zone.verdict))).at(col, row));
                advice |= said.all.plane<Layer::advice>().at(col, row);
            }
        }
        ASSERT_EQ(cells, zone.cells);
        ASSERT_EQ(figures.depth_low_min_m, zone.figures.depth_low_min_m);
        ASSERT_EQ(figures.depth_low_max_m, zone.figures.depth_low_max_m);
        ASSERT_EQ(figures.rode_min_m, zone.figures.rode_min_m);
        ASSERT_EQ(figures.rode_max_m, zone.figures.rode_max_m);
        ASSERT_EQ(figures.radius_min_m, zone.figures.radius_min_m);
        ASSERT_EQ(figures.radius_max_m, zone.figures.radius_max_m);
        ASSERT_EQ(figures.depth_deep_max_m, zone.figures.depth_deep_max_m);
        ASSERT_EQ(figures.seabeds, zone.figures.seabeds);
        ASSERT_EQ(figures.ways, zone.figures.ways);
        ASSERT_TRUE(zone.figures.has(way_of(zone.verdict)));
        for (const Way way : all_ways) {
            float& least_kn = figures.wind_limit_min_kn[static_cast<std::size_t>(way)];
            if (way != way_of(zone.verdict)) least_kn = std::floor(least_kn);
            if (figures.has(way)) expect_same_limit(figures, zone.figures, way);
        }
        ASSERT_EQ(advice, zone.figures.advice);
        ASSERT_EQ(figures.spare_max_m, zone.figures.spare_max_m);
        const CellSize cell = scene.metric.at(0);
        ASSERT_NEAR(zone.area_m2, static_cast<double>(cells) * cell.dx_m * cell.dy_m, 1e-9 * zone.area_m2);
        ASSERT_TRUE(last_row > before_row || (last_row == before_row && first_col > before_col))
            << "zones come by their last row, then by their first column in it";
        before_row = last_row;
        before_col = first_col;
    }
    for (int row = 0; row < job.window.rows; ++row) {
        for (int col = 0; col < job.window.cols; ++col) {
            ASSERT_EQ(zone_of.at(col, row),
                      is_yes(static_cast<Verdict>(said.all.plane<Layer::verdict>().at(col, row))) ? 1 : 0)
                << "column " << col << ", row " << row;
        }
    }
}

TEST_P(Scenes, ThePlanesAgreeWithOneAnother) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 90, 80);
    OverlayJob job = scene.job();
    Recorder said(job.window);
    run(job, said);
    DepthPlanes depths;
    scene.depths->read(job.window, depths);
    const Boat& boat = scene.tables->boat();
    const double low_m = scene.tables->conditions().water.low_m;
    for (int row = 0; row < job.window.rows; ++row) {
        for (int col = 0; col < job.window.cols; ++col) {
            SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
            const auto verdict = static_cast<Verdict>(said.all.plane<Layer::verdict>().at(col, row));
            const std::uint32_t reasons = said.all.plane<Layer::reasons>().at(col, row);
            const auto shoal_m = static_cast<double>(depths.shoal_m.at(col, row));
            const bool surveyed = !std::isnan(shoal_m), afloat = shoal_m + low_m >= boat.required_depth_m();
            ASSERT_EQ(verdict == Verdict::unsurveyed, !surveyed);
            ASSERT_EQ((reasons & reason::unsurveyed) != 0, !surveyed);
            ASSERT_EQ(std::isnan(said.all.plane<Layer::depth_low>().at(col, row)), !surveyed);
            if (surveyed) {
                ASSERT_EQ((reasons & reason::too_shallow) != 0, !afloat);
                ASSERT_LE(static_cast<double>(said.all.plane<Layer::depth_low>().at(col, row)),
                          shoal_m + low_m);
                ASSERT_NEAR(static_cast<double>(said.all.plane<Layer::depth_low>().at(col, row)),
                            shoal_m + low_m, 1e-5);
            } else {
                ASSERT_EQ(said.all.plane<Layer::hull_room>().at(col, row), 0);
                ASSERT_EQ(said.all.plane<Layer::ground_room>().at(col, row), 0);
            }
            if ((reasons & (reason::too_shallow | reason::hull_danger)) != 0) {
                ASSERT_EQ(said.all.plane<Layer::hull_room>().at(col, row), 0);
            }
            if ((reasons & reason::ground_danger) != 0) {
                ASSERT_EQ(said.all.plane<Layer::ground_room>().at(col, row), 0);
            }
            for (const Way way : all_ways) {
                const bool had = surveyed && afloat &&
                                 (reasons & (reason::of_way(way, reason::OfWay::rode) |
                                             reason::of_way(way, reason::OfWay::unavailable))) == 0;
                ASSERT_EQ(!std::isnan(said.all.figures(of(Layer::rode_full, way)).at(col, row)), had);
                ASSERT_EQ(!std::isnan(said.all.figures(of(Layer::radius_full, way)).at(col, row)), had);
                ASSERT_EQ(!std::isnan(said.all.figures(of(Layer::spare_full, way)).at(col, row)), had);
                const float limit_kn = said.all.figures(of(Layer::wind_limit_full, way)).at(col, row);
                ASSERT_EQ(!std::isnan(limit_kn), had) << "whatever is known of the anchor";
                if (!had) continue;
                ASSERT_LE(static_cast<double>(said.all.figures(of(Layer::rode_full, way)).at(col, row)),
                          boat.rode.aboard_m() * (1 + 1e-6));
                if (verdict == yes_to(way)) {
                    ASSERT_GE(said.all.figures(of(Layer::spare_full, way)).at(col, row), 0);
                    ASSERT_GE(said.all.plane<Layer::hull_room>().at(col, row),
                              said.all.figures(of(Layer::radius_full, way)).at(col, row));
                }
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, Scenes, testing::Range<std::uint64_t>(0, 12));

/// Shoalest, deepest and unsurveyed depths, and no block that is all of one kind left out.
TEST(Overlay, ARasterWithoutASurveyIsUnsurveyedEverywhere) {
    OverlayScene scene = random_overlay_scene(1, 30, 30);
    const Grid grid = utm_grid(30, 30, 5);
    scene.depths = memory_bathymetry(grid, std::vector<float>(900, std::numeric_limits<float>::quiet_NaN()),
                                     DepthUncertainty::none());
    OverlayJob job = scene.job();
    job.block = 16;
    Recorder said(job.window);
    run(job, said);
    EXPECT_TRUE(said.zones.empty());
    for (std::size_t i = 0; i < said.all.plane<Layer::verdict>().size(); ++i) {
        ASSERT_EQ(said.all.plane<Layer::verdict>().data()[i], 0);
        ASSERT_EQ(said.all.plane<Layer::reasons>().data()[i], reason::unsurveyed);
        ASSERT_EQ(said.all.plane<Layer::advice>().data()[i], 0);
        ASSERT_EQ(said.all.plane<Layer::hull_room>().data()[i], 0);
    }
}

TEST(Overlay, ARunOfOneCellSeesWhatLiesAround) {
    const OverlayScene scene = random_overlay_scene(2, 40, 40);
    OverlayJob job = scene.job();
    Recorder whole(job.window);
    run(job, whole);
    for (int i = 0; i < 40; i += 3) {
        job.window = {i, 39 - i, 1, 1};
        Recorder one(job.window);
        run(job, one);
        EXPECT_EQ(first_difference(whole.all, one.all, job.window, LayerSet::all()), "");
    }
}

/// Puts off the zones that are left after the last block.
struct PatientSink : Recorder {
    using Recorder::Recorder;
    void last_zones(const std::function<void()>& hand_over) override { left = hand_over; }
    std::function<void()> left;
};

TEST(Overlay, TheLastZonesComeWhenTheSinkAsksForThem) {
    const OverlayScene scene = random_overlay_scene(4, 100, 100);
    OverlayJob job = scene.job();
    Recorder at_once(job.window);
    run(job, at_once);
    for (const int block : {16, 1024}) {
        job.block = block;
        PatientSink patient(job.window);
        run(job, patient);
        ASSERT_TRUE(patient.left);
        EXPECT_LT(patient.zones.size(), at_once.zones.size());
        patient.left();
        expect_same_zones(at_once.zones, patient.zones);
    }
    job.wanted = {};
    job.wanted.add(Layer::verdict);
    PatientSink without(job.window);
    run(job, without);
    EXPECT_FALSE(without.left) << "nobody asks for zones";
}

TEST(Overlay, ProgressGrowsToTheWhole) {
    const OverlayScene scene = random_overlay_scene(3, 90, 90);
    for (const int threads : {1, 4}) {
        OverlayJob job = scene.job();
        job.block = 32;
        job.threads = threads;
        Recorder said(job.window);
        double last = 0;
        int calls = 0;
        run_overlay(job, said, [&](double done) {
            EXPECT_GT(done, last);
            EXPECT_LE(done, 1);
            last = done;
            ++calls;
        });
        EXPECT_EQ(last, 1);
        EXPECT_EQ(calls, 9);
    }
}

TEST(Overlay, CoarseCellsAreToldByTheLeastRadius) {
    const OverlayScene scene = random_overlay_scene(0, 10, 10);
    const double third_m = scene.tables->least_radius_m() / 3;
    EXPECT_FALSE(coarse_cells(GroundMetric::uniform(10, third_m, third_m), *scene.tables, {0, 0, 10, 10}));
    EXPECT_TRUE(
        coarse_cells(GroundMetric::uniform(10, third_m * 1.001, third_m / 2), *scene.tables, {0, 0, 10, 10}));
    EXPECT_TRUE(
        coarse_cells(GroundMetric::uniform(10, third_m / 2, third_m * 1.001), *scene.tables, {0, 0, 10, 10}));
    EXPECT_GT(reach_m(*scene.tables), scene.tables->greatest_radius_m());
}

// Failures: whoever throws, and with however many threads, the caller gets that very error after all threads
// have ended.

struct Mishap : std::runtime_error {
    using std::runtime_error::runtime_error;
};

struct FailingSink : Recorder {
    FailingSink(Window window, int blocks_before, int zones_before)
        : Recorder(window), blocks_left(blocks_before), zones_left(zones_before) {}
    void block(const BlockAnswers& answers) override {
        ++calls;
        if (blocks_left-- == 0) throw Mishap("block");
        Recorder::block(answers);
    }
    void zone(Zone&& zone) override {
        ++calls;
        if (zones_left-- == 0) throw Mishap("zone");
        Recorder::zone(std::move(zone));
    }
    std::atomic<int> blocks_left, zones_left, calls = 0;
};

struct FailingSource : DepthSource {
    FailingSource(const DepthSource& source, int reads_before) : source_(source), reads_left(reads_before) {}
    [[nodiscard]] const Grid& grid() const override { return source_.grid(); }
    void read(Window where, DepthPlanes& depths) const override {
        if (reads_left-- == 0) throw Mishap("read");
        source_.read(where, depths);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return source_.greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

private:
    const DepthSource& source_;
    mutable std::atomic<int> reads_left;
};

/// Hands out its first block only when no other has been asked for in a while.
struct SlowToStart : DepthSource {
    explicit SlowToStart(const DepthSource& source) : source_(source) {}
    [[nodiscard]] const Grid& grid() const override { return source_.grid(); }
    void read(Window where, DepthPlanes& depths) const override {
        if (reads++ == 0) {
            for (int seen = -1; seen != reads; std::this_thread::sleep_for(std::chrono::milliseconds(100))) {
                seen = reads;
            }
        }
        if (!first_done) ahead = reads.load();
        source_.read(where, depths);
        if (where.col <= 0 && where.row <= 0) first_done = true;
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return source_.greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

    mutable std::atomic<int> reads = 0, ahead = 0;
    mutable std::atomic<bool> first_done = false;

private:
    const DepthSource& source_;
};

std::string mishap_of(const OverlayJob& job, OverlaySink& sink, const std::function<void(double)>& progress) {
    try {
        run_overlay(job, sink, progress);
    } catch (const Mishap& mishap) {
        return mishap.what();
    }
    return "none";
}

class Failures : public testing::TestWithParam<int> {
protected:
    Failures() {
        job_.block = 16;
        job_.threads = GetParam();
    }
    const OverlayScene scene_ = random_overlay_scene(4, 100, 100);
    OverlayJob job_ = scene_.job();
    static constexpr int never = 1'000'000;
};

TEST_P(Failures, OfTheSinkComeOutAndNothingIsCalledAfterwards) {
    for (const int before : {0, 1, 20, 48}) {
        FailingSink sink(job_.window, before, never);
        EXPECT_EQ(mishap_of(job_, sink, {}), "block");
        const int calls = sink.calls;
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
        EXPECT_EQ(sink.calls, calls);
    }
    Recorder all(job_.window);
    run(job_, all);
    ASSERT_GT(all.zones.size(), 1u);
    for (const int before : {0, static_cast<int>(all.zones.size()) - 1}) {
        FailingSink sink(job_.window, never, before);
        EXPECT_EQ(mishap_of(job_, sink, {}), "zone");
    }
}

TEST_P(Failures, OfTheDepthsComeOut) {
    for (const int before : {0, 1, 30, 48}) {
        const FailingSource source(*scene_.depths, before);
        job_.depths = &source;
        Recorder sink(job_.window);
        EXPECT_EQ(mishap_of(job_, sink, {}), "read");
    }
}

TEST(Overlay, NobodyRunsFarAheadOfASlowBlock) {
    // Of the height that blocks of a run have, since more of lower ones go together.
    const OverlayScene scene = random_overlay_scene(4, 40, 20 * block_of_parts.rows);
    const SlowToStart source(*scene.depths);
    OverlayJob job = scene.job();
    job.depths = &source;
    job.block = {20, block_of_parts.rows}; // two blocks a band, forty in all
    job.threads = 3;
    Recorder sink(job.window);
    run_overlay(job, sink, {});
    EXPECT_EQ(source.reads, 40);
    EXPECT_LE(source.ahead, 2 * 3 + 3) << "three bands, and what each thread has in hand";
}

TEST_P(Failures, OfTheProgressComeOutAsWhenTheUserStopsARun) {
    for (const double at : {0.0, 0.5, 1.0}) {
        Recorder sink(job_.window);
        EXPECT_EQ(mishap_of(job_, sink,
                            [at](double done) {
                                if (done >= at) throw Mishap("stopped");
                            }),
                  "stopped");
    }
}

TEST_P(Failures, LeaveTheNextRunUntouched) {
    FailingSink broken(job_.window, 3, never);
    EXPECT_EQ(mishap_of(job_, broken, {}), "block");
    Recorder first(job_.window), second(job_.window);
    run(job_, first);
    run(job_, second);
    EXPECT_EQ(first_difference(first.all, second.all, job_.window, LayerSet::all()), "");
    expect_same_zones(first.zones, second.zones);
}

INSTANTIATE_TEST_SUITE_P(Threads, Failures, testing::Values(1, 2, 5));

} // namespace
} // namespace swingroom
