#include "swingroom/base/version.hpp"
#include "swingroom/report/boat_report.hpp"

#include "support/rode_at_reading.hpp"
#include "support/sample_yacht.hpp"

#include <boost/property_tree/json_parser.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <sstream>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::Not;

using testing_support::yacht_text;

Boat yacht() {
    std::istringstream in(yacht_text);
    return read_boat(in, "yacht.ini");
}

struct Report : testing::Test {
    TackleTables tables{yacht(), {{0.6, 3.2}, 20, 0}, 0};
    BoatReport report = boat_report(tables, -1);
};

/// Tables that are made for the error of a reading, too.
struct ReportByReading : Report {
    ReportByReading() {
        tables = TackleTables(yacht(), {{0.6, 3.2}, 20, 0}, sounded_uncertainty_m(yacht()));
        report = boat_report(tables, -1);
    }
};

std::vector<std::string> split(const std::string& text, char by) {
    std::vector<std::string> parts;
    std::istringstream in(text);
    for (std::string part; std::getline(in, part, by);) {
        parts.push_back(part);
    }
    return parts;
}

TEST_F(Report, ReckonsTheSinkerInFiveMetresUnlessTold) {
    EXPECT_EQ(report.sinker_depth_m, 5);
    EXPECT_EQ(boat_report(tables, 8).sinker_depth_m, 8);
    ASSERT_EQ(report.sinker_worths.size(), 6U);
    EXPECT_EQ(report.sinker_worths.back().wind_kn, 30);
}

TEST_F(Report, CsvHoldsWhatTheTablesSay) {
    const auto lines = split(boat_csv(tables, report), '\n');
    ASSERT_EQ(lines.size(), report.depths.size() + 1);
    const auto head = split(lines[0], ',');
    EXPECT_EQ(head.size(), 22U);
    EXPECT_EQ(head[15], "wind_limit_by");
    EXPECT_EQ(head[4], "rode_short_m");
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const auto cells = split(lines[i] + ",end of line", ',');
        ASSERT_EQ(cells.size(), head.size() + 1) << lines[i];
        EXPECT_EQ(cells[15], name(tables.limit_by(Seabed::unknown)));
        const double depth_m = std::stod(cells[0]);
        const WayNeeds needs = tables.needs(Way::short_scope, depth_m, depth_m);
        if (needs.out != WayNeeds::Out::none) {
            EXPECT_EQ(cells[4], "");
            continue;
        }
        EXPECT_NEAR(std::stod(cells[4]), needs.rode_m, 0.01);
        EXPECT_GE(std::stod(cells[5]), needs.radius_m - 1e-5);
        EXPECT_NEAR(std::stod(cells[5]), needs.radius_m, 0.011);
    }
}

// Against the statics (support/rode_at_reading.hpp), not the tables.
TEST_F(ReportByReading, VeersForTheDeeperDepthThatAReadingMayStandForAndSwingsForTheShoaler) {
    // 0.3 m of the sounder and 0.5 m of the level where nobody has said, and 1 in 10 over her 12 m.
    EXPECT_NEAR(report.deeper_m, 0.3 + 0.5, 1e-9);
    EXPECT_NEAR(report.shoaler_m, 0.3 + 0.5 + 1.2, 1e-9);
    ASSERT_GT(report.readings.size(), 5U);
    const double afloat_m = 1.9 + 0.5 - 0.6;
    const testing_support::RodeAtReading statics(tables.boat(), tables.conditions(),
                                                 {afloat_m, 1000, report.deeper_m, report.shoaler_m});
    int possible = 0;
    for (const DepthLine& line : report.readings) {
        for (const Way way : all_ways) {
            const WayNeeds& needs = line.ways[static_cast<std::size_t>(way)].needs;
            if (needs.out != WayNeeds::Out::none || line.beyond_recovery || line.beyond_windlass) continue;
            const auto asked = statics.at(way, line.depth_m);
            ASSERT_TRUE(asked) << line.depth_m;
            EXPECT_NEAR(needs.rode_m, asked->rode_m, 1e-4) << line.depth_m;
            EXPECT_GE(needs.radius_m, asked->radius_m - 1e-4) << line.depth_m;
            EXPECT_LE(needs.radius_m, asked->radius_m + 0.8) << "a step of the tables, " << line.depth_m;
            EXPECT_GE(needs.ground_m, asked->ground_m - 1e-4) << line.depth_m;
            ++possible;
        }
    }
    EXPECT_GT(possible, 10);
}

