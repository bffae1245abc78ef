#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cli/run.hpp"
#include "cli/small_plan.hpp"

namespace {

using namespace oventide::test;

const std::vector<std::string> kSolving{"timetable", "clashes", "checklist", "ways"};
const std::vector<std::string> kCommands{"timetable", "clashes", "checklist", "ways", "check"};

bool has_colour(const std::string& text) { return text.find("\033[") != std::string::npos; }

std::size_t longest_line(const std::string& text) {
    std::size_t longest = 0, length = 0;
    for (const char byte : text) {
        if (byte == '\n')
            length = 0;
        else if ((byte & 0xC0) != 0x80)
            longest = std::max(longest, ++length);  // characters, not bytes
    }
    return longest;
}

TEST_CASE("the answer alone is on standard output, and it is the same every time") {
    const Folder folder;
    const auto plan = folder.file("tart.toml", kSmallPlan);
    for (const auto& command : kCommands) {
        CAPTURE(command);
        const Result result = run({.words = {command, plan}});
        CHECK(result.code == 0);
        CHECK(result.errors == "");
        CHECK(result.output.back() == '\n');
        CHECK(run({.words = {command, plan}}).output == result.output);
    }
}

TEST_CASE("a plan may come by standard input") {
    const Folder folder;
    const auto plan = folder.file("tart.toml", kSmallPlan);
    for (const auto& command : kCommands)
        CHECK(run({.words = {command, "-"}, .input = kSmallPlan}).output == run({.words = {command, plan}}).output);
    const Result wrong = run({.words = {"check", "-"}, .input = "title = 3"});
    CHECK(wrong.code == 2);
    CHECK(wrong.errors.find("standard input:1:") != std::string::npos);
}

TEST_CASE("for programs every command writes one JSON value") {
    const Folder folder;
    const auto good = folder.file("good.toml", kSmallPlan);
    const auto wrong = folder.file("wrong.toml", small_plan_with("takes = \"12 min\"", "takes = \"12 mni\""));
    const auto none = folder.file("none.toml", small_plan_with("06:00-20:00", "2026-10-03 15:50-20:00"));
    for (const auto& command : kCommands) {
        CAPTURE(command);
        const Result result = run({.words = {command, "--json", good}});
        CHECK(result.code == 0);
        CHECK(result.errors == "");
        CHECK(nlohmann::json::accept(result.output));

        const Result refused = run({.words = {command, "--json", wrong}});
        CHECK(refused.code == 2);
        CHECK(nlohmann::json::accept(refused.output));
    }
    for (const auto& command : kSolving) {
        CAPTURE(command);
        const Result result = run({.words = {command, "--json", none}});
        CHECK(result.code == 1);
        CHECK(nlohmann::json::parse(result.output)["report"] == (command == "ways" ? "ways out" : "no timetable"));
    }
}

TEST_CASE("no timetable is an answer, with a code of its own") {
    const auto late = small_plan_with("06:00-20:00", "2026-10-03 15:50-20:00");
    for (const auto& command : kSolving) {
        CAPTURE(command);
        const Result result = run({.words = {command, "-"}, .input = late});
        CHECK(result.code == 1);
        CHECK(result.output != "");
        CHECK(result.errors == "");
    }
    CHECK(run({.words = {"check", "-"}, .input = late}).code == 0);
}

TEST_CASE("every error of a plan is shown, and counted") {
    auto plan = small_plan_with("takes = \"12 min\"", "takes = \"12 mni\"");
    const Result one = run({.words = {"timetable", "-"}, .input = plan});
    CHECK(one.code == 2);
    CHECK(one.output == "");
    CHECK(one.errors.find("standard input:22:") != std::string::npos);
    CHECK(one.errors.find("\n1 error in the plan\n") != std::string::npos);

    plan = replaced(plan, "Europe/London", "Europe/Lodnon");
    const Result two = run({.words = {"timetable", "-"}, .input = plan});
    CHECK(two.errors.find("Europe/London") != std::string::npos);
    CHECK(two.errors.find("\n2 errors in the plan\n") != std::string::npos);
}

TEST_CASE("what cannot be written is an error") {
    for (const Sink sink : {Sink::closed, Sink::full_disk, Sink::pipe_nobody_reads}) {
        CAPTURE(static_cast<int>(sink));
        for (const auto& command : kCommands) {
            CAPTURE(command);
            const Result result = run({.words = {command, "-"}, .input = kSmallPlan, .output = sink});
            CHECK(result.signal == 0);
            CHECK(result.code == 3);
            CHECK(result.errors.find("the output could not be written: ") != std::string::npos);
        }
        CHECK(run({.words = {"--help"}, .output = sink}).code == 3);
        CHECK(run({.words = {"timetable", "--json", "-"}, .input = "", .output = sink}).code == 3);
    }
}

TEST_CASE("where standard error is closed the answer still comes, and nothing lands in the wrong file") {
    const Result result = run({.words = {"timetable", "-"}, .input = kSmallPlan, .errors = Sink::closed});
    CHECK(result.code == 0);
    CHECK(result.output == run({.words = {"timetable", "-"}, .input = kSmallPlan}).output);
    CHECK(run({.words = {"timetable", "-"}, .input = "title = 3", .errors = Sink::closed}).code == 2);
}

TEST_CASE("colour on a terminal alone, and only where it is welcome" * doctest::skip(!has_terminals())) {
    const struct {
        std::string name;
        Sink output;
        std::map<std::string, std::string> environment;
        bool colour;
    } rows[] = {
        {"terminal", Sink::terminal, {{"TERM", "xterm"}}, true},
        {"file or pipe", Sink::read, {{"TERM", "xterm"}}, false},
        {"NO_COLOR", Sink::terminal, {{"TERM", "xterm"}, {"NO_COLOR", "1"}}, false},
        // no-color.org: "when present and not an empty string"
        {"NO_COLOR, but empty", Sink::terminal, {{"TERM", "xterm"}, {"NO_COLOR", ""}}, true},
        {"a terminal that only prints", Sink::terminal, {{"TERM", "dumb"}}, false},
        {"a terminal of which nothing is known", Sink::terminal, {}, false},
    };
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) {
            const Result result = run({.words = {"timetable", "-"},
                                       .input = kSmallPlan,
                                       .environment = row.environment,
                                       .output = row.output});
            CHECK(result.code == 0);
            CHECK(has_colour(result.output) == row.colour);
        }
    }
}

