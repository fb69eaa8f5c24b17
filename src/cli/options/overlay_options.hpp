#pragma once

#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/formats.hpp"

#include "cli/command.hpp"
#include "cli/options/access_options.hpp"
#include "cli/run/job.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// One of the boats of a run.
struct RunBoat {
    std::string file; ///< her boat file
    /// The name of her folder within the run's; empty where she is the only one, and has all of it.
    std::string folder;
    /// What --name says of her, as a run for her alone would be told it; empty where it is not given.
    std::string name = {};
    NamePrefix prefix = {}; ///< the same, of the names of her features
};

/// All that a run is told by its options: what is looked at and for whom, what is written, how large it may
/// be. They are what a plan may hold.
class OverlayOptions {
public:
    /// The options by themselves, as a plan may hold them.
    static Options planned();

    /// Adds them to a command's.
    void declare(Options& options);
    /// Of these the ones that say how it is made, and not what: where, on which machine.
    static void declare_making(Options& options);
    /// Whether an option is one of these.
    static bool is_of_making(std::string_view name);
    /// Takes what was given, the plan's values filled in.   @throws InputError
    void accept(const boost::program_options::variables_map& on_command_line);
    /// Everything that was given or is so by default, as the text of a plan that means the same.
    /// @throws InputError  a value cannot stand in a plan
    [[nodiscard]] std::string plan() const;
    /// The same without what says how it is made, for parts, which are made elsewhere.
    [[nodiscard]] std::string plan_of_parts() const;
    /// What is made for each boat.
    [[nodiscard]] Outputs outputs_of_each() const;
    /// Whether anything is made that tells of all boats together.
    [[nodiscard]] bool of_all_boats() const { return outputs.formats.layers().has(Layer::boats_yes); }
    /// The plan as the outputs of a boat tell it: that of a run for her alone.
    /// @param cell_m  the cells of a grid for charts alone, where she would get others by herself
    [[nodiscard]] std::string effective_for(const RunBoat& boat, std::optional<double> cell_m) const;

    JobOptions job;                              ///< what is looked at and for whom
    std::vector<RunBoat> boats;                  ///< at least one, in the order in which they were given
    AccessOptions access;                        ///< the way in
    boost::program_options::variables_map given; ///< all options, the plan's among them
    std::string out;                             ///< the folder to make
    std::string effective; ///< the plan as outputs tell it: what bears on the result, as it was given
    std::vector<std::string> inputs; ///< files that are read, as far as options name them
    bool overwrite = false, json = false;
    Outputs outputs;                     ///< layers and formats, of the boats and of all of them together
    int threads = 1;                     ///< at least 1
    int memory_mb = 0;                   ///< to aim at
    double cells_limit = 0;              ///< of a run
    std::size_t most_spots = 0;          ///< drop points that are kept
    bool smooth_zones = true;            ///< how edges of zones are drawn
    std::optional<double> least_zone_m2; ///< smaller zones are left out; none: by the boat
};

} // namespace swingroom::cli
