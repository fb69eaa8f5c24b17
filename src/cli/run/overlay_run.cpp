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

#include "base/parallel.hpp"
#include "cli/console.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/each_boat.hpp"
#include "cli/run/run_of_parts.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <numbers>
#include <ranges>
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

/// Those of the files that are named, in the order of the names.
std::vector<InputFile> picked(const std::vector<InputFile>& files, const std::vector<std::string>& names) {
    std::vector<InputFile> found;
    for (const std::string& name : names) {
        found.push_back(*std::ranges::find(files, name, &InputFile::path));
    }
    return found;
}

/// What stands before messages of a boat that is not the only one.
std::string prefix_of(const RunBoat& boat) { return boat.folder.empty() ? "" : boat.folder + ": "; }

/// Warnings of each of several boats: of all of them once, of others by their folders.
void print_warnings(const std::vector<RunBoat>& boats,
                    const std::vector<std::vector<std::string>>& of_boats) {
    for (std::size_t i = 0; i < boats.size(); ++i) {
        for (const std::string& warning : of_boats[i]) {
            const bool of_all = std::ranges::all_of(of_boats, [&](const std::vector<std::string>& warnings) {
                return std::ranges::find(warnings, warning) != warnings.end();
            });
            if (!of_all) {
                print_warning(prefix_of(boats[i]) + warning);
            } else if (i == 0) {
                print_warning(warning);
            }
        }
    }
}

} // namespace

int OverlayRun::boats_count() const { return static_cast<int>(options_.boats.size()); }

/// What takes memory: looking for the way in takes as much as its layer.
LayerSet OverlayRun::reckoned(LayerSet wanted) const {
    if (options_.access.looked_for) wanted.add(Layer::access_level);
    return wanted;
}

WayInNeed OverlayRun::need_of_way_in(Window raster, BlockSize block) const {
    return options_.access.looked_for && !too_large_for_way_in(raster)
               ? way_in_need(raster, block, boats_count())
               : WayInNeed();
}

/// Before anything is made that grows with the raster.
void OverlayRun::consider_size(Window window, Window raster, const std::string& source) const {
    const std::filesystem::path folder = disk();
    const Outputs of_each = options_.outputs_of_each();
    const LayerSet wanted = of_each.formats.layers();
    // How far a circle reaches is not known yet; blocks are made as the memory allows.
    const BlockSize block = block_for(options_.memory_mb, options_.threads, 0, wanted);
    const WayInNeed way = need_of_way_in(raster, block);
    const double memory =
        memory_need(window, reckoned(wanted), options_.threads, block, 0, way, boats_count());
    Window share = window; // as many cells as a part has
    share.rows = (window.rows + shares_ - 1) / shares_;
    DiskNeed disk = disk_need(share, wanted, of_each);
    disk.least_bytes *= boats_count();
    disk.most_bytes *= boats_count();
    if (options_.of_all_boats()) {
        LayerSet of_all;
        of_all.add(Layer::boats_yes);
        const DiskNeed more = disk_need(share, of_all, options_.outputs);
        disk.least_bytes += more.least_bytes;
        disk.most_bytes += more.most_bytes;
    }
    const RunSize size{window, std::max(memory, options_.memory_mb * 1e6), with_way_in(disk, way),
                       way.disk_bytes, free_bytes(folder)};
    require_possible(size, options_.cells_limit, source, folder.string());
    if (const std::string note = note_of_size(size, source, folder.string()); !note.empty()) {
        print_warning(note);
    }
}

/// What the page says of the inputs, which is the same for all boats.
void OverlayRun::inspect_inputs() {
    if (inspections_) return;
    inspections_ = opened_->inspections();
    for (Inspection& inspection : *inspections_) {
        for (auto* const messages : {&inspection.open_questions, &inspection.doubts}) {
            for (Message& message : *messages) {
                message = message.with_names(option_of); // the page is read by who types options
            }
        }
    }
}

