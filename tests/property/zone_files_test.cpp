// Zones and spots as they are written, end to end: random whole runs, the files read back through OGR, their
// edges laid onto the grid by PROJ, and held against the cells that say yes, exactly, by GEOS.

#include "swingroom/overlay/position.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/room/berths.hpp"

#include "support/geos.hpp"
#include "support/made_tide.hpp"
#include "support/overlay_scene.hpp"
#include "support/scratch.hpp"
#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {
namespace {

using Rings = std::vector<std::vector<GridPoint>>;

/// A run's files, and what they were made from.
struct Tee : OverlaySink {
    Tee(OverlayFiles& into, Recorder& heard) : files(into), recorder(heard) {}
    void block(const BlockAnswers& answers) override {
        files.block(answers);
        recorder.block(answers);
    }
    void zone(Zone&& zone) override {
        recorder.zone(Zone(zone));
        files.zone(std::move(zone));
    }
    OverlayFiles& files;
    Recorder& recorder;
};

struct Feature {
    std::map<std::string, std::string> properties; ///< as text; without those that are null
    std::vector<Rings> polygons;
    GridPoint point; ///< of a spot
    [[nodiscard]] double number(const std::string& name) const { return std::stod(properties.at(name)); }
    [[nodiscard]] Verdict verdict() const {
        return static_cast<Verdict>(std::stoi(properties.at("verdict")));
    }
};

Rings rings_of(const OGRPolygon& polygon) {
    Rings rings;
    for (const OGRLinearRing* line : polygon) {
        rings.emplace_back();
        for (int i = 0; i < line->getNumPoints(); ++i) {
            rings.back().push_back({line->getX(i), line->getY(i)});
        }
    }
    return rings;
}

std::vector<Feature> read(const std::string& file) {
    GDALAllRegister();
    const GDALDatasetUniquePtr data(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR));
    if (!data) throw std::runtime_error(file + " does not open");
    std::vector<Feature> features;
    for (const auto& feature : data->GetLayer(0)) {
        Feature& out = features.emplace_back();
        for (const auto& field : *feature) {
            if (!field.IsNull()) out.properties[field.GetName()] = field.GetAsString();
        }
        const OGRGeometry* const geometry = feature->GetGeometryRef();
        if (geometry == nullptr) continue;
        if (wkbFlatten(geometry->getGeometryType()) == wkbPoint) {
            out.point = {geometry->toPoint()->getX(), geometry->toPoint()->getY()};
        } else if (wkbFlatten(geometry->getGeometryType()) == wkbPolygon) {
            out.polygons.push_back(rings_of(*geometry->toPolygon()));
        } else {
            for (const OGRPolygon* part : *geometry->toMultiPolygon()) {
                out.polygons.push_back(rings_of(*part));
            }
        }
    }
    return features;
}

/// Rings in grid space. Their edges are straight in longitude and latitude, and so curves there: of each a
/// point every few metres.
Rings on_grid(const Rings& rings, const Georeference& georeference) {
    constexpr double step_deg = 4e-5;
    Rings out;
    for (const auto& ring : rings) {
        out.emplace_back();
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            const double parallel = std::cos(a.y * std::numbers::pi / 180);
            const int pieces = 1 + static_cast<int>(std::hypot((b.x - a.x) * parallel, b.y - a.y) / step_deg);
            for (int piece = 0; piece < pieces; ++piece) {
                const double t = static_cast<double>(piece) / pieces;
                out.back().push_back(georeference.grid_point({a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)}));
            }
        }
        out.back().push_back(out.back().front());
    }
    return out;
}

