// What help, man page and manual say of the boat file, against the one table of its keys.

#include "base/text.hpp"
#include "cli/help/boat_keys_text.hpp"
#include "cli/help/manual.hpp"
#include "support/documents.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace swingroom::cli {
namespace {

using testing::HasSubstr;

TEST(BoatKeysText, IsTheManualsTable) {
    const auto documents = testing_support::documents();
    const auto page = std::find_if(documents.begin(), documents.end(), [](const auto& document) {
        return document.name == "src/manual/boat-file.md";
    });
    ASSERT_NE(page, documents.end());
    EXPECT_THAT(page->text, HasSubstr("\n\n" + boat_keys_markdown() + "\n"));
}

TEST(BoatKeysText, NamesEveryKeyOnAScreen) {
    const std::string help = boat_keys_help();
    for (const BoatKey& key : boat_keys()) {
        EXPECT_THAT(help, HasSubstr(key.name())) << key.key;
    }
    for (const std::string& line : split(help, '\n')) {
        EXPECT_LE(line.size(), 80U) << line;
    }
    EXPECT_THAT(help, HasSubstr("  [hull] name, kind, length*, draught*, bow_roller*, "));
}

TEST(BoatKeysText, HasEachKeyInTheManPage) {
    const std::string page = manual(command_named("boat"));
    for (const BoatKey& key : boat_keys()) {
        EXPECT_THAT(page, HasSubstr(".TP\n\\fB" + std::string(key.name()) + "\\fR = ")) << key.key;
    }
}

} // namespace
} // namespace swingroom::cli
