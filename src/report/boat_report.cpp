#include "swingroom/report/boat_report.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/room/judge.hpp"

#include "base/folded_text.hpp"
#include "base/text.hpp"
#include "report/text_table.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <string_view>

namespace swingroom {
namespace {

/// What is printed for people, in which units, and on how wide a screen.
struct Sheet {
    const TackleTables& tables;
    const BoatReport& report;
    Measures measures;
    RodeMarks marks;
    std::size_t width = 0; ///< characters of a line; 0: as many as it takes

    Sheet(const TackleTables& of, const BoatReport& found, const Measures& wanted)
        : tables(of), report(found), measures(wanted), marks(rode_marks(of.boat())) {}
    [[nodiscard]] bool sinker() const { return tables.boat().sinker.has_value(); }
    [[nodiscard]] bool two_units() const { return marks.measures.length != measures.length; }
    [[nodiscard]] std::string nearest(double metres, int decimals = 1) const {
        return length_text(metres, Rounded::nearest, measures, decimals);
    }
};

std::string remarks(const DepthLine& line, const Sheet& sheet) {
    std::string text;
    if (!line.any_way()) {
        float least_m = std::numeric_limits<float>::infinity();
        for (const WayDetail& way : line.ways) {
            if (way.needs.out == WayNeeds::Out::rode) least_m = std::min(least_m, way.needs.rode_m);
        }
        text = "would need " + length_text(static_cast<double>(least_m), Rounded::up, sheet.measures, 0) +
               " of rode";
    }
    if (line.beyond_windlass) add_word(text, ", ", "beyond the windlass");
    if (line.beyond_recovery) add_word(text, ", ", "fouled anchor out of reach");
    return text;
}

/// What the limits of the table are taken from: its ground is not known. The least known holding needs no
/// mark, since all of the table counts it.
LimitBy limit_by(const Sheet& sheet) { return sheet.tables.limit_by(Seabed::unknown); }

/// A column of the table by depth, as it is headed in text (three lines), in Markdown and on a page.
struct Column {
    std::string over, name, unit, title, way;
    bool numbers = true;
    [[nodiscard]] std::string markdown() const {
        return (title.empty() ? name : title) + (unit.empty() ? "" : " " + unit);
    }
    /// Where there is only one line for it.
    [[nodiscard]] std::string plain_name() const { return way.empty() && !title.empty() ? title : name; }
};

/// @param by  what each line is for
std::vector<Column> way_columns(const std::string& by, const Sheet& sheet) {
    const std::string unit(unit_name(sheet.measures)), marks(unit_name(sheet.marks.measures));
    std::vector<Column> columns = {{"", by, unit, "", ""}};
    const auto add_way = [&](const char* first, const char* second, Way way, const std::string& title) {
        const std::string whole(phrase(way));
        columns.push_back({first, "rode", unit, title + ": rode", whole});
        const auto more = [&](const char* name, const std::string& in) {
            columns.push_back({columns.back().over == first ? second : "", name, in, "", whole});
        };
        if (sheet.two_units()) more("rode", marks);
        if (way == Way::sinker) more("at", unit);
        more("radius", unit);
        more("wind", "kn");
    };
    add_way("full", "scope", Way::full, "full");
    add_way("short", "scope", Way::short_scope, "short");
    if (sheet.sinker()) add_way("with", "sinker", Way::sinker, "with sinker");
    return columns;
}

const Column remarks_column = {"", "", "", "remarks", "", false};

std::vector<Column> depth_columns(const Sheet& sheet) {
    std::vector<Column> columns = way_columns("depth", sheet);
    columns.push_back({"", "hangs", "N", "", ""});
    columns.push_back({"trip", "line", std::string(unit_name(sheet.measures)), "trip line", ""});
    columns.push_back(remarks_column);
    return columns;
}

std::vector<Column> reading_columns(const Sheet& sheet) {
    std::vector<Column> columns = way_columns("reading", sheet);
    columns.push_back(remarks_column);
    return columns;
}

/// Where a table may be cut in two: before each way, and before what follows them.
std::vector<std::size_t> cuts_of(const std::vector<Column>& columns) {
    std::vector<std::size_t> cuts;
    for (std::size_t i = 2; i < columns.size(); ++i) {
        if (columns[i].way.empty() || columns[i].way != columns[i - 1].way) cuts.push_back(i);
    }
    return cuts;
}

/// A paragraph of sentences, which have lines of their own only where a screen is wide enough for them.
std::string paragraph(const std::string& sentences, const Sheet& sheet) {
    if (sheet.width == 0) return sentences;
    for (const std::string& line : split(sentences, '\n')) {
        if (columns_of(line) > sheet.width) return folded_flush(replaced(sentences, "\n", " "), sheet.width);
    }
    return sentences;
}

/// The heads as three lines of text.
TextRows head_lines(const std::vector<Column>& columns) {
    TextRows rows(3);
    for (const Column& column : columns) {
        rows[0].push_back(column.over);
        rows[1].push_back(column.name);
        rows[2].push_back(column.unit);
    }
    return rows;
}

TextRows markdown_head(const std::vector<Column>& columns) {
    TextRows rows(1);
    for (const Column& column : columns) {
        rows[0].push_back(column.markdown());
    }
    return rows;
}

void append(TextRows& rows, TextRows more) {
    rows.insert(rows.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

/// Rode, radius and wind limit of one way; dashes where it is not to be had.
void add_way(TextRow& row, const DepthLine& line, Way way, const Sheet& sheet) {
    const auto i = static_cast<std::size_t>(way);
    const WayNeeds& needs = line.ways[i].needs;
    const bool out = needs.out != WayNeeds::Out::none;
    const auto rode = [&](const Measures& measures) {
        return out ? "-" : rode_number(exact_rode_m(needs.rode_m, sheet.marks), sheet.marks, measures);
    };
    row.push_back(rode(sheet.measures));
    if (sheet.two_units()) row.push_back(rode(sheet.marks.measures));
    if (way == Way::sinker) {
        row.push_back(out ? "-"
                          : length_number(line.ways[i].sinker_from_bow_m, Rounded::nearest, sheet.measures));
    }
    row.push_back(out ? "-"
                      : length_number(static_cast<double>(needs.radius_m), Rounded::up, sheet.measures));
    row.push_back(out ? "-" : wind_limit_number(static_cast<double>(line.wind_limit_kn[i]), limit_by(sheet)));
}

/// The cells under way_columns().
TextRow way_cells(const DepthLine& line, const Sheet& sheet) {
    TextRow row = {length_number(line.depth_m, Rounded::nearest, sheet.measures)};
    add_way(row, line, Way::full, sheet);
    add_way(row, line, Way::short_scope, sheet);
    if (sheet.sinker()) add_way(row, line, Way::sinker, sheet);
    return row;
}

TextRows reading_rows(const Sheet& sheet) {
    TextRows rows;
    for (const DepthLine& line : sheet.report.readings) {
        rows.push_back(way_cells(line, sheet));
        rows.back().push_back(remarks(line, sheet));
    }
    return rows;
}

TextRows depth_rows(const Sheet& sheet) {
    TextRows rows;
    for (const DepthLine& line : sheet.report.depths) {
        TextRow row = way_cells(line, sheet);
        row.push_back(fixed_up(line.hanging_load_n, 0));
        row.push_back(length_number(line.trip_line_m, Rounded::up, sheet.measures));
        row.push_back(remarks(line, sheet));
        rows.push_back(row);
    }
    return rows;
}

/// In words, what a saving is beside the radius it is taken from.
std::string judged(double saved_m, double of_m) {
    if (saved_m < 0.05) return "nothing";
    if (saved_m < 0.5 || saved_m < 0.02 * of_m) return "next to nothing";
    return saved_m < 0.08 * of_m ? "a little" : "enough to matter";
}

TextRows worth_rows(const Sheet& sheet) {
    TextRows rows;
    const auto up = [&](double metres, int decimals) {
        return length_number(metres, Rounded::up, sheet.measures, decimals);
    };
    const auto down = [&](double metres, int decimals) {
        return length_number(metres, Rounded::down, sheet.measures, decimals);
    };
    for (const SinkerWorth& worth : sheet.report.sinker_worths) {
        rows.push_back(
            {fixed(worth.wind_kn, 0), fixed_up(worth.pull_n, 0), down(worth.radius_saved_as_it_is_m(), 2),
             up(worth.cut_rode_without_m, 1), up(worth.cut_rode_with_m, 1), down(worth.rode_saved_m(), 1),
             down(worth.radius_saved_when_cut_m(), 1),
             "saves " + judged(worth.radius_saved_as_it_is_m(), worth.held_reach_without_m) + " as it is, " +
                 judged(worth.radius_saved_when_cut_m(), worth.cut_reach_without_m) + " when cut"});
    }
    return rows;
}

std::string worth_table(const Sheet& sheet) {
    const std::string unit(unit_name(sheet.measures));
    TextRows rows = {{"wind", "pull", "saves", "rode", "rode", "saves", "saves", ""},
                     {"", "", "as it is", "without", "with", "cut: rode", "radius", ""},
                     {"kn", "N", unit, unit, unit, unit, unit, ""}};
    const Screen screen{sheet.width, rows.size(), {rows.front().size() - 1}};
    append(rows, worth_rows(sheet));
    return aligned(rows, screen);
}

std::string place_words(const Sinker& sinker, const Sheet& sheet) {
    const std::string line = sinker.line_m > 0 ? ", at most " + sheet.nearest(sinker.line_m) : "";
    switch (sinker.at) {
    case Sinker::At::metres:
        return sheet.nearest(sinker.at_value) + " down the rode";
    case Sinker::At::spans:
        return fixed(sinker.at_value, 2) + " spans down the rode" + line;
    case Sinker::At::best:
        break;
    }
    return "where it helps most" + line + " down the rode";
}

std::string water_words(const Sheet& sheet) {
    const WaterLevels& water = sheet.tables.conditions().water;
    return "Water " + length_number(water.low_m, Rounded::down, sheet.measures, 2) + " to " +
           length_text(water.high_m, Rounded::up, sheet.measures, 2) +
           " above chart datum; depths are below it.";
}

std::string wind_words(const TackleTables& tables) {
    const Conditions& conditions = tables.conditions();
    std::string text = "Planned wind " + fixed(conditions.wind_kn, 1) + " kn: pull " +
                       fixed_up(tables.loads().pull_n(conditions.wind_kn), 0) + " N, ";
    const Boat& boat = tables.boat();
    if (!boat.load_table.empty()) {
        text += "by the boat's own table";
    } else if (boat.hull.windage_area_m2 > 0) {
        text += "on her windage, gusts " + fixed(boat.policy.gust, 2) + " times that";
    } else {
        text += std::string("by the small-craft table for her length") +
                (boat.hull.beam_m > 0 ? " and beam" : "") + ", gusts in it";
    }
    if (conditions.current_kn > 0) text += ", current of " + fixed(conditions.current_kn, 1) + " kn";
    return text + ".";
}

std::string rode_words(const Sheet& sheet) {
    const Boat& boat = sheet.tables.boat();
    const auto aboard = [&](double metres) { return aboard_text(metres, sheet.marks, sheet.measures); };
    std::string text;
    if (boat.rode.chain_m > 0) {
        text = aboard(boat.rode.chain_m) + " of chain at " + fixed(boat.rode.chain_kg_per_m, 2) + " kg/m";
    }
    if (boat.rode.rope_m > 0) text += (text.empty() ? "" : " and ") + aboard(boat.rode.rope_m) + " of rope";
    text = "Rode " + text + ", a mark every " +
           length_text(boat.rode.mark_m, Rounded::nearest, sheet.marks.measures) + ".";
    if (boat.sinker) {
        text +=
            " Sinker " + fixed(boat.sinker->mass_kg, 1) + " kg, " + place_words(*boat.sinker, sheet) + ".";
    }
    return text;
}

/// What the anchor holds; empty where nothing of it is known, which the note beside the limits says.
std::string holding_words(const TackleTables& tables) {
    std::string known, unknown;
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        const auto seabed = static_cast<Seabed>(i);
        if (tables.holding_known(seabed)) {
            known += (known.empty() ? "" : ", ") + std::string(name(seabed)) + " " +
                     fixed_down(std::min(999.0, tables.holding_limit_kn(seabed)), 0) + " kn";
        } else {
            unknown += (unknown.empty() ? "" : ", ") + std::string(name(seabed));
        }
    }
    std::string text;
    if (!known.empty()) text = "The anchor holds up to: " + known + ".";
    // Where nothing is known, the note beside the limits says so.
    const bool noted = tables.limit_by(Seabed::unknown) == LimitBy::room;
    if (!unknown.empty() && !noted) {
        text += (text.empty() ? "" : " ") + std::string("Its holding is not known for ") + unknown +
                ": there the least that is known counts.";
    }
    return text;
}

std::string worth_words(const Sheet& sheet) {
    constexpr std::array units = {"metres", "feet", "fathoms"};
    const std::string unit = units[static_cast<std::size_t>(sheet.measures.length)];
    const BoatReport& report = sheet.report;
    if (report.sinker_worths.empty()) return {};
    const Policy& policy = sheet.tables.boat().policy;
    return "What the sinker buys in " + sheet.nearest(report.sinker_depth_m) + ": " + unit +
           " of radius with the full scope's rode of " +
           length_text(report.sinker_worths.front().held_rode_m, Rounded::up, sheet.measures) +
           " left as it is, and " + unit + " of rode and radius\nwith the rode cut to an angle of pull of " +
           fixed(policy.pull_angle_deg, 1) + " degrees, but not below " + fixed(policy.short_scope, 1) +
           " times the span.";
}

/// What the table by reading allows for.
std::string reading_words(const Sheet& sheet) {
    const Boat& boat = sheet.tables.boat();
    const auto up = [&](double metres) { return length_text(metres, Rounded::up, sheet.measures); };
    return "By the sounder: what to veer for a reading, which is the most that it shows within a boat's "
           "length "
           "around, from the\nsurface down, less the height of the water above chart datum then. Under the "
           "anchor it may be deeper by " +
           up(sheet.report.deeper_m) + ": " + up(boat.sounder.error_m) + " by the sounder's\nerror, " +
           up(boat.policy.level_error_m) + " by the water's level; and shoaler by " +
           up(sheet.report.shoaler_m) + ", since the seabed may slope 1 in " +
           fixed(1 / Judge::least_sounded_slope, 0) + " over the " + up(boat.sounded_over_m()) +
           " of a\nboat's length, too. The rode is for the deeper at high water, the radius for the "
           "shoaler at low water.";
}

/// What the mark beside a limit means; empty where there is none.
std::string limit_note(const Sheet& sheet) {
    return limit_by(sheet) == LimitBy::room ? std::string(wind_limit_note) : "";
}

std::string column_words(const Sheet& sheet) {
    const bool by_room = limit_by(sheet) == LimitBy::room;
    return std::string(
               "Radius: the reach at low water, the boat, position and set. Wind: mean, with that much "
               "room") +
           (by_room ? ".\n" : ", on the worst ground\nthat an anchor holds in. ") +
           "Hangs: anchor and chain under the roller at high water.";
}

std::string two_units_words(const Sheet& sheet) {
    return "Rode stands there twice: in " + std::string(unit_name(sheet.measures)) +
           ", and as it is marked, in " + std::string(unit_name(sheet.marks.measures)) + ".";
}

} // namespace

double sounded_uncertainty_m(const Boat& boat) {
    return (boat.reading_error_m() + boat.shoaler_than_reading_m(Judge::least_sounded_slope)) / 2;
}

BoatReport boat_report(const TackleTables& tables, double depth_m, const Measures& measures) {
    BoatReport report;
    report.depths = depth_table(tables, metres_per_unit(measures));
    report.deeper_m = tables.boat().reading_error_m();
    report.shoaler_m = tables.boat().shoaler_than_reading_m(Judge::least_sounded_slope);
    if (report.deeper_m + report.shoaler_m <= tables.greatest_apart_m()) {
        report.readings = reading_table(tables, report.deeper_m, report.shoaler_m, metres_per_unit(measures));
    }
    report.sinker_depth_m = depth_m;
    if (depth_m < 0) {
        constexpr double usual_m = 5;
        report.sinker_depth_m = report.depths.front().depth_m;
        for (const DepthLine& line : report.depths) {
            if (line.any_way() &&
                std::abs(line.depth_m - usual_m) < std::abs(report.sinker_depth_m - usual_m)) {
                report.sinker_depth_m = line.depth_m;
            }
        }
    }
    if (tables.boat().sinker) {
        const double held_rode_m = full_scope_rode_m(tables, report.sinker_depth_m);
        for (double wind_kn = 5; wind_kn <= 30; wind_kn += 5) {
            report.sinker_worths.push_back(sinker_worth(tables, report.sinker_depth_m, held_rode_m, wind_kn));
        }
    }
    return report;
}

BoatParts boat_parts(const TackleTables& tables, const BoatReport& report, const Measures& measures) {
    const Sheet sheet(tables, report, measures);
    const std::string unit(unit_name(measures));
    BoatParts parts;
    parts.sentences = {water_words(sheet), wind_words(tables), rode_words(sheet), column_words(sheet)};
    if (sheet.two_units()) parts.sentences.push_back(two_units_words(sheet));
    if (const std::string holding = holding_words(tables); !holding.empty()) {
        parts.sentences.push_back(holding);
    }
    if (const std::string note = limit_note(sheet); !note.empty()) parts.sentences.push_back(note);
    parts.depths.caption = "Rode, radius and wind limit by depth below chart datum";
    for (const Column& column : depth_columns(sheet)) {
        parts.depths.columns.push_back({column.way, column.plain_name(), column.unit, column.numbers});
    }
    parts.depths.rows = depth_rows(sheet);
    if (!report.readings.empty()) {
        parts.readings.caption = reading_words(sheet);
        for (const Column& column : reading_columns(sheet)) {
            parts.readings.columns.push_back({column.way, column.plain_name(), column.unit, column.numbers});
        }
        parts.readings.rows = reading_rows(sheet);
    }
    parts.worth.caption = worth_words(sheet);
    const std::string when_cut = "rode cut to the angle of pull";
    parts.worth.columns = {{"", "wind", "kn", true},
                           {"", "pull", "N", true},
                           {"rode left as it is", "saves", unit, true},
                           {when_cut, "without", unit, true},
                           {when_cut, "with", unit, true},
                           {when_cut, "saves", unit, true},
                           {when_cut, "saves radius", unit, true},
                           {"", "in words", ""}};
    parts.worth.rows = worth_rows(sheet);
    return parts;
}

std::string boat_text(const TackleTables& tables, const BoatReport& report, const Measures& measures,
                      std::size_t width) {
    Sheet sheet(tables, report, measures);
    sheet.width = width;
    const auto told = [&sheet](const std::string& sentences) { return paragraph(sentences, sheet) + "\n"; };
    const auto table = [&sheet](const std::vector<Column>& columns, TextRows more) {
        TextRows rows = head_lines(columns);
        const Screen screen{sheet.width, rows.size(), cuts_of(columns)};
        append(rows, std::move(more));
        return aligned(rows, screen);
    };
    std::string text = tables.boat().name + "\n" + told(water_words(sheet)) + told(wind_words(tables)) +
                       told(rode_words(sheet)) + "\n" + table(depth_columns(sheet), depth_rows(sheet));
    text += "\n" + (sheet.two_units() ? told(two_units_words(sheet)) : "");
    text += told(column_words(sheet));
    if (const std::string note = limit_note(sheet); !note.empty()) text += told(note);
    if (const std::string holding = holding_words(tables); !holding.empty()) text += told(holding);
    if (!report.readings.empty()) {
        text += "\n" + told(reading_words(sheet)) + table(reading_columns(sheet), reading_rows(sheet));
    }
    if (!report.sinker_worths.empty()) text += "\n" + told(worth_words(sheet)) + worth_table(sheet);
    return text + "\n" + told(std::string(caution));
}

std::string boat_markdown(const TackleTables& tables, const BoatReport& report, const Measures& measures) {
    const Sheet sheet(tables, report, measures);
    TextRows rows = markdown_head(depth_columns(sheet));
    append(rows, depth_rows(sheet));
    std::string text = "# " + tables.boat().name + "\n\n" + water_words(sheet) + " " + wind_words(tables) +
                       " " + rode_words(sheet) + "\n\n" + markdown_table(rows) + "\n";
    if (const std::string note = limit_note(sheet); !note.empty()) text += "\\" + note + "\n\n";
    if (const std::string holding = holding_words(tables); !holding.empty()) text += holding + "\n";
    if (!report.readings.empty()) {
        TextRows readings = markdown_head(reading_columns(sheet));
        append(readings, reading_rows(sheet));
        text += "\n" + reading_words(sheet) + "\n\n" + markdown_table(readings);
    }
    if (!report.sinker_worths.empty()) {
        const std::string unit = " " + std::string(unit_name(measures));
        TextRows worth = {{"wind kn", "pull N", "radius saved as it is" + unit, "rode without" + unit,
                           "rode with" + unit, "rode saved" + unit, "radius saved when cut" + unit,
                           "that is"}};
        append(worth, worth_rows(sheet));
        text += "\n" + worth_words(sheet) + "\n\n" + markdown_table(worth);
    }
    return text + "\n" + std::string(caution) + "\n";
}

} // namespace swingroom
