#pragma once
/// Plans for tests, written as the cook writes them and read by the real reader.

#include <map>
#include <string>
#include <string_view>

#include "oventide/plan.hpp"
#include "oventide/plan_file.hpp"

namespace oventide::test {

/// Files held in memory, by path.
using Files = std::map<std::string, std::string>;

FileReader reader_of(Files files);

/// Reads a plan text; throws what is wrong when there is an error, which stops the test.
Plan plan_of(std::string_view text, const Files& files = {});

/// Every diagnostic of a plan text, rendered, one after another.
std::string diagnostics_of(std::string_view text, const Files& files = {});

/// A kitchen for a plan that does not care: Ada and Ben from 05:00 to 20:00, an oven of four trays (10 C/min up,
/// 5 C/min down), a mixer, a hob of four rings, a fridge of ten shelves, a rack of twenty.
extern const std::string_view kKitchen;

/// `timezone = "UTC"`, the kitchen above, one order of so many pieces of the component 'bun', collected at noon on
/// Saturday 3 October 2026; the test adds [[component]] tables, one of them called 'bun'.
std::string plan_for_buns(std::string_view components, int pieces = 12);

}  // namespace oventide::test
