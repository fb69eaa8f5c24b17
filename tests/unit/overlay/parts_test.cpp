// A run that is shared out, against the one run that it stands for.

#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/overlay/parts.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "support/anchored_scene.hpp"
#include "support/made_tide.hpp"
#include "support/overlay_scene.hpp"
#include "support/pool_scene.hpp"
#include "support/same_answers.hpp"
#include "support/way_scene.hpp"

#include <gtest/gtest.h>

#include <cstdint>
#include <cstring>
#include <map>
#include <memory>
#include <mutex>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

/// All that a run says, with what a page is made of.
struct WholeRecorder final : Recorder {
    explicit WholeRecorder(Window window) : Recorder(window), map(window) {}
    void block(const BlockAnswers& answers) override {
        Recorder::block(answers);
        map.take(answers);
        const std::lock_guard lock(mutex);
        all.afloat += answers.afloat;
        for (const AnchoragePart& part : answers.anchorages) {
            anchorages[part.anchorage].add(part.tally);
        }
    }
    std::map<std::size_t, Tally> anchorages;
    MapPlanes map;
};

/// What parts have decided, in memory.
struct Store final : PartSink, KeptBlocks {
    void block(std::size_t number, const BlockAnswers& answers, const BlockRuns& runs) override {
        const std::lock_guard lock(mutex);
        EXPECT_TRUE(blocks.emplace(number, std::pair(answers, runs)).second)
            << "block " << number << " twice";
    }
    void runs(std::size_t number, BlockRuns& runs) const override { runs = blocks.at(number).second; }

    std::mutex mutex;
    std::map<std::size_t, std::pair<BlockAnswers, BlockRuns>> blocks;
};

/// Puts kept blocks and those decided anew together.
struct Merged final : MergeSink {
    Merged(Window window, const Store& from) : said(window), store(from) {}
    void block(const BlockAnswers& answers) override {
        said.block(answers);
        const std::lock_guard lock(said.mutex);
        ++decided_anew;
    }
    void zone(Zone&& zone) override { said.zone(std::move(zone)); }
    void kept_block(std::size_t number, const Plane<std::uint16_t>& more_advice) override {
        const BlockAnswers& answers = store.blocks.at(number).first;
        said.block(answers);
        const std::lock_guard lock(said.mutex);
        ++kept;
        if (more_advice.size() == 0) return;
        ++with_more_advice;
        ASSERT_EQ(more_advice.window(), answers.core);
        for (int row = answers.core.row; row < answers.core.row_end(); ++row) {
            for (int col = answers.core.col; col < answers.core.col_end(); ++col) {
                std::uint16_t& advice = said.all.plane<Layer::advice>().at(col, row);
                advice = static_cast<std::uint16_t>(advice | more_advice.at(col, row));
            }
        }
    }
    void access_levels(const Plane<float>& level_m) override {
        const Window core = level_m.window();
        const std::lock_guard lock(said.mutex);
        for (int row = core.row; row < core.row_end(); ++row) {
            std::memcpy(&said.all.plane<Layer::access_level>().at(core.col, row), level_m.row(row),
                        sizeof(float) * static_cast<std::size_t>(core.cols));
        }
    }

    WholeRecorder said;
    const Store& store;
    int kept = 0, decided_anew = 0, with_more_advice = 0;
};

void decide_parts(const OverlayJob& job, int parts, Store& store) {
    const std::size_t blocks = blocks_of_parts(job.window).count();
    for (int part = 1; part <= parts; ++part) {
        run_part(job, blocks_of_part(blocks, part, parts), store, {});
    }
}

void expect_same(WholeRecorder& whole, WholeRecorder& merged, const OverlayJob& job) {
    ASSERT_EQ(first_difference(whole.all, merged.all, job.window, job.wanted), "");
    for (std::size_t i = 0; i < merged.visits.size(); ++i) {
        ASSERT_EQ(merged.visits.data()[i], 1) << "each cell comes once";
    }
    expect_same_zones(whole.zones, merged.zones);
    expect_same_tally(whole.all.tally, merged.all.tally);
    ASSERT_EQ(whole.all.afloat, merged.all.afloat);
    ASSERT_EQ(whole.anchorages.size(), merged.anchorages.size());
    for (const auto& [number, tally] : whole.anchorages) {
        ASSERT_TRUE(merged.anchorages.contains(number));
        expect_same_tally(tally, merged.anchorages.at(number));
    }
    expect_same_plane(whole.map.classes(), merged.map.classes());
    expect_same_plane(whole.map.depth_low_m(), merged.map.depth_low_m());
}

