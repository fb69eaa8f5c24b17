#pragma once

#include "cli/command.hpp"

#include <string>

namespace swingroom::cli {

/// `swingroom manual [COMMAND]`: a man page, or a table of the manual.
class ManualCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    std::string of_;    ///< empty: of the program
    std::string table_; ///< empty: the page
};

} // namespace swingroom::cli
