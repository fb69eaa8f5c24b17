#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard_field.hpp"

#include "room/capsules.hpp"
#include "support/burnt_seabeds.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <iostream>
#include <limits>
#include <numbers>
#include <random>

namespace swingroom {
namespace {

using testing_support::burnt_seabeds;

using Path = std::vector<GridPoint>;

Hazard hazard(double margin_m, std::vector<Path> paths, std::vector<Path> rings = {}) {
    Hazard h;
    h.effects = effect::hull;
    h.margin_m = margin_m;
    h.paths = std::move(paths);
    h.rings = std::move(rings);
    h.label = "test #1";
    return h;
}

Plane<Effects> burnt(const HazardField& field, Window window) {
    Plane<Effects> bits(window);
    field.burn(bits);
    return bits;
}

std::string drawing(const Plane<Effects>& bits) {
    std::string out;
    const Window w = bits.window();
    for (int r = w.row; r < w.row_end(); ++r) {
        for (int c = w.col; c < w.col_end(); ++c) {
            out += bits.at(c, r) ? '#' : '.';
        }
        out += '\n';
    }
    return out;
}

// The oracle: distance from a cell's square to a geometry by the plainest formulas, one cell size everywhere.

double point_to_segment_m(GridPoint p, GridPoint a, GridPoint b, CellSize s) {
    const double bx = (b.x - a.x) * s.dx_m, by = (b.y - a.y) * s.dy_m;
    const double px = (p.x - a.x) * s.dx_m, py = (p.y - a.y) * s.dy_m;
    const double l2 = bx * bx + by * by;
    const double t = l2 > 0 ? std::clamp((px * bx + py * by) / l2, 0.0, 1.0) : 0.0;
    return std::hypot(px - t * bx, py - t * by);
}

/// Whether a segment meets the closed square of a cell: clipped by the four sides in turn.
bool meets_cell(GridPoint a, GridPoint b, int c, int r) {
    double t0 = 0, t1 = 1;
    const auto clip = [&](double from, double step, double low, double high) {
        if (step == 0) return from >= low && from <= high;
        double u = (low - from) / step, v = (high - from) / step;
        if (u > v) std::swap(u, v);
        t0 = std::max(t0, u);
        t1 = std::min(t1, v);
        return t0 <= t1;
    };
    return clip(a.x, b.x - a.x, c, c + 1.0) && clip(a.y, b.y - a.y, r, r + 1.0);
}

double cell_to_segment_m(int c, int r, GridPoint a, GridPoint b, CellSize s) {
    if (meets_cell(a, b, c, r)) return 0;
    double least = std::numeric_limits<double>::infinity();
    for (const GridPoint corner : {GridPoint{c + 0.0, r + 0.0}, GridPoint{c + 1.0, r + 0.0},
                                   GridPoint{c + 0.0, r + 1.0}, GridPoint{c + 1.0, r + 1.0}}) {
        least = std::min(least, point_to_segment_m(corner, a, b, s));
    }
    for (const GridPoint end : {a, b}) {
        const double x = std::max({c - end.x, 0.0, end.x - (c + 1)}) * s.dx_m;
        const double y = std::max({r - end.y, 0.0, end.y - (r + 1)}) * s.dy_m;
        least = std::min(least, std::hypot(x, y));
    }
    return least;
}

bool inside(GridPoint p, const std::vector<Path>& rings) {
    bool in = false;
    for (const Path& ring : rings) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) in = !in;
        }
    }
    return in;
}

double cell_to_hazard_m(int c, int r, const Hazard& h, CellSize s) {
    if (inside({c + 0.5, r + 0.5}, h.rings)) return 0;
    double least = std::numeric_limits<double>::infinity();
    for (const auto* chains : {&h.paths, &h.rings}) {
        for (const Path& chain : *chains) {
            if (chain.size() == 1) least = std::min(least, cell_to_segment_m(c, r, chain[0], chain[0], s));
            for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
                least = std::min(least, cell_to_segment_m(c, r, chain[i], chain[i + 1], s));
            }
        }
    }
    return least;
}

