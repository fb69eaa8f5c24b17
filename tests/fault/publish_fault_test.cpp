// What happens when the disk fails at the first call that changes it, at the second, at the third ... until a
// run passes: each failure must be told, and must leave the final name as it was. The loop is the one by
// which databases are tested; here the guarded file system lets the calls fail, so no tracing rights are
// needed.
#include "swingroom/base/error.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/boats_files.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/water/uncertainty.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/raster/layer_specs.hpp"
#include "publish/raster/tiles.hpp"
#include "publish/styles/styles.hpp"
#include "publish/vector/derived_files.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_srs_api.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <sys/mount.h>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::bytes_of;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::put_file;
using testing::ScratchFolder;

struct NoFault {
    ~NoFault() { guarded::plan_fault({}); }
};

/// A small whole run: a class raster with names and overviews, a raster of floats, zones, one folder.
void publish_all(const fs::path& target, bool overwrite, float room_m) {
    const Provenance provenance{"wind = 20\n", {}, {{"draught", "1.9 m"}}};
    const Grid grid{700, 600, 5, 53, 1e-5, -1e-5, {}};
    PendingFolder folder(target, overwrite);

    LayerSpec verdict;
    verdict.name = "verdict";
    verdict.type = CellType::uint8;
    verdict.categories = {{0, "unsurveyed", {}}, {4, "full scope", {1, 102, 94, 255}}};
    RasterLayer verdicts(folder.working(), verdict, grid, provenance, 2);
    LayerSpec room;
    room.name = "hull_room";
    room.unit = "m";
    RasterLayer rooms(folder.working(), room, grid, provenance, 2);
    for (const Window& block : cut_into_blocks(grid.extent(), 256)) {
        verdicts.write(Plane<std::uint8_t>(block, 4));
        Plane<float> plane(block, room_m);
        plane.data()[0] = std::numeric_limits<float>::quiet_NaN();
        rooms.write(plane);
    }
    verdicts.finish();
    rooms.finish();

    const std::vector<Property> columns{{"area_m2", 0.0, 1}};
    VectorLayer zones(folder.working(), "zones", "Where to lie.", VectorLayer::Shape::polygon, columns,
                      provenance);
    const std::vector<std::vector<GridPoint>> square{{{5, 53}, {6, 53}, {6, 54}, {5, 54}, {5, 53}}};
    for (int i = 0; i < 2000; ++i) {
        zones.add_polygon(square, std::vector<Property>{{"area_m2", i * 0.1, 1}});
    }
    zones.finish();
    folder.commit(provenance);
}

/// The other formats and the styles: text, databases, an index that is made in a second file.
void publish_formats(const fs::path& target, bool overwrite, float room_m) {
    const Provenance provenance{"wind = 20\n", {}, {{"draught", "1.9 m"}}};
    const Grid grid{40, 30, 5, 53, 1e-4, -1e-4, SRS_WKT_WGS84_LAT_LONG};
    PendingFolder folder(target, overwrite);
    LayerSpec room = spec_of(Layer::hull_room, {});
    RasterLayer rooms(folder.working(), room, grid, provenance, 1);
    rooms.write(Plane<float>(grid.extent(), 20 * room_m));
    rooms.finish();
    write_tiles(folder.working(), {room}, grid, "made up", provenance);
    write_styles(folder.working(), room, true);

    const std::unique_ptr<DepthSource> depths =
        memory_bathymetry(grid, std::vector<float>(grid.extent().cells(), 5), DepthUncertainty::none());
    const GroundMetric metric = GroundMetric::uniform(grid.rows, 7, 11);
    SeaView sea;
    sea.depths = depths.get();
    sea.metric = &metric;
    sea.window = grid.extent();
    BoatsFiles of_boats(folder.working(), sea, {"one", "other"}, "made up", provenance, 1);
    of_boats.block(Plane<std::uint8_t>(grid.extent(), room_m > 1 ? 2 : 1));
    of_boats.finish({});

    VectorLayer spots(folder.working(), "spots", "Where to drop.", VectorLayer::Shape::point,
                      {{"verdict", std::int64_t{0}}, {"meaning", std::string{}}}, provenance);
    spots.add_point({5, 53},
                    std::vector<Property>{{"verdict", std::int64_t{4}}, {"meaning", std::string("yes")}});
    spots.finish();
    FormatSet formats = Format::geojson;
    for (const Format format : {Format::gpkg, Format::flatgeobuf, Format::kml, Format::gpx}) {
        formats.add(format);
    }
    derive_from(spots, folder.working(), formats, true, looks_by_verdict(true), provenance);
    folder.commit(provenance);
}

