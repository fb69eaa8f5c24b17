#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <string>
#include <thread>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;

double degrees(double d, double m, double s) { return d + m / 60 + s / 3600; }

/// A grid of 1000 x 1000 cells with its middle at a place given in its CRS.
Grid around(const std::string& crs, double x, double y, double step) {
    return {1000, 1000, x - 500 * step, y + 500 * step, step, -step, crs};
}

template <class Call>
std::string refusal(Call call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

// Flinders Peak to Buninyong, the worked example of the Geocentric Datum of Australia technical manual (from
// memory): 54 972.271 m, azimuth 306 52 05.37. It is on GRS 80, which differs from WGS 84 by a micrometre
// here.
TEST(Geodesic, FlindersPeakToBuninyong) {
    const LonLat flinders_peak{degrees(144, 25, 29.52440), -degrees(37, 57, 3.72030)};
    const LonLat buninyong{degrees(143, 55, 35.38390), -degrees(37, 39, 10.15610)};
    const Geodesic line = geodesic(flinders_peak, buninyong);
    EXPECT_NEAR(line.distance_m, 54972.271, 0.0006);
    EXPECT_NEAR(line.azimuth_deg, degrees(306, 52, 5.37), 0.006 / 3600);
    EXPECT_NEAR(geodesic(buninyong, flinders_peak).azimuth_deg, degrees(127, 10, 25.07), 0.006 / 3600);
}

// An airport to another, the example in the manual of GeographicLib's GeodSolve (C. F. F. Karney; from
// memory).
TEST(Geodesic, AcrossAnOcean) {
    EXPECT_NEAR(geodesic({-73.8, 40.6}, {-0.5, 51.6}).distance_m, 5551759.400, 0.001);
}

TEST(Geodesic, AzimuthsAreFromZeroUpTo360) {
    EXPECT_NEAR(geodesic({0, 0}, {1, 0}).azimuth_deg, 90, 1e-12);
    EXPECT_NEAR(geodesic({0, 0}, {-1, 0}).azimuth_deg, 270, 1e-12);
    EXPECT_EQ(geodesic({5, 10}, {5, 11}).azimuth_deg, 0);
    EXPECT_NEAR(geodesic({5, 10}, {5, 9}).azimuth_deg, 180, 1e-12);
    EXPECT_LT(geodesic({5, 10}, {std::nextafter(5.0, 0.0), 11}).azimuth_deg, 360);
    EXPECT_EQ(geodesic({5, 10}, {5, 10}).distance_m, 0);
    EXPECT_NEAR(geodesic({179.9, 0}, {-179.9, 0}).distance_m, 0.2 * 111319.4908, 0.001) << "across 180";
}

// IOGP Guidance Note 7-2, worked examples of the projections (from memory).
TEST(Georeference, PublishedExamplesOfProjections) {
    const LonLat mercator =
        Georeference(around("EPSG:3857", -11169055.58, 2800000, 10), "raster").lonlat({500, 500});
    EXPECT_NEAR(mercator.lon, -degrees(100, 20, 0), 1e-7);
    EXPECT_NEAR(mercator.lat, degrees(24, 22, 54.433), 1e-7);
    const LonLat equal_area =
        Georeference(around("EPSG:3035", 3962799.45, 2999718.85, 10), "raster").lonlat({500, 500});
    EXPECT_NEAR(equal_area.lon, 5, 1e-7);
    EXPECT_NEAR(equal_area.lat, 50, 1e-7);
}

TEST(Georeference, ThereAndBackOnAllKindsOfGrids) {
    const std::array grids = {around("EPSG:32631", 600'000, 5'900'000, 10),
                              around("EPSG:4326", -70.7, 43.06, 1e-4),
                              around("EPSG:4326", 204.93, 19.7, 1e-4),
                              around("EPSG:3857", -7'900'000, 5'300'000, 5),
                              around("EPSG:2263", 980'000, 200'000, 30),
                              around("EPSG:3031", 500'000, 900'000, 50),
                              Grid{1000, 1000, 600'000, -4'000'000, 10, 25, "EPSG:32760"}};
    for (const Grid& grid : grids) {
        const Georeference georeference(grid, "raster");
        for (const GridPoint p : {GridPoint{0, 0}, GridPoint{999.5, 0.5}, GridPoint{321.25, 987.75}}) {
            const LonLat there = georeference.lonlat(p);
            EXPECT_LE(std::abs(there.lon), 180);
            const GridPoint back = georeference.grid_point(there);
            EXPECT_NEAR(back.x, p.x, 1e-5) << grid.crs_wkt;
            EXPECT_NEAR(back.y, p.y, 1e-5) << grid.crs_wkt;
        }
    }
}

TEST(Georeference, LongitudesFrom0To360) {
    const Georeference hilo(Grid{701, 692, 204.9, 19.774, 0.0000926, -0.0000926, "EPSG:4326"}, "raster");
    EXPECT_NEAR(hilo.lonlat({0, 0}).lon, -155.1, 1e-9);
    EXPECT_NEAR(hilo.grid_point({-155.07, 19.75}).x, 0.03 / 0.0000926, 1e-6);
    EXPECT_NEAR(hilo.grid_point({204.93, 19.75}).x, 0.03 / 0.0000926, 1e-6) << "either way of saying it";
}

TEST(Georeference, ARasterAcross180StaysInOnePiece) {
    const Grid in_degrees = around("EPSG:4326", 180, -17, 0.001);
    const Grid mercator = around("EPSG:3857", 20037508.342789244, -1'900'000, 100);
    const Grid utm = around("EPSG:32760", 800'000, 8'100'000, 100);
    for (const Grid& grid : {in_degrees, mercator, utm}) {
        const Georeference georeference(grid, "raster");
        std::vector<GridPoint> row;
        for (int c = 0; c <= 1000; ++c) {
            row.push_back({static_cast<double>(c), 500});
        }
        georeference.to_lonlat_unwrapped(row);
        for (std::size_t i = 1; i < row.size(); ++i) {
            EXPECT_NEAR(row[i].x - row[i - 1].x, row[1].x - row[0].x, 1e-6)
                << grid.crs_wkt << " column " << i;
        }
        for (const double col : {10.0, 990.0}) {
            const LonLat there = georeference.lonlat({col, 500});
            EXPECT_NEAR(georeference.grid_point(there).x, col, 1e-4) << grid.crs_wkt;
            EXPECT_NEAR(georeference.grid_point({there.lon + 360, there.lat}).x, col, 1e-4) << grid.crs_wkt;
        }
    }
}

TEST(Georeference, CrsThatAreNotTiedToTheEarthAreRefused) {
    const std::string local =
        R"(ENGCRS["site",EDATUM["peg"],CS[Cartesian,2],AXIS["x",east],AXIS["y",north],UNIT["m",1]])";
    const std::string unknown_datum =
        R"(GEOGCRS["x",DATUM["not one we know",ELLIPSOID["Bessel 1841",6377397.155,299.1528128]],CS[ellipsoidal,2],)"
        R"(AXIS["latitude",north],AXIS["longitude",east],ANGLEUNIT["degree",0.0174532925199433]])";
    for (const std::string& crs : {local, std::string("EPSG:4978"), std::string("EPSG:5866"),
                                   std::string("nonsense"), std::string()}) {
        EXPECT_THAT(refusal([&] { Georeference(around(crs, 0, 0, 1), "depths.tif"); }),
                    testing::AllOf(HasSubstr("depths.tif"), HasSubstr("neither geographic nor projected")))
            << crs;
    }
    EXPECT_THAT(refusal([&] { Georeference(around(unknown_datum, 5, 53, 1e-4), "depths.tif"); }),
                HasSubstr("unknown datum"));
}

TEST(Georeference, PointsThatLieNowhereAreRefused) {
    const Georeference georeference(around("EPSG:3035", 4'000'000, 3'000'000, 10), "depths.tif");
    EXPECT_THAT(refusal([&] {
                    static_cast<void>(georeference.lonlat({1e9, 1e9}));
                }),
                HasSubstr("nowhere on the earth"));
    EXPECT_THAT(refusal([&] {
                    static_cast<void>(georeference.grid_point({10, 95}));
                }),
                HasSubstr("no place"));
    EXPECT_THAT(refusal([&] {
                    static_cast<void>(georeference.grid_point({std::nan(""), 5}));
                }),
                HasSubstr("no place"));
}

TEST(HorizontalCrs, VerticalPartsAndNullShiftsAreTakenOff) {
    const std::string plain = horizontal_crs_wkt("EPSG:32619+5866", "raster");
    EXPECT_THAT(plain, HasSubstr("UTM zone 19N"));
    EXPECT_THAT(plain, testing::Not(HasSubstr("MLLW")));
    const std::string bound =
        horizontal_crs_wkt("+proj=utm +zone=19 +ellps=GRS80 +towgs84=0,0,0,0,0,0,0 +type=crs", "raster");
    EXPECT_THAT(bound, testing::StartsWith("PROJCRS"));
}

TEST(Georeference, WhatWasFoundOutForOneGridIsNotTakenForAnother) {
    // Of the ways from NAD 27 to WGS 84 each is for an area of its own.
    const auto middle_of = [](double lon, double lat) {
        return Georeference(around("EPSG:4267", lon, lat, 0.0001), "chart").lonlat({500, 500});
    };
    const auto same = [](LonLat a, LonLat b) { return a.lon == b.lon && a.lat == b.lat; };
    const LonLat new_york = middle_of(-74, 40.6);
    const LonLat alaska = middle_of(-150, 60);
    EXPECT_GT(std::abs((alaska.lon + 150) - (new_york.lon + 74)), 1e-4);
    EXPECT_TRUE(same(middle_of(-74, 40.6), new_york));
    LonLat in_another_thread;
    std::thread([&] { in_another_thread = middle_of(-74, 40.6); }).join();
    EXPECT_TRUE(same(in_another_thread, new_york));
    for (int i = 0; i < 70; ++i) { // more than are remembered
        static_cast<void>(middle_of(-80 + 0.01 * i, 40.6));
    }
    EXPECT_TRUE(same(middle_of(-74, 40.6), new_york));
    EXPECT_TRUE(same(middle_of(-150, 60), alaska));
}

} // namespace
} // namespace swingroom
