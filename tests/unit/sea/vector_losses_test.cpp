#include "swingroom/base/error.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"

#include "sea/files/input_text.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/files/watched_reading.hpp"
#include "support/scratch.hpp"
#include "support/warning_lines.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

// What is lost in a vector file without a word of the driver's.

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

class VectorLosses : public testing::Test {
protected:
    [[nodiscard]] std::string path(const std::string& name) const { return scratch_ / name; }
    std::string write(const std::string& name, const std::string& bytes) const {
        std::ofstream(path(name), std::ios::binary) << bytes;
        return path(name);
    }
    static std::string bytes_of(const std::string& file) {
        std::ifstream in(file, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }
    /// Geometries of a file, "input ..." or "io ..." where it is refused; warnings after them.
    static std::string read(const std::string& file) {
        std::string all;
        try {
            const VectorFile open(file);
            open.each_feature([&](OGRLayer&, OGRFeature& feature) {
                all += (feature.GetGeometryRef() ? feature.GetGeometryRef()->exportToWkt() : "none") + ";";
            });
            const auto endangers = [](const OpenStreetMapFile::Tags& tags) {
                return tags.at("seamark:type") != "harbour";
            };
            for (const std::string& loss : open.losses(endangers)) {
                all += " warning: " + file + ": " + loss;
            }
        } catch (const InputError& error) {
            return std::string("input ") + error.what();
        } catch (const IoError& error) {
            return std::string("io ") + error.what();
        }
        return all;
    }
    /// A file of two lines, as a driver writes it.
    std::string made(const std::string& name, const char* driver) const {
        GDALAllRegister();
        GDALDatasetUniquePtr data(GetGDALDriverManager()->GetDriverByName(driver)->Create(
            path(name).c_str(), 0, 0, 0, GDT_Unknown, nullptr));
        OGRSpatialReference degrees;
        degrees.importFromEPSG(4326);
        degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        const char* const layer_name = EQUAL(driver, "GPX") ? "tracks" : "reefs";
        OGRLayer* const layer = data->CreateLayer(layer_name, &degrees,
                                                  EQUAL(driver, "GPX") ? wkbMultiLineString : wkbLineString);
        for (const double west : {4.0, 4.25}) {
            OGRLineString line;
            line.addPoint(west, 60);
            line.addPoint(west + 0.125, 60.5);
            OGRFeature feature(layer->GetLayerDefn());
            feature.SetGeometry(&line);
            EXPECT_EQ(layer->CreateFeature(&feature), OGRERR_NONE);
        }
        data.reset();
        return path(name);
    }

private:
    testing_support::Scratch scratch_;
};

// ---- OpenStreetMap -------------------------------------------------------------------------------------

const std::string nodes = R"(<node id="1" lat="60" lon="4" version="1"/>
<node id="2" lat="60" lon="4.01" version="1"/><node id="3" lat="60.01" lon="4.01" version="1"/>
<node id="4" lat="60.01" lon="4" version="1"/><node id="5" lat="60.002" lon="4.002" version="1"/>
<node id="6" lat="60.002" lon="4.004" version="1"/><node id="7" lat="60.004" lon="4.004" version="1"/>
)";
const std::string cable = R"(<tag k="seamark:type" v="cable_submarine"/>)";
const std::string area = R"(<tag k="seamark:type" v="restricted_area"/>)";

std::string osm(const std::string& elements) {
    return "<?xml version=\"1.0\"?>\n<osm version=\"0.6\">\n" + elements + "</osm>\n";
}
std::string way(int id, const std::vector<int>& refs, const std::string& tags = "") {
    std::string text = "<way id=\"" + std::to_string(id) + "\" version=\"1\">";
    for (const int ref : refs) {
        text += "<nd ref=\"" + std::to_string(ref) + "\"/>";
    }
    return text + tags + "</way>\n";
}
std::string relation(const std::vector<int>& ways, const std::string& type, const std::string& tags) {
    std::string text = R"(<relation id="1" version="1">)";
    for (const int w : ways) {
        text += R"(<member type="way" ref=")" + std::to_string(w) + R"(" role="outer"/>)";
    }
    return text + R"(<tag k="type" v=")" + type + "\"/>" + tags + "</relation>\n";
}