/// How many blocks of a merge were kept, how many decided anew, and how many of the first have more advice.
struct Shares {
    int kept = 0, decided_anew = 0, with_more_advice = 0;
};

/// Holds the run in so many parts against the run. Parts know no way in.
Shares expect_parts_give_the_run(const OverlayJob& job, int parts) {
    WholeRecorder whole(job.window);
    run_overlay(job, whole, {});
    Store store;
    OverlayJob of_part = job;
    of_part.way_in = nullptr;
    decide_parts(of_part, parts, store);
    Merged merged(job.window, store);
    merge_blocks(job, store, merged, {});
    expect_same(whole, merged.said, job);
    return {merged.kept, merged.decided_anew, merged.with_more_advice};
}

LayerSet with(LayerSet wanted, Layer more) {
    wanted.add(more);
    return wanted;
}

TEST(Parts, ShareOutEveryBlockOnceAndEvenly) {
    for (const std::size_t blocks : {0U, 1U, 5U, 16U, 37U, 1000U}) {
        for (const int parts : {1, 2, 3, 16, 37}) {
            SCOPED_TRACE(std::to_string(blocks) + " blocks, " + std::to_string(parts) + " parts");
            std::size_t next = 0;
            for (int part = 1; part <= parts; ++part) {
                const BlockShare share = blocks_of_part(blocks, part, parts);
                ASSERT_EQ(share.first, next);
                ASSERT_GE(share.count(), blocks / static_cast<std::size_t>(parts));
                ASSERT_LE(share.count(), blocks / static_cast<std::size_t>(parts) + 1);
                next = share.end;
            }
            ASSERT_EQ(next, blocks);
        }
    }
}

TEST(Parts, HaveBlocksOfWholeTilesFromTheWindowsFirstCellOn) {
    const Window window{37, 5, 2100, 1300};
    const BlockCut blocks = blocks_of_parts(window);
    ASSERT_EQ(blocks.count(), 9U);
    EXPECT_EQ(blocks[0], (Window{37, 5, 1024, 512}));
    EXPECT_EQ(blocks[8], (Window{37 + 2048, 5 + 1024, 52, 276}));
}

class SharedOut : public testing::TestWithParam<std::uint64_t> {
protected:
    /// Several blocks, side by side or one below the other, and some anchorages.
    static OverlayScene scene_of(std::uint64_t seed) {
        OverlayScene scene =
            seed % 2 == 0 ? random_overlay_scene(seed, 50, 1100) : random_overlay_scene(seed, 2100, 30);
        add_anchorages(scene);
        return scene;
    }
};

TEST_P(SharedOut, GivesWhatOneRunGives) {
    const OverlayScene scene = scene_of(GetParam());
    OverlayJob job = scene.job();
    job.window = {3, 5, job.window.cols - 7, job.window.rows - 6};
    job.rode_by = GetParam() % 3 == 0 ? RodeBy::sounder : RodeBy::source;
    for (const auto& [parts, threads] : {std::pair(1, 1), std::pair(3, 2), std::pair(16, 3)}) {
        SCOPED_TRACE(std::to_string(parts) + " parts");
        job.threads = threads;
        const Shares shares = expect_parts_give_the_run(job, parts);
        EXPECT_EQ(shares.decided_anew, 0) << "nobody asked for a way in";
        if (HasFatalFailure()) return;
    }
}

