#include "cli/cruise/cruise_plans.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/publish/feature_names.hpp"
#include "swingroom/sea/lonlat_windows.hpp"
#include "swingroom/water/instant.hpp"

#include "base/nearest_name.hpp"
#include "base/text.hpp"
#include "cli/cruise/cruise_text.hpp"
#include "cli/cruise/stay_places.hpp"
#include "cli/options/area_options.hpp"
#include "cli/options/folder_names.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"
#include "cli/options/tide_options.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <optional>
#include <set>
#include <string_view>
#include <utility>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

// So many boats have prefixes that tell them apart, and so many drop points names of ten characters.
constexpr std::size_t most_boats = 30;
constexpr double most_spots = 9999;

/// A stay with what is said of it alone.
struct PlannedStay {
    std::string name, where;         ///< `where`: the file and the stay, for messages
    po::variables_map own;           ///< the lines of its section; none: it has no section
    std::optional<LonLat> point;     ///< of a route, from which its area is
    std::optional<LonLatBox> window; ///< of a stretch along a way
    std::optional<ClockTime> time;   ///< of arrival, by the route
};

void put(po::variables_map& given, const std::string& name, const std::string& text) {
    given.insert_or_assign(name, po::variable_value(boost::any(text), false));
}

/// Does what may find fault with options, and says of which stay they are.
template <class Do>
void with_place(const std::string& where, Do act) {
    try {
        act();
    } catch (const InputError& error) {
        throw InputError(where, error.message(), "mend it in the cruise file");
    }
}

/// A file that the cruise file names.
std::string seen_from(const std::string& cruise_file, const std::string& path) {
    return (std::filesystem::path(cruise_file).parent_path() / path).string();
}

/// Those at the points of a route, and those along a way.
std::vector<PlannedStay> stays_of_files(const po::variables_map& common, const std::string& file) {
    std::vector<PlannedStay> stays;
    if ((is_given(common, "stays") || is_given(common, "along")) && AreaOptions::is_in(common)) {
        throw InputError(file, "has one area for all stays, and a file that tells each its own",
                         "leave out the area, or stays and along");
    }
    const auto where = [&](const std::string& name) { return file + ", stay " + name; };
    if (const auto route = optional(common, "stays")) {
        for (const StayPlace& place : places_of_route(seen_from(file, *route))) {
            stays.push_back({place.name, where(place.name), {}, place.position, std::nullopt, place.time});
        }
    }
    if (const auto way = optional(common, "along")) {
        const GivenCorridor corridor = parse_along(*way, file + ", along");
        for (const Stretch& stretch : stretches_along(seen_from(file, corridor.file), corridor.within_m)) {
            stays.push_back(
                {stretch.name, where(stretch.name), {}, std::nullopt, stretch.window, std::nullopt});
        }
    }
    return stays;
}

[[noreturn]] void refuse_unknown(const StaySection& section, const std::vector<PlannedStay>& stays) {
    std::vector<std::string_view> names;
    for (const PlannedStay& stay : stays) {
        names.emplace_back(stay.name);
    }
    const std::string_view nearest = nearest_name(section.name, names);
    throw InputError(section.where, "no point of the route is called so",
                     nearest.empty() ? "give it the name of one, or leave out stays"
                                     : "did you mean " + std::string(nearest) + "?");
}

/// All stays: of files, with what their sections say, and those of sections alone.
std::vector<PlannedStay> stays_of(const CruiseText& text, const std::string& file) {
    std::vector<PlannedStay> stays = stays_of_files(text.common, file);
    for (const StaySection& section : text.stays) {
        const auto same = std::find_if(stays.begin(), stays.end(), [&](const PlannedStay& stay) {
            return is_same_name(stay.name, section.name);
        });
        if (same != stays.end()) {
            same->own = section.given;
        } else if (is_given(text.common, "stays")) {
            refuse_unknown(section, stays);
        } else {
            stays.push_back(
                {section.name, section.where, section.given, std::nullopt, std::nullopt, std::nullopt});
        }
    }
    return stays;
}