class OpenStreetMapLosses : public VectorLosses {
protected:
    /// The same of the file as XML and in binary.
    std::string outcome(const std::string& elements) const {
        std::string text = read(write("map.osm", osm(elements)));
        if (std::system("osmium --version >/dev/null 2>&1") != 0) return text;
        EXPECT_EQ(
            std::system(("osmium cat -O -o '" + path("map.osm.pbf") + "' '" + path("map.osm") + "'").c_str()),
            0);
        std::string binary = read(path("map.osm.pbf"));
        for (std::string* const said : {&binary, &text}) {
            for (auto at = said->find(".osm.pbf"); at != std::string::npos; at = said->find(".osm.pbf")) {
                said->replace(at, 8, ".osm");
            }
        }
        EXPECT_EQ(binary, text);
        return text;
    }
};

TEST_F(OpenStreetMapLosses, AWayOfASeamarkThatLacksANodeIsRefused) {
    const std::string some = nodes.substr(nodes.find("<node id=\"3\"")); // neither 1 nor 2
    EXPECT_THAT(outcome(nodes + way(8, {1, 2, 3}, cable)), StartsWith("LINESTRING"));
    EXPECT_THAT(outcome(some + way(8, {3, 2, 4}, cable)), HasSubstr("map.osm: way 8 lacks its node 2"));
    EXPECT_THAT(outcome(some + way(8, {1, 2}, cable)), HasSubstr("map.osm: way 8 lacks its node 1"));
    EXPECT_THAT(outcome(some + way(8, {1, 3}) + way(9, {3, 4}, cable)), StartsWith("LINESTRING"))
        << "what bears no seamark is no business of ours";
    EXPECT_THAT(outcome(nodes + way(8, {1}, cable)), HasSubstr("way 8, a seamark, cannot be read"));
}

TEST_F(OpenStreetMapLosses, AnAreasRelationThatLacksAWayOrOneOfItsNodesIsRefused) {
    const std::string outlines = way(8, {1, 2, 3}) + way(9, {3, 4, 1});
    EXPECT_THAT(outcome(nodes + outlines + relation({8, 9}, "multipolygon", area)),
                StartsWith("MULTIPOLYGON"));
    EXPECT_THAT(outcome(nodes + way(8, {1, 2, 3}) + relation({8, 9}, "multipolygon", area)),
                HasSubstr("relation 1 lacks its way 9"));
    EXPECT_THAT(outcome(nodes.substr(nodes.find("<node id=\"2\"")) + outlines +
                        relation({8, 9}, "multipolygon", area)),
                HasSubstr("way 8 lacks its node 1"));
}

TEST_F(OpenStreetMapLosses, AnAreaOfWhichAnOutlineDoesNotCloseIsRefused) {
    const std::string ways = way(8, {1, 2, 3, 4, 1}) + way(9, {5, 6, 7}) + way(10, {7, 5});
    EXPECT_THAT(outcome(nodes + ways + relation({8, 9, 10}, "multipolygon", area)),
                StartsWith("MULTIPOLYGON"));
    EXPECT_THAT(outcome(nodes + ways + relation({8, 9}, "multipolygon", area)),
                StartsWith("input " + path("map.osm") +
                           ": relation 1, a seamark, cannot be read whole: not "
                           "all of its ways are parts of outlines that close"));
    EXPECT_THAT(outcome(nodes + ways + relation({9}, "multipolygon", area)),
                StartsWith("input " + path("map.osm") + ": relation 1, a seamark, cannot be read whole"));
    const std::string tagged = way(8, {1, 2, 3, 4, 1}, area) + way(9, {5, 6, 7}, area);
    EXPECT_THAT(outcome(nodes + tagged + relation({8, 9}, "multipolygon", "")),
                HasSubstr("relation 1, a seamark, cannot be read whole"))
        << "the relation has taken the tags and is not all there";
}

