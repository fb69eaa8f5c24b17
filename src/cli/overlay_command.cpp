#include "cli/overlay_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/publish/report.hpp"

#include "cli/options.hpp"
#include "cli/plan.hpp"
#include "cli/report_parts.hpp"
#include "cli/run_control.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>
#include <limits>
#include <thread>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// The cells that a box of degrees touches: its outline is a curve in the grid, so many points of it are
/// taken.
Window window_of(const LonLatBox& bounds, const OpenedJob& opened) {
    const auto [west, south, east, north] = bounds;
    constexpr int steps = 64;
    double left = std::numeric_limits<double>::infinity(), top = left, right = -left, bottom = -left;
    const auto take = [&](double lon, double lat) {
        const GridPoint p = opened.georeference().grid_point({lon, lat});
        left = std::min(left, p.x);
        right = std::max(right, p.x);
        top = std::min(top, p.y);
        bottom = std::max(bottom, p.y);
    };
    for (int i = 0; i <= steps; ++i) {
        const double t = static_cast<double>(i) / steps;
        take(west + t * (east - west), south);
        take(west + t * (east - west), north);
        take(west, south + t * (north - south));
        take(east, south + t * (north - south));
    }
    const Window all = opened.grid().extent();
    const auto cell = [](double v, int end) { return static_cast<int>(std::clamp(v, -1.0, end + 1.0)); };
    const int col = cell(std::floor(left), all.cols), row = cell(std::floor(top), all.rows);
    const Window asked{col, row, cell(std::ceil(right), all.cols) - col,
                       cell(std::ceil(bottom), all.rows) - row};
    const Window window = common(asked, all);
    if (window.empty())
        throw InputError("--bounds", "lies outside " + opened.raster(), "give bounds that meet the raster");
    return window;
}

/// Cells a side of a block so that all threads' buffers fit into half of the memory, the rest being left to
/// GDAL, the hazards and the files being written.
int block_for(int memory_mb, int threads, int halo, LayerSet wanted) {
    int planes = 0;
    for (std::size_t i = 0; i < static_cast<std::size_t>(Layer::zones); ++i)
        planes += wanted.has(static_cast<Layer>(i)) ? 1 : 0;
    const double bytes_per_cell = 33 + 4 * planes;
    const double cells = memory_mb * 1e6 / 2 / threads / bytes_per_cell;
    constexpr int step = 128, most = 1024;
    const int side = (static_cast<int>(std::sqrt(cells)) - 2 * halo) / step * step;
    return std::clamp(side, step, most);
}

/// "verdict, zones" is the same list as "verdict,zones".
std::string without_blanks_at_commas(const std::string& list) {
    constexpr const char* blanks = " \t";
    std::string out;
    for (std::size_t begin = 0; begin <= list.size();) {
        const std::size_t end = std::min(list.find(',', begin), list.size());
        const std::size_t first = std::min(list.find_first_not_of(blanks, begin), end);
        if (begin > 0) out += ',';
        out += list.substr(first, end - first);
        out.erase(out.find_last_not_of(blanks) + 1);
        begin = end + 1;
    }
    return out;
}

} // namespace

void OverlayCommand::declare(po::options_description& options, po::positional_options_description&) {
    job_.declare(options);
    // clang-format off
    options.add_options()
        ("out", po::value<std::string>(), "folder to make; it is whole or not there; must be given")
        ("overwrite", po::bool_switch(), "replace a folder that an earlier run has made")
        ("layers", po::value<std::string>()->default_value("all"),
         "what to write: all, or of verdict, reasons, advice, depth_low, source, hull_room, ground_room, rode, radius, spare, "
         "wind_limit (these four for all ways, or rode_full, rode_short, rode_sinker ...), zones, spots, exclusions, report (which needs verdict, zones and spots, and brings them)")
        ("bounds", po::value<std::string>(), "only this window: west,south,east,north in degrees")
        ("spots", po::value<std::string>()->default_value("50"), "how many drop points at the most")
        ("threads", po::value<std::string>(), "threads; as many as the machine has when not given")
        ("memory", po::value<std::string>()->default_value("400"), "megabytes to aim at");
    // clang-format on
}

void OverlayCommand::accept(const po::variables_map& given) {
    po::options_description own;
    po::positional_options_description positional;
    OverlayCommand().declare(own, positional);
    const po::variables_map all = job_.accept(given, own);
    const auto text = [&](const char* name) { return all[name].as<std::string>(); };
    const auto count = [&](const char* name, double least, double most) {
        const std::string option = std::string("--") + name;
        const double value = parse_number(text(name), option);
        if (value != std::floor(value) || value < least || value > most)
            throw InputError(option, "\"" + text(name) + "\" is not possible",
                             "give a whole number from " + std::to_string(static_cast<long>(least)) + " to " +
                                 std::to_string(static_cast<long>(most)));
        return static_cast<int>(value);
    };
    if (all.count("out") == 0) throw InputError("--out", "is missing", "name the folder to make");
    out_ = text("out");
    overwrite_ = all["overwrite"].as<bool>();
    layers_ = LayerSet::parse(without_blanks_at_commas(text("layers")), "--layers");
    if (all.count("bounds") != 0) bounds_ = parse_bounds(text("bounds"));
    most_spots_ = static_cast<std::size_t>(count("spots", 0, 100000));
    threads_ = all.count("threads") != 0
                   ? count("threads", 1, 1024)
                   : static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
    memory_mb_ = count("memory", 64, 1000000);
    plan_ = effective_plan(all, {"plan", "out", "overwrite", "threads", "memory"});
}

int OverlayCommand::run() {
    notice_signals();
    PendingFolder folder(out_, overwrite_);
    limit_file_cache(std::int64_t{memory_mb_} * 1000000 / 6);
    OpenedJob opened(job_);
    OverlayJob job = opened.job();
    if (bounds_) job.window = window_of(*bounds_, opened);
    opened.settle(job);
    job.wanted = layers_;
    job.threads = threads_;
    job.block = block_for(memory_mb_, threads_, halo_cells(job), layers_);
    const Provenance provenance = opened.provenance(plan_);

    ProgressBar bar;
    constexpr double deciding = 0.6; // of the time that a run with many layers takes
    return_freed_memory();
    OverlayFiles files(folder.working(), job, opened.raster(), provenance, opened.margin_sources(),
                       most_spots_);
    run_overlay(job, files, [&](double fraction) {
        bar.show(deciding * fraction);
        stop_if_asked();
    });
    return_freed_memory();
    files.finish([&](double fraction) {
        bar.show(deciding + (1 - deciding) * fraction);
        stop_if_asked();
    });
    if (layers_.has(Layer::report))
        write_report(folder.working(), report_input(job_, opened, provenance, {}));
    bar.clear();
    if (files.cells_surveyed() == 0)
        print_warning(
            opened.raster() +
            ": no cell has a depth; if that surprises, look at --bounds and the raster's nodata value");
    else if (files.cells_afloat() == 0)
        print_warning(opened.raster() +
                      ": no cell floats the hull at low water; if that surprises, look at --positive, "
                      "--depth-unit and --chart-datum");
    folder.commit(provenance, threads_);
    std::cout << folder.target().string() << '\n';
    return 0;
}

} // namespace swingroom::cli
