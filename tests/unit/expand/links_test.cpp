/// Contract 1, 2, 7, 8 and fine print (a) to (e), (g) to (j), (v), (x), (y): what ties steps to each other.

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

/// One component; pickup at noon on the third day, minute 5040 less the margin of 15.
std::string buns(const std::string& steps, int pieces = 12, const std::string& limits = "") {
    return plan_for_buns(
        "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\n" + limits + "steps = [" + steps + "]\n", pieces);
}

TEST_CASE("rest and within are counted from ready, of a step that keeps too (a), (i)") {
    struct Row {
        std::string steps;
        Lines lags;
    };
    const std::vector<Row> rows = {
        {R"({ name = "a", takes = "10 min" }, { name = "b", takes = "5 min" })", {"bun.1.a + 10 <= bun.1.b"}},
        {R"({ name = "a", takes = "10 min" }, { name = "b", takes = "5 min", rest = "30 min" })",
         {"bun.1.a + 40 <= bun.1.b"}},
        {R"({ name = "a", takes = "10 min" }, { name = "b", takes = "5 min", within = "30 min" })",
         {"bun.1.a + 10 <= bun.1.b", "bun.1.b - 40 <= bun.1.a"}},
        {R"({ name = "a", takes = "10 min" }, { name = "b", takes = "5 min", rest = "7 min", within = "30 min" })",
         {"bun.1.a + 17 <= bun.1.b", "bun.1.b - 40 <= bun.1.a"}},
        {R"({ name = "a", takes = "10 min" }, { name = "b", takes = "5 min", at_once = true })",
         {"bun.1.a + 10 <= bun.1.b", "bun.1.b - 10 <= bun.1.a"}},
        {R"({ name = "a", takes = "10 min", keeps = "2 h" }, { name = "b", takes = "5 min", rest = "30 min" })",
         {"bun.1.a + 40 <= bun.1.b"}},
        // The wash is no part of the step that others wait for.
        {R"({ name = "a", takes = "10 min", uses = "mixer", wash = "5 min" }, { name = "b", takes = "5 min" })",
         {"bun.1.a + 10 <= bun.1.b"}},
        // Rests are rounded up, within down (w).
        {R"({ name = "a", takes = "10 min" }, { name = "b", takes = "5 min", rest = "61 s", within = "239 s" })",
         {"bun.1.a + 12 <= bun.1.b", "bun.1.b - 13 <= bun.1.a"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.steps);
        CHECK(lags_text(expansion_of(buns(row.steps))) == row.lags);
    }
}

//   a ──> b ──┐
//   c ────────┴──> d
TEST_CASE("steps follow each other as written unless `after` says otherwise") {
    const Expansion expansion = expansion_of(buns(
        R"({ name = "a", takes = "1 min" },
           { name = "b", takes = "2 min" },
           { name = "c", takes = "3 min", after = [] },
           { name = "d", takes = "4 min", after = ["b", { step = "c", rest = "10 min", within = "1 h" }] })"));
    CHECK(lags_text(expansion) == Lines{"bun.1.a + 1 <= bun.1.b", "bun.1.b + 2 <= bun.1.d", "bun.1.c + 13 <= bun.1.d",
                                        "bun.1.d - 63 <= bun.1.c"});
    CHECK(waiting_text(expansion) ==
          Lines{"bun.1.a -> bun.1.b 12", "bun.1.b -> bun.1.d 12", "bun.1.c -> bun.1.d 12", "bun.1.d -> @5040 12"});
}

TEST_CASE("a step that keeps lasts until its users start (b), (c), or until the pickup (e), or ends when ready (d)") {
    const Expansion expansion = expansion_of(buns(
        R"({ name = "a", takes = "1 min", keeps = "1 h" },
           { name = "b", takes = "2 min", after = "a" },
           { name = "c", takes = "3 min", after = "a" },
           { name = "aside", takes = "1 min", keeps = "2 h", after = [] },
           { name = "d", takes = "4 min", keeps = "3 h", after = ["b", "c"] })"));
    const Activity& a = activity_of(expansion, "bun.1.a");
    CHECK(a.stretchable);
    CHECK(a.keep == 60);
    CHECK(a.held_until == -1);
    CHECK(users_text(expansion, "bun.1.a") == Lines{"bun.1.b", "bun.1.c"});
    CHECK_FALSE(activity_of(expansion, "bun.1.b").stretchable);
    CHECK(users_text(expansion, "bun.1.b").empty());

    const Activity& aside = activity_of(expansion, "bun.1.aside");
    CHECK(aside.stretchable);
    CHECK(aside.users.empty());
    CHECK(aside.held_until == -1);

    const Activity& d = activity_of(expansion, "bun.1.d");
    CHECK(d.keep == 180);
    CHECK(d.held_until == 5040);
    CHECK(d.due == 5025);
}

TEST_CASE("done by the pickup less the margin: every step that nothing follows (7)") {
    const Expansion expansion = expansion_of(buns(
        R"({ name = "a", takes = "1 min" },
           { name = "aside", takes = "1 min", after = [] },
           { name = "b", takes = "4 min", after = "a" })"));
    CHECK(activity_of(expansion, "bun.1.a").due == kNever);
    CHECK(activity_of(expansion, "bun.1.aside").due == 5025);
    CHECK(activity_of(expansion, "bun.1.b").due == 5025);
    const PromiseId promise = activity_of(expansion, "bun.1.b").due_promise;
    REQUIRE(promise >= 0);
    CHECK(expansion.promises[promise].kind == Promise::Kind::pickup);
    CHECK(expansion.promises[promise].text == "Ladder Street is done 15 min before its pickup");
}

const char* const kTwoOrders = R"(
timezone = "UTC"
from     = 2026-10-03T00:00:00
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = "05:00-20:00"
[[kitchen.mixer]]
[[kitchen.fridge]]
shelves = 4
[[kitchen.oven]]
trays = 4
heats = "10 C/min"
cools = "5 C/min"
[[order]]
name   = "noon"
pickup = 2026-10-03T12:00:00
margin = "5 min"
items  = { tart = 12 }
[[order]]
name   = "evening"
pickup = 2026-10-03T18:00:00
margin = "7 h"
items  = { tart = 6 }
)";

TEST_CASE("a batch for two orders is due for the earlier and held for the later") {
    // The evening's margin is so long that it is due first: 18:00 less 7 h is 11:00.
    const Expansion expansion = expansion_of(std::string(kTwoOrders) + R"(
[[component]]
name  = "tart"
makes = "24 pieces"
keeps = "8 h"
best_within = "6 h"
steps = [
  { name = "fill", takes = "10 min", with = { case = 1 } },
  { name = "chill", takes = "20 min", keeps = "8 h", uses = "fridge" },
]
[[component]]
name  = "case"
makes = "24 pieces"
keeps = "2 h"
steps = [
  { name = "clean up", takes = "5 min" },
  { name = "bake", takes = "10 min", after = [] },
]
)");
    const Activity& chill = activity_of(expansion, "tart.1.chill");
    CHECK(chill.due == 11 * 60);
    CHECK(expansion.promises[chill.due_promise].text == "evening is done 7 h before its pickup");
    CHECK(chill.held_until == 18 * 60);
    // 18:00 less 8 h less the 20 min that it takes to be ready.
    CHECK(chill.release == 10 * 60 - 20);
    CHECK(expansion.promises[chill.release_promise].kind == Promise::Kind::kept_until_pickup);
    // What goes into the tarts is due for the same order where nothing else holds it.
    CHECK(activity_of(expansion, "case.1.clean-up").due == 11 * 60);
    CHECK(activity_of(expansion, "case.1.bake").due == kNever);
    CHECK(lags_text(expansion, "case.1.bake") ==
          Lines{"case.1.bake + 10 <= tart.1.fill", "tart.1.fill - 130 <= case.1.bake"});

    REQUIRE(expansion.project.freshness.size() == 1);
    const Freshness& freshness = expansion.project.freshness.front();
    CHECK(freshness.makers == std::vector<ActivityId>{activity_named(expansion, "tart.1.chill")});
    CHECK(freshness.users.empty());
    CHECK(freshness.last_time == 18 * 60);
    CHECK(freshness.best_within == 360);
    CHECK(waiting_text(expansion) == Lines{"case.1.bake -> tart.1.fill 18", "tart.1.chill -> @1080 6",
                                           "tart.1.chill -> @720 12", "tart.1.fill -> tart.1.chill 18"});
}

//   glaze 1 ──┬──> tart 1        20 tarts of 10 g; tarts in batches of 12, 8; glaze in batches of 150 g, 50 g
//             └──> tart 2 ◄── glaze 2
TEST_CASE("at once and within hold between each pair of batches that exchange food (h)") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "brush", takes = "4 min", with = { glaze = { each = "10 g", rest = "2 min", within = "10 min" } } }]
[[component]]
name  = "glaze"
makes = "150 g"
keeps = "30 min"
steps = [{ name = "warm", takes = "6 min", keeps = "10 min" }]
)",
                                            20));
    const Expansion expansion = expansion_of(plan);
    CHECK(lags_text(expansion) == Lines{"bun.1.brush - 16 <= glaze.1.warm", "bun.1.brush - 36 <= glaze.1.warm",
                                        "bun.1.brush <= bun.2.brush", "bun.2.brush - 16 <= glaze.1.warm",
                                        "bun.2.brush - 16 <= glaze.2.warm", "bun.2.brush - 36 <= glaze.1.warm",
                                        "bun.2.brush - 36 <= glaze.2.warm", "glaze.1.warm + 8 <= bun.1.brush",
                                        "glaze.1.warm + 8 <= bun.2.brush", "glaze.1.warm <= glaze.2.warm",
                                        "glaze.2.warm + 8 <= bun.2.brush"});
    CHECK(users_text(expansion, "glaze.1.warm") == Lines{"bun.1.brush", "bun.2.brush"});
    CHECK(users_text(expansion, "glaze.2.warm") == Lines{"bun.2.brush"});
    CHECK(waiting_text(expansion) == Lines{"bun.1.brush -> @5040 12", "bun.2.brush -> @5040 8",
                                           "glaze.1.warm -> bun.1.brush 12", "glaze.1.warm -> bun.2.brush 3",
                                           "glaze.2.warm -> bun.2.brush 5"});
}

