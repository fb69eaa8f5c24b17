// The invented cells of testdata/cells, as GDAL's S-57 driver reads them. They are made by
// scripts/make-cells; that their bytes are the ones it makes is a check of its own (cells_are_made).
#include "sea/cells/enc_file.hpp"
#include "support/scratch.hpp"

#include <cpl_error.h>
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <set>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Pair;
using testing::UnorderedElementsAre;

using Geometry = std::unique_ptr<OGRGeometry>;
using Strings = std::vector<std::string>;

/// A cell that is open, and what GDAL said while it was opened and read.
class OpenCell {
public:
    explicit OpenCell(const std::string& name, const Strings& options = {}) {
        GDALAllRegister();
        CPLPushErrorHandlerEx(keep, this);
        CPLStringList open_options;
        for (const std::string& option : options) {
            open_options.AddString(option.c_str());
        }
        const std::string path = SWINGROOM_TESTDATA "/cells/" + name;
        const char* const drivers[] = {"S57", nullptr};
        dataset_.reset(GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR, drivers, open_options.List()));
        if (dataset_ == nullptr) throw std::runtime_error("cannot open " + path);
    }
    ~OpenCell() { CPLPopErrorHandler(); }
    OpenCell(const OpenCell&) = delete;
    OpenCell& operator=(const OpenCell&) = delete;

    void each(const std::function<void(OGRFeature&)>& visit) const {
        for (auto* layer : dataset_->GetLayers()) {
            for (const auto& feature : *layer) {
                visit(*feature);
            }
        }
    }

    [[nodiscard]] Strings layers() const {
        Strings found;
        for (auto* layer : dataset_->GetLayers()) {
            found.emplace_back(layer->GetName());
        }
        return found;
    }

    [[nodiscard]] std::map<std::string, int> counts() const {
        std::map<std::string, int> found;
        each([&](OGRFeature& feature) { ++found[feature.GetDefnRef()->GetName()]; });
        return found;
    }

    /// One text per object of a class that has any of `fields`: those that are set, as "VALSOU=4.5 WATLEV=3".
    [[nodiscard]] Strings texts(const std::string& of_class, const Strings& fields) const {
        Strings found;
        each([&](OGRFeature& feature) {
            if (feature.GetDefnRef()->GetName() != of_class) return;
            std::string text;
            for (const std::string& field : fields) {
                const int index = feature.GetFieldIndex(field.c_str());
                if (index < 0 || !feature.IsFieldSetAndNotNull(index)) continue;
                text += (text.empty() ? "" : " ") + field + "=" + feature.GetFieldAsString(index);
            }
            if (!text.empty()) found.push_back(text);
        });
        return found;
    }

    [[nodiscard]] const Strings& said() const { return said_; }

private:
    static void CPL_STDCALL keep(CPLErr severity, CPLErrorNum number, const char* message) {
        if (severity < CE_Warning) return;
        static_cast<OpenCell*>(CPLGetErrorHandlerUserData())
            ->said_.push_back(std::to_string(number) + " " + message);
    }
    GDALDatasetUniquePtr dataset_;
    Strings said_;
};

bool is_class(const OGRFeature& feature, const std::set<std::string>& classes) {
    return classes.count(feature.GetDefnRef()->GetName()) > 0;
}

struct DepthArea {
    double drval1_m; // of land and of what is not surveyed: far above the water
    Geometry shape;
};

/// The areas that cover a cell, once: group 1 of the ENC product specification.
std::vector<DepthArea> skin_of_the_earth(const OpenCell& cell) {
    std::vector<DepthArea> found;
    cell.each([&](OGRFeature& feature) {
        if (!is_class(feature, {"DEPARE", "DRGARE", "LNDARE", "UNSARE"})) return;
        if (feature.GetFieldAsInteger("PRIM") != 3) return;
        EXPECT_EQ(feature.GetFieldAsInteger("GRUP"), 1);
        const int drval1 = feature.GetFieldIndex("DRVAL1");
        found.push_back(
            {drval1 < 0 ? -100 : feature.GetFieldAsDouble(drval1), Geometry(feature.StealGeometry())});
    });
    return found;
}

