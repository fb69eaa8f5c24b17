#include "publish/vector/way_in_columns.hpp"

#include "swingroom/overlay/arrival.hpp"

#include "publish/styles/answer_words.hpp"
#include "publish/vector/safe_properties.hpp"

#include <cmath>
#include <limits>
#include <string>

namespace swingroom {

void add_way_in(std::vector<Property>& properties, const PlaceReach& reach, const StayTide* tide) {
    const bool waits = reach.reach == Reach::at_times || reach.reach == Reach::never;
    const bool some_level = waits && std::isfinite(reach.access_level_m);
    properties.push_back(text("way_in", std::string(reach_word(reach.reach))));
    properties.push_back(
        up("access_level_m",
           some_level ? double{reach.access_level_m} : std::numeric_limits<double>::quiet_NaN(), 2));
    if (tide == nullptr) return;
    std::string words;
    if (reach.reach == Reach::never && !some_level) {
        words = "at no level of the water";
    } else if (reach.reach != Reach::unknown) {
        words = afloat_text(tide->stay, double{reach.access_level_m}, tide->zone);
    }
    properties.push_back(text("windows", words));
}

void add_times_of_way_in(std::vector<Property>& properties, const PlaceReach& reach, const StayTide* tide) {
    if (tide == nullptr) return;
    const bool gets_there = reach.reach == Reach::always || reach.reach == Reach::at_times;
    const std::vector<TimeWindow> windows =
        gets_there ? tide->stay.windows(double{reach.access_level_m}) : std::vector<TimeWindow>();
    const auto time = [&](Instant at) { return clock_text(at, tide->zone); };
    properties.push_back(text("come_from", windows.empty() ? "" : time(windows.front().from)));
    properties.push_back(text("come_until", windows.empty() ? "" : time(windows.front().to)));
    properties.push_back(text("leave_by", windows.empty() ? "" : time(windows.back().to)));
}

} // namespace swingroom
