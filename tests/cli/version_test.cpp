#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

TEST_CASE("the program starts") { CHECK(std::system(OVENTIDE_PROGRAM " --version >/dev/null") == 0); }
