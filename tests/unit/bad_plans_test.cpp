// Whatever is given as a plan gets a clear error: no crash, no hang, no memory blow-up.

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <vector>

#include "oventide/limits.hpp"
#include "support/plan_text.hpp"

namespace oventide {
namespace {

namespace fs = std::filesystem;
using test::diagnostics_of;
using test::plan_for_buns;

const std::string kBun = R"(
[[component]]
name  = "bun"
makes = 12
steps = [
  { name = "mix",  takes = "10 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "bake", takes = "20 min", oven = "200 C", tray = 6, hands = { first = "1 min", last = "2 min" } },
]
)";

std::string times(int count, const std::string& text) {
    std::string all;
    all.reserve(static_cast<std::size_t>(count) * text.size());
    for (int k = 0; k < count; ++k) all += text;
    return all;
}

/// Of each numbered text: "# " is replaced by the number and a space's place is kept.
std::string numbered(int count, const std::string& before, const std::string& after) {
    std::string all;
    for (int k = 0; k < count; ++k) all += before + std::to_string(k) + after;
    return all;
}

struct Bad {
    std::string name;
    std::string text;
    std::string says;  ///< stands in one of the messages
};

std::vector<Bad> bad_texts() {
    const std::string order = "[[order]]\nname = \"";
    const std::string rest = "\"\npickup = 2026-10-03T12:00:00\nitems = { bun = 1 }\n";
    const std::string component = "[[component]]\nname = \"c";
    const std::string one_step = "\"\nmakes = 1\nsteps = [{ name = \"a\", takes = \"1 min\" }]\n";
    std::string control = "title = \"a";
    control += '\x01';
    return {
        {"empty", "", "there is nothing in this file"},
        {"spaces and comments", "  \n# nothing\n", "there is nothing in this file"},
        {"a byte order mark alone", "\xef\xbb\xbf", "there is nothing in this file"},
        {"binary",
         std::string("\x7f"
                     "ELF\x02\x01\x01\0\0\0\0\0",
                     12),
         "zero byte"},
        {"a zero byte in a text", std::string("title = \"a\0b\"\n", 13), "1:11: error: there is a zero byte here"},
        {"not UTF-8", "title = \"caf\xe9\"\n", "1:13: error: this is not UTF-8"},
        {"an overlong sequence", "title = \"\xc0\xaf\"\n", "this is not UTF-8"},
        {"a surrogate", "title = \"\xed\xa0\x80\"\n", "this is not UTF-8"},
        {"a cut sequence", "title = \"\xf0\x9f\x8d", "this is not UTF-8"},
        {"UTF-16", std::string("\xff\xfet\0i\0", 6), "UTF-16"},
        {"a control character", control + "\"\n", "control character"},
        {"a carriage return alone", "title = \"a\"\rtimezone = \"UTC\"\n", "error"},
        {"brackets without end", "x = " + times(500'000, "["), "deep"},
        {"braces without end", "x = " + times(250'000, "{a="), "deep"},
        {"a key of dots", times(500'000, "a.") + "b = 1\n", "deep"},
        {"a heading of dots", "[" + times(500'000, "a.") + "b]\n", "deep"},
        {"a key of quoted dots", times(250'000, "\"a\" . ") + "b = 1\n", "deep"},
        {"nesting of every sort together",
         "[" + times(30, "a.") + "b]\nc = " + times(30, "[{" + times(30, "d.") + "e="), "deep"},
        {"nesting within every limit but the sum", "[" + times(30, "a.") + "b]\n" + times(30, "c.") + "d = 1\n",
         "deep"},
        {"quotes without end", "x = \"\"\"" + times(300'000, "\\\\\n"), "error"},
        {"one key after another", numbered(80'000, "k", " = 1\n"), "and 79"},
        {"one line of a million characters", "title = " + times(1'000'000, "x"), "error"},
        {"a name of a million characters", order + times(1'000'000, "x") + rest, "longer than 200 characters"},
        {"more orders than allowed", plan_for_buns(kBun) + numbered(9'000, order, rest), "more than 1000 orders"},
        {"a million orders, cut at the limit of a file", times(200'000, "[[order]]\n"), "more than 1000 orders"},
        {"what a component takes", plan_for_buns(kBun) + "uses = { jam = 1 }\n",
         "write it at the step that takes it, with = { NAME = AMOUNT }"},
        {"what a step takes, by another word",
         plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [{ name = \"s\", takes = \"1 s\", "
                       "draws = \"jam\" }]\n"),
         "write what it takes of other components, with = { NAME = AMOUNT }"},
        {"more components than allowed", plan_for_buns(kBun) + numbered(1'100, component, one_step),
         "more than 1000 components"},
        {"more steps than allowed",
         plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [\n" +
                       numbered(10'100, "{ name = \"s", "\", takes = \"1 s\" },\n") + "]\n"),
         "more than 10000 steps"},
        {"more equipment than allowed",
         plan_for_buns(numbered(300, "[[kitchen.equipment]]\nname = \"e", "\"\n") + kBun),
         "more than 200 pieces of equipment"},
        {"more people than allowed",
         plan_for_buns(numbered(300, "[[kitchen.crew]]\nhours = \"05:00-06:00\"\nname = \"p", "\"\n") + kBun),
         "more than 200 people"},
        {"more pieces than allowed", plan_for_buns(kBun, 1'000'001), "1 to 1000000 pieces"},
        {"more pieces than allowed, over two orders",
         plan_for_buns(kBun, 900'000) +
             "[[order]]\nname = \"x\"\npickup = 2026-10-03T12:00:00\nitems = { bun = 900000 }\n",
         "more than 1000000 pieces of 'bun' are needed in all"},
        {"a number that no machine holds", plan_for_buns(kBun) + "x = 99999999999999999999999\n", "too large"},
        {"the most negative number", "[[order]]\nitems = { bun = -9223372036854775808 }\n", "1 to 1000000 pieces"},
        {"infinity for pieces", "[[order]]\nitems = { bun = inf }\n", "a number with a decimal point"},
        {"the year 0", plan_for_buns(kBun) + "from = 0000-01-01T00:00:00\n", "error"},
        {"an array that mixes everything", "order = [1, \"a\", [2], { b = 3 }, 2026-01-01, true, nan]\n", "error"},
        {"tables where texts should be", "title = {}\ntimezone = []\nkitchen = 7\naim = {}\nsafety = 1\ntimes = true\n",
         "'timezone' is a list"},
        {"a shared file that is a folder above", "kitchen = \"../..\"\ntimezone = \"UTC\"\norder = []\n",
         "cannot be read"},
        {"a shared file with an empty name", "kitchen = \"\"\ntimezone = \"UTC\"\norder = []\n", "this name is empty"},
    };
}

/// A folder of its own, gone at the end.
class Folder {
public:
    Folder() {
        std::string pattern = (fs::temp_directory_path() / "oventide-XXXXXX").string();
        REQUIRE(::mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    fs::path operator/(const char* name) const { return path_ / name; }

private:
    fs::path path_;
};

void write(const fs::path& path, const std::string& text) { std::ofstream(path, std::ios::binary) << text; }

std::string told(const fs::path& path) {
    const PlanReading reading = read_plan(path);
    CHECK_FALSE(reading.plan.has_value());
    std::string all;
    for (const Diagnostic& diagnostic : reading.diagnostics) all += render(diagnostic, reading.sources);
    return all;
}

bool printable(const std::string& text) {
    for (const char c : text)
        if ((static_cast<unsigned char>(c) < 0x20 && c != '\n') || c == 0x7f) return false;
    return true;
}

}  // namespace

TEST_CASE("a text that is no plan is refused in words") {
    for (const Bad& bad : bad_texts()) {
        SUBCASE(bad.name.c_str()) {
            const PlanReading reading = parse_plan(bad.text, "plan.toml", test::reader_of({}));
            CHECK_FALSE(reading.plan.has_value());
            CHECK(reading.diagnostics.size() <= 1'001);
            std::string all;
            for (const Diagnostic& diagnostic : reading.diagnostics) all += render(diagnostic, reading.sources);
            CHECK(printable(all));
            const bool said = all.find(bad.says) != std::string::npos;
            const std::string beginning = all.substr(0, 2'000);
            INFO(beginning);
            CHECK(said);
        }
    }
}

TEST_CASE("what is no file is refused at once") {
    const Folder folder;
    SUBCASE("nothing there") { CHECK(told(folder / "none.toml").find("there is no such file") != std::string::npos); }
    SUBCASE("a folder") {
        fs::create_directory(folder / "folder");
        CHECK(told(folder / "folder").find("it is a folder") != std::string::npos);
    }
    SUBCASE("a symbolic link to itself") {
        fs::create_symlink("loop.toml", folder / "loop.toml");
        CHECK(told(folder / "loop.toml").find("go round in a circle") != std::string::npos);
    }
    SUBCASE("a link to nothing") {
        fs::create_symlink("nowhere", folder / "link.toml");
        CHECK(told(folder / "link.toml").find("there is no such file") != std::string::npos);
    }
    SUBCASE("a pipe that nobody writes to") {
        REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
        CHECK(told(folder / "pipe").find("it is a pipe") != std::string::npos);
    }
    SUBCASE("devices") {
        CHECK(told("/dev/zero").find("it is a device") != std::string::npos);
        CHECK(told("/dev/null").find("it is a device") != std::string::npos);
    }
    SUBCASE("a file that is too large, without reading it") {
        write(folder / "large.toml", "");
        fs::resize_file(folder / "large.toml", std::uintmax_t{1} << 40);
        CHECK(told(folder / "large.toml").find("larger than 1 MiB") != std::string::npos);
    }
    SUBCASE("one byte over the limit, and not one under") {
        write(folder / "over.toml", std::string(Limits::file_bytes + 1, ' '));
        CHECK(told(folder / "over.toml").find("larger than 1 MiB") != std::string::npos);
        write(folder / "full.toml", std::string(Limits::file_bytes, ' '));
        CHECK(told(folder / "full.toml").find("there is nothing in this file") != std::string::npos);
    }
    SUBCASE("a file that may not be read") {
        write(folder / "secret.toml", "title = \"x\"\n");
        fs::permissions(folder / "secret.toml", fs::perms::none);
        if (::geteuid() != 0) CHECK(told(folder / "secret.toml").find("may not be read") != std::string::npos);
    }
    SUBCASE("a file that pretends to be empty") {
        // Files under /proc report no size; what they hold is no plan, but it is read.
        CHECK(told("/proc/self/status").find("error") != std::string::npos);
    }
    SUBCASE("a path that is too long") {
        CHECK(told(std::string(100'000, 'x')).find("path is too long") != std::string::npos);
    }
    SUBCASE("a path with a zero byte ends there, and nothing else is opened") {
        CHECK(told(folder / "none\0.toml").find("there is no such file") != std::string::npos);
    }
}

TEST_CASE("shared files") {
    const std::string bun =
        "[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [{ name = \"mix\", takes = \"1 min\" }]\n";
    const auto plan = [](const std::string& formulas) { return "formulas = " + formulas + "\n" + plan_for_buns(""); };
    SUBCASE("a plan from several files, each once, however often it is named") {
        const test::Files files{{"f/a.toml", "formulas = [\"b.toml\", \"../g/c.toml\"]\n" + bun},
                                {"f/b.toml", "formulas = [\"../g/c.toml\"]\n"},
                                {"g/c.toml",
                                 "[[component]]\nname = \"jam\"\nmakes = \"1 kg\"\n"
                                 "steps = [{ name = \"boil\", takes = \"1 min\" }]\n"}};
        const Plan read = test::plan_of(plan("[\"f/a.toml\", \"f/../g/c.toml\"]"), files);
        REQUIRE(read.components.size() == 2);
        CHECK(read.components[0].name == "bun");
        CHECK(read.components[1].name == "jam");
        CHECK(read.components[1].place.file == 3);
    }
    SUBCASE("missing") {
        CHECK(diagnostics_of(plan("[\"f/a.toml\"]")) ==
              "plan.toml:1:13: error: the file of formulas 'f/a.toml' cannot be read: there is no such file\n"
              "  1 | formulas = [\"f/a.toml\"]\n"
              "    |             ^~~~~~~~~~\n");
    }
    SUBCASE("leading back to themselves") {
        CHECK(diagnostics_of(plan("[\"a.toml\"]"), {{"a.toml", bun + "[x]\n"}, {"b.toml", ""}}).find("circle") ==
              std::string::npos);
        const std::string all = diagnostics_of(plan("[\"a.toml\"]"), {{"a.toml", "formulas = [\"b.toml\"]\n" + bun},
                                                                      {"b.toml", "formulas = [\"a.toml\"]\n"}});
        CHECK(all ==
              "b.toml:1:13: error: this file leads back to itself: a.toml -> b.toml -> a.toml\n"
              "  1 | formulas = [\"a.toml\"]\n"
              "    |             ^~~~~~~~\n"
              "  leave this entry out\n"
              "a.toml:1:13: note: which names 'b.toml' here\n"
              "  1 | formulas = [\"b.toml\"]\n"
              "    |             ^~~~~~~~\n");
    }
    SUBCASE("the plan itself") {
        CHECK(diagnostics_of(plan("[\"./plan.toml\"]")).find("leads back to itself: plan.toml -> plan.toml") !=
              std::string::npos);
        CHECK(diagnostics_of("kitchen = \"plan.toml\"\n").find("leads back to itself") != std::string::npos);
    }
    SUBCASE("too many") {
        test::Files files;
        std::string names;
        for (int k = 0; k < 70; ++k) {
            const std::string name = "f" + std::to_string(k) + ".toml";
            files[name] = "";
            names += (k ? ", \"" : "\"") + name + "\"";
        }
        CHECK(diagnostics_of(plan("[" + names + "]"), files).find("more than 64 shared files") != std::string::npos);
    }
    SUBCASE("a name is not asked after twice when the file with it is not there") {
        const std::string all = diagnostics_of(plan("[\"gone.toml\"]"));
        CHECK(all.find("no component called") == std::string::npos);
        const std::string kitchen = diagnostics_of(
            "timezone = \"UTC\"\nkitchen = \"gone.toml\"\n[[order]]\nname = \"x\"\npickup = 2026-10-03T12:00:00\n"
            "items = { bun = 1 }\n" +
            kBun);
        CHECK(kitchen.find("no equipment called") == std::string::npos);
        CHECK(kitchen.find("'gone.toml' cannot be read") != std::string::npos);
    }
    SUBCASE("an error in a shared file points into it") {
        const std::string all = diagnostics_of(plan("[\"f/a.toml\"]"), {{"f/a.toml", bun + "colour = 1\n"}});
        CHECK(all == "f/a.toml:5:1: error: the component 'bun' has no key 'colour'\n  5 | colour = 1\n    | ^~~~~~\n");
    }
}

TEST_CASE("plans with random slips never do harm") {
    // Bytes changed, put in, taken out, and stretches moved: whatever comes out is a plan or an error, never a crash.
    const std::string good = plan_for_buns(kBun + R"(
[[component]]
name  = "crème"
makes = "2 kg"
keeps = "1 day"
steps = [
  { name = "cook",  takes = ["10 min", "12 min", "20 min"], uses = { hob = 1 }, hands = true, cooked = true },
  { name = "chill", takes = "2 h", keeps = "1 day", uses = "fridge", chill = true, within = "1 h" },
]
[[component]]
name  = "puff"
makes = 24
best_within = "90 min"
steps = [
  { name = "bake", oven = ["180 C 20 min", "off 12 min"], tray = 12, door_shut = "25 min" },
  { name = "fill", takes = "4 min", each = "25 s", hands = { first = "1 min", then = "2 min" }, with = { "crème" = { each = "40 g", within = "3 h" } } },
]
)");
    REQUIRE(diagnostics_of(good).empty());
    const std::string_view alphabet = "\"'[]{}=,.#-:\n\\ \t09aeTZ\x80\xc3\x7f";
    int plans = 0, refused = 0;
    for (std::uint32_t seed = 0; seed < 3'000; ++seed) {
        std::mt19937 random(seed);
        const auto below = [&](std::size_t count) { return static_cast<std::size_t>(random() % count); };
        std::string text = good;
        for (std::size_t slips = 1 + below(4); slips > 0; --slips) {
            const std::size_t at = below(text.size());
            switch (below(4)) {
                case 0:
                    text[at] = alphabet[below(alphabet.size())];
                    break;
                case 1:
                    text.insert(at, 1, alphabet[below(alphabet.size())]);
                    break;
                case 2:
                    text.erase(at, 1 + below(12));
                    break;
                default:
                    text.insert(at, text.substr(below(text.size()), 1 + below(60)));
            }
        }
        CAPTURE(seed);
        const PlanReading reading = parse_plan(text, "plan.toml", test::reader_of({}));
        std::string all;
        bool error = false;
        for (const Diagnostic& diagnostic : reading.diagnostics) {
            all += render(diagnostic, reading.sources);
            error = error || diagnostic.severity == Severity::error;
        }
        REQUIRE(reading.plan.has_value() != error);
        REQUIRE(printable(all));
        ++(error ? refused : plans);
    }
    // The slips are neither all harmless nor all fatal.
    CHECK(plans > 20);
    CHECK(refused > 1'000);
}

}  // namespace oventide
