#include "swingroom/base/error.hpp"

#include "publish/styles/marked_up.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/ogr_files.hpp"
#include "publish/vector/vector_formats.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <limits>
#include <stdexcept>

namespace swingroom {
namespace {

using testing::bytes_of;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::ScratchFolder;
using Shape = VectorLayer::Shape;

const Provenance provenance{"wind = 20\nboat = <b>.ini\n", {}, {{"boat", "sloop <i>A</i> & Co"}}};
const std::vector<Property> columns{{"verdict", std::int64_t{0}},
                                    {"meaning", std::string{}},
                                    {"depth_low_m", 0.0, 1},
                                    {"trip_line_m", 0.0, 1},
                                    {"advice", std::string{}}};
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

FormatSet every(Shape shape) {
    FormatSet set = Format::geojson;
    for (const Format format : {Format::gpkg, Format::flatgeobuf, Format::kml}) {
        set.add(format);
    }
    if (shape == Shape::point) set.add(Format::gpx); // tracks hold no figures: tests of their own
    return set;
}

std::vector<Property> properties(std::string advice, double depth_m = 5.5) {
    return {{"verdict", std::int64_t{4}},
            {"meaning", std::string("yes, at full scope")},
            {"depth_low_m", depth_m, 1},
            {"trip_line_m", unknown, 1},
            {"advice", std::move(advice)}};
}

/// The same of a drop point, which has a name.
std::vector<Property> named(std::string name, std::vector<Property> of) {
    of.insert(of.begin(), {"name", std::move(name)});
    return of;
}

struct Square {
    double west, south;
    [[nodiscard]] std::vector<std::vector<GridPoint>> rings(double side) const {
        return {{{west, south},
                 {west + side, south},
                 {west + side, south + side},
                 {west, south + side},
                 {west, south}}};
    }
};

void write(const ScratchFolder& folder, const std::vector<Square>& squares, const std::string& advice,
           double side = 0.01) {
    VectorLayer zones(folder.path(), "zones", "Where to lie.", Shape::polygon, columns, provenance);
    VectorLayer spots(folder.path(), "spots", "Drop points.", Shape::point, named("", columns), provenance);
    for (const Square& square : squares) {
        zones.add_polygon(square.rings(side), properties(advice));
        spots.add_point({square.west, square.south},
                        named("FUL0" + std::to_string(spots.count() + 1), properties(advice)));
    }
    zones.finish();
    spots.finish();
    write_in_formats(folder.path(), zones.finished(), every(Shape::polygon), looks_by_verdict(false),
                     provenance);
    write_in_formats(folder.path(), spots.finished(), every(Shape::point), looks_by_verdict(true),
                     provenance);
}

GDALDatasetUniquePtr opened(const ScratchFolder& folder, const std::string& name) {
    GDALDatasetUniquePtr file(
        GDALDataset::Open((folder / name).c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR));
    if (!file) throw std::runtime_error("cannot open " + name);
    return file;
}

constexpr std::array others = {".gpkg", ".fgb", ".kml"};

TEST(VectorFormats, EachHoldsEveryFigureOfTheGeojson) {
    const ScratchFolder folder;
    write(folder, {{5, 53}, {6, 54}}, "foul ground near");
    EXPECT_THAT(folder.names(),
                ElementsAre("spots.fgb", "spots.geojson", "spots.gpkg", "spots.gpx", "spots.kml", "zones.fgb",
                            "zones.geojson", "zones.gpkg", "zones.kml"))
        << "no journal stays, nor metadata in an .aux.xml";
    for (const std::string ending : others) {
        SCOPED_TRACE(ending);
        const auto file = opened(folder, "zones" + ending);
        OGRLayer& layer = *file->GetLayer(0);
        EXPECT_STREQ(layer.GetName(), ending == ".kml" ? "yes, at full scope" : "zones");
        EXPECT_EQ(layer.GetFeatureCount(), 2);
        double area = 0;
        for (const OGRFeatureUniquePtr& feature : layer) {
            EXPECT_EQ(feature->GetFieldAsInteger("verdict"), 4);
            EXPECT_STREQ(feature->GetFieldAsString("meaning"), "yes, at full scope");
            EXPECT_EQ(feature->GetFieldAsDouble("depth_low_m"), 5.5);
            EXPECT_FALSE(feature->IsFieldSetAndNotNull(feature->GetFieldIndex("trip_line_m")));
            EXPECT_STREQ(feature->GetFieldAsString("advice"), "foul ground near");
            area += OGR_G_Area(OGRGeometry::ToHandle(feature->GetGeometryRef()));
        }
        EXPECT_NEAR(area, 2e-4, 1e-9);
    }
}

TEST(VectorFormats, OfNothingAreEmptyFilesThatOpen) {
    const ScratchFolder folder;
    write(folder, {}, "");
    for (const std::string ending : others) {
        EXPECT_EQ(opened(folder, "zones" + ending)->GetLayer(0)->GetFeatureCount(), 0) << ending;
    }
    EXPECT_THAT(bytes_of(folder / "spots.gpx"), Not(HasSubstr("<wpt")));
}

// GDAL drops features without a geometry from a FlatGeobuf without a word, and leaves nothing of a file in
// which none has one: zones too small to be drawn.
TEST(VectorFormats, AZoneTooSmallToBeDrawnKeepsItsFiguresButInFlatgeobuf) {
    const ScratchFolder folder;
    VectorLayer zones(folder.path(), "zones", "", Shape::polygon, columns, provenance,
                      VectorLayer::Rounding::inwards);
    zones.add_polygon(Square{5, 53}.rings(1e-8), properties("tiny"));
    zones.finish();
    write_in_formats(folder.path(), zones.finished(), every(Shape::polygon), looks_by_verdict(false),
                     provenance);
    for (const std::string ending : others) {
        EXPECT_EQ(opened(folder, "zones" + ending)->GetLayer(0)->GetFeatureCount(), ending == ".fgb" ? 0 : 1)
            << ending;
    }
}

// Viewers draw what stands in a balloon as HTML; XML 1.0 holds no
// control characters; GDAL takes text for a date; readers trim blanks.
TEST(VectorFormats, HostileTextIsTextInAllOfThem) {
    const ScratchFolder folder;
    const std::string hostile = " <script>alert('1')</script> & ]]> \x01\n<img src=x onerror=y>  ";
    write(folder, {{5, 53}}, hostile);
    for (const std::string name : {"zones.kml", "spots.kml", "spots.gpx"}) {
        const std::string text = bytes_of(folder / name);
        EXPECT_THAT(text, Not(HasSubstr("<script"))) << name;
        EXPECT_THAT(text, Not(HasSubstr("<img"))) << name;
        EXPECT_THAT(text, Not(HasSubstr("<i>"))) << name;
        EXPECT_THAT(text, Not(HasSubstr("&lt;script"))) << "a balloon would turn it into markup again";
        EXPECT_THAT(text, HasSubstr("\u2039script\u203A")) << name;
    }
    for (const std::string name : {"zones.gpkg", "zones.fgb"}) {
        const auto file = opened(folder, name);
        const OGRFeatureUniquePtr feature(file->GetLayer(0)->GetNextFeature());
        EXPECT_EQ(feature->GetFieldAsString("advice"), hostile) << name;
    }
    // Read as a date it would come out again with slashes.
    const ScratchFolder dated;
    write(dated, {{5, 53}}, "2024-01-02");
    for (const std::string ending : others) {
        const auto file = opened(dated, "zones" + ending);
        const OGRFeatureUniquePtr feature(file->GetLayer(0)->GetNextFeature());
        EXPECT_STREQ(feature->GetFieldAsString("advice"), "2024-01-02") << ending;
    }
}

TEST(PlainText, HoldsNoMarkupAndSingleBlanks) {
    EXPECT_EQ(plain_text("a\t\n b\x7F"), "a b");
    EXPECT_EQ(plain_text("a\uFFFE\uFFFF \u202Eb \xE9"), "a\uFFFD\uFFFD \uFFFDb \uFFFD");
    EXPECT_EQ(plain_text("<a> & 'b'"), "\u2039a\u203A & 'b'");
    EXPECT_EQ(escaped("<\"&'>").str(), "&lt;&quot;&amp;&#39;&gt;");
}

// KML is not cut at the antimeridian by GDAL: a polygon from 179.995 to -179.995 would span the world.
TEST(VectorFormats, AcrossTheAntimeridianNothingSpansTheWorld) {
    const ScratchFolder folder;
    write(folder, {{179.995, -17}, {180, -16}}, "");
    for (const std::string ending : others) {
        SCOPED_TRACE(ending);
        const auto file = opened(folder, "zones" + ending);
        for (const OGRFeatureUniquePtr& feature : *file->GetLayer(0)) {
            double area = 0;
            const OGRGeometryUniquePtr all(
                OGRGeometryFactory::forceToMultiPolygon(feature->GetGeometryRef()->clone()));
            for (const OGRPolygon* polygon : *all->toMultiPolygon()) {
                OGREnvelope box;
                polygon->getEnvelope(&box);
                EXPECT_LT(box.MaxX - box.MinX, 0.011);
                EXPECT_GE(box.MinX, -180);
                EXPECT_LE(box.MaxX, 180);
                area += polygon->get_Area();
            }
            EXPECT_NEAR(area, 1e-4, 1e-8);
        }
    }
    // GDAL's own writer would draw the bounds of these around the world the wrong way; ours gives none.
    const std::string gpx = bytes_of(folder / "spots.gpx");
    EXPECT_THAT(gpx, Not(HasSubstr("<bounds")));
    EXPECT_THAT(gpx, HasSubstr("lat=\"-17\" lon=\"179.995\""));
    EXPECT_THAT(gpx, HasSubstr("lat=\"-16\" lon=\"-180\"")) << "GPX 1.1, longitudeType: below 180";
}

// GDAL writes projected coordinates into GPX without a word.
TEST(Gpx, RefusesWhatIsNotInDegrees) {
    const ScratchFolder folder;
    testing::put_file(folder / "spots.geojson",
                      R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"verdict":4},
                      "geometry":{"type":"Point","coordinates":[400000,5300000]}}]})");
    const VectorLayer::Finished layer{{"spots", "", Shape::point, columns}, {}};
    EXPECT_THROW(write_in_formats(folder.path(), layer, Format::gpx, {}, provenance), std::logic_error);
    EXPECT_THAT(folder.names(), ElementsAre("spots.geojson"));
}

