#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support/scratch.hpp"
#include "support/warning_lines.hpp"

#include <cpl_error.h>
#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {

inline std::string wkt(int epsg) {
    OGRSpatialReference srs;
    srs.importFromEPSG(epsg);
    char* text = nullptr;
    srs.exportToWkt(&text);
    std::string out(text);
    CPLFree(text);
    return out;
}

/// 10 m cells about 60 N 15 E, on the central meridian of UTM zone 33.
inline Grid utm_grid(int cols = 400, int rows = 300) {
    return {cols, rows, 498000, 6653000, 10, -10, wkt(32633)};
}

inline HazardRule rule(const std::string& layers, double margin_m = 0, const std::string& where = "") {
    HazardRule r;
    r.name = "danger";
    r.layers = {layers};
    r.where = where;
    r.effects = effect::ground;
    r.margin_m = margin_m;
    r.line = 7;
    return r;
}

/// Files of hazards to be made and read; nothing of the libraries' may get through to stderr.
class HazardFiles : public testing::Test {
protected:
    void SetUp() override {
        GDALAllRegister();
        testing::internal::CaptureStderr();
    }
    void TearDown() override {
        EXPECT_EQ(testing::internal::GetCapturedStderr(), ""); // nothing of the libraries' gets through
    }
    [[nodiscard]] std::string path(const std::string& name) const { return scratch_ / name; }
    [[nodiscard]] std::vector<std::string> names() const { return scratch_.names(); }

    /// A file of one layer "things" with the given geometries; an empty text is a feature without one.
    std::string write(const std::string& name, const char* driver, int epsg,
                      const std::vector<std::string>& shapes, OGRwkbGeometryType type = wkbUnknown) {
        CPLPushErrorHandler(CPLQuietErrorHandler);
        const std::string file = path(name);
        OGRSpatialReference srs;
        if (epsg) srs.importFromEPSG(epsg);
        srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        GDALDatasetUniquePtr data(GetGDALDriverManager()->GetDriverByName(driver)->Create(
            file.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
        OGRLayer* layer = data->CreateLayer("things", epsg ? &srs : nullptr, type);
        OGRFieldDefn kind("kind", OFTString);
        EXPECT_EQ(layer->CreateField(&kind), OGRERR_NONE);
        for (std::size_t i = 0; i < shapes.size(); ++i) {
            OGRFeature feature(layer->GetLayerDefn());
            feature.SetField("kind", i % 2 ? "odd" : "even");
            OGRGeometry* geometry = nullptr;
            if (!shapes[i].empty()) {
                EXPECT_EQ(OGRGeometryFactory::createFromWkt(shapes[i].c_str(), nullptr, &geometry),
                          OGRERR_NONE);
            }
            feature.SetGeometryDirectly(geometry);
            EXPECT_EQ(layer->CreateFeature(&feature), OGRERR_NONE);
        }
        data.reset();
        CPLPopErrorHandler();
        return file;
    }

    static HazardSet read(const std::string& file, const HazardRule& r, const Grid& grid) {
        return read_hazards({file}, {r}, grid, ground_metric(grid, "raster"));
    }
    static std::string complaint(const std::string& file, const HazardRule& r,
                                 const Grid& grid = utm_grid()) {
        try {
            read(file, r, grid);
        } catch (const InputError& error) {
            return "input " + error.message().text(swingroom::marked);
        } catch (const IoError& error) {
            return std::string("io ") + error.what();
        }
        return "accepted";
    }
    static Plane<Effects> burnt(HazardSet set, const Grid& grid) {
        const HazardField field(std::move(set.hazards), grid.extent(), ground_metric(grid, "raster"));
        Plane<Effects> bits(grid.extent());
        field.burn(bits);
        return bits;
    }
    static double marked(const HazardSet& set, const Grid& grid) {
        const auto bits = burnt(set, grid);
        return static_cast<double>(std::count(bits.data(), bits.data() + bits.size(), effect::ground));
    }

private:
    Scratch scratch_;
};

} // namespace swingroom::testing_support