Geometry coverage(const OpenCell& cell) {
    Geometry all(new OGRMultiPolygon);
    cell.each([&](OGRFeature& feature) {
        if (is_class(feature, {"M_COVR"}) && feature.GetFieldAsInteger("CATCOV") == 1) {
            all.reset(all->Union(feature.GetGeometryRef()));
        }
    });
    return all;
}

double area_of(const OGRGeometry* geometry) {
    return OGR_G_Area(OGRGeometry::ToHandle(const_cast<OGRGeometry*>(geometry)));
}

double area_of(const Geometry& geometry) { return area_of(geometry.get()); }

// A wrong byte that no reader looks at shows here.
TEST(ShippedCells, AreByteByByteWhatTheScriptMakes) {
    EXPECT_EQ(std::system(SWINGROOM_SOURCE "/scripts/make-cells --check"), 0);
}

class Cells : public testing::TestWithParam<std::string> {};
INSTANTIATE_TEST_SUITE_P(Shipped, Cells, testing::Values("QQ5HAVEN.000", "QQ3APPRO.000", "QQ5ODD.000"),
                         [](const auto& cell) { return cell.param.substr(0, cell.param.find('.')); });

TEST_P(Cells, EveryObjectHasAValidShape) {
    const OpenCell cell(GetParam());
    cell.each([](OGRFeature& feature) {
        const OGRGeometry* shape = feature.GetGeometryRef();
        if (is_class(feature, {"DSID", "C_ASSO"})) {
            EXPECT_EQ(shape, nullptr);
            return;
        }
        SCOPED_TRACE(std::string(feature.GetDefnRef()->GetName()) + " " + std::to_string(feature.GetFID()));
        ASSERT_NE(shape, nullptr);
        EXPECT_TRUE(shape->IsValid());
        EXPECT_EQ(shape->getDimension(), feature.GetFieldAsInteger("PRIM") - 1);
    });
}

TEST_P(Cells, TheSkinOfTheEarthTilesTheCoverage) {
    const OpenCell cell(GetParam());
    const Geometry covered = coverage(cell);
    const auto skin = skin_of_the_earth(cell);
    OGRMultiPolygon all;
    for (const DepthArea& area : skin) {
        all.addGeometry(area.shape.get());
    }
    const Geometry together(all.UnionCascaded());
    EXPECT_LT(area_of(Geometry(together->SymDifference(covered.get()))), 1e-9 * area_of(covered));
    for (std::size_t a = 0; a < skin.size(); ++a) {
        for (std::size_t b = 0; b < a; ++b) {
            const Geometry common(skin[a].shape->Intersection(skin[b].shape.get()));
            if (common->getDimension() < 2) continue;
            EXPECT_LT(area_of(common), 1e-9 * area_of(covered)) << a << ' ' << b;
        }
    }
}

TEST_P(Cells, AreReadWithEveryOptionOfTheDriver) {
    const int objects = static_cast<int>(OpenCell(GetParam()).counts().size());
    const OpenCell primitives(GetParam(), {"RETURN_PRIMITIVES=ON", "RETURN_LINKAGES=ON", "LNAM_REFS=ON"});
    auto counts = primitives.counts();
    // DSSI counts the records of the first issue; the update has taken one node away and brought one.
    EXPECT_THAT(primitives.texts("DSID", {"DSSI_NOIN", "DSSI_NOCN", "DSSI_NOED"}),
                ElementsAre("DSSI_NOIN=" + std::to_string(counts["IsolatedNode"]) +
                            " DSSI_NOCN=" + std::to_string(counts["ConnectedNode"]) +
                            " DSSI_NOED=" + std::to_string(counts["Edge"])));
    EXPECT_EQ(static_cast<int>(counts.size()), objects + 3);
    const OpenCell split(GetParam(), {"SPLIT_MULTIPOINT=ON", "ADD_SOUNDG_DEPTH=ON"});
    EXPECT_EQ(static_cast<int>(split.counts().size()), objects);
    split.each([](OGRFeature& feature) {
        if (!is_class(feature, {"SOUNDG"})) return;
        ASSERT_EQ(wkbFlatten(feature.GetGeometryRef()->getGeometryType()), wkbPoint);
        EXPECT_EQ(feature.GetFieldAsDouble("DEPTH"), feature.GetGeometryRef()->toPoint()->getZ());
    });
    if (GetParam() == "QQ5ODD.000") return; // GDAL warns of its codes
    EXPECT_THAT(primitives.said(), IsEmpty());
    EXPECT_THAT(split.said(), IsEmpty());
}

