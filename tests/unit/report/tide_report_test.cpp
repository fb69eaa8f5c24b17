// What `swingroom tide` tells, and the picture of the curve: against the curve itself.

#include "swingroom/base/error.hpp"
#include "swingroom/report/tide_facts.hpp"
#include "swingroom/report/tide_report.hpp"

#include <boost/property_tree/json_parser.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <memory>
#include <optional>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using boost::property_tree::ptree;
using testing::HasSubstr;
using testing::Not;

Instant moment(const std::string& text) { return parse_instant(text, std::nullopt, "test"); }

constexpr const char* table =
    "# zone: +01:00\n# unit: m\n# above-chart-datum: 0 m\n# name: Old <Mole>\n# position: -29.04,47.98\n"
    "time,height,type\n2026-05-01 06:00,0.4,L\n2026-05-01 12:10,3.6,H\n2026-05-01 18:20,0.6,L\n"
    "2026-05-02 00:30,3.5,H\n";

TideReport report_of(TideQuestion question = {}) {
    TideFile file = read_tide_file(table, "mole.csv", {});
    if (question.to == Instant{}) {
        question.from = file.curve->first();
        question.to = file.curve->last();
    }
    question.zone = file.zone.value_or(ZoneOffset(0));
    return tide_report(std::move(file), "mole.csv", std::move(question));
}

TideQuestion whole_question() {
    TideQuestion question;
    question.at = {moment("2026-05-01T08:30Z")};
    question.every = 3h;
    question.allowances = {0.2, 0.3};
    return question;
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t found = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
        ++found;
    }
    return found;
}

TEST(TideReport, TellsTurnsHeightsAndBounds) {
    const TideReport report = report_of(whole_question());
    ASSERT_EQ(report.turns.size(), 4U);
    EXPECT_EQ(report.turns.front().time, moment("2026-05-01T05:00Z"));
    EXPECT_EQ(report.series.size(), 7U) << "18.5 hours by three";
    ASSERT_EQ(report.at.size(), 1U);
    // The cosine of chapter 3 of any textbook, half a tide of 6 h 10 min after 3 h 30 min.
    const double cosine_m = 2.0 - 1.6 * std::cos(std::acos(-1.0) * 210 / 370);
    EXPECT_NEAR(report.at.front().height_m, cosine_m, 1e-9);
    EXPECT_NEAR(report.at.front().bounds.least_m, cosine_m - 0.32 - 0.05 - 0.2, 1e-9)
        << "a tenth of the range, half a digit, and the allowance";
    EXPECT_NEAR(report.at.front().bounds.greatest_m, 3.6 + 0.05 + 0.3, 1e-9);
    EXPECT_NEAR(report.levels.least_m, 0.4 - 0.05 - 0.2, 1e-9);
    EXPECT_NEAR(report.levels.greatest_m, 3.6 + 0.05 + 0.3, 1e-9);
    for (const auto& height : report.series) {
        EXPECT_LE(report.levels.least_m, height.bounds.least_m);
        EXPECT_GE(report.levels.greatest_m, height.bounds.greatest_m);
    }
}

