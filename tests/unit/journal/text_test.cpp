#include "journal/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "oventide/journal.hpp"
#include "unit/journal/sample.hpp"

using namespace oventide;
using namespace oventide::journal;
using sample::at;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t end = std::min(text.find('\n', from), text.size());
        lines.push_back(text.substr(from, end - from));
        from = end + 1;
    }
    return lines;
}

std::string joined(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) text += line + "\n";
    return text;
}

std::string without_seal(const std::string& line) { return line.substr(0, line.rfind(" #")); }

}  // namespace

TEST_CASE("journal: what is written can be read by a person") {
    const std::vector<std::string> lines = lines_of(sample::text());
    CHECK(without_seal(lines[0]) == "oventide journal 1 Europe/London");
    CHECK(without_seal(lines[1]) == "1 2026-10-03T05:30+01:00 published 60b1f8a1c2d3e4f5");
    CHECK(lines[2] ==
          "  tart-case.1.mix 2026-10-03T05:10+01:00 2026-10-03T05:22+01:00 2026-10-03T05:22+01:00 by Ada on mixer");
    CHECK(without_seal(lines[5]) == "2 2026-10-03T05:31+01:00 started tart-case.1.mix at 2026-10-03T05:12+01:00");
    CHECK(without_seal(lines[6]) == "3 2026-10-03T05:32+01:00 probe custard.1.chill at 2026-10-03T05:13+01:00 47.5C");
    CHECK(without_seal(lines[7]) == "4 2026-10-03T05:33+01:00 probe custard.1.chill at 2026-10-03T05:14+01:00 -1.25C");
    CHECK(without_seal(lines[9]) ==
          "6 2026-10-03T05:35+01:00 broken \"deck oven\" at 2026-10-03T05:15+01:00 until 2026-10-03T05:45+01:00");
    CHECK(without_seal(lines.back()) == "15 2026-10-03T05:44+01:00 taken-back 4");
}

