#include "swingroom/report/spot_report.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position_words.hpp"

#include "base/json.hpp"
#include "base/terminal_text.hpp"
#include "report/stay_water.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

std::string three_digits(double bearing_deg) {
    std::string text = fixed(std::fmod(std::round(bearing_deg), 360), 0);
    return text.insert(0, 3 - std::min<std::size_t>(3, text.size()), '0');
}

/// Room less need, as both are printed: a lack is that of the printed figures.
struct Spare {
    double value = 0; ///< in the unit of the measures
    bool ground = false;
};

Spare spare_of(const WayAtPosition& at, const CellFacts& facts, const Measures& measures) {
    const WayNeeds& needs = at.detail.needs;
    const double hull_m = static_cast<double>(facts.hull_room_m) - static_cast<double>(needs.radius_m),
                 ground_m = static_cast<double>(facts.ground_room_m) - static_cast<double>(needs.ground_m);
    const bool ground = ground_m < hull_m;
    if (at.spare_m >= 0) {
        return {length_value(static_cast<double>(at.spare_m), Rounded::down, measures), ground};
    }
    const float room_m = ground ? facts.ground_room_m : facts.hull_room_m;
    const float need_m = ground ? needs.ground_m : needs.radius_m;
    return {length_value(static_cast<double>(room_m), Rounded::down, measures) -
                length_value(static_cast<double>(need_m), Rounded::up, measures),
            ground};
}

bool forbidden_for_all(const PositionReport& cell) {
    return (cell.answer.reasons & ((1u << reason::first_way_bit) - 1)) != 0;
}

/// Not in an area of a chart, whose depth is the same throughout, nor beside a deep edge that is not charted:
/// no seabed of any size is as steep as this.
bool slope_known(const PositionReport& cell) {
    constexpr float steepest = 20;
    return !cell.facts.stepped && cell.facts.slope <= steepest;
}

/// Whether a reason says why the answer is no better: not so those of ways that demand less than the best
/// one.
bool bears_on(std::uint32_t bit, Verdict verdict) {
    if (!is_yes(verdict)) return true;
    const int more_demanding = static_cast<int>(way_of(verdict));
    return bit < 1u << (reason::first_way_bit + 4 * more_demanding);
}

/// The report in words, line by line.
class Words {
public:
    Words(const SpotReport& report, const Measures& measures)
        : report_(report), cell_(report.cell), measures_(measures) {}

    std::string text() {
        line(position_text(report_.asked.lon, report_.asked.lat, measures_) + ": " +
             verdict_words(cell_.answer.verdict, cell_.answer.advice));
        fact("cell", "column " + std::to_string(cell_.col) + ", row " + std::to_string(cell_.row) +
                         ", centre " + position_text(cell_.centre.lon, cell_.centre.lat, measures_));
        if (report_.tide != nullptr) fact("stay", stay_text(*report_.tide, measures_));
        if (cell_.answer.verdict != Verdict::unsurveyed) add_water_and_ground();
        for (const std::string& what : cell_.here) {
            fact("here", what);
        }
        for (const WayAtPosition& way : cell_.ways) {
            add_way(way);
        }
        add_banks();
        add_reasons();
        if (report_.alternatives) {
            for (const std::string& words : alternatives_lines(*report_.alternatives, measures_)) {
                line(words);
            }
        }
        add_advice();
        add_arrival();
        add_nearby();
        add_notes();
        line(std::string(caution));
        return std::move(text_);
    }

private:
    void line(const std::string& words) { text_ += on_one_line(words) + "\n"; }
    void fact(std::string name, const std::string& value) {
        constexpr std::size_t width = 16;
        name.resize(std::max(width, name.size()), ' ');
        line("  " + name + " " + value);
    }
    template <class T>
    std::string up(T metres) const {
        return length_text(static_cast<double>(metres), Rounded::up, measures_);
    }
    template <class T>
    std::string down(T metres) const {
        return length_text(static_cast<double>(metres), Rounded::down, measures_);
    }

