#include "swingroom/sea/charted_depths.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/sea.hpp"

#include "support/drawing.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <barrier>
#include <cmath>
#include <cstddef>
#include <memory>
#include <set>
#include <string>
#include <thread>
#include <utility>
#include <vector>

// What is told of a chart's depths, against an oracle that looks at every object of every cell by OGR: no
// index, no skipping.

namespace swingroom {
namespace {

using testing::HasSubstr;

const std::string folder = SWINGROOM_TESTDATA "/cells/";
const std::string harbour = folder + "QQ5HAVEN.000", approach = folder + "QQ3APPRO.000";

/// A cell as OGR alone sees it.
struct Cell {
    GDALDatasetUniquePtr file;
    std::vector<std::pair<std::string, OGRFeatureUniquePtr>> features;

    explicit Cell(const std::string& path) {
        const char* const options[] = {"SPLIT_MULTIPOINT=ON", "ADD_SOUNDG_DEPTH=ON", "LNAM_REFS=ON", nullptr};
        file.reset(GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR, nullptr, options));
        for (OGRLayer* const layer : file->GetLayers()) {
            while (OGRFeature* const feature = layer->GetNextFeature()) {
                features.emplace_back(layer->GetName(), OGRFeatureUniquePtr(feature));
            }
        }
    }
    /// Whether it says that it has data at a position.
    [[nodiscard]] bool covers(LonLat at) const {
        const OGRPoint point(at.lon, at.lat);
        return std::any_of(features.begin(), features.end(), [&](const auto& entry) {
            return entry.first == "M_COVR" && entry.second->GetFieldAsInteger("CATCOV") == 1 &&
                   entry.second->GetGeometryRef()->Intersects(&point);
        });
    }
};

SeaRequest both_charts() {
    SeaRequest request;
    request.charts = {approach, harbour};
    request.rules = default_hazard_rules();
    request.cell_m = 20;
    return request;
}

struct ChartedDepthsTold : testing::Test {
    Sea sea{both_charts()};
    Cell fine{harbour}, coarse{approach}; // once GDAL has been started

