#include "swingroom/chart/georeference.hpp"

#include "swingroom/base/error.hpp"

#include <proj.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <geodesic.h>
#include <optional>
#include <string>

namespace swingroom {
namespace {

struct DestroyContext {
    void operator()(PJ_CONTEXT* c) const noexcept { proj_context_destroy(c); }
};
struct DestroyPj {
    void operator()(PJ* p) const noexcept { proj_destroy(p); }
};
struct DestroyFactory {
    void operator()(PJ_OPERATION_FACTORY_CONTEXT* f) const noexcept {
        proj_operation_factory_context_destroy(f);
    }
};
struct DestroyList {
    void operator()(PJ_OBJ_LIST* l) const noexcept { proj_list_destroy(l); }
};
using Context = std::unique_ptr<PJ_CONTEXT, DestroyContext>;
using Pj = std::unique_ptr<PJ, DestroyPj>;

/// Longitude and latitude bounds, degrees, of where a transformation must be good.
struct Area {
    double west = -180, south = -90, east = 180, north = 90;
};

double wrapped(double lon, double centre) { return lon - 360 * std::round((lon - centre) / 360); }

bool is_position(const PJ_COORD& c) {
    return std::isfinite(c.xy.x) && std::isfinite(c.xy.y) && std::abs(c.xy.y) <= 90 + 1e-9;
}

PJ_COORD transformed(PJ* operation, PJ_DIRECTION direction, double x, double y) {
    proj_errno_reset(operation);
    return proj_trans(operation, direction, proj_coord(x, y, 0, 0));
}

/// The best single operation between two reference systems over an area: one for the whole raster, so that no
/// seam runs through it. Operations that would only copy the numbers of an unknown datum ("ballpark") and
/// those whose shift grids are not installed are not considered. Null if there is none.
Pj best_operation(PJ_CONTEXT* context, const PJ* from, const PJ* to, const std::optional<Area>& area) {
    const std::unique_ptr<PJ_OPERATION_FACTORY_CONTEXT, DestroyFactory> factory(
        proj_create_operation_factory_context(context, nullptr));
    if (!factory) return nullptr;
    proj_operation_factory_context_set_allow_ballpark_transformations(context, factory.get(), 0);
    proj_operation_factory_context_set_grid_availability_use(
        context, factory.get(), PROJ_GRID_AVAILABILITY_DISCARD_OPERATION_IF_MISSING_GRID);
    proj_operation_factory_context_set_spatial_criterion(context, factory.get(),
                                                         PROJ_SPATIAL_CRITERION_PARTIAL_INTERSECTION);
    if (area)
        proj_operation_factory_context_set_area_of_interest(context, factory.get(), area->west, area->south,
                                                            area->east, area->north);
    const std::unique_ptr<PJ_OBJ_LIST, DestroyList> found(
        proj_create_operations(context, from, to, factory.get()));
    if (!found) return nullptr;
    for (int i = 0; i < proj_list_get_count(found.get()); ++i) {
        const Pj candidate(proj_list_get(context, found.get(), i));
        if (!candidate || proj_coordoperation_has_ballpark_transformation(context, candidate.get())) continue;
        Pj east_first(proj_normalize_for_visualization(context, candidate.get()));
        if (east_first) return east_first;
    }
    return nullptr;
}

/// The horizontal part of a reference system: of a compound one its first part, of a bound one its source.
Pj horizontal(PJ_CONTEXT* context, Pj crs) {
    while (crs) {
        const PJ_TYPE type = proj_get_type(crs.get());
        if (type == PJ_TYPE_COMPOUND_CRS)
            crs.reset(proj_crs_get_sub_crs(context, crs.get(), 0));
        else if (type == PJ_TYPE_BOUND_CRS)
            crs.reset(proj_get_source_crs(context, crs.get()));
        else
            break;
    }
    return crs;
}

bool is_geographic(PJ_TYPE type) {
    return type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS;
}

/// The horizontal part of a CRS given as text. @throws InputError unless geographic or projected
Pj horizontal_crs(PJ_CONTEXT* context, const std::string& wkt, const std::string& source) {
    Pj crs = horizontal(context, Pj(proj_create(context, wkt.c_str())));
    const PJ_TYPE type = crs ? proj_get_type(crs.get()) : PJ_TYPE_UNKNOWN;
    if (!is_geographic(type) && type != PJ_TYPE_PROJECTED_CRS)
        throw InputError(source, "its CRS is neither geographic nor projected",
                         "give it one that is tied to the earth");
    return crs;
}

Context quiet_context() {
    Context context(proj_context_create());
    proj_log_level(context.get(), PJ_LOG_NONE);
    return context;
}

/// Points along the outline and through the middle of a grid, in its CRS.
template <class Visit>
void visit_frame(const Grid& grid, Visit visit) {
    constexpr int steps = 8;
    for (int i = 0; i <= steps; ++i)
        for (int j = 0; j <= steps; ++j)
            visit(grid.x_of(grid.cols * static_cast<double>(i) / steps),
                  grid.y_of(grid.rows * static_cast<double>(j) / steps));
}

/// The raster's bounds by an operation to longitude and latitude; nothing when they cannot be had or would
/// cross 180 degrees or reach around the earth, which an area of interest need not express.
std::optional<Area> area_of(const Grid& grid, PJ* to_lonlat) {
    std::optional<double> centre;
    Area area{1e9, 1e9, -1e9, -1e9};
    bool usable = true;
    visit_frame(grid, [&](double x, double y) {
        const PJ_COORD c = transformed(to_lonlat, PJ_FWD, x, y);
        if (!is_position(c)) {
            usable = false;
            return;
        }
        if (!centre) centre = wrapped(c.xy.x, 0);
        const double lon = wrapped(c.xy.x, *centre);
        area = {std::min(area.west, lon), std::min(area.south, c.xy.y), std::max(area.east, lon),
                std::max(area.north, c.xy.y)};
    });
    if (!usable || area.west < -180 || area.east > 180) return std::nullopt;
    return area;
}

} // namespace

std::string horizontal_crs_wkt(const std::string& wkt, const std::string& source) {
    const Context context = quiet_context();
    const Pj crs = horizontal_crs(context.get(), wkt, source);
    const char* const one_line[] = {"MULTILINE=NO", nullptr};
    const char* const text = proj_as_wkt(context.get(), crs.get(), PJ_WKT2_2019, one_line);
    if (!text)
        throw InputError(source, "its CRS cannot be written as WKT", "give it a CRS with an EPSG code");
    return text;
}

Geodesic geodesic(LonLat from, LonLat to) {
    static const geod_geodesic wgs84 = [] {
        geod_geodesic g;
        geod_init(&g, 6378137, 1 / 298.257223563); // NGA.STND.0036: the defining constants of WGS 84
        return g;
    }();
    Geodesic line;
    geod_inverse(&wgs84, from.lat, from.lon, to.lat, to.lon, &line.distance_m, &line.azimuth_deg, nullptr);
    if (line.azimuth_deg < 0) line.azimuth_deg += 360;
    if (line.azimuth_deg >= 360) line.azimuth_deg = 0; // -1e-17 + 360 rounds to 360
    return line;
}

struct Georeference::Handles {
    Context context;
    Pj operation; // forward: the grid's CRS to longitude, latitude
    Grid grid;
    std::string source;
    double centre_lon = 0;                 // of the raster
    std::optional<double> turn_in_columns; // 360 degrees of longitude, where that is the same everywhere

