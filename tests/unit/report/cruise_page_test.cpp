// The page of a cruise and its JSON: from made figures, whose texts are hostile.

#include "swingroom/base/error.hpp"
#include "swingroom/report/cruise_page.hpp"
#include "swingroom/report/cruise_spots.hpp"

#include "report/cruise_map.hpp"
#include "support/made_tide.hpp"
#include "support/scratch.hpp"

// The parser still binds its placeholders in the global namespace.
#define BOOST_BIND_GLOBAL_PLACEHOLDERS
#include <boost/property_tree/json_parser.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <regex>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace pt = boost::property_tree;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

Instant at(const char* text) { return parse_instant(text, ZoneOffset(0), "test"); }

CruisePlace place(const std::string& name, Verdict verdict, double lon, double lat) {
    CruisePlace made;
    made.name = name;
    made.position = {lon, lat};
    made.verdict = verdict;
    made.depth_low_m = 5.58;
    made.depth_high_m = 8.01;
    made.rode_m = 35;
    made.radius_m = 44.11;
    made.spare_m = 12.39;
    made.wind_limit_kn = 27.8;
    return made;
}

/// Of a hundred cells of 10 m2 so many have an answer, and the rest are a no.
Tally tally(Verdict verdict, std::int64_t cells) {
    const auto covered = [](std::int64_t count) { return Covered{count, 10.0 * static_cast<double>(count)}; };
    Tally made;
    made.by_verdict[static_cast<std::size_t>(Verdict::no)] = covered(100 - cells);
    made.by_verdict[static_cast<std::size_t>(verdict)] += covered(cells);
    return made;
}

CruiseStay stay(const std::string& name, const LonLatBox& window, const std::string& folder) {
    CruiseStay made;
    made.name = name;
    made.window = window;
    made.levels = {0.504, 2.496, 0};
    made.wind_kn = 15;
    for (const char* const boat : {"/ketch", "/sloop"}) {
        CruiseAnswer answer;
        answer.folder = folder + boat;
        answer.has_report = true;
        made.answers.push_back(answer);
    }
    return made;
}

CruiseFigures cruise() {
    CruiseFigures made;
    made.boats = {{"Heavy <ketch>", 2.51, {}}, {"Light sloop", 1.8, {}}};
    made.stays = {stay("Gull Cove", {-29.06, 47.97, -29.02, 47.99}, "gull-cove"),
                  stay("Inner & outer \"Pool\"", {-28.56, 48.07, -28.52, 48.09}, "inner-pool"),
                  stay("Far", {-28.96, 48.47, -28.92, 48.49}, "far")};
    made.stays[0].time = TimeWindow{at("2026-12-24T18:00Z"), at("2026-12-25T06:00Z")};
    made.stays[0].station = "Haven";
    CruiseAnswer& first = made.stays[0].answers[0];
    first.tally = tally(Verdict::full, 12);
    first.places = {place("GU1FUL01", Verdict::full, -29.04, 47.98),
                    place("GU1SHO02", Verdict::short_scope, -29.05, 47.98)};
    first.places[1].reach = Reach::at_times;
    first.places[1].windows = {{at("2026-12-24T19:00Z"), at("2026-12-24T23:00Z")}};
    first.spots = 7;
    first.doubts = {"one", "two", "three <b>", "four"};
    made.stays[0].answers[1].tally = tally(Verdict::sinker, 1);
    made.stays[1].answers[0].tally = tally(Verdict::out_of_reach, 3);
    made.stays[1].answers[1].failure = "chart <x>: no such file";
    made.stays[2].answers[0].tally = Tally{};
    made.stays[2].answers[1].tally = tally(Verdict::no, 100);
    return made;
}

/// Throws what is not well-formed.
pt::ptree parsed_xml(const std::string& text) {
    std::istringstream in(text);
    pt::ptree tree;
    pt::read_xml(in, tree);
    return tree;
}

std::size_t count(const std::string& text, std::string_view what) {
    std::size_t found = 0;
    for (std::size_t from = 0; (from = text.find(what, from)) != std::string::npos; ++from) {
        ++found;
    }
    return found;
}

