#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support/burnt_seabeds.hpp"
#include "support/hazard_sea.hpp"
#include "support/warning_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <optional>
#include <string>
#include <utility>
#include <vector>

// What the built-in rules make of object classes and their attributes. Definitions: IHO S-57 edition 3.1,
// appendix A, chapter 1 (object classes) and chapter 2 (attributes), whose numbers stand beside the rows.
// What follows from a definition for a hull, an anchor and a chain is a reading of it; margins name their own
// source in the rules.

namespace swingroom {
namespace {

constexpr Effects hull = effect::hull, ground = effect::ground, drop = effect::drop, trip = effect::trip_line,
                  warn = effect::warn, survey = effect::survey, poor = effect::poor_ground,
                  note = effect::note, named = effect::anchorage;
constexpr double none = -1;

/// A hull that needs 2.6 m, with a mast of 19 m, between 0.5 and 2.5 m above chart datum; clearances are
/// given over 3 m above it. So a head is cleared from 2.1 m on, what is overhead from 18.5 m on.
const HullNeeds needs{2.6, 0.5, 19, 2.5, 3};

struct Row {
    const char* object_class;
    const char* attributes; ///< JSON
    int effects;
    double hull_m, ground_m; ///< greatest margins; none: no such effect
    const char* by;          ///< the definition that it follows from
};

const std::vector<Row> rows = {
    // wrecks: CATWRK 71, VALSOU 179, WATLEV 187, QUASOU 125
    {"WRECKS", R"("CATWRK": 2, "WATLEV": 3)", hull | ground | trip, 50, 50,
     "VALSOU not given: depth unknown"},
    {"WRECKS", R"("CATWRK": 2, "VALSOU": 2.0)", hull | ground | trip, 50, 50,
     "VALSOU: less than the hull needs"},
    {"WRECKS", R"("CATWRK": 2, "VALSOU": 2.1)", hull | ground | trip, 50, 50,
     "VALSOU: its uncertainty comes off"},
    {"WRECKS", R"("CATWRK": 2, "VALSOU": 2.1, "SOUACC": 0)", ground | trip, none, 50, "VALSOU, SOUACC 144"},
    {"WRECKS", R"("CATWRK": 2, "VALSOU": 9.0)", ground | trip, none, 50, "VALSOU: deep enough"},
    {"WRECKS", R"("CATWRK": 2, "VALSOU": -2.4)", hull | ground | trip, 50, 50, "VALSOU negative: dries"},
    {"WRECKS", R"("CATWRK": 1)", hull | ground | trip, 50, 50,
     "CATWRK 1 without VALSOU: no depth to rely on"},
    {"WRECKS", R"("CATWRK": 3)", ground | trip, none, 50, "CATWRK 3: distributed remains, foul ground"},
    {"WRECKS", R"("CATWRK": 4, "VALSOU": 9.0)", hull | ground | trip, 50, 50, "CATWRK 4: mast showing"},
    {"WRECKS", R"("CATWRK": 5, "VALSOU": 9.0)", hull | ground | trip, 50, 50, "CATWRK 5: hull showing"},
    {"WRECKS", R"("WATLEV": 2, "VALSOU": 9.0)", hull | ground | trip, 50, 50, "WATLEV 2: always dry"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "7")", ground | trip, none, 50,
     "QUASOU 7: safe clearance at the value"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "6")", ground | trip, none, 50, "QUASOU 6: least depth known"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "2")", hull | ground | trip, 50, 50, "QUASOU 2: depth unknown"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "3,6")", hull | ground | trip, 50, 50, "QUASOU 3: doubtful"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "4")", hull | ground | trip, 50, 50, "QUASOU 4: unreliable"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "8")", hull | ground | trip, 50, 50,
     "QUASOU 8: reported, not surveyed"},
    {"WRECKS", R"("VALSOU": 9.0, "QUASOU": "9")", hull | ground | trip, 50, 50,
     "QUASOU 9: reported, not confirmed"},
    // rocks
    {"UWTROC", R"("WATLEV": 4)", hull | ground | trip, 50, 20, "WATLEV 4: covers and uncovers"},
    {"UWTROC", R"("WATLEV": 5)", hull | ground | trip, 50, 20, "WATLEV 5: awash"},
    {"UWTROC", R"("WATLEV": 3)", hull | ground | trip, 20, 20, "WATLEV 3 without VALSOU: depth unknown"},
    {"UWTROC", R"("WATLEV": 3, "VALSOU": 6.0)", ground | trip, none, 20, "VALSOU: deep enough"},
    {"UWTROC", R"("WATLEV": 3, "VALSOU": 1.5)", hull | ground | trip, 20, 20,
     "VALSOU: less than the hull needs"},
    // obstructions: CATOBS 42
    {"OBSTRN", "", hull | ground | trip, 50, 50, "nothing known of it"},
    {"OBSTRN", R"("CATOBS": 1, "VALSOU": 7.0)", ground | trip, none, 50, "CATOBS 1: snag"},
    {"OBSTRN", R"("CATOBS": 2)", hull | ground | trip, 50, 50, "CATOBS 2: wellhead of unknown depth"},
    {"OBSTRN", R"("CATOBS": 5, "VALSOU": 3.0)", hull | ground | trip, 50, 50,
     "CATOBS 5: fish haven, zone C takes 2.15 m off"},
    {"OBSTRN", R"("CATOBS": 6, "VALSOU": 12.0)", hull | ground | drop | trip, 50, 50,
     "CATOBS 6: foul area, dangerous to enter"},
    {"OBSTRN", R"("CATOBS": 7)", ground | trip, none, 50, "CATOBS 7: foul ground, safe to pass over"},
    {"OBSTRN", R"("CATOBS": 7, "VALSOU": 1.0)", hull | ground | trip, 50, 50, "CATOBS 7, but shoal"},
    {"OBSTRN", R"("CATOBS": 7, "VALSOU": 9.0)", ground | trip, none, 50, "CATOBS 7: safe to pass over"},
    {"OBSTRN", R"("CATOBS": "foul area", "VALSOU": 9.0)", hull | ground | drop | trip, 50, 50,
     "a kind that cannot be read"},
    {"OBSTRN", R"("WATLEV": "awash", "VALSOU": 9.0)", hull | ground | trip, 50, 50,
     "WATLEV that cannot be read"},
    {"obstruction", R"("CATOBS": 9, "WATLEV": 4, "VALSOU": 9.0)", hull | ground | trip, 50, 50,
     "WATLEV 4 in a plain layer"},
    {"foul_ground", R"("WATLEV": 4)", hull | ground | trip, 50, 50, "WATLEV 4: covers and uncovers"},
    {"WRECKS", R"("CATWRK": 3, "VALSOU": 0.5)", hull | ground | trip, 50, 50, "CATWRK 3, but shoal"},
    {"WRECKS", R"("VALSOU": 9999)", hull | ground | trip, 50, 50, "a mark for no value is no depth"},
    {"WRECKS", R"("VALSOU": "20 m")", hull | ground | trip, 50, 50, "VALSOU that cannot be read"},
    {"WRECKS", R"("VALSOU": 9, "SOUACC": "1 m")", hull | ground | trip, 50, 50, "SOUACC that cannot be read"},
    {"OBSTRN", R"("CATOBS": 9)", ground | trip, none, 50, "CATOBS 9: ground tackle"},
    {"OBSTRN", R"("CATOBS": 10, "WATLEV": 7)", hull | ground | trip, 50, 50, "WATLEV 7: floating (a boom)"},
    // cables, pipelines, tunnels: CATCBL 11, DRVAL1 87
    {"CBLSUB", R"("CATCBL": 1)", ground, none, 463, "CATCBL 1: power"},
    {"CBLSUB", R"("STATUS": "4")", ground, none, 463, "STATUS 149, 4 disused: it lies there still"},
    {"CBLSUB", R"("CATCBL": 6)", ground | trip, none, 50, "CATCBL 6: mooring cable or chain"},
    {"CBLSUB", R"("DRVAL1": 0.5)", hull | ground, 20, 463, "DRVAL1: least depth over it"},
    {"CBLSUB", R"("DRVAL1": 9)", ground, none, 463, "DRVAL1: deep enough"},
    {"CBLARE", R"("CATCBL": 4)", ground | drop, none, 0, "cable area"},
    {"PIPSOL", "", ground, none, 200, "pipeline"},
    {"PIPSOL", R"("DRVAL1": 1)", hull | ground, 20, 200, "DRVAL1: least depth over it"},
    {"PIPARE", R"("RESTRN": "1")", ground | drop, none, 0, "pipeline area"},
    {"TUNNEL", "", ground | drop, none, 0, "tunnel"},
    // restrictions: RESTRN 131, on whatever class carries it
    // (definitions of the codes from 23 on, and of 14: IHO geospatial information registry, S-101)
    {"RESARE", R"("RESTRN": "1")", ground | drop, none, 0, "RESTRN 1: anchoring is not permitted"},
    {"RESARE", R"("RESTRN": "2")", drop | warn, none, none,
     "RESTRN 2: anchoring restricted by conditions that the code does not hold"},
    {"RESARE", R"("RESTRN": "7")", hull | ground | drop, 0, 0, "RESTRN 7: entry is not permitted"},
    {"RESARE", R"("RESTRN": "8")", warn, none, none,
     "RESTRN 8: entry restricted by conditions that the code does not hold; of anchoring it says nothing"},
    {"RESARE", R"("RESTRN": "14")", ground | drop | warn, none, 0,
     "RESTRN 14: to be avoided by all ships, or certain classes of ships"},
    {"RESARE", R"("RESTRN": "24")", drop | warn, none, none,
     "RESTRN 24: the dragging of anything along the bottom is prohibited"},
    {"RESARE", R"("RESTRN": "25")", hull | ground | drop, 0, 0, "RESTRN 25: stopping is prohibited"},
    {"RESARE", R"("RESTRN": "8,2")", drop | warn, none, none, "RESTRN 8 takes nothing from another code"},
    {"ACHARE", R"("RESTRN": "8", "CATACH": "1")", warn | named, none, none, "RESTRN 8 on an anchorage"},
    {"RESARE", R"("RESTRN": "11")", warn, none, none, "RESTRN 11: diving prohibited"},
    {"RESARE", R"("RESTRN": "3,4,5,6,9,10,13,15")", 0, none, none,
     "fishing, dredging, building: not anchoring"},
    {"RESARE", R"("RESTRN": "99")", ground | drop, none, 0, "a code that no table lists"},
    {"RESARE", R"("CATREA": "99")", ground | drop, none, 0, "a code that no table lists"},
    {"RESARE", R"("RESTRN": ";", "CATREA": ",")", ground | drop, none, 0,
     "nothing but separators is nothing"},
    {"RESARE", R"("RESTRN": "27")", 0, none, none, "RESTRN 27: speed restricted"},
    {"ACHARE", R"("RESTRN": "1")", ground | drop | named, none, 0, "RESTRN on an anchorage"},
    {"MARCUL", R"("RESTRN": "7", "VALSOU": 15)", hull | ground | drop, 0, 50, "RESTRN on a marine farm"},
    {"SPRING", R"("RESTRN": "1")", ground | drop | warn, none, 0, "RESTRN on any class"},
    // restricted areas: CATREA 56
    {"RESARE", R"("CATREA": "2")", ground | drop, none, 0, "CATREA 2: no anchoring (older editions)"},
    {"RESARE", R"("CATREA": "1")", ground | drop, none, 0, "CATREA 1: offshore safety zone"},
    {"RESARE", R"("CATREA": "8")", ground | drop, none, 0, "CATREA 8: degaussing range"},
    {"RESARE", R"("CATREA": "10")", ground | drop, none, 0, "CATREA 10: historic wreck"},
    {"RESARE", R"("CATREA": "9")", hull | ground | drop, 0, 0, "CATREA 9: military area"},
    {"RESARE", R"("CATREA": "14")", hull | ground | drop, 0, 0, "CATREA 14: minefield"},
    {"RESARE", R"("CATREA": "18")", hull | ground | drop, 0, 0, "CATREA 18: swimming area"},
    {"RESARE", R"("CATREA": "4")", warn, none, none, "CATREA 4: nature reserve"},
    {"RESARE", R"("CATREA": "22")", warn, none, none, "CATREA 22: fish sanctuary"},
    {"RESARE", R"("CATREA": "24")", 0, none, none, "CATREA 24: no wake"},
    {"RESARE", R"("CATREA": "4", "RESTRN": "1")", ground | drop | warn, none, 0, "both"},
    {"RESARE", "", ground | drop, none, 0, "neither says what is forbidden"},
    // moorings: CATMOR 40; buoys: CATSPM 66
    {"MORFAC", R"("CATMOR": 7)", hull | ground | trip, 50, 30, "CATMOR 7: mooring buoy"},
    {"MORFAC", R"("CATMOR": 1)", hull | ground | trip, 50, 30, "CATMOR 1: dolphin"},
    {"MORFAC", R"("CATMOR": 6)", ground | trip, none, 30, "CATMOR 6: chain, wire or cable"},
    {"BOYSPP", R"("CATSPM": "45")", hull | ground | trip, 20, 20, "CATSPM 45: marks foul ground"},
    {"BOYSPP", R"("CATSPM": "20")", hull | ground | drop | warn, 20, 20,
     "CATSPM 20: marks prohibited anchoring"},
    // farms, gear
    {"MARCUL", R"("CATMFA": 1)", hull | ground, 50, 50, "marine farm of unknown depth"},
    {"MARCUL", R"("CATMFA": 1, "VALSOU": 8)", ground, none, 50, "VALSOU: deep enough"},
    {"FSHFAC", R"("CATFIF": 1)", hull | ground, 50, 50, "fishing stakes"},
    // dumping grounds: CATDPG 23; mine-laying: CATMPA 39
    {"DMPGRD", R"("CATDPG": "4")", ground | drop, none, 0, "CATDPG 4: explosives"},
    {"DMPGRD", R"("CATDPG": "2")", ground | drop, none, 0, "CATDPG 2: chemicals"},
    {"DMPGRD", R"("CATDPG": "5")", trip | warn, none, none, "CATDPG 5: spoil"},
    {"DMPGRD", "", ground, none, 0, "not known what lies there"},
    {"MIPARE", R"("CATMPA": "5")", ground | drop | warn, none, 0, "CATMPA 5: mine-laying practice"},
    {"MIPARE", R"("CATMPA": "2")", warn, none, none, "CATMPA 2: torpedo exercise"},
    // anchorages: CATACH 8, RADIUS 127
    {"ACHARE", R"("CATACH": "1")", named, none, none, "CATACH 1: unrestricted"},
    {"ACHARE", R"("CATACH": "7")", named, none, none, "CATACH 7: small craft"},
    {"ACHARE", R"("CATACH": "3")", warn | named, none, none, "CATACH 3: tankers"},
    {"ACHARE", R"("CATACH": "8")", warn | named, none, none, "CATACH 8: moorings"},
    {"ACHBRT", R"("RADIUS": 250)", warn | named, none, none, "a ship's berth"},
    // warnings
    {"CTNARE", R"("INFORM": "unexploded ordnance")", warn, none, none, "caution area"},
    {"SNDWAV", R"("VERLEN": 2)", warn, none, none, "sand waves"},
    {"WATTUR", "", warn, none, none, "water turbulence"},
    {"PRCARE", "", warn, none, none, "precautionary area"},
    // overhead: VERCLR 181, VERCSA 184, VERCCL 182
    {"BRIDGE", R"("VERCLR": 18.4)", hull | ground | drop, 20, 20, "VERCLR: less than the mast"},
    {"BRIDGE", R"("VERCLR": 18.5)", ground | drop, none, 20, "VERCLR: high enough at high water"},
    {"BRIDGE", R"("VERCCL": 5, "VERCLR": 40)", hull | ground | drop, 20, 20,
     "VERCCL: an opening bridge, closed"},
    {"BRIDGE", "", hull | ground | drop, 20, 20, "no clearance known"},
    {"CBLOHD", R"("VERCLR": 30, "VERCSA": 18)", hull, 20, none, "VERCSA: the safe one counts"},
    {"CBLOHD", R"("VERCLR": 30, "VERCSA": 25)", 0, none, none, "VERCSA: high enough"},
    {"CBLOHD", R"("VERCLR": 30, "VERCSA": "12m")", hull, 20, none,
     "VERCSA that cannot be read: not VERCLR instead"},
    {"CBLOHD", R"("VERCLR": 30)", 0, none, none, "VERCLR where no VERCSA is given"},
    {"PIPOHD", R"("VERCLR": 10)", hull, 20, none, "VERCLR: less than the mast"},
    // quality: CATZOC 72
    {"M_QUAL", R"("CATZOC": 1)", 0, none, none, "CATZOC 1: A1"},
    {"M_QUAL", R"("CATZOC": 2)", 0, none, none, "CATZOC 2: A2, positions to 20 m"},
    {"M_QUAL", R"("CATZOC": 3)", survey, none, none, "CATZOC 3: B, positions to 50 m"},
    {"M_QUAL", R"("CATZOC": 4)", survey, none, none, "CATZOC 4: C, positions to 500 m"},
    {"M_QUAL", R"("CATZOC": 6)", survey, none, none, "CATZOC 6: not assessed"},
    {"M_QUAL", "", survey, none, none, "no CATZOC"},
    // SURSTA 153, SUREND 152: CCYYMMDD, CCYYMM or CCYY
    {"M_QUAL", R"("CATZOC": 1, "SUREND": "1939")", survey, none, none, "surveyed by lead line"},
    {"M_QUAL", R"("CATZOC": 1, "SUREND": "19391231")", survey, none, none, "surveyed by lead line"},
    {"M_QUAL", R"("CATZOC": 1, "SUREND": 1921)", survey, none, none, "as a number"},
    {"M_QUAL", R"("CATZOC": 1, "SUREND": "1940")", 0, none, none, "surveyed by echo sounder"},
    {"M_QUAL", R"("CATZOC": 1, "SUREND": "20180808")", 0, none, none, "surveyed lately"},
    // land, depth, traffic
    {"LNDARE", "", hull | ground | drop, 0, 0, "land"},
    {"UNSARE", "", hull | ground | drop, 0, 0, "unsurveyed"},
    {"DEPARE", R"("DRVAL1": 2, "DRVAL2": 5)", 0, none, none, "depths are no hazard"},
    {"DRGARE", R"("DRVAL1": 6)", drop, none, none, "a channel kept for ships"},
    {"FAIRWY", "", hull | ground | drop, 0, 0, "fairway"},
    {"TSSLPT", R"("RESTRN": "1")", hull | ground | drop, 0, 0, "traffic lane"},
    {"PILPNT", "", hull | ground, 20, 20, "pile"},
    {"OFSPLF", "", hull | ground, 500, 500, "offshore platform: UNCLOS article 60(5)"},
    // notes of the ground: NATSUR 113, NATQUA 114, CATWED 70
    {"SBDARE", R"("NATSUR": "9")", trip | poor | note, none, none, "NATSUR 9: rock, no danger in itself"},
    {"SBDARE", R"("NATSUR": "1")", note, none, none, "NATSUR 1: mud"},
    {"SBDARE", R"("NATSUR": "2", "NATQUA": "7")", note, none, none, "NATSUR 2, NATQUA 7: stiff clay"},
    {"SBDARE", R"("NATSUR": "3")", note, none, none, "NATSUR 3: silt"},
    {"SBDARE", R"("NATSUR": "4")", note, none, none, "NATSUR 4: sand"},
    {"SBDARE", R"("NATSUR": "4", "NATQUA": "10")", note, none, none, "NATSUR 4, NATQUA 10: hard sand"},
    {"SBDARE", R"("NATSUR": "4", "NATQUA": "3")", poor | note, none, none, "NATQUA 3: coarse sand"},
    {"SBDARE", R"("NATSUR": "4,17")", poor | note, none, none, "NATSUR 17: shells among sand"},
    {"SBDARE", R"("NATSUR": "6")", poor | note, none, none, "NATSUR 6: gravel"},
    {"SBDARE", R"("NATSUR": "7")", poor | note, none, none, "NATSUR 7: pebbles"},
    {"SBDARE", R"("NATSUR": "5")", trip | poor | note, none, none, "NATSUR 5: stone"},
    {"SBDARE", R"("NATSUR": "8")", trip | poor | note, none, none, "NATSUR 8: cobbles"},
    {"SBDARE", R"("NATSUR": "11")", trip | poor | note, none, none, "NATSUR 11: lava"},
    {"SBDARE", R"("NATSUR": "18")", trip | poor | note, none, none, "NATSUR 18: boulder"},
    {"SBDARE", R"("NATSUR": "14")", ground | trip | poor | note, none, 0, "NATSUR 14: coral"},
    {"SBDARE", R"("NATSUR": "hard")", poor | note, none, none, "NATSUR that cannot be read"},
    {"SBDARE", R"("NATQUA": "10")", note, none, none, "NATQUA 10 alone: hard ground, kind not charted"},
    {"SBDARE", "", 0, none, none, "neither NATSUR nor NATQUA: says nothing"},
    {"WEDKLP", R"("CATWED": "1")", poor | note, none, none, "CATWED 1: kelp"},
    {"WEDKLP", R"("CATWED": "3")", ground | poor | note, none, 0, "CATWED 3: sea grass"},
    {"LIGHTS", "", 0, none, none, "light"},
};

