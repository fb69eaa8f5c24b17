// What the command is to shells and readers of man pages: completion driven as the shells do it, pages by the
// checkers of mandoc and man-db, plans that are read back, how much is said, and in which colour. Debian
// packages of what is called: bash, zsh, fish, mandoc, man-db (with groff-base).

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <sstream>

namespace swingroom::golden {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::IsSupersetOf;
using testing::Not;

const std::vector<std::string> names = {"overlay",    "cruise", "spot",  "boat",   "tide",   "inputs",
                                        "exclusions", "rules",  "merge", "verify", "manual", "completion"};

/// Both streams of a shell's command, and its exit code on a last line if it is not 0.
std::string shell(const std::string& command) {
    FILE* pipe =
        popen(("cd " SWINGROOM_SOURCE "; { " + command + "\n} 2>&1 || echo code $?").c_str(), "r"); // NOLINT
    std::string said;
    std::array<char, 4096> piece{};
    while (const std::size_t got = fread(piece.data(), 1, piece.size(), pipe)) {
        said.append(piece.data(), got);
    }
    pclose(pipe);
    return said;
}

/// Skips where a shell or a checker is not there; scripts/test installs them all.
#define NEEDS(program)                                                                                       \
    if (!shell("command -v " program " >/dev/null").empty()) GTEST_SKIP() << program " is not installed"

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        lines.push_back(line);
    }
    return lines;
}

/// What bash would offer: words as it cuts them, the last one being completed.
std::vector<std::string> bash_offers(const std::string& words) {
    return lines_of(
        shell("bash -c 'source " SWINGROOM_PAGES "/swingroom.bash; COMP_WORDS=(" + words +
              "); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _swingroom; printf \"%s\\n\" \"${COMPREPLY[@]}\"'"));
}

TEST(BashCompletion, CompletesCommandsOptionsAndWords) {
    NEEDS("bash");
    EXPECT_THAT(bash_offers("swingroom ov"), ElementsAre("overlay"));
    EXPECT_THAT(bash_offers("swingroom \"\""), IsSupersetOf(names));
    EXPECT_THAT(bash_offers("swingroom overlay --positiv"), ElementsAre("--positive"));
    EXPECT_THAT(bash_offers("swingroom overlay --positive \"\""), ElementsAre("up", "down"));
    EXPECT_THAT(bash_offers("swingroom overlay --positive u"), ElementsAre("up"));
    EXPECT_THAT(bash_offers("swingroom overlay --positive ="), ElementsAre("up", "down"));
    EXPECT_THAT(bash_offers("swingroom overlay --positive = d"), ElementsAre("down"));
    EXPECT_THAT(bash_offers("swingroom overlay --layers verdict,zo"), ElementsAre("verdict,zones"));
    EXPECT_THAT(bash_offers("swingroom completion f"), ElementsAre("fish"));
    EXPECT_THAT(bash_offers("swingroom manual sp"), ElementsAre("spot"));
    EXPECT_THAT(bash_offers("swingroom overlay --wind 1"), ElementsAre("")) << "a number is no file";
}

TEST(BashCompletion, CompletesFilesAndFoldersByTheKindOfTheValue) {
    NEEDS("bash");
    EXPECT_THAT(bash_offers("swingroom overlay --boat testdata/haven/h"),
                IsSupersetOf({"testdata/haven/heavy_ketch.ini", "testdata/haven/haven.plan"}));
    EXPECT_THAT(bash_offers("swingroom overlay --out testdata/ha"), ElementsAre("testdata/haven"));
    EXPECT_THAT(bash_offers("swingroom verify testdata/ha"), ElementsAre("testdata/haven"));
    EXPECT_THAT(bash_offers("swingroom boat testdata/haven/hea"),
                ElementsAre("testdata/haven/heavy_ketch.ini"));
}