/// Folders that can be handed on by themselves within one, and a file over them.
void publish_boats(const fs::path& target, bool overwrite, float room_m) {
    const Provenance provenance{"wind = 20\n", {}, {{"draught", "1.9 m"}}};
    const Grid grid{40, 30, 5, 53, 1e-4, -1e-4, {}};
    const LayerSpec room = spec_of(Layer::hull_room, {});
    PendingFolder folder(target, overwrite);
    const auto put_layer = [&](const fs::path& into) {
        RasterLayer rooms(into, room, grid, provenance, 1);
        rooms.write(Plane<float>(grid.extent(), 20 * room_m));
        rooms.finish();
    };
    for (const char* const boat : {"ketch", "sloop"}) {
        put_layer(folder.make_inner(boat));
    }
    put_layer(folder.working());
    folder.commit(provenance, 1, {{"ketch", provenance}, {"sloop", provenance}});
}

struct Case {
    int error;
    bool lasting, overwrite;
    void (*publish)(const fs::path& target, bool overwrite, float room_m) = publish_all;
};

class EveryCallFails : public ::testing::TestWithParam<Case> {};

TEST_P(EveryCallFails, AndEachFailureIsToldAndLeavesTheTargetAsItWas) {
    const auto [error, lasting, overwrite, publish] = GetParam();
    const NoFault after;
    const ScratchFolder scratch;
    const fs::path target = scratch.path() / "run";
    if (overwrite) publish(target, false, 1);
    const std::string before = overwrite ? bytes_of(target / "manifest.json") : "";

    guarded::plan_fault({std::numeric_limits<std::int64_t>::max(), error, lasting});
    {
        const ScratchFolder elsewhere;
        publish(elsewhere.path() / "run", false, 2);
    }
    const std::int64_t calls = guarded::calls_since_fault_planned();
    ASSERT_GT(calls, 20);

    std::int64_t failed = 0;
    bool passed = false;
    for (std::int64_t at = 1; at <= 3 * calls && !passed; ++at) {
        SCOPED_TRACE("call " + std::to_string(at) + " of about " + std::to_string(calls));
        guarded::plan_fault({at, error, lasting});
        std::string told;
        try {
            publish(target, overwrite, 2);
            passed = true;
        } catch (const IoError& failure) {
            told = failure.what();
        }
        const bool reached = guarded::calls_since_fault_planned() >= at;
        guarded::plan_fault({});
        if (passed) {
            ASSERT_FALSE(reached) << "a failed call went unnoticed";
            break;
        }
        ++failed;
        ASSERT_EQ(told.find('\n'), std::string::npos) << told;
        ASSERT_NE(told.find(guarded::reason_of(error)), std::string::npos) << told;
        if (overwrite) {
            ASSERT_EQ(bytes_of(target / "manifest.json"), before);
            ASSERT_THAT(verify_folder(target), IsEmpty());
            ASSERT_THAT(scratch.names(), ElementsAre("run"));
        } else {
            ASSERT_THAT(scratch.names(), IsEmpty());
        }
    }
    EXPECT_TRUE(passed);
    EXPECT_GT(failed, 20);
    EXPECT_THAT(verify_folder(target), IsEmpty());
    EXPECT_THAT(scratch.names(), ElementsAre("run"));
    if (overwrite) {
        EXPECT_NE(bytes_of(target / "manifest.json"), before);
    }
}

