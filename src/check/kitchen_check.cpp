/// (3) equipment, (5) crew, (6) closed times: first whether each row has what its step is due, then, minute by
/// minute, whether there is enough of it.

#include <algorithm>

#include "check/matching.hpp"
#include "check/sheet.hpp"

namespace oventide::referee {
namespace {

struct WantedUse {
    std::vector<EquipmentIndex> choices;
    std::int64_t amount;
    Minute from;
    Minute to;
};

struct WantedHands {
    std::vector<PersonIndex> who;  ///< empty: anybody
    std::int32_t people;
    Minute from;
    Minute to;
    bool washing;
};

template <class T>
bool contains(const std::vector<T>& list, T one) {
    return std::find(list.begin(), list.end(), one) != list.end();
}

std::string stretch(Minute from, Minute to) { return clock_text(from) + " to " + clock_text(to); }

RowIndex row_count(const Sheet& sheet) { return static_cast<RowIndex>(sheet.timetable.rows.size()); }

// ------------------------------------------------------------------------------------------ what is due

WantedUse wanted_use(const Sheet& sheet, RowIndex index, const Use& use) {
    const Step& step = sheet.step(index);
    const Row& row = sheet.row(index);
    WantedUse wanted{use.choices, use.amount, sheet.start(index) + use.part.from.count(), 0};
    wanted.to = use.part.to ? sheet.start(index) + use.part.to->count() : sheet.end(index) + use.part.past_end.count();
    if (use.washed && step.wash) wanted.to = std::max(wanted.to, sheet.end(index) + step.wash->takes.count());
    if (use.until)
        for (const RowIndex later : sheet.rows(row.component, row.batch, *use.until))
            wanted.to = std::max(wanted.to, sheet.start(later));
    return wanted;
}

std::vector<WantedUse> wanted_uses(const Sheet& sheet, RowIndex index) {
    const Step& step = sheet.step(index);
    std::vector<WantedUse> wanted;
    for (const Use& use : step.uses) wanted.push_back(wanted_use(sheet, index, use));
    if (step.bake) {
        const auto trays = static_cast<std::int64_t>(ceil_div(sheet.row(index).amount, step.bake->tray.count));
        wanted.push_back({step.bake->ovens, trays, sheet.start(index), sheet.end(index)});
    }
    std::erase_if(wanted, [](const WantedUse& use) { return use.from >= use.to; });
    return wanted;
}

/// The hands of a step of fixed length lie within it, save what is said to come after its end.
WantedHands wanted_hands(const Sheet& sheet, RowIndex index, const Hands& hands) {
    const bool from_start = hands.counted_from == Hands::From::start;
    const Minute start = sheet.start(index);
    const Minute end = sheet.end(index);
    WantedHands wanted{hands.who, hands.people, (from_start ? start : end) + hands.from.count(), 0, false};
    wanted.to = hands.lasts ? wanted.from + hands.lasts->count() : from_start ? sheet.ready(index) : end;
    if (sheet.step(index).keeps) return wanted;
    if (from_start) wanted.to = std::min(wanted.to, end);
    if (!from_start && hands.from.count() < 0) wanted.from = std::max(wanted.from, start);
    return wanted;
}

/// First and last that overlap are hands throughout: one demand.
std::vector<WantedHands> wanted_hands(const Sheet& sheet, RowIndex index) {
    const Step& step = sheet.step(index);
    std::vector<WantedHands> wanted;
    for (const Hands& hands : step.hands) {
        const WantedHands next = wanted_hands(sheet, index, hands);
        if (next.from >= next.to) continue;
        const bool joined = !wanted.empty() && hands.counted_from == Hands::From::end && hands.from.count() < 0 &&
                            next.from < wanted.back().to && wanted.back().from < next.to &&
                            wanted.back().people == next.people && wanted.back().who == next.who;
        if (!joined) {
            wanted.push_back(next);
            continue;
        }
        wanted.back().from = std::min(wanted.back().from, next.from);
        wanted.back().to = std::max(wanted.back().to, next.to);
    }
    if (step.wash && step.wash->takes.count() > 0) {
        const Minute end = sheet.end(index);
        wanted.push_back({step.wash->who, 1, end, end + step.wash->takes.count(), true});
    }
    std::vector<WantedHands> each;  // one person, one demand
    for (const WantedHands& hands : wanted)
        for (std::int32_t person = 0; person < hands.people; ++person) each.push_back(hands);
    return each;
}

// -------------------------------------------------------------------------------------- what is written

void check_uses(Sheet& sheet, RowIndex index) {
    const auto wanted = wanted_uses(sheet, index);
    std::vector<EquipmentUse> written = sheet.row(index).equipment;
    std::erase_if(written, [](const EquipmentUse& use) { return use.span.from == use.span.to; });
    const auto entry_of = match(static_cast<std::int32_t>(wanted.size()), static_cast<std::int32_t>(written.size()),
                                [&](std::int32_t w, std::int32_t e) {
                                    const EquipmentUse& use = written[e];
                                    return minute(use.span.from) == wanted[w].from &&
                                           minute(use.span.to) == wanted[w].to && use.amount == wanted[w].amount &&
                                           contains(wanted[w].choices, use.equipment);
                                });
    bool missing = false;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (entry_of[i] >= 0) continue;
        missing = true;
        sheet.report(Rule::equipment,
                     sheet.row(index).id + " needs " + std::to_string(wanted[i].amount) + " of " +
                         sheet.plan.kitchen.equipment[wanted[i].choices.front()].name + " from " +
                         stretch(wanted[i].from, wanted[i].to) + " and does not have it",
                     sheet.step(index).place);
    }
    if (!missing && written.size() > wanted.size())
        sheet.report(Rule::equipment, sheet.row(index).id + " has equipment that its step does not ask for",
                     sheet.step(index).place);
}

void check_hands(Sheet& sheet, RowIndex index) {
    const auto wanted = wanted_hands(sheet, index);
    std::vector<HandsUse> written = sheet.row(index).hands;
    std::erase_if(written, [](const HandsUse& use) { return use.span.from == use.span.to; });
    const auto entry_of = match(static_cast<std::int32_t>(wanted.size()), static_cast<std::int32_t>(written.size()),
                                [&](std::int32_t w, std::int32_t e) {
                                    const HandsUse& use = written[e];
                                    return minute(use.span.from) == wanted[w].from &&
                                           minute(use.span.to) == wanted[w].to && use.washing == wanted[w].washing &&
                                           (wanted[w].who.empty() || contains(wanted[w].who, use.person));
                                });
    bool missing = false;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (entry_of[i] >= 0) continue;
        missing = true;
        sheet.report(Rule::crew,
                     sheet.row(index).id + " needs one person who may do it from " +
                         stretch(wanted[i].from, wanted[i].to) + (wanted[i].washing ? ", washing" : "") +
                         " and does not have them",
                     sheet.step(index).place);
    }
    if (!missing && written.size() > wanted.size())
        sheet.report(Rule::crew, sheet.row(index).id + " has hands that its step does not ask for",
                     sheet.step(index).place);
}