ReportInput OverlayRun::page_of(const BoatOfRun& boat) {
    const OverlayJob& job = boat.job;
    std::vector<NamedNo> noes;
    const std::array<std::function<void()>, 2> looks = {
        [&] { inspect_inputs(); },
        [&] {
            if (!job.wanted.has(Layer::report)) return; // what a map does not show may be dear to find
            noes = named_noes(boat.files->tally(), job, opened_->georeference(), opened_->rules(),
                              boat.opened.known);
        }};
    side_by_side(looks, options_.threads);
    ReportInput page = report_input(opened_->tables_for_people(boat.opened), *inspections_, boat.provenance,
                                    options_.job.measures);
    page.vectors = boat.files->vectors();
    page.best_spots = boat.files->best_spots();
    page.places = opened_->place_names();
    page.waivers = boat.opened.waivers;
    page.tally = boat.files->tally();
    page.map = {boat.files->map_planes(), &job};
    page.tide = job.tide;
    page.way_in = job.way_in;
    if (!job.wanted.has(Layer::report)) return page;
    page.named_noes = std::move(noes);
    page.anchorages = boat.files->anchorages();
    return page;
}

/// What was found, for who looks on; a script has it from --json.
void OverlayRun::close(const BoatOfRun& boat) const {
    if (!stderr_is_terminal() || loudness() == Loudness::quiet) return;
    if (!boat.named.folder.empty()) print(boat.named.folder + ":\n", Stream::err);
    const std::vector<PositionReport>& best = boat.files->best_spots();
    for (const std::string& line :
         closing_lines({boat.files->tally(), best.empty() ? nullptr : &best.front(), boat.warnings.size(),
                        rode_marks(boat.opened.boat), options_.job.measures})) {
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
    limit_file_cache(usual_file_cache_bytes(options_.memory_mb));
    std::unique_ptr<JobInputs> inputs;
    if (parts_ != nullptr) {
        inputs = std::make_unique<PartsOfJob>(options_.job, *parts_);
    } else {
        inputs = std::make_unique<FilesOfJob>(options_.job, kept_);
    }
    opened_.emplace(
        options_.job, std::move(inputs),
        [this](const Grid& grid, const Georeference& georeference, const std::string& source) {
            const Window window = window_of(options_.job.area, grid, georeference, source);
            consider_size(window, grid.extent(), source);
            return window;
        },
        drawn_around_m);
    const Window window = opened_->view().window;
    const int halo = opened_->halo();
    const LayerSet wanted = options_.outputs_of_each().formats.layers();
    const BlockSize block = parts_ != nullptr || shares_ > 1
                                ? block_of_parts
                                : block_for(options_.memory_mb, options_.threads, halo, wanted);
    std::vector<std::vector<std::string>> warnings;
    for (std::size_t i = 0; i < options_.boats.size(); ++i) {
        BoatOfRun& boat = boats_.emplace_back(options_.boats[i], opened_->boats()[i]);
        boat.warnings = boat.opened.warnings;
        boat.job = opened_->job(boat.opened);
        boat.job.wanted = wanted;
        boat.job.threads = options_.threads;
        boat.job.block = block;
        boat.job.spooling.folder = disk(); // which is the one that has room
        boat.job.spooling.in_memory_bytes /= options_.boats.size();
        warnings.push_back(boat.warnings);
    }
    print_warnings(options_.boats, warnings);
    keep_of_files(block);
    require_memory(memory_need(window, reckoned(wanted), options_.threads, block, halo,
                               need_of_way_in(opened_->grid().extent(), block), boats_count()),
                   memory_of_machine(), opened_->raster(), options_.threads, halo);
}

void OverlayRun::keep_of_files(BlockSize block) {
    const FileCache cache = file_cache(options_.memory_mb, *opened_->part().depths, opened_->view().window,
                                       block, opened_->halo());
    limit_file_cache(cache.bytes);
    if (cache.wanted_mb > options_.memory_mb) {
        print_warning(opened_->raster() + ": is stored in blocks so wide that each would be decoded " +
                      std::to_string(cache.times_decoded) + " times; give --memory " +
                      std::to_string(cache.wanted_mb) +
                      ", or write it in tiles first (gdal_translate -co TILED=YES -co COMPRESS=DEFLATE)");
    }
}

/// Digests of the inputs ask nothing of the way in, which reads depths on one thread until it knows where it
/// begins.
void OverlayRun::look_at_inputs() {
    folder_->keep_inputs(options_.inputs);
    std::vector<std::function<void()>> things;
    if (parts_ == nullptr) {
        tell("digests of the inputs");
        things.emplace_back([this] { inputs_ = opened_->digested_inputs(); });
    }
    if (options_.access.looked_for) {
        check_ways_in(); // by which all of the sea is prepared that is looked at
        things.emplace_back([this] { look_for_ways_in(); });
    }
    side_by_side(things, options_.threads);
    bar_.clear();
    find_provenance();
    tell_of_ways_in();
}

void OverlayRun::find_provenance() {
    if (parts_ != nullptr) {
        boats_.front().provenance = {parts_->terms.effective_plan, parts_->inputs, parts_->terms.facts};
    } else {
        folder_->keep_inputs(names_of(inputs_)); // those too that others have brought with them
        for (BoatOfRun& boat : boats_) {
            boat.provenance = {options_.effective_for(boat.named, boat.opened.cell_m),
                               picked(inputs_, opened_->files(boat.opened)), opened_->facts(boat.opened)};
        }
    }
    for (BoatOfRun& boat : boats_) {
        if (!boat.job.wanted.has(Layer::zones) && !boat.job.wanted.has(Layer::spots)) continue;
        boat.provenance.facts.push_back({"zones", in_words(style_of_zones(options_, boat.job))});
    }
}

/// Of what stands over several boats.
Provenance OverlayRun::provenance_of_all() const {
    Provenance provenance{options_.effective, inputs_, {}};
    for (const BoatOfRun& boat : boats_) {
        provenance.facts.push_back(
            {"folder " + boat.named.folder, boat.opened.boat.name + ", by " + boat.named.file});
    }
    for (Fact& fact : opened_->common_facts()) {
        provenance.facts.push_back(std::move(fact));
    }
    return provenance;
}

const std::string& OverlayRun::file_of(const BoatOfRun& boat) { return boat.named.file; }

WayInRequest OverlayRun::way_in_request(const BoatOfRun& boat) {
    return way_in_request(boat, !too_large_for_way_in(opened_->grid().extent()));
}

WayInRequest OverlayRun::way_in_request(const BoatOfRun& boat, bool of_all) {
    OverlayJob all = of_all ? opened_->job_of_all(boat.opened) : opened_->job(boat.opened);
    all.threads = boat.job.threads;
    all.block = boat.job.block;
    all.spooling = boat.job.spooling;
    return {options_.access,
            all,
            opened_->georeference(),
            opened_->raster(),
            boat.named.file,
            options_.job.measures,
            boat.job.wanted.has(Layer::access_level)};
}

/// What can be said at once is not said after an hour.
void OverlayRun::check_ways_in() {
    each_boat(boats_, file_of, [this](const BoatOfRun& boat) { check_way_in(way_in_request(boat)); });
}

void OverlayRun::look_for_ways_in() {
    int before = 0;
    each_boat(boats_, file_of, [&](BoatOfRun& boat) {
        const WayInRequest request = way_in_request(boat);
        tell(prefix_of(boat.named) + "the way in, over " + std::to_string(request.job.window.cols) + " x " +
             std::to_string(request.job.window.rows) + " cells");
        boat.way.emplace(find_way_in(
            request, [&](double fraction) { show(share_of_way_in * (before + fraction) / boats_count()); }));
        boat.job.way_in = boat.way->way_in.get();
        ++before;
    });
}

void OverlayRun::tell_of_ways_in() {
    std::vector<std::vector<std::string>> warnings;
    for (BoatOfRun& boat : boats_) {
        warnings.emplace_back();
        if (!boat.way) continue;
        std::vector<Fact>& facts = boat.provenance.facts;
        facts.insert(facts.end(), boat.way->facts.begin(), boat.way->facts.end());
        if (boat.way->warning.empty()) continue;
        facts.push_back(warning_fact(boat.way->warning));
        boat.warnings.push_back(boat.way->warning);
        warnings.back().push_back(boat.way->warning);
    }
    print_warnings(options_.boats, warnings);
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
    look_at_inputs();
    return_freed_memory();
    decide();
    return_freed_memory();
    finish();
    return_freed_memory();
    doubt_answers();
    commit();
    std::vector<MadeBoat> made;
    for (const BoatOfRun& boat : boats_) {
        const ReportInput* const page = boat.job.wanted.has(Layer::report) ? &*boat.page : nullptr;
        made.push_back({boat.named.folder, *boat.files, boat.job, boat.warnings, page});
    }
    tell_made({*folder_, made, files_of_all_ ? &files_of_all_->of_all_boats() : nullptr});
}

/// Gathers the sea block by block, and answers each for all boats.
void OverlayRun::decide() {
    const SeaView sea = opened_->view();
    const BlockSize block = boats_.front().job.block;
    tell("deciding " + std::to_string(sea.window.cols) + " x " + std::to_string(sea.window.rows) + " cells" +
         (boats_count() > 1 ? " for " + std::to_string(boats_count()) + " boats, " : ", ") +
         std::to_string(options_.threads) + (options_.threads == 1 ? " thread" : " threads") +
         ", blocks of " + std::to_string(block.cols) + " x " + std::to_string(block.rows) + " and " +
         std::to_string(opened_->halo()) + " cells around them");
    const double before = options_.access.looked_for ? share_of_way_in : 0;
    const auto progress = [&](double fraction) { show(before + (share_of_deciding - before) * fraction); };
    Outputs outputs = options_.outputs_of_each();
    outputs.waiting_bytes /= options_.boats.size();
    std::vector<BoatJob> jobs;
    for (BoatOfRun& boat : boats_) {
        outputs.prefix = boat.named.prefix;
        boat.folder = boat.named.folder.empty() ? folder_->working() : folder_->make_inner(boat.named.folder);
        boat.files = std::make_unique<OverlayFiles>(boat.folder, boat.job, opened_->raster(), boat.provenance,
                                                    opened_->margin_sources(), options_.most_spots,
                                                    style_of_zones(options_, boat.job), outputs);
        jobs.push_back({boat.job.tables, boat.job.wanted, boat.files.get(), boat.job.tide, boat.job.way_in,
                        boat.job.hazards});
    }
    if (parts_ == nullptr) {
        begin_files_of_all(sea);
        run_overlay(sea, jobs, block, options_.threads, progress, files_of_all_.get());
        return;
    }
    const BoatOfRun& merged = boats_.front();
    decided_.emplace(parts_->folders, merged.job, options_.outputs);
    merged.files->take_from(*decided_);
    merge_blocks(merged.job, *decided_, *merged.files, progress);
}

/// What lies beside the boats' folders.
void OverlayRun::begin_files_of_all(const SeaView& sea) {
    if (!options_.of_all_boats()) return;
    std::vector<std::string> names;
    for (const BoatOfRun& boat : boats_) {
        names.push_back(boat.opened.boat.name);
    }
    Outputs outputs = options_.outputs;
    outputs.waiting_bytes /= options_.boats.size();
    files_of_all_ = std::make_unique<BoatsFiles>(folder_->working(), sea, names, opened_->raster(),
                                                 provenance_of_all(), options_.threads, outputs);
}

void OverlayRun::finish() {
    if (files_of_all_) files_of_all_->finish([this](double) { show(share_of_deciding); });
    double before = 0;
    for (BoatOfRun& boat : boats_) {
        finish(boat, [&](double fraction) {
            show(share_of_deciding + (1 - share_of_deciding) * (before + fraction) / boats_count());
        });
        before += 1;
    }
    bar_.clear();
}

/// All files of a boat that come after the last cell.
void OverlayRun::finish(BoatOfRun& boat, const std::function<void(double)>& progress) {
    const LayerSet wanted = boat.job.wanted;
    const std::string of_pages = wanted.has(Layer::report) ? ", and the report"
                                 : wanted.has(Layer::map)  ? ", and the map"
                                                           : "";
    tell(prefix_of(boat.named) + "overviews, reading back what was written" + of_pages);
    if (wants_map(wanted)) {
        boat.files->finish(progress, [&] {
            return_freed_memory();     // what the ways were looked for in
            boat.page = page_of(boat); // JSON tells what the page has, and is made from the same
            write_pages(boat.folder, *boat.page, wanted);
        });
    } else {
        boat.files->finish(progress);
    }
    boat.files->drop_unasked();
}

/// Says what is doubtful of the answers.
void OverlayRun::doubt_answers() {
    std::vector<std::vector<std::string>> warnings;
    for (BoatOfRun& boat : boats_) {
        if (const std::string why = why_not_text(boat.files->tally()); !why.empty()) {
            tell(prefix_of(boat.named) + why);
        }
        warnings.emplace_back();
        const std::string none = warning_of_no_water(*boat.files, !options_.job.bathymetry.empty());
        if (none.empty()) continue;
        boat.warnings.push_back(opened_->raster() + ": " + none);
        warnings.back().push_back(boat.warnings.back());
    }
    print_warnings(options_.boats, warnings);
}

/// One boat has all of the folder, several have a folder each in it.
void OverlayRun::commit() {
    tell("flushing the folder to disk");
    if (options_.boats.front().folder.empty()) {
        folder_->commit(boats_.front().provenance, options_.threads);
        return;
    }
    std::vector<InnerFolder> inner;
    for (const BoatOfRun& boat : boats_) {
        inner.push_back({boat.named.folder, boat.provenance});
    }
    folder_->commit(provenance_of_all(), options_.threads, inner);
}

void OverlayRun::print_result(const MadeRun& made) const {
    if (options_.json) {
        std::vector<BoatSummary> boats;
        for (const MadeBoat& boat : made.boats) {
            boats.push_back({boat.folder, boat.files, boat.job, boat.warnings, boat.page});
        }
        print_document(overlay_json(made.folder, boats));
    } else {
        print_made(made.folder.target().string());
    }
    for (const BoatOfRun& boat : boats_) {
        close(boat);
    }
}

PartRecord OverlayRun::record_of(PartOfRun number) const {
    return {number, terms_of(options_, opened_->facts(boats_.front().opened)), opened_->sampled_inputs()};
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
    if (options_.access.looked_for) {
        check_way_in(way_in_request(boats_.front(), !options_.access.from.empty()));
    }
    tell("digests of inputs");
    Provenance provenance{options_.effective, {}, record.terms.facts};
    provenance.facts.push_back({"part", std::to_string(number.part) + " of " + std::to_string(number.parts)});
    for (std::size_t i = 0; i < record.inputs.size(); ++i) {
        if (digesting_part(i, number.parts) != number.part) continue;
        InputFile& input = record.inputs[i].file;
        input.sha256 =
            digest_of_file(input.path).sha256; // what has changed since it was sampled is told below
        provenance.inputs.push_back(input);
    }
    write_part_record(folder_->working(), record);
    const OverlayJob& job = boats_.front().job;
    const BlockShare share = blocks_of_part(blocks_of_parts(job.window).count(), number.part, number.parts);
    tell("deciding " + std::to_string(share.count()) + " blocks of " + std::to_string(job.block.cols) +
         " x " + std::to_string(job.block.rows));
    PartFiles files(folder_->working(), job, options_.outputs, share);
    run_part(job, share, files, [&](double fraction) { show(share_of_part * fraction); });
    files.finish();
    tell("keeping the sea");
    this->record(number);
    bar_.clear();
    std::vector<InputFile> inputs;
    for (const SampledInput& input : record.inputs) {
        inputs.push_back(input.file);
    }
    require_unchanged(inputs);
    tell("flushing the folder to disk");
    folder_->commit(provenance, options_.threads);
    print_made(folder_->target().string());
}

} // namespace swingroom::cli
