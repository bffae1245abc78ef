#pragma once
/// How much a plan may hold; every limit is checked before the memory is taken. plans/plan-file.md lists them.

#include <cstddef>
#include <cstdint>

namespace oventide {

struct Limits {
    static constexpr std::size_t file_bytes = 1 << 20;
    static constexpr int shared_files = 64;
    static constexpr int nesting = 32;
    static constexpr int components = 1'000;
    static constexpr int steps = 10'000;  ///< of all components together
    static constexpr int orders = 1'000;
    static constexpr int ingredients = 1'000;
    static constexpr int component_ingredients = 100;
    static constexpr int equipment = 200;  ///< and as many people
    static constexpr std::int64_t pieces = 1'000'000;
    static constexpr std::int64_t milligrams = 1'000'000'000'000;  ///< of one component: a thousand tonnes
    static constexpr int activities = 50'000;                      ///< after expansion
    static constexpr int links = 1'000'000;                        ///< between activities, after expansion
    static constexpr int oven_settings = 200;  ///< temperatures, and ways to switch off, of all bakes
    static constexpr int horizon_days = 31;    ///< from `from` to the last pickup
    static constexpr int duration_days = 31;
    static constexpr int name_characters = 200;
};

}  // namespace oventide
