#pragma once

#include <boost/program_options.hpp>

#include <memory>
#include <string_view>

namespace swingroom::cli {

/// A subcommand. `main` calls declare, parses, accept, run in this order.
struct Command {
    virtual ~Command() = default;
    /// Names, units and defaults of the options; nothing else.
    virtual void declare(boost::program_options::options_description& options,
                         boost::program_options::positional_options_description& positional) = 0;
    /// Checks what was given; opens no large file.   @throws InputError
    virtual void accept(const boost::program_options::variables_map& given) = 0;
    /// The work; may assume that accept() passed.   @returns the exit code
    virtual int run() = 0;
};

struct Entry {
    std::string_view name, arguments, summary, example;
    std::unique_ptr<Command> (*make)();
};

template <class C>
std::unique_ptr<Command> make() {
    return std::make_unique<C>();
}

} // namespace swingroom::cli
