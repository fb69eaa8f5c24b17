#include "swingroom/water/tide_file.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/water/level_series.hpp"

#include "base/text.hpp"
#include "water/column_text.hpp"
#include "water/constituents.hpp"
#include "water/tide_doubts.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <ranges>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

constexpr std::string_view zone_cure =
    "say Z for UTC, or how far the clock is ahead of UTC, as in +02:00: a clock "
    "with daylight saving time or the name of a zone cannot be read safely";

/// What file and user say, of which one has to speak and both have to agree.
template <typename Value>
std::optional<Value> agreed(std::optional<Value> file, std::optional<Value> user, const std::string& where,
                            const std::string& what) {
    if (file && user && *file != *user) {
        throw InputError(where, "the file says another " + what + " than was given with it",
                         "give the one that is true, and mend the other");
    }
    return file ? file : user;
}

double number_of(const std::string& field, const std::string& place, const std::string& what) {
    try {
        return parse_number(field, place);
    } catch (const InputError&) {
        throw InputError(place, quoted(field) + " is no " + what, "write it as 1.25 or -0.3, with a point");
    }
}

/// How many decimals a number is written with.
int decimals_of(std::string_view field) {
    const auto point = field.find('.');
    return point == std::string_view::npos ? 0 : static_cast<int>(field.size() - point - 1);
}

/// Reads one file, whichever its form.
class Reader {
public:
    Reader(std::string_view text, std::string_view where, const TideStatements& statements)
        : columns_(ColumnText::parse(text, where)), said_(statements) {}

    TideFile read();
    [[nodiscard]] TideUnsaid unsaid() const;

private:
    /// Where the columns are that its form has.
    struct Columns {
        std::optional<std::size_t> time, height, name, amplitude, phase;
        [[nodiscard]] bool levels() const { return time && height; }
        [[nodiscard]] bool constituents() const { return name && amplitude && phase; }
    };
    struct Level {
        Instant time;
        double height_m = 0;
        std::string type; ///< as it is written
        std::string place;
    };

    [[nodiscard]] Columns form() const;
    [[nodiscard]] std::optional<ZoneOffset> zone_in_file(const std::string& key) const;
    [[nodiscard]] std::optional<StationPlace> place() const;
    void check_zone_of_constituents() const;
    void check_said_of_levels() const;
    [[nodiscard]] ZoneOffset phase_zone() const;
    [[nodiscard]] double metres_per_unit() const;
    [[nodiscard]] double above_chart_datum_m(double metres_per_unit) const;
    [[nodiscard]] InputError no_time(const ColumnText::Row& row, const std::string& field) const;
    [[nodiscard]] Instant time_of(const ColumnText::Row& row, std::size_t column);
    /// Of the clock that messages tell times by: the file's, if it has one.
    [[nodiscard]] ZoneOffset zone_told() const { return zones_.size() == 1 ? zones_.front() : ZoneOffset(0); }
    [[nodiscard]] std::vector<Level> levels(std::size_t time, std::size_t height);
    void read_levels(TideFile& file, std::size_t time, std::size_t height);
    void read_constituents(TideFile& file, std::size_t name, std::size_t amplitude, std::size_t phase);
    [[nodiscard]] std::vector<HarmonicConstant> constants(std::size_t name, std::size_t amplitude,
                                                          std::size_t phase, double unit_m) const;
    void check_speed(const ColumnText::Row& row, const std::string& name) const;
    [[nodiscard]] std::vector<Turn> turns_of(const LevelCurve& reference) const;
    [[nodiscard]] double mean_level_m(double unit_m) const;
    [[nodiscard]] NodalScheme scheme() const;
    [[nodiscard]] StationOffsets offsets_above_datum() const;
    [[nodiscard]] std::shared_ptr<const LevelCurve> table(std::vector<Turn> turns, double half_digit_m) const;

    ColumnText columns_;
    TideStatements said_;
    double half_digit_m_ = 0, above_m_ = 0;
    std::vector<ZoneOffset> zones_; ///< of the times, each once
};