/// What a reader of markup sees.
std::string read(std::string text) {
    for (const auto& [entity, character] :
         {std::pair("&lt;", "<"), std::pair("&gt;", ">"), std::pair("&#39;", "'"), std::pair("&quot;", "\""),
          std::pair("&amp;", "&")}) {
        for (std::size_t at = 0; (at = text.find(entity, at)) != std::string::npos; ++at) {
            text.replace(at, std::string_view(entity).size(), character);
        }
    }
    return text;
}

/// The rows of a table by its caption, cell by cell, as text.
std::vector<std::vector<std::string>> rows(const std::string& page, const std::string& caption) {
    const std::size_t from = page.find("<caption>" + caption), end = page.find("</table>", from);
    EXPECT_NE(from, std::string::npos) << caption;
    const std::string table = page.substr(from, end - from);
    std::vector<std::vector<std::string>> found;
    const std::regex row("<tr[^>]*>(.*?)</tr>"), cell("<t[hd][^>]*>(.*?)</t[hd]>");
    for (std::sregex_iterator r(table.begin(), table.end(), row), none; r != none; ++r) {
        const std::string inside = (*r)[1];
        found.emplace_back();
        for (std::sregex_iterator c(inside.begin(), inside.end(), cell); c != none; ++c) {
            found.back().push_back(read((*c)[1]));
        }
    }
    return found;
}

TEST(CruisePage, IsWellFormedAndHoldsNoMarkupFromOutside) {
    const std::string page = cruise_page(cruise()).str();
    EXPECT_NO_THROW((void)parsed_xml(page));
    EXPECT_THAT(page, HasSubstr("Heavy &lt;ketch&gt;"));
    EXPECT_THAT(page, HasSubstr("Inner &amp; outer"));
    EXPECT_THAT(page, Not(HasSubstr("<ketch>")));
    EXPECT_THAT(page, Not(HasSubstr("<script")));
    EXPECT_THAT(page, Not(HasSubstr("http://localhost")));
    std::map<std::string, int> ids;
    const std::regex id(" id=\"([^\"]*)\"");
    for (std::sregex_iterator i(page.begin(), page.end(), id), none; i != none; ++i) {
        EXPECT_EQ(++ids[(*i)[1]], 1) << (*i)[1];
    }
}

TEST(CruisePage, ComparesStaysByBoatAndRoundsTheSafeWay) {
    using Row = std::vector<std::string>;
    const auto table = rows(cruise_page(cruise()).str(), "What the stays offer each boat");
    ASSERT_EQ(table.size(), 1U + 6);
    const std::string none = "\u2013";
    EXPECT_EQ(table[1], (Row{"1 Gull Cove", "Heavy <ketch>", "12.0 %", "yes, at full scope", "GU1FUL01",
                             "35.0", "44.2", "12.3", "27", "4"}));
    EXPECT_EQ(table[2], (Row{"1 Gull Cove", "Light sloop", "1.0 %", "yes, at short scope with sinker", none,
                             none, none, none, none, "0"}));
    EXPECT_EQ(table[3][2], "0 %") << "what no way leads to is no yes";
    EXPECT_EQ(table[3][3], "no way in: room and depth would do");
    EXPECT_EQ(table[4][3], "none: see the stay");
    EXPECT_EQ(table[5][3], "unsurveyed");
    EXPECT_EQ(table[6][3], "no");
}

TEST(CruisePage, ComparesWhetherSheHasToWait) {
    CruiseFigures figures = cruise();
    figures.stays[0].answers[0].places[0].reach = Reach::at_times;
    EXPECT_EQ(rows(cruise_page(figures).str(), "What the stays offer each boat")[1][3],
              "yes, at full scope, way in open at times");
}

TEST(CruisePage, SaysHowMuchTakesAllBoats) {
    CruiseFigures figures = cruise();
    EXPECT_THAT(cruise_page(figures).str(), Not(HasSubstr("All boats"))) << "nobody has counted";
    figures.stays[0].all_boats = Covered{1, 10};
    figures.stays[2].all_boats = Covered{};
    figures.stays[2].answers[0].tally = tally(Verdict::no, 100);
    const std::string page = cruise_page(figures).str();
    EXPECT_EQ(count(page, "<dt>All boats</dt>"), 2U);
    EXPECT_THAT(page, HasSubstr("1.0 % of the surveyed area is a yes for each of them"));
    EXPECT_THAT(page, HasSubstr("nowhere is a yes for each of them"));
}

