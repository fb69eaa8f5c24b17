#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/chart_depths.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazards.hpp"
#include "swingroom/sea/inspection.hpp"

#include "sea/cells/enc_file.hpp"
#include "support/scratch.hpp"
#include "support/warning_lines.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <memory>
#include <string>
#include <vector>

// The invented cells of testdata/cells, as a run reads them. What is in them is told by scripts/make-cells.

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

const std::string folder = SWINGROOM_TESTDATA "/cells/";
const std::string harbour = folder + "QQ5HAVEN.000", approach = folder + "QQ3APPRO.000",
                  odd = folder + "QQ5ODD.000";

std::string complaint(const std::vector<std::string>& files, const Grid& grid) {
    try {
        read_hazards(files, default_hazard_rules(), grid, ground_metric(grid, "chart"));
    } catch (const InputError& error) {
        return error.what();
    }
    return "read";
}

struct Charts : testing::Test {
    Grid grid = chart_grid({harbour, approach}, 20);
    GroundMetric metric = ground_metric(grid, "charts");
    Georeference georeference{grid, "charts"};

    [[nodiscard]] HazardSet read(const std::vector<std::string>& files, const HazardTerms& terms = {}) const {
        return read_hazards(files, default_hazard_rules(), grid, metric, terms);
    }
    static std::vector<Hazard> of(const HazardSet& set, const std::string& kind,
                                  const std::string& named = "") {
        std::vector<Hazard> found;
        for (const Hazard& hazard : set.hazards) {
            if (hazard.kind == kind && hazard.label.find(named) != std::string::npos) found.push_back(hazard);
        }
        return found;
    }
};

TEST_F(Charts, OfOverlappingCellsTheLargestScaleCountsWhereItCovers) {
    EXPECT_EQ(of(read({approach}), "wreck", "Lighter").size(), 1u);
    const HazardSet both = read({approach, harbour});
    const auto lighters = of(both, "wreck", "Lighter");
    ASSERT_EQ(lighters.size(), 1u) << "the approach's lies in the harbour cell and is superseded";
    EXPECT_EQ(lighters[0].rings.size(), 1u) << "the harbour's is an area, the approach's a point";
    EXPECT_EQ(of(both, "wreck").size(), 3u) << "the harbour's two and the approach's other one, outside";
    // The approach's cable is cut where the harbour cell begins: together they are not longer than apart.
    const auto cables = of(both, "cable");
    ASSERT_EQ(cables.size(), 2u);
    const auto alone = of(read({approach}), "cable");
    ASSERT_EQ(alone.size(), 1u);
    const auto highest = [](const Hazard& h) {
        double row = 1e9;
        for (const auto& path : h.paths) {
            for (const GridPoint p : path) {
                row = std::min(row, p.y);
            }
        }
        return row;
    };
    EXPECT_GT(std::max(highest(cables[0]), highest(cables[1])), highest(alone[0]) + 1);
}

TEST_F(Charts, TheOrderOfTheFilesDoesNotMatter) {
    const auto labels = [](const HazardSet& set) {
        std::vector<std::string> all;
        for (const Hazard& hazard : set.hazards) {
            all.push_back(hazard.kind + hazard.label);
        }
        std::sort(all.begin(), all.end());
        return all;
    };
    EXPECT_EQ(labels(read({approach, harbour})), labels(read({harbour, approach})));
}

TEST_F(Charts, UpdatesAreAppliedAndListed) {
    const HazardSet set = read({harbour});
    EXPECT_THAT(set.files, ElementsAre(harbour, folder + "QQ5HAVEN.001"));
    EXPECT_EQ(of(set, "rock", "New rock").size(), 1u);
    EXPECT_THAT(set.notes, ElementsAre(HasSubstr("QQ5HAVEN.000, edition 1, update 1")));
    EXPECT_THAT(set.warnings, IsEmpty());
}

TEST_F(Charts, AMissingUpdateIsRefusedByName) {
    const testing_support::Scratch scratch;
    const fs::path& here = scratch.path();
    fs::copy_file(harbour, here / "QQ5HAVEN.000");
    fs::copy_file(folder + "QQ5HAVEN.001", here / "QQ5HAVEN.002");
    EXPECT_THAT(complaint({(here / "QQ5HAVEN.000").string()}, grid),
                HasSubstr("has an update QQ5HAVEN.002 beside it, but QQ5HAVEN.001 is missing"));
    EXPECT_THAT(complaint({(here / "QQ5HAVEN.002").string()}, grid),
                HasSubstr("is an update of an S-57 cell"));
}