/// The same sea in another place.
void move(OverlayScene& scene, Grid to, const std::string& crs) {
    to.crs_wkt = horizontal_crs_wkt(crs, "scene");
    const Window all = scene.depths->grid().extent();
    DepthPlanes planes;
    scene.depths->read(all, planes);
    std::vector<float> depth_m(planes.shoal_m.data(), planes.shoal_m.data() + planes.shoal_m.size());
    scene.depths = memory_bathymetry(to, std::move(depth_m), DepthUncertainty::none());
    scene.metric = ground_metric(to, "scene");
    std::vector<Hazard> hazards(scene.hazards->hazards().begin(), scene.hazards->hazards().end());
    scene.hazards = std::make_unique<HazardField>(std::move(hazards), all, scene.metric);
}
/// In degrees at a high latitude, where cells are longer than wide.
void move_to_degrees(OverlayScene& scene, double latitude) {
    const Window all = scene.depths->grid().extent();
    const double step_deg = scene.metric.at(0).dx_m / 111'320;
    move(scene, {all.cols, all.rows, 11.5, latitude, 1.3 * step_deg, -step_deg, {}}, "EPSG:4326");
}
/// In large cells far north and far from the middle of a zone of UTM: an edge of the grid is far from
/// straight in longitude and latitude there.
void move_to_arctic(OverlayScene& scene) {
    const Window all = scene.depths->grid().extent();
    move(scene, {all.cols, all.rows, 560'000, 9'100'000, 40, -40, {}}, "EPSG:32633");
}

/// In large cells some kilometres from the North Pole, where a metre may bend farther than what is given
/// away.
void move_to_pole(OverlayScene& scene) {
    const Window all = scene.depths->grid().extent();
    move(scene, {all.cols, all.rows, 1500, -1200, 40, -40, {}}, "EPSG:3995");
}

/// The union of the cells of a verdict.
Geometry cells_of(const Geos& geos, const Recorder& said, Verdict verdict) {
    std::vector<Geometry> squares;
    const Window all = said.all.core;
    for (int row = all.row; row < all.row_end(); ++row) {
        for (int col = all.col; col < all.col_end(); ++col) {
            if (said.all.plane<Layer::verdict>().at(col, row) == static_cast<std::uint8_t>(verdict)) {
                squares.push_back(polygon(geos, {box(col, row, 1, 1)}));
            }
        }
    }
    return united(geos, std::move(squares));
}

/// How far the centre of a position's cell is from the outline of a zone, by GEOS, holes too: by the size of
/// the cells of its row.
double inner_m(const Geos& geos, const Zone& zone, GridPoint position, const Georeference& georeference,
               const GroundMetric& metric) {
    const GridPoint on_grid = georeference.grid_point({position.x, position.y});
    const CellSize size = metric.at(static_cast<int>(on_grid.y));
    const Geometry at =
        point(geos, {(std::floor(on_grid.x) + 0.5) * size.dx_m, (std::floor(on_grid.y) + 0.5) * size.dy_m});
    double least_m = std::numeric_limits<double>::infinity();
    for (auto ring : zone.rings) {
        for (GridPoint& corner : ring) {
            corner = {corner.x * size.dx_m, corner.y * size.dy_m};
        }
        double distance_m = 0;
        if (GEOSDistance_r(geos.get(), at.get(), line(geos, ring).get(), &distance_m) != 1) geos.fail();
        least_m = std::min(least_m, distance_m);
    }
    return least_m;
}

/// What the columns of the best places say, against the outlines that the run traced.
void check_places(const Geos& geos, const std::vector<const Zone*>& traced, const std::vector<Feature>& zones,
                  const std::vector<Feature>& spots, const Georeference& georeference,
                  const GroundMetric& metric) {
    // Rows of a scene differ by less than this in size, which a distance takes the safe way.
    constexpr double rows_differ = 0.01, printed_m = 0.1 + 1e-6;
    for (std::size_t i = 0; i < zones.size(); ++i) {
        const GridPoint best{zones[i].number("best_longitude"), zones[i].number("best_latitude")};
        const double exact_m = inner_m(geos, *traced[i], best, georeference, metric),
                     said_m = zones[i].number("best_inner_distance_m");
        ASSERT_LE(said_m, exact_m + 1e-6) << "zone " << i;
        ASSERT_GE(said_m, exact_m * (1 - rows_differ) - printed_m) << "zone " << i;
    }
    const CellSize cell = metric.least();
    const double seam_m = std::max(cell.dx_m, cell.dy_m) * (1 - rows_differ) - printed_m;
    std::map<Verdict, int> of_verdict, of_seams;
    std::vector<std::size_t> zone_of;
    for (std::size_t i = 0; i < spots.size(); ++i) {
        const Feature& spot = spots[i];
        ++of_verdict[spot.verdict()];
        if (spot.number("inner_distance_m") < seam_m) ++of_seams[spot.verdict()];
        ASSERT_EQ(spot.number("rank"), static_cast<double>(i + 1));
        ASSERT_EQ(spot.properties.at("name").substr(3), (i < 9 ? "0" : "") + std::to_string(i + 1));
        ASSERT_FALSE(spot.properties.contains("band_admitted")) << "a plain yes";
        const double said_m = spot.number("inner_distance_m");
        if (i > 0) { // no sliver before a broad zone of the same verdict, no seam before any broad one
            const auto key = [&](const Feature& of) {
                return std::pair(of.number("inner_distance_m") < seam_m, rank_of(of.verdict()));
            };
            ASSERT_LE(key(spots[i - 1]), key(spot));
            if (spots[i - 1].verdict() == spot.verdict()) {
                ASSERT_GE(spots[i - 1].number("inner_distance_m"), said_m);
            }
        }
        // In some zone of its verdict it is so far inside.
        double exact_m = 0;
        zone_of.push_back(zones.size());
        for (std::size_t k = 0; k < zones.size(); ++k) {
            if (zones[k].verdict() != spot.verdict()) continue;
            const GridPoint at = georeference.grid_point({spot.point.x, spot.point.y});
            if (!covers_cell(traced[k]->rings, static_cast<int>(at.x), static_cast<int>(at.y))) continue;
            exact_m = inner_m(geos, *traced[k], spot.point, georeference, metric);
            zone_of.back() = k;
        }
        ASSERT_LE(said_m, exact_m + 1e-6) << "spot " << i;
        ASSERT_GE(said_m, exact_m * (1 - rows_differ) - printed_m) << "spot " << i;
        for (std::size_t k = 0; k < i; ++k) {
            const double radius_m = std::max(spot.number("radius_m"), spots[k].number("radius_m"));
            const double apart_m =
                geodesic({spot.point.x, spot.point.y}, {spots[k].point.x, spots[k].point.y}).distance_m;
            ASSERT_GE(apart_m, radius_m - 0.02)
                << i << " in the circle of " << k << ", or the other way round";
            if (zone_of[i] != zone_of[k]) continue;
            ASSERT_GE(apart_m, std::max(2 * radius_m - 0.02, spots[k].number("inner_distance_m")))
                << i << " in the clear circle of " << k << ", a better one of the same zone";
        }
    }
    for (const auto& [verdict, seams] : of_seams) {
        ASSERT_EQ(seams, 1) << phrase(verdict);
        ASSERT_EQ(of_verdict[verdict], 1) << "a seam beside other places of " << phrase(verdict);
    }
}

struct Counts {
    int zones = 0, spots = 0, left_out = 0;
};
void check_run(std::uint64_t seed, Counts& total) {
    OverlayScene scene = random_overlay_scene(seed + 300, 70, 60);
    if (seed % 6 == 1) move_to_arctic(scene);
    if (seed % 6 == 4) move_to_pole(scene);
    if (seed % 3 == 2) move_to_degrees(scene, seed % 2 == 0 ? 69.5 : -77);
    OverlayJob job = scene.job();
    job.wanted = LayerSet::parse("verdict,zones,spots", "layers");
    const StayTide tide = sine_stay(1, 1, 0, 1500);
    if (seed % 2 == 0) job.tide = &tide;
    const Georeference georeference(job.depths->grid(), "scene");
    const ZoneStyle style{seed % 4 != 3, seed % 2 == 0 ? 0 : 60.0};
    const Scratch scratch;
    Recorder said(job.window);
    OverlayFiles files(scratch.path(), job, "scene", {}, {}, 50, style);
    Tee sink(files, said);
    run_overlay(job, sink, {});
    files.finish({});

    const Geos geos;
    std::map<Verdict, Geometry> yes;
    for (const Verdict verdict : {Verdict::sinker, Verdict::short_scope, Verdict::full}) {
        yes.emplace(verdict, cells_of(geos, said, verdict));
    }
    const std::vector<Feature> zones = read(scratch / "zones.geojson"),
                               spots = read(scratch / "spots.geojson");
    std::vector<Geometry> drawn;
    for (const Feature& zone : zones) {
        ASSERT_EQ(zone.polygons.size(), 1u);
        const Geometry where = polygon(geos, zone.polygons[0]),
                       on_cells = polygon(geos, on_grid(zone.polygons[0], georeference));
        ASSERT_TRUE(valid(geos, where));
        ASSERT_TRUE(valid(geos, on_cells));
        ASSERT_EQ(GEOSCovers_r(geos.get(), yes.at(zone.verdict()).get(), on_cells.get()), 1)
            << "zone " << drawn.size() << " leaves the cells of its verdict";
        ASSERT_EQ(
            GEOSContains_r(geos.get(), where.get(),
                           point(geos, {zone.number("best_longitude"), zone.number("best_latitude")}).get()),
            1);
        ASSERT_GE(zone.number("boats"), 1);
        ASSERT_GE(zone.number("area_m2") + 1, style.least_area_m2);
        drawn.push_back(own(geos, GEOSGeom_clone_r(geos.get(), where.get())));
    }
    for (const Feature& spot : spots) {
        const Geometry at = point(geos, spot.point);
        bool inside = false;
        for (std::size_t i = 0; i < zones.size(); ++i) {
            inside = inside || (zones[i].verdict() == spot.verdict() &&
                                GEOSContains_r(geos.get(), drawn[i].get(), at.get()) == 1);
        }
        ASSERT_TRUE(inside) << "a spot outside all zones of its verdict";
    }

    std::vector<const Zone*> traced;
    for (const Zone& zone : said.zones) {
        if (zone.area_m2 >= style.least_area_m2) traced.push_back(&zone);
    }
    for (std::size_t i = 0; i < zones.size(); ++i) {
        ASSERT_EQ(zones[i].properties.contains("level_needed_m"), job.tide != nullptr);
        if (job.tide == nullptr) continue;
        const auto level_m = double{traced.at(i)->figures.level_needed_max_m};
        ASSERT_GE(zones[i].number("level_needed_m"), level_m - 1e-4);
        ASSERT_LE(zones[i].number("level_needed_m"), level_m + 0.1);
    }
    const auto kept = static_cast<std::int64_t>(traced.size());
    ASSERT_EQ(static_cast<std::int64_t>(zones.size()), kept);
    ASSERT_EQ(files.zones_written(), kept);
    ASSERT_EQ(files.zones_dropped(), static_cast<std::int64_t>(said.zones.size()) - kept);
    ASSERT_EQ(spots.empty(), zones.empty());
    check_places(geos, traced, zones, spots, georeference, scene.metric);
    if (testing::Test::HasFatalFailure()) return;
    std::map<Verdict, std::int64_t> cells;
    for (std::size_t i = 0; i < said.all.plane<Layer::verdict>().size(); ++i) {
        ++cells[static_cast<Verdict>(said.all.plane<Layer::verdict>().data()[i])];
    }
    for (const Verdict verdict :
         {Verdict::unsurveyed, Verdict::no, Verdict::sinker, Verdict::short_scope, Verdict::full}) {
        ASSERT_EQ(files.cells_of(verdict), cells[verdict]) << phrase(verdict);
    }
    total.zones += static_cast<int>(zones.size());
    total.spots += static_cast<int>(spots.size());
    total.left_out += static_cast<int>(files.zones_dropped());
}

TEST(ZoneFiles, CoverYesCellsOnlyAndHoldTheirSpots) {
    Counts total;
    for (std::uint64_t seed = 0; seed < 36; ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        check_run(seed, total);
        if (HasFatalFailure()) return;
    }
    EXPECT_GT(total.zones, 200);
    EXPECT_GT(total.spots, 100);
    EXPECT_GT(total.left_out, 50);
}

// Where the metric is worst: degrees at a high latitude, and a zone over many rows.
TEST(ZoneBerths, CirclesDoNotOverlapByGeodesics) {
    Grid grid{900, 700, 20, 70.1, 1e-4, -5e-5, {}};
    grid.crs_wkt = horizontal_crs_wkt("EPSG:4326", "grid");
    const GroundMetric metric = ground_metric(grid, "grid");
    const Georeference georeference(grid, "grid");
    const double radius_m = 61.3;
    const auto found = berths({{{3, 3}, {880, 40}, {600, 690}, {30, 500}, {3, 3}}}, metric, radius_m);
    std::vector<LonLat> places;
    for (const GridCell cell : found) {
        places.push_back(georeference.lonlat({cell.col + 0.5, cell.row + 0.5}));
    }
    double least_m = 1e9;
    for (std::size_t i = 0; i < places.size(); ++i) {
        for (std::size_t k = 0; k < i; ++k) {
            least_m = std::min(least_m, geodesic(places[i], places[k]).distance_m);
        }
    }
    EXPECT_GE(least_m, 2 * radius_m);
    EXPECT_LE(least_m, 2 * radius_m * 1.01) << "nor timid";
    EXPECT_GT(found.size(), 300u);
}

} // namespace
} // namespace swingroom::testing_support
