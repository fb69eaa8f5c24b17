// README.md as a new user reads it: its tour is run from top to bottom, every printed line of its examples is
// held against what the commands print, its table of layers against that of the program, and its table of
// JSON members against the documents.

#include "swingroom/overlay/layers.hpp"

#include "support.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <string_view>

namespace swingroom::golden {
namespace {

using Words = std::set<std::string>;

std::string readme() { return bytes_of(SWINGROOM_SOURCE "/README.md"); }

/// From the heading of a section to the next one of its kind.
std::string section(const std::string& heading) {
    const std::string text = readme(), mark = heading.substr(0, heading.find(' ') + 1);
    const std::size_t begin = text.find("\n" + heading + "\n");
    if (begin == std::string::npos) return {};
    return text.substr(begin, text.find("\n" + mark, begin + 1) - begin);
}

/// What stands between fences: commands to run (`sh`), or a command behind `$` with what it prints.
struct Block {
    std::string language, text;
};
std::vector<Block> blocks_of(const std::string& markdown) {
    std::vector<Block> blocks;
    std::istringstream in(markdown);
    bool inside = false;
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("```")) {
            inside = !inside;
            if (inside) blocks.push_back({line.substr(3), {}});
        } else if (inside) {
            blocks.back().text += line + "\n";
        }
    }
    return blocks;
}

/// A folder that looks like the repository, for commands as a shell reads them.
class Shell {
public:
    Shell() {
        std::filesystem::create_directory_symlink(SWINGROOM_SOURCE "/testdata", scratch_ / "testdata");
    }
    /// Both streams, and the exit code on a last line if it is not 0.
    std::string run(const std::string& commands) {
        write_bytes(scratch_ / "commands", commands);
        const std::filesystem::path binary = SWINGROOM_COMMAND;
        const std::string call = "cd '" + std::string(scratch_ / "") + "' && PATH=\"" +
                                 binary.parent_path().string() +
                                 ":$PATH\" sh -e ./commands 2>&1 || echo code $?";
        FILE* const pipe = popen(call.c_str(), "r"); // NOLINT: a shell is what is meant
        std::string said;
        std::array<char, 4096> piece{};
        while (const std::size_t got = fread(piece.data(), 1, piece.size(), pipe)) {
            said.append(piece.data(), got);
        }
        pclose(pipe);
        return said;
    }

private:
    Scratch scratch_;
};

/// Every line of an example is a whole line of what is printed, in this order; `...` stands for any lines.
void expect_printed(const std::string& example, Shell& shell) {
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
        ASSERT_NE(found, std::string::npos) << "README.md: " << line << "\nprinted:" << printed;
        EXPECT_TRUE(skips || found == at) << "README.md leaves lines out before: " << line;
        at = found + 1 + line.size();
        skips = false;
    }
    EXPECT_TRUE(skips || at + 1 == printed.size()) << "README.md leaves lines out at the end of:\n"
                                                   << example;
}

TEST(Readme, ToursAsItSays) {
    Shell shell;
    std::size_t examples = 0;
    for (const Block& block : blocks_of(section("## Five minutes"))) {
        if (block.language == "sh") {
            EXPECT_THAT(shell.run(block.text), testing::Not(testing::HasSubstr("\ncode "))) << block.text;
        } else {
            expect_printed(block.text, shell);
            ++examples;
        }
    }
    EXPECT_GE(examples, 4U);
}

TEST(Readme, PrintsWhatItsOtherExamplesShow) {
    Shell shell;
    std::size_t examples = 0;
    const std::string tour = section("## Five minutes");
    for (const Block& block : blocks_of(readme())) {
        if (!block.text.starts_with("$ ") || tour.find(block.text) != std::string::npos) continue;
        expect_printed(block.text, shell);
        ++examples;
    }
    EXPECT_GE(examples, 2U);
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

/// The row of README.md's table of layers that a layer stands in: "| `rode_full`, `_short`, `_sinker` |" is
/// that of all its ways.
std::string row_of(const LayerTraits& layer) {
    std::string first(layer.name), later;
    if (layer.way) {
        first = name(of(layer.layer, all_ways.front()));
        later = "_" + std::string(name(*layer.way)) + "`";
    }
    const std::string text = section("## Layers");
    const std::size_t begin = text.find("\n| `" + first + "`");
    if (begin == std::string::npos) return {};
    const std::string row = text.substr(begin + 1, text.find('\n', begin + 1) - begin - 1);
    return row.find(later) == std::string::npos ? std::string() : row;
}

TEST(Readme, NamesEveryRasterLayerWithItsUnitAndType) {
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

TEST(Readme, NamesEveryMemberOfTheJsonAndNoneBesides) {
    const Scratch scratch;
    const std::string plan = "testdata/haven/haven.plan", folder = scratch / "haven",
                      no_sinker = scratch / "no_sinker.ini";
    std::string boat = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    boat.erase(boat.find("[sinker]"), boat.find("[windlass]") - boat.find("[sinker]"));
    write_bytes(no_sinker, boat);
    const std::vector<std::vector<std::string>> runs = {
        {"overlay", "--plan", plan, "--out", folder},
        {"spot", "-29.043932", "47.987038", "--chart", "testdata/cells/QQ5HAVEN.000", "--boat",
         "testdata/haven/heavy_ketch.ini", "--wind", "15", "--low-water", "0.5", "--high-water", "2.5",
         "--cell", "5"}, // a chart has notes of the ground
        // noes, for which a margin, rode, wind and water would do
        {"spot", "-29.044074", "47.981817", "--plan", plan},
        {"spot", "-29.032771", "47.981333", "--plan", plan},
        {"spot", "-29.036063", "47.981905", "--plan", plan},
        {"spot", "-29.045863", "47.987741", "--plan", plan},
        {"spot", "-29.049619", "47.981718", "--plan", plan, "--boat", no_sinker},
        {"boat", "testdata/haven/heavy_ketch.ini", "--wind", "15"},
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
