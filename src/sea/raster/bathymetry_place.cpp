#include "sea/raster/bathymetry_place.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/xyz_grid.hpp"

#include <cpl_conv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace swingroom::bathymetry {
namespace {

OGRSpatialReference crs_from(const std::string& text) {
    OGRSpatialReference crs;
    const char* const offline[] = {"ALLOW_NETWORK_ACCESS=NO", "ALLOW_FILE_ACCESS=NO", nullptr};
    const GdalMessages messages;
    if (crs.SetFromUserInput(text.c_str(), offline) != OGRERR_NONE) {
        throw InputError(Setting::crs, in_quotes(text) + " is no CRS that PROJ knows",
                         "give for example EPSG:4326");
    }
    return crs;
}

std::string wkt_of(const OGRSpatialReference& crs, const Message& source) {
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    const GdalMessages messages;
    OGRSpatialReference flat = crs;
    flat.StripVertical();
    flat.DemoteTo2D(nullptr);
    const bool written = flat.exportToWkt(&text, options) == OGRERR_NONE && text;
    const std::string wkt = text_or_empty(text);
    CPLFree(text);
    if (!written) {
        throw InputError(source, "its CRS cannot be understood", "repair it with gdal_edit.py -a_srs");
    }
    return horizontal_crs_wkt(wkt, source);
}

/// A coordinate as a person compares it with a map: degrees with decimals, metres without.
std::string coordinate(double value) { return fixed(value, std::abs(value) <= 360 ? 4 : 0); }

/// Asks for the CRS of a grid, by what its coordinates look like.
[[noreturn]] void ask_for_crs(const Grid& grid, const std::string& file) {
    const auto [left, right] = std::minmax({grid.x_of(0), grid.x_of(grid.cols)});
    const auto [low, high] = std::minmax({grid.y_of(0), grid.y_of(grid.rows)});
    const std::string run = "names no CRS; its coordinates run from " + coordinate(left) + " to " +
                            coordinate(right) + " and " + coordinate(low) + " to " + coordinate(high);
    // Half a cell around a world of 0 to 360 degrees is none of a projection.
    const double beyond = std::max(std::abs(grid.step_x), std::abs(grid.step_y));
    if (left >= -180 - beyond && right <= 360 + beyond && low >= -90 - beyond && high <= 90 + beyond) {
        throw UnsaidError(Setting::crs, file, run + ", which may be degrees",
                          "say it with " + Setting::crs + ", for example " + Setting::crs +
                              " EPSG:4326 for longitude and latitude on WGS 84");
    }
    throw UnsaidError(Setting::crs, file, run + ": metres of a projection, not degrees",
                      "say which one with " + Setting::crs +
                          " EPSG:NUMBER, as its source names it, for example " + Setting::crs +
                          " EPSG:32630 for UTM zone 30 north");
}

std::string crs_of(GDALDataset& dataset, const Grid& grid, const BathymetryRequest& request,
                   std::vector<Fact>& notes) {
    const OGRSpatialReference* const own = dataset.GetSpatialRef();
    const bool has_own = own && !own->IsEmpty();
    if (!has_own && !request.crs) ask_for_crs(grid, request.file);
    if (!has_own) {
        notes.push_back(stated_fact(crs_fact, *request.crs));
        return wkt_of(crs_from(*request.crs), Setting::crs);
    }
    std::string wkt = wkt_of(*own, request.file);
    if (request.crs) {
        OGRSpatialReference here, said;
        const std::string said_wkt = wkt_of(crs_from(*request.crs), Setting::crs);
        const char* const ignore_axes[] = {"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES",
                                           "CRITERION=EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS", nullptr};
        const GdalMessages messages;
        if (here.importFromWkt(wkt.c_str()) != OGRERR_NONE ||
            said.importFromWkt(said_wkt.c_str()) != OGRERR_NONE || !here.IsSame(&said, ignore_axes)) {
            throw InputError(request.file,
                             "has a CRS of its own, " + in_quotes(text_or_empty(own->GetName())) +
                                 ", which " + Setting::crs + " " + *request.crs + " contradicts",
                             "leave " + Setting::crs + " out");
        }
    }
    notes.push_back({crs_fact, text_or_empty(own->GetName()), Fact::Kind::read, "file"});
    return wkt;
}

void refuse_beyond_the_poles(const Grid& grid, const std::string& file) {
    OGRSpatialReference crs;
    if (crs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE || !crs.IsGeographic()) return;
    constexpr double degrees_per_radian = 57.295779513082321;
    const double degrees = crs.GetAngularUnits() * degrees_per_radian; // per unit of the CRS
    constexpr double tolerance = 1e-6;
    for (const double y : {grid.y_of(0), grid.y_of(grid.rows)}) {
        if (!(std::abs(y * degrees) <= 90 + tolerance)) {
            throw InputError(file, "reaches latitude " + plain(y * degrees),
                             "correct its georeference, latitudes end at 90");
        }
    }
    if (grid.step_x * grid.cols * degrees > 360 + tolerance) {
        throw InputError(file, "is wider than 360 degrees", "correct its georeference or cut it");
    }
}

/// How far cells may lie beside their places: only a grid of points as text leaves that open.
double slack_of(GDALDataset& dataset, const std::string& file, std::vector<Fact>& notes) {
    if (driver_of(dataset) != "XYZ") return 0;
    const double slack = xyz_slack_cells(dataset, file, checked_name(file));
    if (slack > 0) {
        notes.push_back(
            {"steps", "rounded: cells lie up to " + fixed_up(100 * slack, 2) +
                          " % of a cell beside their places, which counts against all distances"});
    }
    return slack;
}

} // namespace