std::optional<ZoneOffset> Reader::zone_in_file(const std::string& key) const {
    const auto text = columns_.remark(key);
    if (text.empty()) return std::nullopt;
    if (text == "gmt" || text == "GMT") return ZoneOffset(0);
    const auto zone = read_zone(text);
    if (!zone) {
        throw InputError(columns_.where, key + " " + quoted(text) + " is none", std::string(zone_cure));
    }
    return zone;
}

Reader::Columns Reader::form() const {
    Columns found;
    found.time = columns_.column({"time", "date time", "t"});
    found.height = columns_.column({"height", "prediction", "v", "level"});
    found.name = columns_.column({"name"});
    found.amplitude = columns_.column({"amplitude"});
    found.phase = columns_.column({"phase"});
    if (found.levels() == found.constituents()) {
        throw InputError(
            columns_.where,
            "has the columns " + joined(columns_.names, ", ") + ": neither levels nor constituents",
            "give columns time and height, with type for high and low waters; or name, amplitude "
            "and phase");
    }
    return found;
}

std::optional<StationPlace> Reader::place() const {
    const auto text = columns_.remark("position");
    if (text.empty()) return std::nullopt;
    const auto comma = text.find(',');
    if (comma == std::string::npos) {
        throw InputError(columns_.where, "position " + quoted(text) + " is none",
                         "write longitude and latitude in degrees, as in \"# position: -29.04,47.99\"");
    }
    const auto at =
        parse_position(trimmed(std::string_view(text).substr(0, comma)),
                       trimmed(std::string_view(text).substr(comma + 1)), columns_.where + ": position");
    return StationPlace{at.lon, at.lat};
}

TideUnsaid Reader::unsaid() const {
    const auto columns = form();
    const auto open = [this](const char* remark, bool said) {
        return columns_.remark(remark).empty() && !said;
    };
    TideUnsaid unsaid;
    unsaid.unit = open("unit", said_.metres_per_unit.has_value());
    unsaid.above_chart_datum = open("above-chart-datum", said_.above_chart_datum_m.has_value());
    if (columns.constituents()) {
        unsaid.form = TideForm::constituents;
        unsaid.mean_level = open("z0", said_.mean_level_m.has_value());
        unsaid.phase_zone = open("phase", said_.phase_zone.has_value());
        return unsaid;
    }
    unsaid.form = columns_.column({"type"}) ? TideForm::turns : TideForm::series;
    // What is no time is refused when it is read.
    unsaid.zone = open("zone", said_.zone.has_value()) &&
                  std::ranges::any_of(columns_.rows, [&columns](const ColumnText::Row& row) {
                      const auto time = read_clock_time(row.fields[*columns.time]);
                      return time && !time->zone;
                  });
    return unsaid;
}

double Reader::metres_per_unit() const {
    std::optional<double> in_file;
    const auto text = columns_.remark("unit");
    if (!text.empty()) {
        in_file = metres_per_height_unit(text);
        if (!in_file) {
            throw InputError(columns_.where, "unit " + quoted(text) + " is none", "say m, ft or cm");
        }
    }
    const auto metres = agreed(in_file, said_.metres_per_unit, columns_.where, "unit of heights");
    if (!metres) {
        throw InputError(columns_.where, "does not say the unit of its heights",
                         "say it in the file, as in \"# unit: m\", or with the file; m, ft or cm");
    }
    return *metres;
}

double Reader::above_chart_datum_m(double metres_per_unit) const {
    std::optional<double> in_file;
    const auto text = columns_.remark("above-chart-datum");
    if (!text.empty()) {
        const auto words = split(text, ' ');
        const bool has_unit = words.size() == 2 && words.back() == "m";
        const double value = number_of(words.front(), columns_.where, "height above chart datum");
        if (words.size() > 1 && !has_unit) {
            throw InputError(columns_.where, "above-chart-datum " + quoted(text) + " is no height",
                             "write it as \"0.4 m\", or as a number in the file's unit");
        }
        in_file = has_unit ? value : value * metres_per_unit;
    }
    const auto above = agreed(in_file, said_.above_chart_datum_m, columns_.where, "height above chart datum");
    if (!above) {
        const auto datum = columns_.remark("datum");
        throw InputError(
            columns_.where,
            "does not say how far its datum" + (datum.empty() ? "" : ", " + datum + ",") +
                " lies above chart datum",
            "say it in the file, as in \"# above-chart-datum: 0 m\", or with the file; 0 where the "
            "heights are above chart datum");
    }
    return *above;
}

