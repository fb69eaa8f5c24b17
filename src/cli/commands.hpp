#pragma once

#include "cli/command.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// An example for help and manual.
struct Example {
    std::string_view what, line; ///< what it shows; the whole command line
};

/// A command as people know it.
struct Entry {
    std::string_view name, arguments;   ///< as they are typed; positional arguments in capitals
    std::string_view summary;           ///< one line for the list of commands
    std::string_view about;             ///< what the manual says of it
    std::vector<Example> examples;      ///< for help and manual
    std::unique_ptr<Command> (*make)(); ///< makes the command's object
    bool reads_boat_file = false;       ///< whether help and manual tell what may stand in one
};
/// All commands, in the order of the help.
const std::vector<Entry>& commands();

/// The command of that name.   @throws InputError  there is no such command
const Entry& command_named(const std::string& name);

/// Whether a command with these options takes a plan, and prints it when that is asked for.
bool takes_plan(const Options& options);

/// A command with all its options: its own and those that every command has.
struct Declared {
    /// Makes the command and lets it declare its options.
    explicit Declared(const Entry& entry);
    std::unique_ptr<Command> command;                                  ///< its options are declared
    Options options;                                                   ///< its own, then the common ones
    boost::program_options::positional_options_description positional; ///< its arguments without an option
};

} // namespace swingroom::cli
