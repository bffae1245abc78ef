#include "oventide/spelling.hpp"

#include <doctest/doctest.h>

namespace {

const std::vector<std::string> kSteps{"mix", "chill", "bake", "fill", "chilling", "Glaze"};

TEST_CASE("a misspelt word brings the nearest known one") {
    const struct {
        std::string name;
        std::string word;
        std::vector<std::string> meant;
    } rows[] = {
        {"a letter left out", "chil", {"chill"}},
        {"a letter too many", "bakee", {"bake"}},
        {"a letter changed", "bage", {"bake"}},
        {"neighbours swapped", "bkae", {"bake"}},
        {"swapped in a short word", "mxi", {"mix"}},
        {"capitals do not count", "CHILL", {"chill"}},
        {"nor in the known word", "glaze", {"Glaze"}},
        {"nothing near", "knead", {}},
        {"a word of one letter is nobody's slip", "x", {}},
        {"the empty word", "", {}},
        {"a long word", std::string(100'000, 'a'), {}},
    };
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) { CHECK(oventide::near_misses(row.word, kSteps) == row.meant); }
    }
}

TEST_CASE("several are given nearest first, then as they are listed") {
    CHECK(oventide::near_misses("bat", {"cut", "bad", "bats", "bat"}, 3) ==
          std::vector<std::string>{"bat", "bad", "bats"});
    CHECK(oventide::near_misses("bat", {"bad", "bats"}, 0).empty());
}

}  // namespace