/// A drop point by the sounder with a danger to either side.
std::vector<Property> sounded(std::string hull_danger, double hull_m, std::string ground_danger,
                              double ground_m) {
    return {{"name", std::string("IFF02")},
            {"verdict", std::int64_t{7}},
            {"depth_low_m", 5.4, 1},
            {"depth_high_m", 9.9, 1},
            {"rode_m", 35.0, 1},
            {"sinker_from_bow_m", 0.0, 1},
            {"radius_m", 52.1, 1},
            {"sounder_limit_m", 8.3, 1},
            {"sounder_at_low_water_m", 8.8, 1},
            {"condition", std::string("let go only where it is shoal")},
            {"wind_limit_kn", 21.0, 0},
            {"wind_limit_by", std::string("room alone")},
            {"hull_danger", std::move(hull_danger)},
            {"hull_danger_m", hull_m, 1},
            {"hull_danger_bearing_deg", hull_m < 70 ? 359.6 : unknown, 0},
            {"ground_danger", std::move(ground_danger)},
            {"ground_danger_m", ground_m, 1},
            {"ground_danger_bearing_deg", 45.0, 0},
            {"trip_line_m", 0.0, 1},
            {"advice", std::string("steep")}};
}

/// The GPX and the KML of one drop point.
std::string texts_of(const std::vector<Property>& spot, const char* ending) {
    const ScratchFolder folder;
    VectorLayer spots(folder.path(), "spots", "Drop points.", Shape::point, spot, provenance);
    spots.add_point({5, 53}, spot);
    spots.finish();
    FormatSet formats = Format::gpx;
    formats.add(Format::kml);
    write_in_formats(folder.path(), spots.finished(), formats, looks_by_verdict(true), provenance);
    return bytes_of(folder / (std::string("spots") + ending));
}