TEST_F(OpenStreetMapLosses, WhatEndangersNothingIsOnlyWarnedOf) {
    const std::string harbour = R"(<tag k="seamark:type" v="harbour"/>)";
    const std::string some = nodes.substr(nodes.find("<node id=\"2\"")); // not 1
    const std::string whole = way(11, {5, 6}, cable);
    EXPECT_THAT(outcome(some + way(8, {1, 2}, harbour) + whole),
                AllOf(StartsWith("LINESTRING"),
                      HasSubstr("warning: " + path("map.osm") + ": way 8 lacks its node 1")));
    EXPECT_THAT(outcome(nodes + way(8, {1}, harbour) + whole),
                HasSubstr("; by the rules it endangers nothing"));
    EXPECT_THAT(outcome(nodes + way(8, {1, 2, 3, 4, 1}, harbour) +
                        relation({8}, "multipolygon", R"(<tag k="natural" v="bay"/>)")),
                AllOf(StartsWith("MULTIPOLYGON"), HasSubstr("warning: "), HasSubstr("way 8, a seamark")));
    EXPECT_THAT(outcome(nodes + way(8, {1, 2, 3}) + relation({8, 9}, "multipolygon", harbour)),
                AllOf(HasSubstr("warning: "), HasSubstr("relation 1 lacks its way 9")));
    EXPECT_THAT(
        outcome(some + way(8, {1, 2}, harbour) + way(9, {2, 3, 4}) + relation({8, 9}, "multipolygon", area)),
        StartsWith("input " + path("map.osm") + ": way 8 lacks its node 1"))
        << "the area that the way bounds endangers";
}

TEST_F(OpenStreetMapLosses, RulesDecideWhetherALossEndangers) {
    const std::string restricted = R"(<tag k="seamark:harbour:restriction" v="no_anchoring"/>)";
    const std::string harbour = R"(<tag k="seamark:type" v="harbour"/>)";
    const auto counted = [&](const std::string& tags, const std::vector<HazardRule>& rules) {
        const std::string file = write("map.osm", osm(nodes + way(8, {1}, tags)));
        try {
            std::string said;
            for (const std::string& warning : told_all(count_hazards({file}, rules).warnings)) {
                said += warning + "\n";
            }
            return said;
        } catch (const InputError& error) {
            return std::string("input ") + error.what();
        }
    };
    const std::vector<HazardRule> built_in = default_hazard_rules();
    EXPECT_THAT(counted(harbour, built_in), HasSubstr("by the rules it endangers nothing"));
    EXPECT_THAT(counted(harbour + restricted, built_in), StartsWith("input "));
    EXPECT_THAT(counted(cable, built_in), StartsWith("input "));
    EXPECT_THAT(
        counted(R"(<tag k="seamark:type" v="seabed_area"/><tag k="seamark:seabed_area:surface" v="rock"/>)",
                built_in),
        StartsWith("input "));
    HazardRule own;
    own.name = "harbours";
    own.layers = {"HRBFAC"};
    own.where = "OGR_GEOM_AREA > 1";
    own.effects = effect::hull;
    EXPECT_THAT(counted(harbour, {own}), StartsWith("input ")) << "its place is not known to be none of them";
    own.layers = {"lines"};
    EXPECT_THAT(counted(harbour, {own}), StartsWith("input ")) << "by the layer that it would be in";
}

TEST_F(OpenStreetMapLosses, WhatAnEditorHasMarkedAsDeletedIsNotMissed) {
    for (const char* mark : {"action=\"delete\"", "visible=\"false\""}) {
        const std::string gone =
            std::string("<way id=\"8\" version=\"1\" ") + mark + ">" + cable + "</way>\n";
        EXPECT_THAT(read(write("a.osm", osm(nodes + gone + way(9, {1, 2}, cable)))), StartsWith("LINESTRING"))
            << mark;
    }
}

