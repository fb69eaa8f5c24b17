#include "sea/ground/operations.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/proj_files.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <mutex>
#include <tuple>
#include <utility>

namespace swingroom {
namespace {

struct DestroyFactory {
    void operator()(PJ_OPERATION_FACTORY_CONTEXT* f) const noexcept {
        proj_operation_factory_context_destroy(f);
    }
};
struct DestroyList {
    void operator()(PJ_OBJ_LIST* l) const noexcept { proj_list_destroy(l); }
};

Pj horizontal_part(PJ_CONTEXT* context, Pj crs) {
    while (crs) {
        const PJ_TYPE type = proj_get_type(crs.get());
        if (type == PJ_TYPE_COMPOUND_CRS) {
            crs.reset(proj_crs_get_sub_crs(context, crs.get(), 0));
        } else if (type == PJ_TYPE_BOUND_CRS) {
            crs.reset(proj_get_source_crs(context, crs.get()));
        } else {
            break;
        }
    }
    return crs;
}

/// Whether an operation's inverse has a place for all of a grid.
bool covers(PJ* operation, const Grid& grid) {
    bool all = true;
    visit_frame(grid, [&](double x, double y) {
        const PJ_COORD c = transformed(operation, PJ_INV, x, y);
        all = all && std::isfinite(c.xy.x) && std::isfinite(c.xy.y);
    });
    return all;
}

} // namespace

Context quiet_context() {
    Context context(proj_context_create());
    proj_log_level(context.get(), PJ_LOG_NONE);
    keep_to_own_folders(context.get());
    return context;
}

void require_proj_database() {
    static std::once_flag found;
    std::call_once(found, [] {
        const Context context = quiet_context();
        if (!Pj(proj_create(context.get(), "EPSG:4326"))) {
            throw IoError("PROJ",
                          "its database of reference systems cannot be read (set PROJ_DATA to its folder)");
        }
    });
}

bool is_geographic(const PJ* crs) {
    const PJ_TYPE type = proj_get_type(crs);
    return type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS;
}

Pj horizontal_crs(PJ_CONTEXT* context, const std::string& wkt, const Message& source) {
    Pj crs = horizontal_part(context, Pj(proj_create(context, wkt.c_str())));
    if (!crs || (!is_geographic(crs.get()) && proj_get_type(crs.get()) != PJ_TYPE_PROJECTED_CRS)) {
        throw InputError(source, "its CRS is neither geographic nor projected",
                         "give it one that is tied to the earth");
    }
    return crs;
}

std::vector<Pj> operations(PJ_CONTEXT* context, const PJ* from, const PJ* to,
                           const std::optional<Area>& area) {
    std::vector<Pj> sound;
    const std::unique_ptr<PJ_OPERATION_FACTORY_CONTEXT, DestroyFactory> factory(
        proj_create_operation_factory_context(context, nullptr));
    if (!factory) return sound;
    proj_operation_factory_context_set_allow_ballpark_transformations(context, factory.get(), 0);
    proj_operation_factory_context_set_grid_availability_use(
        context, factory.get(), PROJ_GRID_AVAILABILITY_DISCARD_OPERATION_IF_MISSING_GRID);
    proj_operation_factory_context_set_spatial_criterion(context, factory.get(),
                                                         PROJ_SPATIAL_CRITERION_PARTIAL_INTERSECTION);
    if (area) {
        proj_operation_factory_context_set_area_of_interest(context, factory.get(), area->west, area->south,
                                                            area->east, area->north);
    }
    // By way of a third system only where nothing leads there directly: PROJ itself would count a direct way
    // whose shift grid is missing.
    for (const PROJ_INTERMEDIATE_CRS_USE by_way :
         {PROJ_INTERMEDIATE_CRS_USE_IF_NO_DIRECT_TRANSFORMATION, PROJ_INTERMEDIATE_CRS_USE_ALWAYS}) {
        proj_operation_factory_context_set_allow_use_intermediate_crs(context, factory.get(), by_way);
        const std::unique_ptr<PJ_OBJ_LIST, DestroyList> found(
            proj_create_operations(context, from, to, factory.get()));
        for (int i = 0; found && i < proj_list_get_count(found.get()); ++i) {
            const Pj candidate(proj_list_get(context, found.get(), i));
            if (!candidate || proj_coordoperation_has_ballpark_transformation(context, candidate.get())) {
                continue;
            }
            if (Pj east_first(proj_normalize_for_visualization(context, candidate.get())); east_first) {
                sound.push_back(std::move(east_first));
            }
        }
        if (!sound.empty()) break;
    }
    return sound;
}

double wrapped(double lon, double centre) { return lon - 360 * std::round((lon - centre) / 360); }

bool is_position(const PJ_COORD& c) {
    return std::isfinite(c.xy.x) && std::isfinite(c.xy.y) && std::abs(c.xy.y) <= 90 + 1e-9;
}

PJ_COORD transformed(PJ* operation, PJ_DIRECTION direction, double x, double y) {
    proj_errno_reset(operation);
    return proj_trans(operation, direction, proj_coord(x, y, 0, 0));
}

namespace {

/// The operation from a CRS to the longitudes and latitudes of its own datum; none if there is no such.
Pj unprojecting(PJ_CONTEXT* context, const PJ* crs) {
    const Pj geodetic(proj_crs_get_geodetic_crs(context, crs));
    if (!geodetic) return nullptr;
    std::vector<Pj> known = operations(context, crs, geodetic.get(), std::nullopt);
    return known.empty() ? nullptr : std::move(known.front());
}

std::optional<Area> area_by(PJ* unprojecting, const Grid& grid) {
    if (!unprojecting) return std::nullopt;
    std::optional<double> centre;
    Area area{1e9, 1e9, -1e9, -1e9};
    bool usable = true;
    visit_frame(grid, [&](double x, double y) {
        const PJ_COORD c = transformed(unprojecting, PJ_FWD, x, y);
        if (!is_position(c)) {
            usable = false;
            return;
        }
        if (!centre) centre = wrapped(c.xy.x, 0);
        const double lon = wrapped(c.xy.x, *centre);
        area = {std::min(area.west, lon), std::min(area.south, c.xy.y), std::max(area.east, lon),
                std::max(area.north, c.xy.y)};
    });
    constexpr double most_width = 180; // more, and the turns of its points are no longer certain
    if (!usable || area.east - area.west > most_width) {
        if (usable && area.west >= -180 && area.east <= 180) return area;
        return std::nullopt;
    }
    if (area.west < -180) area.west += 360;
    if (area.east > 180) area.east -= 360;
    return area;
}

} // namespace

std::optional<Area> area_of(PJ_CONTEXT* context, const PJ* crs, const Grid& grid) {
    return area_by(unprojecting(context, crs).get(), grid);
}

std::optional<double> turn_of(const std::function<GridPoint(GridPoint)>& place) {
    for (const double start : {0.0, 45.0, 90.0}) { // a seam can spoil one start
        std::array<double, 4> step{};
        bool straight = true;
        for (std::size_t i = 0; i < step.size(); ++i) {
            const double lon = start + static_cast<double>(i % 2), lat = i < 2 ? 10 : 40;
            const GridPoint a = place({lon, lat}), b = place({lon + 1, lat});
            step[i] = b.x - a.x;
            straight = straight && std::isfinite(step[i]) && std::abs(b.y - a.y) <= 1e-9 * std::abs(step[i]);
        }
        const auto [least, most] = std::minmax_element(step.begin(), step.end());
        if (straight && *least > 0 && *most - *least <= 1e-9 * *most) return 360 * step[0];
    }
    return std::nullopt;
}

namespace {

double turn_of_plane(PJ_CONTEXT* context, const PJ* crs) {
    const Pj geodetic(proj_crs_get_geodetic_crs(context, crs));
    if (!geodetic) return 0;
    const std::vector<Pj> known = operations(context, geodetic.get(), crs, std::nullopt);
    if (known.empty()) return 0;
    return turn_of([&](GridPoint p) {
               const PJ_COORD c = transformed(known.front().get(), PJ_FWD, p.x, p.y);
               return GridPoint{c.xy.x, c.xy.y};
           })
        .value_or(0);
}

/// What has been found out of reference systems by their text. PROJ reads its database for each of these for
/// milliseconds, and a chart of forty layers asks of the same two systems again and again.
class KnownSystems {
public:
    /// Each thread has its own, since a context of PROJ is for one thread at a time.
    static KnownSystems& of_this_thread() {
        thread_local KnownSystems known;
        return known;
    }

