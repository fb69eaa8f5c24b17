#include "cli/boat_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "cli/boat_report.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iostream>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// A whole file or none: written beside its name, then renamed.
void write_file(const std::string& path, const std::string& text) {
    const std::string working = path + ".part";
    {
        std::ofstream out(working, std::ios::binary | std::ios::trunc);
        out << text;
        out.close();
        if (!out) {
            std::error_code ignored;
            std::filesystem::remove(working, ignored);
            throw IoError(path, "cannot be written");
        }
    }
    std::error_code error;
    std::filesystem::rename(working, path, error);
    if (error) {
        std::error_code ignored;
        std::filesystem::remove(working, ignored);
        throw IoError(path, "cannot be written: " + error.message());
    }
}

double checked(double value, double least, double most, const char* option, const char* cure) {
    if (!(value >= least && value <= most)) throw InputError(option, "is not possible", cure);
    return value;
}

} // namespace

void BoatCommand::declare(po::options_description& options, po::positional_options_description& positional) {
    // clang-format off
    options.add_options()
        ("file", po::value<std::string>(), "the boat file (INI)")
        ("wind", po::value<std::string>(), "mean wind planned for, knots (20, 10 m/s)")
        ("low-water", po::value<std::string>()->default_value("0"), "lowest water of the stay above chart datum, metres")
        ("high-water", po::value<std::string>()->default_value("0"), "highest water of the stay above chart datum, metres")
        ("current", po::value<std::string>()->default_value("0"), "strongest current of the stay, knots")
        ("depth", po::value<std::string>(), "depth below chart datum for the sinker's worth and the picture, metres")
        ("format", po::value<std::string>()->default_value("text"), "text, json, csv or markdown")
        ("picture", po::value<std::string>(), "draw the rode with and without the sinker into this SVG file")
        ("overwrite", po::bool_switch(), "replace the picture if it exists");
    // clang-format on
    positional.add("file", 1);
}

void BoatCommand::accept(const po::variables_map& given) {
    if (!given.count("file")) throw InputError("FILE", "no boat file is given", "give its path");
    file_ = given["file"].as<std::string>();
    if (!given.count("wind"))
        throw InputError("--wind", "is missing", "give the mean wind that is planned for, in knots");
    const auto text = [&](const char* option) { return given[option].as<std::string>(); };
    conditions_.wind_kn =
        checked(parse_speed(text("wind"), "--wind").knots(), 1, 100, "--wind", "give 1 to 100 kn");
    conditions_.water.low_m = checked(parse_length(text("low-water"), "--low-water").metres(), -20, 30,
                                      "--low-water", "give metres above chart datum, -20 to 30");
    conditions_.water.high_m = checked(parse_length(text("high-water"), "--high-water").metres(), -20, 30,
                                       "--high-water", "give metres above chart datum, -20 to 30");
    if (conditions_.water.high_m < conditions_.water.low_m)
        throw InputError("--high-water", "lies below --low-water", "give both above chart datum");
    conditions_.current_kn =
        checked(parse_speed(text("current"), "--current").knots(), 0, 15, "--current", "give 0 to 15 kn");
    if (given.count("depth"))
        depth_m_ =
            checked(parse_length(text("depth"), "--depth").metres(), 0, 1000, "--depth", "give 0 to 1000 m");
    constexpr std::array<std::string_view, 4> formats = {"text", "json", "csv", "markdown"};
    const std::string format = text("format");
    const auto* const at = std::find(formats.begin(), formats.end(), format);
    if (at == formats.end())
        throw InputError("--format", "\"" + format + "\" is not known", "give text, json, csv or markdown");
    format_ = static_cast<Format>(at - formats.begin());
    overwrite_ = given["overwrite"].as<bool>();
    if (given.count("picture")) {
        picture_ = text("picture");
        if (!overwrite_ && std::filesystem::exists(picture_))
            throw InputError(picture_, "exists", "give another name, or --overwrite");
    }
}

int BoatCommand::run() {
    const Boat boat = read_boat_file(file_);
    const TackleTables tables(boat, conditions_, 0);
    if (depth_m_ >= 0 && depth_m_ + conditions_.water.low_m < boat.hull.draught_m)
        throw InputError("--depth", "does not float the boat at low water", "give a greater depth");
    const BoatReport report = boat_report(tables, depth_m_);
    if (!picture_.empty()) write_file(picture_, boat_picture(tables, report.sinker_depth_m));
    switch (format_) {
    case Format::text:
        std::cout << boat_text(tables, report);
        break;
    case Format::json:
        std::cout << boat_json(tables, report);
        break;
    case Format::csv:
        std::cout << boat_csv(report);
        break;
    case Format::markdown:
        std::cout << boat_markdown(tables, report);
        break;
    }
    std::cout.flush();
    if (!std::cout) throw IoError("standard output", "cannot be written");
    return 0;
}

} // namespace swingroom::cli
