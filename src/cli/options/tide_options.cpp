#include "cli/options/tide_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "base/text.hpp"
#include "base/text_input.hpp"
#include "cli/options/options.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstddef>
#include <filesystem>
#include <ranges>
#include <string_view>
#include <system_error>
#include <utility>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// What means nothing without --tide.
constexpr std::array of_tide = {
    "arrive",          "depart",     "below", "above",           "tide-zone",   "tide-unit", "tide-datum",
    "tide-mean-level", "tide-phase", "clock", "curve-allowance", "offset-high", "offset-low"};
constexpr std::array of_levels = {"low-water", "high-water"};

ZoneOffset zone_given(const std::string& text, const std::string& option) {
    if (const auto zone = read_zone(text)) return *zone;
    throw InputError(option, swingroom::quoted(text) + " is no distance from UTC",
                     "give UTC, or how far the clock is ahead of it, as in +02:00; names of zones and "
                     "daylight saving time cannot be read safely");
}

double metres_per_unit_given(const std::string& text) {
    if (const auto metres = metres_per_height_unit(text)) return *metres;
    throw InputError("--tide-unit", swingroom::quoted(text) + " is not known",
                     cure_for_word(text, words_of("m|ft|cm")));
}

double length_given(const po::variables_map& given, const std::string& name, Range range,
                    const std::string& cure) {
    const auto text = given[name].as<std::string>();
    const std::string option = "--" + name;
    return within(parse_length(text, option).metres(), range, text, option, cure);
}

/// "0.1,10": metres and percent.
CurveAllowance curve_allowance_given(const std::string& text) {
    const std::string option = "--curve-allowance";
    const std::string cure = "give metres and percent of a tide's range, as in 0.1,10";
    const auto parts = split(text, ',');
    if (parts.size() != 2) throw InputError(option, swingroom::quoted(text) + " is not two numbers", cure);
    auto percent = trimmed(parts[1]);
    if (percent.ends_with('%')) percent = trimmed(percent.substr(0, percent.size() - 1));
    return {within(parse_length(trimmed(parts[0]), option).metres(), {0, 10}, text, option, cure),
            within(parse_number(percent, option), {0, 100}, text, option, cure) / 100};
}

/// "+0:35": hours and minutes, later.
std::optional<std::chrono::seconds> time_difference(std::string_view text) {
    const bool earlier = text.starts_with('-');
    if (earlier || text.starts_with('+')) text.remove_prefix(1);
    const auto parts = split(text, ':');
    const auto digits = [](const std::string& part, std::size_t least, std::size_t most) {
        return part.size() >= least && part.size() <= most &&
               std::ranges::all_of(part, [](char c) { return c >= '0' && c <= '9'; });
    };
    if (parts.size() != 2 || !digits(parts[0], 1, 2) || !digits(parts[1], 2, 2)) return std::nullopt;
    const auto hours = std::stoi(parts[0]), minutes = std::stoi(parts[1]);
    if (hours > 12 || minutes > 59) return std::nullopt;
    const std::chrono::seconds later = std::chrono::hours(hours) + std::chrono::minutes(minutes);
    return earlier ? -later : later;
}

/// "+0:35,1.07": how much later, and times what.
StationOffsets::Offset offset_given(const std::string& text, const std::string& option) {
    const std::string cure =
        "give how much later than at the file's station, and the ratio of heights, as in "
        "+0:35,1.07; at most 12 hours, and 0.1 to 10";
    const auto parts = split(text, ',');
    const auto later = parts.size() == 2 ? time_difference(trimmed(parts[0])) : std::nullopt;
    if (!later) {
        throw InputError(option, swingroom::quoted(text) + " is no time difference with a ratio", cure);
    }
    return {*later, within(parse_number(trimmed(parts[1]), option), {0.1, 10}, text, option, cure), 0};
}

/// Of what must be given, what is missing.
constexpr const char* both_offsets = "a subordinate station has offsets of high and of low waters";

/// Whether a text is a time and has no zone of its own.
bool says_no_clock(const std::string& text) {
    const auto read = read_clock_time(trimmed(text));
    return read && !read->zone;
}

void refuse_without_tide(const po::variables_map& given) {
    for (const char* const name : of_tide) {
        if (!is_given(given, name)) continue;
        throw InputError(std::string("--") + name, "tells of the tide over time, and no file of it is given",
                         "name the file with --tide, or leave it out");
    }
}

} // namespace

