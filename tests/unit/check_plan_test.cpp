/// Mutation tests of the referee for plans: one whole day that is right, and for each rule the same day with that
/// rule kept by a hair, and broken by a hair; of the broken one the referee must name that rule and nothing else.

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include "oventide/check.hpp"

using namespace oventide;

namespace {

/// All times of these tests are minutes from one midnight.
constexpr std::int64_t kMidnight = 29'600'640;  // 2026-04-13 00:00 UTC
Instant at(std::int64_t minute) { return Instant{Minutes{kMidnight + minute}}; }
Span span(std::int64_t from, std::int64_t to) { return {at(from), at(to)}; }

constexpr PersonIndex kAda = 0;
constexpr PersonIndex kBo = 1;
constexpr EquipmentIndex kOven = 0;
constexpr EquipmentIndex kMixer = 1;
constexpr EquipmentIndex kFridge = 2;
constexpr EquipmentIndex kHob = 3;
constexpr EquipmentIndex kRack = 4;

Equipment equipment(std::string name, EquipmentKind kind, std::int32_t capacity) {
    Equipment one;
    one.name = std::move(name);
    one.kind = kind;
    one.capacity = capacity;
    return one;
}

Kitchen kitchen() {
    Kitchen one;
    one.crew = {{"Ada", {span(300, 1200)}, {}}, {"Bo", {span(360, 720)}, {}}};
    one.equipment = {equipment("oven", EquipmentKind::oven, 2), equipment("mixer", EquipmentKind::mixer, 1),
                     equipment("fridge", EquipmentKind::fridge, 2), equipment("hob", EquipmentKind::hob, 1),
                     equipment("rack", EquipmentKind::other, 1)};
    one.equipment[kOven].heats = 10'000;
    one.equipment[kOven].cools = 5'000;
    return one;
}

Step step(std::string name, std::int64_t minutes) {
    Step one;
    one.name = std::move(name);
    one.takes = {Minutes{minutes}, Minutes{minutes}, Minutes{minutes}};
    return one;
}

Use use(EquipmentIndex equipment_index) {
    Use one;
    one.choices = {equipment_index};
    return one;
}

Hands hands() { return {}; }
Hands first(std::int64_t minutes) {
    Hands one;
    one.lasts = Minutes{minutes};
    return one;
}
Hands last(std::int64_t minutes) {
    Hands one;
    one.counted_from = Hands::From::end;
    one.from = Minutes{-minutes};
    one.lasts = Minutes{minutes};
    return one;
}

After after(ComponentIndex component, StepIndex step_index) {
    After one;
    one.component = component;
    one.step = step_index;
    return one;
}
After at_once(ComponentIndex component, StepIndex step_index) {
    After one = after(component, step_index);
    one.within = Minutes{0};
    return one;
}

Amount pieces(std::int64_t count) { return {Amount::Unit::pieces, count}; }
Amount grams(std::int64_t count) { return {Amount::Unit::milligrams, count * 1000}; }

Bake bake(std::vector<Setting> programme, std::int64_t tray) {
    Bake one;
    one.ovens = {kOven};
    one.programme = std::move(programme);
    one.tray = pieces(tray);
    return one;
}
Setting setting(MilliCelsius degrees) { return {degrees * 1000, {}, false, {}}; }
Setting setting(MilliCelsius degrees, std::int64_t minutes) { return {degrees * 1000, Minutes{minutes}, false, {}}; }
Setting off(std::int64_t minutes) { return {{}, Minutes{minutes}, false, {}}; }

OvenEvent event(OvenEvent::Kind kind, std::int64_t minute, MilliCelsius degrees) {
    return {kind, kOven, at(minute), degrees * 1000};
}
OvenEvent event(OvenEvent::Kind kind, std::int64_t minute) { return {kind, kOven, at(minute), {}}; }

struct Day {
    Plan plan;
    Timetable table;

    Row& row(const std::string& id) {
        const auto found =
            std::find_if(table.rows.begin(), table.rows.end(), [&](const Row& one) { return one.id == id; });
        REQUIRE_MESSAGE(found != table.rows.end(), id);
        return *found;
    }

    Row& add(ComponentIndex component, std::int32_t batch, StepIndex step_index, std::int32_t load, std::int64_t from,
             std::int64_t amount, std::int64_t start, std::int64_t ready, std::int64_t end) {
        const Component& what = plan.components[component];
        Row one;
        one.id = what.name + "." + std::to_string(batch) + "." + what.steps[step_index].name +
                 (load > 0 ? "." + std::to_string(load) : "");
        one.component = component;
        one.step = step_index;
        one.batch = batch;
        one.load = load;
        one.from = from;
        one.amount = amount;
        one.start = at(start);
        one.ready = at(ready);
        one.end = at(end);
        table.rows.push_back(one);
        return table.rows.back();
    }

    /// A row and everything that it keeps busy, so much later.
    void shift(const std::string& id, std::int64_t minutes) {
        Row& one = row(id);
        for (Instant* instant : {&one.start, &one.ready, &one.end}) *instant += Minutes{minutes};
        for (EquipmentUse& each : one.equipment)
            each.span = {each.span.from + Minutes{minutes}, each.span.to + Minutes{minutes}};
        for (HandsUse& each : one.hands)
            each.span = {each.span.from + Minutes{minutes}, each.span.to + Minutes{minutes}};
    }

