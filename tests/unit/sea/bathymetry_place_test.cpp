#include "swingroom/sea/bathymetry.hpp"

#include "support/scratch.hpp"
#include "unit/sea/made_raster.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <array>
#include <cstddef>
#include <limits>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

using Folder = testing_support::Scratch;

using testing_support::complaint;
using testing_support::heights;
using testing_support::Made;
using testing_support::missing;
using testing_support::read_all;
using testing_support::write;

// --- where it lies -----------------------------------------------------------------------------------------

TEST(Bathymetry, BadGeotransformsAreRefused) {
    using T = std::array<double, 6>;
    struct Case {
        const char* why;
        T transform;
        const char* crs = "EPSG:32631";
    };
    for (const Case& bad : {Case{"rotated", T{600'000, 10, 1, 5'900'000, 1, -10}},
                            Case{"rotated", T{600'000, 10, 2, 5'900'000, 0, -10}},
                            Case{"rotated", T{600'000, 0, 10, 5'900'000, -10, 0}},
                            Case{"mirrored", T{600'000, -10, 0, 5'900'000, 0, -10}},
                            Case{"not finite", T{600'000, infinity, 0, 5'900'000, 0, -10}},
                            Case{"not finite", T{nan_value, 10, 0, 5'900'000, 0, -10}},
                            Case{"too small", T{1e15, 10, 0, 1e15, 0, -10}},
                            Case{"latitude 95", T{5, 0.1, 0, 95, 0, -0.1}, "EPSG:4326"},
                            Case{"latitude -90.1", T{5, 0.1, 0, -89.8, 0, -0.1}, "EPSG:4326"},
                            Case{"wider than 360", T{5, 91, 0, 50, 0, -0.1}, "EPSG:4326"}}) {
        Made made;
        made.transform = bad.transform;
        made.crs = bad.crs;
        EXPECT_THAT(complaint(made), HasSubstr(bad.why));
    }
    Made none;
    none.transform.reset();
    EXPECT_THAT(complaint(none), HasSubstr("no geotransform"));
}

TEST(Bathymetry, SouthUpRastersKeepTheirOrder) {
    Made made;
    made.transform = {600'000, 10, 0, 5'900'000, 0, 10};
    const Folder folder;
    write(made, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    EXPECT_EQ(source->grid().step_y, 10);
    EXPECT_EQ(read_all(*source).shoal_m.at(0, 0), 1);
}

TEST(Bathymetry, TheCrsComesFromTheFileOrIsSaid) {
    Made none;
    none.crs = "";
    EXPECT_THAT(complaint(none), HasSubstr("<CRS>"));
    EXPECT_EQ(complaint(none, [](auto& r) { r.crs = "EPSG:32631"; }), "accepted");
    EXPECT_THAT(complaint(none, [](auto& r) { r.crs = "EPSG:999999"; }), HasSubstr("no CRS that PROJ knows"));
    EXPECT_THAT(complaint(none, [](auto& r) { r.crs = "EPSG:4978"; }),
                HasSubstr("neither geographic nor projected"));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.crs = "EPSG:32632"; }), HasSubstr("contradicts"));
    EXPECT_EQ(complaint(Made{}, [](auto& r) { r.crs = "EPSG:32631"; }), "accepted");
}

TEST(Bathymetry, TheCrsIsKeptAsItsHorizontalPart) {
    Made made;
    made.crs = "EPSG:26919+5866";
    const Folder folder;
    write(made, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    OGRSpatialReference crs;
    ASSERT_EQ(crs.importFromWkt(source->grid().crs_wkt.c_str()), OGRERR_NONE);
    EXPECT_TRUE(crs.IsProjected());
    EXPECT_FALSE(crs.IsCompound());
    EXPECT_STREQ(crs.GetAuthorityCode(nullptr), "26919");
}

// --- windows, threads --------------------------------------------------------------------------------------

TEST(Bathymetry, WindowsMayReachOutsideTheRaster) {
    const Folder folder;
    write(Made{}, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    DepthPlanes depths;
    source->read({-2, -1, 8, 5}, depths);
    EXPECT_EQ(depths.shoal_m.window(), (Window{-2, -1, 8, 5}));
    for (int r = -1; r < 4; ++r) {
        for (int c = -2; c < 6; ++c) {
            if (!source->grid().extent().contains(c, r)) {
                EXPECT_TRUE(missing(depths.shoal_m.at(c, r)) && missing(depths.deep_m.at(c, r)));
            } else {
                EXPECT_EQ(depths.deep_m.at(c, r), 4 * r + c + 1);
            }
        }
    }
    source->read({100, 100, 3, 3}, depths);
    EXPECT_TRUE(missing(depths.shoal_m.at(101, 101)));
    source->read({2, 1, 2, 1}, depths);
    EXPECT_EQ(depths.shoal_m.at(3, 1), 8) << "planes are made anew for each window";
}

TEST(Bathymetry, SeveralThreadsReadTheSame) {
    Made made;
    made.cols = made.rows = 300;
    made.values.resize(90'000);
    for (std::size_t i = 0; i < made.values.size(); ++i) {
        made.values[i] = -static_cast<double>(i % 977) / 16;
    }
    made.options = {{"TILED", "YES"}, {"BLOCKXSIZE", "32"}, {"BLOCKYSIZE", "32"}, {"COMPRESS", "DEFLATE"}};
    const Folder folder;
    write(made, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    std::array<int, 4> wrong{};
    {
        std::vector<std::jthread> threads;
        for (std::size_t t = 0; t < wrong.size(); ++t) {
            threads.emplace_back([&, t] {
                DepthPlanes depths;
                for (const Window& core :
                     cut_into_blocks(source->grid().extent(), 40 + static_cast<int>(t))) {
                    const Window w = grown(core, 9);
                    source->read(w, depths);
                    for (int r = w.row; r < w.row_end(); ++r) {
                        for (int c = w.col; c < w.col_end(); ++c) {
                            const bool inside = source->grid().extent().contains(c, r);
                            const float want = static_cast<float>((r * 300 + c) % 977) / 16;
                            const float got = depths.shoal_m.at(c, r);
                            wrong[t] += inside ? got != want : !missing(got);
                        }
                    }
                }
            });
        }
    }
    EXPECT_THAT(wrong, testing::Each(0));
}

} // namespace
} // namespace swingroom