InputError Reader::no_time(const ColumnText::Row& row, const std::string& field) const {
    if (columns_.column({"date"})) {
        return InputError(columns_.place(row),
                          quoted(field) + " is no time: the date stands in another column",
                          "write both into one, as 2026-07-01 08:00");
    }
    return InputError(
        columns_.place(row), quoted(field) + " is no time",
        "write date and time in one column as 2026-07-01 08:00, the year first, month, day, hour and minute "
        "in two figures each, in 24 hours; a sentence in place of rows means that there is nothing to read");
}

Instant Reader::time_of(const ColumnText::Row& row, std::size_t column) {
    const auto& field = row.fields[column];
    const auto read = read_clock_time(field);
    if (!read) throw no_time(row, field);
    const auto of_file = agreed(zone_in_file("zone"), said_.zone, columns_.where, "zone");
    if (read->zone && of_file && *read->zone != *of_file) {
        throw InputError(columns_.place(row), quoted(field) + " is by another clock than the file's zone",
                         "give all times by one clock");
    }
    const auto zone = read->zone ? read->zone : of_file;
    if (!zone) {
        throw InputError(columns_.where, "does not say by which clock its times are",
                         "say it in the file, as in \"# zone: Z\", or with the file; " +
                             std::string(zone_cure));
    }
    if (std::ranges::find(zones_, *zone) == zones_.end()) zones_.push_back(*zone);
    return instant_of(read->clock, *zone);
}

std::vector<Reader::Level> Reader::levels(std::size_t time, std::size_t height) {
    const double unit_m = metres_per_unit();
    above_m_ = above_chart_datum_m(unit_m);
    const auto type = columns_.column({"type"});
    std::vector<Level> all;
    std::vector<int> decimals;
    for (const auto& row : columns_.rows) {
        const auto& field = row.fields[height];
        decimals.push_back(decimals_of(field));
        all.push_back({time_of(row, time),
                       number_of(field, columns_.place(row), "height") * unit_m + above_m_,
                       type ? row.fields[*type] : std::string(), columns_.place(row)});
        check_height(all.back().height_m, all.back().place);
        if (all.size() > 1 && all.back().time <= all[all.size() - 2].time) {
            throw InputError(
                columns_.place(row), "the time does not come after that of the row before",
                "times have to ascend: look for a clock that was put back, and give all by one clock");
        }
    }
    // A trailing zero may have been left off, and one row may be given closer than the rest: the last digit
    // is that which at least half of the rows have.
    const auto middle = decimals.begin() + static_cast<std::ptrdiff_t>((decimals.size() - 1) / 2);
    std::nth_element(decimals.begin(), middle, decimals.end(), std::greater());
    half_digit_m_ = 0.5 * std::pow(10, -*middle) * unit_m;
    return all;
}

bool is_high(const std::string& type, const std::string& place) {
    constexpr std::array highs = {"H", "HH", "high", "High"};
    constexpr std::array lows = {"L", "LL", "low", "Low"};
    if (std::ranges::find(highs, type) != highs.end()) return true;
    if (std::ranges::find(lows, type) != lows.end()) return false;
    throw InputError(place, "type " + quoted(type) + " is neither a high nor a low water", "write H or L");
}

/// A ratio is of heights above the file's datum, and the turns are above chart datum already.
StationOffsets Reader::offsets_above_datum() const {
    auto offsets = *said_.offsets;
    for (auto* const offset : {&offsets.high, &offsets.low}) {
        offset->difference_m += above_m_ * (1 - offset->ratio);
    }
    return offsets;
}