INSTANTIATE_TEST_SUITE_P(Disk, EveryCallFails,
                         ::testing::Values(Case{ENOSPC, false, false}, Case{ENOSPC, true, false},
                                           Case{EIO, false, true}, Case{EIO, true, true}));
INSTANTIATE_TEST_SUITE_P(DiskUnderFormats, EveryCallFails,
                         ::testing::Values(Case{ENOSPC, true, false, publish_formats},
                                           Case{EIO, false, true, publish_formats}));
INSTANTIATE_TEST_SUITE_P(DiskUnderBoats, EveryCallFails,
                         ::testing::Values(Case{ENOSPC, false, false, publish_boats},
                                           Case{ENOSPC, true, true, publish_boats},
                                           Case{EIO, false, true, publish_boats}));

/// A run's folder with everything that is made from something else: tiles, the other formats, the report.
void publish_derived(const fs::path& target, bool overwrite, float /*room_m*/) {
    const Provenance provenance{"wind = 20\n", {}, {{"draught", "1.9 m"}}};
    const Grid grid{600, 520, 5, 53, 1e-5, -1e-5, SRS_WKT_WGS84_LAT_LONG};
    PendingFolder folder(target, overwrite);
    const LayerSpec verdict = spec_of(Layer::verdict, {});
    RasterLayer verdicts(folder.working(), verdict, grid, provenance, 1);
    for (const Window& block : cut_into_blocks(grid.extent(), 300)) {
        verdicts.write(Plane<std::uint8_t>(block, 4));
    }
    verdicts.finish();
    write_tiles(folder.working(), {verdict}, grid, "made up", provenance);

    const std::vector<Property> columns{{"verdict", std::int64_t{0}}, {"area_m2", 0.0, 1},
                                        {"radius_m", 0.0, 1},         {"best_longitude", 0.0, 6},
                                        {"best_latitude", 0.0, 6},    {"meaning", std::string{}}};
    const auto properties = [](int i) {
        return std::vector<Property>{{"verdict", std::int64_t{2 + i % 3}},
                                     {"area_m2", i * 0.1, 1},
                                     {"radius_m", 5.0, 1},
                                     {"best_longitude", 5 + 5e-5 * i, 6},
                                     {"best_latitude", 53 - 4e-5 * i, 6},
                                     {"meaning", "yes, here " + std::to_string(i)}};
    };
    ReportInput input;
    const auto finish = [&](VectorLayer& layer, FormatSet formats, const std::vector<FeatureLook>& looks) {
        layer.finish();
        derive_from(layer, folder.working(), formats, false, looks, provenance);
        input.vectors.push_back(layer.finished());
    };
    FormatSet formats = Format::geojson;
    for (const Format format : {Format::gpkg, Format::flatgeobuf, Format::kml}) {
        formats.add(format);
    }
    VectorLayer zones(folder.working(), "zones", "Where to lie.", VectorLayer::Shape::polygon, columns,
                      provenance);
    for (int i = 0; i < 100; ++i) {
        const double west = 5 + 5e-5 * i, north = 53 - 4e-5 * i, side = 3e-5;
        const std::vector<GridPoint> ring{{west, north - side},
                                          {west + side, north - side},
                                          {west + side, north},
                                          {west, north},
                                          {west, north - side}};
        zones.add_polygon({ring}, properties(i));
    }
    finish(zones, formats, looks_by_verdict(false));
    VectorLayer spots(folder.working(), "spots", "Where to drop.", VectorLayer::Shape::point, columns,
                      provenance);
    for (int i = 0; i < 40; ++i) {
        spots.add_point({5 + 1e-4 * i, 53 - 1e-4 * i}, properties(i));
    }
    formats.add(Format::gpx);
    finish(spots, formats, looks_by_verdict(true));
    write_pages(folder.working(), input, LayerSet::parse("report", ""));
    folder.commit(provenance);
}

/// Every file of a folder, by name.
std::map<std::string, std::string> files_of(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        files[entry.path().filename().string()] = bytes_of(entry.path());
    }
    return files;
}