// ---------------------------------------------------------------------------------- minute by minute

/// Something that keeps so many of a thing busy.
struct Busy {
    RowIndex row;
    std::int64_t amount;
    Minute from;
    Minute to;
};

/// Calls `over(minute, load)` at the first minute of each stretch in which more than `capacity` are busy.
void count_minutes(const std::vector<Busy>& list, std::int64_t capacity,
                   const std::function<void(Minute, std::int64_t)>& over) {
    if (list.empty()) return;
    Minute first = list.front().from;
    Minute last = list.front().to;
    for (const Busy& busy : list) {
        first = std::min(first, busy.from);
        last = std::max(last, busy.to);
    }
    std::vector<std::int64_t> load(last - first, 0);
    for (const Busy& busy : list)
        for (Minute at = busy.from; at < busy.to; ++at) load[at - first] += busy.amount;
    for (Minute at = first; at < last; ++at) {
        const bool told = at > first && load[at - 1 - first] > capacity;
        if (load[at - first] > capacity && !told) over(at, load[at - first]);
    }
}

std::string names_at(const Sheet& sheet, const std::vector<Busy>& list, Minute at) {
    std::string names;
    for (const Busy& busy : list)
        if (busy.from <= at && at < busy.to) names += (names.empty() ? "" : ", ") + sheet.row(busy.row).id;
    return names;
}

void check_one_equipment(Sheet& sheet, const Equipment& equipment, const std::vector<Busy>& list) {
    count_minutes(list, equipment.capacity, [&](Minute at, std::int64_t load) {
        sheet.report(Rule::equipment,
                     clock_text(at) + ": " + std::to_string(load) + " of " + equipment.name +
                         " are wanted, there are " + std::to_string(equipment.capacity) + ": " +
                         names_at(sheet, list, at),
                     equipment.place);
    });
    for (const Busy& busy : list)
        for (const Span& closed : equipment.closed)
            if (busy.from < minute(closed.to) && minute(closed.from) < busy.to)
                sheet.report(Rule::closed,
                             sheet.row(busy.row).id + " has " + equipment.name + " from " +
                                 stretch(busy.from, busy.to) + ", which is closed from " +
                                 stretch(minute(closed.from), minute(closed.to)),
                             equipment.place);
}

void check_one_person(Sheet& sheet, const Person& person, const std::vector<Busy>& list) {
    count_minutes(list, 1, [&](Minute at, std::int64_t) {
        sheet.report(Rule::crew,
                     clock_text(at) + ": " + person.name + " is wanted more than once: " + names_at(sheet, list, at),
                     person.place);
    });
    for (const Busy& busy : list) {
        const bool there = std::any_of(person.hours.begin(), person.hours.end(), [&](const Span& hours) {
            return minute(hours.from) <= busy.from && busy.to <= minute(hours.to);
        });
        if (there) continue;
        sheet.report(Rule::crew,
                     sheet.row(busy.row).id + " has " + person.name + " from " + stretch(busy.from, busy.to) +
                         ", outside their hours",
                     person.place);
    }
}

}  // namespace

void check_equipment(Sheet& sheet) {
    std::vector<std::vector<Busy>> busy(sheet.plan.kitchen.equipment.size());
    for (RowIndex index = 0; index < row_count(sheet); ++index) {
        check_uses(sheet, index);
        for (const EquipmentUse& use : sheet.row(index).equipment)
            if (use.span.from < use.span.to)
                busy[use.equipment].push_back({index, use.amount, minute(use.span.from), minute(use.span.to)});
    }
    for (std::size_t each = 0; each < busy.size(); ++each)
        check_one_equipment(sheet, sheet.plan.kitchen.equipment[each], busy[each]);
}

void check_crew(Sheet& sheet) {
    std::vector<std::vector<Busy>> busy(sheet.plan.kitchen.crew.size());
    for (RowIndex index = 0; index < row_count(sheet); ++index) {
        check_hands(sheet, index);
        for (const HandsUse& use : sheet.row(index).hands)
            if (use.span.from < use.span.to)
                busy[use.person].push_back({index, 1, minute(use.span.from), minute(use.span.to)});
    }
    for (std::size_t each = 0; each < busy.size(); ++each)
        check_one_person(sheet, sheet.plan.kitchen.crew[each], busy[each]);
}

}  // namespace oventide::referee
