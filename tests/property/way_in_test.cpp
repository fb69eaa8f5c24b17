// What a run tells of the way in, on random seas: that nothing is told as in reach that a search over all of
// the raster does not get to, and that all else is as without it. The search hands levels from cell to cell
// until nothing changes any more; it knows nothing of blocks.

#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <deque>
#include <limits>
#include <optional>
#include <ranges>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();
constexpr std::array<GridCell, 4> beside = {{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};

/// Banks across a random sea, with gaps over which there may be water enough at some level.
void draw_banks(OverlayScene& scene, const WaterLevels& levels, Dice& dice) {
    const Window all = scene.depths->grid().extent();
    DepthPlanes planes;
    scene.depths->read(all, planes);
    const double floor_m = scene.tables->boat().required_depth_m();
    std::vector<float> depth_m(planes.shoal_m.data(), planes.shoal_m.data() + planes.shoal_m.size());
    for (int bank = dice.whole(1, 3); bank > 0; --bank) {
        const bool across = dice.chance(0.5);
        const int length = across ? all.cols : all.rows,
                  at = dice.whole(5, (across ? all.rows : all.cols) - 5);
        const int gap = dice.whole(0, length - 8);
        const double level_m = dice.chance(0.7) ? dice.between(levels.low_m, levels.high_m)
                                                : dice.between(levels.low_m - 1, levels.high_m + 1);
        for (int i = 0; i < length; ++i) {
            for (int wide = 0; wide < 2; ++wide) {
                const int col = across ? i : at + wide, row = across ? at + wide : i;
                depth_m[static_cast<std::size_t>(row) * static_cast<std::size_t>(all.cols) +
                        static_cast<std::size_t>(col)] =
                    i >= gap && i < gap + 8 ? static_cast<float>(floor_m - level_m) : -9;
            }
        }
    }
    scene.depths = memory_bathymetry(scene.depths->grid(), std::move(depth_m), DepthUncertainty::none());
}

/// A yes, where there is one: from land she gets nowhere.
GridCell start_in(const Plane<std::uint8_t>& judged, Dice& dice) {
    std::vector<GridCell> yes;
    for (int row = 0; row < judged.window().rows; ++row) {
        for (int col = 0; col < judged.window().cols; ++col) {
            if (is_yes(static_cast<Verdict>(judged.at(col, row)))) yes.push_back({col, row});
        }
    }
    if (yes.empty()) return {dice.whole(5, 64), dice.whole(5, 54)};
    return yes[static_cast<std::size_t>(dice.whole(0, static_cast<int>(yes.size()) - 1))];
}

/// The least level at which a chain of cells leads from the start to each.
Plane<float> searched(const OverlayJob& job, const UnderWay& needs, GridCell start) {
    const Window all = job.depths->grid().extent();
    Plane<float> needed_m(all, infinite), reached_m(all, infinite);
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            needed_m.at(col, row) = AccessLevels::level_to_float(job, needs, {col, row});
        }
    }
    std::deque<GridCell> changed = {start};
    reached_m.at(start.col, start.row) = needed_m.at(start.col, start.row);
    while (!changed.empty()) {
        const GridCell from = changed.front();
        changed.pop_front();
        for (const GridCell by : beside) {
            const GridCell to{from.col + by.col, from.row + by.row};
            if (!all.contains(to.col, to.row)) continue;
            const float level_m = std::max(reached_m.at(from.col, from.row), needed_m.at(to.col, to.row));
            if (!(level_m < reached_m.at(to.col, to.row))) continue;
            reached_m.at(to.col, to.row) = level_m;
            changed.push_back(to);
        }
    }
    return reached_m;
}

/// By verdict, first cell in reading order: how many cells a connected piece has, all that she ever gets to
/// or none, and the level of the one that is reached last.
using Pieces = std::vector<std::tuple<Verdict, std::int64_t, float>>;

Pieces pieces_of(const Plane<std::uint8_t>& judged, const Plane<float>& reached_m, const WayIn& way_in) {
    const Window all = judged.window();
    const auto ever = [&](GridCell cell) { return reached_m.at(cell.col, cell.row) <= way_in.highest_m; };
    Plane<std::uint8_t> seen(all, 0);
    Pieces pieces;
    for (int row = 0; row < all.rows; ++row) {
        for (int col = 0; col < all.cols; ++col) {
            const auto verdict = static_cast<Verdict>(judged.at(col, row));
            if (!is_yes(verdict) || seen.at(col, row) != 0) continue;
            std::int64_t cells = 0;
            float last_m = way_in.lowest_m;
            std::vector<GridCell> open = {{col, row}};
            seen.at(col, row) = 1;
            while (!open.empty()) {
                const GridCell cell = open.back();
                open.pop_back();
                ++cells;
                last_m = std::max(last_m, reached_m.at(cell.col, cell.row));
                for (const GridCell by : beside) {
                    const GridCell to{cell.col + by.col, cell.row + by.row};
                    if (!all.contains(to.col, to.row) || seen.at(to.col, to.row) != 0) continue;
                    if (judged.at(to.col, to.row) != judged.at(col, row)) continue;
                    if (ever(to) != ever({col, row})) continue;
                    seen.at(to.col, to.row) = 1;
                    open.push_back(to);
                }
            }
            pieces.emplace_back(verdict, cells, last_m);
        }
    }
    std::ranges::sort(pieces);
    return pieces;
}

struct Counts {
    std::int64_t always = 0, at_times = 0, never = 0, noes = 0;
};

