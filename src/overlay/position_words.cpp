#include "swingroom/overlay/position_words.hpp"

#include "swingroom/boat/seabed.hpp"
#include "swingroom/room/verdict.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace swingroom {
namespace {

std::string needed(double metres, const Measures& measures) {
    return length_text(metres, Rounded::up, measures);
}
std::string there(double metres, const Measures& measures) {
    return length_text(metres, Rounded::down, measures);
}

std::string lack(const Shortfall& of, const Measures& measures) {
    const double short_by =
        length_value(of.needed, Rounded::up, measures) - length_value(of.there, Rounded::down, measures);
    return ": " + needed(of.needed, measures) + " needed, " + there(of.there, measures) + " there, " +
           fixed(short_by, 1) + " " + std::string(unit_name(measures)) + " short";
}

/// What is lacking of the water that the hull requires: of a bare seabed there is no figure to subtract.
std::string lack_of_water(const Shortfall& of, const Measures& measures) {
    if (of.shore == Shore::land) return ": this is land";
    if (of.there >= 0) return lack(of, measures);
    return ": " + needed(of.needed, measures) + " needed, and " +
           (of.shore == Shore::dries ? "it dries by up to " : "it may dry by up to ") +
           needed(-of.there, measures);
}

/// Whether a reason of a way tells of two lengths.
bool compares_lengths(std::uint32_t bit) {
    return std::any_of(all_ways.begin(), all_ways.end(), [bit](Way way) {
        using reason::OfWay;
        return bit == reason::of_way(way, OfWay::hull_room) ||
               bit == reason::of_way(way, OfWay::ground_room) || bit == reason::of_way(way, OfWay::rode);
    });
}

/// "120 m off, bearing 045°".
std::string off(double distance_m, double bearing_deg, const Measures& measures) {
    const std::string distance = measures.length == LengthUnit::metre
                                     ? length_text(distance_m, Rounded::down, measures, 0)
                                     : distance_text(distance_m, measures);
    return distance + " off, bearing " + bearing_text(bearing_deg);
}

std::string figures_of(const Shortfall& of, const Measures& measures) {
    if (std::isnan(of.needed)) return ": the deep edge of the area is not charted";
    switch (of.bit) {
    case reason::too_shallow:
        return lack_of_water(of, measures);
    case reason::hull_danger:
    case reason::ground_danger:
    case reason::drop_forbidden:
        return of.hazards.empty() ? "" : ": " + joined(of.hazards, ", ");
    case reason::windlass:
        return ": " + fixed_up(of.needed, 0) + " N hang, " + fixed_down(of.there, 0) + " N rated";
    case reason::recovery:
        return ": " + needed(of.needed, measures) + " deep, " + there(of.there, measures) + " can be managed";
    case reason::steep:
        return ": " + fixed_up(of.needed, 3) + " here, " + fixed(of.there, 3) + " allowed";
    case reason::holding:
        return ": " + std::string(name(of.seabed)) + " holds up to " + fixed_down(of.holding_kn, 0) + " kn";
    case reason::seabed:
        return ": " + std::string(name(of.seabed));
    default:
        return compares_lengths(of.bit) ? lack(of, measures) : "";
    }
}

} // namespace

std::string bearing_text(double bearing_deg) {
    std::string text = fixed(std::fmod(std::round(bearing_deg), 360), 0);
    text.insert(0, 3 - std::min<std::size_t>(3, text.size()), '0');
    return text + "\u00b0";
}

std::string what_is(const NearestDanger& danger, const Measures& measures) {
    const std::string dry_by = needed(-danger.depth_low_m, measures) + " at low water";
    switch (danger.kind) {
    case NearestDanger::Kind::edge_of_data:
        return "the edge of the data";
    case NearestDanger::Kind::unsurveyed:
        return "unsurveyed water";
    case NearestDanger::Kind::shoal:
        if (danger.shore == Shore::land) return "land";
        if (danger.shore == Shore::dries) return "a bank that dries by up to " + dry_by;
        if (danger.depth_low_m < 0) return "shoal water that may dry by up to " + dry_by;
        return "shoal water, " + there(danger.depth_low_m, measures) + " at low water";
    case NearestDanger::Kind::hazard:
        break;
    }
    return danger.hazard;
}

