#pragma once

#include "swingroom/water/stay_tide.hpp"
#include "swingroom/water/tide_table.hpp"

#include <memory>
#include <string_view>
#include <vector>

namespace swingroom::testing_support {

inline Instant utc(std::string_view text) { return parse_instant(text, ZoneOffset(0), "test"); }

/// An invented table of high and low waters: two days in December, 0.4 to 4.5 m.
inline std::shared_ptr<const LevelCurve> made_table() {
    return std::make_shared<TideTable>(std::vector<Turn>{{utc("2026-12-24T00:10"), 0.5, false},
                                                         {utc("2026-12-24T06:20"), 4.3, true},
                                                         {utc("2026-12-24T12:35"), 0.6, false},
                                                         {utc("2026-12-24T18:45"), 4.5, true},
                                                         {utc("2026-12-25T01:00"), 0.4, false},
                                                         {utc("2026-12-25T07:10"), 4.4, true},
                                                         {utc("2026-12-25T13:20"), 0.7, false}},
                                       0.05, CurveAllowance{}, "made.csv");
}

/// A stay by that table, on a clock an hour ahead of UTC; 0.2 m below and 0.3 m above for weather.
inline StayTide made_tide(std::string_view arrive = "2026-12-24T14:30",
                          std::string_view depart = "2026-12-25T09:00") {
    const LevelAllowances allowances{0.2, 0.3};
    std::shared_ptr<const LevelCurve> curve = made_table();
    Stay stay(*curve, utc(arrive), utc(depart), allowances, "made.csv");
    return {curve, allowances, stay, ZoneOffset(60), "made.csv", "Haven pier", "invented", "LAT", {}, {}};
}

} // namespace swingroom::testing_support
