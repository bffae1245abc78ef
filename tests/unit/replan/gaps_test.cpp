#include "replan/gaps.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <utility>
#include <vector>

using namespace oventide;
using replan::Gaps;

namespace {

Instant at(int minute) { return Instant{} + Minutes{minute}; }

using Spans = std::vector<std::pair<Instant, Instant>>;

Spans spans_of(const Gaps& gaps) {
    Spans spans;
    for (const replan::Gap& gap : gaps.find()) spans.emplace_back(gap.from, gap.to);
    return spans;
}

Spans found(const std::vector<std::function<void(Gaps&)>>& notes) {
    Gaps gaps;
    for (const auto& note : notes) note(gaps);
    return spans_of(gaps);
}

auto begins(int from, int until, int recorded = 100, int entry = 1) {
    return [=](Gaps& gaps) { gaps.begins(at(from), at(until), at(recorded), entry); };
}
auto mended(int when) {
    return [=](Gaps& gaps) { gaps.ends(at(when), true); };
}
auto back(int when) {
    return [=](Gaps& gaps) { gaps.ends(at(when), false); };
}
auto stays(int from, int to, int recorded = 100, int entry = 9) {
    return [=](Gaps& gaps) { gaps.there({at(from), at(to)}, at(recorded), entry); };
}

}  // namespace

TEST_CASE("what happened first comes first, whatever was noted first") {
    CHECK(found({begins(0, 30), mended(10)}) == Spans{{at(0), at(10)}});
    CHECK(found({mended(10), begins(0, 30)}) == Spans{{at(0), at(10)}});
    CHECK(found({begins(20, 50), mended(10), begins(0, 30)}) == Spans{{at(0), at(10)}, {at(20), at(50)}});
    CHECK(found({begins(25, 60), begins(0, 30)}) == Spans{{at(0), at(60)}});
    CHECK(found({begins(0, 30), begins(25, 60)}) == Spans{{at(0), at(60)}});
}

TEST_CASE("who is back ends what has begun, and not what is still to begin") {
    CHECK(found({begins(0, 30), begins(40, 60), back(10)}) == Spans{{at(0), at(10)}, {at(40), at(60)}});
    CHECK(found({back(10), begins(40, 60), begins(0, 30)}) == Spans{{at(0), at(10)}, {at(40), at(60)}});
}

TEST_CASE("mended soon after it was to be: it took so long; long after, and for people: as was said") {
    CHECK(found({begins(0, 30), mended(45)}) == Spans{{at(0), at(45)}});
    CHECK(found({mended(45), begins(0, 30)}) == Spans{{at(0), at(45)}});
    CHECK(found({begins(0, 30), mended(61)}) == Spans{{at(0), at(30)}});
    CHECK(found({begins(0, 30), back(45)}) == Spans{{at(0), at(30)}});
}

TEST_CASE("of what contradicts itself what was said last counts") {
    CHECK(found({begins(0, 60, 0, 1), begins(0, 30, 5, 2)}) == Spans{{at(0), at(30)}});
    CHECK(found({begins(0, 30, 5, 2), begins(0, 60, 0, 1)}) == Spans{{at(0), at(30)}});
    // It began before it was first said to, and lasts until what was said then.
    CHECK(found({begins(10, 60, 10, 1), begins(0, 20, 15, 2)}) == Spans{{at(0), at(20)}});
    // Of one minute: as entered, for nothing else tells.
    CHECK(found({begins(10, 40), mended(10)}).empty());
    CHECK(found({mended(10), begins(10, 40)}) == Spans{{at(10), at(40)}});
}

TEST_CASE("who stays is not away then, unless that was said later, or of a time after they were to stay") {
    CHECK(found({begins(0, 60, 0), stays(20, 40, 10)}) == Spans{{at(0), at(20)}, {at(40), at(60)}});
    CHECK(found({begins(25, 60, 10), stays(20, 40, 0)}) == Spans{{at(25), at(60)}});
    for (const bool first : {false, true}) {  // said in one minute: whatever was entered first
        const auto away = begins(25, 30, 0);
        const auto there = stays(20, 40, 0);
        CHECK((first ? found({away, there}) : found({there, away})) == Spans{{at(25), at(30)}});
    }
    CHECK(found({begins(0, 60, 0, 1), stays(0, 60, 0, 2)}).empty());
}
