#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/exclusion_files.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/chart_depths.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazards.hpp"

#include "cli/command.hpp"
#include "cli/options/hazard_options.hpp"
#include "cli/run/watched_inputs.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// The options that say what is looked at and for whom, shared by the commands that judge cells. Filled from
/// the command line, and from a plan where that leaves a gap.
class JobOptions {
public:
    void declare(Options& options);
    /// @param own  the command's whole set of options: what a plan may hold
    /// @returns what was given, the plan's values filled in   @throws InputError
    boost::program_options::variables_map accept(const boost::program_options::variables_map& on_command_line,
                                                 const Options& own);

    /// All files that are named, the plan that was given among them.
    [[nodiscard]] std::vector<std::string>
    input_files(const boost::program_options::variables_map& given) const;

    std::vector<BathymetryRequest> bathymetry;         ///< none: depths of the charts alone
    std::optional<DepthUncertainty> chart_uncertainty; ///< without a raster; none: by zone of confidence
    HazardOptions hazards;
    double cell_m = 0;            ///< of a grid made for charts
    double clearance_datum_m = 0; ///< above chart datum
    std::string boat_file;
    std::vector<std::string> planned_paths; ///< of all these files those that the plan names
    Conditions conditions;
    Seabed seabed = Seabed::unknown;
    Measures measures; ///< of what people read
};

/// Everything that the options name, opened, read and prepared.
class OpenedJob {
public:
    /// Looks at the grid once it is known, before anything is made that grows with it.
    using GridCheck = std::function<void(const Grid&, const Georeference&, const std::string& source)>;

    /// @throws InputError, IoError, and what the check throws
    explicit OpenedJob(const JobOptions& options, const GridCheck& check = {});

    /// Says what is doubtful in the inputs, once the command knows which cells it will look at.
    /// @throws InputError  the cells are too small for the boat's circles
    void settle(const OverlayJob& job);
    /// What settle() has said.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// A job over the whole raster that wants nothing yet.
    [[nodiscard]] OverlayJob job() const;
    [[nodiscard]] const Grid& grid() const { return depths_->grid(); }
    /// The raster or chart, or the first of several and how many more: for messages.
    [[nodiscard]] const std::string& raster() const { return raster_; }
    [[nodiscard]] const Georeference& georeference() const { return *georeference_; }
    [[nodiscard]] const TackleTables& tables() const { return *tables_; }
    [[nodiscard]] const GroundMetric& metric() const { return metric_; }
    [[nodiscard]] const MarginSources& margin_sources() const { return margin_sources_; }
    /// Inputs with their digests, and what was assumed. Reads every input once more.
    [[nodiscard]] Provenance provenance(const std::string& command) const;

private:
    void open_depths(const GridCheck& check);
    void open_hazards(const Boat& boat);

    JobOptions options_;
    WatchedInputs inputs_;
    std::unique_ptr<DepthSource> depths_;
    std::string raster_;
    std::unique_ptr<Georeference> georeference_;
    GroundMetric metric_;
    std::vector<std::string> hazard_inputs_, hazard_notes_, warnings_;
    MarginSources margin_sources_;
    std::unique_ptr<HazardField> hazards_;
    std::unique_ptr<TackleTables> tables_;
};

} // namespace swingroom::cli