TEST_F(OpenStreetMapLosses, OtherRelationsThatLackMembersAreWarnedOf) {
    EXPECT_THAT(outcome(nodes + way(8, {1, 2, 3}) + relation({8, 9}, "site", area)),
                HasSubstr("relation 1, a seamark, lacks its way 9"));
    EXPECT_THAT(outcome(nodes + way(8, {1, 2, 3}, cable) + relation({9}, "site", area)),
                HasSubstr("relation 1, a seamark, is left out"));
}

TEST_F(OpenStreetMapLosses, AClosedWayWhoseTagsARelationSwallowsIsRefused) {
    const std::string ways = way(8, {1, 2, 3, 4, 1}, area) + way(9, {5, 6, 7, 5});
    EXPECT_THAT(outcome(nodes + ways + relation({8, 9}, "multipolygon", R"(<tag k="natural" v="water"/>)")),
                HasSubstr("way 8, a seamark, cannot be read as one; give its tags to the relation"));
    EXPECT_THAT(outcome(nodes + ways + relation({8, 9}, "multipolygon", "")), StartsWith("MULTIPOLYGON"))
        << "the relation has taken the tags and is one";
}

TEST_F(OpenStreetMapLosses, WhatStandsBehindItsRelationIsRefusedAndNotLost) {
    const std::string outlines = way(8, {1, 2, 3}) + way(9, {3, 4, 1});
    EXPECT_THAT(outcome(relation({8, 9}, "multipolygon", area) + nodes + outlines), HasSubstr("osmium sort"));
    EXPECT_THAT(outcome(way(8, {1, 2, 3}, cable) + nodes),
                testing::AnyOf(HasSubstr("osmium sort"), StartsWith("LINESTRING (4 60,4.01 60")));
}

// ---- numbers -------------------------------------------------------------------------------------------

const std::string kml = R"(<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder><name>reefs</name>
<!-- <coordinates>none</coordinates> --><Placemark><name>a</name><Point><coordinates>4,60</coordinates></Point></Placemark>
<Placemark><LineString><coordinates>4.01,60,0
 4.02,60.01,0</coordinates></LineString></Placemark></Folder></Document></kml>
)";
const std::string gpx = R"(<?xml version="1.0"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="60" lon="4"><name>a</name></wpt><wpt lat="60.01" lon="4.01"><name>b</name></wpt>
<trk><trkseg><trkpt lat="60" lon="4.02"/><trkpt lat="60.01" lon="4.03"/></trkseg></trk></gpx>
)";
const std::string json =
    R"({"type":"FeatureCollection","name":"reefs","features":[{"type":"Feature","properties":{"a":1},
"geometry":{"type":"Point","coordinates":[4.01,60]}},{"type":"Feature","properties":{"a":-1.5e3},
"geometry":{"type":"LineString","coordinates":[[4,60],[4.5,60.5]]}}]})";
const std::string sequence =
    R"({"type":"Feature","properties":{"a":1},"geometry":{"type":"Point","coordinates":[4,60]}}
{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[4.01,60],[4.02,60.01]]}}
)";
const std::string topology =
    R"({"type":"Topology","objects":{"reefs":{"type":"GeometryCollection","geometries":[{"type":"LineString",
"arcs":[0]},{"type":"LineString","arcs":[1]}]}},"arcs":[[[4,60],[4.01,60.01]],[[4.02,60],[4.03,60.01]]]})";

std::string with(std::string text, const std::string& old, const std::string& now) {
    const auto at = text.find(old);
    EXPECT_NE(at, std::string::npos);
    return text.replace(at, old.size(), now);
}

