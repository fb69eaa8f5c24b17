#pragma once

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <string>

namespace swingroom::cli {

/// A subcommand. `main` calls declare, parses, accept, run in this order.
struct Command {
    virtual ~Command() = default;
    /// Names, units and defaults of the options; nothing else.
    virtual void declare(Options& options,
                         boost::program_options::positional_options_description& positional) = 0;
    /// Checks what was given; opens no large file.   @throws InputError
    virtual void accept(const boost::program_options::variables_map& given) = 0;
    /// The work; may assume that accept() passed.   @returns the exit code
    virtual int run() = 0;
    /// Of a command with the option `plan`, after accept(): everything that was given or is so by default, as
    /// the text of a plan that means the same.   @throws InputError  a value cannot stand in a plan
    [[nodiscard]] virtual std::string plan() const { return ""; }
};

} // namespace swingroom::cli