    void add_water_and_ground() {
        fact("depth", down(cell_.depth_low_m) + " at low water, " +
                          (cell_.deep_charted ? up(cell_.depth_high_m) + " at high water"
                                              : std::string("deep edge not charted")) +
                          "; the hull needs " + up(cell_.required_depth_m));
        if (!cell_.source.empty()) fact("depth from", cell_.source);
        if (report_.arrival) {
            fact("on arrival",
                 "the sounder should read " + reading_text(report_.arrival->reading, measures_));
        }
        if (report_.expected) {
            fact("charted",
                 charted_text(*report_.expected, measures_) + ": " + areas_text(*report_.expected));
            fact("soundings",
                 soundings_text(*report_.expected, measures_) + "; below chart datum, as charted");
        }
        add_room("hull room", cell_.hull_danger, cell_.facts.hull_room_m);
        add_room("ground room", cell_.ground_danger, cell_.facts.ground_room_m);
        fact("seabed",
             std::string(name(cell_.facts.seabed)) + ", slope " +
                 (slope_known(cell_)    ? fixed_up(static_cast<double>(cell_.facts.slope), 2)
                  : cell_.facts.stepped ? std::string("not known: the depth is that of an area of the chart")
                                        : std::string("not known")));
        // Nobody hauls up an anchor where the hull does not float.
        if (cell_.ways.empty()) return;
        if (std::isnan(cell_.deepest_m)) {
            fact("hanging load", "not known: deep edge not charted");
            return fact("trip line", "not known: deep edge not charted");
        }
        fact("hanging load", fixed_up(cell_.hanging_load_n, 0) + " N when the anchor breaks out");
        fact("trip line", up(cell_.trip_line_m));
    }

    void add_room(const char* of, const std::optional<NearestDanger>& danger, float room_m) {
        if (!danger) {
            fact(of, "at least " + down(cell_.reach_m) + ": nothing within reach");
        } else if (room_m <= 0) {
            fact(of, "none: " + what_is(*danger, measures_));
        } else {
            // Once, so that nobody measures from the middle.
            const char* const from = edge_said_ ? "" : " from the edge of the cell";
            edge_said_ = true;
            fact(of, down(room_m) + from + ", to " + what_is(*danger, measures_) + ", bearing " +
                         three_digits(danger->bearing_deg) + "\u00b0");
        }
    }

    void add_way(const WayAtPosition& at) {
        const std::string title(phrase(at.way));
        const WayDetail& detail = at.detail;
        const double rode_m = exact_rode_m(detail.needs.rode_m, report_.marks);
        if (detail.needs.out == WayNeeds::Out::unavailable) return line(title + ": no sinker aboard");
        if (detail.needs.out == WayNeeds::Out::rode && std::isnan(cell_.deepest_m)) {
            return line(title + ": no, deep edge not charted: no rode is known to do");
        }
        if (detail.needs.out == WayNeeds::Out::rode) {
            return line(title + ": no, needs " + rode_text(rode_m, report_.marks, measures_) + " of rode");
        }
        line(title + ": " +
             (at.fits                                       ? "yes"
              : forbidden_for_all(cell_) && at.spare_m >= 0 ? "room enough, but forbidden here"
                                                            : "no"));
        if (detail.needs.by_sounder()) {
            fact("sounder",
                 sounder_condition(double{detail.needs.sounder_limit_m},
                                   report_.low_water_m - report_.transducer_m,
                                   is_yes(cell_.answer.verdict) && at.way == way_of(cell_.answer.verdict)
                                       ? plain_way_words(cell_, report_.marks, measures_)
                                       : "",
                                   measures_));
            if (report_.arrival) {
                fact("on arrival", sounder_limit_text(*report_.arrival, at.way, measures_));
            }
        }
        fact("rode", rode_text(rode_m, report_.marks, measures_));
        if (detail.sinker_from_bow_m > 0) {
            fact("sinker",
                 length_text(detail.sinker_from_bow_m, Rounded::nearest, measures_) + " down the rode");
        }
        const Spare spare = spare_of(at, cell_.facts, measures_);
        // Rooms are looked at as far as any way reaches, and no further.
        const bool more = spare.value >= 0 && !(spare.ground ? cell_.ground_danger : cell_.hull_danger);
        fact("swinging radius", up(detail.needs.radius_m) + ", spare " + (more ? "at least " : "") +
                                    fixed(spare.value, 1) + " " + std::string(unit_name(measures_)) +
                                    (spare.ground ? " (ground)" : ""));
        fact("ground sweep", up(detail.needs.ground_m));
        fact("wind limit", wind_limit_text(static_cast<double>(at.wind_limit_kn), cell_.limit_by));
        fact("at planned wind", "pull " + fixed_up(detail.pull_n, 0) + " N, reach " + up(detail.reach_m) +
                                    ", angle of pull " + fixed_up(detail.angle_deg, 1) +
                                    " deg, tension at the bow " + fixed_up(detail.tension_n, 0) + " N");
        add_water_of(at.way);
    }