TEST(CruisePage, SaysOnceWhatFailsForAllBoats) {
    CruiseFigures figures = cruise();
    for (CruiseAnswer& answer : figures.stays[1].answers) {
        answer = {};
        answer.failure = "chart <x>: no such file";
    }
    const std::string page = cruise_page(figures).str();
    EXPECT_THAT(page, HasSubstr("Of 6 answers 2 are missing"));
    EXPECT_EQ(count(page, "chart &lt;x&gt;: no such file"), 2U) << "above all else and with the stay";
    EXPECT_NO_THROW((void)parsed_xml(page));
}

TEST(CruisePage, OfOneBoatHasNoColumnOfBoats) {
    CruiseFigures one = cruise();
    one.boats.pop_back();
    for (CruiseStay& of : one.stays) {
        of.answers.pop_back();
    }
    const std::string page = cruise_page(one).str();
    EXPECT_EQ(rows(page, "What the stays offer")[1].size(), 9U);
    EXPECT_THAT(page, Not(HasSubstr("<h3>")));
    EXPECT_THAT(page, HasSubstr("<title>Where can Heavy &lt;ketch&gt; lie on this cruise?</title>"));
}

TEST(CruisePage, TellsEachStayAndLinksItsReports) {
    const std::string page = cruise_page(cruise()).str();
    for (const char* const link : {"#stay-1", "#stay-3", "gull-cove/ketch/report.html",
                                   "gull-cove/sloop/report.html", "far/sloop/report.html"}) {
        EXPECT_EQ(count(page, "href=\"" + std::string(link) + "\""), 1U) << link;
    }
    EXPECT_EQ(count(page, "inner-pool/sloop/report.html"), 0U) << "there is none";
    const auto places = rows(page, "Best places for Heavy &lt;ketch&gt;, of 7");
    ASSERT_EQ(places.size(), 3U);
    EXPECT_EQ(places[1][1], "47\u00b058.8000'N 029\u00b002.4000'W");
    EXPECT_EQ(places[1][3], "5.5\u20138.1") << "the least down, the most up";
    EXPECT_EQ(places[1].back(), "not known");
    EXPECT_THAT(places[2].back(), HasSubstr("19:00 to "));
    EXPECT_THAT(page, HasSubstr("And 1 more: read the report."));
    EXPECT_THAT(page, HasSubstr("0.50 to 2.50 m above chart datum, by the tide of Haven"));
    const auto shares = rows(page, "Shares of the surveyed area by answer");
    EXPECT_EQ(shares[1], (std::vector<std::string>{"Heavy <ketch>", "12.0 %", "0 %", "88.0 %"}));
}

TEST(CruisePage, SaysWhatIsMissingAboveAllElse) {
    const std::string page = cruise_page(cruise()).str();
    const std::size_t said = page.find("Of 6 answers 1 is missing");
    ASSERT_NE(said, std::string::npos);
    EXPECT_LT(said, page.find("<nav"));
    EXPECT_EQ(count(page, "chart &lt;x&gt;: no such file"), 2U) << "there and with its stay";
    CruiseFigures whole = cruise();
    whole.stays[1].answers[1].failure.clear();
    EXPECT_THAT(cruise_page(whole).str(), Not(HasSubstr("missing")));
}

// On screens, by keyboard, for screen readers, in the dark and on paper: report_in_browser.py says how.
TEST(CruisePage, StandsInARealBrowser) {
    for (const std::string program : {"chromium", "pdfinfo", "pdftoppm", "pdftotext", "python3"}) {
        if (std::system(("command -v " + program + " >/dev/null 2>&1").c_str()) != 0) {
            GTEST_SKIP() << program << " is not installed (packages chromium, poppler-utils, python3)";
        }
    }
    const testing_support::Scratch folder;
    std::ofstream(folder / "cruise.html") << cruise_page(cruise()).str();
    const std::string found = folder / "found";
    const int code = std::system(("timeout 120 python3 '" SWINGROOM_SOURCE
                                  "/tests/golden/report_in_browser.py' chromium '" +
                                  (folder / "cruise.html") + "' --sheets 3 >'" + found + "' 2>&1")
                                     .c_str());
    std::stringstream said;
    said << std::ifstream(found).rdbuf();
    EXPECT_EQ(said.str(), "pages: 1\n");
    EXPECT_EQ(code, 0);
}

