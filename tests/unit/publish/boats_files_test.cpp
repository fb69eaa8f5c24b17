// The layer boats_yes as it is written, against the verdict.tif of each boat: cell by cell, overviews too.
#include "swingroom/publish/boats_files.hpp"
#include "swingroom/publish/overlay_files.hpp"

#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tile_palette.hpp"
#include "support/boats_yes_levels.hpp"
#include "support/fleet_scene.hpp"
#include "support/overlay_scene.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::bytes_of;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::ScratchFolder;
using namespace testing_support;

const std::vector<std::string> names = {"Auk", "Bittern", "Coot"};

/// Decides a sea for the boats and writes what each is told and what all are, as a run with several boats.
/// @returns where all have a yes
Covered write_run(const fs::path& folder, const OverlayScene& scene, BlockSize block, int threads,
                  const Outputs& outputs = {}) {
    std::deque<OverlayFiles> files;
    std::vector<BoatJob> boats;
    OverlayJob job = scene.job();
    job.wanted = LayerSet();
    job.wanted.add(Layer::verdict);
    for (std::size_t i = 0; i < names.size(); ++i) {
        job.tables = tables_of_fleet().at(i).get();
        fs::create_directory(folder / names[i]);
        files.emplace_back(folder / names[i], job, "made up", Provenance{}, MarginSources{}, 5);
        boats.push_back({job.tables, job.wanted, &files.back()});
    }
    BoatsFiles of_all(folder, job, names, "made up", {}, threads, outputs);
    run_overlay(job, boats, block, threads, {}, &of_all);
    for (OverlayFiles& of_boat : files) {
        of_boat.finish({});
    }
    of_all.finish({});
    return of_all.of_all_boats();
}

TEST(BoatsFiles, CountWhatTheBoatsOwnFilesSayInEachLevel) {
    const ScratchFolder folder;
    const OverlayScene scene = island_sea(4, 1300, 700);
    const Covered by_all = write_run(folder.path(), scene, 512, 2);
    const ByteLevel counted = byte_levels_of(folder / "boats_yes.tif").at(0);
    Covered by_hand;
    for (std::size_t i = 0; i < counted.cells.size(); ++i) {
        if (counted.cells[i] != names.size()) continue;
        const CellSize cell = scene.metric.at(static_cast<int>(i) / counted.cols);
        by_hand += {1, cell.dx_m * cell.dy_m};
    }
    EXPECT_GT(by_hand.cells, 0);
    EXPECT_EQ(by_all.cells, by_hand.cells);
    EXPECT_NEAR(by_all.area_m2, by_hand.area_m2, 1e-6 * by_hand.area_m2) << "but for rounding down";
    EXPECT_LE(by_all.area_m2, by_hand.area_m2 * (1 + 1e-12));
    std::vector<std::string> verdicts;
    for (const std::string& name : names) {
        verdicts.push_back(folder / (name + "/verdict.tif"));
    }
    const std::set<int> seen = expect_counts_of(folder / "boats_yes.tif", verdicts);
    EXPECT_THAT(seen, ElementsAre(0, 1, 2, 3, 255));
}

TEST(BoatsFiles, HaveTheSameBytesForAnyBlocksAndThreads) {
    const ScratchFolder one, other;
    const OverlayScene scene = island_sea(5, 600, 550);
    write_run(one.path(), scene, 1024, 1);
    write_run(other.path(), scene, 100, 4);
    for (const char* const name :
         {"boats_yes.tif", "boats_yes.tif.aux.xml", "boats_yes.qml", "boats_yes.sld"}) {
        EXPECT_TRUE(bytes_of(one.path() / name) == bytes_of(other.path() / name)) << name;
        EXPECT_GT(bytes_of(one.path() / name).size(), 500U) << name;
    }
}