TEST(HavenCell, IsReadWithoutAWarning) {
    const OpenCell cell("QQ5HAVEN.000", {"LNAM_REFS=ON"});
    EXPECT_THAT(
        cell.counts(),
        UnorderedElementsAre(Pair("DSID", 1), Pair("M_COVR", 1), Pair("M_NSYS", 1), Pair("M_QUAL", 2),
                             Pair("DEPARE", 30), Pair("DRGARE", 1), Pair("LNDARE", 1), Pair("UNSARE", 1),
                             Pair("COALNE", 2), Pair("SLCONS", 1), Pair("SOUNDG", 2), Pair("WRECKS", 2),
                             Pair("UWTROC", 2), Pair("OBSTRN", 7), Pair("MORFAC", 4), Pair("CBLSUB", 1),
                             Pair("PIPSOL", 1), Pair("CBLOHD", 1), Pair("BRIDGE", 1), Pair("FAIRWY", 1),
                             Pair("RESARE", 3), Pair("ACHARE", 1), Pair("ACHBRT", 1), Pair("CTNARE", 1),
                             Pair("DMPGRD", 1), Pair("SBDARE", 5), Pair("WEDKLP", 1), Pair("BOYLAT", 2),
                             Pair("LIGHTS", 1), Pair("SEAARE", 1), Pair("C_ASSO", 1)));
    EXPECT_THAT(cell.said(), IsEmpty());
}

TEST(HavenCell, HasTheAttributesThatWereGiven) {
    const OpenCell cell("QQ5HAVEN.000", {"LNAM_REFS=ON"});
    EXPECT_THAT(
        cell.texts("DSID", {"DSID_INTU", "DSID_PROF", "DSID_AGEN", "DSPM_HDAT", "DSPM_SDAT", "DSPM_CSCL"}),
        ElementsAre("DSID_INTU=5 DSID_PROF=1 DSID_AGEN=65534 DSPM_HDAT=2 DSPM_SDAT=23 DSPM_CSCL=10000"));
    EXPECT_THAT(cell.texts("M_QUAL", {"CATZOC"}), UnorderedElementsAre("CATZOC=2", "CATZOC=4"));
    EXPECT_THAT(cell.texts("DRGARE", {"DRVAL1"}), ElementsAre("DRVAL1=4.5"));
    EXPECT_THAT(cell.texts("RESARE", {"RESTRN", "CATREA"}),
                UnorderedElementsAre("RESTRN=(1:1)", "RESTRN=(1:27)", "CATREA=(1:4)"));
    EXPECT_THAT(cell.texts("SBDARE", {"PRIM", "NATSUR"}),
                UnorderedElementsAre("PRIM=3 NATSUR=(1:1)", "PRIM=3 NATSUR=(1:4)", "PRIM=3 NATSUR=(2:4,9)",
                                     "PRIM=1 NATSUR=(2:1,4)", "PRIM=1 NATSUR=(1:17)"));
    EXPECT_THAT(cell.texts("CBLOHD", {"VERCLR", "VERCSA"}), ElementsAre("VERCLR=14 VERCSA=12"));
    EXPECT_THAT(cell.texts("BRIDGE", {"VERCLR"}), ElementsAre("VERCLR=11"));
    EXPECT_THAT(cell.texts("ACHBRT", {"RADIUS"}), ElementsAre("RADIUS=80"));
    EXPECT_THAT(cell.texts("CBLSUB", {"CATCBL", "OBJNAM"}),
                ElementsAre("CATCBL=1 OBJNAM=Cable to the west head"));
    EXPECT_THAT(cell.texts("CTNARE", {"INFORM"}), ElementsAre("INFORM=Strong eddies on the ebb"));
    EXPECT_THAT(cell.texts("SEAARE", {"OBJNAM", "NOBJNM"}),
                ElementsAre("OBJNAM=Ebbering Haven NOBJNM=Ebberingh\xc3\xa1vn"));
    EXPECT_THAT(cell.texts("C_ASSO", {"LNAM_REFS"}),
                ElementsAre("LNAM_REFS=(2:FFFE0000004C0001,FFFE0000004E0001)"));
    EXPECT_THAT(cell.texts("BOYLAT", {"LNAM", "LNAM_REFS"}),
                ElementsAre("LNAM=FFFE0000004C0001 LNAM_REFS=(1:FFFE0000004D0001)", "LNAM=FFFE0000004E0001"));
    EXPECT_THAT(cell.texts("LIGHTS", {"LNAM"}), ElementsAre("LNAM=FFFE0000004D0001"));
}