// Screens cut off what comes last, and a limit by room alone would read as one that the anchor holds.
TEST(Gpx, SaysFirstWhatMustBeKnownFirst) {
    const std::string gpx = texts_of(sounded("pier", 78.9, "cable", 60.3), ".gpx");
    EXPECT_THAT(
        gpx, HasSubstr("<name>IFF02</name><cmt>sounder max 8.8m at low water; rode max 35m; depth 5.4-9.9m; "
                       "radius 52.1m; holding not known; wind 21kn by room; danger 60.3m bearing "
                       "045</cmt><desc>condition: let go only where it is shoal; rode to veer: at most "
                       "35 m; depth at low water: 5.4 m; depth at high water: 9.9 m; swinging radius: "
                       "52.1 m; wind limit: 21 kn by room alone: holding not known; nearest danger: "
                       "cable, 60.3 m off, bearing 045\u00b0; mind: steep. Planning aid, not for "
                       "navigation."));
    EXPECT_THAT(gpx,
                HasSubstr("<sym>Flag, Red</sym><type>drop point, full scope by the sounder</type></wpt>"));
    for (const char* left_out : {"<time", "<ele"}) {
        EXPECT_THAT(gpx, Not(HasSubstr(left_out)));
    }
}

/// The same with what a tide adds.   @param transducer_m  NaN: nobody says   @param predicted_m  NaN: a band
std::vector<Property> with_tide(std::vector<Property> spot, double transducer_m, double predicted_m) {
    spot.insert(spot.end(), {{"level_needed_m", 0.7, 1},
                             {"afloat", std::string("the whole stay, 18.5 h")},
                             {"transducer_m", transducer_m, 2},
                             {"sounder_on_arrival_predicted_m", predicted_m, 1},
                             {"sounder_on_arrival_least_m", 6.3, 1},
                             {"sounder_on_arrival_greatest_m", 8.1, 1},
                             {"sounder_on_arrival_limit_m", 9.4, 1},
                             {"sounder_on_arrival", std::string("words of water")},
                             {"on_arrival", std::string("The water is rising then.")}});
    return spot;
}

