// The day itself: what is announced, what happens, what is left; and that no entry is ever lost.
#include <doctest/doctest.h>
#include <signal.h>

#include <fstream>
#include <future>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "cli/run.hpp"
#include "cli/small_plan.hpp"

namespace {

using oventide::test::Call;
using oventide::test::Folder;
using oventide::test::kSmallPlan;
using oventide::test::replaced;
using oventide::test::Result;
using oventide::test::run;
using oventide::test::small_plan_with;

std::string text_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

/// A plan in a folder of its own, and its journal. Without an order for it the clock stands at 13:00, summer time,
/// on the day of the pickup.
struct Day {
    Folder folder;
    std::string plan = folder.file("day.toml", kSmallPlan);
    std::string now = "2026-10-03T12:00Z";

    Call call(std::vector<std::string> words) const {
        words.insert(words.begin() + 1, plan);
        return {.words = std::move(words), .environment = {{"OVENTIDE_NOW", now}}};
    }
    Result tell(std::vector<std::string> words) const { return run(call(std::move(words))); }
    std::string journal() const { return text_of(folder.path("day.journal")); }
};

/// The page's lines as one.
std::string unfolded(const std::string& page) {
    std::string line;
    for (const char letter : page)
        if (letter != '\n' && (letter != ' ' || (!line.empty() && line.back() != ' ')))
            line += letter;
        else if (letter == '\n' && !line.empty() && line.back() != ' ')
            line += ' ';
    return line;
}

// Invented figures, but for the limits: FDA Food Code, section 3-501.14(A), 57 to 21 C in 2 h, to 5 C in 6 h.
TEST_CASE(
    "a day: probe readings of a chill say when it is cold, what does not fit, and what the food-safety rule makes of "
    "it") {
    Day day;
    day.plan = day.folder.file("day.toml", R"(timezone = "Europe/London"
safety = "us-food-code"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
hob = [{ rings = 2 }]
fridge = [{ shelves = 4, air = "3 C" }]
[[order]]
name = "Lunch"
pickup = 2026-10-03T16:00:00
items = { custard = "2 kg" }
[[component]]
name = "custard"
makes = "2 kg"
steps = [
  { name = "cook",  takes = "20 min", hands = true, uses = "hob", cooked = true },
  { name = "chill", takes = "3 h", keeps = "1 day", chill = true, within = "20 min", uses = "fridge", cools = { from = "80 C", to = "5 C", depth = "1 cm" } },
]
)");
    CHECK(day.tell({"publish"}).code == 0);
    const auto chills = [&](const std::string& note) {
        const Result result = day.tell({"replan", "--json", "--note", note});
        CHECK_MESSAGE(result.code == 0, result.errors);
        return nlohmann::json::parse(result.output)["chills"];
    };
    const Result soon = day.tell({"replan", "--dry-run", "--note", "spread custard.1.chill 5 mm"});
    CHECK(
        soon.errors.find("custard.1.chill is not noted to have begun: how deep it lies counts only from when it has") !=
        std::string::npos);
    // 12:25 cook, 12:45 chill. 12:46: nothing is measured, its depth alone tells.
    day.now = "2026-10-03T11:46Z";
    const auto unread = chills("on-time");
    REQUIRE(unread.size() == 1);
    CHECK(unread[0]["readings"] == 0);
    CHECK_FALSE(unread[0]["likely"].is_null());

    day.now = "2026-10-03T11:50Z";
    chills("probe custard.1.chill 70");
    day.now = "2026-10-03T12:40Z";
    const auto warm = chills("probe custard.1.chill 45");
    CHECK(warm[0]["readings"] == 2);
    CHECK(warm[0]["likely"]["minutes"] > unread[0]["likely"]["minutes"]);
    CHECK(warm[0]["limits"][0]["limit"] == "57 C to 21 C within 2 h");
    // The chill is what is collected, at 16:00: no earlier than it is cold.
    const std::int64_t pickup = 29850660;  // minutes since the epoch
    REQUIRE(warm[0]["late_if_latest"].size() == 1);
    CHECK(warm[0]["late_if_latest"][0]["minutes"] == warm[0]["latest"]["minutes"].get<std::int64_t>() - pickup);
    CHECK(unread[0]["late_if_latest"].empty());
    CHECK(warm[0]["limits"][0]["standing"] == "likely too late");

    day.now = "2026-10-03T13:00Z";
    const auto mistyped = chills("probe custard.1.chill 83");
    REQUIRE(mistyped[0]["doubted"].size() == 1);
    CHECK(mistyped[0]["doubted"][0]["celsius"] == 83.0);
    CHECK(mistyped[0]["likely"] == warm[0]["likely"]);
    const Result page = day.tell({"replan"});
    CHECK(page.output.find("does not fit the other readings") != std::string::npos);
    CHECK(page.output.find("LIKELY TOO LATE") != std::string::npos);
    CHECK(page.output.find("local rules and a trained person decide") != std::string::npos);
    CHECK(page.output.find("Lunch is late") != std::string::npos);
    CHECK(page.output.find("If custard: chill takes until 19:") != std::string::npos);
    CHECK(page.output.find("is safe") == std::string::npos);

    // Half as deep from 14:00 on. Half as thick a slab needs a quarter of the time where conduction holds it back, and
    // half where the air does (Newton's law of cooling; Fourier's number): at most half of what it had to wait.
    const auto thin = chills("spread custard.1.chill 5 mm");
    CHECK(thin[0]["likely"]["minutes"] < warm[0]["likely"]["minutes"]);
    const std::int64_t spread = 29850660 - 120;
    const std::int64_t had = warm[0]["likely"]["minutes"].get<std::int64_t>() - spread;
    CHECK(2 * (thin[0]["likely"]["minutes"].get<std::int64_t>() - spread) <= had + 2);
    CHECK(unfolded(day.tell({"replan"}).output).find(", spread thinner 14:00") != std::string::npos);
    // Noted as announced it was cold when the page said that it would be, not when the plan had it.
    const std::int64_t cold = thin[0]["likely"]["minutes"];
    const std::int64_t then = 15 * 60 + cold + 10 - pickup;
    const auto two = [](std::int64_t figure) { return (figure < 10 ? "0" : "") + std::to_string(figure); };
    const std::string before = std::exchange(day.now, "2026-10-03T" + two(then / 60) + ":" + two(then % 60) + "Z");
    const Result done = day.tell({"replan", "--dry-run", "--json", "--note", "on-time"});
    const auto chill = nlohmann::json::parse(done.output)["steps"][1];
    CHECK(chill["state"] == "finished");
    CHECK(chill["ready"]["minutes"] == cold);
    day.now = before;
    CHECK(day.tell({"note", "spread", "custard.1.cook", "1", "cm"})
              .errors.find("does not say how custard.1.cook cools") != std::string::npos);
    CHECK(day.tell({"note", "spread", "custard.1.chill", "thin"}).code == 2);
    CHECK(day.journal().find("spread custard.1.chill at 2026-10-03T14:00+01:00 5mm") != std::string::npos);

    // Two hours after 57 C it is warmer than 21 C.
    day.now = "2026-10-03T14:10Z";
    const auto late = chills("probe custard.1.chill 23");
    CHECK(late[0]["limits"][0]["standing"] == "broken");
}

TEST_CASE("a day: published, noted, replanned") {
    Day day;
    const Result published = day.tell({"publish"});
    CHECK(published.code == 0);
    CHECK(published.output == "published: 2 steps, entry 1 of " + day.folder.path("day.journal") + "\n");

    const Result calm = day.tell({"replan"});
    CHECK(calm.code == 0);
    CHECK(calm.output.find("Every pickup can be kept. Nothing changes.") != std::string::npos);
    const std::string before = day.journal();

    // 15:11 mix, 15:23 bake, 15:45 done, 16:00 pickup: it runs 4 minutes long.
    day.now = "2026-10-03T14:11Z";
    CHECK(day.tell({"note", "started", "plum-tart.1.mix"}).code == 0);
    day.now = "2026-10-03T14:20Z";
    const Result shifted = day.tell({"replan", "--note", "runs-long plum-tart.1.mix 4"});
    CHECK(shifted.code == 0);
    CHECK(shifted.errors == "noted: 3 2026-10-03T15:20+01:00 will-end plum-tart.1.mix at 2026-10-03T15:27+01:00\n");
    CHECK(shifted.output.find("Every pickup can be kept. The order of work stays.") != std::string::npos);
    CHECK(shifted.output.find("15:23 15:27 plum tart: bake") != std::string::npos);
    CHECK(day.journal().rfind(before, 0) == 0);

    // What changed was announced, so that nothing changes any more.
    CHECK(day.tell({"replan"}).output.find("Nothing changes.") != std::string::npos);
}

TEST_CASE(
    "an oven that is lent: what is noted of the only one so far counts on, or it is said first that it does not") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    REQUIRE(day.tell({"note", "broken", "oven", "until", "17:00"}).code == 0);
    CHECK(day.tell({"replan", "--dry-run"}).output.find("borrow another oven, as big: every pickup is kept") !=
          std::string::npos);

