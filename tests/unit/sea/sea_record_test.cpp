// A sea that the parts of a run have recorded answers as the sea of the files does: that one is the reference
// for all of it, asked for the windows of the whole run.

#include "swingroom/base/error.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/report/spot_report.hpp"
#include "swingroom/sea/sea_record.hpp"

#include "made_raster.hpp"
#include "sea/record/passed_values.hpp"
#include "support/boats.hpp"
#include "support/drawing.hpp"
#include "support/warning_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;
using testing::AllOf;
using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string cells = SWINGROOM_TESTDATA "/cells/";
const std::string haven = SWINGROOM_TESTDATA "/haven/";

BathymetryRequest haven_raster() {
    BathymetryRequest raster = heights(haven + "bathymetry.tif");
    raster.uncertainty = DepthUncertainty::parse("0.2", "test");
    return raster;
}

SeaRequest raster_and_hazards() {
    SeaRequest request;
    request.bathymetry = {haven_raster()};
    request.hazards = {haven + "cables.geojson",   haven + "rocks.geojson",  haven + "wrecks.geojson",
                       haven + "moorings.geojson", haven + "seabed.geojson", haven + "fairways.geojson"};
    request.rules = read_hazard_rules_file(haven + "haven.rules");
    return request;
}
SeaRequest charts_alone() {
    SeaRequest request;
    request.charts = {cells + "QQ5HAVEN.000", cells + "QQ3APPRO.000"};
    request.rules = default_hazard_rules();
    return request;
}
SeaRequest charts_over_raster() {
    SeaRequest request = charts_alone();
    request.bathymetry = {haven_raster()};
    request.hazards = {haven + "cables.geojson"};
    request.zone_margin = true;
    return request;
}
SeaRequest charts_over_survey() {
    SeaRequest request = charts_over_raster();
    request.bathymetry.front().survey = true;
    return request;
}

/// A raster whose depths are drawn by dice, with holes.
std::string made_raster(const Scratch& folder, const std::string& name, const std::string& crs, int cols,
                        int rows, std::array<double, 6> transform) {
    Dice dice(static_cast<std::uint64_t>(cols) * 31 + static_cast<std::uint64_t>(rows));
    Made made{.cols = cols, .rows = rows, .values = {}, .crs = crs, .transform = transform, .nodata = -9999};
    for (int i = 0; i < cols * rows; ++i) {
        made.values.push_back(dice.chance(0.03) ? -9999 : std::round(dice.between(-18, 1) * 10) / 10);
    }
    write(made, folder / name);
    return folder / name;
}
/// A line and a point across the middle of a place, in degrees.
std::string made_hazards(const Scratch& folder, const std::string& name, double lon, double lat) {
    const auto place = [](double x, double y) {
        return "[" + std::to_string(x) + "," + std::to_string(y) + "]";
    };
    std::ofstream(folder / name)
        << R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"OBJNAM":"line"},)"
        << R"("geometry":{"type":"LineString","coordinates":[)" << place(lon - 0.004, lat - 0.002) << ","
        << place(lon + 0.003, lat + 0.001) << R"(]}},{"type":"Feature","properties":{"OBJNAM":"far"},)"
        << R"("geometry":{"type":"Point","coordinates":)" << place(lon + 5, lat + 3)
        << R"(}},{"type":"Feature","properties":{"OBJNAM":"rock"},"geometry":{"type":"Point","coordinates":)"
        << place(lon + 0.0011, lat - 0.0007) << "}}]}";
    return folder / name;
}
SeaRequest of_rasters(const std::vector<std::string>& files, std::vector<std::string> hazards) {
    SeaRequest request;
    for (const std::string& file : files) {
        request.bathymetry.push_back(heights(file));
    }
    request.hazards = std::move(hazards);
    HazardRule rule;
    rule.name = "any";
    rule.layers = {"*"};
    rule.effects = effect::hull | effect::ground;
    rule.margin_m = 60;
    request.rules = {rule};
    return request;
}

