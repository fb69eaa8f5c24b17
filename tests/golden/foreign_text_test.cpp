// Text from outside on its way to a terminal: names, attributes, values and keys may hold codes that a
// terminal obeys, marks that turn a line around, or a newline that makes a second message. Whatever they
// stand in, people are shown them in letters.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;

/// What stands around a code, to see that the text was shown at all.
constexpr const char *before = "Zo", *after = "Zu";
/// A line that is none of ours.
constexpr const char* forged = "FORGED: all is well";

constexpr std::string_view byte_of_c1 = "byte of C1";

/// A line over the position that is asked about, in the middle of the sea.
constexpr const char* by_the_spot = "[[-28.33265, 47.84831], [-28.33275, 47.84841]]";

struct Code {
    std::string_view name;
    std::string bytes;
};

const std::vector<Code>& codes() {
    static const std::vector<Code> all = {
        {"colour", "\x1b[31m"},
        {"title", "\x1b]0;x\a"},
        {"link", "\x1b]8;;http://x\x1b\\"},
        {"answerback", "\x05"},
        {"bell", "\a"},
        {"backspace", "\b\b\b"},
        {"shift out", "\x0e"},
        {"delete", "\x7f"},
        {"C1", "\u009b31m"},
        {"C1 string", "\u009d0;x\u009c"},
        {byte_of_c1, "\x9b"
                     "31m"},
        {"override", "\u202e"},
        {"isolate", "\u2066"},
        {"mark", "\u200f"},
        {"Arabic mark", "\u061c"},
        {"line separator", "\u2028"},
        {"carriage return", std::string("\r") + forged},
        {"newline", std::string("\n") + forged},
    };
    return all;
}

/// Codes in a row: all but those that end a line.
std::string codes_in_a_row(bool valid_utf8) {
    std::string text;
    for (const Code& code : codes()) {
        if (code.bytes.find(forged) == std::string::npos && !(valid_utf8 && code.name == byte_of_c1)) {
            text += code.bytes;
        }
    }
    return text;
}

/// What is tried in each place, which takes a run each: mostly several codes at a time.
const std::vector<Code>& trials() {
    static const std::vector<Code> some = [] {
        std::vector<Code> chosen = {{"all in a row", codes_in_a_row(true)}};
        for (const Code& code : codes()) {
            if (code.name == byte_of_c1 || code.bytes.find(forged) != std::string::npos) {
                chosen.push_back(code);
            }
        }
        return chosen;
    }();
    return std::getenv("SWINGROOM_EVERY_CODE") ? codes() : some; // NOLINT(concurrency-mt-unsafe)
}

/// What can be a section's name.
std::string unbracketed(std::string text) {
    std::erase(text, ']');
    return text;
}

/// The first thing in a text that a terminal would obey; found by searching for each, not by the printer's
/// own reckoning.
std::string obeyed_in(const std::string& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if ((byte < 0x20 && text[i] != '\n' && text[i] != '\t') || byte == 0x7f) {
            return "byte " + std::to_string(byte) + " at " + std::to_string(i);
        }
    }
    std::vector<std::string> marks = {"\u061c", "\u200e", "\u200f"};
    for (const char* mark : {"\u2028", "\u2029", "\u202a", "\u202b", "\u202c", "\u202d", "\u202e", "\u2066",
                             "\u2067", "\u2068", "\u2069"}) {
        marks.emplace_back(mark);
    }
    for (unsigned char c1 = 0x80; c1 < 0xa0; ++c1) {
        marks.push_back({'\xc2', static_cast<char>(c1)});
    }
    for (const std::string& mark : marks) {
        if (text.find(mark) != std::string::npos) return "mark " + mark.substr(1);
    }
    // A byte that continues nothing: taken for C1 where a terminal is not in UTF-8.
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        const std::size_t more = byte < 0x80 ? 0 : byte < 0xc0 ? 9 : byte < 0xe0 ? 1 : byte < 0xf0 ? 2 : 3;
        for (std::size_t k = 1; k <= more; ++k) {
            if (i + k >= text.size() || (static_cast<unsigned char>(text[i + k]) & 0xc0) != 0x80) {
                return "no UTF-8 at " + std::to_string(i);
            }
        }
        i += more;
    }
    if (text.starts_with(forged) || text.find(std::string("\n") + forged) != std::string::npos) {
        return "a line of its own";
    }
    return "";
}