std::string sentence_of(const Shortfall& shortfall, const Measures& measures) {
    const auto* const known = std::find_if(reason_names.begin(), reason_names.end(),
                                           [&](const BitName& name) { return name.bit == shortfall.bit; });
    return std::string(known == reason_names.end() ? "" : known->sentence) + figures_of(shortfall, measures);
}

std::string plain_way_words(const PositionReport& position, const RodeMarks& marks,
                            const Measures& measures) {
    for (const WayAtPosition& at : position.ways) {
        if (!at.fits || at.detail.needs.by_sounder()) continue;
        return "at " + std::string(phrase(at.way)) + " with " +
               rode_text(exact_rode_m(at.detail.needs.rode_m, marks), marks, measures) + " of rode";
    }
    return {};
}

std::string sounder_condition(double limit_m, double low_water_m, const std::string& plain,
                              const Measures& measures) {
    if (std::isnan(limit_m)) return {};
    const auto down = [&](double metres) { return length_text(metres, Rounded::down, measures); };
    const std::string from = low_water_m == 0 ? "" : " (" + down(limit_m) + " below chart datum)";
    return "let go only where the sounder shows no more than " + down(limit_m + low_water_m) +
           " at low water" + from +
           " within a boat's length around, and veer for the most that it shows there, at high water, or for "
           "the charted least depth if that is more" +
           (plain.empty() ? "" : "; " + plain + " whatever it shows");
}

std::string notes_text(std::span<const SeabedNote> notes, const Measures& measures) {
    std::vector<std::string> words;
    for (const SeabedNote& note : notes) {
        if (note.distance_m <= 0) {
            words.push_back(note.nature + " here");
            continue;
        }
        words.push_back(note.nature + ", " + off(note.distance_m, note.bearing_deg, measures));
    }
    return joined(words, "; ");
}

std::string charted_text(const ExpectedDepth& expected, const Measures& measures) {
    const std::optional<double> to_m = expected.to_m();
    if (!to_m) return there(expected.from_m(), measures) + " or more, deep edge not charted";
    return length_number(expected.from_m(), Rounded::down, measures) + " to " + needed(*to_m, measures);
}

std::string soundings_text(const ExpectedDepth& expected, const Measures& measures) {
    const std::string within =
        " within " + (measures.length == LengthUnit::metre ? fixed(soundings_within_m, 0) + " m"
                                                           : distance_text(soundings_within_m, measures));
    std::string text = "none" + within;
    if (expected.soundings > 0) {
        const std::string least = there(expected.least_m, measures),
                          greatest = needed(expected.greatest_m, measures);
        const std::string range =
            least == greatest ? least
                              : length_number(expected.least_m, Rounded::down, measures) + " to " + greatest;
        text = range + within + ", nearest " + there(expected.nearest.depth_m, measures) +
               (expected.nearest.distance_m > 0
                    ? ", " + off(expected.nearest.distance_m, expected.nearest.bearing_deg, measures)
                    : " here");
    }
    if (expected.doubtful > 0) {
        text += "; of " + std::to_string(expected.doubtful) +
                (expected.doubtful == 1 ? " doubtful one, left out, the depth is "
                                        : " doubtful ones, left out, the least is ") +
                there(expected.doubtful_least_m, measures);
    }
    return text;
}

std::string expected_text(const ExpectedDepth& expected, const Measures& measures) {
    std::string soundings = soundings_text(expected, measures);
    soundings = expected.soundings > 0 ? "soundings " + soundings : "no soundings" + soundings.substr(4);
    return "charted " + charted_text(expected, measures) + "; " + soundings;
}

std::string areas_text(const ExpectedDepth& expected) {
    std::vector<std::string> labels;
    for (const ChartedArea& area : expected.areas) {
        labels.push_back(area.label);
    }
    return joined(labels, "; ");
}

} // namespace swingroom
