#include "cli/options/overlay_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/overlay/layers.hpp"

#include "base/text.hpp"
#include "cli/options/area_options.hpp"
#include "cli/options/folder_names.hpp"
#include "cli/options/format_options.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <filesystem>
#include <string_view>
#include <thread>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

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

/// What bears on the result; the layers are in metres and degrees, whatever people read.
std::string effective_of(const po::variables_map& given) {
    return effective_plan(given, {"plan", "out", "overwrite", "threads", "memory", "cells-limit", "units",
                                  "positions", "json", "part", "print-parts"});
}

/// The words of --layers that mean something for one boat.
std::string layers_of_each(const std::string& words) {
    std::vector<std::string> kept;
    for (const std::string& word : split(words, ',')) {
        if (trimmed(word).substr(0, trimmed(word).find('.')) != name(Layer::boats_yes)) kept.push_back(word);
    }
    return joined(kept, ",");
}

/// Folders are called by the names of the boats' files.
std::vector<RunBoat> boats_of(const std::vector<std::string>& files, const po::variables_map& given) {
    std::vector<std::string> stems;
    for (const std::string& file : files) {
        stems.push_back(std::filesystem::path(file).stem().string());
    }
    const std::vector<std::string> folders = folder_names(stems, "boat"),
                                   names = names_of_boats(given, files.size());
    std::vector<RunBoat> boats;
    for (std::size_t i = 0; i < files.size(); ++i) {
        RunBoat& boat = boats.emplace_back();
        boat.file = files[i];
        if (files.size() > 1) boat.folder = folders[i];
        if (names.empty()) continue;
        boat.name = names[i];
        boat.prefix = NamePrefix::parse(names[i], "--name");
    }
    return boats;
}

} // namespace

void OverlayOptions::declare(Options& options) {
    job.declare(options, AccessOptions::declare);
    declare_making(options);
    // clang-format off
    options.group(Group::comes_out);
    options.add_options()
        ("layers", text_value("LAYER,...")->default_value("all"), "what to write, as verdict,zones.kml\n"
         "rode, radius, spare, sounder_limit, wind_limit, least_water and hours_afloat stand for all three ways to lie; all leaves out "
         "sounder_limit where rode is nowhere chosen by the sounder, and least_water and hours_afloat, which needs it, without --tide, boats_yes with one boat, and access_level always. With an ending a layer is written in the format of "
         "that ending. report, map and project bring verdict, zones and spots with them, circles spots. Fewer layers are much less work.");
    declare_formats(options, "FORMAT,...", "cog,geojson",
                    "Of layers named without an ending: cog and mbtiles hold rasters; geojson, gpkg, flatgeobuf, kml and gpx zones, spots, "
                    "circles and exclusions. A layer that none of them can hold is a COG or GeoJSON. The case of letters does not matter.");
    declare_compression(options);
    AreaOptions::declare(options);
    options.add_options()
        ("zone-edges", text_value("smooth|stepped")->default_value("smooth"), "how edges of zones are drawn\n"
         "smooth: without the steps of the cells; edges only ever move inwards, by a cell at the most. stepped: along the cells.")
        ("least-zone", text_value("AREA"), "leave out zones smaller than this\n"
         "Square metres, or with ft2 or ha; they have no spot either. The circle of the boat's position_allowance if not given, since "
         "a smaller place cannot be hit for certain; 0 keeps all.")
        ("spots", text_value("N")->default_value("50"), "how many drop points at the most\n0 to 100000; the best are kept.");
    // clang-format on
}