TEST_F(ReportByReading, SaysWhatAReadingIsAllowedToBeWrongBy) {
    const std::string text = boat_text(tables, report);
    EXPECT_THAT(text, HasSubstr("it may be deeper by 0.8 m: 0.3 m by the sounder's\nerror"));
    EXPECT_THAT(text,
                HasSubstr("and shoaler by 2.0 m, since the seabed may slope 1 in 10 over the 12.0 m of a\n"));
    EXPECT_EQ(boat_parts(tables, report).readings.rows.size(), report.readings.size());
    std::istringstream in(boat_json(tables, report));
    boost::property_tree::ptree tree;
    boost::property_tree::read_json(in, tree);
    EXPECT_EQ(tree.get<double>("sounder.shoaler_m"), 2);
    EXPECT_EQ(tree.get_child("readings").size(), report.readings.size());
    const auto lines = split(boat_csv(tables, report), '\n');
    const auto head = split(lines[0], ',');
    ASSERT_EQ(head[16], "rode_by_reading_full_m");
    const auto first = split(lines[1], ',');
    EXPECT_NEAR(std::stod(first[16]), report.readings[0].ways[0].needs.rode_m, 0.01);
    const BoatReport without = boat_report(TackleTables(yacht(), {{0.6, 3.2}, 20, 0}, 0), -1);
    EXPECT_TRUE(without.readings.empty()) << "tables that were not made for it";
}

TEST_F(Report, JsonIsJson) {
    std::istringstream in(boat_json(tables, report));
    boost::property_tree::ptree tree;
    ASSERT_NO_THROW(boost::property_tree::read_json(in, tree));
    EXPECT_EQ(tree.get<std::string>("name"), "Sample \"A\" & <B>");
    EXPECT_EQ(tree.get_child("depths").size(), report.depths.size());
    EXPECT_EQ(tree.get_child("sinker_worth").size(), 6U);
    EXPECT_EQ(tree.get<double>("conditions.wind_kn"), 20);
    EXPECT_EQ(tree.get<int>("schema"), 2);
    EXPECT_THAT(tree.get<std::string>("caution"), HasSubstr("not for navigation"));
    const auto& last = tree.get_child("depths").back().second;
    EXPECT_EQ(last.get<std::string>("sinker.possible"), "false");
    EXPECT_GT(last.get<double>("sinker.rode_m"), 60) << "what would be needed";
}

TEST_F(Report, MarkdownRowsHaveEqualColumns) {
    std::size_t columns = 0, rows = 0;
    for (const std::string& line : split(boat_markdown(tables, report), '\n')) {
        const auto bars = static_cast<std::size_t>(std::count(line.begin(), line.end(), '|'));
        if (bars == 0) {
            columns = 0;
            continue;
        }
        if (columns == 0) columns = bars;
        EXPECT_EQ(bars, columns) << line;
        ++rows;
    }
    EXPECT_EQ(rows, report.depths.size() + 2 + 6 + 2);
}

/// The numbers of a Markdown row; what is no number is NaN.
std::vector<double> numbers(const std::string& row) {
    std::vector<double> values;
    for (const std::string& cell : split(row, '|')) {
        std::istringstream in(cell);
        double value = 0;
        values.push_back(in >> value ? value : std::numeric_limits<double>::quiet_NaN());
    }
    return values;
}

// The international foot is 0.3048 m, the fathom six of them: the agreement on yard and pound of 1959.
TEST_F(Report, InFeetAndFathomsPromisesNoMoreThanInMetres) {
    for (const auto& [unit, unit_m] : {std::pair(LengthUnit::foot, 0.3048), {LengthUnit::fathom, 1.8288}}) {
        const Measures measures{unit, {}};
        const BoatReport in_unit = boat_report(tables, -1, measures);
        const auto lines = split(boat_markdown(tables, in_unit, measures), '\n');
        auto row = std::find_if(lines.begin(), lines.end(),
                                [](const std::string& line) { return line.starts_with("| ---"); });
        EXPECT_THAT(*(row - 1), HasSubstr("| depth " + std::string(unit_name(measures)) + " | full: rode " +
                                          std::string(unit_name(measures)) + " | rode m | radius "));
        constexpr double rounding_tolerance_m = 2e-5;
        for (const DepthLine& line : in_unit.depths) {
            const std::vector<double> cells = numbers(*++row);
            ASSERT_EQ(cells.size(), 18U) << *row;
            EXPECT_NEAR(cells[1] * unit_m, line.depth_m, 1e-9) << "depths are round";
            EXPECT_EQ(cells[1] * 2, std::round(cells[1] * 2));
            std::size_t at = 2;
            for (const Way way : all_ways) {
                const auto slot = static_cast<std::size_t>(way);
                const WayNeeds& needs = line.ways[slot].needs;
                const std::size_t radius_at = at + (way == Way::sinker ? 3 : 2);
                if (needs.out == WayNeeds::Out::none) {
                    EXPECT_GE(cells[at] * unit_m, needs.rode_m - rounding_tolerance_m) << *row;
                    EXPECT_LT(cells[at] * unit_m, needs.rode_m + 0.1 * unit_m) << *row;
                    EXPECT_NEAR(cells[at + 1], needs.rode_m, rounding_tolerance_m)
                        << "as it is marked, in metres";
                    EXPECT_GE(cells[radius_at] * unit_m, needs.radius_m - rounding_tolerance_m) << *row;
                    EXPECT_LE(cells[radius_at + 1], line.wind_limit_kn[slot] + 1e-4) << *row;
                } else {
                    EXPECT_TRUE(std::isnan(cells[at])) << *row;
                }
                at = radius_at + 2;
            }
            EXPECT_GE(cells[at + 1] * unit_m, line.trip_line_m - rounding_tolerance_m) << *row;
        }
        for (const SinkerWorth& worth : in_unit.sinker_worths) {
            while (!row->starts_with("| " + fixed(worth.wind_kn, 0) + " ")) {
                ++row;
            }
            const std::vector<double> cells = numbers(*row);
            EXPECT_LE(cells[3] * unit_m, worth.radius_saved_as_it_is_m() + rounding_tolerance_m);
            EXPECT_GE(cells[4] * unit_m, worth.cut_rode_without_m - rounding_tolerance_m);
            EXPECT_LE(cells[6] * unit_m, worth.rode_saved_m() + rounding_tolerance_m);
        }
    }
}

