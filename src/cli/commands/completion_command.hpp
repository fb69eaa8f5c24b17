#pragma once

#include "cli/command.hpp"

#include <string>

namespace swingroom::cli {

/// `swingroom completion SHELL`: the script that makes a shell complete.
class CompletionCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    std::string shell_;
};

} // namespace swingroom::cli
