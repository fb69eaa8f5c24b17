#include "cli/spot_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/overlay/nearby_hazards.hpp"
#include "swingroom/overlay/position.hpp"

#include "cli/overlay_command.hpp"
#include "cli/plan.hpp"

#include <array>
#include <cmath>
#include <cstdarg>
#include <cstdio>
#include <iostream>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

[[gnu::format(printf, 1, 2)]] void line(const char* format, ...) {
    va_list values;
    va_start(values, format);
    std::vprintf(format, values);
    va_end(values);
    std::putchar('\n');
}

/// A nautical mile: what a skipper looks at around a berth.
constexpr double nearby_m = 1852;
constexpr std::size_t most_nearby = 5;

std::string three_digits(double bearing_deg) {
    std::array<char, 16> text{};
    std::snprintf(text.data(), text.size(), "%03.0f", std::fmod(std::round(bearing_deg), 360));
    return text.data();
}

// Decimetres, rounded so that what is needed never reads less and what is there never more.
double up(double v) { return std::ceil(v * 10 - 1e-6) / 10 + 0.0; } // no -0.0
double down(double v) { return std::floor(v * 10 + 1e-6) / 10; }

void print_danger(const char* of, const std::optional<NearestDanger>& danger, double room_m, double reach_m) {
    if (!danger)
        line("  %-16s at least %.1f m: nothing within reach", of, down(reach_m));
    else if (room_m <= 0)
        line("  %-16s none: %s", of, danger->what.c_str());
    else
        line("  %-16s %.1f m, to %s, bearing %s", of, down(room_m), danger->what.c_str(),
             three_digits(danger->bearing_deg).c_str());
}

/// Room to spare in words, as the rooms and needs are printed: a lack is that of the printed figures.
std::string spare_words(const WayAtPosition& at, const CellFacts& facts) {
    const Lie& lie = at.detail.lie;
    const double hull_m = static_cast<double>(facts.hull_room_m) - static_cast<double>(lie.radius_m),
                 ground_m = static_cast<double>(facts.ground_room_m) - static_cast<double>(lie.ground_m);
    const bool ground = ground_m < hull_m;
    double spare_m = down(static_cast<double>(at.spare_m));
    if (at.spare_m < 0)
        spare_m = down(static_cast<double>(ground ? facts.ground_room_m : facts.hull_room_m)) -
                  up(static_cast<double>(ground ? lie.ground_m : lie.radius_m));
    return fixed(spare_m, 1) + " m" + (ground ? " (ground)" : "");
}

/// "  123 m  045  cables #3: cable, margin 463.0 m": to the thing itself, never more than it is.
void print_nearby(const std::vector<NearbyHazard>& hazards) {
    if (hazards.empty()) {
        line("Nearest hazards: none within %.0f m of those that reach the raster", nearby_m);
        return;
    }
    line("Nearest hazards within %.0f m, of those that reach the raster: distance, bearing", nearby_m);
    for (const NearbyHazard& hazard : hazards) {
        std::string kinds;
        for (const NearbyHazard::Kind& kind : hazard.kinds)
            kinds +=
                (kinds.empty() ? "" : "; ") + kind.name + ", margin " + fixed(up(kind.margin_m), 1) + " m";
        const double metres = std::floor(hazard.distance_m + 1e-6);
        const std::string bearing = hazard.distance_m > 0 ? three_digits(hazard.bearing_deg) : "inside";
        line("  %6.0f m  %-6s  %s%s%s", metres, bearing.c_str(), hazard.label.c_str(),
             hazard.label.empty() ? "" : ": ", kinds.c_str());
    }
}

void print_way(const WayAtPosition& at, const PositionReport& report) {
    const std::string title(phrase(at.way));
    const WayDetail& detail = at.detail;
    if (detail.lie.out == Lie::Out::unavailable) {
        line("%s: no sinker aboard", title.c_str());
        return;
    }
    if (detail.lie.out == Lie::Out::rode) {
        line("%s: no, needs %.1f m of rode", title.c_str(), up(static_cast<double>(detail.lie.rode_m)));
        return;
    }
    const bool forbidden = (report.answer.reasons & ((1u << reason::first_way_bit) - 1)) != 0;
    line("%s: %s", title.c_str(),
         at.fits                        ? "yes"
         : forbidden && at.spare_m >= 0 ? "room enough, but forbidden here"
                                        : "no");
    line("  rode             %.1f m", up(static_cast<double>(detail.lie.rode_m)));
    if (detail.sinker_from_bow_m > 0)
        line("  sinker           %.1f m down the rode", detail.sinker_from_bow_m);
    line("  swinging radius  %.1f m, spare %s", up(static_cast<double>(detail.lie.radius_m)),
         spare_words(at, report.facts).c_str());
    line("  ground sweep     %.1f m", up(static_cast<double>(detail.lie.ground_m)));
    if (std::isnan(at.wind_limit_kn))
        line("  wind limit       not known: no holding is known for this anchor");
    else
        line("  wind limit       %.0f kn", std::floor(static_cast<double>(at.wind_limit_kn)));
    line("  at planned wind  pull %.0f N, reach %.1f m, angle of pull %.1f deg, tension at the bow %.0f N",
         std::ceil(detail.pull_n), up(detail.reach_m), up(detail.angle_deg), std::ceil(detail.tension_n));
}