    /// What the water does in the swinging circle of a way.
    void add_water_of(Way way) {
        const WaterOfWay& water = cell_.water.at(static_cast<std::size_t>(way));
        if (report_.tide == nullptr || std::isnan(water.level_needed_m)) return;
        if (std::isinf(water.level_needed_m)) {
            return fact("level needed", "none will do: its circle meets what no water clears");
        }
        fact("least water", down(water.least_water_m) + " at low water in its circle");
        fact("level needed",
             level_needed_text(water.level_needed_m, measures_) + " floats her all over its circle");
        fact("afloat", afloat_text(report_.tide->stay, water.level_needed_m, report_.tide->zone));
    }

    /// Where she is aground at low water no way is looked at any closer, but she may be afloat at other
    /// times.
    void add_banks() {
        if (report_.tide == nullptr || !cell_.ways.empty()) return;
        for (const Way way : all_ways) {
            if (std::isnan(cell_.water.at(static_cast<std::size_t>(way)).level_needed_m)) continue;
            line(std::string(phrase(way)) + ": no, aground at low water");
            add_water_of(way);
        }
    }

    /// A place to go to is looked at before the anchor is let go.
    void add_arrival() {
        if (!report_.arrival || !is_yes(cell_.answer.verdict)) return;
        line("What to look for on arrival:");
        for (const std::string& sentence : arrival_sentences(*report_.arrival, cell_, measures_)) {
            line("  " + sentence);
        }
    }

    void add_reasons() {
        bool first = true;
        for (const Shortfall& shortfall : cell_.shortfalls) {
            if (!bears_on(shortfall.bit, cell_.answer.verdict)) continue;
            if (first) line(is_yes(cell_.answer.verdict) ? "Why not more:" : "Why not:");
            first = false;
            line("  " + sentence_of(shortfall, measures_));
        }
    }

    void add_advice() {
        if (cell_.answer.advice != 0) line("Mind:");
        for (const BitName& name : advice_names) {
            if (cell_.answer.advice & name.bit) line("  " + std::string(name.sentence));
        }
    }

    /// "  123 m  045  cables #3: cable, margin 463.0 m": to the thing itself, never more than it is. What the
    /// position lies in stands beside "here" already.
    void add_nearby() {
        const std::string within = within_words();
        const auto first_beside =
            std::find_if(report_.nearby.begin(), report_.nearby.end(),
                         [](const NearbyHazard& hazard) { return hazard.distance_m > 0; });
        if (first_beside == report_.nearby.end()) {
            return line("Nearest hazards: none within " + within + " of those that reach the raster");
        }
        line("Nearest hazards within " + within + ", of those that reach the raster: distance, bearing");
        for (auto hazard = first_beside; hazard != report_.nearby.end(); ++hazard) {
            line(place(hazard->distance_m, hazard->bearing_deg) + rules_of(*hazard) +
                 (hazard->information.empty() ? "" : ": " + hazard->information));
        }
    }

    /// "cables #3: cable, margin 463.0 m", "fairways #0: fairway"
    [[nodiscard]] std::string rules_of(const NearbyHazard& hazard) const {
        std::string kinds;
        for (const NearbyHazard::Kind& kind : hazard.kinds) {
            kinds += (kinds.empty() ? "" : "; ") + kind.name +
                     (kind.margin_m > 0 ? ", margin " + up(kind.margin_m) : "");
        }
        return hazard.label + (hazard.label.empty() ? "" : ": ") + kinds;
    }

    /// "  123 m  045  SBDARE #3: soft mud"
    void add_notes() {
        if (report_.notes.empty()) return;
        line("Nearest notes of the seabed within " + within_words() +
             ", of those on the raster: distance, bearing");
        for (const SeabedNote& note : report_.notes) {
            line(place(note.distance_m, note.bearing_deg) + note.label + (note.label.empty() ? "" : ": ") +
                 note.nature);
        }
    }