    const std::string own = "[[kitchen.oven]]\nname = \"own oven\"\n";
    const std::string lent =
        "[[kitchen.oven]]\nname = \"lent oven\"\ntrays = 2\nheats = \"10 C/min\"\ncools = \"5 C/min\"\n\n[[order]]";
    day.plan = day.folder.file(
        "day.toml", oventide::test::replaced(small_plan_with("[[kitchen.oven]]\n", own), "\n[[order]]", lent));
    const Result both = day.tell({"replan", "--dry-run"});
    CHECK(both.errors.find("what is noted of 'oven' counts for own oven, the first oven in the plan") !=
          std::string::npos);
    CHECK(both.output.find("Every pickup can be kept") != std::string::npos);
    CHECK(both.output.find("lent oven to 180 C") != std::string::npos);
    CHECK(unfolded(both.output).find("own oven to 180 C no more") != std::string::npos);
    CHECK(both.output.find("does not count") == std::string::npos);

    // By another name it is another machine.
    REQUIRE(day.tell({"note", "broken", "own oven", "until", "17:10"}).code == 0);
    day.plan =
        day.folder.file("day.toml", small_plan_with("[[kitchen.oven]]\n", "[[kitchen.oven]]\nname = \"oven two\"\n"));
    const std::string page = unfolded(day.tell({"replan", "--dry-run"}).output);
    const std::size_t said = page.find("Entry 3 does not count: the plan has no 'own oven'.");
    REQUIRE(said != std::string::npos);
    CHECK(said < page.find("Pickups"));
}

TEST_CASE("what holds up two pickups is said once") {
    Day day;
    day.plan =
        day.folder.file("day.toml", small_plan_with("{ \"plum tart\" = 12 }",
                                                    "{ \"plum tart\" = 6 }\n[[order]]\nname = \"Table two\"\n"
                                                    "pickup = 2026-10-03T16:10:00\nitems = { \"plum tart\" = 6 }"));
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T15:00Z";
    const std::string page = unfolded(day.tell({"replan", "--dry-run"}).output);
    const std::string follows = "plum tart: bake: follows plum tart: mix";
    const std::size_t once = page.find(follows);
    REQUIRE(once != std::string::npos);
    CHECK(page.find(follows, once + 1) == std::string::npos);
    CHECK(page.find("Table two is late") > once);
    CHECK(page.find("Held up by what holds up Table one, above.") != std::string::npos);
}

TEST_CASE("of a day in which only what runs ends later it is said that nothing else changes") {
    Day day;
    day.plan = day.folder.file("day.toml", R"(timezone = "Europe/London"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
hob = [{ rings = 2 }]
[[order]]
name = "Lunch"
pickup = 2026-10-03T16:00:00
items = { stock = "2 kg" }
[[component]]
name = "stock"
makes = "2 kg"
steps = [{ name = "simmer", takes = "2 h", uses = "hob" }]
)");
    day.now = "2026-10-03T11:00Z";
    REQUIRE(day.tell({"publish"}).code == 0);
    REQUIRE(day.tell({"note", "started", "stock.1.simmer"}).code == 0);
    day.now = "2026-10-03T11:10Z";
    const std::string page = unfolded(day.tell({"replan", "--dry-run", "--note", "broken hob until 12:20"}).output);
    CHECK(page.find("Every pickup can be kept. Nothing changes but that what stood still ends later.") !=
          std::string::npos);
}

TEST_CASE("somebody who helps and an order that is cut short go into the plan, and what was noted counts on") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    REQUIRE(day.tell({"note", "away", "Ada", "until", "16:00"}).code == 0);
    CHECK(day.tell({"replan", "--dry-run"}).output.find("Table one is late") != std::string::npos);
    day.plan = day.folder.file(
        "day.toml", small_plan_with("[[kitchen.oven]]",
                                    "[[kitchen.crew]]\nname = \"Ben\"\nhours = \"13:00-18:00\"\n[[kitchen.oven]]"));
    CHECK(day.tell({"replan", "--dry-run"}).output.find("Every pickup can be kept") != std::string::npos);

    // Two batches were announced: of the one that is no more all steps are named at once.
    day.plan = day.folder.file("day.toml", small_plan_with("= 12 }", "= 24 }"));
    REQUIRE(day.tell({"note", "undo", "2"}).code == 0);
    REQUIRE(day.tell({"replan"}).code == 0);
    day.plan = day.folder.file("day.toml", kSmallPlan);
    const std::string page = unfolded(day.tell({"replan", "--dry-run"}).output);
    CHECK(page.find("The journal names 2 steps of 'plum-tart.2' that the plan does not have: plum-tart.2.mix and "
                    "plum-tart.2.bake.1.") != std::string::npos);
}

