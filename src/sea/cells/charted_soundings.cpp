#include "sea/cells/charted_soundings.hpp"

#include "swingroom/base/stop.hpp"

#include "sea/cells/depth_pieces.hpp"
#include "sea/files/attributes.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <unordered_map>

namespace swingroom {
namespace {

constexpr double widest_plotted_m = 0.010, widest_m = 500;
/// Soundings nearer to each other than this are one place.
constexpr double same_place_m = 0.1;

double widest_neighbourhood_m(const ChartedSounding& of) {
    return of.scale > 0 ? std::min(widest_plotted_m * of.scale, widest_m) : widest_m;
}

/// Soundings by squares of the earth, so that only those near by are looked at.
class BySquare {
public:
    explicit BySquare(const std::vector<ChartedSounding>& soundings) : soundings_(soundings) {
        double widest_lat = 0;
        for (const ChartedSounding& sounding : soundings) {
            widest_lat = std::max(widest_lat, std::abs(sounding.at.lat));
        }
        // Of the row nearest to a pole, where degrees of longitude are shortest.
        const double shrunk = std::max(0.01, std::cos(widest_lat * std::numbers::pi / 180));
        lon_deg_ = side_m / (metres_per_degree * shrunk);
        for (std::size_t i = 0; i < soundings.size(); ++i) {
            squares_[key(col(soundings[i].at), row(soundings[i].at))].push_back(i);
        }
    }

    /// Distance from one to the nearest that is another place; infinite if there is none within a reach.
    [[nodiscard]] double nearest_m(std::size_t of, double reach_m) const {
        const LonLat at = soundings_[of].at;
        double nearest_m = std::numeric_limits<double>::infinity();
        // What lies n squares away is farther than n - 1 sides, but for how the globe bends.
        constexpr double bent = 0.98;
        for (int ring = 0; (ring - 1) * side_m * bent <= std::min(reach_m, nearest_m); ++ring) {
            for (int down = -ring; down <= ring; ++down) {
                const int step = std::abs(down) == ring || ring == 0 ? 1 : 2 * ring;
                for (int across = -ring; across <= ring; across += step) {
                    look_into(key(col(at) + across, row(at) + down), of, nearest_m);
                }
            }
        }
        return nearest_m;
    }

private:
    static constexpr double side_m = 200, metres_per_degree = 110'500; // no degree of latitude is shorter
    [[nodiscard]] std::int64_t col(LonLat p) const {
        return static_cast<std::int64_t>(std::floor(p.lon / lon_deg_));
    }
    [[nodiscard]] static std::int64_t row(LonLat p) {
        return static_cast<std::int64_t>(std::floor(p.lat * metres_per_degree / side_m));
    }
    static std::int64_t key(std::int64_t col, std::int64_t row) { return col * 1'000'000 + row; }

    void look_into(std::int64_t square, std::size_t of, double& nearest_m) const {
        const auto found = squares_.find(square);
        if (found == squares_.end()) return;
        const LonLat at = soundings_[of].at;
        // A plane's distance is within a hundredth of the geodesic one, which takes fifty times as long.
        constexpr double as_plane = 0.98, degree_m = 111'100;
        const double shrunk = std::cos(at.lat * std::numbers::pi / 180);
        for (const std::size_t other : found->second) {
            if (other == of) continue;
            const LonLat there = soundings_[other].at;
            const double roughly_m = degree_m * std::hypot((there.lon - at.lon) * shrunk, there.lat - at.lat);
            if (as_plane * roughly_m > nearest_m) continue;
            const double distance_m = geodesic(at, there).distance_m;
            if (distance_m >= same_place_m) nearest_m = std::min(nearest_m, distance_m);
        }
    }

    const std::vector<ChartedSounding>& soundings_;
    double lon_deg_ = 1;
    std::unordered_map<std::int64_t, std::vector<std::size_t>> squares_;
};

/// Longitudes of cells on both sides of 180 degrees, in the turn of the first.
void unwrap(std::vector<ChartedSounding>& soundings) {
    for (ChartedSounding& sounding : soundings) {
        sounding.at.lon -= 360 * std::round((sounding.at.lon - soundings.front().at.lon) / 360);
    }
}

} // namespace

std::vector<ChartedSounding> charted_soundings(std::span<const VectorFile> files, const EncCells& cells) {
    std::vector<ChartedSounding> found;
    std::uint8_t source = 0;
    for (const VectorFile& file : files) {
        const EncCell* const known = cells.of(file);
        if (known == nullptr) continue;
        const EncCell& cell = *known;
        ++source;
        file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
            if (class_in_capitals(layer.GetName()) != "SOUNDG") return;
            const OGRGeometry* const place = feature.GetGeometryRef();
            const auto depth_m = number_of(feature, "DEPTH");
            if (!place || !depth_m || wkbFlatten(place->getGeometryType()) != wkbPoint) return;
            if (!cells.clipped_by_scale(cell, *place)) return;
            const OGRPoint& point = *place->toPoint();
            found.push_back({.at = {point.getX(), point.getY()},
                             .depth_m = *depth_m,
                             .uncertainty_m = zone_uncertainty(cell.zone_of(point)).at(*depth_m),
                             .scale = static_cast<double>(cell.scale()),
                             .source = source});
        });
    }
    if (found.empty()) return found;
    unwrap(found);
    const BySquare near(found);
    for (std::size_t i = 0; i < found.size(); ++i) {
        stop_if_asked();
        const double widest = widest_neighbourhood_m(found[i]);
        found[i].neighbourhood_m = std::min(widest, near.nearest_m(i, 2 * widest) / 2);
    }
    return found;
}

} // namespace swingroom
