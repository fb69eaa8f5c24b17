#include "cli/commands/manual_command.hpp"

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/help/manual.hpp"
#include "cli/options/plan.hpp"

namespace swingroom::cli {

void ManualCommand::declare(Options& options,
                            boost::program_options::positional_options_description& positional) {
    options.add_options()("command", text_value("COMMAND"),
                          "of which command; COMMAND alone will do\n"
                          "The page of the whole program if not given.");
    positional.add("command", 1);
}

void ManualCommand::accept(const boost::program_options::variables_map& given) {
    of_ = optional(given, "command").value_or("");
    if (!of_.empty()) (void)command_named(of_);
}

int ManualCommand::run() {
    print_document(of_.empty() ? manual() : manual(command_named(of_)));
    return 0;
}

} // namespace swingroom::cli
