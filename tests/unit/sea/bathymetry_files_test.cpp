#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/scratch.hpp"
#include "unit/sea/made_raster.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <limits>
#include <random>
#include <string>
#include <sys/stat.h>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;

constexpr double infinity = std::numeric_limits<double>::infinity();

using Folder = testing_support::Scratch;

using testing_support::complaint;
using testing_support::heights;
using testing_support::Made;
using testing_support::missing;
using testing_support::read_all;
using testing_support::write;

TEST(Bathymetry, NamesThatAreNoFiles) {
    const Folder folder;
    EXPECT_EQ(complaint(heights(folder / "none.tif")),
              folder / "none.tif" + ": no such file; give the path of an existing file");
    EXPECT_THAT(complaint(heights(folder / "")), HasSubstr("is not a file"));
    const std::string pipe = folder / "pipe";
    ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
    EXPECT_THAT(complaint(heights(pipe)), HasSubstr("is not a file")) << "and does not wait for a writer";
    EXPECT_THAT(complaint(heights("/dev/zero")), HasSubstr("is not a file"));
    for (const char* name : {"/vsimem/x.tif", "/vsicurl/http://localhost/x.tif", "http://localhost/x.tif",
                             "GTIFF_DIR:1:x.tif", "{\"type\":\"x\"}", "<VRTDataset/>", ""}) {
        EXPECT_THAT(complaint(heights(name)), HasSubstr("; give the path of an existing file")) << name;
    }
}

TEST(Bathymetry, AVectorFileIsTheUsersMistake) {
    const Folder folder;
    const std::string json = folder / "cables.geojson", packed = folder / "cables.gpkg";
    std::ofstream(json) << R"({"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {},
        "geometry": {"type": "Point", "coordinates": [15, 60]}}]})";
    EXPECT_THAT(complaint(heights(json)),
                AllOf(HasSubstr("cables.geojson: is a vector file (GeoJSON); give hazards with <hazards>")));
    GDALAllRegister();
    GDALDatasetUniquePtr(GetGDALDriverManager()->GetDriverByName("GPKG")->Create(packed.c_str(), 0, 0, 0,
                                                                                 GDT_Unknown, nullptr))
        ->CreateLayer("cables", nullptr, wkbPoint);
    EXPECT_THAT(complaint(heights(packed)), HasSubstr("cables.gpkg: is a vector file (GPKG)"));
}

TEST(Bathymetry, FilesThatAreNoRasters) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    for (const std::string& content :
         {std::string("x"), std::string("some text\nin lines\n"), std::string(4096, '\0')}) {
        std::ofstream(file, std::ios::binary) << content;
        EXPECT_EQ(complaint(heights(file)), file +
                                                ": is in no raster format that is known here; give depths as "
                                                "a raster, such as GeoTIFF or BAG")
            << content.size();
    }
    std::ofstream(file, std::ios::trunc).close();
    EXPECT_EQ(complaint(heights(file)), "io: " + file + ": is empty");
}

TEST(Bathymetry, TruncatedFilesFailByNameAndSilently) {
    Made made;
    made.cols = made.rows = 300;
    made.values.resize(90'000);
    std::mt19937 random(5);
    for (double& v : made.values) {
        v = -static_cast<double>(random() % 30'000) / 1000;
    }
    made.options = {{"COMPRESS", "DEFLATE"}, {"TILED", "YES"}};
    const Folder folder;
    const std::string file = folder / "made.tif";
    for (const double part : {0.05, 0.5, 0.9, 0.99}) {
        write(made, file);
        std::filesystem::resize_file(
            file, static_cast<std::uintmax_t>(part * static_cast<double>(std::filesystem::file_size(file))));
        testing::internal::CaptureStderr();
        EXPECT_THAT(complaint(heights(file)), AllOf(HasSubstr("io: "), HasSubstr("made.tif"))) << part;
        EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
        std::filesystem::remove(file);
    }
}

TEST(Bathymetry, PicturesAreRefused) {
    Made made;
    made.type = GDT_Byte;
    made.values = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
    EXPECT_EQ(complaint(made, [](auto& r) { r.positive_down = true; }), "accepted");
    made.second = made.values;
    made.second_name = "";
    EXPECT_THAT(complaint(made, [](auto& r) { r.positive_down = true; }),
                HasSubstr("has 2 bands, and which one holds the depths is not said; write that one"));
    made.second.clear();
    made.type = GDT_CFloat32;
    EXPECT_THAT(complaint(made), HasSubstr("complex numbers"));
}

TEST(Bathymetry, ABlockAsLargeAsAHugeRasterIsRefusedByItsSize) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    GDALAllRegister();
    CPLStringList options;
    options.SetNameValue("SPARSE_OK", "TRUE");
    options.SetNameValue("BLOCKYSIZE", "14000");
    options.SetNameValue("COMPRESS", "DEFLATE");
    GDALDatasetUniquePtr dataset(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        file.c_str(), 14'000, 14'000, 1, GDT_Float32, options.List()));
    ASSERT_TRUE(dataset);
    dataset.reset(); // written when closed
    EXPECT_THAT(complaint(heights(file)),
                AllOf(HasSubstr("14000 x 14000"), HasSubstr("747 MB"), HasSubstr("TILED=YES")));
}

