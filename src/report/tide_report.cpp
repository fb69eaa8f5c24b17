#include "swingroom/report/tide_report.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/water/level_text.hpp"

#include "base/folded_text.hpp"
#include "base/json.hpp"
#include "base/terminal_text.hpp"
#include "report/text_table.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <ranges>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

using namespace std::chrono;

constexpr std::array<std::string_view, 3> form_names = {"turns", "series", "constituents"};
constexpr std::array<std::string_view, 3> form_phrases = {"high and low waters", "a series of heights",
                                                          "harmonic constituents"};

template <class Names>
std::string of_form(const Names& names, TideForm form) {
    return std::string(names.at(static_cast<std::size_t>(form)));
}

std::string told(const TideReport& report, Instant moment) {
    return clock_text(moment, report.question.zone);
}

void check_moment(const TideReport& report, Instant moment) {
    const LevelCurve& curve = *report.file.curve;
    if (moment >= curve.first() && moment <= curve.last()) return;
    throw InputError(report.path,
                     told(report, moment) + " is not within what it tells, from " +
                         told(report, curve.first()) + " to " + told(report, curve.last()),
                     "ask for a time within it: no level is made up");
}

void check_span(const TideReport& report) {
    const Instant from = report.question.from, to = report.question.to;
    if (to <= from) {
        throw InputError(report.path,
                         "the span does not end, " + told(report, to) + ", after it begins, " +
                             told(report, from),
                         "give the later of the two as its end");
    }
    if (to - from > days(366)) {
        throw InputError(report.path, "the span is longer than a year", "ask for a shorter one");
    }
    check_moment(report, from);
    check_moment(report, to);
}

LevelBounds with_allowances(LevelBounds bounds, const LevelAllowances& allowances) {
    return {bounds.least_m - allowances.below_m, bounds.greatest_m + allowances.above_m};
}

/// The minute that a moment lies in, as far as the curve tells a whole one.
LevelBounds bounds_at(const LevelCurve& curve, Instant moment) {
    const Instant start = std::max(curve.first(), std::min(moment, curve.last() - 1min));
    if (start + 1min > curve.last()) return {curve.height_m(moment), curve.height_m(moment)};
    return curve.by_minute(start, 1).front();
}

TideReport::Height height_at(const TideReport& report, Instant moment) {
    check_moment(report, moment);
    const LevelCurve& curve = *report.file.curve;
    return {moment, curve.height_m(moment),
            with_allowances(bounds_at(curve, moment), report.question.allowances)};
}

LevelBounds levels_of(const TideReport& report) {
    const auto& question = report.question;
    const LevelCurve& curve = *report.file.curve;
    // The minutes from the beginning on, and the last one, which may end with the span alone.
    std::vector<LevelBounds> minutes =
        curve.by_minute(question.from, static_cast<int>((question.to - question.from) / 1min));
    minutes.push_back(bounds_at(curve, question.to));
    return with_allowances({std::ranges::min(minutes, {}, &LevelBounds::least_m).least_m,
                            std::ranges::max(minutes, {}, &LevelBounds::greatest_m).greatest_m},
                           question.allowances);
}

/// How people read it.
struct Sheet {
    const TideReport& report;
    Measures measures;

    [[nodiscard]] int decimals() const { return measures.length == LengthUnit::foot ? 1 : 2; }
    [[nodiscard]] std::string number(double metres, Rounded way = Rounded::nearest) const {
        return length_number(metres, way, measures, decimals());
    }
    [[nodiscard]] std::string length(double metres, Rounded way) const {
        return length_text(metres, way, measures, decimals());
    }
    /// Without the zone, which is said once.
    [[nodiscard]] std::string clock(Instant moment) const {
        // To the minute: nobody's tide is truer than that.
        return local_time_text(round<minutes>(moment), report.question.zone);
    }
};

std::string clock_words(const Sheet& sheet) {
    return "Heights are in " + std::string(unit_name(sheet.measures)) +
           " above chart datum, times by the clock " + zone_text(sheet.report.question.zone) + ".";
}

bool has_allowances(const TideReport& report) {
    return report.question.allowances.below_m > 0 || report.question.allowances.above_m > 0;
}

