#pragma once

#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "publish/vector/feature_digest.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace swingroom {

/// While it lives, GDAL's vector drivers write as we want it on this thread, whatever the environment says:
/// no clock, no files beside, nothing that depends on the number of processors.
class OwnVectorSettings {
    CPLConfigOptionSetter no_clock_{"OGR_CURRENT_DATE", "1970-01-01T00:00:00.000Z", false};
    CPLConfigOptionSetter no_journal_{"OGR_SQLITE_JOURNAL", "OFF", false};
    CPLConfigOptionSetter no_sync_{"OGR_SQLITE_SYNCHRONOUS", "OFF", false};
    CPLConfigOptionSetter no_pragma_{"OGR_SQLITE_PRAGMA", "", false};
    CPLConfigOptionSetter one_thread_{"OGR_GPKG_ALLOW_THREADED_RTREE", "NO", false};
    CPLConfigOptionSetter any_length_{"OGR_GEOJSON_MAX_OBJ_SIZE", "0", false};
    CPLConfigOptionSetter sqlite_as_we_name_it_{"SQLITE_USE_OGR_VFS", "YES", false};
    CPLConfigOptionSetter no_sidecar_{"GDAL_PAM_ENABLED", "NO",
                                      false}; ///< which GeoPackage fills from 3.10 on
};

/// Opens a file's features through the guarded file system. Text that looks like a date stays text.
/// @throws IoError
GDALDatasetUniquePtr open_features(const std::filesystem::path& path);

/// The values of a layer's own columns, whatever types and whichever other fields a format gives them.
class ColumnReader {
public:
    /// Looks the columns up by their names; one that the layer lacks is not given in any feature.
    ColumnReader(OGRLayer& layer, const std::vector<Property>& columns);
    /// Each value into the field of its column's name; one that is not given stays so.
    void copy(const OGRFeature& from, OGRFeature& to) const;
    /// A column's value as text; empty where it is not given or there is no such column.
    [[nodiscard]] std::string text(const OGRFeature& feature, const std::string& column) const;
    /// All values, as digests spell them.
    void digest(const OGRFeature& feature, bool plain, FeatureDigest& into) const;

private:
    std::vector<Property> columns_;
    std::vector<int> fields_; ///< by column; -1 where the layer lacks it
};

/// Adds a feature that was read: the values of all columns, the corners in units of the seventh decimal.
/// @param plain  text goes through plain_text
void add_feature(FeatureSum& sum, const OGRFeature& feature, const ColumnReader& reader, bool plain);

/// The features of a finished GeoJSON layer. What is made from them is made from what a disk gives back, so
/// whoever goes through them is told when that is not what was meant.
class FinishedFeatures {
public:
    /// @throws IoError
    FinishedFeatures(const std::filesystem::path& folder, const VectorLayer::Finished& layer);
    /// Hands over each feature, in the order of the file.
    /// @throws IoError  a read has failed, or there were others than those that were meant; what was handed
    ///                  over is then worth nothing
    void each(const std::function<void(const OGRFeature&)>& take) const;
    /// For the values of features that each() hands over.
    [[nodiscard]] const ColumnReader& reader() const { return reader_; }
    /// Of the layer, as it was meant.
    [[nodiscard]] const VectorLayer::Spec& spec() const { return layer_.spec; }

private:
    VectorLayer::Finished layer_;
    std::filesystem::path path_;
    GDALDatasetUniquePtr file_;
    ColumnReader reader_;
};

/// A file of features being written by one of GDAL's drivers.
class FeatureFile {
public:
    /// @throws IoError, here and in all that follows
    FeatureFile(std::filesystem::path path, const char* driver, const CPLStringList& options);
    FeatureFile(const FeatureFile&) = delete;
    FeatureFile& operator=(const FeatureFile&) = delete;
    ~FeatureFile();
    /// An empty layer on WGS 84, longitude before latitude; it belongs to the file.
    OGRLayer& add_layer(const std::string& name, OGRwkbGeometryType type, const CPLStringList& options);
    /// A field for each column, of its type: 64-bit integer, double or text. Their values are not looked at.
    void add_fields(OGRLayer& layer, const std::vector<Property>& columns);
    /// Provenance and caution as metadata, where the format has a place for them.
    void describe(const Provenance& provenance);
    /// Writes a feature that was made with the layer's own definition.
    void add(OGRLayer& layer, OGRFeature& feature);
    /// Writes what is left and closes: only then is it known whether everything has reached the file.
    void close();

private:
    [[noreturn]] void fail(const std::string& why) const;
    void check() const;

    std::filesystem::path path_;
    GDALDatasetUniquePtr file_;
};

/// @throws IoError  the file does not hold what was written
void require_same(const std::filesystem::path& path, const VectorLayer::Spec& spec, const FeatureSum& written,
                  bool plain);

} // namespace swingroom
