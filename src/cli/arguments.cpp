#include "cli/arguments.hpp"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <array>
#include <charconv>

#include "cli/interface.hpp"
#include "cli/note.hpp"
#include "cli/terminal.hpp"
#include "oventide/spelling.hpp"

namespace oventide::cli {
namespace {

constexpr int kWidestPage = 200;
constexpr std::int64_t kMostSchedules = 1'000'000'000;

struct CommandInfo {
    Command command;
    const char* name;
    const char* summary;
    const char* example;
    /// A page to read here, a file to take away, a plan to begin with, an entry of the journal.
    enum class Makes { nothing, page, file, plan, entry } makes;
};

constexpr std::array kCommands{
    CommandInfo{Command::begin, "new", "write a plan to start from, with remarks", "oventide new my-day.toml",
                CommandInfo::Makes::plan},
    CommandInfo{Command::timetable, "timetable", "the whole day, worked back from the pickups",
                "oventide timetable plans/harvest-supper.toml", CommandInfo::Makes::page},
    CommandInfo{Command::clashes, "clashes", "what is wanted twice, and what the timetable did about it",
                "oventide clashes plans/harvest-supper.toml", CommandInfo::Makes::page},
    CommandInfo{Command::checklist, "checklist", "what hands must do, by person, to tick off on paper",
                "oventide checklist --ascii plans/harvest-supper.toml", CommandInfo::Makes::page},
    CommandInfo{Command::ways, "ways", "why there is no timetable, or what a change would win",
                "oventide ways plans/market-morning.toml", CommandInfo::Makes::page},
    CommandInfo{Command::weigh, "weigh", "what goes into each batch, with baker's percentages",
                "oventide weigh plans/harvest-supper.toml", CommandInfo::Makes::page},
    CommandInfo{Command::shop, "shop", "what to buy: what is needed less what is there, in packs",
                "oventide shop plans/harvest-supper.toml", CommandInfo::Makes::page},
    CommandInfo{Command::allergens, "allergens", "what the plan declares to be in each item of each order",
                "oventide allergens plans/harvest-supper.toml", CommandInfo::Makes::page},
    CommandInfo{Command::sheet, "sheet", "the day on paper: picture, timetable, checklist (HTML)",
                "oventide sheet plans/harvest-supper.toml", CommandInfo::Makes::file},
    CommandInfo{Command::calendar, "calendar", "when hands are needed, with alarms (iCalendar)",
                "oventide calendar plans/harvest-supper.toml --person Maren", CommandInfo::Makes::file},
    CommandInfo{Command::check, "check", "only read the plan, and say what is wrong with it",
                "oventide check plans/harvest-supper.toml", CommandInfo::Makes::nothing},
    CommandInfo{Command::publish, "publish", "announce the timetable: it goes into the journal",
                "oventide publish plans/harvest-supper.toml", CommandInfo::Makes::entry},
    CommandInfo{Command::note, "note", "note down in the journal what has happened",
                "oventide note plans/harvest-supper.toml runs-long custard.1.chill 40", CommandInfo::Makes::entry},
    CommandInfo{Command::replan, "replan", "what to do now, what changes, which pickups hold",
                "oventide replan plans/harvest-supper.toml --note on-time", CommandInfo::Makes::page},
    CommandInfo{Command::chill, "chill", "how long food takes to get cold, and spread thinner",
                "oventide chill plans/orchard-puffs.toml custard.chill", CommandInfo::Makes::page},
};

struct Effort {
    const char* word;
    std::int64_t schedules;
};

const std::array kEfforts{Effort{"quick", 200}, Effort{"usual", SearchOptions{}.schedules},
                          Effort{"thorough", 100'000}};

template <class Number>
std::optional<Number> whole_number(const std::string& text, Number least, Number most) {
    Number number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc() || end != text.data() + text.size() || number < least || number > most) return {};
    return number;
}

std::optional<std::int64_t> schedules_of(const std::string& text) {
    for (const Effort& effort : kEfforts)
        if (text == effort.word) return effort.schedules;
    return whole_number<std::int64_t>(text, 1, kMostSchedules);
}

/// An option whose value `read` turns into `value`; where it cannot, `expected` says what it should have been.
template <class Read, class Value>
void add_value(CLI::App& app, const std::string& name, const std::string& metavariable, const std::string& what,
               const std::string& expected, Read read, Value& value) {
    const auto parse = [=, &value](const std::string& text) {
        const auto number = read(text);
        if (!number) throw CLI::ValidationError(fmt::format("{} takes {}, not '{}'", name, expected, text));
        value = *number;
    };
    app.add_option_function<std::string>(name, parse, what)->type_name(metavariable);
}

void add_page_options(CLI::App& app, Arguments& arguments) {
    app.add_flag("--ascii", arguments.ascii, "plain ASCII only");
    add_value(
        app, "--width", "COLUMNS", "of the page; else the terminal's, at most 80",
        fmt::format("{} to {} columns", kNarrowestPage, kWidestPage),
        [](const std::string& text) { return whole_number(text, kNarrowestPage, kWidestPage); }, arguments.width);
}

void add_person_option(CLI::App& app, Arguments& arguments) {
    app.add_option("--person", arguments.people, "only this person; may be given again")
        ->type_name("NAME")
        ->expected(1)
        ->allow_extra_args(false)
        ->take_all();
}

void add_calendar_options(CLI::App& app, Arguments& arguments) {
    add_person_option(app, arguments);
    add_value(
        app, "--before", "MINUTES", "alarms ring so long before; 5 if not given", "0 to 1440 minutes",
        [](const std::string& text) { return whole_number<std::int64_t>(text, 0, 1440); }, arguments.alarm_before);
    add_value(
        app, "--rise", "MINUTES", "the alarm clock rings so long before work", "0 to 1440 minutes",
        [](const std::string& text) { return whole_number<std::int64_t>(text, 0, 1440); }, arguments.rise);
    add_value(
        app, "--alarms", "key|all", "key: ovens, what is put out, ends, pickups, breaks; or all", "key or all",
        [](const std::string& text) {
            return text == "all" ? std::optional(true) : text == "key" ? std::optional(false) : std::nullopt;
        },
        arguments.all_alarms);
}

void add_paper_option(CLI::App& app, Arguments& arguments) {
    add_value(
        app, "--paper", "a4|letter", "what it is printed on; a4 if not given", "a4 or letter",
        [](const std::string& text) -> std::optional<sheet::Paper> {
            if (text == "letter" || text == "Letter") return sheet::Paper::letter;
            return text == "a4" || text == "A4" ? std::optional(sheet::Paper::a4) : std::nullopt;
        },
        arguments.paper);
}

void add_note_options(CLI::App& app, Arguments& arguments) {
    app.add_option("WHAT", arguments.words, "what has happened: see below")->type_name("")->expected(-1);
}

void add_replan_options(CLI::App& app, Arguments& arguments) {
    app.add_option("--note", arguments.notes, "note this first; may be given again")
        ->type_name("WHAT")
        ->expected(1)
        ->allow_extra_args(false)
        ->take_all();
    app.add_flag("--dry-run", arguments.dry_run, "show, and record nothing");
    app.add_flag("--keep-margins", arguments.keep_margins, "where no pickup is late: as much margin as can be had");
}

/// As the keys of a step's `cools`, whose reader says what is wrong with them.
void add_chill_options(CLI::App& app, Arguments& arguments) {
    struct Key {
        const char* name;
        const char* metavariable;
        const char* what;
    };
    for (const Key key :
         {Key{"from", "DEGREES", "how warm it goes in: '85 C'"}, Key{"to", "DEGREES", "how cold it must get: '5 C'"},
          Key{"depth", "LENGTH", "how deep it lies in each vessel: '5 cm'"},
          Key{"in", "VESSEL", "tray (wide and shallow), box or pot"},
          Key{"over", "NUMBER", "of vessels alike; 1 if not given"},
          Key{"across", "LENGTH", "inside length of a box or tray, diameter of a pot"},
          Key{"wide", "LENGTH", "inside width of a box or tray"},
          Key{"underneath", "true|false", "the cold reaches the bottom too"},
          Key{"stirred", "true|false", "stirred until it is cold"}, Key{"food", "NAME", "custard if not given"},
          Key{"where", "NAME", "fridge, freezer, blast chiller, bench, ..."},
          Key{"air", "DEGREES", "of the air there: '3 C'"},
          Key{"transfer", "FIGURE", "heat that it takes: '16 W/m2K'"}}) {
        const std::string name = key.name;
        const auto keep = [name, &arguments](const std::string& word) { arguments.cools.emplace_back(name, word); };
        app.add_option_function<std::string>("--" + name, keep, key.what)->type_name(key.metavariable);
    }
    app.add_option("--weight", arguments.weight, "all of it, instead of a depth: '4 kg'")->type_name("MASS");
    app.add_option("--safety", arguments.safety, "food-safety rule; else the plan's")->type_name("RULE");
}

void add_options(CLI::App& app, const CommandInfo& info, Arguments& arguments) {
    app.add_option("PLAN", arguments.plan, "the plan's file; - is standard input")->type_name("");
    if (info.makes == CommandInfo::Makes::plan) {
        app.add_option("--timezone", arguments.timezone, "where; else the system's zone")->type_name("NAME");
        return;
    }
    if (info.makes == CommandInfo::Makes::file)
        app.add_option("--out", arguments.out, "where to; else standard output")->type_name("FILE");
    else if (info.makes != CommandInfo::Makes::entry)
        app.add_flag("--json", arguments.json, "for programs");
    if (info.makes == CommandInfo::Makes::nothing) return;
    if (info.command == Command::note) return add_note_options(app, arguments);
    if (info.makes == CommandInfo::Makes::page) add_page_options(app, arguments);
    if (info.command == Command::timetable) app.add_flag("--picture", arguments.picture, "drawn in characters");
    if (shows_day(info.command) != nullptr)
        app.add_flag("--replanned", arguments.replanned, "as the day now stands, by its journal");
    if (info.command == Command::replan) return add_replan_options(app, arguments);
    if (info.command == Command::chill) {
        app.add_option("STEP", arguments.step, "of the plan: custard.chill; else all that cool")->type_name("");
        return add_chill_options(app, arguments);
    }
    if (info.command == Command::calendar) add_calendar_options(app, arguments);
    if (info.command == Command::sheet) add_paper_option(app, arguments);
    if (info.command == Command::checklist) add_person_option(app, arguments);
    if (info.command == Command::allergens) return;  // there is nothing to search
    add_value(app, "--effort", "HOW-MUCH", "quick, usual, thorough, or a number of schedules",
              fmt::format("quick, usual, thorough or a number of schedules from 1 to {}", kMostSchedules), schedules_of,
              arguments.schedules);
    add_value(
        app, "--seed", "NUMBER", "another seed, another search", "a whole number from 0",
        [](const std::string& text) {
            return whole_number<std::uint64_t>(text, 0, std::numeric_limits<std::uint64_t>::max());
        },
        arguments.seed);
}

CommandLine refuse(const std::string& what, const std::string& advice) {
    return {{}, fmt::format("oventide: {}\n{}\n", what, advice), ExitCode::wrong};
}

std::string help_hint(const std::string& command) {
    return fmt::format("'oventide {}--help' shows how it is used", command.empty() ? "" : command + " ");
}

std::string advice(const std::string& word, const std::vector<std::string>& known, const std::string& command) {
    const auto near = near_misses(word, known);
    return near.empty() ? help_hint(command) : fmt::format("did you mean '{}'?", near.front());
}

std::vector<std::string> option_names(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::Option* option : app.get_options())
        if (!option->get_lnames().empty()) names.push_back("--" + option->get_lnames().front());
    return names;
}

std::vector<std::string> command_names() {
    std::vector<std::string> names;
    for (const CommandInfo& info : kCommands) names.emplace_back(info.name);
    return names;
}

/// The other commands that know an option.
std::string commands_with(const CLI::App& app, const std::string& option) {
    std::vector<std::string> names;
    if (app.get_parent() != nullptr)
        for (const CLI::App* other : app.get_parent()->get_subcommands([](const CLI::App*) { return true; }))
            if (other->get_option_no_throw(option) != nullptr) names.push_back(other->get_name());
    return fmt::format("{}", fmt::join(names, ", "));
}

/// `word` is nothing that `app` knows.
CommandLine refuse_word(const CLI::App& app, const std::string& command, const std::string& word) {
    if (word.size() > 1 && word.front() == '-') {
        const std::string name = word.substr(0, word.find('='));
        if (!command.empty()) {
            const std::string elsewhere = commands_with(app, name);
            return refuse(fmt::format("unknown option '{}'", name),
                          elsewhere.empty() ? advice(name, option_names(app), command)
                                            : fmt::format("'{}' is for: {}", name, elsewhere));
        }
        return refuse(fmt::format("unknown option '{}' before the command", name),
                      "options stand behind it: oventide timetable --json PLAN");
    }
    if (command.empty())
        return refuse(fmt::format("unknown command '{}'", word), advice(word, command_names(), command));
    return refuse(fmt::format("one plan at a time: '{}' is too much", word), help_hint(command));
}

/// What must be given is marked so for the help alone: where it is missing, our own words say so.
std::string help(CLI::App& app) {
    app.require_subcommand(1);
    for (CLI::App* command : app.get_subcommands({}))
        if (command->get_name() != "chill") command->get_option("PLAN")->required();
    return app.help();
}

std::vector<Interface::Option> options_of(const CLI::App& app) {
    std::vector<Interface::Option> options;
    for (const CLI::Option* option : app.get_options()) {
        if (option->get_positional()) continue;
        Interface::Option& one = options.emplace_back();
        for (const std::string& name : option->get_lnames()) one.names.push_back("--" + name);
        for (const std::string& name : option->get_snames()) one.names.push_back("-" + name);
        one.value = option->get_type_size() == 0 ? "" : option->get_type_name();
        one.what = option->get_description();
    }
    return options;
}

Interface interface_of(const CLI::App& app) {
    Interface interface {
        app.get_description(), app.get_footer(), options_of(app), {}
    };
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
        Interface::Command& one = interface.commands.emplace_back();
        one = {command->get_name(), command->get_description(), {}, options_of(*command), command->get_footer()};
        for (const CLI::Option* option : command->get_options())
            if (option->get_positional()) one.positionals.push_back(option->get_name());
    }
    return interface;
}

/// What `app` could not place; "--" only ends the options.
std::vector<std::string> strangers(const CLI::App& app) {
    std::vector<std::string> words = app.remaining();
    words.erase(std::remove(words.begin(), words.end(), "--"), words.end());
    return words;
}

}  // namespace

