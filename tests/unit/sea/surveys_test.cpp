// Rasters that are surveys, under a chart: the haven's, which scripts/make-testdata makes, and the cell that
// scripts/make-cells draws over it. The oracle looks at every object of the chart and every sounding, by GEOS
// and geodesics, one cell of the raster after the other; it burns nothing.

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/sea.hpp"

#include "sea/cells/charted_soundings.hpp"
#include "sea/cells/opened_files.hpp"
#include "sea/files/days.hpp"
#include "support/warning_lines.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

const std::string cell_file = SWINGROOM_TESTDATA "/cells/QQ5HAVEN.000";
const std::string raster_file = SWINGROOM_TESTDATA "/haven/bathymetry.tif";
constexpr double infinite = std::numeric_limits<double>::infinity();

BathymetryRequest haven(std::optional<bool> survey, double uncertainty_m = 0.2, double chart_datum_m = 0) {
    BathymetryRequest request;
    request.file = raster_file;
    request.positive_down = false;
    request.chart_datum_m = chart_datum_m;
    request.uncertainty = DepthUncertainty::constant(uncertainty_m);
    request.survey = survey;
    return request;
}

SeaRequest sea_of(BathymetryRequest raster) {
    SeaRequest request;
    request.bathymetry = {std::move(raster)};
    request.charts = {cell_file};
    request.rules = default_hazard_rules();
    return request;
}

DepthPlanes read_whole(const SeaRequest& request) {
    const Sea sea(request);
    DepthPlanes depths;
    sea.part(sea.grid().extent(), 0).depths->read(sea.grid().extent(), depths);
    return depths;
}

/// Every object of the cell, in the raster's plane.
class Cell {
public:
    Cell() {
        GDALAllRegister();
        const char* const options[] = {"SPLIT_MULTIPOINT=ON", "ADD_SOUNDG_DEPTH=ON", nullptr};
        file_.reset(GDALDataset::Open(cell_file.c_str(), GDAL_OF_VECTOR, nullptr, options));
        OGRSpatialReference utm, degrees;
        utm.importFromEPSG(32626);
        degrees.importFromEPSG(4326);
        degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        const std::unique_ptr<OGRCoordinateTransformation> there(
            OGRCreateCoordinateTransformation(&degrees, &utm));
        for (OGRLayer* const layer : file_->GetLayers()) {
            while (OGRFeature* const feature = layer->GetNextFeature()) {
                if (feature->GetGeometryRef() == nullptr) {
                    OGRFeature::DestroyFeature(feature);
                    continue;
                }
                Object& object = objects.emplace_back(layer->GetName(), OGRFeatureUniquePtr(feature));
                if (object.name == "SOUNDG") {
                    const OGRPoint& at = *feature->GetGeometryRef()->toPoint();
                    soundings.push_back({{at.getX(), at.getY()}, feature->GetFieldAsDouble("DEPTH")});
                }
                feature->GetGeometryRef()->transform(there.get());
                feature->GetGeometryRef()->getEnvelope(&object.box);
                if (object.name == "SOUNDG") {
                    soundings.back().in_plane = *feature->GetGeometryRef()->toPoint();
                }
            }
        }
    }
    struct Object {
        Object(std::string class_name, OGRFeatureUniquePtr of)
            : name(std::move(class_name)), feature(std::move(of)) {}
        std::string name;
        OGRFeatureUniquePtr feature;
        OGREnvelope box;
        [[nodiscard]] double number(const char* field) const { return feature->GetFieldAsDouble(field); }
        [[nodiscard]] bool has(const char* field) const {
            const int index = feature->GetFieldIndex(field);
            return index >= 0 && feature->IsFieldSetAndNotNull(index) != 0;
        }
    };
    struct Sounding {
        LonLat at;
        double depth_m = 0;
        OGRPoint in_plane{};
        double radius_m = 0;  ///< of its neighbourhood
        bool shoaler = false; ///< than the raster where it lies, or where that knows nothing
    };
    std::vector<Object> objects;
    std::vector<Sounding> soundings;

private:
    GDALDatasetUniquePtr file_;
};

/// As the rule has it: half way to the nearest other, at most 10 mm at 1:10 000.
void find_neighbourhoods(std::vector<Cell::Sounding>& soundings) {
    for (Cell::Sounding& one : soundings) {
        double nearest_m = infinite;
        for (const Cell::Sounding& other : soundings) {
            if (&one != &other) nearest_m = std::min(nearest_m, geodesic(one.at, other.at).distance_m);
        }
        one.radius_m = std::min(nearest_m / 2, 100.0);
    }
}

