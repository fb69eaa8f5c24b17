#include "cli/commands/overlay_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/report/closing_words.hpp"
#include "swingroom/report/named_noes.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/report/run_summary.hpp"
#include "swingroom/report/why_not.hpp"
#include "swingroom/sea/inspection.hpp"

#include "cli/console.hpp"
#include "cli/options/format_options.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/run_control.hpp"
#include "cli/run/run_size.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

constexpr double share_of_way_in = 0.2; ///< of the time of a run that looks for it

std::string in_words(const ZoneStyle& style) {
    return std::string(style.smooth_edges ? "edges smoothed inwards by a cell at the most"
                                          : "edges along the cells") +
           "; those below " + fixed_up(style.least_area_m2, 1) + " m2 left out";
}

/// "all" stands for what can be told: without a curve not for the water in the swinging circles.
/// @param text  as --layers was given
void leave_out_what_needs_a_tide(std::string_view text, LayerFormats& formats) {
    for (const LayerGroup& group : {layer_groups::least_water, layer_groups::hours_afloat}) {
        const bool named = text.find(group.name) != std::string_view::npos;
        const LayerSet layers = LayerSet::parse(group.name, "--layers");
        if (!named) {
            formats.drop(layers);
        } else if (group.meaning == CellMeaning::hours) {
            throw InputError("--layers",
                             std::string(group.name) +
                                 " tells of the water over time, which two levels do not",
                             "give --tide, or leave it out");
        }
    }
}

/// What an answer without any yes may mean, or why it is one; empty where there is any.
/// @param of_raster  whether depths are a raster's, whose sign, unit and datum the user may have misread
std::string warning_of_no_water(const OverlayFiles& files, bool of_raster) {
    if (files.cells_surveyed() == 0) {
        return "no cell has a depth; if that surprises, look at --bounds and the raster's nodata value";
    }
    if (files.cells_afloat() == 0 && of_raster) {
        return "no cell floats the hull at low water; if that surprises, look at --positive, --depth-unit "
               "and "
               "--chart-datum";
    }
    if (files.tally().yes().cells == 0) return why_not_text(files.tally());
    return {};
}

} // namespace

void OverlayCommand::declare(Options& options, po::positional_options_description&) {
    job_.declare(options, AccessOptions::declare);
    // clang-format off
    options.group(Group::comes_out);
    options.add_options()
        ("out", text_value("FOLDER"), "folder to make, whole or not at all; must be given")
        ("overwrite", po::bool_switch(), "replace a folder that an earlier run has made\n"
         "In a plan: overwrite = true. A folder that holds anything else is never replaced. Without it an existing folder is kept, which is said "
         "before the work starts.")
        ("layers", text_value("LAYER,...")->default_value("all"), "what to write, as verdict,zones.kml\n"
         "rode, radius, spare, sounder_limit, wind_limit, least_water and hours_afloat stand for all three ways to lie; all leaves out "
         "sounder_limit where rode is nowhere chosen by the sounder, and least_water and hours_afloat, which needs it, without --tide, and access_level always. With an ending a layer is written in the format of "
         "that ending. report, map and project bring verdict, zones and spots with them, circles spots. Fewer layers are much less work.");
    declare_formats(options, "FORMAT,...", "cog,geojson",
                    "Of layers named without an ending: cog and mbtiles hold rasters; geojson, gpkg, flatgeobuf, kml and gpx zones, spots, "
                    "circles and exclusions. A layer that none of them can hold is a COG or GeoJSON. The case of letters does not matter.");
    declare_compression(options);
    options.group(Group::comes_out);
    options.add_options()
        ("bounds", text_value("W,S,E,N"), "only this window\n"
         "In degrees, or with letters as 29-03W,47-58N,29-01W,47-59.5N. The cells that this box touches; danger outside still "
         "counts; east below west crosses the antimeridian.");
    options.group(Group::seldom);
    options.add_options()
        ("zone-edges", text_value("smooth|stepped")->default_value("smooth"), "how edges of zones are drawn\n"
         "smooth: without the steps of the cells; edges only ever move inwards, by a cell at the most. stepped: along the cells.")
        ("least-zone", text_value("AREA"), "leave out zones smaller than this\n"
         "Square metres, or with ft2 or ha; they have no spot either. The circle of the boat's position_allowance if not given, since "
         "a smaller place cannot be hit for certain; 0 keeps all.")
        ("spots", text_value("N")->default_value("50"), "how many drop points at the most\n0 to 100000; the best are kept.")
        ("cells-limit", text_value("N")->default_value("2e10"), "refuse a run over more cells\n"
         "1 to 1e18, as 2e10 or 20000000000: a damaged file may claim any size. From 1e9 cells on a run says what memory and disk it "
         "needs; one that the disk cannot hold is refused.");
    options.group(Group::run);
    declare_json(options);
    options.add_options()
        ("threads", text_value("N"), "how many threads; as many as the machine has if not given\n1 to 1024.")
        ("memory", text_value("MB")->default_value("400"), "megabytes to aim at\n"
         "64 or more; the least that a run takes is about 80 and 30 a thread.");
    // clang-format on
}

