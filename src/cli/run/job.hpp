#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/exclusion_files.hpp"
#include "swingroom/publish/part_record.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/sea/hazards.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/sea.hpp"
#include "swingroom/sea/sea_record.hpp"
#include "swingroom/sea/stay_levels.hpp"
#include "swingroom/water/stay_tide.hpp"

#include "cli/command.hpp"
#include "cli/options/area_options.hpp"
#include "cli/options/hazard_options.hpp"
#include "cli/options/tide_options.hpp"
#include "cli/run/kept_inputs.hpp"
#include "cli/run/open_questions.hpp"
#include "cli/run/watched_inputs.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::cli {

/// The options that say what is looked at and for whom, shared by the commands that judge cells. Filled from
/// the command line, and from a plan where that leaves a gap.
class JobOptions {
public:
    /// Adds these options to a command's.
    /// @param more  adds others that are seldom needed, where the help has room for them; null: there are
    /// none
    void declare(Options& options, void (*more)(Options&) = nullptr);
    /// @param own   the command's whole set of options: what a plan may hold
    /// @param also  what else the command needs, to be asked for together with what is missing here
    /// @returns what was given, the plan's values filled in   @throws InputError, OpenQuestions
    boost::program_options::variables_map accept(const boost::program_options::variables_map& on_command_line,
                                                 const Options& own, const std::vector<Needed>& also = {});

    /// All that the rasters leave unsaid, and how it is said.   @throws IoError
    [[nodiscard]] std::vector<OpenQuestion> unsaid() const;
    /// What is looked at, as far as it concerns the sea.
    [[nodiscard]] SeaRequest sea() const;
    /// All files that are named, the plan that was given among them.
    [[nodiscard]] std::vector<std::string>
    input_files(const boost::program_options::variables_map& given) const;

    std::vector<BathymetryRequest> bathymetry;         ///< none: depths of the charts alone
    std::optional<DepthUncertainty> chart_uncertainty; ///< without a raster; none: by zone of confidence
    HazardOptions hazards;                             ///< charts among them
    /// The two water levels as they are given; where one is a raster, `conditions` has nothing in its place.
    LevelsRequest levels;
    std::optional<double> cell_m;  ///< of a grid made for charts; none: by their scale and the boat
    std::optional<GivenArea> area; ///< of an overlay; none: all there is
    /// The boat files, by their paths, each another one; at least one.
    std::vector<std::string> boat_files;
    /// What the user wants rode to be chosen by.
    RodeBy rode_by = RodeBy::source;
    /// Whether rode may be chosen by the sounder anywhere.
    [[nodiscard]] bool may_sound() const {
        return rode_by == RodeBy::sounder || (rode_by == RodeBy::source && !hazards.charts.empty());
    }
    std::vector<std::string> planned_paths; ///< of all these files those that the plan names
    /// Water levels, wind and current. With a curve its levels are not known before it is opened.
    Conditions conditions;
    TideOptions tide;                ///< the curve of the water, if there is one
    Seabed seabed = Seabed::unknown; ///< where no hazard's rule tells it
    Measures measures;               ///< of what people read

private:
    /// Refuses a job that lacks any of what it needs, with all that is missing and unsaid.
    void require_all(const boost::program_options::variables_map& given, const Options& own,
                     const std::vector<Needed>& also) const;

    boost::program_options::variables_map given_; ///< all of the options
};

/// For who answers for one boat alone.   @returns her file   @throws InputError  several are given
std::string only_boat(const JobOptions& options);

/// The cells that an overlay decides: those that a box of degrees touches.
/// @param area  none: all of the grid   @param source  for messages
/// @throws InputError  its box lies outside
Window window_of(const std::optional<GivenArea>& area, const Grid& grid, const Georeference& georeference,
                 const std::string& source);

/// Where a job has what its options name from: their files, or what parts of a run have kept of them.
class JobInputs {
public:
    virtual ~JobInputs() = default;
    /// The water of the stay; nothing where two levels are all that is known. Asked for first, once.
    /// @throws InputError, IoError  here and below
    [[nodiscard]] virtual std::optional<StayTide> tide() = 0;
    /// @param choose_cell  chooses the cells of a grid for charts alone, if nobody has
    [[nodiscard]] virtual Sea sea(CellChoice choose_cell) = 0;
    /// As a boat file says, without what a tide tells of her sounder.
    /// @param file  one of those that the options name
    [[nodiscard]] virtual Boat boat(const std::string& file) = 0;
    /// Levels that change from place to place, over the cells of a grid.   @param grid_name  for messages
    [[nodiscard]] virtual StayLevels levels(const Grid& grid, const std::string& grid_name) = 0;
    /// Each file with its digest, or sampled alone.
    [[nodiscard]] virtual std::vector<InputFile> digested(const std::vector<std::string>& files) const = 0;
    [[nodiscard]] virtual std::vector<SampledInput> sampled(const std::vector<std::string>& files) const = 0;
};

/// The files themselves.
class FilesOfJob : public JobInputs {
public:
    /// @param options  outlive this   @param kept  of runs before it, and for those after; not null
    explicit FilesOfJob(const JobOptions& options,
                        std::shared_ptr<KeptInputs> kept = std::make_shared<KeptInputs>())
        : options_(options), kept_(std::move(kept)) {}

    std::optional<StayTide> tide() override;
    Sea sea(CellChoice choose_cell) override;
    Boat boat(const std::string& file) override;
    StayLevels levels(const Grid& grid, const std::string& grid_name) override;
    [[nodiscard]] std::vector<InputFile> digested(const std::vector<std::string>& files) const override;
    [[nodiscard]] std::vector<SampledInput> sampled(const std::vector<std::string>& files) const override;

private:
    const JobOptions& options_;
    std::shared_ptr<KeptInputs> kept_;
    WatchedInputs inputs_;
};

} // namespace swingroom::cli
