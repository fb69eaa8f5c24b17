#pragma once

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <map>
#include <string>

namespace swingroom {

/// What a Shapefile or a FlatGeobuf says of where its features lie, beside their vertices: a vertex elsewhere
/// is a broken one, and so is perhaps what it stands for.
class DeclaredExtent {
public:
    /// Of a layer of another format it says nothing.
    DeclaredExtent(GDALDataset& dataset, OGRLayer& layer);
    /// @param where  file and layer, for messages   @throws InputError
    void require_inside(const OGRFeature& feature, const std::string& where) const;

private:
    OGREnvelope all_;                           ///< not set: nothing is declared
    std::map<GIntBig, OGREnvelope> of_records_; ///< of a Shapefile, by feature
};

} // namespace swingroom