TEST(HavenCell, TellsTheAccuracyOfSomePositions) {
    const OpenCell cell("QQ5HAVEN.000", {"RETURN_PRIMITIVES=ON"});
    EXPECT_THAT(cell.texts("IsolatedNode", {"POSACC", "QUAPOS"}),
                UnorderedElementsAre("POSACC=5.00", "POSACC=25.00 QUAPOS=4", "QUAPOS=4"));
}

TEST(HavenCell, TellsByItsBytesWhetherPositionsMayHaveAnAccuracy) {
    const std::string cells = SWINGROOM_TESTDATA "/cells/";
    EXPECT_TRUE(may_state_accuracies(cells + "QQ5HAVEN.000"));
    EXPECT_TRUE(may_state_accuracies(cells + "QQ3APPRO.000")) << "a quality of a position tells of it too";
    EXPECT_FALSE(may_state_accuracies(cells + "QQ5ODD.000"));
    EXPECT_TRUE(may_state_accuracies(cells + "S101-like.000")) << "described in another way";
    EXPECT_TRUE(may_state_accuracies(cells + "none.000")) << "cannot be read";

    const testing_support::Scratch folder;
    const auto copied = [&](const std::string& from, const std::string& to) {
        std::filesystem::copy_file(cells + from, folder / to);
    };
    copied("QQ5ODD.000", "COPY.000");
    EXPECT_FALSE(may_state_accuracies(folder / "COPY.000"));
    copied("QQ5HAVEN.000", "COPY.001");
    EXPECT_TRUE(may_state_accuracies(folder / "COPY.000")) << "an update may bring it";
}

const Strings danger = {"CATWRK", "CATOBS", "VALSOU", "QUASOU", "EXPSOU", "WATLEV"};

TEST(HavenCell, BeforeItsUpdate) {
    const OpenCell cell("QQ5HAVEN.000", {"UPDATES=IGNORE"});
    EXPECT_THAT(cell.texts("DSID", {"DSID_EDTN", "DSID_UPDN"}), ElementsAre("DSID_EDTN=1 DSID_UPDN=0"));
    EXPECT_THAT(cell.texts("WRECKS", danger),
                UnorderedElementsAre("CATWRK=2 VALSOU=2.7 QUASOU=(1:6) WATLEV=3", "CATWRK=2 WATLEV=3",
                                     "CATWRK=1 VALSOU=4.1 EXPSOU=2 WATLEV=3"));
    EXPECT_THAT(cell.texts("UWTROC", danger), ElementsAre("VALSOU=-0.2 WATLEV=4"));
    EXPECT_THAT(cell.texts("OBSTRN", {"QUASOU", "VALSOU"}), ElementsAre("QUASOU=(1:7) VALSOU=4.5"));
    EXPECT_THAT(cell.said(), IsEmpty());
}

TEST(HavenCell, AfterItsUpdate) {
    const OpenCell cell("QQ5HAVEN.000");
    EXPECT_THAT(cell.texts("DSID", {"DSID_EDTN", "DSID_UPDN"}), ElementsAre("DSID_EDTN=1 DSID_UPDN=1"));
    EXPECT_THAT(cell.texts("WRECKS", danger),
                UnorderedElementsAre("CATWRK=2 VALSOU=2.7 QUASOU=(1:6) WATLEV=3", "CATWRK=2 WATLEV=3"));
    EXPECT_THAT(cell.texts("UWTROC", danger),
                UnorderedElementsAre("VALSOU=-0.2 WATLEV=4", "VALSOU=3.2 WATLEV=3"));
    EXPECT_THAT(cell.texts("OBSTRN", {"QUASOU", "VALSOU"}), ElementsAre("QUASOU=(1:7) VALSOU=3.8"));
}

