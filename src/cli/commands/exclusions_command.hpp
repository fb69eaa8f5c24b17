#pragma once

#include "swingroom/publish/formats.hpp"

#include "cli/command.hpp"
#include "cli/options/area_options.hpp"
#include "cli/options/hazard_options.hpp"

#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// `swingroom exclusions`: the hazards' margins alone, dissolved by class, without a raster or a boat.
class ExclusionsCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& on_command_line) override;
    int run() override;
    [[nodiscard]] std::string plan() const override;

private:
    HazardOptions hazards_;
    boost::program_options::variables_map used_; ///< of what was given
    std::vector<std::string> planned_paths_, inputs_;
    std::optional<GivenArea> area_;
    std::string out_, plan_;
    bool overwrite_ = false, json_ = false, styles_ = true;
    FormatSet formats_;
    NamePrefix prefix_;
};

} // namespace swingroom::cli
