#pragma once

#include "swingroom/boat/by_sounder.hpp"
#include "swingroom/boat/statics.hpp"
#include "swingroom/boat/tackle.hpp"

#include <algorithm>
#include <optional>

namespace swingroom::testing_support {

/// What a way asks for when she reads the sounder and veers for the reading, straight from the statics.
class RodeAtReading {
public:
    struct Asked {
        double rode_m = 0, radius_m = 0, ground_m = 0;
    };

    RodeAtReading(const Boat& boat, const Conditions& conditions, const SoundedBand& band)
        : tackle_(boat, conditions), band_(band) {}

    /// Nothing where the rode aboard is too short, or windlass or crew are overtaxed.
    /// @param shallower_m  how much less water the radius is taken for
    [[nodiscard]] std::optional<Asked> at(Way way, double reading_m, double shallower_m = 0) const {
        const Boat& boat = tackle_.boat();
        if (way == Way::sinker && !boat.sinker) return std::nullopt;
        const double deep_m = reading_m + band_.deeper_m, high_m = tackle_.high_span_m(deep_m);
        const double at_high_m = deep_m + tackle_.conditions().water.high_m;
        if (boat.recovery_depth_m > 0 && at_high_m > boat.recovery_depth_m) return std::nullopt;
        const double low_m = std::max(
            1e-3, tackle_.low_span_m(std::max(band_.shoal_m, reading_m - band_.shoaler_m)) - shallower_m);
        for (int marks = 1;; ++marks) {
            const double rode_m = std::min(marks * boat.rode.mark_m, boat.rode.aboard_m());
            const double from_bow_m = tackle_.sinker_from_bow_m(way, rode_m);
            if (tackle_.span_limit_m(way, rode_m, from_bow_m) >= high_m) {
                const double reach_m =
                    way == Way::full ? tackle_.taut_reach_m(rode_m, low_m, low_m)
                                     : rode_state(tackle_.planned_pull_n(), low_m,
                                                  tackle_.parts(way, rode_m, from_bow_m, Stretch::as_aboard))
                                           .reach_m;
                return Asked{rode_m, reach_m + tackle_.hull_allowance_m(),
                             rode_m - low_m + tackle_.ground_allowance_m()};
            }
            if (rode_m >= boat.rode.aboard_m()) return std::nullopt;
        }
    }
    /// Whether a way fits the rooms at a reading.
    [[nodiscard]] bool fits(Way way, double reading_m, double hull_room_m, double ground_room_m,
                            double tolerance_m = 0, double shallower_m = 0) const {
        const auto asked = at(way, reading_m, shallower_m);
        return asked && asked->radius_m <= hull_room_m + tolerance_m &&
               asked->ground_m <= ground_room_m + tolerance_m;
    }

private:
    Tackle tackle_;
    SoundedBand band_;
};

} // namespace swingroom::testing_support
