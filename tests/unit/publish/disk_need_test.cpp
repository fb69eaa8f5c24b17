// What a run is reckoned to take of a disk against what it takes, looked at all the while.
#include "swingroom/base/block_cut.hpp"
#include "swingroom/publish/disk_need.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include "publish/raster/layer_specs.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <random>
#include <stop_token>
#include <sys/stat.h>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::ScratchFolder;

/// Bytes of the files without a name that this process has open on the disk of a folder.
std::int64_t unnamed_bytes(const fs::path& folder) {
    struct stat disk {};
    if (::stat(folder.c_str(), &disk) != 0) return 0;
    std::int64_t taken = 0;
    std::error_code error;
    for (fs::directory_iterator it("/proc/self/fd", error), end; !error && it != end; it.increment(error)) {
        struct stat about {};
        if (::stat(it->path().c_str(), &about) == 0 && S_ISREG(about.st_mode) && about.st_nlink == 0 &&
            about.st_dev == disk.st_dev) {
            taken += std::int64_t{about.st_blocks} * 512;
        }
    }
    return taken;
}

/// The most that a folder has taken of the disk while this lives.
class MostTaken {
public:
    explicit MostTaken(fs::path folder) : folder_(std::move(folder)) {}
    [[nodiscard]] double bytes() {
        look();
        return static_cast<double>(most_);
    }

private:
    void look() {
        std::int64_t taken = unnamed_bytes(folder_);
        std::error_code error;
        for (fs::directory_iterator it(folder_, error), end; !error && it != end; it.increment(error)) {
            struct stat about {};
            if (::stat(it->path().c_str(), &about) == 0) taken += std::int64_t{about.st_blocks} * 512;
        }
        most_ = std::max<std::int64_t>(most_, taken);
    }
    fs::path folder_;
    std::atomic<std::int64_t> most_{0};
    std::jthread looker_{[this](const std::stop_token& stop) {
        while (!stop.stop_requested()) {
            look();
        }
    }};
};

constexpr std::array layers = {Layer::verdict, Layer::reasons, Layer::advice, Layer::spare_full,
                               Layer::radius_short};

/// What the layers of a run hold: noise, or one value.
enum class Sea { noise, calm };

double taken_by(Window window, Sea sea) {
    const ScratchFolder scratch;
    const Grid grid{window.cols, window.rows, 5, 53, 1e-5, -1e-5, {}};
    MostTaken most{scratch.path()};
    std::vector<std::unique_ptr<RasterLayer>> files;
    for (const Layer layer : layers) {
        files.push_back(std::make_unique<RasterLayer>(scratch.path(), spec_of(layer, {}), grid, Provenance{},
                                                      2, GridCell{}, RasterStorage{Compression::deflate, 0}));
    }
    std::mt19937 random(7);
    const auto write = [&]<class T>(RasterLayer& file, Window block, T) {
        Plane<T> plane(block);
        for (std::size_t i = 0; i < plane.size(); ++i) {
            plane.data()[i] = sea == Sea::noise ? static_cast<T>(random()) : T{1};
        }
        file.write(plane);
    };
    const BlockCut blocks(window, 512);
    for (std::size_t i = 0; i < blocks.count(); ++i) {
        write(*files[0], blocks[i], std::uint8_t{});
        write(*files[1], blocks[i], std::uint32_t{});
        write(*files[2], blocks[i], std::uint16_t{});
        write(*files[3], blocks[i], float{});
        write(*files[4], blocks[i], float{});
    }
    for (auto& file : files) {
        file->finish();
    }
    return most.bytes();
}

TEST(DiskNeed, IsWhatARunTakesAtItsWorst) {
    LayerSet wanted;
    for (const Layer layer : layers) {
        wanted.add(layer);
    }
    for (const Window window : {Window{0, 0, 1600, 1300}, Window{0, 0, 90, 2100}}) {
        const DiskNeed need = disk_need(window, wanted, {});
        const double noise = taken_by(window, Sea::noise), calm = taken_by(window, Sea::calm);
        EXPECT_LE(noise, need.most_bytes) << window.cols;
        EXPECT_GE(noise, 0.6 * need.most_bytes) << "and not much more than that";
        EXPECT_GE(calm, need.least_bytes) << "a disk that has less cannot hold this";
        EXPECT_LE(calm, 0.05 * need.most_bytes) << "one value takes next to nothing";
    }
}

TEST(DiskNeed, GrowsWithLayersAndFormatsAndHoldsAnySize) {
    LayerSet verdict, both;
    verdict.add(Layer::verdict);
    both.add(Layer::verdict);
    both.add(Layer::zones);
    const Window window{0, 0, 10000, 10000};
    EXPECT_EQ(disk_need(window, both, {}).most_bytes, disk_need(window, verdict, {}).most_bytes);
    EXPECT_GT(disk_need(window, LayerSet::all(), {}).most_bytes, 60e8) << "68 bytes a cell";
    EXPECT_GT(disk_need(window, LayerSet::all(), {}).least_bytes, 6e6) << "a thousandth of that";
    Outputs zstd;
    zstd.compression = Compression::zstd;
    EXPECT_LT(disk_need(window, verdict, zstd).least_bytes, disk_need(window, verdict, {}).least_bytes);
    Outputs tiles;
    tiles.formats = LayerFormats::parse("verdict.mbtiles", {}, "--layers");
    EXPECT_GT(disk_need(window, verdict, tiles).most_bytes, disk_need(window, verdict, {}).most_bytes);
    EXPECT_EQ(disk_need({}, verdict, {}).least_bytes, 0);
    const DiskNeed huge = disk_need({0, 0, 2'000'000'000, 2'000'000'000}, LayerSet::all(), {});
    EXPECT_TRUE(std::isfinite(huge.most_bytes));
    EXPECT_GT(huge.most_bytes, 4e18 * 68);
}

TEST(FreeBytes, AreThoseOfTheDiskThatAFolderIsOn) {
    const ScratchFolder scratch;
    const auto free = free_bytes(scratch.path());
    ASSERT_TRUE(free);
    const double told = static_cast<double>(fs::space(scratch.path()).free);
    EXPECT_NEAR(*free, told, 0.1 * told + 1e9);
    EXPECT_FALSE(free_bytes(scratch.path() / "missing"));
}

} // namespace
} // namespace swingroom
