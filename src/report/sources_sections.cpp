#include "report/sources_sections.hpp"

#include "swingroom/base/version.hpp"

#include "report/table_markup.hpp"

#include <array>
#include <cstddef>

namespace swingroom {
namespace {

Markup inspection_markup(const Inspection& found) {
    constexpr std::array kinds = {"raster", "chart", "hazards"};
    Markup content = text_element("h3", found.file + ": " + kinds.at(static_cast<std::size_t>(found.kind)) +
                                            (found.doubts.empty() ? ", nothing doubtful was found" : "")) +
                     "\n";
    if (!found.doubts.empty()) {
        content += text_element("p", {{"class", "doubts"}}, "Doubtful:") + "\n" +
                   item_list(texts_of(found.doubts), {{"class", "doubts"}});
    }
    for (const Message& question : found.open_questions) {
        content += paragraph("The file leaves open: " + question.text());
    }
    return content + fact_list(found.facts, "facts small");
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

Markup plan_section(const ReportInput& input) {
    return paragraph("Save it as run.plan, then: swingroom overlay --plan run.plan --out FOLDER") +
           text_element(
               "pre",
               {{"class", "scroll"}, {"role", "region"}, {"tabindex", "0"}, {"aria-label", "The plan"}},
               input.provenance.command) +
           "\n";
}

Markup digests_section(const ReportInput& input) {
    ReportTable table{
        "Files that were read", {{"", "File", ""}, {"", "Bytes", "", true}, {"", "SHA-256", ""}}, {}};
    for (const InputFile& file : input.provenance.inputs) {
        table.rows.push_back({file.path, std::to_string(file.bytes), file.sha256});
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
           item_list({cautions.begin(), cautions.end()});
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