TEST(FishCompletion, CompletesCommandsOptionsAndWords) {
    NEEDS("fish");
    const auto offers = [](const std::string& line) {
        return shell("HOME=/nonexistent fish --no-config -c 'source " SWINGROOM_PAGES
                     "/swingroom.fish; complete -C \"" +
                     line + "\"'");
    };
    EXPECT_THAT(offers("swingroom ov"), testing::StartsWith("overlay\t"));
    EXPECT_THAT(offers("swingroom overlay --positiv"), testing::StartsWith("--positive\t"));
    EXPECT_THAT(lines_of(offers("swingroom overlay --positive u")), ElementsAre(testing::StartsWith("up")));
    EXPECT_THAT(offers("swingroom overlay --layers verdict,zo"), HasSubstr("verdict,zones"));
    EXPECT_THAT(offers("swingroom overlay --boat testdata/haven/hea"), HasSubstr("heavy_ketch.ini"));
    EXPECT_THAT(offers("swingroom overlay --out testdata/haven/hea"), Not(HasSubstr("heavy_ketch.ini")));
    EXPECT_THAT(offers("swingroom boat testdata/haven/hea"), HasSubstr("heavy_ketch.ini"));
}

TEST(Completion, IsReadByItsShellWithoutAWord) {
    NEEDS("zsh");
    EXPECT_THAT(shell("bash -n " SWINGROOM_PAGES "/swingroom.bash"), IsEmpty());
    EXPECT_THAT(shell("zsh -n " SWINGROOM_PAGES "/swingroom.zsh"), IsEmpty());
    EXPECT_THAT(shell("fish --no-config --no-execute " SWINGROOM_PAGES "/swingroom.fish"), IsEmpty());
}

TEST(Pages, AreWhatTheCommandPrints) {
    EXPECT_EQ(bytes_of(SWINGROOM_PAGES "/swingroom.1"), swingroom({"manual"}).out);
    for (const std::string& name : names) {
        EXPECT_EQ(bytes_of(SWINGROOM_PAGES "/swingroom-" + name + ".1"), swingroom({"manual", name}).out)
            << name;
    }
    for (const std::string shell : {"bash", "zsh", "fish"}) {
        EXPECT_EQ(bytes_of(SWINGROOM_PAGES "/swingroom." + shell), swingroom({"completion", shell}).out)
            << shell;
    }
    const std::vector<std::string> lines = lines_of(swingroom({"--help"}).out);
    for (const std::string& line : lines) {
        EXPECT_LE(line.size(), 80U) << line;
    }
}

TEST(Pages, PassMandocAndMan) {
    NEEDS("mandoc");
    NEEDS("man");
    EXPECT_THAT(shell("mandoc -T lint -W warning " SWINGROOM_PAGES "/*.1"), IsEmpty());
    for (const std::string& page : {std::string("swingroom"), "swingroom-" + names.front()}) {
        EXPECT_THAT(shell("LC_ALL=C.UTF-8 man --warnings -l " SWINGROOM_PAGES "/" + page + ".1 >/dev/null"),
                    IsEmpty());
    }
}

TEST(PrintPlan, GivesAPlanThatMeansTheSame) {
    const Scratch scratch;
    // A plan that is kept elsewhere names its files by absolute paths, and they go into the outputs.
    const std::string haven = SWINGROOM_SOURCE "/testdata/haven/";
    const std::vector<std::string> job = {"overlay", "--plan",        haven + "haven.plan", "--wind",
                                          "12",      "--layers",      "verdict , zones",    "--overwrite",
                                          "--out",   scratch / "out", "--print-plan"};
    const Outcome first = swingroom(job);
    EXPECT_EQ(first.exit_code, 0) << first.err;
    EXPECT_THAT(scratch.names(), IsEmpty()) << "nothing is run";
    for (const char* line : {"wind = 12\n", "layers = verdict , zones\n", "overwrite = true\n",
                             "current = 0\n", "memory = 400\n"}) {
        EXPECT_THAT(first.out, HasSubstr(line));
    }
    EXPECT_THAT(first.out, HasSubstr("hazards = " + haven + "cables.geojson\n"));
    std::vector<std::string> by_hand = job;
    by_hand[2] = "testdata/haven/haven.plan";
    EXPECT_EQ(swingroom(by_hand).out, first.out) << "seen from the working folder";
    write_bytes(scratch / "again.plan", first.out);
    for (const std::string command : {"overlay", "spot"}) {
        std::vector<std::string> words = {command, "--plan", scratch / "again.plan", "--print-plan"};
        if (command == "spot") words.insert(words.begin() + 1, {"-29.04", "47.98"});
        EXPECT_EQ(swingroom(words).out, first.out) << command;
    }
    // The plan goes into every output: so what it makes is the same to the byte.
    const Outcome planned = swingroom({"overlay", "--plan", scratch / "again.plan"});
    EXPECT_EQ(planned.exit_code, 0) << planned.err;
    const auto bytes = contents(scratch / "out");
    std::vector<std::string> given = job;
    given.pop_back();
    EXPECT_EQ(swingroom(given).exit_code, 0);
    EXPECT_EQ(contents(scratch / "out"), bytes);

    const Outcome drawn =
        swingroom({"exclusions", "--plan", scratch / "again.plan", "--out", scratch / "x", "--print-plan"});
    write_bytes(scratch / "margins.plan", drawn.out);
    EXPECT_THAT(drawn.out, HasSubstr("zone-margin = no\n"));
    EXPECT_EQ(
        swingroom({"exclusions", "--plan", scratch / "margins.plan", "--out", scratch / "x", "--print-plan"})
            .out,
        drawn.out);
}