void expect_only_shown(const Outcome& run, const std::string& where) {
    EXPECT_EQ(obeyed_in(run.out), "") << where << ", stdout: " << run.out;
    EXPECT_EQ(obeyed_in(run.err), "") << where << ", stderr: " << run.err;
    EXPECT_THAT(run.out + run.err, HasSubstr(before)) << where << " is not shown at all";
}

class ForeignText : public testing::Test {
protected:
    void SetUp() override { write_sea(sea); }

    [[nodiscard]] std::vector<std::string> job(const std::string& command) const {
        std::vector<std::string> words = {command, "--bathymetry",  sea, "--positive",  "up", "--chart-datum",
                                          "0",     "--uncertainty", "0", "--low-water", "0",  "--high-water",
                                          "1",     "--wind",        "10"};
        if (command == "spot") words.insert(words.begin() + 1, {"-28.33265", "47.84831"});
        return words;
    }
    [[nodiscard]] std::vector<std::string> job(const std::string& command,
                                               const std::vector<std::string>& more) const {
        std::vector<std::string> words = job(command);
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    [[nodiscard]] std::string with_text(const std::string& name, const std::string& text) const {
        write_bytes(scratch / name, text);
        return scratch / name;
    }

    Scratch scratch;
    const std::string sea = scratch / "sea.tif", boat = SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini";
};

TEST_F(ForeignText, InWordsOfTheCommandLineIsOnlyShown) {
    using Words = std::vector<std::string>;
    const std::vector<std::pair<const char*, std::function<Words(const std::string&)>>> places = {
        {"command", [](auto& text) { return Words{text}; }},
        {"option before the command", [](auto& text) { return Words{"--" + text}; }},
        {"option",
         [](auto& text) {
             return Words{"overlay", "--" + text};
         }},
        {"short option",
         [](auto& text) {
             return Words{"overlay", "-" + text};
         }},
        {"option with a value",
         [](auto& text) {
             return Words{"overlay", "--" + text + "=1"};
         }},
        {"word too many",
         [](auto& text) {
             return Words{"overlay", text};
         }},
        {"plan",
         [](auto& text) {
             return Words{"overlay", "--plan", text};
         }},
        {"bounds",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--bounds", text});
         }},
        {"layers",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--layers", text});
         }},
        {"format",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--format", text});
         }},
        {"spots",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--spots", text});
         }},
        {"zone edges",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--zone-edges", text});
         }},
        {"least zone",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--least-zone", text});
         }},
        {"threads",
         [&](auto& text) {
             return job("overlay", {"--boat", boat, "--out", "x", "--threads", text});
         }},
        {"seabed",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--seabed", text});
         }},
        {"units",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--units", text});
         }},
        {"positions",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--positions", text});
         }},
        {"current",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--current", text});
         }},
        {"unit",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--current", "1 " + text});
         }},
        {"CRS",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--crs", text});
         }},
        {"depth unit",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--depth-unit", text});
         }},
        {"boat",
         [&](auto& text) {
             return job("spot", {"--boat", text});
         }},
        {"hazards",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--hazards", text});
         }},
        {"chart",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--chart", text});
         }},
        {"rules",
         [&](auto& text) {
             return job("spot", {"--boat", boat, "--rules", text});
         }},
        {"raster",
         [&](auto& text) {
             return Words{"spot", "1",           "1", "--bathymetry", text, "--boat",
                          boat,   "--low-water", "0", "--high-water", "0",  "--wind",
                          "9"};
         }},
        {"longitude",
         [](auto& text) {
             return Words{"spot", text, "1", "--plan", "testdata/haven/haven.plan"};
         }},
        {"position",
         [](auto& text) {
             return Words{"spot", text + " 1", "--plan", "testdata/haven/haven.plan"};
         }},
        {"lettered position",
         [](auto& text) {
             return Words{"spot", text + "N", "1E", "--plan", "testdata/haven/haven.plan"};
         }},
        {"folder to verify",
         [](auto& text) {
             return Words{"verify", text};
         }},
        {"file to look at",
         [](auto& text) {
             return Words{"inputs", text};
         }},
        {"file of a boat",
         [](auto& text) {
             return Words{"boat", text, "--wind", "9"};
         }},
        {"wind of a boat",
         [&](auto& text) {
             return Words{"boat", boat, "--wind", text};
         }},
        {"format of a boat",
         [&](auto& text) { return Words{"boat", boat, "--wind", "9", "--format", text}; }},
        {"picture",
         [&](auto& text) { return Words{"boat", boat, "--wind", "9", "--picture", "none/" + text}; }},
        {"manual",
         [](auto& text) {
             return Words{"manual", text};
         }},
        {"shell",
         [](auto& text) {
             return Words{"completion", text};
         }},
        {"hazards of exclusions",
         [](auto& text) {
             return Words{"exclusions", "--hazards", text, "--out", "x"};
         }},
        {"plan to print", [&](auto& text) {
             return Words{"overlay", "--plan", "testdata/haven/haven.plan", "--out", text, "--print-plan"};
         }}};
    for (const auto& [name, words] : places) {
        for (const Code& code : trials()) {
            const Outcome run = swingroom(words(before + code.bytes + after));
            const std::string where = std::string(name) + ", " + std::string(code.name);
            EXPECT_NE(run.exit_code, 0) << where;
            EXPECT_EQ(run.lines(), 1u) << where << ": " << run.err;
            expect_only_shown(run, where);
        }
    }
}

