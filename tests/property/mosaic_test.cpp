// Rasters put together against an oracle that looks, for every cell of the output, at the area that it shares
// with every cell of the other raster: GDAL places the outline of the cell, GEOS takes the areas.

#include "swingroom/sea/bathymetry.hpp"

#include "support/drawing.hpp"
#include "support/geos.hpp"

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <cmath>
#include <cstdio>
#include <limits>
#include <memory>
#include <string>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr float unsurveyed = std::numeric_limits<float>::quiet_NaN();

std::string wkt_of(int epsg) {
    OGRSpatialReference crs;
    crs.importFromEPSG(epsg);
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    crs.exportToWkt(&text, options);
    std::string wkt = text;
    CPLFree(text);
    return wkt;
}

/// Two planes, by the numbers of GDAL's own transformation.
class Transformation {
public:
    Transformation(int from, int to) {
        OGRSpatialReference a, b;
        a.importFromEPSG(from);
        b.importFromEPSG(to);
        a.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        b.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        if (from != to) transformation_.reset(OGRCreateCoordinateTransformation(&a, &b));
    }
    [[nodiscard]] GridPoint operator()(GridPoint p) const {
        if (transformation_) transformation_->Transform(1, &p.x, &p.y);
        return p;
    }

private:
    std::unique_ptr<OGRCoordinateTransformation> transformation_;
};

/// Which planes two rasters lie in, and what their tie leaves open.
struct Planes {
    const char* name;
    int fine, coarse;
    GridPoint place; ///< in the fine one's plane, metres or degrees
    bool degrees = false;
    double turn = 0; ///< what the coarse raster's longitudes are off by
    double accuracy_m = 0;
};