class S57Effects : public testing_support::HazardSea {
protected:
    /// One object, with all the attributes that a cell gives its class, empty unless given.
    [[nodiscard]] HazardSet read(const std::string& object_class, const std::string& attributes,
                                 const HazardTerms& terms,
                                 const std::optional<std::vector<HazardRule>>& rules = {}) const {
        std::string all = attributes;
        for (const char* name :
             {"RESTRN", "CATREA", "CATMPA", "CATWED", "CATDPG", "CATACH", "CATWRK", "CATOBS", "CATMOR",
              "CATSPM", "CATCBL", "CATZOC", "NATSUR", "NATQUA", "WATLEV", "DRVAL1", "SUREND"}) {
            if (attributes.find(std::string("\"") + name) == std::string::npos) {
                all += (all.empty() ? "\"" : ", \"") + std::string(name) + "\": null";
            }
        }
        const std::string file = path("one.geojson");
        std::ofstream(file) << R"({"type": "FeatureCollection", "name": ")" << object_class
                            << R"(", "features": [{"type": "Feature", "properties": {)" << all
                            << R"(}, "geometry": {"type": "Point", "coordinates": [15, 60]}}]})";
        return rules ? by_rules(*rules, file, terms) : by_built_in_rules(file, terms);
    }

    struct Seen {
        int effects = 0;
        double hull_m = none, ground_m = none;
    };
    static Seen seen(const HazardSet& set, const std::optional<HullNeeds>& of_hull = needs) {
        Seen seen;
        for (const Hazard& hazard : set.hazards) {
            const Effects effects = effects_on(hazard, of_hull);
            seen.effects |= effects;
            if (effects & hull) seen.hull_m = std::max(seen.hull_m, hazard.margin_m);
            if (effects & ground) seen.ground_m = std::max(seen.ground_m, hazard.margin_m);
        }
        return seen;
    }
};

TEST_F(S57Effects, FollowFromTheDefinitionsOfIhoS57AppendixA) {
    for (const Row& row : rows) {
        const Seen found = seen(read(row.object_class, row.attributes, {}));
        const std::string what = std::string(row.object_class) + " {" + row.attributes + "}: " + row.by;
        EXPECT_EQ(found.effects, row.effects) << what;
        EXPECT_DOUBLE_EQ(found.hull_m, row.hull_m) << what;
        EXPECT_DOUBLE_EQ(found.ground_m, row.ground_m) << what;
    }
}

/// Each code by its own rule, so that no place is told of a restriction that its chart does not have.
TEST_F(S57Effects, ARestrictionIsToldInItsOwnWordsAlone) {
    const std::vector<std::pair<int, std::string>> words = {
        {1, "anchoring prohibited"}, {2, "anchoring restricted"}, {7, "entry prohibited"},
        {8, "entry restricted"},     {14, "area to be avoided"},  {24, "dragging prohibited"},
        {25, "stopping prohibited"}};
    for (const auto& [code, name] : words) {
        const HazardSet set = read("RESARE", R"("RESTRN": ")" + std::to_string(code) + "\"", {});
        ASSERT_EQ(set.hazards.size(), 1u) << code;
        EXPECT_EQ(set.hazards[0].kind, name);
    }
}

