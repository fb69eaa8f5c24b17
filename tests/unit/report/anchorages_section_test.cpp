#include "swingroom/room/why_not.hpp"

#include "report/anchorages_section.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstddef>
#include <string>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::Not;

Covered& of(Tally& tally, Verdict verdict) { return tally.by_verdict[static_cast<std::size_t>(verdict)]; }
Covered& of(Tally& tally, WhyNot why) { return tally.no_by_reason[static_cast<std::size_t>(why)]; }

/// 1,000 cells of 10 m², as in Pool: 120 a plain yes, 30 by the sounder, 50 without a depth.
Tally pool() {
    Tally tally;
    of(tally, Verdict::full) = {100, 1000};
    of(tally, Verdict::sinker) = {20, 200};
    of(tally, Verdict::short_by_sounder) = {30, 300};
    of(tally, Verdict::unsurveyed) = {50, 500};
    of(tally, Verdict::no) = {800, 8000};
    of(tally, WhyNot::hull_room) = {199, 1995};
    of(tally, WhyNot::rode) = {600, 6000};
    of(tally, WhyNot::drop_forbidden) = {1, 5};
    return tally;
}

TEST(AnchoragesSection, SaysWhatIsAYesAndWhyTheRestIsNot) {
    EXPECT_EQ(rest_words(pool()), std::string(name_of(WhyNot::rode).words) + " 60.0 %, " +
                                      std::string(name_of(WhyNot::hull_room).words) + " 19.9 %, " +
                                      std::string(name_of(WhyNot::unsurveyed).words) + " 5.0 %, " +
                                      std::string(name_of(WhyNot::drop_forbidden).words) + " under 0.1 %");
    ReportInput input;
    EXPECT_TRUE(anchorages_section(input).empty());
    Tally all;
    of(all, Verdict::full) = {2000, 20000};
    input.anchorages = {{"ACHARE #60 Pool", pool()}, {"ACHBRT #61 <Roads>", all}};
    const std::string markup = anchorages_section(input).str();
    EXPECT_LT(markup.find("&lt;Roads&gt;"), markup.find("Pool")) << "the largest yes first";
    EXPECT_THAT(markup, HasSubstr(">100.0 %<"));
    EXPECT_THAT(markup, HasSubstr(">12.0 %<"));
    EXPECT_THAT(markup, HasSubstr(">3.0 %<"));
    EXPECT_THAT(markup, HasSubstr(">1.0 ha<"));
    EXPECT_EQ(rest_words(all), "");
}

TEST(AnchoragesSection, OfBerthsThatArePointsSaysYesOrNoByName) {
    Tally yes, shoal, blank;
    of(yes, Verdict::short_scope) = {1, 25};
    of(shoal, Verdict::no) = of(shoal, WhyNot::too_shallow) = {1, 25};
    of(blank, Verdict::unsurveyed) = {1, 25};
    ReportInput input;
    input.anchorages = {{"ACHBRT #7 B10 FFFE000000150007", yes, true},
                        {"ACHBRT #3 B9", yes, true},
                        {"ACHBRT #5 B2 FFFE000000150005", yes, true},
                        {"ACHBRT #4 A1", shoal, true},
                        {"ACHBRT #8 FFFE000000150008", blank, true}};
    const std::string markup = anchorages_section(input).str();
    EXPECT_THAT(markup, HasSubstr("B2; B9; B10"));
    EXPECT_THAT(markup, HasSubstr("no: " + std::string(name_of(WhyNot::too_shallow).words)));
    EXPECT_THAT(markup, HasSubstr(">ACHBRT #8<"));
    EXPECT_THAT(markup, Not(HasSubstr(" m²"))) << "a point has no area";
    EXPECT_LT(markup.find("yes, at short scope"), markup.find("no: "));
}

TEST(AnchoragesSection, OfHundredsShowsTheFirst) {
    ReportInput input;
    for (int i = 0; i < 300; ++i) {
        Tally tally;
        of(tally, Verdict::full) = {i + 1, 10.0 * (i + 1)};
        input.anchorages.push_back({"ACHARE #" + std::to_string(i) + ";", tally});
    }
    const std::string markup = anchorages_section(input).str();
    EXPECT_THAT(markup, HasSubstr("The first 100 of 300 charted anchorages"));
    EXPECT_THAT(markup, HasSubstr("#299;"));
    EXPECT_THAT(markup, HasSubstr("#200;"));
    EXPECT_THAT(markup, Not(HasSubstr("#199;")));
}

} // namespace
} // namespace swingroom