/// What must hold of a cell of the raster where the raster is a survey.
struct Expected {
    double shoal_m = infinite; ///< of what the chart says that bounds a survey, uncertainty taken off
    double area_shoal_m = infinite, area_deep_m = -infinite;
};

double uncertainty_m(int worst_zone, double depth_m) {
    // A2 and C of IHO S-68 1.0.0, table 6-2: the two zones of the cell.
    return worst_zone == 2 ? 1 + 0.02 * std::abs(depth_m) : 2 + 0.05 * std::abs(depth_m);
}

/// @param grown_m  how much farther than the square an object may lie and still count
Expected expected_of(const Cell& cell, const OGRPolygon& square, double grown_m) {
    Expected all;
    double less_m = 0, bound_m = infinite, area_shoal_m = infinite, area_deep_m = -infinite;
    int zone = 0;
    OGREnvelope box;
    square.getEnvelope(&box);
    box.MinX -= grown_m;
    box.MinY -= grown_m;
    box.MaxX += grown_m;
    box.MaxY += grown_m;
    for (const Cell::Object& object : cell.objects) {
        if (!object.box.Intersects(box)) continue;
        const OGRGeometry* const shape = object.feature->GetGeometryRef();
        if (grown_m > 0 ? shape->Distance(&square) > grown_m : !shape->Intersects(&square)) continue;
        const std::string& name = object.name;
        if (name == "M_QUAL") {
            zone = std::max(zone, static_cast<int>(object.number("CATZOC")));
        } else if (name == "DEPARE" && object.number("DRVAL1") >= 0) {
            area_shoal_m = std::min(area_shoal_m, object.number("DRVAL1"));
            area_deep_m = std::max(area_deep_m, object.has("DRVAL2") ? object.number("DRVAL2") : 12000);
        } else if (name == "DEPARE" || name == "DRGARE" || name == "SWPARE") {
            bound_m = std::min(bound_m, object.number("DRVAL1"));
        } else if (name == "LNDARE" || name == "PONTON" || name == "HULKES" || name == "FLODOC") {
            bound_m = std::min(bound_m, -10.0);
        } else if (name == "SOUNDG") {
            bound_m = std::min(bound_m, object.number("DEPTH"));
        } else if ((name == "WRECKS" || name == "OBSTRN" || name == "UWTROC" || name == "MARCUL") &&
                   object.has("VALSOU")) {
            bound_m = std::min(bound_m, object.number("VALSOU"));
        } else if (name == "PIPSOL") {
            less_m = 2;
        }
    }
    if (std::isfinite(bound_m)) all.shoal_m = bound_m - less_m - uncertainty_m(zone, bound_m - less_m);
    if (std::isfinite(area_shoal_m)) {
        all.area_shoal_m = area_shoal_m - uncertainty_m(zone, area_shoal_m);
        all.area_deep_m = area_deep_m + uncertainty_m(zone, area_deep_m);
    }
    for (const Cell::Sounding& sounding : cell.soundings) {
        // Radii are metres on the ground, and the plane's scale here is 0.9999.
        const double radius_m = sounding.radius_m * (grown_m > 0 ? 1 : 0.9995);
        if (!sounding.shoaler || sounding.in_plane.Distance(&square) > radius_m + grown_m) continue;
        int own_zone = 0;
        for (const Cell::Object& object : cell.objects) {
            if (object.name == "M_QUAL" && object.feature->GetGeometryRef()->Intersects(&sounding.in_plane)) {
                own_zone = std::max(own_zone, static_cast<int>(object.number("CATZOC")));
            }
        }
        all.shoal_m = std::min(all.shoal_m, sounding.depth_m - uncertainty_m(own_zone, sounding.depth_m));
    }
    return all;
}

/// A pipeline may stand in a cell, above whatever is surveyed there.
double standing_m(const Cell& cell, const OGRPolygon& square, double grown_m) {
    for (const Cell::Object& object : cell.objects) {
        if (object.name == "PIPSOL" && object.feature->GetGeometryRef()->Distance(&square) <= grown_m) {
            return 2;
        }
    }
    return 0;
}