TEST_F(S57Effects, WhatIsAllowedOnlyAdvisesAndWhatLiesThereStays) {
    HazardTerms allowed;
    allowed.allowed = {"RESARE 0"};
    const auto effects = [&](const char* attributes, const HazardTerms& terms) {
        return seen(read("RESARE", attributes, terms)).effects;
    };
    for (const char* liftable : {R"("RESTRN": "1")", R"("RESTRN": "7")", R"("RESTRN": "14")",
                                 R"("RESTRN": "25")", R"("RESTRN": "2,24")", R"("RESTRN": "99")",
                                 R"("CATREA": "9", "RESTRN": "8")", R"("CATREA": "10")", ""}) {
        EXPECT_NE(effects(liftable, {}) & (hull | ground | drop), 0) << liftable;
        EXPECT_EQ(effects(liftable, allowed), warn) << liftable;
    }
    for (const char* danger : {R"("CATREA": "14")", R"("CATREA": "8")", R"("RESTRN": "no entry")"}) {
        EXPECT_EQ(effects(danger, allowed) & (hull | ground | drop), effects(danger, {})) << danger;
    }
    EXPECT_EQ(effects(R"("CATREA": "14", "RESTRN": "7")", allowed), hull | ground | drop | warn);
    allowed.allowed = {"RESARE #1", "RESARE"};
    EXPECT_EQ(effects(R"("RESTRN": "1")", allowed), ground | drop) << "another feature's identity";
}