struct Dice {
    std::mt19937_64 engine;
    double real(double from, double to) { return std::uniform_real_distribution<>(from, to)(engine); }
    int whole(int from, int to) { return std::uniform_int_distribution<>(from, to)(engine); }
};

/// A shape near or on a raster of the given size: a point, a broken line, or rings that may cross themselves;
/// now and then dense, on whole numbers (so that it touches cells at their very corners), far away or
/// repeating.
Hazard random_hazard(Dice& dice, Window w) {
    const bool snapped = dice.whole(0, 3) == 0;
    const auto vertex = [&](double spread) {
        GridPoint p{dice.real(-spread, w.cols + spread), dice.real(-spread, w.rows + spread)};
        return snapped ? GridPoint{std::round(p.x), std::round(p.y)} : p;
    };
    const double spread = dice.whole(0, 9) == 0 ? 1e5 : 10;
    const auto chain = [&]() {
        Path points;
        if (dice.whole(0, 2) == 0) { // a dense wriggle
            GridPoint at = vertex(2);
            const double step = dice.real(0.02, 0.4);
            double course = dice.real(0, 6.28);
            for (int i = dice.whole(2, 300); i > 0; --i) {
                points.push_back(at);
                course += dice.real(-0.5, 0.5);
                at = {at.x + step * std::cos(course), at.y + step * std::sin(course)};
            }
            return points;
        }
        for (int i = dice.whole(2, 8); i > 0; --i) {
            points.push_back(vertex(spread));
        }
        if (dice.whole(0, 4) == 0) points.push_back(points.back());
        return points;
    };
    Hazard h = hazard(0, {});
    switch (dice.whole(0, 2)) {
    case 0:
        h.paths.push_back({vertex(10)});
        break;
    case 1:
        h.paths.push_back(chain());
        break;
    default:
        for (int i = dice.whole(1, 2); i > 0; --i) {
            h.rings.push_back(chain());
            h.rings.back().push_back(h.rings.back().front());
        }
    }
    return h;
}

class HazardFieldOracle : public testing::TestWithParam<int> {};

TEST_P(HazardFieldOracle, MissesNoTouchedCellAndMarksNoneBeyondItsBound) {
    Dice dice{std::mt19937_64(static_cast<std::uint64_t>(GetParam()))};
    constexpr CellSize sizes[] = {{1, 1}, {2, 2}, {2, 3.7}, {10, 1}, {0.3, 4.1}, {1e-3, 1e-3}};
    long cells = 0, marked = 0, extra = 0;
    for (int round = 0; round < 250; ++round) {
        const Window extent{0, 0, dice.whole(1, 40), dice.whole(1, 40)};
        const CellSize size = sizes[dice.whole(0, 5)];
        Hazard h = random_hazard(dice, extent);
        h.margin_m = dice.whole(0, 2) == 0 ? 0 : std::round(dice.real(0, 8)) * std::min(size.dx_m, size.dy_m);
        if (dice.whole(0, 2) == 0) h.placement_allowance_m = dice.real(0, 1) * size.dx_m;
        const double reach_m = h.margin_m + h.placement_allowance_m;
        const HazardField field({h}, extent, GroundMetric::uniform(extent.rows, size.dx_m, size.dy_m));
        const double bound_m = burnt_excess_m(h, GroundMetric::uniform(extent.rows, size.dx_m, size.dy_m));
        EXPECT_LE(bound_m, 0.126 * std::min(size.dx_m, size.dy_m) + 0.02 * (size.dx_m + size.dy_m));
        const auto bits = burnt(field, extent);
        for (int r = 0; r < extent.rows; ++r) {
            for (int c = 0; c < extent.cols; ++c) {
                const double distance_m = cell_to_hazard_m(c, r, h, size);
                const bool mark = bits.at(c, r) != 0;
                ++cells;
                marked += mark;
                extra += mark && distance_m > reach_m;
                ASSERT_TRUE(mark || distance_m > reach_m)
                    << "missed, seed " << GetParam() << " round " << round << " cell " << c << ' ' << r;
                ASSERT_TRUE(!mark || distance_m <= reach_m + bound_m)
                    << "too far by " << distance_m - reach_m << ", seed " << GetParam() << " round " << round
                    << " cell " << c << ' ' << r << " bound " << bound_m;
            }
        }
    }
    RecordProperty("cells", std::to_string(cells));
    RecordProperty("marked", std::to_string(marked));
    RecordProperty("extra", std::to_string(extra));
}
INSTANTIATE_TEST_SUITE_P(Seeds, HazardFieldOracle, testing::Range(0, 16));

