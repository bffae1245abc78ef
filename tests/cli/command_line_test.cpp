#include <doctest/doctest.h>

#include <filesystem>
#include <sstream>

#include "cli/run.hpp"

namespace {

using oventide::test::Call;
using oventide::test::Folder;
using oventide::test::Result;
using oventide::test::run;

const std::vector<std::string> kCommands{"timetable", "clashes", "checklist", "ways",  "weigh", "shop",
                                         "allergens", "sheet",   "calendar",  "check", "chill"};

TEST_CASE("a wrong command line is refused on standard error with a word of help") {
    const struct {
        std::string name;
        std::vector<std::string> words;
        std::string says;
    } rows[] = {
        {"no command", {}, "Usage: oventide [OPTIONS] COMMAND"},
        {"unknown command", {"knead", "x"}, "unknown command 'knead'\n'oventide --help' shows how it is used"},
        {"misspelt command", {"timtable", "x"}, "unknown command 'timtable'\ndid you mean 'timetable'?"},
        {"misspelt option", {"timetable", "--jsno", "x"}, "unknown option '--jsno'\ndid you mean '--json'?"},
        {"misspelt, with a value",
         {"timetable", "--widht=70", "x"},
         "unknown option '--widht'\ndid you mean '--width'?"},
        {"option of another command", {"check", "--seed", "1", "x"}, "unknown option '--seed'"},
        {"option before the command", {"--json", "timetable", "x"}, "before the command"},
        {"no plan", {"clashes"}, "clashes of which plan?"},
        {"two plans", {"clashes", "x", "y"}, "one plan at a time: 'y' is too much"},
        {"two commands", {"clashes", "check", "y"}, "one command at a time"},
        {"value missing", {"timetable", "x", "--width"}, "--width"},
        {"too narrow", {"timetable", "--width", "59", "x"}, "--width takes 60 to 200 columns, not '59'"},
        {"too wide", {"timetable", "--width", "201", "x"}, "--width takes"},
        {"no number", {"timetable", "--width", "80x", "x"}, "--width takes"},
        {"no effort", {"timetable", "--effort", "hard", "x"}, "--effort takes quick, usual, thorough or"},
        {"effort of nothing", {"timetable", "--effort", "0", "x"}, "--effort takes"},
        {"effort without end", {"timetable", "--effort", "99999999999999999999", "x"}, "--effort takes"},
        {"negative seed", {"timetable", "--seed", "-1", "x"}, "--seed takes a whole number from 0, not '-1'"},
        {"no paper", {"sheet", "--paper", "a3", "x"}, "--paper takes a4 or letter, not 'a3'"},
        {"paper of another command", {"timetable", "--paper", "a4", "x"}, "'--paper' is for: sheet"},
        {"completion for no shell", {"--completion", "fish"}, "--completion takes bash or zsh, not 'fish'"},
        {"seed twice", {"timetable", "--seed", "1", "--seed", "2", "x"}, "--seed"},
    };
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) {
            const Result result = run({.words = row.words});
            CHECK(result.code == 2);
            CHECK(result.output == "");
            CHECK_MESSAGE(result.errors.find(row.says) != std::string::npos, result.errors);
        }
    }
}

/// The lines after "Example:".
std::vector<std::string> examples_of(const std::string& help) {
    std::vector<std::string> examples;
    std::istringstream lines(help);
    bool inside = false;
    for (std::string line; std::getline(lines, line);) {
        if (inside && !line.empty()) examples.push_back(line);
        inside = inside || line == "Example:";
    }
    return examples;
}

TEST_CASE("help fits the page and goes to standard output") {
    std::vector<std::vector<std::string>> calls{{"--help"}, {"-h"}};
    for (const auto& command : kCommands) calls.push_back({command, "--help"});
    for (const std::string command : {"publish", "note", "replan"}) calls.push_back({command, "--help"});
    for (const auto& words : calls) {
        const Result result = run({.words = words});
        CAPTURE(result.output);
        CHECK(result.code == 0);
        CHECK(result.errors == "");
        std::istringstream lines(result.output);
        for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 80);
    }
    for (const auto& command : kCommands)
        CHECK(run({.words = {"--help"}}).output.find("  " + command) != std::string::npos);
}

TEST_CASE("the example in each command's help works") {
    for (const auto& command : kCommands) {
        CAPTURE(command);
        const auto examples = examples_of(run({.words = {command, "--help"}}).output);
        REQUIRE(examples.size() == 1);
        std::istringstream text(examples.front());
        std::vector<std::string> words;
        for (std::string word; text >> word;) words.push_back(word);
        REQUIRE(words.size() > 2);
        CHECK(words[0] == "oventide");
        CHECK(words[1] == command);
        const Result result = run({.words = {words.begin() + 1, words.end()}});
        CHECK_MESSAGE(result.code == 0, result.errors);
        CHECK(result.output != "");
    }
}

TEST_CASE("the example in the help of each command that writes works, one after the other, on a copy of the plans") {
    const Folder folder;
    namespace fs = std::filesystem;
    fs::copy(fs::path(OVENTIDE_SOURCE_DIR) / "plans", folder.path("plans"), fs::copy_options::recursive);
    const auto told = [&](std::vector<std::string> words, const std::string& now) {
        for (std::string& word : words)
            if (word.ends_with(".toml")) word = folder.path(word);
        return run({.words = words, .environment = {{"OVENTIDE_NOW", now}}});
    };
    const auto example = [&](const std::string& command, const std::string& now) {
        CAPTURE(command);
        const auto examples = examples_of(run({.words = {command, "--help"}}).output);
        REQUIRE(examples.size() == 1);
        std::istringstream text(examples.front());
        std::vector<std::string> words;
        for (std::string word; text >> word;) words.push_back(word);
        REQUIRE(words.size() > 2);
        CHECK(words[1] == command);
        const Result result = told({words.begin() + 1, words.end()}, now);
        CHECK_MESSAGE(result.code == 0, result.errors);
        CHECK(result.output != "");
    };
    example("new", "2026-10-01T18:00Z");
    CHECK(fs::exists(folder.path("my-day.toml")));
    example("publish", "2026-10-02T17:30Z");
    CHECK(told({"note", "plans/harvest-supper.toml", "on-time"}, "2026-10-03T09:30Z").code == 0);  // the custard chills
    example("note", "2026-10-03T09:31Z");
    example("replan", "2026-10-03T09:32Z");
}

TEST_CASE("the version") {
    const Result result = run({.words = {"--version"}});
    CHECK(result.code == 0);
    CHECK(result.output.substr(0, 9) == "oventide ");
    CHECK(result.errors == "");
}

}  // namespace
