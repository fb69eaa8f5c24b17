#pragma once

#include "swingroom/publish/part_record.hpp"

#include "cli/command.hpp"
#include "cli/options/overlay_options.hpp"

#include <optional>
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
    [[nodiscard]] std::string script(int parts) const;

    OverlayOptions options_;
    std::optional<PartOfRun> part_;  ///< none: all of the run
    std::optional<int> print_parts_; ///< print the script for so many parts, and end
};

} // namespace swingroom::cli