TEST(HazardField, SparseShapesAreExact) { // without merged chains nothing but the rounding guard is added
    Dice dice{std::mt19937_64(7)};
    const Window extent{0, 0, 60, 50};
    const CellSize size{2, 1.5};
    for (int round = 0; round < 200; ++round) {
        Hazard h = hazard(dice.real(0, 12), {});
        for (int i = 0; i < 5; ++i) {
            h.paths.push_back({{dice.real(0, 60), dice.real(0, 50)}, {dice.real(0, 60), dice.real(0, 50)}});
        }
        const auto bits =
            burnt(HazardField({h}, extent, GroundMetric::uniform(50, size.dx_m, size.dy_m)), extent);
        for (int r = 0; r < extent.rows; ++r) {
            for (int c = 0; c < extent.cols; ++c) {
                const double distance_m = cell_to_hazard_m(c, r, h, size);
                if (std::abs(distance_m - h.margin_m) < 1e-4) continue;
                ASSERT_EQ(bits.at(c, r) != 0, distance_m < h.margin_m) << round << ' ' << c << ' ' << r;
            }
        }
    }
}

TEST(HazardField, ARockAndItsMargin) { // cells of 10 m, the rock in the middle of one
    const HazardField field({hazard(6, {{{3.5, 2.5}}})}, {0, 0, 7, 5}, GroundMetric::uniform(5, 10, 10));
    EXPECT_EQ(drawing(burnt(field, {0, 0, 7, 5})), ".......\n"
                                                   "...#...\n"
                                                   "..###..\n"
                                                   "...#...\n"
                                                   ".......\n");
}

TEST(HazardField, AnEdgeOnACellBorderTouchesBothSides) {
    const Path square = {{2, 1}, {4, 1}, {4, 3}, {2, 3}, {2, 1}};
    const HazardField field({hazard(0, {}, {square})}, {0, 0, 6, 5}, GroundMetric::uniform(5, 10, 10));
    EXPECT_EQ(drawing(burnt(field, {0, 0, 6, 5})), ".####.\n"
                                                   ".####.\n"
                                                   ".####.\n"
                                                   ".####.\n"
                                                   "......\n");
}

TEST(HazardField, AHoleStaysFreeAndABowTieKeepsBothLobes) {
    const Path shell = {{0.5, 0.5}, {8.5, 0.5}, {8.5, 6.5}, {0.5, 6.5}, {0.5, 0.5}};
    const Path hole = {{2.5, 2.5}, {6.5, 2.5}, {6.5, 4.5}, {2.5, 4.5}, {2.5, 2.5}};
    const HazardField holed({hazard(0, {}, {shell, hole})}, {0, 0, 10, 8}, GroundMetric::uniform(8, 1, 1));
    EXPECT_EQ(drawing(burnt(holed, {0, 0, 10, 8})), "#########.\n"
                                                    "#########.\n"
                                                    "#########.\n"
                                                    "###...###.\n"
                                                    "#########.\n"
                                                    "#########.\n"
                                                    "#########.\n"
                                                    "..........\n");
    const Path bow_tie = {{0.5, 0.5}, {8.5, 4.5}, {8.5, 0.5}, {0.5, 4.5}, {0.5, 0.5}};
    const HazardField lobes({hazard(0, {}, {bow_tie})}, {0, 0, 10, 6}, GroundMetric::uniform(6, 1, 1));
    EXPECT_EQ(drawing(burnt(lobes, {0, 0, 10, 6})), "##.....##.\n"
                                                    "####.####.\n"
                                                    "#########.\n"
                                                    "####.####.\n"
                                                    "##.....##.\n"
                                                    "..........\n");
}

