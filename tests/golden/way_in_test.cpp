// The way in, from outside: the layer of access levels by the options of overlay, what is refused, what is
// told.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using Words = std::vector<std::string>;

const std::string haven = "testdata/haven/haven.plan";

Words overlay(const Words& more) {
    Words words = {"overlay", "--plan", haven};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// What is wrong with a command, in one line; nothing is made.
void expect_refused(const Words& words, const std::string& where, const std::string& cure) {
    const Scratch scratch;
    Words all = overlay({"--out", scratch / "out"});
    all.insert(all.end(), words.begin(), words.end());
    const Outcome run = swingroom(all);
    EXPECT_EQ(run.exit_code, 2) << run.err;
    EXPECT_EQ(run.lines(), 1U) << run.err;
    EXPECT_THAT(run.err, AllOf(HasSubstr(where), HasSubstr(cure)));
    EXPECT_TRUE(contents(scratch / "").empty()) << "something is left behind";
}

TEST(WayIn, RefusesWhatSaysNothingOrTooMuch) {
    const Words named = {"--layers", "access_level"};
    const auto with = [&](const Words& more) {
        Words words = named;
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    expect_refused({"--from", "-29.04,47.98"}, "--from: tells of the way in", "add access_level to --layers");
    expect_refused({"--clear-way", "5"}, "--clear-way: tells of the way in", "add access_level to --layers");
    expect_refused(with({"--clear-way", "0"}), "--clear-way: \"0\" is not possible", "give 0.1 to 1000 m");
    expect_refused(with({"--clear-way", "wide"}), "--clear-way", "");
    expect_refused(with({"--from", "-29.04"}), "--from: \"-29.04\" is not longitude and latitude",
                   "longitude first");
    expect_refused(with({"--from", "-29,04,47,98"}), "--from: \"-29,04,47,98\" is not longitude and latitude",
                   "decimal points");
    expect_refused(with({"--from", "-29.04,95"}), "--from", "90");
    expect_refused(with({"--from", "-20,47.98"}),
                   "--from -20,47.98: lies outside testdata/haven/bathymetry.tif", "longitude comes first");
}

TEST(WayIn, NeedsABeamOrAClearWay) {
    const Scratch scratch;
    std::string boat = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    const std::size_t line = boat.find("\nbeam = ");
    ASSERT_NE(line, std::string::npos);
    boat.erase(line, boat.find('\n', line + 1) - line);
    write_bytes(scratch / "boat.ini", boat);
    const Words words = {"--boat", scratch / "boat.ini", "--layers", "access_level"};
    expect_refused(words, "boat.ini: gives no beam", "or --clear-way");
}

} // namespace
} // namespace swingroom::golden
