#include "swingroom/publish/vector_layer.hpp"

#include "base/json.hpp"
#include "publish/vector/polygon_rings.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <limits>
#include <random>

namespace swingroom {
namespace {

using testing::bytes_of;
using testing::ScratchFolder;
using Rounding = VectorLayer::Rounding;

const std::vector<Property> columns{{"way", std::string{}}, {"area_m2", 0.0, 1}, {"cells", std::int64_t{0}}};
const Provenance provenance{"wind = 20\n", {}, {{"boat", "sloop \"A\"\t"}}};

std::vector<Property> values(double area_m2) {
    return {{"way", std::string("full \"scope\"")}, {"area_m2", area_m2, 1}, {"cells", std::int64_t{12}}};
}

std::string polygon_file(const std::vector<Ring>& rings) {
    const ScratchFolder folder;
    VectorLayer layer(folder.path(), "zones", "Where to lie.", VectorLayer::Shape::polygon, columns,
                      provenance);
    layer.add_polygon(rings, values(0.1 + 0.2));
    layer.finish();
    EXPECT_EQ(layer.count(), 1);
    return bytes_of(folder.path() / "zones.geojson");
}

CPLJSONObject parsed(const std::string& text) {
    CPLJSONDocument document;
    EXPECT_TRUE(document.LoadMemory(text)) << text;
    return document.GetRoot();
}

TEST(Lattice, PrintsSevenDecimalsExactly) {
    EXPECT_EQ(lattice_text(0), "0");
    EXPECT_EQ(lattice_text(-1), "-0.0000001");
    EXPECT_EQ(lattice_text(52'500'000), "5.25");
    EXPECT_EQ(lattice_text(-1'800'000'000), "-180");
}

TEST(VectorLayer, EmptyIsStillACollection) {
    const ScratchFolder folder;
    VectorLayer layer(folder.path(), "spots", "Drop points.", VectorLayer::Shape::point, columns, provenance);
    layer.finish();
    const CPLJSONObject root = parsed(bytes_of(folder.path() / "spots.geojson"));
    EXPECT_EQ(root.GetString("type"), "FeatureCollection");
    EXPECT_EQ(root.GetArray("features").Size(), 0);
    EXPECT_NE(root.GetString("caution").find("not for navigation"), std::string::npos);
    EXPECT_EQ(root.GetString("provenance/command"), "wind = 20\n");
}

std::string line_file(const std::vector<GridPoint>& line) {
    const ScratchFolder folder;
    VectorLayer layer(folder.path(), "ways", "Ways in.", VectorLayer::Shape::line, columns, provenance);
    layer.add_line(line, values(1));
    layer.finish();
    EXPECT_EQ(layer.count(), 1);
    return bytes_of(folder.path() / "ways.geojson");
}

// RFC 7946, section 3.1.9: what crosses the antimeridian is cut there, neither part crosses it.
TEST(VectorLayer, DrawsLinesAndCutsThemAtTheAntimeridian) {
    EXPECT_THAT(line_file({{5, 53}, {5.5, 53.25}, {6, 53}}),
                ::testing::HasSubstr(R"("LineString","coordinates":[[5,53],[5.5,53.25],[6,53]]})"));
    EXPECT_THAT(
        line_file({{179, 10}, {181, 12}, {182, 12}}),
        ::testing::HasSubstr(
            R"("MultiLineString","coordinates":[[[179,10],[180,11]],[[-180,11],[-179,12],[-178,12]]]})"));
    EXPECT_THAT(line_file({{-179, 10}, {179, 12}, {-179, 14}}),
                ::testing::HasSubstr(
                    R"([[[-179,10],[-180,11]],[[180,11],[179,12],[180,13]],[[-180,13],[-179,14]]]})"))
        << "there and back, jumps of whole turns mean nothing";
    EXPECT_THAT(line_file({{179, 10}, {180, 11}, {181, 12}}),
                ::testing::HasSubstr(R"([[[179,10],[180,11]],[[-180,11],[-179,12]]]})"))
        << "a turn on it";
    EXPECT_THAT(line_file({{180, 10}, {179, 11}}),
                ::testing::HasSubstr(R"("LineString","coordinates":[[180,10],[179,11]]})"));
    EXPECT_THAT(line_file({{5, 53}}), ::testing::HasSubstr("\"geometry\":null"));
}

TEST(VectorLayer, WindsTheOuterRingCounterClockwiseAndHolesClockwise) {
    const std::string text =
        polygon_file({{{5, 53}, {5, 54}, {6, 54}, {6, 53}, {5, 53}},
                      {{5.2, 53.2}, {5.4, 53.2}, {5.4, 53.4}, {5.2, 53.4}, {5.2, 53.2}}});
    EXPECT_NE(text.find("[[[5,53],[6,53],[6,54],[5,54],[5,53]],[[5.2,53.2],[5.2,53.4],[5.4,53.4],[5.4,53.2],"
                        "[5.2,53.2]]]"),
              std::string::npos)
        << text;
    EXPECT_NE(text.find("\"area_m2\":0.3,\"cells\":12"), std::string::npos) << text;
}

TEST(VectorLayer, CutsAtTheAntimeridian) {
    const std::string text =
        polygon_file({{{179.5, 10}, {180.5, 10}, {180.5, 11}, {179.5, 11}, {179.5, 10}}});
    const CPLJSONObject root = parsed(text);
    const CPLJSONArray parts = root.GetArray("features")[0].GetObj("geometry").GetArray("coordinates");
    EXPECT_EQ(root.GetArray("features")[0].GetString("geometry/type"), "MultiPolygon");
    ASSERT_EQ(parts.Size(), 2);
    for (int part = 0; part < 2; ++part) {
        const CPLJSONArray ring = parts[part].ToArray()[0].ToArray();
        EXPECT_EQ(ring.Size(), 5);
        for (int i = 0; i < ring.Size(); ++i) {
            const double lon = ring[i].ToArray()[0].ToDouble();
            EXPECT_TRUE(std::abs(lon) == 180 || lon == (part == 0 ? 179.5 : -179.5)) << lon;
        }
    }
    const CPLJSONArray box = root.GetArray("bbox");
    EXPECT_GT(box[0].ToDouble(), box[2].ToDouble()) << "west beyond east where the antimeridian is crossed";
}

TEST(VectorLayer, MovesWhatLiesBeyondByWholeTurns) {
    const std::string text = polygon_file({{{181, 10}, {182, 10}, {182, 11}, {181, 10}}});
    EXPECT_NE(text.find("[[[-179,10],[-178,10],[-178,11],[-179,10]]]"), std::string::npos) << text;
}

// In a polar stereographic grid, or any plane about a pole, a ring around the pole is one like any other. The
// oracle is whether a place is inside in that plane; here a degree of latitude is a unit of it.
class AroundAPole : public ::testing::TestWithParam<double> {
protected:
    static constexpr double degree = 3.14159265358979323846 / 180;
    [[nodiscard]] GridPoint lonlat(GridPoint p) const {
        const double lat = 90 - std::hypot(p.x, p.y);
        return {std::atan2(p.x, p.y) / degree, GetParam() < 0 ? -lat : lat};
    }
    /// Wavy and off the centre, with so many vertices that its edges are the same in both planes.
    static Ring blob(GridPoint middle, double radius, double wave) {
        Ring ring;
        constexpr int corners = 800;
        for (int i = 0; i <= corners; ++i) {
            const double angle = 360 * degree * (i % corners) / corners;
            const double r = radius * (1 + wave * std::sin(7 * angle));
            ring.push_back({middle.x + r * std::cos(angle), middle.y + r * std::sin(angle)});
        }
        return ring;
    }
    static OGRPolygon plane_polygon(const std::vector<Ring>& rings) {
        OGRPolygon polygon;
        for (const Ring& ring : rings) {
            OGRLinearRing line;
            for (const GridPoint& p : ring) {
                line.addPoint(p.x, p.y);
            }
            polygon.addRing(&line);
        }
        return polygon;
    }
    void expect_same_places(const std::vector<Ring>& rings) const {
        std::vector<Ring> on_earth = rings;
        for (Ring& ring : on_earth) {
            for (GridPoint& p : ring) {
                p = lonlat(p);
            }
        }
        std::vector<OGRPolygon> cut;
        for (const std::vector<Ring>& polygon : cut_at_antimeridian(on_earth)) {
            std::vector<Ring> written;
            for (const LatticeRing& ring : wound_and_rounded(polygon, Rounding::inwards)) {
                Ring& degrees = written.emplace_back();
                for (const LatticePoint& p : ring) {
                    degrees.push_back({static_cast<double>(p.x) / 1e7, static_cast<double>(p.y) / 1e7});
                    ASSERT_LE(std::abs(degrees.back().x), 180);
                    ASSERT_LE(std::abs(degrees.back().y), 90);
                }
            }
            cut.push_back(plane_polygon(written));
            EXPECT_TRUE(cut.back().IsValid());
        }
        const OGRPolygon whole = plane_polygon(rings);
        ASSERT_TRUE(whole.IsValid()) << "the drawing";
        std::vector<OGRLineString> edges;
        for (const Ring& ring : rings) {
            OGRLineString& edge = edges.emplace_back();
            for (const GridPoint& p : ring) {
                edge.addPoint(p.x, p.y);
            }
        }
        std::mt19937 random(20240608);
        std::uniform_real_distribution<double> anywhere(-3, 3);
        int inside = 0, outside = 0;
        for (int i = 0; i < 500; ++i) {
            const GridPoint p{anywhere(random), anywhere(random)};
            const OGRPoint drawn(p.x, p.y), place(lonlat(p).x, lonlat(p).y);
            double to_edge = 1e9;
            for (const OGRLineString& edge : edges) {
                to_edge = std::min(to_edge, edge.Distance(&drawn));
            }
            if (to_edge < 0.01) continue; // too near to the edge to tell
            const bool is_in = whole.Contains(&drawn) != 0;
            (is_in ? inside : outside)++;
            int times = 0;
            for (const OGRPolygon& polygon : cut) {
                times += polygon.Contains(&place) != 0;
            }
            ASSERT_EQ(times, is_in ? 1 : 0) << p.x << ", " << p.y << " from the pole";
        }
        EXPECT_GT(inside, 40);
        EXPECT_GT(outside, 40);
    }
};

TEST_P(AroundAPole, APolygonThatHoldsThePoleIsCutUpToIt) {
    expect_same_places({blob({0, 0}, 2, 0)});
    expect_same_places({blob({0.7, -0.9}, 1.8, 0.2)});
    expect_same_places({blob({-1.1, 0.4}, 1.5, 0.3)});
}

TEST_P(AroundAPole, ItsHolesStayHoles) {
    expect_same_places({blob({0.3, -0.2}, 2.2, 0.2), blob({0.2, -0.7}, 0.5, 0.1)}); // beside, across 180
    expect_same_places({blob({0.3, -0.2}, 2.2, 0.2), blob({0.2, -0.1}, 0.9, 0.1)}); // around the pole
    expect_same_places({blob({0, 0}, 2.2, 0.1), blob({0.1, 0}, 0.5, 0), blob({-0.1, -1.3}, 0.4, 0)});
}

TEST_P(AroundAPole, OneBesideThePoleAcrossTheRastersSeamIsWhole) {
    expect_same_places({blob({0.1, -1.5}, 1.2, 0.1)});
    expect_same_places({blob({0.1, -1.5}, 1.2, 0.1), blob({-0.1, -1.4}, 0.5, 0)});
}

TEST_P(AroundAPole, TheBoxGoesAllRoundUpToThePole) {
    Ring ring = blob({0.3, -0.2}, 2, 0);
    for (GridPoint& p : ring) {
        p = lonlat(p);
    }
    const CPLJSONArray box = parsed(polygon_file({ring})).GetArray("bbox");
    EXPECT_EQ(box[0].ToDouble(), -180);
    EXPECT_EQ(box[2].ToDouble(), 180);
    EXPECT_EQ(box[GetParam() < 0 ? 1 : 3].ToDouble(), GetParam());
    EXPECT_NEAR(std::abs(box[GetParam() < 0 ? 3 : 1].ToDouble()), 90 - 2 - std::hypot(0.3, 0.2), 1e-5);
}

INSTANTIATE_TEST_SUITE_P(Poles, AroundAPole, ::testing::Values(90.0, -90.0));

TEST(VectorLayer, IsReadByTheFormatLibrary) {
    const ScratchFolder folder;
    VectorLayer layer(folder.path(), "spots", "Drop points.", VectorLayer::Shape::point, columns, provenance);
    layer.add_point({-5.25, 48.4}, values(1.5));
    layer.add_point({180.25, -17}, values(std::nan("")));
    layer.finish();
    GDALAllRegister();
    const GDALDatasetUniquePtr dataset(
        GDALDataset::Open((folder.path() / "spots.geojson").c_str(), GDAL_OF_VECTOR));
    ASSERT_TRUE(dataset);
    OGRLayer& features = *dataset->GetLayer(0);
    EXPECT_STREQ(features.GetName(), "spots");
    ASSERT_EQ(features.GetFeatureCount(), 2);
    const OGRFeatureUniquePtr first(features.GetNextFeature()), second(features.GetNextFeature());
    EXPECT_EQ(first->GetFieldAsString("way"), std::string("full \"scope\""));
    EXPECT_DOUBLE_EQ(first->GetFieldAsDouble("area_m2"), 1.5);
    EXPECT_DOUBLE_EQ(second->GetGeometryRef()->toPoint()->getX(), -179.75);
    EXPECT_TRUE(second->IsFieldNull(second->GetFieldIndex("area_m2")));
}

double doubled_area(const LatticeRing& ring) {
    double sum = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        sum += static_cast<double>(ring[i].x - ring[0].x) * static_cast<double>(ring[i + 1].y - ring[0].y) -
               static_cast<double>(ring[i + 1].x - ring[0].x) * static_cast<double>(ring[i].y - ring[0].y);
    }
    return sum;
}

OGRPolygon ogr_polygon(const std::vector<Ring>& rings) {
    OGRPolygon polygon;
    for (const Ring& ring : rings) {
        OGRLinearRing line;
        for (const GridPoint& p : ring) {
            line.addPoint(p.x, p.y);
        }
        polygon.addRing(&line);
    }
    return polygon;
}

std::vector<Ring> in_degrees(const std::vector<LatticeRing>& rings) {
    std::vector<Ring> result;
    for (const LatticeRing& ring : rings) {
        Ring degrees;
        for (const LatticePoint& p : ring) {
            degrees.push_back({static_cast<double>(p.x) / 1e7, static_cast<double>(p.y) / 1e7});
        }
        result.push_back(degrees);
    }
    return result;
}

// Zones are outlines of cells on a grid that is a little turned against the meridian, with a hole; the oracle
// is the difference of the areas by GEOS. Its own rounding is some 1e-16 square degrees here.
TEST(PolygonRounding, InwardsStaysInsideAndOutwardsCovers) {
    std::mt19937 random(20240607);
    std::uniform_real_distribution<double> anywhere(-0.5, 0.5), turn(-0.7, 0.7);
    for (int scene = 0; scene < 200; ++scene) {
        const double angle = turn(random), size = 3e-5; // some 2 to 3 m
        const GridPoint origin{5 + anywhere(random), 53 + anywhere(random)};
        const auto place = [&](double col, double row) {
            return GridPoint{origin.x + size * (col * std::cos(angle) - row * std::sin(angle)),
                             origin.y + size * (col * std::sin(angle) + row * std::cos(angle))};
        };
        const std::vector<Ring> zone{
            {place(0, 0), place(9, 0), place(9, 4), place(6, 4), place(6, 7), place(0, 7), place(0, 0)},
            {place(2, 2), place(2, 4), place(4, 4), place(4, 2), place(2, 2)}};
        const OGRPolygon exact = ogr_polygon(zone);
        const OGRPolygon inner = ogr_polygon(in_degrees(wound_and_rounded(zone, Rounding::inwards)));
        const OGRPolygon outer = ogr_polygon(in_degrees(wound_and_rounded(zone, Rounding::outwards)));
        const auto area_outside = [](const OGRPolygon& a, const OGRPolygon& b) {
            const std::unique_ptr<OGRGeometry> rest(a.Difference(&b));
            return rest ? OGR_G_Area(OGRGeometry::ToHandle(rest.get())) : 1;
        };
        ASSERT_LT(area_outside(inner, exact), 1e-17) << "scene " << scene;
        ASSERT_LT(area_outside(exact, outer), 1e-17) << "scene " << scene;
        ASSERT_GT(inner.get_Area(), 0.98 * exact.get_Area());
        ASSERT_LT(outer.get_Area(), 1.02 * exact.get_Area());
    }
}

TEST(PolygonRounding, LeavesOutWhatCollapses) {
    const Ring speck{{5, 53}, {5 + 1e-9, 53}, {5, 53 + 1e-9}, {5, 53}};
    EXPECT_TRUE(wound_and_rounded({speck}, Rounding::nearest).empty());
    EXPECT_GT(
        doubled_area(wound_and_rounded({{{5, 53}, {5, 54}, {6, 53}, {5, 53}}}, Rounding::nearest).front()),
        0);
}

} // namespace
} // namespace swingroom