/// Where the numbered marks of a map are.
std::map<int, GridPoint> numbers_in(const Markup& map) {
    std::map<int, GridPoint> found;
    const std::string& svg = map.str();
    const std::regex mark("class=\"clear\" transform=\"translate\\(([-0-9.]+) ([-0-9.]+)\\)\"><circle "
                          "r=\"9\"/><text[^>]*>([0-9]+)<");
    for (std::sregex_iterator i(svg.begin(), svg.end(), mark), none; i != none; ++i) {
        found[std::stoi((*i)[3])] = {std::stod((*i)[1]), std::stod((*i)[2])};
    }
    return found;
}

TEST(CruiseMap, HasNorthUpAndEveryNumberInPlace) {
    const CruiseFigures figures = cruise();
    const auto numbers = numbers_in(CruiseMap(figures).overview());
    ASSERT_EQ(numbers.size(), 3U);
    EXPECT_LT(numbers.at(1).x, numbers.at(3).x);
    EXPECT_LT(numbers.at(3).x, numbers.at(2).x);
    EXPECT_LT(numbers.at(3).y, numbers.at(2).y);
    EXPECT_LT(numbers.at(2).y, numbers.at(1).y);
    // Mercator (its formula by hand): degrees of latitude are 1/cos of theirs as long as those of longitude.
    const auto mercator = [](double lat) {
        return std::asinh(std::tan(lat * 3.14159265358979 / 180)) * 180 / 3.14159265358979;
    };
    EXPECT_NEAR((numbers.at(1).y - numbers.at(3).y) / (numbers.at(2).x - numbers.at(1).x),
                (mercator(48.48) - mercator(47.98)) / 0.5, 0.005);
    EXPECT_EQ(numbers_in(CruiseMap(figures).locator(1)).size(), 1U);
    EXPECT_EQ(numbers_in(CruiseMap(figures).locator(1)).count(2), 1U);
}

TEST(CruiseMap, GoesOnAcross180Degrees) {
    CruiseFigures figures = cruise();
    figures.stays[0].window = {179.8, -17.1, 179.9, -17};
    figures.stays[1].window = {-179.9, -17.1, -179.8, -17};
    figures.stays[2].window = {179.95, -17.1, 180.05, -17};
    EXPECT_THAT(cruise_page(figures).str(), HasSubstr("NE 17\u00b000.0000&#39;S 179\u00b057.0000&#39;W"));
    const auto numbers = numbers_in(CruiseMap(figures).overview());
    EXPECT_LT(numbers.at(1).x, numbers.at(3).x);
    EXPECT_LT(numbers.at(3).x, numbers.at(2).x);
    EXPECT_NEAR(numbers.at(3).x - numbers.at(1).x, numbers.at(2).x - numbers.at(3).x, 0.3);
}

TEST(CruiseMap, KeepsNumbersOfNeighboursApart) {
    CruiseFigures figures = cruise();
    for (int i = 0; i < 20; ++i) {
        figures.stays.push_back(
            stay("near " + std::to_string(i), {-29.06, 47.97, -29.02, 47.99 + 1e-4 * i}, "near"));
    }
    const auto numbers = numbers_in(CruiseMap(figures).overview());
    ASSERT_EQ(numbers.size(), 23U);
    for (const auto& [a, p] : numbers) {
        for (const auto& [b, q] : numbers) {
            if (a >= b) continue;
            EXPECT_GE(std::hypot(p.x - q.x, p.y - q.y), 39.8) << a << ' ' << b;
        }
    }
}

TEST(CruiseMap, OfAPoleOrAllTheEarthIsDrawnToo) {
    CruiseFigures figures = cruise();
    figures.stays[0].window = {-180, 89.9, 180, 90};
    figures.stays[1].window = {-180, -90, 180, 90};
    EXPECT_EQ(numbers_in(CruiseMap(figures).overview()).size(), 3U);
}

