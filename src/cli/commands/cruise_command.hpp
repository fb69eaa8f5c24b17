#pragma once

#include "cli/command.hpp"
#include "cli/cruise/cruise_run.hpp"

#include <optional>
#include <string>

namespace swingroom::cli {

/// `swingroom cruise`: many stays and boats, and one page that compares them.
class CruiseCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    [[nodiscard]] std::string plan_of(const std::string& stay) const;

    CruiseOptions options_;
    std::optional<std::string> print_plan_; ///< of that stay, and end
    bool json_ = false;
};

} // namespace swingroom::cli
