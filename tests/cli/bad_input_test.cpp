/// Nothing that is given as a plan crashes, hangs or takes the machine's memory: it is an error, with code 2. The
/// program runs under a limit of processor time and memory (run.hpp).
#include <doctest/doctest.h>
#include <sys/stat.h>

#include <filesystem>
#include <functional>

#include "cli/run.hpp"
#include "cli/small_plan.hpp"

namespace {

using namespace oventide::test;

std::string repeated(const std::string& text, std::size_t times) {
    std::string all;
    all.reserve(text.size() * times);
    for (std::size_t i = 0; i < times; ++i) all += text;
    return all;
}

std::string binary_bytes() {
    std::string bytes;
    unsigned state = 1;
    for (int i = 0; i < 100'000; ++i) bytes += static_cast<char>((state = state * 1'103'515'245u + 12'345u) >> 16);
    return bytes;
}

std::string many_orders(int count) {
    std::string text = kSmallPlan;
    for (int i = 0; i < count; ++i)
        text += "[[order]]\nname = \"o" + std::to_string(i) +
                "\"\npickup = 2026-10-03T16:00:00\nitems = { \"plum tart\" = 1 }\n";
    return text;
}

void check_refused(const std::string& path) {
    for (const std::string command : {"timetable", "check"}) {
        CAPTURE(command);
        const Result result = run({.words = {command, path}, .processor_seconds = 1});
        CAPTURE(result.errors.substr(0, 2000));
        CHECK(result.signal == 0);
        CHECK(result.code == 2);
        CHECK(result.output == "");
        CHECK(result.errors.find("error") != std::string::npos);
        CHECK(result.errors.size() < 1'000'000);
        // Nothing of the file's control characters reaches the cook's terminal.
        for (const char byte : result.errors) REQUIRE((byte == '\n' || static_cast<unsigned char>(byte) >= ' '));
    }
}

TEST_CASE("text that is no plan") {
    const struct {
        std::string name;
        std::function<std::string()> text;
    } rows[] = {
        {"empty", [] { return std::string(); }},
        {"white space", [] { return std::string(" \n\t\n"); }},
        {"binary", binary_bytes},
        {"a program",
         [] {
             return std::string(
                 "\x7f"
                 "ELF\x02\x01\x01\0\0\0",
                 10);
         }},
        {"huge", [] { return repeated("# so much to say\n", 20'000'000 / 17); }},
        {"one huge line", [] { return "title = \"" + std::string(900'000, 'x') + "\""; }},
        {"deeply nested lists", [] { return "aim = " + repeated("[", 100'000); }},
        {"deeply nested lists, closed", [] { return "aim = " + repeated("[", 5'000) + repeated("]", 5'000); }},
        {"deeply nested tables", [] { return "aim = " + repeated("{ a = ", 100'000); }},
        {"deeply nested keys", [] { return repeated("a.", 100'000) + "a = 1"; }},
        {"deeply nested headings", [] { return "[" + repeated("a.", 100'000) + "a]"; }},
        {"not UTF-8", [] { return small_plan_with("One tart", "One t\xff\xfert"); }},
        {"a surrogate in UTF-8", [] { return small_plan_with("One tart", "One \xed\xa0\x80"); }},
        {"Latin-1", [] { return small_plan_with("plum tart", "cr\xe8me"); }},
        {"UTF-16", [] { return std::string("\xff\xfet\0i\0t\0l\0e\0", 12); }},
        {"NUL bytes", [] { return small_plan_with("One tart", std::string("One\0tart", 8)); }},
        {"NUL bytes alone", [] { return std::string(100'000, '\0'); }},
        {"escape sequences", [] { return small_plan_with("timezone", "\x1b[2Jtimezone"); }},
        {"escape sequences in a name", [] { return small_plan_with("\"mix\"", "\"\\u001b[2Jmix\""); }},
        {"a million orders", [] { return many_orders(1'000'000); }},
        {"as many orders as the file takes", [] { return many_orders(13'000); }},
        {"a million empty orders", [] { return kSmallPlan + repeated("[[order]]\n", 100'000); }},
        {"many errors", [] { return kSmallPlan + repeated("[[component]]\nnmae = 3\n", 20'000); }},
        {"year 0", [] { return small_plan_with("2026-10-03T", "0000-10-03T"); }},
        {"year 1", [] { return small_plan_with("2026-10-03T", "0001-01-01T"); }},
        {"year 9999", [] { return small_plan_with("2026-10-03T16:00:00", "9999-12-31T23:59:59"); }},
        {"year 10000", [] { return small_plan_with("2026-10-03T", "10000-10-03T"); }},
        {"29 February of a common year", [] { return small_plan_with("2026-10-03T", "2026-02-29T"); }},
        {"from long before", [] { return "from = 1970-01-01T00:00:00\n" + kSmallPlan; }},
        {"from after the pickup", [] { return "from = 2026-10-04T00:00:00\n" + kSmallPlan; }},
        {"negative duration", [] { return small_plan_with("\"12 min\"", "\"-12 min\""); }},
        {"overflowing duration", [] { return small_plan_with("\"12 min\"", "\"99999999999999999999 min\""); }},
        {"a duration of 2^63 seconds", [] { return small_plan_with("\"12 min\"", "\"9223372036854775807 s\""); }},
        {"a duration of 2^58 minutes", [] { return small_plan_with("\"12 min\"", "\"288230376151711744 min\""); }},
        {"infinite duration", [] { return small_plan_with("\"12 min\"", "\"inf min\""); }},
        {"a duration as a number", [] { return small_plan_with("\"12 min\"", "-12"); }},
        {"not a number of trays", [] { return small_plan_with("trays = 2", "trays = nan"); }},
        {"negative trays", [] { return small_plan_with("trays = 2", "trays = -2"); }},
        {"trays without end", [] { return small_plan_with("trays = 2", "trays = 9223372036854775807"); }},
        {"no heat", [] { return small_plan_with("10 C/min", "0 C/min"); }},
        {"a furnace", [] { return small_plan_with("180 C", "99999999999999999999 C"); }},
        {"negative pieces", [] { return small_plan_with("= 12 }", "= -12 }"); }},
        {"no pieces", [] { return small_plan_with("= 12 }", "= 0 }"); }},
        {"pieces without end", [] { return small_plan_with("= 12 }", "= 9223372036854775807 }"); }},
        {"a million batches",
         [] { return replaced(small_plan_with("= 12 }", "= 1000000 }"), "12 pieces", "1 pieces"); }},
    };
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) {
            const Folder folder;
            check_refused(folder.file("plan.toml", row.text()));
        }
    }
}

TEST_CASE("paths that are no plan") {
    const Folder folder;
    SUBCASE("no file") { check_refused(folder.path("none.toml")); }
    SUBCASE("a folder") { check_refused(folder.path("")); }
    SUBCASE("a path through a file") { check_refused(folder.file("plan.toml", kSmallPlan) + "/plan.toml"); }
    SUBCASE("a path that is too long") { check_refused("/" + std::string(5'000, 'x')); }
    SUBCASE("an endless device") { check_refused("/dev/zero"); }
    SUBCASE("a symbolic link to itself") {
        std::filesystem::create_symlink(folder.path("loop.toml"), folder.path("loop.toml"));
        check_refused(folder.path("loop.toml"));
    }
    SUBCASE("a pipe into which nobody writes") {
        REQUIRE(::mkfifo(folder.path("pipe.toml").c_str(), 0600) == 0);
        check_refused(folder.path("pipe.toml"));
    }
}

TEST_CASE("shared files that are none") {
    const Folder folder;
    const auto sharing = [&folder](const std::string& file) {
        return folder.file("plan.toml", "formulas = [\"" + file + "\"]\n" + kSmallPlan);
    };
    SUBCASE("missing") { check_refused(sharing("none.toml")); }
    SUBCASE("a folder") { check_refused(sharing(".")); }
    SUBCASE("the plan itself") { check_refused(sharing("plan.toml")); }
    SUBCASE("an endless device") { check_refused(sharing("/dev/zero")); }
    SUBCASE("binary") {
        folder.file("shared.toml", binary_bytes());
        check_refused(sharing("shared.toml"));
    }
    SUBCASE("including itself") {
        folder.file("shared.toml", "formulas = [\"shared.toml\"]\n");
        check_refused(sharing("shared.toml"));
    }
    SUBCASE("including each other") {
        folder.file("one.toml", "formulas = [\"two.toml\"]\n");
        folder.file("two.toml", "formulas = [\"one.toml\"]\n");
        check_refused(sharing("one.toml"));
    }
    SUBCASE("a chain without end") {
        for (int i = 0; i < 1'000; ++i)
            folder.file("s" + std::to_string(i) + ".toml", "formulas = [\"s" + std::to_string(i + 1) + ".toml\"]\n");
        check_refused(sharing("s0.toml"));
    }
}

TEST_CASE("standard input that is no plan") {
    for (const std::string& input : {std::string(), binary_bytes(), std::string(30'000'000, '#')}) {
        const Result result = run({.words = {"timetable", "-"}, .input = input, .processor_seconds = 1});
        CHECK(result.signal == 0);
        CHECK(result.code == 2);
        CHECK(result.output == "");
        CHECK(result.errors.find("error") != std::string::npos);
    }
}

}  // namespace