std::shared_ptr<const LevelCurve> Reader::table(std::vector<Turn> turns, double half_digit_m) const {
    if (said_.offsets) {
        turns = subordinate_turns(turns, offsets_above_datum(), columns_.where, zone_told());
        half_digit_m *= std::max({1.0, said_.offsets->high.ratio, said_.offsets->low.ratio});
    }
    return std::make_shared<TideTable>(std::move(turns), half_digit_m, said_.curve_allowance, columns_.where,
                                       zone_told());
}

/// What is meant for constituents, as it is said of the wrong file, or of what the file is not.
void Reader::check_said_of_levels() const {
    if (!said_.phase_zone && !said_.mean_level_m) return;
    throw InputError(columns_.where,
                     std::string("holds heights with their times, which have no ") +
                         (said_.phase_zone ? "phases" : "mean level"),
                     "leave out what is said of constituents, or give their file");
}

void Reader::read_levels(TideFile& file, std::size_t time, std::size_t height) {
    check_said_of_levels();
    const auto all = levels(time, height);
    if (columns_.column({"type"})) {
        file.form = TideForm::turns;
        std::vector<Turn> turns;
        for (const auto& level : all) {
            turns.push_back({level.time, level.height_m, is_high(level.type, level.place)});
        }
        file.doubts = doubts_of_turns(turns, zone_told(), columns_.where);
        file.curve = table(std::move(turns), half_digit_m_);
        return;
    }
    if (said_.offsets) {
        throw InputError(columns_.where, "is a series of heights, which has no high and low waters to offset",
                         "give offsets with a table of high and low waters, or with constituents");
    }
    file.form = TideForm::series;
    std::vector<LevelSeries::Height> heights;
    for (const auto& level : all) {
        heights.push_back({level.time, level.height_m});
    }
    const auto [lowest, highest] = std::ranges::minmax(all, {}, &Level::height_m);
    const auto curve =
        std::make_shared<LevelSeries>(std::move(heights), half_digit_m_, columns_.where, zone_told());
    file.doubts = doubts_of_series(*curve, highest.height_m - lowest.height_m);
    file.curve = curve;
}

double Reader::mean_level_m(double unit_m) const {
    std::optional<double> in_file;
    const auto text = columns_.remark("z0");
    if (!text.empty()) in_file = number_of(text, columns_.where, "mean level z0") * unit_m;
    const auto mean = agreed(in_file, said_.mean_level_m, columns_.where, "mean level z0");
    if (!mean) {
        throw InputError(
            columns_.where, "does not say how far mean sea level lies above its datum",
            "say it in the file, as in \"# z0: 1.24\", or with the file: without it low water would be "
            "wrong by half the tide's range");
    }
    return *mean;
}

NodalScheme Reader::scheme() const {
    const auto text = columns_.remark("nodal");
    if (text.empty() || text == "yearly") return NodalScheme::yearly;
    if (text == "continuous") return NodalScheme::continuous;
    throw InputError(columns_.where, "nodal " + quoted(text) + " is none", "say yearly or continuous");
}

/// Catches a slipped row, and a list that means something else by the name.
void Reader::check_speed(const ColumnText::Row& row, const std::string& name) const {
    const auto column = columns_.column({"speed"});
    const auto known = find_constituent(name);
    if (!column || !known) return;
    const double speed_deg_h = number_of(row.fields[*column], columns_.place(row), "speed");
    constexpr double allowed = 1e-4;
    if (!(std::abs(speed_deg_h - known->speed_deg_h) <= allowed)) {
        throw InputError(columns_.place(row),
                         name + " runs " + row.fields[*column] + " degrees an hour here and " +
                             fixed(known->speed_deg_h, 7) + " in the list of constituents",
                         "look for a slip of a row; another meaning of the name cannot be read");
    }
}