/// The area of a stay that a file tells of; nothing: none does.
std::optional<LonLatBox> window_of_file(const PlannedStay& stay, const po::variables_map& given) {
    if (!stay.point) return stay.window;
    const auto radius = optional(given, "radius");
    if (!radius) {
        throw InputError(stay.where, "nobody says how far around its point she may lie",
                         "give radius, as in radius = 1.5 nm");
    }
    return window_around(*stay.point, parse_distance_m(*radius, stay.where + ", radius"));
}

std::optional<ZoneOffset> clock_of(const po::variables_map& given) {
    const auto clock = optional(given, "clock");
    return clock ? read_zone(*clock) : std::nullopt;
}

std::chrono::hours length_of_stay(const po::variables_map& given, const std::string& where) {
    const std::string text = optional(given, "nights").value_or("1");
    const double nights = parse_number(text, where + ", nights");
    if (nights != std::floor(nights) || nights < 1 || nights > 60) {
        throw InputError(where + ", nights", swingroom::quoted(text) + " is not possible",
                         "give a whole number from 1 to 60");
    }
    return std::chrono::hours(24) * static_cast<int>(nights);
}

/// Arrival and departure by the route, where a tide asks for them and the stay's own lines do not say.
void settle_times(const PlannedStay& stay, po::variables_map& given) {
    if (!stay.time || !is_given(given, "tide") || is_given(stay.own, "arrive")) return;
    const std::optional<ZoneOffset> zone = stay.time->zone ? stay.time->zone : clock_of(given);
    if (!zone) {
        throw InputError(stay.where, "its time in the route does not say by which clock",
                         "put Z behind it for UTC, or say it for all with clock = UTC or as +02:00");
    }
    const Instant arrive = instant_of(stay.time->clock, *zone);
    put(given, "arrive", utc_text(arrive));
    if (!is_given(stay.own, "depart")) {
        put(given, "depart", utc_text(arrive + length_of_stay(given, stay.where)));
    }
}

/// All options of a stay: its own, and those of all where it has none.
po::variables_map options_of(const PlannedStay& stay, const po::variables_map& common) {
    const po::variables_map& own = stay.own;
    po::variables_map given = own;
    fill_gaps(given, common);
    with_place(stay.where, [&] { AreaOptions::settle(own, given); });
    if (!AreaOptions::is_in(own)) {
        if (const auto window = window_of_file(stay, given)) put(given, "bounds", bounds_text(*window));
    }
    if (!AreaOptions::is_in(given)) {
        throw InputError(stay.where, "has no area", "give it bounds = W,S,E,N, or around = LON,LAT, 1.5 nm");
    }
    with_place(stay.where, [&] {
        (void)AreaOptions::accept(given);
        TideOptions::settle(own, given);
    });
    settle_times(stay, given);
    return given;
}

/// A moment of a stay, as far as it is known before the tide's file is read.
struct GivenMoment {
    Instant at;         ///< by the clock UTC where no clock is known
    bool known = false; ///< whether one is
};

std::optional<GivenMoment> moment_of(const po::variables_map& given, const char* name,
                                     const std::string& where) {
    const auto text = optional(given, name);
    if (!text) return std::nullopt;
    const auto written = read_clock_time(trimmed(*text));
    const std::optional<ZoneOffset> zone = written && written->zone ? written->zone : clock_of(given);
    return GivenMoment{parse_instant(*text, zone.value_or(ZoneOffset(0)), where + ", " + name),
                       zone.has_value()};
}

/// Whether it can be told that one moment is before another, and it is.
bool is_before(const std::optional<GivenMoment>& a, const std::optional<GivenMoment>& b) {
    return a && b && a->known == b->known && a->at < b->at;
}

/// Stays follow each other; two that begin at the same time, or before the other ends, may be a choice.
/// Stretches along a way are where she may have to stop at any time.
class TimeOrder {
public:
    /// @throws InputError  she leaves before she comes, or comes before she came to the stay before
    void take(const PlannedStay& stay, const po::variables_map& given) {
        const auto arrive = moment_of(given, "arrive", stay.where),
                   depart = moment_of(given, "depart", stay.where);
        const bool in_order = !arrive || !depart || arrive->known != depart->known || arrive->at < depart->at;
        if (!in_order) {
            throw InputError(stay.where, "ends before it begins", "give depart a later time than arrive");
        }
        if (!arrive || stay.window) return;
        if (is_before(arrive, last_)) {
            throw InputError(stay.where, "begins before stay " + last_name_ + ", which stands before it",
                             "put the stays in the order of their times, or mend these");
        }
        last_ = arrive;
        last_name_ = stay.name;
    }

private:
    std::optional<GivenMoment> last_;
    std::string last_name_;
};

