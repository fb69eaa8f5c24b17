#include "swingroom/boat/way.hpp"
#include "swingroom/report/cruise_page.hpp"

#include <algorithm>

namespace swingroom {

CruisePlace cruise_place(const PositionReport& spot, const std::string& name, const RodeMarks& marks,
                         const StayTide* tide) {
    CruisePlace place;
    place.name = name;
    place.position = spot.centre;
    place.verdict = spot.answer.verdict;
    place.advice = spot.answer.advice;
    place.depth_low_m = double{spot.depth_low_m};
    place.depth_high_m = spot.deep_charted ? spot.depth_high_m : std::numeric_limits<double>::quiet_NaN();
    place.limit_by = spot.limit_by;
    const auto at = std::find_if(spot.ways.begin(), spot.ways.end(), [&](const WayAtPosition& one) {
        return one.way == way_of(spot.answer.verdict);
    });
    if (at != spot.ways.end()) {
        place.rode_m = exact_rode_m(at->detail.needs.rode_m, marks);
        place.radius_m = double{at->detail.needs.radius_m};
        place.spare_m = double{at->spare_m};
        place.wind_limit_kn = double{at->wind_limit_kn};
        if (is_by_sounder(spot.answer.verdict)) {
            place.sounder_limit_m = double{at->detail.needs.sounder_limit_m};
        }
    }
    if (!spot.reach) return place;
    place.reach = spot.reach->reach;
    if (place.reach == Reach::at_times && tide != nullptr) {
        place.windows = tide->stay.windows(double{spot.reach->access_level_m});
    }
    return place;
}

} // namespace swingroom