void TideTerms::declare(Options& options) {
    // clang-format off
    options.add_options()
        ("clock", text_value("ZONE"), "the clock by which times are read and told\n"
         "UTC, or how far it is ahead, as +02:00; of times that have no zone of their own. That of the file, or --tide-zone, if not given. "
         "A clock that is put back or forward meanwhile stays what it was.")
        ("tide-zone", text_value("ZONE"), "the clock of the file's times, UTC or as +01:00\n"
         "Not needed where the file says it; refused where it says another.")
        ("tide-unit", text_value("m|ft|cm"), "unit of the file's heights\nNot needed where the file says it.")
        ("tide-datum", text_value("M"), "how far the file's zero lies above chart datum\n"
         "0 where its heights are above chart datum; below 0 where its zero lies deeper. Not needed where the file says it.")
        ("tide-mean-level", text_value("M"), "mean sea level above the file's zero, for constituents\nNot needed where the file says it.")
        ("tide-phase", text_value("ZONE"), "the clock of the phases, for constituents, gmt or as +01:00\n"
         "Which the lags are by: gmt where they are on Greenwich. Not needed where the file says it.")
        ("curve-allowance", text_value("M,PERCENT"), "how far the water may lie under a table's curve\n"
         "Between its high and low waters, the greater of metres and percent of that tide's range; 0.1,10 if not given.")
        ("offset-high", text_value("H:MM,RATIO"), "high waters of a subordinate station, as +0:35,1.07\n"
         "How much later than in the file, which is that of the reference station, and what its heights are multiplied by before --tide-datum is put on. For a table "
         "or constituents, with --offset-low.")
        ("offset-low", text_value("H:MM,RATIO"), "the same of low waters");
    // clang-format on
}

void TideTerms::accept(const po::variables_map& given) {
    if (const auto zone = optional(given, "clock")) clock_ = zone_given(*zone, "--clock");
    if (const auto zone = optional(given, "tide-zone")) said_.zone = zone_given(*zone, "--tide-zone");
    if (const auto unit = optional(given, "tide-unit")) said_.metres_per_unit = metres_per_unit_given(*unit);
    if (const auto zone = optional(given, "tide-phase")) {
        said_.phase_zone =
            *zone == "gmt" || *zone == "GMT" ? ZoneOffset(0) : zone_given(*zone, "--tide-phase");
    }
    const std::string cure = "give -20 to 20 m";
    if (is_given(given, "tide-datum")) {
        said_.above_chart_datum_m = length_given(given, "tide-datum", {-20, 20}, cure);
    }
    if (is_given(given, "tide-mean-level")) {
        said_.mean_level_m = length_given(given, "tide-mean-level", {-20, 20}, cure);
    }
    if (const auto text = optional(given, "curve-allowance")) {
        said_.curve_allowance = curve_allowance_given(*text);
        curve_allowance_given_ = true;
    }
    const auto high = optional(given, "offset-high"), low = optional(given, "offset-low");
    if (high.has_value() != low.has_value()) {
        throw InputError(high ? "--offset-low" : "--offset-high", "is missing", both_offsets);
    }
    if (high && low) {
        said_.offsets = {offset_given(*high, "--offset-high"), offset_given(*low, "--offset-low")};
    }
}

std::vector<OpenQuestion> TideTerms::unsaid_of(const std::string& path) const {
    std::error_code error;
    if (!text_ && !std::filesystem::exists(path, error)) return {}; // told when it is read
    const auto open = unsaid_of_tide_file(text_of(path), path, said_);
    std::vector<OpenQuestion> questions;
    const auto ask = [&](bool unsaid, const char* option, const char* value, const std::string& why) {
        if (unsaid) questions.push_back({option, {value}, {path + " " + why}});
    };
    ask(open.zone, "tide-zone", "ZONE",
        "does not say by which clock its times are; give UTC, or how far the clock is ahead, as "
        "+01:00");
    ask(open.unit, "tide-unit", "m|ft|cm", "does not say the unit of its heights");
    ask(open.above_chart_datum, "tide-datum", "M",
        "does not say how far its zero lies above chart datum; give 0 where its heights are above chart "
        "datum");
    ask(open.mean_level, "tide-mean-level", "M",
        "holds constituents and does not say how far the mean level of the sea lies above its zero");
    ask(open.phase_zone, "tide-phase", "ZONE",
        "does not say by which clock the phases of its constituents are; give gmt where they are on "
        "Greenwich, or how far the clock is ahead, as +01:00");
    return questions;
}

std::string TideTerms::text_of(const std::string& path) const {
    return text_ ? *text_ : read_text_input(path);
}

TideForm TideTerms::form_of(const std::string& path) const {
    return unsaid_of_tide_file(text_of(path), path, said_).form;
}

TideFile TideTerms::read(const std::string& path, const std::optional<TimeWindow>& span) const {
    TideStatements statements = said_;
    statements.span = span;
    TideFile file = read_tide_file(text_of(path), path, statements);
    if (curve_allowance_given_ && file.form != TideForm::turns && !said_.offsets) {
        throw InputError("--curve-allowance",
                         "is for what lies between high and low waters, and " + path +
                             " tells the whole curve",
                         "leave it out");
    }
    return file;
}

GivenClock TideTerms::clock_of(const std::string& path) const {
    if (clock_) return {clock_, "as given with --clock"};
    TideTerms without_offsets = *this;
    without_offsets.said_.offsets.reset();
    without_offsets.curve_allowance_given_ = false;
    return {without_offsets.read(path, std::nullopt).zone, "that of the file's times"};
}

