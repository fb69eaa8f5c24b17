#pragma once

#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace swingroom {

/// Of the column that KML shows beside a place.
inline constexpr const char* placemark_name = "Name";

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
    ColumnReader(OGRLayer& layer, const std::vector<Property>& columns);
    /// Each value into the field of its column's name; one that is not given stays so.
    /// @param plain  text goes through plain_text
    void copy(const OGRFeature& from, OGRFeature& to, bool plain) const;
    /// A column's value as text; empty where it is not given or there is no such column.
    [[nodiscard]] std::string text(const OGRFeature& feature, const std::string& column) const;
    /// All values in one text that does not depend on the format.
    [[nodiscard]] std::string record(const OGRFeature& feature, bool plain) const;

private:
    std::vector<Property> columns_;
    std::vector<int> fields_; ///< by column; -1 where the layer lacks it
};

/// A sum over features that does not depend on their order: formats with an index reorder them.
class FeatureDigest {
public:
    /// Takes the values of all columns, and the corners in units of the seventh decimal.
    void add(const OGRFeature& feature, const ColumnReader& reader, bool plain);
    friend bool operator==(const FeatureDigest&, const FeatureDigest&) = default;

private:
    std::uint64_t sum_ = 0;
    std::int64_t count_ = 0;
};

/// A file of features being written by one of GDAL's drivers.
class FeatureFile {
public:
    /// @throws IoError, here and in all that follows
    FeatureFile(std::filesystem::path path, const char* driver, const CPLStringList& options);
    FeatureFile(const FeatureFile&) = delete;
    FeatureFile& operator=(const FeatureFile&) = delete;
    ~FeatureFile();
    OGRLayer& add_layer(const std::string& name, OGRwkbGeometryType type, const CPLStringList& options);
    /// @param kml  with a field for the placemark's name in front, and whole numbers as any others: of 64
    /// bits
    ///             KML has none, and text would not be taken for a number
    void add_fields(OGRLayer& layer, const std::vector<Property>& columns, bool kml);
    /// Provenance and caution as metadata, where the format has a place for them.
    void describe(const Provenance& provenance);
    void add(OGRLayer& layer, OGRFeature& feature);
    void close();

private:
    [[noreturn]] void fail(const std::string& why) const;
    void check() const;

    std::filesystem::path path_;
    GDALDatasetUniquePtr file_;
};

/// @throws IoError  the file does not hold what was written
void require_same(const std::filesystem::path& path, const VectorLayer::Spec& spec,
                  const FeatureDigest& written, bool plain);

} // namespace swingroom