TEST_F(S57Effects, WhatCameOfAnAllowanceIsTold) {
    HazardTerms terms;
    terms.allowed = {"MARCUL #0", "MARCUL 7", "MARCUL #0 Oysters"};
    const HazardSet set = read("MARCUL", R"("RESTRN": "7,8", "OBJNAM": "Oysters")", terms);
    ASSERT_EQ(set.allowed.size(), 3u);
    const AllowedFeature& farm = set.allowed[0];
    ASSERT_EQ(farm.features.size(), 1u);
    EXPECT_THAT(farm.features[0], testing::EndsWith("one.geojson: MARCUL #0 Oysters"));
    EXPECT_TRUE(farm.one_object);
    EXPECT_EQ(farm.lifted, std::vector<std::string>{"entry prohibited"});
    EXPECT_EQ(farm.stays, (std::vector<std::string>{"farm or fishing gear", "farm under the hull"}));
    EXPECT_TRUE(set.allowed[1].features.empty()) << "no feature is called that";
    EXPECT_EQ(set.allowed[2].lifted, farm.lifted) << "the whole label will do";
    EXPECT_EQ(seen(set).effects, hull | ground | warn);
}

class SeabedNotes : public S57Effects {
protected:
    [[nodiscard]] HazardSet drawn(const std::string& attributes, const std::string& geometry) const {
        const std::string file = path("drawn.geojson");
        std::ofstream(file) << R"({"type": "FeatureCollection", "name": "SBDARE", "features": [)"
                            << R"({"type": "Feature", "properties": {"NATSUR": null, "NATQUA": null, )"
                            << attributes << R"(}, "geometry": )" << geometry << "}]}";
        return by_built_in_rules(file, {});
    }
    [[nodiscard]] HazardSet noted(const std::string& attributes) const {
        return drawn(attributes, R"({"type": "Point", "coordinates": [15, 60]})");
    }
    static std::string nature(const HazardSet& set) {
        for (const Hazard& hazard : set.hazards) {
            if (!hazard.nature.empty()) return hazard.nature;
        }
        return "";
    }
};

