#include "cli/commands/overlay_command.hpp"

#include "swingroom/base/error.hpp"

#include "cli/console.hpp"
#include "cli/options/plan.hpp"
#include "cli/run/overlay_run.hpp"
#include "cli/run/part_script.hpp"
#include "cli/run/run_control.hpp"
#include "cli/run/run_of_parts.hpp"

#include <filesystem>

namespace swingroom::cli {

namespace po = boost::program_options;

void OverlayCommand::declare(Options& options, po::positional_options_description&) {
    options_.declare(options);
    // clang-format off
    options.group(Group::seldom);
    options.add_options()
        ("part", text_value("I/N"), "make the I-th of N parts, for merge\n"
         "The folder then holds what merge needs of this part, and no layer. All parts of a run are made by one plan, anywhere and in any "
         "order; merge makes of them what one run would have made, to the byte. A part that is there already, and is whole and of the same "
         "plan and inputs, stands.")
        ("print-parts", text_value("N"), "print a script that has Slurm make N parts, and end\n"
         "sh SCRIPT submits an array of N jobs and one behind it that merges them. It holds the plan, and can be submitted again: what is whole stays.");
    // clang-format on
}

void OverlayCommand::accept(const po::variables_map& given) {
    options_.accept(given);
    if (const auto part = optional(given, "part")) part_ = parse_part(*part);
    if (const auto parts = optional(given, "print-parts")) {
        print_parts_ = parse_part(*parts + "/" + *parts, "--print-parts").parts;
    }
    if (part_ || print_parts_) (void)only_boat(options_.job);
    if (part_ && options_.json) {
        throw InputError("--json", "tells of a whole run", "give it to merge");
    }
}

std::string OverlayCommand::plan() const { return options_.plan(); }

std::string OverlayCommand::script(int parts) const {
    return part_script({options_.plan_of_parts(), "swingroom",
                        std::filesystem::absolute(options_.out).string(), parts, options_.threads,
                        options_.memory_mb});
}

int OverlayCommand::run() {
    if (print_parts_) {
        print_document(script(*print_parts_));
        return 0;
    }
    notice_signals();
    keep_large_memory_apart();
    OverlayRun run(options_);
    if (part_) {
        run.make_part(*part_);
    } else {
        run.make();
    }
    return 0;
}

} // namespace swingroom::cli
