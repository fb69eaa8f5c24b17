// Rooms against a general library that knows nothing of us: scipy's exact Euclidean distance transform
// (scipy.ndimage.distance_transform_edt), as Debian's python3-scipy brings it. By the design a room is the
// transform, centre to centre, of the unsafe set grown by one cell in all eight directions; the growing is
// scipy's, too.

#include "property/our_rooms.hpp"
#include "property/room_scene.hpp"
#include "support/drawing.hpp"
#include "support/scratch.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <ostream>
#include <stdexcept>
#include <string>
#include <unistd.h>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr const char* python = "/usr/bin/python3";

bool have_scipy() {
    return std::system((std::string(python) + " -c 'import scipy.ndimage' 2>/dev/null").c_str()) == 0;
}

/// The room of every cell by scipy; `unsafe` holds one byte a cell.
std::vector<double> rooms_by_scipy(const std::string& unsafe, int cols, int rows, double dx_m, double dy_m) {
    const testing_support::Scratch scratch;
    const std::string mask = scratch / "mask", result = scratch / "rooms";
    std::ofstream(mask, std::ios::binary) << unsafe;
    std::ofstream script(scratch / "rooms.py");
    script.precision(17);
    script << "import numpy, scipy.ndimage as ndimage\n"
           << "m = numpy.fromfile('" << mask << "', numpy.uint8).reshape(" << rows << ", " << cols
           << ") != 0\n"
           << "m = numpy.pad(m, 1, constant_values=True)\n" // beyond the raster nothing is surveyed
           << "m = ndimage.binary_dilation(m, numpy.ones((3, 3)))\n"
           << "d = ndimage.distance_transform_edt(~m, sampling=(" << dy_m << ", " << dx_m << "))\n"
           << "d[1:-1, 1:-1].astype(numpy.float64).tofile('" << result << "')\n";
    script.close();
    const std::string command = std::string(python) + " " + scratch / "rooms.py";
    if (std::system(command.c_str()) != 0) throw std::runtime_error("scipy failed: " + command);
    std::vector<double> room_m(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
    std::ifstream(result, std::ios::binary)
        .read(reinterpret_cast<char*>(room_m.data()),
              static_cast<std::streamsize>(room_m.size() * sizeof(double)));
    return room_m;
}

struct Case {
    const char* name;
    double dx_m, dy_m, density, reach_m;
    friend void PrintTo(const Case& c, std::ostream* out) { *out << c.name; }
};
class IndependentTransform : public testing::TestWithParam<Case> {};

TEST_P(IndependentTransform, GivesTheSameRooms) {
    if (!have_scipy()) GTEST_SKIP() << "scipy is not installed; on Debian: apt-get install python3-scipy";
    const auto [name, dx_m, dy_m, density, reach_m] = GetParam();
    constexpr int cols = 300, rows = 300;
    Dice dice(20);
    Scene scene;
    scene.exact_metric = true;
    scene.grid.cols = cols;
    scene.grid.rows = rows;
    scene.metric = GroundMetric::uniform(rows, dx_m, dy_m);
    scene.reach_m = reach_m;
    scene.depth_m.reset(scene.grid.extent(), 10);
    std::string unsafe;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            unsafe += static_cast<char>(dice.chance(density));
            if (unsafe.back()) scene.depth_m.at(col, row) = std::numeric_limits<float>::quiet_NaN();
        }
    }

    const std::vector<double> theirs_m = rooms_by_scipy(unsafe, cols, rows, dx_m, dy_m);
    const Plane<float> ours_m = our_rooms(scene, effect::hull, 128);
    double greatest_m = 0;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const double theirs = std::min(
                theirs_m[static_cast<std::size_t>(row) * cols + static_cast<std::size_t>(col)], reach_m);
            const double ours = static_cast<double>(ours_m.at(col, row));
            greatest_m = std::max(greatest_m, theirs);
            ASSERT_NEAR(ours, theirs, 1e-6 * theirs) << "column " << col << ", row " << row;
            ASSERT_LE(ours, theirs * (1 + 1e-12)) << "column " << col << ", row " << row;
        }
    }
    EXPECT_GT(greatest_m, 3 * dx_m) << "a mask without room would prove nothing";
}

INSTANTIATE_TEST_SUITE_P(
    Masks, IndependentTransform,
    testing::Values(Case{"square_sparse", 2, 2, 0.0005, 90}, Case{"square_dense", 5, 5, 0.02, 200},
                    Case{"square_far", 2, 2, 0.00005, 400}, Case{"odd_size", 3.7, 3.7, 0.001, 100},
                    Case{"unequal", 1.3, 4.1, 0.001, 120}, Case{"unequal_other_way", 6.2, 0.9, 0.002, 150}),
    [](const auto& test) { return test.param.name; });

} // namespace
} // namespace swingroom::testing_support
