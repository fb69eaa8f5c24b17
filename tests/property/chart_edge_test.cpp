// The way in where charts end, by the words of its definition, against a run: every cell looks at all cells.
// Outside are cells that no chart covers and that have no depth, as far as they hang together with the grid's
// border; she comes in over the stretch of their edge that holds its deepest cell, beside charts and on the
// grid's border alone. Outside nothing counts but dangers and what is known of a part of a cell, where a cell
// of that stretch is the nearest of the edge. Lines are laid over what is unsafe in GEOS. From memory, no
// source: ours is the definition.

#include "swingroom/base/rounding.hpp"
#include "swingroom/overlay/access.hpp"
#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/room/distance.hpp"

#include "support/geos.hpp"
#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();
constexpr float nan = std::numeric_limits<float>::quiet_NaN();
constexpr std::array<GridCell, 4> beside = {{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
constexpr double cell_m = 10, required_m = 2;
constexpr WaterLevels water{1, 3};
constexpr std::uint64_t first_seed = 520'000; ///< apart from those of the other tests

/// SWINGROOM_SCENES=N tries more.
int scenes_asked() {
    const char* asked = std::getenv("SWINGROOM_SCENES");
    return asked != nullptr ? static_cast<int>(std::strtol(asked, nullptr, 10)) : 100;
}

/// Depths that are known in some cells of a part alone.
class PartlyKnown final : public DepthSource {
public:
    PartlyKnown(std::unique_ptr<DepthSource> whole, Plane<float> part_m)
        : whole_(std::move(whole)), part_m_(std::move(part_m)) {}
    [[nodiscard]] const Grid& grid() const override { return whole_->grid(); }
    void read(Window where, DepthPlanes& depths) const override { whole_->read(where, depths); }
    void read_with_parts(Window where, DepthPlanes& depths) const override {
        whole_->read(where, depths);
        depths.partial.reset(where, 0);
        const Window inside = common(where, part_m_.window());
        for (int row = inside.row; row < inside.row_end(); ++row) {
            for (int col = inside.col; col < inside.col_end(); ++col) {
                if (std::isnan(part_m_.at(col, row))) continue;
                depths.partial.at(col, row) = 1;
                depths.shoal_m.at(col, row) = depths.deep_m.at(col, row) = part_m_.at(col, row);
            }
        }
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return whole_->greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

private:
    std::unique_ptr<DepthSource> whole_;
    Plane<float> part_m_;
};

struct Sea {
    OverlayScene run;
    Plane<float> depth_m;
    Plane<float> part_m; ///< of cells without a depth, what is known of a part; else NaN
    double clear_way_m = 0;
};

/// What no chart covers: an arm, a bay or a corner, which may reach the border, cross it or lie within.
Hazard random_gap(int cols, int rows, Dice& dice) {
    Hazard gap = hazard(effect::uncharted, 0, {}, "no chart");
    gap.paths.clear();
    const double x = dice.between(-6, cols), y = dice.between(-6, rows), w = dice.between(2, 16),
                 h = dice.between(2, 16), in_x = dice.between(0.2, 0.8) * w,
                 in_y = dice.between(0.2, 0.8) * h;
    const int shape = dice.whole(0, 2);
    if (shape == 0) {
        gap.rings = {{{x, y}, {x + w, y + in_y}, {x + in_x, y + h}, {x, y}}};
    } else if (shape == 1) { // an angle
        gap.rings = {{{x, y},
                      {x + w, y},
                      {x + w, y + in_y},
                      {x + in_x, y + in_y},
                      {x + in_x, y + h},
                      {x, y + h},
                      {x, y}}};
    } else {
        gap.rings = {box(x, y, w, h)};
    }
    return gap;
}

Sea random_sea(std::uint64_t seed) {
    Dice dice(seed);
    const int cols = dice.whole(8, 36), rows = dice.whole(8, 36);
    const Grid grid = utm_grid(cols, rows, cell_m);
    Sea sea;
    sea.clear_way_m = dice.chance(0.5) ? dice.between(0.5, 9) : dice.between(9, 30);
    sea.run.metric = GroundMetric::uniform(rows, cell_m, cell_m);
    std::vector<Hazard> hazards;
    for (int i = dice.whole(1, 6); i > 0; --i) {
        hazards.push_back(random_gap(cols, rows, dice));
    }
    const HazardField gaps(hazards, grid.extent(), sea.run.metric);
    for (int i = dice.whole(0, 8); i > 0; --i) {
        Hazard rock =
            hazard(effect::hull, dice.chance(0.5) ? 0 : dice.between(0, 8),
                   {{dice.between(0, cols), dice.between(0, rows)}}, "rock", "rocks #" + std::to_string(i));
        if (dice.chance(0.7)) rock.least_depth_m = dice.between(-2, 4);
        hazards.push_back(std::move(rock));
    }
    const bool charts_alone = dice.chance(0.4);
    const double wave = dice.between(0.1, 0.6), roll_m = dice.between(0, 2),
                 known = dice.chance(0.5) ? 0 : dice.between(0, 0.4);
    sea.depth_m.reset(grid.extent(), 0);
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const bool uncharted = !gaps.touching({col, row, 1, 1}).empty();
            float& depth_m = sea.depth_m.at(col, row);
            depth_m = static_cast<float>(3 + roll_m * std::sin(wave * col + 1) * std::cos(wave * row) +
                                         0.01 * dice.between(0, 1));
            if (uncharted && (charts_alone || !dice.chance(known))) depth_m = nan;
            if (dice.chance(0.04)) depth_m = dice.chance(0.4) ? nan : static_cast<float>(-dice.between(0, 4));
        }
    }
    for (int i = dice.whole(0, 2); i > 0; --i) { // banks
        const bool across = dice.chance(0.5);
        const int at = dice.whole(0, (across ? rows : cols) - 1), gap = dice.whole(0, 30);
        for (int along = 0; along < (across ? cols : rows); ++along) {
            if (along >= gap && along < gap + 4) continue;
            float& depth_m = sea.depth_m.at(across ? along : at, across ? at : along);
            if (!std::isnan(depth_m)) depth_m = static_cast<float>(-dice.between(0, 3));
        }
    }
    sea.part_m.reset(grid.extent(), nan);
    for (std::size_t i = 0; i < sea.part_m.size(); ++i) {
        if (!std::isnan(sea.depth_m.data()[i]) || !dice.chance(0.1)) continue;
        sea.part_m.data()[i] = static_cast<float>(dice.between(-3, 4));
    }
    auto whole = memory_bathymetry(
        grid, std::vector<float>(sea.depth_m.data(), sea.depth_m.data() + sea.depth_m.size()),
        DepthUncertainty::none());
    sea.run.depths = std::make_unique<PartlyKnown>(std::move(whole), sea.part_m);
    sea.run.hazards = std::make_unique<HazardField>(std::move(hazards), grid.extent(), sea.run.metric);
    sea.run.tables =
        std::make_unique<TackleTables>(read_trial_boat(trial_boats().front()), Conditions{water, 8, 0}, 1.0);
    return sea;
}

/// All of it by looking at all of it.
class Slow {
public:
    explicit Slow(const Sea& sea)
        : all_(sea.depth_m.window()), clear_m_(narrow_up(sea.clear_way_m)), part_m_(sea.part_m),
          uncharted_(all_), dangers_m_(all_, infinite), own_m_(all_), outside_(all_), edge_(all_),
          needed_m(all_), level_m(all_, infinite) {
        look_at_cells(sea);
        find_outside(sea);
        find_edge();
        if (!any_outside || start.empty() || tied) return;
        const GroundMetric metric = sea.run.metric.within(double{clear_m_});
        each_cell([&](int col, int row) {
            float least_m = infinite;
            constexpr int far = 6;
            for (int r = row - far; r <= row + far; ++r) {
                for (int c = col - far; c <= col + far; ++c) {
                    if (room_beside_m(metric.at(row), std::abs(c - col), std::abs(r - row)) < clear_m_) {
                        least_m = std::min(least_m, floor_at(c, r));
                    }
                }
            }
            const double exact_m = required_m - double{least_m};
            needed_m.at(col, row) = outside_.at(col, row) != 0 ? infinite : narrow_up(exact_m);
        });
        hand_on();
    }

    [[nodiscard]] Window all() const { return all_; }
    /// As deep as it counts, anywhere.
    [[nodiscard]] float floor_at(int col, int row) const {
        const bool in_grid = all_.contains(col, row);
        if (in_grid && outside_.at(col, row) == 0) return own_m_.at(col, row);
        std::int64_t nearest = std::numeric_limits<std::int64_t>::max();
        bool opens = false;
        each_cell([&](int c, int r) {
            const std::uint8_t edge = edge_.at(c, r);
            if (edge == 0) return;
            const std::int64_t right = c - col, down = r - row, squared = right * right + down * down;
            if (squared > nearest) return;
            const bool this_one = edge == of_start_by_chart || (edge == of_start && !in_grid);
            opens = this_one && (squared < nearest || opens);
            nearest = squared;
        });
        if (!opens) return -infinite;
        if (!in_grid) return infinite;
        const float part_m = part_m_.at(col, row), danger_m = dangers_m_.at(col, row);
        return std::isnan(part_m) ? danger_m : std::min(part_m, danger_m);
    }
    [[nodiscard]] bool danger_outside(int col, int row) const {
        return outside_.at(col, row) != 0 && dangers_m_.at(col, row) < infinite;
    }
    [[nodiscard]] bool is_start(int col, int row) const {
        return std::any_of(start.begin(), start.end(),
                           [&](GridCell cell) { return cell.col == col && cell.row == row; });
    }

private:
    static constexpr std::uint8_t closed = 1, of_start = 2, of_start_by_chart = 3;

    template <class Take>
    void each_cell(const Take& take) const {
        for (int row = 0; row < all_.rows; ++row) {
            for (int col = 0; col < all_.cols; ++col) {
                take(col, row);
            }
        }
    }
    void look_at_cells(const Sea& sea) {
        const HazardField& hazards = *sea.run.hazards;
        each_cell([&](int col, int row) {
            for (const std::size_t i : hazards.touching({col, row, 1, 1})) {
                const Hazard& met = hazards.hazards()[i];
                if ((met.effects & effect::uncharted) != 0) uncharted_.at(col, row) = 1;
                if ((met.effects & effect::hull) == 0) continue;
                const float depth_m = met.least_depth_m ? narrow_down(*met.least_depth_m) : -infinite;
                dangers_m_.at(col, row) = std::min(dangers_m_.at(col, row), depth_m);
            }
            const float depth_m = sea.depth_m.at(col, row);
            own_m_.at(col, row) =
                std::min(std::isnan(depth_m) ? -infinite : depth_m, dangers_m_.at(col, row));
        });
    }
    /// Over and over until nothing changes.
    void find_outside(const Sea& sea) {
        for (bool changes = true; changes;) {
            changes = false;
            each_cell([&](int col, int row) {
                const bool unknown = uncharted_.at(col, row) != 0 && std::isnan(sea.depth_m.at(col, row));
                if (!unknown || outside_.at(col, row) != 0 || !touches_outside(col, row)) return;
                outside_.at(col, row) = 1;
                changes = any_outside = true;
            });
        }
    }
    [[nodiscard]] bool touches_outside(int col, int row) const {
        return std::any_of(beside.begin(), beside.end(), [&](GridCell step) {
            const int c = col + step.col, r = row + step.row;
            return !all_.contains(c, r) || outside_.at(c, r) != 0;
        });
    }
    [[nodiscard]] bool by_chart(int col, int row) const {
        const Window around = common({col - 1, row - 1, 3, 3}, all_);
        for (int r = around.row; r < around.row_end(); ++r) {
            for (int c = around.col; c < around.col_end(); ++c) {
                if (uncharted_.at(c, r) == 0) return true;
            }
        }
        return false;
    }
    void find_edge() {
        Plane<std::uint8_t> open(all_);
        each_cell([&](int col, int row) {
            if (outside_.at(col, row) != 0 || !touches_outside(col, row)) return;
            edge_.at(col, row) = closed;
            const bool outermost = col == 0 || row == 0 || col == all_.cols - 1 || row == all_.rows - 1;
            const bool enough = double{own_m_.at(col, row)} >= required_m - water.high_m;
            open.at(col, row) = enough && (outermost || by_chart(col, row)) ? 1 : 0;
        });
        std::pair<float, std::size_t> best(-infinite, 0);
        each_cell([&](int col, int row) {
            if (open.at(col, row) != 1) return;
            ++stretches;
            std::vector<GridCell> stretch{{col, row}};
            open.at(col, row) = 2;
            float deepest_m = -infinite;
            for (std::size_t i = 0; i < stretch.size(); ++i) {
                const GridCell at = stretch[i];
                deepest_m = std::max(deepest_m, own_m_.at(at.col, at.row));
                const Window around = common({at.col - 1, at.row - 1, 3, 3}, all_);
                for (int r = around.row; r < around.row_end(); ++r) {
                    for (int c = around.col; c < around.col_end(); ++c) {
                        if (open.at(c, r) != 1) continue;
                        open.at(c, r) = 2;
                        stretch.push_back({c, r});
                    }
                }
            }
            const std::pair found(deepest_m, stretch.size());
            tied = found == best || (tied && found < best);
            if (found > best) {
                best = found;
                start = stretch;
            }
        });
        for (const GridCell cell : start) {
            edge_.at(cell.col, cell.row) = by_chart(cell.col, cell.row) ? of_start_by_chart : of_start;
        }
    }
    void hand_on() {
        for (const GridCell cell : start) {
            level_m.at(cell.col, cell.row) = needed_m.at(cell.col, cell.row);
        }
        for (bool changes = true; changes;) {
            changes = false;
            each_cell([&](int col, int row) {
                for (const auto [right, down] : beside) {
                    if (!all_.contains(col + right, row + down)) continue;
                    const float by_m = std::max(needed_m.at(col, row), level_m.at(col + right, row + down));
                    if (!(by_m < level_m.at(col, row))) continue;
                    level_m.at(col, row) = by_m;
                    changes = true;
                }
            });
        }
    }

    Window all_;
    float clear_m_;
    Plane<float> part_m_;
    Plane<std::uint8_t> uncharted_;
    Plane<float> dangers_m_, own_m_;
    Plane<std::uint8_t> outside_, edge_;

public:
    bool any_outside = false, tied = false;
    int stretches = 0;
    std::vector<GridCell> start;
    Plane<float> needed_m, level_m;
};

struct Tally {
    int scenes = 0, no_start = 0, several = 0, lines = 0, dangers = 0;
    std::int64_t reached = 0, later = 0, never = 0;
};

void expect_levels(const AccessLevels& access, const Slow& slow) {
    AccessLevels::Workspace work;
    Plane<float> said_m;
    access.levels(slow.all(), work, said_m);
    for (int row = 0; row < slow.all().rows; ++row) {
        for (int col = 0; col < slow.all().cols; ++col) {
            ASSERT_EQ(said_m.at(col, row), slow.level_m.at(col, row)) << "column " << col << ", row " << row;
        }
    }
}

/// No point of it is nearer to what is unsafe than the clear way, nor than the room that it tells.
void expect_clear(const Sea& sea, const Slow& slow, const Georeference& georeference, const Approach& said) {
    const auto in_metres = [](std::vector<GridPoint> points) {
        for (GridPoint& point : points) {
            point.x *= cell_m;
            point.y *= cell_m;
        }
        return points;
    };
    const Geos geos;
    std::vector<Geometry> unsafe;
    constexpr int far = 11; // rooms are told up to 100 m
    for (int row = -far; row < slow.all().rows + far; ++row) {
        for (int col = -far; col < slow.all().cols + far; ++col) {
            if (double{slow.floor_at(col, row)} + said.level_m >= required_m) continue;
            unsafe.push_back(polygon(geos, {in_metres(box(col, row, 1, 1))}));
        }
    }
    if (unsafe.empty()) return;
    const Geometry danger = united(geos, std::move(unsafe));
    const Prepared from = prepared(geos, danger);
    for (const ApproachLeg& leg : said.legs) {
        std::vector<GridPoint> along;
        constexpr int parts = 8;
        for (int i = 0; i <= parts; ++i) {
            along.push_back(
                georeference.grid_point(destination(leg.from, leg.course_deg, leg.length_m * i / parts)));
        }
        constexpr double doubt_m = 1e-3;
        const double clear_m = distance(geos, from, line(geos, in_metres(along)));
        ASSERT_GE(clear_m, sea.clear_way_m - doubt_m) << "nearer than the clear way";
        ASSERT_GE(clear_m, said.clear_m - doubt_m) << "nearer than it is told";
    }
}

void expect_lines(const Sea& sea, const Slow& slow, OverlayJob job, Dice& dice, Tally& tally) {
    WayIn way_in{.needs = {sea.clear_way_m, required_m}, .job = &job, .access = {}, .places = {}};
    way_in.lowest_m = narrow_down(water.low_m);
    way_in.highest_m = narrow_down(water.high_m);
    way_in.access = AccessLevels::from_the_rim(job, way_in.needs);
    job.way_in = &way_in;
    std::vector<GridCell> places;
    for (int i = 0; i < 60 && places.size() < 3; ++i) {
        const GridCell cell{dice.whole(0, slow.all().cols - 1), dice.whole(0, slow.all().rows - 1)};
        if (slow.level_m.at(cell.col, cell.row) <= way_in.highest_m) places.push_back(cell);
    }
    if (places.empty()) return;
    const Georeference georeference(job.depths->grid(), "scene");
    const std::vector<WayToPlace> ways = ApproachFinder(job, georeference).find(places);
    ASSERT_EQ(ways.size(), places.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
        SCOPED_TRACE("to column " + std::to_string(places[i].col) + ", row " + std::to_string(places[i].row));
        ASSERT_TRUE(ways[i].approach);
        const Approach& said = *ways[i].approach;
        const float level_m = std::max(slow.level_m.at(places[i].col, places[i].row), way_in.lowest_m);
        ASSERT_EQ(said.level_m, double{level_m});
        if (said.legs.empty()) {
            ASSERT_TRUE(slow.is_start(places[i].col, places[i].row));
            continue;
        }
        const GridPoint from = georeference.grid_point(said.legs.front().from),
                        to = georeference.grid_point(said.legs.back().to);
        ASSERT_TRUE(slow.is_start(static_cast<int>(from.x), static_cast<int>(from.y)));
        ASSERT_EQ(static_cast<int>(to.x), places[i].col);
        ASSERT_EQ(static_cast<int>(to.y), places[i].row);
        expect_clear(sea, slow, georeference, said);
        ++tally.lines;
    }
}

TEST(ChartEdge, LevelsAndLinesAreThoseOfASearchOverAllCells) {
    Tally tally;
    const char* only = std::getenv("SWINGROOM_SEED");
    const int scenes = only != nullptr ? 1 : scenes_asked();
    const std::uint64_t first = only != nullptr ? std::strtoull(only, nullptr, 10) : first_seed;
    for (std::uint64_t seed = first; seed < first + static_cast<std::uint64_t>(scenes); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        const Sea sea = random_sea(seed);
        const Slow slow(sea);
        if (!slow.any_outside || slow.tied) continue; // then it is the raster's rim; or nobody says which
        ++tally.scenes;
        OverlayJob job = sea.run.job();
        Dice dice(seed + 1'000'000);
        const UnderWay needs{sea.clear_way_m, required_m};
        for (const int threads : {1, 2}) {
            job.block = threads == 1 ? 512 : dice.whole(2, 11);
            job.threads = threads;
            const auto access = AccessLevels::from_the_rim(job, needs);
            ASSERT_EQ(access.has_value(), !slow.start.empty());
            if (!access) continue;
            EXPECT_TRUE(access->where_charts_end());
            ASSERT_EQ(access->stretches().size(), static_cast<std::size_t>(slow.stretches));
            ASSERT_EQ(access->stretches().front().cells, static_cast<std::int64_t>(slow.start.size()));
            expect_levels(*access, slow);
            if (testing::Test::HasFatalFailure()) return;
        }
        if (slow.start.empty()) {
            ++tally.no_start;
            continue;
        }
        tally.several += slow.stretches > 1;
        for (int row = 0; row < slow.all().rows; ++row) {
            for (int col = 0; col < slow.all().cols; ++col) {
                const float level_m = slow.level_m.at(col, row);
                ++(level_m == infinite ? tally.never : level_m > water.low_m ? tally.later : tally.reached);
                tally.dangers += slow.danger_outside(col, row);
            }
        }
        expect_lines(sea, slow, job, dice, tally);
        if (testing::Test::HasFatalFailure()) return;
    }
    std::printf(
        "%d scenes, %d without a start, %d of several stretches, %d cells outside with a danger: %lld "
        "cells reached, %lld when the water has risen, %lld never; %d lines\n",
        tally.scenes, tally.no_start, tally.several, tally.dangers, static_cast<long long>(tally.reached),
        static_cast<long long>(tally.later), static_cast<long long>(tally.never), tally.lines);
    if (only != nullptr) return;
    EXPECT_GT(tally.several, scenes / 4);
    EXPECT_GT(tally.dangers, scenes / 4);
    EXPECT_GT(tally.reached, 10 * scenes);
    EXPECT_GT(tally.later, scenes);
    EXPECT_GT(tally.lines, scenes / 2);
}

} // namespace
} // namespace swingroom::testing_support
