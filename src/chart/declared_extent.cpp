#include "declared_extent.hpp"

#include "swingroom/base/error.hpp"

#include "input_text.hpp"
#include "watched_reading.hpp"

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
    for (std::size_t i = 8; i-- > 0;)
        bits = bits << 8U | static_cast<unsigned char>(bytes[at + i]);
    double value = 0;
    std::memcpy(&value, &bits, sizeof value);
    return value;
}

std::uint32_t big_endian_at(const std::string& bytes, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i)
        value = value << 8U | static_cast<unsigned char>(bytes[at + i]);
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
    const double slack = rounding * std::max({1.0, std::abs(box.MinX), std::abs(box.MaxX), std::abs(box.MinY),
                                              std::abs(box.MaxY)});
    return inner.MinX >= box.MinX - slack && inner.MinY >= box.MinY - slack &&
           inner.MaxX <= box.MaxX + slack && inner.MaxY <= box.MaxY + slack;
}

/// Boxes of lines and areas, which each record of a .shp begins with; the n-th record is feature n - 1.
std::map<GIntBig, OGREnvelope> boxes_of_records(const std::string& path) {
    constexpr std::size_t file_header = 100, record_header = 8, type_and_box = 36;
    std::map<GIntBig, OGREnvelope> boxes;
    InputBytes in(path);
    if (in.take(file_header).size() < file_header) return boxes;
    while (true) {
        const std::string header = in.take(record_header);
        if (header.size() < record_header) return boxes;
        const std::string content = in.take(std::size_t{2} * big_endian_at(header, 4));
        constexpr unsigned char least_with_box = 3; // below: nothing, points
        const bool has_box =
            content.size() >= type_and_box && static_cast<unsigned char>(content[0]) % 10 >= least_with_box;
        if (!has_box) continue;
        const OGREnvelope box = box_at(content, 4);
        if (is_declared(box)) boxes[static_cast<GIntBig>(big_endian_at(header, 0)) - 1] = box;
    }
}

} // namespace

DeclaredExtent::DeclaredExtent(GDALDataset& dataset, OGRLayer& layer) {
    const bool shapefile = EQUAL(dataset.GetDriverName(), "ESRI Shapefile");
    if (!shapefile && !EQUAL(dataset.GetDriverName(), "FlatGeobuf")) return;
    OGREnvelope box;
    if (layer.TestCapability(OLCFastGetExtent) && layer.GetExtent(&box, FALSE) == OGRERR_NONE &&
        is_declared(box))
        all_ = box;
    if (!shapefile) return;
    std::filesystem::path path = watched::file_of(dataset.GetDescription());
    if (std::filesystem::is_directory(path)) path /= std::string(layer.GetName()) + ".shp";
    path.replace_extension(".shp");
    if (std::filesystem::exists(path)) of_records_ = boxes_of_records(path.string());
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
