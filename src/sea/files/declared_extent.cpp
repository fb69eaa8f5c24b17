#include "sea/files/declared_extent.hpp"

#include "swingroom/base/error.hpp"

#include "sea/files/input_text.hpp"
#include "sea/files/watched_reading.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <filesystem>

namespace swingroom {
namespace {

/// Of the coordinates: what a writer may have rounded.
constexpr double rounding = 1e-7;

double double_at(const std::string& bytes, std::size_t at) {
    std::uint64_t bits = 0;
    for (std::size_t i = 8; i-- > 0;) {
        bits = bits << 8U | static_cast<unsigned char>(bytes[at + i]);
    }
    double value = 0;
    std::memcpy(&value, &bits, sizeof value);
    return value;
}

std::uint32_t big_endian_at(const std::string& bytes, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        value = value << 8U | static_cast<unsigned char>(bytes[at + i]);
    }
    return value;
}

OGREnvelope box_at(const std::string& bytes, std::size_t at) {
    OGREnvelope box;
    box.MinX = double_at(bytes, at);
    box.MinY = double_at(bytes, at + 8);
    box.MaxX = double_at(bytes, at + 16);
    box.MaxY = double_at(bytes, at + 24);
    return box;
}

/// A box that says something: careless writers leave it empty.
bool is_declared(const OGREnvelope& box) {
    return std::isfinite(box.MinX + box.MinY + box.MaxX + box.MaxY) && box.MinX <= box.MaxX &&
           box.MinY <= box.MaxY && (box.MinX != 0 || box.MinY != 0 || box.MaxX != 0 || box.MaxY != 0);
}

bool holds(const OGREnvelope& box, const OGREnvelope& inner) {
    const double tolerance = rounding * std::max({1.0, std::abs(box.MinX), std::abs(box.MaxX),
                                                  std::abs(box.MinY), std::abs(box.MaxY)});
    return inner.MinX >= box.MinX - tolerance && inner.MinY >= box.MinY - tolerance &&
           inner.MaxX <= box.MaxX + tolerance && inner.MaxY <= box.MaxY + tolerance;
}

/// A file of a Shapefile, in small or in capital letters, as the driver takes it; empty if there is none.
std::string part_of(std::filesystem::path path, const char* small, const char* capital) {
    for (const char* extension : {small, capital}) {
        if (std::filesystem::exists(path.replace_extension(extension))) return path.string();
    }
    return {};
}

/// Boxes of lines and areas, which each record of a .shp begins with. A feature's number is the position of
/// its entry in the .shx, which tells where its record is; the number that the record itself bears is
/// anybody's.
std::map<GIntBig, OGREnvelope> boxes_of_records(const std::string& shp, const std::string& shx) {
    constexpr std::size_t file_header = 100, entry_bytes = 8, record_header = 8, type_and_box = 36;
    std::map<GIntBig, OGREnvelope> boxes;
    InputBytes index(shx), records(shp);
    if (index.take(file_header).size() < file_header) return boxes;
    for (GIntBig feature = 0;; ++feature) {
        const std::string entry = index.take(entry_bytes);
        if (entry.size() < entry_bytes) return boxes;
        records.go_to(std::uint64_t{2} * big_endian_at(entry, 0) + record_header);
        const std::string content = records.take(type_and_box);
        constexpr unsigned char least_with_box = 3; // below: nothing, points
        const bool has_box =
            content.size() >= type_and_box && static_cast<unsigned char>(content[0]) % 10 >= least_with_box;
        if (!has_box) continue;
        const OGREnvelope box = box_at(content, 4);
        if (is_declared(box)) boxes[feature] = box;
    }
}

} // namespace

DeclaredExtent::DeclaredExtent(GDALDataset& dataset, OGRLayer& layer) {
    const bool shapefile = EQUAL(dataset.GetDriverName(), "ESRI Shapefile");
    if (!shapefile && !EQUAL(dataset.GetDriverName(), "FlatGeobuf")) return;
    OGREnvelope box;
    if (layer.TestCapability(OLCFastGetExtent) && layer.GetExtent(&box, FALSE) == OGRERR_NONE &&
        is_declared(box)) {
        all_ = box;
    }
    if (!shapefile) return;
    std::filesystem::path path = watched::file_of(dataset.GetDescription());
    const std::string extension = path.extension().string();
    if (std::filesystem::is_directory(path)) {
        path /= std::string(layer.GetName()) + ".shp";
    } else if (!EQUAL(extension.c_str(), ".shp") && !EQUAL(extension.c_str(), ".shx") &&
               !EQUAL(extension.c_str(), ".dbf")) {
        return; // an archive: what lies beside it is another file
    }
    const std::string shp = part_of(path, ".shp", ".SHP"), shx = part_of(path, ".shx", ".SHX");
    if (!shp.empty() && !shx.empty()) of_records_ = boxes_of_records(shp, shx);
}

void DeclaredExtent::require_inside(const OGRFeature& feature, const std::string& where) const {
    const OGRGeometry* const geometry = feature.GetGeometryRef();
    if (!geometry || geometry->IsEmpty()) return;
    OGREnvelope box;
    geometry->getEnvelope(&box);
    const auto of_record = of_records_.find(feature.GetFID());
    const bool outside = all_.IsInit() && !holds(all_, box);
    if (!outside && (of_record == of_records_.end() || holds(of_record->second, box))) return;
    throw InputError(where + ", feature #" + std::to_string(feature.GetFID()),
                     std::string("has vertices outside of the extent that the ") +
                         (outside ? "file" : "record") + " declares, so that one of both is broken",
                     "look at it, and write the file anew (ogr2ogr OUT.gpkg IN) if the vertices are right");
}

} // namespace swingroom