void OverlayOptions::declare_making(Options& options) {
    // clang-format off
    options.group(Group::comes_out);
    options.add_options()
        ("out", text_value("FOLDER"), "folder to make, whole or not at all; must be given");
    options.group(Group::seldom);
    options.add_options()
        ("overwrite", po::bool_switch(), "replace a folder that an earlier run has made\n"
         "A folder that holds anything else is never replaced. Without it an existing folder is kept, which is said "
         "before the work starts.")
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

Options OverlayOptions::planned() {
    Options options;
    OverlayOptions().declare(options);
    return options;
}

bool OverlayOptions::is_of_making(std::string_view name) {
    static const Options making = [] {
        Options options;
        declare_making(options);
        return options;
    }();
    return making.find_nothrow(std::string(name), false) != nullptr;
}

std::string OverlayOptions::plan_of_parts() const {
    po::variables_map what;
    for (const auto& [name, value] : given) {
        // As it is by default it need not be said, but for the limit, which no part passes either.
        if (!is_of_making(name) || (name == "cells-limit" && !value.defaulted())) what.insert({name, value});
    }
    return whole_plan(what, planned());
}

std::string OverlayOptions::plan() const { return whole_plan(given, planned()); }

Outputs OverlayOptions::outputs_of_each() const {
    Outputs of_each = outputs;
    LayerSet of_all;
    of_all.add(Layer::boats_yes);
    of_each.formats.drop(of_all);
    return of_each;
}

std::string OverlayOptions::effective_for(const RunBoat& boat, std::optional<double> cell_m) const {
    po::variables_map alone = given;
    alone.insert_or_assign("boat", po::variable_value(std::vector<std::string>{boat.file}, false));
    if (!boat.name.empty()) alone.insert_or_assign("name", po::variable_value(boat.name, false));
    alone.insert_or_assign("layers",
                           po::variable_value(layers_of_each(alone["layers"].as<std::string>()), false));
    if (cell_m) alone.insert_or_assign("cell", po::variable_value(fixed(*cell_m, 1), false));
    return effective_of(alone);
}

void OverlayOptions::accept(const po::variables_map& on_command_line) {
    const po::variables_map all =
        job.accept(on_command_line, planned(), {{"out", "name the folder to make, for example anchorages"}});
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
    out = text("out");
    overwrite = all["overwrite"].as<bool>();
    json = all["json"].as<bool>();
    const BoatCount count_of_boats = job.boat_files.size() > 1 ? BoatCount::several : BoatCount::one;
    outputs.formats = LayerFormats::parse(text("layers"), formats_of(all), "--layers", count_of_boats);
    if (outputs_of_each().formats.layers().empty()) {
        throw InputError("--layers", "has nothing for each of the boats, only what tells of all of them",
                         "name a layer that each has, as in verdict," + text("layers"));
    }
    // Where no depth is a chart's band they would be empty.
    if (text("layers") == "all" && !job.may_sound()) {
        outputs.formats.drop(LayerSet::parse("sounder_limit", "--layers"));
    }
    if (job.tide.file.empty()) leave_out_what_needs_a_tide(text("layers"), outputs.formats);
    access.accept(all, text("layers"), outputs.formats);
    outputs.styles = styles_of(all);
    outputs.compression = compression_of(all);
    most_spots = static_cast<std::size_t>(count("spots", 0, 100000));
    const std::string edges = text("zone-edges");
    if (edges != "smooth" && edges != "stepped") {
        throw InputError("--zone-edges", "\"" + edges + "\" is neither", "give smooth or stepped");
    }
    smooth_zones = edges == "smooth";
    if (all.count("least-zone") != 0) {
        const double area_m2 = parse_area(text("least-zone"), "--least-zone").square_metres();
        least_zone_m2 = within(area_m2, {0, 1e12}, text("least-zone"), "--least-zone",
                               "give square metres, 0 to keep every zone");
    }
    threads = all.count("threads") != 0 ? count("threads", 1, 1024)
                                        : static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
    memory_mb = count("memory", 64, 1000000);
    outputs.waiting_bytes = static_cast<std::size_t>(memory_mb) * 1'000'000 / 3;
    cells_limit = within(parse_number(text("cells-limit"), "--cells-limit"), {1, 1e18}, text("cells-limit"),
                         "--cells-limit", "give how many cells a run may have, as 2e10");
    effective = effective_of(all);
    boats = boats_of(job.boat_files, all);
    outputs.prefix = boats.front().prefix;
    given = all;
    inputs = job.input_files(on_command_line);
}

} // namespace swingroom::cli