TEST(Bathymetry, VirtualRastersMayPutFilesTogetherAndNoMore) {
    const Folder folder;
    write(Made{}, folder / "part.tif");
    const auto virtual_raster = [&](const std::string& band) {
        std::ofstream(folder / "made.vrt")
            << R"(<VRTDataset rasterXSize="4" rasterYSize="3"><SRS>EPSG:32631</SRS>)"
            << "<GeoTransform>600000,10,0,5900000,0,-10</GeoTransform>" << band << "</VRTDataset>";
        return complaint(heights(folder / "made.vrt"));
    };
    const auto simple = [](const std::string& name) {
        return R"(<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType><SimpleSource><SourceFilename relativeToVRT="0">)" +
               name + "</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand>";
    };
    EXPECT_EQ(virtual_raster(simple(folder / "part.tif")), "accepted");
    EXPECT_THAT(open_bathymetry(heights(folder / "made.vrt"))->files(), Contains(folder / "part.tif"));
    EXPECT_THAT(virtual_raster(simple(folder / "absent.tif")), HasSubstr("absent.tif"));
    EXPECT_THAT(virtual_raster(simple("/vsicurl/http://localhost:1/x.tif")), HasSubstr("not a file"));
    EXPECT_THAT(
        virtual_raster(
            R"(<VRTRasterBand dataType="Byte" band="1" subClass="VRTRawRasterBand"><SourceFilename relativeToVRT="0">)" +
            (folder / "part.tif") + "</SourceFilename></VRTRasterBand>"),
        HasSubstr("virtual raster"));
}

// A mosaic reads as zero where it has no part, and copies what its parts hold.
TEST(Bathymetry, VirtualRastersHideNoGapsOfTheirParts) {
    const Folder folder;
    const auto mosaic = [&](const std::string& about_band, const std::string& source) {
        std::ofstream(folder / "made.vrt")
            << R"(<VRTDataset rasterXSize="9" rasterYSize="3"><SRS>EPSG:32631</SRS>)"
            << "<GeoTransform>600000,10,0,5900000,0,-10</GeoTransform>"
            << R"(<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType>)" << about_band << source
            << "</VRTRasterBand></VRTDataset>";
        return complaint(heights(folder / "made.vrt"));
    };
    const auto at = [&](const std::string& name, int column, const std::string& more = "") {
        const std::string kind = more.empty() ? "SimpleSource" : "ComplexSource";
        return "<" + kind + R"(><SourceFilename relativeToVRT="0">)" + (folder / name) +
               R"(</SourceFilename><SourceBand>1</SourceBand><SrcRect xOff="0" yOff="0" xSize="4" ySize="3"/>)" +
               R"(<DstRect xOff=")" + std::to_string(column) + R"(" yOff="0" xSize="4" ySize="3"/>)" + more +
               "</" + kind + ">";
    };
    const std::string declared = "<NoDataValue>-9999</NoDataValue>";
    write(Made{}, folder / "part.tif");
    EXPECT_THAT(mosaic("", at("part.tif", 0) + at("part.tif", 5)), HasSubstr("never written"));
    EXPECT_EQ(mosaic("", at("part.tif", 0) + at("part.tif", 4) + at("part.tif", 5)), "accepted");
    EXPECT_EQ(mosaic(declared, at("part.tif", 0) + at("part.tif", 5)), "accepted");

    Made marked;
    marked.nodata = -500;
    marked.values[5] = -500;
    write(marked, folder / "marked.tif");
    const std::string all = at("part.tif", 4) + at("part.tif", 5);
    for (const std::string& about : {std::string(), declared}) {
        EXPECT_THAT(mosaic(about, at("marked.tif", 0) + all),
                    AllOf(HasSubstr("marked.tif"), HasSubstr("marks missing data by -500"),
                          HasSubstr("gdalbuildvrt")));
    }
    EXPECT_EQ(mosaic("<NoDataValue>-500</NoDataValue>", at("marked.tif", 0) + all), "accepted");
    EXPECT_EQ(mosaic(declared, at("marked.tif", 0, "<NODATA>-500</NODATA>") + all), "accepted");
    EXPECT_THAT(mosaic("", at("marked.tif", 0, "<NODATA>-500</NODATA>") + all), HasSubstr("-500"))
        << "left out, and zero instead";

    Made masked;
    masked.mask = {255, 255, 0, 255, 255, 255, 255, 255, 255, 255, 255, 255};
    write(masked, folder / "masked.tif");
    EXPECT_THAT(mosaic("", at("masked.tif", 0) + all), HasSubstr("has a mask"));

    CPLStringList sparse;
    sparse.SetNameValue("SPARSE_OK", "TRUE");
    GetGDALDriverManager()
        ->GetDriverByName("GTiff")
        ->Create((folder / "sparse.tif").c_str(), 4, 3, 1, GDT_Float32, sparse.List())
        ->ReleaseRef();
    EXPECT_THAT(mosaic("", at("sparse.tif", 0) + all),
                AllOf(HasSubstr("sparse.tif"), HasSubstr("never written")));
}

