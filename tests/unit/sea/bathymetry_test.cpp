#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/scratch.hpp"
#include "unit/sea/made_raster.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

using Folder = testing_support::Scratch;

using testing_support::assumptions_of;
using testing_support::complaint;
using testing_support::heights;
using testing_support::Made;
using testing_support::read_all;
using testing_support::shoal_of;
using testing_support::write;

TEST(Bathymetry, HeightsBecomeDepths) {
    EXPECT_THAT(shoal_of({}), testing::ElementsAre(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12));
}

TEST(Bathymetry, DepthsStayDepths) {
    Made made;
    made.values = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, -2};
    EXPECT_EQ(shoal_of(made, [](auto& r) { r.positive_down = true; }).back(), -2) << "a drying height";
}

TEST(Bathymetry, ChartDatumBelowTheRastersDatumTakesWaterAway) {
    // The raster on mean sea level, chart datum 1.5 m below it: -1.5. Where mean sea level has 5 m, charts
    // say 3.5.
    EXPECT_EQ(shoal_of({}, [](auto& r) { r.chart_datum_m = -1.5; })[4], 3.5F);
    EXPECT_EQ(shoal_of({},
                       [](auto& r) {
                           r.positive_down = true;
                           r.chart_datum_m = -1.5;
                       })[4],
              -6.5F);
}

TEST(Bathymetry, TheSignMustBeSaidAndTheRangeIsShown) {
    EXPECT_THAT(
        complaint(Made{}, [](auto& r) { r.positive_down.reset(); }),
        AllOf(HasSubstr("from -12 to -1"), HasSubstr("<positive> up if"), HasSubstr("<positive> down if")));
}

TEST(Bathymetry, TheSignOfTheCfConventionsIsTaken) {
    const auto unsaid = [](auto& r) { r.positive_down.reset(); };
    Made made;
    made.band_items = {{"positive", "down"}};
    EXPECT_EQ(shoal_of(made, unsaid)[1], -2);
    made.band_items = {{"standard_name", "sea_floor_depth_below_geoid"}};
    EXPECT_EQ(shoal_of(made, unsaid)[1], -2);
    made.band_items = {{"standard_name", "surface_altitude"}};
    EXPECT_EQ(shoal_of(made, unsaid)[1], 2);
    made.band_items = {{"positive", "up"}, {"standard_name", "depth"}};
    EXPECT_THAT(complaint(made, unsaid), HasSubstr("contradicts itself"));
    made.band_items = {{"positive", "down"}};
    EXPECT_THAT(complaint(made), AllOf(HasSubstr("positive down"), HasSubstr("<positive> up contradicts")));
}

TEST(Bathymetry, UnitsOfTheFileAndOfTheUser) {
    Made made;
    made.unit = "ft";
    EXPECT_EQ(shoal_of(made)[9], narrow_down(3.048));
    made.unit = "US survey foot";
    EXPECT_EQ(shoal_of(made)[9], narrow_down(10 * (1200.0 / 3937)));
    made.unit = "fathom";
    EXPECT_EQ(shoal_of(made)[9], narrow_down(10 * 1.8288));
    made.unit = "";
    EXPECT_EQ(shoal_of(made, [](auto& r) { r.depth_unit = "fm"; })[0], narrow_down(1.8288));
    EXPECT_THAT(complaint(made),
                HasSubstr("made.tif: does not say its unit; give <depth unit> m, dm, cm, ft, us-ft or fm"));
    EXPECT_THAT(assumptions_of(made, [](auto& r) { r.depth_unit = "m"; }), Contains("unit: m (as said)"));
    made.file_items = {{"units", "m LAT"}};
    EXPECT_EQ(shoal_of(made)[0], 1) << "stated beside the band";
    made.file_items.clear();
    made.unit = "ft";
    EXPECT_THAT(complaint(made, [](auto& r) { r.depth_unit = "m"; }),
                HasSubstr("<depth unit> m contradicts"));
    EXPECT_EQ(complaint(made, [](auto& r) { r.depth_unit = "ft"; }), "accepted");
    made.unit = "cubits";
    EXPECT_THAT(complaint(made), AllOf(HasSubstr("cubits"), HasSubstr("<depth unit>")));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.depth_unit = "yd"; }), HasSubstr("not a unit"));
}

