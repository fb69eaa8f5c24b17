#include "cli/commands/rules_command.hpp"

#include "swingroom/sea/hazards.hpp"

#include "cli/console.hpp"

namespace swingroom::cli {

void RulesCommand::declare(Options&, boost::program_options::positional_options_description&) {}

void RulesCommand::accept(const boost::program_options::variables_map&) {}

int RulesCommand::run() {
    print(default_hazard_rules_text());
    return 0;
}

} // namespace swingroom::cli