TEST(CruiseJson, TellsTheSame) {
    std::istringstream in(cruise_json(cruise()));
    pt::ptree json;
    pt::read_json(in, json);
    EXPECT_EQ(json.get<std::string>("command"), "cruise");
    EXPECT_EQ(json.get_child("boats").size(), 2U);
    ASSERT_EQ(json.get_child("stays").size(), 3U);
    const pt::ptree& first = json.get_child("stays").front().second;
    EXPECT_EQ(first.get<std::string>("name"), "Gull Cove");
    EXPECT_EQ(first.get<std::string>("stay.from"), "2026-12-24T18:00Z");
    EXPECT_EQ(first.get<double>("low_m"), 0.5);
    EXPECT_EQ(first.get<double>("high_m"), 2.5);
    const pt::ptree& answer = first.get_child("answers").front().second;
    EXPECT_EQ(answer.get<std::string>("folder"), "gull-cove/ketch");
    EXPECT_EQ(answer.get<std::string>("failure"), "null");
    EXPECT_EQ(answer.get<double>("yes_percent"), 12);
    EXPECT_EQ(answer.get<double>("areas_m2.full"), 120);
    EXPECT_EQ(answer.get<int>("spots"), 7);
    EXPECT_EQ(answer.get_child("doubts").size(), 4U);
    ASSERT_EQ(answer.get_child("best_spots").size(), 2U);
    const pt::ptree& best = answer.get_child("best_spots").front().second;
    EXPECT_EQ(best.get<std::string>("name"), "GU1FUL01");
    EXPECT_EQ(best.get<double>("spare_m"), 12.3);
    EXPECT_EQ(best.get<std::string>("spare_is_at_least"), "false");
    EXPECT_EQ(best.get<double>("radius_m"), 44.2);
    EXPECT_EQ(best.get<int>("wind_limit_kn"), 27);
    EXPECT_EQ(best.get<std::string>("sounder_limit_m"), "null");
    const pt::ptree& second = (++json.get_child("stays").begin())->second;
    EXPECT_EQ((++second.get_child("answers").begin())->second.get<std::string>("failure"),
              "chart <x>: no such file");
}

/// A cruise with its stays as they are after they were written and read.
CruiseFigures kept(CruiseFigures figures) {
    figures.stays = stays_in_cruise_json(cruise_json(figures), "cruise.json");
    return figures;
}

TEST(CruiseJson, KeepsAnswersForALaterPage) {
    CruiseFigures figures = cruise();
    CruiseAnswer& answer = figures.stays[0].answers[0];
    answer.places[0].advice = advice::out_of_reach | advice::unknown_holding;
    answer.places[0].reach = Reach::never;
    answer.places[1].limit_by = LimitBy::room;
    answer.places[1].sounder_limit_m = 7.28;
    answer.places[1].sounder_at_low_water_m = 7.78;
    answer.places[1].condition = "let go where it shows no more";
    figures.stays[0].zone = ZoneOffset(-210);
    figures.stays[1].window = {179.9, -17.1, 180.1, -17};
    figures.stays[2].levels = {std::numeric_limits<double>::quiet_NaN(),
                               std::numeric_limits<double>::quiet_NaN(), 0};
    answer.places[1].depth_high_m = std::numeric_limits<double>::quiet_NaN();
    figures.boats[0].marks.measures.length = LengthUnit::fathom;
    figures.boats[0].marks.every_m = 9.144;
    answer.places[0].rode_m = 5 * 9.144; // 25 fathoms: 45.8 m in a file
    const CruiseFigures once = kept(figures);
    EXPECT_EQ(cruise_json(once), cruise_json(figures));
    EXPECT_EQ(cruise_page(once).str(), cruise_page(figures).str());
    const CruisePlace& place = once.stays[0].answers[0].places[0];
    EXPECT_EQ(place.verdict, Verdict::full);
    EXPECT_EQ(place.advice, advice::out_of_reach | advice::unknown_holding);
    EXPECT_EQ(once.stays[0].answers[0].places[1].windows.size(), 1U);
    // In another unit a page may tell a figure that was rounded for the file, and always the same one.
    CruiseFigures in_feet = figures;
    in_feet.measures.length = LengthUnit::foot;
    EXPECT_EQ(cruise_page(kept(kept(in_feet))).str(), cruise_page(kept(in_feet)).str());
}