/// The haven's raster: centre of a cell in degrees, and chart depth there.
void each_sounded_cell(int stride, const std::function<void(const OGRPoint&, double depth_m)>& visit) {
    GDALAllRegister();
    const GDALDatasetUniquePtr raster(
        GDALDataset::Open(SWINGROOM_TESTDATA "/haven/bathymetry.tif", GDAL_OF_RASTER));
    ASSERT_NE(raster, nullptr);
    double to_ground[6];
    raster->GetGeoTransform(to_ground);
    OGRSpatialReference degrees;
    degrees.importFromEPSG(4326);
    degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> to_degrees(
        OGRCreateCoordinateTransformation(raster->GetSpatialRef(), &degrees));
    const int cols = raster->GetRasterXSize();
    std::vector<float> row(static_cast<std::size_t>(cols));
    for (int j = 0; j < raster->GetRasterYSize(); j += stride) {
        ASSERT_EQ(raster->GetRasterBand(1)->RasterIO(GF_Read, 0, j, cols, 1, row.data(), cols, 1, GDT_Float32,
                                                     0, 0),
                  CE_None);
        for (int i = 0; i < cols; i += stride) {
            const float elevation_m = row[static_cast<std::size_t>(i)];
            if (elevation_m == -9999) continue;
            OGRPoint centre(to_ground[0] + (i + 0.5) * to_ground[1], to_ground[3] + (j + 0.5) * to_ground[5]);
            ASSERT_EQ(centre.transform(to_degrees.get()), OGRERR_NONE);
            visit(centre, -elevation_m);
        }
    }
}

TEST(HavenCell, NowhereClaimsMoreWaterThanTheRaster) {
    for (const std::string name : {"QQ5HAVEN.000", "QQ3APPRO.000"}) {
        SCOPED_TRACE(name);
        const auto skin = skin_of_the_earth(OpenCell(name));
        int deepest_met = 0;
        each_sounded_cell(5, [&](const OGRPoint& centre, double depth_m) {
            int areas = 0;
            for (const DepthArea& area : skin) {
                if (!area.shape->toPolygon()->IsPointOnSurface(&centre)) continue;
                ++areas;
                ASSERT_LE(area.drval1_m, depth_m) << centre.getX() << ' ' << centre.getY();
                deepest_met += area.drval1_m == 20;
            }
            ASSERT_EQ(areas, 1) << centre.getX() << ' ' << centre.getY();
        });
        EXPECT_GT(deepest_met, 100);
    }
}

TEST(HavenCell, SoundingsAreTheRastersOnTheShoalSide) {
    std::map<std::pair<long, long>, double> depths_m;
    const auto key = [](const OGRPoint& p) {
        return std::pair(std::lround(p.getX() * 1e7), std::lround(p.getY() * 1e7));
    };
    each_sounded_cell(1, [&](const OGRPoint& centre, double depth_m) { depths_m[key(centre)] = depth_m; });
    int soundings = 0;
    const OpenCell cell("QQ5HAVEN.000", {"SPLIT_MULTIPOINT=ON"});
    cell.each([&](OGRFeature& feature) {
        if (!is_class(feature, {"SOUNDG"})) return;
        const OGRPoint& sounding = *feature.GetGeometryRef()->toPoint();
        ASSERT_EQ(depths_m.count(key(sounding)), 1);
        EXPECT_LE(sounding.getZ(), depths_m[key(sounding)] + 1e-6);
        EXPECT_GT(sounding.getZ(), depths_m[key(sounding)] - 0.1);
        ++soundings;
    });
    EXPECT_GT(soundings, 100);
}