TEST_CASE("a bare `after` across components (c): pairs that exchange food, or else every batch with every batch") {
    const std::string strangers = plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "bake", takes = "4 min", after = { step = "floor.sweep", rest = "1 min", within = "1 h" }, with = { dough = 1 } }]
[[component]]
name  = "dough"
makes = "12 pieces"
steps = [{ name = "mix", takes = "3 min", after = "floor.sweep" }, { name = "rest", takes = "5 min" }]
[[component]]
name  = "floor"
makes = "12 pieces"
steps = [{ name = "sweep", takes = "2 min", keeps = "3 h" }]
[[order]]
name = "Next door"
pickup = 2026-10-03T12:00:00
items = { floor = 13 }
)",
                                                13);
    const Expansion expansion = expansion_of(strangers);
    CHECK(lags_text(expansion, "floor") == Lines{"bun.1.bake - 62 <= floor.1.sweep", "bun.1.bake - 62 <= floor.2.sweep",
                                                 "bun.2.bake - 62 <= floor.1.sweep", "bun.2.bake - 62 <= floor.2.sweep",
                                                 "floor.1.sweep + 2 <= dough.1.mix", "floor.1.sweep + 2 <= dough.2.mix",
                                                 "floor.1.sweep + 3 <= bun.1.bake", "floor.1.sweep + 3 <= bun.2.bake",
                                                 "floor.1.sweep <= floor.2.sweep", "floor.2.sweep + 2 <= dough.1.mix",
                                                 "floor.2.sweep + 2 <= dough.2.mix", "floor.2.sweep + 3 <= bun.1.bake",
                                                 "floor.2.sweep + 3 <= bun.2.bake"});
    CHECK(users_text(expansion, "floor.1.sweep") == Lines{"bun.1.bake", "bun.2.bake", "dough.1.mix", "dough.2.mix"});
    // Order alone carries no food.
    for (const std::string& line : waiting_text(expansion))
        CHECK(line.find("floor.1.sweep -> bun") == std::string::npos);

    // bun 1 draws dough 1, bun 2 draws dough 2: only those pairs.
    const Expansion friends = expansion_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "dust", takes = "1 min", after = "dough.mix" }, { name = "bake", takes = "4 min", with = { dough = 1 } }]