/// What is added to the curve's own error.
std::string weather_words(const Sheet& sheet) {
    const LevelAllowances& allowances = sheet.report.question.allowances;
    if (!has_allowances(sheet.report)) return "no allowance for weather";
    return "for weather, " + sheet.length(allowances.below_m, Rounded::up) + " below and " +
           sheet.length(allowances.above_m, Rounded::up) + " above that are allowed for";
}

/// What the file says of itself, a line each.
std::vector<std::string> file_words(const Sheet& sheet) {
    const TideReport& report = sheet.report;
    const TideFile& file = report.file;
    std::vector<std::string> lines = {
        (file.name.empty() ? report.path : file.name + " (" + report.path + ")") + ": " +
        of_form(form_phrases, file.form)};
    const auto add = [&lines](const std::string& name, const std::string& value) {
        if (!value.empty()) lines.push_back(name + ": " + value);
    };
    add("source", file.source);
    add("datum", file.datum);
    if (file.place) add("position", position_text(file.place->lon, file.place->lat, sheet.measures));
    add("bounds", file.curve->bounds_text() + "; " + weather_words(sheet) +
                      (has_allowances(report) ? "" : " (--below, --above)"));
    return lines;
}

std::string turns_table(const Sheet& sheet) {
    TextRows rows = {{"", "time", "height"}};
    for (const Turn& turn : sheet.report.turns) {
        rows.push_back({turn.high ? "high" : "low", sheet.clock(turn.time), sheet.number(turn.height_m)});
    }
    return aligned(rows);
}

std::string heights_table(const Sheet& sheet, const std::vector<TideReport::Height>& heights) {
    TextRows rows = {{"time", "height", "least", "most"}};
    for (const TideReport::Height& height : heights) {
        rows.push_back({sheet.clock(height.time), sheet.number(height.height_m),
                        sheet.number(height.bounds.least_m, Rounded::down),
                        sheet.number(height.bounds.greatest_m, Rounded::up)});
    }
    return aligned(rows);
}

std::string levels_words(const Sheet& sheet) {
    const TideReport& report = sheet.report;
    return "From " + sheet.clock(report.question.from) + " to " + sheet.clock(report.question.to) +
           " the water stands " + between_levels_text(report.levels, sheet.measures, sheet.decimals()) +
           (has_allowances(report) ? ", the curve's own error and the allowances counted."
                                   : ", the curve's own error counted; weather is not.");
}

/// A line of the CSV, and where it belongs.
using Line = std::pair<Instant, std::string>;

void add_line(std::vector<Line>& lines, std::string_view what, const TideReport::Height& height) {
    lines.emplace_back(height.time, utc_text(height.time) + "," + std::string(what) + "," +
                                        fixed(height.height_m, 3) + "," +
                                        fixed_down(height.bounds.least_m, 3) + "," +
                                        fixed_up(height.bounds.greatest_m, 3) + "\n");
}

std::string json_height(const TideReport::Height& height, ZoneOffset zone) {
    return JsonObject()
        .text("time", utc_text(height.time))
        .text("clock", clock_text(height.time, zone))
        .number("height_m", height.height_m, 3)
        .number("least_m", height.bounds.least_m, 3, Rounded::down)
        .number("greatest_m", height.bounds.greatest_m, 3, Rounded::up)
        .line();
}

std::string json_heights(const std::vector<TideReport::Height>& heights, ZoneOffset zone) {
    std::vector<std::string> lines;
    for (const TideReport::Height& height : heights) {
        lines.push_back(json_height(height, zone));
    }
    return json_lines(lines);
}

std::string json_turns(const TideReport& report) {
    std::vector<std::string> lines;
    for (const Turn& turn : report.turns) {
        lines.push_back(JsonObject()
                            .text("type", turn.high ? "high" : "low")
                            .text("time", utc_text(turn.time))
                            .text("clock", clock_text(turn.time, report.question.zone))
                            .number("height_m", turn.height_m, 3)
                            .line());
    }
    return json_lines(lines);
}

