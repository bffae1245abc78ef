/// Random plans through the whole house: whatever the reader accepts, neither referee finds anything against.

#include "support/random_plan.hpp"

#include <doctest/doctest.h>

#include <string>

#include "oventide/plan_file.hpp"

using namespace oventide;

namespace {

std::string all(const PlanReading& reading) {
    std::string text;
    for (const Diagnostic& one : reading.diagnostics) text += render(one, reading.sources) + "\n";
    return text;
}

}  // namespace

TEST_CASE("random plans are plans") {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const std::string text = support::random_plan(seed);
        const PlanReading reading = parse_plan(text, "seed.toml");
        CAPTURE(seed);
        REQUIRE_MESSAGE(reading.plan, all(reading));
    }
}