/// Whether a reason says why the answer is no better: not so those of ways that demand less than the best
/// one.
bool bears_on(std::uint32_t bit, Verdict verdict) {
    if (!is_yes(verdict)) return true;
    const int more_demanding = static_cast<int>(way_of(verdict));
    return bit < 1u << (reason::first_way_bit + 4 * more_demanding);
}

} // namespace

void SpotCommand::declare(Options& options, po::positional_options_description& positional) {
    job_.declare(options);
    options.group(Group::looked_at);
    // clang-format off
    options.add_options()
        ("longitude", text_value("LON"), "degrees east; LON LAT alone will do; must be given\n-180 to 180, or 0 to 360.")
        ("latitude", text_value("LAT"), "degrees north; must be given");
    // clang-format on
    positional.add("longitude", 1).add("latitude", 1);
}

void SpotCommand::accept(const po::variables_map& given) {
    const bool has_lon = given.count("longitude") != 0, has_lat = given.count("latitude") != 0;
    if (!has_lon && !has_lat)
        throw InputError("LON LAT", "no position is given", "give longitude and latitude in degrees");
    if (!has_lon || !has_lat)
        throw InputError(has_lon ? "LAT" : "LON", has_lon ? "latitude is missing" : "longitude is missing",
                         "give longitude and latitude in degrees, longitude comes first");
    const auto lon = given["longitude"].as<std::string>(), lat = given["latitude"].as<std::string>();
    position_ = {parse_number(lon, "LON"), parse_number(lat, "LAT")};
    if (!(position_.lon >= -180 && position_.lon <= 360))
        throw InputError("LON", "\"" + lon + "\" is no longitude",
                         "give degrees, -180 to 180 or 0 to 360; longitude comes first");
    if (!(std::abs(position_.lat) <= 90))
        throw InputError("LAT", "\"" + lat + "\" is no latitude",
                         "give degrees, -90 to 90; longitude comes first");
    // A plan is the overlay's: what it says of folders and layers is known here too, and passed over.
    given_ = job_.accept(given, OverlayCommand::planned());
}

std::string SpotCommand::plan() const { return whole_plan(given_, OverlayCommand::planned()); }

int SpotCommand::run() {
    OpenedJob opened(job_);
    const GridPoint at = opened.georeference().grid_point(position_);
    const Window all = opened.grid().extent();
    if (!(at.x >= 0 && at.x < all.cols && at.y >= 0 && at.y < all.rows))
        throw InputError("LON LAT", "lies outside " + opened.raster(), "give a position on the raster");
    OverlayJob job = opened.job();
    job.window = {static_cast<int>(at.x), static_cast<int>(at.y), 1, 1};
    opened.settle(job);
    const PositionReport report = examine(job, opened.georeference(), job.window.col, job.window.row);

    line("%.6f %.6f: %s", position_.lon, position_.lat, std::string(phrase(report.answer.verdict)).c_str());
    line("  cell             column %d, row %d, centre %.6f %.6f", report.col, report.row, report.centre.lon,
         report.centre.lat);
    if (report.answer.verdict != Verdict::unsurveyed) {
        line("  depth            %.1f m at low water, %.1f m at high water; the hull needs %.1f m",
             down(static_cast<double>(report.depth_low_m)), up(report.depth_high_m),
             up(report.required_depth_m));
        if (!report.source.empty()) line("  depth from       %s", report.source.c_str());
        print_danger("hull room", report.hull_danger, static_cast<double>(report.facts.hull_room_m),
                     report.reach_m);
        print_danger("ground room", report.ground_danger, static_cast<double>(report.facts.ground_room_m),
                     report.reach_m);
        line("  seabed           %s, slope %.2f", std::string(name(report.facts.seabed)).c_str(),
             std::ceil(static_cast<double>(report.facts.slope) * 100 - 1e-4) / 100 + 0.0); // no -0.00
        // Nobody hauls up an anchor where the hull does not float.
        if (!report.ways.empty()) {
            line("  hanging load     %.0f N when the anchor breaks out", std::ceil(report.hanging_load_n));
            line("  trip line        %.1f m", up(report.trip_line_m));
        }
    }
    for (const std::string& what : report.here)
        line("  here             %s", what.c_str());
    for (const WayAtPosition& way : report.ways)
        print_way(way, report);
    bool first = true;
    for (const Shortfall& shortfall : report.shortfalls)
        if (bears_on(shortfall.bit, report.answer.verdict)) {
            if (first) line("%s", is_yes(report.answer.verdict) ? "Why not more:" : "Why not:");
            first = false;
            line("  %s", shortfall.sentence.c_str());
        }
    first = true;
    for (const BitName& name : advice_names)
        if (report.answer.advice & name.bit) {
            if (first) line("Mind:");
            first = false;
            line("  %s", std::string(name.sentence).c_str());
        }
    print_nearby(
        nearby_hazards(job.hazards->hazards(), opened.georeference(), position_, nearby_m, most_nearby));
    line("%s", std::string(caution).c_str());
    return 0;
}

} // namespace swingroom::cli
