#include "cli/spot_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/overlay/position.hpp"

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

void print_danger(const char* of, const std::optional<NearestDanger>& danger, double room_m, double reach_m) {
    if (!danger)
        line("  %-16s at least %.1f m: nothing within reach", of, std::floor(reach_m * 10) / 10);
    else if (room_m <= 0)
        line("  %-16s none: %s", of, danger->what.c_str());
    else
        line("  %-16s %.1f m, to %s, bearing %03.0f", of, std::floor(room_m * 10 + 1e-6) / 10,
             danger->what.c_str(), danger->bearing_deg);
}

void print_way(const WayAtPosition& at, const PositionReport& report) {
    const std::string title(phrase(at.way));
    const WayDetail& detail = at.detail;
    if (detail.lie.out == Lie::Out::unavailable) {
        line("%s: no sinker aboard", title.c_str());
        return;
    }
    if (detail.lie.out == Lie::Out::rode) {
        line("%s: no, needs %.1f m of rode", title.c_str(),
             std::ceil(static_cast<double>(detail.lie.rode_m) * 10) / 10);
        return;
    }
    const bool forbidden = (report.answer.reasons & ((1u << reason::first_way_bit) - 1)) != 0;
    line("%s: %s", title.c_str(),
         at.fits                        ? "yes"
         : forbidden && at.spare_m >= 0 ? "room enough, but forbidden here"
                                        : "no");
    line("  rode             %.1f m", static_cast<double>(detail.lie.rode_m));
    if (detail.sinker_from_bow_m > 0)
        line("  sinker           %.1f m down the rode", detail.sinker_from_bow_m);
    line("  swinging radius  %.1f m, spare %.1f m",
         std::ceil(static_cast<double>(detail.lie.radius_m) * 10) / 10,
         std::floor(static_cast<double>(at.spare_m) * 10) / 10);
    line("  ground sweep     %.1f m", std::ceil(static_cast<double>(detail.lie.ground_m) * 10) / 10);
    if (std::isnan(at.wind_limit_kn))
        line("  wind limit       not known: no holding is known for this anchor");
    else
        line("  wind limit       %.0f kn", std::floor(static_cast<double>(at.wind_limit_kn)));
    line("  at planned wind  pull %.0f N, reach %.1f m, angle of pull %.1f deg, tension at the bow %.0f N",
         detail.pull_n, detail.reach_m, detail.angle_deg, detail.tension_n);
}

} // namespace

void SpotCommand::declare(po::options_description& options, po::positional_options_description& positional) {
    job_.declare(options);
    options.add_options()("longitude", po::value<std::string>(),
                          "degrees, east positive (also the first word)");
    options.add_options()("latitude", po::value<std::string>(),
                          "degrees, north positive (also the second word)");
    positional.add("longitude", 1).add("latitude", 1);
}

void SpotCommand::accept(const po::variables_map& given) {
    for (const char* name : {"longitude", "latitude"})
        if (given.count(name) == 0)
            throw InputError("swingroom spot", "no position is given",
                             "give longitude and latitude in degrees");
    position_ = {parse_number(given["longitude"].as<std::string>(), "LON"),
                 parse_number(given["latitude"].as<std::string>(), "LAT")};
    if (std::abs(position_.lon) > 360)
        throw InputError("LON", "is no longitude", "give degrees, -180 to 180");
    if (std::abs(position_.lat) > 90) throw InputError("LAT", "is no latitude", "give degrees, -90 to 90");
    // A plan is the overlay's: what it says of folders and layers is known here too, and passed over.
    po::options_description own;
    job_.declare(own);
    for (const char* name : {"out", "layers", "bounds", "spots", "threads", "memory", "overwrite"})
        own.add_options()(name, po::value<std::string>(), "");
    job_.accept(given, own);
}

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
             std::floor(static_cast<double>(report.depth_low_m) * 10) / 10,
             std::ceil(report.depth_high_m * 10) / 10, std::ceil(report.required_depth_m * 10 - 1e-6) / 10);
        print_danger("hull room", report.hull_danger, static_cast<double>(report.facts.hull_room_m),
                     report.reach_m);
        print_danger("ground room", report.ground_danger, static_cast<double>(report.facts.ground_room_m),
                     report.reach_m);
        line("  seabed           %s, slope %.2f", std::string(name(report.facts.seabed)).c_str(),
             static_cast<double>(report.facts.slope));
        line("  hanging load     %.0f N when the anchor breaks out", std::ceil(report.hanging_load_n));
        line("  trip line        %.1f m", std::ceil(report.trip_line_m * 10 - 1e-6) / 10);
    }
    for (const std::string& what : report.here)
        line("  here             %s", what.c_str());
    for (const WayAtPosition& way : report.ways)
        print_way(way, report);
    if (!report.shortfalls.empty()) line("%s", is_yes(report.answer.verdict) ? "Why not more:" : "Why not:");
    for (const Shortfall& shortfall : report.shortfalls)
        line("  %s", shortfall.sentence.c_str());
    bool first = true;
    for (const BitName& name : advice_names)
        if (report.answer.advice & name.bit) {
            if (first) line("Mind:");
            first = false;
            line("  %s", std::string(name.sentence).c_str());
        }
    line("%s", std::string(caution).c_str());
    return 0;
}

} // namespace swingroom::cli
