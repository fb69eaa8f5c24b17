// The bytes of the rasters: taken apart by a strict reader (strict_cog.hpp names its specifications), read by
// GDAL cell by cell, and by libtiff's own tools.
#include "swingroom/publish/raster_layer.hpp"

#include "base/spool.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/raster/cog_file.hpp"
#include "publish/raster/cog_pyramid.hpp"
#include "publish/raster/layer_coding.hpp"
#include "publish/raster/layer_model.hpp"
#include "publish/raster/worst_of.hpp"
#include "unit/publish/scratch_folder.hpp"
#include "unit/publish/strict_cog.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogr_srs_api.h>

#include <algorithm>
#include <atomic>
#include <bit>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <limits>
#include <memory>
#include <random>
#include <string>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::bytes_of;
using testing::ScratchFolder;
using Room = guarded::PlacedFile::Room;

/// A sea with a coast: noise here, one value there, so that tiles of both kinds stand side by side.
template <class T>
T cell(int col, int row) {
    const auto mixed = (static_cast<unsigned>(col) * 2654435761U) ^ (static_cast<unsigned>(row) * 40503U);
    if ((col / 700 + row / 600) % 3 == 1) return T{2};
    if constexpr (std::is_floating_point_v<T>) {
        return mixed % 97 == 0 ? std::numeric_limits<T>::quiet_NaN() : static_cast<T>(mixed % 9000) / 8;
    } else {
        return static_cast<T>(mixed % 5);
    }
}

template <class T>
LayerSpec spec_of_type(Worst worst) {
    LayerSpec spec;
    spec.name = "layer";
    spec.description = "Made up.";
    spec.worst = worst;
    spec.type = sizeof(T) == 1             ? CellType::uint8
                : sizeof(T) == 2           ? CellType::uint16
                : std::is_same_v<T, float> ? CellType::float32
                                           : CellType::uint32;
    return spec;
}

Grid grid_of(Window extent, double step_y = -1e-5) {
    return {extent.cols, extent.rows, 5, 53, 1e-5, step_y, SRS_WKT_WGS84_LAT_LONG};
}

template <class T>
Plane<T> plane_of(Window window) {
    Plane<T> plane(window);
    for (int r = window.row; r < window.row_end(); ++r) {
        for (int c = window.col; c < window.col_end(); ++c) {
            plane.at(c, r) = cell<T>(c, r);
        }
    }
    return plane;
}

template <class T>
std::string written(const Grid& grid, Worst worst, const RasterStorage& storage = {}) {
    const ScratchFolder folder;
    RasterLayer layer(folder.path(), spec_of_type<T>(worst), grid, {}, 2, {}, storage);
    layer.write(plane_of<T>(grid.extent()));
    layer.finish();
    return bytes_of(folder.path() / "layer.tif");
}

/// A file of those bytes, as GDAL opens it.
class InGdal {
public:
    explicit InGdal(const std::string& bytes) {
        GDALAllRegister();
        testing::put_file(folder_.path() / "layer.tif", bytes);
        dataset_.reset(GDALDataset::Open((folder_.path() / "layer.tif").c_str(), GDAL_OF_RASTER));
    }
    [[nodiscard]] GDALDataset* operator->() const { return dataset_.get(); }
    [[nodiscard]] fs::path path() const { return folder_.path() / "layer.tif"; }
    [[nodiscard]] bool is_open() const { return dataset_ != nullptr; }

    template <class T>
    [[nodiscard]] std::vector<T> cells(int level) const {
        GDALRasterBand* band = dataset_->GetRasterBand(1);
        if (level > 0) band = band->GetOverview(level - 1);
        std::vector<T> cells(static_cast<std::size_t>(band->GetXSize()) *
                             static_cast<std::size_t>(band->GetYSize()));
        const GDALDataType type = gdal_type(spec_of_type<T>(Worst::least).type);
        EXPECT_EQ(band->RasterIO(GF_Read, 0, 0, band->GetXSize(), band->GetYSize(), cells.data(),
                                 band->GetXSize(), band->GetYSize(), type, 0, 0, nullptr),
                  CE_None);
        return cells;
    }

private:
    ScratchFolder folder_;
    GDALDatasetUniquePtr dataset_;
};

template <class T>
bool same_bits(const std::vector<T>& a, const std::vector<T>& b) {
    return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(T)) == 0;
}