    [[nodiscard]] std::string within_words() const {
        return measures_.length == LengthUnit::metre ? fixed(nearby_m, 0) + " m" : "1 nm";
    }
    [[nodiscard]] std::string place(double distance_m, double bearing_deg) const {
        std::string distance = measures_.length == LengthUnit::metre
                                   ? length_text(distance_m, Rounded::down, measures_, 0)
                                   : distance_text(distance_m, measures_);
        distance.insert(0, 8 - std::min<std::size_t>(8, distance.size()), ' ');
        std::string bearing = distance_m > 0 ? three_digits(bearing_deg) : "inside";
        bearing.resize(6, ' ');
        return "  " + distance + "  " + bearing + "  ";
    }

    const SpotReport& report_;
    const PositionReport& cell_;
    Measures measures_;
    bool edge_said_ = false; ///< whether it is told what rooms are measured from
    std::string text_;
};

constexpr Measures metric{};

void add_room(JsonObject& json, const std::string& of, const std::optional<NearestDanger>& danger,
              double room_m, bool surveyed) {
    if (!surveyed) {
        json.null(of + "_room_m").null(of + "_danger").null(of + "_danger_bearing_deg");
        return;
    }
    json.number(of + "_room_m", room_m, 1, Rounded::down);
    if (!danger) {
        json.null(of + "_danger").null(of + "_danger_bearing_deg");
        return;
    }
    json.text(of + "_danger", what_is(*danger));
    if (room_m > 0) {
        json.whole(of + "_danger_bearing_deg", std::lround(danger->bearing_deg) % 360);
    } else {
        json.null(of + "_danger_bearing_deg");
    }
}

/// What the water does in the swinging circle of a way; null where that is not known, or no level will do.
std::string afloat_json(const WaterOfWay& water, const Stay& stay) {
    JsonObject json;
    json.number("least_water_m", water.least_water_m, 1, Rounded::down)
        .number("level_needed_m", water.level_needed_m, 1, Rounded::up);
    if (std::isnan(water.level_needed_m)) return json.null("hours_afloat").null("windows").line();
    std::vector<std::string> windows;
    for (const TimeWindow& window : stay.windows(water.level_needed_m)) {
        windows.push_back(
            JsonObject().text("from", utc_text(window.from)).text("to", utc_text(window.to)).line());
    }
    return json.number("hours_afloat", stay.hours_afloat(water.level_needed_m), 1, Rounded::down)
        .raw("windows", json_list(windows))
        .line();
}

/// What is told with a tide alone.
void add_water(JsonObject& json, const SpotReport& report) {
    if (report.tide == nullptr) return;
    json.raw("water", water_json(*report.tide));
    if (report.arrival) json.raw("arrival", arrival_json(*report.arrival, report.cell));
    JsonObject afloat;
    for (const Way way : all_ways) {
        afloat.raw(name(way),
                   afloat_json(report.cell.water.at(static_cast<std::size_t>(way)), report.tide->stay));
    }
    json.raw("afloat", afloat.lines());
}

std::string way_json(const WayAtPosition& at, const SpotReport& report) {
    const WayDetail& detail = at.detail;
    const WayNeeds& needs = detail.needs;
    JsonObject json;
    json.truth("fits", at.fits).truth("possible", needs.out == WayNeeds::Out::none);
    if (needs.out == WayNeeds::Out::unavailable) return json.line();
    if (needs.out == WayNeeds::Out::rode && std::isnan(report.cell.deepest_m)) {
        return json.null("rode_m").line(); // none is known to do
    }
    json.number("rode_m", rode_value(exact_rode_m(needs.rode_m, report.marks), report.marks, metric), 1);
    if (needs.out == WayNeeds::Out::rode) return json.line();
    if (at.way == Way::sinker) json.number("sinker_from_bow_m", detail.sinker_from_bow_m, 1);
    const Spare spare = spare_of(at, report.cell.facts, metric);
    json.number("sounder_limit_m", static_cast<double>(needs.sounder_limit_m), 1, Rounded::down)
        .number("radius_m", static_cast<double>(needs.radius_m), 1, Rounded::up)
        .number("spare_m", spare.value, 1)
        .text("spare_of", spare.ground ? "ground" : "hull")
        .number("ground_sweep_m", static_cast<double>(needs.ground_m), 1, Rounded::up)
        .number("wind_limit_kn", static_cast<double>(at.wind_limit_kn), 0, Rounded::down)
        .text("wind_limit_by", name(report.cell.limit_by))
        .number("pull_n", detail.pull_n, 0, Rounded::up)
        .number("reach_m", detail.reach_m, 1, Rounded::up)
        .number("pull_angle_deg", detail.angle_deg, 1, Rounded::up)
        .number("tension_n", detail.tension_n, 0, Rounded::up);
    if (report.arrival) {
        json.number("sounder_on_arrival_m",
                    report.arrival->sounder_most_m.at(static_cast<std::size_t>(at.way)), 1, Rounded::down);
    }
    return json.line();
}

