#include "cli/commands/tide_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "base/text.hpp"
#include "cli/console.hpp"
#include "cli/options/measures_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/open_questions.hpp"
#include "cli/run/picture_file.hpp"

#include <cmath>
#include <string_view>
#include <utility>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// "30", "30min", "1h".
std::chrono::minutes step_of(std::string_view text) {
    constexpr const char* option = "--every";
    const std::string given(text);
    const std::string cure = "give whole minutes, 1 to 1440, as 30min, or hours, as 1h";
    double minutes_each = 1;
    if (text.ends_with("min")) {
        text.remove_suffix(3);
    } else if (text.ends_with("h")) {
        text.remove_suffix(1);
        minutes_each = 60;
    }
    const double minutes =
        within(minutes_each * parse_number(trimmed(text), option), {1, 1440}, given, option, cure);
    if (minutes != std::floor(minutes)) {
        throw InputError(option, swingroom::quoted(given) + " is not possible", cure);
    }
    return std::chrono::minutes(static_cast<int>(minutes));
}

} // namespace

void TideCommand::declare(Options& options, po::positional_options_description& positional) {
    // clang-format off
    options.add_options()
        ("file", text_value("FILE"), "file of levels (CSV); FILE alone will do; must be given")
        ("from", text_value("TIME"), "when the span begins, as 2026-07-01T18:00Z\n"
         "With Z for UTC, or the clock's distance from it; without either it is by --clock. If not given, all that a table or a series tells; for constituents it "
         "has to be given.")
        ("to", text_value("TIME"), "when it ends, at most a year later")
        ("at", text_values("TIME"), "the height at a time, within what the file tells")
        ("every", text_value("STEP"), "heights all over the span, as 30min or 1h")
        ("below", text_value("M")->default_value("0"), "how far the water may stand below the prediction\n0 to 10 m, for weather above all. It is taken off the lower bounds.")
        ("above", text_value("M")->default_value("0"), "how far it may stand above it\nIt is put on the upper bounds.")
        ("format", text_value("text|json|csv")->default_value("text"), "how it is printed")
        ("picture", text_value("FILE"), "draw the curve into this file (SVG)\n"
         "With its bounds, high and low waters. Refused where FILE is a symbolic link or the file of levels by another name.")
        ("overwrite", po::bool_switch(), "replace the picture if it exists");
    // clang-format on
    declare_json(options);
    TideTerms::declare(options);
    declare_units(options);
    positional.add("file", 1);
}

void TideCommand::accept(const po::variables_map& given) {
    if (given.count("file") == 0) {
        throw InputError("FILE", "no file of levels is given", "give its path");
    }
    file_ = given["file"].as<std::string>();
    terms_.accept(given);
    from_ = optional(given, "from");
    to_ = optional(given, "to");
    at_ = several(given, "at");
    if (const auto step = optional(given, "every")) every_ = step_of(*step);
    allowances_ = allowances_of(given);
    format_ = static_cast<Format>(printed_format(given, {"text", "json", "csv"}));
    measures_ = measures_of(given);
    overwrite_ = given["overwrite"].as<bool>();
    if (given.count("picture") != 0) {
        picture_ = given["picture"].as<std::string>();
        if (picture_.empty()) throw InputError("--picture", "no name", "give the file to make");
    }
}

void TideCommand::ask() const {
    std::vector<OpenQuestion> questions;
    if (terms_.form_of(file_) == TideForm::constituents) {
        const std::string why = file_ + " holds constituents, which tell any time: say which is wanted, as ";
        if (!from_) questions.push_back({"from", {"TIME"}, {why + "2026-07-01T00:00Z"}});
        if (!to_) questions.push_back({"to", {"TIME"}, {why + "2026-07-08T00:00Z"}});
    }
    for (OpenQuestion& question : terms_.unsaid_of(file_)) {
        questions.push_back(std::move(question));
    }
    for (OpenQuestion& question : questions) {
        question.in_plan = false;
    }
    refuse(questions);
}

std::vector<std::pair<std::string, std::string>> TideCommand::times_given() const {
    std::vector<std::pair<std::string, std::string>> times;
    if (from_) times.emplace_back("--from", *from_);
    if (to_) times.emplace_back("--to", *to_);
    for (const std::string& moment : at_) {
        times.emplace_back("--at", moment);
    }
    return times;
}

TideReport TideCommand::report() const {
    const auto clock = terms_.clock_of(file_);
    std::optional<TimeWindow> span;
    if (from_ && to_) span = {moment_given(*from_, clock, "--from"), moment_given(*to_, clock, "--to")};
    TideFile file = terms_.read(file_, span);
    TideQuestion question;
    question.from = from_ ? moment_given(*from_, clock, "--from") : file.curve->first();
    question.to = to_ ? moment_given(*to_, clock, "--to") : file.curve->last();
    for (const std::string& moment : at_) {
        question.at.push_back(moment_given(moment, clock, "--at"));
    }
    question.every = every_;
    question.allowances = allowances_;
    question.zone = clock.zone.value_or(ZoneOffset(0));
    for (std::string& note : notes_of_clock(clock, times_given())) {
        file.notes.push_back(std::move(note));
    }
    return tide_report(std::move(file), file_, std::move(question));
}

int TideCommand::run() {
    ask();
    const TideReport found = report();
    for (const std::string& note : found.file.notes) {
        tell(file_ + ": " + note);
    }
    if (!picture_.empty()) {
        write_picture(picture_, tide_picture(picture_of(found, measures_)), overwrite_, file_);
    }
    switch (format_) {
    case Format::text:
        print(tide_text(found, measures_, columns(Stream::out)));
        break;
    case Format::json:
        print_document(tide_json(found));
        break;
    case Format::csv:
        print_document(tide_csv(found));
        break;
    }
    return 0;
}

} // namespace swingroom::cli
