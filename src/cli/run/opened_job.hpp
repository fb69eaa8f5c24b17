#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/exclusion_files.hpp"
#include "swingroom/publish/part_record.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/inspection.hpp"
#include "swingroom/sea/sea.hpp"
#include "swingroom/sea/sea_record.hpp"
#include "swingroom/sea/stay_levels.hpp"
#include "swingroom/water/stay_tide.hpp"

#include "cli/run/job.hpp"

#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// One of the boats of a job: what of it is hers alone.
struct OpenedBoat {
    std::string file; ///< her boat file
    Boat boat;        ///< as it says, and as a tide tells how surely the level is known to her
    /// Of all levels and depths that the sea may have; not null once the job is opened.
    std::unique_ptr<const TackleTables> tables;
    /// The cells of a grid for charts alone that nobody has chosen: told where they are what she would get in
    /// a run of her own.
    std::optional<Fact> cell_fact;
    /// The side of its cells, in metres, where another boat needs smaller ones: a run of her own has to be
    /// told it.
    std::optional<double> cell_m;
    /// The cells whose depths and hazards a run of her own would prepare.
    Window known;
    /// The hazards that it would know, which is what is told of hazards; not null, as `tables`.
    const SeaHazards* around = nullptr;
    /// What is doubtful in the inputs, a sentence each, for the report too.
    std::vector<std::string> warnings;
    /// Those among them that the user has brought about: margins lowered, restrictions set aside.
    std::vector<std::string> waivers;
};

/// Everything that the options name, opened, read and prepared for the part of the sea that a command looks
/// at: the sea once, whoever asks, for the boat with the greatest circles; and each of the boats. What a boat
/// is told is what she would be told in a job of her own.
///
/// Charts alone whose cells nobody has chosen get them by scale and boat (chart_cells()), the smallest that
/// any of the boats would get, counted over the window of the overlay, whoever asks: a spot looks at the
/// cells that an overlay of the same plan decides.
class OpenedJob {
public:
    /// Says which cells are looked at once the grid is known, before anything is made that grows with them.
    using ChooseWindow = std::function<Window(const Grid&, const Georeference&, const std::string& source)>;

    /// @param around_m  how far around the window hazards are to be known, whatever the boats' circles need
    /// @throws InputError, IoError, and what choosing throws; InputError also where the cells are too small
    ///         for a boat's circles. What is wrong with several boats is told together.
    OpenedJob(const JobOptions& options, const ChooseWindow& choose, double around_m);
    /// The same of other inputs than the files that are named.   @param inputs  not null
    OpenedJob(const JobOptions& options, std::unique_ptr<JobInputs> inputs, const ChooseWindow& choose,
              double around_m);
    OpenedJob(const OpenedJob&) = delete;
    OpenedJob& operator=(const OpenedJob&) = delete;
    ~OpenedJob() = default;

    /// In the order of the options; at least one.
    [[nodiscard]] const std::vector<OpenedBoat>& boats() const { return boats_; }