TEST_F(VectorLosses, CoordinatesThatAreNoNumbersAreRefusedByTheirLine) {
    for (const char* number : {"-29.047.93", "4.01,29,046", "4..1", "1e", "--4", "4.01,60.0.0"}) {
        EXPECT_THAT(read(write("a.geojson", with(json, "4.01", number))),
                    HasSubstr("a.geojson, line 2: has \""))
            << number;
    }
    for (const char* number : {"47.985{79", "0x4", "\"4.01\"", "4.01 60"}) {
        EXPECT_THAT(read(write("a.geojson", with(json, "4.01", number))), HasSubstr("a.geojson")) << number;
    }
    for (const char* pair : {"4.01,60.047.93", "4.01,47.985{79", "4,01,60,046", "4.01,60,046", "4.01;60",
                             "4.01", ",60", "4.01,"}) {
        EXPECT_THAT(read(write("a.kml", with(kml, "4.01,60,0", pair))),
                    HasSubstr("a.kml, line 5, placemark 2: its coordinates hold \""))
            << pair;
    }
    for (const char* lat : {"lat=\"60,046\"", "lat=\"-29.047.93\"", "lat=\"47.985{79\"", "lat=\"\"", ""}) {
        EXPECT_THAT(read(write("a.gpx", with(gpx, "lat=\"60.01\"", lat))), HasSubstr("a.gpx, line 3, wpt: "))
            << lat;
    }
    EXPECT_THAT(read(write("a.osm", osm(R"(<node id="1" lat="60,05" lon="4"/>)"))),
                HasSubstr("a.osm, line 3, node: its lat is \"60,05\""));
    for (const auto& [name, text] : {std::pair("a.geojson", json), {"a.kml", kml}, {"a.gpx", gpx}}) {
        EXPECT_THAT(read(write(name, text)), StartsWith("POINT")) << name;
    }
    EXPECT_THAT(read(write("a.kml", with(kml, "4,60", "4, 60"))), HasSubstr("placemark 1"))
        << "which the driver takes for 4 E on the equator";
    EXPECT_THAT(read(write("a.geojson", with(json, R"("a":1)", R"("a":NaN,"b":true,"c":"1.2.3")"))),
                StartsWith("POINT"));
}

TEST_F(VectorLosses, TracksWithTimesInKmlAreRefusedByTheirPlacemark) {
    const std::string track = "<gx:Track><when>2020-01-01T00:00:00Z</when><gx:coord>4 60 0</gx:coord>"
                              "<when>2020-01-01T00:01:00Z</when><gx:coord>4.01 60 0</gx:coord></gx:Track>";
    const std::string point = "<Point><coordinates>4,60</coordinates></Point>";
    EXPECT_THAT(read(write("a.kml", with(kml, point, track))),
                HasSubstr("a.kml, line 3, placemark 1: is a track with times (gx:Track), which is not read"));
    EXPECT_THAT(read(write("a.kml", with(kml, point, "<gx:MultiTrack>" + track + "</gx:MultiTrack>"))),
                HasSubstr("a.kml, line 3, placemark 1: is a track with times (gx:MultiTrack)"));
    EXPECT_THAT(
        read(write("a.kml", with(kml, point, "<ExtendedData><Track>5</Track></ExtendedData>" + point))),
        StartsWith("POINT"))
        << "a writer's own element";
}

TEST_F(VectorLosses, WhatStandsInPlaceOfAHeightInKmlDoesNoHarm) {
    for (const char* position :
         {"4.01,60.5,00", "4.01,60.5,00.000", "4.01,60.5,-00.5", "4.01,60.5,NaN", "4.01,60,NaN", "4.01,60.5,",
          "4.01,60.5,0,", "4.01,60.5,,", "4.01,60.5,046", "4.01,60,0", "4.01,60,-00.5", "4,60,12"}) {
        EXPECT_THAT(read(write("a.kml", with(kml, "4.01,60,0", position))), HasSubstr(";LINESTRING"))
            << position;
    }
    for (const char* position :
         {"4,01,60", "4,01,60,", "4,01", "4,01,", "4,01,60.5", "4.01,60,00", "4,60,", "4,60,0,",
          "4.01,60.5,x", "4.01,60.5,0,1", "4.01,60.5,0,nan", "4.01,60.5,,1", "4.01,60.5,0x1"}) {
        EXPECT_THAT(read(write("a.kml", with(kml, "4.01,60,0", position))),
                    HasSubstr("a.kml, line 5, placemark 2: its coordinates hold \""))
            << position;
    }
}

