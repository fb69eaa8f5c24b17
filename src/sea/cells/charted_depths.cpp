#include "sea/cells/charted_depths.hpp"

#include "sea/files/attributes.hpp"

#include <ogr_geometry.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <mutex>
#include <numbers>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// QUASOU (S-57 attribute 125) of soundings that are none to expect a depth by: unknown, doubtful,
/// unreliable, no bottom found, reported, reported and not confirmed.
const std::vector<int> not_to_expect = {2, 3, 4, 5, 8, 9};

/// The least length of a degree of latitude on WGS 84, at the equator.
constexpr double least_degree_m = 110'574;

/// Of DEPARE, DRGARE and SOUNDG, also of inland cells, which write them in small letters.
bool is_class(const OGRLayer& layer, const char* object_class) {
    return EQUAL(const_cast<OGRLayer&>(layer).GetName(), object_class);
}

/// What outlives those who refer to it.
template <class T>
std::shared_ptr<const T> borrowed(const T& of) {
    return {std::shared_ptr<const T>(), &of};
}

ChartedCell read_cell(const VectorFile& file, const Region& finer) {
    ChartedCell found{{}, {}, borrowed(finer)};
    file.each_feature([&](OGRLayer& layer, OGRFeature& feature) {
        const OGRGeometry* const geometry = feature.GetGeometryRef();
        if (geometry == nullptr) return;
        if (is_class(layer, "DEPARE") || is_class(layer, "DRGARE")) {
            const auto from_m = number_of(feature, "DRVAL1"), to_m = number_of(feature, "DRVAL2");
            if (!from_m || geometry->getDimension() < 2) return;
            // A cell keeps its features.
            ChartedCell::Area area{{label_of(layer.GetName(), feature), *from_m, to_m}, borrowed(*geometry)};
            if (to_m && *to_m < *from_m) std::swap(area.charted.from_m, *area.charted.to_m);
            found.areas.push_back(std::move(area));
        } else if (is_class(layer, "SOUNDG")) {
            const auto depth_m = number_of(feature, "DEPTH");
            if (!depth_m || wkbFlatten(geometry->getGeometryType()) != wkbPoint) return;
            const OGRPoint& point = *geometry->toPoint();
            const Codes quality = codes_of(feature, "QUASOU");
            found.soundings.push_back({{point.getX(), point.getY()},
                                       *depth_m,
                                       !quality.readable || quality.has_any(not_to_expect)});
        }
    });
    using Sounding = ChartedCell::Sounding;
    std::sort(found.soundings.begin(), found.soundings.end(), [](const Sounding& a, const Sounding& b) {
        return std::tie(a.at.lat, a.at.lon, a.depth_m) < std::tie(b.at.lat, b.at.lon, b.depth_m);
    });
    return found;
}

/// A polygon, moved by whole turns of longitude to where a box is.
OGRPolygon polygon_of(const std::vector<LonLat>& outline, const OGREnvelope& near) {
    double middle = 0;
    for (const LonLat& corner : outline) {
        middle += outline.front().lon + std::remainder(corner.lon - outline.front().lon, 360.0);
    }
    middle /= static_cast<double>(outline.size());
    const double turn = 360 * std::round(((near.MinX + near.MaxX) / 2 - middle) / 360);
    OGRLinearRing ring;
    for (const LonLat& corner : outline) {
        ring.addPoint(turn + middle + std::remainder(corner.lon - middle, 360.0), corner.lat);
    }
    ring.closeRings();
    OGRPolygon polygon;
    polygon.addRing(&ring);
    return polygon;
}

/// A cell that is being asked.
struct AskedCell {
    explicit AskedCell(ChartedCell of) : cell(std::move(of)), boxes(cell.areas.size()) {
        regions.resize(cell.areas.size());
        for (std::size_t i = 0; i < boxes.size(); ++i) {
            cell.areas[i].geometry->getEnvelope(&boxes[i]);
        }
    }
    ChartedCell cell;
    std::vector<OGREnvelope> boxes;                     ///< of its areas
    mutable std::vector<std::optional<Region>> regions; ///< once somebody has asked for what is near one
};

class OfCharts final : public ChartedDepths {
public:
    explicit OfCharts(std::function<std::vector<ChartedCell>()> read) : read_(std::move(read)) {}