TEST_CASE("a probe's unit may stand there, close or not; without one it is degrees Celsius") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"30C"}, {"30", "C"}, {"30"}, {"30 C"}, {"30C", "at", "12:50"}}) {
        std::vector<std::string> note{"note", "probe", "plum-tart.1.mix"};
        note.insert(note.end(), words.begin(), words.end());
        const Result result = day.tell(note);
        CHECK_MESSAGE(result.code == 0, result.errors);
        CHECK_MESSAGE(result.output.find(" 30C\n") != std::string::npos, result.output);
    }
}

TEST_CASE("a time is on the day that is meant: a pickup's near the pickup, an end after the beginning") {
    Day day;
    day.now = "2026-10-02T19:00Z";  // the evening before, 20:00 summer time
    REQUIRE(day.tell({"publish"}).code == 0);
    const std::pair<std::vector<std::string>, std::string> rows[] = {
        {{"pickup", "Table one", "15:30"}, "at 2026-10-03T15:30+01:00"},
        {{"away", "Ada", "until", "19:30"}, "until 2026-10-03T19:30+01:00"},
        {{"away", "Ada", "till", "19:45"}, "until 2026-10-03T19:45+01:00"},
        {{"comes", "Ada", "05:30"}, "stays Ada at 2026-10-03T05:30+01:00 until 2026-10-03T06:00+01:00"},
        {{"stays", "Ada", "until", "20:10"}, "stays Ada at 2026-10-02T20:00+01:00 until 2026-10-02T20:10+01:00"},
        {{"stays", "Ada", "20:10"}, "stays Ada at 2026-10-02T20:00+01:00 until 2026-10-02T20:10+01:00"},
        {{"stays", "Ada", "at", "20:05", "until", "20:10"},
         "stays Ada at 2026-10-02T20:05+01:00 until 2026-10-02T20:10+01:00"}};
    for (const auto& [words, says] : rows) {
        std::vector<std::string> note{"note"};
        note.insert(note.end(), words.begin(), words.end());
        const Result result = day.tell(note);
        CHECK_MESSAGE(result.output.find(says) != std::string::npos, result.output, result.errors);
    }
}

TEST_CASE("what is mended and was not broken is noted, and doubted") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    const Result never = day.tell({"note", "mended", "oven"});
    CHECK(never.code == 0);
    CHECK(never.errors.find("oven is not noted to have broken") != std::string::npos);
    REQUIRE(day.tell({"note", "broken", "oven"}).code == 0);
    CHECK(day.tell({"note", "mended", "oven"}).errors == "");
}

TEST_CASE("the words of a note's kind may stand apart") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:20Z";
    CHECK(day.tell({"note", "on", "time"}).code == 0);
    const Result longer = day.tell({"note", "runs", "long", "plum-tart.1.mix", "5"});
    CHECK_MESSAGE(longer.output.find("will-end plum-tart.1.mix") != std::string::npos, longer.errors);
}

TEST_CASE("on-time with nothing new is no mistake: the other notes count") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    const Result both = day.tell({"replan", "--note", "on-time", "--note", "away Ada until 13:20"});
    CHECK(both.code == 0);
    CHECK(both.errors.find("on-time: all that was announced until now is noted already") != std::string::npos);
    CHECK(day.journal().find("left Ada") != std::string::npos);
    const Result alone = day.tell({"note", "on-time"});
    CHECK(alone.code == 0);
    CHECK(alone.output == "");
}

TEST_CASE("an option that takes one value takes one each time: the plan may stand behind it") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    CHECK(run({.words = {"replan", "--note", "away Ada until 13:20", "--note", "back Ada", day.plan},
               .environment = {{"OVENTIDE_NOW", day.now}}})
              .code == 0);
    CHECK(run({.words = {"checklist", "--person", "Ada", day.plan}}).code == 0);
    CHECK(run({.words = {"calendar", "--person", "Ada", day.plan}}).code == 0);
}

TEST_CASE("what is next counts the oven; a late cook is told who must stay, and a question is asked in so many words") {
    Day day;
    day.plan = day.folder.file("day.toml", small_plan_with("\"06:00-20:00\"", "[\"Sat 06:00-15:50\"]"));
    REQUIRE(day.tell({"publish"}).code == 0);
    const Result calm = day.tell({"replan"});
    CHECK(calm.output.find("* switch on, 180 C") != std::string::npos);
    CHECK(calm.output.find("* switch off") != std::string::npos);
    day.now = "2026-10-03T14:20Z";  // 15:20: 34 minutes of work, the oven is on, and the hours end 15:50
    const std::string before = day.journal();
    const Result late = day.tell({"replan"});
    CHECK(late.code == 1);
    CHECK(late.output.find("Ada must stay until 15:54 (the hours end 15:50)") != std::string::npos);
    CHECK(late.output.find("Pickups") != std::string::npos);
    CHECK(day.journal() == before);
    const Result refused = day.tell({"timetable", "--replanned"});
    CHECK(refused.code == 1);
    CHECK(refused.errors.find("there is one once this is so, and noted: 'stays Ada until 15:54'") != std::string::npos);
    const Result misplaced = day.tell({"replan", "--replanned"});
    CHECK(misplaced.code == 2);
    CHECK(misplaced.errors.find("'--replanned' is for: timetable,") != std::string::npos);
    const Result stays = day.tell({"replan", "--note", "stays Ada until 15:54"});
    for (const char* command : {"timetable", "checklist", "calendar", "sheet", "weigh"})
        CHECK_MESSAGE(day.tell({command, "--replanned"}).code == 0, command);
    CHECK(stays.code == 0);
    CHECK(stays.output.find("Every pickup can be kept.") != std::string::npos);
    const Result asked = day.tell({"replan", "--note", "finished plum-tart.1.bake"});
    CHECK(unfolded(asked.output).find("Is that so? If it is, note 'right ") != std::string::npos);
}

