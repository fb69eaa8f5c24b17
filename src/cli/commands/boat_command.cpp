#include "cli/commands/boat_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/publish/file.hpp"
#include "swingroom/report/boat_report.hpp"

#include "boat/boat_template.hpp"
#include "cli/console.hpp"
#include "cli/options/conditions_options.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// A whole file or none, and never the boat file.
void write_picture(const std::string& path, const std::string& text, bool overwrite,
                   const std::string& boat_file) {
    PendingFile file(path, overwrite, Setting::picture, {boat_file});
    for (const std::string& note : file.notes()) {
        print_warning(note);
    }
    file.commit(text);
}

} // namespace

void BoatCommand::declare(Options& options, po::positional_options_description& positional) {
    // clang-format off
    options.add_options()
        ("file", text_value("FILE"), "boat file (INI); FILE alone will do; must be given")
        ("template", po::bool_switch(), "print a boat file to fill in, and end\n"
         "Commented: what is needed stands open, all else with what counts if it is left out. Save it, fill it in, and give it as FILE.");
    declare_wind(options);
    declare_levels(options, false);
    declare_current(options);
    options.add_options()
        ("depth", text_value("M"), "depth for the sinker's worth and the picture\n"
         "Below chart datum. 5 m, or the nearest depth of the table at which she can lie, if not given.")
        ("format", text_value("text|json|csv|markdown")->default_value("text"), "how the table is printed")
        ("picture", text_value("FILE"), "draw the rode into this file (SVG)\n"
         "To scale, without and with the sinker if there is one; refused where no way is to be had in that depth, or where FILE is a "
         "symbolic link or the boat file by another name.")
        ("overwrite", po::bool_switch(), "replace the picture if it exists");
    // clang-format on
    declare_json(options);
    declare_units(options);
    positional.add("file", 1);
}

void BoatCommand::accept(const po::variables_map& given) {
    template_ = given["template"].as<bool>();
    if (template_ && given.count("file") != 0) {
        throw InputError("--template", "is given with a boat file", "leave one of them out");
    }
    if (template_) return;
    if (!given.count("file")) {
        throw InputError("FILE", "no boat file is given",
                         "give its path, or print one to fill in with swingroom boat --template");
    }
    file_ = given["file"].as<std::string>();
    conditions_ = conditions_of(given, levels_of(given));
    const auto text = [&](const char* option) { return given[option].as<std::string>(); };
    if (given.count("depth")) {
        depth_m_ = within(parse_length(text("depth"), "--depth").metres(), {0, 1000}, text("depth"),
                          "--depth", "give 0 to 1000 m");
    }
    constexpr std::array<std::string_view, 4> formats = {"text", "json", "csv", "markdown"};
    const std::string format = text("format");
    const auto* const at = std::find(formats.begin(), formats.end(), format);
    if (at == formats.end()) {
        throw InputError("--format", "\"" + format + "\" is not known",
                         cure_for_word(format, {formats.begin(), formats.end()}));
    }
    format_ = static_cast<Format>(at - formats.begin());
    if (given["json"].as<bool>()) {
        if (!given["format"].defaulted() && format_ != Format::json) {
            throw InputError("--json", "contradicts --format " + format, "give one of the two");
        }
        format_ = Format::json;
    }
    measures_ = measures_of(given);
    overwrite_ = given["overwrite"].as<bool>();
    if (given.count("picture")) {
        picture_ = text("picture");
        if (picture_.empty()) throw InputError("--picture", "no name", "give the file to make");
    }
}

int BoatCommand::run() {
    if (template_) {
        print_document(boat_template());
        return 0;
    }
    const Boat boat = read_boat_file(file_);
    const TackleTables tables(boat, conditions_, sounded_uncertainty_m(boat));
    if (depth_m_ >= 0 && depth_m_ + conditions_.water.low_m < boat.hull.draught_m) {
        throw InputError("--depth", "does not float the boat at low water", "give a greater depth");
    }
    const bool for_programs = format_ == Format::json || format_ == Format::csv;
    const BoatReport report = boat_report(tables, depth_m_, for_programs ? Measures{} : measures_);
    if (!picture_.empty() && !has_picture(tables, report.sinker_depth_m)) {
        throw InputError("--picture",
                         "in " + length_text(report.sinker_depth_m, Rounded::nearest, measures_) +
                             " there is no way to lie that could be drawn",
                         "give another --depth; without --picture the table tells which will do");
    }
    if (!picture_.empty()) {
        write_picture(picture_, boat_picture(tables, report.sinker_depth_m, measures_).str(), overwrite_,
                      file_);
    }
    switch (format_) {
    case Format::text:
        print(boat_text(tables, report, measures_, columns(Stream::out)));
        break;
    case Format::json:
        print_document(boat_json(tables, report));
        break;
    case Format::csv:
        print_document(boat_csv(tables, report));
        break;
    case Format::markdown:
        print_document(boat_markdown(tables, report, measures_));
        break;
    }
    return 0;
}

} // namespace swingroom::cli