TEST_F(VectorLosses, DecimalNumbersAreNumbersToTheirEnd) {
    for (const char* text : {"0", "-29.047", "+1.5E-3", ".5", "5.", " 60 "}) {
        EXPECT_TRUE(is_decimal_number(text)) << text;
    }
    for (const char* text : {"", "-", ".", "1.2.3", "1,2", "1e", "0x1", "nan", "1 2", "60N"}) {
        EXPECT_FALSE(is_decimal_number(text)) << text;
    }
}

// ---- files cut in the middle ---------------------------------------------------------------------------

TEST_F(VectorLosses, AFileThatIsCutAnywhereIsRefusedOrReadAsWhole) {
    for (const auto& [name, text] : {std::pair("reefs.geojsonl", sequence),
                                     {"reefs.geojson", json},
                                     {"reefs.topojson", topology},
                                     {"reefs.kml", kml},
                                     {"reefs.gpx", gpx}}) {
        const std::string whole = read(write(name, text));
        ASSERT_THAT(whole, HasSubstr("LINESTRING")) << name;
        int refused = 0, same = 0;
        for (std::size_t bytes = 0; bytes < text.size(); ++bytes) {
            const std::string cut = read(write(name, text.substr(0, bytes)));
            const bool is_refused = cut.starts_with("input ") || cut.starts_with("io ");
            // A sequence that ends behind a line is a shorter one.
            if (std::string(name) == "reefs.geojsonl" && bytes <= text.find('\n') + 1 &&
                bytes >= text.find('\n')) {
                continue;
            }
            ASSERT_TRUE(is_refused || cut == whole) << name << " at " << bytes << ": " << cut;
            (is_refused ? refused : same) += 1;
        }
        std::cout << name << ": " << refused << " cuts refused, " << same << " read as whole\n";
    }
}

TEST_F(VectorLosses, EachTextOfASequenceIsAFeature) {
    EXPECT_THAT(read(write("a.geojsonl", sequence + "[1,2]\n")),
                HasSubstr("3 texts, of which 2 can be read"));
    std::string separated;
    for (const char c : sequence) {
        separated +=
            (separated.empty() || separated.back() == '\n') ? std::string("\x1e") + c : std::string(1, c);
    }
    EXPECT_EQ(read(write("a.geojsons", separated)), read(write("a.geojsonl", sequence)));
}

// ---- vertices outside ----------------------------------------------------------------------------------

TEST_F(VectorLosses, VerticesOutsideOfTheDeclaredExtentAreRefusedByTheirFeature) {
    const double far = 44.25, west = 4.25;
    std::string from(sizeof west, '\0'), to(sizeof far, '\0');
    std::memcpy(from.data(), &west, sizeof west);
    std::memcpy(to.data(), &far, sizeof far);
    for (const auto& [name, driver] :
         {std::pair("reefs.shp", "ESRI Shapefile"), {"reefs.fgb", "FlatGeobuf"}}) {
        const std::string file = made(name, driver);
        EXPECT_THAT(read(file), StartsWith("LINESTRING")) << name;
        std::string bytes = bytes_of(file);
        const auto at = bytes.rfind(from);
        ASSERT_NE(at, std::string::npos);
        write(name, bytes.replace(at, to.size(), to));
        EXPECT_THAT(read(file), HasSubstr("has vertices outside of the extent that the")) << name;
        EXPECT_THAT(read(file), HasSubstr("layer reefs, feature #")) << name;
    }
    // Within the file's extent, but not the record's.
    const double between = 4.0625;
    std::memcpy(to.data(), &between, sizeof between);
    const std::string file = made("other.shp", "ESRI Shapefile");
    std::string bytes = bytes_of(file);
    write("other.shp", bytes.replace(bytes.rfind(from), to.size(), to));
    EXPECT_THAT(read(file), HasSubstr("that the record declares"));
}

