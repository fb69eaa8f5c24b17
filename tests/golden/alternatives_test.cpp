// What `spot` says of a no: each change that it proposes is made by the program's own options, and turns the
// answer; the nearest yes is that of the layer.

#include "swingroom/room/verdict.hpp"

#include "support.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <ostream>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using Words = std::vector<std::string>;

const char* const plan = "testdata/haven/haven.plan";
const char* const boat_file = SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini";

CPLJSONObject spot(const Words& place, const Words& more) {
    Words words = {"spot", "--plan", plan, "--json"};
    words.insert(words.end(), place.begin(), place.end());
    words.insert(words.end(), more.begin(), more.end());
    const Outcome outcome = swingroom(words);
    EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
    CPLJSONDocument document;
    EXPECT_TRUE(document.LoadMemory(outcome.out)) << outcome.out;
    return document.GetRoot();
}

/// The text with one piece of it replaced, which it must have.
std::string with(std::string text, const std::string& piece, const std::string& by) {
    const std::size_t at = text.find(piece);
    if (at == std::string::npos) {
        ADD_FAILURE() << "no " << piece;
        return text;
    }
    return text.replace(at, piece.size(), by);
}

/// The ketch without her sinker.
std::string without_sinker() {
    std::string text = bytes_of(boat_file);
    const std::size_t from = text.find("[sinker]"), to = text.find("[windlass]");
    return text.erase(from, to - from);
}

std::string number(double value) { return std::to_string(value); }

struct Place {
    const char *of, *lon, *lat, *change; ///< a change that is proposed there
    bool sinker = true;                  ///< aboard
};

void PrintTo(const Place& place, std::ostream* to) { *to << place.lon << " " << place.lat; }

class WouldDo : public testing::TestWithParam<Place> {};

TEST_P(WouldDo, WhenTheProgramIsAskedForIt) {
    const Place& of = GetParam();
    const Scratch scratch;
    const std::string boat = scratch / "boat.ini", changed_boat = scratch / "changed.ini";
    const std::string aboard = of.sinker ? bytes_of(boat_file) : without_sinker();
    write_bytes(boat, aboard);
    const Words place = {of.lon, of.lat};
    const CPLJSONObject no = spot(place, {"--boat", boat});
    ASSERT_EQ(no.GetInteger("verdict"), static_cast<int>(Verdict::no));
    std::set<std::string> changes;
    for (const CPLJSONObject& proposal : no.GetArray("would_do")) {
        const std::string change = proposal.GetString("change");
        SCOPED_TRACE(proposal.ToString());
        changes.insert(change);
        Words more = {"--boat", boat};
        if (change == "water") {
            EXPECT_NEAR(proposal.GetDouble("low_water_m"), 0.5 + proposal.GetDouble("more_m"), 1e-9);
            more.insert(more.end(), {"--low-water", number(proposal.GetDouble("low_water_m"))});
        } else if (change == "wind") {
            EXPECT_EQ(proposal.GetDouble("instead_of_kn"), 15);
            more.insert(more.end(), {"--wind", number(proposal.GetDouble("wind_kn"))});
        } else if (change == "rode") {
            EXPECT_EQ(proposal.GetDouble("aboard_m"), 60 + proposal.GetDouble("more_m"));
            write_bytes(changed_boat, with(aboard, "chain = 60 m",
                                           "chain = " + number(proposal.GetDouble("aboard_m")) + " m"));
            more.back() = changed_boat;
        } else if (change == "sinker") {
            write_bytes(changed_boat,
                        aboard + "\n[sinker]\nmass = " + number(proposal.GetDouble("sinker_kg")) + " kg\n");
            more.back() = changed_boat;
        } else {
            EXPECT_FALSE(proposal.GetString("source").empty());
            more.insert(more.end(), {"--margin", proposal.GetString("rule") + "=" +
                                                     number(proposal.GetDouble("margin_m")) + "m"});
        }
        const CPLJSONObject then = spot(place, more);
        EXPECT_TRUE(is_yes(static_cast<Verdict>(then.GetInteger("verdict"))));
        EXPECT_EQ(then.GetInteger("verdict"), proposal.GetInteger("verdict"));
        EXPECT_EQ(then.GetString("meaning"), proposal.GetString("meaning"));
        EXPECT_EQ(then.GetObj("would_do").GetType(), CPLJSONObject::Type::Null) << "of a yes";
    }
    EXPECT_TRUE(changes.contains(of.change)) << "nobody proposes it here any more: find another place";
}

