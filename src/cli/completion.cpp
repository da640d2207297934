#include "cli/command.hpp"
#include "cli/writing.hpp"
#include "error.hpp"
#include "region/region.hpp"
#include "rules/setting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <memory>

/// Completion scripts for shells, made from the options as they are declared, so that they cannot differ.
namespace waywarden::cli {

namespace {

struct OptionWords {
    std::vector<std::string> names; ///< "--map", "-o"
    std::string help;
    bool takes_value = false;
    bool takes_folder = false;
    std::vector<std::string> values; ///< what may follow, where these are few; else files
    bool or_file = false;            ///< files as well as values
};

struct CommandWords {
    std::string name, help;
    std::vector<OptionWords> options;
    std::vector<std::string> first_words; ///< what the first argument may be, where these are few
};

std::vector<std::string> values_of(const std::string& name) {
    if (name == "--party") return rules::shipped("parties");
    if (name == "--rules") return rules::shipped("sets");
    if (name == "--region") {
        auto out = region::names();
        out.insert(out.begin(), "auto");
        return out;
    }
    if (name == "--format") return format_names();
    if (name == "--for") return {"leader", "team", "marshals"};
    if (name == "--fail-on") return {"error", "warning", "note", "never"};
    return {};
}

OptionWords words_of(const CLI::Option& option) {
    OptionWords out;
    for (const std::string& name : option.get_lnames())
        out.names.push_back("--" + name);
    for (const std::string& name : option.get_snames())
        out.names.push_back("-" + name);
    out.help = option.get_description();
    out.takes_value = option.get_items_expected_max() > 0;
    out.takes_folder = out.help.starts_with("Folder ");
    for (const std::string& name : out.names) {
        out.or_file = out.or_file || name == "--party" || name == "--rules";
        if (out.values.empty()) out.values = values_of(name);
    }
    return out;
}

/// Groups of options, of which one is to be chosen, are commands without a name.
void add_options(const CLI::App& command, CommandWords& out) {
    for (const CLI::Option* option : command.get_options())
        if (!option->get_lnames().empty() || !option->get_snames().empty())
            out.options.push_back(words_of(*option));
    for (const CLI::App* deeper : command.get_subcommands({})) {
        if (deeper->get_name().empty())
            add_options(*deeper, out);
        else
            out.first_words.push_back(deeper->get_name());
    }
}

std::vector<CommandWords> commands_of(const CLI::App& program) {
    std::vector<CommandWords> out;
    for (const CLI::App* command : program.get_subcommands({})) {
        CommandWords words{command->get_name(), command->get_description(), {}, {}};
        add_options(*command, words);
        if (words.name == "completion") words.first_words = {"bash", "zsh", "fish"};
        out.push_back(std::move(words));
    }
    return out;
}

std::string joined(const std::vector<std::string>& words) {
    return fmt::format("{}", fmt::join(words, " "));
}

std::string all_options(const CommandWords& command) {
    std::vector<std::string> out;
    for (const OptionWords& option : command.options)
        out.insert(out.end(), option.names.begin(), option.names.end());
    return joined(out);
}

/// In single quotes for any of the three shells.
std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text)
        out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

std::string bash(const std::vector<CommandWords>& commands) {
    std::string names, cases;
    for (const CommandWords& command : commands) {
        names += (names.empty() ? "" : " ") + command.name;
        std::string values;
        for (const OptionWords& option : command.options) {
            if (!option.takes_value) continue;
            std::string offer = option.takes_folder                       ? " -d"
                                : option.values.empty() || option.or_file ? " -f"
                                                                          : "";
            if (!option.values.empty()) offer += " -W " + quoted(joined(option.values));
            values +=
                fmt::format("            {}) mapfile -t COMPREPLY < <(compgen{} -- \"$word\"); return ;;\n",
                            fmt::join(option.names, "|"), offer);
        }
        cases += fmt::format("    {}) options={}; words={}\n        case $before in\n{}        esac ;;\n",
                             command.name, quoted(all_options(command)), quoted(joined(command.first_words)),
                             values);
    }
    return fmt::format(R"(# bash completion for waywarden
_waywarden() {{
    local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD - 1]}} options= words=
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W '{} --help --version' -- "$word")
        return
    fi
    case ${{COMP_WORDS[1]}} in
{}    esac
    if [[ $word == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
    elif [ -n "$words" ] && [ "$COMP_CWORD" -eq 2 ]; then
        mapfile -t COMPREPLY < <(compgen -W "$words" -- "$word")
    else
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
    fi
}}
complete -o filenames -F _waywarden waywarden
)",
                       names, cases);
}

