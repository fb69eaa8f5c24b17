#include "swingroom/base/error.hpp"
#include "swingroom/publish/formats.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace swingroom {
namespace {

using ::testing::HasSubstr;

LayerFormats parsed(const std::string& layers, const std::string& formats = "cog,geojson") {
    return LayerFormats::parse(layers, FormatSet::parse(formats, "--format"), "--layers");
}

FormatSet several(std::initializer_list<Format> formats) {
    FormatSet set;
    for (const Format format : formats) {
        set.add(format);
    }
    return set;
}

std::string refusal(const std::string& layers, const std::string& formats = "cog,geojson") {
    try {
        parsed(layers, formats);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

TEST(Formats, TheTableIsInTheOrderOfItsEnumerators) {
    for (std::size_t i = 0; i < format_table.size(); ++i) {
        EXPECT_EQ(format_table[i].format, static_cast<Format>(i));
    }
}

TEST(Formats, AnEndingNamesOneAndWithoutThoseOfFormatCount) {
    const LayerFormats named = parsed("verdict.tif,verdict.mbtiles,zones.gpkg,spots.gpx,rode.MBTiles,advice");
    EXPECT_EQ(named.of(Layer::verdict), several({Format::cog, Format::mbtiles}));
    EXPECT_EQ(named.of(Layer::zones), Format::gpkg);
    EXPECT_EQ(named.of(Layer::spots), Format::gpx);
    EXPECT_EQ(named.of(Layer::rode_sinker), Format::mbtiles) << "a group with an ending is all of its ways";
    EXPECT_EQ(named.of(Layer::advice), Format::cog);
    EXPECT_TRUE(named.of(Layer::exclusions).empty());
    EXPECT_FALSE(named.layers().has(Layer::exclusions));
    EXPECT_TRUE(named.layers().has(Layer::rode_full));
}

TEST(Formats, BlanksAtCommasMeanNothing) {
    const LayerFormats named = parsed(" verdict ,\tzones.kml", "cog , gpkg");
    EXPECT_EQ(named.of(Layer::verdict), Format::cog);
    EXPECT_EQ(named.of(Layer::zones), Format::kml);
    EXPECT_THAT(refusal("verdict, ,zones"), HasSubstr("\"\" is no layer"));
}

TEST(Formats, TheReportBringsWhatItIsMadeFrom) {
    for (const char* word : {"report", "report.html"}) {
        const LayerFormats brought = parsed(word, "mbtiles,kml");
        EXPECT_EQ(brought.of(Layer::report), Format::html);
        EXPECT_EQ(brought.of(Layer::verdict), Format::mbtiles);
        EXPECT_EQ(brought.of(Layer::zones), Format::kml);
        EXPECT_EQ(brought.of(Layer::spots), Format::kml);
        EXPECT_TRUE(brought.of(Layer::exclusions).empty());
    }
    EXPECT_EQ(parsed("zones.fgb,report").of(Layer::zones), Format::flatgeobuf) << "as it was asked for";
    EXPECT_THAT(refusal("report.kml"), HasSubstr("report can be .html"));
    EXPECT_EQ(parsed("all", "kml").of(Layer::report), Format::html);
}

TEST(Formats, ProjectAndCirclesBringWhatTheyShow) {
    const LayerFormats project = parsed("project", "gpkg,cog");
    EXPECT_EQ(project.of(Layer::project), Format::qgs);
    EXPECT_EQ(project.of(Layer::verdict), Format::cog);
    EXPECT_EQ(project.of(Layer::spots), Format::gpkg);
    const LayerFormats circles = parsed("circles.gpx", "kml");
    EXPECT_EQ(circles.of(Layer::circles), Format::gpx);
    EXPECT_EQ(circles.of(Layer::spots), Format::kml);
    EXPECT_TRUE(circles.of(Layer::zones).empty());
    const LayerFormats ways = parsed("ways.gpx", "kml");
    EXPECT_EQ(ways.of(Layer::ways), Format::gpx);
    EXPECT_EQ(ways.of(Layer::spots), Format::kml);
    EXPECT_TRUE(ways.of(Layer::zones).empty());
    for (const char* word : {"project", "report", "map"}) {
        EXPECT_EQ(parsed(word, "gpkg").of(Layer::ways), Format::gpkg) << word;
    }
}

TEST(Formats, ALayerIsWrittenInThoseThatHoldItAndNeverLeftOut) {
    const LayerFormats all = parsed("all", "MBTILES,Gpx,fgb");
    EXPECT_EQ(all.of(Layer::verdict), Format::mbtiles);
    EXPECT_EQ(all.of(Layer::reasons), Format::cog) << "no other holds bits";
    EXPECT_EQ(all.of(Layer::spots), several({Format::gpx, Format::flatgeobuf}));
    EXPECT_EQ(all.of(Layer::zones), several({Format::gpx, Format::flatgeobuf}));
    EXPECT_EQ(parsed("all", "mbtiles").of(Layer::zones), Format::geojson);
    EXPECT_EQ(parsed("all", "gpx").of(Layer::project), Format::qgs);
    EXPECT_EQ(parsed("all", "kml").of(Layer::depth_low), Format::cog);
    EXPECT_EQ(parsed("verdict", "tif").of(Layer::verdict), Format::cog) << "an ending is a name, too";
}

TEST(Formats, WhatCannotBeIsSaidWithTheCure) {
    EXPECT_EQ(refusal("spots.mbtiles"),
              "--layers: \"spots.mbtiles\": .mbtiles holds rasters that have colours only; "
              "spots can be .geojson, .gpkg, .fgb, .kml, .gpx");
    EXPECT_THAT(
        refusal("verdict.gpx"),
        HasSubstr(".gpx holds zones, spots, ways, circles, exclusions only; verdict can be .tif, .mbtiles"));
    EXPECT_THAT(refusal("project.kml"), HasSubstr("project can be .qgs"));
    EXPECT_THAT(refusal("reasons.mbtiles"), HasSubstr("; reasons can be .tif"));
    EXPECT_THAT(refusal("verdict.kml"), HasSubstr("; verdict can be .tif, .mbtiles"));
    EXPECT_THAT(refusal("zones.shp"), HasSubstr(".shp is the ending of no format; endings are tif, mbtiles"));
    EXPECT_THAT(refusal("verdict.cog"), HasSubstr(".cog is the ending of no format"));
    EXPECT_THAT(refusal("verdct.tif"), HasSubstr("\"verdct\" is no layer"));
    EXPECT_EQ(refusal("all", "cog,gpgk"), "--format: \"gpgk\" is no format; did you mean gpkg?");
    EXPECT_THAT(refusal("all", "shapefile"), HasSubstr("give some of cog, mbtiles, geojson"));
    EXPECT_THAT(refusal("all", "cog,"), HasSubstr("\"\" is no format"));
}

} // namespace
} // namespace swingroom
