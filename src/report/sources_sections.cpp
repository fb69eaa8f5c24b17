#include "report/sources_sections.hpp"

#include "swingroom/base/version.hpp"

#include "report/table_markup.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <filesystem>
#include <sstream>
#include <string>
#include <string_view>
#include <system_error>

namespace swingroom {
namespace {

Markup inspection_markup(const Inspection& found) {
    constexpr std::array kinds = {"raster", "chart", "hazards"};
    Markup content = text_element("h3", std::filesystem::path(found.file).filename().string() + ": " +
                                            kinds.at(static_cast<std::size_t>(found.kind)) +
                                            (found.doubts.empty() ? ", nothing doubtful was found" : "")) +
                     "\n";
    if (!found.doubts.empty()) {
        content += text_element("p", {{"class", "doubts"}}, "Doubtful:") + "\n" +
                   item_list(texts_of(found.doubts), {{"class", "doubts"}});
    }
    for (const Message& question : found.open_questions) {
        content += paragraph("The file leaves open: " + question.text());
    }
    content += fact_list(found.facts, "facts small");
    const bool sound = found.doubts.empty() && found.open_questions.empty(); // on paper a line or two do
    return sound ? element("div", {{"class", "sound"}}, "\n" + content) + "\n" : content;
}

Markup inputs_section(const ReportInput& input) {
    Markup content;
    if (const auto warnings = warnings_in(input.provenance); !warnings.empty()) {
        content +=
            text_element("h3", "The run has warned") + "\n" + item_list(warnings, {{"class", "doubts"}});
    }
    Markup inspections;
    for (const Inspection& found : input.inspections) {
        inspections += inspection_markup(found);
    }
    if (inspections.empty()) return content;
    return content + element("div", {{"class", "inspections"}}, "\n" + inspections) + "\n";
}

Markup assumptions_section(const ReportInput& input) {
    std::vector<Fact> assumed, given;
    for (const Fact& fact : input.provenance.facts) {
        if (fact.kind == Fact::Kind::warning) continue;
        (fact.kind == Fact::Kind::assumed ? assumed : given).push_back(fact);
    }
    Markup content;
    if (!assumed.empty()) {
        content += text_element("h3", "Not said, and taken so") + "\n" + fact_list(assumed, "facts small");
    }
    return content + text_element("h3", "Said, or read from the files") + "\n" +
           fact_list(given, "facts small");
}

/// The plan with absolute paths: wherever the reader saves it, it names the same files.
std::string plan_for_any_place(const std::string& plan) {
    constexpr std::array<std::string_view, 5> path_options = {"bathymetry", "boat", "chart", "hazards",
                                                              "rules"};
    constexpr std::string_view between = " = ";
    std::istringstream lines(plan);
    std::string fit;
    for (std::string line; std::getline(lines, line);) {
        const std::size_t at = line.find(between);
        const std::string_view name = std::string_view(line).substr(0, at);
        if (at != std::string::npos &&
            std::find(path_options.begin(), path_options.end(), name) != path_options.end()) {
            const std::size_t value = at + between.size();
            std::error_code unknown; // where the working folder is gone, the path stays as it was given
            const std::filesystem::path path = std::filesystem::absolute(line.substr(value), unknown);
            if (!unknown) line.replace(value, std::string::npos, path.string());
        }
        fit += line + "\n";
    }
    return fit;
}

Markup plan_section(const ReportInput& input) {
    return paragraph("Save it as run.plan, then: swingroom overlay --plan run.plan --out FOLDER") +
           text_element(
               "pre",
               {{"class", "scroll"}, {"role", "region"}, {"tabindex", "0"}, {"aria-label", "The plan"}},
               plan_for_any_place(input.provenance.command)) +
           "\n";
}

Markup digests_section(const ReportInput& input) {
    ReportTable table{
        "Files that were read", {{"", "File", ""}, {"", "Bytes", "", true}, {"", "SHA-256", ""}}, {}};
    for (const InputFile& file : input.provenance.inputs) {
        table.rows.push_back(
            {std::filesystem::path(file.path).filename().string(), std::to_string(file.bytes), file.sha256});
    }
    return paragraph("Made by swingroom " + std::string(version()) + ".") + table_markup(table) +
           paragraph("Digests of what was written are in manifest.json; swingroom verify compares them.");
}

Markup cautions_section(const ReportInput& input) {
    Markup waivers;
    if (!input.waivers.empty()) {
        waivers =
            paragraph("In this run, as its user says:") + item_list(input.waivers, {{"class", "doubts"}});
    }
    return paragraph(std::string(caution)) + waivers +
           paragraph("The answer is as good as what it is given. It knows nothing that is not in the files, "
                     "and these are "
                     "simplified:") +
           item_list(cautions_of(input.tide));
}

} // namespace

std::vector<std::string> warnings_in(const Provenance& provenance) {
    std::vector<std::string> warnings;
    for (const Fact& fact : provenance.facts) {
        if (fact.kind == Fact::Kind::warning) warnings.push_back(fact.value);
    }
    return warnings;
}

std::vector<Section> sources_sections(const ReportInput& input) {
    return {{"inputs", "Inputs, and what is doubtful in them", inputs_section(input)},
            {"assumptions", "Assumptions", assumptions_section(input)},
            {"plan", "To run it again", plan_section(input)},
            {"digests", "Digests", digests_section(input)},
            {"cautions", "Cautions", cautions_section(input)}};
}

} // namespace swingroom
