// One folder per run: whole or not at all, kept unless asked, and `verify` finds what has changed in it
// since.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <csignal>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class OneFolder : public testing::Test {
protected:
    void SetUp() override {
        const Outcome run = swingroom(job());
        ASSERT_EQ(run.exit_code, 0) << run.err;
    }
    [[nodiscard]] std::vector<std::string> job() const {
        return {"overlay", "--plan", "testdata/haven/haven.plan", "--out", out};
    }
    Scratch scratch;
    const std::string out = scratch / "out";
};

TEST_F(OneFolder, HoldsWhatWasAskedForAndNothingElseIsLeft) {
    const std::string few = scratch / "few";
    auto words = job();
    words.back() = few;
    words.insert(words.end(), {"--layers", "verdict,spare_full,zones"});
    const Outcome run = swingroom(words);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(scratch.names(), ElementsAre("few", "out"));
    std::vector<std::string> names;
    for (const auto& [name, bytes] : contents(few)) {
        names.push_back(name);
    }
    // Category names of a GeoTIFF live in a file beside it.
    std::erase_if(names, [](const std::string& name) { return name.ends_with(".aux.xml"); });
    EXPECT_THAT(names, ElementsAre("manifest.json", "spare_full.qml", "spare_full.sld", "spare_full.tif",
                                   "verdict.qml", "verdict.sld", "verdict.tif", "zones.geojson", "zones.qml",
                                   "zones.sld"));
    EXPECT_EQ(read_layer(few + "/verdict.tif").values, read_layer(out + "/verdict.tif").values);
}

TEST_F(OneFolder, IsKeptUnlessOverwritingIsAskedFor) {
    write_bytes(out + "/zones.geojson", "mine");
    const Outcome kept = swingroom(job());
    EXPECT_EQ(kept.exit_code, 2);
    EXPECT_EQ(kept.lines(), 1u) << kept.err;
    EXPECT_THAT(kept.err, HasSubstr("--overwrite"));
    EXPECT_EQ(bytes_of(out + "/zones.geojson"), "mine");

    auto words = job();
    words.push_back("--overwrite");
    EXPECT_EQ(swingroom(words).exit_code, 0);
    EXPECT_NE(bytes_of(out + "/zones.geojson"), "mine");
    EXPECT_THAT(scratch.names(), ElementsAre("out"));
}

TEST_F(OneFolder, OfSomebodyElseIsNeverOverwritten) {
    const std::string foreign = scratch / "foreign";
    std::filesystem::create_directory(foreign);
    write_bytes(foreign + "/thesis.txt", "years of work");
    auto words = job();
    words.back() = foreign;
    words.push_back("--overwrite");
    const Outcome run = swingroom(words);
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_EQ(run.lines(), 1u) << run.err;
    EXPECT_EQ(bytes_of(foreign + "/thesis.txt"), "years of work");
}

/// Starts a run and kills it as soon as it has made its hidden folder.  @returns that folder's name
std::string killed_run(const std::vector<std::string>& arguments, const std::filesystem::path& folder) {
    std::vector<std::string> words = arguments;
    words.insert(words.begin(), SWINGROOM_COMMAND);
    std::vector<char*> argv;
    for (std::string& word : words) {
        argv.push_back(word.data());
    }
    argv.push_back(nullptr);
    const pid_t child = fork();
    if (child == 0) {
        if (chdir(SWINGROOM_SOURCE) == 0) execv(argv[0], argv.data());
        _exit(127);
    }
    std::string hidden;
    int status = 0;
    while (hidden.empty() && waitpid(child, &status, WNOHANG) == 0) {
        for (const auto& entry : std::filesystem::directory_iterator(folder)) {
            if (exists(entry.path() / ".lock")) hidden = entry.path().filename().string();
        }
    }
    kill(child, SIGKILL);
    waitpid(child, &status, 0);
    return hidden;
}

