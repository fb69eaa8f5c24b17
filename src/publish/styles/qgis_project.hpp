#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/markup.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "publish/vector/feature_looks.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace swingroom {

/// A layer as a project shows it.
struct ProjectLayer {
    std::string name;    ///< of the layer and of its file
    std::string ending;  ///< of the file that is opened: "tif", "gpkg"
    std::string group;   ///< in the list of layers
    std::string crs_wkt; ///< of its coordinates
    bool is_raster = false;
    std::string geometry; ///< of features: "Point", "Line", "Polygon"
    bool shown = false;   ///< when the project is opened; the others at a click
    Markup renderer;      ///< as qml_renderer_of() makes it; empty: as QGIS would draw it
};

/// A raster by its spec, in the file of that ending.
ProjectLayer project_layer(const LayerSpec& spec, const Grid& grid, const std::string& ending);
/// Features by their spec and looks, on WGS 84.
ProjectLayer project_layer(const VectorLayer::Spec& spec, const std::vector<FeatureLook>& looks,
                           const std::string& ending);

/// Writes project.qgs for QGIS from 3.22 on: every layer with its look, in groups, by paths from the folder
/// on, so that it may be moved; opened, it shows the grid in its own CRS.
/// @param layers  those that lie on top first   @throws IoError
void write_project(const std::filesystem::path& folder, const std::vector<ProjectLayer>& layers,
                   const Grid& grid, const Provenance& provenance);

} // namespace swingroom
