#include "cli/commands/completion_command.hpp"

#include "swingroom/base/error.hpp"

#include "cli/console.hpp"
#include "cli/help/completion.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>

namespace swingroom::cli {
namespace {

constexpr const char* shells = "bash|zsh|fish";

} // namespace

void CompletionCommand::declare(Options& options,
                                boost::program_options::positional_options_description& positional) {
    options.add_options()("shell", text_value(shells), "which shell; the name alone will do; must be given");
    positional.add("shell", 1);
}

void CompletionCommand::accept(const boost::program_options::variables_map& given) {
    shell_ = required(given, "shell", "give one of bash, zsh, fish");
    const std::vector<std::string> known = words_of(shells);
    if (std::find(known.begin(), known.end(), shell_) == known.end()) {
        throw InputError("--shell", "\"" + shell_ + "\" is not known", cure_for_word(shell_, known));
    }
}

int CompletionCommand::run() {
    print_document(shell_ == "bash"  ? bash_completion()
                   : shell_ == "zsh" ? zsh_completion()
                                     : fish_completion());
    return 0;
}

} // namespace swingroom::cli