const char* shows_day(Command command) {
    constexpr std::array kShow{Command::timetable, Command::checklist, Command::weigh, Command::sheet,
                               Command::calendar};
    if (std::find(kShow.begin(), kShow.end(), command) == kShow.end()) return nullptr;
    return std::find_if(kCommands.begin(), kCommands.end(),
                        [&](const CommandInfo& info) { return info.command == command; })
        ->name;
}

CommandLine read_command_line(const std::vector<std::string>& words) {
    Arguments arguments;
    CLI::App app("Plans a bake day backwards from its pickups.", "oventide");
    app.set_version_flag("--version", "oventide " OVENTIDE_VERSION, "print the version");
    bool manual = false;
    std::string shell;
    app.add_flag("--manual", manual, "print the manual page, for man");
    app.add_option("--completion", shell, "print a completion script: bash, zsh")->type_name("SHELL");
    app.allow_extras();  // what is unknown is refused below, with a suggestion
    app.set_help_flag("-h,--help", "print this");
    app.get_formatter()->column_width(22);
    app.get_formatter()->label("SUBCOMMAND", "COMMAND");
    app.get_formatter()->label("REQUIRED", "");
    app.get_formatter()->label("Positionals", "The plan");
    app.footer(
        "'oventide COMMAND --help' says more; plans/plan-file.md describes plan files.\n"
        "Exit codes: 0 there is a timetable, 1 there is none, 2 the plan or the command\n"
        "line is wrong, 3 the output could not be written, 4 an error of the program.");
    for (const CommandInfo& info : kCommands) {
        CLI::App* command = app.add_subcommand(info.name, info.summary);
        const std::string kinds = info.command == Command::note ? note_help() + "\n" : "";
        command->group("Commands")->footer(fmt::format("{}Example:\n  {}", kinds, info.example));
        add_options(*command, info, arguments);
    }

    try {
        app.parse(std::vector<std::string>(words.rbegin(), words.rend()));  // CLI11 takes them last first
    } catch (const CLI::CallForHelp&) {
        return {{}, help(app), ExitCode::timetable};
    } catch (const CLI::CallForVersion& version) {
        return {{}, std::string(version.what()) + "\n", ExitCode::timetable};
    } catch (const CLI::ParseError& error) {
        const auto chosen = app.get_subcommands();
        return refuse(error.what(), help_hint(chosen.empty() ? "" : chosen.front()->get_name()));
    }

    if (manual) return {{}, manual_page(interface_of(app)), ExitCode::timetable};
    if (!shell.empty()) {
        if (std::count(kShells.begin(), kShells.end(), shell) == 0)
            return refuse(fmt::format("--completion takes bash or zsh, not '{}'", shell), help_hint(""));
        return {{}, completion(interface_of(app), shell), ExitCode::timetable};
    }
    const auto chosen = app.get_subcommands();
    const auto unknown = strangers(app);
    if (!unknown.empty()) return refuse_word(app, "", unknown.front());
    if (chosen.empty()) return {{}, help(app), ExitCode::wrong};
    const CLI::App& command = *chosen.front();
    const auto extra = strangers(command);
    if (!extra.empty()) return refuse_word(command, command.get_name(), extra.front());
    if (chosen.size() > 1) return refuse("one command at a time", help_hint(""));
    const bool asks_without_plan = command.get_name() == "chill" && !arguments.cools.empty();
    if (arguments.plan.empty() && !asks_without_plan)
        return refuse(fmt::format("{} of which plan?", command.get_name()), help_hint(command.get_name()));
    for (const CommandInfo& info : kCommands)
        if (command.get_name() == info.name) arguments.command = info.command;
    return {arguments, "", ExitCode::timetable};
}

}  // namespace oventide::cli