    [[nodiscard]] PJ_COORD position_of(GridPoint p) const {
        return transformed(operation.get(), PJ_FWD, grid.x_of(p.x), grid.y_of(p.y));
    }
    [[noreturn]] void refuse(GridPoint p) const {
        throw InputError(source,
                         "column " + std::to_string(p.x) + ", row " + std::to_string(p.y) +
                             " lies nowhere on the earth by the raster's CRS",
                         "correct its georeference or cut it to where its CRS is meant for");
    }
    void find_turn();
};

/// Degrees and the cylindrical projections repeat themselves every 360 degrees. Told by the numbers: the same
/// step of longitude is the same step eastwards at two latitudes, and no step northwards.
void Georeference::Handles::find_turn() {
    for (const double start : {0.0, 45.0, 90.0}) { // a seam can spoil one start
        std::array<double, 4> step{};
        bool straight = true;
        for (std::size_t i = 0; i < step.size(); ++i) {
            const double lon = start + static_cast<double>(i % 2), lat = i < 2 ? 10 : 40;
            const PJ_COORD a = transformed(operation.get(), PJ_INV, lon, lat);
            const PJ_COORD b = transformed(operation.get(), PJ_INV, lon + 1, lat);
            step[i] = b.xy.x - a.xy.x;
            straight =
                straight && std::isfinite(step[i]) && std::abs(b.xy.y - a.xy.y) <= 1e-9 * std::abs(step[i]);
        }
        const auto [least, most] = std::minmax_element(step.begin(), step.end());
        if (straight && *least > 0 && *most - *least <= 1e-9 * *most) {
            turn_in_columns = 360 * step[0] / grid.step_x;
            return;
        }
    }
}

Georeference::Georeference(const Grid& grid, const std::string& source)
    : handles_(std::make_unique<Handles>()) {
    Handles& h = *handles_;
    h.grid = grid;
    h.source = source;
    h.context = quiet_context();
    PJ_CONTEXT* const context = h.context.get();

    const Pj wgs84(proj_create(context, "EPSG:4326"));
    if (!wgs84)
        throw IoError("PROJ",
                      "its database of reference systems cannot be read (set PROJ_DATA to its folder)");
    const Pj crs = horizontal_crs(context, grid.crs_wkt, source);
    const Pj geodetic(proj_crs_get_geodetic_crs(context, crs.get()));
    const Pj unprojected =
        geodetic ? best_operation(context, crs.get(), geodetic.get(), std::nullopt) : nullptr;
    const std::optional<Area> area = unprojected ? area_of(grid, unprojected.get()) : std::nullopt;
    h.operation = best_operation(context, crs.get(), wgs84.get(), area);
    if (!h.operation)
        throw InputError(source, "no known transformation ties its CRS to WGS 84 (unknown datum)",
                         "warp it to a CRS on a known datum");
    h.operation.reset(proj_normalize_for_visualization(context, h.operation.get()));

    const GridPoint middle{grid.cols / 2.0, grid.rows / 2.0};
    const PJ_COORD centre = h.position_of(middle);
    if (!is_position(centre)) h.refuse(middle);
    h.centre_lon = centre.xy.x;
    h.find_turn();
}

Georeference::~Georeference() = default;
Georeference::Georeference(Georeference&&) noexcept = default;
Georeference& Georeference::operator=(Georeference&&) noexcept = default;

LonLat Georeference::lonlat(GridPoint p) const {
    const PJ_COORD c = handles_->position_of(p);
    if (!is_position(c)) handles_->refuse(p);
    return {wrapped(c.xy.x, 0), std::clamp(c.xy.y, -90.0, 90.0)};
}

void Georeference::to_lonlat_unwrapped(std::span<GridPoint> points) const {
    for (GridPoint& p : points) {
        const PJ_COORD c = handles_->position_of(p);
        if (!is_position(c)) handles_->refuse(p);
        p = {wrapped(c.xy.x, handles_->centre_lon), std::clamp(c.xy.y, -90.0, 90.0)};
    }
}

GridPoint Georeference::grid_point(LonLat position) const {
    const Handles& h = *handles_;
    const PJ_COORD c = std::abs(position.lat) <= 90
                           ? transformed(h.operation.get(), PJ_INV, wrapped(position.lon, 0), position.lat)
                           : proj_coord(HUGE_VAL, HUGE_VAL, 0, 0);
    if (!std::isfinite(c.xy.x) || !std::isfinite(c.xy.y))
        throw InputError(h.source,
                         "position " + std::to_string(position.lon) + ", " + std::to_string(position.lat) +
                             " has no place in the raster's CRS",
                         "give longitude and latitude in degrees, near the raster");
    GridPoint p{h.grid.col_of(c.xy.x), h.grid.row_of(c.xy.y)};
    if (h.turn_in_columns)
        p.x -= *h.turn_in_columns * std::round((p.x - h.grid.cols / 2.0) / *h.turn_in_columns);
    return p;
}

} // namespace swingroom