// A virtual raster copies the numbers of its parts as they are stored.
TEST(Bathymetry, VirtualRastersMisreadNoScaleOfTheirParts) {
    const Folder folder;
    Made scaled;
    scaled.scale = 10;
    write(scaled, folder / "part.tif");
    const auto of_part = [&](const std::string& about, const std::string& kind, const std::string& scaling,
                             const std::string& more = "") {
        std::ofstream(folder / "made.vrt")
            << R"(<VRTDataset rasterXSize="4" rasterYSize="3"><SRS>EPSG:32631</SRS>)"
            << "<GeoTransform>600000,10,0,5900000,0,-10</GeoTransform>"
            << R"(<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType>)" << about << "<" << kind
            << R"(><SourceFilename relativeToVRT="1">part.tif</SourceFilename><SourceBand>1</SourceBand>)"
            << scaling << "</" << kind << "></VRTRasterBand>" << more << "</VRTDataset>";
        return heights(folder / "made.vrt");
    };
    EXPECT_THAT(complaint(of_part("", "SimpleSource", "")),
                AllOf(HasSubstr("part.tif"), HasSubstr("has the scale 10"), HasSubstr("-unscale")));
    const auto same = open_bathymetry(of_part("<Scale>10</Scale>", "SimpleSource", ""));
    EXPECT_EQ(read_all(*same).shoal_m.at(0, 0), 10);
    EXPECT_THAT(told_all(same->assumptions()), Contains("scale: 10, offset 0 (file)"));
    const auto own = open_bathymetry(
        of_part("", "ComplexSource", "<ScaleOffset>0</ScaleOffset><ScaleRatio>10</ScaleRatio>"));
    EXPECT_EQ(read_all(*own).shoal_m.at(0, 0), 10);
    EXPECT_THAT(told_all(own->assumptions()),
                Contains("scale: the virtual raster scales values of its parts (file)"));
    // As gdalbuildvrt -addalpha writes it: that alpha is scaled says nothing of the depths.
    EXPECT_THAT(
        complaint(of_part("", "SimpleSource", "",
                          R"(<VRTRasterBand dataType="Byte" band="2"><ColorInterp>Alpha</ColorInterp>)"
                          R"(<ComplexSource><SourceFilename relativeToVRT="1">part.tif</SourceFilename>)"
                          "<SourceBand>1</SourceBand><ScaleOffset>255</ScaleOffset><ScaleRatio>0</ScaleRatio>"
                          "</ComplexSource></VRTRasterBand>")),
        AllOf(HasSubstr("part.tif"), HasSubstr("has the scale 10")));
}

TEST(Bathymetry, AHeaderOfRawNumbersServesOnlyFilesThatAreCalledSo) {
    GDALAllRegister();
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("EHdr");
    if (!driver) GTEST_SKIP() << "this GDAL has no EHdr driver";
    const Folder folder;
    write({}, folder / "made.tif");
    {
        const GDALDatasetUniquePtr made(GDALDataset::Open((folder / "made.tif").c_str()));
        const GDALDatasetUniquePtr raw(
            driver->CreateCopy((folder / "sea.bil").c_str(), made.get(), FALSE, nullptr, nullptr, nullptr));
        ASSERT_TRUE(raw);
    }
    BathymetryRequest sea = heights(folder / "sea.bil");
    sea.depth_unit = "m";
    EXPECT_NO_THROW(open_bathymetry(sea));
    // Another raster of the same name, in a format that is not read here, would be taken for that one's
    // numbers.
    std::filesystem::copy_file(folder / "sea.bil", folder / "sea.bt");
    EXPECT_THAT(complaint(heights(folder / "sea.bt")),
                AllOf(HasSubstr("header of raw numbers"), HasSubstr("gdal_translate")));
}