TEST_F(SeabedNotes, AreToldInTheTermsOfIhoS57Attributes113And114And70) {
    EXPECT_EQ(nature(noted(R"("NATSUR": "1", "NATQUA": "6")")), "soft mud");
    EXPECT_EQ(nature(noted(R"("NATSUR": "4,17", "NATQUA": "1,4")")), "fine sand and broken shells");
    EXPECT_EQ(nature(noted(R"("NATSUR": "4,17", "NATQUA": "4")")), "sand and shells (broken)"); // of which?
    EXPECT_EQ(nature(noted(R"("NATSUR": "4", "NATQUA": "1,9")")), "fine, calcareous sand");
    EXPECT_EQ(nature(noted(R"("NATQUA": "10")")), "hard ground, kind not charted");
    EXPECT_EQ(nature(noted(R"("NATSUR": "12")")), "NATSUR 12"); // which no table lists
    EXPECT_EQ(nature(noted(R"("NATSUR": "hrd")")), "NATSUR hrd");
    EXPECT_EQ(nature(read("WEDKLP", R"("CATWED": "1")", {})), "kelp");
    EXPECT_EQ(nature(read("WEDKLP", "", {})), "weed"); // as the rule says
}

TEST_F(SeabedNotes, OfPoorGroundReachSoFarAndGoodOnesMakeNoGroundKnown) {
    const auto field = [this](const std::string& attributes) {
        return HazardField(noted(attributes).hazards, grid().extent(), metric());
    };
    const auto cells = [this](const HazardField& of, Effects bit) {
        Plane<Effects> bits(grid().extent());
        of.burn(bits);
        return std::count_if(bits.data(), bits.data() + bits.size(),
                             [bit](Effects effects) { return (effects & bit) != 0; });
    };
    // pi (250 m)^2 in cells of 10 m, and those that the rim touches
    EXPECT_NEAR(static_cast<double>(cells(field(R"("NATSUR": "9")"), poor)), 1963, 180);
    EXPECT_EQ(cells(field(R"("NATSUR": "4")"), poor), 0);
    EXPECT_EQ(cells(field(R"("NATQUA": "6")"), poor), 0);
    for (const char* good : {R"("NATSUR": "4")", R"("NATSUR": "2", "NATQUA": "7")", R"("NATQUA": "5")"}) {
        const auto grounds = testing_support::burnt_seabeds(field(good), grid().extent(), Seabed::unknown);
        EXPECT_TRUE(std::all_of(grounds.data(), grounds.data() + grounds.size(), [](Seabed seabed) {
            return seabed == Seabed::unknown;
        })) << good;
    }
    // Round a note no cell is worse than what the user says of the ground but that which it stands in.
    const auto grounds =
        testing_support::burnt_seabeds(field(R"("NATSUR": "9")"), grid().extent(), Seabed::mud);
    EXPECT_LE(std::count(grounds.data(), grounds.data() + grounds.size(), Seabed::rock), 4);
}

