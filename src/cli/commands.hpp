#pragma once

#include "cli/command.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

struct Example {
    std::string_view what, line;
};

/// A command as people know it.
struct Entry {
    std::string_view name, arguments, summary;
    std::string_view about; ///< what the manual says of it
    std::vector<Example> examples;
    std::unique_ptr<Command> (*make)();
};
const std::vector<Entry>& commands();

/// @throws InputError  there is no such command
const Entry& command_named(const std::string& name);

/// A command with all its options: its own and those that every command has.
struct Declared {
    explicit Declared(const Entry& entry);
    std::unique_ptr<Command> command;
    Options options;
    boost::program_options::positional_options_description positional;
};

} // namespace swingroom::cli
