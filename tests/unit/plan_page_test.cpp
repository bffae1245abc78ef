// plans/plan-file.md is the reference: every example on it is read with the real reader, and every key has one.

#include <doctest/doctest.h>

#include <fstream>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "oventide/limits.hpp"
#include "support/plan_text.hpp"

namespace oventide {
namespace {

struct Block {
    std::string where;  ///< the word behind `toml`
    std::string text;
    int line = 0;
};

struct Section {
    std::string heading;
    std::vector<std::string> keys;  ///< of its tables
    std::vector<Block> blocks;
};

/// The words between back ticks in the first cell of a table's row, without those in brackets.
std::vector<std::string> keys_of(const std::string& row) {
    const std::string cell = row.substr(0, row.find('|', 1));
    std::vector<std::string> keys;
    const std::regex key("`([a-z_]+)`");
    for (std::sregex_iterator at(cell.begin(), cell.end(), key), end; at != end; ++at) keys.push_back((*at)[1]);
    return keys;
}

std::vector<Section> read_page() {
    std::ifstream page(std::string(OVENTIDE_SOURCE_DIR) + "/plans/plan-file.md");
    REQUIRE(page.good());
    std::vector<Section> sections(1);
    int number = 0;
    for (std::string line; std::getline(page, line);) {
        ++number;
        if (line.rfind('#', 0) == 0) sections.push_back({line, {}, {}});
        if (line.rfind("| ", 0) == 0)
            for (std::string& key : keys_of(line)) sections.back().keys.push_back(std::move(key));
        if (line.rfind("```", 0) != 0) continue;
        Block block{line.size() > 8 ? line.substr(8) : "", "", number};
        for (; std::getline(page, line) && line != "```"; ++number) block.text += line + "\n";
        ++number;
        sections.back().blocks.push_back(std::move(block));
    }
    return sections;
}

/// The page's whole plan with an example put into it.
std::string framed(const Block& block, const std::string& plan) {
    if (block.where == "plan") return block.text;
    if (block.where == "larder") return "larder = \"larder.toml\"\n" + plan;
    if (block.where == "order") return plan + "[[order]]\n" + block.text;
    if (block.where == "component") return plan + "[[component]]\n" + block.text;
    if (block.where == "step")
        return plan +
               "[[component]]\nname = \"example\"\nmakes = 24\nsteps = [\n  { name = \"mix\", takes = \"5 min\" },\n" +
               block.text + "  { name = \"bake it\", takes = \"20 min\", oven = \"200 C\", tray = 12 },\n]\n";
    if (block.where == "top") return block.text + plan.substr(plan.find("[kitchen]"));
    if (block.where == "kitchen")
        return "kitchen = \"kitchen.toml\"\n" + std::string("timezone = \"UTC\"\n") +
               "[[order]]\nname = \"x\"\npickup = 2026-10-03T15:00:00\nitems = { bun = 1 }\n"
               "[[component]]\nname = \"bun\"\nmakes = 1\nsteps = [{ name = \"mix\", takes = \"5 min\" }]\n";
    FAIL("line ", block.line, ": where does this example belong? '", block.where, "'");
    return {};
}

}  // namespace

TEST_CASE("every example of the plan file's page is read without a complaint") {
    const auto sections = read_page();
    REQUIRE(sections.back().blocks.size() == 1);
    const std::string plan = sections.back().blocks.front().text;
    int examples = 0;
    for (const Section& section : sections) {
        for (const Block& block : section.blocks) {
            const std::string text = framed(block, plan);
            const test::Files files{{"formulas/tarts.toml", ""},
                                    {"kitchen.toml", block.text},
                                    {"larder.toml", block.where == "larder" ? block.text : ""}};
            const std::string wrong = test::diagnostics_of(text, files);
            INFO("plans/plan-file.md:", block.line);
            CHECK(wrong == "");
            ++examples;
        }
    }
    CHECK(examples > 10);
}

TEST_CASE("every key on the page has an example in its section") {
    for (const Section& section : read_page()) {
        if (section.keys.empty()) continue;
        std::string examples;
        for (const Block& block : section.blocks) examples += block.text;
        // What lies in files and sections of its own has its examples there.
        for (const std::string& key : section.keys) {
            if (section.heading == "## Top of the plan" && (key == "kitchen" || key == "component" || key == "order"))
                continue;
            INFO(section.heading, ": ", key);
            CHECK(std::regex_search(examples, std::regex("(^|[^a-z_])" + key + " *= ")));
        }
    }
}

TEST_CASE("the page's limits are the reader's") {
    std::ifstream page(std::string(OVENTIDE_SOURCE_DIR) + "/plans/plan-file.md");
    std::stringstream text;
    text << page.rdbuf();
    const std::string all = text.str();
    const auto says = [&](const std::string& row) { CHECK_MESSAGE(all.find(row) != std::string::npos, row); };
    static_assert(Limits::file_bytes == 1 << 20 && Limits::shared_files == 64 && Limits::nesting == 32);
    static_assert(Limits::components == 1'000 && Limits::steps == 10'000 && Limits::orders == 1'000);
    static_assert(Limits::equipment == 200 && Limits::pieces == 1'000'000 && Limits::activities == 50'000);
    static_assert(Limits::ingredients == 1'000 && Limits::component_ingredients == 100);
    static_assert(Limits::links == 1'000'000 && Limits::oven_settings == 200);
    static_assert(Limits::milligrams == 1'000'000'000'000 && Limits::name_characters == 200);
    static_assert(Limits::duration_days == 31 && Limits::horizon_days == 31);
    says("| a file | 1 MiB |");
    says("| shared files | 64 |");
    says("| tables and lists inside each other | 32 deep |");
    says("| components | 1,000 |");
    says("| steps, of all components together | 10,000 |");
    says("| orders | 1,000 |");
    says("| ingredients; of one component | 1,000; 100 |");
    says("| pieces of equipment; people | 200 each;");
    says("| pieces of a component in all; mass | 1,000,000; 1,000 t |");
    says("| activities, after batches and loads are counted | 50,000 |");
    says("| links between activities | 1,000,000 |");
    says("| different oven settings: temperatures, and for each the times for which it is switched off | 200 |");
    says("| a duration; from the beginning to the last pickup | 31 days |");
    says("| a name | 200 characters |");
}

}  // namespace oventide
