#include "cli/inputs_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/chart/inspection.hpp"
#include "swingroom/room/hazard.hpp"

#include "base/ini_lines.hpp"
#include "base/json.hpp"
#include "cli/measures_options.hpp"

#include <array>
#include <cstdio>
#include <iostream>
#include <string_view>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

constexpr std::array effect_columns = {"hull", "ground", "drop", "trip", "warn", "survey"};
constexpr std::array kinds = {"raster", "chart", "vector file"};

void print_counts(const std::vector<ClassCount>& counts) {
    if (counts.empty()) return;
    std::printf("  %-28s %8s", "features by effect", "all");
    for (const char* name : effect_columns)
        std::printf(" %7s", name);
    std::printf(" %7s\n", "seabed");
    for (const ClassCount& count : counts) {
        std::printf("    %-26s %8lld", printable(count.name).c_str(), static_cast<long long>(count.features));
        for (std::size_t bit = 0; bit < effect_columns.size(); ++bit)
            if (count.by_effect[bit] > 0)
                std::printf(" %7lld", static_cast<long long>(count.by_effect[bit]));
            else
                std::printf(" %7s", "-");
        if (count.seabeds > 0)
            std::printf(" %7lld", static_cast<long long>(count.seabeds));
        else
            std::printf(" %7s", "-");
        std::printf("%s\n", count.known || count.matched > 0 ? "" : "  no rule speaks of it");
    }
}

void print(const Inspection& found) {
    std::printf("%s: %s\n", found.file.c_str(), kinds[static_cast<std::size_t>(found.kind)]);
    for (const auto& [what, value] : found.facts)
        std::printf("  %-20s %s\n", what.c_str(), value.c_str());
    print_counts(found.counts);
    for (const std::string& question : found.open_questions)
        std::printf("  to be said: %s\n", question.c_str());
    for (const std::string& doubt : found.doubts)
        std::printf("  doubtful: %s\n", doubt.c_str());
    if (found.open_questions.empty() && found.doubts.empty()) std::printf("  nothing doubtful was found\n");
}

std::string json_class(const ClassCount& count) {
    JsonObject json;
    json.text("name", count.name).whole("features", count.features);
    for (std::size_t bit = 0; bit < effect_columns.size(); ++bit)
        json.whole(effect_columns[bit], count.by_effect[bit]);
    return json.whole("seabed", count.seabeds)
        .truth("known_to_rules", count.known || count.matched > 0)
        .line();
}

std::string json_raster(const Inspection::Raster& raster) {
    return JsonObject()
        .whole("columns", raster.cols)
        .whole("rows", raster.rows)
        .number("cell_x_m", raster.cell.dx_m, 3)
        .number("cell_y_m", raster.cell.dy_m, 3)
        .number("with_depth_percent", 100 * raster.with_depth, 1)
        .number("shoalest_m", raster.shoalest_m, 1, Rounded::down)
        .number("deepest_m", raster.deepest_m, 1, Rounded::up)
        .line();
}

std::string json_file(const Inspection& found) {
    JsonObject json;
    json.text("file", found.file).text("kind", kinds[static_cast<std::size_t>(found.kind)]);
    if (found.bounds) {
        std::vector<std::string> degrees;
        for (const double value : *found.bounds)
            degrees.push_back(json_number(value, 6));
        json.raw("bounds", json_list(degrees));
    }
    if (found.raster) json.raw("raster", json_raster(*found.raster));
    std::vector<std::string> facts, classes;
    for (const auto& [what, value] : found.facts)
        facts.push_back(JsonObject().text("name", what).text("value", value).line());
    for (const ClassCount& count : found.counts)
        classes.push_back(json_class(count));
    return json.raw("facts", json_list(facts))
        .raw("classes", json_list(classes))
        .raw("to_be_said", json_texts(found.open_questions))
        .raw("doubtful", json_texts(found.doubts))
        .line();
}

} // namespace

void InputsCommand::declare(Options& options, po::positional_options_description& positional) {
    // clang-format off
    options.add_options()
        ("file", text_values("FILE"), "raster, chart or other vector file; FILE alone will do")
        ("rules", text_value("FILE"), "what the files' layers mean; see swingroom rules\nThe built-in rules if not given.");
    // clang-format on
    declare_json(options);
    declare_measures(options);
    positional.add("file", -1);
}

void InputsCommand::accept(const po::variables_map& given) {
    if (given.count("file") == 0) throw InputError("FILE", "no file is given", "name the files to look at");
    files_ = given["file"].as<std::vector<std::string>>();
    json_ = given["json"].as<bool>();
    if (const Measures measures = measures_of(given); !json_) measures_ = measures;
    if (given.count("rules") != 0) rules_file_ = given["rules"].as<std::string>();
}

int InputsCommand::run() {
    const auto rules = rules_file_.empty() ? default_hazard_rules() : read_hazard_rules_file(rules_file_);
    bool usable = true;
    std::vector<std::string> files; // told when all have been looked at: a document is whole or not there
    for (const std::string& file : files_) {
        const Inspection found = inspect(file, rules, measures_);
        if (json_)
            files.push_back(json_file(found));
        else
            print(found);
        usable = usable && found.open_questions.empty();
    }
    if (json_)
        std::cout << json_head("inputs")
                         .truth("usable", usable)
                         .raw("files", json_lines(files))
                         .text("caution", caution)
                         .document();
    return usable ? 0 : 2;
}

} // namespace swingroom::cli