void require_few_spots(const po::variables_map& given, const std::string& where) {
    if (parse_number(given["spots"].as<std::string>(), where + ", spots") <= most_spots) return;
    throw InputError(where + ", spots", "has too many drop points to tell them apart over a cruise",
                     "give at most 9999");
}

std::vector<std::string> boats_of(const po::variables_map& common, const std::string& file) {
    std::vector<std::string> boats = several(common, "boat");
    if (boats.empty()) {
        throw InputError(file, "names no boat", "give boat = FILE above the first stay, once for each boat");
    }
    std::set<std::filesystem::path> met;
    for (const std::string& boat : boats) {
        if (!met.insert(std::filesystem::absolute(boat).lexically_normal()).second) {
            throw InputError(file, "names the boat " + boat + " twice", "leave out one of them");
        }
    }
    if (boats.size() > most_boats) throw InputError(file, "names many boats", "give at most 30");
    return boats;
}

/// Reads a plan as overlay does.
po::variables_map read_back(const std::string& plan, const std::string& where) {
    return options_in(plan, where, overlay_plan_options(), "mend it in the cruise file");
}

/// Fills in what a plan is made of.
void write_plan(PlannedRun& run, po::variables_map given, const std::string& where) {
    put(given, "name", joined(run.prefixes, ","));
    const Options known = overlay_plan_options();
    // What is so by default is said, too: a later version may have another default.
    with_place(where, [&] { run.plan = whole_plan(read_back(whole_plan(given, known), where), known); });
    run.given = read_back(run.plan, where);
    run.what_counts =
        effective_plan(run.given, {"plan", "out", "overwrite", "threads", "memory", "cells-limit", "json"});
}

/// Keys that mean something for stays of a route alone.
void refuse_without_route(const CruiseText& text, const std::string& file) {
    if (is_given(text.common, "stays")) return;
    const auto refuse = [](const po::variables_map& given, const std::string& where) {
        for (const char* const name : {"radius", "nights"}) {
            if (!is_given(given, name)) continue;
            throw InputError(where + ", " + name, "is for stays at the points of a route",
                             "name the route with stays = FILE, or leave it out");
        }
    };
    refuse(text.common, file);
    for (const StaySection& section : text.stays) {
        refuse(section.given, section.where);
    }
}

} // namespace

CruisePlans plans_of_cruise(const std::string& file, const std::filesystem::path& out) {
    CruiseText text = read_cruise_text(file);
    refuse_without_route(text, file);
    with_place(file, [&] { AreaOptions::settle(text.common, text.common); });
    const std::vector<PlannedStay> stays = stays_of(text, file);
    if (stays.empty()) {
        throw InputError(file, "has no stays", "give each as a section, as in [stay Gull Cove]");
    }
    if (stays.size() > most_stays) throw InputError(file, "has many stays", "give at most 500");

    CruisePlans cruise;
    cruise.boats = boats_of(text.common, file);
    for (const PlannedStay& stay : stays) {
        cruise.stays.push_back(stay.name);
    }
    refuse_names_twice(cruise.stays, file);
    const std::vector<std::string> folders = folder_names(cruise.stays, "stay");
    const auto prefixes = prefixes_of_places(cruise.stays, cruise.boats.size());
    TimeOrder order;
    for (std::size_t i = 0; i < stays.size(); ++i) {
        po::variables_map given = options_of(stays[i], text.common);
        order.take(stays[i], given);
        PlannedRun run{folders[i], prefixes[i], {}, {}, {}};
        put(given, "out", (out / run.folder).string());
        write_plan(run, given, stays[i].where);
        require_few_spots(run.given, stays[i].where);
        require_planned(input_paths(run.given));
        cruise.runs.push_back(std::move(run));
    }
    return cruise;
}

} // namespace swingroom::cli
