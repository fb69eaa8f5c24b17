#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/sea/hazard_extent.hpp"

#include "cli/command.hpp"
#include "cli/options/access_options.hpp"
#include "cli/run/job.hpp"
#include "cli/run/run_control.hpp"
#include "cli/run/run_size.hpp"
#include "cli/run/way_in.hpp"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// `swingroom overlay`: the job: all layers for an area, into one folder.
class OverlayCommand : public Command {
public:
    /// What a plan may hold.
    static Options planned();
    void declare(Options& options,
                 boost::program_options::positional_options_description& positional) override;
    void accept(const boost::program_options::variables_map& given) override;
    int run() override;
    [[nodiscard]] std::string plan() const override;

private:
    [[nodiscard]] ZoneStyle style_of_zones(const OverlayJob& job) const;
    [[nodiscard]] LayerSet reckoned(LayerSet wanted) const;
    [[nodiscard]] WayInNeed need_of_way_in(Window raster, BlockSize block) const;
    void consider_size(Window window, Window raster, const std::string& source,
                       const std::filesystem::path& folder) const;

    [[nodiscard]] std::optional<FoundWayIn> way_in(OpenedJob& opened, const OverlayJob& job,
                                                   ProgressBar& bar) const;
    [[nodiscard]] ReportInput page_of(const OpenedJob& opened, const OverlayFiles& files,
                                      const OverlayJob& job, const Provenance& provenance) const;
    void close(const OverlayFiles& files, std::size_t warnings, const RodeMarks& marks) const;

    JobOptions job_;
    AccessOptions access_;
    boost::program_options::variables_map given_;
    std::string out_, plan_;
    std::vector<std::string> inputs_; ///< as far as options name them
    bool overwrite_ = false, json_ = false;
    Outputs outputs_;
    int threads_ = 1;
    int memory_mb_ = 0;
    double cells_limit_ = 0;
    std::size_t most_spots_ = 0;
    bool smooth_zones_ = true;
    std::optional<double> least_zone_m2_; ///< none: by the boat
};

} // namespace swingroom::cli
