#include "publish/vector/feature_words.hpp"

#include "swingroom/boat/wind_figures.hpp"

#include "base/text.hpp"
#include "publish/styles/answer_words.hpp"

#include <cmath>
#include <cstdlib>
#include <string>
#include <utility>

namespace swingroom {
namespace {

/// The values of one feature as texts, empty where there is none.
class Values {
public:
    Values(const OGRFeature& feature, const ColumnReader& reader) : feature_(feature), reader_(reader) {}
    std::string operator()(const std::string& column) const { return reader_.text(feature_, column); }
    /// The same of a length that is not needed where it is 0.
    [[nodiscard]] std::string needed(const std::string& column) const {
        const std::string value = (*this)(column);
        return value == "0" ? "" : value;
    }
    /// "5.4 to 9.9"; the one that there is; empty.
    [[nodiscard]] std::string range(const std::string& from, const std::string& to,
                                    const char* between) const {
        std::string least = (*this)(from), most = (*this)(to);
        if (least.empty() || least == most) return most;
        return most.empty() ? least : least + between + most;
    }
    /// Whether a yes holds only where the sounder shows no more than a limit.
    [[nodiscard]] bool by_sounder() const { return !(*this)("sounder_limit_m").empty(); }
    /// Whether what the sounder reads is told as the depth of the water: see SounderReading::of_water.
    [[nodiscard]] bool of_water() const {
        return !(*this)("sounder_on_arrival").empty() && (*this)("transducer_m").empty();
    }
    [[nodiscard]] LimitBy limit_by() const { return limit_by_of((*this)("wind_limit_by")); }

private:
    const OGRFeature& feature_;
    const ColumnReader& reader_;
};

/// Sentences among facts, which have separators of their own.
std::string without_full_stop(std::string sentences) {
    if (sentences.ends_with('.')) sentences.pop_back();
    return sentences;
}

double number_of(const std::string& text) { return std::strtod(text.c_str(), nullptr); }

/// By the sounder she veers for what it shows; what the layer has is for the limit.
std::string at_most(const Values& values, const std::string& text) {
    return values.by_sounder() && !text.empty() ? "at most " + text : text;
}

std::string danger_words(const NearerDanger& danger) {
    const std::string distance = danger.distance_m + " m";
    if (danger.what.empty()) return "none within " + distance;
    return danger.what + ", " + distance + " off" +
           (danger.bearing.empty() ? "" : ", bearing " + danger.bearing + "\u00b0");
}

/// Facts that have a value.
class Facts {
public:
    void add(std::string name, std::string value, const char* unit = "") {
        if (!value.empty()) facts_.push_back({std::move(name), std::move(value) + unit});
    }
    std::vector<FeatureFact> take() { return std::move(facts_); }

private:
    std::vector<FeatureFact> facts_;
};

void add_wind_limits(Facts& facts, const Values& values) {
    const auto add = [&](const std::string& name, const std::string& column) {
        const std::string limit_kn = values(column);
        if (!limit_kn.empty()) {
            facts.add(name, wind_limit_text(number_of(limit_kn), values.limit_by()));
        }
    };
    add("wind limit", "wind_limit_kn");
    for (const Way way : all_ways) {
        add("wind limit at " + std::string(phrase(way)), "wind_limit_" + std::string(name(way)) + "_min_kn");
    }
}

/// What layers say of a stay with a tide; without one they have none of these columns. What is in these
/// layers is a yes and so afloat the whole stay: its columns of that are for programs.
void add_water(Facts& facts, const Values& values) {
    facts.add("sounder on arrival, at most", values("sounder_on_arrival_limit_m"),
              values.of_water() ? " m of water" : " m");
    facts.add("sounder on arrival", values("sounder_on_arrival"));
}

/// From a time in which she gets there to its end: "2026-12-24 06:30 to 11:12", the second date only where it
/// is another; empty where there is none.
std::string coming_times(const Values& values) {
    constexpr std::size_t date = 10, minute = 16; // of "2026-12-24 06:30 UTC+01:00"
    const std::string from = values("come_from"), until = values("come_until");
    if (from.size() < minute || until.size() < minute) return {};
    const bool same_day = from.compare(0, date, until, 0, date) == 0;
    return from.substr(0, minute) + " to " +
           (same_day ? until.substr(date + 1, minute - date - 1) : until.substr(0, minute));
}

/// Of water that is there; none where it is dry.
std::string water_words(const std::string& water_m) {
    if (water_m.empty()) return {};
    return number_of(water_m) > 0 ? water_m + " m" : "none";
}

/// What layers say of the way in, where somebody has looked for one.
void add_way_in(Facts& facts, const Values& values) {
    const std::string way = values("way_in"), level_m = values("access_level_m");
    if (way.empty()) return;
    const std::string from_level = level_m.empty() ? "" : "from " + level_words(level_m) + " on";
    if (way == reach_word(Reach::never)) {
        facts.add("way in",
                  "none at any level that is sure" + (from_level.empty() ? "" : ", only " + from_level));
    } else if (way == reach_word(Reach::at_times)) {
        const std::string windows = values("windows");
        facts.add("way in", from_level + (windows.empty() ? "" : ": " + windows));
        facts.add("leave by", values("leave_by"));
    } else {
        facts.add("way in", way);
    }
    // Of deep water nobody asks which place is the shoalest.
    const std::string depth_m = values("sill_depth_m");
    if (depth_m.empty() || way == reach_word(Reach::always)) return;
    facts.add("sill", sill_words(values("sill"), depth_m));
    facts.add("least water over the sill on arrival", water_words(values("sill_water_at_arrival_m")));
    facts.add("least water over the sill at low water", water_words(values("sill_water_at_low_water_m")));
}

/// What the layer of ways in says; the others have none of these columns.
void add_line(Facts& facts, const Values& values) {
    if (values("legs").empty()) return;
    facts.add("open", values("open_when"));
    facts.add("leads to", values("spot"));
    facts.add("clear to each side", values("clear_m"), " m");
    facts.add("length", values("length_m"), " m");
    if (const std::string depth_m = values("sill_depth_m"); !depth_m.empty()) {
        facts.add("shoalest", sill_words(values("sill_hazard"), depth_m));
    }
    if (const std::string level_m = values("sill_level_m"); !level_m.empty()) {
        facts.add("enough from a level of", level_words(level_m) + " on");
    }
    facts.add("legs", values("legs"));
}

/// "7.1m (6.6-8.7m)", "6.6-8.7m"; empty where nothing is known of it.
std::string short_reading(const Values& values) {
    const std::string predicted_m = values("sounder_on_arrival_predicted_m");
    std::string bounds = values.range("sounder_on_arrival_least_m", "sounder_on_arrival_greatest_m", "-");
    if (bounds.empty()) return bounds;
    bounds += "m";
    return predicted_m.empty() ? bounds : predicted_m + "m (" + bounds + ")";
}

/// One figure in few characters, where there is one.
void add_short(std::string& words, const std::string& before, const std::string& value, const char* unit) {
    if (!value.empty()) add_word(words, "; ", before + value + unit);
}

/// The same of a level, which is below chart datum rather than less than nothing above it.
void add_short_level(std::string& words, const std::string& before, const std::string& level_m,
                     const char* behind) {
    if (level_m.empty()) return;
    const bool below = level_m.starts_with('-');
    add_word(words, "; ",
             before + level_m.substr(below ? 1 : 0) + (below ? "m below datum" : "m above datum") + behind);
}

/// "no way in", "come 2026-12-24 06:30 to 11:12", "come at 1.71m above datum or more; sill 1.2m"; nothing
/// where the way is open at any time.
void add_short_way_in(std::string& words, const Values& values) {
    const std::string way = values("way_in"), times = coming_times(values);
    if (way == reach_word(Reach::never)) {
        add_word(words, "; ", "no way in");
    } else if (way == reach_word(Reach::unknown)) {
        add_word(words, "; ", "way in not known");
    } else if (way == reach_word(Reach::at_times) && !times.empty()) {
        add_word(words, "; ", "come " + times);
    } else if (way == reach_word(Reach::at_times)) {
        add_short_level(words, "come at ", values("access_level_m"), " or more");
    }
    if (!way.empty() && way != reach_word(Reach::always)) {
        add_short(words, "", short_depth("sill", values("sill_depth_m")), "");
    }
}

/// What the layer of ways in says in few characters: a sill is one where she may have to wait for water.
void add_short_line(std::string& words, const Values& values) {
    const std::string open = values("open");
    if (open.empty()) return;
    add_short(words, "to ", values("spot"), "");
    if (open == way_open_always) {
        add_short(words, "", short_depth("least depth", values("sill_depth_m")), "");
    } else {
        add_short(words, "", short_depth("sill", values("sill_depth_m")), "");
        add_short_level(words, "come at ", values("level_m"), " or more");
    }
    add_short(words, "clear ", values("clear_m"), "m each side");
    add_short(words, "length ", values("length_m"), "m");
}

/// Holding that is not known stands before the limit, which else would read as more than it is once cut.
void add_short_wind(std::string& words, const Values& values) {
    std::string limit_kn = values("wind_limit_kn");
    for (const Way way : all_ways) { // of a zone: the most demanding way that it has
        if (limit_kn.empty()) limit_kn = values("wind_limit_" + std::string(name(way)) + "_min_kn");
    }
    if (limit_kn.empty()) return;
    if (values.limit_by() == LimitBy::holding) {
        add_short(words, "wind ", limit_kn, "kn");
    } else {
        const bool least = values.limit_by() == LimitBy::least_holding;
        const bool none = wind_limit_number(number_of(limit_kn), values.limit_by()) == "any*";
        add_word(words, "; ", "holding not known");
        add_short(words, none ? "no wind limit" : "wind ", none ? " by room" : limit_kn,
                  none    ? ""
                  : least ? "kn by the least holding known"
                          : "kn by room");
    }
}

} // namespace

std::string level_words(const std::string& level_m) {
    if (level_m.empty()) return {};
    return level_m.starts_with('-') ? level_m.substr(1) + " m below chart datum"
                                    : level_m + " m above chart datum";
}

std::string sill_words(const std::string& hazard, const std::string& depth_m) {
    return (hazard.empty() ? std::string("the seabed") : hazard) + ", at the least " +
           (depth_m.starts_with('-') ? depth_m.substr(1) + " m above chart datum: it dries"
                                     : depth_m + " m below chart datum");
}

std::string short_depth(const std::string& what, const std::string& depth_m) {
    if (depth_m.empty()) return {};
    return depth_m.starts_with('-') ? what + " dries " + depth_m.substr(1) + "m" : what + " " + depth_m + "m";
}

std::optional<NearerDanger> nearer_danger(const OGRFeature& feature, const ColumnReader& reader) {
    const Values values(feature, reader);
    std::optional<NearerDanger> nearer;
    for (const std::string which : {"hull_danger", "ground_danger"}) {
        const std::string what = values(which), bearing = values(which + "_bearing_deg");
        NearerDanger danger{what == no_danger ? "" : what, values(which + "_m"), ""};
        if (danger.distance_m.empty()) continue;
        if (!bearing.empty()) {
            danger.bearing = std::to_string(1000 + std::lround(number_of(bearing)) % 360).substr(1);
        }
        const auto order = [](const NearerDanger& of) {
            return std::pair(number_of(of.distance_m),
                             of.what.empty()); // of two as far the one that is there
        };
        if (!nearer || order(danger) < order(*nearer)) nearer = std::move(danger);
    }
    return nearer;
}

std::vector<FeatureFact> facts_of(const OGRFeature& feature, const ColumnReader& reader) {
    const Values values(feature, reader);
    Facts facts;
    facts.add("condition", values("condition"));
    add_way_in(facts, values);
    facts.add("stay", values("stay"));
    facts.add("boat", values("boat"));
    facts.add("forbids", values("forbids"));
    facts.add("advises", values("advises"));
    facts.add("kind", values("kind"));
    facts.add("label", values("label"));
    add_line(facts, values);
    facts.add("rode to veer", at_most(values, values("rode_m")), " m");
    facts.add("rode to veer", at_most(values, values.range("rode_min_m", "rode_max_m", " to ")), " m");
    facts.add("sinker from the bow", values.needed("sinker_from_bow_m"), " m");
    facts.add("depth at low water", values("depth_low_m"), " m");
    facts.add("depth at high water", values("depth_high_m"), " m");
    facts.add("depth at low water", values.range("depth_low_min_m", "depth_low_max_m", " to "), " m");
    add_water(facts, values);
    facts.add("swinging radius", values("radius_m"), " m");
    facts.add("swinging radius", values.range("radius_min_m", "radius_max_m", " to "), " m");
    add_wind_limits(facts, values);
    if (const auto danger = nearer_danger(feature, reader)) {
        facts.add("nearest danger", danger_words(*danger));
    }
    facts.add("boats that fit", values("boats"));
    facts.add("area", values("area_m2"), " m\u00b2");
    facts.add("trip line", values.needed("trip_line_m"), " m");
    facts.add("margin", values("margin_m"), " m");
    facts.add("margin from", values("source"));
    facts.add("features", values("features"));
    facts.add("seabed", values("seabed"));
    facts.add("mind", values("advice"));
    facts.add("to look for", without_full_stop(values("on_arrival")));
    facts.add("answer", values("meaning"));
    return facts.take();
}

std::string short_words_of(const OGRFeature& feature, const ColumnReader& reader) {
    const Values values(feature, reader);
    std::string words;
    const std::string most = values.by_sounder() ? "max " : "";
    add_short_way_in(words, values);
    add_short(words, "sounder max ", values("sounder_at_low_water_m"), "m at low water");
    add_short(words, "on arrival max ", values("sounder_on_arrival_limit_m"),
              values.of_water() ? "m of water" : "m");
    add_short(words, "forbids ", values("forbids"), "");
    add_short(words, "advises ", values("advises"), "");
    add_short_line(words, values);
    add_short(words, "rode " + most, values("rode_m"), "m");
    add_short(words, "rode " + most, values.range("rode_min_m", "rode_max_m", "-"), "m");
    add_short(words, "sinker ", values.needed("sinker_from_bow_m"), "m from the bow");
    add_short(words, "depth ", values.range("depth_low_m", "depth_high_m", "-"), "m");
    add_short(words, "depth ", values.range("depth_low_min_m", "depth_low_max_m", "-"), "m at low water");
    add_short(words, values.of_water() ? "water on arrival " : "sounder on arrival ", short_reading(values),
              "");
    add_short(words, "radius ", values("radius_m"), "m");
    add_short(words, "radius ", values.range("radius_min_m", "radius_max_m", "-"), "m");
    add_short_wind(words, values);
    if (const auto danger = nearer_danger(feature, reader)) {
        const std::string distance = danger->distance_m + "m";
        add_word(words, "; ",
                 danger->what.empty()
                     ? "no danger within " + distance
                     : "danger " + distance + (danger->bearing.empty() ? "" : " bearing " + danger->bearing));
    }
    add_short(words, "trip line ", values.needed("trip_line_m"), "m");
    add_short(words, "margin ", values("margin_m"), "m");
    return words;
}

} // namespace swingroom