const std::vector<Planes>& planes() {
    static const std::vector<Planes> all = {
        {"the same metres", 32631, 32631, {600'000, 5'900'000}},
        {"the same degrees", 4326, 4326, {3.2, 53.1}, true},
        {"degrees a turn apart", 4326, 4326, {179.9995, -17.5}, true, 360},
        {"degrees a turn apart, the other way", 4326, 4326, {-179.9995, -17.5}, true, -360},
        {"metres and degrees", 32631, 4326, {690'000, 5'900'000}},
        {"degrees and metres", 4326, 32631, {5.8, 60.1}, true},
        {"metres at the antimeridian and degrees beyond 180", 32601, 4326, {180'500, 8'000'000}, false, 360},
        {"neighbouring zones", 32631, 32632, {770'000, 6'900'000}},
        {"metres and the Mercator of the web", 32631, 3857, {450'000, 6'400'000}},
        {"two realizations of a datum", 32631, 25832, {700'000, 5'900'000}, false, 0, 1},
    };
    return all;
}

/// A raster of soundings with holes, around a place of its plane.
struct Raster {
    Grid grid;
    std::vector<float> depths;

    Raster(Dice& dice, int epsg, GridPoint around, GridPoint step, int cols, int rows) {
        grid = {cols,    rows,        around.x - step.x * cols / 2, around.y + step.y * rows / 2, step.x,
                -step.y, wkt_of(epsg)};
        if (dice.chance(0.3)) {
            grid.origin_y -= step.y * rows;
            grid.step_y = step.y;
        }
        const double holes = dice.chance(0.5) ? dice.between(0, 0.2) : 0;
        for (std::size_t i = 0; i < grid.extent().cells(); ++i) {
            depths.push_back(dice.chance(holes) ? unsurveyed : static_cast<float>(dice.between(-3, 40)));
        }
    }
    [[nodiscard]] float at(int col, int row) const {
        return depths[static_cast<std::size_t>(row) * static_cast<std::size_t>(grid.cols) +
                      static_cast<std::size_t>(col)];
    }
    [[nodiscard]] std::unique_ptr<DepthSource> source() const {
        return memory_bathymetry(grid, depths, DepthUncertainty::none());
    }
};

struct Span {
    float shoal_m = unsurveyed, deep_m = unsurveyed;
};

class Oracle {
public:
    Oracle(const Planes& of, const Raster& coarse) : of_(of), there_(of.fine, of.coarse), coarse_(coarse) {}

    /// A cell of a grid in the fine plane, in the coarse raster's cells.
    [[nodiscard]] Geometry cell_there(const Grid& grid, int col, int row) const {
        constexpr int steps = 6;
        std::vector<GridPoint> ring;
        const auto add = [&](double x, double y) {
            GridPoint p = there_({grid.x_of(col + x), grid.y_of(row + y)});
            const double middle = coarse_.grid.x_of(coarse_.grid.cols / 2.0);
            if (of_.turn != 0) p.x += 360 * std::round((middle - p.x) / 360);
            ring.push_back({coarse_.grid.col_of(p.x), coarse_.grid.row_of(p.y)});
        };
        for (int i = 0; i < steps; ++i) {
            add(static_cast<double>(i) / steps, 0);
        }
        for (int i = 0; i < steps; ++i) {
            add(1, static_cast<double>(i) / steps);
        }
        for (int i = 0; i < steps; ++i) {
            add(1 - static_cast<double>(i) / steps, 1);
        }
        for (int i = 0; i < steps; ++i) {
            add(0, 1 - static_cast<double>(i) / steps);
        }
        ring.push_back(ring.front());
        return polygon(geos_, {ring});
    }
    /// Of all cells, grown by so much, that share area with a shape; unsurveyed if one is, or is outside.
    [[nodiscard]] Span span(const Geometry& shape, double grown) const {
        double left = 0, low = 0, right = 0, high = 0;
        GEOSGeom_getXMin_r(geos_.get(), shape.get(), &left);
        GEOSGeom_getXMax_r(geos_.get(), shape.get(), &right);
        GEOSGeom_getYMin_r(geos_.get(), shape.get(), &low);
        GEOSGeom_getYMax_r(geos_.get(), shape.get(), &high);
        Span span{std::numeric_limits<float>::infinity(), -std::numeric_limits<float>::infinity()};
        for (int row = static_cast<int>(std::floor(low)) - 2; row < high + 2; ++row) {
            for (int col = static_cast<int>(std::floor(left)) - 2; col < right + 2; ++col) {
                const double x0 = col - grown, y0 = row - grown, x1 = col + 1 + grown, y1 = row + 1 + grown;
                const Geometry cell = polygon(geos_, {{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}});
                const Geometry shared = own(geos_, GEOSIntersection_r(geos_.get(), shape.get(), cell.get()));
                double area = 0;
                GEOSArea_r(geos_.get(), shared.get(), &area);
                if (area < 1e-7) continue;
                if (!coarse_.grid.extent().contains(col, row) || std::isnan(coarse_.at(col, row))) return {};
                span = {std::min(span.shoal_m, coarse_.at(col, row)),
                        std::max(span.deep_m, coarse_.at(col, row))};
            }
        }
        return span;
    }

private:
    const Planes& of_;
    Geos geos_;
    Transformation there_;
    const Raster& coarse_;
};

struct Tally {
    long filled = 0, exact = 0;
};

class Mosaics : public testing::TestWithParam<int> {};

TEST_P(Mosaics, AreNeverDeeperThanTheShoalestOfAllCellsTouchedAndNoMoreTimidThanTheTieIsUnsure) {
    const Planes& of = planes()[static_cast<std::size_t>(GetParam()) % planes().size()];
    Dice dice(static_cast<std::uint64_t>(GetParam()));
    SCOPED_TRACE(std::string(of.name) + ", seed " + std::to_string(GetParam()));
    constexpr double m_per_degree = 111'000;
    const auto step_in = [](double metres, bool degrees) { return degrees ? metres / m_per_degree : metres; };
    const bool coarse_degrees = of.coarse == 4326;
    const double fine_m = dice.between(5, 30);
    const Raster fine(dice, of.fine, of.place, {step_in(fine_m, of.degrees), step_in(fine_m, of.degrees)},
                      dice.chance(0.1) ? 250 : dice.whole(5, 20), dice.whole(5, 20));
    // Now and then a grid that fits the other's edges, as grids of one maker do.
    const bool fits = of.fine == of.coarse && of.turn == 0 && dice.chance(0.4);
    const double coarse_m = fits ? fine_m * dice.whole(2, 4) : fine_m * dice.between(2.2, 5);
    GridPoint place = Transformation(of.fine, of.coarse)(of.place);
    place.x += of.turn;
    const double off_m = fits ? coarse_m * dice.whole(-2, 2) : fine_m * dice.between(-15, 15);
    place.x += step_in(off_m, coarse_degrees);
    const Raster coarse(dice, of.coarse, place,
                        {step_in(coarse_m * (fits ? 1 : dice.between(1, 1.5)), coarse_degrees),
                         step_in(coarse_m, coarse_degrees)},
                        2 * dice.whole(2, 8), 2 * dice.whole(2, 8));

    std::vector<std::unique_ptr<DepthSource>> rasters;
    rasters.push_back(coarse.source());
    rasters.push_back(fine.source());
    const auto both = mosaic(std::move(rasters));
    const Grid& grid = both->grid();
    EXPECT_EQ(grid.step_x, fine.grid.step_x);
    EXPECT_EQ(grid.step_y, fine.grid.step_y);
    const double first_col = (fine.grid.origin_x - grid.origin_x) / grid.step_x,
                 first_row = (fine.grid.origin_y - grid.origin_y) / grid.step_y;
    ASSERT_NEAR(first_col, std::round(first_col), 1e-5);
    ASSERT_NEAR(first_row, std::round(first_row), 1e-5);
    DepthPlanes depths;
    both->read(grid.extent(), depths);

    const Oracle oracle(of, coarse);
    const double timid = 0.04 + 1.8 * of.accuracy_m / coarse_m;
    Tally tally;
    for (int row = 0; row < grid.rows; ++row) {
        for (int col = 0; col < grid.cols; ++col) {
            SCOPED_TRACE(std::to_string(col) + ' ' + std::to_string(row));
            const float shoal_m = depths.shoal_m.at(col, row), deep_m = depths.deep_m.at(col, row);
            const int number = depths.source.at(col, row);
            const int fine_col = col - static_cast<int>(std::round(first_col)),
                      fine_row = row - static_cast<int>(std::round(first_row));
            ASSERT_EQ(number == 0, std::isnan(shoal_m));
            if (fine.grid.extent().contains(fine_col, fine_row) && !std::isnan(fine.at(fine_col, fine_row))) {
                ASSERT_EQ(shoal_m, fine.at(fine_col, fine_row));
                ASSERT_EQ(deep_m, shoal_m);
                ASSERT_EQ(number, 1);
                continue;
            }
            const Geometry there = oracle.cell_there(grid, col, row);
            const Span touched = oracle.span(there, 0), near = oracle.span(there, timid);
            if (!std::isnan(near.shoal_m)) {
                ASSERT_EQ(number, 2);
                ASSERT_GE(shoal_m, near.shoal_m);
                ASSERT_LE(deep_m, near.deep_m);
            }
            if (std::isnan(touched.shoal_m)) {
                ASSERT_EQ(number, 0);
            } else if (number != 0) {
                ASSERT_LE(shoal_m, touched.shoal_m); // no false depth
                ASSERT_GE(deep_m, touched.deep_m);
                ++tally.filled;
                tally.exact += shoal_m == touched.shoal_m && deep_m == touched.deep_m ? 1 : 0;
            }
        }
    }
    RecordProperty("filled", std::to_string(tally.filled));
    if (of.fine == of.coarse) {
        EXPECT_EQ(tally.exact, tally.filled);
    }
    if (of.accuracy_m == 0) {
        EXPECT_GE(static_cast<double>(tally.exact), 0.9 * static_cast<double>(tally.filled));
    }

    // A cell does not depend on what is read with it.
    for (int i = 0; i < 5; ++i) {
        const Window part{dice.whole(-5, grid.cols - 1), dice.whole(-5, grid.rows - 1), dice.whole(1, 40),
                          dice.whole(1, 40)};
        DepthPlanes seen;
        both->read(part, seen);
        for (int row = part.row; row < part.row_end(); ++row) {
            for (int col = part.col; col < part.col_end(); ++col) {
                const bool inside = grid.extent().contains(col, row);
                const float expected = inside ? depths.shoal_m.at(col, row) : unsurveyed;
                ASSERT_TRUE(seen.shoal_m.at(col, row) == expected ||
                            (std::isnan(expected) && std::isnan(seen.shoal_m.at(col, row))));
                ASSERT_EQ(seen.source.at(col, row), inside ? depths.source.at(col, row) : 0);
            }
        }
    }
    // The grid holds all of the coarse raster.
    const Transformation back(of.coarse, of.fine);
    for (const double x : {0.0, 1.0}) {
        for (const double y : {0.0, 1.0}) {
            GridPoint corner =
                back({coarse.grid.x_of(x * coarse.grid.cols) - (of.coarse == of.fine ? of.turn : 0),
                      coarse.grid.y_of(y * coarse.grid.rows)});
            if (of.degrees) corner.x += 360 * std::round((fine.grid.origin_x - corner.x) / 360);
            EXPECT_GE(grid.col_of(corner.x), -1e-4);
            EXPECT_LE(grid.col_of(corner.x), grid.cols + 1e-4);
            EXPECT_GE(grid.row_of(corner.y), -1e-4);
            EXPECT_LE(grid.row_of(corner.y), grid.rows + 1e-4);
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Scenes, Mosaics, testing::Range(0, 100));

} // namespace
} // namespace swingroom::testing_support
