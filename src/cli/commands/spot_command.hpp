#pragma once

#include "cli/command.hpp"
#include "cli/options/access_options.hpp"
#include "cli/run/opened_job.hpp"
#include "cli/run/way_in.hpp"

#include <optional>

namespace swingroom::cli {

/// `swingroom spot LON LAT`: every number behind one position, and each reason with how much it fails by.
class SpotCommand : public Command {
public:
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;
    [[nodiscard]] std::string plan() const override;

private:
    [[nodiscard]] std::optional<FoundWayIn> way_in(OpenedJob& opened) const;

    JobOptions job_;
    AccessOptions access_;
    boost::program_options::variables_map given_;
    LonLat position_;
    bool json_ = false;
};

} // namespace swingroom::cli