// Every member of a hazard by itself: were one forgotten in what is recorded, this would show it.
void expect_same(const Hazard& a, const Hazard& b) {
    EXPECT_EQ(a.margin_m, b.margin_m);
    EXPECT_EQ(a.placement_allowance_m, b.placement_allowance_m);
    EXPECT_EQ(a.paths, b.paths);
    EXPECT_EQ(a.rings, b.rings);
    EXPECT_EQ(a.effects, b.effects);
    EXPECT_EQ(a.seabed, b.seabed);
    EXPECT_EQ(a.least_depth_m, b.least_depth_m);
    EXPECT_EQ(a.clearance_m, b.clearance_m);
    EXPECT_EQ(a.position_m, b.position_m);
    EXPECT_EQ(a.under_way_m, b.under_way_m);
    EXPECT_EQ(a.kind, b.kind);
    EXPECT_EQ(a.label, b.label);
    EXPECT_EQ(a.called, b.called);
    EXPECT_EQ(a.information, b.information);
    EXPECT_EQ(a.nature, b.nature);
}

template <class T>
std::vector<std::uint8_t> as_bytes(const T& value) {
    ByteWriter to;
    pass(to, value);
    return to.all();
}

template <class T>
bool same_bits(const Plane<T>& a, const Plane<T>& b) {
    if (!(a.window() == b.window())) return false;
    for (std::size_t i = 0; i < a.size(); ++i) {
        if constexpr (std::is_same_v<T, float>) {
            if (std::bit_cast<std::uint32_t>(a.data()[i]) != std::bit_cast<std::uint32_t>(b.data()[i])) {
                return false;
            }
        } else if (!(a.data()[i] == b.data()[i])) {
            return false;
        }
    }
    return true;
}

void expect_same_depths(const DepthSource& ours, const DepthSource& theirs, Window window) {
    DepthPlanes here, there;
    ours.read(window, here);
    theirs.read(window, there);
    for (int with_parts = 0; with_parts < 2; ++with_parts) {
        SCOPED_TRACE(with_parts != 0 ? "with parts" : "read");
        EXPECT_TRUE(same_bits(here.shoal_m, there.shoal_m));
        EXPECT_TRUE(same_bits(here.deep_m, there.deep_m));
        EXPECT_TRUE(same_bits(here.source, there.source));
        EXPECT_TRUE(same_bits(here.banded, there.banded));
        EXPECT_TRUE(same_bits(here.differs, there.differs));
        EXPECT_TRUE(same_bits(here.partial, there.partial));
        EXPECT_TRUE(same_bits(here.joined, there.joined));
        ours.read_with_parts(window, here);
        theirs.read_with_parts(window, there);
    }
}

void expect_same_part(const Sea& ours, const Sea& theirs, Window window, double reach_m) {
    const SeaPart here = ours.part(window, reach_m), there = theirs.part(window, reach_m);
    const Window inside = common(window, theirs.grid().extent());
    expect_same_depths(*here.depths, *there.depths, inside);
    expect_same_depths(*here.depths, *there.depths,
                       {inside.col + inside.cols / 3, inside.row + inside.rows / 2, 7, 5});
    EXPECT_EQ(as_bytes(here.depths->grid()), as_bytes(there.depths->grid()));
    EXPECT_EQ(here.depths->greatest_uncertainty_m(), there.depths->greatest_uncertainty_m());
    EXPECT_EQ(as_bytes(here.depths->assumptions()), as_bytes(there.depths->assumptions()));
    EXPECT_EQ(told_all(here.depths->doubts()), told_all(there.depths->doubts()));
    EXPECT_EQ(here.depths->files(), there.depths->files());
    EXPECT_EQ(here.depths->sources(), there.depths->sources());
    EXPECT_EQ(as_bytes(here.depths->survey_terms()), as_bytes(there.depths->survey_terms()));

    EXPECT_EQ(here.found.files, there.found.files);
    EXPECT_EQ(told_all(here.found.warnings), told_all(there.found.warnings));
    EXPECT_EQ(here.found.notes, there.found.notes);
    EXPECT_EQ(as_bytes(here.found.allowed), as_bytes(there.found.allowed));
    EXPECT_EQ(as_bytes(here.found.counts), as_bytes(there.found.counts));
    const std::vector<Hazard>&our_hazards = here.hazards->hazards(),
          &their_hazards = there.hazards->hazards();
    ASSERT_EQ(our_hazards.size(), their_hazards.size());
    EXPECT_FALSE(their_hazards.empty()) << "nothing is compared";
    for (std::size_t i = 0; i < our_hazards.size(); ++i) {
        SCOPED_TRACE("hazard " + std::to_string(i));
        expect_same(our_hazards[i], their_hazards[i]);
        if (testing::Test::HasFailure()) return;
    }
    EXPECT_EQ(here.hazards->within(), there.hazards->within());
    Plane<Effects> our_effects(inside, 0), their_effects(inside, 0);
    here.hazards->burn(our_effects);
    there.hazards->burn(their_effects);
    EXPECT_TRUE(same_bits(our_effects, their_effects));
    Plane<SeabedSet> our_ground(inside, SeabedSet(Seabed::unknown)),
        their_ground(inside, SeabedSet(Seabed::unknown));
    here.hazards->burn_seabeds(our_ground);
    there.hazards->burn_seabeds(their_ground);
    EXPECT_TRUE(same_bits(our_ground, their_ground));
}

