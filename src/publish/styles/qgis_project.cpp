#include "publish/styles/qgis_project.hpp"

#include "publish/folder/text_file.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/styles/styles.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <limits>
#include <system_error>
#include <utility>

namespace swingroom {
namespace {

/// WGS 84 in longitude and latitude, as all layers of features are.
constexpr const char* wgs84_wkt =
    "GEOGCRS[\"WGS 84\",DATUM[\"World Geodetic System 1984\",ELLIPSOID[\"WGS 84\",6378137,298.257223563]],"
    "CS[ellipsoidal,2],AXIS[\"latitude\",north],AXIS[\"longitude\",east],"
    "ANGLEUNIT[\"degree\",0.0174532925199433],ID[\"EPSG\",4326]]";

/// The shortest text of a coordinate that is read back as the same, whatever the locale.
std::string number(double value) {
    std::array<char, 32> text{};
    const auto [end, error] = std::to_chars(text.data(), text.data() + text.size(), value);
    return {text.data(), error == std::errc{} ? end : text.data()};
}

Markup crs(const std::string& wkt) {
    return element("spatialrefsys", {{"nativeFormat", "Wkt"}}, text_element("wkt", wkt));
}

/// A GeoPackage may hold several layers.
std::string source_of(const ProjectLayer& layer) {
    const std::string file = "./" + layer.name + "." + layer.ending;
    return layer.ending == "gpkg" ? file + "|layername=" + layer.name : file;
}

/// QGIS gives another to a layer whose own has fewer than eleven characters, and then does not find it.
std::string id_of(const ProjectLayer& layer) { return "swingroom_" + layer.name; }

const char* provider_of(const ProjectLayer& layer) { return layer.is_raster ? "gdal" : "ogr"; }

Markup layer_markup(const ProjectLayer& layer) {
    Attributes attributes = {{"type", layer.is_raster ? "raster" : "vector"},
                             {"autoRefreshEnabled", "0"},
                             {"hasScaleBasedVisibilityFlag", "0"}};
    if (!layer.is_raster) {
        attributes.insert(attributes.end(), {{"geometry", layer.geometry}});
    }
    return element("maplayer", attributes,
                   "\n" + text_element("id", id_of(layer)) + text_element("datasource", source_of(layer)) +
                       text_element("layername", layer.name) + element("srs", crs(layer.crs_wkt)) +
                       text_element("provider", {{"encoding", "UTF-8"}}, provider_of(layer)) + "\n" +
                       layer.renderer) +
           "\n";
}

/// Layers of one group after the other, each group where its first layer is.
Markup tree(const std::vector<ProjectLayer>& layers) {
    std::vector<std::string> groups;
    for (const ProjectLayer& layer : layers) {
        if (std::find(groups.begin(), groups.end(), layer.group) == groups.end()) {
            groups.push_back(layer.group);
        }
    }
    const auto checked = [](bool is) { return is ? "Qt::Checked" : "Qt::Unchecked"; };
    Markup all;
    for (const std::string& group : groups) {
        Markup members;
        for (const ProjectLayer& layer : layers) {
            if (layer.group != group) continue;
            members += empty_element("layer-tree-layer", {{"id", id_of(layer)},
                                                          {"name", layer.name},
                                                          {"source", source_of(layer)},
                                                          {"providerKey", provider_of(layer)},
                                                          {"checked", checked(layer.shown)},
                                                          {"expanded", layer.shown ? "1" : "0"}}) +
                       "\n";
        }
        all += element("layer-tree-group", {{"name", group}, {"checked", checked(true)}, {"expanded", "1"}},
                       "\n" + members) +
               "\n";
    }
    return element("layer-tree-group", "\n" + all) + "\n";
}

/// What is seen first, and what is all: the grid.
Markup view(const Grid& grid) {
    const double x = grid.x_of(grid.cols), y = grid.y_of(grid.rows);
    const auto [west, east] = std::minmax(grid.origin_x, x);
    const auto [south, north] = std::minmax(grid.origin_y, y);
    const std::string left = number(west), low = number(south), right = number(east), high = number(north);
    return element("mapcanvas", {{"name", "theMapCanvas"}},
                   element("extent", text_element("xmin", left) + text_element("ymin", low) +
                                         text_element("xmax", right) + text_element("ymax", high)) +
                       element("destinationsrs", crs(grid.crs_wkt))) +
           "\n" +
           element("ProjectViewSettings", {{"UseProjectScales", "0"}},
                   element("DefaultViewExtent",
                           {{"xmin", left}, {"ymin", low}, {"xmax", right}, {"ymax", high}},
                           crs(grid.crs_wkt))) +
           "\n";
}

/// Without the first of these QGIS starts from other folders, without the second it shows the map in no CRS.
Markup properties() {
    return element("properties",
                   element("Paths", text_element("Absolute", {{"type", "bool"}}, "false")) +
                       element("SpatialRefSys", text_element("ProjectionsEnabled", {{"type", "int"}}, "1"))) +
           "\n";
}

constexpr const char* bits_group = "Bits";

/// Sets of bits have no look of their own; QGIS would show them all black.
LayerSpec with_steps_of_bits(LayerSpec spec) {
    spec.steps = {{0, "none", {255, 255, 255, 0}},
                  {std::numeric_limits<double>::infinity(),
                   "some: identify a cell for the sum of its bits",
                   {90, 90, 90, 255}}};
    return spec;
}

} // namespace

ProjectLayer project_layer(const LayerSpec& spec, const Grid& grid, const std::string& ending) {
    ProjectLayer layer{spec.name, ending, "", grid.crs_wkt, true, "", false, {}};
    layer.group = !spec.categories.empty() ? "Answers" : spec.steps.empty() ? bits_group : "Figures";
    layer.shown = spec.name == "verdict";
    // Tiles are pictures already.
    if (ending == "tif") {
        layer.renderer = qml_renderer_of(layer.group == bits_group ? with_steps_of_bits(spec) : spec);
    }
    return layer;
}

ProjectLayer project_layer(const VectorLayer::Spec& spec, const std::vector<FeatureLook>& looks,
                           const std::string& ending) {
    const char* const geometry = spec.shape == VectorLayer::Shape::point  ? "Point"
                                 : spec.shape == VectorLayer::Shape::line ? "Line"
                                                                          : "Polygon";
    return {spec.name, ending,   "Places", wgs84_wkt,
            false,     geometry, true,     qml_renderer_of(spec.shape, looks)};
}

void write_project(const std::filesystem::path& folder, const std::vector<ProjectLayer>& layers,
                   const Grid& grid, const Provenance& provenance) {
    Markup of_layers;
    for (const ProjectLayer& layer : layers) {
        of_layers += layer_markup(layer);
    }
    const Markup content =
        "\n" + text_element("title", "swingroom") + "\n" + element("projectCrs", crs(grid.crs_wkt)) + "\n" +
        tree(layers) + view(grid) + element("projectlayers", "\n" + of_layers) + "\n" + properties() +
        element("projectMetadata", text_element("title", "swingroom") +
                                       text_element("abstract", plain_text(provenance_text(provenance)))) +
        "\n";
    const Markup file = "<!DOCTYPE qgis PUBLIC 'http://mrcc.com/qgis.dtd' 'SYSTEM'>\n" +
                        element("qgis", {{"projectname", "swingroom"}, {"version", "3.22.0"}}, content) +
                        "\n";
    write_text_file(std::filesystem::absolute(folder).lexically_normal() / "project.qgs", file.str());
}

} // namespace swingroom
