#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/overlay/anchorages.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/report/named_noes.hpp"
#include "swingroom/report/report_table.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/place_names.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <array>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// What is simplified, for everybody who uses an answer: README.md's list.
extern const std::array<std::string_view, 12> cautions;
/// The same for a run: where its levels come from a curve, what is simplified of that one.
/// @param tide  of the run; null: two levels alone are known
std::vector<std::string> cautions_of(const StayTide* tide);

/// What maps are drawn from besides the finished layers. Without it they show no kinds of noes, no depths
/// and no hazards.
struct MapInput {
    /// Of the run; null: not gathered.
    const MapPlanes* planes = nullptr;
    /// The run's job, for a closer look and its hazards; null: not at hand.
    const OverlayJob* job = nullptr;
};

/// What the folder does not hold: which layers the run has made, the boat, what was asked, what was found out
/// about the inputs.
struct ReportInput {
    std::vector<VectorLayer::Finished> vectors; ///< zones, spots, exclusions, as far as there are such
    /// All about the first drop points of the layer, so that their dangers can be told in any unit; those of
    /// the others are told as the layer has them.
    std::vector<PositionReport> best_spots;
    /// By the boat file, for the head of the page.
    std::string boat_name;
    std::vector<std::string> boat_sentences; ///< water, wind, rode, what the anchor holds
    ReportTable boat_table;                  ///< by depth
    ReportTable reading_table;               ///< by reading; without rows where the sounder chooses nothing
    ReportTable sinker_table;                ///< without rows where there is no sinker
    Markup rode_picture;                     ///< SVG; empty where there is none to draw
    /// Says in words what the picture shows, also for who cannot see it.
    std::string rode_caption;
    /// How far from where it is meant to the anchor may fall, in metres.
    double position_allowance_m = 0;
    /// The levels, the wind and the current that were asked about.
    Conditions conditions;
    /// What the hull asks for at low water, in metres.
    double required_depth_m = 0;
    std::vector<PlaceName> places;       ///< as the charts call what is looked at
    std::vector<Inspection> inspections; ///< what each input is, and what is doubtful in it
    /// What the user has taken upon himself, of the run's warnings: it stands among the cautions too.
    std::vector<std::string> waivers;
    MapInput map; ///< for its maps
    /// What was counted of the answers.
    Tally tally;
    /// Places that are a no, and what would change that: named_noes().
    std::vector<NamedNo> named_noes;
    std::vector<AnchorageAnswers> anchorages; ///< charted ones that have cells in the window
    /// As every other output carries it.
    Provenance provenance;
    /// The unit that lengths on the page are in; the layers' figures stay in metres.
    Measures measures;
    /// Of the boat's rode: its lengths are told by the marks, too.
    RodeMarks marks;
    /// The boat that is asked for.
    Boat boat;
    /// The water of the stay over time, which must outlive the report; null: two levels alone are known.
    const StayTide* tide = nullptr;
    /// What is known of the way in, which must outlive the report; null: nobody looked.
    const WayIn* way_in = nullptr;
};

/// What the report says beside the layers: the boat's table and her rode, drawn, and what was asked of her.
/// Vectors and drop points are left for the one who has made them.
/// @param tables  of the run   @param inspections  of its inputs   @param measures  of what people read
ReportInput report_input(const TackleTables& tables, std::vector<Inspection> inspections,
                         const Provenance& provenance, const Measures& measures);

/// Writes report and map, as far as they are wanted, into a folder whose verdict, zones and spots (and
/// exclusions, if wanted) are finished, from these files, which are read once. Then re-reads and compares.
///  * report.html: one page that needs no network and no script;
///  * map.svg and map-night.svg: the map by itself, with its legend, insets of the best drop points and the
///    caution; self-contained, the provenance in its metadata.
/// @param wanted  of it Layer::report and Layer::map count   @throws IoError
void write_pages(const std::filesystem::path& folder, const ReportInput& input, LayerSet wanted);

} // namespace swingroom