TEST(CruiseJson, ThatIsNotAsItWasWrittenIsRefused) {
    const std::string good = cruise_json(cruise());
    EXPECT_EQ(stays_in_cruise_json(good, "cruise.json").size(), 3U);
    EXPECT_THROW((void)stays_in_cruise_json("", "cruise.json"), IoError);
    EXPECT_THROW((void)stays_in_cruise_json(good.substr(0, good.size() / 2), "cruise.json"), IoError);
    for (const auto& [was, is] :
         {std::pair("\"command\": \"cruise\"", "\"command\": \"overlay\""),
          std::pair("\"judged\": 4", "\"judged\": 9"), std::pair("\"judged\": 4", "\"judged\": -1"),
          std::pair("\"judged\": 4", "\"judged\": 3.5"), std::pair("\"advice\": 0", "\"advice\": 65536"),
          std::pair("\"advice\": 0", "\"advise\": 0"), std::pair("\"spots\": 7", "\"spots\": \"7\""),
          std::pair("\"report\": true", "\"report\": 1"),
          std::pair("\"way_in\": \"at times\"", "\"way_in\": \"perhaps\""),
          std::pair("\"from\": \"2026-12-24T19:00Z\"", "\"from\": \"2026-12-24T19:00\""),
          std::pair("\"clock\": \"UTC\"", "\"clock\": \"here\""),
          std::pair("\"clock\": \"UTC\"", "\"watch\": \"UTC\""),
          std::pair("\"doubts\": [\"one\"", "\"doubts\": [1"),
          std::pair("\"stays\": [", "\"stays\": {}, \"x\": [")}) {
        std::string text = good;
        const std::size_t at = text.find(was);
        ASSERT_NE(at, std::string::npos) << was;
        text.replace(at, std::string_view(was).size(), is);
        EXPECT_THROW((void)stays_in_cruise_json(text, "cruise.json"), IoError) << is;
    }
}

TEST(CruiseSpots, SayFirstWhatMustBeKnown) {
    CruiseFigures figures = cruise();
    std::vector<CruisePlace>& places = figures.stays[0].answers[0].places;
    places[0].verdict = Verdict::full_by_sounder;
    places[0].sounder_limit_m = 7.28;
    places[0].sounder_at_low_water_m = 7.78;
    places[0].condition = "let go where it shows no more";
    places[1].advice = advice::out_of_reach;
    places[1].reach = Reach::never;
    const testing_support::Scratch folder;
    write_cruise_spots(folder.path(), figures, {"cruise = <made>\n", {}, {}});
    for (const char* const file : cruise_spots_files) {
        EXPECT_TRUE(std::filesystem::exists(folder / file)) << file;
    }
    std::stringstream gpx;
    gpx << std::ifstream(folder / "spots.gpx").rdbuf();
    const pt::ptree all = parsed_xml(gpx.str()).get_child("gpx");
    std::vector<pt::ptree> points;
    for (const auto& [tag, point] : all) {
        if (tag == "wpt") points.push_back(point);
    }
    ASSERT_EQ(points.size(), 2U);
    EXPECT_EQ(points[0].get<std::string>("name"), "GU1FUL01");
    EXPECT_THAT(points[0].get<std::string>("cmt"),
                StartsWith("way in not known; sounder max 7.7m at low water"));
    EXPECT_THAT(points[0].get<std::string>("desc"),
                AllOf(StartsWith("condition: let go where it shows no more"), HasSubstr("stay: Gull Cove"),
                      HasSubstr("boat: Heavy")));
    EXPECT_EQ(points[0].get<std::string>("sym"), "Flag, Red");
    EXPECT_THAT(points[1].get<std::string>("cmt"), StartsWith("no way in"));
    EXPECT_EQ(points[1].get<std::string>("sym"), "Danger Area");
}