/// By the definition: each cell of a level is the worst of the four below it, an odd last one alone.
template <class T>
std::vector<T> by_the_words(const std::vector<T>& fine, int cols, int rows, Worst worst) {
    std::vector<T> coarse;
    for (int r = 0; r < rows; r += 2) {
        for (int c = 0; c < cols; c += 2) {
            const auto at = [&](int x, int y) {
                return fine[static_cast<std::size_t>(std::min(y, rows - 1)) * static_cast<std::size_t>(cols) +
                            static_cast<std::size_t>(std::min(x, cols - 1))];
            };
            coarse.push_back(worse(worse(at(c, r), at(c + 1, r), worst),
                                   worse(at(c, r + 1), at(c + 1, r + 1), worst), worst));
        }
    }
    return coarse;
}

template <class T>
void expect_whole(Window extent, Worst worst) {
    SCOPED_TRACE(std::to_string(extent.cols) + " x " + std::to_string(extent.rows));
    const std::string bytes = written<T>(grid_of(extent), worst);
    strict_cog::File file;
    ASSERT_NO_THROW(file = strict_cog::read(bytes));
    EXPECT_FALSE(file.big);
    const InGdal gdal(bytes);
    ASSERT_TRUE(gdal.is_open());
    EXPECT_STREQ(gdal->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
    EXPECT_STREQ(gdal->GetMetadataItem("COMPRESSION", "IMAGE_STRUCTURE"), "DEFLATE");
    ASSERT_EQ(gdal->GetRasterBand(1)->GetOverviewCount() + 1, static_cast<int>(file.images.size()));
    const Plane<T> plane = plane_of<T>(extent);
    std::vector<T> meant(plane.data(), plane.data() + plane.size());
    int cols = extent.cols, rows = extent.rows;
    for (int level = 0; level < static_cast<int>(file.images.size()); ++level) {
        ASSERT_EQ(file.images[static_cast<std::size_t>(level)].cols, static_cast<std::uint64_t>(cols));
        ASSERT_EQ(file.images[static_cast<std::size_t>(level)].rows, static_cast<std::uint64_t>(rows));
        ASSERT_TRUE(same_bits(gdal.cells<T>(level), meant)) << "level " << level;
        meant = by_the_words(meant, cols, rows, worst);
        cols = (cols + 1) / 2;
        rows = (rows + 1) / 2;
    }
}

TEST(CogLayout, HoldsAtEverySizeAndType) {
    for (const Window extent : {Window{0, 0, 1, 1}, Window{0, 0, 511, 512}, Window{0, 0, 513, 1},
                                Window{0, 0, 1025, 3}, Window{0, 0, 1300, 1100}}) {
        expect_whole<std::uint8_t>(extent, Worst::least);
        expect_whole<float>(extent, Worst::least);
    }
    expect_whole<std::uint8_t>({0, 0, 100'000, 1}, Worst::greatest_or_none);
    expect_whole<std::uint16_t>({0, 0, 1100, 700}, Worst::any_bit);
    expect_whole<std::uint32_t>({0, 0, 700, 1600}, Worst::any_bit);
    expect_whole<float>({0, 0, 3, 1025}, Worst::greatest);
}

TEST(CogLayout, StrictReaderFindsWhatIsChanged) {
    const std::string bytes = written<std::uint8_t>(grid_of({0, 0, 1300, 1100}), Worst::least);
    const strict_cog::File file = strict_cog::read(bytes);
    ASSERT_EQ(file.images.size(), 3U);
    // In the header, the note, a directory; a leader and a trailer; cut off and lengthened.
    const std::size_t last = bytes.size() - 1;
    const std::size_t leader = last - 7 - file.images.front().tiles.back().size();
    for (const std::size_t at : {std::size_t{0}, std::size_t{60}, std::size_t{192}, leader + 1, last}) {
        std::string other = bytes;
        other[at] = static_cast<char>(other[at] ^ 1);
        EXPECT_THROW(strict_cog::read(other), strict_cog::Fault) << at;
    }
    EXPECT_THROW(strict_cog::read(bytes.substr(0, last)), strict_cog::Fault);
    EXPECT_THROW(strict_cog::read(bytes + "x"), strict_cog::Fault);
}

TEST(CogLayout, LiesWhereTheGridSays) {
    const Window extent{0, 0, 600, 20};
    for (const double step_y : {-2e-5, 2e-5}) {
        const std::string bytes = written<float>(grid_of(extent, step_y), Worst::least);
        EXPECT_NO_THROW(strict_cog::read(bytes));
        const InGdal gdal(bytes);
        std::array<double, 6> transform{};
        ASSERT_EQ(gdal->GetGeoTransform(transform.data()), CE_None);
        EXPECT_EQ(transform, (std::array<double, 6>{5, 1e-5, 0, 53, 0, step_y}));
        ASSERT_NE(gdal->GetSpatialRef(), nullptr);
        EXPECT_TRUE(gdal->GetSpatialRef()->IsGeographic());
    }
    Grid nowhere = grid_of(extent);
    nowhere.crs_wkt.clear();
    const std::string bytes = written<float>(nowhere, Worst::least);
    EXPECT_NO_THROW(strict_cog::read(bytes));
    EXPECT_EQ(InGdal(bytes)->GetSpatialRef(), nullptr);
}

TEST(CogLayout, ZstdHoldsTheSameCells) {
    if (!is_at_hand(Compression::zstd)) GTEST_SKIP() << "this GDAL has no zstd";
    const Window extent{0, 0, 1300, 700};
    const std::string bytes = written<float>(grid_of(extent), Worst::least, {Compression::zstd, 1U << 20});
    EXPECT_NO_THROW(strict_cog::read(bytes));
    const InGdal zstd(bytes), deflate(written<float>(grid_of(extent), Worst::least));
    EXPECT_STREQ(zstd->GetMetadataItem("COMPRESSION", "IMAGE_STRUCTURE"), "ZSTD");
    for (const int level : {0, 1, 2}) {
        EXPECT_TRUE(same_bits(zstd.cells<float>(level), deflate.cells<float>(level)));
    }
}

/// A file by the inner classes, with what RasterLayer decides itself said from outside.
std::string put_together(Window extent, bool big, Room room, std::size_t waiting_bytes, unsigned seed,
                         TileCoding coding = coding_of(CellType::float32, Compression::deflate)) {
    const ScratchFolder folder;
    const fs::path path = folder.path() / "layer.tif";
    const LayerSpec spec = spec_of_type<float>(Worst::least);
    const TileCodec codec(coding);
    Spool spool({folder.path(), waiting_bytes});
    CogFile file(path,
                 {extent, layer_model(path.string(), spec, grid_of(extent), {}).tags, codec.coding(), big,
                  room, waiting_bytes},
                 spool);
    CogPyramid<float> pyramid(file, codec, spool, Worst::least, waiting_bytes);
    std::vector<Window> tiles = cut_into_blocks(extent, tile_side);
    if (seed != 0) std::shuffle(tiles.begin(), tiles.end(), std::mt19937(seed));
    std::atomic<std::size_t> next(0);
    {
        std::vector<std::jthread> workers;
        for (int i = 0; i < (seed == 0 ? 1 : 4); ++i) {
            workers.emplace_back([&] {
                for (std::size_t t = next++; t < tiles.size(); t = next++) {
                    const Plane<float> plane = plane_of<float>(tiles[t]);
                    pyramid.put(
                        tiles[t].col / tile_side, tiles[t].row / tile_side,
                        pyramid.made_of(0, {plane.data(), tiles[t].cols, tiles[t].cols, tiles[t].rows}));
                }
            });
        }
    }
    file.finish();
    return bytes_of(path);
}

TEST(CogFile, HasTheSameBytesHoweverItIsWritten) {
    const Window extent{0, 0, 3000, 2600};
    const std::string bytes = put_together(extent, false, Room::inserted, 64U << 20, 0);
    EXPECT_NO_THROW(strict_cog::read(bytes));
    EXPECT_TRUE(bytes == put_together(extent, false, Room::copied, 64U << 20, 0)) << "room made by copying";
    for (const unsigned seed : {1U, 2U, 3U}) {
        EXPECT_TRUE(bytes == put_together(extent, false, Room::inserted, 64U << 20, seed)) << "another order";
        EXPECT_TRUE(bytes == put_together(extent, false, Room::copied, 0, seed)) << "spooled";
        EXPECT_TRUE(bytes == put_together(extent, false, Room::inserted, 1U << 20, seed))
            << "spooled in part";
    }
    EXPECT_TRUE(bytes == written<float>(grid_of(extent), Worst::least)) << "a plane at once";
}

TEST(CogFile, BigTiffHoldsTheSame) {
    const Window extent{0, 0, 1300, 1100};
    const std::string big = put_together(extent, true, Room::inserted, 1U << 20, 1);
    const std::string classic = put_together(extent, false, Room::inserted, 1U << 20, 1);
    const strict_cog::File big_file = strict_cog::read(big), classic_file = strict_cog::read(classic);
    EXPECT_TRUE(big_file.big);
    ASSERT_EQ(big_file.images.size(), classic_file.images.size());
    for (std::size_t level = 0; level < big_file.images.size(); ++level) {
        EXPECT_EQ(big_file.images[level].tiles, classic_file.images[level].tiles);
    }
    const InGdal gdal(big);
    ASSERT_TRUE(gdal.is_open());
    EXPECT_STREQ(gdal->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
    EXPECT_TRUE(same_bits(gdal.cells<float>(1), InGdal(classic).cells<float>(1)));
}

TEST(CogFile, BigTiffIsForWhatMayPassFourGigabytes) {
    EXPECT_FALSE(may_pass_4_gb({0, 0, 26'000, 26'000}, 4));
    EXPECT_TRUE(may_pass_4_gb({0, 0, 32'768, 32'768}, 4));
    EXPECT_FALSE(may_pass_4_gb({0, 0, 32'768, 32'768}, 1));
    EXPECT_TRUE(may_pass_4_gb({0, 0, 2'000'000'000, 1}, 4)) << "tiles are whole, however little is in them";
}

TEST(CogFile, TakesEachTileOnceAndAllOfThem) {
    const ScratchFolder folder;
    const LayerSpec spec = spec_of_type<float>(Worst::least);
    const fs::path path = folder.path() / "layer.tif";
    Spool spool({folder.path(), 0});
    CogFile file(path,
                 {{0, 0, 600, 5}, layer_model(path.string(), spec, grid_of({0, 0, 600, 5}), {}).tags, {}},
                 spool);
    const std::vector<std::byte> tile(10);
    file.put(0, 1, tile);
    EXPECT_THROW(file.put(0, 1, tile), std::logic_error);
    EXPECT_THROW(file.put(0, 0, std::vector<std::byte>(3)), std::logic_error) << "no trailer";
    EXPECT_THROW(file.finish(), std::logic_error);
}

/// By libtiff's own tools, which decode every tile by another program than GDAL, and tell what they do not
/// like.
void expect_libtiff_reads(TileCoding coding) {
    const Window extent{0, 0, 1300, 700};
    const InGdal ours(put_together(extent, false, Room::inserted, 1U << 20, 0, coding));
    const std::string file = ours.path().string(), copy = file + ".copy.tif", said = file + ".said";
    ASSERT_EQ(std::system(("tiffinfo -D -i '" + file + "' >'" + said + "' 2>&1 && tiffcp -c none '" + file +
                           "',0 '" + copy + "' 2>>'" + said + "'")
                              .c_str()),
              0)
        << bytes_of(said);
    const std::string text = bytes_of(said);
    // Those that GDAL has added to TIFF are unknown to it, by number; nothing else is told.
    for (std::size_t at = text.find("Warning"); at != std::string::npos; at = text.find("Warning", at + 1)) {
        EXPECT_EQ(text.compare(at, 32, "Warning, Unknown field with tag "), 0) << text.substr(at, 80);
    }
    EXPECT_EQ(text.find("Predictor: horizontal differencing") != std::string::npos, coding.differences);
    const GDALDatasetUniquePtr copied(GDALDataset::Open(copy.c_str(), GDAL_OF_RASTER));
    ASSERT_TRUE(copied);
    std::vector<float> cells(extent.cells());
    ASSERT_EQ(copied->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, extent.cols, extent.rows, cells.data(),
                                                 extent.cols, extent.rows, GDT_Float32, 0, 0, nullptr),
              CE_None);
    EXPECT_TRUE(same_bits(cells, ours.cells<float>(0)));
}

TEST(CogLayout, LibtiffReadsEveryImage) {
    if (std::system("command -v tiffinfo tiffcp tiffdump >/dev/null 2>&1") != 0) {
        GTEST_SKIP() << "needs libtiff's tools (package libtiff-tools)";
    }
    expect_libtiff_reads({Compression::deflate, 1, false});
    expect_libtiff_reads({Compression::deflate, 1, true});
}

} // namespace
} // namespace swingroom