    /// Prepares more of the sea, where what is looked at turns out to need it: all of a window besides what
    /// is prepared. Jobs that were handed out before end with it, but for those over all of the grid.
    /// @pre there is one boat
    void widen(Window window);
    /// The window, as it is prepared for all boats.
    [[nodiscard]] SeaView view() const;
    /// How many cells around a block the boat with the greatest circles needs.
    [[nodiscard]] int halo() const { return halo_; }
    /// The rules that its hazards are made by.
    [[nodiscard]] const std::vector<HazardRule>& rules() const { return sea_.rules(); }
    /// A boat's job over the window that wants nothing yet.
    [[nodiscard]] OverlayJob job(const OpenedBoat& boat) const;
    /// The same over all of the grid, for which more of the sea is prepared if need be: beside what is
    /// prepared for the window, so that jobs over that stand.
    OverlayJob job_of_all(const OpenedBoat& boat);
    /// The raster's grid, or the one that was made for charts.
    [[nodiscard]] const Grid& grid() const { return sea_.grid(); }
    /// The raster or chart, or the first of several and how many more: for messages.
    [[nodiscard]] const std::string& raster() const { return raster_; }
    /// Of that grid; for the thread that opened the job.
    [[nodiscard]] const Georeference& georeference() const { return sea_.georeference(); }
    /// A boat's tables for people, who look depths up in them: where levels change from place to place for
    /// the least and the greatest that is met, for which any rode is enough and any radius great enough.
    [[nodiscard]] TackleTables tables_for_people(const OpenedBoat& boat) const;
    /// Where the margins of the rules are from.
    [[nodiscard]] const MarginSources& margin_sources() const { return margin_sources_; }
    /// As the charts call what the window shows.
    [[nodiscard]] std::vector<PlaceName> place_names() const { return sea_.place_names(window_); }
    /// The water of the stay by a curve; null where two levels are all that is known.
    [[nodiscard]] const StayTide* tide() const { return tide_ ? &*tide_ : nullptr; }
    /// What each input is and what is doubtful in it.
    [[nodiscard]] std::vector<Inspection> inspections() const { return sea_.inspections(options_.measures); }
    /// What was assumed in a boat's answers.
    [[nodiscard]] std::vector<Fact> facts(const OpenedBoat& boat) const;
    /// The same of what they have in common: of the sea, the water and the rules.
    [[nodiscard]] std::vector<Fact> common_facts() const;
    /// All files that were read for a boat, each once, in the order of the provenance.
    [[nodiscard]] std::vector<std::string> files(const OpenedBoat& boat) const;
    /// The same for all boats.
    [[nodiscard]] std::vector<std::string> files() const;
    /// These with their digests. Reads every input once more.   @throws IoError
    [[nodiscard]] std::vector<InputFile> digested_inputs() const { return inputs_->digested(files()); }
    /// The same, sampled.   @throws IoError  one has changed since it was read
    [[nodiscard]] std::vector<SampledInput> sampled_inputs() const { return inputs_->sampled(files()); }
    /// The sea, for who records it.
    [[nodiscard]] const Sea& sea() const { return sea_; }
    /// What it was asked for, and what it gave.
    [[nodiscard]] AskedOfSea asked() const;
    [[nodiscard]] const SeaPart& part() const { return part_; }

private:
    void read_boats();
    [[nodiscard]] double chosen_cell_m(const ChartsAlone& charts);
    /// @param grid  whose cells the levels are for   @param source  of that grid, for messages
    void open_levels_over(const Grid& grid, const std::string& source);
    void make_tables(double greatest_uncertainty_m);
    void measure_boats();
    void prepare_hazards();
    void warn_of(OpenedBoat& boat) const;
    [[nodiscard]] std::vector<std::string> doubts_of_tide() const;
    [[nodiscard]] std::optional<Fact> cell_fact() const;
    [[nodiscard]] std::vector<Fact> facts_of_depths() const;
    [[nodiscard]] std::vector<Fact> facts_of_hazards() const;
    [[nodiscard]] std::vector<std::string> files_with(const std::vector<std::string>& boat_files) const;

    JobOptions options_;
    std::unique_ptr<JobInputs> inputs_;
    std::optional<StayTide> tide_;
    std::vector<OpenedBoat> boats_;
    std::optional<StayLevels> levels_; ///< where they change from place to place
    Sea sea_;                          ///< charts alone ask the boats for its cells
    std::string raster_;
    Window window_, known_;
    int halo_ = 0;
    double around_m_; ///< how far around these hazards are known, too
    SeaPart part_;
    std::deque<SeaHazards> narrower_;    ///< of boats that alone would know of less
    std::shared_ptr<const SeaPart> all_; ///< where somebody looked at all of it
    MarginSources margin_sources_;
};

} // namespace swingroom::cli
