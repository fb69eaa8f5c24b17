#pragma once

#include "cli/command.hpp"

#include <string>

namespace swingroom::cli {

/// `swingroom overlay`: the job: all layers for an area, into one folder.
class OverlayCommand : public Command {
public:
    void declare(boost::program_options::options_description& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    boost::program_options::variables_map given_;
};

} // namespace swingroom::cli
