#include "cli/options/folder_names.hpp"
#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

using Names = std::vector<std::string>;

TEST(FolderNames, AreLettersOfTheNames) {
    EXPECT_EQ(folder_names({"Gull Cove", "\u00cele d'Yeu (N)", "  Pool--7 "}, "stay"),
              (Names{"gull-cove", "ile-d-yeu-n", "pool-7"}));
}

TEST(FolderNames, OfTheSameLettersAreNumbered) {
    EXPECT_EQ(folder_names({"Pool", "POOL", "pool-2", "P\u00f6\u00f6l"}, "stay"),
              (Names{"pool", "pool-2", "pool-2-2", "pool-3"}));
}

TEST(FolderNames, NeverLeadElsewhere) {
    EXPECT_EQ(folder_names({"../../etc", "/", "..", "", "C:\\x"}, "stay"),
              (Names{"etc", "stay", "stay-2", "stay-3", "c-x"}));
    EXPECT_EQ(folder_names({"con", "Nul", "LPT1", "com"}, "stay"), (Names{"con-2", "nul-2", "lpt1-2", "com"}))
        << "devices of Windows";
}

TEST(FolderNames, AreSafeWhateverTheNames) {
    testing_support::Dice dice(1);
    Names names;
    for (int i = 0; i < 2000; ++i) {
        std::string name;
        for (int letters = dice.whole(0, 60); letters > 0; --letters) {
            name += static_cast<char>(dice.chance(0.5) ? dice.whole(0, 255) : 'a' + dice.whole(0, 2));
        }
        if (dice.chance(0.5)) name.resize(std::min<std::size_t>(name.size(), 2));
        names.push_back(name);
    }
    std::set<std::string> met;
    for (const std::string& folder : folder_names(names, "stay")) {
        EXPECT_FALSE(folder.empty());
        EXPECT_LE(folder.size(), 45U) << folder;
        EXPECT_EQ(folder.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-"), std::string::npos)
            << folder;
        EXPECT_TRUE(folder.front() != '-' && folder.back() != '-') << folder;
        EXPECT_TRUE(met.insert(folder).second) << folder;
    }
}

} // namespace
} // namespace swingroom::cli