/// @returns how many of the chart's soundings are shoaler than the survey
int expect_bound_by_all_but_depth_areas(const BathymetryRequest& raster) {
    const DepthPlanes depths = read_whole(sea_of(raster));
    const auto survey = open_bathymetry(raster);
    const Grid& grid = survey->grid();
    DepthPlanes own;
    survey->read(grid.extent(), own);
    Cell cell;
    find_neighbourhoods(cell.soundings);
    int shoaler = 0;
    for (Cell::Sounding& sounding : cell.soundings) {
        // One on an edge lies in both cells; one in a hole, or beside the survey, in none.
        bool agrees = false;
        for (const double right : {-1e-3, 1e-3}) {
            for (const double down : {-1e-3, 1e-3}) {
                const int col = static_cast<int>(std::floor(grid.col_of(sounding.in_plane.getX()) + right)),
                          row = static_cast<int>(std::floor(grid.row_of(sounding.in_plane.getY()) + down));
                if (!grid.extent().contains(col, row) || std::isnan(own.shoal_m.at(col, row))) continue;
                (sounding.depth_m < static_cast<double>(own.shoal_m.at(col, row)) ? sounding.shoaler
                                                                                  : agrees) = true;
            }
        }
        sounding.shoaler = sounding.shoaler || !agrees;
        shoaler += sounding.shoaler ? 1 : 0;
    }
    // Objects are burnt where they touch a cell and up to an eighth of its side around; where they lie is
    // known to 2 cm, and a metre of the plane is one on the ground to 4 in 10 000.
    constexpr double burnt_wider_m = 0.35;
    int seen = 0, by_survey = 0, bound = 0, differ = 0, exact = 0;
    for (int row = 0; row < grid.rows; row += 7) {
        for (int col = 0; col < grid.cols; col += 7) {
            const auto surveyed_m = static_cast<double>(own.shoal_m.at(col, row));
            if (std::isnan(surveyed_m)) continue;
            SCOPED_TRACE(testing::Message() << col << ' ' << row);
            OGRLinearRing ring;
            for (const auto& [x, y] : {std::pair(0, 0), std::pair(1, 0), std::pair(1, 1), std::pair(0, 1)}) {
                ring.addPoint(grid.x_of(col + x), grid.y_of(row + y));
            }
            ring.closeRings();
            OGRPolygon square;
            square.addRing(&ring);
            const Expected near = expected_of(cell, square, 0),
                           far = expected_of(cell, square, burnt_wider_m);
            const double most_m = std::min(surveyed_m - standing_m(cell, square, 0), near.shoal_m),
                         least_m =
                             std::min(surveyed_m - standing_m(cell, square, burnt_wider_m), far.shoal_m);
            const auto shoal_m = static_cast<double>(depths.shoal_m.at(col, row));
            ++seen;
            EXPECT_LE(shoal_m, most_m + 1e-3);
            EXPECT_GE(shoal_m, least_m - 1e-3);
            exact += std::abs(most_m - least_m) < 1e-3 ? 1 : 0;
            by_survey += shoal_m > surveyed_m - 1e-3 ? 1 : 0;
            bound += shoal_m < surveyed_m - 1e-3 ? 1 : 0;
            EXPECT_EQ(depths.source.at(col, row), shoal_m < surveyed_m - 1e-3 ? 2 : 1);
            EXPECT_EQ(depths.banded.at(col, row), 0);
            const auto apart = [&](const Expected& of) {
                return static_cast<double>(own.deep_m.at(col, row)) < of.area_shoal_m - 1e-3 ||
                       surveyed_m > of.area_deep_m + 1e-3;
            };
            if (std::isfinite(near.area_shoal_m) && near.area_shoal_m == far.area_shoal_m &&
                near.area_deep_m == far.area_deep_m) {
                EXPECT_EQ(depths.differs.at(col, row) != 0, apart(near));
            }
            differ += depths.differs.at(col, row);
            if (testing::Test::HasFailure()) return shoaler;
        }
    }
    EXPECT_GT(seen, 5000);
    EXPECT_GT(by_survey, seen / 2);
    EXPECT_GT(bound, 100);
    EXPECT_GT(exact, seen * 95 / 100);
    EXPECT_GT(differ, 20);
    return shoaler;
}

TEST(Surveys, UnderAChartAreBoundByAllButItsDepthAreas) {
    EXPECT_EQ(expect_bound_by_all_but_depth_areas(haven(true, 0.2)), 0) << "the chart errs by less";
}