TEST(HazardField, MarksTheSameCellsWhateverTheWindow) {
    Dice dice{std::mt19937_64(11)};
    const Window extent{0, 0, 700, 900};
    std::vector<CellSize> rows;
    for (int r = 0; r < extent.rows; ++r) {
        rows.push_back({2 - 0.001 * r, 3 + 0.0005 * r});
    }
    std::vector<Hazard> hazards;
    for (int i = 0; i < 150; ++i) {
        hazards.push_back(random_hazard(dice, extent));
        hazards.back().margin_m = dice.real(0, 60);
        hazards.back().effects = static_cast<Effects>(1u << dice.whole(0, 3));
        if (dice.whole(0, 1)) hazards.back().seabed = static_cast<Seabed>(dice.whole(1, 8));
    }
    const HazardField field(hazards, extent, GroundMetric(rows));
    const auto whole = burnt(field, extent);
    const Plane<Seabed> ground = burnt_seabeds(field, extent, Seabed::unknown);
    for (int i = 0; i < 60; ++i) {
        const Window w{dice.whole(-50, 699), dice.whole(-50, 899), dice.whole(1, 300), dice.whole(1, 300)};
        const auto part = burnt(field, w);
        const Plane<Seabed> part_ground = burnt_seabeds(field, w, Seabed::unknown);
        for (int r = w.row; r < w.row_end(); ++r) {
            for (int c = w.col; c < w.col_end(); ++c) {
                const bool in = extent.contains(c, r);
                ASSERT_EQ(part.at(c, r), in ? whole.at(c, r) : 0) << c << ' ' << r;
                ASSERT_EQ(part_ground.at(c, r), in ? ground.at(c, r) : Seabed::unknown) << c << ' ' << r;
            }
        }
    }
}

// Against the cells that each hazard by itself is burnt into; beyond the raster, and where nobody was to ask.
TEST(HazardField, BurnsTheLeastOfTheDepthsIntoTheCellsThatItMarks) {
    constexpr float infinite = std::numeric_limits<float>::infinity();
    Dice dice{std::mt19937_64(23)};
    const Window extent{0, 0, 60, 50}, within{10, 5, 30, 40};
    const GroundMetric metric = GroundMetric::uniform(extent.rows, 2, 3);
    for (int scene = 0; scene < 20; ++scene) {
        std::vector<Hazard> hazards;
        std::vector<float> depths_m;
        for (int i = dice.whole(0, 6); i >= 0; --i) {
            hazards.push_back(random_hazard(dice, extent));
            hazards.back().effects = effect::hull;
            depths_m.push_back(i == 1 ? infinite : i == 2 ? -infinite : static_cast<float>(dice.real(-2, 9)));
        }
        const bool part = scene % 2 == 0;
        const HazardField field =
            part ? HazardField(hazards, extent, metric, within) : HazardField(hazards, extent, metric);
        const Window asked{-7, 2, 60, 55};
        Plane<float> depth_m(asked, 3);
        field.burn_least(depth_m, depths_m);
        for (int row = asked.row; row < asked.row_end(); ++row) {
            for (int col = asked.col; col < asked.col_end(); ++col) {
                float wanted = 3;
                if (part && extent.contains(col, row) && !within.contains(col, row)) {
                    wanted = -infinite;
                } else if (extent.contains(col, row)) {
                    for (const std::size_t i : field.touching({col, row, 1, 1})) {
                        wanted = std::min(wanted, depths_m[i]);
                    }
                }
                ASSERT_EQ(depth_m.at(col, row), wanted) << col << ' ' << row;
            }
        }
    }
}

