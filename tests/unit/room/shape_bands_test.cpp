// Against one field of the whole raster.

#include "room/shape_bands.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <random>
#include <set>
#include <thread>
#include <tuple>
#include <vector>

namespace swingroom {
namespace {

using Cell = std::tuple<std::size_t, int, int>; // shape, column, row

template <class Field>
std::set<Cell> touched(const Field& field, Window window) {
    std::set<Cell> cells;
    field.each_touched(
        window, [](std::size_t) { return true; },
        [&](std::size_t shape, ShapePart, int row, int first, int last) {
            for (int col = first; col <= last; ++col) {
                cells.emplace(shape, col, row);
            }
        });
    return cells;
}

/// A raster of more bands than are kept, with rows of different sizes.
struct Scene {
    Window extent{0, 0, 12, 11'000};
    GroundMetric metric;
    std::vector<Shape> shapes;

    explicit Scene(unsigned seed) {
        std::mt19937_64 dice(seed);
        const auto real = [&](double from, double to) {
            return std::uniform_real_distribution<double>(from, to)(dice);
        };
        std::vector<CellSize> sizes;
        for (int row = 0; row < extent.rows; ++row) {
            sizes.push_back({real(2, 4), real(2, 4)});
        }
        metric = GroundMetric(std::move(sizes));
        const auto point = [&] { return GridPoint{real(-5, 17), real(-100, 11'100)}; };
        for (int i = 0; i < 12; ++i) {
            const double margin_m = real(0, 60);
            const GridPoint at = point(), near{at.x + 3, at.y + 90};
            shapes.push_back({margin_m, 0, {{at}}, {}});
            shapes.push_back({margin_m, 0, {{at, point(), point()}}, {}});
            shapes.push_back({margin_m, 0, {}, {{at, near, {at.x, near.y}, at}}});
        }
        shapes.push_back({5, 0, {}, {{point(), point(), point(), point()}}});
    }

    [[nodiscard]] ShapeBands bands(const SizeBounds& sizes, Window within) const {
        return {extent, within,
                [this, &sizes](Window band) { return ShapeField(shapes, extent, sizes, band); }};
    }
};

TEST(ShapeBands, TouchWhatOneFieldTouches) {
    for (unsigned seed = 1; seed <= 2; ++seed) {
        const Scene scene(seed);
        const SizeBounds sizes(scene.metric);
        const Window within = seed % 2 == 0 ? scene.extent : Window{3, 1500, 8, 7000};
        const ShapeBands bands = scene.bands(sizes, within);
        const ShapeField field(scene.shapes, scene.extent, scene.metric, within);
        EXPECT_EQ(touched(bands, scene.extent), touched(field, scene.extent));
        std::mt19937_64 dice(seed);
        for (int i = 0; i < 40; ++i) { // so that bands go and come again
            const Window window{static_cast<int>(dice() % 15) - 5, static_cast<int>(dice() % 11'200) - 100,
                                static_cast<int>(dice() % 20), static_cast<int>(dice() % 300)};
            ASSERT_EQ(touched(bands, window), touched(field, window)) << window.row;
        }
        EXPECT_TRUE(touched(bands, {}).empty());
    }
}

TEST(ShapeBands, AnswerSeveralThreadsAtOnce) {
    const Scene scene(9);
    const SizeBounds sizes(scene.metric);
    const ShapeBands bands = scene.bands(sizes, scene.extent);
    const ShapeField field(scene.shapes, scene.extent, scene.metric, scene.extent);
    const auto agrees = [&](int first_row) {
        for (int row = first_row; row < scene.extent.rows; row += 700) {
            const Window window{0, row, 12, 60};
            EXPECT_EQ(touched(bands, window), touched(field, window)) << row;
        }
    };
    std::vector<std::thread> threads;
    for (const int first_row : {0, 1900, 7000, 300}) {
        threads.emplace_back(agrees, first_row);
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
}

// Blocks of 512 x 512 cells come by two rows of them, column by column, and the first of the next two rows
// before the last of these: no band is prepared twice.
TEST(ShapeBands, ArePreparedOnceForARun) {
    for (const int rows : {8192, 40'000}) {
        constexpr int block = 512, halo = 120;
        const Window extent{0, 0, 4 * block, rows};
        const GroundMetric metric(std::vector<CellSize>(static_cast<std::size_t>(rows), {2, 2}));
        const SizeBounds sizes(metric);
        std::vector<Window> prepared;
        const ShapeBands bands(extent, extent, [&](Window band) {
            prepared.push_back(band);
            return ShapeField(std::vector<Shape>{}, extent, sizes, band);
        });
        std::vector<Window> blocks;
        for (int row = 0; row < rows; row += 2 * block) {
            for (int col = 0; col < extent.cols; col += block) {
                for (const int of_two : {0, 1}) {
                    blocks.push_back(
                        {col - halo, row + of_two * block - halo, block + 2 * halo, block + 2 * halo});
                }
            }
        }
        for (std::size_t i = 2; i < blocks.size(); ++i) {
            touched(bands, blocks[i]);
            touched(bands, blocks[i - 2]);
        }
        int in_bands = 0;
        for (const Window& band : prepared) {
            in_bands += band.rows;
        }
        EXPECT_EQ(in_bands, rows) << prepared.size() << " bands";
    }
}

// Against the metric's own least, of all ranges that begin and end near the borders of its stretches.
TEST(SizeBounds, AreTheLeastOfAnyRows) {
    std::mt19937_64 dice(3);
    for (const int rows : {1, 15, 16, 17, 100, 333}) {
        std::vector<CellSize> given;
        for (int row = 0; row < rows; ++row) {
            given.push_back(
                {1.0 + static_cast<double>(dice() % 1000), 1.0 + static_cast<double>(dice() % 1000)});
        }
        const GroundMetric metric(std::move(given));
        const SizeBounds sizes(metric);
        EXPECT_EQ(sizes.greatest().dx_m, metric.greatest(0, rows - 1).dx_m);
        EXPECT_EQ(sizes.least().dy_m, metric.least().dy_m);
        for (int first = -2; first < rows + 2; ++first) {
            for (int last = first; last < rows + 3; ++last) {
                const CellSize least = sizes.least(first, last), wanted = metric.least(first, last);
                ASSERT_EQ(least.dx_m, wanted.dx_m) << first << ' ' << last;
                ASSERT_EQ(least.dy_m, wanted.dy_m) << first << ' ' << last;
            }
        }
    }
}

} // namespace
} // namespace swingroom
