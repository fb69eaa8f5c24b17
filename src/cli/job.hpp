#pragma once

#include "swingroom/chart/bathymetry.hpp"
#include "swingroom/chart/georeference.hpp"
#include "swingroom/chart/hazards.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/provenance.hpp"

#include "cli/command.hpp"

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// The options that say what is looked at and for whom, shared by the commands that judge cells. Filled from
/// the command line, and from a plan where that leaves a gap.
class JobOptions {
public:
    void declare(boost::program_options::options_description& options);
    /// @param own  the command's whole set of options: what a plan may hold
    /// @returns what was given, the plan's values filled in   @throws InputError
    boost::program_options::variables_map accept(const boost::program_options::variables_map& on_command_line,
                                                 const boost::program_options::options_description& own);

    std::vector<BathymetryRequest> bathymetry;
    std::vector<std::string> hazard_files;
    std::string rules_file, boat_file;      ///< no rules file: the built-in rules
    std::vector<std::string> planned_paths; ///< of all these files those that the plan names
    Conditions conditions;
    Seabed seabed = Seabed::unknown;
};

/// One line on stderr.
void print_warning(const std::string& warning);

/// Everything that the options name, opened, read and prepared.
class OpenedJob {
public:
    /// @throws InputError, IoError
    explicit OpenedJob(const JobOptions& options);

    /// Says what is doubtful in the inputs, once the command knows which cells it will look at.
    /// @throws InputError  the cells are too small for the boat's circles
    void settle(const OverlayJob& job);
    /// A job over the whole raster that wants nothing yet.
    [[nodiscard]] OverlayJob job() const;
    [[nodiscard]] const Grid& grid() const { return depths_->grid(); }
    /// The raster, or the finest of several and how many more: for messages.
    [[nodiscard]] const std::string& raster() const { return raster_; }
    [[nodiscard]] const Georeference& georeference() const { return *georeference_; }
    [[nodiscard]] const TackleTables& tables() const { return *tables_; }
    [[nodiscard]] const GroundMetric& metric() const { return metric_; }
    /// Inputs with their digests, and what was assumed. Reads every input once more.
    [[nodiscard]] Provenance provenance(const std::string& command) const;

private:
    /// To be called before a file is read.
    void note_changes(const std::string& file);

    JobOptions options_;
    std::map<std::string, std::int64_t> changed_ns_; ///< inputs, when they were last changed
    std::unique_ptr<DepthSource> depths_;
    std::string raster_;
    std::unique_ptr<Georeference> georeference_;
    GroundMetric metric_;
    std::vector<std::string> hazard_inputs_, warnings_;
    std::unique_ptr<HazardField> hazards_;
    std::unique_ptr<TackleTables> tables_;
};

/// What was given, as an INI text in the order of the options' names: the effective plan.
/// @param leave_out  names that do not bear on the result
std::string effective_plan(const boost::program_options::variables_map& given,
                           const std::vector<std::string>& leave_out);

} // namespace swingroom::cli
