#include "swingroom/publish/raster_layer.hpp"

#include "publish/raster/worst_of.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstring>
#include <limits>
#include <random>
#include <stdexcept>
#include <thread>

namespace swingroom {
namespace {

using testing::bytes_of;
using testing::ScratchFolder;

constexpr float nan = std::numeric_limits<float>::quiet_NaN();

Grid utm_grid(int cols, int rows) {
    OGRSpatialReference crs;
    crs.SetWellKnownGeogCS("WGS84");
    crs.SetUTM(31, 1);
    char* wkt = nullptr;
    crs.exportToWkt(&wkt);
    Grid grid{cols, rows, 500000, 5900000, 2, -2, wkt};
    CPLFree(wkt);
    return grid;
}

LayerSpec room_spec() {
    LayerSpec spec;
    spec.name = "hull_room";
    spec.description = "Least distance to a danger for the hull, in metres.";
    spec.unit = "m";
    return spec;
}

LayerSpec verdict_spec() {
    LayerSpec spec;
    spec.name = "verdict";
    spec.description = "What lies here.";
    spec.type = CellType::uint8;
    spec.categories = {{0, "unsurveyed", {255, 255, 255, 0}},
                       {1, "no", {140, 45, 4, 255}},
                       {4, "full scope", {1, 102, 94, 255}}};
    return spec;
}

/// A field whose every cell is told from its neighbours, with holes.
float field(int col, int row) {
    const auto mixed = static_cast<unsigned>(col) * 2654435761U ^ static_cast<unsigned>(row) * 40503U;
    return mixed % 97 == 0 ? nan : static_cast<float>(mixed % 10000) / 8;
}

/// Writes the field in blocks of a size, shuffled, from several threads.
void write_field(const std::filesystem::path& folder, Window extent, int block, int threads, unsigned seed) {
    RasterLayer layer(folder, room_spec(), utm_grid(extent.cols, extent.rows), {"wind = 20\n", {}, {}},
                      threads);
    std::vector<Window> blocks = cut_into_blocks(extent, block);
    std::shuffle(blocks.begin(), blocks.end(), std::mt19937(seed));
    std::atomic<std::size_t> next(0);
    {
        std::vector<std::jthread> workers;
        for (int i = 0; i < threads; ++i) {
            workers.emplace_back([&] {
                for (std::size_t b = next++; b < blocks.size(); b = next++) {
                    Plane<float> plane(blocks[b]);
                    for (int r = blocks[b].row; r < blocks[b].row_end(); ++r) {
                        for (int c = blocks[b].col; c < blocks[b].col_end(); ++c) {
                            plane.at(c, r) = field(c, r);
                        }
                    }
                    layer.write(plane);
                }
            });
        }
    }
    layer.finish();
}

GDALDatasetUniquePtr open(const std::filesystem::path& path) {
    GDALAllRegister();
    return GDALDatasetUniquePtr(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER));
}

std::vector<float> cells_of(GDALRasterBand& band) {
    std::vector<float> cells(static_cast<std::size_t>(band.GetXSize()) *
                             static_cast<std::size_t>(band.GetYSize()));
    EXPECT_EQ(band.RasterIO(GF_Read, 0, 0, band.GetXSize(), band.GetYSize(), cells.data(), band.GetXSize(),
                            band.GetYSize(), GDT_Float32, 0, 0, nullptr),
              CE_None);
    return cells;
}

TEST(WorstOf, UnsurveyedIsWorseThanAnyValueInBothDirections) {
    EXPECT_TRUE(std::isnan(worse(nan, -1.0F, Worst::least)));
    EXPECT_TRUE(std::isnan(worse(1e30F, nan, Worst::greatest)));
    EXPECT_EQ(worse<std::uint8_t>(0, 4, Worst::least), 0);
    EXPECT_EQ(worse<std::uint16_t>(5, 2, Worst::any_bit), 7);
    EXPECT_EQ(worse(-3.0F, 2.0F, Worst::greatest), 2.0F);
}

TEST(WorstOf, OfNumberedClassesTheLastUnlessOneHasNone) {
    EXPECT_EQ(worse<std::uint8_t>(1, 3, Worst::greatest_or_none), 3);
    EXPECT_EQ(worse<std::uint8_t>(2, 0, Worst::greatest_or_none), 0);
    EXPECT_EQ(worse<std::uint8_t>(0, 2, Worst::greatest_or_none), 0);
}

TEST(WorstOf, OfCountsTheLeastUnlessOneHasNone) {
    EXPECT_EQ(worse<std::uint8_t>(1, 3, Worst::least_or_none), 1);
    EXPECT_EQ(worse<std::uint8_t>(3, 0, Worst::least_or_none), 0);
    EXPECT_EQ(worse<std::uint8_t>(0, 255, Worst::least_or_none), 255);
    EXPECT_EQ(worse<std::uint8_t>(255, 2, Worst::least_or_none), 255);
    EXPECT_EQ(halved_by_worst<std::uint8_t>({5, 4, 3, 9, 255, 7, 6, 6, 2}, 3, 3, Worst::least_or_none),
              (std::vector<std::uint8_t>{255, 3, 6, 2}));
}

TEST(WorstOf, OddRowsAndColumnsStandAlone) {
    EXPECT_EQ(halved_by_worst<std::uint8_t>({5, 4, 3, 9, 8, 7, 6, 6, 2}, 3, 3, Worst::least),
              (std::vector<std::uint8_t>{4, 3, 6, 2}));
}

TEST(RasterLayer, HasTheSameBytesForAnyOrderBlockAndThreads) {
    const Window extent{0, 0, 1300, 1100};
    const ScratchFolder one, other, third;
    write_field(one.path(), extent, 2048, 1, 1);
    write_field(other.path(), extent, 300, 3, 2);
    write_field(third.path(), extent, 512, 2, 3);
    const std::string bytes = bytes_of(one.path() / "hull_room.tif");
    EXPECT_GT(bytes.size(), 100000U);
    EXPECT_TRUE(bytes == bytes_of(other.path() / "hull_room.tif"));
    EXPECT_TRUE(bytes == bytes_of(third.path() / "hull_room.tif"));
    EXPECT_EQ(one.names(), std::vector<std::string>{"hull_room.tif"}) << "nothing is left beside the layer";
}

TEST(RasterLayer, KeepsEveryCellAndGivesEachOverviewTheWorst) {
    const ScratchFolder folder;
    write_field(folder.path(), {0, 0, 1300, 1100}, 400, 2, 4);
    const GDALDatasetUniquePtr dataset = open(folder.path() / "hull_room.tif");
    ASSERT_TRUE(dataset);
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    std::vector<float> cells = cells_of(band);
    for (int r = 0; r < 1100; ++r) {
        for (int c = 0; c < 1300; ++c) {
            const float got = cells[static_cast<std::size_t>(r) * 1300 + static_cast<std::size_t>(c)];
            const float meant = field(c, r);
            ASSERT_TRUE(got == meant || (std::isnan(got) && std::isnan(meant))) << c << ' ' << r;
        }
    }
    ASSERT_EQ(band.GetOverviewCount(), 2);
    for (int level = 0; level < 2; ++level) {
        GDALRasterBand& overview = *band.GetOverview(level);
        const int side = 2 << level;
        ASSERT_EQ(overview.GetXSize(), (1300 + side - 1) / side);
        ASSERT_EQ(overview.GetYSize(), (1100 + side - 1) / side);
        const std::vector<float> coarse = cells_of(overview);
        for (int r = 0; r < overview.GetYSize(); ++r) {
            for (int c = 0; c < overview.GetXSize(); ++c) {
                float worst = std::numeric_limits<float>::infinity();
                bool unsurveyed = false;
                for (int y = r * side; y < std::min(1100, (r + 1) * side); ++y) {
                    for (int x = c * side; x < std::min(1300, (c + 1) * side); ++x) {
                        unsurveyed = unsurveyed || std::isnan(field(x, y));
                        worst = std::min(worst, field(x, y));
                    }
                }
                const float got = coarse[static_cast<std::size_t>(r * overview.GetXSize() + c)];
                ASSERT_TRUE(unsurveyed ? std::isnan(got) : got == worst) << level << ' ' << c << ' ' << r;
            }
        }
    }
}

TEST(RasterLayer, CarriesWhatAReaderNeeds) {
    const ScratchFolder folder;
    RasterLayer layer(
        folder.path(), verdict_spec(), utm_grid(3, 2),
        {"boat = sloop.ini\n", {{"chart.tif", std::string(64, 'a'), 7}}, {{"draught", "1.9 m"}}}, 1);
    Plane<std::uint8_t> plane({0, 0, 3, 2}, 4);
    plane.at(1, 1) = 0;
    layer.write(plane);
    layer.finish();
    const GDALDatasetUniquePtr dataset = open(folder.path() / "verdict.tif");
    ASSERT_TRUE(dataset);
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    EXPECT_STREQ(dataset->GetMetadataItem("AREA_OR_POINT"), "Area");
    EXPECT_NE(std::string(dataset->GetMetadataItem("CAUTION")).find("not for navigation"), std::string::npos);
    const std::string provenance = dataset->GetMetadataItem("PROVENANCE");
    EXPECT_NE(provenance.find(std::string(64, 'a')), std::string::npos);
    EXPECT_NE(provenance.find("1.9 m"), std::string::npos);
    EXPECT_STREQ(band.GetDescription(), "verdict");
    ASSERT_NE(band.GetColorTable(), nullptr);
    EXPECT_EQ(band.GetColorTable()->GetColorEntry(4)->c2, 102);
    const CPLStringList names(band.GetCategoryNames(), FALSE);
    ASSERT_EQ(names.size(), 5);
    EXPECT_STREQ(names[1], "no");
    EXPECT_STREQ(names[2], "");
    EXPECT_STREQ(names[4], "full scope");
    EXPECT_TRUE(dataset->GetSpatialRef() != nullptr && dataset->GetSpatialRef()->IsProjected());
}

TEST(RasterLayer, RefusesAnUnfinishedLayer) {
    const ScratchFolder folder;
    {
        RasterLayer layer(folder.path(), room_spec(), utm_grid(10, 10), {}, 1);
        layer.write(Plane<float>({0, 0, 10, 9}, 1.0F));
        EXPECT_THROW(layer.finish(), std::logic_error);
        EXPECT_THROW(layer.write(Plane<float>({0, 5, 10, 6}, 1.0F)), std::logic_error) << "beyond the raster";
        EXPECT_THROW(layer.write(Plane<std::uint8_t>({0, 9, 10, 1}, 1)), std::logic_error)
            << "of another type";
    }
    EXPECT_TRUE(folder.names().empty());
}

std::uint32_t number_at(const std::string& bytes, std::size_t at, int size) {
    std::uint32_t value = 0;
    for (int i = size; i-- > 0;) {
        value = value << 8U | static_cast<unsigned char>(bytes.at(at + static_cast<std::size_t>(i)));
    }
    return value;
}

/// Where an image's tiles lie, from a classic little-endian TIFF (TIFF 6.0, section 2 and 15).
struct Image {
    std::uint32_t directory = 0, cols = 0;
    std::vector<std::uint32_t> offsets;
};

std::vector<Image> images_of(const std::string& bytes) {
    std::vector<Image> images;
    for (std::uint32_t at = number_at(bytes, 4, 4); at != 0;) {
        Image image{at, 0, {}};
        const std::uint32_t entries = number_at(bytes, at, 2);
        for (std::uint32_t i = 0; i < entries; ++i) {
            const std::size_t entry = at + 2 + 12 * static_cast<std::size_t>(i);
            const std::uint32_t tag = number_at(bytes, entry, 2), type = number_at(bytes, entry + 2, 2);
            const std::uint32_t count = number_at(bytes, entry + 4, 4);
            const int size = type == 3 ? 2 : 4;
            if (tag == 256) image.cols = number_at(bytes, entry + 8, size);
            if (tag == 324) {
                const bool inside = count * static_cast<std::uint32_t>(size) <= 4;
                const std::size_t values = inside ? entry + 8 : number_at(bytes, entry + 8, 4);
                for (std::uint32_t k = 0; k < count; ++k) {
                    image.offsets.push_back(number_at(bytes, values + 4 * static_cast<std::size_t>(k), size));
                }
            }
        }
        images.push_back(image);
        at = number_at(bytes, at + 2 + 12 * static_cast<std::size_t>(entries), 4);
    }
    return images;
}

// OGC 21-026, Cloud Optimized GeoTIFF Standard 1.0, from memory: tiled, reduced images in falling size, all
// directories before all tile data; and by the same habit the smallest overview's tiles first.
TEST(RasterLayer, IsCloudOptimized) {
    const ScratchFolder folder;
    write_field(folder.path(), {0, 0, 1300, 1100}, 512, 2, 5);
    const std::string bytes = bytes_of(folder.path() / "hull_room.tif");
    ASSERT_EQ(bytes.substr(0, 4), std::string("II\x2A\0", 4));
    const std::vector<Image> images = images_of(bytes);
    ASSERT_EQ(images.size(), 3U);
    std::uint32_t first_tile = std::numeric_limits<std::uint32_t>::max();
    for (const Image& image : images) {
        ASSERT_FALSE(image.offsets.empty()) << "not tiled";
        EXPECT_TRUE(std::is_sorted(image.offsets.begin(), image.offsets.end()));
        first_tile = std::min(first_tile, image.offsets.front());
    }
    for (std::size_t i = 0; i < images.size(); ++i) {
        EXPECT_LT(images[i].directory, first_tile);
        if (i == 0) continue;
        EXPECT_LT(images[i].cols, images[i - 1].cols);
        EXPECT_LT(images[i - 1].directory, images[i].directory);
        EXPECT_LT(images[i].offsets.back(), images[i - 1].offsets.front());
    }
}

/// Every layer of a job at once, while the cache that all files share is far too small for them: what one
/// thread evicts must not be lost to another that merges into the same tile.
TEST(RasterLayer, ManyLayersShareASmallCacheAndLoseNoCell) {
    const ScratchFolder folder;
    const std::int64_t cache = GDALGetCacheMax64();
    GDALSetCacheMax64(3 << 20);
    const Window extent{0, 0, 1300, 1100};
    std::vector<std::unique_ptr<RasterLayer>> layers;
    for (int i = 0; i < 12; ++i) {
        LayerSpec spec = room_spec();
        spec.name += std::to_string(i);
        layers.push_back(std::make_unique<RasterLayer>(
            folder.path(), spec, utm_grid(extent.cols, extent.rows), Provenance{"wind = 20\n", {}, {}}, 4));
    }
    const std::vector<Window> blocks = cut_into_blocks(extent, 128);
    std::atomic<std::size_t> next(0);
    {
        std::vector<std::jthread> workers;
        for (int i = 0; i < 4; ++i) {
            workers.emplace_back([&] {
                for (std::size_t b = next++; b < blocks.size(); b = next++) {
                    Plane<float> plane(blocks[b]);
                    for (int r = blocks[b].row; r < blocks[b].row_end(); ++r) {
                        for (int c = blocks[b].col; c < blocks[b].col_end(); ++c) {
                            plane.at(c, r) = field(c, r);
                        }
                    }
                    for (std::size_t l = 0; l < layers.size(); ++l) {
                        layers[(l + 3 * b) % layers.size()]->write(plane);
                    }
                }
            });
        }
    }
    for (const auto& layer : layers) {
        EXPECT_NO_THROW(layer->finish()) << layer->spec().name;
    }
    GDALSetCacheMax64(cache);
}

} // namespace
} // namespace swingroom
