// Formats that need more than to be opened: S-102 as HDF5, NetCDF with several variables, grids as text.

#include "swingroom/base/error.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/raster/bathymetry_s102.hpp"
#include "support/fact_lines.hpp"
#include "support/open_data.hpp"
#include "support/scratch.hpp"
#include "support/setting_words.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <unistd.h>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;

class Formats : public testing::Test {
protected:
    void SetUp() override { GDALAllRegister(); }
    [[nodiscard]] std::string path(const std::string& name) const { return scratch_ / name; }
    [[nodiscard]] std::string written(const std::string& name, const std::string& text) const {
        std::ofstream(path(name)) << text;
        return path(name);
    }

private:
    testing_support::Scratch scratch_;
};

/// Depths positive down on chart datum, no uncertainty.
BathymetryRequest depths_of(const std::string& file) {
    BathymetryRequest request;
    request.file = file;
    request.positive_down = true;
    request.depth_unit = "m";
    request.chart_datum_m = 0;
    request.uncertainty = DepthUncertainty::none();
    return request;
}

std::string refusal(const BathymetryRequest& request) {
    try {
        open_bathymetry(request);
    } catch (const InputError& error) {
        return error.message().text(marked);
    }
    return "none";
}

std::vector<float> shoal_of(const DepthSource& source) {
    DepthPlanes depths;
    source.read(source.grid().extent(), depths);
    return {depths.shoal_m.data(), depths.shoal_m.data() + depths.shoal_m.size()};
}

// --- NetCDF and HDF5, by GDAL's multidimensional writer of NetCDF-4, which is HDF5.

using Group = std::shared_ptr<GDALGroup>;

void set(GDALMDArray& of, const char* name, const char* value) {
    of.CreateAttribute(name, {}, GDALExtendedDataType::CreateString())->Write(value);
}
void set(GDALGroup& of, const char* name, const char* value) {
    of.CreateAttribute(name, {}, GDALExtendedDataType::CreateString())->Write(value);
}
void set(GDALGroup& of, const char* name, double value) {
    of.CreateAttribute(name, {}, GDALExtendedDataType::Create(GDT_Float64))->Write(value);
}

template <class T>
void write_values(GDALMDArray& array, const GDALExtendedDataType& type, std::vector<T> values) {
    std::vector<GUInt64> start;
    std::vector<std::size_t> count;
    for (const auto& dimension : array.GetDimensions()) {
        start.push_back(0);
        count.push_back(static_cast<std::size_t>(dimension->GetSize()));
    }
    ASSERT_TRUE(array.Write(start.data(), count.data(), nullptr, nullptr, type, values.data()));
}

/// A grid of a NetCDF file, of 3 columns and 2 rows.
struct Variable {
    std::string name, standard_name;
    std::vector<double> values;
};

void write_netcdf(const std::string& file, const std::vector<Variable>& variables, bool curved = false) {
    const std::unique_ptr<GDALDataset> dataset(
        GetGDALDriverManager()->GetDriverByName("netCDF")->CreateMultiDimensional(file.c_str(), nullptr,
                                                                                  nullptr));
    ASSERT_TRUE(dataset);
    const Group root = dataset->GetRootGroup();
    set(*root, "Conventions", "CF-1.8");
    const auto y = root->CreateDimension("lat", curved ? "" : GDAL_DIM_TYPE_HORIZONTAL_Y, "", 2),
               x = root->CreateDimension("lon", curved ? "" : GDAL_DIM_TYPE_HORIZONTAL_X, "", 3);
    const auto number = GDALExtendedDataType::Create(GDT_Float64);
    const auto axis = [&](const char* name, const std::vector<std::shared_ptr<GDALDimension>>& dimensions,
                          const char* unit, const std::vector<double>& values) {
        const auto array = root->CreateMDArray(name, dimensions, number);
        set(*array, "units", unit);
        set(*array, "standard_name", unit[8] == 'n' ? "latitude" : "longitude");
        write_values(*array, number, values);
    };
    if (curved) {
        axis("latitude", {y, x}, "degrees_north", {53, 53.1, 53.2, 54, 54.1, 54.2});
        axis("longitude", {y, x}, "degrees_east", {3, 4, 5, 3.1, 4.1, 5.1});
    } else {
        axis("lat", {y}, "degrees_north", {53.001, 53});
        axis("lon", {x}, "degrees_east", {3, 3.001, 3.002});
    }
    for (const Variable& variable : variables) {
        const auto array = root->CreateMDArray(variable.name, {y, x}, number);
        if (!variable.standard_name.empty()) set(*array, "standard_name", variable.standard_name.c_str());
        if (curved) set(*array, "coordinates", "longitude latitude");
        set(*array, "units", "m");
        write_values(*array, number, variable.values);
    }
}

