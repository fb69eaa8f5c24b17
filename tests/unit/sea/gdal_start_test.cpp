#include "sea/gdal/gdal_start.hpp"
#include "support/scratch.hpp"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_vsi.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <string>

namespace swingroom {
namespace {

using testing_support::Scratch;

TEST(GdalStart, NoVariableOfTheEnvironmentIsHeeded) {
    start_gdal();
    ASSERT_EQ(setenv("GTIFF_POINT_GEO_IGNORE", "YES", 1), 0); // moves rasters by half a cell
    ASSERT_EQ(setenv("GTIFF_IGNORE_READ_ERRORS", "YES", 1), 0);
    EXPECT_EQ(CPLGetConfigOption("GTIFF_POINT_GEO_IGNORE", nullptr), nullptr);
    EXPECT_EQ(CPLGetConfigOption("GTIFF_IGNORE_READ_ERRORS", nullptr), nullptr);
    EXPECT_EQ(CPLGetConfigOption("HOME", nullptr), nullptr) << "a folder with settings";
    unsetenv("GTIFF_POINT_GEO_IGNORE");
    unsetenv("GTIFF_IGNORE_READ_ERRORS");
}

TEST(GdalStart, OnlyLocalFileSystemsAreLeft) {
    start_gdal();
    const Scratch scratch;
    const std::string file = scratch / "file";
    std::ofstream(file) << "bytes";
    for (const std::string name : {"/vsistdin/", "/vsicurl/http://127.0.0.1:1/x", "/vsis3/bucket/x"}) {
        EXPECT_EQ(VSIFOpenL(name.c_str(), "rb"), nullptr) << name;
    }
    VSILFILE* const part = VSIFOpenL(("/vsisubfile/1_2," + file).c_str(), "rb");
    EXPECT_NE(part, nullptr) << "drivers of local files need it";
    if (part) VSIFCloseL(part);
}

TEST(GdalStart, LibrariesSayNothingByThemselves) {
    start_gdal();
    testing::internal::CaptureStderr();
    CPLError(CE_Failure, CPLE_AppDefined, "outside of any that listens");
    CPLDebug("X", "debugging");
    EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
}

TEST(GdalStart, FormatsThatAreNotReadAreKnownByName) {
    const Scratch scratch;
    const auto format = [&](const std::string& name, const std::string& bytes) {
        std::ofstream(scratch / name) << bytes;
        const auto found = format_of(scratch / name);
        return found ? found->name + (found->holds_vectors ? ", vectors" : "") : "none";
    };
    EXPECT_EQ(format("a.xml", "<GDAL_WMS></GDAL_WMS>"), "WMS");
    EXPECT_EQ(format("a.mrf", "<MRF_META></MRF_META>"), "MRF");
    EXPECT_EQ(format("a.geojson", R"({"type": "FeatureCollection", "features": []})"), "GeoJSON, vectors");
    EXPECT_EQ(format("a.txt", "nothing of the kind\n"), "none");
}

} // namespace
} // namespace swingroom
