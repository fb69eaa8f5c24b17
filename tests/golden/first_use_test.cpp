// What a new user meets: a boat file to fill in, a folder of charts, a plan beside its files, an answer that
// is no everywhere, and lines that fit the terminal.

#include "base/folded_text.hpp"
#include "support.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <pty.h>
#include <regex>
#include <stdexcept>
#include <string>
#include <sys/wait.h>
#include <system_error>
#include <unistd.h>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using Words = std::vector<std::string>;

constexpr unsigned short screen = 80; ///< columns

/// What a command shows on a terminal of 80 columns, the bar of progress and colours taken out.
std::string shown(Words words) {
    words.insert(words.begin(), SWINGROOM_COMMAND);
    std::vector<char*> argv;
    for (std::string& word : words) {
        argv.push_back(word.data());
    }
    argv.push_back(nullptr);
    const winsize size{24, screen, 0, 0};
    int from = -1;
    const pid_t child = forkpty(&from, nullptr, nullptr, &size);
    if (child < 0) throw std::system_error(errno, std::generic_category(), "forkpty");
    if (child == 0) {
        if (chdir(SWINGROOM_SOURCE) != 0 || setenv("TERM", "xterm", 1) != 0 || unsetenv("COLUMNS") != 0)
            _exit(126);
        execv(SWINGROOM_COMMAND, argv.data());
        _exit(127);
    }
    std::string text;
    std::array<char, 4096> piece{};
    for (ssize_t got = 0;
         (got = read(from, piece.data(), piece.size())) > 0 || (got < 0 && errno == EINTR);) {
        if (got > 0) text.append(piece.data(), static_cast<std::size_t>(got));
    }
    close(from);
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    text = std::regex_replace(text, std::regex("\r\n"), "\n");
    text = std::regex_replace(text, std::regex("\r\\[[=.]*\\] +[0-9]+ %"), "");
    return std::regex_replace(text, std::regex("\r?\x1b\\[[0-9;]*[mK]"), "");
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines(1);
    for (const char c : text) {
        if (c == '\n') {
            lines.emplace_back();
        } else {
            lines.back() += c;
        }
    }
    return lines;
}

void expect_to_fit(const Words& words) {
    std::string call;
    for (const std::string& word : words) {
        call += " " + word;
    }
    const std::string text = shown(words);
    EXPECT_FALSE(text.empty()) << call;
    for (const std::string& line : lines_of(text)) {
        EXPECT_LE(columns_of(line), screen) << call << "\n" << line;
    }
}

const std::string haven = "testdata/haven/";
const Words plan = {"--plan", haven + "haven.plan"};

