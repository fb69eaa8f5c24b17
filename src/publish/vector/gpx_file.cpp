#include "publish/vector/gpx_file.hpp"

#include "swingroom/base/markup.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/boat/wind_figures.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/folder/text_file.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/vector/polygon_rings.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <array>
#include <cmath>
#include <cstdio>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// What goes into words: a column, what stands before its value, what behind.
struct Figure {
    const char *column, *before, *unit;
};
constexpr std::array<Figure, 10> figures = {{{"meaning", "", ""},
                                             {"condition", "", ""},
                                             {"depth_low_m", "depth at low water", " m"},
                                             {"depth_high_m", "depth at high water", " m"},
                                             {"rode_m", "rode to veer", " m"},
                                             {"sinker_from_bow_m", "sinker from the bow", " m"},
                                             {"radius_m", "swinging radius", " m"},
                                             {"wind_limit_kn", "wind limit", " kn"},
                                             {"trip_line_m", "trip line", " m"},
                                             {"advice", "mind", ""}}};

struct Waypoint {
    double lon = 0, lat = 0;
    std::string name, figures;
    friend bool operator==(const Waypoint&, const Waypoint&) = default;
};

/// In the seventh decimal, as they are written.
double degrees(double value, double limit) {
    if (!(std::abs(value) <= limit)) throw std::logic_error("a waypoint that is not in degrees");
    return static_cast<double>(std::llround(value * 1e7)) / 1e7;
}

/// "rode to veer 25 m", "wind limit: 16 kn by room alone: holding not known".
std::string words_of(const Figure& figure, const std::string& value, const OGRFeature& feature,
                     const ColumnReader& reader) {
    const std::string before(figure.before);
    if (figure.column == std::string_view("wind_limit_kn")) {
        return before + ": " +
               wind_limit_text(feature.GetFieldAsDouble("wind_limit_kn"),
                               limit_by_of(reader.text(feature, "wind_limit_by")));
    }
    // By the sounder she veers for what it shows; what the layer has is for the limit.
    const bool at_most =
        figure.column == std::string_view("rode_m") && !reader.text(feature, "sounder_limit_m").empty();
    return before + (before.empty() ? "" : " ") + (at_most ? "at most " : "") + value + figure.unit;
}

std::vector<Waypoint> waypoints_of(const FinishedFeatures& points) {
    const ColumnReader& reader = points.reader();
    std::vector<Waypoint> waypoints;
    points.each([&](const OGRFeature& feature) {
        const OGRPoint& point = *feature.GetGeometryRef()->toPoint();
        Waypoint waypoint{degrees(point.getX(), 180), degrees(point.getY(), 90), {}, {}};
        if (waypoint.lon == 180) waypoint.lon = -180; // GPX 1.1, longitudeType: below 180
        waypoint.name = plain_text(reader.text(feature, "name"));
        for (const Figure& figure : figures) {
            if (const std::string value = reader.text(feature, figure.column);
                !value.empty() && value != "0") {
                waypoint.figures +=
                    (waypoint.figures.empty() ? "" : "; ") + words_of(figure, value, feature, reader);
            }
        }
        waypoint.figures = plain_text(waypoint.figures);
        waypoints.push_back(std::move(waypoint));
    });
    return waypoints;
}

Markup markup_of(const Waypoint& waypoint) {
    // The order is the schema's.
    return element("wpt",
                   {{"lat", lattice_text(std::llround(waypoint.lat * 1e7))},
                    {"lon", lattice_text(std::llround(waypoint.lon * 1e7))}},
                   text_element("name", waypoint.name) + text_element("cmt", caution) +
                       text_element("desc", waypoint.figures) + text_element("type", "drop point")) +
           "\n";
}

std::vector<Waypoint> read_back(const fs::path& path) {
    const GDALDatasetUniquePtr file = open_features(path);
    const GdalMessages errors;
    std::vector<Waypoint> waypoints;
    OGRLayer* const layer = file->GetLayerByName("waypoints");
    if (layer == nullptr) return waypoints;
    for (const OGRFeatureUniquePtr& feature : *layer) {
        stop_if_asked();
        const OGRPoint& point = *feature->GetGeometryRef()->toPoint();
        waypoints.push_back({degrees(point.getX(), 180), degrees(point.getY(), 90),
                             feature->GetFieldAsString("name"), feature->GetFieldAsString("desc")});
    }
    guarded::throw_if_failed(path);
    if (errors.failed()) guarded::fail(path, "cannot be read back: " + errors.failure());
    return waypoints;
}

} // namespace

void write_gpx(const fs::path& path, const FinishedFeatures& points, const Provenance& provenance) {
    const VectorLayer::Spec& spec = points.spec();
    const std::vector<Waypoint> waypoints = waypoints_of(points);
    Markup content =
        "\n" +
        element("metadata",
                text_element("name", spec.name) +
                    text_element("desc", plain_text(spec.description + ". " + provenance_text(provenance)))) +
        "\n";
    for (const Waypoint& waypoint : waypoints) {
        content += markup_of(waypoint);
    }
    const Markup file = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
                        element("gpx",
                                {{"xmlns", "http://www.topografix.com/GPX/1/1"},
                                 {"version", "1.1"},
                                 {"creator", "swingroom " + std::string(version())}},
                                content) +
                        "\n";
    write_text_file(path, file.str());
    if (read_back(path) != waypoints) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace swingroom