TEST_F(OneFolder, TakesAwayWhatAKilledRunHasLeftAndSaysSo) {
    const std::string killed = scratch / "killed";
    auto words = job();
    words.back() = killed;
    const std::string left = killed_run(words, scratch.path());
    ASSERT_THAT(left, testing::StartsWith(".killed.part-"));
    EXPECT_THAT(scratch.names(), ElementsAre(left, "out"));
    const Outcome next = swingroom(words);
    EXPECT_EQ(next.exit_code, 0) << next.err;
    EXPECT_THAT(next.err, HasSubstr(left + ": was left by a run that was killed, and has been removed"));
    EXPECT_EQ(next.lines(), 1U) << next.err;
    EXPECT_THAT(scratch.names(), ElementsAre("killed", "out"));
    EXPECT_EQ(contents(killed), contents(out)) << "the same bytes";
}

TEST_F(OneFolder, IsNoInputOfItsOwnRun) {
    const auto before = contents(out);
    std::filesystem::create_symlink("out/exclusions.geojson", scratch / "link.geojson");
    for (const std::string& hazards : {out + "/exclusions.geojson", scratch / "link.geojson"}) {
        auto words = job();
        words.insert(words.end(), {"--overwrite", "--hazards", hazards});
        const Outcome overlay = swingroom(words);
        EXPECT_EQ(overlay.exit_code, 2);
        EXPECT_EQ(overlay.lines(), 1U) << overlay.err;
        EXPECT_THAT(overlay.err, HasSubstr("--out: " + out + " holds " + hazards + ", which is read"));
        const Outcome exclusions =
            swingroom({"exclusions", "--hazards", hazards, "--out", out, "--overwrite"});
        EXPECT_EQ(exclusions.exit_code, 2);
        EXPECT_THAT(exclusions.err, HasSubstr("which is read"));
    }
    EXPECT_EQ(contents(out), before);
    EXPECT_THAT(scratch.names(), ElementsAre("link.geojson", "out"));
}

TEST_F(OneFolder, VerifiesAsWritten) {
    const Outcome run = swingroom({"verify", out});
    EXPECT_EQ(run.exit_code, 0) << run.err;
    EXPECT_EQ(run.err, "");
}

TEST_F(OneFolder, VerifyFindsAFlippedBitInEveryFile) {
    auto words = job();
    words.insert(words.end(),
                 {"--overwrite", "--layers", "verdict,verdict.mbtiles,spare_full,zones,spots.gpx"});
    ASSERT_EQ(swingroom(words).exit_code, 0);
    for (const auto& [name, bytes] : contents(out)) {
        SCOPED_TRACE(name);
        for (const std::size_t at : {std::size_t{0}, bytes.size() / 2, bytes.size() - 1}) {
            std::string flipped = bytes;
            flipped[at] = static_cast<char>(flipped[at] ^ 1);
            write_bytes(out + "/" + name, flipped);
            const Outcome run = swingroom({"verify", out});
            EXPECT_EQ(run.exit_code, 1) << "byte " << at;
            EXPECT_THAT(run.out + run.err, HasSubstr(name));
        }
        write_bytes(out + "/" + name, bytes);
    }
    EXPECT_EQ(swingroom({"verify", out}).exit_code, 0) << "all is as it was again";
}

TEST_F(OneFolder, VerifyFindsAMissingFileAndAStranger) {
    write_bytes(out + "/stranger.tif", "not ours");
    Outcome run = swingroom({"verify", out});
    EXPECT_EQ(run.exit_code, 1);
    EXPECT_THAT(run.out + run.err, HasSubstr("stranger.tif"));
    std::filesystem::remove(out + "/stranger.tif");
    std::filesystem::remove(out + "/verdict.tif");
    run = swingroom({"verify", out});
    EXPECT_EQ(run.exit_code, 1);
    EXPECT_THAT(run.out + run.err, HasSubstr("verdict.tif"));
}

TEST_F(OneFolder, VerifyWithoutAManifestIsTheUsersMistake) {
    std::filesystem::remove(out + "/manifest.json");
    const Outcome run = swingroom({"verify", out});
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_EQ(run.lines(), 1u) << run.err;
}

} // namespace
} // namespace swingroom::golden