    /// What follows from the rows: the sorting and the alarm clock.
    void tidy() {
        std::sort(table.rows.begin(), table.rows.end(),
                  [](const Row& a, const Row& b) { return std::tie(a.start, a.id) < std::tie(b.start, b.id); });
        table.alarm.reset();
        const auto note = [&](Instant instant) { table.alarm = std::min(table.alarm.value_or(instant), instant); };
        for (const Row& one : table.rows)
            for (const HandsUse& each : one.hands) note(each.span.from);
        for (const OvenEvent& event : table.oven)
            if (event.kind == OvenEvent::Kind::on && !plan.kitchen.equipment[event.oven].timer) note(event.at);
        const Instant first = table.rows.empty() ? at(0) : table.rows.front().start;
        const std::int64_t value = table.alarm.value_or(first).time_since_epoch().count();
        table.goals = {{Aim::alarm, value, value + 5, false}};
    }
};

/// Two batches of tarts, one batch of cases in two loads, one batch of custard:
///
///     case:    mix 300-322 > rest 322-422 > bake 400-420, 422-442 > cool 420-435, 442-457
///     custard: boil 450-465 > chill 475-530
///     tart:    fill 520-530, 530-540 > set 530-720, 540-780 (pickups 720 and 780)
Day tart_day() {
    Day day;
    Plan& plan = day.plan;
    plan.from = at(0);
    plan.safety.rule = "90-minutes";
    plan.aim = {Aim::alarm};
    plan.kitchen = kitchen();

    Component tart_case;
    tart_case.name = "case";
    tart_case.makes = pieces(24);
    tart_case.steps = {step("mix", 10), step("rest", 60), step("bake", 20), step("cool", 15)};
    tart_case.steps[0].each = Seconds{30};
    tart_case.steps[0].hands = {hands()};
    tart_case.steps[0].uses = {use(kMixer)};
    tart_case.steps[0].uses[0].washed = true;
    tart_case.steps[0].wash = Wash{Minutes{5}, {}, {}};
    tart_case.steps[1].after = {after(0, 0)};
    tart_case.steps[1].keeps = Minutes{240};
    tart_case.steps[1].uses = {use(kFridge)};
    tart_case.steps[2].after = {after(0, 1)};
    tart_case.steps[2].by_load = true;
    tart_case.steps[2].bake = bake({setting(200, 10), setting(180)}, 6);
    tart_case.steps[2].hands = {first(2), last(2)};
    tart_case.steps[3].after = {at_once(0, 2)};
    tart_case.steps[3].by_load = true;
    tart_case.steps[3].uses = {use(kRack)};

    Component custard;
    custard.name = "custard";
    custard.makes = grams(1000);
    custard.steps = {step("boil", 15), step("chill", 40)};
    custard.steps[0].hands = {hands()};
    custard.steps[0].uses = {use(kHob)};
    custard.steps[0].uses[0].until = 1;
    custard.steps[0].cooked = true;
    custard.steps[1].after = {after(1, 0)};
    custard.steps[1].keeps = Minutes{120};
    custard.steps[1].uses = {use(kFridge)};
    custard.steps[1].chill = true;

    Component tart;
    tart.name = "tart";
    tart.makes = pieces(12);
    tart.keeps = Minutes{360};
    tart.best_within = Minutes{120};
    tart.steps = {step("fill", 10), step("set", 30)};
    tart.steps[0].hands = {hands()};
    Draw cases;
    cases.component = 0;
    cases.each = pieces(1);
    Draw filling;
    filling.component = 1;
    filling.each = grams(35);
    tart.steps[0].draws = {cases, filling};
    tart.steps[1].after = {after(2, 0)};
    tart.steps[1].keeps = Minutes{240};
    tart.steps[1].uses = {use(kFridge)};

    plan.components = {tart_case, custard, tart};
    plan.orders = {{"noon", at(720), Minutes{15}, {{2, 12, {}}}, {}}, {"one", at(780), Minutes{15}, {{2, 12, {}}}, {}}};

    Row* row = &day.add(0, 1, 0, 0, 0, 24, 300, 322, 322);
    row->equipment = {{kMixer, 1, span(300, 327)}};
    row->hands = {{kAda, span(300, 322), false}, {kAda, span(322, 327), true}};
    row = &day.add(0, 1, 1, 0, 0, 24, 322, 382, 422);
    row->equipment = {{kFridge, 1, span(322, 422)}};
    for (const std::int64_t load : {0, 1}) {
        const std::int64_t start = 400 + 22 * load;
        const auto number = static_cast<std::int32_t>(load) + 1;
        row = &day.add(0, 1, 2, number, 12 * load, 12, start, start + 20, start + 20);
        row->equipment = {{kOven, 2, span(start, start + 20)}};
        row->hands = {{kAda, span(start, start + 2), false}, {kAda, span(start + 18, start + 20), false}};
        row = &day.add(0, 1, 3, number, 12 * load, 12, start + 20, start + 35, start + 35);
        row->equipment = {{kRack, 1, span(start + 20, start + 35)}};
    }
    row = &day.add(1, 1, 0, 0, 0, 840'000, 450, 465, 465);
    row->equipment = {{kHob, 1, span(450, 475)}};
    row->hands = {{kBo, span(450, 465), false}};
    row = &day.add(1, 1, 1, 0, 0, 840'000, 475, 515, 530);
    row->equipment = {{kFridge, 1, span(475, 530)}};
    for (const std::int64_t batch : {0, 1}) {
        const auto number = static_cast<std::int32_t>(batch) + 1;
        const std::int64_t start = 520 + 10 * batch;
        row = &day.add(2, number, 0, 0, 0, 12, start, start + 10, start + 10);
        row->hands = {{kAda, span(start, start + 10), false}};
        row = &day.add(2, number, 1, 0, 0, 12, start + 10, start + 40, 720 + 60 * batch);
        row->equipment = {{kFridge, 1, span(start + 10, 720 + 60 * batch)}};
    }
    day.table.oven = {event(OvenEvent::Kind::on, 382, 200),  event(OvenEvent::Kind::hot, 400, 200),
                      event(OvenEvent::Kind::set, 410, 180), event(OvenEvent::Kind::set, 420, 200),
                      event(OvenEvent::Kind::hot, 422, 200), event(OvenEvent::Kind::set, 432, 180),
                      event(OvenEvent::Kind::off, 442)};
    day.table.handovers = {
        {0, 1, 2, 1, 0, 12}, {0, 1, 2, 2, 0, 12}, {1, 1, 2, 1, 0, 420'000}, {1, 1, 2, 2, 0, 420'000}};
    day.table.pickups = {{0, at(720), at(560), {{0, 1, 12}}}, {1, at(780), at(570), {{0, 2, 12}}}};
    day.tidy();
    return day;
}

std::string told(const std::vector<Violation>& violations) {
    std::string all = "told:\n";
    for (const Violation& one : violations) all += std::string(rule_name(one.rule)) + ": " + one.what + "\n";
    return all;
}

using Change = std::function<void(Day&)>;

struct Case {
    std::string name;
    Rule rule;
    Change kept;
    Change broken;
};

void same(Day&) {}

void judge(const Day& day, const Case& row) {
    SUBCASE(row.name.c_str()) {
        Day kept = day;
        row.kept(kept);
        kept.tidy();
        const auto none = check(kept.plan, kept.table);
        CHECK_MESSAGE(none.empty(), told(none));
        Day broken = day;
        row.broken(broken);
        broken.tidy();
        const auto found = check(broken.plan, broken.table);
        CHECK_MESSAGE(found.size() == 1, told(found));
        for (const Violation& violation : found) CHECK_MESSAGE(violation.rule == row.rule, told(found));
    }
}

/// The same, where putting the record in order would mend what is broken.
void judge_record(const Day& day, const std::string& name, const Change& broken) {
    SUBCASE(name.c_str()) {
        Day one = day;
        broken(one);
        const auto found = check(one.plan, one.table);
        CHECK_MESSAGE(found.size() == 1, told(found));
        for (const Violation& violation : found) CHECK_MESSAGE(violation.rule == Rule::record, told(found));
    }
}

/// Both ways of one case by one number: kept at `kept`, broken at `broken`.
Case by(std::string name, Rule rule, std::int64_t kept, std::int64_t broken,
        std::function<void(Day&, std::int64_t)> change) {
    return {std::move(name), rule, [=](Day& day) { change(day, kept); }, [=](Day& day) { change(day, broken); }};
}

}  // namespace

TEST_CASE("the tart day is right") {
    const Day day = tart_day();
    const auto found = check(day.plan, day.table);
    CHECK_MESSAGE(found.empty(), told(found));
}

TEST_CASE("durations") {
    const Case rows[] = {
        by("ready too late", Rule::duration, 0, 1,
           [](Day& day, std::int64_t by) { day.row("tart.1.set").ready += Minutes{by}; }),
        by("ready too early", Rule::duration, 0, 1,
           [](Day& day, std::int64_t by) { day.row("tart.1.set").ready -= Minutes{by}; }),
        by("a fixed step lasts on", Rule::duration, 0, 1,
           [](Day& day, std::int64_t by) { day.row("custard.1.boil").end += Minutes{by}; }),
        by("over before it is used", Rule::duration, 0, 1,
           [](Day& day, std::int64_t by) { day.row("custard.1.chill").end -= Minutes{by}; }),
        by("kept on after it was used", Rule::duration, 0, 1,
           [](Day& day, std::int64_t by) { day.row("case.1.rest").end += Minutes{by}; }),
        by("the last step is kept until the pickup", Rule::duration, 0, 1,
           [](Day& day, std::int64_t by) { day.row("tart.2.set").end -= Minutes{by}; }),
        by("keeps until the next step", Rule::duration, 40, 39,
           [](Day& day, std::int64_t keeps) { day.plan.components[0].steps[1].keeps = Minutes{keeps}; }),
        by("keeps until another component draws on it", Rule::duration, 15, 14,
           [](Day& day, std::int64_t keeps) {
               day.plan.components[1].steps[1].keeps = Minutes{keeps};
               day.plan.orders[1].pickup = at(720);  // so that the custard is still one batch
               day.row("tart.2.set").end = at(720);
               day.row("tart.2.set").equipment[0].span.to = at(720);
               day.table.pickups[1].pickup = at(720);
           }),
        by("keeps until the pickup", Rule::duration, 210, 209,
           [](Day& day, std::int64_t keeps) { day.plan.components[2].steps[1].keeps = Minutes{keeps}; }),
        by("so much a piece, rounded up once", Rule::duration, 0, 1,
           [](Day& day, std::int64_t more) {
               // 10 min and 24 times 28 s are 21.2 min: 22.
               day.plan.components[0].steps[0].each = Seconds{28};
               day.row("case.1.mix").ready -= Minutes{more};
           }),
    };
    const Day day = tart_day();
    for (const Case& row : rows) judge(day, row);
}

TEST_CASE("order") {
    const Case rows[] = {
        by("rest within a component", Rule::order, 10, 11,
           [](Day& day, std::int64_t rest) { day.plan.components[1].steps[1].after[0].rest = Minutes{rest}; }),
        by("within in a component", Rule::order, 10, 9,
           [](Day& day, std::int64_t within) { day.plan.components[1].steps[1].after[0].within = Minutes{within}; }),
        by("a batch's step after all loads", Rule::order, 0, 1,
           [](Day& day, std::int64_t more) {
               // The fill waits for the second load's cooling.
               After last_load = after(0, 3);
               last_load.rest = Minutes{63 + more};
               day.plan.components[2].steps[0].after = {last_load};
           }),
        by("at once: late", Rule::order, 0, 1, [](Day& day, std::int64_t by) { day.shift("case.1.cool.2", by); }),
        by("at once: early", Rule::order, 0, -1, [](Day& day, std::int64_t by) { day.shift("case.1.cool.2", by); }),
        by("rest of what is drawn", Rule::order, 5, 6,
           [](Day& day, std::int64_t rest) { day.plan.components[2].steps[0].draws[1].rest = Minutes{rest}; }),
        by("within of what is drawn", Rule::order, 15, 14,
           [](Day& day, std::int64_t within) { day.plan.components[2].steps[0].draws[1].within = Minutes{within}; }),
        by("after a step of a component that gives nothing", Rule::order, 18, 19,
           [](Day& day, std::int64_t rest) {
               After cooled = after(0, 3);
               cooled.rest = Minutes{rest};
               day.plan.components[1].steps[1].after.push_back(cooled);
           }),
        by("within, from a step of a component that gives nothing", Rule::order, 40, 39,
           [](Day& day, std::int64_t within) {
               After cooled = after(0, 3);  // the first load is ready at 435
               cooled.within = Minutes{within};
               day.plan.components[1].steps[1].after.push_back(cooled);
           }),
    };
    const Day day = tart_day();
    for (const Case& row : rows) judge(day, row);
}

TEST_CASE("equipment and closed times") {
    const Case rows[] = {
        by("one shelf too few", Rule::equipment, 2, 1,
           [](Day& day, std::int64_t shelves) {
               day.plan.kitchen.equipment[kFridge].capacity = static_cast<std::int32_t>(shelves);
           }),
        by("taken one minute too late", Rule::equipment, 0, 1,
           [](Day& day, std::int64_t by) { day.row("case.1.rest").equipment[0].span.from += Minutes{by}; }),
        by("given back before it is used up", Rule::equipment, 0, 1,
           [](Day& day, std::int64_t by) { day.row("custard.1.chill").equipment[0].span.to -= Minutes{by}; }),
        by("a hold that ends early", Rule::equipment, 0, 1,
           [](Day& day, std::int64_t by) { day.row("custard.1.boil").equipment[0].span.to -= Minutes{by}; }),
        by("free before it is washed", Rule::equipment, 0, 1,
           [](Day& day, std::int64_t by) { day.row("case.1.mix").equipment[0].span.to -= Minutes{by}; }),
        by("fewer than the step asks for", Rule::equipment, 1, 0,
           [](Day& day, std::int64_t amount) {
               day.row("case.1.rest").equipment[0].amount = static_cast<std::int32_t>(amount);
           }),
        by("something else", Rule::equipment, kRack, kHob,
           [](Day& day, std::int64_t which) {
               day.row("case.1.cool.1").equipment[0].equipment = static_cast<EquipmentIndex>(which);
           }),
        {"something for nothing", Rule::equipment, same,
         [](Day& day) {
             day.row("tart.1.fill").equipment = {{kRack, 1, span(520, 530)}};
         }},
        {"changed for another midway", Rule::equipment,
         [](Day& day) {
             day.plan.components[0].steps[3].uses[0].choices = {kRack, kHob};
         },
         [](Day& day) {
             day.plan.components[0].steps[3].uses[0].choices = {kRack, kHob};
             day.row("case.1.cool.1").equipment = {{kRack, 1, span(420, 430)}, {kHob, 1, span(430, 435)}};
         }},
        by("a part that begins later", Rule::equipment, 0, 1,
           [](Day& day, std::int64_t by) {
               day.plan.components[0].steps[3].uses[0].part = {Minutes{5}, Minutes{10}, Minutes{0}};
               day.row("case.1.cool.1").equipment[0].span = span(425 - by, 430);
               day.row("case.1.cool.2").equipment[0].span = span(447, 452);
           }),
        by("past the end", Rule::equipment, 0, 1,
           [](Day& day, std::int64_t by) {
               day.plan.components[0].steps[3].uses[0].part.past_end = Minutes{7};
               day.row("case.1.cool.1").equipment[0].span.to = at(442 - by);
               day.row("case.1.cool.2").equipment[0].span.to = at(464);
           }),
        by("one over for a single minute", Rule::equipment, 7, 8,
           [](Day& day, std::int64_t past) {
               day.plan.components[0].steps[3].uses[0].part.past_end = Minutes{past};
               day.row("case.1.cool.1").equipment[0].span.to = at(435 + past);
               day.row("case.1.cool.2").equipment[0].span.to = at(457 + past);
           }),
        by("closed from the minute it is washed", Rule::closed, 327, 326,
           [](Day& day, std::int64_t from) { day.plan.kitchen.equipment[kMixer].closed = {span(from, 400)}; }),
        by("closed until the minute it is wanted", Rule::closed, 300, 301,
           [](Day& day, std::int64_t to) { day.plan.kitchen.equipment[kMixer].closed = {span(200, to)}; }),
        by("an oven heats through a closed time and takes no load", Rule::closed, 400, 401,
           [](Day& day, std::int64_t to) { day.plan.kitchen.equipment[kOven].closed = {span(380, to)}; }),
    };
    const Day day = tart_day();
    for (const Case& row : rows) judge(day, row);
}

TEST_CASE("crew") {
    const Case rows[] = {
        by("hours begin", Rule::crew, 300, 301,
           [](Day& day, std::int64_t from) { day.plan.kitchen.crew[kAda].hours = {span(from, 1200)}; }),
        by("hours end", Rule::crew, 540, 539,
           [](Day& day, std::int64_t to) { day.plan.kitchen.crew[kAda].hours = {span(300, to)}; }),
        by("a break inside", Rule::crew, 402, 401,
           [](Day& day, std::int64_t from) {
               day.plan.kitchen.crew[kAda].hours = {span(300, from), span(418, 1200)};
           }),
        by("two places at once", Rule::crew, -8, -9,
           [](Day& day, std::int64_t by) {
               day.shift("custard.1.boil", by);
               day.row("custard.1.boil").hands[0].person = kAda;
               day.row("custard.1.boil").equipment[0].span.to = at(475);
           }),
        by("somebody who may not", Rule::crew, kAda, kBo,
           [](Day& day, std::int64_t who) {
               day.plan.components[2].steps[0].hands[0].who = {kAda};
               day.row("tart.1.fill").hands[0].person = static_cast<PersonIndex>(who);
           }),
        by("somebody who may not wash", Rule::crew, kAda, kBo,
           [](Day& day, std::int64_t who) {
               day.plan.components[0].steps[0].wash->who = {static_cast<PersonIndex>(who)};
           }),
        {"one person from beginning to end", Rule::crew, same,
         [](Day& day) {
             day.row("tart.1.fill").hands = {{kAda, span(520, 525), false}, {kBo, span(525, 530), false}};
         }},
        {"nobody", Rule::crew, same, [](Day& day) { day.row("custard.1.boil").hands.clear(); }},
        {"nobody washes", Rule::crew, same, [](Day& day) { day.row("case.1.mix").hands.pop_back(); }},
        {"somebody for nothing", Rule::crew, same,
         [](Day& day) {
             day.row("tart.1.set").hands = {{kBo, span(600, 605), false}};
         }},
        {"two people", Rule::crew,
         [](Day& day) {
             day.plan.components[1].steps[0].hands[0].people = 2;
             day.row("custard.1.boil").hands.push_back({kAda, span(450, 465), false});
         },
         [](Day& day) { day.plan.components[1].steps[0].hands[0].people = 2; }},
        {"two people, not one twice", Rule::crew,
         [](Day& day) {
             day.plan.components[1].steps[0].hands[0].people = 2;
             day.row("custard.1.boil").hands.push_back({kAda, span(450, 465), false});
         },
         [](Day& day) {
             day.plan.components[1].steps[0].hands[0].people = 2;
             day.row("custard.1.boil").hands.push_back({kBo, span(450, 465), false});
         }},
        {"first and last that overlap are hands throughout", Rule::crew,
         [](Day& day) {
             day.plan.components[0].steps[2].hands = {first(11), last(11)};
             for (const char* load : {"case.1.bake.1", "case.1.bake.2"}) {
                 Row& row = day.row(load);
                 row.hands = {{kAda, {row.start, row.end}, false}};
             }
         },
         [](Day& day) {
             day.plan.components[0].steps[2].hands = {first(11), last(11)};
             Row& one = day.row("case.1.bake.1");
             one.hands = {{kAda, {one.start, one.end}, false}};
             Row& other = day.row("case.1.bake.2");
             other.hands = {{kAda, {other.start, other.start + Minutes{11}}, false},
                            {kBo, {other.end - Minutes{11}, other.end}, false}};
         }},
        by("hands after the end", Rule::crew, 0, 1,
           [](Day& day, std::int64_t by) {
               Hands then;
               then.counted_from = Hands::From::end;
               then.lasts = Minutes{5};
               day.plan.components[1].steps[0].hands.push_back(then);
               day.row("custard.1.boil").hands.push_back({kAda, span(465 + by, 470 + by), false});
           }),
    };
    const Day day = tart_day();
    for (const Case& row : rows) judge(day, row);
}

TEST_CASE("pickups, freshness, safety, beginning") {
    const Case rows[] = {
        by("the margin", Rule::pickup, 160, 161,
           [](Day& day, std::int64_t margin) { day.plan.orders[0].margin = Minutes{margin}; }),
        by("keeps until the pickup", Rule::freshness, 210, 209,
           [](Day& day, std::int64_t keeps) { day.plan.components[2].keeps = Minutes{keeps}; }),
        by("keeps until it is used", Rule::freshness, 95, 94,
           [](Day& day, std::int64_t keeps) { day.plan.components[0].keeps = Minutes{keeps}; }),
        by("cooked to its chill", Rule::safety, -80, -81,
           [](Day& day, std::int64_t by) {
               day.shift("custard.1.boil", by);
               day.row("custard.1.boil").equipment[0].span.to = at(475);
           }),
        {"no rule, no limit", Rule::beginning,
         [](Day& day) {
             day.plan.safety.rule = "none";
             day.shift("custard.1.boil", -81);
             day.row("custard.1.boil").equipment[0].span.to = at(475);
         },
         [](Day& day) { day.plan.from = at(301); }},
        by("nothing before the plan begins", Rule::beginning, 300, 301,
           [](Day& day, std::int64_t from) { day.plan.from = at(from); }),
    };
    const Day day = tart_day();
    for (const Case& row : rows) judge(day, row);
}

TEST_CASE("amounts") {
    const auto erase = [](Day& day, const std::string& id) {
        std::erase_if(day.table.rows, [&](const Row& row) { return row.id == id; });
    };
    const Case rows[] = {
        {"a load missing", Rule::amounts, same, [&](Day& day) { erase(day, "case.1.cool.2"); }},
        {"a batch's step missing", Rule::amounts, same, [&](Day& day) { erase(day, "custard.1.boil"); }},
        {"a piece missing", Rule::amounts, same, [](Day& day) { --day.row("case.1.bake.2").amount; }},
        {"another part of the batch", Rule::amounts, same, [](Day& day) { ++day.row("case.1.bake.2").from; }},
        {"a load that nobody needs", Rule::amounts, same,
         [](Day& day) {
             Row more = day.row("case.1.cool.2");
             more.load = 3;
             more.id = "case.1.cool.3";
             day.table.rows.push_back(more);
         }},
        {"a batch that nobody needs", Rule::amounts, same,
         [](Day& day) {
             Row more = day.row("tart.2.fill");
             more.batch = 3;
             more.id = "tart.3.fill";
             day.table.rows.push_back(more);
         }},
        {"twice", Rule::amounts, same,
         [](Day& day) {
             Row more = day.row("tart.2.fill");
             more.id = "again";
             day.table.rows.push_back(more);
         }},
        {"less handed over", Rule::amounts, same, [](Day& day) { --day.table.handovers[2].amount; }},
        {"not handed over", Rule::amounts, same, [](Day& day) { day.table.handovers.pop_back(); }},
        {"handed over for nothing", Rule::amounts, same,
         [](Day& day) {
             day.table.handovers.push_back({0, 1, 2, 1, 1, 5});
         }},
        {"less served", Rule::amounts, same, [](Day& day) { --day.table.pickups[1].servings[0].amount; }},
        {"nothing served", Rule::amounts, same, [](Day& day) { day.table.pickups[1].servings.clear(); }},
        {"a handover may be written in two parts", Rule::amounts,
         [](Day& day) {
             day.table.handovers[0].amount = 5;
             day.table.handovers.push_back({0, 1, 2, 1, 0, 7});
         },
         [](Day& day) {
             day.table.handovers[0].amount = 5;
             day.table.handovers.push_back({0, 1, 2, 1, 0, 8});
         }},
    };
    const Day day = tart_day();
    for (const Case& row : rows) judge(day, row);
}

TEST_CASE("the record") {
    const Day day = tart_day();
    judge_record(day, "an id twice", [](Day& one) { one.row("tart.1.fill").id = "tart.2.fill"; });
    judge_record(day, "no id", [](Day& one) { one.row("case.1.mix").id.clear(); });
    judge_record(day, "not sorted", [](Day& one) { std::swap(one.table.rows[0], one.table.rows[1]); });
    judge_record(day, "alarm clock late", [](Day& one) { *one.table.alarm += Minutes{1}; });
    judge_record(day, "no alarm clock", [](Day& one) { one.table.alarm.reset(); });
    judge_record(day, "done at another time", [](Day& one) { one.table.pickups[0].done += Minutes{1}; });
    judge_record(day, "collected at another time", [](Day& one) { one.table.pickups[0].pickup += Minutes{1}; });
    judge_record(day, "a step that is not there", [](Day& one) { one.row("case.1.mix").step = 9; });
    judge_record(day, "a person who is not there", [](Day& one) { one.row("case.1.mix").hands[0].person = 2; });
    judge_record(day, "equipment that is not there",
                 [](Day& one) { one.row("case.1.mix").equipment[0].equipment = 9; });
    judge_record(day, "an order that is not there", [](Day& one) { one.table.pickups[0].order = 2; });
    judge_record(day, "an item that is not there", [](Day& one) { one.table.pickups[0].servings[0].item = 1; });
    judge_record(day, "collected twice", [](Day& one) { one.table.pickups.push_back({0, at(720), at(560), {}}); });
    judge_record(day, "longer than anybody bakes",
                 [](Day& one) { one.row("tart.2.set").end += Minutes{200 * 24 * 60}; });
    judge_record(day, "an oven that is a mixer", [](Day& one) { one.table.oven[0].oven = kMixer; });
    judge_record(day, "a component that is not there", [](Day& one) { one.table.handovers[0].to = 3; });
}

namespace {

/// One load at one setting.
struct Turn {
    std::int64_t from;
    std::int64_t to;
    std::optional<MilliCelsius> temperature;
    bool goes_in;
};

std::vector<Turn> turns_of(const Day& day, ComponentIndex component, std::int64_t takes, std::int64_t start) {
    const auto& programme = day.plan.components[component].steps[0].bake->programme;
    std::int64_t rest = takes;
    for (const Setting& each : programme)
        if (each.lasts) rest -= each.lasts->count() / 60;
    std::vector<Turn> turns;
    for (const Setting& each : programme) {
        const std::int64_t from = turns.empty() ? start : turns.back().to;
        turns.push_back({from, from + (each.lasts ? each.lasts->count() / 60 : rest), each.temperature, turns.empty()});
    }
    return turns;
}

/// What a timetable would tell of an oven that is never off between loads but where it is switched on again.
std::vector<OvenEvent> story(std::vector<Turn> turns, const std::vector<std::int64_t>& on) {
    using Kind = OvenEvent::Kind;
    std::stable_sort(turns.begin(), turns.end(), [](const Turn& a, const Turn& b) { return a.from < b.from; });
    std::vector<OvenEvent> events;
    std::optional<MilliCelsius> now;
    std::int64_t until = 0;
    std::size_t loads = 0;
    for (const Turn& turn : turns) {
        if (turn.goes_in && loads < on.size()) {
            if (now) events.push_back({Kind::off, kOven, at(until), {}});
            events.push_back({Kind::on, kOven, at(on[loads]), turn.temperature});
        } else if (turn.temperature != now) {
            const Kind kind = !turn.temperature ? Kind::off : now ? Kind::set : Kind::on;
            events.push_back({kind, kOven, at(turn.goes_in ? until : turn.from), turn.temperature});
        }
        loads += turn.goes_in ? 1 : 0;
        now = turn.temperature;
        until = std::max(until, turn.to);
    }
    return events;
}

/// Two components of one bake each, one tray of the oven's two, each for an order of its own at 1100.
Day two_bakes(Bake one, std::int64_t one_takes, std::int64_t one_start, Bake other, std::int64_t other_takes,
              std::int64_t other_start, std::vector<std::int64_t> on) {
    Day day;
    day.plan.from = at(0);
    day.plan.safety.rule = "none";
    day.plan.aim = {Aim::alarm};
    day.plan.kitchen = kitchen();
    day.plan.orders = {{"evening", at(1100), Minutes{15}, {{0, 6, {}}, {1, 6, {}}}, {}}};
    for (const char* name : {"bun", "roll"}) {
        Component component;
        component.name = name;
        component.makes = pieces(6);
        component.steps = {step("bake", 0)};
        component.steps[0].by_load = true;
        day.plan.components.push_back(component);
    }
    const auto fill = [&](ComponentIndex index, Bake baked, std::int64_t takes, std::int64_t start) {
        Step& only = day.plan.components[index].steps[0];
        only.takes.usual = only.takes.longest = Minutes{takes};
        only.bake = std::move(baked);
        day.add(index, 1, 0, 1, 0, 6, start, start + takes, start + takes).equipment = {
            {kOven, 1, span(start, start + takes)}};
    };
    fill(0, std::move(one), one_takes, one_start);
    fill(1, std::move(other), other_takes, other_start);
    std::vector<Turn> turns = turns_of(day, 0, one_takes, one_start);
    for (const Turn& turn : turns_of(day, 1, other_takes, other_start)) turns.push_back(turn);
    day.table.oven = story(std::move(turns), on);
    day.table.pickups = {
        {0, at(1100), at(std::max(one_start + one_takes, other_start + other_takes)), {{0, 1, 6}, {1, 1, 6}}}};
    day.tidy();
    return day;
}

Bake plain(MilliCelsius degrees, std::int64_t door_shut = 0) {
    Bake one = bake({setting(degrees)}, 6);
    one.door_shut = Minutes{door_shut};
    return one;
}

/// `says`: what has to stand in the words, where two rules of the oven could both be meant.
void judge_ovens(const std::string& name, const Day& kept, const Day& broken, const std::string& says = "") {
    SUBCASE(name.c_str()) {
        const auto none = check(kept.plan, kept.table);
        CHECK_MESSAGE(none.empty(), told(none));
        const auto found = check(broken.plan, broken.table);
        CHECK_MESSAGE(found.size() == 1, told(found));
        for (const Violation& violation : found) {
            CHECK_MESSAGE(violation.rule == Rule::oven, told(found));
            CHECK_MESSAGE(violation.what.find(says) != std::string::npos, told(found));
        }
    }
}

}  // namespace

TEST_CASE("oven: settings, heating and cooling") {
    // Heats 10 C, cools 5 C a minute; from the room's 20 C to 200 C 18 minutes, to 180 C 16.
    judge_ovens("shared at one setting", two_bakes(plain(200), 20, 400, plain(200), 30, 405, {382}),
                two_bakes(plain(200), 20, 400, plain(201), 30, 405, {382}));
    judge_ovens("cooling down", two_bakes(plain(200), 20, 400, plain(180), 30, 424, {382}),
                two_bakes(plain(200), 20, 400, plain(180), 30, 423, {382}), "and not");
    judge_ovens("heating up", two_bakes(plain(180), 20, 400, plain(200), 30, 422, {384}),
                two_bakes(plain(180), 20, 400, plain(200), 30, 421, {384}), "and not");
    judge_ovens("rounded up to whole minutes", two_bakes(plain(180), 20, 400, plain(191), 30, 422, {384}),
                two_bakes(plain(180), 20, 400, plain(191), 30, 421, {384}), "and not");
    const Bake falling = bake({setting(200, 10), setting(180)}, 6);
    judge_ovens("into the second setting", two_bakes(falling, 30, 400, plain(180), 30, 414, {382}),
                two_bakes(falling, 30, 400, plain(180), 30, 413, {382}), "and not");
    const Bake drying = bake({setting(200), off(12)}, 6);  // falls by 60 C: 6 minutes back to 200 C, none to 140 C
    judge_ovens("up again from off", two_bakes(drying, 30, 400, plain(200), 30, 436, {382}),
                two_bakes(drying, 30, 400, plain(200), 30, 435, {382}), "and not");
    judge_ovens("down further from off", two_bakes(drying, 30, 400, plain(130), 30, 432, {382}),
                two_bakes(drying, 30, 400, plain(130), 30, 431, {382}), "and not");
    judge_ovens("out as off begins", two_bakes(drying, 30, 400, plain(200), 18, 400, {382}),
                two_bakes(drying, 30, 400, plain(200), 19, 400, {382}));
    const Bake cold = bake({setting(200), off(100)}, 6);  // falls to the room's 20 C and no further
    judge_ovens("not below the room's temperature", two_bakes(cold, 120, 400, plain(200), 30, 538, {382}),
                two_bakes(cold, 120, 400, plain(200), 30, 537, {382}), "and not");
}

TEST_CASE("oven: the door") {
    judge_ovens("nothing goes in", two_bakes(plain(200, 15), 40, 400, plain(200), 40, 415, {382}),
                two_bakes(plain(200, 15), 40, 400, plain(200), 40, 414, {382}));
    judge_ovens("nothing comes out", two_bakes(plain(200, 15), 40, 400, plain(200), 30, 385, {367}),
                two_bakes(plain(200, 15), 40, 400, plain(200), 30, 384, {366}));
    judge_ovens("out in the minute in which it shuts", two_bakes(plain(200, 15), 40, 400, plain(200), 30, 370, {352}),
                two_bakes(plain(200, 15), 40, 400, plain(200), 30, 371, {353}));
}

TEST_CASE("oven: switching on") {
    const Day right = two_bakes(plain(200), 20, 400, plain(200), 30, 405, {382});
    const auto changed = [&](const Day& day, const Change& change) {
        Day one = day;
        change(one);
        one.tidy();
        return one;
    };
    const auto hours = [](std::int64_t from, std::int64_t to) {
        return [=](Day& day) {
            day.plan.kitchen.crew.pop_back();
            day.plan.kitchen.crew[0].hours = {span(from, to)};
        };
    };
    judge_ovens("at another minute", right, changed(right, [](Day& day) {
                    day.plan.kitchen.equipment[kOven].timer = true;
                    day.table.oven[0].at = at(383);
                }));
    judge_ovens("to another temperature", right,
                changed(right, [](Day& day) { day.table.oven[0].temperature = 190'000; }));
    judge_ovens("before anybody is there", changed(right, hours(382, 720)), changed(right, hours(383, 720)),
                "cold until then");
    judge_ovens("after everybody has left", changed(right, hours(300, 383)), changed(right, hours(300, 382)),
                "cold until then");
    judge_ovens(
        "by a timer",
        changed(changed(right, hours(383, 720)), [](Day& day) { day.plan.kitchen.equipment[kOven].timer = true; }),
        changed(right, hours(383, 720)));

    const auto slow = [&](std::int64_t back) {  // on at 310 for 400, and alone from 311 on
        Day day = two_bakes(plain(200), 20, 400, plain(200), 30, 405, {310});
        day.plan.kitchen.equipment[kOven].heats = 2'000;
        day.plan.kitchen.crew.pop_back();
        day.plan.kitchen.crew[0].hours = {span(300, 311), span(back, 720)};
        return day;
    };
    judge_ovens("not left alone for an hour", slow(370), slow(371), "left alone");
    const auto early = [&](std::int64_t second) {  // by a timer, three hours before
        Day day = two_bakes(plain(200), 20, 400, plain(200), 30, second, {220, second - 180});
        day.plan.kitchen.equipment[kOven].heats = 1'000;
        day.plan.kitchen.equipment[kOven].timer = true;
        for (Person& person : day.plan.kitchen.crew) person.hours.clear();
        day.tidy();
        return day;
    };
    judge_ovens("not before the load before is out", early(600), early(599), "is out");

    // The first load is out at 420, the second goes in at 600: hot all the while, as long as somebody is there.
    const auto gap = [&](std::int64_t leave, std::int64_t back, std::vector<std::int64_t> on) {
        Day day = two_bakes(plain(200), 20, 400, plain(200), 30, 600, std::move(on));
        day.plan.kitchen.crew.pop_back();
        day.plan.kitchen.crew[0].hours = {span(300, leave), span(back, 1200)};
        return day;
    };
    judge_ovens("cold after an hour alone", gap(500, 559, {382}), gap(500, 560, {382}));
    judge_ovens("alone with a load in it it stays hot", gap(361 + 30, 479, {382}), gap(391, 480, {382}));
    judge_ovens("on again when somebody is back", gap(500, 582, {382, 582}), gap(500, 583, {382, 582}));
    judge_ovens("nothing before the plan begins", changed(right, [](Day& day) { day.plan.from = at(382); }),
                changed(right, [](Day& day) { day.plan.from = at(383); }));
}

TEST_CASE("oven: its story") {
    using Kind = OvenEvent::Kind;
    // Hot from 400 to 420, then free until a load at 180 C.
    const auto told_as = [](std::vector<OvenEvent> events, std::int64_t second = 600) {
        Day day = two_bakes(plain(200), 20, 400, plain(180), 30, second, {382});
        day.table.oven = std::move(events);
        day.tidy();
        return day;
    };
    const OvenEvent on = event(Kind::on, 382, 200);
    const Day set = told_as({on, event(Kind::set, 420, 180)});
    judge_ovens("not set", set, told_as({on}));
    judge_ovens("set to something else", set, told_as({on, event(Kind::set, 420, 179)}));
    judge_ovens("set too late", told_as({on, event(Kind::set, 596, 180)}), told_as({on, event(Kind::set, 597, 180)}));
    judge_ovens("set while a load is in it", set, told_as({on, event(Kind::set, 419, 180)}));
    judge_ovens("on twice", set, told_as({on, event(Kind::on, 420, 180)}));
    judge_ovens("not in order", set, told_as({on, event(Kind::set, 500, 180), event(Kind::hot, 450, 200)}));
    judge_ovens("hot too soon", told_as({on, event(Kind::set, 420, 180), event(Kind::hot, 424, 180)}),
                told_as({on, event(Kind::set, 420, 180), event(Kind::hot, 423, 180)}));
    judge_ovens("hot at something else", set, told_as({on, event(Kind::set, 420, 180), event(Kind::hot, 424, 181)}));
    judge_ovens("off when a load goes in", set, told_as({on, event(Kind::set, 420, 180), event(Kind::off, 500)}));
    judge_ovens("off at a temperature", told_as({on, event(Kind::set, 420, 180), event(Kind::off, 630)}),
                told_as({on, event(Kind::set, 420, 180), event(Kind::off, 630, 180)}));
    // Off at 420 it falls by 5 C a minute: to 100 C by 440, from which it takes 8 minutes to 180 C.
    const auto off_between = [&](std::int64_t again) {
        return told_as({on, event(Kind::off, 420), event(Kind::on, again, 180)}, 448);
    };
    judge_ovens("off and on again", off_between(440), off_between(441));
    const auto nobody_from = [&](std::int64_t leave) {
        Day day = off_between(440);
        day.plan.kitchen.crew.pop_back();
        day.plan.kitchen.crew[0].hours = {span(300, leave)};
        return day;
    };
    judge_ovens("on again with somebody there", nobody_from(441), nobody_from(440));
}

TEST_CASE("the aims come to what the timetable says") {
    Day day = tart_day();
    day.plan.aim = {Aim::freshness, Aim::alarm, Aim::waiting};
    // Best within 120: collected 160 and 210 after they are ready. Waiting, in the order of the steps:
    const std::int64_t waiting = 12 * (400 - 382) + 12 * (422 - 382)     // cases that rest
                                 + 12 * (520 - 435) + 12 * (530 - 457)   // cooled cases, each load its own tarts
                                 + 24 * (475 - 465)                      // custard before its chill
                                 + 12 * (520 - 515) + 12 * (530 - 515)   // custard
                                 + 12 * (720 - 560) + 12 * (780 - 570);  // tarts
    const std::int64_t alarm = at(300).time_since_epoch().count();
    day.table.goals = {
        {Aim::freshness, 40 + 90, 0, false}, {Aim::alarm, alarm, alarm, true}, {Aim::waiting, waiting, 0, false}};
    const auto found = check(day.plan, day.table);
    CHECK_MESSAGE(found.empty(), told(found));
    judge_record(day, "freshness", [](Day& one) { ++one.table.goals[0].value; });
    judge_record(day, "alarm", [](Day& one) { --one.table.goals[1].value, --one.table.goals[1].best; });
    judge_record(day, "waiting", [](Day& one) { --one.table.goals[2].value; });
    judge_record(day, "proven and not", [](Day& one) { ++one.table.goals[1].best; });
    judge_record(day, "optimal and not proven", [](Day& one) { one.table.optimal = true; });
    judge_record(day, "another aim", [](Day& one) { one.plan.aim[0] = Aim::waiting; });
    judge_record(day, "an aim missing", [](Day& one) { one.table.goals.pop_back(); });
}

TEST_CASE("batches are numbered as they get ready") {
    Day day;
    day.plan.from = at(0);
    day.plan.aim = {Aim::alarm};
    day.plan.kitchen = kitchen();
    Component component;
    component.name = "dip";
    component.makes = pieces(6);
    component.steps = {step("stir", 10)};
    day.plan.components = {component};
    day.plan.orders = {{"noon", at(720), Minutes{15}, {{0, 10, {}}}, {}}};
    day.add(0, 1, 0, 0, 0, 6, 400, 410, 410);
    day.add(0, 2, 0, 0, 0, 4, 400, 410, 410);
    day.table.pickups = {{0, at(720), at(410), {{0, 1, 6}, {0, 2, 4}}}};
    judge(day, by("batches", Rule::amounts, 0, 1, [](Day& one, std::int64_t by) {
              one.shift("dip.1.stir", by);
              one.table.pickups[0].done = at(410 + by);
          }));
}

TEST_CASE("loads are numbered as they go in, and no order is forgotten") {
    Day day;
    day.plan.from = at(0);
    day.plan.aim = {Aim::alarm};
    day.plan.kitchen = kitchen();
    Component component;
    component.name = "dip";
    component.makes = pieces(10);
    component.steps = {step("bake", 10)};
    component.steps[0].by_load = true;
    component.steps[0].bake = bake({setting(200)}, 6);
    day.plan.components = {component};
    day.plan.kitchen.equipment[kOven].capacity = 1;
    day.plan.orders = {{"noon", at(720), Minutes{15}, {{0, 10, {}}}, {}}};
    day.add(0, 1, 0, 1, 0, 6, 400, 410, 410).equipment = {{kOven, 1, span(400, 410)}};
    day.add(0, 1, 0, 2, 6, 4, 410, 420, 420).equipment = {{kOven, 1, span(410, 420)}};
    day.table.oven = {event(OvenEvent::Kind::on, 382, 200)};
    day.table.pickups = {{0, at(720), at(420), {{0, 1, 10}}}};
    judge(day, {"the rest goes in last", Rule::amounts, same, [](Day& one) {
                    one.shift("dip.1.bake.1", 10);
                    one.shift("dip.1.bake.2", -10);
                }});
    Day two = day;  // of two batches the first is the first to go in, and the first to be ready
    two.plan.orders[0].items[0].pieces = 16;
    two.row("dip.1.bake.2").start = at(430);
    two.row("dip.1.bake.2").ready = two.row("dip.1.bake.2").end = at(440);
    two.row("dip.1.bake.2").equipment[0].span = span(430, 440);
    two.add(0, 2, 0, 1, 0, 6, 440, 450, 450).equipment = {{kOven, 1, span(440, 450)}};
    two.table.pickups = {{0, at(720), at(450), {{0, 1, 10}, {0, 2, 6}}}};
    judge(two, {"the first batch is ready first", Rule::amounts, same, [](Day& one) {
                    one.shift("dip.2.bake.1", -25);
                    one.table.pickups[0].done = at(440);
                }});
    day.tidy();
    day.table.pickups.clear();
    const auto found = check(day.plan, day.table);  // neither served nor listed
    REQUIRE_MESSAGE(found.size() == 2, told(found));
    CHECK(found[0].rule == Rule::amounts);
    CHECK(found[1].rule == Rule::record);
}