std::string told(const ExpectedDepth& expected) {
    std::string text;
    for (const ChartedArea& area : expected.areas) {
        text += area.label + ' ' + std::to_string(area.from_m) + ' ' +
                std::to_string(area.to_m.value_or(-1)) + '\n';
    }
    ByteWriter figures;
    if (expected.soundings > 0) {
        pass_all(figures, expected.least_m, expected.greatest_m, expected.nearest.depth_m,
                 expected.nearest.distance_m, expected.nearest.bearing_deg);
    }
    if (expected.doubtful > 0) pass(figures, expected.doubtful_least_m);
    return text + std::to_string(expected.soundings) + ' ' + std::to_string(expected.doubtful) + ' ' +
           std::string(figures.all().begin(), figures.all().end());
}

/// What a boat is told at cells of a window.
std::vector<std::string> looked_at(const Sea& sea, const AskedOfSea& asked, Window window) {
    const SeaPart part = sea.part(asked.window, asked.reach_m);
    const Conditions conditions{.water = {.low_m = 0.4, .high_m = 2.1}, .wind_kn = 14};
    const TackleTables tables(read_trial_boat(trial_boats()[1]), conditions, sea.greatest_uncertainty_m());
    OverlayJob job;
    job.depths = part.depths.get();
    job.metric = &sea.metric();
    job.hazards = part.hazards.get();
    job.charted = &sea.charted();
    job.tables = &tables;
    job.window = window;
    Dice dice(5);
    std::vector<std::string> seen;
    for (int i = 0; i < 50; ++i) {
        const GridPoint at{dice.between(window.col, window.col_end()),
                           dice.between(window.row, window.row_end())};
        seen.push_back(spot_json(spot_report(job, sea.georeference(), sea.georeference().lonlat(at))));
    }
    return seen;
}

/// Records a sea in parts, each from a sea of its own, and opens it.
struct Shared {
    Shared(const SeaRequest& request, const AskedOfSea& asked, int parts, int tile_cells) {
        for (int part = 1; part <= parts; ++part) {
            folders.push_back(scratch.path() / std::to_string(part));
            fs::create_directory(folders.back());
            const Sea sea(request);
            const SeaShare share{part, parts, tile_cells, part % 3 + 1};
            if (part % 2 == 0) { // its hazards are known already
                const SeaPart of_run = sea.part(asked.window, asked.reach_m);
                record_sea(sea, asked, share, folders.back(), &of_run);
            } else {
                record_sea(sea, asked, share, folders.back());
            }
        }
    }
    Scratch scratch;
    std::vector<fs::path> folders;
};