std::string zsh(const std::vector<CommandWords>& commands) {
    const auto safe = [](std::string text) { // what _arguments reads in a description
        for (const char special : {'[', ']', ':'})
            std::replace(text.begin(), text.end(), special, ' ');
        return text;
    };
    const auto action_of = [](const OptionWords& option) -> std::string {
        if (!option.takes_value) return "";
        if (option.takes_folder) return ":folder:_files -/";
        if (option.values.empty()) return ":file:_files";
        const std::string values = joined(option.values);
        if (!option.or_file) return fmt::format(":value:({})", values);
        // Colons part the fields of a specification.
        return fmt::format(":value:{{_alternative 'values\\:value\\:({})' 'files\\:file\\:_files'}}", values);
    };
    std::string names, cases;
    for (const CommandWords& command : commands) {
        names += fmt::format("        {}\n", quoted(command.name + ":" + safe(command.help)));
        std::string arguments;
        for (const OptionWords& option : command.options)
            for (const std::string& name : option.names)
                arguments += " \\\n            " +
                             quoted(fmt::format("*{}[{}]{}", name, safe(option.help), action_of(option)));
        const std::string rest =
            command.first_words.empty()
                ? "'*:file:_files'"
                : quoted(fmt::format("1:word:({})", joined(command.first_words))) + " '*:file:_files'";
        cases +=
            fmt::format("        {}) _arguments{} \\\n            {} ;;\n", command.name, arguments, rest);
    }
    return fmt::format(R"(#compdef waywarden
_waywarden() {{
    local -a commands=(
{}    )
    if (( CURRENT == 2 )); then
        _describe command commands
        return
    fi
    local command=$words[2]
    words=("${{(@)words[2,-1]}}")
    (( CURRENT-- ))
    case $command in
{}    esac
}}
# A shell that found this file by its name runs it for the first word that it completes; one that reads it does not.
if [[ $funcstack[1] == _waywarden ]]; then
    _waywarden "$@"
else
    compdef _waywarden waywarden
fi
)",
                       names, cases);
}

std::string fish(const std::vector<CommandWords>& commands) {
    std::string out = "# fish completion for waywarden\n";
    for (const CommandWords& command : commands)
        out += fmt::format("complete -c waywarden -n __fish_use_subcommand -f -a {} -d {}\n", command.name,
                           quoted(command.help));
    for (const CommandWords& command : commands) {
        const std::string here =
            fmt::format("complete -c waywarden -n '__fish_seen_subcommand_from {}'", command.name);
        if (!command.first_words.empty())
            out += fmt::format("{} -a {}\n", here, quoted(joined(command.first_words)));
        for (const OptionWords& option : command.options) {
            std::string names;
            for (const std::string& name : option.names)
                names += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
            const std::string values = !option.takes_value     ? ""
                                       : option.takes_folder   ? " -x -a '(__fish_complete_directories)'"
                                       : option.values.empty() ? " -r"
                                                               : (option.or_file ? " -r -a " : " -x -a ") +
                                                                     quoted(joined(option.values));
            out += fmt::format("{}{}{} -d {}\n", here, names, values, quoted(option.help));
        }
    }
    return out;
}

} // namespace

Run prepare_completion(CLI::App& app) {
    const auto shell = std::make_shared<std::string>();
    app.add_option("SHELL", *shell, "bash, zsh or fish")->required();
    const CLI::App* program = app.get_parent();
    return [shell, program] {
        const auto commands = commands_of(*program);
        if (*shell == "bash")
            std::cout << bash(commands);
        else if (*shell == "zsh")
            std::cout << zsh(commands);
        else if (*shell == "fish")
            std::cout << fish(commands);
        else
            throw ArgumentError(fmt::format("completion {}: there are bash, zsh and fish", *shell));
        return k_assessed;
    };
}

} // namespace waywarden::cli