TEST(BoatsFiles, TellReadersWhatAValueMeansAndOfWhichBoats) {
    const ScratchFolder folder;
    write_run(folder.path(), island_sea(6, 60, 50), 64, 1);
    EXPECT_EQ(folder.names(),
              (std::vector<std::string>{"Auk", "Bittern", "Coot", "boats_yes.qml", "boats_yes.sld",
                                        "boats_yes.tif", "boats_yes.tif.aux.xml"}));
    const GDALDatasetUniquePtr dataset(GDALDataset::Open((folder / "boats_yes.tif").c_str(), GDAL_OF_RASTER));
    ASSERT_TRUE(dataset);
    EXPECT_THAT(dataset->GetMetadataItem("TIFFTAG_IMAGEDESCRIPTION"),
                HasSubstr("The boats: Auk, Bittern, Coot"));
    EXPECT_STREQ(dataset->GetMetadataItem("OVERVIEWS"), "the least of the cells, unsurveyed before any");
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    EXPECT_EQ(band.GetRasterDataType(), GDT_Byte);
    EXPECT_EQ(band.GetNoDataValue(), 255);
    const char* const* const classes = band.GetCategoryNames();
    ASSERT_TRUE(classes);
    EXPECT_STREQ(classes[0], "none of the boats");
    EXPECT_STREQ(classes[1], "1 of 3 boats");
    EXPECT_STREQ(classes[3], "all 3 boats");
    EXPECT_STREQ(classes[255], "unsurveyed");
    GDALColorEntry colour{};
    band.GetColorTable()->GetColorEntryAsRGB(0, &colour);
    EXPECT_EQ((Colour{140, 45, 4}),
              (Colour{static_cast<std::uint8_t>(colour.c1), static_cast<std::uint8_t>(colour.c2),
                      static_cast<std::uint8_t>(colour.c3)}));
    const std::string qml = bytes_of(folder.path() / "boats_yes.qml"),
                      sld = bytes_of(folder.path() / "boats_yes.sld");
    for (const char* const label : {"none of the boats", "1 of 3 boats", "2 of 3 boats", "all 3 boats"}) {
        EXPECT_THAT(qml, HasSubstr(label));
        EXPECT_THAT(sld, HasSubstr(label));
    }
}

TEST(BoatsFiles, AsTilesShowNothingWhereNothingIsKnownAndANoWhereNoneHasAYes) {
    const LayerSpec spec = spec_of(Layer::boats_yes, names);
    const TilePalette palette(spec);
    EXPECT_EQ(palette.of(std::uint8_t{255}, 3, 4), 0) << "transparent";
    std::set<int> colours;
    for (std::uint8_t count = 0; count <= 3; ++count) {
        colours.insert(palette.of(count, 1, 0));
    }
    EXPECT_EQ(colours.size(), 4U);
    EXPECT_FALSE(colours.contains(0));

    const ScratchFolder folder;
    OverlayScene scene = island_sea(7, 80, 60);
    Outputs outputs;
    outputs.formats = LayerFormats::parse("boats_yes", Format::mbtiles, "--layers", BoatCount::several);
    write_run(folder.path(), scene, 64, 2, outputs);
    EXPECT_EQ(folder.names(),
              (std::vector<std::string>{"Auk", "Bittern", "Coot", "boats_yes.mbtiles", "boats_yes.sld"}));
    const GDALDatasetUniquePtr tiles(
        GDALDataset::Open((folder / "boats_yes.mbtiles").c_str(), GDAL_OF_RASTER));
    ASSERT_TRUE(tiles);
    ASSERT_EQ(tiles->GetRasterCount(), 4);
    EXPECT_THAT(tiles->GetMetadataItem("description"), HasSubstr("Auk, Bittern, Coot"));
    const int cols = tiles->GetRasterXSize(), rows = tiles->GetRasterYSize();
    std::vector<std::uint8_t> alpha(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
    ASSERT_EQ(tiles->GetRasterBand(4)->RasterIO(GF_Read, 0, 0, cols, rows, alpha.data(), cols, rows, GDT_Byte,
                                                0, 0, nullptr),
              CE_None);
    const auto drawn = std::count_if(alpha.begin(), alpha.end(), [](std::uint8_t a) { return a > 0; });
    EXPECT_GT(drawn, cols * rows / 4);
    EXPECT_LT(drawn, cols * rows);
}

TEST(BoatsFiles, OfARunThatFailsAreNotLeft) {
    const ScratchFolder folder;
    {
        const OverlayScene scene = island_sea(8, 60, 50);
        BoatsFiles files(folder.path(), scene.job(), names, "made up", {}, 1);
        files.block(Plane<std::uint8_t>({0, 0, 60, 20}, 1));
    }
    EXPECT_TRUE(folder.names().empty());
}

} // namespace
} // namespace swingroom