[[component]]
name  = "dough"
makes = "12 pieces"
steps = [{ name = "mix", takes = "3 min", keeps = "1 h" }, { name = "rest", takes = "5 min" }]
)",
                                                         13));
    CHECK(lags_text(friends, "dough") == Lines{"dough.1.mix + 3 <= bun.1.dust", "dough.1.mix + 3 <= dough.1.rest",
                                               "dough.1.rest + 5 <= bun.1.bake", "dough.1.rest <= dough.2.rest",
                                               "dough.2.mix + 3 <= bun.2.dust", "dough.2.mix + 3 <= dough.2.rest",
                                               "dough.2.rest + 5 <= bun.2.bake"});
    CHECK(users_text(friends, "dough.1.mix") == Lines{"bun.1.dust", "dough.1.rest"});
}

//   case: bake 1 [0,8) ──> bake 2 [8,12), the rest is quicker: each bun waits for both, and is no longer than the
//   case keeps behind the first of them
TEST_CASE("whoever draws on a batch needs all its loads") {
    const Expansion expansion = expansion_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "fill", takes = "4 min", with = { case = 1 } }]
[[component]]
name  = "case"
makes = "12 pieces"
keeps = "1 h"
best_within = "30 min"
steps = [{ name = "bake", takes = "10 min", each = "1 min", oven = "180 C", tray = 2 }]
)"));
    CHECK(lags_text(expansion) == Lines{"bun.1.fill - 74 <= case.1.bake.2", "bun.1.fill - 78 <= case.1.bake.1",
                                        "case.1.bake.1 + 18 <= bun.1.fill", "case.1.bake.1 <= case.1.bake.2",
                                        "case.1.bake.2 + 14 <= bun.1.fill"});
    CHECK(waiting_text(expansion) ==
          Lines{"bun.1.fill -> @5040 12", "case.1.bake.1 -> bun.1.fill 8", "case.1.bake.2 -> bun.1.fill 4"});
    REQUIRE(expansion.project.freshness.size() == 1);
    CHECK(expansion.project.freshness[0].makers.size() == 2);
    CHECK(expansion.project.freshness[0].users == std::vector<ActivityId>{activity_named(expansion, "bun.1.fill")});
    CHECK(expansion.project.freshness[0].last_time == -1);
}