Options OverlayCommand::planned() {
    Options options;
    po::positional_options_description positional;
    OverlayCommand().declare(options, positional);
    return options;
}

std::string OverlayCommand::plan() const { return whole_plan(given_, planned()); }

void OverlayCommand::accept(const po::variables_map& given) {
    const po::variables_map all = job_.accept(given, OverlayCommand::planned(),
                                              {{"out", "name the folder to make, for example anchorages"}});
    const auto text = [&](const char* name) { return all[name].as<std::string>(); };
    const auto count = [&](const char* name, double least, double most) {
        const std::string option = std::string("--") + name;
        const double value = parse_number(text(name), option);
        if (value != std::floor(value) || value < least || value > most) {
            throw InputError(option, "\"" + text(name) + "\" is not possible",
                             "give a whole number from " + std::to_string(static_cast<long>(least)) + " to " +
                                 std::to_string(static_cast<long>(most)));
        }
        return static_cast<int>(value);
    };
    out_ = text("out");
    overwrite_ = all["overwrite"].as<bool>();
    json_ = all["json"].as<bool>();
    outputs_.formats = LayerFormats::parse(text("layers"), formats_of(all), "--layers");
    // Where no depth is a chart's band they would be empty.
    if (text("layers") == "all" && !job_.may_sound()) {
        outputs_.formats.drop(LayerSet::parse("sounder_limit", "--layers"));
    }
    if (job_.tide.file.empty()) leave_out_what_needs_a_tide(text("layers"), outputs_.formats);
    access_.accept(all, text("layers"), outputs_.formats);
    outputs_.styles = styles_of(all);
    outputs_.compression = compression_of(all);
    outputs_.prefix = prefix_of(all);
    most_spots_ = static_cast<std::size_t>(count("spots", 0, 100000));
    const std::string edges = text("zone-edges");
    if (edges != "smooth" && edges != "stepped") {
        throw InputError("--zone-edges", "\"" + edges + "\" is neither", "give smooth or stepped");
    }
    smooth_zones_ = edges == "smooth";
    if (all.count("least-zone") != 0) {
        const double area_m2 = parse_area(text("least-zone"), "--least-zone").square_metres();
        least_zone_m2_ = within(area_m2, {0, 1e12}, text("least-zone"), "--least-zone",
                                "give square metres, 0 to keep every zone");
    }
    threads_ = all.count("threads") != 0
                   ? count("threads", 1, 1024)
                   : static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
    memory_mb_ = count("memory", 64, 1000000);
    outputs_.waiting_bytes = static_cast<std::size_t>(memory_mb_) * 1'000'000 / 6;
    cells_limit_ = within(parse_number(text("cells-limit"), "--cells-limit"), {1, 1e18}, text("cells-limit"),
                          "--cells-limit", "give how many cells a run may have, as 2e10");
    // The layers are in metres and degrees, whatever people read.
    plan_ = effective_plan(
        all, {"plan", "out", "overwrite", "threads", "memory", "cells-limit", "units", "positions", "json"});
    given_ = all;
    inputs_ = job_.input_files(given);
}

/// A place that is smaller than what the anchor may fall beside where it is meant to cannot be hit for
/// certain.
ZoneStyle OverlayCommand::style_of_zones(const OverlayJob& job) const {
    const double allowance_m = job.tables->boat().policy.position_allowance_m;
    return {smooth_zones_, least_zone_m2_.value_or(std::numbers::pi * allowance_m * allowance_m)};
}

