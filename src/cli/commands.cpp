#include "cli/commands.hpp"

#include "swingroom/base/error.hpp"

#include "base/nearest_name.hpp"
#include "cli/commands/boat_command.hpp"
#include "cli/commands/completion_command.hpp"
#include "cli/commands/cruise_command.hpp"
#include "cli/commands/exclusions_command.hpp"
#include "cli/commands/inputs_command.hpp"
#include "cli/commands/manual_command.hpp"
#include "cli/commands/merge_command.hpp"
#include "cli/commands/overlay_command.hpp"
#include "cli/commands/rules_command.hpp"
#include "cli/commands/spot_command.hpp"
#include "cli/commands/tide_command.hpp"
#include "cli/commands/verify_command.hpp"

namespace swingroom::cli {
namespace {

template <class C>
std::unique_ptr<Command> make() {
    return std::make_unique<C>();
}

/// What every command takes.
void declare_common(Options& options) {
    options.group(Group::run);
    if (takes_plan(options)) {
        options.add_options()("print-plan",
                              "print the plan that all this makes, and end\n"
                              "With what the plan and the defaults say filled in, and with absolute "
                              "paths. It can be given to --plan, and then means the same. What every command "
                              "takes has no place in "
                              "it, nor has the position of spot.");
    }
    // clang-format off
    options.add_options()
        ("quiet", "no progress, and not where the result is\nWhat a command is asked to print is printed, and warnings and errors are said all the same: they are "
         "there for safety.")
        ("verbose", "each phase with its time, on stderr\nAlso threads and blocks, and at the end processor time and the most memory used.")
        ("help,h", "options and examples, on a screen");
    // clang-format on
}

} // namespace

const std::vector<Entry>& commands() {
    static const std::vector<Entry> all = {
        {"overlay",
         "--plan FILE --out FOLDER",
         "where this boat can lie, and why not: all layers into one folder",
         "Answers for every cell of a bathymetry raster, or of a chart: can this boat lie here at anchor "
         "through a "
         "whole tide and a whole turn, and get the anchor back? The layers are written into a new folder, "
         "with a "
         "manifest of digests; the folder is whole or not there. A cell that says yes promises that, by the "
         "data "
         "given, an anchor dropped at any point of it leaves the whole swinging circle inside surveyed, deep "
         "enough, "
         "hazard-free water.",
         {{"A whole job from one file:", "swingroom overlay --plan haven.plan --out haven"},
          {"From a chart alone, with boat, water and wind in a plan:",
           "swingroom overlay --chart QQ5HAVEN.000 --plan ketch.plan --out roads"}},
         make<OverlayCommand>},
        {"cruise",
         "FILE --out FOLDER",
         "many stays and boats in one run, and one page that compares them",
         "Makes what overlay makes for each stay of a cruise and each of its boats, each in a folder of its "
         "own, "
         "and a page that tells them side by side: the best places of each with their figures, shares, tide, "
         "doubts. The drop points of all stays are in one file for a plotter, under names that tell the "
         "stay. Run "
         "again, it keeps what has not changed and makes the rest. A stay that fails is told and does not "
         "stop "
         "the others; then the exit code is 1.",
         {{"All stays of a file:", "swingroom cruise summer.ini --out summer"},
          {"One of them as a plan of overlay:",
           "swingroom cruise summer.ini --out summer --print-plan \"Gull Cove\" > cove.plan"}},
         make<CruiseCommand>},
        {"spot",
         "LON LAT --plan FILE",
         "every number behind one position, and why",
         "Prints all that is known of the cell at a position: depths, rooms, the three ways to lie with "
         "rode, radius "
         "and wind limit, each reason for a no with how much it fails by, and the nearest hazards. It agrees "
         "with "
         "the layers of overlay. What a plan says of folders, layers and threads is passed over.",
         {{"By the plan of an overlay:", "swingroom spot -29.04393 47.98704 --plan haven.plan"},
          {"With a lower tide:", "swingroom spot 47-59.222N 29-02.636W --plan haven.plan --low-water 0.2"},
          {"By a curve in place of the plan's two levels:",
           "swingroom spot -29.04393 47.98704 --plan haven.plan --tide haven.csv "
           "--arrive 2026-07-01T18:00Z --depart 2026-07-02T08:00Z --below 0.3 --above 0.3"}},
         make<SpotCommand>},
        {"boat",
         "FILE --wind KN",
         "rode, radius and wind limit of a boat by depth",
         "Prints the table to pin up: rode, swinging radius and wind limit by depth for the three ways to "
         "lie, what "
         "hangs under the bow when the anchor breaks out, the length of a trip line, and what a sinker buys.",
         {{"A boat file to fill in:", "swingroom boat --template > ketch.ini"},
          {"The table for a tide of 2.6 m:",
           "swingroom boat ketch.ini --wind 20 --low-water 0.6 --high-water 3.2"},
          {"The rode in 8 m, drawn to scale:",
           "swingroom boat ketch.ini --wind 20 --depth 8 --picture rode.svg"}},
         make<BoatCommand>,
         true},
        {"tide",
         "FILE",
         "high and low waters, heights at times and the curve of a file of levels",
         "Tells what a file of levels says, as overlay and spot take it with --tide: a table of high and low "
         "waters, a series of heights, or harmonic constituents. Levels are above chart datum, with the "
         "bounds "
         "between which they are reckoned with. Lines that begin with doubtful are to be thought over. Zone, "
         "unit and what ties the heights to chart datum are never guessed: what the file does not say is "
         "asked "
         "for.",
         {{"The high and low waters of a table:", "swingroom tide haven.csv"},
          {"Of constituents, by the clock aboard, with a picture:",
           "swingroom tide haven.csv --from 2026-07-01T00:00Z --to 2026-07-03T00:00Z --clock +02:00 "
           "--picture tide.svg"},
          {"The height at a time:",
           "swingroom tide haven.csv --at 2026-07-01T21:30Z --below 0.3 --above 0.3"}},
         make<TideCommand>},
        {"inputs",
         "FILE...",
         "what the given files are, and what is doubtful in them",
         "Tells format, datum, sign, unit, resolution and coverage of rasters, charts and vector files, how "
         "many "
         "features of each class there are, and what the rules make of them. Lines that begin with doubtful "
         "are to "
         "be thought over. Lines that begin with \"to be said\" name the options that overlay would ask for: "
         "then the "
         "exit code is 2.",
         {{"A raster, a chart and a file of cables:",
           "swingroom inputs bathymetry.tif QQ5HAVEN.000 cables.geojson"},
          {"By rules of one's own:", "swingroom inputs --rules own.rules cables.geojson"}},
         make<InputsCommand>},
        {"exclusions",
         "--hazards FILE --out FOLDER",
         "the hazards' margins alone, dissolved by class: no raster and no boat needed",
         "Draws the margins of hazards as polygons, to be marked on a map: what overlaps is one polygon, "
         "class by "
         "class. Since there is no boat and no tide, nothing is deep or high enough: wrecks and bridges are "
         "drawn at "
         "any depth and height.",
         {{"Of a file of cables:", "swingroom exclusions --hazards cables.gpkg --out margins"},
          {"Of a chart, within a box, by rules of one's own:",
           "swingroom exclusions --chart QQ5HAVEN.000 --rules own.rules --bounds -29.1,47.9,-29,48 "
           "--out roads"}},
         make<ExclusionsCommand>},
        {"rules",
         "",
         "the built-in hazard rules, to copy and edit",
         "A rules file says what the layers of charts and hazard files mean, with margins and their sources. "
         "One "
         "that is given with --rules replaces the built-in rules.",
         {{"A copy to edit:", "swingroom rules > own.rules"},
          {"What is said of cables:", "swingroom rules | sed -n '/^\\[cable/,/^$/p'"}},
         make<RulesCommand>},
        {"merge",
         "FOLDER... --out FOLDER",
         "what overlay --part has made anywhere, put together to one run",
         "Puts the parts of a run together: zones across their borders, drop points, overviews, the way in, "
         "the "
         "report, the manifest. The folder is the same, to the byte, as that of one run by the same plan, "
         "and "
         "nothing but the parts is read. A part that is missing, given twice, or made by another plan, "
         "version "
         "or input is refused by name.",
         {{"Two parts, made on two machines:",
           "swingroom merge haven.parts/1-of-2 haven.parts/2-of-2 --out haven"},
          {"All parts that a script has made:",
           "swingroom merge coast.parts/*-of-64 --out coast --threads 8"}},
         make<MergeCommand>},
        {"verify",
         "FOLDER",
         "whether a folder is whole and is what was written",
         "Compares a folder with its manifest.json: every file there, none besides, digests as written. It "
         "lists "
         "what is wrong, a line each, and ends with 1.",
         {{"Before a folder is used or copied:", "swingroom verify haven"},
          {"In a script:", "swingroom verify --quiet haven && cp -r haven /media/chart-table"}},
         make<VerifyCommand>},
        {"manual",
         "[COMMAND]",
         "the man page of swingroom or of one of its commands",
         "Prints a man page in roff, made from the same table of options as the help. Installed pages are "
         "read with "
         "man(1).",
         {{"Where nothing is installed:", "swingroom manual overlay | man -l -"},
          {"As a page to print:", "swingroom manual overlay | man -l -Tps - > overlay.ps"}},
         make<ManualCommand>},
        {"completion",
         "bash|zsh|fish",
         "what makes a shell complete commands, options and values",
         "Prints a script for a shell, made from the same table of options as the help. An installed "
         "swingroom has "
         "it in its place already.",
         {{"In bash:", "source <(swingroom completion bash)"},
          {"In zsh, into a folder of $fpath:", "swingroom completion zsh > ~/.zfunc/_swingroom"},
          {"In fish:", "swingroom completion fish | source"}},
         make<CompletionCommand>},
    };
    return all;
}

const Entry& command_named(const std::string& name) {
    std::vector<std::string_view> names;
    for (const Entry& entry : commands()) {
        if (entry.name == name) return entry;
        names.push_back(entry.name);
    }
    const std::string_view nearest = nearest_name(name, names);
    throw InputError(name, "is no command",
                     nearest.empty() ? "see swingroom --help" : "did you mean " + std::string(nearest) + "?");
}

bool takes_plan(const Options& options) { return options.find_nothrow("plan", false) != nullptr; }

Declared::Declared(const Entry& entry) : command(entry.make()) {
    command->declare(options, positional);
    declare_common(options);
}

} // namespace swingroom::cli