TEST(PrintPlan, RefusesWhatAPlanCannotHold) {
    const Outcome run =
        swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--out", "haven #2", "--print-plan"});
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, HasSubstr("--out: \"haven #2\" cannot stand in a plan; "));
    EXPECT_EQ(run.out, "");
    // Shown in letters it would be another folder.
    for (const std::string out : {"a\nb", "a\x1b[1m", "a\u202e", "a\xff", " a", "a\t"}) {
        const Outcome other =
            swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--out", out, "--print-plan"});
        EXPECT_EQ(other.exit_code, 2);
        EXPECT_EQ(other.out, "");
    }
    EXPECT_THAT(swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--out", "\u00c5land \u00f6",
                           "--print-plan"})
                    .out,
                HasSubstr("/\u00c5land \u00f6\n"))
        << "letters of any alphabet can";
}

TEST(Loudness, QuietSaysNothingButWarningsAndErrors) {
    const Scratch scratch;
    std::vector<std::string> job = {"overlay",  "--plan",       "testdata/haven/haven.plan",
                                    "--layers", "verdict",      "--quiet",
                                    "--out",    scratch / "out"};
    Outcome run = swingroom(job);
    EXPECT_EQ(run.exit_code, 0);
    EXPECT_EQ(run.out + run.err, "");
    EXPECT_EQ(swingroom({"verify", "--quiet", scratch / "out"}).out, "");
    EXPECT_NE(swingroom({"rules", "--quiet"}).out, "") << "that is what was asked for";
    run = swingroom(job);
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, HasSubstr("swingroom: ")) << "the folder is there already";
    job.insert(job.end(), {"--overwrite", "--bounds", "-29.03748,47.98876,-29.03744,47.98880"});
    EXPECT_THAT(swingroom(job).err, HasSubstr("swingroom: warning: ")) << "on the bank";
    job.emplace_back("--verbose");
    EXPECT_THAT(swingroom(job).err, HasSubstr("--quiet: is given with --verbose; "));
}

TEST(Loudness, VerboseTellsOfPhasesAndUsageOnStderr) {
    const Scratch scratch;
    const Outcome run = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "verdict",
                                   "--verbose", "--threads", "2", "--out", scratch / "out"});
    EXPECT_EQ(run.exit_code, 0);
    EXPECT_EQ(run.out, scratch / "out" + "\n");
    EXPECT_THAT(run.err, HasSubstr("700 x 600 cells, 2 threads, blocks of "));
    EXPECT_THAT(run.err,
                testing::ContainsRegex("done, with [0-9.]+ s of processor time and [0-9]+ MB of memory"));
    for (const std::string& line : lines_of(run.err)) {
        EXPECT_THAT(line, testing::MatchesRegex("swingroom: [0-9.]+ s: .+"));
    }
}

TEST(Version, NamesTheLibraries) {
    const std::string out = swingroom({"--version"}).out;
    EXPECT_THAT(
        out, testing::MatchesRegex("swingroom [0-9.]+\nGDAL [0-9.]+\nGEOS .+\nPROJ [0-9.]+\nBoost [0-9.]+\n"
                                   "OpenSSL [0-9.]+\n"));
}

} // namespace
} // namespace swingroom::golden