TEST_F(VectorLosses, RecordsOfAShapefileAreFoundByItsIndexWhateverNumbersTheyBear) {
    const std::string file = made("reefs.shp", "ESRI Shapefile"), whole = read(file);
    const std::string bytes = bytes_of(file), index = bytes_of(path("reefs.shx"));
    constexpr std::size_t file_header = 100, entry = 8;
    const std::size_t second = 2 * (static_cast<unsigned char>(index[file_header + entry + 2]) * 256U +
                                    static_cast<unsigned char>(index[file_header + entry + 3]));
    for (const auto& [first_number, second_number] : {std::pair('\0', '\1'), {'\3', '\3'}, {'\2', '\1'}}) {
        std::string numbered = bytes;
        numbered[file_header + 3] = first_number;
        numbered[second + 3] = second_number;
        write("reefs.shp", numbered);
        EXPECT_EQ(read(file), whole) << int{first_number};
    }
    // The index the other way round: the boxes go with their features.
    write("reefs.shp", bytes);
    write("reefs.shx", index.substr(0, file_header) + index.substr(file_header + entry) +
                           index.substr(file_header, entry));
    EXPECT_THAT(read(file), StartsWith("LINESTRING (4.25 60"));
}

TEST_F(VectorLosses, AVertexOutsideOfItsRecordIsRefusedInCapitalLettersAndWhateverItsNumber) {
    const double west = 4.25, between = 4.0625;
    std::string from(sizeof west, '\0'), to(sizeof between, '\0');
    std::memcpy(from.data(), &west, sizeof west);
    std::memcpy(to.data(), &between, sizeof between);
    std::string bytes = bytes_of(made("reefs.shp", "ESRI Shapefile"));
    bytes.replace(bytes.rfind(from), to.size(), to)[103] = '\7';
    write("reefs.shp", bytes);
    EXPECT_THAT(read(path("reefs.shp")), HasSubstr("feature #1: has vertices outside"));
    for (const char* part : {"shx", "dbf"}) {
        write(std::string("OTHER.") + (*part == 's' ? "SHX" : "DBF"),
              bytes_of(path(std::string("reefs.") + part)));
    }
    write("OTHER.SHP", bytes);
    EXPECT_THAT(read(path("OTHER.SHP")), HasSubstr("feature #1: has vertices outside"));
}

// ---- calls to the disk that fail -----------------------------------------------------------------------

TEST_F(VectorLosses, ACallToTheDiskThatFailsIsAnErrorWhicheverItIs) {
    write("reefs.osm", osm(nodes + way(8, {1, 2, 3}, cable)));
    write("reefs.geojson", json);
    write("reefs.geojsonl", sequence);
    write("reefs.topojson", topology);
    write("reefs.kml", kml);
    write("reefs.gpx", gpx);
    made("shape.shp", "ESRI Shapefile");
    made("flat.fgb", "FlatGeobuf");
    made("info.tab", "MapInfo File");
    for (const char* name : {"reefs.geojson", "reefs.geojsonl", "reefs.topojson", "reefs.kml", "reefs.gpx",
                             "reefs.osm", "shape.shp", "flat.fgb", "info.tab"}) {
        watched::plan_fault(0);
        const std::string whole = read(path(name));
        const std::int64_t calls = watched::calls_since_fault_planned();
        ASSERT_THAT(whole, HasSubstr("LINESTRING")) << name;
        ASSERT_GT(calls, 3) << name;
        for (std::int64_t at = 1; at <= calls; ++at) {
            watched::plan_fault(at);
            const std::string now = read(path(name));
            EXPECT_THAT(now, StartsWith("io ")) << name << ", call " << at;
            EXPECT_THAT(now, HasSubstr("failed: Input/output error")) << name << ", call " << at;
        }
        watched::plan_fault(0);
        EXPECT_EQ(read(path(name)), whole) << "a failure is told once";
        std::cout << name << ": " << calls << " calls\n";
    }
}

} // namespace
} // namespace swingroom