TEST_CASE("the page is as wide as asked for, at most 80 columns by itself") {
    const auto width_of = [](std::vector<std::string> options, std::map<std::string, std::string> environment) {
        std::vector<std::string> words{"timetable"};
        words.insert(words.end(), options.begin(), options.end());
        words.push_back("plans/harvest-supper.toml");
        return longest_line(run({.words = words, .environment = std::move(environment)}).output);
    };
    const auto usual = width_of({}, {});
    CHECK(usual <= 80);
    CHECK(usual > 60);
    CHECK(width_of({}, {{"COLUMNS", "200"}}) == usual);
    CHECK(width_of({}, {{"COLUMNS", "wide"}}) == usual);
    CHECK(width_of({}, {{"COLUMNS", "66"}}) <= 66);
    CHECK(width_of({}, {{"COLUMNS", "5"}}) <= 60);
    CHECK(width_of({"--width", "70"}, {{"COLUMNS", "60"}}) <= 70);
    CHECK(width_of({"--width", "70"}, {{"COLUMNS", "60"}}) > 60);
}

TEST_CASE("the page is as wide as the terminal, at most 80 columns by itself" * doctest::skip(!has_terminals())) {
    const auto width_on = [](int columns) {
        const Result result = run({.words = {"timetable", "plans/harvest-supper.toml"},
                                   .environment = {{"TERM", "xterm"}, {"NO_COLOR", "1"}},
                                   .output = Sink::terminal,
                                   .columns = columns});
        CHECK(result.code == 0);
        return longest_line(result.output) - 1;  // a terminal ends each line with a carriage return too
    };
    CHECK(width_on(200) == 80);
    CHECK(width_on(66) <= 66);
    CHECK(width_on(66) > 60);
    CHECK(width_on(20) == 60);
    CHECK(width_on(0) == 80);  // a terminal that does not know
}

TEST_CASE("plain ASCII where asked for") {
    for (const auto& command : kSolving) {
        const Result result = run({.words = {command, "--ascii", "plans/harvest-supper.toml"}});
        CHECK(result.code == 0);
        for (const char byte : result.output) REQUIRE((byte & 0x80) == 0);
    }
}

TEST_CASE("the search can be made longer, and another one by its seed") {
    const auto plan = [](std::vector<std::string> options) {
        options.insert(options.begin(), "timetable");
        options.push_back("plans/harvest-supper.toml");
        return run({.words = options});
    };
    for (const std::vector<std::string>& options : {std::vector<std::string>{"--effort", "quick"},
                                                    {"--seed", "7"},
                                                    {"--effort", "300", "--seed", "18446744073709551615"}}) {
        const Result result = plan(options);
        CHECK(result.code == 0);
        CHECK(plan(options).output == result.output);
    }
}

TEST_CASE("a long search says so on a terminal, and Ctrl-C brings the best so far" * doctest::skip(!has_terminals())) {
    const Result result = run({.words = {"timetable", "--effort", "1000000000", "plans/harvest-supper.toml"},
                               .environment = {{"TERM", "xterm"}},
                               .errors = Sink::terminal,
                               .interrupt_at = "searching for ",
                               .processor_seconds = 60});
    CHECK(result.signal == 0);
    CHECK(result.code == 0);
    CHECK(result.output.find("Harvest supper") == 0);
    CHECK(result.errors.find("stopped early") != std::string::npos);
    // The line is wiped before anything else is said.
    CHECK(result.errors.rfind("\r\033[K") > result.errors.rfind("searching for "));
}

TEST_CASE("no progress where standard error is no terminal, or one that only prints" *
          doctest::skip(!has_terminals())) {
    const std::vector<std::string> words{"timetable", "--effort", "5000", "plans/harvest-supper.toml"};
    CHECK(run({.words = words, .environment = {{"TERM", "xterm"}}}).errors == "");
    CHECK(run({.words = words, .environment = {{"TERM", "dumb"}}, .errors = Sink::terminal}).errors == "");
}

}  // namespace
