#pragma once
/// What the program can be asked, as data: the manual page and the shells' completions are made from it.

#include <string>
#include <vector>

namespace oventide::cli {

struct Interface {
    struct Option {
        std::vector<std::string> names;  ///< "--width", "-h"
        std::string value;               ///< what stands behind it: "COLUMNS"; empty: nothing
        std::string what;
    };
    struct Command {
        std::string name;
        std::string what;
        std::vector<std::string> positionals;  ///< "PLAN"
        std::vector<Option> options;
        std::string footer;  ///< further help, and an example
    };
    std::string what;
    std::string footer;
    std::vector<Option> options;  ///< of the program itself
    std::vector<Command> commands;
};

/// A manual page in the man(7) macros.
std::string manual_page(const Interface& interface);

inline const std::vector<std::string> kShells{"bash", "zsh"};
/// A completion script for one of kShells.
std::string completion(const Interface& interface, const std::string& shell);

}  // namespace oventide::cli
