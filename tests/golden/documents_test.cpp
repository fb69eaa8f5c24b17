// README.md and the pages of the manual as a new user reads them: their commands are run from top to bottom,
// every printed line of their examples is held against what the commands print, links are followed, the table
// of layers is held against that of the program, and the table of JSON members against the documents.

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/room/verdict.hpp"

#include "golden/command_shell.hpp"
#include "support.hpp"
#include "support/documents.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::golden {
namespace {

using Words = std::set<std::string>;

using testing_support::Block;
using testing_support::blocks_of;
using testing_support::Document;
using testing_support::documents;
using testing_support::heading_level;
using testing_support::markdown_lines;
using testing_support::MarkdownLine;
using testing_support::section;

/// Every line of an example is a whole line of what is printed, in this order; `...` stands for any lines.
void expect_printed(const std::string& example, CommandShell& shell) {
    std::istringstream lines(example);
    std::string line;
    std::getline(lines, line);
    ASSERT_TRUE(line.starts_with("$ ")) << line;
    const std::string printed = "\n" + shell.run(line.substr(2));
    std::size_t at = 0;
    bool skips = false;
    while (std::getline(lines, line)) {
        if (line == "...") {
            skips = true;
            continue;
        }
        const std::size_t found = printed.find("\n" + line + "\n", at);
        ASSERT_NE(found, std::string::npos) << line << "\nprinted:" << printed;
        EXPECT_TRUE(skips || found == at) << "leaves lines out before: " << line;
        at = found + 1 + line.size();
        skips = false;
    }
    EXPECT_TRUE(skips || at + 1 == printed.size()) << "leaves lines out at the end of:\n" << example;
}

class EachDocument : public testing::TestWithParam<Document> {};
INSTANTIATE_TEST_SUITE_P(Documents, EachDocument, testing::ValuesIn(documents()), [](const auto& document) {
    return std::regex_replace(std::filesystem::path(document.param.name).stem().string(), std::regex("-"),
                              "_");
});

TEST_P(EachDocument, RunsAndPrintsAsItSays) {
    CommandShell shell;
    shell.link(SWINGROOM_SOURCE "/testdata");
    std::string text = GetParam().text;
    if (const std::string install = section("## Install"); text.find(install) != std::string::npos) {
        text.erase(text.find(install), install.size()); // tried by scripts/check-release
    }
    for (const Block& block : blocks_of(text)) {
        if (block.language == "sh") {
            EXPECT_THAT(shell.run(block.text), testing::Not(testing::HasSubstr("\ncode "))) << block.text;
        } else if (block.text.starts_with("$ ")) {
            expect_printed(block.text, shell);
        } else {
            EXPECT_THAT(block.language, testing::AnyOf("shell", "bash", "ini")) << block.text;
        }
    }
}

/// The name under which a forge finds a heading.
std::string anchor_of(const std::string& heading) {
    std::string anchor;
    for (const char letter : heading.substr(heading.find(' ') + 1)) {
        if (letter == ' ' || letter == '-') anchor += '-';
        if (std::isalnum(static_cast<unsigned char>(letter)) != 0) {
            anchor += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
        }
    }
    return anchor;
}

Words anchors_in(const std::filesystem::path& file) {
    Words anchors;
    for (const MarkdownLine& line : markdown_lines(bytes_of(file))) {
        if (heading_level(line) > 0) anchors.insert(anchor_of(line.text));
    }
    return anchors;
}

TEST_P(EachDocument, LinksToWhatIsThere) {
    const std::filesystem::path file = std::filesystem::path(SWINGROOM_SOURCE) / GetParam().name;
    const std::regex link(R"(\]\(([^)#]*)#?([^)]*)\))");
    std::size_t links = 0;
    for (std::sregex_iterator at(GetParam().text.begin(), GetParam().text.end(), link), end; at != end;
         ++at) {
        const std::string target = (*at)[1], anchor = (*at)[2];
        if (target.starts_with("https://")) continue;
        const std::filesystem::path there = target.empty() ? file : file.parent_path() / target;
        EXPECT_TRUE(std::filesystem::exists(there)) << at->str();
        if (!anchor.empty()) {
            EXPECT_EQ(anchors_in(there).count(anchor), 1U) << at->str();
        }
        ++links;
    }
    EXPECT_GE(links, 1U);
}

TEST(Documents, AreAllInReadmesTableOfPages) {
    const std::string table = section("## The manual");
    for (const Document& page : documents()) {
        if (page.name == "README.md") continue;
        EXPECT_THAT(table, testing::HasSubstr("](" + page.name + ") |"));
    }
}

/// What stands between the marks of each table that the program knows.
std::map<std::string, std::string> marked_tables(const std::string& markdown) {
    std::map<std::string, std::string> tables;
    const std::string mark = "<!-- table ", end_of_mark = " -->\n\n", end = "\n<!-- end of table -->\n";
    for (std::size_t at = markdown.find(mark); at != std::string::npos; at = markdown.find(mark, at + 1)) {
        const std::size_t name = at + mark.size(), name_end = markdown.find(end_of_mark, name),
                          text = name_end + end_of_mark.size();
        tables[markdown.substr(name, name_end - name)] =
            markdown.substr(text, markdown.find(end, text) - text);
    }
    return tables;
}

TEST(Documents, ShowTheTablesOfTheProgramAndAllOfThem) {
    Words shown;
    for (const Document& document : documents()) {
        for (const auto& [name, table] : marked_tables(document.text)) {
            EXPECT_EQ(table, swingroom({"manual", "--table", name}).out)
                << document.name << ": scripts/refresh-manual puts it right";
            shown.insert(name);
        }
    }
    const std::string choice = swingroom({"manual", "--table", "?"}).err;
    for (const std::string& name : shown) {
        EXPECT_THAT(choice, testing::HasSubstr(name));
    }
    EXPECT_EQ(std::count(choice.begin(), choice.end(), ','), static_cast<long>(shown.size()) - 2) << choice;
}

/// The names of all members, at any depth; but for those of `boat`, which are the boat file's keys.
void gather(const CPLJSONObject& of, Words& names) {
    for (const CPLJSONObject& child : of.GetChildren()) {
        names.insert(child.GetName());
        if (child.GetType() == CPLJSONObject::Type::Array) {
            for (const CPLJSONObject& element : child.ToArray()) {
                if (element.GetType() == CPLJSONObject::Type::Object) gather(element, names);
            }
        }
        if (child.GetType() == CPLJSONObject::Type::Object && child.GetName() != "boat") gather(child, names);
    }
}

/// What stands between backticks in the row of a table.
Words words_in_row(const std::string& table, const std::string& row) {
    const std::size_t begin = table.find("\n| " + row + " | ");
    if (begin == std::string::npos) return {};
    const std::string text =
        table.substr(begin + 5 + row.size(), table.find('\n', begin + 1) - begin - 5 - row.size());
    Words words;
    const std::regex quoted("`([^`]*)`");
    for (std::sregex_iterator at(text.begin(), text.end(), quoted), end; at != end; ++at) {
        words.insert((*at)[1]);
    }
    return words;
}

/// The row of the table of layers that a layer stands in: "| `rode_full`, `_short`, `_sinker` |" is
/// that of all its ways.
std::string row_of(const LayerTraits& layer) {
    std::string first(layer.name), later;
    if (layer.way) {
        first = name(of(layer.layer, all_ways.front()));
        later = "_" + std::string(name(*layer.way)) + "`";
    }
    const std::string text = section("## Rasters");
    const std::size_t begin = text.find("\n| `" + first + "`");
    if (begin == std::string::npos) return {};
    const std::string row = text.substr(begin + 1, text.find('\n', begin + 1) - begin - 1);
    return row.find(later) == std::string::npos ? std::string() : row;
}

TEST(Documents, NameEveryRasterLayerWithItsUnitAndType) {
    constexpr std::array<std::string_view, 4> types = {"byte", "16 bits", "32 bits", "float"};
    for (const swingroom::Layer raster : raster_layers) {
        const LayerTraits& layer = traits(raster);
        SCOPED_TRACE(layer.name);
        const std::string row = row_of(layer);
        ASSERT_FALSE(row.empty()) << "no row of the table of layers";
        EXPECT_THAT(row,
                    testing::HasSubstr(layer.unit.empty() ? "| |" : "| " + std::string(layer.unit) + " |"));
        if (row.find("as `rode`") != std::string::npos) continue;
        EXPECT_THAT(row,
                    testing::HasSubstr("| " + std::string(types.at(static_cast<std::size_t>(layer.type)))));
    }
}

TEST(Documents, NameEveryVerdictAndEveryFormat) {
    const std::string rasters = section("## Rasters"), formats = section("## Formats");
    for (std::size_t value = 0; value < verdict_phrases.size(); ++value) {
        EXPECT_THAT(rasters, testing::HasSubstr("\n| " + std::to_string(value) + " | " +
                                                std::string(verdict_phrases.at(value)) + " |"));
    }
    for (const FormatTraits& format : format_table) {
        if (!format.can_be_chosen()) continue; // as report, map and project have theirs
        EXPECT_THAT(formats, testing::HasSubstr("\n| `" + std::string(format.name) + "` | `NAME." +
                                                std::string(format.ending) + "` |"));
    }
}

TEST(Documents, NameEveryMemberOfTheJsonAndNoneBesides) {
    const Scratch scratch;
    const std::string plan = "testdata/haven/haven.plan", folder = scratch / "haven",
                      no_sinker = scratch / "no_sinker.ini";
    std::string boat = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    boat.erase(boat.find("[sinker]"), boat.find("[windlass]") - boat.find("[sinker]"));
    write_bytes(no_sinker, boat);
    const std::string tide = scratch / "tide.csv"; // with it more is told
    write_bytes(tide, "# zone: Z\n# unit: m\n# above-chart-datum: 0\ntime,height,type\n"
                      "2026-07-01T17:45,2.5,H\n2026-07-02T00:00,0.4,L\n2026-07-02T06:10,2.4,H\n");
    const auto with_tide = [&tide](std::vector<std::string> words) {
        words.insert(words.end(), {"--tide", tide, "--arrive", "2026-07-01T18:00Z", "--depart",
                                   "2026-07-02T06:00Z", "--below", "0.1", "--above", "0.1"});
        return words;
    };
    const std::vector<std::vector<std::string>> runs = {
        with_tide({"overlay", "--plan", plan, "--out", folder}),
        {"overlay", "--plan", plan, "--boat", "testdata/haven/heavy_ketch.ini", "--boat",
         "testdata/haven/light_sloop.ini", "--layers", "verdict,boats_yes", "--out", scratch / "both"},
        {"spot", "-29.043932", "47.987038", "--chart", "testdata/cells/QQ5HAVEN.000", "--boat",
         "testdata/haven/heavy_ketch.ini", "--wind", "15", "--low-water", "0.5", "--high-water", "2.5",
         "--cell", "5"}, // a chart has notes of the ground
        // noes, for which a margin, rode, wind and water would do
        with_tide({"spot", "-29.044074", "47.981817", "--plan", plan}),
        {"spot", "-29.032771", "47.981333", "--plan", plan},
        {"spot", "-29.0428", "47.9879", "--plan", plan}, // beside the pool that no way leads to
        {"spot", "-29.036063", "47.981905", "--plan", plan},
        {"spot", "-29.045863", "47.987741", "--plan", plan},
        {"spot", "-29.049619", "47.981718", "--plan", plan, "--boat", no_sinker},
        {"boat", "testdata/haven/heavy_ketch.ini", "--wind", "15"},
        {"tide", "testdata/haven/tide_table.csv", "--at", "2026-07-03T21:00Z", "--every", "6h"},
        {"inputs", "testdata/haven/bathymetry.tif", "testdata/cells/QQ3APPRO.000"},
        {"exclusions", "--plan", plan, "--out", scratch / "margins"},
        {"verify", folder}};
    const std::string table = section("## JSON");
    const Words all = words_in_row(table, "all");
    EXPECT_EQ(all, (Words{"schema", "program", "command", "caution"}));
    std::map<std::string, Words> members;
    for (std::vector<std::string> words : runs) {
        SCOPED_TRACE(words.front());
        words.emplace_back("--json");
        CPLJSONDocument document;
        ASSERT_TRUE(document.LoadMemory(swingroom(words).out));
        gather(document.GetRoot(), members[words.front()]);
    }
    for (auto& [command, names] : members) {
        SCOPED_TRACE(command);
        for (const std::string& name : all) {
            names.erase(name);
        }
        EXPECT_EQ(words_in_row(table, "`" + command + "`"), names);
    }
}

} // namespace
} // namespace swingroom::golden