TEST_F(ForeignText, InBoatPlanAndRulesIsOnlyShown) {
    const auto boat_with = [&](const std::string& what, const std::string& by) {
        std::string text = bytes_of(boat);
        text.replace(text.find(what), what.size(), by);
        return with_text("boat.ini", text);
    };
    const auto boats = [&](const std::string& file) {
        return std::vector<std::string>{"boat", file, "--wind", "9"};
    };
    const auto plans = [&](const std::string& text) {
        return std::vector<std::string>{"overlay", "--plan", with_text("a.plan", text)};
    };
    const std::string cable =
        with_text("a.geojson", R"({"type": "LineString", "coordinates": )" + std::string(by_the_spot) + "}");
    const auto rules = [&](const std::string& text) {
        return job("spot", {"--boat", boat, "--rules", with_text("a.rules", text), "--hazards", cable});
    };
    using Words = std::vector<std::string>;
    const std::vector<std::pair<const char*, std::function<Words(const std::string&)>>> places = {
        {"a boat's name", [&](auto& text) { return boats(boat_with("name = ", "name = " + text)); }},
        {"a boat's name as Markdown",
         [&](auto& text) {
             auto words = boats(boat_with("name = ", "name = " + text));
             words.insert(words.end(), {"--format", "markdown"});
             return words;
         }},
        {"a boat's name as JSON",
         [&](auto& text) {
             auto words = boats(boat_with("name = ", "name = " + text));
             words.emplace_back("--json");
             return words;
         }},
        {"a boat's key", [&](auto& text) { return boats(boat_with("draught", text)); }},
        {"a boat's section", [&](auto& text) { return boats(boat_with("[hull]", "[" + text + "]")); }},
        {"a boat's value", [&](auto& text) { return boats(boat_with("draught = ", "draught = " + text)); }},
        {"a boat's word", [&](auto& text) { return boats(boat_with("type = ", "type = " + text)); }},
        {"a line of a boat", [&](auto& text) { return boats(boat_with("[hull]", "[hull]\n" + text)); }},
        {"a boat's load",
         [&](auto& text) { return boats(boat_with("[hull]", "[load]\n" + text + " = 1\n[hull]")); }},
        {"a plan's key", [&](auto& text) { return plans(text + " = 1\n"); }},
        {"a plan's value",
         [&](auto& text) {
             return plans("boat = x\nout = x\nbathymetry = x\nuncertainty = 0\nlow-water = 0\nhigh-water = "
                          "0\nwind = " +
                          text + "\n");
         }},
        {"a plan's path",
         [&](auto& text) {
             return plans("bathymetry = " + text +
                          "\nuncertainty = 0\nlow-water = 0\nhigh-water = 0\nwind = 9\nout = x\nboat = x\n");
         }},
        {"a plan's section", [&](auto& text) { return plans("[" + text + "]\n"); }},
        {"a line of a plan", [&](auto& text) { return plans(text + "\n"); }},
        {"a rule's name", [&](auto& text) { return rules("[" + unbracketed(text) + "]\nlayers = a\n"); }},
        {"a rule's key", [&](auto& text) { return rules("[a]\n" + text + " = a\n"); }},
        {"a key before any rule", [&](auto& text) { return rules(text + " = a\n"); }},
        {"a rule's margin", [&](auto& text) { return rules("[a]\nlayers = a\nmargin = " + text + "\n"); }},
        {"a rule's effect", [&](auto& text) { return rules("[a]\nlayers = a\neffects = " + text + "\n"); }},
        {"a rule's codes", [&](auto& text) { return rules("[a]\nlayers = a\ncodes = " + text + "\n"); }},
        {"a rule's seabed", [&](auto& text) { return rules("[a]\nlayers = a\nseabed = " + text + "\n"); }},
        {"a rule that is met", [&](auto& text) {
             return rules("[" + unbracketed(text) + "]\nlayers = *\neffects = hull\nmargin = 50000 m\n");
         }}};
    for (const auto& [name, words] : places) {
        for (const Code& code : trials()) {
            if (code.bytes.front() == '\n') continue; // ends a line of such a file
            expect_only_shown(swingroom(words(before + code.bytes + after)),
                              std::string(name) + ", " + std::string(code.name));
        }
    }
}

