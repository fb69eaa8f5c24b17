#pragma once

#include "swingroom/report/cruise_page.hpp"

#include "cli/cruise/cruise_plans.hpp"
#include "cli/cruise/run_record.hpp"
#include "cli/options/overlay_options.hpp"
#include "cli/run/kept_inputs.hpp"
#include "publish/folder/cruise_folder.hpp"

#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// All that a cruise is told.
struct CruiseOptions {
    std::string file, out;            ///< the cruise file, the folder to make
    CruisePlans plans;                ///< of that file
    std::vector<OverlayOptions> runs; ///< accepted, one for each of the plans' runs
    bool all_anew = false;            ///< also runs that have not changed
};

/// The runs of a cruise, one after the other into a folder each, and what is told of all of them. Files that
/// one run has opened are not opened again for the next.
class CruiseRun {
public:
    /// Looks at the boats and makes the folder.   @param options  outlive this
    /// @throws InputError, IoError
    explicit CruiseRun(const CruiseOptions& options);

    /// Makes each run that is not there already, unchanged. One that fails is told and does not stop the
    /// others. Then puts page, cruise.json and drop points in their places.
    /// @returns how many have failed   @throws IoError  the disk of what stands over all runs fails
    std::size_t make();

    /// The folder's full name.
    [[nodiscard]] const std::filesystem::path& folder() const { return folder_.path(); }
    /// What is told of all runs, once they are made.
    [[nodiscard]] const CruiseFigures& figures() const { return figures_; }

private:
    [[nodiscard]] std::vector<CruiseBoat> read_boats() const;
    [[nodiscard]] CruiseStay stay_before(std::size_t run) const;
    [[nodiscard]] std::string folder_of(std::size_t run, std::size_t boat) const;
    [[nodiscard]] std::string told(CruiseStay stay) const;
    [[nodiscard]] CruiseStay only_stay_in(const std::string& told) const;
    [[nodiscard]] std::optional<CruiseStay> kept(std::size_t run);
    [[nodiscard]] CruiseStay made(std::size_t run);
    [[nodiscard]] CruiseStay failed(std::size_t run, const std::string& why) const;
    void take(std::size_t run, CruiseStay stay);
    void write() const;

    const CruiseOptions& options_;
    CruiseFigures figures_;
    CruiseFolder folder_;
    std::shared_ptr<KeptInputs> kept_inputs_; ///< from one run to the next
    std::vector<std::string> manifests_; ///< of the runs' folders, by their digests; empty: there is none
};

} // namespace swingroom::cli