TEST_CASE("journal: how deep food lies that was spread is in it to a thousandth of a millimetre") {
    const std::vector<Entry> entries{{1, sample::at(0), SpreadOut{"custard.1.chill", sample::at(0), 5'000}},
                                     {2, sample::at(1), SpreadOut{"custard.1.chill", sample::at(1), 12'501}}};
    std::string text = header_text("Europe/London");
    for (const Entry& entry : entries) text += entry_text(entry, sample::zone());
    CHECK(without_seal(lines_of(text)[1]) ==
          "1 2026-10-03T05:00+01:00 spread custard.1.chill at 2026-10-03T05:00+01:00 5mm");
    CHECK(parse(text).journal.entries == entries);
    const std::string none = "1 2026-10-03T05:00+01:00 spread custard.1.chill at 2026-10-03T05:00+01:00 0mm";
    CHECK(parse(header_text("Europe/London") + sealed(none)).damage);
}

TEST_CASE("journal: turns of ovens and washing up are announced too; an entry is confirmed") {
    Published published = sample::timetable();
    published.turns = {{"deck oven", sample::at(130), 180'000}, {"deck oven", sample::at(172), std::nullopt}};
    published.washing = {{"tart-case.1.mix", sample::at(22), sample::at(27), "Old \"Tom\""}};
    const std::vector<Entry> entries{{1, sample::at(0), published}, {2, sample::at(1), Confirmed{1}}};
    std::string text = header_text("Europe/London");
    for (const Entry& entry : entries) text += entry_text(entry, sample::zone());
    const std::vector<std::string> lines = lines_of(text);
    CHECK(lines[5] == "  oven \"deck oven\" 2026-10-03T07:10+01:00 180C");
    CHECK(lines[6] == "  oven \"deck oven\" 2026-10-03T07:52+01:00 off");
    CHECK(without_seal(lines[7]) ==
          R"(  wash tart-case.1.mix 2026-10-03T05:22+01:00 2026-10-03T05:27+01:00 "Old \"Tom\"")");
    CHECK(without_seal(lines[8]) == "2 2026-10-03T05:01+01:00 confirmed 1");
    const Parsed parsed = parse(text);
    CHECK_FALSE(parsed.damage);
    CHECK(parsed.journal.entries == entries);
}

TEST_CASE("journal: what is written is read back") {
    const Parsed parsed = parse(sample::text());
    CHECK_FALSE(parsed.damage);
    CHECK(parsed.journal.timezone == "Europe/London");
    CHECK(parsed.journal.entries == sample::entries());
    CHECK(parsed.journal.remnants.empty());
    CHECK(parsed.next_number == 16);
}

TEST_CASE("journal: the hour that a clock change repeats is told apart") {
    // Europe/London, 25 October 2026: 01:30 is 00:30Z and 01:30Z.
    using namespace std::chrono;
    const Instant first = Instant(sys_days(2026y / October / 25)) + Minutes(30);
    for (const Instant when : {first, first + hours(1)}) {
        const Entry entry{1, when, Started{"a.1.b", when}};
        const Parsed parsed = parse(header_text("Europe/London") + entry_text(entry, sample::zone()));
        REQUIRE(parsed.journal.entries.size() == 1);
        CHECK(parsed.journal.entries[0] == entry);
    }
}

TEST_CASE("journal: names with anything in them come back") {
    for (const std::string& name :
         {std::string("a b"), std::string("\""), std::string("\\x41"), std::string("\n\t\x01"),
          std::string("cr\xc3\xa8me"), std::string(""), std::string("  "), std::string("#12345678"),
          std::string(" #12345678"), std::string("at"), std::string(1, '\0')}) {
        const Entry entry{1, at(0), Broken{name, at(0), at(5)}};
        const Parsed parsed = parse(header_text("UTC") + entry_text(entry, sample::zone()));
        REQUIRE(parsed.journal.entries.size() == 1);
        CHECK(parsed.journal.entries[0] == entry);
    }
}

TEST_CASE("journal: cut off at every length, every whole entry is there and the rest is named") {
    const std::string text = sample::text();
    const std::vector<Entry> entries = sample::entries();
    std::vector<std::size_t> ends;  // of each entry, without its line end
    std::string written = header_text("Europe/London");
    for (const Entry& entry : entries) {
        written += entry_text(entry, sample::zone());
        ends.push_back(written.size() - 1);
    }
    for (std::size_t length = 0; length <= text.size(); ++length) {
        CAPTURE(length);
        const Parsed parsed = parse(std::string_view(text).substr(0, length));
        REQUIRE_FALSE(parsed.damage);
        const auto whole =
            static_cast<std::size_t>(std::ranges::count_if(ends, [&](std::size_t end) { return end <= length; }));
        REQUIRE(parsed.journal.entries.size() == whole);
        CHECK(std::equal(parsed.journal.entries.begin(), parsed.journal.entries.end(), entries.begin()));
        // Every byte that is not in an entry is in a remnant.
        const std::size_t header = header_text("Europe/London").size() - 1;
        const std::size_t counted = whole > 0 ? ends[whole - 1] : length >= header ? header : 0;
        const bool rest = text.substr(counted, length - counted).find_first_not_of('\n') != std::string::npos;
        CHECK(parsed.torn.empty() == !rest);
        std::string remains;
        for (const Remnant& remnant : parsed.torn) remains += remnant.text + "\n";
        if (rest) CHECK(remains.find(text.substr(counted + (counted > 0), length - counted - (counted > 0))) == 0);
    }
}

TEST_CASE("journal: zeros where data never reached the disk are a torn end") {
    const std::string text = sample::text();
    for (const std::size_t kept : {text.size() - 5, text.size() - 40, std::size_t{0}}) {
        std::string torn = text.substr(0, kept);
        torn.resize(text.size(), '\0');
        const Parsed parsed = parse(torn);
        CHECK_FALSE(parsed.damage);
        CHECK_FALSE(parsed.torn.empty());
        CHECK(parsed.journal.entries.size() == (kept == 0 ? 0 : 14));
    }
}

TEST_CASE("journal: a torn end whose last part reached the disk before its first") {
    const std::string before = header_text("Europe/London");
    const std::string entry = entry_text(sample::entries()[0], sample::zone());
    std::string torn = entry;
    std::fill(torn.begin(), torn.begin() + 100, '\0');
    const Parsed parsed = parse(before + torn);
    CHECK_FALSE(parsed.damage);
    CHECK(parsed.journal.entries.empty());
    CHECK_FALSE(parsed.torn.empty());
}

TEST_CASE("journal: any one byte changed anywhere is noticed and placed") {
    const std::string text = sample::text();
    const std::vector<Entry> entries = sample::entries();
    std::uint32_t line = 1;
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string changed = text;
        changed[i] = changed[i] == 'x' ? 'y' : 'x';
        CAPTURE(i);
        const Parsed parsed = parse(changed);
        const bool noticed = parsed.damage || !parsed.torn.empty();
        // The very last byte is the end of the last line, which nothing needs.
        REQUIRE((noticed || i + 1 == text.size()));
        if (parsed.damage) {
            // An entry of several lines is named by its first line, an end of line by the line that follows as well.
            CHECK(parsed.damage->line <= line + 1);
            CHECK(parsed.damage->line + 3 >= line);
        }
        CHECK(std::equal(parsed.journal.entries.begin(), parsed.journal.entries.end(), entries.begin()));
        if (text[i] == '\n') ++line;
    }
}

TEST_CASE("journal: a line that is lost, doubled or moved is damage") {
    const std::vector<std::string> lines = lines_of(sample::text());
    SUBCASE("lost") {
        std::vector<std::string> changed = lines;
        changed.erase(changed.begin() + 5);  // entry 2
        const Parsed parsed = parse(joined(changed));
        REQUIRE(parsed.damage);
        CHECK(parsed.damage->kind == Trouble::Kind::damaged);
        CHECK(parsed.damage->line == 6);
        CHECK(parsed.damage->message == "line 6 of the journal is entry 3 where entry 2 should be");
    }
    SUBCASE("doubled") {
        std::vector<std::string> changed = lines;
        changed.insert(changed.begin() + 5, lines[5]);
        CHECK(parse(joined(changed)).damage->line == 7);
    }
    SUBCASE("moved") {
        std::vector<std::string> changed = lines;
        std::swap(changed[5], changed[6]);
        CHECK(parse(joined(changed)).damage->line == 6);
    }
    SUBCASE("a row of the timetable lost") {
        std::vector<std::string> changed = lines;
        changed.erase(changed.begin() + 3);
        CHECK(parse(joined(changed)).damage->line == 2);
    }
}

TEST_CASE("journal: a line struck out by hand does not count, and is shown") {
    std::vector<std::string> lines = lines_of(sample::text());
    lines[6] = "! " + lines[6];  // entry 3
    const Parsed parsed = parse(joined(lines));
    REQUIRE_FALSE(parsed.damage);
    CHECK(parsed.journal.entries.size() == 14);
    REQUIRE(parsed.journal.remnants.size() == 1);
    CHECK(parsed.journal.remnants[0].line == 7);
    CHECK(parsed.journal.remnants[0].text == lines[6]);
    CHECK(parsed.torn.empty());

    // What is missing altogether can be given up by its number; as the last line too.
    lines[6] = "! 3";
    CHECK_FALSE(parse(joined(lines)).damage);
    lines.back() = "! " + lines.back();
    const Parsed last = parse(joined(lines));
    CHECK_FALSE(last.damage);
    CHECK(last.next_number == 16);
    CHECK(last.torn.empty());
}

TEST_CASE("journal: what is no journal, and what a later version wrote") {
    for (const std::string& text :
         {std::string("title = \"Harvest supper\"\n"), std::string("hello"), std::string("  x"),
          std::string("\xef\xbb\xbfoventide journal 1 UTC"), std::string("\n\nx\n")}) {
        const Parsed parsed = parse(text);
        REQUIRE(parsed.damage);
        CHECK(parsed.damage->kind == Trouble::Kind::not_journal);
    }
    const Parsed newer = parse(sealed("oventide journal 2 UTC"));
    REQUIRE(newer.damage);
    CHECK(newer.damage->kind == Trouble::Kind::newer);
    const Parsed unknown = parse(header_text("UTC") + sealed("1 2026-10-03T05:30+01:00 sang loudly"));
    REQUIRE(unknown.damage);
    CHECK(unknown.damage->kind == Trouble::Kind::newer);
    CHECK(unknown.damage->line == 2);
    CHECK_FALSE(parse("").damage);
}

TEST_CASE("journal: sealed lines that say nonsense") {
    for (const char* line : {"1",
                             "1 2026-10-03T05:30+01:00",
                             "x 2026-10-03T05:30+01:00 started a at 2026-10-03T05:30+01:00",
                             "1 2026-10-03T05:30 started a at 2026-10-03T05:30+01:00",
                             "1 2026-13-03T05:30+01:00 started a at 2026-10-03T05:30+01:00",
                             "1 2026-10-03T05:30+01:00 started a at 2026-02-30T05:30+01:00",
                             "1 2026-10-03T05:30+01:00 started a at 2026-10-03T25:30+01:00",
                             "1 2026-10-03T05:30+01:00 started a on 2026-10-03T05:30+01:00",
                             "1 2026-10-03T05:30+01:00 started a at 2026-10-03T05:30+01:00 x",
                             "1 2026-10-03T05:30+01:00 probe a at 2026-10-03T05:30+01:00 47",
                             "1 2026-10-03T05:30+01:00 probe a at 2026-10-03T05:30+01:00 C",
                             "1 2026-10-03T05:30+01:00 probe a at 2026-10-03T05:30+01:00 1.2345C",
                             "1 2026-10-03T05:30+01:00 probe a at 2026-10-03T05:30+01:00 99999999999C",
                             "1 2026-10-03T05:30+01:00 broken a at 2026-10-03T05:30+01:00 until",
                             "1 2026-10-03T05:30+01:00 broken a at 2026-10-03T05:30+01:00 till 2026-10-03T05:30+01:00",
                             "1 2026-10-03T05:30+01:00 published 0\n  oven mixer 2026-10-03T07:10+01:00",
                             "1 2026-10-03T05:30+01:00 published 0\n  oven mixer 2026-10-03T07:10+01:00 warm",
                             "1 2026-10-03T05:30+01:00 published 0\n  wash a.1.mix 2026-10-03T07:10+01:00 Ada",
                             "1 2026-10-03T05:30+01:00 confirmed",
                             "1 2026-10-03T05:30+01:00 taken-back",
                             "1 2026-10-03T05:30+01:00 taken-back -1",
                             "1 2026-10-03T05:30+01:00 taken-back 99999999999",
                             "1 2026-10-03T05:30+01:00 started \"a at 2026-10-03T05:30+01:00",
                             "1 2026-10-03T05:30+01:00 started \"\\q\" at 2026-10-03T05:30+01:00",
                             "1 2026-10-03T05:30+01:00 published f\n  a b c d",
                             "1 2026-10-03T05:30+01:00 started a at 2026-10-03T05:30+01:00\n  more",
                             "1 2026-10-03T05:30+01:00 published f\n  a 2026-10-03T05:30+01:00 2026-10-03T05:30+01:00 "
                             "2026-10-03T05:30+01:00 by"}) {
        CAPTURE(std::string(line));
        const Parsed parsed = parse(header_text("UTC") + sealed(line));
        CHECK(parsed.damage);
        CHECK(parsed.journal.entries.empty());
    }
}

TEST_CASE("journal: the fingerprint of a plan changes with every byte") {
    Sources plan{{{"harvest.toml", "title = \"x\"\n"}, {"kitchen.toml", "room = \"20 C\"\n"}}};
    const std::string before = fingerprint(plan);
    CHECK(before.size() == 16);
    CHECK(before == fingerprint(plan));
    plan.files[0].path = "elsewhere.toml";
    CHECK(before == fingerprint(plan));
    plan.files[1].text[3] = 'M';
    CHECK(before != fingerprint(plan));
    plan.files[1].text[3] = 'm';
    std::string& first = plan.files[0].text;
    plan.files[1].text.insert(plan.files[1].text.begin(), first.back());
    first.pop_back();
    CHECK(before != fingerprint(plan));
}

TEST_CASE("journal: what still stands, and the last timetable") {
    Journal journal;
    journal.entries = sample::entries();
    std::vector<std::int32_t> numbers;
    for (const Entry* entry : journal.standing()) numbers.push_back(entry->number);
    CHECK(numbers == std::vector<std::int32_t>{1, 2, 3, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14});
    REQUIRE(journal.published());
    CHECK(*journal.published() == sample::timetable());
    Published later = sample::timetable();
    later.steps.pop_back();
    journal.entries.push_back({15, at(60), later});
    CHECK(*journal.published() == later);
    CHECK(Journal{}.published() == nullptr);
}

TEST_CASE("journal: steps that an edited plan no longer has are named") {
    Journal journal;
    journal.entries = sample::entries();
    CHECK(unmatched(journal, {"tart-case.1.mix", "custard.1.chill", "tart-case.1.bake.2", "new.1.step"}).empty());
    CHECK(unmatched(journal, {"tart-case.1.mix"}) == std::vector<std::string>{"custard.1.chill", "tart-case.1.bake.2"});
    // An entry that was taken back asks for nothing.
    journal.entries = {{1, at(0), Started{"gone.1.step", at(0)}}, {2, at(1), TakenBack{1}}};
    CHECK(unmatched(journal, {}).empty());
}