/// @param window  of the run; the halo comes to it
void expect_as_one(const SeaRequest& request, Window window, int halo, double reach_m, int tile_cells,
                   bool all_of_grid = false) {
    const Sea direct(request);
    const AskedOfSea asked{grown(window, halo), reach_m, all_of_grid, window, {LengthUnit::foot, {}}};
    const std::vector<std::string> seen = looked_at(direct, asked, window);
    for (const int parts : {1, 3, 7}) {
        SCOPED_TRACE(std::to_string(parts) + " parts");
        const Shared shared(request, asked, parts, tile_cells);
        std::vector<fs::path> in_any_order = shared.folders;
        std::reverse(in_any_order.begin(), in_any_order.end());
        const RecordedSea recorded = open_recorded_sea(in_any_order);
        const Sea& sea = recorded.sea;
        EXPECT_EQ(as_bytes(sea.grid()), as_bytes(direct.grid()));
        EXPECT_EQ(sea.source(), direct.source());
        EXPECT_EQ(sea.sources(), direct.sources());
        EXPECT_EQ(sea.depth_files(), direct.depth_files());
        EXPECT_EQ(as_bytes(sea.rules()), as_bytes(direct.rules()));
        EXPECT_EQ(sea.greatest_uncertainty_m(), direct.greatest_uncertainty_m());
        EXPECT_EQ(recorded.asked.window, asked.window);
        expect_same_part(sea, direct, asked.window, reach_m);
        if (all_of_grid) expect_same_part(sea, direct, direct.grid().extent(), reach_m);
        if (testing::Test::HasFailure()) return;
        EXPECT_EQ(sea.place_names(window), direct.place_names(window));
        EXPECT_EQ(as_bytes(sea.inspections(asked.measures)), as_bytes(direct.inspections(asked.measures)));
        Dice dice(9);
        for (int i = 0; i < 200; ++i) {
            const int col = dice.whole(window.col, window.col_end() - 1),
                      row = dice.whole(window.row, window.row_end() - 1);
            const std::vector<LonLat> outline = outline_of(direct.georeference(), col, row);
            const LonLat from = direct.georeference().lonlat({col + 0.5, row + 0.5});
            ASSERT_EQ(told(sea.charted().expected(outline, from)),
                      told(direct.charted().expected(outline, from)))
                << col << ' ' << row;
        }
        EXPECT_EQ(looked_at(sea, asked, window), seen);
        if (testing::Test::HasFailure()) return;
    }
}

Window extent_of(const SeaRequest& request) { return Sea(request).grid().extent(); }
/// A stretch off the middle of a grid.
Window middle_of(const SeaRequest& request) {
    const Window all = extent_of(request);
    return {all.cols / 4, all.rows / 3, all.cols / 3, all.rows / 4};
}

TEST(SeaRecord, OfARasterAndHazardsAnswersAsTheFiles) {
    expect_as_one(raster_and_hazards(), extent_of(raster_and_hazards()), 40, 1852, 64);
}
TEST(SeaRecord, OfAWindowAnswersAsTheFiles) {
    expect_as_one(raster_and_hazards(), middle_of(raster_and_hazards()), 31, 120, 32);
}
TEST(SeaRecord, OfAWindowAndAllOfTheGridAnswersAsTheFiles) {
    expect_as_one(raster_and_hazards(), middle_of(raster_and_hazards()), 20, 300, 64, true);
}
TEST(SeaRecord, OfChartsAnswersAsTheFiles) {
    expect_as_one(charts_alone(), extent_of(charts_alone()), 30, 1852, 128);
}
TEST(SeaRecord, OfAWindowOfChartsAnswersAsTheFiles) {
    expect_as_one(charts_alone(), middle_of(charts_alone()), 20, 700, 96);
}
TEST(SeaRecord, OfAWindowOfChartsAndAllOfTheirGridAnswersAsTheFiles) {
    expect_as_one(charts_alone(), middle_of(charts_alone()), 20, 200, 128, true);
}
TEST(SeaRecord, OfChartsOverARasterAnswersAsTheFiles) {
    expect_as_one(charts_over_raster(), middle_of(charts_over_raster()), 40, 1852, 64);
}
TEST(SeaRecord, OfChartsOverASurveyAnswersAsTheFiles) {
    expect_as_one(charts_over_survey(), extent_of(charts_over_survey()), 40, 1852, 128);
}