TEST(HazardField, NoCellWithinTheMarginOnASphereIsMissedInDegrees) {
    // Degrees at 60 to 61 N on a sphere of 6371 km. A row's size is its least: the poleward edge's.
    const int cells = 240;
    const double step_deg = 1.0 / cells, radius_m = 6371000, rad = std::numbers::pi / 180;
    const auto at = [&](double x, double y) {
        return std::pair(x * step_deg * rad, (61 - y * step_deg) * rad);
    };
    std::vector<CellSize> rows;
    for (int r = 0; r < cells; ++r) {
        rows.push_back(
            {radius_m * step_deg * rad * std::cos((61 - r * step_deg) * rad), radius_m * step_deg * rad});
    }
    const auto haversine_m = [&](GridPoint p, GridPoint q) {
        const auto [lon1, lat1] = at(p.x, p.y);
        const auto [lon2, lat2] = at(q.x, q.y);
        const double s = std::sin((lat2 - lat1) / 2), t = std::sin((lon2 - lon1) / 2);
        return 2 * radius_m * std::asin(std::sqrt(s * s + std::cos(lat1) * std::cos(lat2) * t * t));
    };
    Dice dice{std::mt19937_64(5)};
    const Window extent{0, 0, cells, cells};
    for (int i = 0; i < 30; ++i) {
        const GridPoint rock{dice.real(0, cells), dice.real(60, cells - 60)};
        Hazard h = hazard(dice.real(500, 20000), {{rock}});
        const HazardField field({h}, extent, GroundMetric(rows));
        const auto bits = burnt(field, extent);
        const double bound_m = burnt_excess_m(h, GroundMetric(rows));
        // 20 km of latitude at 61 N change a degree of longitude by 0.57 %; the bound is for a band of rows.
        EXPECT_LT(bound_m, 1 + 0.06 * h.margin_m);
        for (int r = 0; r < cells; ++r) {
            for (int c = 0; c < cells; ++c) {
                const GridPoint near{std::clamp(rock.x, c + 0.0, c + 1.0),
                                     std::clamp(rock.y, r + 0.0, r + 1.0)};
                double least_m = std::numeric_limits<double>::infinity();
                for (const GridPoint p : {near, GridPoint{near.x, r + 0.0}, GridPoint{near.x, r + 1.0}}) {
                    least_m = std::min(least_m, haversine_m(p, rock));
                }
                ASSERT_TRUE(bits.at(c, r) || least_m > h.margin_m) << i << ": " << c << ' ' << r;
                ASSERT_TRUE(!bits.at(c, r) || least_m <= h.margin_m + bound_m) << i << ": " << c << ' ' << r;
            }
        }
    }
}

TEST(HazardField, BetterGroundCountsOnlyInCellsWhollyInsideIt) {
    Hazard sand = hazard(20, {}, {{{0.5, -1}, {3.5, -1}, {3.5, 2}, {0.5, 2}, {0.5, -1}}});
    sand.effects = 0;
    sand.seabed = Seabed::sand;
    const auto burnt_over = [](const Hazard& h, Seabed before) {
        const HazardField field({h}, {0, 0, 6, 1}, GroundMetric::uniform(1, 5, 5));
        const Plane<Seabed> plane = burnt_seabeds(field, {0, 0, 6, 1}, before);
        return std::vector<Seabed>(plane.data(), plane.data() + plane.size());
    };
    // A margin of four cells reaches everything and is no area that tells what the ground is.
    EXPECT_EQ(burnt_over(sand, Seabed::rock), std::vector(6, Seabed::rock));
    EXPECT_EQ(burnt_over(sand, Seabed::unknown), std::vector(6, Seabed::unknown));
    sand.margin_m = 0;
    EXPECT_EQ(burnt_over(sand, Seabed::unknown),
              (std::vector{Seabed::unknown, Seabed::sand, Seabed::sand, Seabed::unknown, Seabed::unknown,
                           Seabed::unknown}));
}