    double turn(const std::string& wkt, const Message& source) {
        System& system = system_of(wkt, source);
        if (!system.turn) system.turn = turn_of_plane(context_.get(), system.crs.get());
        return *system.turn;
    }

    /// It belongs to this thread; none if there is none.
    const PJ* best_to_wgs84(const Grid& grid, const Message& source) {
        System& system = system_of(grid.crs_wkt, source);
        if (!wgs84_) wgs84_.reset(proj_create(context_.get(), "EPSG:4326"));
        if (!system.unprojecting) system.unprojecting = unprojecting(context_.get(), system.crs.get());
        const std::optional<Area> area = area_by(system.unprojecting->get(), grid);
        const Area key = area.value_or(Area{});
        const auto [entry, is_new] = system.to_wgs84.try_emplace(
            {area.has_value(), key.west, key.south, key.east, key.north}, nullptr);
        if (is_new) {
            if (auto known = operations(context_.get(), system.crs.get(), wgs84_.get(), area);
                !known.empty()) {
                entry->second = std::move(known.front());
            }
        }
        return entry->second.get();
    }

private:
    struct System {
        Pj crs;
        std::optional<double> turn;
        std::optional<Pj> unprojecting;
        /// By whether there is an area, and by its sides.
        std::map<std::tuple<bool, double, double, double, double>, Pj> to_wgs84;
    };

