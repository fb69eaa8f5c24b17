#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/probe.hpp"

#include "made_raster.hpp"
#include "support/warning_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

namespace swingroom::testing_support {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

std::vector<Setting> asked(const Probed& probed) {
    std::vector<Setting> settings;
    for (const UnsaidError& question : probed.questions) {
        settings.push_back(question.question());
    }
    return settings;
}

std::vector<std::string> told(const Probed& probed) {
    std::vector<std::string> lines;
    for (const UnsaidError& question : probed.questions) {
        lines.push_back(question.message().text(marked));
    }
    return lines;
}

TEST(Probe, AsksEverythingThatIsNotSaidAtOnce) {
    const Scratch folder;
    Made made;
    made.crs = "";
    made.unit = "";
    write(made, folder / "bare.tif");
    BathymetryRequest request;
    request.file = folder / "bare.tif";
    const Probed probed = probe(request);
    EXPECT_THAT(asked(probed), ElementsAre(Setting::crs, Setting::positive, Setting::depth_unit,
                                           Setting::chart_datum, Setting::uncertainty));
    EXPECT_TRUE(probed.source) << "answered one way or the other, it can be looked at";
    EXPECT_FALSE(probed.refusal);
    request.crs = "EPSG:32631";
    request.depth_unit = "m";
    EXPECT_THAT(asked(probe(request)),
                ElementsAre(Setting::positive, Setting::chart_datum, Setting::uncertainty));
    EXPECT_THAT(probe(heights(request.file)).questions, Not(IsEmpty()));
    EXPECT_THAT(probe([&] {
                    BathymetryRequest whole = heights(request.file);
                    whole.crs = "EPSG:32631";
                    whole.depth_unit = "m";
                    return whole;
                }())
                    .questions,
                IsEmpty());
}

TEST(Probe, TheSignIsExplainedByTheFilesOwnNumbers) {
    const Scratch folder;
    Made made;
    made.values = {-30.1, -20, -3, -4, -5, 6, 7, 8, 9, 10, 11, 109.2};
    write(made, folder / "made.tif");
    BathymetryRequest request = heights(folder / "made.tif");
    request.positive_down.reset();
    EXPECT_THAT(told(probe(request)),
                ElementsAre(AllOf(HasSubstr("they run from -30.1 to 109.2, 42 % of them below 0"),
                                  HasSubstr("<positive> up if the negative ones are under water (heights)"),
                                  HasSubstr("<positive> down if the positive ones are (depths)"))));
}

TEST(Probe, MetresAndDegreesWithoutACrsAreCalledWhatTheyAre) {
    const Scratch folder;
    Made made;
    made.crs = "";
    write(made, folder / "metres.tif");
    BathymetryRequest request = heights(folder / "metres.tif");
    EXPECT_THAT(
        told(probe(request)),
        ElementsAre(HasSubstr("names no CRS; its coordinates run from 600000 to 600040 and 5899970 to "
                              "5900000: metres of a projection, not degrees; say which one with <CRS> "
                              "EPSG:")));
    EXPECT_TRUE(probe(request).source);
    // Nothing is told of where on the earth such a grid lies.
    const Inspection found = inspect(request);
    EXPECT_FALSE(found.bounds);
    EXPECT_THAT(told_all(found.facts), Contains(HasSubstr("in a CRS that is not named")));
    made.transform = {{-29.08, 0.001, 0, 48.01, 0, -0.001}};
    write(made, folder / "degrees.tif");
    request.file = folder / "degrees.tif";
    EXPECT_THAT(told(probe(request)),
                ElementsAre(AllOf(HasSubstr("which may be degrees"), HasSubstr("<CRS> EPSG:4326"))));
    EXPECT_TRUE(inspect(request).bounds);
}

// --- What speaks against a sign

std::vector<std::string> doubts_of(const std::vector<double>& values, bool down, int cols = 4) {
    const Scratch folder;
    Made made;
    made.cols = cols;
    made.rows = static_cast<int>(values.size()) / cols;
    made.values = values;
    write(made, folder / "made.tif");
    BathymetryRequest request = heights(folder / "made.tif");
    request.positive_down = down;
    std::vector<std::string> lines = told_all(open_bathymetry(request)->doubts());
    for (std::string& line : lines) {
        line.erase(0, line.find(": ") + 2);
    }
    return lines;
}

TEST(Sign, HillsInTheMiddleOfTheSeaSpeakAgainstIt) {
    const std::vector<double> harbour = {-30, -25, -21, -8, -5, -2,
                                         0,   1,   2,   40, 70, 109}, // with hills behind
        flats = {-40, -25, -21, -8, -5, -2, 0, 1, 2, 3, 3, 2};
    std::vector<double> depths = flats;
    for (double& value : depths) {
        value = -value;
    }
    EXPECT_THAT(doubts_of(harbour, false), IsEmpty());
    EXPECT_THAT(doubts_of(flats, false), IsEmpty());
    EXPECT_THAT(doubts_of(depths, true), IsEmpty());
    EXPECT_THAT(doubts_of(harbour, true), ElementsAre(AllOf(HasSubstr("read as depths, 25 % of the cells"),
                                                            HasSubstr("<positive> up"))));
    EXPECT_THAT(doubts_of(flats, true), ElementsAre(HasSubstr("<positive> up")));
    EXPECT_THAT(doubts_of(depths, false),
                ElementsAre(AllOf(HasSubstr("read as heights"), HasSubstr("no water is deeper than 5 m"),
                                  HasSubstr("<positive> down"))));
}

// More cells than are looked at one by one: whether water is met first or last, it speaks for heights all the
// same.
TEST(Sign, WaterInOnePlaceIsEnoughForHeightsWhereverItLies) {
    constexpr std::size_t side = 1100, corner = 200;
    const std::vector<double> hills(side * side, 50);
    const auto with_water_from = [&](std::size_t first) {
        std::vector<double> heights = hills;
        for (std::size_t row = first; row < first + corner; ++row) {
            std::fill_n(heights.begin() + static_cast<std::ptrdiff_t>(row * side + first), corner, -12.0);
        }
        return heights;
    };
    EXPECT_THAT(doubts_of(hills, false, side), ElementsAre(HasSubstr("read as heights, 100 % of the cells")));
    EXPECT_THAT(doubts_of(with_water_from(0), false, side), IsEmpty());
    EXPECT_THAT(doubts_of(with_water_from(side - corner), false, side), IsEmpty());
    EXPECT_THAT(doubts_of(with_water_from(side - corner), true, side),
                ElementsAre(HasSubstr("read as depths")));
}

} // namespace
} // namespace swingroom::testing_support
