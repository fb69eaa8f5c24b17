#pragma once

#include <array>
#include <span>
#include <string_view>

// Keys, types and values as the OpenStreetMap wiki lists them (Seamarks/Seamark_Objects, Seamark_Attributes);
// class acronyms and codes are those of IHO S-57 edition 3.1, appendix A.
namespace swingroom::seamark_schema {

/// A value of seamark:type and the class that it stands for.
struct TypeOf {
    /// The value as it is tagged, and the acronym of the class.
    std::string_view type, object_class;
};
/// Several types may stand for one class; a type that is not listed is of no class known here.
inline constexpr std::array types = {TypeOf{"anchor_berth", "ACHBRT"},
                                     TypeOf{"anchorage", "ACHARE"},
                                     TypeOf{"berth", "BERTHS"},
                                     TypeOf{"beacon_cardinal", "BCNCAR"},
                                     TypeOf{"beacon_isolated_danger", "BCNISD"},
                                     TypeOf{"beacon_lateral", "BCNLAT"},
                                     TypeOf{"beacon_safe_water", "BCNSAW"},
                                     TypeOf{"beacon_special_purpose", "BCNSPP"},
                                     TypeOf{"bridge", "BRIDGE"},
                                     TypeOf{"building", "BUISGL"},
                                     TypeOf{"built_up_area", "BUAARE"},
                                     TypeOf{"buoy_cardinal", "BOYCAR"},
                                     TypeOf{"buoy_installation", "BOYINB"},
                                     TypeOf{"buoy_isolated_danger", "BOYISD"},
                                     TypeOf{"buoy_lateral", "BOYLAT"},
                                     TypeOf{"buoy_safe_water", "BOYSAW"},
                                     TypeOf{"buoy_special_purpose", "BOYSPP"},
                                     TypeOf{"cable_area", "CBLARE"},
                                     TypeOf{"cable_overhead", "CBLOHD"},
                                     TypeOf{"cable_submarine", "CBLSUB"},
                                     TypeOf{"calling-in_point", "RDOCAL"},
                                     TypeOf{"causeway", "CAUSWY"},
                                     TypeOf{"caution_area", "CTNARE"},
                                     TypeOf{"checkpoint", "CHKPNT"},
                                     TypeOf{"coastguard_station", "CGUSTA"},
                                     TypeOf{"coastline", "COALNE"},
                                     TypeOf{"control_point", "CTRPNT"},
                                     TypeOf{"conveyor", "CONVYR"},
                                     TypeOf{"crane", "CRANES"},
                                     TypeOf{"dam", "DAMCON"},
                                     TypeOf{"daymark", "DAYMAR"},
                                     TypeOf{"deep_water_route", "DWRTPT"},
                                     TypeOf{"deep_water_route_centreline", "DWRTCL"},
                                     TypeOf{"depth_area", "DEPARE"},
                                     TypeOf{"depth_contour", "DEPCNT"},
                                     TypeOf{"distance_mark", "DISMAR"},
                                     TypeOf{"dredged_area", "DRGARE"},
                                     TypeOf{"dry_dock", "DRYDOC"},
                                     TypeOf{"dumping_ground", "DMPGRD"},
                                     TypeOf{"dyke", "DYKCON"},
                                     TypeOf{"fairway", "FAIRWY"},
                                     TypeOf{"ferry_route", "FERYRT"},
                                     TypeOf{"fishing_facility", "FSHFAC"},
                                     TypeOf{"fishing_ground", "FSHGRD"},
                                     TypeOf{"floating_dock", "FLODOC"},
                                     TypeOf{"fog_signal", "FOGSIG"},
                                     TypeOf{"fortified_structure", "FORSTC"},
                                     TypeOf{"gate", "GATCON"},
                                     TypeOf{"gridiron", "GRIDRN"},
                                     TypeOf{"harbour", "HRBFAC"},
                                     TypeOf{"hulk", "HULKES"},
                                     TypeOf{"ice_area", "ICEARE"},
                                     TypeOf{"incineration_zone", "ICNARE"},
                                     TypeOf{"inshore_traffic_zone", "ISTZNE"},
                                     TypeOf{"land_area", "LNDARE"},
                                     TypeOf{"land_region", "LNDRGN"},
                                     TypeOf{"landmark", "LNDMRK"},
                                     TypeOf{"light", "LIGHTS"},
                                     TypeOf{"light_float", "LITFLT"},
                                     TypeOf{"light_major", "LIGHTS"},
                                     TypeOf{"light_minor", "LIGHTS"},
                                     TypeOf{"light_vessel", "LITVES"},
                                     TypeOf{"lock_basin", "LOKBSN"},
                                     TypeOf{"log_pond", "LOGPON"},
                                     TypeOf{"marine_farm", "MARCUL"},
                                     TypeOf{"military_area", "MIPARE"},
                                     TypeOf{"mooring", "MORFAC"},
                                     TypeOf{"navigation_line", "NAVLNE"},
                                     TypeOf{"obstruction", "OBSTRN"},
                                     TypeOf{"oil_barrier", "OILBAR"},
                                     TypeOf{"pile", "PILPNT"},
                                     TypeOf{"pilot_boarding", "PILBOP"},
                                     TypeOf{"pipeline_area", "PIPARE"},
                                     TypeOf{"pipeline_overhead", "PIPOHD"},
                                     TypeOf{"pipeline_submarine", "PIPSOL"},
                                     TypeOf{"platform", "OFSPLF"},
                                     TypeOf{"pontoon", "PONTON"},
                                     TypeOf{"precautionary_area", "PRCARE"},
                                     TypeOf{"production_area", "OSPARE"},
                                     TypeOf{"pylon", "PYLONS"},
                                     TypeOf{"radar_line", "RADLNE"},
                                     TypeOf{"radar_range", "RADRNG"},
                                     TypeOf{"radar_reflector", "RADRFL"},
                                     TypeOf{"radar_station", "RADSTA"},
                                     TypeOf{"radar_transponder", "RTPBCN"},
                                     TypeOf{"radio_station", "RDOSTA"},
                                     TypeOf{"rapids", "RAPIDS"},
                                     TypeOf{"recommended_route_centreline", "RCRTCL"},
                                     TypeOf{"recommended_track", "RECTRC"},
                                     TypeOf{"recommended_traffic_lane", "RCTLPT"},
                                     TypeOf{"rescue_station", "RSCSTA"},
                                     TypeOf{"restricted_area", "RESARE"},
                                     TypeOf{"retro_reflector", "RETRFL"},
                                     TypeOf{"rock", "UWTROC"},
                                     TypeOf{"sand_waves", "SNDWAV"},
                                     TypeOf{"sea_area", "SEAARE"},
                                     TypeOf{"seabed_area", "SBDARE"},
                                     TypeOf{"seaplane_landing_area", "SPLARE"},
                                     TypeOf{"separation_boundary", "TSSBND"},
                                     TypeOf{"separation_crossing", "TSSCRS"},
                                     TypeOf{"separation_lane", "TSSLPT"},
                                     TypeOf{"separation_line", "TSELNE"},
                                     TypeOf{"separation_roundabout", "TSSRON"},
                                     TypeOf{"separation_zone", "TSEZNE"},
                                     TypeOf{"shoreline_construction", "SLCONS"},
                                     TypeOf{"signal_station_traffic", "SISTAT"},
                                     TypeOf{"signal_station_warning", "SISTAW"},
                                     TypeOf{"small_craft_facility", "SMCFAC"},
                                     TypeOf{"sounding", "SOUNDG"},
                                     TypeOf{"spring", "SPRING"},
                                     TypeOf{"submarine_transit_lane", "SUBTLN"},
                                     TypeOf{"swept_area", "SWPARE"},
                                     TypeOf{"tideway", "TIDEWY"},
                                     TypeOf{"topmark", "TOPMAR"},
                                     TypeOf{"tunnel", "TUNNEL"},
                                     TypeOf{"turning_basin", "TRNBSN"},
                                     TypeOf{"two-way_route", "TWRTPT"},
                                     TypeOf{"unsurveyed_area", "UNSARE"},
                                     TypeOf{"vegetation", "VEGATN"},
                                     TypeOf{"water_turbulence", "WATTUR"},
                                     TypeOf{"waterfall", "WATFAL"},
                                     TypeOf{"weed", "WEDKLP"},
                                     TypeOf{"wreck", "WRECKS"}};

/// A word of the schema and the code that it stands for.
struct Word {
    /// As it is tagged, in lower case.
    std::string_view word;
    /// The value of the attribute in S-57.
    int code;
};
/// Words for what is restricted in an area, attribute RESTRN; a value may list several.
inline constexpr std::array restrictions = {Word{"no_anchoring", 1},
                                            Word{"restricted_anchoring", 2},
                                            Word{"no_fishing", 3},
                                            Word{"restricted_fishing", 4},
                                            Word{"no_trawling", 5},
                                            Word{"restricted_trawling", 6},
                                            Word{"no_entry", 7},
                                            Word{"restricted_entry", 8},
                                            Word{"no_dredging", 9},
                                            Word{"restricted_dredging", 10},
                                            Word{"no_diving", 11},
                                            Word{"restricted_diving", 12},
                                            Word{"no_wake", 13},
                                            Word{"to_be_avoided", 14},
                                            Word{"no_construction", 15},
                                            Word{"no_discharging", 16},
                                            Word{"restricted_discharging", 17},
                                            Word{"no_exploration_development", 18},
                                            Word{"restricted_exploration_development", 19},
                                            Word{"no_drilling", 20},
                                            Word{"restricted_drilling", 21},
                                            Word{"no_historical_artifacts_removal", 22},
                                            Word{"no_lightering", 23},
                                            Word{"no_dragging", 24},
                                            Word{"no_stopping", 25},
                                            Word{"no_landing", 26},
                                            Word{"restricted_speed", 27}};
/// Words for how a thing lies to the water, attribute WATLEV.
inline constexpr std::array water_levels = {Word{"part-submerged", 1}, Word{"dry", 2},   Word{"submerged", 3},
                                            Word{"covers", 4},         Word{"awash", 5}, Word{"floods", 6},
                                            Word{"floating", 7}};
/// Words for how well a depth is known, attribute QUASOU.
inline constexpr std::array qualities_of_sounding = {
    Word{"known", 1},           Word{"unknown", 2},     Word{"doubtful", 3},       Word{"unreliable", 4},
    Word{"no_bottom_found", 5}, Word{"least_known", 6}, Word{"least_unknown", 7},  Word{"not_surveyed", 8},
    Word{"not_confirmed", 9},   Word{"maintained", 10}, Word{"not_maintained", 11}};
/// Words for what the seabed is made of, attribute NATSUR.
inline constexpr std::array natures = {
    Word{"mud", 1},    Word{"clay", 2},    Word{"silt", 3},    Word{"sand", 4}, Word{"stone", 5},
    Word{"gravel", 6}, Word{"pebbles", 7}, Word{"cobbles", 8}, Word{"rock", 9}, Word{"lava", 11},
    Word{"coral", 14}, Word{"shells", 17}, Word{"boulder", 18}};
/// Words for how that is, attribute NATQUA.
inline constexpr std::array natures_quality = {
    Word{"fine", 1}, Word{"medium", 2}, Word{"coarse", 3},   Word{"broken", 4},     Word{"sticky", 5},
    Word{"soft", 6}, Word{"stiff", 7},  Word{"volcanic", 8}, Word{"calcareous", 9}, Word{"hard", 10}};
/// Words for kinds of obstruction, attribute CATOBS.
inline constexpr std::array obstructions = {
    Word{"stump", 1},    Word{"snag", 1},          Word{"wellhead", 2},  Word{"diffuser", 3},
    Word{"crib", 4},     Word{"fish_haven", 5},    Word{"foul_area", 6}, Word{"foul_ground", 7},
    Word{"ice_boom", 8}, Word{"ground_tackle", 9}, Word{"boom", 10}};
/// Words for kinds of wreck, attribute CATWRK.
inline constexpr std::array wrecks = {Word{"non-dangerous", 1}, Word{"dangerous", 2},
                                      Word{"distributed_remains", 3}, Word{"mast_showing", 4},
                                      Word{"hull_showing", 5}};
/// Words for kinds of mooring, attribute CATMOR, in which chain, wire and cable are one value.
inline constexpr std::array moorings = {Word{"dolphin", 1}, Word{"deviation_dolphin", 2},
                                        Word{"bollard", 3}, Word{"wall", 4},
                                        Word{"pile", 5},    Word{"chain", 6},
                                        Word{"wire", 6},    Word{"cable", 6},
                                        Word{"buoy", 7}};
/// Words for kinds of cable, attribute CATCBL.
inline constexpr std::array cables = {Word{"power", 1},     Word{"transmission", 3}, Word{"telephone", 4},
                                      Word{"telegraph", 5}, Word{"mooring", 6},      Word{"optical", 7}};
/// Words for kinds of restricted area, attribute CATREA.
inline constexpr std::array restricted_areas = {Word{"safety", 1},
                                                Word{"no_anchoring", 2},
                                                Word{"no_fishing", 3},
                                                Word{"nature_reserve", 4},
                                                Word{"bird_sanctuary", 5},
                                                Word{"game_reserve", 6},
                                                Word{"seal_sanctuary", 7},
                                                Word{"degaussing_range", 8},
                                                Word{"military", 9},
                                                Word{"historic_wreck", 10},
                                                Word{"inshore_traffic", 11},
                                                Word{"navigational_aid_safety", 12},
                                                Word{"stranding_danger", 13},
                                                Word{"minefield", 14},
                                                Word{"no_diving", 15},
                                                Word{"to_be_avoided", 16},
                                                Word{"prohibited", 17},
                                                Word{"swimming", 18},
                                                Word{"waiting", 19},
                                                Word{"research", 20},
                                                Word{"dredging", 21},
                                                Word{"fish_sanctuary", 22},
                                                Word{"ecological_reserve", 23},
                                                Word{"no_wake", 24},
                                                Word{"swinging", 25},
                                                Word{"water_skiing", 26}};
/// Words for kinds of anchorage, attribute CATACH.
inline constexpr std::array anchorages = {
    Word{"unrestricted", 1}, Word{"deep_water", 2}, Word{"tanker", 3},      Word{"explosives", 4},
    Word{"quarantine", 5},   Word{"seaplane", 6},   Word{"small_craft", 7}, Word{"small_craft_mooring", 8}};
/// Words for kinds of dumping ground, attribute CATDPG.
inline constexpr std::array dumping_grounds = {Word{"chemical", 2}, Word{"nuclear", 3}, Word{"explosives", 4},
                                               Word{"spoil", 5}, Word{"vessel", 6}};
/// Words for kinds of weed, attribute CATWED; two spellings of one of them are in use.
inline constexpr std::array weeds = {Word{"kelp", 1}, Word{"sea_weed", 2}, Word{"sea_grass", 3},
                                     Word{"saragasso", 4}, Word{"sargasso", 4}};
/// Words for purposes of special marks, attribute CATSPM: only those that bear on anchoring.
inline constexpr std::array marks = {Word{"no_anchoring", 20}, Word{"foul_ground", 45}};

/// What a class calls its category, and the words that matter here.
struct CategoryOf {
    /// The acronyms of the class and of the attribute that holds its category.
    std::string_view object_class, attribute;
    /// Those that are listed; others read as codes that cannot be read.
    std::span<const Word> words;
};
/// The category of a class that is not among them is dropped.
inline const std::array categories = {
    CategoryOf{"OBSTRN", "CATOBS", obstructions},    CategoryOf{"WRECKS", "CATWRK", wrecks},
    CategoryOf{"MORFAC", "CATMOR", moorings},        CategoryOf{"CBLSUB", "CATCBL", cables},
    CategoryOf{"CBLARE", "CATCBL", cables},          CategoryOf{"RESARE", "CATREA", restricted_areas},
    CategoryOf{"ACHARE", "CATACH", anchorages},      CategoryOf{"ACHBRT", "CATACH", anchorages},
    CategoryOf{"DMPGRD", "CATDPG", dumping_grounds}, CategoryOf{"WEDKLP", "CATWED", weeds},
    CategoryOf{"BOYSPP", "CATSPM", marks},           CategoryOf{"BCNSPP", "CATSPM", marks}};

/// A tag below seamark:<type>: and the attribute that it stands for; without words it is taken as it is.
struct KeyOf {
    /// The last part of the tag's key, and the acronym of the attribute.
    std::string_view key, attribute;
    /// Empty: the value is taken as it is.
    std::span<const Word> words{};
};
/// Depths and lengths are in metres, as the schema and the standard both have them.
inline const std::array keys = {KeyOf{"restriction", "RESTRN", restrictions},
                                KeyOf{"water_level", "WATLEV", water_levels},
                                KeyOf{"sounding", "VALSOU"},
                                KeyOf{"depth", "VALSOU"},
                                KeyOf{"sounding_quality", "QUASOU", qualities_of_sounding},
                                KeyOf{"minimum_depth", "DRVAL1"},
                                KeyOf{"maximum_depth", "DRVAL2"},
                                KeyOf{"surface", "NATSUR", natures},
                                KeyOf{"surface_quality", "NATQUA", natures_quality},
                                KeyOf{"radius", "RADIUS"},
                                KeyOf{"clearance_height", "VERCLR"},
                                KeyOf{"clearance_height_closed", "VERCCL"},
                                KeyOf{"clearance_height_safe", "VERCSA"},
                                KeyOf{"vertical_length", "VERLEN"}};

/// Classes that the standard knows as lines alone.
inline constexpr std::array<std::string_view, 11> line_classes = {"CBLSUB", "CBLOHD", "PIPSOL", "PIPOHD",
                                                                  "NAVLNE", "DEPCNT", "TSELNE", "TSSBND",
                                                                  "DWRTCL", "RCRTCL", "RADLNE"};
/// Classes that it knows as areas, and as points at the most.
inline constexpr std::array<std::string_view, 36> area_classes = {
    "ACHARE", "ACHBRT", "CBLARE", "CTNARE", "DEPARE", "DMPGRD", "DRGARE", "DWRTPT", "FAIRWY",
    "FSHGRD", "ICEARE", "ICNARE", "ISTZNE", "LNDARE", "LOGPON", "LOKBSN", "MIPARE", "OSPARE",
    "PIPARE", "PRCARE", "RCTLPT", "RESARE", "SBDARE", "SPLARE", "SUBTLN", "SWPARE", "TIDEWY",
    "TRNBSN", "TSEZNE", "TSSCRS", "TSSLPT", "TSSRON", "TWRTPT", "UNSARE", "WEDKLP", "SEAARE"};

} // namespace swingroom::seamark_schema
