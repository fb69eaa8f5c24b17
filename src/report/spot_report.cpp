#include "swingroom/report/spot_report.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position_words.hpp"

#include "base/terminal_text.hpp"
#include "report/spot_figures.hpp"
#include "report/stay_water.hpp"
#include "report/way_in_words.hpp"

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

bool forbidden_for_all(const PositionReport& cell) {
    return (cell.answer.reasons & ((1u << reason::first_way_bit) - 1)) != 0;
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
        add_way_in();
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
        add_approach();
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

    /// Whether she gets there at all comes before how she would lie.
    void add_way_in() {
        if (report_.way_in == nullptr || cell_.answer.verdict == Verdict::unsurveyed) return;
        for (const Fact& told : way_in_facts(cell_, {report_.way_in, report_.tide, measures_})) {
            fact(told.name, told.value);
        }
    }

    /// To a place where nobody would lie whether there is a way is enough.
    void add_approach() {
        if (!is_yes(cell_.answer.verdict)) return;
        for (const std::string& words : approach_lines(cell_, measures_)) {
            line(words);
        }
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
        if (report_.tide == nullptr) return;
        const WaterOfWay& water = cell_.water.at(static_cast<std::size_t>(way));
        for (const Fact& told : water_facts(water, *report_.tide, measures_)) {
            fact(told.name, told.value);
        }
    }

    /// Where she is aground at low water no way is looked at any closer, but she may be afloat at other
    /// times.
    void add_banks() {
        if (report_.tide == nullptr || !cell_.ways.empty()) return;
        for (const Way way : all_ways) {
            const WaterOfWay& water = cell_.water.at(static_cast<std::size_t>(way));
            if (std::isnan(water.hours_afloat)) continue;
            line(std::string(phrase(way)) + ": no, aground at " +
                 (std::isnan(water.level_needed_m) ? "high water too" : "low water"));
            add_water_of(way);
        }
    }

    /// A place to go to is looked at before the anchor is let go.
    void add_arrival() {
        if (!report_.arrival || !is_yes(told(cell_.answer.verdict, cell_.answer.advice))) return;
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
            arrival,
            job.way_in};
}

std::string spot_text(const SpotReport& report, const Measures& measures) {
    return Words(report, measures).text();
}

} // namespace swingroom
