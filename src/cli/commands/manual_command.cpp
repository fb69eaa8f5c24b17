#include "cli/commands/manual_command.hpp"

#include "swingroom/base/error.hpp"

#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/help/manual.hpp"
#include "cli/help/manual_tables.hpp"
#include "cli/options/plan.hpp"

namespace swingroom::cli {

void ManualCommand::declare(Options& options,
                            boost::program_options::positional_options_description& positional) {
    options.add_options()("command", text_value("COMMAND"),
                          "of which command; COMMAND alone will do\n"
                          "The page of the whole program if not given.")(
        "table", text_value("TABLE"),
        "a table of the manual's pages instead, as Markdown\n"
        "Options of a command, bits of a layer, reasons: what the pages in share/doc/swingroom/manual show.");
    positional.add("command", 1);
}

void ManualCommand::accept(const boost::program_options::variables_map& given) {
    of_ = optional(given, "command").value_or("");
    if (!of_.empty()) (void)command_named(of_);
    table_ = optional(given, "table").value_or("");
    if (!of_.empty() && !table_.empty()) {
        throw InputError("--table", "is given with a command", "leave one of the two out");
    }
}

int ManualCommand::run() {
    print_document(!table_.empty() ? manual_table(table_)
                   : of_.empty()   ? manual()
                                   : manual(command_named(of_)));
    return 0;
}

} // namespace swingroom::cli
