/// A replanned day for programs; plans/json.md documents every field.

#include <algorithm>
#include <nlohmann/json.hpp>

#include "oventide/report.hpp"
#include "oventide/watch.hpp"
#include "report/json_parts.hpp"

namespace oventide::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kFormat = 1;  // see json.cpp

const char* name_of(replan::State state) {
    switch (state) {
        case replan::State::waiting:
            return "waiting";
        case replan::State::running:
            return "running";
        case replan::State::finished:
            break;
    }
    return "finished";
}

const char* name_of(replan::Replanned::Way way) {
    switch (way) {
        case replan::Replanned::Way::unchanged:
            return "unchanged";
        case replan::Replanned::Way::returned:
            return "returned";
        case replan::Replanned::Way::shifted:
            return "shifted";
        case replan::Replanned::Way::reordered:
            return "reordered";
        case replan::Replanned::Way::conditional:
            return "conditional";
        case replan::Replanned::Way::impossible:
            break;
    }
    return "impossible";
}

const char* name_of(replan::Need::Kind kind) {
    switch (kind) {
        case replan::Need::Kind::stays:
            return "stays";
        case replan::Need::Kind::comes:
            return "comes";
        case replan::Need::Kind::back:
            return "back";
        case replan::Need::Kind::mended:
            break;
    }
    return "mended";
}

const char* name_of(replan::Question::Kind kind) {
    switch (kind) {
        case replan::Question::Kind::needs_open:
            return "needs open";
        case replan::Question::Kind::not_started:
            return "not started";
        case replan::Question::Kind::too_warm:
            return "too warm";
        case replan::Question::Kind::too_soon:
            return "too soon";
        case replan::Question::Kind::no_room:
            return "no room";
        case replan::Question::Kind::other_heat:
            return "other heat";
        case replan::Question::Kind::too_hot:
            break;
    }
    return "too hot";
}

const char* name_of(replan::HoldUp::Cause cause) {
    switch (cause) {
        case replan::HoldUp::Cause::step:
            return "step";
        case replan::HoldUp::Cause::busy:
            return "busy";
        case replan::HoldUp::Cause::closed:
            return "closed";
        case replan::HoldUp::Cause::cold:
            return "cold";
        case replan::HoldUp::Cause::stood:
            return "stood still";
        case replan::HoldUp::Cause::now:
            break;
    }
    return "now";
}

const char* name_of(replan::WayOut::Kind kind) {
    switch (kind) {
        case replan::WayOut::Kind::hours:
            return "hours";
        case replan::WayOut::Kind::spread:
            return "spread";
        case replan::WayOut::Kind::borrow:
            return "borrow";
        case replan::WayOut::Kind::helper:
            return "helper";
        case replan::WayOut::Kind::serve_late:
            return "serve late";
        case replan::WayOut::Kind::leave_out:
            break;
    }
    return "leave out";
}

const char* name_of(OvenEvent::Kind kind) {
    switch (kind) {
        case OvenEvent::Kind::on:
            return "on";
        case OvenEvent::Kind::set:
            return "set";
        case OvenEvent::Kind::hot:
            return "hot";
        case OvenEvent::Kind::off:
            break;
    }
    return "off";
}

const char* name_of(Standing standing) {
    switch (standing) {
        case Standing::met:
            return "met";
        case Standing::on_course:
            return "on course";
        case Standing::open:
            return "open";
        case Standing::unrecorded:
            return "not recorded";
        case Standing::will_break:
            return "likely too late";
        case Standing::broken:
            break;
    }
    return "broken";
}

class Writer {
public:
    explicit Writer(const Day& day) : day_(day), result_(day.result) {}