// An HFA file does not tell which of its blocks were written.
TEST(Bathymetry, BlocksOfNothingButZerosAreAnErrorWhereAFormatDoesNotTellWhatWasWritten) {
    GDALAllRegister();
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("HFA");
    if (!driver) GTEST_SKIP() << "this GDAL has no HFA driver";
    const Folder folder;
    const std::string file = folder / "made.img";
    for (const bool whole : {true, false}) {
        CPLStringList options;
        options.SetNameValue("COMPRESSED", "YES");
        GDALDatasetUniquePtr dataset(driver->Create(file.c_str(), 128, 128, 1, GDT_Float32, options.List()));
        ASSERT_TRUE(dataset);
        std::array<double, 6> t{600'000, 10, 0, 5'900'000, 0, -10};
        dataset->SetGeoTransform(t.data());
        OGRSpatialReference crs;
        crs.importFromEPSG(32631);
        dataset->SetSpatialRef(&crs);
        const int cols = whole ? 128 : 64;
        std::vector<float> values(128 * 128, -5);
        values[7] = 0; // a depth of zero alone is one
        ASSERT_EQ(dataset->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, cols, 128, values.data(), cols, 128,
                                                      GDT_Float32, 0, 0, nullptr),
                  CE_None);
        dataset.reset();
        BathymetryRequest request = heights(file);
        request.depth_unit = "m";
        if (whole) {
            EXPECT_EQ(complaint(request), "accepted");
        } else {
            EXPECT_THAT(complaint(request), AllOf(HasSubstr("nothing but zeros"), HasSubstr("column 64")));
        }
    }
}

TEST(Bathymetry, SidecarsAreNamed) {
    const Folder folder;
    Made made;
    made.crs = "";
    write(made, folder / "made.tif");
    std::ofstream(folder / "made.tif.aux.xml") << "<PAMDataset><SRS>EPSG:32631</SRS></PAMDataset>";
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    EXPECT_THAT(source->files(), testing::ElementsAre(folder / "made.tif", folder / "made.tif.aux.xml"));
}

TEST(Bathymetry, TellsHowMuchOfItsFileAWindowDecodes) {
    const Folder folder;
    const std::string striped = folder / "striped.tif", tiled = folder / "tiled.tif";
    Made made;
    made.cols = 100;
    made.rows = 60;
    made.values.assign(std::size_t{100} * 60, -5);
    made.options = {{"BLOCKYSIZE", "4"}};
    write(made, striped);
    made.second.assign(std::size_t{100} * 60, 0.25);
    made.options = {{"TILED", "YES"}, {"BLOCKXSIZE", "32"}, {"BLOCKYSIZE", "16"}};
    write(made, tiled);
    const auto source = [](const std::string& file) {
        BathymetryRequest request;
        request.file = file;
        request.positive_down = false;
        request.chart_datum_m = 0;
        if (file.find("striped") != std::string::npos) request.uncertainty = DepthUncertainty::constant(0.5);
        return open_bathymetry(request);
    };
    const auto strips = source(striped), tiles = source(tiled);
    EXPECT_EQ(strips->decoded_bytes({50, 7, 1, 2}), 2 * 4 * 100 * 4) << "two strips";
    EXPECT_EQ(strips->decoded_bytes({-20, -20, 500, 21}), 4 * 100 * 4)
        << "what lies outside is no part of it";
    EXPECT_EQ(strips->decoded_bytes({200, 0, 5, 5}), 0);
    EXPECT_EQ(tiles->decoded_bytes({31, 0, 2, 16}), 2 * (2 * 32 * 16 * 4)) << "of both bands";
}

TEST(MemoryBathymetry, IsADepthSourceLikeAnother) {
    const Grid grid{2, 2, 0, 0, 1, -1, "EPSG:32631"};
    const auto source = memory_bathymetry(grid, {1, 2, std::numeric_limits<float>::infinity(), 4},
                                          DepthUncertainty::constant(0.1));
    DepthPlanes depths;
    source->read({-1, -1, 4, 4}, depths);
    EXPECT_EQ(depths.shoal_m.at(0, 0), narrow_down(0.9));
    EXPECT_EQ(depths.deep_m.at(1, 1), narrow_up(4.1));
    EXPECT_TRUE(missing(depths.shoal_m.at(0, 1)));
    EXPECT_TRUE(missing(depths.shoal_m.at(-1, 0)));
    EXPECT_EQ(source->greatest_uncertainty_m(), 0.1);
}

} // namespace
} // namespace swingroom