/// A zone may be meant for the phases, and turns the tide by hours if it is.
void Reader::check_zone_of_constituents() const {
    if (!said_.zone && columns_.remark("zone").empty()) return;
    throw InputError(
        columns_.where, "holds constituents, which have no times that a zone could be of",
        "leave the zone out; by which clock the phases are is said by itself, as in \"# phase: gmt\" "
        "or \"# phase: +01:00\"");
}

ZoneOffset Reader::phase_zone() const {
    const auto zone = agreed(zone_in_file("phase"), said_.phase_zone, columns_.where, "clock of phases");
    if (!zone) {
        throw InputError(columns_.where, "does not say by which clock its phases are",
                         "say it in the file, as in \"# phase: gmt\" for lags on Greenwich or \"# phase: "
                         "+01:00\", or with the file: the other clock would move the tide by hours");
    }
    return *zone;
}

std::vector<HarmonicConstant> Reader::constants(std::size_t name, std::size_t amplitude, std::size_t phase,
                                                double unit_m) const {
    const double ahead_h = static_cast<double>(phase_zone().count()) / 60;
    std::vector<HarmonicConstant> all;
    for (const auto& row : columns_.rows) {
        HarmonicConstant constant;
        constant.name = usual_name(row.fields[name]);
        constant.amplitude_m = number_of(row.fields[amplitude], columns_.place(row), "amplitude") * unit_m;
        constant.lag_deg = number_of(row.fields[phase], columns_.place(row), "phase");
        check_speed(row, constant.name);
        // A lag by a clock that is ahead counts from a midnight that comes so many hours sooner.
        if (const auto known = find_constituent(constant.name)) {
            constant.lag_deg -= known->speed_deg_h * ahead_h;
        }
        all.push_back(constant);
    }
    return all;
}

std::vector<Turn> Reader::turns_of(const LevelCurve& reference) const {
    if (!said_.span) {
        throw InputError(columns_.where,
                         "holds constituents, and offsets are laid on high and low waters of a span",
                         "say from when to when");
    }
    // Two days before and after: offsets move turns by hours, and a diurnal tide has one in half a day.
    constexpr std::chrono::days around(2);
    return reference.turns(std::max(said_.span->from - around, reference.first()),
                           std::min(said_.span->to + around, reference.last()));
}

void Reader::read_constituents(TideFile& file, std::size_t name, std::size_t amplitude, std::size_t phase) {
    file.form = TideForm::constituents;
    check_zone_of_constituents();
    const double unit_m = metres_per_unit();
    above_m_ = above_chart_datum_m(unit_m);
    const auto all = constants(name, amplitude, phase, unit_m);
    take_amplitudes(all, columns_.where, file.doubts, file.notes);
    const std::shared_ptr<const LevelCurve> tide =
        std::make_shared<HarmonicTide>(all, mean_level_m(unit_m) + above_m_, scheme(), columns_.where);
    file.curve = said_.offsets ? table(turns_of(*tide), 0) : tide;
}

TideFile Reader::read() {
    TideFile file;
    file.name = columns_.remark("name");
    file.source = columns_.remark("source");
    file.datum = columns_.remark("datum");
    file.place = place();
    const auto columns = form();
    if (columns.levels()) {
        read_levels(file, *columns.time, *columns.height);
    } else {
        read_constituents(file, *columns.name, *columns.amplitude, *columns.phase);
    }
    if (zones_.size() == 1) file.zone = zones_.front();
    return file;
}

} // namespace

std::optional<double> metres_per_height_unit(std::string_view name) {
    constexpr std::array<std::pair<std::string_view, double>, 3> units = {
        {{"m", 1}, {"ft", 0.3048}, {"cm", 0.01}}};
    for (const auto& [known, metres] : units) {
        if (name == known) return metres;
    }
    return std::nullopt;
}

TideFile read_tide_file(std::string_view text, std::string_view where, const TideStatements& statements) {
    return Reader(text, where, statements).read();
}

TideUnsaid unsaid_of_tide_file(std::string_view text, std::string_view where,
                               const TideStatements& statements) {
    return Reader(text, where, statements).unsaid();
}

} // namespace swingroom
