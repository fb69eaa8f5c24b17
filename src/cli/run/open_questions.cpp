#include "cli/run/open_questions.hpp"

#include "swingroom/sea/probe.hpp"

#include "base/terminal_text.hpp"
#include "base/text.hpp"
#include "cli/help/text.hpp"
#include "cli/options/bathymetry_options.hpp"
#include "cli/options/setting_options.hpp"

#include <algorithm>
#include <iterator>
#include <ranges>
#include <utility>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// What help calls the value of an option.
std::string value_name(const Options& own, const std::string& option) {
    const std::vector<OptionRow> all = rows(own);
    const auto row =
        std::find_if(all.begin(), all.end(), [&](const OptionRow& r) { return r.name == option; });
    return row == all.end() ? "VALUE" : row->value;
}

std::string dashed(const OpenQuestion& question) {
    std::vector<std::string> words;
    for (const std::string& value : question.values) {
        words.push_back("--" + question.option + " " + value);
    }
    return joined(words, " ");
}

std::string planned(const OpenQuestion& question) {
    std::vector<std::string> lines;
    for (const std::string& value : question.values) {
        lines.push_back(question.option + " = " + value);
    }
    return joined(lines, ", then ");
}

InputError in_one_line(const std::vector<OpenQuestion>& questions) {
    std::vector<std::string> options;
    for (const OpenQuestion& question : questions) {
        options.push_back("--" + question.option);
    }
    return {options.front(),
            "is missing, and so " + std::string(options.size() == 2 ? "is " : "are ") +
                joined({options.begin() + 1, options.end()}, ", "),
            "give them all"};
}

} // namespace

OpenQuestions::OpenQuestions(std::vector<OpenQuestion> questions)
    : InputError(in_one_line(questions)), questions_(std::move(questions)) {}

bool OpenQuestions::in_plan() const { return std::ranges::any_of(questions_, &OpenQuestion::in_plan); }

std::string OpenQuestions::text(std::size_t width) const {
    constexpr std::size_t indent = 6;
    std::string text = std::to_string(questions_.size()) +
                       " things are not said, and none of them is guessed.\n" +
                       (in_plan() ? "Give each as an option, or as a line of a plan (--plan FILE):\n"
                                  : "Give each as an option:\n");
    for (const OpenQuestion& question : questions_) {
        text += "\n  " + on_one_line(dashed(question));
        if (question.in_plan) text += "    or in a plan:  " + on_one_line(planned(question));
        text += "\n";
        for (const Message& why : question.why) {
            for (const std::string& line : wrapped(on_one_line(in_options(why)), width - indent)) {
                text += std::string(indent, ' ') + line + "\n";
            }
        }
    }
    return text;
}

std::vector<OpenQuestion> unanswered(const std::vector<Needed>& needed, const Options& own,
                                     const po::variables_map& given) {
    std::vector<OpenQuestion> questions;
    for (const Needed& option : needed) {
        if (given.count(option.name) != 0) continue;
        const bool by_hand = option.by_hand != nullptr;
        questions.push_back({option.name,
                             {by_hand ? option.by_hand : value_name(own, option.name)},
                             {option.cure},
                             !by_hand});
    }
    return questions;
}

std::vector<OpenQuestion> unsaid_of(const std::vector<BathymetryRequest>& rasters,
                                    const po::variables_map& given) {
    Options terms;
    declare_raster_terms(terms);
    constexpr const char* stated = "stated"; // by the raster itself
    std::vector<OpenQuestion> questions;
    for (std::size_t i = 0; i < rasters.size(); ++i) {
        for (const UnsaidError& unsaid : probe(rasters[i]).questions) {
            const std::string option = option_of(unsaid.question()).substr(2);
            auto same = std::find_if(questions.begin(), questions.end(),
                                     [&](const OpenQuestion& q) { return q.option == option; });
            if (same == questions.end()) {
                // What is said already for each stays as it is.
                std::vector<std::string> values = several(given, option);
                values.resize(rasters.size(), stated);
                same = questions.insert(same, {option, std::move(values), {}});
            }
            same->values[i] = value_name(terms, option);
            same->why.push_back(unsaid.message());
        }
    }
    for (OpenQuestion& question : questions) {
        std::vector<std::string>& values = question.values;
        const bool alike = std::equal(std::next(values.begin()), values.end(), values.begin());
        if (alike) values.resize(1);
    }
    return questions;
}

void refuse(const std::vector<OpenQuestion>& questions) {
    if (questions.size() > 1) throw OpenQuestions(questions);
    if (questions.empty()) return;
    const OpenQuestion& only = questions.front();
    throw InputError("--" + only.option, "is missing", only.why.front());
}

} // namespace swingroom::cli
