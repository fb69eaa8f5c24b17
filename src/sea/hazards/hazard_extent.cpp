#include "swingroom/sea/hazard_extent.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/cells/opened_files.hpp"
#include "sea/files/vector_file.hpp"
#include "sea/gdal/gdal_messages.hpp"
#include "sea/ground/to_grid.hpp"
#include "sea/ground/vicinity.hpp"
#include "sea/hazards/found_hazards.hpp"

#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <numbers>
#include <optional>
#include <span>

namespace swingroom {
namespace {

constexpr double metres_per_degree = 111'000; // about; it sizes cells
constexpr double cell_width_m = 0.6, cell_height_m = 100;
/// Beyond this latitude a degree of longitude is less than a kilometre, and a margin may hold the pole.
constexpr double farthest_lat = 89.5;
/// Around what is drawn, so that nothing lies on the grid's edge.
constexpr double rim_deg = 0.001;

/// Longitudes that something covers; it may pass 180.
struct Arc {
    double west = 0, east = 0;
};

/// The least arc that holds all of some: what is left of the globe by the widest gap between them.
Arc around(std::vector<Arc> arcs) {
    for (Arc& arc : arcs) {
        const double turn = 360 * std::floor((arc.west + 180) / 360);
        arc = {arc.west - turn, arc.east - turn};
    }
    std::sort(arcs.begin(), arcs.end(), [](const Arc& a, const Arc& b) { return a.west < b.west; });
    double reached = arcs.front().east, widest = -1;
    Arc all{-180, 180};
    const auto consider = [&](double gap_west, double gap_east) {
        if (gap_east - gap_west <= std::max(widest, 0.0)) return;
        widest = gap_east - gap_west;
        all = {gap_east, gap_west + 360};
    };
    for (const Arc& arc : arcs) {
        consider(reached, arc.west);
        reached = std::max(reached, arc.east);
    }
    consider(reached, arcs.front().west + 360);
    return all.west > 180 ? Arc{all.west - 360, all.east - 360} : all;
}

/// Collects the boxes of geometries.
class Extents {
public:
    void add(const VectorFile& open) {
        std::map<OGRLayer*, Tie> ties;
        open.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
            const auto known = ties.find(&layer);
            const Tie& tie =
                known != ties.end() ? known->second : ties.emplace(&layer, tie_of(layer)).first->second;
            const OGRGeometry* const geometry = feature.GetGeometryRef();
            if (geometry && tie.has_place) add(*geometry, tie.to_degrees.get());
        });
    }
    [[nodiscard]] std::optional<LonLatBox> box() const {
        if (arcs_.empty()) return std::nullopt;
        const Arc arc = around(arcs_);
        return LonLatBox{arc.west, south_, arc.east, north_};
    }

private:
    /// How a layer's plane is tied to degrees.
    struct Tie {
        bool has_place = false;
        std::unique_ptr<OGRCoordinateTransformation> to_degrees; ///< none where it is in degrees
    };
    static Tie tie_of(OGRLayer& layer) {
        const GdalMessages quiet;
        const OGRSpatialReference* const given = layer.GetSpatialRef();
        if (!given || given->IsEmpty() || given->IsLocal() || layer.GetGeomType() == wkbNone) return {};
        OGRSpatialReference from = horizontal(*given), degrees;
        degrees.importFromEPSG(4326);
        degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        if (from.IsSame(&degrees)) return {true, nullptr};
        Tie tie;
        tie.to_degrees.reset(OGRCreateCoordinateTransformation(&from, &degrees));
        tie.has_place = tie.to_degrees != nullptr;
        return tie;
    }
    /// Part by part: what is split at 180 degrees covers less than the box around it.
    void add(const OGRGeometry& geometry, OGRCoordinateTransformation* to_degrees) {
        const GdalMessages quiet; // what has no place is refused when it is placed
        if (OGR_GT_IsSubClassOf(wkbFlatten(geometry.getGeometryType()), wkbGeometryCollection)) {
            for (const auto* part : *geometry.toGeometryCollection()) {
                add(*part, to_degrees);
            }
            return;
        }
        if (geometry.IsEmpty()) return;
        OGREnvelope e;
        geometry.getEnvelope(&e);
        if (to_degrees) {
            constexpr int points_a_side = 21;
            OGREnvelope d;
            if (!to_degrees->TransformBounds(e.MinX, e.MinY, e.MaxX, e.MaxY, &d.MinX, &d.MinY, &d.MaxX,
                                             &d.MaxY, points_a_side)) {
                return;
            }
            e = d;
            if (e.MaxX < e.MinX) e.MaxX += 360; // across the antimeridian
        }
        if (!std::isfinite(e.MinX + e.MinY + e.MaxX + e.MaxY)) return;
        arcs_.push_back({e.MinX, e.MaxX});
        south_ = std::min(south_, e.MinY);
        north_ = std::max(north_, e.MaxY);
    }

    std::vector<Arc> arcs_;
    double south_ = 90, north_ = -90;
};

} // namespace

Grid grid_over(const LonLatBox& box, const std::string& source) {
    const auto [west, south, east, north] = box;
    const double farthest = std::max(std::abs(south), std::abs(north));
    if (farthest > farthest_lat) {
        throw InputError(source, "reaches to latitude " + std::to_string(farthest) + ", too near to a pole",
                         "give the part that you need with " + Setting::bounds + ", below 89.5 degrees");
    }
    Grid grid;
    grid.crs_wkt = horizontal_crs_wkt("EPSG:4326", source);
    const double width = std::min(360.0, east - west + 2 * rim_deg), height = north - south + 2 * rim_deg;
    const double cell_width =
        cell_width_m / (metres_per_degree * std::cos(farthest * std::numbers::pi / 180));
    const double cell_height = cell_height_m / metres_per_degree;
    grid.cols = static_cast<int>(std::ceil(width / cell_width));
    grid.rows = static_cast<int>(std::ceil(height / cell_height));
    grid.origin_x = (west + east - width) / 2;
    grid.origin_y = north + rim_deg;
    grid.step_x = width / grid.cols;
    grid.step_y = -height / grid.rows;
    return grid;
}

namespace {

Grid grid_over_opened(std::span<const VectorFile> files) {
    Extents extents;
    for (const VectorFile& file : files) {
        extents.add(file);
    }
    constexpr LonLatBox anywhere{0, 0, 1, 1};
    return grid_over(extents.box().value_or(anywhere), "the extent of the hazards");
}

} // namespace

Grid grid_over_files(const std::vector<std::string>& files) {
    std::vector<VectorFile> opened;
    opened.reserve(files.size());
    for (const std::string& file : files) {
        opened.emplace_back(file);
    }
    return grid_over_opened(opened);
}

HazardsAlone read_hazards_alone(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                                const std::optional<Grid>& grid, const std::string& source,
                                const HazardTerms& terms) {
    const OpenedFiles opened({}, files);
    HazardsAlone alone{grid ? *grid : grid_over_opened(opened.all()), {}};
    const GroundMetric metric = ground_metric(alone.grid, source);
    alone.found =
        HazardReader(opened.all(), opened.all_cells(), rules, alone.grid, metric).read(terms, Vicinity());
    return alone;
}

} // namespace swingroom
