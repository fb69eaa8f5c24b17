// Help, man pages, completion and the tables of README.md and the manual against the one table of options:
// all of them, and nothing besides.

#include "swingroom/base/error.hpp"
#include "swingroom/base/message.hpp"

#include "base/text.hpp"
#include "cli/help/completion.hpp"
#include "cli/help/help.hpp"
#include "cli/help/manual.hpp"
#include "cli/help/manual_tables.hpp"
#include "cli/help/text.hpp"
#include "cli/options/options.hpp"
#include "cli/options/setting_options.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstddef>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>

namespace swingroom::cli {
namespace {

using Names = std::set<std::string>;

Names options_of(const Entry& entry) {
    Names names;
    for (const OptionRow& row : rows(Declared(entry).options)) {
        names.insert(row.name);
    }
    return names;
}

/// The first groups of all that a pattern finds.
Names found(const std::string& text, const std::string& pattern) {
    Names names;
    const std::regex regex(pattern);
    for (std::sregex_iterator at(text.begin(), text.end(), regex), end; at != end; ++at) {
        names.insert((*at)[1]);
    }
    return names;
}

/// A stretch of a text, from one mark to the next.
std::string between(const std::string& text, const std::string& from, const std::string& to) {
    const std::size_t begin = text.find(from);
    if (begin == std::string::npos) return "";
    return text.substr(begin, text.find(to, begin + from.size()) - begin);
}

class EachCommand : public testing::TestWithParam<std::string> {
protected:
    const Entry& entry = command_named(GetParam());
    const std::string name = GetParam();
};
INSTANTIATE_TEST_SUITE_P(Commands, EachCommand, testing::ValuesIn(words_of("COMMAND")),
                         [](const auto& command) { return command.param; });

TEST_P(EachCommand, HasAHelpThatFitsAScreen) {
    const std::string help = help_text(entry, Declared(entry).options);
    const std::vector<std::string> lines = split(help, '\n');
    EXPECT_LE(lines.size(), 45U) << help;
    for (const std::string& line : lines) {
        EXPECT_LE(line.size(), 80U) << line;
        EXPECT_FALSE(line.ends_with(' ')) << line;
    }
    EXPECT_EQ(found(between(help, "\n\n", "Examples:"), R"([ \n]--([a-z-]+))"), options_of(entry));
}

TEST_P(EachCommand, HasAManPageOfAllItsOptions) {
    const std::string options = between(manual(entry), ".SH OPTIONS", "\n.SH");
    Names names;
    for (const std::string& label : found(options, R"(\n\.TP\n\\fB\\-\\-([^\n]*?)\\fR)")) {
        names.insert(replaced(label, "\\-", "-"));
    }
    EXPECT_EQ(names, options_of(entry));
}

TEST_P(EachCommand, IsCompletedWithAllItsOptions) {
    const std::string bash = between(bash_completion(), "\n    " + name + ")\n", ";;");
    EXPECT_EQ(found(bash, R"([ ']--([a-z-]+))"), options_of(entry));
    const std::string zsh = between(zsh_completion(), "\n        " + name + ")\n", ";;");
    EXPECT_EQ(found(zsh, R"('\*?--([a-z-]+))"), options_of(entry));
    EXPECT_EQ(found(fish_completion(), "__swingroom_command " + name + "' -l ([a-z-]+)"), options_of(entry));
}

TEST_P(EachCommand, HasExamplesThatNameItsOptions) {
    EXPECT_GE(entry.examples.size(), 2U);
    const Names options = options_of(entry);
    for (const Example& example : entry.examples) {
        const std::string line(example.line);
        EXPECT_THAT(line, testing::HasSubstr("swingroom " + name));
        for (const std::string& option : found(line, " --([a-z-]+)")) {
            EXPECT_EQ(options.count(option), 1U) << option << " in: " << line;
        }
    }
}

TEST(OptionTable, HasAnOptionForEachSettingThatLibrariesAskFor) {
    Names all, used;
    for (const std::string& command : words_of("COMMAND")) {
        all.merge(options_of(command_named(command)));
    }
    for (std::size_t i = 0; i < settings_count; ++i) {
        const std::string option = option_of(static_cast<Setting>(i));
        EXPECT_EQ(option.substr(0, 2), "--");
        EXPECT_EQ(all.count(option.substr(2)), 1U) << option;
        used.insert(option);
    }
    EXPECT_EQ(used.size(), settings_count) << "one option for two settings";
    EXPECT_EQ(in_options("give " + Setting::chart_datum + " again"), "give --chart-datum again");
    EXPECT_EQ(in_options("give " + with_article(Setting::out) + " elsewhere"), "give an --out elsewhere");
}

/// The string literals of a source file's line, comments left out.
std::string literals_of(const std::string& line) {
    std::string text;
    bool inside = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (!inside && line.compare(i, 2, "//") == 0) break;
        if (inside && line[i] == '\\') {
            ++i;
        } else if (line[i] == '"') {
            inside = !inside;
            text += ' ';
        } else if (inside) {
            text += line[i];
        }
    }
    return text;
}

// Libraries name settings by their type (base/message.hpp). The page of the report is made for the command
// line.
TEST(OptionTable, IsTheOnlyPlaceThatNamesOptions) {
    Names options;
    for (const std::string& command : words_of("COMMAND")) {
        options.merge(options_of(command_named(command)));
    }
    const auto named_in = [&options](const std::string& line) {
        Names named = found(literals_of(line), "--([a-z][a-z-]*)");
        std::erase_if(named, [&](const std::string& name) { return options.count(name) == 0; });
        return named;
    };
    EXPECT_EQ(named_in(R"(throw InputError(file, "names no CRS", "say it with --crs, not --srs");)"),
              Names{"crs"});
    EXPECT_EQ(named_in(R"(std::optional<std::string> crs; ///< "--crs")"), Names{});
    std::string told;
    std::size_t files = 0;
    for (const char* root : {SWINGROOM_SOURCE "/src/", SWINGROOM_SOURCE "/include/swingroom/"}) {
        for (const char* folder : {"base", "water", "boat", "room", "sea", "overlay", "publish"}) {
            for (const auto& entry :
                 std::filesystem::recursive_directory_iterator(root + std::string(folder))) {
                if (!entry.path().string().ends_with("pp")) continue;
                ++files;
                std::ifstream file(entry.path());
                for (std::string line; std::getline(file, line);) {
                    if (!named_in(line).empty()) {
                        told += entry.path().filename().string() + ": " + line + "\n";
                    }
                }
            }
        }
    }
    EXPECT_EQ(told, "");
    EXPECT_GT(files, 200U);
}

TEST(ManualTables, TellOfAllOptionsAndOfNothingBesides) {
    Names all, told;
    for (const Entry& entry : commands()) {
        all.merge(options_of(entry));
    }
    for (const std::string& name : manual_table_names()) {
        for (const std::string& line : split(manual_table(name), '\n')) {
            if (line.starts_with("| `--"))
                told.merge(found(line.substr(0, line.find(" | ", 2)), "`--([a-z-]+)"));
        }
    }
    EXPECT_EQ(told, all);
}

TEST(ManualTables, AreTablesToEveryReaderOfMarkdown) {
    for (const std::string& name : manual_table_names()) {
        const std::string table = manual_table(name);
        const auto columns = [](const std::string& line) {
            return split(replaced(line, "\\|", ""), '|').size();
        };
        const std::vector<std::string> lines = split(table, '\n');
        ASSERT_GE(lines.size(), 4U) << name;
        for (const std::string& line : lines) {
            if (line.empty()) continue;
            EXPECT_EQ(columns(line), columns(lines.front())) << line;
        }
    }
}

TEST(OptionTable, CutsTextsAndValuesApart) {
    Options options;
    options.add_options()("plain", "a switch\nwith more to say. Much more.");
    options.group(Group::seldom);
    options.add_options()("way", text_values("up|down"),
                          "which way")("size", text_value("M")->default_value("5"), "how large\nIn metres.");
    options.group(Group::plain);
    options.add_options()("nameless", boost::program_options::value<std::string>(), "");
    const std::vector<OptionRow> table = rows(options);
    ASSERT_EQ(table.size(), 4U);
    EXPECT_EQ(table[0].usage(), "--plain");
    EXPECT_EQ(table[0].brief, "a switch");
    EXPECT_EQ(table[0].more, "with more to say. Much more.");
    EXPECT_EQ(table[1].usage(), "--nameless VALUE") << "groups stand together";
    EXPECT_EQ(table[2].usage(), "--way up|down");
    EXPECT_TRUE(table[2].repeatable);
    EXPECT_EQ(table[3].usage(), "--size M");
    EXPECT_EQ(table[3].line(), "how large [5]");
    EXPECT_FALSE(table[3].repeatable);
}

TEST(OptionTable, KnowsTheWordsOfValues) {
    EXPECT_EQ(words_of("up|down"), (std::vector<std::string>{"up", "down"}));
    EXPECT_THAT(words_of("LAYER,..."), testing::IsSupersetOf({"all", "rode", "rode_full", "zones"}));
    EXPECT_THAT(words_of("SEABED"), testing::Contains("mud"));
    EXPECT_THAT(words_of("FORMAT,..."), testing::Not(testing::Contains("html")));
    EXPECT_EQ(words_of("POLYGON-FORMAT,..."),
              (std::vector<std::string>{"geojson", "gpkg", "flatgeobuf", "kml", "gpx"}));
    EXPECT_TRUE(words_of("FILE").empty());
    EXPECT_TRUE(words_of("W,S,E,N").empty());
}

TEST(ManualTables, SayWhatIsNotKnown) {
    EXPECT_THROW((void)manual_table("overlays"), InputError);
    EXPECT_THAT(manual_table("advice"), testing::HasSubstr("| 2 | 4 | unknown holding | "));
    EXPECT_THAT(
        manual_table("overlay-and-spot"),
        testing::HasSubstr("\n| `--positive up\\|down` | Its values are heights (up) or depths (down). "));
    EXPECT_THAT(manual_table("spot"), testing::HasSubstr(" | must be given |\n"));
    EXPECT_THAT(manual_table("inputs"), testing::HasSubstr("`--crs CRS` | As of [overlay]"));
}

TEST(CureForWord, IsTheOneThatWasMeantOrAll) {
    EXPECT_EQ(cure_for_word("Up", {"up", "down"}), "did you mean up?");
    EXPECT_EQ(cure_for_word("dwn", {"up", "down"}), "did you mean down?");
    EXPECT_EQ(cure_for_word("no", {"up", "down"}), "give up or down");
    EXPECT_EQ(cure_for_word("send", {"clay", "sand", "mud"}), "did you mean sand?");
    EXPECT_EQ(cure_for_word("lava", {"clay", "sand", "mud"}), "give clay, sand or mud");
}

TEST(Text, IsWrappedAndContinued) {
    EXPECT_EQ(wrapped("one two three", 7), (std::vector<std::string>{"one two", "three"}));
    EXPECT_EQ(wrapped("extraordinary", 5), (std::vector<std::string>{"extraordinary"}));
    EXPECT_EQ(continued("ls --all --reverse", 15),
              (std::vector<std::string>{"ls --all \\", "    --reverse"}));
    EXPECT_EQ(continued("ls --all --width 80 --reverse", 20),
              (std::vector<std::string>{"ls --all \\", "    --width 80 \\", "    --reverse"}));
    EXPECT_EQ(sentence("what it is"), "What it is.");
    EXPECT_EQ(replaced("aXbX", "X", "XX"), "aXXbXX");
}

TEST(Manual, HasNoRequestInItsText) {
    // A line that begins with a dot or a quote would be taken for one.
    const std::regex request(R"(\.(\\"|TH|SH|SS|TP|PP|BR|br|in|nf|fi)( .*)?)");
    for (const std::string& line : split(manual(), '\n')) {
        if (line.starts_with('.') || line.starts_with('\'')) {
            EXPECT_TRUE(std::regex_match(line, request)) << line;
        }
    }
}

} // namespace
} // namespace swingroom::cli