void check_scene(std::uint64_t seed, Counts& counts) {
    Dice dice(seed * 31 + 11);
    OverlayScene scene = random_overlay_scene(seed + 700, 70, 60);
    const WaterLevels levels = scene.tables->conditions().water;
    draw_banks(scene, levels, dice);
    OverlayJob job = scene.job();
    job.rode_by = dice.chance(0.3) ? RodeBy::sounder : RodeBy::survey;
    job.wanted = LayerSet::all();
    Recorder without(job.window);
    run_overlay(job, without, {});

    const OverlayJob looked = job;
    const double cell_m = job.metric->least().dx_m;
    const UnderWay needs{cell_m * dice.between(0.1, dice.chance(0.3) ? 12 : 1),
                         scene.tables->boat().required_depth_m()};
    const GridCell start = start_in(without.all.plane<Layer::verdict>(), dice);
    WayIn way_in{.needs = needs,
                 .job = &looked,
                 .access = AccessLevels::from_places(looked, needs, std::vector{start}),
                 .places = {start}};
    way_in.lowest_m = static_cast<float>(levels.low_m);
    way_in.highest_m = static_cast<float>(levels.high_m);
    const Plane<float> reached_m = searched(looked, needs, start);
    job.way_in = &way_in;
    if (dice.chance(0.5)) job.wanted.add(Layer::access_level); // then all cells are asked for
    job.block = std::array{13, 32, 64, 1024}.at(static_cast<std::size_t>(dice.whole(0, 3)));
    job.threads = dice.whole(1, 3);
    Recorder with(job.window);
    run_overlay(job, with, {});

    const Plane<std::uint8_t>& judged = without.all.plane<Layer::verdict>();
    for (int row = 0; row < 60; ++row) {
        for (int col = 0; col < 70; ++col) {
            const auto before = static_cast<Verdict>(judged.at(col, row)),
                       now = static_cast<Verdict>(with.all.plane<Layer::verdict>().at(col, row));
            const int added = with.all.plane<Layer::advice>().at(col, row) ^
                              without.all.plane<Layer::advice>().at(col, row);
            const float level_m = reached_m.at(col, row);
            if (!is_yes(before)) {
                ASSERT_EQ(now, before);
                ASSERT_EQ(added, 0);
                ++counts.noes;
            } else if (level_m <= way_in.lowest_m) {
                ASSERT_EQ(now, before);
                ASSERT_EQ(added, 0);
                ++counts.always;
            } else if (level_m <= way_in.highest_m) {
                ASSERT_EQ(now, before);
                ASSERT_EQ(added, advice::wait_for_water);
                ++counts.at_times;
            } else {
                ASSERT_EQ(now, Verdict::out_of_reach) << col << ", " << row;
                ASSERT_EQ(added, advice::out_of_reach);
                ++counts.never;
            }
        }
    }
    // All else is as it was.
    LayerSet others = LayerSet::all();
    each_layer(with.all, without.all, [&](Layer layer, const auto& a, const auto& b) {
        if (layer == Layer::verdict || layer == Layer::advice || layer == Layer::access_level) return;
        for (std::size_t i = 0; i < a.size() && others.has(layer); ++i) {
            const bool both_none = a.data()[i] != a.data()[i] && b.data()[i] != b.data()[i]; // NaN
            ASSERT_TRUE(both_none || a.data()[i] == b.data()[i]) << name(layer);
        }
    });

    // A zone that she gets to in a part of is two.
    ASSERT_GE(with.zones.size(), without.zones.size());
    for (const Zone& before : without.zones) {
        ASSERT_TRUE(std::isinf(before.figures.access_level_max_m));
    }
    Pieces traced;
    for (const Zone& zone : with.zones) {
        traced.emplace_back(zone.verdict, zone.cells, zone.figures.access_level_max_m);
        // The worst of its cells is what is told of all.
        ASSERT_EQ(told(zone.verdict, zone.figures.advice) == Verdict::out_of_reach,
                  way_in.reach(zone.figures.access_level_max_m) == Reach::never);
        constexpr std::uint16_t both = advice::out_of_reach | advice::wait_for_water;
        ASSERT_NE(zone.figures.advice & both, both);
    }
    std::ranges::sort(traced);
    ASSERT_EQ(traced, pieces_of(judged, reached_m, way_in));

    const Tally &now = with.all.tally, &then = without.all.tally;
    ASSERT_EQ(now.yes().cells + now.of(Verdict::out_of_reach).cells, then.yes().cells);
    ASSERT_EQ(now.of(WhyNot::out_of_reach).cells, now.of(Verdict::out_of_reach).cells);
    ASSERT_EQ(now.surveyed().area_m2, then.surveyed().area_m2);

    const Georeference georeference(job.depths->grid(), "scene");
    for (int trial = 0; trial < 12; ++trial) {
        const int col = dice.whole(0, 69), row = dice.whole(0, 59);
        const PositionReport cell = examine(job, georeference, col, row);
        ASSERT_EQ(cell.answer.advice, with.all.plane<Layer::advice>().at(col, row));
        ASSERT_EQ(cell.reach->access_level_m, reached_m.at(col, row));
    }
}

TEST(WayInOfRandomSeas, IsThatOfASearchOverAllCells) {
    Counts counts;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        check_scene(seed, counts);
        if (HasFatalFailure()) return;
    }
    std::printf("yes cells in reach always %lld, at times %lld, never %lld; noes %lld\n",
                static_cast<long long>(counts.always), static_cast<long long>(counts.at_times),
                static_cast<long long>(counts.never), static_cast<long long>(counts.noes));
    EXPECT_GT(counts.always, 500);
    EXPECT_GT(counts.at_times, 100);
    EXPECT_GT(counts.never, 500);
}

} // namespace
} // namespace swingroom::testing_support
