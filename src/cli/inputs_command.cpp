#include "cli/inputs_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/chart/inspection.hpp"
#include "swingroom/room/hazard.hpp"

#include "base/ini_lines.hpp"

#include <array>
#include <cstdio>
#include <string_view>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

constexpr std::array effect_columns = {"hull", "ground", "drop", "trip", "warn", "survey"};

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
    constexpr std::array kinds = {"raster", "chart", "vector file"};
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

} // namespace

void InputsCommand::declare(Options& options, po::positional_options_description& positional) {
    // clang-format off
    options.add_options()
        ("file", text_values("FILE"), "raster, chart or other vector file; FILE alone will do")
        ("rules", text_value("FILE"), "what the files' layers mean; see swingroom rules\nThe built-in rules if not given.");
    // clang-format on
    positional.add("file", -1);
}

void InputsCommand::accept(const po::variables_map& given) {
    if (given.count("file") == 0) throw InputError("FILE", "no file is given", "name the files to look at");
    files_ = given["file"].as<std::vector<std::string>>();
    if (given.count("rules") != 0) rules_file_ = given["rules"].as<std::string>();
}

int InputsCommand::run() {
    const auto rules = rules_file_.empty() ? default_hazard_rules() : read_hazard_rules_file(rules_file_);
    bool usable = true;
    for (const std::string& file : files_) {
        const Inspection found = inspect(file, rules);
        print(found);
        usable = usable && found.open_questions.empty();
    }
    return usable ? 0 : 2;
}

} // namespace swingroom::cli