    std::string text() const {
        const replan::Situation& situation = day_.situation;
        Json json{{"format", kFormat}, {"report", "replan"}, {"title", situation.today.title}};
        json["timezone"] = situation.today.timezone;
        json["now"] = time(situation.now);
        json["way"] = name_of(result_.way);
        json["steps"] = steps();
        json["changes"] = changes();
        json["turns"] = turns();
        json["washing_changes"] = washing_changes();
        json["pickups"] = pickups();
        json["broken"] = broken();
        json["over_night"] = over_night();
        json["past_best"] = past_best();
        json["fresher"] = fresher();
        json["gave_way"] = gave_way();
        json["longer"] = longer();
        json["ways"] = ways();
        json["chills"] = chills();
        json["needs"] = needs(result_.needs);
        json["fewer"] = fewer();
        json["later"] = Json::array();
        for (const replan::Later& one : result_.later)
            json["later"].push_back({{"at", time(one.at)}, {"late", one.late.count()}, {"over", one.over.count()}});
        json["standstill"] = standstill();
        json["may_begin"] = Json::array();
        for (const ActivityId step : result_.may_begin) json["may_begin"].push_back(id(step));
        json["earliest"] = earliest();
        json["questions"] = questions();
        json["idle"] = idle();
        json["interruptions"] = interruptions();
        json["ovens"] = ovens();
        json["washing"] = washing();
        json["hands_on"] = hands_on();
        json["free"] = free();
        json["overdue"] = Json::array();
        for (const ActivityId step : result_.overdue) json["overdue"].push_back(id(step));
        json["unknown"] = unknown();
        json["open_end"] = situation.open_end;
        json["diagnosis"] = result_.diagnosis;
        return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
    }

private:
    Json unknown() const {
        std::vector<std::string> names;
        for (const replan::Unknown& one : day_.situation.unknown)
            if (std::ranges::find(names, one.name) == names.end()) names.push_back(one.name);
        return names;
    }

    Json time(Instant at) const {
        return {{"at", clock::iso_text(day_.zone, at)}, {"minutes", at.time_since_epoch().count()}};
    }
    Json time(const std::optional<Instant>& at) const { return at ? time(*at) : Json(nullptr); }
    const std::string& id(ActivityId step) const { return day_.planned.project.activities[step].name; }

