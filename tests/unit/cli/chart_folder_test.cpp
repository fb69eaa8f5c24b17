#include "swingroom/base/error.hpp"

#include "cli/options/chart_folder.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

using testing::HasSubstr;
using testing_support::Scratch;
using Words = std::vector<std::string>;

/// A folder of empty files by these names.
struct Charts {
    explicit Charts(const Words& names) {
        for (const std::string& name : names) {
            const std::filesystem::path path = scratch.path() / name;
            std::filesystem::create_directories(path.parent_path());
            std::ofstream(path) << "";
        }
    }
    [[nodiscard]] std::string folder() const { return scratch.path().string(); }
    Scratch scratch;
};

std::string refused(const Words& paths) {
    try {
        (void)charts_given(paths);
    } catch (const InputError& error) {
        return error.what();
    }
    return "taken";
}

TEST(ChartFolder, GivesTheCellsInItAndBelowSorted) {
    const Charts charts({"ENC_ROOT/CATALOG.031", "ENC_ROOT/README.TXT", "ENC_ROOT/QQ5B/QQ5B.000",
                         "ENC_ROOT/QQ5B/QQ5B.001", "ENC_ROOT/QQ5A/QQ5A.000", "QQ3C.000"});
    const GivenCharts given = charts_given({charts.folder()});
    EXPECT_EQ(given.cells, (Words{charts.scratch / "ENC_ROOT/QQ5A/QQ5A.000",
                                  charts.scratch / "ENC_ROOT/QQ5B/QQ5B.000", charts.scratch / "QQ3C.000"}));
    ASSERT_EQ(given.folders.size(), 1U);
    EXPECT_EQ(given.folders.front().folder, charts.folder());
    EXPECT_EQ(cells_text(given.folders.front()), "3 S-57 cells");
    EXPECT_EQ(cells_text({"x", 1}), "1 S-57 cell");
}

TEST(ChartFolder, LeavesWhatIsNoneAsItIs) {
    const Charts charts({"marks.gdb/a", "QQ3C.000"});
    const Words given = {"no/such.000", charts.scratch / "marks.gdb", charts.scratch / "QQ3C.000"};
    EXPECT_EQ(charts_given(given).cells, given);
    EXPECT_TRUE(charts_given(given).folders.empty());
}

TEST(ChartFolder, TakesACellOnceThatIsGivenByItselfToo) {
    const Charts charts({"QQ3C.000", "QQ5A.000"});
    const Words both = {charts.scratch / "QQ5A.000", charts.scratch / "QQ3C.000"};
    EXPECT_EQ(charts_given({both[0], charts.folder(), charts.folder() + "/."}).cells, both);
}

TEST(ChartFolder, FollowsLinksAndTakesWhatTheyLeadToOnce) {
    const Charts elsewhere({"cells/QQ5A.000", "cells/QQ5A.001"});
    const Charts charts({"QQ3C.000"});
    const std::filesystem::path& here = charts.scratch.path();
    std::filesystem::create_directory_symlink(elsewhere.scratch / "cells", here / "linked");
    std::filesystem::create_directory_symlink(elsewhere.scratch / "cells", here / "linked_too");
    std::filesystem::create_directory_symlink(here, here / "up");
    std::filesystem::create_directory_symlink(here, here / "up_too");
    EXPECT_EQ(charts_given({charts.folder()}).cells,
              (Words{charts.scratch / "QQ3C.000", charts.scratch / "linked/QQ5A.000"}));
}

TEST(ChartFolder, RefusesALinkThatLeadsNowhere) {
    const Charts charts({"QQ3C.000"});
    std::filesystem::create_symlink("gone", charts.scratch.path() / "more");
    EXPECT_THAT(refused({charts.folder()}),
                testing::StartsWith(charts.scratch / "more" + ": is a link that leads nowhere"));
}

TEST(ChartFolder, RefusesACellByItselfThatHasTheNameOfOneInAFolder) {
    const Charts charts({"old/QQ5A.000", "new/QQ5A.000"});
    const std::string by_itself = charts.scratch / "old/QQ5A.000", folder = charts.scratch / "new";
    EXPECT_THAT(refused({by_itself, folder}), HasSubstr("has the name of another cell, " + by_itself));
    EXPECT_THAT(refused({folder, by_itself}), testing::StartsWith(by_itself + ": has the name of another"));
    const Words both = {by_itself, folder + "/QQ5A.000"};
    EXPECT_EQ(charts_given(both).cells, both);
}

TEST(ChartFolder, WithoutACellIsRefused) {
    const Charts charts({"readme.txt"});
    EXPECT_THAT(refused({charts.folder()}),
                testing::AllOf(testing::StartsWith(charts.folder() + ": holds no S-57 cell"),
                               HasSubstr("end in .000")));
}

TEST(ChartFolder, RefusesTwoCellsOfOneName) {
    const Charts charts({"old/QQ5A.000", "new/QQ5A.000"});
    const std::string says = refused({charts.folder()});
    EXPECT_THAT(says,
                testing::StartsWith(charts.scratch / "old/QQ5A.000" + ": has the name of another cell"));
    EXPECT_THAT(says, HasSubstr(charts.scratch / "new/QQ5A.000"));
}

TEST(ChartFolder, RefusesUpdatesThatWouldBePassedOver) {
    const Charts charts({"1/QQ5A.000", "2/QQ5A.001"});
    EXPECT_THAT(refused({charts.folder()}),
                testing::StartsWith(charts.scratch / "2/QQ5A.001" +
                                    ": is an update that does not lie beside its cell"));
}

} // namespace
} // namespace swingroom::cli