TEST(HazardField, WorstSeabedOfAllThatTouchAndTheOldOneElsewhere) {
    const auto ground = [](Seabed seabed, double from, double to) {
        Hazard h = hazard(0, {}, {{{from, -1}, {to, -1}, {to, 2}, {from, 2}, {from, -1}}});
        h.effects = 0;
        h.seabed = seabed;
        return h;
    };
    const HazardField field({ground(Seabed::rock, 0.5, 2.5), ground(Seabed::sand, 1.5, 3.5)}, {0, 0, 6, 1},
                            GroundMetric::uniform(1, 5, 5));
    Plane<Seabed> plane = burnt_seabeds(field, {0, 0, 6, 1}, Seabed::weed);
    const std::vector<Seabed> got(plane.data(), plane.data() + plane.size());
    // Half of the fourth cell is weed still: good ground does not spread over bad.
    EXPECT_EQ(got, (std::vector{Seabed::rock, Seabed::rock, Seabed::rock, Seabed::weed, Seabed::weed,
                                Seabed::weed}));
    // For an anchor that holds better in rock than in sand, sand is the worst.
    SeabedOrder order = seabeds_by_class;
    std::swap(order[static_cast<std::size_t>(Seabed::rock)], order[static_cast<std::size_t>(Seabed::sand)]);
    plane = burnt_seabeds(field, {0, 0, 6, 1}, Seabed::clay, order);
    EXPECT_EQ(
        (std::vector<Seabed>(plane.data(), plane.data() + plane.size())),
        (std::vector{Seabed::rock, Seabed::sand, Seabed::sand, Seabed::sand, Seabed::clay, Seabed::clay}));
    EXPECT_EQ(drawing(burnt(field, {0, 0, 6, 1})), "......\n");
    EXPECT_TRUE(field.names_seabed());
}

TEST(HazardField, OddInputs) {
    const auto metric = GroundMetric::uniform(1, 3, 3);
    const Window one{0, 0, 1, 1};
    EXPECT_EQ(burnt(HazardField({}, one, metric), one).at(0, 0), 0);
    EXPECT_EQ(burnt(HazardField({hazard(0, {{}, {{0.5, 0.5}}})}, one, metric), one).at(0, 0), 1);
    EXPECT_EQ(burnt(HazardField({hazard(0, {{{0.5, 0.5}, {0.5, 0.5}}})}, one, metric), one).at(0, 0), 1);
    EXPECT_EQ(burnt(HazardField({hazard(0, {}, {{{0.2, 0.5}}})}, one, metric), one).at(0, 0), 1);
    EXPECT_EQ(burnt(HazardField({hazard(1e9, {{{-1e6, 5e5}}})}, one, metric), one).at(0, 0), 1);
    EXPECT_EQ(burnt(HazardField({hazard(0, {{{-1e6, 0.5}, {1e6, 0.5}}})}, one, metric), one).at(0, 0), 1);
    EXPECT_EQ(burnt(HazardField({hazard(0, {{{0.5, -1e11}, {0.5, 1e11}}})}, one, metric), one).at(0, 0), 1);
    EXPECT_EQ(burnt(HazardField({hazard(0, {{{1.5, -1e6}, {1.5, 1e6}}})}, one, metric), one).at(0, 0), 0);
    // An open ring is closed, and one around everything covers all.
    EXPECT_EQ(burnt(HazardField({hazard(0, {}, {{{-9, -9}, {9, -9}, {9, 9}, {-9, 9}}})}, one, metric), one)
                  .at(0, 0),
              1);
    EXPECT_EQ(drawing(burnt(HazardField({hazard(1e12, {{{3, 3}}})}, one, metric), {-2, -2, 5, 5})),
              ".....\n.....\n..#..\n.....\n.....\n");
    EXPECT_EQ(burnt(HazardField({hazard(5, {{{3, 3}}})}, one, metric), Window{}).size(), 0u);
}

TEST(HazardField, RefusesWhatIsNoPlaceOrNoMargin) {
    const auto metric = GroundMetric::uniform(1, 3, 3);
    const double nan = std::numeric_limits<double>::quiet_NaN(),
                 inf = std::numeric_limits<double>::infinity();
    for (const double bad : {nan, inf, -inf, 1e308}) {
        EXPECT_THROW(HazardField({hazard(0, {{{bad, 0}}})}, {0, 0, 1, 1}, metric), InputError);
        EXPECT_THROW(HazardField({hazard(0, {}, {{{0, 0}, {0, bad}}})}, {0, 0, 1, 1}, metric), InputError);
    }
    for (const double bad : {nan, inf, -1.0}) {
        EXPECT_THROW(HazardField({hazard(bad, {{{0, 0}}})}, {0, 0, 1, 1}, metric), InputError);
    }
}

