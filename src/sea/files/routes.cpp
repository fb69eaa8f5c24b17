#include "swingroom/sea/routes.hpp"

#include "swingroom/base/error.hpp"

#include "base/terminal_text.hpp"
#include "base/text.hpp"
#include "sea/files/attributes.hpp"
#include "sea/files/input_text.hpp"
#include "sea/files/vector_file.hpp"

#include <ogr_geometry.h>

#include <cmath>
#include <cstddef>
#include <map>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

using Times = std::vector<std::optional<ClockTime>>;

/// "2026-07-01T18:00:00.250Z" without its fraction of a second.
std::string without_fraction(std::string_view time) {
    const std::size_t point = time.find_first_of(".,");
    if (point == std::string_view::npos) return std::string(time);
    const std::size_t end = time.find_first_not_of("0123456789", point + 1);
    return std::string(time.substr(0, point)) +
           std::string(end == std::string_view::npos ? std::string_view() : time.substr(end));
}

/// The times of points of routes and of way points, in the order of the file: GDAL passes over one that it
/// cannot read.
class GpxTimes : public XmlVisitor {
public:
    void begins(const std::string& name, const Attributes&, const InputBytes&) override {
        if (Times* const times = times_of(name)) times->emplace_back();
        open_.push_back(name);
        text_.clear();
    }
    void ends(const std::string&, const InputBytes& at) override {
        if (wants_text()) take(at);
        if (!open_.empty()) open_.pop_back();
    }
    void text(std::string_view piece) override { text_ += piece; }
    [[nodiscard]] bool wants_text() const override {
        return open_.size() >= 2 && open_.back() == "time" && is_point(open_[open_.size() - 2]);
    }

    Times of_routes, of_way_points;

private:
    static bool is_point(std::string_view name) { return name == "rtept" || name == "wpt"; }
    Times* times_of(std::string_view name) {
        return name == "rtept" ? &of_routes : name == "wpt" ? &of_way_points : nullptr;
    }
    void take(const InputBytes& at) {
        const std::string_view written = trimmed(text_);
        const auto time = read_clock_time(without_fraction(written));
        if (!time) {
            throw InputError(at.place(), quoted(shortened(written)) + " is no time",
                             "write it as 2026-07-01T18:00:00Z");
        }
        times_of(open_[open_.size() - 2])->back() = time;
    }

    std::vector<std::string> open_; ///< elements that have begun
    std::string text_;
};

LonLat position_of(const OGRPoint& point, const std::string& where) {
    const LonLat position{point.getX(), point.getY()};
    if (!(std::abs(position.lon) <= 180 && std::abs(position.lat) <= 90)) {
        throw InputError(where,
                         "lon " + std::to_string(position.lon) + ", lat " + std::to_string(position.lat) +
                             " is no position",
                         "give degrees, -180 to 180 and -90 to 90");
    }
    return position;
}

/// The next of the points of a kind, whose times stand in the order of the file.
RoutePoint point_of(const OGRFeature& feature, const Times& times, std::size_t index,
                    const std::string& where) {
    const OGRGeometry* const geometry = feature.GetGeometryRef();
    if (!geometry || wkbFlatten(geometry->getGeometryType()) != wkbPoint || index >= times.size()) {
        throw IoError(where, "cannot be read point by point");
    }
    return {position_of(*geometry->toPoint(), where), text_of(feature, "name"), times[index]};
}

void add_lines(const OGRGeometry* geometry, const std::string& where,
               std::vector<std::vector<LonLat>>& tracks) {
    if (!geometry || wkbFlatten(geometry->getGeometryType()) != wkbMultiLineString) return;
    for (const OGRLineString* const line : *geometry->toMultiLineString()) {
        std::vector<LonLat> track;
        for (const OGRPoint& point : *line) {
            track.push_back(position_of(point, where));
        }
        if (!track.empty()) tracks.push_back(std::move(track));
    }
}

GpxTimes times_in(const std::string& path) {
    InputBytes in(path);
    GpxTimes times;
    each_element(in, times);
    return times;
}

} // namespace

RouteFile read_routes(const std::string& path) {
    const VectorFile file(path);
    if (!EQUAL(file.dataset().GetDriverName(), "GPX")) {
        throw InputError(path, "is no GPX file", "export the route as GPX");
    }
    const GpxTimes times = times_in(path);
    RouteFile found;
    std::map<GIntBig, std::size_t> place_of_route; // by the number that GDAL gives it
    std::size_t route_points = 0;
    // GDAL hands out routes before their points.
    file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
        const std::string_view kind = layer.GetName();
        const std::string where = path + ", layer " + layer.GetName();
        if (kind == "waypoints") {
            found.way_points.push_back(
                point_of(feature, times.of_way_points, found.way_points.size(), where));
        } else if (kind == "routes") {
            place_of_route[feature.GetFID()] = found.routes.size();
            found.routes.push_back({text_of(feature, "name"), {}});
        } else if (kind == "tracks") {
            add_lines(feature.GetGeometryRef(), where, found.tracks);
        } else if (kind == "route_points") {
            const auto of = place_of_route.find(feature.GetFieldAsInteger64("route_fid"));
            if (of == place_of_route.end()) throw IoError(where, "has a point of no route");
            found.routes[of->second].points.push_back(
                point_of(feature, times.of_routes, route_points, where));
            ++route_points;
        }
    });
    if (route_points != times.of_routes.size() || found.way_points.size() != times.of_way_points.size()) {
        throw IoError(path, "holds points that cannot be read");
    }
    return found;
}

} // namespace swingroom
