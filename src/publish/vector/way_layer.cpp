#include "publish/vector/way_layer.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/water/level_text.hpp"

#include "base/json.hpp"
#include "base/text.hpp"
#include "publish/styles/answer_words.hpp"
#include "publish/vector/feature_words.hpp"
#include "publish/vector/safe_properties.hpp"

#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// "course 045, 1230 m, least depth 3.19 m", "course 045, 120 m, dries 0.48 m": of each leg, from the start
/// on.
std::string legs_text(const Approach& way) {
    std::string text;
    for (const ApproachLeg& leg : way.legs) {
        const std::string course = std::to_string(1000 + std::lround(leg.course_deg) % 360).substr(1);
        add_word(text, "; ",
                 "course " + course + ", " + json_number(leg.length_m, 0, Rounded::up) + " m, " +
                     (leg.least_depth_m < 0
                          ? "dries " + json_number(-leg.least_depth_m, 2, Rounded::up)
                          : "least depth " + json_number(leg.least_depth_m, 2, Rounded::down)) +
                     " m");
    }
    return text;
}

/// Whether it is open all the time, and else when: in words, and for programs.
struct Opening {
    std::string is, when;
};

Opening opening_of(double level_m, const OverlayJob& job) {
    if (level_m <= double{job.way_in->lowest_m}) {
        return {std::string(way_open_always), "at every level of the stay"};
    }
    const std::string needed = "from a level of " + level_above_datum_text(level_m, Rounded::up) + " on";
    if (job.tide == nullptr) return {"at times", needed};
    return {"at times", needed + ": " + afloat_text(job.tide->stay, level_m, job.tide->zone)};
}

std::vector<Property> properties_of(const Approach& way, std::size_t rank, const std::string& name,
                                    const std::string& spot_name, const std::string& meaning,
                                    const Opening& opening) {
    const Sill& sill = way.sill;
    return {whole("rank", static_cast<std::int64_t>(rank)),
            text("name", name),
            text("spot", spot_name),
            text("meaning", meaning),
            text("open", opening.is),
            text("open_when", opening.when),
            up("level_m", way.level_m, 2),
            down("clear_m", way.clear_m, 1),
            up("length_m", way.length_m, 0),
            {"sill_longitude", sill.at.lon, 7},
            {"sill_latitude", sill.at.lat, 7},
            down("sill_depth_m", sill.least_depth_m, 2),
            up("sill_level_m", sill.level_m, 2),
            text("sill_hazard", sill.hazard),
            text("legs", legs_text(way)),
            whole("cells_together", way.together)};
}

} // namespace

WayLayer::WayLayer(const std::filesystem::path& folder, const OverlayJob& job, const Provenance& provenance,
                   std::size_t spots, NamePrefix prefix)
    : job_(job), spots_(spots), prefix_(std::move(prefix)),
      lines_(folder, "ways",
             "The ways in to the best drop points, each from where it begins to the drop point",
             VectorLayer::Shape::line, properties_of({}, 0, "", "", "", {}), provenance) {}

void WayLayer::add(const Approach& way, std::size_t rank, const std::string& spot_name,
                   const PositionReport& spot) {
    std::vector<GridPoint> line;
    for (const ApproachLeg& leg : way.legs) {
        if (line.empty()) line.push_back({leg.from.lon, leg.from.lat});
        line.push_back({leg.to.lon, leg.to.lat});
    }
    lines_.add_line(std::move(line), properties_of(way, rank, way_name(rank, spots_, prefix_), spot_name,
                                                   verdict_words(spot.answer.verdict, spot.answer.advice),
                                                   opening_of(way.level_m, job_)));
}

} // namespace swingroom