/// What takes memory: looking for the way in takes as much as its layer.
LayerSet OverlayCommand::reckoned(LayerSet wanted) const {
    if (access_.looked_for) wanted.add(Layer::access_level);
    return wanted;
}

WayInNeed OverlayCommand::need_of_way_in(Window raster, BlockSize block) const {
    return access_.looked_for && !too_large_for_way_in(raster) ? way_in_need(raster, block) : WayInNeed();
}

/// Before anything is made that grows with the raster.
void OverlayCommand::consider_size(Window window, Window raster, const std::string& source,
                                   const std::filesystem::path& folder) const {
    const LayerSet wanted = outputs_.formats.layers();
    // How far a circle reaches is not known yet; blocks are made as the memory allows.
    const BlockSize block = block_for(memory_mb_, threads_, 0, wanted);
    const WayInNeed way = need_of_way_in(raster, block);
    const double memory = memory_need(window, reckoned(wanted), threads_, block, 0, way);
    const RunSize size{window, std::max(memory, memory_mb_ * 1e6),
                       with_way_in(disk_need(window, wanted, outputs_), way), way.disk_bytes,
                       free_bytes(folder)};
    require_possible(size, cells_limit_, source, folder.string());
    if (const std::string note = note_of_size(size, source, folder.string()); !note.empty()) {
        print_warning(note);
    }
}

ReportInput OverlayCommand::page_of(const OpenedJob& opened, const OverlayFiles& files, const OverlayJob& job,
                                    const Provenance& provenance) const {
    std::vector<Inspection> inspections = opened.inspections();
    for (Inspection& inspection : inspections) {
        for (auto* const messages : {&inspection.open_questions, &inspection.doubts}) {
            for (Message& message : *messages) {
                message = message.with_names(option_of); // the page is read by who types options
            }
        }
    }
    ReportInput page =
        report_input(opened.tables_for_people(), std::move(inspections), provenance, job_.measures);
    page.vectors = files.vectors();
    page.best_spots = files.best_spots();
    page.places = opened.place_names();
    page.waivers = opened.waivers();
    page.tally = files.tally();
    page.map = {files.map_planes(), &job};
    page.tide = job.tide;
    page.way_in = job.way_in;
    if (!job.wanted.has(Layer::report)) return page; // what a map does not show may be dear to find
    page.named_noes = named_noes(files.tally(), job, opened.georeference(), opened.rules(), opened.known());
    page.anchorages = files.anchorages();
    return page;
}

/// What was found, for who looks on; a script has it from --json.
void OverlayCommand::close(const OverlayFiles& files, std::size_t warnings, const RodeMarks& marks) const {
    if (!stderr_is_terminal() || loudness() == Loudness::quiet) return;
    const std::vector<PositionReport>& best = files.best_spots();
    for (const std::string& line : closing_lines(
             {files.tally(), best.empty() ? nullptr : &best.front(), warnings, marks, job_.measures})) {
        print(line + "\n", Stream::err);
    }
}

/// Nothing where nobody looks for it.
std::optional<FoundWayIn> OverlayCommand::way_in(OpenedJob& opened, const OverlayJob& job,
                                                 ProgressBar& bar) const {
    if (!access_.looked_for) return std::nullopt;
    OverlayJob all = too_large_for_way_in(opened.grid().extent()) ? opened.job() : opened.job_of_all();
    all.threads = job.threads;
    all.block = job.block;
    all.spooling = job.spooling;
    tell("the way in, over " + std::to_string(all.window.cols) + " x " + std::to_string(all.window.rows) +
         " cells");
    return find_way_in({access_, all, opened.georeference(), opened.raster(), job_.boat_file, job_.measures,
                        job.wanted.has(Layer::access_level)},
                       [&](double fraction) {
                           bar.show(share_of_way_in * fraction);
                           stop_if_asked();
                       });
}