const Variable depth = {"h1", "sea_floor_depth_below_mean_sea_level", {1, 2, 3, 4, 5, 6}},
               deviation = {"stdev", "", {0, 0, 0, 0, 0, 1}}, second = {"depth", "", {9, 9, 9, 9, 9, 9}};

TEST_F(Formats, OfANetCdfsVariablesTheOneWithTheStandardNameIsTaken) {
    write_netcdf(path("two.nc"), {deviation, second, depth});
    BathymetryRequest request = depths_of(path("two.nc"));
    request.crs = "EPSG:4326";
    const auto source = open_bathymetry(request);
    EXPECT_EQ(shoal_of(*source), (std::vector<float>{1, 2, 3, 4, 5, 6}));
    EXPECT_NEAR(source->grid().x_of(0), 2.9995, 1e-9);
    EXPECT_NEAR(source->grid().y_of(0), 53.0015, 1e-9);
    EXPECT_EQ(source->files(), (std::vector<std::string>{path("two.nc")}));
    EXPECT_THAT(told_all(source->assumptions()),
                Contains("variable: h1, the only one of 3 that by its name is a depth or "
                         "a height of the sea floor"));
    request.variable = "depth";
    const auto other = open_bathymetry(request);
    EXPECT_EQ(shoal_of(*other), (std::vector<float>(6, 9)));
    EXPECT_THAT(told_all(other->assumptions()), Contains("variable: depth (as said)"));
}

TEST_F(Formats, NetCdfVariablesThatLeaveADoubtAreListed) {
    BathymetryRequest request = depths_of(path("doubt.nc"));
    request.crs = "EPSG:4326";
    Variable land = depth;
    land.name = "land";
    land.standard_name = "surface_altitude";
    write_netcdf(path("doubt.nc"), {deviation, depth, land});
    EXPECT_EQ(refusal(request), path("doubt.nc") +
                                    ": holds 3 grids, of which several (h1, land) may be the depth "
                                    "of the sea floor; say which one with <variable>: stdev, h1, "
                                    "land");
    request.variable = "h2";
    EXPECT_EQ(refusal(request),
              path("doubt.nc") + ": holds no grid \"h2\"; give <variable> one of stdev, h1, land");
    request.file = path("none.nc");
    request.variable.reset();
    Variable waves = deviation;
    waves.name = "waves";
    write_netcdf(path("none.nc"), {deviation, waves});
    EXPECT_THAT(refusal(request), HasSubstr("holds 2 grids, of which none says that it is the depth"));
}

TEST_F(Formats, AVariableIsRefusedWhereThereIsNoneToChoose) {
    write_netcdf(path("one.nc"), {depth});
    BathymetryRequest request = depths_of(path("one.nc"));
    request.crs = "EPSG:4326";
    request.variable = "h1";
    EXPECT_EQ(shoal_of(*open_bathymetry(request)), (std::vector<float>{1, 2, 3, 4, 5, 6}));
    request.variable = "depth";
    EXPECT_THAT(refusal(request), HasSubstr("holds one grid, \"h1\", not \"depth\"; leave <variable> out"));
    request.file = written("text.asc", "ncols 1\nnrows 1\nxllcorner 3\nyllcorner 53\ncellsize 1\n5\n");
    EXPECT_THAT(refusal(request), HasSubstr("holds no variables for <variable> to choose from"));
}

TEST_F(Formats, ACurvedNetCdfIsRefused) {
    write_netcdf(path("curved.nc"), {depth, deviation}, true);
    BathymetryRequest request = depths_of(path("curved.nc"));
    request.crs = "EPSG:4326";
    EXPECT_THAT(refusal(request), AllOf(HasSubstr("is a curved grid"), HasSubstr("gdalwarp -geoloc")));
}

// --- S-102

