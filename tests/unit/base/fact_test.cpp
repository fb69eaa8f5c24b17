// What a result rests on, and how it is told.

#include "swingroom/base/fact.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

TEST(Fact, TellsItsNameItsValueAndWhoSaysSo) {
    EXPECT_EQ(fact_line(Fact{"format", "GTiff"}), "format: GTiff");
    EXPECT_EQ(fact_line(Fact{"sign", "positive up", Fact::Kind::read, "BAG"}), "sign: positive up (BAG)");
    EXPECT_EQ(fact_line(stated_fact("unit", "ft")), "unit: ft (as said)");
    EXPECT_EQ(fact_line(stated_fact("chart datum", "0 m", "the file names LAT")),
              "chart datum: 0 m (as said; the file names LAT)");
}

TEST(Fact, AnAssumptionAndAWarningTellWhatTheyAre) {
    EXPECT_EQ(fact_name(assumed_fact("rode.mark", "5.00 m")), "assumed rode.mark");
    EXPECT_EQ(fact_value(assumed_fact("rode.mark", "5.00 m")), "5.00 m");
    EXPECT_EQ(fact_line(warning_fact("no cell has a depth")), "warning: no cell has a depth");
    // What it is called says nothing of what it is: somebody's file may be called "warning".
    EXPECT_EQ((Fact{"warning", "a name", Fact::Kind::read}.kind), Fact::Kind::read);
}

TEST(Fact, OfSeveralInputsTellsWhichAndMayBeASentence) {
    EXPECT_EQ(fact_line(Fact{"unit", "m", Fact::Kind::read, "file", "fine.tif"}), "fine.tif: unit: m (file)");
    EXPECT_EQ(fact_line(Fact{"", "chart QQ5, edition 1"}), "chart QQ5, edition 1");
}

} // namespace
} // namespace swingroom
