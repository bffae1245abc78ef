#include "sheet/flags.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "support/svg.hpp"

using namespace oventide;

namespace {

struct Drawn {
    std::vector<test::Label> names;
    std::vector<test::Label> poles;  ///< left and right are one; y is the foot
    double end = 0;
};

Drawn drawn(const std::vector<std::pair<double, std::string>>& what) {
    sheet::Flags flags(580);
    for (const auto& [x, name] : what) flags.add(x, name, "a");
    std::string body;
    const double end = flags.draw_at(100, body);
    Drawn found{test::labels_of(body), {}, end};
    for (std::size_t at = body.find("<line"); at != std::string::npos; at = body.find("<line", at + 1)) {
        const std::string tag = body.substr(at, body.find('>', at) - at);
        const double x = test::number_after(tag, "x1");
        CHECK(test::number_after(tag, "y1") == doctest::Approx(100));
        found.poles.push_back({x, x, test::number_after(tag, "y2"), ""});
    }
    return found;
}

/// Every pole has its name beside its foot.
void check_each_has_its_own(const Drawn& found) {
    for (const auto& pole : found.poles)
        CHECK(std::any_of(found.names.begin(), found.names.end(), [&](const auto& name) {
            return name.y == pole.y &&
                   (std::abs(name.left - pole.left) < 3.2 || std::abs(name.right - pole.left) < 3.2);
        }));
}

bool crossed(const Drawn& found) {
    for (const auto& pole : found.poles)
        for (const auto& name : found.names)
            if (name.left < pole.left && pole.left < name.right && name.y < pole.y) return true;
    return false;
}

}  // namespace

TEST_CASE("flags: few of them have their whole names, close to the poles, and no pole goes through a name") {
    std::mt19937 random(7);
    for (int round = 0; round < 200; ++round) {
        std::vector<std::pair<double, std::string>> what;
        double x = 90;
        for (int i = 0; i < 7; ++i) {
            x += 5 + static_cast<double>(random() % 60);
            what.emplace_back(x, std::string(3 + random() % 14, 'w'));
        }
        const Drawn found = drawn(what);
        REQUIRE(found.names.size() == what.size());
        CHECK_FALSE(crossed(found));
        check_each_has_its_own(found);
        for (const auto& name : found.names) {
            CHECK(name.text.size() >= 3);  // not the short one
            CHECK(name.left >= 0);
            CHECK(name.right <= 580);
            CHECK(name.y < found.end);
        }
        for (std::size_t i = 0; i < found.names.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                CHECK((found.names[i].y != found.names[j].y || found.names[i].right <= found.names[j].left ||
                       found.names[j].right <= found.names[i].left));
    }
}

TEST_CASE("flags: ten short steps one after another at the edge keep their names") {
    std::vector<std::pair<double, std::string>> what;
    for (int i = 0; i < 10; ++i) what.emplace_back(430 + 15 * i, "c blind bake in");
    const Drawn found = drawn(what);
    REQUIRE(found.names.size() == 10);
    for (const auto& name : found.names) CHECK(name.text == "c blind bake in");
    CHECK_FALSE(crossed(found));
    check_each_has_its_own(found);
}

TEST_CASE("flags: a crowd is shown by its short names before rows without end") {
    std::vector<std::pair<double, std::string>> what;
    for (int i = 0; i < 60; ++i) what.emplace_back(90 + 8 * i, "a long name here");
    const Drawn found = drawn(what);
    CHECK(found.names.size() == 60);
    CHECK(found.end < 100 + 60 * 14 / 2);
    check_each_has_its_own(found);
}
