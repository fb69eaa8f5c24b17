#include "publish/raster/layer_specs.hpp"
#include "publish/styles/qgis_project.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <regex>
#include <string>

namespace swingroom {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

constexpr const char* crs = "PROJCRS[\"made up\"]";

std::string written(const std::vector<ProjectLayer>& layers) {
    const testing::ScratchFolder folder;
    write_project(folder.path(), layers, {100, 50, 400000.5, 5310000, 2, -2, crs}, {"plan = <b>\n", {}, {}});
    return testing::bytes_of(folder / "project.qgs");
}

// scripts/look-in-gis opens one in QGIS itself, which is too large for a test.
TEST(QgisProject, NamesFilesFromTheFolderOnInGroupsWithTheirLooks) {
    const Grid grid{100, 50, 400000.5, 5310000, 2, -2, crs};
    const VectorLayer::Spec zones{"zones", "", VectorLayer::Shape::polygon, {}};
    const std::string project = written({project_layer(zones, looks_by_verdict(false), "gpkg"),
                                         project_layer(spec_of(Layer::verdict, {}), grid, "tif"),
                                         project_layer(spec_of(Layer::reasons, {}), grid, "tif"),
                                         project_layer(spec_of(Layer::rode_full, {}), grid, "mbtiles")});
    for (const char* const text :
         {"<datasource>./zones.gpkg|layername=zones</datasource>", "<datasource>./verdict.tif</datasource>",
          "<datasource>./rode_full.mbtiles</datasource>", "<layer-tree-group name=\"Places\"",
          "<layer-tree-group name=\"Answers\"", "<layer-tree-group name=\"Bits\"",
          "<layer-tree-group name=\"Figures\"", "<renderer-v2 type=\"RuleRenderer\">", "type=\"paletted\"",
          "<Absolute type=\"bool\">false</Absolute>",
          "<ProjectionsEnabled type=\"int\">1</ProjectionsEnabled>",
          "xmin=\"400000.5\" ymin=\"5309900\" xmax=\"400200.5\" ymax=\"5310000\"",
          "PROJCRS[&quot;made up&quot;]", "not for navigation"}) {
        EXPECT_THAT(project, HasSubstr(text));
    }
    EXPECT_THAT(project, Not(HasSubstr("<b>"))) << "text from outside is shown, never obeyed";
    // QGIS gives a layer another id if it has fewer than eleven characters, and its place in the list is
    // lost.
    const std::regex id("<id>([^<]*)</id>");
    int layers = 0;
    for (std::sregex_iterator at(project.begin(), project.end(), id), end; at != end; ++at, ++layers) {
        EXPECT_GE((*at)[1].str().size(), 11U);
        EXPECT_THAT(project, HasSubstr("<layer-tree-layer id=\"" + (*at)[1].str() + "\""));
    }
    EXPECT_EQ(layers, 4);
}

} // namespace
} // namespace swingroom