int OverlayCommand::run() {
    notice_signals();
    keep_large_memory_apart();
    PendingFolder folder(out_, overwrite_, inputs_);
    for (const std::string& note : folder.notes()) {
        print_warning(note);
    }
    limit_file_cache(std::int64_t{memory_mb_} * 1000000 / 6);
    // Exclusions are drawn a mile beyond what is looked at, for whoever comes from there.
    constexpr double drawn_around_m = 1852;
    OpenedJob opened(
        job_,
        [&](const Grid& grid, const Georeference& georeference, const std::string& source) {
            const Window window = window_of(job_.bounds, grid, georeference, source);
            consider_size(window, grid.extent(), source, folder.target().parent_path());
            return window;
        },
        drawn_around_m);
    OverlayJob job = opened.job();
    opened.warn();
    job.wanted = outputs_.formats.layers();
    job.threads = threads_;
    job.block = block_for(memory_mb_, threads_, halo_cells(job), job.wanted);
    job.spooling.folder = folder.working().parent_path(); // whose disk is the one that has room
    require_memory(memory_need(job.window, reckoned(job.wanted), threads_, job.block, halo_cells(job),
                               need_of_way_in(opened.grid().extent(), job.block)),
                   memory_of_machine(), opened.raster(), threads_, halo_cells(job));
    tell("digests of the inputs");
    const ZoneStyle zone_style = style_of_zones(job);
    Provenance provenance = opened.provenance(plan_);
    folder.keep_inputs(inputs_);
    folder.keep_inputs(names_of(provenance.inputs)); // those too that others have brought with them
    if (job.wanted.has(Layer::zones) || job.wanted.has(Layer::spots)) {
        provenance.facts.push_back({"zones", in_words(zone_style)});
    }

    ProgressBar bar;
    std::vector<std::string> warnings = opened.warnings();
    const std::optional<FoundWayIn> way = way_in(opened, job, bar);
    if (way) {
        job.way_in = way->way_in.get();
        provenance.facts.insert(provenance.facts.end(), way->facts.begin(), way->facts.end());
        if (!way->warning.empty()) {
            bar.clear();
            print_warning(way->warning);
            provenance.facts.push_back(warning_fact(way->warning));
            warnings.push_back(way->warning);
        }
    }
    const double before = way ? share_of_way_in : 0;
    constexpr double deciding = 0.6; // of the time that a run with many layers takes
    return_freed_memory();
    tell("deciding " + std::to_string(job.window.cols) + " x " + std::to_string(job.window.rows) +
         " cells, " + std::to_string(threads_) + (threads_ == 1 ? " thread" : " threads") + ", blocks of " +
         std::to_string(job.block.cols) + " x " + std::to_string(job.block.rows) + " and " +
         std::to_string(halo_cells(job)) + " cells around them");
    OverlayFiles files(folder.working(), job, opened.raster(), provenance, opened.margin_sources(),
                       most_spots_, zone_style, outputs_);
    run_overlay(job, files, [&](double fraction) {
        bar.show(before + (deciding - before) * fraction);
        stop_if_asked();
    });
    return_freed_memory();
    tell("overviews, and reading back what was written");
    files.finish([&](double fraction) {
        bar.show(deciding + (1 - deciding) * fraction);
        stop_if_asked();
    });
    // JSON tells what the page has, and is made from the same.
    std::optional<ReportInput> page;
    if (wants_map(job.wanted)) {
        tell(job.wanted.has(Layer::report) ? "the report" : "the map");
        page = page_of(opened, files, job, provenance);
        if (job.wanted.has(Layer::map)) write_map(folder.working(), *page);
        if (job.wanted.has(Layer::report)) write_report(folder.working(), *page);
    }
    files.drop_unasked();
    bar.clear();
    if (const std::string why = why_not_text(files.tally()); !why.empty()) tell(why);
    if (const std::string none = warning_of_no_water(files, !job_.bathymetry.empty()); !none.empty()) {
        warnings.push_back(opened.raster() + ": " + none);
        print_warning(warnings.back());
    }
    tell("flushing the folder to disk");
    folder.commit(provenance, threads_);
    if (json_) {
        print_document(
            overlay_json(folder, files, job, warnings, job.wanted.has(Layer::report) ? &*page : nullptr));
    } else {
        print_made(folder.target().string());
    }
    close(files, warnings.size(), rode_marks(job.tables->boat()));
    return 0;
}

} // namespace swingroom::cli
