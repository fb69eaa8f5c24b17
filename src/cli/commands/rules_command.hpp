#pragma once

#include "cli/command.hpp"

namespace swingroom::cli {

/// `swingroom rules`: the built-in hazard rules, to copy and edit.
class RulesCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;
};

} // namespace swingroom::cli
