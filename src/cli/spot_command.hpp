#pragma once

#include "cli/command.hpp"
#include "cli/job.hpp"

namespace swingroom::cli {

/// `swingroom spot LON LAT`: every number behind one position, and each reason with how much it fails by.
class SpotCommand : public Command {
public:
    void declare(boost::program_options::options_description& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;

private:
    JobOptions job_;
    LonLat position_;
    bool json_ = false;
};

} // namespace swingroom::cli