void add_place(JsonObject& json, double distance_m, double bearing_deg) {
    json.number("distance_m", distance_m, 0, Rounded::down);
    if (distance_m > 0) {
        json.whole("bearing_deg", std::lround(bearing_deg) % 360);
    } else {
        json.null("bearing_deg");
    }
}

std::string nearby_json(const NearbyHazard& hazard) {
    std::vector<std::string> kinds;
    for (const NearbyHazard::Kind& kind : hazard.kinds) {
        kinds.push_back(
            JsonObject().text("rule", kind.name).number("margin_m", kind.margin_m, 1, Rounded::up).line());
    }
    JsonObject json;
    json.text("label", hazard.label);
    add_place(json, hazard.distance_m, hazard.bearing_deg);
    return json.raw("rules", json_list(kinds)).text("information", hazard.information).line();
}

std::string note_json(const SeabedNote& note) {
    JsonObject json;
    json.text("label", note.label).text("nature", note.nature);
    add_place(json, note.distance_m, note.bearing_deg);
    return json.line();
}

/// What the chart lets expect; null where the depth is no band of a chart.
void add_expected(JsonObject& json, const std::optional<ExpectedDepth>& expected) {
    if (!expected) {
        json.null("charted");
        return;
    }
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    std::vector<std::string> areas;
    for (const ChartedArea& area : expected->areas) {
        areas.push_back(JsonObject()
                            .text("label", area.label)
                            .number("from_m", area.from_m, 1, Rounded::down)
                            .number("to_m", area.to_m.value_or(none), 1, Rounded::up)
                            .line());
    }
    const bool sounded = expected->soundings > 0;
    JsonObject charted;
    charted.number("from_m", expected->from_m(), 1, Rounded::down)
        .number("to_m", expected->to_m().value_or(none), 1, Rounded::up)
        .raw("areas", json_list(areas))
        .number("soundings_within_m", soundings_within_m, 0)
        .whole("soundings", static_cast<std::int64_t>(expected->soundings))
        .number("soundings_least_m", sounded ? expected->least_m : none, 1, Rounded::down)
        .number("soundings_greatest_m", sounded ? expected->greatest_m : none, 1, Rounded::up);
    if (sounded) {
        JsonObject nearest;
        nearest.number("depth_m", expected->nearest.depth_m, 1, Rounded::down);
        add_place(nearest, expected->nearest.distance_m, expected->nearest.bearing_deg);
        charted.raw("sounding_nearest", nearest.line());
    } else {
        charted.null("sounding_nearest");
    }
    charted.whole("doubtful", static_cast<std::int64_t>(expected->doubtful))
        .number("doubtful_least_m", expected->doubtful > 0 ? expected->doubtful_least_m : none, 1,
                Rounded::down);
    json.raw("charted", charted.line());
}

} // namespace

SpotReport spot_report(const OverlayJob& job, const Georeference& georeference, LonLat position) {
    const GridPoint at = georeference.grid_point(position);
    PositionReport cell = examine(job, georeference, static_cast<int>(at.x), static_cast<int>(at.y));
    std::optional<ExpectedDepth> expected = expected_depth(job, georeference, cell, position);
    const Boat& boat = job.tables->boat();
    const double low_water_m = cell.levels.low_m;
    std::optional<Arrival> arrival;
    if (job.tide != nullptr) arrival = arrival_of(arrival_water(*job.tide), cell, boat);
    return {position,
            std::move(cell),
            nearby_hazards(job.hazards->hazards(), hull_needs(job), georeference, position, nearby_m,
                           most_nearby),
            nearest_notes(job.hazards->hazards(), georeference, position, notes_within_m, most_notes),
            std::move(expected),
            rode_marks(boat),
            low_water_m,
            std::nullopt,
            boat.sounder.transducer_m.value_or(0),
            job.tide,
            arrival};
}

