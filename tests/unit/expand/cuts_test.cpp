/// Fine print (v), (z): full batches and even ones. That full ones are as few as can be, and what even ones promise,
/// is looked at piece by piece on small random queues.

#include "expand/cuts.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <utility>

namespace oventide::test {
namespace {

using Cuts = std::vector<std::int64_t>;
using expansion::Pool;

struct Shop {
    std::vector<Pool> pools;
    std::int64_t capacity = 0;
};

Shop random_shop(std::uint32_t seed) {
    std::mt19937 random(seed);
    const auto up_to = [&](std::uint32_t most) { return static_cast<int>(random() % (most + 1)); };
    const int limit = up_to(4);
    Shop shop;
    shop.capacity = 3 + up_to(9);
    struct Sale {
        int pickup;
        int from;
    };
    std::vector<Sale> sales;
    int pickup = 0;
    int total = 0;
    for (int left = 1 + up_to(5); left > 0; --left) {
        pickup += up_to(3);
        sales.push_back({pickup, total});
        total += 1 + up_to(14);
    }
    for (const Sale& sale : sales) {
        const auto too_late =
            std::ranges::find_if(sales, [&](const Sale& other) { return other.pickup - sale.pickup > limit; });
        shop.pools.push_back({sale.from, too_late == sales.end() ? total : too_late->from});
    }
    return shop;
}

Cuts sizes(const Cuts& cuts) {
    Cuts result;
    std::int64_t from = 0;
    for (const std::int64_t cut : cuts) result.push_back(cut - std::exchange(from, cut));
    return result;
}

std::int64_t spread(const Cuts& cuts) {
    const auto [least, most] = std::ranges::minmax(sizes(cuts));
    return most - least;
}

/// Where a batch that begins at `from` must end.
std::int64_t farthest(const Shop& shop, std::int64_t from) {
    std::int64_t end = 0;
    for (const Pool& pool : shop.pools)
        if (pool.from <= from) end = pool.end;
    return std::min(end, from + shop.capacity);
}

bool is_allowed(const Shop& shop, const Cuts& cuts) {
    std::int64_t from = 0;
    for (const std::int64_t cut : cuts) {
        if (cut <= from || cut > farthest(shop, from)) return false;
        from = cut;
    }
    return from == shop.pools.back().end;
}

/// The fewest batches that it can be cut into.
std::int64_t fewest(const Shop& shop) {
    const std::int64_t total = shop.pools.back().end;
    std::vector<std::int64_t> batches(static_cast<std::size_t>(total) + 1, 0);
    for (std::int64_t from = total - 1; from >= 0; --from) {
        std::int64_t best = total + 1;
        for (std::int64_t to = from + 1; to <= farthest(shop, from); ++to)
            best = std::min(best, 1 + batches[static_cast<std::size_t>(to)]);
        batches[static_cast<std::size_t>(from)] = best;
    }
    return batches.front();
}

TEST_CASE("even batches are as few as full ones, and more alike") {
    int evened = 0;
    int worse = 0;
    for (std::uint32_t seed = 1; seed <= 2'000; ++seed) {
        CAPTURE(seed);
        const Shop shop = random_shop(seed);
        const Cuts full = expansion::full_cuts(shop.pools, shop.capacity, 1'000);
        const Cuts even = expansion::even_cuts(shop.pools, shop.capacity, full.size());
        REQUIRE(is_allowed(shop, full));
        REQUIRE(is_allowed(shop, even));
        REQUIRE(static_cast<std::int64_t>(full.size()) == fewest(shop));
        REQUIRE(even.size() == full.size());
        evened += spread(even) < spread(full);
        worse += spread(even) > spread(full);
    }
    CHECK(evened > 1'000);
    CHECK(worse <= 2);  // a share is reckoned from what can wait with its beginning, not from all that follows
}

TEST_CASE("where pools overlap, each batch is as large as the others need it to be") {
    struct Row {
        const char* name;
        std::vector<Pool> pools;
        std::int64_t capacity;
        Cuts even;
    };
    const std::vector<Row> rows = {
        {"nothing", {}, 12, {}},
        {"two full ones, with no piece to spare", {{0, 60}, {24, 72}, {60, 72}}, 36, {36, 36}},
        {"three, across two pools", {{0, 60}, {24, 100}, {60, 100}}, 36, {30, 35, 35}},
        {"the first pool by itself, then the rest", {{0, 14}, {13, 34}, {14, 34}}, 12, {7, 7, 10, 10}},
        {"one piece that can wait with neither", {{0, 12}, {12, 13}, {13, 25}}, 12, {12, 1, 12}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        const Cuts full = expansion::full_cuts(row.pools, row.capacity, 1'000);
        CHECK(sizes(expansion::even_cuts(row.pools, row.capacity, full.size())) == row.even);
    }
}

TEST_CASE("full batches are cut no further than anybody asks for") {
    CHECK(expansion::full_cuts({{0, 1'000'000'000'000}}, 1, 3) == Cuts{1, 2, 3, 4});
}

}  // namespace
}  // namespace oventide::test
