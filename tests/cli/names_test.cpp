// Names of every kind, through every command: they come out right or escaped, and never move a terminal's cursor.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/run.hpp"

namespace {

using nlohmann::json;
using oventide::test::run;

const std::map<std::string, std::string> kEarly{{"OVENTIDE_NOW", "2026-09-11T18:00Z"}};

std::string without(std::string text, const std::string& what) {
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at)) text.erase(at, what.size());
    return text;
}

std::string escaped_for_toml(const std::string& name) { return json(name).dump(); }  // a JSON string is a TOML string

/// One name wherever a plan has names.
std::string plan_with(const std::string& name) {
    const std::string quoted = escaped_for_toml(name);
    const std::string parts[] = {"title = ",
                                 "\ntimezone = \"UTC\"\n[kitchen]\ncrew = [{ name = ",
                                 ", hours = \"00:00-24:00\" }]\nequipment = [{ name = ",
                                 " }]\n[[order]]\npickup = 2026-09-12T16:00:00\nname = ",
                                 "\nitems = { ",
                                 " = 3 }\n[[component]]\nmakes = 3\nname = ",
                                 "\nsteps = [{ takes = \"10 min\", hands = true, uses = ",
                                 ", name = "};
    std::string plan;
    for (const std::string& part : parts) plan += part + quoted;
    return plan + " }]\n";
}

/// The same for the larder.
std::string plan_with_ingredient(const std::string& name) {
    const std::string quoted = escaped_for_toml(name);
    return "timezone = \"UTC\"\n[kitchen]\ncrew = [{ name = \"Ada\", hours = \"00:00-24:00\" }]\n[larder]\n" + quoted +
           " = { allergens = \"milk\" }\n[[order]]\npickup = 2026-09-12T16:00:00\nname = \"one\"\nitems = { bun = 3 "
           "}\n[[component]]\nmakes = 3\nname = \"bun\"\ningredients = { " +
           quoted + " = \"100 g\" }\nsteps = [{ takes = \"10 min\", hands = true, name = \"mix\" }]\n";
}

bool moves_the_cursor(unsigned char c) { return (c < 0x20 && c != '\n') || c == 0x7F; }

std::string for_html(const std::string& name) {
    std::string out;
    for (const char c : name)
        out += c == '&'    ? "&amp;"
               : c == '<'  ? "&lt;"
               : c == '>'  ? "&gt;"
               : c == '"'  ? "&quot;"
               : c == '\'' ? "&#39;"
                           : std::string(1, c);
    return out;
}

std::string for_calendar(const std::string& name) {
    std::string out;
    for (const char c : name) out += c == ',' || c == ';' || c == '\\' ? std::string("\\") + c : std::string(1, c);
    return out;
}

const struct {
    const char* what;
    std::string name;
} kNames[] = {
    {"quotes", R"("crisp" and 'soft')"},
    {"angle brackets and ampersands", "<script>alert(1)</script> & <b>bread</b> &amp;"},
    {"what iCalendar escapes", "one, two; three\\four: five"},
    {"right to left", "\xD7\xA2\xD7\x95\xD7\x92\xD7\x94 \xD8\xAD\xD9\x84\xD9\x88\xD9\x89"},
    {"emoji", "\xF0\x9F\x8D\x90\xF0\x9F\x91\xA9\xF0\x9F\x8F\xBD\xE2\x80\x8D\xF0\x9F\x8D\xB3"},
    {"marks on letters", "cr\xC3\xA8me br\xC3\xBBle\xCC\x81\x65"},
    {"East Asian", "\xE4\xBA\x94\xE4\xBB\x81\xE6\x9C\x88\xE9\xA5\xBC"},
    {"template and shell signs", "{} {0} %s $HOME `id` ${x} *"},
    {"the longest", std::string(199, 'w') + "y"},
};

}  // namespace

TEST_CASE("names of every kind come out right or escaped in every answer") {
    for (const auto& row : kNames) {
        SUBCASE(row.what) {
            const std::string plan = plan_with(row.name);
            CAPTURE(plan);
            for (const std::vector<std::string>& words : {std::vector<std::string>{"timetable", "-"},
                                                          {"timetable", "--picture", "-"},
                                                          {"clashes", "-"},
                                                          {"checklist", "-"},
                                                          {"timetable", "--ascii", "-"}}) {
                const auto page = run({.words = words, .input = plan});
                CHECK_MESSAGE(page.code == 0, page.errors);
                CHECK(std::none_of(page.output.begin(), page.output.end(), moves_the_cursor));
            }
            const auto answer = run({.words = {"timetable", "--json", "-"}, .input = plan});
            CHECK(json::parse(answer.output)["steps"][0]["step"] == row.name);
            CHECK(json::parse(answer.output)["pickups"][0]["order"] == row.name);

            const auto sheet = run({.words = {"sheet", "-"}, .input = plan, .environment = kEarly});
            CHECK(sheet.output.find(for_html(row.name)) != std::string::npos);
            CHECK(sheet.output.find("<script") == std::string::npos);
            CHECK(sheet.output.find("<b>bread") == std::string::npos);

            const auto calendar = run({.words = {"calendar", "-"}, .input = plan, .environment = kEarly});
            CHECK(without(calendar.output, "\r\n ").find("SUMMARY:pickup: " + for_calendar(row.name)) !=
                  std::string::npos);
        }
    }
}

TEST_CASE("ingredients of every name are weighed, bought and told") {
    for (const auto& row : kNames) {
        SUBCASE(row.what) {
            const std::string plan = plan_with_ingredient(row.name);
            CAPTURE(plan);
            for (const char* command : {"weigh", "shop", "allergens"}) {
                const auto page = run({.words = {command, "-"}, .input = plan});
                CHECK_MESSAGE(page.code == 0, page.errors);
                CHECK(std::none_of(page.output.begin(), page.output.end(), moves_the_cursor));
            }
            const auto weighed = json::parse(run({.words = {"weigh", "--json", "-"}, .input = plan}).output);
            CHECK(weighed["batches"][0]["ingredients"][0]["ingredient"] == row.name);
            const auto bought = json::parse(run({.words = {"shop", "--json", "-"}, .input = plan}).output);
            CHECK(bought["lines"][0]["ingredient"] == row.name);
            const auto told = json::parse(run({.words = {"allergens", "--json", "-"}, .input = plan}).output);
            CHECK(told["orders"][0]["items"][0]["contains"][0]["from"][0] == row.name);
            const auto sheet = run({.words = {"sheet", "-"}, .input = plan, .environment = kEarly});
            CHECK(sheet.output.find(for_html(row.name)) != std::string::npos);
        }
    }
}

TEST_CASE("names that no page can show are refused where they stand") {
    const struct {
        const char* what;
        std::string name, says;
    } rows[] = {{"a newline", "two\nlines", "control character"},
                {"an escape sequence", "\x1b[31mred", "control character"},
                {"ten kilobytes", std::string(10'000, 'b'), "200 characters"}};
    for (const auto& row : rows) {
        SUBCASE(row.what) {
            const auto result = run({.words = {"check", "-"}, .input = plan_with(row.name)});
            CHECK(result.code == 2);
            CHECK(result.output == "");
            CHECK_MESSAGE(result.errors.find(row.says) != std::string::npos, result.errors);
            CHECK(result.errors.find("standard input:") != std::string::npos);
            CHECK(std::none_of(result.errors.begin(), result.errors.end(), moves_the_cursor));
        }
    }
}