    Json steps() const {
        Json list = Json::array();
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            const replan::StepState& step = day_.situation.steps[k];
            std::optional<Instant> start, ready;
            if (result_.timetable) {
                start = result_.expansion->origin + Minutes{result_.outcome.schedule->start[k]};
                ready = *start + Minutes{result_.expansion->project.activities[k].duration};
            }
            list.push_back({{"id", id(static_cast<ActivityId>(k))},
                            {"state", name_of(step.state)},
                            {"start", time(start)},
                            {"ready", time(ready)},
                            {"announced", time(step.announced)},
                            {"inferred", step.inferred},
                            {"by_itself", step.by_itself}});
        }
        return list;
    }

    Json chills() const {
        Json list = Json::array();
        for (const ChillUnderWay& chill : day_.chills) {
            Json one{{"id", id(chill.step)}, {"readings", chill.readings.size()}};
            one["earliest"] = chill.running ? time(chill.running->earliest) : Json(nullptr);
            one["likely"] = chill.running ? time(chill.running->likely) : Json(nullptr);
            one["latest"] = chill.running ? time(chill.running->latest) : Json(nullptr);
            one["late_if_latest"] = late(chill.late_if_latest);
            one["doubted"] = Json::array();
            if (chill.running)
                for (const std::size_t doubted : chill.running->doubted)
                    one["doubted"].push_back(
                        {{"at", time(chill.readings[doubted].at)}, {"celsius", chill.readings[doubted].celsius}});
            one["limits"] = Json::array();
            for (const chill::Limit& limit : chill.limits)
                one["limits"].push_back({{"limit", limit.text},
                                         {"standing", name_of(limit.standing)},
                                         {"due", time(limit.due)},
                                         {"happens", time(limit.happens)}});
            list.push_back(std::move(one));
        }
        return list;
    }

    Json changes() const {
        Json list = Json::array();
        for (const replan::Change& change : result_.changes)
            list.push_back({{"id", id(change.step)},
                            {"from", time(change.from)},
                            {"to", time(change.to)},
                            {"others", change.other_people || change.other_equipment}});
        return list;
    }

    Json turns() const {
        Json list = Json::array();
        for (const replan::TurnChange& turn : result_.turns)
            list.push_back(
                {{"oven", day_.situation.today.kitchen.equipment[turn.oven].name},
                 {"celsius", turn.temperature ? Json(static_cast<double>(*turn.temperature) / 1000) : Json(nullptr)},
                 {"from", time(turn.from)},
                 {"to", time(turn.to)}});
        return list;
    }

    Json washing_changes() const {
        Json list = Json::array();
        for (const replan::WashingChange& one : result_.washing)
            list.push_back(
                {{"id", id(one.step)}, {"person", person(one.person)}, {"from", time(one.from)}, {"to", time(one.to)}});
        return list;
    }

    Json pickups() const {
        Json list = Json::array();
        for (const replan::Pickup& pickup : result_.pickups) {
            Json before = nullptr;
            if (pickup.before) before = (pickup.told - *pickup.before).count();
            list.push_back({{"order", day_.situation.today.orders[pickup.order].name},
                            {"pickup", time(pickup.at)},
                            {"done", time(pickup.done)},
                            {"spare_before", before},
                            {"spare", (pickup.at - pickup.done).count()},
                            {"last", pickup.last ? Json(id(*pickup.last)) : Json(nullptr)},
                            {"held_up", held_up(pickup.held_up)}});
        }
        return list;
    }

    Json held_up(const std::vector<replan::HoldUp>& chain) const {
        Json list = Json::array();
        for (const replan::HoldUp& one : chain)
            list.push_back({{"id", id(one.step)},
                            {"cause", name_of(one.cause)},
                            {"by", one.by ? Json(id(*one.by)) : Json(nullptr)},
                            {"resource", one.resource ? Json(resource(*one.resource)) : Json(nullptr)}});
        return list;
    }

    Json late(const std::vector<replan::WayOut::Late>& orders) const {
        Json list = Json::array();
        for (const auto& one : orders)
            list.push_back({{"order", day_.situation.today.orders[one.order].name}, {"minutes", one.by.count()}});
        return list;
    }

    Json longer() const {
        Json list = Json::array();
        for (const replan::Longer& one : result_.longer)
            list.push_back({{"person", person(one.person)}, {"from", time(one.from)}, {"to", time(one.to)}});
        return list;
    }

    Json past_best() const {
        Json list = Json::array();
        if (!result_.timetable) return list;
        const Plan& plan = day_.situation.today;
        for (const PastBest& food : result_.timetable->past_best) {
            const Minutes best = *plan.components[food.component].best_within;
            list.push_back({{"component", plan.components[food.component].name},
                            {"batch", food.batch},
                            {"used", time(food.used)},
                            {"over", (food.used - food.ready - best).count()}});
        }
        return list;
    }

    Json over_night() const {
        Json list = Json::array();
        for (const replan::OverNight& one : result_.over_night)
            list.push_back({{"id", id(one.step)}, {"from", time(one.from)}, {"to", time(one.to)}});
        return list;
    }

    const std::string& order_name(std::int32_t order) const { return day_.situation.today.orders[order].name; }

    Json fresher() const {
        Json list = Json::array();
        for (const replan::Fresher& one : result_.fresher) {
            const Batch& batch = result_.expansion->batches[one.batch];
            list.push_back({{"order", order_name(one.order)},
                            {"component", day_.situation.today.components[batch.component].name},
                            {"batch", batch.number},
                            {"begins", time(one.begins)},
                            {"later", one.by.count()}});
        }
        return list;
    }

    Json gave_way() const {
        Json list = Json::array();
        for (const replan::GaveWay& one : result_.gave_way)
            list.push_back({{"order", order_name(one.order)},
                            {"to", order_name(one.to)},
                            {"otherwise", time(one.otherwise)},
                            {"late", one.late.count()}});
        return list;
    }

    Json ways() const {
        Json list = Json::array();
        for (const replan::WayOut& way : result_.ways) {
            list.push_back({{"kind", name_of(way.kind)},
                            {"what", what(way)},
                            {"late", late(way.late)},
                            {"hours", needs(way.hours)},
                            {"over_night", way.over_night},
                            {"spread", spread(way)}});
        }
        return list;
    }

    Json spread(const replan::WayOut& way) const {
        if (way.kind != replan::WayOut::Kind::spread) return nullptr;
        return {
            {"millimetres", static_cast<double>(way.depth) / 1000}, {"by", time(way.by)}, {"ready", time(way.ready)}};
    }

    std::string what(const replan::WayOut& way) const {
        const Plan& plan = day_.situation.today;
        if (way.kind == replan::WayOut::Kind::spread) return id(way.what);
        if (way.kind == replan::WayOut::Kind::hours) return plan.kitchen.crew[way.hours.front().what].name;
        if (way.kind == replan::WayOut::Kind::borrow) return plan.kitchen.equipment[way.what].name;
        if (way.kind == replan::WayOut::Kind::helper) return plan.kitchen.crew[way.what].name;
        if (way.kind == replan::WayOut::Kind::serve_late) return plan.orders[way.what].name;
        const Batch& batch = result_.expansion->batches[way.what];
        return plan.components[batch.component].name + " " + std::to_string(batch.number);
    }

    std::string resource(ResourceId index) const {
        const ResourceInfo& info = result_.expansion->resources[index];
        const Kitchen& kitchen = day_.situation.today.kitchen;
        return info.person ? kitchen.crew[*info.person].name : kitchen.equipment[*info.equipment].name;
    }

    Json needs(const std::vector<replan::Need>& needs) const {
        Json list = Json::array();
        for (const replan::Need& need : needs) {
            const Kitchen& kitchen = day_.situation.today.kitchen;
            const bool equipment = need.kind == replan::Need::Kind::mended;
            list.push_back({{"kind", name_of(need.kind)},
                            {"what", equipment ? kitchen.equipment[need.what].name : kitchen.crew[need.what].name},
                            {"at", time(need.at)},
                            {"instead_of", time(need.instead)}});
        }
        return list;
    }

    Json fewer() const {
        Json list = Json::array();
        for (const replan::Fewer& one : result_.fewer)
            list.push_back({{"order", one.order},
                            {"item", day_.situation.today.components[one.component].name},
                            {"ordered", amount_json(day_.situation.today.components[one.component], one.ordered)},
                            {"left", amount_json(day_.situation.today.components[one.component], one.left)},
                            {"rest_not_before", time(one.not_before)}});
        return list;
    }

    Json standstill() const {
        Json list = Json::array();
        for (const replan::Standstill& one : result_.standstill)
            list.push_back({{"id", id(one.step)},
                            {"equipment", day_.situation.today.kitchen.equipment[one.equipment].name},
                            {"until", time(one.until)},
                            {"mended_by", time(one.until ? std::optional(*one.until - one.heating) : std::nullopt)},
                            {"promise", one.until ? Json(one.promise) : Json(nullptr)}});
        return list;
    }

    Json earliest() const {
        Json list = Json::array();
        for (const replan::Earliest& one : result_.earliest)
            list.push_back({{"order", day_.situation.today.orders[one.order].name}, {"at", time(one.at)}});
        return list;
    }

    Json questions() const {
        Json list = Json::array();
        for (const replan::Question& one : day_.situation.questions) {
            const bool hot =
                one.kind == replan::Question::Kind::too_hot || one.kind == replan::Question::Kind::other_heat;
            list.push_back(
                {{"kind", name_of(one.kind)},
                 {"id", id(one.step)},
                 {"other", one.other ? Json(id(*one.other)) : Json(nullptr)},
                 {"equipment",
                  one.equipment ? Json(day_.situation.today.kitchen.equipment[*one.equipment].name) : Json(nullptr)},
                 {"at", time(one.at)},
                 {"expected", time(one.expected)},
                 {"celsius", hot ? Json(static_cast<double>(one.reading) / 1000) : Json(nullptr)},
                 {"entry", one.entry ? Json(*one.entry) : Json(nullptr)}});
        }
        return list;
    }

    Json idle() const {
        Json list = Json::array();
        for (const replan::Idle& one : day_.situation.idle)
            list.push_back({{"person", person(one.person)},
                            {"from", time(one.span.from)},
                            {"to", time(one.span.to)},
                            {"entry", one.entry}});
        return list;
    }

    Json interruptions() const {
        Json list = Json::array();
        for (const replan::Interruption& one : day_.situation.interruptions)
            list.push_back({{"id", id(one.step)},
                            {"equipment", day_.situation.today.kitchen.equipment[one.equipment].name},
                            {"from", time(one.span.from)},
                            {"to", one.open ? Json(nullptr) : time(one.span.to)},
                            {"kept", one.kept},
                            {"moved", one.moved.count()},
                            {"entry", one.noted ? Json(*one.noted) : Json(nullptr)}});
        return list;
    }

    Json hands_on() const {
        Json list = Json::array();
        for (const replan::HandsOn& one : result_.hands_on)
            list.push_back({{"person", person(one.person)},
                            {"id", id(one.step)},
                            {"from", time(one.span.from)},
                            {"to", time(one.span.to)},
                            {"washing", one.washing}});
        return list;
    }

    /// The turns that are still to come.
    Json ovens() const {
        Json list = Json::array();
        if (!result_.timetable) return list;
        for (const OvenEvent& event : result_.timetable->oven) {
            if (event.at < day_.situation.now || event.breaks) continue;
            const Equipment& oven = day_.situation.today.kitchen.equipment[event.oven];
            list.push_back(
                {{"oven", oven.name},
                 {"event", name_of(event.kind)},
                 {"at", time(event.at)},
                 {"celsius", event.temperature ? Json(static_cast<double>(*event.temperature) / 1000) : Json(nullptr)},
                 {"by_timer", event.by_timer},
                 {"by", event.by ? Json(person(*event.by)) : Json(nullptr)},
                 {"leave_until", event.leave_until ? time(*event.leave_until) : Json(nullptr)},
                 {"ajar", event.ajar}});
        }
        return list;
    }

    /// After steps that are still to start; hands_on has the rest.
    Json washing() const {
        Json list = Json::array();
        if (!result_.timetable) return list;
        for (const Row& row : result_.timetable->rows)
            for (const HandsUse& hands : row.hands)
                if (hands.washing && waits(row) && hands.span.to > day_.situation.now)
                    list.push_back({{"person", person(hands.person)},
                                    {"id", row.id},
                                    {"from", time(hands.span.from)},
                                    {"to", time(hands.span.to)}});
        return list;
    }

    bool waits(const Row& row) const {
        const auto& all = day_.planned.project.activities;
        const auto step = std::ranges::find(all, row.id, &Activity::name) - all.begin();
        return day_.situation.steps[static_cast<std::size_t>(step)].state == replan::State::waiting;
    }

    Json free() const {
        Json list = Json::array();
        for (const replan::Free& one : result_.free)
            list.push_back({{"person", person(one.person)}, {"until", time(one.until)}});
        return list;
    }

    const std::string& person(PersonIndex index) const { return day_.situation.today.kitchen.crew[index].name; }

    Json broken() const {
        Json list = Json::array();
        for (const replan::Broken& one : result_.broken)
            list.push_back({{"id", id(one.step)}, {"promise", one.promise}, {"over", one.over.count()}});
        return list;
    }

    const Day& day_;
    const replan::Replanned& result_;
};

}  // namespace

std::string replan_json(const Day& day) { return Writer(day).text(); }

}  // namespace oventide::report