TEST_P(SharedOut, KnowsTheWayInOnlyInTheEnd) {
    const OverlayScene scene = scene_of(GetParam());
    OverlayJob job = scene.job();
    const OverlayJob looked = job;
    WayIn way_in = way_from_the_middle(looked);
    job.way_in = &way_in;
    job.threads = 2;
    for (const LayerSet wanted :
         {with(LayerSet::all(), Layer::access_level), LayerSet::parse("verdict", "layers"),
          LayerSet::parse("advice", "layers"), LayerSet::parse("map", "layers"),
          LayerSet::parse("spare,zones", "layers"), LayerSet::parse("access_level", "layers")}) {
        job.wanted = wanted;
        expect_parts_give_the_run(job, 3);
        if (HasFatalFailure()) return;
    }
    way_in.access.reset();
    for (const LayerSet wanted :
         {with(LayerSet::all(), Layer::access_level), LayerSet::parse("verdict,zones", "layers")}) {
        job.wanted = wanted;
        const Shares shares = expect_parts_give_the_run(job, 2);
        EXPECT_EQ(shares.decided_anew, 0) << "it is one advice more";
        if (HasFatalFailure()) return;
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, SharedOut, testing::Range<std::uint64_t>(0, 8));

/// The pool in one block, the sea and the wall in others.
OverlayScene long_pool(float wall_m, const WaterLevels& levels) {
    constexpr int cols = 2100, rows = 20, wall = 1100;
    constexpr double cell_m = 10;
    std::vector<float> depth_m;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const bool pool = col > wall && col < cols - 1 && row > 0 && row < rows - 1;
            depth_m.push_back(col < wall || pool ? 6.0F : col == wall ? wall_m : -20.0F);
        }
    }
    OverlayScene scene = pool_behind(wall_m, levels);
    const Grid grid = utm_grid(cols, rows, cell_m);
    scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
    scene.metric = GroundMetric::uniform(rows, cell_m, cell_m);
    scene.hazards = std::make_unique<HazardField>(std::vector<Hazard>(), grid.extent(), scene.metric);
    return scene;
}

TEST(Parts, AreDecidedAnewOnlyWhereAYesIsOutOfReach) {
    const StayTide tide = sine_stay(1.5, 1, 0, 1500);
    const double required_m = read_trial_boat(trial_boats().front()).required_depth_m();
    struct Wall {
        float wall_m;
        int decided_anew, with_more_advice; ///< of the two blocks with cells of the pool
    };
    const std::vector<Wall> walls = {{6.0F, 0, 0},                                 // no wall
                                     {static_cast<float>(required_m - 1.5), 0, 2}, // in reach at times
                                     {-20.0F, 2, 0}};                              // never
    for (const auto& [wall_m, decided_anew, with_more_advice] : walls) {
        SCOPED_TRACE(wall_m);
        const OverlayScene scene = long_pool(wall_m, tide.stay.levels());
        const OverlayJob all = scene.job();
        WayIn way_in{.needs = {1, required_m},
                     .job = &all,
                     .access = AccessLevels::from_places(all, {1, required_m}, std::vector{GridCell{10, 10}}),
                     .places = {}};
        way_in.lowest_m = static_cast<float>(tide.stay.levels().low_m);
        way_in.highest_m = static_cast<float>(tide.stay.levels().high_m);
        OverlayJob job = all;
        job.tide = &tide;
        job.way_in = &way_in;
        job.wanted = with(LayerSet::all(), Layer::access_level);
        const Shares shares = expect_parts_give_the_run(job, 2);
        EXPECT_EQ(shares.decided_anew, decided_anew);
        EXPECT_EQ(shares.with_more_advice, with_more_advice);
        EXPECT_EQ(shares.kept, 3 - decided_anew);
        if (HasFatalFailure()) return;
    }
}

TEST(Parts, ThatFailEndTheMergeAndLeaveNobodyWaiting) {
    const OverlayScene scene = random_overlay_scene(4, 40, 3000);
    OverlayJob job = scene.job();
    job.threads = 3;
    struct Broken final : KeptBlocks {
        void runs(std::size_t number, BlockRuns& runs) const override {
            if (number == 0) throw std::runtime_error("broken");
            runs.assign(512, {});
        }
    };
    struct Nowhere final : MergeSink {
        void block(const BlockAnswers&) override {}
        void zone(Zone&&) override {}
        void kept_block(std::size_t, const Plane<std::uint16_t>&) override {}
        void access_levels(const Plane<float>&) override {}
    } sink;
    EXPECT_THROW(merge_blocks(job, Broken(), sink, {}), std::runtime_error);
}

TEST(Parts, TellHowFarTheyAre) {
    const OverlayScene scene = random_overlay_scene(3, 40, 1500);
    const OverlayJob job = scene.job();
    Store store;
    std::vector<double> told;
    run_part(job, {1, 3}, store, [&](double done) { told.push_back(done); });
    EXPECT_EQ(told, (std::vector<double>{0.5, 1}));
    EXPECT_EQ(store.blocks.size(), 2U);
    EXPECT_FALSE(store.blocks.contains(0));
}

} // namespace
} // namespace swingroom
