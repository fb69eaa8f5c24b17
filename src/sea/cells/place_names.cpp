#include "sea/cells/place_names.hpp"

#include "sea/files/attributes.hpp"

#include <ogr_geometry.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <tuple>
#include <utility>

namespace swingroom {
namespace {

std::optional<PlaceKind> kind_of(const std::string& object_class) {
    constexpr std::array kinds = {std::pair("SEAARE", PlaceKind::sea_area),
                                  std::pair("ACHARE", PlaceKind::anchorage),
                                  std::pair("HRBFAC", PlaceKind::harbour),
                                  std::pair("LNDRGN", PlaceKind::land), std::pair("BUAARE", PlaceKind::land)};
    for (const auto& [name, kind] : kinds) {
        if (EQUAL(object_class.c_str(), name)) return kind;
    }
    return std::nullopt;
}

/// A window in longitudes and latitudes, its edges bent as they are there.
OGRPolygon outline_in_degrees(const Georeference& georeference, Window window) {
    constexpr int pieces = 8;
    const GridPoint from{double(window.col), double(window.row)},
        to{double(window.col_end()), double(window.row_end())};
    const std::array corners = {from, GridPoint{to.x, from.y}, to, GridPoint{from.x, to.y}, from};
    std::vector<GridPoint> points;
    for (std::size_t side = 0; side + 1 < corners.size(); ++side) {
        for (int i = 0; i < pieces; ++i) {
            const double t = double(i) / pieces;
            points.push_back({corners[side].x + t * (corners[side + 1].x - corners[side].x),
                              corners[side].y + t * (corners[side + 1].y - corners[side].y)});
        }
    }
    georeference.to_lonlat_unwrapped(points);
    OGRLinearRing ring;
    for (const GridPoint p : points) {
        ring.addPoint(p.x, p.y);
    }
    ring.closeRings();
    OGRPolygon polygon;
    polygon.addRing(&ring);
    return polygon;
}

/// Moves a geometry by whole turns of longitude.
class Turned final : public OGRDefaultGeometryVisitor {
public:
    explicit Turned(double degrees) : degrees_(degrees) {}
    using OGRDefaultGeometryVisitor::visit;
    void visit(OGRPoint* point) override { point->setX(point->getX() + degrees_); }

private:
    double degrees_;
};

/// A named object, and what its place among others is decided by.
struct Found {
    PlaceName place;
    double from_middle_deg = 0, size_deg = 0;
    [[nodiscard]] auto order() const { return std::tuple(place.kind, from_middle_deg, size_deg, place.name); }
};

} // namespace

std::vector<PlaceName> place_names(std::span<const VectorFile> files, const Georeference& georeference,
                                   Window window) {
    const OGRPolygon outline = outline_in_degrees(georeference, window);
    OGRPoint middle;
    outline.Centroid(&middle);
    std::vector<Found> found;
    for (const VectorFile& file : files) {
        if (!file.is_cell()) continue;
        file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
            const std::optional<PlaceKind> kind = kind_of(layer.GetName());
            const std::string name = kind ? name_of(feature, "OBJNAM") : "";
            if (name.empty() || feature.GetGeometryRef() == nullptr) return;
            const OGRGeometryUniquePtr geometry(feature.GetGeometryRef()->clone());
            OGREnvelope box;
            geometry->getEnvelope(&box);
            constexpr double turn = 360;
            const double turns = std::round((middle.getX() - (box.MinX + box.MaxX) / 2) / turn);
            if (turns != 0) {
                Turned by(turns * turn);
                geometry->accept(&by);
            }
            if (!geometry->Intersects(&outline)) return;
            found.push_back({{*kind, name},
                             geometry->Distance(&middle),
                             std::hypot(box.MaxX - box.MinX, box.MaxY - box.MinY)});
        });
    }
    std::sort(found.begin(), found.end(),
              [](const Found& a, const Found& b) { return a.order() < b.order(); });
    std::vector<PlaceName> places;
    for (Found& one : found) {
        if (std::find(places.begin(), places.end(), one.place) == places.end()) {
            places.push_back(std::move(one.place));
        }
    }
    return places;
}

} // namespace swingroom