    [[nodiscard]] ExpectedDepth expected(const std::vector<LonLat>& outline, LonLat from) const override {
        const std::lock_guard lock(one_at_a_time_);
        if (!cells_) {
            cells_.emplace();
            for (ChartedCell& cell : read_()) {
                cells_->emplace_back(std::move(cell));
            }
        }
        ExpectedDepth expected;
        for (const AskedCell& cell : *cells_) {
            add_areas(cell, outline, expected);
            add_soundings(cell, from, expected);
        }
        const auto deepest = [](const ChartedArea& area) { return area.to_m.value_or(HUGE_VAL); };
        std::sort(
            expected.areas.begin(), expected.areas.end(), [&](const ChartedArea& a, const ChartedArea& b) {
                return std::tuple(a.from_m, deepest(a), a.label) < std::tuple(b.from_m, deepest(b), b.label);
            });
        return expected;
    }

private:
    static void add_areas(const AskedCell& of, const std::vector<LonLat>& outline, ExpectedDepth& to) {
        for (std::size_t i = 0; i < of.boxes.size(); ++i) {
            const OGRPolygon here = polygon_of(outline, of.boxes[i]);
            OGREnvelope box;
            here.getEnvelope(&box);
            if (!of.boxes[i].Intersects(box)) continue;
            const OwnedGeometry counts = without(here, *of.cell.finer);
            if (!counts) continue;
            std::optional<Region>& region = of.regions[i];
            if (!region) region.emplace(OwnedGeometry(of.cell.areas[i].geometry->clone()));
            if (region->meets(*counts)) to.areas.push_back(of.cell.areas[i].charted);
        }
    }

    static void add_soundings(const AskedCell& of, LonLat from, ExpectedDepth& to) {
        const double lat_deg = soundings_within_m / least_degree_m;
        const double narrowest =
            std::cos(std::min(89.9, std::abs(from.lat) + lat_deg) * std::numbers::pi / 180);
        const double lon_deg = lat_deg / narrowest;
        const std::vector<ChartedCell::Sounding>& soundings = of.cell.soundings;
        const auto below = [](const ChartedCell::Sounding& sounding, double lat) {
            return sounding.at.lat < lat;
        };
        auto it = std::lower_bound(soundings.begin(), soundings.end(), from.lat - lat_deg, below);
        for (; it != soundings.end() && it->at.lat <= from.lat + lat_deg; ++it) {
            if (std::abs(std::remainder(it->at.lon - from.lon, 360.0)) > lon_deg) continue;
            const Geodesic line = geodesic(from, it->at);
            if (line.distance_m > soundings_within_m) continue;
            const OGRPoint place(it->at.lon, it->at.lat);
            if (without(place, *of.cell.finer)) add(*it, line, to);
        }
    }

    static void add(const ChartedCell::Sounding& sounding, const Geodesic& line, ExpectedDepth& to) {
        if (sounding.doubtful) {
            to.doubtful_least_m =
                to.doubtful == 0 ? sounding.depth_m : std::min(to.doubtful_least_m, sounding.depth_m);
            ++to.doubtful;
            return;
        }
        const bool first = to.soundings == 0;
        to.least_m = first ? sounding.depth_m : std::min(to.least_m, sounding.depth_m);
        to.greatest_m = first ? sounding.depth_m : std::max(to.greatest_m, sounding.depth_m);
        if (first || std::pair(line.distance_m, sounding.depth_m) <
                         std::pair(to.nearest.distance_m, to.nearest.depth_m)) {
            to.nearest = {sounding.depth_m, line.distance_m, line.azimuth_deg};
        }
        ++to.soundings;
    }

    std::function<std::vector<ChartedCell>()> read_;
    /// Guards what is read and prepared when it is asked for: boats of a run ask for drop points of their own
    /// at the same time.
    mutable std::mutex one_at_a_time_;
    mutable std::optional<std::vector<AskedCell>> cells_; ///< once somebody has asked
};

} // namespace

std::optional<double> ExpectedDepth::to_m() const {
    std::optional<double> deepest = areas.front().to_m;
    for (const ChartedArea& area : areas) {
        if (!area.to_m) return std::nullopt;
        deepest = std::max(*deepest, *area.to_m);
    }
    return deepest;
}

std::vector<LonLat> outline_of(const Georeference& georeference, int col, int row) {
    return {georeference.lonlat({double(col), double(row)}), georeference.lonlat({col + 1.0, double(row)}),
            georeference.lonlat({col + 1.0, row + 1.0}), georeference.lonlat({double(col), row + 1.0})};
}

std::vector<ChartedCell> read_charted_cells(const OpenedFiles& files) {
    std::vector<ChartedCell> read;
    const EncCells& cells = files.chart_cells();
    for (const VectorFile& file : files.charts()) {
        read.push_back(read_cell(file, cells.finer_than(*cells.of(file))));
    }
    return read;
}

std::unique_ptr<ChartedDepths> charted_depths(std::function<std::vector<ChartedCell>()> read) {
    return std::make_unique<OfCharts>(std::move(read));
}

} // namespace swingroom
