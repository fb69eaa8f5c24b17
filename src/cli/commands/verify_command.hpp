#pragma once

#include "cli/command.hpp"

#include <string>

namespace swingroom::cli {

/// `swingroom verify FOLDER`: compares a run's folder with its manifest; exit code 1 when it is not whole.
class VerifyCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    std::string folder_;
    bool json_ = false;
};

} // namespace swingroom::cli
