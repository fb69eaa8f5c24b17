#include "cli/help/completion.hpp"

#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/help/text.hpp"

#include <map>
#include <string_view>
#include <vector>

namespace swingroom::cli {
namespace {

enum class Kind { anything, file, folder, word, list };

Kind kind_of(const std::string& value_name) {
    if (value_name == "FILE") return Kind::file;
    if (value_name == "FOLDER") return Kind::folder;
    if (is_list(value_name)) return Kind::list;
    return words_of(value_name).empty() ? Kind::anything : Kind::word;
}

std::string words_text(const std::string& value_name) { return joined(words_of(value_name), " "); }

struct CommandRows {
    const Entry* entry;
    std::vector<OptionRow> options;
    std::vector<OptionRow> positional; ///< by place
    bool last_repeats = false;
};

std::vector<CommandRows> all_commands() {
    std::vector<CommandRows> all;
    for (const Entry& entry : commands()) {
        const Declared declared(entry);
        CommandRows& command = all.emplace_back(CommandRows{&entry, rows(declared.options), {}, false});
        const unsigned places = declared.positional.max_total_count();
        command.last_repeats = places > command.options.size();
        for (unsigned place = 0; place < (command.last_repeats ? 1 : places); ++place) {
            for (const OptionRow& row : command.options) {
                if (row.name == declared.positional.name_for_position(place)) {
                    command.positional.push_back(row);
                }
            }
        }
    }
    return all;
}

std::string command_names() { return words_text("COMMAND"); }

// A text between single quotes, which bash, zsh and fish read alike but for what is doubled inside.
std::string quoted(std::string_view text) { return "'" + replaced(std::string(text), "'", "'\\''") + "'"; }
std::string fish_quoted(std::string_view text) {
    return "'" + replaced(replaced(std::string(text), "\\", "\\\\"), "'", "\\'") + "'";
}

/// What bash does to complete a value; nothing where it may be anything.
std::string bash_action(const std::string& value_name) {
    switch (kind_of(value_name)) {
    case Kind::file:
        return "_swingroom_paths -f";
    case Kind::folder:
        return "_swingroom_paths -d";
    case Kind::list:
        return "_swingroom_list " + quoted(words_text(value_name));
    case Kind::word:
        return "_swingroom_words " + quoted(words_text(value_name));
    case Kind::anything:
        break;
    }
    return ":";
}

std::string zsh_action(const std::string& value_name) {
    switch (kind_of(value_name)) {
    case Kind::file:
        return "_files";
    case Kind::folder:
        return "_files -/";
    case Kind::list:
        return "_sequence compadd - " + words_text(value_name);
    case Kind::word:
        return "(" + words_text(value_name) + ")";
    case Kind::anything:
        break;
    }
    return " ";
}

std::string fish_action(const std::string& value_name) {
    switch (kind_of(value_name)) {
    case Kind::file:
        return " -r -F";
    case Kind::folder:
        return " -x -a '(__fish_complete_directories)'";
    case Kind::list:
        return " -x -a '(__fish_append , " + words_text(value_name) + ")'";
    case Kind::word:
        return " -x -a " + fish_quoted(words_text(value_name));
    case Kind::anything:
        break;
    }
    return " -x";
}

constexpr std::string_view made = "made by swingroom completion from its table of options";

/// Inside of `[...]` and between the colons of an _arguments specification.
std::string zsh_safe(std::string text) {
    for (const char* special : {"\\", ":", "[", "]"}) {
        text = replaced(text, special, std::string("\\") + special);
    }
    return text;
}

} // namespace

std::string bash_completion() {
    std::string text = "# bash completion of swingroom, " + std::string(made) + R"(

_swingroom_words() {
    local IFS=$' \n'
    COMPREPLY=($(compgen -W "$1" -- "$cur"))
}

# Commas between words: the last one is completed.
_swingroom_list() {
    local IFS=$' \n' before=
    [[ $cur == *,* ]] && before=${cur%,*},
    COMPREPLY=($(compgen -P "$before" -W "$1" -- "${cur##*,}"))
    compopt -o nospace 2>/dev/null
}

_swingroom_paths() {
    local IFS=$'\n'
    COMPREPLY=($(compgen "$1" -- "$cur"))
    compopt -o filenames 2>/dev/null
}

_swingroom() {
    local cur=${COMP_WORDS[COMP_CWORD]} option=${COMP_WORDS[COMP_CWORD - 1]} command=${COMP_WORDS[1]} words=
    COMPREPLY=()
    # bash takes --option=value for three words.
    if [[ $cur == '=' ]]; then
        cur=
    elif [[ $option == '=' ]]; then
        option=${COMP_WORDS[COMP_CWORD - 2]}
    fi
    if ((COMP_CWORD == 1)); then
        _swingroom_words ')" +
                       command_names() + R"( --help --version'
        return
    fi
    case "$command $option" in
)";
    const std::vector<CommandRows> all = all_commands();
    std::map<std::string, std::vector<std::string>> patterns; // by what is done
    for (const CommandRows& command : all) {
        for (const OptionRow& row : command.options) {
            if (!row.value.empty()) {
                patterns[bash_action(row.value)].push_back("'" + std::string(command.entry->name) + " --" +
                                                           row.name + "'");
            }
        }
    }
    for (const auto& [action, options] : patterns) {
        text += "    " + joined(options, " | ") + ")\n        " + action + "\n        return\n        ;;\n";
    }
    text += "    esac\n    case \"$command\" in\n";
    for (const CommandRows& command : all) {
        std::vector<std::string> options;
        for (const OptionRow& row : command.options) {
            options.push_back("--" + row.name);
        }
        text +=
            "    " + std::string(command.entry->name) + ")\n        words='" + joined(options, " ") + "'\n";
        if (!command.positional.empty()) {
            text += "        [[ $cur == -* ]] || { " + bash_action(command.positional.front().value) +
                    "; return; }\n";
        }
        text += "        ;;\n";
    }
    return text + R"(    esac
    _swingroom_words "$words"
}

complete -F _swingroom swingroom
)";
}

