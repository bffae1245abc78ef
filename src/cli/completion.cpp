/// Completion scripts: the commands first, then each command's options, else files.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cli/interface.hpp"

namespace oventide::cli {
namespace {

std::vector<std::string> long_names(const std::vector<Interface::Option>& options) {
    std::vector<std::string> names;
    for (const auto& option : options)
        for (const std::string& name : option.names)
            if (name.starts_with("--")) names.push_back(name);
    return names;
}

/// Of an option whose value is one of a few: "a4|letter".
bool is_choice(const Interface::Option& option) { return option.value.find('|') != std::string::npos; }

std::string choices(const Interface::Option& option) {
    std::string words = option.value;
    std::replace(words.begin(), words.end(), '|', ' ');
    return words;
}

/// What may stand behind an option of a command: "        sheet,--paper) words="a4 letter" ;;".
std::string bash_values(const Interface& interface) {
    std::string cases;
    for (const auto& command : interface.commands)
        for (const auto& option : command.options)
            if (is_choice(option))
                for (const std::string& name : option.names)
                    cases += fmt::format("        {},{}) values=\"{}\" ;;\n", command.name, name, choices(option));
    return cases;
}

std::vector<std::string> command_names(const Interface& interface) {
    std::vector<std::string> names;
    for (const auto& command : interface.commands) names.push_back(command.name);
    return names;
}

std::string for_bash(const Interface& interface) {
    std::string cases;
    for (const auto& command : interface.commands)
        cases +=
            fmt::format("        {}) words=\"{}\" ;;\n", command.name, fmt::join(long_names(command.options), " "));
    return fmt::format(R"(# bash completion for oventide: source it, or put it into bash's folder of completions.
_oventide() {{
    local word=${{COMP_WORDS[COMP_CWORD]}} words= values=
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "{} {}" -- "$word"))
        return
    fi
    case ${{COMP_WORDS[1]}} in
{}    esac
    case ${{COMP_WORDS[1]}},${{COMP_WORDS[COMP_CWORD-1]}} in
{}    esac
    if [ -n "$values" ]; then
        COMPREPLY=($(compgen -W "$values" -- "$word"))
        return
    fi
    case $word in
        -*) COMPREPLY=($(compgen -W "$words" -- "$word")) ;;
        *) compopt -o filenames 2>/dev/null
           local IFS=$'\n'
           COMPREPLY=($(compgen -f -- "$word")) ;;
    esac
}}
complete -F _oventide oventide
)",
                       fmt::join(command_names(interface), " "), fmt::join(long_names(interface.options), " "), cases,
                       bash_values(interface));
}

/// Within single quotes and an _arguments specification.
std::string zsh_text(const std::string& text) {
    std::string out;
    for (const char c : text) {
        if (c == '\'')
            out += "'\\''";
        else if (c == '[' || c == ']' || c == ':' || c == '\\')
            out += std::string("\\") + c;
        else
            out += c;
    }
    return out;
}

std::string zsh_options(const std::vector<Interface::Option>& options, const std::string& indent) {
    std::string out;
    for (const auto& option : options)
        for (const std::string& name : option.names)
            if (name.starts_with("--"))
                out +=
                    fmt::format(" \\\n{}'{}[{}]{}'", indent, name, zsh_text(option.what),
                                option.value.empty() ? ""
                                : is_choice(option)  ? fmt::format(":{}:({})", zsh_text(option.value), choices(option))
                                                     : ":" + zsh_text(option.value) + ":_files");
    return out;
}

std::string for_zsh(const Interface& interface) {
    std::string names, cases;
    for (const auto& command : interface.commands) {
        names += fmt::format("        '{}:{}'\n", command.name, zsh_text(command.what));
        cases += fmt::format("        {}) _arguments{} '*:plan:_files' ;;\n", command.name,
                             zsh_options(command.options, "            "));
    }
    return fmt::format(R"(#compdef oventide
# zsh completion for oventide: put it as _oventide into a folder of $fpath.
_oventide() {{
    local -a commands
    commands=(
{}    )
    if (( CURRENT == 2 )); then
        _describe 'command' commands
        _arguments{}
        return
    fi
    local command=$words[2]
    shift words
    (( CURRENT-- ))
    case $command in
{}    esac
}}
_oventide "$@"
)",
                       names, zsh_options(interface.options, "            "), cases);
}

}  // namespace

std::string completion(const Interface& interface, const std::string& shell) {
    return shell == "zsh" ? for_zsh(interface) : for_bash(interface);
}

}  // namespace oventide::cli
