#pragma once

#include "swingroom/chart/hazard_extent.hpp"
#include "swingroom/publish/formats.hpp"

#include "cli/command.hpp"
#include "cli/job.hpp"

#include <optional>
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
    JobOptions job_;
    std::string out_, plan_;
    bool overwrite_ = false;
    Outputs outputs_;
    std::optional<LonLatBox> bounds_;
    int threads_ = 1;
    int memory_mb_ = 0;
    std::size_t most_spots_ = 0;
};

} // namespace swingroom::cli
