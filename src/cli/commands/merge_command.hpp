#pragma once

#include "cli/command.hpp"

#include <filesystem>
#include <vector>

namespace swingroom::cli {

/// `swingroom merge`: what overlay --part has made, put together to what one run would have made.
class MergeCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    boost::program_options::variables_map given_;
    std::vector<std::filesystem::path> folders_;
};

} // namespace swingroom::cli
