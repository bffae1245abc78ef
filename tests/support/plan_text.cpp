#include "support/plan_text.hpp"

#include <stdexcept>
#include <utility>

namespace oventide::test {

const std::string_view kKitchen = R"(
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = "05:00-20:00"
[[kitchen.crew]]
name  = "Ben"
hours = "05:00-20:00"
[[kitchen.oven]]
trays = 4
heats = "10 C/min"
cools = "5 C/min"
[[kitchen.mixer]]
[[kitchen.hob]]
rings = 4
[[kitchen.fridge]]
shelves = 10
[[kitchen.equipment]]
name  = "rack"
count = 20
)";

FileReader reader_of(Files files) {
    return [files = std::move(files)](const std::filesystem::path& path) -> FileText {
        const auto file = files.find(path.generic_string());
        if (file == files.end()) return {std::nullopt, "there is no such file"};
        return {file->second, {}};
    };
}

Plan plan_of(std::string_view text, const Files& files) {
    PlanReading reading = parse_plan(text, "plan.toml", reader_of(files));
    std::string wrong;
    for (const Diagnostic& diagnostic : reading.diagnostics)
        if (diagnostic.severity == Severity::error) wrong += render(diagnostic, reading.sources);
    if (!reading.plan) throw std::runtime_error(wrong);
    return std::move(*reading.plan);
}

std::string diagnostics_of(std::string_view text, const Files& files) {
    const PlanReading reading = parse_plan(text, "plan.toml", reader_of(files));
    std::string all;
    for (const Diagnostic& diagnostic : reading.diagnostics) all += render(diagnostic, reading.sources);
    return all;
}

std::string plan_for_buns(std::string_view components, int pieces) {
    return "timezone = \"UTC\"\n" + std::string(kKitchen) +
           "\n[[order]]\nname = \"Ladder Street\"\npickup = 2026-10-03T12:00:00\nitems = { bun = " +
           std::to_string(pieces) + " }\n" + std::string(components);
}

}  // namespace oventide::test
