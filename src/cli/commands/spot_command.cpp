#include "cli/commands/spot_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/nearest_yes.hpp"
#include "swingroom/report/alternatives.hpp"
#include "swingroom/report/spot_report.hpp"

#include "cli/console.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/overlay_options.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/run_size.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// One word may hold both.
Position position_of(const std::optional<std::string>& first, const std::optional<std::string>& second) {
    if (!first && !second) {
        throw InputError("LON LAT", "no position is given", "give longitude and latitude in degrees");
    }
    const bool both = first && (has_compass_letter(*first) || first->find(' ') != std::string::npos);
    if (!second && both) return parse_position(*first);
    if (!second || !first) {
        throw InputError(first ? "LAT" : "LON", first ? "latitude is missing" : "longitude is missing",
                         "give longitude and latitude in degrees, longitude comes first");
    }
    return parse_position(*first, *second);
}

int threads_of_machine() { return static_cast<int>(std::max(1U, std::thread::hardware_concurrency())); }

} // namespace

void SpotCommand::declare(Options& options, po::positional_options_description& positional) {
    job_.declare(options, AccessOptions::declare);
    options.group(Group::looked_at);
    // clang-format off
    options.add_options()
        ("longitude", text_value("LON"), "degrees east, or 29-02.636W; must be given\n"
         "-180 to 180, or 0 to 360. LON LAT alone will do; with letters in any order.")
        ("latitude", text_value("LAT"), "degrees north, or 47-59.222N; must be given");
    // clang-format on
    options.group(Group::comes_out);
    declare_json(options);
    positional.add("longitude", 1).add("latitude", 1);
}

void SpotCommand::accept(const po::variables_map& given) {
    const auto longitude = optional(given, "longitude"), latitude = optional(given, "latitude");
    std::vector<Needed> also;
    if (!longitude && !latitude) {
        also = {{"longitude", "give the position in degrees, longitude first: LON LAT alone will do", "LON"},
                {"latitude", "give it with the longitude", "LAT"}};
    }
    // A plan is the overlay's: what it says of folders and layers is known here too, and passed over.
    given_ = job_.accept(given, OverlayOptions::planned(), also);
    (void)only_boat(job_);
    access_.accept(given_);
    const Position position = position_of(longitude, latitude);
    position_ = {position.lon, position.lat};
    json_ = given["json"].as<bool>();
}

std::string SpotCommand::plan() const { return whole_plan(given_, OverlayOptions::planned()); }

/// Nothing where nobody looks for it.
std::optional<FoundWayIn> SpotCommand::way_in(OpenedJob& opened) const {
    if (!access_.looked_for) return std::nullopt;
    const OpenedBoat& boat = opened.boats().front();
    OverlayJob all =
        too_large_for_way_in(opened.grid().extent()) ? opened.job(boat) : opened.job_of_all(boat);
    all.threads = threads_of_machine();
    tell("the way in, over " + std::to_string(all.window.cols) + " x " + std::to_string(all.window.rows) +
         " cells");
    return find_way_in({access_, all, opened.georeference(), opened.raster(), boat.file, job_.measures}, {});
}

int SpotCommand::run() {
    OpenedJob opened(
        job_,
        [&](const Grid& grid, const Georeference& georeference, const std::string& source) {
            const GridPoint at = georeference.grid_point(position_);
            const Window all = grid.extent();
            if (!(at.x >= 0 && at.x < all.cols && at.y >= 0 && at.y < all.rows)) {
                throw InputError("LON LAT", "lies outside " + source,
                                 "give a position on it; longitude comes first");
            }
            return Window{static_cast<int>(at.x), static_cast<int>(at.y), 1, 1};
        },
        nearby_m);
    const OpenedBoat& boat = opened.boats().front();
    OverlayJob job = opened.job(boat);
    for (const std::string& warning : boat.warnings) {
        print_warning(warning);
    }
    const WayInNeed way_need =
        access_.looked_for ? way_in_need(opened.grid().extent(), job.block) : WayInNeed();
    require_memory(memory_need(job.window, LayerSet::all(), 1, 1, halo_cells(job), way_need),
                   memory_of_machine(), opened.raster(), 1, halo_cells(job));
    const std::optional<FoundWayIn> way = way_in(opened);
    if (way) {
        job.way_in = way->way_in.get();
        if (!way->warning.empty()) print_warning(way->warning);
    }
    SpotReport report = spot_report(job, opened.georeference(), position_);
    if (way && way->way_in->access) {
        tell("the way in to it");
        const GridCell cell{report.cell.col, report.cell.row};
        report.cell.way = ApproachFinder(*way->job, opened.georeference()).find({&cell, 1}).front();
    }
    if (!is_yes(told(report.cell.answer.verdict, report.cell.answer.advice))) {
        opened.widen(window_around(*job.metric, *job.tables, opened.grid().extent(),
                                   opened.georeference().grid_point(position_), yes_within_m));
        tell("what would make it a yes, and where the nearest is");
        OverlayJob around = opened.job(boat);
        around.threads = threads_of_machine();
        around.way_in = job.way_in;
        report.alternatives = find_alternatives(report.cell, around, opened.georeference(), position_,
                                                opened.rules(), boat.known);
    }
    if (json_) {
        print_document(spot_json(report));
    } else {
        print(spot_text(report, job_.measures));
    }
    return 0;
}

} // namespace swingroom::cli
