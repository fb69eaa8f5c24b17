#pragma once

#include "cli/command.hpp"
#include "cli/options/overlay_options.hpp"

#include <string>

namespace swingroom::cli {

/// `swingroom overlay`: the job: all layers for an area, into one folder.
class OverlayCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;
    [[nodiscard]] std::string plan() const override;

private:
    OverlayOptions options_;
};

} // namespace swingroom::cli
