#include "cli/rules_command.hpp"

#include "swingroom/chart/hazards.hpp"

#include <iostream>

namespace swingroom::cli {

void RulesCommand::declare(Options&, boost::program_options::positional_options_description&) {}

void RulesCommand::accept(const boost::program_options::variables_map&) {}

int RulesCommand::run() {
    std::cout << default_hazard_rules_text();
    return 0;
}

} // namespace swingroom::cli
