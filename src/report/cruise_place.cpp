#include "swingroom/boat/way.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/overlay/sounder.hpp"
#include "swingroom/report/cruise_page.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {

CruisePlace cruise_place(const PositionReport& spot, const std::string& name, const Boat& boat,
                         const StayTide* tide) {
    const RodeMarks marks = rode_marks(boat);
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
        place.spare_is_at_least = !end_of_spare(spot, *at);
        place.wind_limit_kn = double{at->wind_limit_kn};
        if (is_by_sounder(spot.answer.verdict)) {
            const double shown_at_low_m = shown_above_datum_m(spot.levels.low_m, boat.sounder);
            place.sounder_limit_m = double{at->detail.needs.sounder_limit_m};
            place.sounder_at_low_water_m = place.sounder_limit_m + shown_at_low_m;
            place.condition =
                sounder_condition(place.sounder_limit_m, shown_at_low_m, plain_way_words(spot, marks));
        }
    }
    if (!spot.reach) return place;
    place.reach = spot.reach->reach;
    const bool waits = place.reach == Reach::at_times || place.reach == Reach::never;
    if (waits && std::isfinite(spot.reach->access_level_m)) {
        place.access_level_m = double{spot.reach->access_level_m};
    }
    if (place.reach == Reach::at_times && tide != nullptr) {
        place.windows = tide->stay.windows(double{spot.reach->access_level_m});
    }
    return place;
}

} // namespace swingroom