/// A copy of the harbour's cell and its update that a test may spoil.
class Spoilt {
public:
    Spoilt() { fs::copy_file(harbour, here_ / "QQ5HAVEN.000"); }

    [[nodiscard]] std::string cell() const { return here_ / "QQ5HAVEN.000"; }
    void write(const std::string& name, const std::string& bytes) const {
        std::ofstream(here_ / name, std::ios::binary) << bytes;
    }
    static std::string bytes_of(const std::string& file) {
        std::ifstream in(file, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }
    /// Sets a byte of the record of the data set's parameters: RCNM 20, RCID, HDAT, VDAT, SDAT, CSCL.
    void set_parameter(std::size_t byte, char value) const {
        std::string bytes = bytes_of(harbour);
        const std::string record("\x14\x01\0\0\0\x02\x10\x17\x10\x27\0\0", 12);
        const std::size_t at = bytes.find(record);
        ASSERT_NE(at, std::string::npos);
        bytes[at + byte] = value;
        write("QQ5HAVEN.000", bytes);
    }

private:
    testing_support::Scratch here_;
};

/// What reading says, whatever kind of error it is.
std::string failure(const std::string& file, const Grid& grid) {
    try {
        read_hazards({file}, default_hazard_rules(), grid, ground_metric(grid, "chart"));
    } catch (const std::runtime_error& error) {
        return error.what();
    }
    return "read";
}

TEST_F(Charts, AnUpdateThatIsBrokenIsAnErrorNotPassedOver) {
    const Spoilt spoilt;
    const std::string update = Spoilt::bytes_of(folder + "QQ5HAVEN.001");
    for (const std::size_t length : {std::size_t{0}, std::size_t{10}, update.size() / 2}) {
        spoilt.write("QQ5HAVEN.001", update.substr(0, length));
        EXPECT_THAT(failure(spoilt.cell(), grid), HasSubstr("QQ5HAVEN.001: cannot be applied")) << length;
    }
    spoilt.write("QQ5HAVEN.001", update);
    EXPECT_EQ(failure(spoilt.cell(), grid), "read");
}

TEST_F(Charts, ACellThatIsCutOffIsAnErrorEvenBetweenRecords) {
    const Spoilt spoilt;
    const std::string bytes = Spoilt::bytes_of(harbour);
    // Records of ISO 8211 begin with their length in five digits.
    std::size_t at = 0, last = 0;
    while (at + 5 <= bytes.size()) {
        last = at;
        at += std::stoul(bytes.substr(at, 5));
    }
    ASSERT_EQ(at, bytes.size());
    spoilt.write("QQ5HAVEN.000", bytes.substr(0, last));
    EXPECT_THAT(failure(spoilt.cell(), grid), HasSubstr("is cut off"));
    spoilt.write("QQ5HAVEN.001", Spoilt::bytes_of(folder + "QQ5HAVEN.001"));
    EXPECT_THAT(failure(spoilt.cell(), grid), HasSubstr("is cut off")) << "with a sound update beside it too";
}

TEST_F(Charts, AnUpdateOfWhatIsNotThereIsAnError) {
    // The update deletes a wreck and changes an obstruction: with the record numbers that it asks for changed
    // it finds neither, and GDAL only warns.
    const Spoilt spoilt;
    std::string update = Spoilt::bytes_of(folder + "QQ5HAVEN.001");
    int changed = 0;
    // FRID: RCNM 100, RCID, PRIM, GRUP, OBJL, RVER, RUIN 3 (modify).
    for (std::size_t at = 0; at + 12 <= update.size(); ++at) {
        if (update[at] == 100 && update[at + 2] == 0 && update[at + 3] == 0 && update[at + 4] == 0 &&
            update[at + 11] == 3) {
            update[at + 2] = 77;
            ++changed;
        }
    }
    ASSERT_GE(changed, 1);
    spoilt.write("QQ5HAVEN.001", update);
    EXPECT_THAT(failure(spoilt.cell(), grid), HasSubstr("cannot be"));
}

TEST_F(Charts, WhatGdalOnlyWarnsOfIsALossWhereItIsOne) {
    EXPECT_TRUE(is_loss_in_cell("Polygon assembly has failed for feature FIDN=7,FIDS=1."));
    EXPECT_TRUE(is_loss_in_cell("Unable to fetch end node RCID=3."));
    EXPECT_TRUE(is_loss_in_cell("Value '20abc' of field WRECKS.VALSOU parsed incompletely to real 20."));
    EXPECT_FALSE(
        is_loss_in_cell("Value '90000 ' of field WRECKS.SCAMIN parsed incompletely to integer 90000."));
    EXPECT_FALSE(is_loss_in_cell("Attributes OBJNAM ignored, not in expected schema."));
}

TEST_F(Charts, PositionsAndSoundingsOnOtherDatumsAreNotTakenForWhatTheyAreNot) {
    const Spoilt spoilt;
    spoilt.set_parameter(5, 71);
    EXPECT_THAT(failure(spoilt.cell(), grid), HasSubstr("its positions are not on WGS 84 (DSPM_HDAT is 71)"));
    spoilt.set_parameter(7, 16);
    EXPECT_THAT(told_all(read({spoilt.cell()}).warnings),
                Contains(HasSubstr("its soundings are below mean high water")));
    EXPECT_THAT(told_all(inspect(spoilt.cell(), default_hazard_rules()).doubts),
                Contains(HasSubstr("its soundings are below mean high water")));
    spoilt.set_parameter(7, 12);
    EXPECT_THAT(told_all(read({spoilt.cell(), approach}).warnings),
                ElementsAre(HasSubstr("those of " + spoilt.cell() + " below mean lower low water")));
}

TEST_F(Charts, LaidOverARasterAlsoWhatTheyOnlyKnowToBeNoDeeperCounts) {
    const auto bounds = open_chart_depths({harbour}, grid, metric, std::nullopt, ChartGaps::bounds);
    const auto alone = open_chart_depths({harbour}, grid, metric, std::nullopt);
    const auto both = chart_over_raster(
        memory_bathymetry(grid, std::vector<float>(grid.extent().cells(), 8.0F), DepthUncertainty::none()),
        open_chart_depths({harbour}, grid, metric, std::nullopt, ChartGaps::bounds));
    DepthPlanes bound, charted, laid;
    bounds->read(grid.extent(), bound);
    alone->read(grid.extent(), charted);
    both->read(grid.extent(), laid);
    int only_bounds = 0;
    for (std::size_t i = 0; i < bound.shoal_m.size(); ++i) {
        const float shoal_m = bound.shoal_m.data()[i];
        const bool known = !std::isnan(bound.deep_m.data()[i]);
        ASSERT_EQ(!std::isnan(charted.shoal_m.data()[i]), known);
        only_bounds += !known && !std::isnan(shoal_m) ? 1 : 0;
        ASSERT_EQ(laid.shoal_m.data()[i], std::isnan(shoal_m) ? 8.0F : std::min(8.0F, shoal_m));
        ASSERT_LE(laid.shoal_m.data()[i], laid.deep_m.data()[i]);
    }
    EXPECT_GT(only_bounds, 50) << "the rim of what the chart covers, and its unsurveyed patch";
}

TEST_F(Charts, AnS101DataSetIsRefusedByName) {
    EXPECT_THAT(complaint({folder + "S101-like.000"}, grid), HasSubstr("is an S-101 data set"));
}

TEST_F(Charts, WhatNoTableKnowsIsNamed) {
    const Grid there = chart_grid({odd}, 10);
    const HazardSet set = read_hazards({odd}, default_hazard_rules(), there, ground_metric(there, "odd"));
    EXPECT_THAT(told_all(set.warnings), Contains(HasSubstr("were left out: object class 40000")));
    EXPECT_THAT(told_all(set.warnings), Contains(HasSubstr("SBDARE NATSUR 99")));
    EXPECT_THAT(told_all(set.warnings), Contains(HasSubstr("40001"))) << "the attribute";
    // WATLEV 7 and CATOBS 10, which GDAL 3.6 does not list: read by their number.
    EXPECT_EQ(of(set, "dries or floats").size(), 1u);
}

TEST_F(Charts, CountsAreThoseOfTheLayers) {
    // Every class of the cell against the number of features that GDAL's own count gives, as ogrinfo prints
    // it.
    const HazardSet set = count_hazards({harbour}, default_hazard_rules());
    const char* const split[] = {"SPLIT_MULTIPOINT=ON", "ADD_SOUNDG_DEPTH=ON", nullptr};
    const GDALDatasetUniquePtr cell(GDALDataset::Open(harbour.c_str(), GDAL_OF_VECTOR, nullptr, split));
    ASSERT_NE(cell, nullptr);
    std::map<std::string, std::int64_t> counts;
    for (const ClassCount& count : set.counts) {
        counts[count.name] = count.features;
    }
    std::size_t layers = 0;
    for (OGRLayer* const layer : cell->GetLayers()) {
        if (std::string(layer->GetName()) == "DSID") continue;
        ++layers;
        EXPECT_EQ(counts[layer->GetName()], layer->GetFeatureCount()) << layer->GetName();
    }
    EXPECT_EQ(layers, set.counts.size());
    for (const ClassCount& count : set.counts) {
        EXPECT_TRUE(count.known) << count.name;
    }
}

TEST_F(Charts, AccuracyOfPositionsWidensTheDanger_S57Attribute401) {
    const HazardSet set = read({harbour});
    const auto obstructions = of(set, "obstruction");
    EXPECT_EQ(std::count_if(obstructions.begin(), obstructions.end(),
                            [](const Hazard& h) { return h.placement_allowance_m > 24.9; }),
              1)
        << "the one whose node has POSACC 25";
    const auto anvil = of(set, "rock", "Old Anvil");
    ASSERT_EQ(anvil.size(), 1u);
    EXPECT_GE(anvil[0].placement_allowance_m, 5);
    EXPECT_LT(anvil[0].placement_allowance_m, 5.5);
}

TEST_F(Charts, ZonesOfConfidenceWidenTheMarginsWhenAsked_S68Table61) {
    HazardTerms terms;
    terms.zone_margin = true;
    for (const Hazard& hazard : of(read({harbour}, terms), "wreck")) {
        EXPECT_GE(hazard.placement_allowance_m, 20); // A2
        EXPECT_LT(hazard.placement_allowance_m, 21);
    }
    for (const Hazard& hazard : of(read({approach}, terms), "wreck")) {
        EXPECT_GE(hazard.placement_allowance_m, 500); // D, as C at the least
    }
}

TEST_F(Charts, AQualityOfPositionsWidensTheDangerOfPoints_S57Attribute402) {
    int approximate = 0, others = 0;
    for (const Hazard& hazard : of(read({approach}), "wreck")) {
        const bool told = hazard.information.find("position approximate") != std::string::npos; // QUAPOS 4
        ++(told ? approximate : others);
        EXPECT_GE(hazard.placement_allowance_m, told ? 30.5 : 0);
        EXPECT_LT(hazard.placement_allowance_m, told ? 31.5 : 1);
    }
    EXPECT_EQ(approximate, 1);
    EXPECT_GE(others, 1);
}

TEST_F(Charts, WhatNoChartCoversIsTold) {
    const HazardField field(read({harbour, approach}).hazards, grid.extent(), metric);
    Plane<Effects> bits(grid.extent(), 0);
    field.burn(bits);
    const auto uncharted_at = [&](double lon, double lat) {
        const GridPoint p = georeference.grid_point({lon, lat});
        return (bits.at(static_cast<int>(p.x), static_cast<int>(p.y)) & effect::uncharted) != 0;
    };
    EXPECT_FALSE(uncharted_at(-29.04, 47.985)); // the haven
    EXPECT_FALSE(uncharted_at(-29.06, 47.97));  // the approach
    EXPECT_TRUE(uncharted_at(-29.003, 47.953)); // the corner that the approach's cell leaves out (CATCOV 2)
    const HazardField harbour_only(read({harbour}).hazards, grid.extent(), metric);
    bits.reset(grid.extent(), 0);
    harbour_only.burn(bits);
    EXPECT_TRUE(uncharted_at(-29.06, 47.97));
    EXPECT_FALSE(uncharted_at(-29.04, 47.985));
}

TEST_F(Charts, TheGridsCellsAreNeverLargerThanAsked) {
    for (const double cell_m : {3.0, 20.0, 333.0}) {
        const Grid made = chart_grid({harbour, approach}, cell_m);
        for (const int row : {0, made.rows / 2, made.rows - 1}) {
            const double lat = made.y_of(row + 0.5), lon = made.x_of(0);
            EXPECT_LE(geodesic({lon, lat}, {lon + made.step_x, lat}).distance_m, cell_m * (1 + 1e-9));
            EXPECT_GT(geodesic({lon, lat}, {lon + made.step_x, lat}).distance_m, cell_m * 0.99);
            EXPECT_LE(geodesic({lon, lat}, {lon, lat + made.step_y}).distance_m, cell_m * (1 + 1e-9));
        }
    }
    EXPECT_THROW(chart_grid({SWINGROOM_TESTDATA "/haven/cables.geojson"}, 20), InputError);
}

/// What a chart says of one square of the grid, by looking at every object: no raster, no index.
class ChartOracle {
public:
    ChartOracle(const std::string& cell, int worst_zone) : worst_zone_(worst_zone) {
        const char* const options[] = {"SPLIT_MULTIPOINT=ON", "ADD_SOUNDG_DEPTH=ON", nullptr};
        cell_.reset(GDALDataset::Open(cell.c_str(), GDAL_OF_VECTOR, nullptr, options));
        for (OGRLayer* const layer : cell_->GetLayers()) {
            while (OGRFeature* const feature = layer->GetNextFeature()) {
                features_.emplace_back(layer->GetName(), OGRFeatureUniquePtr(feature));
            }
        }
    }

