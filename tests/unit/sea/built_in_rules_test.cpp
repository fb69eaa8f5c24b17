#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazards.hpp"

#include "unit/sea/hazard_files.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <tuple>

namespace swingroom {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing_support::utm_grid;

/// What the built-in rules make of one point of a class, with attributes as JSON gives them.
class BuiltInRules : public testing_support::HazardFiles {
protected:
    static constexpr Effects hull = effect::hull, ground = effect::ground, drop = effect::drop;
    struct Judged {
        Effects effects = 0;               ///< that forbid
        Seabed seabed = Seabed::unknown;   ///< the worst named
        double hull_m = -1, ground_m = -1; ///< greatest margins
        std::vector<std::string> warnings;
    };
    /// @param complete  every attribute that a rule asks for is there, as in a cell, and empty unless given
    [[nodiscard]] Judged judged(const std::string& layer, const std::string& attributes = "",
                                bool complete = true) const {
        std::string given = attributes;
        if (complete) {
            for (const char* name : {"RESTRN", "CATREA", "CATMPA", "CATWED", "NATSUR", "NATQUA"}) {
                if (attributes.find(name) == std::string::npos) {
                    given += (given.empty() ? "\"" : ", \"") + std::string(name) + "\": null";
                }
            }
        }
        std::ofstream(path("one.geojson"))
            << R"({"type": "FeatureCollection", "name": ")" << layer
            << R"(", "features": [{"type": "Feature", "properties": {)" << given
            << R"(}, "geometry": {"type": "Point", "coordinates": [15, 60]}}]})";
        const HazardSet set = read_hazards({path("one.geojson")}, rules_, grid_, metric_);
        Judged all;
        for (const Hazard& hazard : set.hazards) {
            all.effects |= hazard.effects & (effect::hull | effect::ground | effect::drop);
            if (hazard.seabed) all.seabed = std::max(all.seabed, *hazard.seabed);
            if (hazard.effects & effect::hull) all.hull_m = std::max(all.hull_m, hazard.margin_m);
            if (hazard.effects & effect::ground) all.ground_m = std::max(all.ground_m, hazard.margin_m);
        }
        all.warnings = told_all(set.warnings);
        return all;
    }

private:
    std::vector<HazardRule> rules_ = default_hazard_rules();
    Grid grid_ = utm_grid();
    GroundMetric metric_ = ground_metric(grid_, "raster");
};

TEST_F(BuiltInRules, NoDangerOfIhoS57AppendixAObjectClassesIsJudgedAsNone) {
    // What stands, floats or lies there, and what lies over it, in IHO S-57 edition 3.1, appendix A, chapter
    // 1 (object classes), read by their definitions: what must not meet it, and how near at the least.
    struct Class {
        const char* name;
        std::uint8_t least;
        double hull_m, ground_m;
    };
    constexpr double any = 0, no = -1;
    const std::vector<Class> classes = {// on the seabed
                                        {"CBLSUB", ground, no, 463},
                                        {"CBLARE", ground | drop, no, any},
                                        {"PIPSOL", ground, no, 200},
                                        {"PIPARE", ground | drop, no, any},
                                        {"TUNNEL", ground, no, any},
                                        {"DMPGRD", ground, no, any},
                                        // dangers
                                        {"OBSTRN", hull | ground, 50, 50},
                                        {"WRECKS", hull | ground, 50, 50},
                                        {"UWTROC", hull | ground, 20, 20},
                                        {"FSHFAC", hull | ground, 50, 50},
                                        {"MARCUL", hull | ground, 50, 50},
                                        {"RAPIDS", hull | ground, any, any},
                                        {"WATFAL", hull | ground, any, any},
                                        {"ICEARE", hull | ground, any, any},
                                        // moorings and floating things
                                        {"MORFAC", hull | ground, 30, 30},
                                        {"HULKES", hull | ground, 20, 20},
                                        {"FLODOC", hull | ground, 20, 20},
                                        {"PONTON", hull | ground, 20, 20},
                                        {"LITFLT", hull | ground, 20, 20},
                                        {"LITVES", hull | ground, 20, 20},
                                        {"OFSPLF", hull | ground, 500, 500},
                                        {"OILBAR", hull | ground, 20, 20},
                                        {"LOGPON", hull | ground, 20, 20},
                                        {"BOYCAR", hull | ground, 20, 20},
                                        {"BOYINB", hull | ground, 20, 20},
                                        {"BOYISD", hull | ground, 20, 20},
                                        {"BOYLAT", hull | ground, 20, 20},
                                        {"BOYSAW", hull | ground, 20, 20},
                                        {"BOYSPP", hull | ground, 20, 20},
                                        // standing in the water
                                        {"BCNCAR", hull | ground, 20, 20},
                                        {"BCNISD", hull | ground, 20, 20},
                                        {"BCNLAT", hull | ground, 20, 20},
                                        {"BCNSAW", hull | ground, 20, 20},
                                        {"BCNSPP", hull | ground, 20, 20},
                                        {"PILPNT", hull | ground, 20, 20},
                                        {"PYLONS", hull | ground, 20, 20},
                                        {"SLCONS", hull | ground, 10, 10},
                                        {"GRIDRN", hull | ground, 10, 10},
                                        {"BRIDGE", hull | ground, 20, 20},
                                        {"DAMCON", hull | ground, 10, 10},
                                        {"GATCON", hull | ground, 10, 10},
                                        {"CAUSWY", hull | ground, 10, 10},
                                        {"DYKCON", hull | ground, 10, 10},
                                        {"DRYDOC", hull | ground, 10, 10},
                                        {"FORSTC", hull | ground, 10, 10},
                                        {"CRANES", hull | ground, 10, 10},
                                        {"CBLOHD", hull, 20, no},
                                        {"PIPOHD", hull, 20, no},
                                        {"CONVYR", hull, 20, no},
                                        // land, and what nobody knows
                                        {"LNDARE", hull | ground | drop, any, any},
                                        {"COALNE", hull | ground | drop, any, any},
                                        {"LAKSHR", hull | ground | drop, any, any},
                                        {"RIVBNK", hull | ground | drop, any, any},
                                        {"CANBNK", hull | ground | drop, any, any},
                                        {"UNSARE", hull | ground | drop, any, any},
                                        // traffic
                                        {"FAIRWY", hull | ground | drop, any, any},
                                        {"TSSLPT", hull | ground | drop, any, any},
                                        {"TSEZNE", hull | ground | drop, any, any},
                                        {"TSSRON", hull | ground | drop, any, any},
                                        {"TSSCRS", hull | ground | drop, any, any},
                                        {"TSELNE", hull | ground | drop, 50, 50},
                                        {"DWRTPT", hull | ground | drop, any, any},
                                        {"DWRTCL", hull | ground | drop, 50, 50},
                                        {"TWRTPT", hull | ground | drop, any, any},
                                        {"RCTLPT", hull | ground | drop, any, any},
                                        {"RCRTCL", hull | ground | drop, 50, 50},
                                        {"RECTRC", hull | ground | drop, 50, 50},
                                        {"NAVLNE", hull | ground | drop, 50, 50},
                                        {"FERYRT", hull | ground | drop, 50, 50},
                                        {"SPLARE", hull | ground | drop, any, any},
                                        {"OSPARE", hull | ground | drop, any, any},
                                        {"ARCSLN", drop, no, no},
                                        {"ASLXIS", drop, no, no},
                                        {"DRGARE", drop, no, no},
                                        {"CANALS", drop, no, no},
                                        {"LOKBSN", drop, no, no},
                                        {"DOCARE", drop, no, no},
                                        {"BERTHS", drop, no, no},
                                        {"CTSARE", drop, no, no}};
    for (const Class& one : classes) {
        for (const char* suffix : {"", "_P"}) {
            const Judged found = judged(std::string(one.name) + suffix);
            EXPECT_EQ(found.effects & one.least, one.least) << one.name << suffix;
            EXPECT_GE(found.hull_m, one.hull_m) << one.name << suffix;
            EXPECT_GE(found.ground_m, one.ground_m) << one.name << suffix;
        }
    }
}

TEST_F(BuiltInRules, EveryClassOfIhoS57AppendixAHasARule) {
    // Those that the test above does not name: no hazard, or one by their attributes alone.
    for (const char* name :
         {"ADMARE", "AIRARE", "ACHBRT", "ACHARE", "BUISGL", "BUAARE", "CTNARE", "CHKPNT", "CGUSTA", "CONZNE",
          "COSARE", "CTRPNT", "CURENT", "CUSZNE", "DAYMAR", "DEPARE", "DEPCNT", "DISMAR", "EXEZNE", "FNCLNE",
          "FSHZNE", "FSHGRD", "FOGSIG", "FRPARE", "HRBARE", "HRBFAC", "ICNARE", "ISTZNE", "LAKARE", "LNDELV",
          "LNDRGN", "LNDMRK", "LIGHTS", "LOCMAG", "MAGVAR", "MIPARE", "PILBOP", "PRCARE", "PRDARE", "RADLNE",
          "RADRNG", "RADRFL", "RADSTA", "RTPBCN", "RDOCAL", "RDOSTA", "RAILWY", "RSCSTA", "RETRFL", "RIVERS",
          "ROADWY", "RUNWAY", "SNDWAV", "SEAARE", "SISTAT", "SISTAW", "SILTNK", "SLOTOP", "SLOGRD", "SMCFAC",
          "C_STAC", "SOUNDG", "SPRING", "SQUARE", "STSLNE", "SUBTLN", "SWPARE", "TESARE", "TS_PRH", "TS_PNH",
          "TS_PAD", "TS_TIS", "TS_FEB", "T_HMON", "T_NHMN", "T_TIMS", "TIDEWY", "TOPMAR", "TSSBND", "VEGATN",
          "WATTUR", "M_ACCY", "M_CSCL", "M_COVR", "M_HDAT", "M_HOPA", "M_NPUB", "M_NSYS", "M_PROD", "M_QUAL",
          "M_SDAT", "M_SREL", "M_UNIT", "M_VDAT", "C_AGGR", "C_ASSO"}) {
        const Judged found = judged(name);
        EXPECT_EQ(found.effects, 0) << name;
        EXPECT_THAT(found.warnings, testing::IsEmpty()) << name;
    }
    EXPECT_THAT(judged("NEWOBJ").warnings, ElementsAre(HasSubstr("no rule speaks"))); // on purpose
}

TEST_F(BuiltInRules, RestrictionsForbidByTheirCodesOnEveryClassThatCarriesThem_IhoS57Attribute131) {
    for (const std::string layer : {"RESARE", "ACHARE", "CBLARE", "DMPGRD", "DRGARE", "ICNARE", "ISTZNE",
                                    "MIPARE", "PIPARE", "PRCARE", "SUBTLN", "TESARE"}) {
        // A reserve (CATREA 4) alone forbids nothing, so that RESARE shows what RESTRN does.
        const auto with = [&](const std::string& value) {
            return judged(layer, R"("CATREA": "4", "RESTRN": )" + value).effects;
        };
        EXPECT_EQ(with(R"("3,1")") & (ground | drop), ground | drop) << layer;
        EXPECT_EQ(with("1") & (ground | drop), ground | drop) << layer << ", as a number";
        EXPECT_EQ(with(R"("3, 1")") & (ground | drop), ground | drop) << layer << ", with a blank";
        for (const char* forbidding : {R"("7")", R"("25,3")", R"("anchoring prohibited")", "\"(2:3,7)\""}) {
            EXPECT_EQ(with(forbidding), hull | ground | drop) << layer << forbidding;
        }
        EXPECT_EQ(with(R"("3,14")") & (ground | drop), ground | drop) << layer;
        for (const char* limiting : {R"("2,6,24")", R"("8,2")", R"("24")"}) {
            EXPECT_EQ(with(limiting) & drop, drop) << layer << limiting;
        }
    }
    for (const char* harmless : {R"("3")", R"("8")", R"("16,27")", R"("11")", R"("13")", R"("17")"}) {
        EXPECT_EQ(judged("RESARE", R"("CATREA": "4", "RESTRN": )" + std::string(harmless)).effects, 0)
            << harmless;
    }
}

TEST_F(BuiltInRules, RestrictedAreasForbidByTheirCategory_IhoS57Attribute56) {
    for (const char* code : {"1", "2", "8", "10", "17", "21", "25", "4,10"}) {
        EXPECT_EQ(judged("RESARE", R"("CATREA": ")" + std::string(code) + '"').effects, ground | drop)
            << code;
    }
    for (const char* code : {"9", "14", "18", "4,18", "nature reserve"}) {
        EXPECT_EQ(judged("RESARE_A", R"("CATREA": ")" + std::string(code) + '"').effects,
                  hull | ground | drop)
            << code;
    }
    for (const char* code : {"4", "5", "7", "12", "19", "20", "22", "23", "24", "27", "28"}) {
        EXPECT_EQ(judged("RESARE", R"("CATREA": ")" + std::string(code) + '"').effects, 0) << code;
    }
    EXPECT_EQ(judged("RESARE").effects, ground | drop) << "of unknown kind";
    EXPECT_EQ(judged("RESARE", R"("CATREA": "", "RESTRN": "")").effects, ground | drop);
    EXPECT_EQ(judged("MIPARE", R"("CATMPA": "2,5")").effects, ground | drop); // mine-laying
    EXPECT_EQ(judged("MIPARE", R"("CATMPA": "4")").effects, 0);
}

TEST_F(BuiltInRules, LayersConvertedWithoutTheirAttributesCountAsWithoutValues) {
    for (const auto& [layer, lacking, effects] :
         {std::tuple("RESARE", "RESARE (CATREA, RESTRN)", ground | drop),
          std::tuple("SBDARE", "SBDARE (NATSUR, NATQUA)", 0), std::tuple("MIPARE", "MIPARE (CATMPA)", 0)}) {
        const Judged bare = judged(layer, "\"INFORM\": null", false);
        EXPECT_EQ(bare.effects, effects) << layer;
        EXPECT_THAT(bare.warnings, ElementsAre(HasSubstr(lacking)));
    }
    EXPECT_EQ(judged("WEDKLP", "\"INFORM\": null", false).seabed, Seabed::weed);
}

TEST_F(BuiltInRules, TheWorstOfTheSeabedsNamedHolds_IhoS57Attribute113) {
    const std::vector<std::pair<const char*, Seabed>> natures = {
        {"1", Seabed::mud},       {"2", Seabed::clay},   {"3", Seabed::mud},        {"4", Seabed::sand},
        {"5", Seabed::rock},      {"6", Seabed::gravel}, {"7", Seabed::gravel},     {"8", Seabed::rock},
        {"9", Seabed::rock},      {"11", Seabed::rock},  {"14", Seabed::coral},     {"17", Seabed::shells},
        {"18", Seabed::rock},     {"4,9", Seabed::rock}, {"4,1,6", Seabed::gravel}, {"1,14", Seabed::coral},
        {"1,17", Seabed::shells}, {"2,4", Seabed::sand}, {"sand", Seabed::rock},    {"4, 9", Seabed::rock}};
    for (const auto& [code, seabed] : natures) {
        EXPECT_EQ(judged("SBDARE", R"("NATSUR": ")" + std::string(code) + '"').seabed, seabed) << code;
    }
    EXPECT_EQ(judged("SBDARE_A", R"("NATSUR": "4", "NATQUA": "3")").seabed,
              Seabed::gravel);                                                              // coarse sand
    EXPECT_EQ(judged("SBDARE_A", R"("NATSUR": "4", "NATQUA": "10")").seabed, Seabed::sand); // hard sand
    EXPECT_EQ(judged("SBDARE", R"("NATSUR": "14")").effects, ground);
    EXPECT_EQ(judged("SBDARE", R"("NATSUR": "4")").effects, 0);
    EXPECT_EQ(judged("SBDARE").seabed, Seabed::unknown);
    EXPECT_EQ(judged("WEDKLP", R"("CATWED": 1)").seabed, Seabed::weed);
    EXPECT_EQ(judged("WEDKLP", R"("CATWED": 1)").effects, 0);
    EXPECT_EQ(judged("WEDKLP_P", R"("CATWED": "3")").effects, ground); // sea grass
    EXPECT_EQ(judged("WEDKLP", R"("CATWED": 3)").effects, ground);
}

} // namespace
} // namespace swingroom