TEST_F(Report, RodeMarkedInTheUnitThatIsPrintedStandsOnce) {
    std::string text = yacht_text;
    text.replace(text.find("chain_diameter"), 0, "mark = 3 fm\n");
    std::istringstream in(text);
    const TackleTables marked(read_boat(in, "yacht.ini"), {{0.6, 3.2}, 20, 0}, 0);
    const Measures fathoms{LengthUnit::fathom, {}};
    const std::string once = boat_text(marked, boat_report(marked, -1, fathoms), fathoms);
    EXPECT_THAT(once, HasSubstr("a mark every 3.0 fm."));
    EXPECT_THAT(once, Not(HasSubstr("stands there twice")));
    EXPECT_THAT(once, testing::ContainsRegex("\n +2.5 +27.0 ")) << "nine marks";
    const std::string twice = boat_text(marked, boat_report(marked, -1));
    EXPECT_THAT(twice, HasSubstr("a mark every 3.0 fm."));
    EXPECT_THAT(twice, HasSubstr("Rode stands there twice: in m, and as it is marked, in fm."));
}

TEST_F(Report, TablesSayWhichColumnsHoldNumbers) {
    const BoatParts parts = boat_parts(tables, report);
    for (const ReportTable* const table : {&parts.depths, &parts.worth}) {
        ASSERT_FALSE(table->rows.empty());
        for (std::size_t i = 0; i < table->columns.size(); ++i) {
            const auto is_number = [&](const std::vector<std::string>& row) {
                return !row.at(i).empty() && row[i].find_first_not_of("0123456789.-?") == std::string::npos;
            };
            const bool all_numbers = std::all_of(table->rows.begin(), table->rows.end(), is_number);
            EXPECT_EQ(all_numbers, table->columns[i].numbers) << table->columns[i].name;
        }
    }
}

TEST_F(Report, PictureSpeaksTheUnitThatIsAskedFor) {
    const std::string svg = boat_picture(tables, 5, {LengthUnit::foot, {}}).str();
    EXPECT_THAT(svg, HasSubstr("The rode in 16.4 ft, at low water 2.0 ft above chart datum."));
    EXPECT_THAT(svg, HasSubstr(" m by the marks), reach "));
    EXPECT_THAT(svg, HasSubstr(">20 ft</text>"));
}

TEST_F(Report, TextSaysWhatIsOutAndIsHonestAboutTheSinker) {
    const std::string text = boat_text(tables, report);
    EXPECT_THAT(text, HasSubstr("would need 65 m of rode"));
    EXPECT_THAT(text, HasSubstr("beyond the windlass"));
    EXPECT_THAT(text, HasSubstr("fouled anchor out of reach"));
    EXPECT_THAT(text, HasSubstr("saves next to nothing as it is, "));
    EXPECT_THAT(text, HasSubstr(" when cut\n"));
    EXPECT_THAT(text, HasSubstr("cut to an angle of pull of 0.0 degrees"));
    EXPECT_THAT(text, HasSubstr("a mark every 5.0 m"));
    EXPECT_THAT(text, HasSubstr("rock 0 kn"));
    EXPECT_THAT(text, HasSubstr("not for navigation"));
}