Grid grid_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<Fact>& notes) {
    const std::string& file = request.file;
    std::array<double, 6> t{};
    bool placed = false;
    {
        const GdalMessages messages;
        placed = dataset.GetGeoTransform(t.data()) == CE_None;
    }
    if (!placed && dataset.GetMetadata("GEOLOCATION")) {
        throw InputError(file, "is a curved grid: each cell has a longitude and a latitude of its own",
                         "warp it to a straight one (gdalwarp -geoloc)");
    }
    // Every BAG has one; GDAL says nothing of a read error there.
    if (!placed && driver_of(dataset) == "BAG") {
        throw IoError(file, "its metadata, which tell where its cells lie, cannot be read");
    }
    if (!placed) {
        throw InputError(file, "has no geotransform: its cells have no place",
                         "give it one (gdal_translate -a_ullr, or gdalwarp for ground control points)");
    }
    if (!std::all_of(t.begin(), t.end(), [](double v) { return std::isfinite(v); }) || t[1] == 0 ||
        t[5] == 0) {
        if (t[2] == 0 && t[4] == 0) {
            throw InputError(file, "has a geotransform with a zero or a number that is not finite",
                             "correct its georeference");
        }
    }
    if (t[2] != 0 || t[4] != 0) {
        throw InputError(file, "is a rotated or sheared grid", "warp it to a straight one (gdalwarp)");
    }
    if (t[1] < 0) throw InputError(file, "is mirrored east to west", "warp it to a plain grid (gdalwarp)");
    // Windows count in int, and reach a swinging circle beyond the raster.
    constexpr int most_cells_a_side = 2'000'000'000;
    if (dataset.GetRasterXSize() > most_cells_a_side || dataset.GetRasterYSize() > most_cells_a_side) {
        throw InputError(file,
                         "has " + std::to_string(dataset.GetRasterXSize()) + " x " +
                             std::to_string(dataset.GetRasterYSize()) + " cells",
                         "see whether it is damaged; at most 2e9 a side can be read");
    }
    Grid grid{dataset.GetRasterXSize(), dataset.GetRasterYSize(), t[0], t[3], t[1], t[5], {}};
    // A step that the origin's own digits swallow is no grid: neighbouring cells would share their place.
    const auto vanishes = [](double origin, double step) { return std::abs(step) < 1e-9 * std::abs(origin); };
    if (vanishes(grid.origin_x, grid.step_x) || vanishes(grid.origin_y, grid.step_y) ||
        !std::isfinite(grid.x_of(grid.cols)) || !std::isfinite(grid.y_of(grid.rows))) {
        throw InputError(file, "has cells too small or too many for the place it names",
                         "correct its georeference");
    }
    grid.slack_cells = slack_of(dataset, file, notes);
    grid.crs_wkt = crs_of(dataset, grid, request, notes);
    refuse_beyond_the_poles(grid, file);
    return grid;
}

} // namespace swingroom::bathymetry
