// One folder per run: whole or not at all, kept unless asked, and `verify` finds what has changed in it
// since.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

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
    for (const auto& [name, bytes] : contents(few))
        names.push_back(name);
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
        if (name == "manifest.json") continue;
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
