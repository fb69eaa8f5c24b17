#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "base/nearest_name.hpp"
#include "cli/boat_command.hpp"
#include "cli/command.hpp"
#include "cli/exclusions_command.hpp"
#include "cli/inputs_command.hpp"
#include "cli/options.hpp"
#include "cli/overlay_command.hpp"
#include "cli/rules_command.hpp"
#include "cli/run_control.hpp"
#include "cli/spot_command.hpp"
#include "cli/verify_command.hpp"

#include <boost/program_options.hpp>

#include <cstdio>
#include <exception>
#include <iostream>
#include <new>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace {

namespace po = boost::program_options;
using namespace swingroom;
using namespace swingroom::cli;

constexpr Entry commands[] = {
    {"overlay", "--plan FILE --out FOLDER",
     "where this boat can lie, and why not: all layers into one folder",
     "swingroom overlay --plan haven.plan --out haven", make<OverlayCommand>},
    {"spot", "LON LAT", "every number behind one position, and why",
     "swingroom spot -29.04393 47.98704 --plan haven.plan", make<SpotCommand>},
    {"boat", "FILE", "rode, radius and wind limit of a boat by depth",
     "swingroom boat heavy_ketch.ini --wind 20 --low-water 0.6 --high-water 3.2", make<BoatCommand>},
    {"inputs", "FILE...", "what the given files are, and what is doubtful in them",
     "swingroom inputs bathymetry.tif cell.000 cables.geojson", make<InputsCommand>},
    {"exclusions", "--hazards FILE --out FOLDER",
     "the hazards' margins alone, dissolved by class: no raster and no boat needed",
     "swingroom exclusions --hazards cables.gpkg --out margins", make<ExclusionsCommand>},
    {"rules", "", "the built-in hazard rules, to copy and edit", "swingroom rules > own.rules",
     make<RulesCommand>},
    {"verify", "FOLDER", "whether a folder is whole and is what was written", "swingroom verify haven",
     make<VerifyCommand>},
};

void print_usage(std::ostream& out) {
    out << "swingroom " << version()
        << ": where a boat has room to swing at anchor\n\nusage: swingroom COMMAND ...\n\n";
    for (const Entry& entry : commands)
        out << "  " << entry.name << (entry.arguments.empty() ? "" : " ") << entry.arguments << "\n      "
            << entry.summary << '\n';
    out << "\nswingroom COMMAND --help lists a command's options.\n\n" << caution << '\n';
}

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

/// Without the blanks at line ends that the list of options comes with.
void print_help(const Entry& entry, const po::options_description& options) {
    std::ostringstream list;
    list << options;
    std::cout << "usage: swingroom " << entry.name << (entry.arguments.empty() ? "" : " ") << entry.arguments
              << " [options]\n  " << entry.summary << "\n\n";
    std::istringstream lines(list.str());
    for (std::string line; std::getline(lines, line);)
        std::cout << line.substr(0, line.find_last_not_of(' ') + 1) << '\n';
    std::cout << "\nexample: " << entry.example << "\n\n" << caution << '\n';
}

int run_command(const Entry& entry, const std::vector<std::string>& arguments) {
    const std::unique_ptr<Command> command = entry.make();
    po::options_description options("Options");
    po::positional_options_description positional;
    options.add_options()("help,h", "this text");
    command->declare(options, positional);
    const std::string look = "see swingroom " + std::string(entry.name) + " --help";
    po::variables_map given;
    try {
        po::store(po::command_line_parser(arguments)
                      .options(options)
                      .positional(positional)
                      .extra_style_parser(negative_number)
                      .style(po::command_line_style::unix_style & ~po::command_line_style::allow_guessing)
                      .run(),
                  given);
        if (given.count("help") != 0) {
            print_help(entry, options);
            return 0;
        }
        po::notify(given);
    } catch (const po::unknown_option& error) {
        throw InputError(error.get_option_name(), "is no option of swingroom " + std::string(entry.name),
                         cure_for_unknown(error.get_option_name(), "--", options, look));
    } catch (const po::too_many_positional_options_error&) {
        throw InputError(std::string(entry.name), "is given more words than it takes", look);
    } catch (const po::error& error) {
        throw InputError(std::string(entry.name), error.what(), look);
    }
    command->accept(given);
    return command->run();
}

int run(const std::vector<std::string>& arguments) {
    if (arguments.empty() || arguments[0] == "--help" || arguments[0] == "-h") {
        print_usage(arguments.empty() ? std::cerr : std::cout);
        return arguments.empty() ? 2 : 0;
    }
    if (arguments[0] == "--version") {
        std::cout << "swingroom " << version() << '\n';
        return 0;
    }
    for (const Entry& entry : commands)
        if (entry.name == arguments[0]) return run_command(entry, {arguments.begin() + 1, arguments.end()});
    std::vector<std::string_view> names;
    for (const Entry& entry : commands)
        names.push_back(entry.name);
    const std::string_view nearest = nearest_name(arguments[0], names);
    throw InputError(arguments[0], "is no command",
                     nearest.empty() ? "see swingroom --help" : "did you mean " + std::string(nearest) + "?");
}

} // namespace

// Errors are caught here alone: 2 for what the user can mend, 1 for a file or device that failed.
int main(int argc, char** argv) {
    try {
        const int code = run({argv + 1, argv + argc});
        // A full disk shows only now, when what was printed leaves its buffers.
        if (!std::cout.flush() || std::fflush(stdout) != 0)
            throw swingroom::IoError("standard output", "cannot be written");
        return code;
    } catch (const swingroom::cli::Interrupted& interrupted) {
        swingroom::cli::end_by(interrupted.signal);
    } catch (const swingroom::InputError& error) {
        std::cerr << "swingroom: " << error.what() << '\n';
        return 2;
    } catch (const swingroom::IoError& error) {
        std::cerr << "swingroom: " << error.what() << '\n';
        return 1;
    } catch (const std::bad_alloc&) {
        std::cerr << "swingroom: not enough memory; give a smaller --memory, or a window by --bounds\n";
        return 1;
    } catch (const std::exception& error) {
        std::cerr << "swingroom: a mistake in swingroom, please report it: " << error.what() << '\n';
        return 1;
    }
}