TEST(TideReport, RefusesTimesThatTheFileDoesNotTell) {
    const auto refusal = [](const char* from, const char* to, std::vector<Instant> at = {}) {
        TideQuestion question;
        question.from = moment(from);
        question.to = moment(to);
        question.at = std::move(at);
        try {
            (void)report_of(std::move(question));
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("taken");
    };
    EXPECT_EQ(refusal("2026-05-01T05:00Z", "2026-05-01T23:30Z"), "taken");
    EXPECT_THAT(refusal("2026-05-01T04:59Z", "2026-05-01T20:00Z"),
                HasSubstr("mole.csv: 2026-05-01 05:59 UTC+01:00 is not"));
    EXPECT_THAT(refusal("2026-05-01T06:00Z", "2026-05-01T23:31Z"),
                HasSubstr("2026-05-02 00:31 UTC+01:00 is not within"));
    EXPECT_THAT(refusal("2026-05-01T06:00Z", "2026-05-01T06:00Z"), HasSubstr("does not end"));
    EXPECT_THAT(refusal("2026-05-01T06:00Z", "2026-05-01T08:00Z", {moment("2026-05-03T06:00Z")}),
                HasSubstr("2026-05-03 07:00 UTC+01:00 is not within"));
    EXPECT_THAT(refusal("2026-05-01T06:00Z", "2027-06-01T06:00Z"), HasSubstr("longer than a year"));
}

TEST(TideReport, TextIsByTheClockAndInTheUnit) {
    const TideReport report = report_of(whole_question());
    const std::string text = tide_text(report);
    EXPECT_THAT(text, HasSubstr("Old <Mole> (mole.csv): high and low waters\n"));
    EXPECT_THAT(text, HasSubstr("times by the clock UTC+01:00."));
    EXPECT_THAT(text, HasSubstr("  high  2026-05-01 12:10  3.60\n"));
    EXPECT_THAT(
        text,
        HasSubstr("the water stands between 0.15 and 3.95 m above chart datum, the curve's own error and "
                  "the allowances counted."));
    EXPECT_THAT(text, HasSubstr("; for weather, 0.20 m below and 0.30 m above that are allowed for\n"));
    const std::string without = tide_text(report_of());
    EXPECT_THAT(without, HasSubstr("; no allowance for weather (--below, --above)\n"));
    EXPECT_THAT(without, HasSubstr("the curve's own error counted; weather is not."));
    EXPECT_THAT(without, Not(HasSubstr("0.00 m")));
    EXPECT_THAT(tide_text(report, {LengthUnit::foot, {}}), HasSubstr("  high  2026-05-01 12:10  11.8\n"));
    std::istringstream lines(tide_text(report, {}, 60));
    for (std::string line; std::getline(lines, line);) {
        EXPECT_LE(line.size(), 60U) << line;
    }
}

TEST(TideReport, JsonAndCsvHoldTheSame) {
    const TideReport report = report_of(whole_question());
    std::istringstream in(tide_json(report));
    ptree json;
    boost::property_tree::read_json(in, json);
    EXPECT_EQ(json.get<std::string>("command"), "tide");
    EXPECT_EQ(json.get<std::string>("form"), "turns");
    EXPECT_EQ(json.get<std::string>("station"), "Old <Mole>");
    EXPECT_EQ(json.get<double>("position.longitude"), -29.04);
    EXPECT_EQ(json.get<double>("lowest_m"), 0.15);
    EXPECT_EQ(json.get<double>("highest_m"), 3.95);
    EXPECT_EQ(json.get_child("turns").size(), 4U);
    EXPECT_EQ(json.get_child("heights").size(), 7U);
    EXPECT_EQ(json.get_child("at").front().second.get<std::string>("clock"), "2026-05-01 09:30 UTC+01:00");
    EXPECT_EQ(json.get<std::string>("clock"), "UTC+01:00");
    EXPECT_EQ(json.get_child("notes").size(), 0U);

    std::istringstream csv(tide_csv(report));
    std::vector<std::string> lines;
    for (std::string line; std::getline(csv, line);) {
        lines.push_back(line);
    }
    ASSERT_EQ(lines.size(), 1U + 4 + 1 + 7);
    EXPECT_EQ(lines.front(), "time,type,height_m,least_m,greatest_m");
    EXPECT_TRUE(
        std::is_sorted(lines.begin() + 1, lines.end(), [](const std::string& a, const std::string& b) {
            return a.substr(0, 17) < b.substr(0, 17);
        }));
    EXPECT_THAT(lines, testing::Contains(testing::StartsWith("2026-05-01T08:30Z,at,")));
    EXPECT_THAT(lines, testing::Contains(testing::StartsWith("2026-05-01T11:10Z,high,3.600,")));
}

/// The picture as a tree of XML, which it has to be.
ptree tree_of(const std::string& svg) {
    std::istringstream in(svg);
    ptree tree;
    boost::property_tree::read_xml(in, tree);
    return tree.get_child("svg");
}

TEST(TidePicture, ShowsCurveBandTurnsMomentsAndLevels) {
    const TideReport report = report_of(whole_question());
    TidePicture picture = picture_of(report);
    picture.moments = {{moment("2026-05-01T07:00Z"), "arrival"}, {moment("2026-05-09T07:00Z"), "never"}};
    picture.levels = {{1.2541, "needed <here>"}, {40, "far off"}};
    const std::string svg = tide_picture(picture).str();
    const ptree tree = tree_of(svg);
    EXPECT_THAT(tree.get<std::string>("title"),
                HasSubstr("2026-05-01 06:00 UTC+01:00 to 2026-05-02 00:30 UTC+01:00"));
    EXPECT_THAT(tree.get<std::string>("desc"), HasSubstr("between 0.15 and 3.95 m above chart datum"));
    EXPECT_THAT(tree.get<std::string>("desc"), HasSubstr("high water 3.6 m at 2026-05-01 12:10 UTC+01:00"));
    EXPECT_EQ(count(svg, "<circle"), 4U);
    EXPECT_THAT(svg, HasSubstr(">12:10</tspan>"));
    EXPECT_THAT(svg, HasSubstr(">arrival 08:00</text>"));
    EXPECT_THAT(svg, HasSubstr(">needed &lt;here&gt;: 1.26 m</text>")) << "a need is rounded up";
    EXPECT_THAT(svg, Not(HasSubstr("never")));
    EXPECT_THAT(svg, Not(HasSubstr(">far off:"))) << "its line would press the curve flat";
    EXPECT_THAT(tree.get<std::string>("desc"), HasSubstr("far off: 40.00 m above chart datum"));
    EXPECT_THAT(svg, HasSubstr(">Old &lt;Mole&gt;. Line: the prediction. Band: "));
    EXPECT_THAT(svg, HasSubstr("Fri 1 May"));
    EXPECT_EQ(count(svg, "class=\"band\""), 1U);
    EXPECT_EQ(count(svg, "class=\"curve\""), 1U);
}

/// What words of a size take in the picture; the letters of the widest usual typeface.
struct Written {
    std::string text;
    double left, top, right, bottom;
};
bool meet(const Written& a, const Written& b) {
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
/// @param name  of the group   @param narrow  the larger letters, without what is left out then
std::vector<Written> written_in(const std::string& svg, const std::string& name, bool narrow) {
    const double letter_px = narrow ? 23 : 13;
    std::vector<Written> all;
    for (const auto& [kind, part] : tree_of(svg)) {
        if (kind != "g" || part.get<std::string>("<xmlattr>.class") != name) continue;
        for (const auto& [element, text] : part) {
            if (element != "text" || (narrow && text.get<std::string>("<xmlattr>.class", "") == "close"))
                continue;
            double y = text.get<double>("<xmlattr>.y");
            std::vector<std::pair<std::string, std::string>> lines; // and how far each is below the last
            for (const auto& [inner, line] : text) {
                if (inner == "tspan") lines.emplace_back(line.data(), line.get<std::string>("<xmlattr>.dy"));
            }
            if (lines.empty()) lines.emplace_back(text.data(), text.get<std::string>("<xmlattr>.dy", "0em"));
            for (const auto& [words, below] : lines) {
                y += std::stod(below) * letter_px;
                const double x = text.get<double>("<xmlattr>.x"),
                             width = 0.6 * letter_px * static_cast<double>(words.size());
                const std::string anchor = text.get<std::string>("<xmlattr>.text-anchor");
                const double left = anchor == "end" ? x - width : anchor == "middle" ? x - width / 2 : x;
                all.push_back({words, left, y - 0.75 * letter_px, left + width, y + 0.2 * letter_px});
            }
        }
    }
    return all;
}

/// An evening with levels close together, the lowest and the highest of it among them.
TidePicture crowded_picture(const LevelCurve& curve) {
    TidePicture picture;
    picture.curve = &curve;
    picture.from = moment("2026-05-01T06:00Z");
    picture.to = moment("2026-05-01T22:00Z");
    picture.allowances = {0.2, 0.3};
    picture.moments = {{moment("2026-05-01T07:00Z"), "arrival"}, {moment("2026-05-01T21:00Z"), "departure"}};
    picture.levels = {{0.15, "lowest"},          {3.95, "highest"},       {-0.6, "drop point 1"},
                      {-0.7, "drop point 2, 3"}, {-0.62, "drop point 4"}, {0.2, "drop point 5"},
                      {-0.9, "drop point 6"}};
    return picture;
}

TEST(TidePicture, WordsDoNotStandInEachOtherNorOnLines) {
    const TideReport report = report_of();
    const TidePicture picture = crowded_picture(*report.file.curve);
    const std::string svg = tide_picture(picture).str();
    for (const bool narrow : {false, true}) {
        std::vector<Written> all = written_in(svg, "levels", narrow);
        ASSERT_GE(all.size(), narrow ? 2U : 4U);
        const std::size_t levels = all.size();
        for (const Written& turn : written_in(svg, "turns", narrow)) {
            all.push_back(turn);
        }
        for (std::size_t i = 0; i < all.size(); ++i) {
            for (std::size_t j = i + 1; j < all.size(); ++j) {
                EXPECT_FALSE(meet(all[i], all[j])) << all[i].text << " and " << all[j].text;
            }
        }
        // Lines of moments, from top to bottom, and those of levels, all across.
        for (const auto& [kind, part] : tree_of(svg)) {
            const std::string name = kind == "g" ? part.get<std::string>("<xmlattr>.class") : "";
            if (name != "moments" && name != "levels") continue;
            for (const auto& [element, line] : part) {
                if (element != "line" ||
                    (narrow && line.get<std::string>("<xmlattr>.class", "") == "close")) {
                    continue;
                }
                const Written ink{"line", line.get<double>("<xmlattr>.x1"), line.get<double>("<xmlattr>.y1"),
                                  line.get<double>("<xmlattr>.x2") + 0.1,
                                  line.get<double>("<xmlattr>.y2") + 0.1};
                for (std::size_t i = 0; i < (name == "levels" ? levels : all.size()); ++i) {
                    EXPECT_FALSE(meet(all[i], ink)) << all[i].text << " on a line of " << name;
                }
            }
        }
    }
}

// Of two that would collide the caller's first is drawn; the description has both.
TEST(TidePicture, LevelsThatCollideAreLeftOutOfTheDrawingAlone) {
    const TideReport report = report_of();
    const std::string svg = tide_picture(crowded_picture(*report.file.curve)).str();
    EXPECT_THAT(svg, HasSubstr(">drop point 1: -0.60 m</text>"));
    EXPECT_THAT(svg, Not(HasSubstr(">drop point 4: -0.62 m</text>")));
    EXPECT_THAT(svg, HasSubstr("drop point 1: 0.60 m below chart datum"));
    EXPECT_THAT(svg, HasSubstr("drop point 4: 0.62 m below chart datum"));
}

// The curve lies in its band wherever it is looked at, and both in the picture.
TEST(TidePicture, TheCurveLiesInItsBand) {
    const TideReport report = report_of();
    const std::string svg = tide_picture(picture_of(report)).str();
    const auto points_of = [&svg](const std::string& name) {
        const std::size_t at = svg.find("points=\"", svg.find("class=\"" + name + "\"")) + 8;
        std::istringstream in(svg.substr(at, svg.find('"', at) - at));
        std::vector<std::pair<double, double>> points;
        for (std::string point; in >> point;) {
            const std::size_t comma = point.find(',');
            points.emplace_back(std::stod(point.substr(0, comma)), std::stod(point.substr(comma + 1)));
        }
        return points;
    };
    const auto band = points_of("band"), curve = points_of("curve");
    ASSERT_GT(band.size(), 100U);
    ASSERT_GT(curve.size(), 100U);
    for (const auto& [x, y] : curve) {
        double upper = 1e9, lower = -1e9;
        for (std::size_t i = 0; i < band.size(); ++i) {
            if (std::abs(band[i].first - x) > 2) continue;
            (i < band.size() / 2 ? upper : lower) =
                i < band.size() / 2 ? std::min(upper, band[i].second) : std::max(lower, band[i].second);
        }
        EXPECT_LE(upper, y + 0.2) << x;
        EXPECT_GE(lower, y - 0.2) << x;
        EXPECT_GT(y, 0);
        EXPECT_LT(y, 430);
    }
}

TEST(TidePicture, OfAMonthTellsTheHighestAndTheLowestAlone) {
    const HarmonicTide tide({{"M2", 1.2, 98}, {"S2", 0.4, 138}}, 2, NodalScheme::yearly, "test");
    TidePicture picture;
    picture.curve = &tide;
    picture.from = moment("2026-07-01T00:00Z");
    picture.to = moment("2026-07-31T00:00Z");
    const std::string svg = tide_picture(picture).str();
    EXPECT_GT(count(svg, "<circle"), 100U);
    EXPECT_EQ(count(svg, "<tspan"), 4U) << "time and height of two";
    EXPECT_THAT(svg, HasSubstr("more.</desc>"));
    EXPECT_LT(svg.size(), 120000U);
}

StayTide stay_tide(std::optional<StationPlace> place) {
    TideFile file = read_tide_file(table, "mole.csv", {});
    const LevelAllowances allowances{0.2, 0.3};
    const Stay stay(*file.curve, moment("2026-05-01T08:30Z"), moment("2026-05-01T20:00Z"), allowances,
                    "mole.csv");
    return {file.curve, allowances, stay, ZoneOffset(60), "mole.csv", file.name, "", "", place, {}};
}

TEST(TideFacts, TellStationStayAndBounds) {
    std::string text;
    for (const Fact& fact : tide_facts(stay_tide(StationPlace{-29, 48}))) {
        text += fact_line(fact) + "\n";
    }
    EXPECT_THAT(text, HasSubstr("tide: the file mole.csv\n"));
    EXPECT_THAT(text, HasSubstr("stay: 2026-05-01T08:30Z (2026-05-01 09:30 UTC+01:00) to 2026-05-01T20:00Z"));
    EXPECT_THAT(text, HasSubstr("between 0.35 and 3.95 m above chart datum"));
    EXPECT_THAT(text, HasSubstr("0.20 m below and 0.30 m above the prediction"));
    EXPECT_THAT(text, Not(HasSubstr("distance")));
    const auto facts = tide_facts(stay_tide(std::nullopt));
    EXPECT_EQ(facts.back().kind, Fact::Kind::assumed) << "nobody knows how far the station is";
}

// Half of what lies between the bounds of the minute of arrival, up to the next centimetre.
TEST(TideFacts, TheLevelsErrorIsHalfTheBoundsAtArrival) {
    const StayTide tide = stay_tide(std::nullopt);
    const LevelBounds bounds = tide.stay.at(tide.stay.arrive());
    const double half_m = (bounds.greatest_m - bounds.least_m) / 2;
    EXPECT_GE(level_error_m(tide), half_m - 1e-7);
    EXPECT_LT(level_error_m(tide), half_m + 0.01);
    EXPECT_GE(level_within_m(tide), 2 * half_m - 1e-7);
    EXPECT_LT(level_within_m(tide), 2 * half_m + 0.01);
}

} // namespace
} // namespace swingroom
