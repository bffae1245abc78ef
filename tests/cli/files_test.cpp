// What is taken away from a plan: files are replaced whole or not at all.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "cli/run.hpp"

namespace {

using oventide::test::Folder;
using oventide::test::run;
namespace fs = std::filesystem;

const std::string kPlan = "plans/orchard-puffs.toml";
const std::map<std::string, std::string> kEarly{{"OVENTIDE_NOW", "2026-09-11T18:00Z"}};

std::string text_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

TEST_CASE("a file is what standard output would have been") {
    const Folder folder;
    for (const std::string command : {"sheet", "calendar"}) {
        const auto printed = run({.words = {command, kPlan}, .environment = kEarly});
        CHECK(printed.code == 0);
        const auto saved = run({.words = {command, kPlan, "--out", folder.path(command)}, .environment = kEarly});
        CHECK(saved.code == 0);
        CHECK(saved.output == "");
        CHECK(text_of(folder.path(command)) == printed.output);
    }
}

TEST_CASE("a sheet is for the paper that is asked for, else for A4") {
    const auto page_for = [](const std::vector<std::string>& more) {
        std::vector<std::string> words{"sheet", kPlan};
        words.insert(words.end(), more.begin(), more.end());
        const auto sheet = run({.words = words});
        CHECK(sheet.code == 0);
        const std::size_t at = sheet.output.find("@page { size: ") + 14;
        return sheet.output.substr(at, sheet.output.find(';', at) - at);
    };
    CHECK(page_for({}) == "A4");
    CHECK(page_for({"--paper", "a4"}) == "A4");
    CHECK(page_for({"--paper", "letter"}) == "letter");
    CHECK(page_for({"--paper", "Letter"}) == "letter");
}

TEST_CASE("an old file is replaced whole, through a link too; nothing else is left in the folder") {
    const Folder folder;
    const std::string old = folder.file("day.html", "old");
    fs::create_symlink("day.html", folder.path("link.html"));
    CHECK(run({.words = {"sheet", kPlan, "--out", folder.path("link.html")}}).code == 0);
    CHECK(fs::is_symlink(folder.path("link.html")));
    CHECK(text_of(old).rfind("<!DOCTYPE html>", 0) == 0);
    CHECK(std::distance(fs::directory_iterator(fs::path(old).parent_path()), {}) == 2);
}

TEST_CASE("what cannot be written is said, and the old file stays") {
    const Folder folder;
    const struct {
        std::string name, path;
    } rows[] = {{"a folder that is not there", folder.path("none/day.html")},
                {"a folder", folder.path(".")},
                {"a full disk", "/dev/full"}};
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) {
            const auto result = run({.words = {"sheet", kPlan, "--out", row.path}});
            CHECK(result.code == 3);
            CHECK(result.output == "");
            CHECK(result.errors.find("could not be written") != std::string::npos);
        }
    }
}

TEST_CASE("a calendar for somebody who is not there, and at no time at all") {
    const auto misspelt = run({.words = {"calendar", kPlan, "--person", "Marem"}});
    CHECK(misspelt.code == 2);
    CHECK(misspelt.errors.find("did you mean 'Maren'?") != std::string::npos);
    const auto timeless = run({.words = {"calendar", kPlan}, .environment = {{"OVENTIDE_NOW", "soon"}}});
    CHECK(timeless.code == 2);
    CHECK(timeless.errors.find("OVENTIDE_NOW") != std::string::npos);
}

TEST_CASE("one person's checklist") {
    const auto result = run({.words = {"checklist", "plans/market-morning.toml", "--person", "Tobit"}});
    CHECK(result.code == 0);
    CHECK(result.output.find("\nTobit, ") != std::string::npos);
    CHECK(result.output.find("\nMaren, ") == std::string::npos);
    const auto nobody = run({.words = {"checklist", kPlan, "--person", "Marem"}});
    CHECK(nobody.code == 2);
    CHECK(nobody.errors.find("did you mean 'Maren'?") != std::string::npos);
}

TEST_CASE("a calendar rings where one must be in time, or at everything; the alarm clock has its own lead") {
    const auto alarms = [](const std::vector<std::string>& more) {
        std::vector<std::string> words{"calendar", kPlan, "--effort", "quick"};
        words.insert(words.end(), more.begin(), more.end());
        const auto told = run({.words = words, .environment = {{"OVENTIDE_NOW", "2026-06-01T08:00Z"}}});
        CHECK(told.code == 0);
        int count = 0, early = 0;
        for (std::size_t at = told.output.find("TRIGGER:"); at != std::string::npos;
             at = told.output.find("TRIGGER:", at + 1)) {
            ++count;
            early += told.output.compare(at, 14, "TRIGGER:-PT50M") == 0 ? 1 : 0;
        }
        return std::pair(count, early);
    };
    const auto [key, none] = alarms({});
    CHECK(alarms({"--alarms", "key"}) == std::pair(key, none));
    CHECK(alarms({"--alarms", "all"}).first > key);
    CHECK(key > 5);
    CHECK(none == 0);
    CHECK(alarms({"--rise", "50"}).first == key);
    CHECK(alarms({"--rise", "50"}).second >= 1);
    const auto other = run({.words = {"calendar", kPlan, "--alarms", "some"}});
    CHECK(other.code == 2);
    CHECK(other.errors.find("--alarms takes key or all, not 'some'") != std::string::npos);
}

TEST_CASE("a plan without a timetable has no sheet and no calendar, and says why") {
    for (const std::string command : {"sheet", "calendar"}) {
        const auto result = run({.words = {command, "plans/too-much.toml"}});
        CHECK(result.code == 1);
        CHECK(result.output.find("NO TIMETABLE") != std::string::npos);
    }
}

TEST_CASE("a plan to start from can be planned as it is, and replaces nothing") {
    const Folder folder;
    const std::string path = folder.path("my-day.toml");
    const auto begun = run({.words = {"new", path, "--timezone", "America/New_York"}, .environment = kEarly});
    CHECK(begun.code == 0);
    CHECK(begun.errors == "");
    CHECK(begun.output.find("next: oventide timetable " + path) != std::string::npos);
    const std::string text = text_of(path);
    CHECK(text.find("pickup = 2026-09-13T16:00:00") != std::string::npos);
    const auto planned = run({.words = {"timetable", path}});
    CHECK(planned.code == 0);
    CHECK(planned.errors == "");

    const auto again = run({.words = {"new", path}, .environment = kEarly});
    CHECK(again.code == 3);
    CHECK(again.errors.find("what is there already is left alone") != std::string::npos);
    CHECK(text_of(path) == text);
    CHECK(std::distance(fs::directory_iterator(fs::path(path).parent_path()), {}) == 1);
    CHECK(run({.words = {"new", "-", "--timezone", "America/New_York"}, .environment = kEarly}).output == text);
}

TEST_CASE("a plan for nowhere is not begun") {
    const Folder folder;
    const auto result = run({.words = {"new", folder.path("x.toml"), "--timezone", "Europe/Lodnon"}});
    CHECK(result.code == 2);
    CHECK(result.errors.find("did you mean 'Europe/London'?") != std::string::npos);
    CHECK_FALSE(fs::exists(folder.path("x.toml")));
}

}  // namespace