struct Sounding {
    float depth = 0, uncertainty = 0;
};

/// What of an S-102 file is changed.
struct Change {
    std::function<void(GDALGroup& root, GDALGroup& coverage, GDALGroup& instance)> also = {};
    std::string left_out{};
    double points_x = 3;
    std::string second_component = "uncertainty";
    int cols = 3, rows = 2;
    std::vector<Sounding> values = {{5, 0.5F}, {6, 0.5F}, {1e6F, 1e6F}, {8, 1}, {9, 1e6F}, {-2, 0.25F}};
};

/// The first row in the south.
void write_s102(const std::string& file, const Change& change = {}) {
    const std::string netcdf = file + ".nc";
    {
        const std::unique_ptr<GDALDataset> dataset(
            GetGDALDriverManager()->GetDriverByName("netCDF")->CreateMultiDimensional(netcdf.c_str(), nullptr,
                                                                                      nullptr));
        ASSERT_TRUE(dataset);
        const Group root = dataset->GetRootGroup(), coverage = root->CreateGroup("BathymetryCoverage"),
                    instance = coverage->CreateGroup("BathymetryCoverage.01"),
                    group = instance->CreateGroup("Group_001");
        const auto say = [&](GDALGroup& of, const char* name, auto value) {
            if (change.left_out != name) set(of, name, value);
        };
        say(*root, "productSpecification", "INT.IHO.S-102.3.0.0");
        say(*root, "horizontalCRS", 32631.0);
        say(*root, "verticalDatum", 23.0);
        say(*coverage, "dataCodingFormat", 2.0);
        say(*coverage, "sequencingRule.scanDirection", "Easting, Northing");
        say(*instance, "gridOriginLongitude", 600'000.0);
        say(*instance, "gridOriginLatitude", 5'900'000.0);
        say(*instance, "gridSpacingLongitudinal", 10.0);
        say(*instance, "gridSpacingLatitudinal", 20.0);
        say(*instance, "numPointsLongitudinal", change.points_x);
        say(*instance, "numPointsLatitudinal", static_cast<double>(change.rows));
        say(*instance, "startSequence", "0,0");
        if (change.also) change.also(*root, *coverage, *instance);
        std::vector<std::unique_ptr<GDALEDTComponent>> components;
        const auto number = GDALExtendedDataType::Create(GDT_Float32);
        components.push_back(std::make_unique<GDALEDTComponent>("depth", 0, number));
        components.push_back(
            std::make_unique<GDALEDTComponent>(change.second_component, sizeof(float), number));
        const auto type = GDALExtendedDataType::Create("sounding", sizeof(Sounding), std::move(components));
        const auto values = group->CreateMDArray(
            "values",
            {group->CreateDimension("rows", "", "", static_cast<GUInt64>(change.rows)),
             group->CreateDimension("columns", "", "", static_cast<GUInt64>(change.cols))},
            type);
        ASSERT_TRUE(values);
        write_values(*values, type, change.values);
    }
    std::filesystem::rename(netcdf, file);
}

BathymetryRequest only(const std::string& file) {
    BathymetryRequest request;
    request.file = file;
    return request;
}

TEST_F(Formats, AnS102SaysEverythingItself) {
    write_s102(path("made.h5"));
    const auto source = open_bathymetry(only(path("made.h5")));
    const Grid& grid = source->grid();
    EXPECT_EQ(grid.cols, 3);
    EXPECT_EQ(grid.rows, 2);
    EXPECT_EQ(grid.origin_x, 599'995); // cells around nodes
    EXPECT_EQ(grid.origin_y, 5'900'030);
    EXPECT_EQ(grid.step_x, 10);
    EXPECT_EQ(grid.step_y, -20);
    DepthPlanes depths;
    source->read(grid.extent(), depths);
    EXPECT_EQ(depths.shoal_m.at(0, 0), 7); // the northern row, which is stored last
    EXPECT_EQ(depths.deep_m.at(0, 0), 9);
    EXPECT_TRUE(std::isnan(depths.shoal_m.at(1, 0))); // a depth without an uncertainty
    EXPECT_EQ(depths.shoal_m.at(2, 0), -2.25F);
    EXPECT_EQ(depths.shoal_m.at(0, 1), 4.5F);
    EXPECT_TRUE(std::isnan(depths.shoal_m.at(2, 1)));
    EXPECT_THAT(told_all(source->assumptions()),
                AllOf(Contains("format: S102"), Contains("sign: positive down (S-102)"),
                      Contains("unit: metres (by format)"),
                      Contains("chart datum: lowest astronomical tide, the raster's own datum (file)")));
    BathymetryRequest against = only(path("made.h5"));
    against.positive_down = false;
    EXPECT_THAT(refusal(against), HasSubstr("is positive down (S-102), which <positive> up contradicts"));
}

TEST_F(Formats, AnS102LargerThanABlockKeepsEveryNodeInItsPlace) {
    Change large;
    large.cols = 300;
    large.rows = 520;
    large.points_x = 300;
    large.values.clear();
    for (int row = 0; row < large.rows; ++row) {
        for (int col = 0; col < large.cols; ++col) {
            large.values.push_back({static_cast<float>(row * 8 + col % 7), 0.25F});
        }
    }
    write_s102(path("large.h5"), large);
    const auto source = open_bathymetry(only(path("large.h5")));
    DepthPlanes depths;
    for (const Window part : {Window{0, 0, 300, 520}, Window{250, 200, 20, 300}}) {
        source->read(part, depths);
        for (int row = part.row; row < part.row_end(); ++row) {
            for (int col = part.col; col < part.col_end(); ++col) {
                ASSERT_EQ(depths.deep_m.at(col, row), static_cast<float>((519 - row) * 8 + col % 7) + 0.25F);
            }
        }
    }
}

TEST_F(Formats, AnS102ThatIsNotWholeOrStrangeIsRefusedByWhatIsWrong) {
    const auto says = [&](const Change& change) {
        write_s102(path("odd.h5"), change);
        return refusal(only(path("odd.h5")));
    };
    for (const std::string name :
         {"gridOriginLongitude", "gridOriginLatitude", "gridSpacingLongitudinal", "gridSpacingLatitudinal",
          "numPointsLongitudinal", "numPointsLatitudinal"}) {
        EXPECT_THAT(says({.left_out = name}), HasSubstr("is an S-102 file without " + name + ";"));
    }
    EXPECT_THAT(says({.left_out = "horizontalCRS"}),
                AllOf(HasSubstr("names no CRS; "), HasSubstr("<CRS> EPSG:")));
    EXPECT_THAT(says({.left_out = "verticalDatum"}), HasSubstr("give the height of chart datum above it"));
    EXPECT_THAT(says({.left_out = "dataCodingFormat"}),
                HasSubstr("no regular grid (dataCodingFormat missing"));
    EXPECT_THAT(says({.points_x = 4}), HasSubstr("says that its grid has 4 x 2 points, and holds 3 x 2"));
    EXPECT_THAT(says({.second_component = "error"}), HasSubstr("its grid has no component \"uncertainty\""));
    EXPECT_THAT(says({.also = [](auto&, GDALGroup& coverage,
                                 auto&) { coverage.CreateGroup("BathymetryCoverage.02"); }}),
                HasSubstr("holds 2 grids of depths"));
    EXPECT_THAT(says({.also = [](GDALGroup& root, auto&, auto&) { set(root, "verticalCS", 6499); }}),
                HasSubstr("states the vertical coordinate system EPSG:6499"));
    EXPECT_THAT(says({.also = [](auto&, auto&, GDALGroup& instance) { set(instance, "verticalDatum", 3); }}),
                HasSubstr("is on the vertical datum \"mean Sea Level\""));
}

using bathymetry::s102_geotransform;
using bathymetry::S102Place;

TEST(S102, GridsFromAnotherCornerOrWithoutASpacingAreRefused) {
    const S102Place sound{.origin_x = 3,
                          .origin_y = 53,
                          .spacing_x = 0.001,
                          .spacing_y = 0.002,
                          .points_x = 20,
                          .points_y = 10,
                          .scan_direction = "longitude, latitude",
                          .start_sequence = "0,0"};
    const auto made = s102_geotransform(sound, 20, 10, "a.h5");
    EXPECT_DOUBLE_EQ(made[0], 2.9995);
    EXPECT_DOUBLE_EQ(made[3], 53.019);
    EXPECT_EQ(made[5], -0.002);
    const auto says = [&](auto change) -> std::string {
        S102Place odd = sound;
        change(odd);
        try {
            s102_geotransform(odd, 20, 10, "a.h5");
        } catch (const InputError& error) {
            return error.what();
        }
        return "none";
    };
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_THAT(says([](S102Place& p) { p.spacing_x = 0; }), HasSubstr("grid spacing of 0 by 0.002"));
    EXPECT_THAT(says([](S102Place& p) { p.spacing_y = -0.002; }),
                HasSubstr("grid spacing of 0.001 by -0.002"));
    EXPECT_THAT(says([&](S102Place& p) { p.origin_y = nan; }), HasSubstr("without gridOriginLatitude"));
    EXPECT_THAT(says([](S102Place& p) { p.points_y = 9.5; }),
                HasSubstr("20 x 9.5 points, and holds 20 x 10"));
    EXPECT_THAT(says([](S102Place& p) { p.scan_direction = "Easting, -Northing"; }),
                HasSubstr("another corner than the south-west"));
    EXPECT_THAT(says([](S102Place& p) { p.start_sequence = "0,9"; }), HasSubstr("another corner"));
}

// S-100 edition 5.0.0, S100_VerticalAndSoundingDatum; IHO S-57 appendix A chapter 2, VERDAT.
TEST(S102, VerticalDatumsByTheirCodes) {
    EXPECT_EQ(bathymetry::s102_datum_name(1), "meanLowWaterSprings");
    EXPECT_EQ(bathymetry::s102_datum_name(3), "meanSeaLevel");
    EXPECT_EQ(bathymetry::s102_datum_name(12), "meanLowerLowWater");
    EXPECT_EQ(bathymetry::s102_datum_name(23), "lowestAstronomicalTide");
    EXPECT_EQ(bathymetry::s102_datum_name(27), "lowerLowWaterLargeTide");
    EXPECT_EQ(bathymetry::s102_datum_name(30), "highestAstronomicalTide");
    EXPECT_EQ(bathymetry::s102_datum_name(44), "balticSeaChartDatum2000");
    EXPECT_EQ(bathymetry::s102_datum_name(31), "");
    EXPECT_EQ(bathymetry::s102_datum_name(-1), "");
}

// --- Grids as text

constexpr const char* esri_ascii = "ncols 3\nnrows 2\nxllcorner 600000\nyllcorner 5900000\ncellsize 10\n"
                                   "NODATA_value -99\n1 2 3\n4 -99 6\n";

TEST_F(Formats, EsriAsciiIsReadOnceItsCrsIsSaid) {
    BathymetryRequest request = depths_of(written("grid.asc", esri_ascii));
    EXPECT_THAT(refusal(request),
                HasSubstr("metres of a projection, not degrees; say which one with <CRS> EPSG:"));
    request.crs = "EPSG:32631";
    const auto source = open_bathymetry(request);
    EXPECT_EQ(source->grid().origin_x, 600'000);
    EXPECT_EQ(source->grid().origin_y, 5'900'020);
    const std::vector<float> depths = shoal_of(*source);
    EXPECT_EQ(depths[0], 1);
    EXPECT_EQ(depths[2], 3);
    EXPECT_TRUE(std::isnan(depths[4]));
    EXPECT_EQ(depths[5], 6);
}

TEST_F(Formats, XyzIsReadWhereItIsARegularGrid) {
    BathymetryRequest request =
        depths_of(written("grid.xyz", "600005 5900015 1\n600015 5900015 2\n600025 5900015 3\n"
                                      "600005 5900005 4\n600015 5900005 5\n600025 5900005 6\n"));
    request.crs = "EPSG:32631";
    const auto source = open_bathymetry(request);
    EXPECT_EQ(source->grid().origin_x, 600'000); // the points are the middles of cells
    EXPECT_EQ(source->grid().origin_y, 5'900'020);
    EXPECT_EQ(source->grid().step_x, 10);
    EXPECT_EQ(shoal_of(*source), (std::vector<float>{1, 2, 3, 4, 5, 6}));
}

TEST_F(Formats, PointsThatAnXyzLeavesOutAreUnsurveyed) {
    BathymetryRequest request = depths_of(written("hole.xyz", "600005 5900015 1.5\n600025 5900015 3\n"
                                                              "600005 5900005 4\n600015 5900005 5\n"
                                                              "600025 5900005 6\n"));
    request.crs = "EPSG:32631";
    std::vector<float> depths = shoal_of(*open_bathymetry(request));
    EXPECT_TRUE(std::isnan(depths[1]));
    request.file = written("heights.xyz", "600005 5900015 -1\n600025 5900015 0\n600005 5900005 -4\n"
                                          "600015 5900005 -5\n600025 5900005 -6\n");
    request.positive_down = false;
    depths = shoal_of(*open_bathymetry(request));
    EXPECT_TRUE(std::isnan(depths[1]));
    EXPECT_EQ(depths[2], 0);
}

TEST_F(Formats, ScatteredXyzIsRefusedByWhatIsWrong) {
    BathymetryRequest request =
        depths_of(written("points.xyz", "600005 5900015 1\n600017.3 5900011 2\n600021 5900002.7 3\n"
                                        "600002 5899991 4\n600013 5899983 5\n"));
    request.crs = "EPSG:32631";
    EXPECT_THAT(refusal(request), AllOf(HasSubstr("points.xyz: holds points that are no regular grid"),
                                        HasSubstr("gdal_grid")));
}

// --- BAG of variable resolution, against its own nodes as HDF5 holds them

struct Node {
    double x = 0, y = 0, depth_m = 0, half_width_m = 0;
};

/// All nodes of a file that have an elevation and an uncertainty (BAG format specification 1.6,
/// varres_metadata and varres_refinements): in each cell of the coarse grid a grid of its own, counted from
/// the south-west.
std::vector<Node> nodes_of(const std::string& bag, const std::string& copy) {
    std::filesystem::copy_file(bag, copy);
    const char* const hdf5[] = {"HDF5", nullptr};
    const std::unique_ptr<GDALDataset> file(
        GDALDataset::Open(copy.c_str(), GDAL_OF_MULTIDIM_RASTER, hdf5, nullptr, nullptr)),
        coarse(GDALDataset::Open(bag.c_str(), GDAL_OF_RASTER, nullptr, nullptr, nullptr));
    const Group root = file->GetRootGroup()->OpenGroup("BAG_root");
    const auto read = [&](const char* name, const char* component) {
        const auto array = root->OpenMDArray(name)->GetView("['" + std::string(component) + "']");
        std::vector<std::size_t> count;
        std::size_t all = 1;
        for (const auto& dimension : array->GetDimensions()) {
            all *= count.emplace_back(static_cast<std::size_t>(dimension->GetSize()));
        }
        std::vector<double> values(all);
        const std::vector<GUInt64> start(count.size(), 0);
        EXPECT_TRUE(array->Read(start.data(), count.data(), nullptr, nullptr,
                                GDALExtendedDataType::Create(GDT_Float64), values.data()));
        return values;
    };
    const auto index = read("varres_metadata", "index"), cols = read("varres_metadata", "dimensions_x"),
               rows = read("varres_metadata", "dimensions_y"), dx = read("varres_metadata", "resolution_x"),
               dy = read("varres_metadata", "resolution_y"), x0 = read("varres_metadata", "sw_corner_x"),
               y0 = read("varres_metadata", "sw_corner_y"), elevation = read("varres_refinements", "depth"),
               half_width = read("varres_refinements", "depth_uncrt");
    double at[6];
    EXPECT_EQ(coarse->GetGeoTransform(at), CE_None);
    const int across = coarse->GetRasterXSize(), up = coarse->GetRasterYSize();
    std::vector<Node> nodes;
    for (std::size_t cell = 0; cell < index.size(); ++cell) {
        const double west = at[0] + at[1] * static_cast<double>(static_cast<int>(cell) % across),
                     south = at[3] + at[5] * (up - static_cast<double>(static_cast<int>(cell) / across));
        for (int k = 0; k < static_cast<int>(cols[cell] * rows[cell]); ++k) {
            const auto i = static_cast<std::size_t>(index[cell]) + static_cast<std::size_t>(k);
            const int col = k % static_cast<int>(cols[cell]), row = k / static_cast<int>(cols[cell]);
            if (elevation[i] != 1e6 && half_width[i] != 1e6) {
                nodes.push_back({west + x0[cell] + col * dx[cell], south + y0[cell] + row * dy[cell],
                                 -elevation[i], half_width[i]});
            }
        }
    }
    return nodes;
}

TEST_F(Formats, NoNodeOfAVariableResolutionIsShoalerThanWhatIsReadAroundIt) {
    const std::string data = testing_support::open_data();
    if (data.empty()) GTEST_SKIP() << testing_support::no_open_data;
    for (const std::string name :
         {"format-samples/2801_4NodeSubset.bag", "format-samples/CARIS_Density_20.bag",
          "format-samples/Sample_VR_BAG-gzip.bag", "portsmouth-bag/tiny_vr.bag"}) {
        SCOPED_TRACE(name);
        BathymetryRequest request = only(data + name);
        request.chart_datum_m = 0;
        if (name.find("gzip") != std::string::npos) request.crs = "EPSG:32610";
        const auto source = open_bathymetry(request);
        const Grid& grid = source->grid();
        DepthPlanes depths;
        source->read(grid.extent(), depths);
        const std::vector<Node> nodes =
            nodes_of(request.file, path(std::filesystem::path(name).filename().string() + ".h5"));
        ASSERT_GT(nodes.size(), 1000U);
        int unsurveyed = 0, on_edges = 0;
        for (const Node& node : nodes) {
            const double x = grid.col_of(node.x), y = grid.row_of(node.y);
            // A node on the edge of cells may be in any of them.
            constexpr double edge = 1e-3;
            const bool on_edge = std::abs(x - std::round(x)) < edge || std::abs(y - std::round(y)) < edge;
            on_edges += on_edge;
            if (on_edge) continue;
            const int col = static_cast<int>(std::floor(x)), row = static_cast<int>(std::floor(y));
            ASSERT_TRUE(grid.extent().contains(col, row)) << node.x << ' ' << node.y;
            if (std::isnan(depths.shoal_m.at(col, row))) {
                ++unsurveyed;
                continue;
            }
            constexpr double float_m = 2e-5; // of the file's own floats
            ASSERT_LE(static_cast<double>(depths.shoal_m.at(col, row)),
                      node.depth_m - node.half_width_m + float_m)
                << col << ' ' << row;
            ASSERT_GE(static_cast<double>(depths.deep_m.at(col, row)),
                      node.depth_m + node.half_width_m - float_m)
                << col << ' ' << row;
        }
        EXPECT_LT(on_edges, static_cast<int>(nodes.size()) / 5);
        EXPECT_LT(unsurveyed, static_cast<int>(nodes.size()) / 100);
        std::printf("%s: %zu nodes, %d on edges, %d in unsurveyed cells\n", name.c_str(), nodes.size(),
                    on_edges, unsurveyed);
    }
}

TEST_F(Formats, AnS102OfOpenDataIsReadAsItsOwnersMadeIt) {
    const std::string data = testing_support::open_data();
    if (data.empty()) GTEST_SKIP() << testing_support::no_open_data;
    const auto source = open_bathymetry(only(data + "format-samples/102US004MI1CI262227.h5"));
    const Grid& grid = source->grid();
    EXPECT_EQ(grid.cols, 21);
    EXPECT_EQ(grid.rows, 31);
    // The file's own bounds, to the float that they are stored in: westBoundLongitude, southBoundLatitude.
    EXPECT_NEAR(grid.x_of(0), 321943.65625, 0.05);
    EXPECT_NEAR(grid.y_of(31), 4685337.0, 0.2);
    DepthPlanes depths;
    source->read(grid.extent(), depths);
    float least = 1e9F, most = -1e9F;
    int surveyed = 0;
    for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
        const float shoal_m = depths.shoal_m.data()[i], deep_m = depths.deep_m.data()[i];
        if (std::isnan(shoal_m)) continue;
        ++surveyed;
        least = std::min(least, (shoal_m + deep_m) / 2);
        most = std::max(most, (shoal_m + deep_m) / 2);
    }
    // minimumDepth and maximumDepth as the file states them.
    EXPECT_NEAR(static_cast<double>(least), 4.44, 0.001);
    EXPECT_NEAR(static_cast<double>(most), 8.89, 0.001);
    EXPECT_EQ(surveyed, 21 * 31 - 432);
    EXPECT_THAT(told_all(source->assumptions()),
                Contains("chart datum: mean lower low water, the raster's own datum (file)"));
}

} // namespace
} // namespace swingroom
