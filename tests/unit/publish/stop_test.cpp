// Every phase of publishing ends soon after it was asked to, and leaves nothing half-made.
#include "swingroom/base/stop.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/report/report.hpp"

#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tiles.hpp"
#include "publish/vector/vector_formats.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_srs_api.h>

#include <csignal>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::ScratchFolder;

class Stopped : public ::testing::Test {
protected:
    ~Stopped() override { ask_to_stop(0); }

    /// Whether that notices that it was asked.
    template <class Phase>
    static bool ends(Phase phase) {
        ask_to_stop(SIGTERM);
        bool noticed = false;
        try {
            phase();
        } catch (const Interrupted& interrupted) {
            noticed = interrupted.signal == SIGTERM;
        }
        ask_to_stop(0);
        return noticed;
    }

    const Provenance provenance_;
    const ScratchFolder scratch_;
};

TEST_F(Stopped, RastersTilesAndTheReportEnd) {
    const Grid grid{1200, 1100, 5, 53, 1e-5, -1e-5, SRS_WKT_WGS84_LAT_LONG};
    const LayerSpec verdict = spec_of(Layer::verdict, {});
    const auto written = [&] {
        auto layer = std::make_unique<RasterLayer>(scratch_.path(), verdict, grid, provenance_, 2);
        layer->write(Plane<std::uint8_t>(grid.extent(), 4));
        return layer;
    };
    EXPECT_TRUE(ends([&, layer = written()] { layer->finish(); }));
    written()->finish();
    EXPECT_TRUE(ends([&] { write_tiles(scratch_.path(), {verdict}, grid, "made up", provenance_); }));
    EXPECT_TRUE(ends([&] { write_pages(scratch_.path(), {}, LayerSet::parse("report", "")); }));
    EXPECT_THAT(scratch_.names(), ::testing::ElementsAre("verdict.tif", "verdict.tif.aux.xml"));
}

TEST_F(Stopped, VectorsInEveryFormatAndTheFolderEnd) {
    {
        PendingFolder folder(scratch_.path() / "run", false);
        const std::vector<Property> columns{{"verdict", std::int64_t{4}}};
        VectorLayer spots(folder.working(), "spots", "", VectorLayer::Shape::point, columns, provenance_);
        EXPECT_TRUE(ends([&] { spots.add_point({5, 53}, columns); }));
        VectorLayer zones(folder.working(), "zones", "", VectorLayer::Shape::point, columns, provenance_);
        zones.add_point({5, 53}, columns);
        EXPECT_TRUE(ends([&] { zones.finish(); }));
        VectorLayer whole(folder.working(), "whole", "", VectorLayer::Shape::point, columns, provenance_);
        whole.add_point({5, 53}, columns);
        whole.finish();
        for (const Format format : {Format::gpkg, Format::flatgeobuf, Format::kml, Format::gpx}) {
            EXPECT_TRUE(ends([&] {
                write_in_formats(folder.working(), whole.finished(), format, {}, provenance_);
            })) << traits(format).name;
        }
        EXPECT_TRUE(ends([&] { digest_of_file((folder.working() / "whole.geojson").string()); }));
        EXPECT_TRUE(ends([&] { folder.commit(provenance_); }));
    }
    EXPECT_THAT(scratch_.names(), ::testing::IsEmpty());
}

} // namespace
} // namespace swingroom