TEST(CruisePlace, HasTheFiguresOfItsWay) {
    PositionReport spot;
    spot.centre = {-29.04, 47.98};
    spot.answer.verdict = Verdict::short_by_sounder;
    spot.answer.advice = advice::unknown_holding;
    spot.depth_low_m = 5.5F;
    spot.depth_high_m = 8;
    spot.deep_charted = false;
    spot.limit_by = LimitBy::least_holding;
    for (const Way way : all_ways) {
        WayAtPosition at;
        at.way = way;
        const auto i = static_cast<float>(way);
        at.detail.needs.rode_m = 30 + i;
        at.detail.needs.radius_m = 40 + i;
        at.detail.needs.sounder_limit_m = 7 + i;
        at.spare_m = 10 + i;
        at.wind_limit_kn = 20 + i;
        spot.ways.push_back(at);
    }
    const CruisePlace place = cruise_place(spot, "GULIFS01", Boat{}, nullptr);
    const auto i = static_cast<double>(Way::short_scope);
    EXPECT_EQ(place.name, "GULIFS01");
    EXPECT_EQ(place.position.lat, 47.98);
    EXPECT_EQ(place.rode_m, 30 + i);
    EXPECT_EQ(place.radius_m, 40 + i);
    EXPECT_EQ(place.sounder_limit_m, 7 + i);
    EXPECT_THAT(place.condition, HasSubstr(std::to_string(static_cast<int>(7 + i)) + ".0 m"));
    EXPECT_EQ(place.spare_m, 10 + i);
    EXPECT_TRUE(place.spare_is_at_least) << "no danger is within reach";
    EXPECT_EQ(place.wind_limit_kn, 20 + i);
    EXPECT_EQ(place.limit_by, LimitBy::least_holding);
    EXPECT_TRUE(std::isnan(place.depth_high_m)) << "its deep edge is not charted";
    EXPECT_EQ(place.reach, Reach::unknown) << "nobody looked";
    EXPECT_TRUE(place.windows.empty());

    spot.answer.verdict = Verdict::full;
    EXPECT_TRUE(std::isnan(cruise_place(spot, "", Boat{}, nullptr).sounder_limit_m)) << "not by the sounder";
}

TEST(CruisePage, TellsWhereThereIsMoreToSpareThanWasLookedAt) {
    CruiseFigures figures = cruise();
    const auto spare = [&] {
        return rows(cruise_page(figures).str(), "What the stays offer each boat")[1][7];
    };
    const std::string before = spare();
    figures.stays[0].answers[0].places[0].spare_is_at_least = true;
    EXPECT_EQ(spare(), "at least " + before);
}

TEST(CruisePlace, SpareEndsAtADangerThatIsWithinReach) {
    PositionReport spot;
    spot.answer.verdict = Verdict::full;
    WayAtPosition at;
    at.way = Way::full;
    at.spare_m = 10;
    spot.ways.push_back(at);
    EXPECT_TRUE(cruise_place(spot, "", Boat{}, nullptr).spare_is_at_least);
    spot.ground_danger.emplace();
    spot.facts.hull_room_m = 100;
    spot.facts.ground_room_m = 90;
    EXPECT_FALSE(cruise_place(spot, "", Boat{}, nullptr).spare_is_at_least);
}

TEST(CruisePlace, IsReachedInTheWindowsOfItsAccessLevel) {
    const StayTide tide = testing_support::sine_stay(1.5, 1, 0, 1500);
    PositionReport spot;
    spot.answer.verdict = Verdict::full;
    const WaterLevels levels = tide.stay.levels();
    const auto middle_m = static_cast<float>((levels.low_m + levels.high_m) / 2);
    spot.reach = PlaceReach{Reach::at_times, middle_m};
    const CruisePlace place = cruise_place(spot, "", Boat{}, &tide);
    EXPECT_EQ(place.reach, Reach::at_times);
    ASSERT_FALSE(place.windows.empty());
    for (const TimeWindow& window : place.windows) {
        EXPECT_GE(tide.stay.at(window.from).least_m, double{middle_m});
        EXPECT_GE(window.from, tide.stay.arrive());
        EXPECT_LE(window.to, tide.stay.depart());
    }
    spot.reach = PlaceReach{Reach::always, -1};
    EXPECT_TRUE(cruise_place(spot, "", Boat{}, &tide).windows.empty()) << "there is nothing to wait for";
}

TEST(CruisePlace, ThatNoWayLeadsToIsToldAsSuch) {
    CruiseFigures figures = cruise();
    figures.stays[0].answers[0].places[0].advice = advice::out_of_reach;
    EXPECT_THAT(cruise_page(figures).str(), HasSubstr("no way in during the stay; else yes, at full scope"));
    EXPECT_THAT(cruise_json(figures),
                HasSubstr("\"verdict\": 8, \"meaning\": \"no way in during the stay; else "));
}

} // namespace
} // namespace swingroom