TEST(Gpx, TellsOfTheWaterWhereThereIsATide) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    const std::vector<Property> plain = sounded("pier", 78.9, "cable", 60.3);
    const std::string gpx = texts_of(with_tide(plain, 0.6, 7.1), ".gpx");
    EXPECT_THAT(gpx, HasSubstr("<cmt>sounder max 8.8m at low water; on arrival max 9.4m; rode max 35m; depth "
                               "5.4-9.9m; sounder on arrival 7.1m (6.3-8.1m); radius 52.1m;"));
    EXPECT_THAT(gpx, HasSubstr("depth at high water: 9.9 m; sounder on arrival, at most: 9.4 m; sounder on "
                               "arrival: words of water; swinging radius: 52.1 m;"))
        << "every yes is afloat the whole stay";
    EXPECT_THAT(gpx, HasSubstr("mind: steep; to look for: The water is rising then. Planning aid"));
    EXPECT_THAT(texts_of(with_tide(plain, none, none), ".gpx"),
                ::testing::AllOf(HasSubstr("on arrival max 9.4m of water;"),
                                 HasSubstr("; water on arrival 6.3-8.1m;"),
                                 HasSubstr("sounder on arrival, at most: 9.4 m of water;")));
    EXPECT_THAT(texts_of(with_tide(plain, 0.6, 7.1), ".kml"),
                HasSubstr("sounder on arrival: words of water\nswinging radius"));
}

TEST(Gpx, TellsTheNearerOfTwoDangersAndHowFarThereIsNone) {
    EXPECT_THAT(texts_of(sounded("pier", 60.3, "none within reach", 78.9), ".gpx"),
                HasSubstr("danger 60.3m bearing 000</cmt>"));
    EXPECT_THAT(texts_of(sounded("none within reach", 78.9, "none within reach", 78.9), ".gpx"),
                HasSubstr("no danger within 78.9m</cmt>"));
    EXPECT_THAT(texts_of(sounded("none within reach", 78.9, "cable", 78.9), ".gpx"),
                HasSubstr("danger 78.9m bearing 045</cmt>"));
}