TEST_CASE("hours of every day: what would go over night is said, and who would have to stay so that it does not") {
    Day day;
    day.plan = day.folder.file("day.toml", small_plan_with("\"06:00-20:00\"", "\"06:00-15:50\""));
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:30Z";  // 15:30: mixed at 15:23, and the bake would take until 15:52
    REQUIRE(day.tell({"note", "started", "plum-tart.1.mix", "at", "15:11"}).code == 0);
    const Result night = day.tell({"replan", "--dry-run", "--note", "finished plum-tart.1.mix at 15:23"});
    const std::string page = unfolded(night.output);
    for (const std::string says : {"LATE: one pickup cannot be kept. Food stands over night.",
                                   "plum tart: mix: ready 15:23, and not used before", "A caution, no verdict",
                                   "Ada stays until 15:52, 2 min longer: every pickup is kept, and no food stands over",
                                   "Note 'stays Ada until 15:52'"})
        CHECK_MESSAGE(page.find(says) != std::string::npos, night.output);
    CHECK(page.find("not there, or not hot") == std::string::npos);
    const Result stays =
        day.tell({"replan", "--note", "finished plum-tart.1.mix at 15:23", "--note", "stays Ada until 15:52"});
    CHECK(stays.output.find("Every pickup can be kept.") != std::string::npos);
}

TEST_CASE(
    "what nobody noted: a rest on the bench has begun by itself, a bake has not, and the answer says how to note it") {
    Day day;
    const std::string bake = "  { name = \"bake\"";
    const std::string rest = "  { name = \"rest\", takes = \"30 min\", keeps = \"20 min\" },\n";
    day.plan = day.folder.file("day.toml", small_plan_with(bake, rest + bake));
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:30Z";  // 14:41 mix, 14:53 rest, 15:23 bake
    REQUIRE(day.tell({"note", "started", "plum-tart.1.mix", "at", "14:41"}).code == 0);
    const std::string page =
        unfolded(day.tell({"replan", "--dry-run", "--note", "finished plum-tart.1.mix at 14:53"}).output);
    for (const std::string says :
         {"ready plum tart: rest", "plum tart: rest: taken as begun by itself at 14:53",
          "note 'started plum-tart.1.rest at TIME'", "plum tart: rest: ready at 15:23, as expected",
          "plum tart: bake: should have started at 15:23, and nothing is noted; taken as not started. If it has, note "
          "'started plum-tart.1.bake.1 at 15:23'"})
        CHECK_MESSAGE(page.find(says) != std::string::npos, page);
    // What has begun by itself is noted with the rest.
    const std::string noted =
        day.tell({"replan", "--dry-run", "--json", "--note", "finished plum-tart.1.mix at 14:53", "--note", "on-time"})
            .output;
    CHECK(nlohmann::json::parse(noted)["steps"][1]["by_itself"] == false);
    CHECK(nlohmann::json::parse(noted)["steps"][1]["state"] == "finished");
    // While the mix is under way it is the mix that takes longer, and not the rest that should have started.
    const std::string mixing =
        unfolded(day.tell({"replan", "--dry-run", "--note", "ready plum-tart.1.mix 15:35"}).output);
    CHECK(mixing.find("plum tart: rest: should have started") == std::string::npos);
}

TEST_CASE("on-time, right after a page that asked whether all happened as announced, is of what was announced before") {
    const auto states = [](const Day& day) {
        return nlohmann::json::parse(day.tell({"replan", "--dry-run", "--json", "--note", "on-time"}).output)["steps"];
    };
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:40Z";  // 15:11 mix, 15:23 bake
    const auto unasked = states(day);
    REQUIRE(unasked[1]["state"] == "running");
    const Result asked = day.tell({"replan"});
    REQUIRE(asked.output.find("Then note 'on-time'") != std::string::npos);
    REQUIRE(asked.output.find("later") != std::string::npos);
    day.now = "2026-10-03T14:42Z";
    CHECK(states(day)[1]["start"] == unasked[1]["start"]);
    day.now = "2026-10-03T14:55Z";  // by then somebody may have done as the page said
    CHECK(states(day)[1]["start"] != unasked[1]["start"]);
}

TEST_CASE("on-time, after a page of any note that asked whether all happened as announced; but not if it did not ask") {
    const auto states = [](const Day& day) {
        return nlohmann::json::parse(day.tell({"replan", "--dry-run", "--json", "--note", "on-time"}).output)["steps"];
    };
    for (const std::string note : {"away Ada at 18:30", "pickup Table one 16:45", "broken oven at 18:00"}) {
        CAPTURE(note);
        Day day;
        REQUIRE(day.tell({"publish"}).code == 0);
        day.now = "2026-10-03T14:40Z";
        const auto unasked = states(day);
        for (const std::string more : {"14:40", "14:41"}) {
            day.now = "2026-10-03T" + more + "Z";
            const Result asked = day.tell({"replan", "--note", note});
            REQUIRE_MESSAGE(unfolded(asked.output).find("should have") != std::string::npos, asked.output,
                            asked.errors);
        }
        day.now = "2026-10-03T14:42Z";
        CHECK(states(day)[1]["start"] == unasked[1]["start"]);
    }
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:15Z";
    REQUIRE(
        day.tell({"replan", "--note", "on-time", "--note", "runs-long plum-tart.1.mix 1"}).output.find("Then note") ==
        std::string::npos);
    day.now = "2026-10-03T14:19Z";
    const auto later = states(day);
    CHECK(later[0]["state"] == "running");  // a minute longer, as was said
}

TEST_CASE("a pickup that moves to a time that is past is asked about") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:15Z";
    CHECK(day.tell({"note", "pickup", "Table one", "16:30"}).errors == "");
    const Result past = day.tell({"note", "pickup", "Table one", "15:00"});
    CHECK(past.code == 0);
    CHECK(past.errors.find("15:00 is past: is that when Table one is collected?") != std::string::npos);
}

TEST_CASE("on-time leaves out what somebody was to do who was away, though others have been told to do it since") {
    Day day;
    const std::string ben = "[[kitchen.crew]]\nname  = \"Ben\"\nhours = \"15:35-20:00\"\n[[kitchen.oven]]\n";
    day.plan = day.folder.file("day.toml", small_plan_with("[[kitchen.oven]]\n", ben));
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:40Z";  // 15:11 mix, 15:23 bake, both by Ada
    const Result asked =
        day.tell({"replan", "--note", "started plum-tart.1.mix at 15:11", "--note", "away Ada at 15:20 until 17:30"});
    REQUIRE_MESSAGE(unfolded(asked.output).find("was to be ready") != std::string::npos, asked.output, asked.errors);
    day.now = "2026-10-03T14:41Z";
    const Result told = day.tell({"replan", "--dry-run", "--json", "--note", "on-time"});
    CHECK_MESSAGE(told.errors.find("plum-tart.1.bake.1 started: Ada is away") != std::string::npos, told.errors);
    CHECK(nlohmann::json::parse(told.output)["steps"][1]["state"] == "waiting");
}

