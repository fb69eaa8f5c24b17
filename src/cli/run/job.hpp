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
    std::optional<double> cell_m;    ///< of a grid made for charts; none: by their scale and the boat
    std::optional<LonLatBox> bounds; ///< of an overlay; none: all there is
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
/// @param bounds  none: all of the grid   @param source  for messages
/// @throws InputError  the box lies outside
Window window_of(const std::optional<LonLatBox>& bounds, const Grid& grid, const Georeference& georeference,
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

/// Everything that the options name, opened, read and prepared for the part of the sea that a command looks
/// at.
///
/// Charts alone whose cells nobody has chosen get them by scale and boat (chart_cells()), counted over the
/// window of the overlay, whoever asks: a spot looks at the cells that an overlay of the same plan decides.
class OpenedJob {
public:
    /// Says which cells are looked at once the grid is known, before anything is made that grows with them.
    using ChooseWindow = std::function<Window(const Grid&, const Georeference&, const std::string& source)>;

    /// @param around_m  how far around the window hazards are to be known, whatever the boat's circles need
    /// @throws InputError, IoError, and what choosing throws; InputError also where the cells are too small
    ///         for the boat's circles
    OpenedJob(const JobOptions& options, const ChooseWindow& choose, double around_m);
    /// The same of other inputs than the files that are named.   @param inputs  not null
    OpenedJob(const JobOptions& options, std::unique_ptr<JobInputs> inputs, const ChooseWindow& choose,
              double around_m);

    /// Says what is doubtful in the inputs.
    void warn() const;
    /// The same, for the report.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// Those among them that the user has brought about: margins lowered, restrictions set aside.
    [[nodiscard]] const std::vector<std::string>& waivers() const { return waivers_; }
    /// Prepares more of the sea, where what is looked at turns out to need it: all of a window besides what
    /// is prepared. Jobs that were handed out before end with it, but for those over all of the grid.
    void widen(Window window);
    /// The cells whose depths and hazards are prepared.
    [[nodiscard]] Window known() const { return known_; }
    /// The rules that its hazards are made by.
    [[nodiscard]] const std::vector<HazardRule>& rules() const { return sea_.rules(); }
    /// A job over the window that wants nothing yet.
    [[nodiscard]] OverlayJob job() const;
    /// The same over all of the grid, for which more of the sea is prepared if need be: beside what is
    /// prepared for the window, so that jobs over that stand.
    OverlayJob job_of_all();
    /// The raster's grid, or the one that was made for charts.
    [[nodiscard]] const Grid& grid() const { return sea_.grid(); }
    /// The raster or chart, or the first of several and how many more: for messages.
    [[nodiscard]] const std::string& raster() const { return raster_; }
    /// Of that grid; for the thread that opened the job.
    [[nodiscard]] const Georeference& georeference() const { return sea_.georeference(); }
    /// The boat's tables for people, who look depths up in them: where levels change from place to place for
    /// the least and the greatest that is met, for which any rode is enough and any radius great enough.
    [[nodiscard]] TackleTables tables_for_people() const;
    /// Where the margins of the rules are from.
    [[nodiscard]] const MarginSources& margin_sources() const { return margin_sources_; }
    /// As the charts call what the window shows.
    [[nodiscard]] std::vector<PlaceName> place_names() const { return sea_.place_names(window_); }
    /// The water of the stay by a curve; null where two levels are all that is known.
    [[nodiscard]] const StayTide* tide() const { return tide_ ? &*tide_ : nullptr; }
    /// What each input is and what is doubtful in it.
    [[nodiscard]] std::vector<Inspection> inspections() const { return sea_.inspections(options_.measures); }
    /// Inputs with their digests, and what was assumed. Reads every input once more.
    [[nodiscard]] Provenance provenance(const std::string& command) const;
    /// What was assumed, without the inputs.
    [[nodiscard]] std::vector<Fact> facts() const;
    /// All files that were read, each once, in the order of the provenance.
    [[nodiscard]] std::vector<std::string> files() const;
    /// The same, sampled.   @throws IoError  one has changed since it was read
    [[nodiscard]] std::vector<SampledInput> sampled_inputs() const { return inputs_->sampled(files()); }
    /// The sea, for who records it.
    [[nodiscard]] const Sea& sea() const { return sea_; }
    /// What it was asked for, and what it gave.
    [[nodiscard]] AskedOfSea asked() const;
    [[nodiscard]] const SeaPart& part() const { return part_; }

private:
    [[nodiscard]] Boat read_boat();
    [[nodiscard]] double chosen_cell_m(const ChartsAlone& charts);
    /// @param grid  whose cells the levels are for   @param source  of that grid, for messages
    void open_levels_over(const Grid& grid, const std::string& source);
    void make_tables(const Boat& boat, double greatest_uncertainty_m);
    void warn_of_tide();

    JobOptions options_;
    std::unique_ptr<JobInputs> inputs_;
    std::optional<StayTide> tide_;
    std::unique_ptr<TackleTables> tables_; ///< charts alone need them for their grid
    std::optional<Fact> cell_fact_;        ///< how large cells are that nobody has chosen
    std::optional<StayLevels> levels_;     ///< where they change from place to place
    Sea sea_;
    std::string raster_;
    Window window_, known_;
    double around_m_; ///< how far around these hazards are known, too
    SeaPart part_;
    std::optional<SeaPart> all_; ///< where somebody looked at all of it
    std::vector<std::string> warnings_, waivers_;
    MarginSources margin_sources_;
};

} // namespace swingroom::cli