TEST(ApproachCell, HasWhatItIsFor) {
    const OpenCell cell("QQ3APPRO.000");
    EXPECT_THAT(cell.counts(),
                UnorderedElementsAre(Pair("DSID", 1), Pair("M_COVR", 2), Pair("M_NSYS", 1), Pair("M_QUAL", 1),
                                     Pair("DEPARE", 11), Pair("LNDARE", 1), Pair("COALNE", 1),
                                     Pair("SOUNDG", 1), Pair("WRECKS", 2), Pair("CBLSUB", 1),
                                     Pair("RESARE", 1), Pair("SBDARE", 1), Pair("SEAARE", 1)));
    EXPECT_THAT(cell.texts("DSID", {"DSID_INTU", "DSPM_CSCL"}), ElementsAre("DSID_INTU=3 DSPM_CSCL=90000"));
    EXPECT_THAT(cell.texts("M_COVR", {"CATCOV"}), UnorderedElementsAre("CATCOV=1", "CATCOV=2"));
    EXPECT_THAT(cell.texts("M_QUAL", {"CATZOC"}), ElementsAre("CATZOC=5"));
    EXPECT_THAT(cell.texts("RESARE", {"CATREA", "RESTRN"}), ElementsAre("CATREA=(1:2)"));
    EXPECT_THAT(cell.texts("WRECKS", {"CATWRK", "VALSOU", "QUASOU", "OBJNAM"}),
                UnorderedElementsAre("CATWRK=2 VALSOU=2 OBJNAM=Lighter", "CATWRK=1 QUASOU=(1:2)"));
    EXPECT_THAT(cell.texts("DEPARE", {"PRIM", "DRVAL1", "DRVAL2"}),
                testing::Contains("PRIM=2 DRVAL1=2 DRVAL2=5"));
    EXPECT_THAT(cell.said(), IsEmpty());
}

TEST(ApproachCell, OverlapsTheHavenAndReachesBeyond) {
    const OpenCell cell("QQ3APPRO.000");
    const Geometry haven = coverage(OpenCell("QQ5HAVEN.000"));
    EXPECT_TRUE(coverage(cell)->Contains(haven.get()));
    cell.each([&](OGRFeature& feature) {
        const OGRGeometry* shape = feature.GetGeometryRef();
        if (is_class(feature, {"WRECKS"}) && std::string(feature.GetFieldAsString("OBJNAM")) == "Lighter") {
            EXPECT_TRUE(haven->Contains(shape));
            const OpenCell fine("QQ5HAVEN.000");
            fine.each([&](OGRFeature& other) {
                if (!is_class(other, {"WRECKS"})) return;
                EXPECT_GT(shape->Distance(other.GetGeometryRef()), 1e-4); // about ten metres
            });
        }
        if (is_class(feature, {"CBLSUB"})) {
            EXPECT_TRUE(haven->Crosses(shape));
        }
    });
}

TEST(OddCell, HasCodesThatAreInNoTable) {
    const OpenCell cell("QQ5ODD.000");
    EXPECT_THAT(cell.texts("Generic", {"OBJL"}), ElementsAre("OBJL=40000"));
    EXPECT_THAT(cell.texts("OBSTRN", {"WATLEV", "CATOBS", "QUASOU"}),
                UnorderedElementsAre("WATLEV=7 CATOBS=8", "WATLEV=3 CATOBS=10 QUASOU=(2:6,8)"));
    EXPECT_THAT(cell.texts("SBDARE", {"NATSUR"}), ElementsAre("NATSUR=(1:99)"));
    EXPECT_THAT(cell.said(), testing::Contains(HasSubstr("40001")));
}

TEST(S101Like, OpensAsACellWithoutAnythingOrNotAtAll) {
    if (GDAL_VERSION_NUM >= GDAL_COMPUTE_VERSION(3, 10, 0)) {
        EXPECT_THROW(OpenCell("S101-like.000"), std::runtime_error);
        return;
    }
    const OpenCell cell("S101-like.000");
    EXPECT_THAT(cell.layers(), ElementsAre("DSID"));
    EXPECT_THAT(cell.counts(), IsEmpty()); // not even that layer has an object, so INTU is missing
    EXPECT_THAT(cell.said(), ElementsAre(HasSubstr("1301 ")));
}

} // namespace
} // namespace swingroom