TEST(ReportByTheSmallCraftTable, NamesTheBeamWhereThereIsOne) {
    Boat boat = yacht();
    boat.hull.windage_area_m2 = 0;
    boat.load_table = {};
    const auto text = [&](double beam_m) {
        boat.hull.beam_m = beam_m;
        const TackleTables tables(boat, {{0, 0}, 20, 0}, 0);
        return boat_text(tables, boat_report(tables, -1));
    };
    EXPECT_THAT(text(0), HasSubstr("by the small-craft table for her length, gusts in it"));
    EXPECT_THAT(text(4), HasSubstr("by the small-craft table for her length and beam, gusts in it"));
}

TEST(ReportWithoutASinker, SaysNothingOfOne) {
    Boat boat = yacht();
    boat.sinker.reset();
    boat.anchor.holding_n = {};
    const TackleTables tables(boat, {{0, 0}, 20, 0}, 0);
    const BoatReport report = boat_report(tables, -1);
    const std::string text = boat_text(tables, report);
    EXPECT_THAT(text, Not(HasSubstr("inker")));
    EXPECT_THAT(
        text,
        HasSubstr("\n* By room and the angle of pull alone, since what the anchor holds is not known; "));
    EXPECT_EQ(text.find("not known"), text.rfind("not known")) << "said once";
    EXPECT_THAT(text, Not(HasSubstr("\n\n\n")));
    EXPECT_THAT(boat_parts(tables, report).sentences, testing::Each(Not(testing::IsEmpty())));
    EXPECT_THAT(text, testing::ContainsRegex("\n +5.0 [^\n]* [0-9]+\\* [^\n]*\n")) << "each limit is marked";
    EXPECT_THAT(text, Not(HasSubstr("nan")));
    EXPECT_THAT(boat_csv(tables, report), Not(HasSubstr("nan")));
    EXPECT_THAT(boat_json(tables, report), HasSubstr("\"wind_limit_by\": \"room alone\""));
    EXPECT_THAT(boat_json(tables, report), Not(HasSubstr("\"wind_limit_kn\": null")));
    EXPECT_THAT(boat_picture(tables, 5).str(), Not(HasSubstr("circle")));
    EXPECT_THAT(boat_picture(tables, 5).str(), Not(HasSubstr("inker")));
}

TEST_F(Report, PictureIsWellFormedAndShowsBothRodesInBothWinds) {
    const std::string svg = boat_picture(tables, report.sinker_depth_m).str();
    std::istringstream in(svg);
    boost::property_tree::ptree tree;
    ASSERT_NO_THROW(boost::property_tree::read_xml(in, tree));
    EXPECT_EQ(tree.get_child("svg").count("polyline"), 4U);
    EXPECT_EQ(tree.get_child("svg").count("circle"), 2U);
    EXPECT_THAT(svg, HasSubstr("&lt;B&gt;"));
    EXPECT_THAT(svg, Not(HasSubstr("nan")));
}

TEST_F(Report, PictureCarriesTheVersionAndTheCaution) {
    const std::string svg = boat_picture(tables, report.sinker_depth_m).str();
    EXPECT_THAT(svg, HasSubstr("swingroom " + std::string(version())));
    EXPECT_THAT(svg, HasSubstr(std::string(caution)));
    EXPECT_THAT(
        svg, HasSubstr("<title>Sample &quot;A&quot; &amp; &lt;B&gt;: the rode with and without the sinker<"));
}

TEST(Picture, CutsALongNameBetweenLettersAndKeepsItInTheTitle) {
    Boat boat = yacht();
    boat.name.clear();
    for (int i = 0; i < 200; ++i) {
        boat.name += "\xC3\xA9";
    }
    const std::string svg = boat_picture(TackleTables(boat, {{0, 0}, 20, 0}, 0), 5).str();
    EXPECT_THAT(svg, HasSubstr("<title>" + boat.name + ":"));
    EXPECT_THAT(svg, HasSubstr(">" + boat.name.substr(0, 140) + "...</text>"));
}

TEST(Picture, ShowsAPowerBoatWithoutTheKeelOfASailingYacht) {
    Boat boat = yacht();
    const auto corners = [&boat] {
        const std::string svg = boat_picture(TackleTables(boat, {{0, 0}, 20, 0}, 0), 5).str();
        const auto begin = svg.find("<polygon points=\"");
        const std::string polygon = svg.substr(begin, svg.find("\" fill", begin) - begin);
        return std::count(polygon.begin(), polygon.end(), ',');
    };
    EXPECT_EQ(corners(), 8);
    boat.hull.kind = HullKind::power;
    EXPECT_EQ(corners(), 5);
}

} // namespace
} // namespace swingroom
