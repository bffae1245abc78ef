// Circles in plain graphs.

#include "network/cycle.hpp"

#include <doctest/doctest.h>

#include <random>
#include <set>

namespace oventide::network {
namespace {

using Circle = std::vector<std::int32_t>;
using Circles = std::vector<Circle>;

/// Kahn's count: a graph has a circle when not every vertex can be taken in order. Shares nothing with `circles`.
bool has_circle(std::int32_t vertices, const std::vector<Edge>& edges) {
    std::vector<bool> taken(vertices, false);
    for (bool changed = true; changed;) {
        changed = false;
        for (std::int32_t v = 0; v < vertices; ++v) {
            bool free = !taken[v];
            for (const Edge& edge : edges) free = free && !(edge.to == v && !taken[edge.from]);
            if (free) taken[v] = changed = true;
        }
    }
    for (const bool t : taken)
        if (!t) return true;
    return false;
}

}  // namespace

TEST_CASE("circles") {
    CHECK(circles(0, {}).empty());
    // 0 -> 1 -> 2, 0 -> 2
    CHECK(circles(3, {{0, 1}, {1, 2}, {0, 2}}).empty());
    // a loop
    CHECK(circles(2, {{1, 1}}) == Circles{{1}});
    // 2 -> 0 -> 1 -> 2
    CHECK(circles(3, {{2, 0}, {0, 1}, {1, 2}}) == Circles{{0, 1, 2}});
    // the shorter of two through 0
    CHECK(circles(4, {{0, 1}, {1, 2}, {2, 3}, {3, 0}, {2, 0}}) == Circles{{0, 1, 2}});
    // one of each strong component, the dead ends round them left out
    CHECK(circles(6, {{0, 1}, {1, 2}, {2, 1}, {2, 3}, {4, 5}, {5, 4}}) == Circles{{1, 2}, {4, 5}});
    // the same edge twice
    CHECK(circles(2, {{0, 1}, {0, 1}, {1, 0}}) == Circles{{0, 1}});
}

TEST_CASE("random graphs: a circle is named exactly where there is one, and is one") {
    for (std::uint32_t seed = 0; seed < 500; ++seed) {
        std::mt19937 random(seed);
        const auto vertices = static_cast<std::int32_t>(1 + random() % 9);
        std::vector<Edge> edges(random() % 14);
        std::set<std::pair<std::int32_t, std::int32_t>> present;
        for (Edge& edge : edges) {
            edge = {static_cast<std::int32_t>(random() % vertices), static_cast<std::int32_t>(random() % vertices)};
            present.emplace(edge.from, edge.to);
        }
        CAPTURE(seed);
        const Circles found = circles(vertices, edges);
        REQUIRE(found.empty() != has_circle(vertices, edges));
        for (const Circle& circle : found) {
            for (std::size_t k = 0; k < circle.size(); ++k)
                REQUIRE(present.count({circle[k], circle[(k + 1) % circle.size()]}) == 1);
            REQUIRE(std::set<std::int32_t>(circle.begin(), circle.end()).size() == circle.size());
        }
    }
}

}  // namespace oventide::network