TEST_CASE("what was begun the evening before is noted by its time of the day; an hour ahead is a slip") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T06:51Z";  // 07:51
    CHECK(day.tell({"note", "started", "plum-tart.1.mix", "at", "19:47"}).code == 0);
    CHECK(day.journal().find("started plum-tart.1.mix at 2026-10-02T19:47+01:00") != std::string::npos);
    const Result slip = day.tell({"note", "finished", "plum-tart.1.mix", "at", "08:50"});
    CHECK(slip.code != 0);
    CHECK(slip.errors.find("is still to come") != std::string::npos);
}

TEST_CASE("somebody is back before their hours go on: perhaps they come sooner than the plan has it") {
    Day day;
    day.plan = day.folder.file(
        "day.toml", oventide::test::replaced(kSmallPlan, "\"06:00-20:00\"", "[\"06:00-13:40\", \"14:50-20:00\"]"));
    REQUIRE(day.tell({"publish"}).code == 0);
    const auto doubt = [&](const std::string& until) {
        const Result told = day.tell({"note", "away", "Ada", "until", until});
        CHECK(told.code == 0);
        return told.errors;
    };
    CHECK(doubt("13:20") == "");
    CHECK(doubt("13:40") == "");
    CHECK(doubt("14:10").find("Ada has no hours at 14:10, and works from 14:50; who is back before that: "
                              "'comes Ada 14:10'") != std::string::npos);
    CHECK(doubt("14:50") == "");
    CHECK(doubt("19:00") == "");
    CHECK(doubt("20:30") == "");
}

TEST_CASE("several commands at once: each reckons from what the others have noted") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:15Z";  // 15:11 mix, 15:23 ready
    REQUIRE(day.tell({"note", "on-time"}).code == 0);
    std::vector<std::future<Result>> told;
    for (int minutes = 1; minutes <= 8; ++minutes)
        told.push_back(std::async(std::launch::async, [&day, minutes] {
            const std::string longer = std::to_string(minutes);
            if (minutes % 2 == 0) return day.tell({"replan", "--note", "runs-long plum-tart.1.mix " + longer});
            return day.tell({"note", "runs-long", "plum-tart.1.mix", longer});
        }));
    for (auto& one : told) CHECK(one.get().errors.find("quicker") == std::string::npos);
    // 36 minutes in all, whoever came first.
    const std::string journal = day.journal();
    const std::size_t last = journal.rfind("will-end plum-tart.1.mix at ");
    REQUIRE(last != std::string::npos);
    CHECK(journal.substr(last, 44) == "will-end plum-tart.1.mix at 2026-10-03T15:59");
    REQUIRE(day.tell({"replan"}).code == 0);
    CHECK(nlohmann::json::parse(day.tell({"replan", "--json"}).output)["changes"].empty());
}

TEST_CASE("on-time notes as well what must have happened before what is noted") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:40Z";
    const Result unsaid = day.tell({"replan", "--note", "started plum-tart.1.bake.1 at 15:23"});
    CHECK(unsaid.output.find("plum tart: mix: not noted, but what needs it has started") != std::string::npos);
    const Result said = day.tell({"replan", "--note", "on-time"});
    CHECK(said.output.find("not noted") == std::string::npos);
    CHECK(day.journal().find("finished plum-tart.1.mix at 2026-10-03T15:23") != std::string::npos);
}

TEST_CASE("on-time does not say that somebody did what they were away for") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:40Z";
    const Result noted =
        day.tell({"replan", "--dry-run", "--note", "away Ada at 15:00 until 15:30", "--note", "on-time"});
    CHECK(noted.errors.find("not noted: plum-tart.1.mix started: Ada is away") != std::string::npos);
}

TEST_CASE("an oven that breaks with food in it: the answer says what it takes for true, and what to note") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:25Z";  // 15:23 bake, 15:45 done
    // It loses 50 C in ten minutes, and heats by 10 C a minute.
    const Result broken = day.tell({"replan", "--note", "on-time", "--note", "broken oven until 15:35"});
    CHECK(broken.code == 0);
    for (const std::string says :
         {"is in the oven while that is broken, 15:25 to 15:35", "ready 16:00 instead of 15:45",
          "'undo 4' takes its start back", "Switch the oven on again at 15:35"})
        CHECK_MESSAGE(unfolded(broken.output).find(says) != std::string::npos, broken.output);
    const Result answered = day.tell({"replan", "--note", "ready plum-tart.1.bake 15:47"});
    CHECK(answered.output.find("Mind") == std::string::npos);
    CHECK(answered.output.find("15:47") != std::string::npos);
}

TEST_CASE("a dry run records nothing, and shows what the real one would") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    const std::string before = day.journal();
    day.now = "2026-10-03T14:30Z";
    const Result dry = day.tell({"replan", "--dry-run", "--note", "started plum-tart.1.mix", "--json"});
    CHECK(dry.code == 0);
    CHECK(dry.errors == "");
    CHECK(day.journal() == before);
    const Result real = day.tell({"replan", "--note", "started plum-tart.1.mix", "--json"});
    CHECK(real.output == dry.output);
    CHECK(day.journal() != before);
    CHECK(nlohmann::json::parse(real.output)["way"] == "shifted");
}

TEST_CASE("a pickup that cannot be kept is said to be late, by how much and why") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:40Z";  // 15:40, and nothing has been begun: 12 and 22 minutes to go
    const Result late = day.tell({"replan"});
    CHECK(late.code == 0);
    CHECK(late.output.find("LATE: one pickup cannot be kept.") != std::string::npos);
    CHECK(late.output.find("14 min late: the earliest found is 16:14") != std::string::npos);
    CHECK(late.output.find("plum tart: mix: cannot start before now") != std::string::npos);
    CHECK(late.output.find("plum tart: mix: should have started at 15:11") != std::string::npos);
}