TEST(Gpx, HasTheNamesOfTheOtherFormats) {
    const ScratchFolder folder;
    write(folder, {{5, 53}, {6, 53}}, "steep");
    EXPECT_THAT(bytes_of(folder / "spots.gpx"), HasSubstr("<name>FUL02</name>"));
    EXPECT_THAT(bytes_of(folder / "spots.gpx"),
                HasSubstr("<sym>Anchor</sym><type>drop point, full scope</type>"));
    EXPECT_THAT(bytes_of(folder / "spots.kml"), HasSubstr("<name>FUL02</name>"));
}

struct Track {
    std::string name, type;
    OGRLineString line;
    [[nodiscard]] double area() const {
        OGRLinearRing ring;
        ring.addSubLineString(&line);
        return ring.get_Area();
    }
};

/// The tracks of one feature, by GDAL's reader.
std::vector<Track> tracks(const std::vector<std::vector<GridPoint>>& rings, const std::string& layer,
                          const std::string& name) {
    const ScratchFolder folder;
    const std::vector<Property> feature = named(name, properties("steep"));
    VectorLayer zones(folder.path(), layer, "", Shape::polygon, feature, provenance,
                      VectorLayer::Rounding::inwards);
    zones.add_polygon(rings, feature);
    zones.add_polygon(Square{5, 53}.rings(1e-8), feature); // too small to be drawn
    zones.finish();
    write_in_formats(folder.path(), zones.finished(), Format::gpx, looks_by_verdict(false), provenance);
    const auto file = opened(folder, layer + ".gpx");
    std::vector<Track> found;
    for (const OGRFeatureUniquePtr& track : *file->GetLayerByName("tracks")) {
        const OGRMultiLineString& lines = *track->GetGeometryRef()->toMultiLineString();
        EXPECT_EQ(lines.getNumGeometries(), 1) << "old plotters make one line of several";
        found.push_back(
            {track->GetFieldAsString("name"), track->GetFieldAsString("type"), *lines.getGeometryRef(0)});
    }
    return found;
}

/// A wavy ring of many corners.
std::vector<GridPoint> wavy(double lon, double lat, double size, int corners) {
    std::vector<GridPoint> ring;
    for (int i = 0; i <= corners; ++i) {
        const double angle = 2 * M_PI * (i % corners) / corners, r = size * (1 + 0.1 * std::cos(40 * angle));
        ring.push_back({lon + r * std::cos(angle), lat + r * std::sin(angle)});
    }
    return ring;
}

// A zone only gets smaller and its holes larger; what is no zone the other way round.
TEST(Gpx, TracksAreClosedAndShortAndOnTheSafeSide) {
    const std::vector<std::vector<GridPoint>> rings = {wavy(5, 53, 0.1, 5000), wavy(5, 53, 0.05, 3000)};
    std::vector<double> whole;
    for (const std::vector<GridPoint>& ring : rings) {
        Track of;
        for (const GridPoint& point : ring) {
            of.line.addPoint(point.x, point.y);
        }
        whole.push_back(of.area());
    }
    for (const bool zone : {true, false}) {
        const auto found = tracks(rings, zone ? "zones" : "exclusions", zone ? "ZFU1" : "XHU1");
        ASSERT_EQ(found.size(), 2U) << "none of what is too small";
        for (const Track& track : found) {
            EXPECT_LE(track.line.getNumPoints(), 500);
            EXPECT_TRUE(track.line.get_IsClosed());
        }
        EXPECT_EQ(found[0].name, zone ? "ZFU1" : "XHU1");
        EXPECT_EQ(found[0].type, zone ? "zone, full scope" : "exclusion, full scope");
        EXPECT_EQ(found[1].name, zone ? "HOZ1" : "HOX1");
        EXPECT_EQ(found[1].type, zone ? "hole in zone ZFU1" : "hole in exclusion XHU1");
        EXPECT_EQ(found[0].area() < whole[0], zone);
        EXPECT_EQ(found[1].area() > whole[1], zone);
    }
}