TEST_F(SeabedNotes, AreasSayWhatTheGroundIsWhereTheyLieAndNothingAround) {
    const HazardSet area = drawn(
        R"("NATSUR": "9")",
        R"({"type": "Polygon", "coordinates": [[[15, 60], [15.001, 60], [15.001, 60.001], [15, 60]]]})");
    EXPECT_EQ(seen(area).effects, trip);
    // A line may be anything that somebody drew.
    EXPECT_EQ(
        seen(drawn(R"("NATSUR": "9")", R"({"type": "LineString", "coordinates": [[15, 60], [15.001, 60]]})"))
            .effects,
        trip);
}

TEST_F(SeabedNotes, AQualityWithoutItsNatureIsToldOnceForAFile) {
    const auto told = [](const HazardSet& set) {
        return std::count_if(set.notes.begin(), set.notes.end(), [](const std::string& line) {
            return line.find("and not of what it is") != std::string::npos;
        });
    };
    EXPECT_EQ(told(noted(R"("NATQUA": "10")")), 1);
    EXPECT_EQ(told(noted(R"("NATSUR": "4", "NATQUA": "10")")), 0);
    EXPECT_EQ(told(noted(R"("NATSUR": "4")")), 0);
}

TEST_F(S57Effects, WithoutAHullNothingIsDeepOrHighEnough) {
    EXPECT_TRUE(seen(read("WRECKS", R"("VALSOU": 30)", {}), std::nullopt).effects & hull);
    const HazardSet bridge = read("BRIDGE", R"("VERCLR": 60)", {});
    EXPECT_TRUE(seen(bridge, std::nullopt).effects & hull);
    HullNeeds no_mast = needs;
    no_mast.air_draught_m = 0;
    EXPECT_TRUE(seen(bridge, no_mast).effects & hull);
}