std::string spot_text(const SpotReport& report, const Measures& measures) {
    return Words(report, measures).text();
}

std::string spot_json(const SpotReport& report) {
    const PositionReport& cell = report.cell;
    const bool surveyed = cell.answer.verdict != Verdict::unsurveyed;
    const auto room_m = [&](const std::optional<NearestDanger>& danger, float known_m) {
        return danger ? static_cast<double>(known_m) : cell.reach_m;
    };
    JsonObject json = json_head("spot");
    json.number("longitude", report.asked.lon, 6)
        .number("latitude", report.asked.lat, 6)
        .whole("verdict", static_cast<int>(cell.answer.verdict))
        .text("meaning", verdict_words(cell.answer.verdict, cell.answer.advice))
        .raw("cell", JsonObject()
                         .whole("column", cell.col)
                         .whole("row", cell.row)
                         .number("longitude", cell.centre.lon, 6)
                         .number("latitude", cell.centre.lat, 6)
                         .line())
        .number("depth_low_m", static_cast<double>(cell.depth_low_m), 1, Rounded::down)
        .number("depth_high_m", cell.depth_high_m, 1, Rounded::up)
        .number("required_depth_m", cell.required_depth_m, 1, Rounded::up);
    if (cell.source.empty()) {
        json.null("depth_from");
    } else {
        json.text("depth_from", cell.source);
    }
    add_expected(json, report.expected);
    add_room(json, "hull", cell.hull_danger, room_m(cell.hull_danger, cell.facts.hull_room_m), surveyed);
    add_room(json, "ground", cell.ground_danger, room_m(cell.ground_danger, cell.facts.ground_room_m),
             surveyed);
    json.text("seabed", name(cell.facts.seabed))
        .number("slope",
                slope_known(cell) ? static_cast<double>(cell.facts.slope)
                                  : std::numeric_limits<double>::quiet_NaN(),
                2, Rounded::up);
    if (cell.ways.empty()) {
        json.null("hanging_load_n").null("trip_line_m");
    } else {
        json.number("hanging_load_n", cell.hanging_load_n, 0, Rounded::up)
            .number("trip_line_m", cell.trip_line_m, 1, Rounded::up);
    }
    json.raw("here", json_texts(cell.here));
    add_water(json, report);
    JsonObject ways;
    for (const WayAtPosition& way : cell.ways) {
        ways.raw(name(way.way), way_json(way, report));
    }
    json.raw("ways", ways.lines());
    std::vector<std::string> reasons, advice, nearby, notes;
    for (const Shortfall& shortfall : cell.shortfalls) {
        reasons.push_back(JsonObject()
                              .whole("value", shortfall.bit)
                              .truth("decides", bears_on(shortfall.bit, cell.answer.verdict))
                              .text("sentence", sentence_of(shortfall))
                              .line());
    }
    for (const BitName& name : advice_names) {
        if (cell.answer.advice & name.bit) {
            advice.push_back(JsonObject().whole("value", name.bit).text("sentence", name.sentence).line());
        }
    }
    for (const NearbyHazard& hazard : report.nearby) {
        nearby.push_back(nearby_json(hazard));
    }
    for (const SeabedNote& note : report.notes) {
        notes.push_back(note_json(note));
    }
    json.raw("reasons", json_lines(reasons));
    if (report.alternatives) {
        json.raw("would_do", proposals_json(report.alternatives->proposals))
            .raw("nearest_yes", nearest_yes_json(report.alternatives->nearest))
            .number("nearest_yes_within_m", report.alternatives->nearest.looked_m, 0, Rounded::down);
    } else {
        json.null("would_do").null("nearest_yes").null("nearest_yes_within_m");
    }
    return json.raw("advice", json_lines(advice))
        .number("nearby_within_m", nearby_m, 0)
        .raw("nearby", json_lines(nearby))
        .raw("seabed_notes", json_lines(notes))
        .text("caution", caution)
        .document();
}

} // namespace swingroom