    System& system_of(const std::string& wkt, const Message& source) {
        constexpr std::size_t most = 64; // a program that sees many must not grow for ever
        if (systems_.size() >= most && !systems_.contains(wkt)) systems_.clear();
        const auto found = systems_.find(wkt);
        if (found != systems_.end() && found->second.to_wgs84.size() < most) return found->second;
        System made;
        made.crs = horizontal_crs(context_.get(), wkt, source);
        return systems_[wkt] = std::move(made);
    }

    Context context_ = quiet_context(); ///< outlives what belongs to it
    Pj wgs84_;
    std::map<std::string, System> systems_;
};

} // namespace

double turn_in_plane(const std::string& wkt, const Message& source) {
    return KnownSystems::of_this_thread().turn(wkt, source);
}

Pj best_to_wgs84(PJ_CONTEXT* context, const Grid& grid, const Message& source) {
    const PJ* const known = KnownSystems::of_this_thread().best_to_wgs84(grid, source);
    return Pj(known ? proj_clone(context, known) : nullptr);
}

CoordinateOperation best_operation(PJ_CONTEXT* context, const PJ* from, const PJ* to, const Grid& grid) {
    std::vector<Pj> known = operations(context, from, to, area_of(context, to, grid));
    if (known.empty()) return {};
    const auto fit =
        std::find_if(known.begin(), known.end(), [&](const Pj& one) { return covers(one.get(), grid); });
    CoordinateOperation operation_found{std::move(fit == known.end() ? known.front() : *fit)};
    operation_found.accuracy_m = proj_coordoperation_get_accuracy(context, operation_found.operation.get());
    return operation_found;
}

} // namespace swingroom