TEST(SeaRecord, OfSeveralRastersAnswersAsTheFiles) {
    const Scratch folder;
    const std::string fine = made_raster(folder, "fine.tif", "EPSG:32631", 60, 50,
                                         {600'000, 10, 0, 5'900'000, 0, -10}),
                      coarse = made_raster(folder, "coarse.tif", "EPSG:32631", 40, 45,
                                           {599'600, 33, 0, 5'900'400, 0, -33}),
                      degrees = made_raster(folder, "degrees.tif", "EPSG:4326", 90, 80,
                                            {4.47, 0.0005, 0, 53.255, 0, -0.0004});
    const std::string hazards = made_hazards(folder, "dangers.geojson", 4.5, 53.24);
    const SeaRequest request = of_rasters({fine, coarse, degrees}, {hazards});
    expect_as_one(request, middle_of(request), 9, 80, 16, true);
}

TEST(SeaRecord, OfARasterInDegreesAnswersAsTheFiles) {
    const Scratch folder;
    const std::string raster =
        made_raster(folder, "degrees.tif", "EPSG:4326", 70, 60, {7.99, 0.0003, 0, 63.01, 0, -0.0002});
    const SeaRequest request = of_rasters({raster}, {made_hazards(folder, "dangers.geojson", 8, 63)});
    expect_as_one(request, middle_of(request), 12, 60, 16);
}

TEST(SeaRecord, Across180AnswersAsTheFiles) {
    const Scratch folder;
    const std::string raster =
        made_raster(folder, "across.tif", "EPSG:4326", 70, 60, {179.99, 0.0003, 0, -16.99, 0, -0.0003});
    const SeaRequest request = of_rasters({raster}, {made_hazards(folder, "west.geojson", -180, -17),
                                                     made_hazards(folder, "east.geojson", 180, -17)});
    expect_as_one(request, middle_of(request), 12, 60, 16);
}

// One tile: most of the parts have none.
TEST(SeaRecord, OfASouthUpRasterAnswersAsTheFiles) {
    const Scratch folder;
    const std::string raster =
        made_raster(folder, "up.tif", "EPSG:32631", 60, 50, {600'000, 10, 0, 5'900'000, 0, 10});
    const SeaRequest request =
        of_rasters({raster}, {made_hazards(folder, "dangers.geojson", 4.5035, 53.2425)});
    expect_as_one(request, extent_of(request), 10, 90, 512);
}

/// Levels as parts have recorded them, against those of the files.
TEST(SeaRecord, OfLevelsAnswersAsTheFiles) {
    const Scratch folder;
    Dice dice(3);
    Made low{.cols = 40,
             .rows = 30,
             .values = {},
             .crs = "EPSG:4326",
             .transform = std::array<double, 6>{4.48, 0.003, 0, 53.27, 0, -0.002}};
    for (int i = 0; i < low.cols * low.rows; ++i) {
        low.values.push_back(dice.between(-0.5, 0.4));
    }
    Made high = low;
    for (double& level_m : high.values) {
        level_m += dice.between(1.5, 2.5);
    }
    write(low, folder / "low.tif");
    write(high, folder / "high.tif");
    const Grid grid{60, 50, 600'000, 5'900'000, 10, -10, horizontal_crs_wkt("EPSG:32631", "test")};
    const std::vector<LevelsRequest> requests = {{{0, folder / "low.tif"}, {0, folder / "high.tif"}},
                                                 {{0, folder / "low.tif"}, {2.9, ""}},
                                                 {{-0.7, ""}, {0, folder / "high.tif"}}};
    for (const LevelsRequest& request : requests) {
        const StayLevels direct = open_levels(request, grid, "the grid");
        for (const int parts : {1, 3, 7}) {
            const Scratch kept;
            std::vector<fs::path> folders;
            for (int part = 1; part <= parts; ++part) {
                folders.push_back(kept.path() / std::to_string(part));
                fs::create_directory(folders.back());
                record_levels(request, grid, "the grid", {part, parts, 8, 1}, folders.back());
            }
            const StayLevels recorded = open_recorded_levels(folders, request, grid, "the grid");
            EXPECT_EQ(recorded.reference(1.5).low_m, direct.reference(1.5).low_m);
            EXPECT_EQ(recorded.reference(1.5).high_m, direct.reference(1.5).high_m);
            EXPECT_EQ(recorded.reference(1.5).clearance_datum_m, direct.reference(1.5).clearance_datum_m);
            EXPECT_EQ(recorded.greatest_high_m(), direct.greatest_high_m());
            EXPECT_EQ(recorded.greatest_excess_m(), direct.greatest_excess_m());
            EXPECT_EQ(as_bytes(recorded.facts()), as_bytes(direct.facts()));
            EXPECT_EQ(recorded.files(), direct.files());
            DepthPlanes ours, theirs;
            for (DepthPlanes* const depths : {&ours, &theirs}) {
                depths->shoal_m.reset(grid.extent(), 4.125F);
                depths->deep_m.reset(grid.extent(), 4.375F);
            }
            LevelPlanes our_levels, their_levels;
            recorded.shift(ours, our_levels);
            direct.shift(theirs, their_levels);
            EXPECT_TRUE(same_bits(ours.shoal_m, theirs.shoal_m));
            EXPECT_TRUE(same_bits(ours.deep_m, theirs.deep_m));
            EXPECT_TRUE(same_bits(our_levels.rise_m, their_levels.rise_m));
            EXPECT_TRUE(same_bits(our_levels.excess_m, their_levels.excess_m));
        }
    }
}

class SeaRecordFiles : public testing::Test {
protected:
    /// What opening says, and reading all that was asked for.
    static std::string complaint(const std::vector<fs::path>& folders) {
        try {
            const RecordedSea recorded = open_recorded_sea(folders);
            const SeaPart part = recorded.sea.part(recorded.asked.window, recorded.asked.reach_m);
            DepthPlanes depths;
            part.depths->read(common(recorded.asked.window, recorded.sea.grid().extent()), depths);
        } catch (const InputError& error) {
            return error.what();
        } catch (const IoError& error) {
            return error.what();
        }
        return "";
    }
    static std::string bytes_of(const fs::path& file) {
        std::ifstream in(file, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }
    static void write_bytes(const fs::path& file, const std::string& bytes) {
        std::ofstream(file, std::ios::binary) << bytes;
    }
    [[nodiscard]] const std::vector<fs::path>& folders() const { return shared_.folders; }
    static AskedOfSea asked() {
        return {grown(middle_of(charts_over_raster()), 10), 100, false, middle_of(charts_over_raster()), {}};
    }

private:
    Shared shared_{charts_over_raster(), asked(), 3, 64};
};

TEST_F(SeaRecordFiles, RefuseMissingDoubledAndForeignParts) {
    EXPECT_EQ(complaint(folders()), "");
    const fs::path one = folders()[0], two = folders()[1], three = folders()[2];
    EXPECT_THAT(complaint({one, three}), HasSubstr("part 2 is missing; give all parts of the run"));
    EXPECT_THAT(complaint({two, three}), HasSubstr("part 1 is missing"));
    EXPECT_THAT(complaint({one, two}), HasSubstr("part 3 is missing"));
    EXPECT_THAT(complaint({one, two, three, two}), HasSubstr("is part 2 of 3, as "));
    EXPECT_THAT(complaint({}), HasSubstr("give all parts of a run"));
    AskedOfSea other = asked();
    other.reach_m = 101;
    const Shared of_other(charts_over_raster(), other, 3, 64);
    EXPECT_THAT(complaint({one, two, of_other.folders[2]}), HasSubstr("was made by another run than "));
    // Files of another run among those of each part.
    for (const char* const name : {"sea_hazards.bin", "sea_depths.bin", "sea_charts.bin"}) {
        std::vector<std::string> sound;
        for (const fs::path& folder : folders()) {
            sound.push_back(bytes_of(folder / name));
            fs::copy_file(of_other.folders[sound.size() - 1] / name, folder / name,
                          fs::copy_options::overwrite_existing);
        }
        EXPECT_THAT(complaint(folders()), HasSubstr(std::string(name) + ": was made by another run than "));
        for (std::size_t i = 0; i < sound.size(); ++i) {
            write_bytes(folders()[i] / name, sound[i]);
        }
    }
    EXPECT_EQ(complaint(folders()), "");
    const Shared in_five(charts_over_raster(), asked(), 5, 64);
    EXPECT_THAT(complaint({one, in_five.folders[1], three}), HasSubstr("give the parts of one run"));
    const Scratch empty;
    EXPECT_THAT(complaint({one, two, empty.path()}), HasSubstr("sea_terms.bin: cannot be found"));
    fs::copy_file(three / "sea_charts.bin", three / "sea_hazards.bin", fs::copy_options::overwrite_existing);
    EXPECT_THAT(complaint(folders()), HasSubstr("sea_hazards.bin: holds something else than its name says"));
}

// Any flipped bit and any length but the right one is refused by the file's name, in one line.
TEST_F(SeaRecordFiles, RefuseWhatIsDamagedOrCutOff) {
    Dice dice(17);
    for (const char* const name :
         {"sea_terms.bin", "sea_whole.bin", "sea_depths.bin", "sea_hazards.bin", "sea_charts.bin"}) {
        const fs::path file = folders()[name == std::string("sea_whole.bin") ? 0 : 1] / name;
        const std::string sound = bytes_of(file);
        ASSERT_GE(sound.size(), 64U);
        const auto expect_refused = [&](const std::string& bytes, const std::string& how) {
            write_bytes(file, bytes);
            EXPECT_THAT(complaint(folders()),
                        AllOf(HasSubstr(file.string() + ": "), testing::Not(HasSubstr("\n"))))
                << how;
        };
        for (int i = 0; i < 25; ++i) {
            std::string flipped = sound;
            // Every byte of the head, and some of the rest.
            const std::size_t at =
                i < 10 ? static_cast<std::size_t>(dice.whole(0, 63))
                       : static_cast<std::size_t>(dice.whole(0, static_cast<int>(sound.size()) - 1));
            flipped[at] = static_cast<char>(flipped[at] ^ (1 << dice.whole(0, 7)));
            expect_refused(flipped, "byte " + std::to_string(at));
        }
        for (int i = 0; i < 12; ++i) {
            const auto length = static_cast<std::size_t>(dice.whole(0, static_cast<int>(sound.size()) - 1));
            expect_refused(sound.substr(0, length), "length " + std::to_string(length));
        }
        expect_refused(sound + '\0', "a byte more");
        expect_refused("", "nothing");
        write_bytes(file, sound);
    }
    EXPECT_EQ(complaint(folders()), "");
}

TEST_F(SeaRecordFiles, AnswerNothingThatWasNotAsked) {
    const RecordedSea recorded = open_recorded_sea(folders());
    const Window window = recorded.asked.window;
    EXPECT_THROW((void)recorded.sea.part(grown(window, 1), recorded.asked.reach_m), std::logic_error);
    EXPECT_THROW((void)recorded.sea.part(window, recorded.asked.reach_m + 1), std::logic_error);
    EXPECT_THROW((void)recorded.sea.place_names(window), std::logic_error);
    EXPECT_THROW((void)recorded.sea.inspections({LengthUnit::fathom, {}}), std::logic_error);
    const SeaPart part = recorded.sea.part(window, recorded.asked.reach_m);
    DepthPlanes depths;
    EXPECT_THROW(part.depths->read(grown(window, 1), depths), std::logic_error);
}

TEST_F(SeaRecordFiles, HoldAShareEach) {
    const auto bytes = [](const std::vector<fs::path>& of, const char* name) {
        std::uintmax_t most = 0, all = 0;
        for (const fs::path& folder : of) {
            most = std::max(most, fs::file_size(folder / name));
            all += fs::file_size(folder / name);
        }
        return std::pair(most, all);
    };
    const Shared one(charts_over_raster(), asked(), 1, 64);
    for (const char* const name : {"sea_depths.bin", "sea_hazards.bin", "sea_charts.bin"}) {
        const auto [most, all] = bytes(folders(), name);
        // An area of a chart is one part's, however large it is.
        if (name != std::string("sea_charts.bin")) {
            EXPECT_LT(most, 0.6 * static_cast<double>(all)) << name;
        }
        EXPECT_LT(static_cast<double>(all), 1.2 * static_cast<double>(bytes(one.folders, name).second) + 5000)
            << name;
    }
}

// Messages keep the settings that they name, with their articles.
TEST(SeaRecord, KeepsTheSettingsOfMessages) {
    const auto by_number = [](Setting setting) {
        return "--" + std::string(1, "xaeiou"[static_cast<int>(setting) % 6]);
    };
    for (const Message& message :
         {Message("plain"), Message(Setting::crs), "give a " + Message(Setting::uncertainty) + ", or not",
          with_article(Setting::overwrite) + " and " + with_article(Setting::bathymetry) + Setting::rules,
          Message(""), Message()}) {
        const std::vector<std::uint8_t> bytes = as_bytes(message);
        ByteReader from(bytes, "some.bin");
        Message back("before");
        pass(from, back);
        from.require_end();
        EXPECT_EQ(back.text(), message.text());
        EXPECT_EQ(back.text(by_number), message.text(by_number));
    }
}

} // namespace
} // namespace swingroom