// Positions by PROJ; which change is proposed there was found by trying.
INSTANTIATE_TEST_SUITE_P(Places, WouldDo,
                         testing::Values(Place{"Shoal", "-29.045863", "47.987741", "water"},
                                         Place{"CableCorridor", "-29.044074", "47.981817", "margin"},
                                         Place{"BesideTheCable", "-29.043863", "47.983242", "margin"},
                                         Place{"Deep", "-29.032771", "47.981333", "rode"},
                                         Place{"DeepestThatWillDo", "-29.034016", "47.980268", "rode"},
                                         Place{"SmallPool", "-29.036063", "47.981905", "wind"},
                                         Place{"EdgeOfAPool", "-29.045560", "47.986865", "water"},
                                         Place{"WithoutSinker", "-29.049619", "47.981718", "sinker", false},
                                         Place{"WithoutSinkerByTheWreck", "-29.036523", "47.982005", "wind",
                                               false}),
                         [](const auto& of) { return std::string(of.param.of); });

TEST(Alternatives, AreSaidInWordsAndInTheUnitsOfTheReader) {
    const auto said = [](const Words& place, const Words& more) {
        Words words = {"spot", "--plan", plan};
        words.insert(words.end(), place.begin(), place.end());
        words.insert(words.end(), more.begin(), more.end());
        return swingroom(words).out;
    };
    const std::string shoal = said({"-29.045863", "47.987741"}, {});
    EXPECT_THAT(shoal, HasSubstr("What would make it a yes, each alone:\n"
                                 "  1.5 m more water at low water (2.00 m above chart datum): yes, at "));
    // 1.5 m are 4.92 ft, and 2 m 6.562: up, so that it will do still.
    EXPECT_THAT(said({"-29.045863", "47.987741"}, {"--units", "ft"}),
                HasSubstr("  5.0 ft more water at low water (6.57 ft above chart datum): yes, at "));
    EXPECT_THAT(said({"-29.044074", "47.981817"}, {}),
                HasSubstr("  with a margin of 13 m instead of 50 m around 'cable' (whose source is: "
                          "invented: bylaw of the haven): yes, at "));
    // 13 m are 42.65 ft: down.
    EXPECT_THAT(said({"-29.044074", "47.981817"}, {"--units", "ft"}),
                HasSubstr("  with a margin of 42 ft instead of "));
    EXPECT_THAT(said({"-29.032771", "47.981333"}, {}),
                HasSubstr("  8 m more rode (68.0 m in all): yes, at "));
    EXPECT_THAT(said({"-29.036063", "47.981905"}, {}), HasSubstr("  at 8 kn instead of 15: yes, at "));
    // Land, and the middle of the fairway.
    EXPECT_THAT(said({"-29.0504167", "47.9893427"}, {}), HasSubstr("What would make it a yes: a survey"));
    EXPECT_THAT(said({"-29.043402", "47.982090"}, {}),
                HasSubstr("What would make it a yes: nothing alone: "));
    // A yes is told of no other.
    const std::string pool = said({"-29.043932", "47.987038"}, {});
    EXPECT_EQ(pool.find("What would"), std::string::npos);
    EXPECT_EQ(pool.find("Nearest yes"), std::string::npos);
    const std::string nowhere = said({"-29.043932", "47.987038"}, {"--margin", "cable=2000m"});
    EXPECT_THAT(nowhere, HasSubstr(" m instead of 2000 m around 'cable' (whose source is: "));
    EXPECT_THAT(nowhere, HasSubstr("Nearest yes: none within 3704 m on the raster\n"));
    EXPECT_THAT(said({"-29.043932", "47.987038"}, {"--margin", "cable=2000m", "--units", "fm"}),
                HasSubstr("Nearest yes: none within 2.00 nm on the raster\n"));
}

/// What stands behind a mark, up to another; nothing where the mark is not there.
std::string between(const std::string& text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    if (at == std::string::npos) return {};
    const std::size_t begin = at + from.size();
    return text.substr(begin, text.find(to, begin) - begin);
}

std::string unescaped(std::string text) {
    for (std::size_t at = 0; (at = text.find("&#39;", at)) != std::string::npos;) {
        text.replace(at, 5, "'");
    }
    return text;
}

