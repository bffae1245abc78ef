#include "plan/cold.hpp"

#include "oventide/cooling.hpp"

namespace oventide::plan_file {
namespace {

// A thermometer on the door and a figure from a maker's sheet are not exact: common practice, no source.
constexpr MilliCelsius kAirOff = 1'000;
constexpr std::int64_t kTransferOff = 20;  // hundredths

std::vector<std::string> kinds() {
    std::vector<std::string> found;
    for (const cooling::Surroundings& each : cooling::surroundings()) found.emplace_back(each.key);
    return found;
}

}  // namespace

std::string cold_kinds() {
    std::string text;
    for (const std::string& kind : kinds()) text += (text.empty() ? "" : ", ") + in_quotes(kind);
    return text;
}

bool find_cold(const std::string& kind, Cold& cold) {
    if (!cooling::find_surroundings(kind)) return false;
    cold = {kind, kind, {}, {}};
    return true;
}

void read_kind(TableReader& table, Cold& cold) {
    const auto kind = table.text("cold");
    if (!kind || find_cold(kind->text, cold)) return;
    std::string guess = table.complaints().did_you_mean(kind->text, kinds());
    table.complaints().error(kind->place, "nothing is known of cooling in " + in_quotes(kind->text),
                             guess.empty() ? "there are " + cold_kinds() : std::move(guess));
}

void read_measured(TableReader& table, Cold& cold) {
    if (const auto air = table.temperatures("air", kAirOff)) cold.air = air;
    if (const auto transfer = table.transfers("transfer", kTransferOff)) cold.transfer = transfer;
}

}  // namespace oventide::plan_file