TEST_CASE("a pickup that is late because of a chill: to spread it thinner is among what helps, and helps once noted") {
    Day day;
    day.plan = day.folder.file("day.toml", R"(timezone = "Europe/London"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
fridge = [{ shelves = 4 }]
[[order]]
name = "Lunch"
pickup = 2026-10-03T16:00:00
items = { custard = "2 kg" }
[[component]]
name = "custard"
makes = "2 kg"
steps = [
  { name = "pour",  takes = "10 min", hands = true },
  { name = "chill", takes = "3 h", uses = "fridge", cools = { from = "60 C", to = "10 C", depth = "2 cm" } },
  { name = "cut",   takes = "10 min", hands = true },
]
)");
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T12:00Z";
    REQUIRE(day.tell({"note", "on-time"}).code == 0);
    const auto ways = [&](const std::vector<std::string>& notes) {
        std::vector<std::string> words{"replan", "--json"};
        for (const std::string& note : notes) words.insert(words.end(), {"--note", note});
        const Result result = day.tell(words);
        REQUIRE(result.code == 0);
        return nlohmann::json::parse(result.output);
    };
    const auto late = ways({"ready custard.1.chill 17:30"});
    CHECK(late["pickups"][0]["spare"] < 0);
    REQUIRE(!late["ways"].empty());
    const auto& spread = late["ways"][0];
    CHECK(spread["kind"] == "spread");
    CHECK(spread["what"] == "custard.1.chill");
    CHECK(spread["late"].empty());
    CHECK(spread["spread"]["millimetres"] == 10);  // half of it: no thinner than it must be
    CHECK(unfolded(day.tell({"replan", "--dry-run"}).output).find("spread custard: chill to 1 cm") !=
          std::string::npos);
    const auto spread_out = ways({"spread custard.1.chill 1cm"});
    CHECK(spread_out["pickups"][0]["spare"] >= 0);
    CHECK(spread_out["ways"].empty());
}

TEST_CASE("what cannot be noted is refused, says why, and is not in the journal") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    const std::string before = day.journal();
    const struct {
        std::string name;
        std::vector<std::string> words;
        std::string says;
    } rows[] = {
        {"nothing", {"note"}, "what has happened?"},
        {"no kind", {"note", "finshed", "plum-tart.1.mix"}, "did you mean 'finished'?"},
        {"no step", {"note", "started", "plum-tart.1.mux"}, "perhaps: plum-tart.1.mix"},
        {"several steps", {"note", "started", "plum"}, "several steps begin with 'plum'"},
        {"no time", {"note", "ready", "plum-tart.1.mix", "5"}, "write it like 05:10"},
        {"no equipment", {"note", "broken", "kiln"}, "it has: oven"},
        {"nobody", {"note", "away", "Bede"}, "it has: Ada"},
        {"not under way", {"note", "runs-long", "plum-tart.1.mix", "5"}, "note first when it started"},
        {"a whole night long", {"note", "runs-long", "plum-tart.1.mix", "9999"}, "no number of minutes"},
        {"no temperature", {"note", "probe", "plum-tart.1.mix", "warm"}, "write it like 21.5"},
        {"a time without at", {"note", "started", "plum-tart.1.mix", "12:30"}, "'at' is lacking"},
        {"a time without until", {"note", "away", "Ada", "14:30"}, "'until' or 'at' is lacking"},
        {"a time with a point", {"note", "away", "Ada", "until", "8.30"}, "'8.30' is not a time of the day"},
        {"stays for ever", {"note", "stays", "Ada"}, "until when does Ada stay?"},
        {"comes after all hours", {"note", "comes", "Ada", "21:00"}, "until when?"},
        {"undone what is not there", {"note", "undo", "77"}, "77"},
        {"a note for the replan", {"replan", "--note", "started plum-tart.1.mux"}, "perhaps: plum-tart.1.mix"},
        {"a dry note", {"replan", "--dry-run", "--note", "undo 77"}, "77"},
    };
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) {
            const Result result = day.tell(row.words);
            CHECK(result.code == 2);
            CHECK(result.output == "");
            CHECK_MESSAGE(result.errors.find(row.says) != std::string::npos, result.errors);
            CHECK(day.journal() == before);
        }
    }
}

TEST_CASE("no timetable was published, no journal for standard input, no such time") {
    Day day;
    const Result unpublished = day.tell({"replan"});
    CHECK(unpublished.code == 2);
    CHECK(unpublished.errors.find("'oventide publish") != std::string::npos);
    CHECK(run({.words = {"note", "-", "started", "x"}, .input = kSmallPlan}).errors.find("no journal") !=
          std::string::npos);
    day.now = "soon";
    CHECK(day.tell({"publish"}).errors.find("OVENTIDE_NOW") != std::string::npos);
}

TEST_CASE("a damaged journal is not touched, and the place is named") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    std::string text = day.journal();
    text[text.find("published") + 1] = 'x';
    text += "2 is not an entry\n";
    day.folder.file("day.journal", text);
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"note", "away", "Ada"}, {"replan"}, {"publish"}}) {
        const Result result = day.tell(words);
        CHECK(result.code == 3);
        CHECK(result.errors.find("line 2") != std::string::npos);
        CHECK(day.journal() == text);
    }
}

/// The lines of a journal that are entries, whole.
int entries_in(const std::string& journal) {
    std::istringstream lines(journal);
    int count = 0;
    for (std::string line; std::getline(lines, line);)
        count += !line.empty() && line[0] >= '0' && line[0] <= '9' && line.find(" #") != std::string::npos;
    return count;
}

/// A command that ends midway: whatever was in the journal is still there, whatever it said that it noted is there
/// now, and the next command goes on from there.
void check_nothing_lost(const Day& day, const std::string& before, const Result& ended) {
    const std::string after = day.journal();
    CHECK(after.rfind(before, 0) == 0);
    const std::string said = ended.output + ended.errors;
    const std::size_t noted = said.find("noted: ");
    if (noted != std::string::npos && said.find('\n', noted) != std::string::npos) {
        const std::size_t from = noted + std::string("noted: ").size();
        CHECK(after.find(said.substr(from, said.find('\n', noted) - from)) != std::string::npos);
    }
}

TEST_CASE("a disk that is full after any byte: nothing is lost, and the cook is told") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    REQUIRE(day.tell({"note", "away", "Ada", "until", "13:30"}).code == 0);
    const std::string before = day.journal();
    REQUIRE(day.tell({"note", "back", "Ada"}).code == 0);
    const std::size_t most = day.journal().size();
    for (std::size_t bytes = before.size(); bytes <= most; ++bytes) {
        CAPTURE(bytes);
        day.folder.file("day.journal", before);
        Call call = day.call({"note", "back", "Ada"});
        call.file_bytes = static_cast<int>(bytes);
        const Result full = run(call);
        CHECK(full.code == (bytes < most ? 3 : 0));
        if (bytes < most) CHECK(full.errors.find("the disk is full; nothing was recorded") != std::string::npos);
        check_nothing_lost(day, before, full);
        // Room again: the entry goes in behind what is left of the first attempt.
        const Result again = day.tell({"note", "mended", "oven"});
        CHECK(again.code == 0);
        CHECK(day.journal().rfind(before, 0) == 0);
        CHECK(day.tell({"replan", "--dry-run"}).code == 0);
    }
}