// The report names places of which `spot` says the same.
TEST(Alternatives, OfTheReportAreThoseOfASpot) {
    const Scratch scratch;
    int proposed = 0;
    for (const Words& more : {Words{}, Words{"--margin", "cable=2000m"}, Words{"--wind", "25"}}) {
        const std::string folder = scratch / "haven";
        Words words = {"overlay", "--plan", plan, "--layers", "report", "--overwrite", "--out", folder};
        words.insert(words.end(), more.begin(), more.end());
        const Outcome outcome = swingroom(words);
        ASSERT_EQ(outcome.exit_code, 0) << outcome.err;
        const bool nowhere = !more.empty() && more[0] == "--margin";
        const std::string page = unescaped(bytes_of(folder + "/report.html"));
        EXPECT_EQ(page.find("Nowhere in this area, by what was given. The leading reason: within the margin "
                            "of a danger to anchor or chain, on ") != std::string::npos,
                  nowhere);
        EXPECT_EQ(
            outcome.says("of the surveyed area nothing is a yes; why the rest is not: within the margin "
                         "of a danger to anchor or chain "),
            nowhere);
        const std::string table = between(page, "Places that come nearest to a yes", "</section>");
        const std::regex position("(\\d\\d°\\d\\d\\.\\d{4}'N) (\\d{3}°\\d\\d\\.\\d{4}'W)");
        int named = 0;
        for (std::sregex_iterator at(table.begin(), table.end(), position), end; at != end; ++at) {
            ++named;
            Words asked = {"spot", (*at)[1].str(), (*at)[2].str(), "--plan", plan};
            asked.insert(asked.end(), more.begin(), more.end());
            const std::string said = swingroom(asked).out;
            EXPECT_THAT(said, HasSubstr(": no\n"));
            std::istringstream lines(between(said, "What would make it a yes, each alone:\n", "Nearest yes"));
            for (std::string line; std::getline(lines, line);) {
                ++proposed;
                EXPECT_THAT(table, HasSubstr(line.substr(line.find_first_not_of(' '))));
            }
        }
        EXPECT_GT(named, 0);
        EXPECT_LE(named, 5);
    }
    EXPECT_GT(proposed, 5);
}

// The haven is in UTM, whose scale there is within a part in a thousand of the ground's (EPSG:32626, 27 W
// plus two degrees: k = 0.9999).
TEST(Alternatives, NearestYesIsThatOfTheLayer) {
    const Scratch scratch;
    const std::string folder = scratch / "haven";
    ASSERT_EQ(swingroom({"overlay", "--plan", plan, "--layers", "verdict", "--out", folder}).exit_code, 0);
    const Layer verdict = read_layer(folder + "/verdict.tif");
    for (const Words& place : {Words{"-29.043402", "47.982090"}, Words{"-29.036919", "47.980135"},
                               Words{"-29.0504167", "47.9893427"}, Words{"-29.043444", "47.981819"}}) {
        const CPLJSONObject no = spot(place, {});
        const CPLJSONObject yes = no.GetObj("nearest_yes");
        const int col = no.GetObj("cell").GetInteger("column"), row = no.GetObj("cell").GetInteger("row");
        double least_m = std::numeric_limits<double>::infinity();
        for (int y = 0; y < verdict.rows; ++y) {
            for (int x = 0; x < verdict.cols; ++x) {
                if (verdict.at(x, y) < 2) continue;
                least_m =
                    std::min(least_m, std::hypot((x - col) * verdict.step_x, (y - row) * verdict.step_y));
            }
        }
        const int yes_col = yes.GetInteger("column"), yes_row = yes.GetInteger("row");
        EXPECT_EQ(verdict.at(yes_col, yes_row), yes.GetInteger("verdict"));
        // The position lies anywhere in its cell, and metres are rounded up.
        EXPECT_NEAR(yes.GetDouble("distance_m"), least_m, 1.5 + 1 + 0.001 * least_m);
        const double east_m = (yes_col - col) * verdict.step_x, north_m = (yes_row - row) * verdict.step_y;
        const double grid_deg = std::fmod(std::atan2(east_m, north_m) * 180 / 3.14159265358979 + 360, 360);
        // Convergence 2 degrees west of the middle of the zone: -2 sin(48) = -1.5 degrees.
        EXPECT_NEAR(std::remainder(yes.GetDouble("bearing_deg") - (grid_deg - 1.5), 360), 0, 2);
        EXPECT_GE(no.GetDouble("nearest_yes_within_m") + 1, yes.GetDouble("distance_m"));
    }
}

} // namespace
} // namespace swingroom::golden
