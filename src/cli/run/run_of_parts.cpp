#include "cli/run/run_of_parts.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/sea/sea_record.hpp"

#include "base/text_input.hpp"
#include "cli/console.hpp"
#include "cli/cruise/run_record.hpp"
#include "cli/options/plan.hpp"

#include <charconv>
#include <sstream>
#include <stdexcept>
#include <system_error>
#include <utility>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// All options with their defaults alone.
po::variables_map defaults_of(const Options& options) {
    po::variables_map given;
    po::store(po::parsed_options(&options), given);
    return given;
}

} // namespace

PartOfRun parse_part(const std::string& text, const std::string& option) {
    PartOfRun number;
    const char* const end = text.data() + text.size();
    const auto part = std::from_chars(text.data(), end, number.part);
    constexpr int most = 100'000;
    bool good = part.ec == std::errc() && part.ptr != end && *part.ptr == '/';
    if (good) {
        const auto parts = std::from_chars(part.ptr + 1, end, number.parts);
        good = parts.ec == std::errc() && parts.ptr == end;
    }
    if (!good || number.part < 1 || number.part > number.parts || number.parts > most) {
        throw InputError(option, "\"" + text + "\" is no part of a run",
                         "give I/N, as 3/16 for the third of sixteen; at most 100000 parts");
    }
    return number;
}

RunTerms terms_of(const OverlayOptions& options, std::vector<Fact> facts) {
    RunTerms terms;
    terms.version = version();
    terms.made_by = program_and_libraries();
    for (const auto& [name, texts] : given_texts(options.given, OverlayOptions::planned())) {
        if (!OverlayOptions::is_of_making(name)) terms.given.emplace_back(name, texts);
    }
    terms.effective_plan = options.effective;
    terms.charts = options.job.hazards.charts;
    terms.boat_text = read_text_input(only_boat(options.job));
    if (!options.job.tide.file.empty()) terms.tide_text = read_text_input(options.job.tide.file);
    terms.facts = std::move(facts);
    return terms;
}

OverlayOptions options_of(const PartsOfRun& parts, const po::variables_map& merging) {
    // The merge decides some blocks itself, and has to answer as the parts do.
    if (parts.terms.made_by != program_and_libraries()) {
        throw InputError(parts.folders.front().string(),
                         "was made by another build of the program than this one, or with other libraries",
                         "make and merge parts with one build");
    }
    const Options planned = OverlayOptions::planned();
    po::variables_map given = defaults_of(planned);
    for (const auto& [name, texts] : parts.terms.given) {
        given.insert_or_assign(name, value_of_texts(planned, name, texts));
    }
    // Folders of charts have been looked into, and need not be there.
    if (!parts.terms.charts.empty()) {
        given.insert_or_assign("chart", po::variable_value(parts.terms.charts, false));
    }
    for (const auto& [name, value] : merging) {
        if (OverlayOptions::is_of_making(name)) given.insert_or_assign(name, value);
    }
    OverlayOptions options;
    options.job.tide.terms.take_text(parts.terms.tide_text);
    options.accept(given);
    options.effective = parts.terms.effective_plan;
    // What must not be replaced are the parts; the inputs are read no more.
    options.inputs.clear();
    for (const std::filesystem::path& folder : parts.folders) {
        options.inputs.push_back(folder.string());
    }
    return options;
}

std::optional<StayTide> PartsOfJob::tide() { return options_.tide.open(); }

Sea PartsOfJob::sea(CellChoice) {
    tell("opening what the parts have kept");
    return open_recorded_sea(parts_.folders).sea;
}

Boat PartsOfJob::boat(const std::string& file) {
    std::istringstream text(parts_.terms.boat_text);
    return read_boat(text, file);
}

StayLevels PartsOfJob::levels(const Grid& grid, const std::string& grid_name) {
    return open_recorded_levels(parts_.folders, options_.levels, grid, grid_name);
}

std::vector<InputFile> PartsOfJob::digested(const std::vector<std::string>&) const {
    throw std::logic_error("the parts of a run have digested its inputs");
}

std::vector<SampledInput> PartsOfJob::sampled(const std::vector<std::string>&) const {
    throw std::logic_error("the parts of a run have sampled its inputs");
}

} // namespace swingroom::cli
