// Changes and the nearest yes as they are read: in every unit they still do what they say.

#include "swingroom/report/alternatives.hpp"

#include "support/drawing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstddef>
#include <string>
#include <utility>

namespace swingroom {
namespace {

using testing::ElementsAre;

/// The number behind a piece of text.
double figure(const std::string& text, const std::string& behind = "") {
    const std::size_t at = text.find(behind);
    if (at == std::string::npos) ADD_FAILURE() << behind << " is not in " << text;
    return std::stod(text.substr(at + behind.size()));
}

// The foot is 0.3048 m, the fathom 1.8288 m (agreement on yard and pound, 1959).
TEST(Changes, StillDoWhatTheySayInAnyUnit) {
    testing_support::Dice dice(4);
    for (int trial = 0; trial < 300; ++trial) {
        const double tenths_m = dice.whole(1, 90) / 10.0;
        const double metres = dice.whole(2, 900);
        for (const auto& [unit, unit_m] :
             {std::pair(LengthUnit::metre, 1.0), std::pair(LengthUnit::foot, 0.3048),
              std::pair(LengthUnit::fathom, 1.8288)}) {
            const Measures measures{unit, {}};
            const std::string water =
                change_text({Change::water, 0.5 + tenths_m, 0.5, "", "", Verdict::full}, measures);
            constexpr double tolerance_m = 1e-4; // see rounded()
            EXPECT_GE(figure(water) * unit_m, tenths_m - tolerance_m) << water;
            EXPECT_GE(figure(water, "(") * unit_m, 0.5 + tenths_m - tolerance_m) << water;
            const std::string rode =
                change_text({Change::rode, 60 + metres, 60, "", "", Verdict::full}, measures);
            EXPECT_GE(figure(rode) * unit_m, metres - tolerance_m) << rode;
            EXPECT_LT(figure(rode) * unit_m, metres + 1 * unit_m) << rode;
            const std::string margin = change_text(
                {Change::margin, metres, metres + 7.3, "cable", "bylaw", Verdict::full}, measures);
            EXPECT_LE(figure(margin, "with a margin of ") * unit_m, metres + tolerance_m) << margin;
            EXPECT_GT(figure(margin, "with a margin of ") * unit_m, metres - 1 * unit_m) << margin;
        }
    }
}

TEST(Changes, AreWordedAsConditions) {
    EXPECT_EQ(proposal_text({Change::water, 0.9, 0.5, "", "", Verdict::full}, {}),
              "0.4 m more water at low water (0.90 m above chart datum): yes, at full scope");
    Proposal of_tide{Change::water, 1.90004, 0.35, "", "", Verdict::full};
    of_tide.of_tide = true;
    EXPECT_EQ(proposal_text(of_tide, {}),
              "water from 1.9 m above chart datum on, 1.6 m more than at its lowest: yes, at full scope");
    EXPECT_NE(proposals_json({of_tide}).find("\"more_m\": 1.6, \"low_water_m\": 1.90004"), std::string::npos);
    EXPECT_EQ(change_text({Change::rode, 75, 60, "", "", Verdict::full}, {}),
              "15 m more rode (75.0 m in all)");
    EXPECT_EQ(change_text({Change::wind, 9, 12.5, "", "", Verdict::full}, {}), "at 9 kn instead of 12.5");
    EXPECT_EQ(change_text({Change::sinker, 15, 0, "", "", Verdict::sinker}, {}),
              "with a sinker of 15 kg, slid down by the height of the roller above the seabed");
    EXPECT_EQ(change_text({Change::margin, 30, 46.3, "cable", "", Verdict::full}, {}),
              "with a margin of 30 m instead of 46.3 m around 'cable' (whose source is not told)");
}

TEST(NearestYesText, SaysHowFarThereIsToGo) {
    Alternatives none;
    none.nearest.looked_m = 3704;
    EXPECT_EQ(alternatives_lines(none, {}).back(), "Nearest yes: none within 3704 m on the raster");
    EXPECT_EQ(nearest_yes_json(none.nearest), "null");
    Alternatives some;
    some.surveyed = false;
    some.nearest.nearest =
        NearestYes{{-29.04, 47.98}, 3, 4, Verdict::short_scope, advice::unknown_holding, 5.46F, 411.2, 359.7};
    EXPECT_THAT(
        alternatives_lines(some, {}),
        ElementsAre(
            "What would make it a yes: a survey, before all else",
            "Nearest yes: 412 m, bearing 000°, to the centre of the cell at -29.040000 47.980000: "
            "yes, at short scope; holding not known; where the sounder, taken to chart datum, shows no "
            "more than 5.4 m"));
    // 411.2 / 1852 = 0.222
    EXPECT_THAT(alternatives_lines(some, {LengthUnit::foot, {}}).back(),
                testing::StartsWith("Nearest yes: 0.23 nm, bearing 000°, "));
}

} // namespace
} // namespace swingroom