TEST(Surveys, AreBoundHalfWayToTheNextSoundingByOneThatIsShoaler) {
    const int shoaler = expect_bound_by_all_but_depth_areas(haven(true, 0.05));
    EXPECT_GT(shoaler, 10);
    EXPECT_LT(shoaler, 110);
}

bool same_depths(const DepthPlanes& a, const DepthPlanes& b) {
    const auto same = [](const Plane<float>& one, const Plane<float>& other) {
        return std::equal(one.data(), one.data() + one.size(), other.data(),
                          [](float x, float y) { return x == y || (std::isnan(x) && std::isnan(y)); });
    };
    return same(a.shoal_m, b.shoal_m) && same(a.deep_m, b.deep_m);
}

TEST(Surveys, AreModelsUnlessTheFormatOrTheUserSaysSoAndTheyAreSureEnough) {
    const DepthPlanes model = read_whole(sea_of(haven(false))), survey = read_whole(sea_of(haven(true)));
    EXPECT_TRUE(same_depths(model, read_whole(sea_of(haven(std::nullopt))))) << "a GeoTIFF does not say so";
    EXPECT_FALSE(same_depths(model, survey));
    EXPECT_EQ(model.differs.size(), 0U);
    // Of the cell's zones A2 allows 1 m + 2 % of the depth, C 2 m + 5 %: nowhere in it 4 m.
    EXPECT_TRUE(same_depths(read_whole(sea_of(haven(false, 4))), read_whole(sea_of(haven(true, 4)))));
    for (std::size_t i = 0; i < model.shoal_m.size(); ++i) {
        const float of_model_m = model.shoal_m.data()[i], of_survey_m = survey.shoal_m.data()[i];
        ASSERT_TRUE(std::isnan(of_model_m) ? std::isnan(of_survey_m) : true);
    }
}

TEST(Surveys, SayWhatTheyAre) {
    const auto told = [](std::optional<bool> said) {
        const auto raster = open_bathymetry(haven(said));
        std::vector<std::string> lines;
        for (const Fact& fact : raster->assumptions()) {
            lines.push_back(fact_line(fact));
        }
        return std::pair(raster->survey_terms().front(), lines);
    };
    const auto [survey, of_survey] = told(true);
    EXPECT_TRUE(survey.is_survey);
    EXPECT_NEAR(survey.cell_m, 2, 0.002); // the scale of UTM is 0.9996 to 1.001
    EXPECT_EQ(survey.measured_by, 0) << "TIFFTAG_DATETIME would be no date of the measuring";
    EXPECT_THAT(of_survey,
                AllOf(Contains("survey: yes (as said)"), Contains(HasSubstr("nothing says when"))));
    EXPECT_FALSE(told(false).first.is_survey);
    EXPECT_FALSE(told(std::nullopt).first.is_survey);
    EXPECT_THAT(told(std::nullopt).second, Not(Contains(HasSubstr("survey"))));
}

TEST(ChartedSoundings, KnowHowFarTheNextIs) {
    const OpenedFiles opened({cell_file}, {});
    std::vector<ChartedSounding> found = charted_soundings(opened.charts(), opened.chart_cells());
    Cell cell;
    find_neighbourhoods(cell.soundings);
    ASSERT_EQ(found.size(), cell.soundings.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        EXPECT_EQ(found[i].depth_m, cell.soundings[i].depth_m);
        EXPECT_NEAR(found[i].neighbourhood_m, cell.soundings[i].radius_m, 1e-6);
        EXPECT_EQ(found[i].source, 1);
        EXPECT_EQ(found[i].scale, 10000);
    }
    const std::string approach = SWINGROOM_TESTDATA "/cells/QQ3APPRO.000";
    const OpenedFiles both({approach, cell_file}, {}), alone({approach}, {});
    const auto of_both = charted_soundings(both.charts(), both.chart_cells());
    const auto of_approach = charted_soundings(alone.charts(), alone.chart_cells());
    EXPECT_LE(of_both.size(), of_approach.size() + found.size())
        << "the larger scale's supersede the other's";
    EXPECT_EQ(std::count_if(of_both.begin(), of_both.end(), [](const auto& s) { return s.source == 2; }),
              static_cast<std::ptrdiff_t>(found.size()));
}

