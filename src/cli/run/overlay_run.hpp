#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/boats_files.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/publish/part_files.hpp"
#include "swingroom/publish/part_record.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/sea/inspection.hpp"

#include "cli/options/overlay_options.hpp"
#include "cli/run/kept_inputs.hpp"
#include "cli/run/opened_job.hpp"
#include "cli/run/run_control.hpp"
#include "cli/run/run_size.hpp"
#include "cli/run/way_in.hpp"

#include <deque>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// What a run has made for one of its boats. What it points to lives as long as the telling.
struct MadeBoat {
    std::string folder;        ///< its name within the run's folder; empty: it is all of that
    const OverlayFiles& files; ///< what was counted, and the best drop points
    const OverlayJob& job;     ///< what was decided
    /// What is doubtful, a sentence each: of inputs and of the answer.
    const std::vector<std::string>& warnings;
    const ReportInput* page; ///< what the report was made from; null: it was not asked for
};

/// A run whose folder is made, for those who tell of it.
struct MadeRun {
    const PendingFolder& folder;        ///< has its name
    const std::vector<MadeBoat>& boats; ///< in the order of the options; at least one
    const Covered* of_all_boats;        ///< where each of them has a yes; null: nobody has counted
};

/// A run: opens what its options name, decides, and makes the folder.
class OverlayRun {
public:
    /// @param options  outlive the run
    /// @param parts    that have recorded the sea and decided the cells; they outlive the run. Null: neither
    ///                 is done yet
    /// @param kept     of runs before it, and for those after; not null
    explicit OverlayRun(const OverlayOptions& options, const PartsOfRun* parts = nullptr,
                        std::shared_ptr<KeptInputs> kept = std::make_shared<KeptInputs>());

    /// Makes the folder, whole or not at all, and tells so.   @throws InputError, IoError
    void make();
    /// The same, told by `tell` alone.
    void make(const std::function<void(const MadeRun&)>& tell);
    /// The same of a part's folder. One that is there already, and is this very part, stands.
    /// @pre the options name one boat
    void make_part(PartOfRun number);

private:
    /// What is made for one of the boats, as far as it has come.
    struct BoatOfRun {
        const RunBoat& named;
        const OpenedBoat& opened;
        std::filesystem::path folder = {}; ///< where her files are put
        OverlayJob job = {};               ///< what is decided
        Provenance provenance = {};
        std::optional<FoundWayIn> way = {}; ///< nothing where nobody looks for it
        std::vector<std::string> warnings = {};
        std::unique_ptr<OverlayFiles> files = {};
        std::optional<ReportInput> page = {}; ///< nothing where neither report nor map is wanted
    };

    [[nodiscard]] int boats_count() const;
    [[nodiscard]] LayerSet reckoned(LayerSet wanted) const;
    [[nodiscard]] WayInNeed need_of_way_in(Window raster, BlockSize block) const;
    void consider_size(Window window, Window raster, const std::string& source) const;
    void begin_folder();
    void open();
    void keep_of_files(BlockSize block);
    void look_at_inputs();
    void find_provenance();
    [[nodiscard]] Provenance provenance_of_all() const;
    [[nodiscard]] std::filesystem::path disk() const;
    [[nodiscard]] PartRecord record_of(PartOfRun number) const;
    void record(PartOfRun number) const;
    static const std::string& file_of(const BoatOfRun& boat);
    /// Over all of the raster, unless that is too large.
    [[nodiscard]] WayInRequest way_in_request(const BoatOfRun& boat);
    [[nodiscard]] WayInRequest way_in_request(const BoatOfRun& boat, bool of_all);
    void check_ways_in();
    void look_for_ways_in();
    void tell_of_ways_in();
    void decide();
    void begin_files_of_all(const SeaView& sea);
    void finish();
    void finish(BoatOfRun& boat, const std::function<void(double)>& progress);
    void doubt_answers();
    void commit();
    void show(double fraction);
    void print_result(const MadeRun& made) const;
    void close(const BoatOfRun& boat) const;
    void inspect_inputs();
    [[nodiscard]] ReportInput page_of(const BoatOfRun& boat);

    const OverlayOptions& options_;
    const PartsOfRun* parts_;
    std::shared_ptr<KeptInputs> kept_;
    int shares_ = 1; ///< in how many parts the run is made
    std::optional<PendingFolder> folder_;
    std::optional<OpenedJob> opened_;
    std::optional<KeptParts> decided_; ///< what parts have decided, which the boat's files may look into
    std::deque<BoatOfRun> boats_;      ///< which do not move: pages point to their jobs
    std::vector<InputFile> inputs_;    ///< of all boats
    std::optional<std::vector<Inspection>> inspections_; ///< once a page has asked for them
    std::unique_ptr<BoatsFiles> files_of_all_;           ///< null: none are wanted, or there is one boat
    ProgressBar bar_;
};

} // namespace swingroom::cli