TEST_F(S57Effects, ALeastDepthIsTakenLessItsUncertainty_S68Table62) {
    // Zone C: 2 + 0.05 d where nothing else is known: 4.42 - 2.221 = 2.199 clears 2.1, 4.3 - 2.215 = 2.085
    // does not.
    HazardTerms terms;
    EXPECT_FALSE(seen(read("OBSTRN", R"("VALSOU": 4.42)", terms)).effects & hull);
    EXPECT_TRUE(seen(read("OBSTRN", R"("VALSOU": 4.3)", terms)).effects & hull);
    terms.uncertainty = DepthUncertainty::constant(0.2);
    EXPECT_FALSE(seen(read("OBSTRN", R"("VALSOU": 2.31)", terms)).effects & hull);
    EXPECT_TRUE(seen(read("OBSTRN", R"("VALSOU": 2.29)", terms)).effects & hull);
    EXPECT_TRUE(seen(read("OBSTRN", R"("VALSOU": 2.31, "SOUACC": 0.5)", terms)).effects & hull);
}

TEST_F(S57Effects, ARadiusWidensTheMargin) {
    const HazardSet set = read("ACHBRT", R"("RADIUS": 250)", {});
    ASSERT_EQ(set.hazards.size(), 1u);
    EXPECT_DOUBLE_EQ(set.hazards[0].margin_m, 250);
}

TEST_F(S57Effects, WordsOfTheChartAreKept) {
    const HazardSet set = read("CTNARE", R"("INFORM": "unexploded ordnance", "OBJNAM": "North Deep")", {});
    ASSERT_EQ(set.hazards.size(), 3u); // a warning of the chart, at a point, that speaks of danger
    for (const Hazard& hazard : set.hazards) {
        EXPECT_EQ(hazard.information, "unexploded ordnance");
        EXPECT_EQ(hazard.label, "CTNARE #0 North Deep");
    }
}

