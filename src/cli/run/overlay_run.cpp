#include "cli/run/overlay_run.hpp"

#include "swingroom/base/fact.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/overlay/parts.hpp"
#include "swingroom/report/closing_words.hpp"
#include "swingroom/report/named_noes.hpp"
#include "swingroom/report/run_summary.hpp"
#include "swingroom/report/why_not.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/sea_record.hpp"

#include "cli/console.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/run_of_parts.hpp"

#include <algorithm>
#include <cstdint>
#include <memory>
#include <numbers>
#include <string_view>
#include <utility>

namespace swingroom::cli {
namespace {

/// Shares of the time of a run with many layers: of looking for the way in, and up to the last cell.
constexpr double share_of_way_in = 0.2, share_of_deciding = 0.6;
/// Of the time of a part: of deciding.
constexpr double share_of_part = 0.8;

/// Cells along the side of the tiles that a part's share of the sea is kept in.
constexpr int tile_of_record = 512;

/// Of the memory that is aimed at, what GDAL may keep of files: a share of so much.
constexpr int share_of_cache = 8;

/// What GDAL keeps of the inputs while blocks are decided. A row of blocks asks for the tiles of three rows
/// of an input, of which the next row of blocks asks for two again. Where not all of them fit, each is gone
/// before it is asked for again, and what blocks side by side have in common is all that is worth its
/// memory: 24.3 s and 189 MB in the place of 24.3 s and 209 MB over 16384 x 16384 cells.
std::int64_t file_cache_bytes(int memory_mb, const OverlayJob& job) {
    constexpr int tile = 512, share_of_neighbours = 20;
    constexpr double nearly = 1.1; // a few that are missing cost little
    const std::int64_t bytes = std::int64_t{memory_mb} * 1'000'000, all = bytes / share_of_cache;
    const double of_three_rows = 3.0 * tile * sizeof(float) * job.window.cols;
    return of_three_rows <= nearly * static_cast<double>(all) ? all : bytes / share_of_neighbours;
}

/// Exclusions are drawn a mile beyond what is looked at, for whoever comes from there.
constexpr double drawn_around_m = 1852;

std::string in_words(const ZoneStyle& style) {
    return std::string(style.smooth_edges ? "edges smoothed inwards by a cell at the most"
                                          : "edges along the cells") +
           "; those below " + fixed_up(style.least_area_m2, 1) + " m2 left out";
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

/// A place that is smaller than what the anchor may fall beside where it is meant to cannot be hit for
/// certain.
ZoneStyle style_of_zones(const OverlayOptions& options, const OverlayJob& job) {
    const double allowance_m = job.tables->boat().policy.position_allowance_m;
    return {options.smooth_zones,
            options.least_zone_m2.value_or(std::numbers::pi * allowance_m * allowance_m)};
}

} // namespace

/// What takes memory: looking for the way in takes as much as its layer.
LayerSet OverlayRun::reckoned(LayerSet wanted) const {
    if (options_.access.looked_for) wanted.add(Layer::access_level);
    return wanted;
}

WayInNeed OverlayRun::need_of_way_in(Window raster, BlockSize block) const {
    return options_.access.looked_for && !too_large_for_way_in(raster) ? way_in_need(raster, block)
                                                                       : WayInNeed();
}

/// Before anything is made that grows with the raster.
void OverlayRun::consider_size(Window window, Window raster, const std::string& source) const {
    const std::filesystem::path folder = disk();
    const LayerSet wanted = options_.outputs.formats.layers();
    // How far a circle reaches is not known yet; blocks are made as the memory allows.
    const BlockSize block = block_for(options_.memory_mb, options_.threads, 0, wanted);
    const WayInNeed way = need_of_way_in(raster, block);
    const double memory = memory_need(window, reckoned(wanted), options_.threads, block, 0, way);
    Window share = window; // as many cells as a part has
    share.rows = (window.rows + shares_ - 1) / shares_;
    const RunSize size{window, std::max(memory, options_.memory_mb * 1e6),
                       with_way_in(disk_need(share, wanted, options_.outputs), way), way.disk_bytes,
                       free_bytes(folder)};
    require_possible(size, options_.cells_limit, source, folder.string());
    if (const std::string note = note_of_size(size, source, folder.string()); !note.empty()) {
        print_warning(note);
    }
}

ReportInput OverlayRun::page_of(const OverlayFiles& files) const {
    std::vector<Inspection> inspections = opened_->inspections();
    for (Inspection& inspection : inspections) {
        for (auto* const messages : {&inspection.open_questions, &inspection.doubts}) {
            for (Message& message : *messages) {
                message = message.with_names(option_of); // the page is read by who types options
            }
        }
    }
    ReportInput page = report_input(opened_->tables_for_people(), std::move(inspections), provenance_,
                                    options_.job.measures);
    page.vectors = files.vectors();
    page.best_spots = files.best_spots();
    page.places = opened_->place_names();
    page.waivers = opened_->waivers();
    page.tally = files.tally();
    page.map = {files.map_planes(), &job_};
    page.tide = job_.tide;
    page.way_in = job_.way_in;
    if (!job_.wanted.has(Layer::report)) return page; // what a map does not show may be dear to find
    page.named_noes =
        named_noes(files.tally(), job_, opened_->georeference(), opened_->rules(), opened_->known());
    page.anchorages = files.anchorages();
    return page;
}

/// What was found, for who looks on; a script has it from --json.
void OverlayRun::close(const OverlayFiles& files) const {
    if (!stderr_is_terminal() || loudness() == Loudness::quiet) return;
    const std::vector<PositionReport>& best = files.best_spots();
    for (const std::string& line :
         closing_lines({files.tally(), best.empty() ? nullptr : &best.front(), warnings_.size(),
                        rode_marks(job_.tables->boat()), options_.job.measures})) {
        print(line + "\n", Stream::err);
    }
}

OverlayRun::OverlayRun(const OverlayOptions& options, const PartsOfRun* parts,
                       std::shared_ptr<KeptInputs> kept)
    : options_(options), parts_(parts), kept_(std::move(kept)) {}

/// Decides what can be decided before the work starts.
void OverlayRun::begin_folder() {
    folder_.emplace(options_.out, options_.overwrite, options_.inputs);
    for (const std::string& note : folder_->notes()) {
        print_warning(note);
    }
}

/// Where the folder is made, and what is put aside meanwhile.
std::filesystem::path OverlayRun::disk() const {
    if (folder_) return folder_->working().parent_path();
    return std::filesystem::absolute(options_.out).lexically_normal().parent_path();
}

void OverlayRun::open() {
    limit_file_cache(std::int64_t{options_.memory_mb} * 1'000'000 / share_of_cache);
    std::unique_ptr<JobInputs> inputs;
    if (parts_ != nullptr) {
        inputs = std::make_unique<PartsOfJob>(options_.job, *parts_);
    } else {
        inputs = std::make_unique<FilesOfJob>(options_.job, kept_);
    }
    opened_.emplace(
        options_.job, std::move(inputs),
        [this](const Grid& grid, const Georeference& georeference, const std::string& source) {
            const Window window = window_of(options_.job.bounds, grid, georeference, source);
            consider_size(window, grid.extent(), source);
            return window;
        },
        drawn_around_m);
    opened_->warn();
    warnings_ = opened_->warnings();
    job_ = opened_->job();
    job_.wanted = options_.outputs.formats.layers();
    job_.threads = options_.threads;
    job_.block = parts_ != nullptr || shares_ > 1
                     ? block_of_parts
                     : block_for(options_.memory_mb, job_.threads, halo_cells(job_), job_.wanted);
    limit_file_cache(file_cache_bytes(options_.memory_mb, job_));
    job_.spooling.folder = disk(); // which is the one that has room
    require_memory(memory_need(job_.window, reckoned(job_.wanted), job_.threads, job_.block, halo_cells(job_),
                               need_of_way_in(opened_->grid().extent(), job_.block)),
                   memory_of_machine(), opened_->raster(), job_.threads, halo_cells(job_));
}

void OverlayRun::find_provenance() {
    folder_->keep_inputs(options_.inputs);
    if (parts_ != nullptr) {
        provenance_ = {parts_->terms.effective_plan, parts_->inputs, parts_->terms.facts};
        return;
    }
    tell("digests of the inputs");
    provenance_ = opened_->provenance(options_.effective);
    folder_->keep_inputs(names_of(provenance_.inputs)); // those too that others have brought with them
}

WayInRequest OverlayRun::way_in_request(bool of_all) {
    OverlayJob all = of_all ? opened_->job_of_all() : opened_->job();
    all.threads = job_.threads;
    all.block = job_.block;
    all.spooling = job_.spooling;
    return {options_.access,
            all,
            opened_->georeference(),
            opened_->raster(),
            options_.boats.front().file,
            options_.job.measures,
            job_.wanted.has(Layer::access_level)};
}

void OverlayRun::look_for_way_in() {
    if (!options_.access.looked_for) return;
    const WayInRequest request = way_in_request(!too_large_for_way_in(opened_->grid().extent()));
    tell("the way in, over " + std::to_string(request.job.window.cols) + " x " +
         std::to_string(request.job.window.rows) + " cells");
    way_.emplace(find_way_in(request, [&](double fraction) { show(share_of_way_in * fraction); }));
    job_.way_in = way_->way_in.get();
    provenance_.facts.insert(provenance_.facts.end(), way_->facts.begin(), way_->facts.end());
    if (way_->warning.empty()) return;
    bar_.clear();
    print_warning(way_->warning);
    provenance_.facts.push_back(warning_fact(way_->warning));
    warnings_.push_back(way_->warning);
}

void OverlayRun::show(double fraction) {
    bar_.show(fraction);
    stop_if_asked();
}

void OverlayRun::make() {
    make([this](const MadeRun& made) { print_result(made); });
}

void OverlayRun::make(const std::function<void(const MadeRun&)>& tell_made) {
    begin_folder();
    open();
    find_provenance();
    const ZoneStyle zone_style = style_of_zones(options_, job_);
    if (job_.wanted.has(Layer::zones) || job_.wanted.has(Layer::spots)) {
        provenance_.facts.push_back({"zones", in_words(zone_style)});
    }
    look_for_way_in();
    const double before = way_ ? share_of_way_in : 0;
    return_freed_memory();
    tell("deciding " + std::to_string(job_.window.cols) + " x " + std::to_string(job_.window.rows) +
         " cells, " + std::to_string(job_.threads) + (job_.threads == 1 ? " thread" : " threads") +
         ", blocks of " + std::to_string(job_.block.cols) + " x " + std::to_string(job_.block.rows) +
         " and " + std::to_string(halo_cells(job_)) + " cells around them");
    std::optional<KeptParts> kept;
    if (parts_ != nullptr) kept.emplace(parts_->folders, job_, options_.outputs);
    OverlayFiles files(folder_->working(), job_, opened_->raster(), provenance_, opened_->margin_sources(),
                       options_.most_spots, zone_style, options_.outputs);
    if (kept) files.take_from(*kept);
    const auto progress = [&](double fraction) { show(before + (share_of_deciding - before) * fraction); };
    if (kept) {
        merge_blocks(job_, *kept, files, progress);
    } else {
        run_overlay(job_, files, progress);
    }
    return_freed_memory();
    tell("overviews, and reading back what was written");
    files.finish([&](double fraction) { show(share_of_deciding + (1 - share_of_deciding) * fraction); });
    // JSON tells what the page has, and is made from the same.
    std::optional<ReportInput> page;
    if (wants_map(job_.wanted)) {
        tell(job_.wanted.has(Layer::report) ? "the report" : "the map");
        page = page_of(files);
        if (job_.wanted.has(Layer::map)) write_map(folder_->working(), *page);
        if (job_.wanted.has(Layer::report)) write_report(folder_->working(), *page);
    }
    files.drop_unasked();
    bar_.clear();
    if (const std::string why = why_not_text(files.tally()); !why.empty()) tell(why);
    if (const std::string none = warning_of_no_water(files, !options_.job.bathymetry.empty());
        !none.empty()) {
        warnings_.push_back(opened_->raster() + ": " + none);
        print_warning(warnings_.back());
    }
    tell("flushing the folder to disk");
    folder_->commit(provenance_, options_.threads);
    const std::vector<MadeBoat> made = {{options_.boats.front().folder, files, job_, warnings_,
                                         job_.wanted.has(Layer::report) ? &*page : nullptr}};
    tell_made({*folder_, made});
}

void OverlayRun::print_result(const MadeRun& made) const {
    if (options_.json) {
        const MadeBoat& boat = made.boats.front();
        print_document(overlay_json(made.folder, boat.files, boat.job, boat.warnings, boat.page));
    } else {
        print_made(made.folder.target().string());
    }
    close(made.boats.front().files);
}

PartRecord OverlayRun::record_of(PartOfRun number) const {
    return {number, terms_of(options_, *opened_), opened_->sampled_inputs()};
}

/// What a merge asks of the sea and of the levels.
void OverlayRun::record(PartOfRun number) const {
    const SeaShare share{number.part, number.parts, tile_of_record, options_.threads};
    AskedOfSea asked = opened_->asked();
    asked.all_of_grid = options_.access.looked_for && !too_large_for_way_in(opened_->grid().extent());
    record_sea(opened_->sea(), asked, share, folder_->working(), &opened_->part());
    if (options_.job.levels.vary()) {
        record_levels(options_.job.levels, opened_->grid(), opened_->raster(), share, folder_->working());
    }
}

void OverlayRun::make_part(PartOfRun number) {
    shares_ = number.parts;
    const std::optional<PartRecord> standing = part_in(options_.out);
    if (!standing) begin_folder();
    open();
    PartRecord record = record_of(number);
    if (standing) {
        if (is_same_part(*standing, record) && verify_folder(options_.out).empty()) {
            tell("the part is there already, and whole");
            print_made(options_.out);
            return;
        }
        begin_folder();
    }
    folder_->keep_inputs(options_.inputs);
    folder_->keep_inputs(opened_->files());
    // All of the sea is asked for only where somebody has said where she comes from.
    if (options_.access.looked_for) check_way_in(way_in_request(!options_.access.from.empty()));
    tell("digests of inputs");
    provenance_ = {options_.effective, {}, record.terms.facts};
    provenance_.facts.push_back(
        {"part", std::to_string(number.part) + " of " + std::to_string(number.parts)});
    for (std::size_t i = 0; i < record.inputs.size(); ++i) {
        if (digesting_part(i, number.parts) != number.part) continue;
        InputFile& input = record.inputs[i].file;
        input.sha256 =
            digest_of_file(input.path).sha256; // what has changed since it was sampled is told below
        provenance_.inputs.push_back(input);
    }
    write_part_record(folder_->working(), record);
    const BlockShare share = blocks_of_part(blocks_of_parts(job_.window).count(), number.part, number.parts);
    tell("deciding " + std::to_string(share.count()) + " blocks of " + std::to_string(job_.block.cols) +
         " x " + std::to_string(job_.block.rows));
    PartFiles files(folder_->working(), job_, options_.outputs, share);
    run_part(job_, share, files, [&](double fraction) { show(share_of_part * fraction); });
    files.finish();
    return_freed_memory();
    tell("keeping the sea");
    this->record(number);
    bar_.clear();
    std::vector<InputFile> inputs;
    for (const SampledInput& input : record.inputs) {
        inputs.push_back(input.file);
    }
    require_unchanged(inputs);
    tell("flushing the folder to disk");
    folder_->commit(provenance_, options_.threads);
    print_made(folder_->target().string());
}

} // namespace swingroom::cli