/// Median of raster less chart over all soundings of the cell, by the values that the raster's file holds.
double median_by_hand(const Cell& cell, double chart_datum_m, std::size_t& count) {
    const GDALDatasetUniquePtr raster(GDALDataset::Open(raster_file.c_str(), GDAL_OF_RASTER));
    std::array<double, 6> transform{};
    raster->GetGeoTransform(transform.data());
    std::vector<double> differences;
    for (const Cell::Sounding& sounding : cell.soundings) {
        const int col =
                      static_cast<int>(std::floor((sounding.in_plane.getX() - transform[0]) / transform[1])),
                  row =
                      static_cast<int>(std::floor((sounding.in_plane.getY() - transform[3]) / transform[5]));
        if (col < 0 || row < 0 || col >= raster->GetRasterXSize() || row >= raster->GetRasterYSize()) {
            continue;
        }
        float elevation_m = 0;
        EXPECT_EQ(raster->GetRasterBand(1)->RasterIO(GF_Read, col, row, 1, 1, &elevation_m, 1, 1, GDT_Float32,
                                                     0, 0, nullptr),
                  CE_None);
        if (elevation_m > -9999) {
            differences.push_back(chart_datum_m - double{elevation_m} - sounding.depth_m);
        }
    }
    count = differences.size();
    std::sort(differences.begin(), differences.end());
    return (differences[(count - 1) / 2] + differences[count / 2]) / 2;
}

Inspection inspected_with_the_chart(const BathymetryRequest& raster) {
    return inspect({raster_file, cell_file}, default_hazard_rules(), {},
                   [&](const auto& rasters) {
                       EXPECT_THAT(rasters, ElementsAre(raster_file));
                       return std::vector{raster};
                   })
        .front();
}

TEST(AgainstCharts, TheMedianFindsAWrongDatumAndAWrongSign) {
    const Cell cell;
    for (const double datum_m : {0.0, 5.0, -3.0}) {
        SCOPED_TRACE(datum_m);
        const Inspection found = inspected_with_the_chart(haven(std::nullopt, 0.2, datum_m));
        ASSERT_TRUE(found.raster && found.raster->against_charts);
        const AgainstCharts& against = *found.raster->against_charts;
        std::size_t count = 0;
        EXPECT_NEAR(against.median_m, median_by_hand(cell, datum_m, count), 1e-4);
        EXPECT_EQ(against.soundings, count);
        const auto doubts = told_all(found.doubts);
        if (datum_m == 0) {
            EXPECT_THAT(doubts, IsEmpty());
        } else {
            EXPECT_THAT(doubts, ElementsAre(AllOf(HasSubstr(datum_m > 0 ? "deeper" : "shoaler"),
                                                  HasSubstr("look at <chart datum>"))));
        }
    }
    BathymetryRequest turned = haven(std::nullopt);
    turned.positive_down = true;
    EXPECT_THAT(told_all(inspected_with_the_chart(turned).doubts),
                Contains(HasSubstr("with the other sign they would fit; look at <positive>")));
    EXPECT_FALSE(inspect(haven(std::nullopt)).raster->against_charts) << "without a chart";
}

TEST(AgainstCharts, ARunWarnsToo) {
    const auto warnings = [](double datum_m, Window window) {
        const Sea sea(sea_of(haven(std::nullopt, 0.2, datum_m)));
        return told_all(sea.part(window.empty() ? sea.grid().extent() : window, 0).found.warnings);
    };
    EXPECT_THAT(warnings(0, {}), Not(Contains(HasSubstr("soundings (median"))));
    EXPECT_THAT(warnings(5, {}), Contains(AllOf(HasSubstr("bathymetry.tif"), HasSubstr("m deeper"))));
    EXPECT_THAT(warnings(5, {0, 0, 1, 1}), Contains(HasSubstr("soundings (median"))) << "whatever the part";
}

TEST(Days, AreTheLastThatADateMayMean) {
    EXPECT_EQ(latest_day("20240131"), 20240131);
    EXPECT_EQ(latest_day("2007-06-08T15:34:25"), 20070608);
    EXPECT_EQ(latest_day("1939"), 19391231);
    EXPECT_EQ(latest_day("201307"), 20130731);
    EXPECT_EQ(latest_day("2013-02"), 20130229);
    for (const char* const none : {"", "date", "--0401", "20241301", "20240230", "0000"}) {
        EXPECT_EQ(latest_day(none), 0) << none;
    }
    EXPECT_EQ(day_text(20070608), "2007-06-08");
}

} // namespace
} // namespace swingroom