std::string zsh_completion() {
    std::string text = "#compdef swingroom\n# zsh completion of swingroom, " + std::string(made) + R"(

_swingroom() {
    local curcontext=$curcontext state line
    local -a commands
    typeset -A opt_args
    commands=(
)";
    const std::vector<CommandRows> all = all_commands();
    for (const CommandRows& command : all) {
        text += "        " +
                quoted(std::string(command.entry->name) + ":" +
                       replaced(std::string(command.entry->summary), ":", "\\:")) +
                '\n';
    }
    text += R"(    )
    _arguments -C '(- *)--help[list the commands]' '(- *)--version[tell the versions]' \
        '1:command:->command' '*::argument:->argument'
    case $state in
    command) _describe command commands ;;
    argument)
        case $line[1] in
)";
    for (const CommandRows& command : all) {
        text += "        " + std::string(command.entry->name) + ")\n            _arguments";
        for (const OptionRow& row : command.options) {
            std::string spec = (row.repeatable ? "*" : "");
            spec += "--" + row.name + (row.value.empty() ? "" : "=") + "[" + zsh_safe(row.brief) + "]";
            if (!row.value.empty()) spec += ":" + zsh_safe(row.value) + ":" + zsh_action(row.value);
            text += " \\\n                " + quoted(spec);
        }
        for (std::size_t place = 0; place < command.positional.size(); ++place) {
            const OptionRow& row = command.positional[place];
            text +=
                " \\\n                " + quoted((command.last_repeats ? "*" : std::to_string(place + 1)) +
                                                 ":" + zsh_safe(row.name) + ":" + zsh_action(row.value));
        }
        text += "\n            ;;\n";
    }
    return text + R"(        esac
        ;;
    esac
}

if [[ $funcstack[1] == _swingroom ]]; then
    _swingroom "$@"
else
    compdef _swingroom swingroom
fi
)";
}

std::string fish_completion() {
    std::string text = "# fish completion of swingroom, " + std::string(made) + R"(

function __swingroom_command
    set -l words (commandline -opc)
    test (count $words) -gt 1; and test $words[2] = $argv[1]
end

complete -c swingroom -f
complete -c swingroom -n __fish_use_subcommand -l help -d 'list the commands'
complete -c swingroom -n __fish_use_subcommand -l version -d 'tell the versions'
)";
    const std::vector<CommandRows> all = all_commands();
    for (const CommandRows& command : all) {
        text += "complete -c swingroom -n __fish_use_subcommand -a " + std::string(command.entry->name) +
                " -d " + fish_quoted(command.entry->summary) + '\n';
    }
    for (const CommandRows& command : all) {
        const std::string start =
            "complete -c swingroom -n '__swingroom_command " + std::string(command.entry->name) + "'";
        for (const OptionRow& row : command.options) {
            text += start + " -l " + row.name + (row.value.empty() ? "" : fish_action(row.value)) + " -d " +
                    fish_quoted(row.brief) + '\n';
        }
        if (command.positional.empty()) continue;
        const std::string& value = command.positional.front().value;
        if (kind_of(value) == Kind::file) text += start + " -F\n";
        if (kind_of(value) == Kind::folder || kind_of(value) == Kind::word) {
            text += start + fish_action(value).substr(3) + '\n';
        }
    }
    return text;
}

} // namespace swingroom::cli
