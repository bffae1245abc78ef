/// The manual page: man(7) macros, which man-db and mandoc both read.
#include <fmt/format.h>

#include <sstream>

#include "cli/interface.hpp"

namespace oventide::cli {
namespace {

/// Text as man(7) wants it: no line begins with a request, and a hyphen stays a hyphen.
std::string roff(const std::string& text) {
    std::string out;
    bool at_line_start = true;
    for (const char c : text) {
        if (at_line_start && (c == '.' || c == '\'')) out += "\\&";
        if (c == '\\')
            out += "\\e";
        else if (c == '-')
            out += "\\-";
        else
            out += c;
        at_line_start = c == '\n';
    }
    return out;
}

std::string heading(const Interface::Option& option) {
    std::string names;
    for (const std::string& name : option.names) names += (names.empty() ? "\\fB" : ", \\fB") + roff(name) + "\\fR";
    return option.value.empty() ? names : fmt::format("{} \\fI{}\\fR", names, roff(option.value));
}

std::string tagged(const std::string& tag, const std::string& text) {
    return fmt::format(".TP\n{}\n{}\n", tag, roff(text));
}

std::string options(const std::vector<Interface::Option>& all) {
    std::string out;
    for (const auto& option : all) out += tagged(heading(option), option.what);
    return out;
}

std::string section(const Interface::Command& command) {
    std::string out = fmt::format(".SS {}\n.B oventide {}\n[\\fIOPTIONS\\fR]", command.name, command.name);
    for (const std::string& word : command.positionals) out += fmt::format(" \\fI{}\\fR", roff(word));
    out += fmt::format("\n.PP\n{}.\n{}", roff(command.what), options(command.options));
    if (!command.footer.empty()) out += fmt::format(".PP\n.nf\n{}\n.fi\n", roff(command.footer));
    return out;
}

}  // namespace

std::string manual_page(const Interface& interface) {
    std::string page = fmt::format(
        ".TH OVENTIDE 1 \"\" \"oventide {}\"\n.SH NAME\noventide \\- plans a bake day backwards from its pickups\n"
        ".SH SYNOPSIS\n.B oventide\n\\fICOMMAND\\fR [\\fIOPTIONS\\fR] \\fIPLAN\\fR\n.SH DESCRIPTION\n{}\n"
        ".SH OPTIONS\n{}.SH COMMANDS\n",
        OVENTIDE_VERSION, roff(interface.what), options(interface.options));
    for (const auto& command : interface.commands) page += section(command);
    page += fmt::format(".SH NOTES\n{}\n", roff(interface.footer));
    page += ".SH CAUTION\n" +
            roff(
                "Oventide never says that food is safe: local rules and a trained person decide what may be served.\n"
                "Ovens, sugar and hot fat burn, and allergens travel.\n");
    return page;
}

}  // namespace oventide::cli