TEST_F(ForeignText, InNamesAndAttributesOfHazardsIsOnlyShown) {
    const auto json_escaped = [](const std::string& text) {
        std::string out;
        for (const char c : text) {
            const auto byte = static_cast<unsigned char>(c);
            if (byte < 0x20 || c == '"' || c == '\\') {
                const char* const digits = "0123456789abcdef";
                out += std::string("\\u00") + digits[byte >> 4U] + digits[byte & 15U];
            } else {
                out += c;
            }
        }
        return out;
    };
    const auto layer = [&](const std::string& name, const std::string& properties,
                           const std::string& geometry) {
        return with_text("a.geojson", R"({"type": "FeatureCollection", "name": ")" + json_escaped(name) +
                                          R"(", "features": [{"type": "Feature", "properties": {)" +
                                          properties + R"(}, "geometry": )" + geometry + "}]}");
    };
    const std::string
        near = R"({"type": "LineString", "coordinates": [[-28.33265, 47.84831], [-28.33275, 47.84841]]})",
        far = R"({"type": "Point", "coordinates": [10, 10]})";
    const std::string text = before + codes_in_a_row(true) + "\r\n" + forged + after,
                      quoted = json_escaped(text);
    const std::string any =
        with_text("any.rules", "[any]\nlayers = *\neffects = hull, ground\nmargin = 5 m\n");
    const auto look = [&](const std::string& file, const std::string& where) {
        expect_only_shown(swingroom({"inputs", file}), "inputs, " + where);
        expect_only_shown(swingroom({"inputs", "--json", file}), "inputs --json, " + where);
    };
    const auto use = [&](const std::string& file, const std::string& where) {
        const std::vector<std::string> more = {"--boat", boat, "--hazards", file, "--rules", any};
        expect_only_shown(swingroom(job("spot", more)), "spot, " + where);
        auto json = job("spot", more);
        json.emplace_back("--json");
        expect_only_shown(swingroom(json), "spot --json, " + where);
    };
    std::string file = layer(text, "", near);
    look(file, "name of a layer");
    use(file, "name of a layer");
    look(layer(text, "", far), "name of a layer far off");
    use(layer(text, "", far), "name of a layer far off");
    use(layer(text, "", "null"), "name of a layer without geometry");
    use(layer("a", R"("OBJNAM": ")" + quoted + '"', near), "OBJNAM");
    use(layer("a", R"("POSACC": ")" + quoted + '"', near), "POSACC");
    const std::string out = scratch / "out";
    for (const char* json : {"", "--json"}) {
        std::vector<std::string> words = {"exclusions", "--hazards", layer(text, "", near), "--out", out};
        if (*json) words.emplace_back(json);
        const Outcome run = swingroom(words);
        expect_only_shown(run, "exclusions of a layer that no rule knows");
        std::filesystem::remove_all(out);
    }
}

TEST_F(ForeignText, InNamesOfFilesIsOnlyShown) {
    for (const bool lines : {false, true}) {
        const std::string name =
            before + codes_in_a_row(false) + (lines ? std::string("\n") + forged : "") + after;
        std::string file_name = name;
        std::replace(file_name.begin(), file_name.end(), '/', '|');
        const std::filesystem::path folder = scratch / file_name;
        std::filesystem::create_directory(folder);
        std::filesystem::copy_file(sea, folder / "sea.tif");
        std::filesystem::copy_file(SWINGROOM_SOURCE "/testdata/cells/QQ5HAVEN.000", folder / "QQ5HAVEN.000");
        std::filesystem::copy_file(SWINGROOM_SOURCE "/testdata/haven/cables.geojson",
                                   folder / "cables.geojson");
        write_bytes(folder / "empty.geojson",
                    R"({"type": "FeatureCollection", "name": "cables", "features": []})");
        write_bytes(folder / "boat.ini", "x");
        for (const char* file : {"sea.tif", "QQ5HAVEN.000", "cables.geojson", "boat.ini"}) {
            expect_only_shown(swingroom({"inputs", (folder / file).string()}),
                              std::string("inputs, ") + file);
            expect_only_shown(swingroom({"inputs", "--json", (folder / file).string()}),
                              std::string("inputs --json, ") + file);
        }
        expect_only_shown(swingroom({"boat", (folder / "boat.ini").string(), "--wind", "9"}), "boat");
        std::filesystem::copy_file(boat, folder / "ketch.ini");
        expect_only_shown(swingroom({"boat", (folder / "ketch.ini").string(), "--wind", "9", "--picture",
                                     (folder / "none/a.svg").string()}),
                          "picture");
        expect_only_shown(
            swingroom(job("spot", {"--boat", boat, "--hazards", (folder / "empty.geojson").string()})),
            "a warning of a layer");
        for (const std::vector<std::string>& more :
             std::vector<std::vector<std::string>>{{}, {"--verbose"}, {"--json"}}) {
            auto words =
                job("overlay", {"--boat", boat, "--layers", "verdict", "--out", (folder / "out").string()});
            words.insert(words.end(), more.begin(), more.end());
            const Outcome run = swingroom(words);
            EXPECT_EQ(run.exit_code, 0) << run.err;
            expect_only_shown(run, "where a run has gone");
            expect_only_shown(swingroom(words), "a folder that is there");
            for (const char* json : {"", "--json"}) {
                std::vector<std::string> verify = {"verify", (folder / "out").string()};
                if (*json) verify.emplace_back(json);
                expect_only_shown(swingroom(verify), "verify");
                write_bytes(folder / "out" / file_name, "x");
                expect_only_shown(swingroom(verify), "verify, a file too many");
                std::filesystem::remove(folder / "out" / file_name);
            }
            std::filesystem::remove_all(folder / "out");
        }
    }
}

TEST_F(ForeignText, InAManifestIsOnlyShown) {
    const std::string out = scratch / "out";
    ASSERT_EQ(swingroom(job("overlay", {"--boat", boat, "--layers", "verdict", "--out", out})).exit_code, 0);
    const std::string manifest = bytes_of(out + "/manifest.json");
    std::string changed = manifest;
    const std::string name = "verdict.tif";
    changed.replace(
        changed.find(name), name.size(),
        "Zo\\u001b[31m\\u0007\\u0008\\u007f\\u009b\\u202e\\u2066\\u200f\\u2028\\r\\nFORGED: all is wellZu");
    write_bytes(out + "/manifest.json", changed);
    for (const char* json : {"", "--json"}) {
        std::vector<std::string> words = {"verify", out};
        if (*json) words.emplace_back(json);
        const Outcome run = swingroom(words);
        EXPECT_NE(run.exit_code, 0);
        expect_only_shown(run, "a name in a manifest");
    }
}

TEST_F(ForeignText, InWhatARasterSaysOfItselfIsOnlyShown) {
    GDALAllRegister();
    for (const bool valid : {true, false}) {
        const std::string text = before + codes_in_a_row(valid) + "\n" + forged + after,
                          file = scratch / "told.tif";
        {
            const GDALDatasetUniquePtr from(GDALDataset::Open(sea.c_str(), GDAL_OF_RASTER));
            const GDALDatasetUniquePtr to(GetGDALDriverManager()->GetDriverByName("GTiff")->CreateCopy(
                file.c_str(), from.get(), FALSE, nullptr, nullptr, nullptr));
            ASSERT_TRUE(to);
            to->GetRasterBand(1)->SetUnitType(text.c_str());
            to->GetRasterBand(1)->SetDescription(text.c_str());
            to->SetMetadataItem("TIFFTAG_IMAGEDESCRIPTION", text.c_str());
        }
        expect_only_shown(swingroom({"inputs", file}), "inputs, unit");
        expect_only_shown(swingroom({"inputs", "--json", file}), "inputs --json, unit");
        auto words = job("spot", {"--boat", boat});
        std::replace(words.begin(), words.end(), sea, file);
        const Outcome run = swingroom(words);
        EXPECT_EQ(run.exit_code, 2);
        expect_only_shown(run, "spot, unit");
    }
}

} // namespace
} // namespace swingroom::golden
