#include "swingroom/sea/hazards.hpp"

#include "support/hazard_sea.hpp"
#include "support/warning_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <string>

// Features tagged in the open schema of seamarks. Keys and values: wiki.openstreetmap.org,
// Seamarks/Seamark_Objects and Seamarks/Seamark_Attributes, from memory; codes they stand for: IHO S-57
// edition 3.1, appendix A, chapter 2.

namespace swingroom {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

class Seamarks : public testing_support::HazardSea {
protected:
    [[nodiscard]] HazardSet read(const std::string& file) const { return by_built_in_rules(file, {}); }
    [[nodiscard]] HazardSet tagged(const std::string& tags) const {
        std::ofstream(path("marks.geojson"))
            << R"({"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {)" << tags
            << R"(}, "geometry": {"type": "Point", "coordinates": [15, 60]}}]})";
        return read(path("marks.geojson"));
    }
    static int effects(const HazardSet& set) {
        int all = 0;
        for (const Hazard& hazard : set.hazards) {
            all |= effects_on(hazard, HullNeeds{2.6, 0.5, 19, 2.5, 0});
        }
        return all;
    }
};

TEST_F(Seamarks, CountAsTheClassThatTheirTypeStandsFor) {
    using namespace effect;
    struct Case {
        const char* tags;
        int effects;
    };
    for (
        const Case& one : {
            Case{R"("seamark:type": "wreck", "seamark:wreck:category": "dangerous")",
                 hull | ground | trip_line},
            Case{R"("seamark:type": "wreck", "seamark:wreck:category": "distributed_remains")",
                 ground | trip_line},
            Case{R"("seamark:type": "wreck", "seamark:wreck:depth": "25")", ground | trip_line},
            Case{R"("seamark:type": "wreck", "seamark:wreck:depth": "about 25")", hull | ground | trip_line},
            Case{R"("seamark:type": "rock", "seamark:rock:water_level": "awash")", hull | ground | trip_line},
            Case{R"("seamark:type": "obstruction", "seamark:obstruction:category": "foul_ground")",
                 ground | trip_line},
            Case{R"("seamark:type": "obstruction", "seamark:obstruction:category": "foul_area")",
                 hull | ground | drop | trip_line},
            Case{R"("seamark:type": "cable_submarine", "seamark:cable_submarine:category": "power")", ground},
            Case{R"("seamark:type": "cable_submarine", "seamark:cable_submarine:category": "mooring")",
                 ground | trip_line},
            Case{
                R"("seamark:type": "restricted_area", "seamark:restricted_area:restriction": "no_anchoring")",
                ground | drop},
            Case{
                R"("seamark:type": "restricted_area", "seamark:restricted_area:restriction": "no_fishing;no_entry")",
                hull | ground | drop},
            Case{
                R"("seamark:type": "restricted_area", "seamark:restricted_area:restriction": "restricted_anchoring")",
                drop | warn},
            Case{R"("seamark:type": "restricted_area", "seamark:restricted_area:restriction": "no_nonsense")",
                 hull | ground | drop}, // a word that nobody lists counts as the worst
            Case{R"("seamark:type": "mooring", "seamark:mooring:category": "buoy")",
                 hull | ground | trip_line},
            Case{R"("seamark:type": "mooring", "seamark:mooring:category": "chain")", ground | trip_line},
            Case{R"("seamark:type": "bridge", "seamark:bridge:clearance_height": "50")", ground | drop},
            Case{R"("seamark:type": "bridge", "seamark:bridge:clearance_height": "12")",
                 hull | ground | drop},
            Case{R"("seamark:type": "buoy_lateral")", hull | ground},
            Case{R"("seamark:type": "weed", "seamark:weed:category": "sea_grass")",
                 ground | effect::poor_ground | effect::note},
            Case{R"("seamark:type": "harbour")", 0},
            // as programs write it that know no colons in names
            Case{
                R"("seamark_type": "restricted_area", "seamark_restricted_area_restriction": "no_anchoring")",
                ground | drop},
        }) {
        const HazardSet set = tagged(one.tags);
        EXPECT_EQ(effects(set), one.effects) << one.tags;
        EXPECT_THAT(set.warnings, IsEmpty()) << one.tags;
    }
    const HazardSet ground =
        tagged(R"("seamark:type": "seabed_area", "seamark:seabed_area:surface": "sand;rock")");
    ASSERT_FALSE(ground.hazards.empty());
    EXPECT_TRUE(std::any_of(ground.hazards.begin(), ground.hazards.end(),
                            [](const Hazard& h) { return h.seabed == Seabed::rock; }));
}

TEST_F(Seamarks, OfTwoDepthsTheShoalerCounts) {
    for (const char* tags :
         {R"("seamark:type": "rock", "seamark:rock:sounding": "1", "seamark:rock:depth": "20")",
          R"("seamark:type": "rock", "seamark:rock:sounding": "20", "seamark:rock:depth": "1")"}) {
        EXPECT_TRUE(effects(tagged(tags)) & effect::hull) << tags;
    }
}

TEST_F(Seamarks, AnAreaIsAnAreaHoweverItIsDrawn) {
    const auto drawn = [&](const std::string& layer, const std::string& tags, const std::string& geometry) {
        std::ofstream(path("drawn.geojson")) << R"({"type": "FeatureCollection", "name": ")" << layer
                                             << R"(", "features": [{"type": "Feature", "properties": {)"
                                             << tags << R"(}, "geometry": )" << geometry << "}]}";
        return read(path("drawn.geojson"));
    };
    const std::string ring = "[[15, 60], [15.01, 60], [15.01, 60.01], [15, 60]]";
    const std::string closed = R"({"type": "LineString", "coordinates": )" + ring + "}",
                      open =
                          R"({"type": "LineString", "coordinates": [[15, 60], [15.01, 60], [15.01, 60.01]]})",
                      area = R"({"type": "Polygon", "coordinates": [)" + ring + "]}";
    const std::string forbidden =
        R"("seamark:type": "restricted_area", "seamark:restricted_area:restriction": "no_anchoring")";
    const HazardSet by_line = drawn("x", forbidden, closed);
    ASSERT_EQ(by_line.hazards.size(), 1u);
    EXPECT_EQ(by_line.hazards[0].rings.size(), 1u);
    EXPECT_THAT(by_line.warnings, IsEmpty());
    EXPECT_THAT(told_all(drawn("x", forbidden, open).warnings),
                Contains(HasSubstr("its outline does not close")));
    // What a plain layer draws as an area is one, though others draw it as a line.
    for (const char* layer : {"FERYRT", "RECTRC", "CBLSUB", "COALNE", "OILBAR"}) {
        const HazardSet plain = drawn(layer, R"("x": 1)", area);
        ASSERT_FALSE(plain.hazards.empty()) << layer;
        EXPECT_EQ(plain.hazards[0].rings.size(), 1u) << layer;
    }
}

TEST_F(Seamarks, ATypeThatNobodyKnowsIsNamed) {
    EXPECT_THAT(told_all(tagged(R"("seamark:type": "kraken")").warnings),
                Contains(HasSubstr("seamark:type=kraken")));
    EXPECT_THAT(told_all(tagged(R"("seamark:type": null, "name": "x")").warnings),
                Contains(HasSubstr("marks")));
}

constexpr const char* map = R"(<?xml version="1.0"?><osm version="0.6">
<node id="1" lat="60.000" lon="15.000" version="1"><tag k="seamark:type" v="wreck"/><tag k="name" v="Ada"/></node>
<node id="2" lat="60.004" lon="15.000" version="1"/><node id="3" lat="60.004" lon="15.004" version="1"/>
<node id="4" lat="60.006" lon="15.004" version="1"/>
<node id="5" lat="60.008" lon="15.000" version="1"><tag k="shop" v="bakery"/></node>
<way id="10" version="1"><nd ref="2"/><nd ref="3"/><nd ref="4"/><tag k="seamark:type" v="cable_submarine"/></way>
<way id="11" version="1"><nd ref="2"/><nd ref="3"/><nd ref="4"/><nd ref="2"/><tag k="seamark:type" v="restricted_area"/>
<tag k="seamark:restricted_area:restriction" v="no_anchoring"/></way>
<way id="12" version="1"><nd ref="2"/><nd ref="3"/><nd ref="4"/><nd ref="2"/><tag k="seamark:type" v="pipeline_submarine"/></way>
</osm>
)";

void expect_map_read(const HazardSet& set) {
    const auto of = [&](const char* kind) -> const Hazard* {
        const auto found = std::find_if(set.hazards.begin(), set.hazards.end(),
                                        [&](const Hazard& h) { return h.kind == kind; });
        return found == set.hazards.end() ? nullptr : &*found;
    };
    ASSERT_NE(of("wreck"), nullptr);
    ASSERT_NE(of("cable"), nullptr);
    EXPECT_EQ(of("cable")->paths.size(), 1u);
    ASSERT_NE(of("anchoring prohibited"), nullptr);
    EXPECT_EQ(of("anchoring prohibited")->rings.size(), 1u) << "a closed way of a seamark is an area";
    ASSERT_NE(of("pipeline"), nullptr);
    EXPECT_TRUE(of("pipeline")->rings.empty()) << "but for what is a line by its nature";
    EXPECT_THAT(set.warnings, IsEmpty()) << "bakeries are no business of ours";
}

TEST_F(Seamarks, AreReadFromOpenStreetMapFiles) {
    std::ofstream(path("map.osm")) << map;
    expect_map_read(read(path("map.osm")));
}

TEST_F(Seamarks, OfARelationWhatClosesIsAnAreaAndTheRestIsTold) {
    std::ofstream(path("site.osm")) << R"(<?xml version="1.0"?><osm version="0.6">
<node id="1" lat="60.000" lon="15.000" version="1"/><node id="2" lat="60.000" lon="15.002" version="1"/>
<node id="3" lat="60.001" lon="15.002" version="1"/><node id="4" lat="60.004" lon="15.000" version="1"/>
<node id="5" lat="60.004" lon="15.004" version="1"/>
<way id="10" version="1"><nd ref="1"/><nd ref="2"/><nd ref="3"/><nd ref="1"/></way>
<way id="11" version="1"><nd ref="4"/><nd ref="5"/></way>
<relation id="20" version="1"><member type="way" ref="10" role=""/><member type="way" ref="11" role=""/>
<tag k="type" v="site"/><tag k="seamark:type" v="fairway"/></relation>
</osm>
)";
    const HazardSet set = read(path("site.osm"));
    std::size_t rings = 0, paths = 0;
    for (const Hazard& hazard : set.hazards) {
        rings += hazard.rings.size();
        paths += hazard.paths.size();
    }
    EXPECT_EQ(rings, 1u);
    EXPECT_EQ(paths, 1u) << "the open part is kept as a line";
    EXPECT_THAT(told_all(set.warnings), Contains(HasSubstr("its outline does not close")));
}

TEST_F(Seamarks, AreReadFromOpenStreetMapFilesInBinary) {
    if (std::system("osmium --version >/dev/null 2>&1") != 0) GTEST_SKIP() << "osmium-tool is not installed";
    std::ofstream(path("map.osm")) << map;
    ASSERT_EQ(
        std::system(("osmium cat -O -o '" + path("map.osm.pbf") + "' '" + path("map.osm") + "'").c_str()), 0);
    expect_map_read(read(path("map.osm.pbf")));
}

} // namespace
} // namespace swingroom