/// A ring whose teeth are 1 m, as buffered by a general geometry library in minutes and gigabytes.
Path toothed_ring(int vertices, double cell_m) {
    const double length_m = vertices * 0.5, radius_m = length_m / (2 * std::numbers::pi);
    Path ring;
    for (int i = 0; i < vertices; ++i) {
        const double turn = 2 * std::numbers::pi * i / vertices;
        const double r = (radius_m + (i % 2 ? 1.0 : 0.0)) / cell_m, centre = (radius_m + 200) / cell_m;
        ring.push_back({centre + r * std::cos(turn), centre + r * std::sin(turn)});
    }
    ring.push_back(ring.front());
    return ring;
}

TEST(HazardField, AToothedRingCostsNoMoreThanItsLength) {
    for (const int vertices : {10'000, 100'000, 1'000'000}) {
        for (const double margin_m : {50.0, 463.0}) {
            if (vertices > 10'000 && margin_m > 50) continue; // 2.5 s and 5.3 s when measured
            const auto begin = std::chrono::steady_clock::now();
            Path ring = toothed_ring(vertices, 2);
            const int side = std::min(32768, static_cast<int>(ring.front().x) + 400);
            const Window extent{0, 0, side, side};
            const HazardField field({hazard(margin_m, {}, {std::move(ring)})}, extent,
                                    GroundMetric::uniform(side, 2, 2));
            const auto prepared = std::chrono::steady_clock::now();
            std::size_t marked = 0;
            for (const Window w : cut_into_blocks(extent, 1024)) {
                const auto bits = burnt(field, w);
                marked += static_cast<std::size_t>(std::count(bits.data(), bits.data() + bits.size(), 1));
            }
            const auto end = std::chrono::steady_clock::now();
            const auto seconds = [](auto from, auto to) {
                return std::chrono::duration<double>(to - from).count();
            };
            std::cout << vertices << " vertices, " << margin_m << " m, " << side << "^2 cells: prepared in "
                      << seconds(begin, prepared) << " s, burnt in " << seconds(prepared, end) << " s, "
                      << marked << " cells\n";
            const double radius_m = vertices * 0.5 / (2 * std::numbers::pi);
            const double area_cells = std::numbers::pi * std::pow(radius_m + 1 + margin_m, 2) / 4;
            if (vertices == 100'000) { // the smaller is mostly margin, the larger reaches beyond the raster
                EXPECT_NEAR(static_cast<double>(marked) / area_cells, 1, 0.1);
            }
            EXPECT_LT(seconds(begin, end), 120);
        }
    }
}

TEST(HazardField, ManySmallHazardsOnATallRaster) {
    Dice dice{std::mt19937_64(3)};
    std::vector<Hazard> hazards;
    const Window extent{0, 0, 2048, 32768};
    for (int i = 0; i < 20'000; ++i) {
        hazards.push_back(hazard(20, {{{dice.real(0, 2048), dice.real(0, 32768)}}}));
    }
    hazards.push_back(hazard(463, {{{0, 0}, {2048, 32768}}}));
    const HazardField field(hazards, extent, GroundMetric::uniform(32768, 2, 2));
    for (int i = 0; i < 20; ++i) {
        const Window w{dice.whole(0, 1900), dice.whole(0, 32600), 100, 100};
        const auto bits = burnt(field, w);
        for (int r = w.row; r < w.row_end(); r += 7) {
            for (int c = w.col; c < w.col_end(); c += 7) {
                bool danger = false;
                for (const Hazard& h : hazards) {
                    if (h.paths[0].size() == 1 && std::abs(h.paths[0][0].y - r) > 20) continue;
                    danger = danger || cell_to_hazard_m(c, r, h, {2, 2}) <= h.margin_m;
                }
                ASSERT_EQ(bits.at(c, r) != 0, danger) << c << ' ' << r;
            }
        }
    }
}

} // namespace
} // namespace swingroom
