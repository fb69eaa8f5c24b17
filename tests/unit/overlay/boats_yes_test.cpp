// How many of several boats have a yes in a cell, against the verdicts that each boat gets in a run of its
// own.
#include "swingroom/overlay/overlay.hpp"

#include "support/fleet_scene.hpp"
#include "support/overlay_scene.hpp"
#include "support/way_scene.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

/// Some boats over a sea, with all that a run of them needs; some have looked for a way in.
struct Fleet {
    Fleet(std::uint64_t seed, int boats)
        : dice(seed + 100), scene(island_sea(seed, dice.whole(50, 110), dice.whole(40, 90))) {
        for (int i = 0; i < boats; ++i) {
            OverlayJob job = scene.job();
            const int which = boats == 30 ? i : dice.whole(0, 29);
            job.tables = tables_of_fleet()[static_cast<std::size_t>(which)].get();
            if (dice.chance(0.5)) job.wanted = LayerSet();
            if (dice.chance(0.2)) job.wanted.add(Layer::zones);
            looked.push_back(job);
            ways_in.push_back(way_from_the_middle(looked.back()));
            if (dice.chance(0.4)) job.way_in = &ways_in.back();
            jobs.push_back(job);
            sinks.emplace_back(job.window);
            of_boats.push_back({job.tables, job.wanted, &sinks.back(), job.tide, job.way_in});
        }
    }

    [[nodiscard]] Window window() const { return scene.depths->grid().extent(); }

    Dice dice;
    OverlayScene scene;
    std::deque<OverlayJob> looked, jobs;
    std::deque<WayIn> ways_in;
    std::deque<Recorder> sinks;
    std::vector<BoatJob> of_boats;
};

/// The verdicts of a boat that is alone.
Plane<std::uint8_t> verdicts_alone(OverlayJob job) {
    job.wanted.add(Layer::verdict);
    Recorder alone(job.window);
    run_overlay(job, alone, {});
    return alone.all.plane<Layer::verdict>();
}

Plane<std::uint8_t> counted_one_by_one(const Fleet& fleet) {
    Plane<std::uint8_t> counts(fleet.window());
    for (const OverlayJob& job : fleet.jobs) {
        const Plane<std::uint8_t> verdicts = verdicts_alone(job);
        for (std::size_t i = 0; i < counts.size(); ++i) {
            const int verdict = verdicts.data()[i];
            if (verdict >= 2 && verdict <= 7) ++counts.data()[i]; // as the manual has it
            if (verdict == 0) counts.data()[i] = 255;
        }
    }
    return counts;
}

TEST(BoatsYes, AreTheBoatsOwnVerdictsCounted) {
    std::set<int> seen; // what would not be tried if the scenes had become too simple
    constexpr std::array boats_of_seed = {1, 30, 2, 3, 5, 8, 13, 21, 4, 2};
    for (std::size_t seed = 0; seed < boats_of_seed.size(); ++seed) {
        const int boats = boats_of_seed.at(seed);
        SCOPED_TRACE("seed " + std::to_string(seed) + ", " + std::to_string(boats) + " boats");
        Fleet fleet(seed, boats);
        const Plane<std::uint8_t> wanted = counted_one_by_one(fleet);
        for (const int block : {17, 64, 1024}) {
            BoatsRecorder recorder(fleet.window());
            run_overlay(fleet.scene.job(), fleet.of_boats, block, fleet.dice.whole(1, 4), {}, &recorder);
            for (std::size_t i = 0; i < wanted.size(); ++i) {
                ASSERT_EQ(recorder.visits.data()[i], 1) << "each cell comes once";
                ASSERT_EQ(int{recorder.boats_yes.data()[i]}, int{wanted.data()[i]})
                    << "cell " << i << ", blocks of " << block;
            }
        }
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            seen.insert(wanted.data()[i]);
            if (wanted.data()[i] == boats) seen.insert(1000 + boats);
        }
    }
    EXPECT_TRUE(seen.contains(0));
    EXPECT_TRUE(seen.contains(255));
    EXPECT_TRUE(seen.contains(1002)) << "both of two boats";
    EXPECT_GT(seen.size(), 15U);
}

TEST(BoatsYes, AreUnsurveyedWhereThereIsNoDepthAndNoneOnLand) {
    Fleet fleet(3, 4);
    BoatsRecorder recorder(fleet.window());
    run_overlay(fleet.scene.job(), fleet.of_boats, 32, 2, {}, &recorder);
    DepthPlanes depths;
    depths.shoal_m = depths.deep_m = Plane<float>(fleet.window());
    fleet.scene.depths->read(fleet.window(), depths);
    int land = 0, unsurveyed = 0;
    for (std::size_t i = 0; i < recorder.boats_yes.size(); ++i) {
        const float shoal_m = depths.shoal_m.data()[i];
        const int count = recorder.boats_yes.data()[i];
        ASSERT_EQ(count == 255, std::isnan(shoal_m)) << "cell " << i;
        ASSERT_TRUE(!(shoal_m < -2) || count == 0) << "cell " << i;
        unsurveyed += count == 255 ? 1 : 0;
        land += shoal_m < -2 ? 1 : 0;
    }
    EXPECT_GT(land, 0);
    EXPECT_GT(unsurveyed, 0);
}

TEST(BoatsYes, ChangeNoAnswerOfABoat) {
    Fleet counted(5, 6), plain(5, 6);
    BoatsRecorder recorder(counted.window());
    run_overlay(counted.scene.job(), counted.of_boats, 32, 2, {}, &recorder);
    run_overlay(plain.scene.job(), plain.of_boats, 32, 2, {});
    for (std::size_t i = 0; i < counted.sinks.size(); ++i) {
        ASSERT_EQ(first_difference(counted.sinks[i].all, plain.sinks[i].all, counted.window(),
                                   counted.jobs[i].wanted),
                  "");
        ASSERT_EQ(counted.sinks[i].zones.size(), plain.sinks[i].zones.size());
    }
}

TEST(BoatsYes, OfMoreBoatsThanAByteHoldsAreRefused) {
    const Fleet fleet(2, 1);
    const std::vector<BoatJob> crowd(most_boats_counted + 1, fleet.of_boats.front());
    BoatsRecorder recorder(fleet.window());
    EXPECT_THROW(run_overlay(fleet.scene.job(), crowd, 64, 1, {}, &recorder), std::logic_error);
}

} // namespace
} // namespace swingroom