void add_file(JsonObject& json, const TideReport& report) {
    const TideFile& file = report.file;
    json.text("file", report.path).text("form", of_form(form_names, file.form));
    const auto add = [&json](std::string_view key, const std::string& text) {
        if (text.empty()) {
            json.null(key);
        } else {
            json.text(key, text);
        }
    };
    add("station", file.name);
    add("source", file.source);
    add("datum", file.datum);
    if (file.place) {
        json.raw("position", JsonObject()
                                 .number("longitude", file.place->lon, 7)
                                 .number("latitude", file.place->lat, 7)
                                 .line());
    } else {
        json.null("position");
    }
    json.text("bounds", file.curve->bounds_text());
}

} // namespace

TideReport tide_report(TideFile file, std::string path, TideQuestion question) {
    TideReport report{std::move(path), std::move(file), std::move(question), {}, {}, {}, {}};
    check_span(report);
    const TideQuestion& asked = report.question;
    report.turns = report.file.curve->turns(asked.from, asked.to);
    for (const Instant moment : asked.at) {
        report.at.push_back(height_at(report, moment));
    }
    if (asked.every) {
        for (Instant moment = asked.from; moment <= asked.to; moment += *asked.every) {
            report.series.push_back(height_at(report, moment));
        }
    }
    report.levels = levels_of(report);
    return report;
}

std::string tide_text(const TideReport& report, const Measures& measures, std::size_t width) {
    const Sheet sheet{report, measures};
    std::string text;
    const auto tell = [&](const std::string& words) {
        const std::string one = on_one_line(words);
        text += (width == 0 ? one : folded(one, width)) + "\n";
    };
    for (const std::string& line : file_words(sheet)) {
        tell(line);
    }
    tell(clock_words(sheet));
    text += "\n" + (report.turns.empty() ? "No high or low water in this span.\n" : turns_table(sheet));
    for (const auto* const heights : {&report.at, &report.series}) {
        if (!heights->empty()) text += "\n" + heights_table(sheet, *heights);
    }
    text += "\n";
    tell(levels_words(sheet));
    for (const std::string& doubt : report.file.doubts) {
        tell("doubtful: " + doubt);
    }
    for (const std::string& note : report.file.notes) {
        tell("note: " + note);
    }
    tell(std::string(caution));
    return text;
}

std::string tide_csv(const TideReport& report) {
    std::vector<Line> lines;
    for (const Turn& turn : report.turns) {
        const LevelBounds bounds =
            with_allowances(bounds_at(*report.file.curve, turn.time), report.question.allowances);
        add_line(lines, turn.high ? "high" : "low", {turn.time, turn.height_m, bounds});
    }
    for (const auto* const heights : {&report.at, &report.series}) {
        for (const TideReport::Height& height : *heights) {
            add_line(lines, heights == &report.at ? "at" : "step", height);
        }
    }
    std::ranges::stable_sort(lines, {}, &Line::first);
    std::string text = "time,type,height_m,least_m,greatest_m\n";
    for (const Line& line : lines) {
        text += line.second;
    }
    return text;
}

std::string tide_json(const TideReport& report) {
    const TideQuestion& question = report.question;
    JsonObject json = json_head("tide");
    add_file(json, report);
    json.text("from", utc_text(question.from))
        .text("to", utc_text(question.to))
        .number("below_m", question.allowances.below_m, 3, Rounded::up)
        .number("above_m", question.allowances.above_m, 3, Rounded::up)
        .number("lowest_m", report.levels.least_m, 3, Rounded::down)
        .number("highest_m", report.levels.greatest_m, 3, Rounded::up)
        .raw("turns", json_turns(report))
        .raw("at", json_heights(report.at, question.zone))
        .raw("heights", json_heights(report.series, question.zone))
        .raw("doubts", json_texts(report.file.doubts))
        .raw("notes", json_texts(report.file.notes))
        .text("clock", zone_text(question.zone));
    return json.text("caution", caution).document();
}

TidePicture picture_of(const TideReport& report, const Measures& measures) {
    TidePicture picture;
    picture.curve = report.file.curve.get();
    picture.from = report.question.from;
    picture.to = report.question.to;
    picture.allowances = report.question.allowances;
    picture.zone = report.question.zone;
    picture.measures = measures;
    const std::string& station = report.file.name;
    picture.caption = (station.empty() ? report.path : station) +
                      ". Line: the prediction. Band: where the water may stand by the curve's own error; " +
                      weather_words({report, measures}) + ".";
    return picture;
}

} // namespace swingroom
