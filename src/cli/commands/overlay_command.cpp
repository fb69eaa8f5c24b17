#include "cli/commands/overlay_command.hpp"

#include "cli/run/overlay_run.hpp"
#include "cli/run/run_control.hpp"

namespace swingroom::cli {

namespace po = boost::program_options;

void OverlayCommand::declare(Options& options, po::positional_options_description&) {
    options_.declare(options);
}

void OverlayCommand::accept(const po::variables_map& given) { options_.accept(given); }

std::string OverlayCommand::plan() const { return options_.plan(); }

int OverlayCommand::run() {
    notice_signals();
    keep_large_memory_apart();
    OverlayRun(options_).make();
    return 0;
}

} // namespace swingroom::cli