//   bun bake 1 [0,8) ──draws── case 1 [0,6), case 2 [6,12)
//   bun bake 2 [8,12) ─draws── case 2
TEST_CASE("a step done load by load draws only on the batches that its pieces meet (y)") {
    const Expansion expansion = expansion_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "bake", takes = "10 min", oven = "180 C", tray = 2, with = { case = 1 } }]
[[component]]
name  = "case"
makes = "6 pieces"
steps = [{ name = "line", takes = "3 min" }]
)"));
    CHECK(lags_text(expansion, "case") == Lines{"case.1.line + 3 <= bun.1.bake.1", "case.1.line <= case.2.line",
                                                "case.2.line + 3 <= bun.1.bake.1", "case.2.line + 3 <= bun.1.bake.2"});
    CHECK(waiting_text(expansion) == Lines{"bun.1.bake.1 -> @5040 8", "bun.1.bake.2 -> @5040 4",
                                           "case.1.line -> bun.1.bake.1 6", "case.2.line -> bun.1.bake.1 2",
                                           "case.2.line -> bun.1.bake.2 4"});
}

TEST_CASE("batches are numbered as they get ready: the first loads in order, and the last (v)") {
    const Expansion expansion =
        expansion_of(buns(R"({ name = "bake", takes = "10 min", oven = "180 C", tray = 2 })", 20));
    CHECK(lags_text(expansion) ==
          Lines{"bun.1.bake.1 <= bun.1.bake.2", "bun.1.bake.1 <= bun.2.bake.1", "bun.1.bake.2 <= bun.2.bake.1"});
}

TEST_CASE("every lag says why it is there") {
    const Expansion expansion = expansion_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix", takes = "4 min" },
  { name = "shape", takes = "4 min", rest = "90 min", within = "2 days" },
  { name = "bake", takes = "10 min", at_once = true, oven = "180 C", tray = 1 },
  { name = "brush", takes = "1 min", with = { glaze = { each = "8 g", rest = "1 min", within = "10 min" } } },
]
[[component]]
name  = "glaze"
makes = "1 kg"
keeps = "1h30m"
steps = [{ name = "cook", takes = "5 min", cooked = true }, { name = "chill", takes = "20 min", chill = true, keeps = "1 day" }]
)",
                                                           24));
    Lines texts;
    for (const Promise& promise : expansion.promises) texts.push_back(promise.text);
    for (const Lag& lag : expansion.project.lags) {
        CAPTURE(expansion.project.activities[lag.from].name);
        CHECK(lag.promise >= 0);
        CHECK(lag.promise < static_cast<PromiseId>(expansion.promises.size()));
    }
    for (const Promise& promise : expansion.promises) CHECK(promise.place.line > 0);
    std::sort(texts.begin(), texts.end());
    CHECK(texts == Lines{"Ladder Street is done 15 min before its pickup",
                         "batches of bun get ready in the order of their numbers", "bun / bake comes after bun / shape",
                         "bun / bake follows bun / shape at once", "bun / brush comes after bun / bake",
                         "bun / brush starts within 10 min of glaze", "bun / brush waits at least 1 min after glaze",
                         "bun / shape starts within 2 days of bun / mix",
                         "bun / shape waits at least 1 h 30 min after bun / mix",
                         "glaze / chill comes after glaze / cook", "glaze / chill keeps 1 day",
                         "glaze / cook is cooked and goes into the cold within 1 h 30 min (rule \"90-minutes\")",
                         "glaze keeps 1 h 30 min", "loads of bun / bake go one after the other",
                         "loads of bun / shape go one after the other"});
}

}  // namespace
}  // namespace oventide::test