TEST(Gpx, TracksAcrossTheAntimeridianStayOnTheirSides) {
    const auto found = tracks({wavy(180, -17, 0.1, 100)}, "zones", "ZFU1");
    ASSERT_EQ(found.size(), 2U);
    int east = 0;
    for (const Track& track : found) {
        OGREnvelope box;
        track.line.getEnvelope(&box);
        EXPECT_LT(box.MaxX - box.MinX, 0.2);
        EXPECT_LT(box.MaxX, 180) << "GPX 1.1, longitudeType: below 180";
        EXPECT_TRUE(track.line.get_IsClosed());
        east += box.MinX > 0 ? 1 : 0;
    }
    EXPECT_EQ(east, 1);
    EXPECT_NE(found[0].name, found[1].name);
}

TEST(Kml, ShowsFiguresInPlainTextAndHasAFolderForEachAnswer) {
    const std::string kml = texts_of(sounded("pier", 78.9, "cable", 60.3), ".kml");
    EXPECT_THAT(kml, HasSubstr("<name>IFF02</name>\n"));
    EXPECT_THAT(
        kml,
        HasSubstr("<description>condition: let go only where it is shoal\nrode to veer: at most 35 m\n"));
    EXPECT_THAT(kml, HasSubstr("<name>yes, by the sounder, at full scope</name>\n"));
    EXPECT_THAT(kml, Not(HasSubstr("<name>yes, at full scope</name>"))) << "no folder without a place";
    EXPECT_THAT(kml, HasSubstr("<color>ffb9c929</color>"))
        << "that of the palette, as alpha, blue, green, red";
}

TEST(Geopackage, HasItsIndexDescriptionAndProvenance) {
    const ScratchFolder folder;
    write(folder, {{5, 53}}, "");
    const auto file = opened(folder, "zones.gpkg");
    OGRLayer& layer = *file->GetLayer(0);
    EXPECT_TRUE(layer.TestCapability(OLCFastSpatialFilter));
    EXPECT_THAT(layer.GetMetadataItem("DESCRIPTION"), HasSubstr("not for navigation"));
    EXPECT_THAT(file->GetMetadataItem("PROVENANCE"), HasSubstr("wind = 20"));
    EXPECT_THAT(file->GetMetadataItem("CAUTION"), HasSubstr("not for navigation"));
    OGRLayer* const when = file->ExecuteSQL(
        "SELECT last_change FROM gpkg_contents UNION SELECT timestamp FROM gpkg_metadata_reference", nullptr,
        nullptr);
    for (const OGRFeatureUniquePtr& row : *when) {
        EXPECT_THAT(row->GetFieldAsString(0), HasSubstr("1970")) << "no clock";
    }
    file->ReleaseResultSet(when);
}

TEST(Kml, HasALookForEachAnswerAndTheCautionInItsDescription) {
    const ScratchFolder folder;
    write(folder, {{5, 53}}, "");
    const std::string kml = bytes_of(folder / "zones.kml");
    EXPECT_THAT(kml, HasSubstr("<color>995e6601</color>")) << "fill, as alpha, blue, green, red";
    EXPECT_THAT(kml, HasSubstr("<name>yes, at full scope</name>")) << "of the folder";
    EXPECT_THAT(kml, HasSubstr("not for navigation"));
    EXPECT_THAT(kml, HasSubstr("wind = 20"));
}