TEST_CASE("killed at any point, a few hundred times over: no entry is ever lost") {
    Day day;
    REQUIRE(day.tell({"publish"}).code == 0);
    int killed = 0, ended = 0, torn = 0;
    int microseconds = 500;
    for (int k = 0; k < 300; ++k) {
        CAPTURE(k);
        const std::string before = day.journal();
        Call call = day.call(k % 2 == 0 ? std::vector<std::string>{"note", "away", "Ada", "until", "13:30"}
                                        : std::vector<std::string>{"replan", "--note", "back Ada"});
        call.kill_after_microseconds = microseconds;
        const Result result = run(call);
        check_nothing_lost(day, before, result);
        killed += result.signal == SIGKILL || result.code == 128 + SIGKILL;
        ended += result.code == 0;
        torn += entries_in(day.journal()) == entries_in(before) && day.journal() != before;
        // The longest wait after which it is still killed is found by trial, whatever the machine.
        microseconds = result.code == 0 ? microseconds / 2 + 500 : microseconds + microseconds / 8;
    }
    CHECK(killed > 50);
    CHECK(ended > 20);
    MESSAGE(killed, " killed, ", ended, " ended by themselves, ", torn, " left an entry half written");
    const Result after = day.tell({"replan", "--note", "back Ada"});
    CHECK(after.code == 0);
}

}  // namespace

TEST_CASE("after a replan every command that shows the day says which it shows, and shows the day as it stands") {
    Day day;
    day.now = "2026-10-02T18:00Z";
    CHECK(day.tell({"timetable", "--replanned"}).code == 2);  // nothing is published
    REQUIRE(day.tell({"publish"}).code == 0);
    CHECK(day.tell({"timetable"}).errors.find("as it stands") == std::string::npos);
    day.now = "2026-10-03T14:12Z";  // 15:12, and it is mixed since 15:11
    REQUIRE(day.tell({"replan", "--note", "on-time", "--note", "runs-long plum-tart.1.mix 4"}).code == 0);
    const std::string before = day.journal();
    for (const std::string command : {"timetable", "checklist", "weigh", "sheet", "calendar"}) {
        CAPTURE(command);
        const Result planned = day.tell({command});
        const std::string here = "oventide " + command + " " + day.plan + " --replanned\n";
        CHECK(planned.errors == "oventide: this is the day as planned; as it stands now: " + here);
        const Result stands = day.tell({command, "--replanned"});
        CHECK(stands.code == 0);
        CHECK(stands.errors == "");
        CHECK(stands.output != planned.output);
        if (command != "calendar") CHECK(stands.output.find("As it stands Sat 3 Oct 15:12") != std::string::npos);
        CHECK(stands.output.find("Chills that have begun") == std::string::npos);  // there are none
    }
    CHECK(day.journal() == before);
    CHECK(day.tell({"timetable", "--replanned"}).output.find("begun\n") != std::string::npos);
    CHECK(day.tell({"checklist", "--replanned", "--json"}).output.find("\"as_of\": {") != std::string::npos);
    CHECK(day.tell({"checklist", "--json"}).output.find("\"as_of\": null") != std::string::npos);
}

/// By step: what its row in the sheet's timetable says last.
std::map<std::string, std::string> slips_of(const std::string& sheet) {
    std::map<std::string, std::string> slips;
    const std::string table =
        sheet.substr(sheet.find("<h2>Timetable"), sheet.find("class=\"checklist\"") - sheet.find("<h2>Timetable"));
    for (std::size_t at = table.find("class=\"id"); at != std::string::npos; at = table.find("class=\"id", at + 1)) {
        const std::size_t id = table.find("<bdi>", at) + 5, slip = table.find("<td class=\"slip\">", at) + 17;
        slips[table.substr(id, table.find('<', id) - id)] = table.substr(slip, table.find("</td>", slip) - slip);
    }
    return slips;
}

TEST_CASE("a replanned sheet says how far what is still to come can slip") {
    Day day;
    day.now = "2026-10-02T18:00Z";
    REQUIRE(day.tell({"publish"}).code == 0);
    const auto planned = slips_of(day.tell({"sheet"}).output);
    CHECK(planned.size() == 2);
    CHECK(slips_of(day.tell({"sheet", "--replanned"}).output) == planned);  // nothing has happened yet
    // Mixed since 15:11.
    day.now = "2026-10-03T14:12Z";
    REQUIRE(day.tell({"note", "on-time"}).code == 0);
    auto stands = slips_of(day.tell({"sheet", "--replanned"}).output);
    CHECK(stands.at("plum-tart.1.mix") == "begun");
    stands.erase("plum-tart.1.mix");
    for (const auto& [step, slip] : stands) CHECK(slip == planned.at(step));
    REQUIRE(day.tell({"note", "runs-long", "plum-tart.1.mix", "40"}).code == 0);
    const std::string late = day.tell({"sheet", "--replanned"}).output;
    CHECK(late.find("What is late is made no later.") != std::string::npos);
    auto none = slips_of(late);
    none.erase("plum-tart.1.mix");
    for (const auto& [step, slip] : none) CHECK_MESSAGE(slip == "0", step);
}

TEST_CASE("an oven that is broken until nobody knows when: every command shows the day, and what waits has no time") {
    Day day;
    const std::string items = "\"plum tart\" = 12";
    day.plan = day.folder.file("day.toml", small_plan_with(items, items + ", \"cream\" = 12") + R"(
[[component]]
name  = "cream"
makes = "12 pieces"
steps = [{ name = "whip", takes = "5 min", hands = true }]
)");
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:05Z";  // 15:05
    REQUIRE(day.tell({"note", "broken", "oven"}).code == 0);
    for (const char* command : {"timetable", "checklist"}) {
        const Result shown = day.tell({command, "--replanned"});
        CHECK_MESSAGE(shown.code == 0, shown.errors);
        const std::string page = unfolded(shown.output);
        CHECK(page.find("Table one: waits for the oven") != std::string::npos);
        CHECK(page.find("Waits for the oven, broken since Sat 3 Oct 15:05, nobody knows until when: plum tart: bake "
                        "[plum-tart.1.bake.1]") != std::string::npos);
        CHECK(page.find("cream: whip") != std::string::npos);
        CHECK(page.find("into oven") == std::string::npos);
        CHECK(page.find("switch on") == std::string::npos);
    }
    const auto json = nlohmann::json::parse(day.tell({"timetable", "--replanned", "--json"}).output);
    CHECK(json["pickups"][0]["done"].is_null());
    REQUIRE(json["waiting"].size() == 1);
    CHECK(json["waiting"][0]["id"] == "plum-tart.1.bake.1");
    const std::string sheet = day.tell({"sheet", "--replanned"}).output;
    CHECK(sheet.find("waits for the oven") != std::string::npos);
    CHECK(sheet.find("Slip is not told: it hangs on what has no time yet.") != std::string::npos);
    CHECK(sheet.find("plum tart: bake [plum-tart.1.bake.1]") != std::string::npos);
    CHECK(day.tell({"calendar", "--replanned"}).output.find("switch on") == std::string::npos);
    CHECK(day.tell({"weigh", "--replanned"}).code == 0);
}

