#include "cli/commands/inputs_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/sea/inspection.hpp"

#include "base/json.hpp"
#include "base/terminal_text.hpp"
#include "cli/console.hpp"
#include "cli/options/bathymetry_options.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/setting_options.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string_view>
#include <utility>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

constexpr std::array effect_columns = {"hull", "ground", "drop", "trip", "warn", "survey"};
/// Told in the document alone: what is no danger to meet.
struct EffectMember {
    const char* name;
    Effects bit;
};
constexpr std::array ground_members = {EffectMember{"poor_ground", effect::poor_ground},
                                       EffectMember{"note", effect::note}};
constexpr std::array kinds = {"raster", "chart", "vector file"};

std::string padded(std::string text, std::size_t width) {
    text.resize(std::max(width, text.size()), ' ');
    return text;
}

/// A column behind others.
std::string column(const std::string& text, std::size_t width) {
    return std::string(1 + width - std::min(width, text.size()), ' ') + text;
}

/// A table of the features by class and effect.
std::string counts_text(const std::vector<ClassCount>& counts) {
    if (counts.empty()) return {};
    constexpr std::size_t label = 20, wide = 7, narrow = 6; // no more than 80 columns
    std::string text = "  " + padded("features by effect", label) + column("all", wide);
    for (const char* name : effect_columns) {
        text += column(name, narrow);
    }
    text += column("seabed", narrow) + "\n";
    const auto number = [](std::int64_t features) {
        return column(features > 0 ? std::to_string(features) : "-", narrow);
    };
    for (const ClassCount& count : counts) {
        text +=
            "    " + padded(shortened(count.name), label - 2) + column(std::to_string(count.features), wide);
        if (!count.known && count.matched == 0) {
            text += "  no rule speaks of it\n";
            continue;
        }
        for (std::size_t bit = 0; bit < effect_columns.size(); ++bit) {
            text += number(count.by_effect[bit]);
        }
        text += number(count.seabeds) + "\n";
    }
    return text;
}

std::string text_of(const Inspection& found) {
    std::string text;
    const auto line = [&text](const std::string& words) { text += on_one_line(words) + "\n"; };
    line(found.file + ": " + kinds[static_cast<std::size_t>(found.kind)]);
    for (const Fact& fact : found.facts) {
        line("  " + padded(fact.name, 20) + " " + fact_value(fact));
    }
    text += counts_text(found.counts);
    for (const std::string& question : in_options(found.open_questions)) {
        line("  to be said: " + question);
    }
    for (const std::string& doubt : in_options(found.doubts)) {
        line("  doubtful: " + doubt);
    }
    if (found.open_questions.empty() && found.doubts.empty()) line("  nothing doubtful was found");
    return text;
}

std::string json_class(const ClassCount& count) {
    JsonObject json;
    json.text("name", count.name).whole("features", count.features);
    for (std::size_t bit = 0; bit < effect_columns.size(); ++bit) {
        json.whole(effect_columns[bit], count.by_effect[bit]);
    }
    for (const EffectMember& member : ground_members) {
        json.whole(member.name, count.by_effect[static_cast<std::size_t>(std::countr_zero(member.bit))]);
    }
    return json.whole("seabed", count.seabeds)
        .truth("known_to_rules", count.known || count.matched > 0)
        .line();
}

std::string json_raster(const Inspection::Raster& raster) {
    constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
    const AgainstCharts charts = raster.against_charts.value_or(AgainstCharts());
    return JsonObject()
        .whole("columns", raster.cols)
        .whole("rows", raster.rows)
        .number("cell_x_m", raster.cell.dx_m, 3)
        .number("cell_y_m", raster.cell.dy_m, 3)
        .number("with_depth_percent", 100 * raster.with_depth, 1)
        .number("shoalest_m", raster.shoalest_m, 1, Rounded::down)
        .number("deepest_m", raster.deepest_m, 1, Rounded::up)
        .whole("chart_soundings", static_cast<std::int64_t>(charts.soundings))
        .number("chart_difference_m", charts.soundings > 0 ? charts.median_m : unknown, 2)
        .number("chart_difference_explained_m", charts.soundings > 0 ? charts.explained_m : unknown, 2)
        .line();
}

std::string json_file(const Inspection& found) {
    JsonObject json;
    json.text("file", found.file).text("kind", kinds[static_cast<std::size_t>(found.kind)]);
    if (found.bounds) {
        std::vector<std::string> degrees;
        for (const double value : *found.bounds) {
            degrees.push_back(json_number(value, 6));
        }
        json.raw("bounds", json_list(degrees));
    }
    if (found.raster) json.raw("raster", json_raster(*found.raster));
    std::vector<std::string> facts, classes;
    for (const Fact& fact : found.facts) {
        facts.push_back(JsonObject().text("name", fact.name).text("value", fact_value(fact)).line());
    }
    for (const ClassCount& count : found.counts) {
        classes.push_back(json_class(count));
    }
    return json.raw("facts", json_list(facts))
        .raw("classes", json_list(classes))
        .raw("to_be_said", json_texts(in_options(found.open_questions)))
        .raw("doubtful", json_texts(in_options(found.doubts)))
        .line();
}

} // namespace

void InputsCommand::declare(Options& options, po::positional_options_description& positional) {
    // clang-format off
    options.add_options()
        ("file", text_values("FILE"), "raster, chart or other vector file; FILE alone will do\n"
         "Of a folder all S-57 cells in it and below it.")
        ("rules", text_value("FILE"), "what the files' layers mean; see swingroom rules\nThe built-in rules if not given.");
    // clang-format on
    declare_raster_terms(options);
    options.group(Group::plain);
    declare_json(options);
    declare_measures(options);
    positional.add("file", -1);
}

void InputsCommand::accept(const po::variables_map& given) {
    if (given.count("file") == 0) throw InputError("FILE", "no file is given", "name the files to look at");
    GivenCharts all = charts_given(given["file"].as<std::vector<std::string>>());
    files_ = std::move(all.cells);
    chart_folders_ = std::move(all.folders);
    json_ = given["json"].as<bool>();
    if (const Measures measures = measures_of(given); !json_) measures_ = measures;
    if (given.count("rules") != 0) rules_file_ = given["rules"].as<std::string>();
    given_ = given;
}

int InputsCommand::run() {
    for (const ChartFolder& folder : chart_folders_) {
        print_note(folder.folder + ": " + cells_text(folder));
    }
    const auto rules = rules_file_.empty() ? default_hazard_rules() : read_hazard_rules_file(rules_file_);
    bool usable = true;
    std::vector<std::string> files;
    // Told when all have been looked at: a document is whole or not there.
    for (const Inspection& found : inspect(files_, rules, measures_, [this](const auto& rasters) {
             return said_of_rasters(given_, rasters);
         })) {
        if (json_) {
            files.push_back(json_file(found));
        } else {
            print(text_of(found));
        }
        usable = usable && found.open_questions.empty();
    }
    if (json_) {
        print_document(json_head("inputs")
                           .truth("usable", usable)
                           .raw("files", json_lines(files))
                           .text("caution", caution)
                           .document());
    }
    return usable ? 0 : 2;
}

} // namespace swingroom::cli