// A run reads its own files again: to compare them, and to make others from them. A driver may take a failed
// read for the end of a file, or for a block that holds nothing.
TEST(EveryReadFails, AndTheFolderIsTheSameAsWithoutOrThereIsNone) {
    const NoFault after;
    const ScratchFolder scratch;
    const fs::path target = scratch.path() / "run";
    guarded::plan_fault({std::numeric_limits<std::int64_t>::max(), EIO, false, guarded::Calls::reads});
    publish_derived(target, false, 1);
    const std::int64_t calls = guarded::calls_since_fault_planned();
    ASSERT_GT(calls, 200);
    const auto whole = files_of(target);
    ASSERT_EQ(whole.size(), 14U);
    fs::remove_all(target);

    const char* const step_text = std::getenv("SWINGROOM_EVERY_READ");
    const std::int64_t step = step_text != nullptr ? 1 : std::max<std::int64_t>(1, calls / 40);
    std::int64_t told = 0, harmless = 0;
    for (std::int64_t at = 1; at <= calls; at += step) {
        SCOPED_TRACE("read " + std::to_string(at) + " of " + std::to_string(calls));
        guarded::plan_fault({at, EIO, false, guarded::Calls::reads});
        try {
            publish_derived(target, false, 1);
            ++harmless;
        } catch (const IoError& failure) {
            ++told;
            EXPECT_EQ(std::string(failure.what()).find('\n'), std::string::npos) << failure.what();
            guarded::plan_fault({});
            ASSERT_THAT(scratch.names(), IsEmpty());
            continue;
        }
        guarded::plan_fault({});
        const auto files = files_of(target);
        for (const auto& [name, bytes] : whole) {
            ASSERT_TRUE(files.contains(name) && files.at(name) == bytes) << name << " is another";
        }
        ASSERT_EQ(files.size(), whole.size());
        fs::remove_all(target);
    }
    RecordProperty("told", static_cast<int>(told));
    RecordProperty("harmless", static_cast<int>(harmless));
    std::printf("%d reads failed one by one, %d were told of, %d made no difference\n",
                static_cast<int>(told + harmless), static_cast<int>(told), static_cast<int>(harmless));
    EXPECT_GT(told, harmless);
}

TEST(FullDisk, IsToldAndNothingAppears) {
    const ScratchFolder scratch;
    if (::mount("none", scratch.path().c_str(), "tmpfs", 0, "size=256k") != 0) {
        GTEST_SKIP() << "needs the right to mount a small file system";
    }
    EXPECT_THROW(publish_all(scratch.path() / "run", false, 1), IoError);
    EXPECT_THAT(scratch.names(), IsEmpty());
    EXPECT_EQ(::umount(scratch.path().c_str()), 0);
}

TEST(BitRot, OneFlippedBitInAnyFileIsFound) {
    const ScratchFolder scratch;
    const fs::path target = scratch.path() / "run";
    publish_all(target, false, 1);
    ASSERT_THAT(verify_folder(target), IsEmpty());
    int files = 0;
    for (const auto& entry : fs::directory_iterator(target)) {
        const std::string whole = bytes_of(entry.path());
        std::string flipped = whole;
        const std::size_t at = whole.size() / 2;
        flipped[at] = static_cast<char>(flipped[at] ^ 1);
        put_file(entry.path(), flipped);
        // What a manifest that has changed says of other files may be wrong, too.
        const std::vector<std::string> found = verify_folder(target);
        EXPECT_EQ(std::count_if(found.begin(), found.end(),
                                [&](const std::string& line) {
                                    return line.starts_with(entry.path().filename().string() + ": ");
                                }),
                  1)
            << entry.path();
        EXPECT_TRUE(found.size() == 1 || entry.path().filename() == "manifest.json") << entry.path();
        put_file(entry.path(), whole);
        ++files;
    }
    EXPECT_EQ(files, 5) << "two rasters, the names of the classes, the zones, the manifest";
    EXPECT_THAT(verify_folder(target), IsEmpty());
}

} // namespace
} // namespace swingroom