TEST_CASE("the calendar of a replanned day has the same identifiers, on other times, past midnight too") {
    Day day;
    day.now = "2026-10-02T18:00Z";
    REQUIRE(day.tell({"publish"}).code == 0);
    const auto lines = [](const std::string& text, const std::string& begin) {
        std::multiset<std::string> found;
        std::istringstream all(text);
        for (std::string line; std::getline(all, line);)
            if (line.rfind(begin, 0) == 0) found.insert(line);
        return found;
    };
    const std::string told = day.tell({"calendar"}).output;
    REQUIRE(day.tell({"note", "pickup", "Table one", "02:30"}).code == 0);
    REQUIRE(day.tell({"replan", "--note", "away Ada until 17:00"}).code == 0);
    const std::string now = day.tell({"calendar", "--replanned"}).output;
    CHECK(lines(told, "UID:") == lines(now, "UID:"));
    CHECK(lines(told, "DTSTART:") != lines(now, "DTSTART:"));
}

TEST_CASE("on-time notes nothing that a broken oven, or a step that is not ready, forbids") {
    Day day;
    day.now = "2026-10-02T18:00Z";
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:13Z";
    REQUIRE(day.tell({"note", "on-time"}).code == 0);
    SUBCASE("broken") {
        REQUIRE(day.tell({"note", "broken", "oven"}).code == 0);
        day.now = "2026-10-03T14:30Z";
        const Result noted = day.tell({"note", "on-time"});
        CHECK(noted.code == 0);
        CHECK(noted.errors == "oventide: not noted: plum-tart.1.bake.1 started: oven is broken\n");
        CHECK(noted.output.find("finished plum-tart.1.mix") != std::string::npos);
    }
    SUBCASE("not ready") {
        REQUIRE(day.tell({"note", "runs-long", "plum-tart.1.mix", "20"}).code == 0);
        day.now = "2026-10-03T14:30Z";
        const Result noted = day.tell({"note", "on-time"});
        CHECK(noted.code == 0);
        CHECK(noted.errors ==
              "oventide: not noted: plum-tart.1.bake.1 started: plum-tart.1.mix, which it needs, is not ready\n"
              "oventide: on-time: all that was announced until now is noted already\n");
        CHECK(day.journal().find("started plum-tart.1.bake") == std::string::npos);
    }
}

TEST_CASE("what is said of one step comes before on-time, wherever it stands; what waited for it is as much later") {
    Day day;
    day.now = "2026-10-02T18:00Z";
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T14:30Z";
    const auto note = [&](std::vector<std::string> notes) {
        std::vector<std::string> words{"replan"};
        for (std::string& one : notes) {
            words.emplace_back("--note");
            words.push_back(std::move(one));
        }
        return day.tell(std::move(words));
    };
    SUBCASE("finished sooner than announced") {
        const Result noted = note({"on-time", "finished plum-tart.1.mix at 15:20", "started plum-tart.1.mix at 15:11"});
        CHECK_MESSAGE(noted.code == 0, noted.errors);
        CHECK(day.journal().find("finished plum-tart.1.mix at 2026-10-03T15:20+01:00") != std::string::npos);
        CHECK(day.journal().find("started plum-tart.1.bake.1 at 2026-10-03T15:23+01:00") != std::string::npos);
    }
    SUBCASE("begun later than announced") {
        const Result noted = note({"on-time", "started plum-tart.1.mix at 15:15"});
        CHECK_MESSAGE(noted.code == 0, noted.errors);
        CHECK(day.journal().find("finished plum-tart.1.mix at 2026-10-03T15:27+01:00") != std::string::npos);
        CHECK(day.journal().find("started plum-tart.1.bake.1 at 2026-10-03T15:27+01:00") != std::string::npos);
    }
    SUBCASE("one of them cannot be: none is recorded") {
        const std::string before = day.journal();
        CHECK(note({"started plum-tart.1.mix at 15:11", "finished plum-tart.1.mix at 15:05"}).code == 2);
        CHECK(note({"on-time", "broken hob"}).code == 2);
        CHECK(day.journal() == before);
    }
    SUBCASE("the same once more is no mistake") {
        REQUIRE(note({"on-time"}).code == 0);
        const Result again = note({"finished plum-tart.1.mix at 15:23"});
        CHECK(again.code == 0);
        CHECK(again.errors.find("already noted: entry 3\n") != std::string::npos);
        CHECK(note({"finished plum-tart.1.mix at 15:24"}).code == 2);
    }
}

TEST_CASE("an order is raised beyond what can be done: the day for the rest is shown, and nothing of it announced") {
    Day day;
    const std::string text =
        replaced(kSmallPlan, "makes = \"12 pieces\"\n", "makes = \"12 pieces\"\nbest_within = \"2 days\"\n");
    const std::string dated = replaced(replaced(text, "\"06:00-20:00\"", "[\"Thu 06:00-20:00\", \"Sat 06:00-20:00\"]"),
                                       "name = \"mix\", takes = \"12 min\", hands = true }",
                                       "name = \"mix\", takes = \"12 min\", hands = true },\n  { name = \"soak\", "
                                       "takes = \"40 h\", keeps = \"1 day\" }");
    day.plan = day.folder.file("day.toml", dated);
    REQUIRE(day.tell({"publish"}).code == 0);
    day.now = "2026-10-03T06:00Z";
    REQUIRE(day.tell({"note", "on-time"}).code == 0);
    day.folder.file("day.toml", replaced(dated, "\"plum tart\" = 12", "\"plum tart\" = 20"));
    const std::string before = day.journal();
    const Result result = day.tell({"replan"});
    CHECK(result.code == 1);
    CHECK(result.output.find("NO TIMETABLE for all that is ordered") != std::string::npos);
    CHECK(unfolded(result.output).find("Table one: 12 plum tart instead of 20.") != std::string::npos);
    CHECK(result.output.find("plum tart: bake") != std::string::npos);
    CHECK(day.journal() == before);
    CHECK(day.tell({"checklist", "--replanned"}).code == 1);

    day.folder.file("day.toml", dated);
    CHECK(day.tell({"replan"}).code == 0);
}
