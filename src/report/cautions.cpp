#include "swingroom/report/report.hpp"

#include <algorithm>

namespace swingroom {
namespace {

constexpr std::string_view levels_caution =
    "Two levels of the water, the lowest and the highest of the stay, say nothing of the hours between, and "
    "weather is to be in them.";
constexpr std::string_view tide_caution =
    "The water's level is that of one station, for the whole area: range and times change with distance, "
    "behind headlands, up rivers. It is a prediction: wind, pressure, rivers and swell move the water off "
    "it, "
    "as far as the two allowances say and no further. Hours afloat are not an answer: a yes is what holds "
    "for "
    "the whole stay.";

} // namespace

const std::array<std::string_view, 12> cautions = {{
    "The seabed within a swinging circle is taken as flat, at the depth of the cell where the anchor is "
    "dropped. The spare of a cell at the foot of a slope is less certain than its decimals.",
    "The seabed carries chain without friction, so no holding is credited to it.",
    "Sheering about, swell, surge and the jerks of a short rode are not modelled. Gusts are a factor on "
    "the wind; waves are half their planned height of depth for the keel, and nothing for the rode.",
    "What an anchor holds is yours to say. Where you do not, a published power law is used for fluke and "
    "stockless anchors in clay, sand and mud: it was found with anchors far heavier than a yacht's, and "
    "its constants are quoted from memory. Soil factors carry a number to other ground, never upwards "
    "without your word. Other types have no published number.",
    "How far rope stretches is estimated from its diameter, for laid rope from memory of makers' sheets; "
    "give rope_stiffness if you know it. The beams of the small-craft load table are from memory too.",
    "A chart is as good as its survey and as new as its last update. Where its zone of confidence is D or "
    "not assessed nobody has published how far its depths may be off: what is taken off there is the "
    "least that it can be. Its dangers may lie beside their charted place, by 500 m in zone C: margins "
    "are widened by that with --zone-margin yes only, the advice \"poor survey\" tells where.",
    "That something is not in a file is no proof that it is not there. OpenStreetMap above all: who tags "
    "a wreck does a service, and nobody has promised to tag them all.",
    "National law differs from the built-in rules, in margins and in what is forbidden, and comes first. "
    "Restrictions that hold for a season count all year.",
    "Levels, charts and rasters must mean the same chart datum. inputs tells what each says of its own; "
    "the datums of several charts are not tied to each other.",
    levels_caution,
    "The way in is a way through what is surveyed, by depth and room alone. Currents, traffic, buoyage and "
    "the "
    "rules of a channel are not in it, nor is what lies beyond the edge of the data, where it begins: read "
    "the "
    "pilot book.",
    "Other boats are not there, nor is shelter: lee, fetch, swell and the traffic of a channel are yours to "
    "judge.",
}};

std::vector<std::string> cautions_of(const StayTide* tide) {
    std::vector<std::string> all(cautions.begin(), cautions.end());
    if (tide != nullptr) {
        std::replace(all.begin(), all.end(), std::string(levels_caution), std::string(tide_caution));
    }
    return all;
}

} // namespace swingroom