Instant moment_given(const std::string& text, const GivenClock& clock, const std::string& option) {
    if (says_no_clock(text) && !clock.zone) {
        throw InputError(
            option,
            swingroom::quoted(text) +
                " does not say by which clock, nor has the file one for all of its times",
            "put Z behind it for UTC, or how far the clock is ahead of UTC, as in +02:00; or say it for "
            "all times with --clock");
    }
    return parse_instant(text, clock.zone, option);
}

std::vector<std::string> notes_of_clock(const GivenClock& clock,
                                        const std::vector<std::pair<std::string, std::string>>& times) {
    std::vector<std::string> options;
    for (const auto& [option, text] : times) {
        if (says_no_clock(text) && (options.empty() || options.back() != option)) options.push_back(option);
    }
    if (options.empty()) return {};
    const bool one = options.size() == 1;
    return {joined(options, ", ") + (one ? " says" : " say") + " no clock: read by the clock " +
            zone_text(clock.zone.value_or(ZoneOffset(0))) + ", " + clock.whose + "."};
}

LevelAllowances allowances_of(const po::variables_map& given) {
    const std::string cure = "give 0 to 10 m; 0 to reckon with the prediction alone";
    LevelAllowances allowances;
    if (is_given(given, "below")) allowances.below_m = length_given(given, "below", {0, 10}, cure);
    if (is_given(given, "above")) allowances.above_m = length_given(given, "above", {0, 10}, cure);
    return allowances;
}

void TideOptions::declare(Options& options) {
    options.group(Group::boat);
    // clang-format off
    options.add_options()
        ("tide", text_value("FILE"), "the tide of the stay, in place of these two levels\n"
         "High and low waters, a series of heights, or constituents. With it go --arrive, --depart, --below and --above, and what the file does "
         "not say. On the command line it takes the place of the two levels of a plan, and they that of a curve in it.");
    options.group(Group::tide);
    options.add_options()
        ("arrive", text_value("TIME"), "when the stay begins, as 2026-07-01T18:00Z\n"
         "With Z for UTC, or the clock's distance from it, as 2026-07-01T20:00+02:00; without either it is by --clock.")
        ("depart", text_value("TIME"), "when it ends, at most a year later")
        ("below", text_value("M"), "how far the water may stand below the prediction\nFor weather above all. 0 to 10 m; 0 may be said, but must be.")
        ("above", text_value("M"), "how far it may stand above it\nThe same: it counts for rode and clearances.");
    // clang-format on
    TideTerms::declare(options);
}

void TideOptions::settle(const po::variables_map& on_command_line, po::variables_map& given) {
    const auto any = [](const po::variables_map& of, const auto& names) {
        return std::ranges::any_of(names, [&of](const char* name) { return is_given(of, name); });
    };
    const bool curve_by_hand = is_given(on_command_line, "tide"),
               levels_by_hand = any(on_command_line, of_levels);
    if (curve_by_hand && !levels_by_hand) {
        for (const char* const name : of_levels) {
            given.erase(name);
        }
    } else if (levels_by_hand && !curve_by_hand) {
        given.erase("tide");
        for (const char* const name : of_tide) {
            if (!is_given(on_command_line, name)) given.erase(name);
        }
    }
    if (!is_given(given, "tide")) {
        refuse_without_tide(given);
    } else if (any(given, of_levels)) {
        throw InputError("--tide", "is given with --low-water or --high-water, and the curve says both",
                         "leave out the two levels, or --tide and what belongs to it");
    }
}

const std::vector<Needed>& TideOptions::needed() {
    static const std::vector<Needed> all = {
        {"arrive", "say when the stay begins, for example 2026-07-01T18:00Z"},
        {"depart", "say when it ends, for example 2026-07-02T06:00Z"},
        {"below",
         "say how far the water may stand below the prediction, in metres, for example 0.3; 0 may be "
         "said"},
        {"above", "say how far it may stand above it, for example 0.3"}};
    return all;
}

void TideOptions::accept(const po::variables_map& given) {
    if (!is_given(given, "tide")) return;
    file = given["tide"].as<std::string>();
    terms.accept(given);
    arrive = optional(given, "arrive").value_or("");
    depart = optional(given, "depart").value_or("");
    allowances = allowances_of(given);
}

std::vector<OpenQuestion> TideOptions::unsaid() const {
    return file.empty() ? std::vector<OpenQuestion>{} : terms.unsaid_of(file);
}

std::optional<StayTide> TideOptions::open() const {
    if (file.empty()) return std::nullopt;
    const auto clock = terms.clock_of(file);
    const TimeWindow span{moment_given(arrive, clock, "--arrive"), moment_given(depart, clock, "--depart")};
    const ZoneOffset zone = clock.zone.value_or(ZoneOffset(0));
    TideFile read = terms.read(file, span);
    const Stay stay(*read.curve, span.from, span.to, allowances, file, zone);
    for (std::string& note : notes_of_clock(clock, {{"--arrive", arrive}, {"--depart", depart}})) {
        read.notes.push_back(std::move(note));
    }
    return StayTide{std::move(read.curve), allowances, stay,       zone,        file,      read.name,
                    read.source,           read.datum, read.place, read.doubts, read.notes};
}

} // namespace swingroom::cli
