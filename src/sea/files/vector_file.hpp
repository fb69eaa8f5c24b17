#pragma once

#include "sea/files/openstreetmap_file.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// A vector file of the user's, open for reading. Copies are the same open file: it is closed with the last.
class VectorFile {
public:
    /// @throws InputError  no such file, a raster, a format that is not read here, an S-101 data set, an
    ///                     update without its cell, or one that cannot be applied because others are missing
    ///                     too; numbers that are none; an OpenStreetMap file out of order
    /// @throws IoError     unreadable, cut off, or with an update that cannot be applied
    explicit VectorFile(const std::string& path);

    /// As the user named it.
    [[nodiscard]] const std::string& path() const { return opened_->path; }
    /// For what the members below do not offer; whoever reads its layers changes where they stand.
    [[nodiscard]] GDALDataset& dataset() const { return *opened_->dataset; }
    /// Whether it is an S-57 cell; its layers are then named by the acronyms of object classes.
    [[nodiscard]] bool is_cell() const { return opened_->is_cell; }
    /// Whether it is read by the driver of OpenStreetMap files, .osm or .osm.pbf.
    [[nodiscard]] bool is_openstreetmap() const;
    /// The file itself and all that is read with it.
    [[nodiscard]] std::vector<std::string> files() const;
    /// What GDAL warned of when it was opened.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return opened_->warnings; }
    /// Says whether a seamark with these tags is more than a matter of no danger.
    using Endangers = std::function<bool(const OpenStreetMapFile::Tags&)>;
    /// What an OpenStreetMap file lacks; to be asked for after each_feature(), a line each.
    /// @throws InputError  a loss that endangers
    [[nodiscard]] std::vector<std::string> losses(const Endangers& endangers) const;
    /// How many updates of a cell were found beside it and applied.
    [[nodiscard]] int updates() const;

    /// Its layers, without those of a cell that hold no objects: its header and its pieces of geometry.
    [[nodiscard]] std::vector<OGRLayer*> layers() const;
    /// Called with a feature and its layer; the feature is the file's and not to be kept.
    using Visit = std::function<void(OGRLayer&, OGRFeature&)>;
    /// Calls visit(layer, feature) for all features, layer by layer where the format allows it. Those of a
    /// cell are read once and kept: its geometries are put together from pieces, and several ask for them.
    /// @returns what GDAL warned of on the way, the first few
    /// @throws IoError     when reading fails
    /// @throws InputError  a feature lies outside of what the file says of itself, or was passed over
    std::vector<std::string> each_feature(const Visit& visit) const;

private:
    /// Features in the order of the file.
    struct Features {
        std::vector<std::pair<OGRLayer*, OGRFeatureUniquePtr>> features;
        std::vector<std::string> warnings;
    };

    std::string open_cell();
    void look_into();
    void each_openstreetmap_feature(const Visit& visit) const;

    struct Opened {
        std::string path;
        GDALDatasetUniquePtr dataset;
        bool is_cell = false;
        std::vector<std::string> warnings;
        std::optional<Features> read; ///< of a cell
        std::optional<OpenStreetMapFile> openstreetmap;
        std::vector<OpenStreetMapFile::Loss> missed;
        std::vector<std::string> left_out; ///< of its relations
        std::int64_t sequence = -1;        ///< features of a sequence; -1: it is none
    };
    std::shared_ptr<Opened> opened_;
};

/// The horizontal part of a layer's CRS.   @param where  file and layer, for messages
/// @throws InputError  it has none, or one without a place on earth
OGRSpatialReference crs_of(OGRLayer& layer, const std::string& where);

} // namespace swingroom
