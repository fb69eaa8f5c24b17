#include "swingroom/sea/dissolved_exclusions.hpp"

#include "swingroom/sea/exclusions.hpp"

#include "sea/geometry/geos.hpp"

#include <algorithm>
#include <utility>

namespace swingroom {
namespace {

/// In degrees, far below what the seven decimals of a file tell.
constexpr double snap_deg = 1e-10;

struct Class {
    std::string kind;
    Effects effects = 0;
    std::vector<Geometry> polygons;
    std::vector<GridPoint> inner_points; ///< of the polygons, to find each again when it is part of another
    std::vector<std::string> labels;     ///< of their hazards
    std::vector<double> margins_m;
};

/// Sorts polygons by class, as GEOS wants them.
class Classes {
public:
    explicit Classes(const Geos& geos) : geos_(geos) {}
    void add(const Exclusion& exclusion) {
        Class& one = of(exclusion);
        // Straight in degrees is not what was straight in the plane: rings may touch now, and need repair.
        geos_.each_polygon(geos_.inside(exclusion.rings), [&](const std::vector<Chain>& rings) {
            Geometry polygon = geos_.polygon(rings);
            one.inner_points.push_back(geos_.inner_point(polygon));
            one.polygons.push_back(std::move(polygon));
            one.labels.push_back(exclusion.label);
            one.margins_m.push_back(exclusion.margin_m);
        });
    }
    [[nodiscard]] std::vector<Class> take() { return std::move(classes_); }

private:
    Class& of(const Exclusion& exclusion) {
        const auto known = std::find_if(classes_.begin(), classes_.end(), [&](const Class& one) {
            return one.kind == exclusion.kind && one.effects == exclusion.effects;
        });
        if (known != classes_.end()) return *known;
        classes_.push_back({exclusion.kind, exclusion.effects, {}, {}, {}, {}});
        return classes_.back();
    }

    const Geos& geos_;
    std::vector<Class> classes_;
};

void dissolve(Class one, const Geos& geos, const std::function<void(DissolvedExclusion&&)>& deliver) {
    const Geometry together = geos.united(std::move(one.polygons), snap_deg);
    struct Zone {
        DissolvedExclusion exclusion;
        std::size_t first; ///< of the polygons that went into it
    };
    std::vector<Zone> zones;
    geos.each_polygon(together, [&](std::vector<Chain> rings) {
        zones.push_back({{one.kind, one.effects, 0, {}, std::move(rings)}, one.labels.size()});
    });
    const std::vector<std::size_t> zone_of = geos.polygons_around(together, one.inner_points);
    for (std::size_t i = 0; i < zone_of.size(); ++i) {
        if (zone_of[i] >= zones.size()) continue;
        zones[zone_of[i]].first = std::min(zones[zone_of[i]].first, i);
        DissolvedExclusion& zone = zones[zone_of[i]].exclusion;
        zone.margin_m = std::max(zone.margin_m, one.margins_m[i]);
        // Polygons of one hazard follow each other.
        if (zone.features.empty() || zone.features.back() != one.labels[i]) {
            zone.features.push_back(one.labels[i]);
        }
    }
    std::stable_sort(zones.begin(), zones.end(),
                     [](const Zone& a, const Zone& b) { return a.first < b.first; });
    for (Zone& zone : zones) {
        deliver(std::move(zone.exclusion));
    }
}

} // namespace

void each_dissolved_exclusion(const HazardsToDraw& drawn,
                              const std::function<void(DissolvedExclusion&&)>& deliver) {
    const Geos geos;
    Classes classes(geos);
    each_exclusion(drawn, [&](Exclusion&& exclusion) { classes.add(exclusion); });
    for (Class& one : classes.take()) {
        dissolve(std::move(one), geos, deliver);
    }
}

} // namespace swingroom
