#pragma once

#include "swingroom/publish/part_record.hpp"

#include "cli/options/overlay_options.hpp"
#include "cli/run/job.hpp"

#include <memory>
#include <string>
#include <vector>

namespace swingroom::cli {

/// What a part records of the options that were given: all that bear on the result.
/// @param options  accepted; of one boat   @param facts  what was assumed in her answers
RunTerms terms_of(const OverlayOptions& options, std::vector<Fact> facts);

/// Which part of a run "I/N" is.   @throws InputError
PartOfRun parse_part(const std::string& text, const std::string& option = "--part");

/// The options that the parts of a run were made with, and how the merge itself is to go.
/// @param merging  those options of making a run that were given to the merge
/// @throws InputError
OverlayOptions options_of(const PartsOfRun& parts, const boost::program_options::variables_map& merging);

/// What parts have kept, in the place of the files.
class PartsOfJob : public JobInputs {
public:
    /// @param options, parts  outlive this
    PartsOfJob(const JobOptions& options, const PartsOfRun& parts) : options_(options), parts_(parts) {}

    std::optional<StayTide> tide() override;
    Sea sea(CellChoice choose_cell) override;
    Boat boat(const std::string& file) override;
    StayLevels levels(const Grid& grid, const std::string& grid_name) override;
    /// @throws std::logic_error  the parts have digested them, and here they need not be
    [[nodiscard]] std::vector<InputFile> digested(const std::vector<std::string>& files) const override;
    [[nodiscard]] std::vector<SampledInput> sampled(const std::vector<std::string>& files) const override;

private:
    const JobOptions& options_;
    const PartsOfRun& parts_;
};

} // namespace swingroom::cli