    struct Depths {
        bool known = true;
        double shoal_m = 1e9, deep_m = -1e9;
    };
    [[nodiscard]] Depths at(const OGRGeometry& square) const {
        Depths depths;
        double less_m = 0;
        std::unique_ptr<OGRGeometry> open(square.clone());
        for (const auto& [name, feature] : features_) {
            const OGRGeometry* const shape = feature->GetGeometryRef();
            if (!shape || !shape->Intersects(&square)) continue;
            OGRFeature& f = *feature;
            const auto value = [&f](const char* field) { return f.GetFieldAsDouble(field); };
            const auto given = [&f](const char* field) {
                return f.IsFieldSetAndNotNull(f.GetFieldIndex(field)) != 0;
            };
            const bool area = wkbFlatten(shape->getGeometryType()) == wkbPolygon;
            if (name == "DEPARE" || name == "DRGARE") {
                depths.shoal_m = std::min(depths.shoal_m, value("DRVAL1"));
                depths.deep_m = std::max(depths.deep_m, given("DRVAL2") ? value("DRVAL2") : 12000);
            } else if (name == "LNDARE") {
                depths.shoal_m = std::min(depths.shoal_m, -10.0);
                depths.deep_m = std::max(depths.deep_m, -10.0);
            } else if (name == "UNSARE") {
                depths.known = false;
            } else if (name == "SOUNDG") {
                depths.shoal_m = std::min(depths.shoal_m, value("DEPTH"));
            } else if ((name == "WRECKS" || name == "OBSTRN" || name == "UWTROC") && given("VALSOU")) {
                depths.shoal_m = std::min(depths.shoal_m, value("VALSOU"));
            } else if (name == "PIPSOL") {
                less_m = 2;
            }
            if (area && (name == "DEPARE" || name == "DRGARE" || name == "LNDARE" || name == "UNSARE")) {
                open.reset(open->Difference(shape));
            }
        }
        if (open && !open->IsEmpty() && open->toSurface()->get_Area() > 1e-13) depths.known = false;
        depths.known = depths.known && depths.deep_m > -1e8;
        // A2 and C of IHO S-68 1.0.0, table 6-2.
        const auto uncertainty_m = [&](double d) {
            return worst_zone_ == 2 ? 1 + 0.02 * std::abs(d) : 2 + 0.05 * std::abs(d);
        };
        depths.shoal_m -= less_m;
        depths.shoal_m -= uncertainty_m(depths.shoal_m);
        depths.deep_m = std::max(depths.deep_m, depths.shoal_m);
        depths.deep_m += uncertainty_m(depths.deep_m);
        return depths;
    }

private:
    GDALDatasetUniquePtr cell_;
    std::vector<std::pair<std::string, OGRFeatureUniquePtr>> features_;
    int worst_zone_;
};

/// A cell of the grid, grown by a part of its side.
OGRPolygon square_of(const Grid& grid, int col, int row, double more) {
    OGRLinearRing ring;
    for (const auto& [x, y] : {std::pair(-more, -more), std::pair(1 + more, -more),
                               std::pair(1 + more, 1 + more), std::pair(-more, 1 + more)}) {
        ring.addPoint(grid.x_of(col + x), grid.y_of(row + y));
    }
    ring.closeRings();
    OGRPolygon square;
    square.addRing(&ring);
    return square;
}

TEST_F(Charts, DepthsAreTheWorstOfAllThatTouchesACell) {
    const Grid fine = chart_grid({harbour}, 23);
    const auto source = open_chart_depths({harbour}, fine, ground_metric(fine, "harbour"), std::nullopt);
    DepthPlanes depths;
    source->read({-3, -3, fine.cols + 6, fine.rows + 6}, depths);
    const ChartOracle a2(harbour, 2), c(harbour, 4);
    int same = 0, worse = 0, known = 0;
    for (int row = 0; row < fine.rows; row += 2) {
        for (int col = 0; col < fine.cols; col += 2) {
            const OGRPolygon square = square_of(fine, col, row, 0), wider = square_of(fine, col, row, 0.125);
            const float shoal_m = depths.shoal_m.at(col, row), deep_m = depths.deep_m.at(col, row);
            const auto by_a2 = a2.at(square), by_c = c.at(square);
            if (!by_a2.known) {
                ASSERT_TRUE(std::isnan(shoal_m)) << col << ' ' << row;
                continue;
            }
            // A cell that is only just touched may be taken for known by one and not by the other.
            if (std::isnan(shoal_m)) {
                ++worse;
                continue;
            }
            ++known;
            const bool as_a2 = std::abs(static_cast<double>(shoal_m) - by_a2.shoal_m) < 1e-3 &&
                               std::abs(static_cast<double>(deep_m) - by_a2.deep_m) < 1e-2;
            const bool as_c = std::abs(static_cast<double>(shoal_m) - by_c.shoal_m) < 1e-3 &&
                              std::abs(static_cast<double>(deep_m) - by_c.deep_m) < 1e-2;
            same += as_a2 || as_c ? 1 : 0;
            ASSERT_LE(static_cast<double>(shoal_m), by_a2.shoal_m + 1e-3) << col << ' ' << row;
            ASSERT_GE(static_cast<double>(deep_m), by_a2.deep_m - 1e-2) << col << ' ' << row;
            if (as_a2 || as_c) continue;
            const auto at_worst = c.at(wider);
            ASSERT_GE(static_cast<double>(shoal_m), at_worst.shoal_m - 1e-3) << col << ' ' << row;
            ASSERT_LE(static_cast<double>(deep_m), at_worst.deep_m + 1e-2) << col << ' ' << row;
        }
    }
    EXPECT_GT(known, 500);
    // Outlines of many short edges are burnt up to an eighth of a cell wider (HazardField::excess_bound_m).
    EXPECT_GT(same, known * 95 / 100);
    EXPECT_LT(worse, known / 50);
    EXPECT_TRUE(std::isnan(depths.shoal_m.at(-2, -2)));
}

TEST_F(Charts, NoChartedDepthIsDeeperThanTheSeabedOfTheHaven) {
    // The cell was drawn to the shoal side of the haven's raster: whatever the raster holds in a cell of the
    // grid is deeper than the chart's keel side.
    const auto source = open_chart_depths({harbour, approach}, grid, metric, DepthUncertainty::none());
    GDALAllRegister();
    const auto raster =
        open_bathymetry(BathymetryRequest{SWINGROOM_TESTDATA "/haven/bathymetry.tif", false, "m", 0.0,
                                          DepthUncertainty::none(), std::nullopt, std::nullopt});
    DepthPlanes charted, sounded;
    source->read(grid.extent(), charted);
    raster->read(raster->grid().extent(), sounded);
    const Georeference places(raster->grid(), "haven");
    int compared = 0;
    for (int row = 0; row < raster->grid().rows; row += 3) {
        for (int col = 0; col < raster->grid().cols; col += 3) {
            const float depth_m = sounded.shoal_m.at(col, row);
            const GridPoint at = georeference.grid_point(places.lonlat({col + 0.5, row + 0.5}));
            const float keel_m = charted.shoal_m.at(static_cast<int>(at.x), static_cast<int>(at.y));
            if (std::isnan(depth_m) || std::isnan(keel_m)) continue;
            ++compared;
            ASSERT_LE(keel_m, depth_m + 0.01F) << col << ' ' << row;
        }
    }
    EXPECT_GT(compared, 30000);
    ASSERT_EQ(source->sources().size(), 2u);
    const GridPoint haven = georeference.grid_point({-29.04, 47.985}),
                    sea = georeference.grid_point({-29.06, 47.97});
    EXPECT_EQ(charted.source.at(static_cast<int>(haven.x), static_cast<int>(haven.y)), 1);
    EXPECT_EQ(charted.source.at(static_cast<int>(sea.x), static_cast<int>(sea.y)), 2);
}

TEST_F(Charts, DepthAreasDrawnAsLinesCountAsOldEditionsHaveThem) {
    // From (-1900, 350) to (-1100, 300) in the haven's metres: DRVAL1 2 in water that is charted deeper.
    const auto source = open_chart_depths({approach}, grid, metric, DepthUncertainty::none());
    DepthPlanes depths;
    source->read(grid.extent(), depths);
    const GDALDatasetUniquePtr cell(GDALDataset::Open(approach.c_str(), GDAL_OF_VECTOR));
    ASSERT_NE(cell, nullptr);
    int lines = 0;
    for (const OGRFeatureUniquePtr& feature : *cell->GetLayerByName("DEPARE")) {
        if (wkbFlatten(feature->GetGeometryRef()->getGeometryType()) != wkbLineString) continue;
        ++lines;
        for (const OGRPoint& p : *feature->GetGeometryRef()->toLineString()) {
            const GridPoint at = georeference.grid_point({p.getX(), p.getY()});
            EXPECT_LE(depths.shoal_m.at(static_cast<int>(at.x), static_cast<int>(at.y)), 2);
        }
    }
    EXPECT_EQ(lines, 1);
}

TEST_F(Charts, TheSameDepthsWhateverTheWindow) {
    const auto source = open_chart_depths({harbour, approach}, grid, metric, std::nullopt);
    DepthPlanes whole, part;
    source->read(grid.extent(), whole);
    const Window window{grid.cols / 3, grid.rows / 4, 57, 91};
    source->read(window, part);
    for (int row = window.row; row < window.row_end(); ++row) {
        for (int col = window.col; col < window.col_end(); ++col) {
            const float a = whole.shoal_m.at(col, row), b = part.shoal_m.at(col, row);
            ASSERT_TRUE(a == b || (std::isnan(a) && std::isnan(b)));
        }
    }
    EXPECT_GE(2 * source->greatest_uncertainty_m(), 12000);
}

TEST(Inspect, TellsAChartsFactsAndDoubts) {
    const Inspection found = inspect(approach, default_hazard_rules());
    EXPECT_EQ(found.kind, Inspection::Kind::chart);
    EXPECT_THAT(found.open_questions, IsEmpty());
    EXPECT_THAT(told_all(found.doubts), ElementsAre(HasSubstr("100.0 % of it is of zone D or not assessed")));
}

TEST(Inspect, AsksWhatARasterDoesNotSay) {
    const Inspection found = inspect(SWINGROOM_TESTDATA "/haven/bathymetry.tif", default_hazard_rules());
    EXPECT_EQ(found.kind, Inspection::Kind::raster);
    EXPECT_THAT(
        told_all(found.open_questions),
        ElementsAre(AllOf(StartsWith("does not say whether its values are depths"), HasSubstr("<positive>")),
                    HasSubstr("<chart datum>"), HasSubstr("<uncertainty>")));
    const auto depths = std::find_if(found.facts.begin(), found.facts.end(),
                                     [](const auto& fact) { return fact.name == "depths"; });
    ASSERT_NE(depths, found.facts.end());
    std::vector<std::string> assumed;
    for (const Fact& fact : found.facts) {
        if (fact.kind == Fact::Kind::assumed) assumed.push_back(fact.name);
    }
    EXPECT_THAT(assumed, ElementsAre("sign", "chart datum", "uncertainty"));
}

} // namespace
} // namespace swingroom
