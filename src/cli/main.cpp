#include "swingroom/base/error.hpp"
#include "swingroom/base/input_errors.hpp"
#include "swingroom/base/stop.hpp"

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/help/help.hpp"
#include "cli/options/options.hpp"
#include "cli/options/setting_options.hpp"
#include "cli/run/open_questions.hpp"
#include "cli/run/run_control.hpp"
#include "sea/gdal/gdal_start.hpp"

#include <boost/program_options.hpp>

#include <cstddef>
#include <exception>
#include <new>
#include <string>
#include <vector>

namespace {

namespace po = boost::program_options;
using namespace swingroom;
using namespace swingroom::cli;

/// As everywhere, but options are not to be cut short: what they would stand for changes with the next one.
constexpr int option_style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;

/// Negative numbers are values, never options: without this `spot -29.04 47.99` would not parse.
std::vector<po::option> negative_number(std::vector<std::string>& words) {
    const std::string& word = words.front();
    if (word.size() < 2 || word[0] != '-' || (word[1] != '.' && (word[1] < '0' || word[1] > '9'))) return {};
    po::option value;
    value.value.push_back(word);
    value.original_tokens.push_back(word);
    words.erase(words.begin());
    return {value};
}

/// The first word that belongs to no option, beyond those that the command takes.
std::string word_too_many(const Declared& declared, const std::vector<std::string>& words) {
    const auto parsed = po::command_line_parser(words)
                            .options(declared.options)
                            .extra_style_parser(negative_number)
                            .style(option_style)
                            .run();
    unsigned left = declared.positional.max_total_count();
    for (const po::option& option : parsed.options) {
        if (option.string_key.empty() && left-- == 0) return option.value.front();
    }
    return {};
}

po::variables_map parse(const Entry& entry, const Declared& declared, const std::vector<std::string>& words) {
    const std::string look = "see swingroom " + std::string(entry.name) + " --help";
    po::variables_map given;
    try {
        po::store(po::command_line_parser(words)
                      .options(declared.options)
                      .positional(declared.positional)
                      .extra_style_parser(negative_number)
                      .style(option_style)
                      .run(),
                  given);
        po::notify(given);
    } catch (const po::unknown_option& error) {
        throw InputError(error.get_option_name(), "is no option of swingroom " + std::string(entry.name),
                         cure_for_unknown(error.get_option_name(), "--", declared.options, look));
    } catch (const po::too_many_positional_options_error&) {
        throw InputError(std::string(entry.name), "does not take \"" + word_too_many(declared, words) + "\"",
                         look);
    } catch (const po::error& error) {
        throw InputError(std::string(entry.name), error.what(), look);
    }
    return given;
}

int run_command(const Entry& entry, const std::vector<std::string>& words) {
    const Declared declared(entry);
    po::variables_map given = parse(entry, declared, words);
    // What every command takes is settled here; the command is not told.
    const auto taken = [&given](const char* name) { return given.erase(name) != 0; };
    const bool help = taken("help"), print_plan = takes_plan(declared.options) && taken("print-plan"),
               quiet = taken("quiet"), verbose = taken("verbose");
    if (help) {
        print(help_text(entry, declared.options));
        return 0;
    }
    if (quiet && verbose) throw InputError("--quiet", "is given with --verbose", "leave one of them out");
    set_loudness(quiet ? Loudness::quiet : verbose ? Loudness::verbose : Loudness::plain);
    declared.command->accept(given);
    if (print_plan) {
        print_document(declared.command->plan());
        return 0;
    }
    const int code = declared.command->run();
    tell_usage();
    return code;
}

int run(const std::vector<std::string>& words) {
    if (words.empty() || words[0] == "--help" || words[0] == "-h") {
        print(usage_text(), words.empty() ? Stream::err : Stream::out);
        return words.empty() ? 2 : 0;
    }
    if (words[0].starts_with('-') && words[0] != "--version") {
        throw InputError(words[0], "stands before the command",
                         "give the command first, as in swingroom overlay --help");
    }
    if (words[0] == "--version") {
        print(version_text());
        return 0;
    }
    return run_command(command_named(words[0]), {words.begin() + 1, words.end()});
}

/// What fails after a run was asked to stop, fails of being stopped.
int failed(const std::string& why, int code, void (*tell_why)(const std::string&) = print_error) {
    if (const int signal = stop_asked(); signal != 0) end_by(signal);
    tell_why(why);
    return code;
}

} // namespace

// Errors are caught here alone: 2 for what the user can mend, 1 for a file or device that failed.
int main(int argc, char** argv) {
    swingroom::silence_libraries();
    try {
        const int code = run({argv + 1, argv + argc});
        // A full disk shows only now, when what was printed leaves its buffers.
        if (!flush_output()) throw IoError("standard output", "cannot be written");
        return code;
    } catch (const Interrupted& interrupted) {
        end_by(interrupted.signal);
    } catch (const OpenQuestions& questions) {
        constexpr std::size_t width = 80;
        return failed(questions.text(width), 2, print_refusal);
    } catch (const InputErrors& errors) {
        const int code = failed(in_options(errors.heading()), 2);
        print_list(in_options(errors.lines()));
        return code;
    } catch (const InputError& error) {
        return failed(in_options(error.message()), 2);
    } catch (const IoError& error) {
        return failed(in_options(error.message()), 1);
    } catch (const std::bad_alloc&) {
        return failed("not enough memory; give a smaller --memory, or a window by --bounds", 1);
    } catch (const std::exception& error) {
        return failed(std::string("a mistake in swingroom, please report it: ") + error.what(), 1);
    }
}
