#include "cli/commands/merge_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/publish/part_record.hpp"

#include "cli/console.hpp"
#include "cli/options/options.hpp"
#include "cli/options/overlay_options.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/overlay_run.hpp"
#include "cli/run/run_control.hpp"
#include "cli/run/run_of_parts.hpp"

#include <string>

namespace swingroom::cli {

namespace po = boost::program_options;

void MergeCommand::declare(Options& options, po::positional_options_description& positional) {
    options.add_options()("folder", text_values("FOLDER"),
                          "the folders of the parts; FOLDER... alone will do; must be given\n"
                          "What overlay --part has made: all parts of one run, in any order.");
    OverlayOptions::declare_making(options);
    positional.add("folder", -1);
}

void MergeCommand::accept(const po::variables_map& given) {
    for (const std::string& folder : several(given, "folder")) {
        folders_.emplace_back(folder);
    }
    if (folders_.empty()) {
        throw InputError("FOLDER", "no part is given", "name the folders that overlay --part has made");
    }
    (void)required(given, {"out", "name the folder to make, for example anchorages"});
    given_ = given;
}

int MergeCommand::run() {
    notice_signals();
    keep_large_memory_apart();
    const PartsOfRun parts = read_parts(folders_);
    const OverlayOptions options = options_of(parts, given_);
    OverlayRun(options, &parts).make();
    return 0;
}

} // namespace swingroom::cli