TEST(Bathymetry, ChartDatumMustBeKnown) {
    const auto unsaid = [](auto& r) { r.chart_datum_m.reset(); };
    EXPECT_THAT(complaint(Made{}, unsaid), HasSubstr("<chart datum>"));
    Made made;
    made.unit = "";
    made.file_items = {{"units", "m LAT"}};
    EXPECT_EQ(shoal_of(made, unsaid)[2], 3);
    made.file_items = {{"units", "m MSL"}};
    EXPECT_THAT(complaint(made, unsaid), HasSubstr("<chart datum>"));
    made.file_items = {{"units", "m flat"}}; // "lat" as a part of a word is no datum
    EXPECT_THAT(complaint(made, unsaid), HasSubstr("<chart datum>"));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.chart_datum_m = 1e4; }), HasSubstr("<chart datum>"));
}

TEST(Bathymetry, AVerticalCrsMayNameChartDatum) {
    const auto unsaid = [](auto& r) { r.chart_datum_m.reset(); };
    Made made;
    made.crs =
        "EPSG:26919+5866"; // mean lower low water, "depth", axis down: the axis says nothing of the values
    EXPECT_EQ(shoal_of(made, unsaid)[2], 3);
    made.crs = "EPSG:26919+5703";
    EXPECT_THAT(complaint(made, unsaid), AllOf(HasSubstr("NAVD88"), HasSubstr("<chart datum>")));
}

TEST(Bathymetry, ScaleAndOffsetOfTheBand) {
    Made made;
    made.type = GDT_Int16;
    made.scale = 0.1;
    made.offset = -2;
    EXPECT_EQ(shoal_of(made)[9], narrow_down(3.0)) << "-10 * 0.1 - 2";
    made.scale = 0;
    EXPECT_THAT(complaint(made), HasSubstr("scale"));
}

TEST(Bathymetry, ScaleAndOffsetAreToldWithTheFileThatTheyAreFrom) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    Made made;
    made.scale = 0.1;
    made.offset = -2;
    write(made, file);
    EXPECT_THAT(told_all(open_bathymetry(heights(file))->assumptions()),
                Contains("scale: 0.1, offset -2 (file)"));
    made.scale = made.offset = std::nullopt;
    write(made, file);
    EXPECT_THAT(told_all(open_bathymetry(heights(file))->assumptions()), Not(Contains(StartsWith("scale"))));
    std::ofstream(file + ".aux.xml")
        << R"(<PAMDataset><PAMRasterBand band="1"><Offset>0</Offset><Scale>10</Scale></PAMRasterBand></PAMDataset>)";
    const auto source = open_bathymetry(heights(file));
    EXPECT_THAT(told_all(source->assumptions()), Contains("scale: 10, offset 0 (" + file + ".aux.xml)"));
    EXPECT_EQ(read_all(*source).shoal_m.at(0, 0), 10) << "and it is applied";
    EXPECT_THAT(source->files(), Contains(file + ".aux.xml"));
}

TEST(Bathymetry, ScaleOfTheUncertaintyIsTold) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    Made made;
    made.second = std::vector<double>(12, 5);
    write(made, file);
    std::ofstream(file + ".aux.xml")
        << R"(<PAMDataset><PAMRasterBand band="2"><Scale>0.1</Scale></PAMRasterBand></PAMDataset>)";
    BathymetryRequest request = heights(file);
    request.uncertainty = std::nullopt;
    const auto source = open_bathymetry(request);
    EXPECT_THAT(told_all(source->assumptions()),
                Contains("scale of the uncertainty: 0.1, offset 0 (" + file + ".aux.xml)"));
    EXPECT_EQ(read_all(*source).shoal_m.at(0, 0), 0.5F);
}

} // namespace
} // namespace swingroom
