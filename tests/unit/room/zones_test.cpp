#include "swingroom/room/zones.hpp"

#include "support/drawing.hpp"
#include "support/zone_drawing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <ostream>
#include <set>
#include <utility>

namespace swingroom {

static void PrintTo(const GridPoint& p, std::ostream* os) { *os << "(" << p.x << " " << p.y << ")"; }

namespace {

using namespace testing_support;
using Ring = std::vector<GridPoint>;

TEST(ZoneTracer, DrawsOneCell) {
    const auto zones = trace(draw("4"), 7);
    ASSERT_EQ(zones.size(), 1u);
    EXPECT_EQ(zones[0].verdict, Verdict::full);
    EXPECT_EQ(zones[0].cells, 1);
    EXPECT_EQ(zones[0].area_m2, 8);
    ASSERT_EQ(zones[0].rings.size(), 1u);
    EXPECT_EQ(zones[0].rings[0], (Ring{{0, 7}, {1, 7}, {1, 8}, {0, 8}, {0, 7}}));
}

TEST(ZoneTracer, LeavesOutVerticesInLine) {
    const auto zones = trace(draw(R"(
        33..
        33..
        3333)"));
    ASSERT_EQ(zones.size(), 1u);
    EXPECT_EQ(zones[0].cells, 8);
    EXPECT_EQ(zones[0].area_m2, 2 * 1 + 2 * 2 + 4 * 3);
    EXPECT_EQ(zones[0].rings, (std::vector<Ring>{{{0, 0}, {2, 0}, {2, 2}, {4, 2}, {4, 3}, {0, 3}, {0, 0}}}));
}

TEST(ZoneTracer, OuterRingFirstThenHolesByTheirFirstVertex) {
    const auto zones = trace(draw(R"(
        ..222....
        222222222
        2..2...22
        2222...2.
        22222222.)"));
    ASSERT_EQ(zones.size(), 1u);
    const auto& rings = zones[0].rings;
    ASSERT_EQ(rings.size(), 3u);
    EXPECT_EQ(rings[0].front(), (GridPoint{2, 0}));
    EXPECT_GT(ring_area(rings[0]), 0);
    EXPECT_EQ(rings[1], (Ring{{1, 2}, {1, 3}, {3, 3}, {3, 2}, {1, 2}}));
    EXPECT_EQ(rings[2].front(), (GridPoint{4, 2}));
    EXPECT_EQ(ring_area(rings[2]), -6);
}

TEST(ZoneTracer, CellsThatTouchInACornerAreTwoZones) {
    const auto zones = trace(draw(R"(
        2.
        .2)"));
    ASSERT_EQ(zones.size(), 2u);
    EXPECT_EQ(zones[0].cells, 1);
    EXPECT_EQ(zones[1].cells, 1);
}

TEST(ZoneTracer, ARingTurnsInACornerAndStaysWithItsCell) {
    // Connected around the left side; the corner (2, 1) is met twice.
    const auto zones = trace(draw(R"(
        22.
        2.2
        222)"));
    ASSERT_EQ(zones.size(), 1u);
    ASSERT_EQ(zones[0].rings.size(), 1u); // the middle is open to the outside through the corner
    EXPECT_EQ(zones[0].rings[0],
              (Ring{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {2, 2}, {2, 1}, {3, 1}, {3, 3}, {0, 3}, {0, 0}}));
}

TEST(ZoneTracer, TwoHolesThatTouchInACornerAreOneRing) {
    const auto zones = trace(draw(R"(
        2222
        2.22
        22.2
        2222)"));
    ASSERT_EQ(zones.size(), 1u);
    ASSERT_EQ(zones[0].rings.size(), 2u);
    EXPECT_EQ(ring_area(zones[0].rings[1]), -2);
}

TEST(ZoneTracer, VerdictsDoNotMix) {
    const auto zones = trace(draw(R"(
        2233
        2443
        2233)"));
    std::map<Verdict, std::int64_t> cells;
    for (const Zone& zone : zones) {
        cells[zone.verdict] += zone.cells;
    }
    EXPECT_EQ(zones.size(), 3u);
    EXPECT_THAT(cells, testing::ElementsAre(testing::Pair(Verdict::sinker, 5),
                                            testing::Pair(Verdict::short_scope, 5),
                                            testing::Pair(Verdict::full, 2)));
}

TEST(ZoneTracer, DeliversByLastRowThenByColumn) {
    const auto zones = trace(draw(R"(
        4.3.2.3
        4...2.3
        ....2..)"));
    ASSERT_EQ(zones.size(), 4u);
    EXPECT_EQ(zones[0].rings[0][0], (GridPoint{2, 0}));
    EXPECT_EQ(zones[1].rings[0][0], (GridPoint{0, 0}));
    EXPECT_EQ(zones[2].rings[0][0], (GridPoint{6, 0}));
    EXPECT_EQ(zones[3].rings[0][0], (GridPoint{4, 0}));
}

TEST(ZoneTracer, DeliversAZoneAsSoonAsARowLeavesItAlone) {
    int delivered = 0;
    ZoneTracer tracer(
        0, [](int) { return 1.0; }, [&](Zone&&) { ++delivered; });
    tracer.add_row(runs_of("22.3"));
    tracer.add_row(runs_of("22.."));
    EXPECT_EQ(delivered, 1);
    tracer.add_row(runs_of("33.."));
    EXPECT_EQ(delivered, 2);
    tracer.finish();
    EXPECT_EQ(delivered, 3);
}

TEST(ZoneTracer, JoinsTheArmsOfACombAndOfASpiral) {
    const auto comb = trace(draw(R"(
        2.2.2.2.2
        2.2.2.2.2
        222222222)"));
    ASSERT_EQ(comb.size(), 1u);
    EXPECT_EQ(area_of(comb[0].rings), 19);
    EXPECT_EQ(comb[0].rings[0].size(), 4u * 5 + 1);

    const auto spiral = trace(draw(R"(
        222222222
        ........2
        2222222.2
        2.....2.2
        2.222.2.2
        2.2...2.2
        2.22222.2
        2.......2
        222222222)"));
    ASSERT_EQ(spiral.size(), 1u);
    ASSERT_EQ(spiral[0].rings.size(), 1u);
    EXPECT_EQ(area_of(spiral[0].rings), static_cast<double>(spiral[0].cells));
}

TEST(ZoneTracer, NestsHolesAndIslands) {
    const auto zones = trace(draw(R"(
        3333333
        3.....3
        3.333.3
        3.3.3.3
        3.333.3
        3.....3
        3333333)"));
    ASSERT_EQ(zones.size(), 2u);
    EXPECT_EQ(zones[0].cells, 8); // the island closes first
    EXPECT_EQ(zones[0].rings.size(), 2u);
    EXPECT_EQ(zones[1].cells, 24);
    EXPECT_EQ(zones[1].rings.size(), 2u);
}

TEST(ZoneTracer, PutsTheFiguresOfAllRunsTogether) {
    auto run = [](int begin, int end, float depth_m, float spare_m, std::uint16_t bits) {
        ZoneFigures f;
        f.depth_low_min_m = f.depth_low_max_m = depth_m;
        f.rode_min_m = f.rode_max_m = 10 * depth_m;
        f.radius_min_m = f.radius_max_m = 7 * depth_m;
        f.depth_deep_max_m = depth_m + 1;
        f.wind_limit_min_kn = {40 - depth_m, 30 - depth_m, 20 - depth_m};
        f.seabeds = bit_of(bits > 1 ? Seabed::mud : Seabed::sand);
        f.ways = static_cast<std::uint8_t>(bits | bit_of(Way::short_scope));
        f.spare_max_m = spare_m;
        f.level_needed_max_m = 3 - depth_m;
        f.advice = bits;
        return swingroom::Run{begin, end, Verdict::full, f};
    };
    std::vector<Zone> zones;
    ZoneTracer tracer(
        5, [](int) { return 2.5; }, [&](Zone&& z) { zones.push_back(std::move(z)); });
    tracer.add_row(std::vector{run(0, 2, 4, 8, 1), run(6, 8, 3, 9, 4)});
    tracer.add_row(std::vector{run(0, 5, 6, 9, 0), run(5, 8, 5, 2, 0)});
    tracer.finish();
    ASSERT_EQ(zones.size(), 1u);
    const ZoneFigures& f = zones[0].figures;
    EXPECT_EQ(zones[0].cells, 12);
    EXPECT_EQ(zones[0].area_m2, 30);
    EXPECT_EQ(f.depth_low_min_m, 3);
    EXPECT_EQ(f.depth_low_max_m, 6);
    EXPECT_EQ(f.rode_min_m, 30);
    EXPECT_EQ(f.rode_max_m, 60);
    EXPECT_EQ(f.radius_max_m, 42);
    EXPECT_EQ(f.radius_min_m, 21);
    EXPECT_EQ(f.depth_deep_max_m, 7);
    EXPECT_EQ(f.wind_limit_min_kn, (std::array<float, 3>{34, 24, 14}));
    EXPECT_EQ(f.seabeds, bit_of(Seabed::mud) | bit_of(Seabed::sand));
    EXPECT_EQ(f.ways, bit_of(Way::short_scope)) << "what is a yes in every cell";
    EXPECT_EQ(f.advice, 5);
    EXPECT_EQ(f.spare_max_m, 9);
    EXPECT_EQ(f.level_needed_max_m, 0) << "that of the shoalest";
}

/// Cells of one verdict that share edges, by flood fill: the tracer's answer found another way.
std::vector<std::set<std::pair<int, int>>> flood(const Drawing& drawing) {
    auto left = drawing;
    std::vector<std::set<std::pair<int, int>>> areas;
    const int rows = static_cast<int>(left.size()), cols = static_cast<int>(left[0].size());
    auto at = [&](int r, int c) -> char& {
        return left[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)];
    };
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const char verdict = at(row, col);
            if (verdict == '.') continue;
            std::vector<std::pair<int, int>> todo{{row, col}};
            areas.emplace_back();
            at(row, col) = '.';
            while (!todo.empty()) {
                const auto [r, c] = todo.back();
                todo.pop_back();
                areas.back().insert({r, c});
                for (const auto& [dr, dc] : {std::pair(0, 1), {0, -1}, {1, 0}, {-1, 0}}) {
                    const int nr = r + dr, nc = c + dc;
                    if (nr < 0 || nc < 0 || nr >= rows || nc >= cols || at(nr, nc) != verdict) continue;
                    at(nr, nc) = '.';
                    todo.push_back({nr, nc});
                }
            }
        }
    }
    return areas;
}

std::set<std::pair<int, int>> cells_of(const Zone& zone, int cols, int rows) {
    std::set<std::pair<int, int>> cells;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            if (covers_cell(zone.rings, col, row)) cells.insert({row, col});
        }
    }
    return cells;
}

class ZoneScenes : public testing::TestWithParam<std::uint64_t> {};

TEST_P(ZoneScenes, AgreeWithFloodFill) {
    Dice dice(GetParam());
    const int cols = dice.whole(1, 26), rows = dice.whole(1, 26);
    const Drawing drawing = random_drawing(dice, cols, rows);
    SCOPED_TRACE(text_of(drawing));

    const auto zones = trace(drawing);
    std::multiset<std::set<std::pair<int, int>>> traced, flooded;
    for (const Zone& zone : zones) {
        traced.insert(cells_of(zone, cols, rows));
        ASSERT_GT(zone.rings.size(), 0u);
        EXPECT_EQ(area_of(zone.rings), static_cast<double>(zone.cells));
        double area_m2 = 0;
        for (const auto& [row, col] : cells_of(zone, cols, rows)) {
            area_m2 += 1.0 + row;
        }
        EXPECT_EQ(zone.area_m2, area_m2);
        for (std::size_t k = 0; k < zone.rings.size(); ++k) {
            const Ring& ring = zone.rings[k];
            EXPECT_EQ(ring.front(), ring.back());
            EXPECT_EQ(ring_area(ring) > 0, k == 0);
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                const GridPoint a = ring[i], b = ring[i + 1], c = ring[i + 2 < ring.size() ? i + 2 : 1];
                EXPECT_NE(a.x == b.x, a.y == b.y) << "an edge is neither level nor upright, or has no length";
                EXPECT_NE(a.x == b.x, b.x == c.x) << "three vertices in line";
            }
        }
    }
    for (auto& area : flood(drawing)) {
        flooded.insert(std::move(area));
    }
    EXPECT_EQ(traced, flooded);
}

TEST_P(ZoneScenes, DoNotDependOnHowRunsAreCut) {
    Dice dice(GetParam());
    const Drawing drawing = random_drawing(dice, 30, 20);
    SCOPED_TRACE(text_of(drawing));
    const auto whole = trace(drawing), cut = trace(drawing, 0, &dice);
    ASSERT_EQ(whole.size(), cut.size());
    for (std::size_t i = 0; i < whole.size(); ++i) {
        EXPECT_EQ(whole[i].rings, cut[i].rings);
        EXPECT_EQ(whole[i].cells, cut[i].cells);
        EXPECT_EQ(whole[i].area_m2, cut[i].area_m2);
    }
}

TEST_P(ZoneScenes, ShrinkByTheSameOnEverySide) {
    Dice dice(GetParam());
    const Drawing drawing = random_drawing(dice, 20, 20);
    SCOPED_TRACE(text_of(drawing));
    const double by_cols = 0.25, by_rows = 0.125;
    for (const Zone& zone : trace(drawing)) {
        const auto rings = shrunk(zone.rings, by_cols, by_rows);
        double less = 0; // strips along the edges, their overlaps in outward corners counted once
        for (std::size_t k = 0; k < rings.size(); ++k) {
            for (std::size_t i = 0; i + 1 < rings[k].size(); ++i) {
                const GridPoint a = zone.rings[k][i], b = zone.rings[k][i + 1];
                const GridPoint c = zone.rings[k][i + 2 < rings[k].size() ? i + 2 : 1];
                less += std::abs(b.x - a.x) * by_rows + std::abs(b.y - a.y) * by_cols;
                const double turn = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
                less += turn > 0 ? -by_cols * by_rows : by_cols * by_rows;
            }
        }
        EXPECT_DOUBLE_EQ(area_of(rings), static_cast<double>(zone.cells) - less);
        EXPECT_EQ(shrunk(zone.rings, 0, 0), zone.rings);
    }
}

INSTANTIATE_TEST_SUITE_P(Random, ZoneScenes, testing::Range<std::uint64_t>(0, 300));

TEST(Shrunk, TakesRingsThatMeetInACornerApart) {
    const auto zones = trace(draw(R"(
        22.
        2.2
        222)"));
    const auto rings = shrunk(zones[0].rings, 0.125, 0.25);
    EXPECT_EQ(rings[0], (Ring{{0.125, 0.25},
                              {1.875, 0.25},
                              {1.875, 0.75},
                              {0.875, 0.75},
                              {0.875, 2.25},
                              {2.125, 2.25},
                              {2.125, 1.25},
                              {2.875, 1.25},
                              {2.875, 2.75},
                              {0.125, 2.75},
                              {0.125, 0.25}}));
}

TEST(Shrunk, MakesAHoleWider) {
    const auto zones = trace(draw(R"(
        222
        2.2
        222)"));
    const auto rings = shrunk(zones[0].rings, 0.25, 0.25);
    EXPECT_EQ(ring_area(rings[0]), 6.25);
    EXPECT_EQ(ring_area(rings[1]), -2.25);
}

} // namespace
} // namespace swingroom