Words with(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

class Terminal : public testing::Test {
protected:
    void SetUp() override {
        int ours = -1, theirs = -1;
        if (openpty(&ours, &theirs, nullptr, nullptr, nullptr) != 0) {
            GTEST_SKIP() << "no terminal can be had here (is /dev/pts mounted?)";
        }
        close(ours);
        close(theirs);
    }
};

TEST_F(Terminal, NoHelpIsWiderThanIt) {
    expect_to_fit({"--help"});
    expect_to_fit({"--version"});
    for (const char* command :
         {"overlay", "spot", "boat", "inputs", "exclusions", "rules", "verify", "manual", "completion"}) {
        expect_to_fit({command, "--help"});
    }
}

TEST_F(Terminal, NothingOfABoatIsWiderThanIt) {
    const Words boat = {
        "boat", haven + "heavy_ketch.ini", "--wind", "15", "--low-water", "0.5", "--high-water", "2.5"};
    expect_to_fit(boat);
    expect_to_fit(with(boat, {"--units", "ft"}));
    expect_to_fit(with(boat, {"--units", "fm", "--depth", "12"}));
    expect_to_fit({"boat", haven + "heavy_ketch.ini", "--wind", "70"});
    expect_to_fit({"boat", "--template"});
    expect_to_fit({"boat", haven + "heavy_ketch.ini"});
    expect_to_fit({"boat", haven + "haven.rules", "--wind", "15"});
}

TEST_F(Terminal, NothingOfASpotIsWiderThanIt) {
    for (const Words& at : {Words{"-29.043932", "47.987038"},
                            {"-29.043402", "47.982090"},
                            {"-29.036919", "47.980135"},
                            {"-29.036063", "47.981905"},
                            {"-29.05", "47.9893"},
                            {"1", "2"}}) {
        expect_to_fit(with(with({"spot"}, at), plan));
        expect_to_fit(with(with({"spot"}, at), with(plan, {"--units", "ft", "--positions", "minutes"})));
    }
    expect_to_fit({"spot", "-29.0439", "47.9870", "--chart", "testdata/cells/QQ5HAVEN.000", "--boat",
                   haven + "heavy_ketch.ini", "--wind", "15", "--low-water", "0.5", "--high-water", "2.5",
                   "--cell", "5"});
}

TEST_F(Terminal, NothingOfInputsAndRulesIsWiderThanIt) {
    expect_to_fit({"inputs", haven + "bathymetry.tif", "testdata/cells/QQ5HAVEN.000",
                   "testdata/cells/QQ3APPRO.000", haven + "cables.geojson"});
    expect_to_fit({"inputs", "testdata/cells/QQ5ODD.000"});
    expect_to_fit({"rules"});
}

TEST_F(Terminal, NothingOfAnOverlayIsWiderThanItAndItEndsWithFourLines) {
    const Scratch scratch;
    const Words overlay =
        with({"overlay", "--layers", "zones,spots", "--bounds", "-29.0449,47.9860,-29.0420,47.9880"}, plan);
    const std::string text = shown(with(overlay, {"--out", scratch / "a"}));
    const std::vector<std::string> lines = lines_of(text);
    ASSERT_EQ(lines.size(), 6U) << text;
    EXPECT_EQ(lines[0], scratch / "a");
    EXPECT_THAT(lines[1], testing::MatchesRegex("A yes: [0-9.]+ % of the surveyed water\\."));
    EXPECT_THAT(lines[2],
                testing::MatchesRegex("Best: 47.*'N 029.*'W, rode [0-9.]+ m: yes, at .*scope.*\\."));
    EXPECT_EQ(lines[3], "      The way in is open only while the water stands high enough.")
        << "behind the bar";
    EXPECT_THAT(lines[4], testing::AnyOf(testing::StartsWith("Why the rest is not: "),
                                         testing::StartsWith("Doubtful: ")));
    expect_to_fit(with(overlay, {"--out", scratch / "b", "--wind", "60"}));
    expect_to_fit(with(overlay, {"--out", scratch / "c", "--winds", "60"}));
    expect_to_fit({"overlay"});
    EXPECT_EQ(lines_of(shown(with(overlay, {"--out", scratch / "d", "--quiet"}))).size(), 1U);
    expect_to_fit({"verify", scratch / "a"});
    const Outcome piped = swingroom(with(overlay, {"--out", scratch / "e"}));
    EXPECT_EQ(piped.err, "") << "in a pipe there are none";
    EXPECT_EQ(piped.out, scratch / "e\n");
}

// What is open in the template is filled in by hand, and no more is needed for a table and an overlay.
TEST(FirstUse, ABoatFileTakesOneAttempt) {
    const Scratch scratch;
    const Outcome made = swingroom({"boat", "--template"});
    EXPECT_EQ(made.exit_code, 0) << made.err;
    write_bytes(scratch / "new.ini", made.out);
    const Outcome open = swingroom({"boat", scratch / "new.ini", "--wind", "15"});
    EXPECT_EQ(open.exit_code, 2);
    EXPECT_THAT(
        open.err,
        HasSubstr(
            "new.ini: 7 things are to be mended\n  [hull] length: has no value; fill it in, as 14 m: "));
    std::string text = made.out;
    for (const auto& [key, value] :
         std::vector<std::pair<std::string, std::string>>{{"length", "36 ft"},
                                                          {"draught", "1.9 m"},
                                                          {"bow_roller", "1.2 m"},
                                                          {"chain", "50 m"},
                                                          {"chain_diameter", "10 mm"},
                                                          {"type", "plough"},
                                                          {"mass", "45 lb"}}) {
        const std::size_t at = text.find("\n" + key + " =");
        ASSERT_NE(at, std::string::npos) << key;
        text.insert(at + key.size() + 3, " " + value);
    }
    write_bytes(scratch / "new.ini", text);
    const Outcome table = swingroom({"boat", scratch / "new.ini", "--wind", "15"});
    EXPECT_EQ(table.exit_code, 0) << table.err;
    EXPECT_THAT(table.out, HasSubstr("Rode 50.0 m of chain"));
    const Outcome overlay = swingroom(with(
        {"overlay", "--layers", "verdict", "--boat", scratch / "new.ini", "--out", scratch / "out"}, plan));
    EXPECT_EQ(overlay.exit_code, 0) << overlay.err;
    EXPECT_EQ(swingroom({"boat", "--template", scratch / "new.ini"}).exit_code, 2);
}

TEST(FirstUse, APlanIsSeenFromItsOwnFolderWhereverTheCommandRuns) {
    const Scratch scratch;
    const std::string here = SWINGROOM_SOURCE "/testdata/haven/haven.plan";
    const Words job = {"spot", "-29.043932", "47.987038", "--plan"};
    const Outcome there = swingroom(with(job, {here}), scratch.path());
    EXPECT_EQ(there.exit_code, 0) << there.err;
    EXPECT_EQ(there.out, swingroom(with(job, {haven + "haven.plan"})).out);
    EXPECT_EQ(there.out, swingroom(with(job, {"haven.plan"}), SWINGROOM_SOURCE "/testdata/haven").out);
    std::filesystem::copy(SWINGROOM_SOURCE "/testdata/haven", scratch.path() / "mine");
    EXPECT_EQ(there.out, swingroom(with(job, {"mine/haven.plan"}), scratch.path()).out) << "copied whole";
    const std::string whole = bytes_of(scratch / "mine/haven.plan");
    write_bytes(scratch / "mine/haven.plan", whole + "layers = verdict\nout = made\n");
    EXPECT_EQ(swingroom({"overlay", "--plan", "mine/haven.plan"}, scratch.path()).out,
              scratch / "mine/made\n");
    EXPECT_EQ(swingroom({"overlay", "--plan", "mine/haven.plan", "--out", "here"}, scratch.path()).out,
              scratch / "here\n")
        << "what the command line names is seen from where it runs";
    std::filesystem::remove(scratch.path() / "mine" / "rocks.geojson");
    const Outcome gone = swingroom(with(job, {"mine/haven.plan"}), scratch.path());
    EXPECT_EQ(gone.exit_code, 2);
    EXPECT_EQ(gone.err,
              "swingroom: mine/rocks.geojson: no such file; paths in a plan are seen from the plan's own "
              "folder\n");
}

TEST(FirstUse, AFolderStandsForTheCellsInIt) {
    const Scratch scratch;
    std::filesystem::create_directories(scratch.path() / "ENC_ROOT" / "QQ5HAVEN");
    for (const std::string name : {"QQ5HAVEN.000", "QQ5HAVEN.001"}) {
        std::filesystem::copy(SWINGROOM_SOURCE "/testdata/cells/" + name,
                              scratch.path() / "ENC_ROOT" / "QQ5HAVEN" / name);
    }
    std::filesystem::copy(SWINGROOM_SOURCE "/testdata/cells/QQ3APPRO.000", scratch.path() / "ENC_ROOT");
    const Words cells = {"--chart", "ENC_ROOT/QQ3APPRO.000", "--chart", "ENC_ROOT/QQ5HAVEN/QQ5HAVEN.000"},
                folder = {"--chart", "ENC_ROOT"};
    const Words job = {"spot",
                       "-29.0439",
                       "47.9870",
                       "--boat",
                       SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini",
                       "--wind",
                       "15",
                       "--low-water",
                       "0.5",
                       "--high-water",
                       "2.5",
                       "--cell",
                       "5"};
    const Outcome one_by_one = swingroom(with(job, cells), scratch.path());
    EXPECT_EQ(one_by_one.exit_code, 0) << one_by_one.err;
    EXPECT_EQ(swingroom(with(job, folder), scratch.path()).out, one_by_one.out);
    write_bytes(scratch / "job.plan", "chart = ENC_ROOT\n");
    EXPECT_EQ(swingroom(with(job, {"--plan", "job.plan"}), scratch.path()).out, one_by_one.out);

    const Outcome inputs = swingroom({"inputs", "ENC_ROOT"}, scratch.path());
    EXPECT_EQ(
        inputs.out,
        swingroom({"inputs", "ENC_ROOT/QQ3APPRO.000", "ENC_ROOT/QQ5HAVEN/QQ5HAVEN.000"}, scratch.path()).out);
    EXPECT_THAT(swingroom({"inputs", "ENC_ROOT", "--verbose"}, scratch.path()).err,
                HasSubstr("ENC_ROOT: 2 S-57 cells\n"));

    const Outcome margins =
        swingroom({"exclusions", "--chart", "ENC_ROOT", "--out", "margins"}, scratch.path());
    EXPECT_EQ(margins.exit_code, 0) << margins.err;
    EXPECT_THAT(bytes_of(scratch / "margins/manifest.json"), HasSubstr("ENC_ROOT holds 2 S-57 cells"));
    EXPECT_THAT(bytes_of(scratch / "margins/manifest.json"), HasSubstr("QQ5HAVEN.001"));

    std::filesystem::create_directory(scratch.path() / "empty");
    const Outcome empty = swingroom({"exclusions", "--chart", "empty", "--out", "none"}, scratch.path());
    EXPECT_EQ(empty.exit_code, 2);
    EXPECT_THAT(empty.err, HasSubstr("empty: holds no S-57 cell"));
}

/// A run in which nowhere is a yes.
struct Nowhere {
    const char *why, *leading;
    Words options;
};

TEST(FirstUse, WhereNothingCanBeAYesTheLayersAreMadeAllTheSame) {
    const Scratch scratch;
    std::string boat = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    const auto changed = [&](const std::string& from, const std::string& to) {
        std::string text = boat;
        text.replace(text.find(from), from.size(), to);
        return text;
    };
    write_bytes(scratch / "short.ini", changed("chain = 60 m", "chain = 8 m"));
    write_bytes(scratch / "deep.ini", changed("draught = 2.1 m", "draught = 19 m"));
    const std::vector<Nowhere> runs = {
        {"more wind than she has rode for", "rode", {"--wind", "100"}},
        {"less rode than any depth asks for", "rode", {"--boat", scratch / "short.ini"}},
        {"a draught that no depth floats",
         "too_shallow",
         {"--boat", scratch / "deep.ini", "--low-water", "-10"}},
    };
    for (const Nowhere& run : runs) {
        SCOPED_TRACE(run.why);
        const Words job =
            with(with({"overlay", "--overwrite", "--json", "--out", scratch / "out"}, plan), run.options);
        const Outcome made = swingroom(job);
        EXPECT_EQ(made.exit_code, 0) << made.err;
        EXPECT_EQ(made.lines(), 1U) << "one warning, for whoever reads no document: " << made.err;
        EXPECT_THAT(made.err, testing::StartsWith("swingroom: warning: "));
        CPLJSONDocument document;
        ASSERT_TRUE(document.LoadMemory(made.out));
        const CPLJSONObject root = document.GetRoot();
        EXPECT_EQ(root.GetObj("yes").GetLong("cells"), 0);
        EXPECT_EQ(root.GetObj("shares_percent").GetDouble("yes"), 0);
        EXPECT_GT(root.GetObj("no_by_reason").GetObj(run.leading).GetLong("cells"), 0);
        EXPECT_EQ(root.GetArray("best_spots").Size(), 0);
        double most = 0;
        std::string most_named;
        for (const CPLJSONObject& share : root.GetObj("shares_percent").GetChildren()) {
            if (share.ToDouble() <= most) continue;
            most = share.ToDouble();
            most_named = share.GetName();
        }
        EXPECT_EQ(root.GetString("leading_reason"), most_named);
        for (const double verdict : read_layer(scratch / "out/verdict.tif").values) {
            ASSERT_LE(verdict, 1);
        }
        EXPECT_EQ(swingroom({"verify", scratch / "out"}).exit_code, 0);
        Words spot = with({"spot", "-29.036919", "47.980135"}, plan);
        EXPECT_EQ(swingroom(with(spot, run.options)).exit_code, 0);
    }
}

} // namespace
} // namespace swingroom::golden