/// Seconds of processor that so many zones of forty corners take.
double seconds_for(int zones_count, double& bytes) {
    const ScratchFolder folder;
    VectorLayer zones(folder.path(), "zones", "", Shape::polygon, columns, provenance);
    for (int i = 0; i < zones_count; ++i) {
        std::vector<GridPoint> ring;
        for (int corner = 0; corner <= 40; ++corner) {
            const double angle = corner % 40 * M_PI / 20;
            ring.push_back(
                {5 + i % 100 * 1e-3 + 4e-4 * std::cos(angle), 53 + i / 100 * 1e-3 + 4e-4 * std::sin(angle)});
        }
        zones.add_polygon({ring}, properties("foul ground near"));
    }
    zones.finish();
    const std::clock_t start = std::clock();
    write_in_formats(folder.path(), zones.finished(), Format::kml, looks_by_verdict(false), provenance);
    bytes = static_cast<double>(std::filesystem::file_size(folder / "zones.kml"));
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

// GDAL's own writer copies the whole document for every feature: some minutes of processor for the greater
// one.
TEST(Kml, TakesTenTimesAsLongForTenTimesAsMuch) {
    double few_bytes = 0, many_bytes = 0;
    const double few = seconds_for(500, few_bytes), many = seconds_for(5000, many_bytes);
    std::printf("%.1f MB in %.2f s, %.1f MB in %.2f s\n", few_bytes / 1e6, few, many_bytes / 1e6, many);
    EXPECT_GT(many_bytes, 9.5 * few_bytes);
    EXPECT_LT(many, 25 * few + 1);
}

// A place that takes no files: TMPDIR is not there, the current folder is gone.
TEST(VectorFormats, WriteNothingButIntoTheirFolder) {
    const ScratchFolder folder;
    const std::filesystem::path here = std::filesystem::current_path();
    const char* const tmpdir = std::getenv("TMPDIR");
    const std::string before = tmpdir ? tmpdir : "";
    for (const bool with_tmpdir : {true, false}) {
        const ScratchFolder gone;
        std::filesystem::current_path(gone.path());
        std::filesystem::remove(gone.path());
        with_tmpdir ? setenv("TMPDIR", (gone / "nowhere").c_str(), 1) : unsetenv("TMPDIR");
        EXPECT_NO_THROW(write(folder, {{5, 53}, {6, 54}}, "steep")) << with_tmpdir;
        std::filesystem::current_path(here);
        tmpdir ? setenv("TMPDIR", before.c_str(), 1) : unsetenv("TMPDIR");
    }
    EXPECT_THAT(folder.names(),
                ElementsAre("spots.fgb", "spots.geojson", "spots.gpkg", "spots.gpx", "spots.kml", "zones.fgb",
                            "zones.geojson", "zones.gpkg", "zones.kml"));
}

// A feature that is lost or changed between what was meant and what was read is nobody's fault that GDAL
// knows of: it reads a file that was cut at the end of a feature, or another number, without a word.
TEST(VectorFormats, OfAGeojsonThatReadsOtherwiseThanMeantAreRefused) {
    for (const bool cut : {true, false}) {
        for (const Format format : {Format::gpkg, Format::flatgeobuf, Format::kml, Format::gpx}) {
            const ScratchFolder folder;
            VectorLayer spots(folder.path(), "spots", "", Shape::point, columns, provenance);
            for (int i = 0; i < 3; ++i) {
                spots.add_point({5.0 + i, 53}, properties("steep", 5.5 + i));
            }
            spots.finish();
            std::string text = bytes_of(folder / "spots.geojson");
            if (cut) {
                const std::size_t last = text.rfind(",\n{");
                text.replace(last, text.rfind("\n]") - last, "");
            } else {
                text.replace(text.find("6.5"), 3, "9.5");
            }
            testing::put_file(folder / "spots.geojson", text);
            EXPECT_THROW(
                write_in_formats(folder.path(), spots.finished(), format, looks_by_verdict(true), provenance),
                IoError)
                << traits(format).name << (cut ? " cut" : " changed");
        }
    }
}

TEST(Styles, OfVectorsHaveARuleForEachLook) {
    const VectorLayer::Spec zones{"zones", "", Shape::polygon, columns};
    const std::string qml = qml_of(Shape::polygon, looks_by_verdict(false)).str(),
                      sld = sld_of(zones, looks_by_verdict(false)).str();
    for (const char* const text : {"&quot;verdict&quot; = 4", "\"yes, at short scope with sinker\""}) {
        EXPECT_THAT(qml, HasSubstr(text));
    }
    EXPECT_THAT(sld, HasSubstr("<ogc:PropertyName>verdict</ogc:PropertyName><ogc:Literal>4</ogc:Literal>"));
    EXPECT_THAT(qml_of(Shape::polygon, looks_by_prohibition()).str(),
                HasSubstr("&quot;forbids&quot; LIKE &#39;hull%&#39;"));
    EXPECT_THAT(qml_of(Shape::point, looks_by_verdict(true)).str(), HasSubstr("filter=\"ELSE\""))
        << "a GPX has no column of that name, and its points are to be seen";
}

} // namespace
} // namespace swingroom
