#include "swingroom/room/verdict.hpp"

namespace swingroom {

namespace {
using reason::of_way;
using reason::OfWay;
} // namespace

std::string verdict_words(Verdict verdict, std::uint16_t advice) {
    std::string words;
    if (is_yes(verdict) && (advice & advice::out_of_reach) != 0) words = no_way_in;
    words += phrase(verdict);
    if (is_yes(verdict) && (advice & advice::unknown_holding) != 0) words += holding_not_known;
    return words;
}

const std::array<BitName, 22> reason_names = {{
    {reason::unsurveyed, "unsurveyed", "no depth is known here"},
    {reason::too_shallow, "too shallow", "less water here at low water than the hull requires"},
    {reason::hull_danger, "danger to the hull", "inside the margin of something that a hull must not meet"},
    {reason::ground_danger, "danger on the seabed",
     "inside the margin of something that an anchor or chain must not meet"},
    {reason::drop_forbidden, "letting go forbidden", "letting go an anchor is not allowed here"},
    {reason::windlass, "windlass", "anchor and hanging chain pull more than the windlass is rated for"},
    {reason::recovery, "recovery", "deeper at high water than a fouled anchor can be recovered from"},
    {reason::steep, "steep", "the seabed slopes more than the policy allows"},
    {reason::seabed, "no holding ground", "ground that no anchor holds in"},
    {reason::holding, "holding", "the planned wind pulls more than the anchor holds in this ground"},
    {of_way(Way::full, OfWay::hull_room), "full: hull room",
     "at full scope the boat would swing into shoal water, a danger or unsurveyed water"},
    {of_way(Way::full, OfWay::ground_room), "full: ground room",
     "at full scope the rode would sweep over something on the seabed"},
    {of_way(Way::full, OfWay::rode), "full: rode", "full scope needs more rode than is aboard"},
    {of_way(Way::full, OfWay::unavailable), "full: not to be had", "full scope is not to be had here"},
    {of_way(Way::short_scope, OfWay::hull_room), "short: hull room",
     "at short scope the boat would swing into shoal water, a danger or unsurveyed water"},
    {of_way(Way::short_scope, OfWay::ground_room), "short: ground room",
     "at short scope the rode would sweep over something on the seabed"},
    {of_way(Way::short_scope, OfWay::rode), "short: rode", "short scope needs more rode than is aboard"},
    {of_way(Way::short_scope, OfWay::unavailable), "short: not to be had",
     "short scope is not to be had here"},
    {of_way(Way::sinker, OfWay::hull_room), "sinker: hull room",
     "at short scope with sinker the boat would swing into shoal water, a danger or unsurveyed water"},
    {of_way(Way::sinker, OfWay::ground_room), "sinker: ground room",
     "at short scope with sinker the rode would sweep over something on the seabed"},
    {of_way(Way::sinker, OfWay::rode), "sinker: rode",
     "short scope with sinker needs more rode than is aboard"},
    {of_way(Way::sinker, OfWay::unavailable), "sinker: not to be had", "there is no sinker aboard"},
}};

const std::array<BitName, 15> advice_names = {{
    {advice::trip_line, "trip line", "foul ground near: a trip line is wise"},
    {advice::poor_holding, "poor holding",
     "ground that holds poorly, here or in a note of the chart near by"},
    {advice::unknown_holding, "unknown holding", "the nature of the seabed or what it holds is not known"},
    {advice::steep, "steep", "the seabed slopes more than 1 in 10"},
    {advice::coarse_data, "coarse data", "cells larger than a third of the least swinging radius"},
    {advice::deep_recovery, "deep recovery", "deeper at high water than an untrained diver reaches"},
    {advice::wind_above_limit, "wind above limit", "the planned wind is above the wind limit here"},
    {advice::read_chart, "read the chart", "the chart has a warning or a restriction here: read it"},
    {advice::poor_survey, "poor survey",
     "charted dangers may lie 50 m and more beside their place: zone of confidence B or worse, or none, or a "
     "survey before 1940"},
    {advice::uncharted, "no chart", "none of the charts given covers this: its dangers are not known"},
    {advice::sound_first, "sound first",
     "let go only where the sounder shows no more than the limit within a boat's length, and veer for the "
     "most that it shows, at high water"},
    {advice::survey_and_chart_differ, "survey and chart differ",
     "the survey, which counts, and the chart's depth area differ here by more than both may be off, or the "
     "chart was surveyed later: look at both"},
    {advice::out_of_reach, "no way in",
     "no way with water and room enough leads here at any level of the stay that is sure"},
    {advice::wait_for_water, "wait for water", "the way in is open only while the water stands high enough"},
    {advice::way_unknown, "way not known",
     "whether a way leads here is not known: look for one on the chart"},
}};

} // namespace swingroom