TEST_F(S57Effects, WhatIsToldInWordsWarnsAroundIt_IhoS57Attributes102And158) {
    const auto warned_m = [this](const std::string& object_class, const std::string& attributes) {
        double margin_m = none;
        for (const Hazard& hazard : read(object_class, attributes, {}).hazards) {
            if (hazard.effects & warn) margin_m = std::max(margin_m, hazard.margin_m);
        }
        return margin_m;
    };
    for (const char* words :
         {"Shoal reported in 1974", "SHOALING", "foul", "Numerous submerged piles", "(rep 1985)",
          "Danger: rocks.", "uncharted/unsurveyed", "unexploded ordnance"}) {
        EXPECT_EQ(warned_m("SEAARE", R"("INFORM": ")" + std::string(words) + '"'), 200) << words;
    }
    for (const char* words : {"Rockets are fired here", "preparation", "foulness", "Stakes", ""}) {
        EXPECT_EQ(warned_m("SEAARE", R"("INFORM": ")" + std::string(words) + '"'), none) << words;
    }
    EXPECT_EQ(warned_m("SEAARE", R"("NINFOM": "rocks")"), 200);
    EXPECT_EQ(warned_m("NEWOBJ", R"("INFORM": "reported")"), 200); // of any class
    EXPECT_EQ(warned_m("WATTUR", ""), 200);
    EXPECT_EQ(warned_m("CTNARE", ""), 200); // a point says not how far it holds
    EXPECT_EQ(warned_m("PRCARE", ""), 0);
}

TEST_F(S57Effects, WhatAChartSaysOfAFeatureIsTold) {
    const auto told = [this](const std::string& attributes) {
        return read("WRECKS", attributes, {}).hazards.at(0).information;
    };
    EXPECT_EQ(told(R"("STATUS": "18,7")"), "temporary; existence doubtful");
    EXPECT_EQ(told(R"("CONDTN": 2, "EXPSOU": 2)"), "ruined; shoaler than the depths charted around it");
    EXPECT_EQ(told(R"("EXPSOU": 1, "STATUS": "1")"), ""); // as anybody expects
    EXPECT_EQ(told(R"("INFORM": "Mast", "NINFOM": "Mât", "TXTDSC": "A1.TXT")"),
              "Mast; more in A1.TXT, which is not read");
    EXPECT_EQ(told(R"("NINFOM": "Mât")"), "Mât");
    EXPECT_EQ(told(R"("PERSTA": "--1201", "PEREND": "--0315")"), "each year from --1201 to --0315");
    EXPECT_EQ(told(R"("DATSTA": "20240101", "SURSTA": "1930", "SUREND": "1939")"),
              "in force from 20240101; surveyed from 1930 to 1939");
    EXPECT_EQ(told(R"("QUAPOS": 5)"), "position doubtful");
}

TEST_F(S57Effects, AQualityOfThePositionWidensTheDanger_IhoS57Attribute402) {
    const auto allowance_m = [this](const std::string& attributes) {
        return read("WRECKS", attributes, {}).hazards.at(0).placement_allowance_m;
    };
    const double as_drawn_m = allowance_m("");
    const auto wider_m = [&](const std::string& attributes) { return allowance_m(attributes) - as_drawn_m; };
    EXPECT_NEAR(wider_m(R"("QUAPOS": 4)"), 30.5, 1e-6); // "generally considered to be within 30.5 metres"
    for (const int quality : {5, 6, 7, 8, 9}) {
        EXPECT_NEAR(wider_m("\"QUAPOS\": " + std::to_string(quality)), 100, 1e-6) << quality;
    }
    for (const int quality : {1, 10, 11}) {
        EXPECT_EQ(wider_m("\"QUAPOS\": " + std::to_string(quality)), 0) << quality;
    }
    EXPECT_NEAR(wider_m(R"("QUAPOS": 5, "POSACC": 7)"), 7, 1e-6); // a number that is stated
}

TEST_F(S57Effects, CodesThatNoTableListsAreKeptAndNamed) {
    const HazardSet set = read("RESARE", R"("RESTRN": "55,27", "CATREA": "1")", {});
    EXPECT_TRUE(seen(set).effects & drop);
    EXPECT_THAT(told_all(set.warnings), testing::ElementsAre(testing::HasSubstr("RESARE RESTRN 55")));
    EXPECT_THAT(told_all(set.warnings), testing::Not(testing::Contains(testing::HasSubstr("27"))));
}

TEST_F(S57Effects, ALengthThatIsNoneIsRefused) {
    for (const char* attribute : {R"("POSACC": -9999)", R"("POSACC": "25 m")"}) {
        try {
            static_cast<void>(read("WRECKS", attribute, {}));
            FAIL() << attribute;
        } catch (const InputError& error) {
            EXPECT_THAT(error.what(), testing::HasSubstr("feature #0: its POSACC is"));
        }
    }
    EXPECT_THROW(static_cast<void>(read("ACHBRT", R"("RADIUS": "300 m")", {})), InputError);
}

TEST_F(S57Effects, AReplacedMarginStaysAboveTheAccuracyOfThePositionAndARadius) {
    std::vector<HazardRule> rules = default_hazard_rules();
    for (HazardRule& rule : rules) {
        if (!rule.inert()) replace_margin(rule, 0);
    }
    const HazardSet wreck = read("WRECKS", R"("POSACC": 25)", {}, rules);
    ASSERT_FALSE(wreck.hazards.empty());
    for (const Hazard& hazard : wreck.hazards) {
        EXPECT_EQ(hazard.margin_m, 0);
        EXPECT_GE(hazard.placement_allowance_m, 25);
    }
    const HazardSet berth = read("ACHBRT", R"("RADIUS": 250)", {}, rules);
    ASSERT_EQ(berth.hazards.size(), 1u);
    EXPECT_DOUBLE_EQ(berth.hazards[0].margin_m, 250);
}

TEST_F(S57Effects, AStatedAccuracyOfThePositionWidensTheDanger) {
    const HazardSet set = read("WRECKS", R"("POSACC": 25)", {});
    ASSERT_FALSE(set.hazards.empty());
    for (const Hazard& hazard : set.hazards) {
        EXPECT_GE(hazard.placement_allowance_m, 25);
    }
}

} // namespace
} // namespace swingroom
