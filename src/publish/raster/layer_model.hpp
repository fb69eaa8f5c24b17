#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include "publish/raster/tiff_tags.hpp"

#include <gdal_priv.h>

#include <string>
#include <vector>

namespace swingroom {

/// The type of cell as GDAL calls it.
GDALDataType gdal_type(CellType type);

/// What a layer's file says besides its cells, as GDAL says it: where it lies, what it means, its colours.
struct LayerModel {
    std::vector<TiffTag> tags; ///< of a file of one cell; its size and where its cells are count for nothing
    std::string sidecar;       ///< what stands in the .aux.xml; empty: there is none
};

/// Has GDAL write a file of one cell, in memory.   @throws IoError naming `file`
LayerModel layer_model(const std::string& file, const LayerSpec& spec, const Grid& grid,
                       const Provenance& provenance);

} // namespace swingroom