    [[nodiscard]] LonLat random_position(testing_support::Dice& dice) const {
        const Grid& grid = sea.grid();
        return {grid.x_of(dice.between(0, grid.cols)), grid.y_of(dice.between(0, grid.rows))};
    }
    [[nodiscard]] ExpectedDepth told(LonLat at) const {
        const GridPoint p = sea.georeference().grid_point(at);
        return sea.charted().expected(
            outline_of(sea.georeference(), static_cast<int>(p.x), static_cast<int>(p.y)), at);
    }
    /// The oracle's soundings.
    [[nodiscard]] ExpectedDepth soundings(LonLat at) const {
        ExpectedDepth all;
        for (const Cell* const cell : {&fine, &coarse}) {
            for (const auto& [name, feature] : cell->features) {
                if (name != "SOUNDG") continue;
                const OGRPoint& point = *feature->GetGeometryRef()->toPoint();
                const LonLat place{point.getX(), point.getY()};
                if (cell == &coarse && fine.covers(place)) continue;
                const Geodesic line = geodesic(at, place);
                if (line.distance_m > 370) continue;
                const double depth_m = feature->GetFieldAsDouble("DEPTH");
                all.least_m = all.soundings == 0 ? depth_m : std::min(all.least_m, depth_m);
                all.greatest_m = all.soundings == 0 ? depth_m : std::max(all.greatest_m, depth_m);
                if (all.soundings == 0 || line.distance_m < all.nearest.distance_m) {
                    all.nearest = {depth_m, line.distance_m, line.azimuth_deg};
                }
                ++all.soundings;
            }
        }
        return all;
    }
};

TEST_F(ChartedDepthsTold, SoundingsAreThoseOfEveryObjectOfTheCellsThatCount) {
    testing_support::Dice dice(1);
    std::size_t seen = 0, none = 0;
    for (int i = 0; i < 400; ++i) {
        const LonLat at = random_position(dice);
        SCOPED_TRACE(std::to_string(at.lon) + " " + std::to_string(at.lat));
        const ExpectedDepth all = soundings(at), found = told(at);
        ASSERT_EQ(found.soundings, all.soundings);
        ASSERT_EQ(found.doubtful, 0u) << "no cell has any";
        (all.soundings == 0 ? none : seen) += 1;
        if (all.soundings == 0) continue;
        ASSERT_EQ(found.least_m, all.least_m);
        ASSERT_EQ(found.greatest_m, all.greatest_m);
        ASSERT_EQ(found.nearest.depth_m, all.nearest.depth_m);
        ASSERT_EQ(found.nearest.distance_m, all.nearest.distance_m);
        ASSERT_EQ(found.nearest.bearing_deg, all.nearest.bearing_deg);
    }
    EXPECT_GT(seen, 50u);
    EXPECT_GT(none, 5u);
}

/// As boats of one run do, each for drop points of her own.
TEST_F(ChartedDepthsTold, AnswersAreTheSameWhenSeveralThreadsAsk) {
    struct Asked {
        std::vector<LonLat> outline;
        LonLat from;
        ExpectedDepth told;
    };
    testing_support::Dice dice(3);
    std::vector<Asked> alone;
    for (int i = 0; i < 100; ++i) {
        const LonLat at = random_position(dice);
        const GridPoint p = sea.georeference().grid_point(at);
        alone.push_back(
            {outline_of(sea.georeference(), static_cast<int>(p.x), static_cast<int>(p.y)), at, {}});
        alone.back().told = sea.charted().expected(alone.back().outline, at);
    }
    constexpr int rounds = 40, threads = 4;
    for (int round = 0; round < rounds; ++round) {
        const Sea fresh(both_charts()); // of which nothing is prepared yet that is when somebody asks
        const ChartedDepths& charted = fresh.charted();
        std::vector<std::vector<Asked>> of_threads(threads, alone);
        std::barrier together(threads);
        {
            std::vector<std::jthread> running;
            for (std::vector<Asked>& all : of_threads) {
                running.emplace_back([&] {
                    for (Asked& asked : all) {
                        together.arrive_and_wait();
                        asked.told = charted.expected(asked.outline, asked.from);
                    }
                });
            }
        }
        for (const std::vector<Asked>& asked : of_threads) {
            for (std::size_t i = 0; i < alone.size(); ++i) {
                const ExpectedDepth &one = asked[i].told, &other = alone[i].told;
                ASSERT_EQ(one.soundings, other.soundings);
                ASSERT_EQ(one.nearest.distance_m, other.nearest.distance_m);
                ASSERT_EQ(one.areas.size(), other.areas.size());
                for (std::size_t area = 0; area < one.areas.size(); ++area) {
                    ASSERT_EQ(one.areas[area].label, other.areas[area].label);
                }
            }
        }
    }
}

TEST_F(ChartedDepthsTold, AreasAreThoseThatShareSomeOfTheCellOfTheGrid) {
    testing_support::Dice dice(2);
    std::size_t areas = 0, several = 0, open = 0;
    for (int i = 0; i < 400; ++i) {
        const LonLat at = random_position(dice);
        SCOPED_TRACE(std::to_string(at.lon) + " " + std::to_string(at.lat));
        const GridPoint p = sea.georeference().grid_point(at);
        OGRLinearRing ring;
        bool all_fine = true, any_fine = false;
        for (const LonLat& corner :
             outline_of(sea.georeference(), static_cast<int>(p.x), static_cast<int>(p.y))) {
            ring.addPoint(corner.lon, corner.lat);
            all_fine = all_fine && fine.covers(corner);
            any_fine = any_fine || fine.covers(corner);
        }
        ring.closeRings();
        OGRPolygon square;
        square.addRing(&ring);
        if (all_fine != any_fine) continue; // across the edge of a chart both count
        std::vector<std::string> expected;
        for (const auto& [name, feature] : (all_fine ? fine : coarse).features) {
            const OGRGeometry* const shape = feature->GetGeometryRef();
            if ((name != "DEPARE" && name != "DRGARE") || shape->getDimension() < 2) continue;
            if (shape->Intersects(&square)) {
                expected.push_back(name + " #" + std::to_string(feature->GetFID()));
            }
        }
        std::vector<std::string> found;
        const ExpectedDepth here = told(at);
        for (const ChartedArea& area : here.areas) {
            found.push_back(area.label.substr(0, area.label.find(' ', area.label.find('#'))));
        }
        std::sort(expected.begin(), expected.end());
        std::sort(found.begin(), found.end());
        ASSERT_EQ(found, expected);
        areas += found.empty() ? 0u : 1u;
        several += found.size() > 1 ? 1u : 0u;
        if (found.empty()) continue;
        const auto from_m = [](const ChartedArea& a, const ChartedArea& b) { return a.from_m < b.from_m; };
        ASSERT_EQ(here.from_m(), std::min_element(here.areas.begin(), here.areas.end(), from_m)->from_m);
        const bool any_open = std::any_of(here.areas.begin(), here.areas.end(),
                                          [](const ChartedArea& area) { return !area.to_m; });
        ASSERT_EQ(here.to_m().has_value(), !any_open);
        open += any_open ? 1u : 0u;
    }
    EXPECT_GT(areas, 100u);
    EXPECT_GT(several, 2u);
    EXPECT_GT(open, 0u) << "the channel is dredged to a depth and has no deep edge";
}

TEST_F(ChartedDepthsTold, AnAreaIsCalledByItsIdentity) {
    const ExpectedDepth pool = told({-29.0439320, 47.9870379});
    ASSERT_FALSE(pool.areas.empty());
    EXPECT_THAT(pool.areas.front().label, testing::StartsWith("DEPARE #"));
    const auto feature = std::find_if(fine.features.begin(), fine.features.end(), [&](const auto& entry) {
        return entry.first + " #" + std::to_string(entry.second->GetFID()) ==
               pool.areas.front().label.substr(0, pool.areas.front().label.find(' ', 8));
    });
    ASSERT_NE(feature, fine.features.end());
    EXPECT_THAT(pool.areas.front().label, HasSubstr(feature->second->GetFieldAsString("LNAM")));
    EXPECT_EQ(pool.areas.front().from_m, feature->second->GetFieldAsDouble("DRVAL1"));
}

TEST(ChartedDepthsWithoutCharts, KnowNothing) {
    SeaRequest request;
    BathymetryRequest raster;
    raster.file = SWINGROOM_TESTDATA "/haven/bathymetry.tif";
    raster.positive_down = false;
    raster.chart_datum_m = 0;
    raster.depth_unit = "m";
    raster.uncertainty = DepthUncertainty::constant(0.2);
    request.bathymetry = {raster};
    const Sea sea(std::move(request));
    const ExpectedDepth nothing =
        sea.charted().expected(outline_of(sea.georeference(), 5, 5), {-29.04, 47.98});
    EXPECT_TRUE(nothing.areas.empty());
    EXPECT_EQ(nothing.soundings, 0u);
}

// Against a look at every named object of both cells by OGR alone.
TEST_F(ChartedDepthsTold, PlacesAreCalledAsTheChartsCallThem) {
    using Named = std::pair<PlaceKind, std::string>;
    const std::vector<std::pair<std::string, PlaceKind>> classes = {{"SEAARE", PlaceKind::sea_area},
                                                                    {"ACHARE", PlaceKind::anchorage},
                                                                    {"HRBFAC", PlaceKind::harbour},
                                                                    {"LNDRGN", PlaceKind::land},
                                                                    {"BUAARE", PlaceKind::land}};
    testing_support::Dice dice(20261);
    std::size_t names = 0;
    for (int trial = 0; trial < 60; ++trial) {
        Window window = sea.grid().extent();
        if (trial > 0) {
            const int col = dice.whole(0, window.cols - 1), row = dice.whole(0, window.rows - 1);
            window = {col, row, 1 + dice.whole(0, window.cols - col - 1),
                      1 + dice.whole(0, window.rows - row - 1)};
        }
        OGRLinearRing ring; // the cells of charts alone are straight in longitude and latitude
        for (const auto& [x, y] : {std::pair(window.col, window.row),
                                   {window.col_end(), window.row},
                                   {window.col_end(), window.row_end()},
                                   {window.col, window.row_end()}}) {
            ring.addPoint(sea.grid().x_of(x), sea.grid().y_of(y));
        }
        ring.closeRings();
        OGRPolygon outline;
        outline.addRing(&ring);
        std::set<Named> wanted, told;
        for (const Cell* const cell : {&fine, &coarse}) {
            for (const auto& [name, feature] : cell->features) {
                for (const auto& [object_class, kind] : classes) {
                    const std::string called =
                        name == object_class ? feature->GetFieldAsString("OBJNAM") : "";
                    if (called.empty()) continue;
                    if (!feature->GetGeometryRef()->Intersects(&outline)) continue;
                    wanted.emplace(kind, called);
                }
            }
        }
        for (const PlaceName& place : sea.place_names(window)) {
            told.emplace(place.kind, place.name);
        }
        EXPECT_EQ(told, wanted);
        names += told.size();
        if (trial == 0) {
            EXPECT_THAT(told, testing::Contains(Named(PlaceKind::sea_area, "Ebbering Haven")));
            EXPECT_THAT(told, testing::Contains(Named(PlaceKind::anchorage, "Pool")));
        }
    }
    EXPECT_GT(names, 20U);
}

} // namespace
} // namespace swingroom
