#include <algorithm>
#include <array>

#include "oventide/cooling.hpp"

namespace oventide::cooling {
namespace {

// Published ranges: gases in free convection 2 to 25 W/(m2 K), forced 25 to 250 (Cengel, course notes on convection);
// textbook problems of refrigerators and freezers use 8 to 9 (Cengel); a cooked ham in a chiller measured 5.1 and 9.1,
// 5 to 20 expected (University of Nebraska, RURALS 1); still air 6, air at 3 m/s 30 (Earle, Unit Operations, chapter 5,
// from memory). No published table of still and fan refrigerators was found, so the narrower ranges inside these are a
// choice. Air temperatures are common practice, no source.
constexpr std::array<Surroundings, 6> kSurroundings = {{
    {"bench", {18, 21, 26}, {5, 7.5, 12}, "free convection, Cengel; air common practice"},
    {"fridge", {2, 4, 6}, {5, 7.5, 10}, "still refrigerator, Cengel's problems; air common practice"},
    {"fridge with fan", {2, 4, 6}, {10, 16, 30}, "Nebraska's ham, Earle; air common practice"},
    {"freezer", {-22, -18, -15}, {5, 8, 12}, "Cengel's problems; air common practice"},
    {"blast chiller", {-6, -2, 2}, {20, 32, 60}, "forced convection, Cengel, Earle; air common practice"},
    {"ice bath", {0, 0.5, 2}, {100, 250, 600}, "liquids, Cengel, low end; from memory"},
}};

}  // namespace

std::span<const Surroundings> surroundings() { return kSurroundings; }

std::optional<Surroundings> find_surroundings(std::string_view key) {
    const auto found = std::ranges::find(kSurroundings, key, &Surroundings::key);
    if (found == kSurroundings.end()) return std::nullopt;
    return *found;
}

}  // namespace oventide::cooling
