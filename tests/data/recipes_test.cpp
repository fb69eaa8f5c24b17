// The recipes of the manual with the open data that they are for.

#include "golden/command_shell.hpp"
#include "support/documents.hpp"
#include "support/open_data.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing_support::Block;

std::vector<Block> recipes() {
    std::vector<Block> recipes;
    for (const testing_support::Document& document : testing_support::documents()) {
        for (const Block& block : testing_support::blocks_of(document.text)) {
            if (block.language == "bash") recipes.push_back(block);
        }
    }
    return recipes;
}

class EachRecipe : public testing::TestWithParam<std::size_t> {};
INSTANTIATE_TEST_SUITE_P(Recipes, EachRecipe, testing::Range<std::size_t>(0, recipes().size()));

TEST_P(EachRecipe, Runs) {
    if (testing_support::open_data().empty()) GTEST_SKIP() << testing_support::no_open_data;
    CommandShell shell;
    shell.link(SWINGROOM_TESTDATA "/haven/heavy_ketch.ini");
    for (const auto& folder : std::filesystem::directory_iterator(testing_support::open_data())) {
        if (!folder.is_directory()) continue;
        for (const auto& file : std::filesystem::directory_iterator(folder)) {
            const std::string name = file.path().filename().string();
            if (name != "SOURCE.md" && name != "preview.png") shell.link(file.path());
        }
    }
    const std::string commands = recipes().at(GetParam()).text;
    EXPECT_THAT(shell.run(commands), testing::Not(testing::HasSubstr("\ncode "))) << commands;
}

} // namespace
} // namespace swingroom::golden
