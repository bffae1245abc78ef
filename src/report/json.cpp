/// The same reports for programs. plans/json.md documents every field; a test holds the two against each other.

#include <algorithm>

#include "oventide/report.hpp"
#include "oventide/safety.hpp"
#include "report/conditions.hpp"
#include "report/jobs.hpp"
#include "report/json_parts.hpp"

namespace oventide::report {
namespace {

const char* aim_name(Aim aim) {
    switch (aim) {
        case Aim::freshness:
            return "freshness";
        case Aim::alarm:
            return "alarm";
        case Aim::waiting:
            return "waiting";
    }
    return "";
}

const char* aim_unit(Aim aim) {
    switch (aim) {
        case Aim::freshness:
            return "minutes";
        case Aim::alarm:
            return "minutes since 1970";
        case Aim::waiting:
            return "piece-minutes";
    }
    return "";
}

const char* event_name(const OvenEvent& event) {
    switch (event.kind) {
        case OvenEvent::Kind::on:
            return "on";
        case OvenEvent::Kind::set:
            return "set";
        case OvenEvent::Kind::off:
            return event.breaks ? "breaks" : "off";
        case OvenEvent::Kind::hot:
            return "hot";
    }
    return "";
}

const char* clash_name(Clash::Kind kind) {
    switch (kind) {
        case Clash::Kind::capacity:
            return "capacity";
        case Clash::Kind::setting:
            return "setting";
        case Clash::Kind::door:
            return "door";
    }
    return "";
}

const char* remark_name(chill::Remark::Kind kind) {
    switch (kind) {
        case chill::Remark::Kind::too_short:
            return "too short";
        case chill::Remark::Kind::too_long:
            return "too long";
        case chill::Remark::Kind::never:
            return "never";
        case chill::Remark::Kind::unknown:
            return "unknown";
        case chill::Remark::Kind::stage:
            return "stage";
    }
    return "";
}

const char* cause_name(Obstacle::Cause cause) {
    switch (cause) {
        case Obstacle::Cause::window:
            return "window";
        case Obstacle::Cause::resource:
            return "resource";
        case Obstacle::Cause::state:
            return "setting";
        case Obstacle::Cause::start_up:
            return "switching on";
    }
    return "";
}

const char* condition_name(ways::Condition::Kind kind) {
    static constexpr const char* kNames[] = {"pickup", "within", "keeps", "safety", "rest",  "door",  "wash",
                                             "last",   "closed", "heat",  "amount", "hours", "hands", "from"};
    return kNames[static_cast<int>(kind)];
}

/// What a change comes to in figures.
struct ChangeFacts {
    const char* kind = "";
    std::optional<Minutes> minutes;
    std::optional<Span> only;
};

ChangeFacts facts_of(const ways::Change& change) {
    struct Reader {
        ChangeFacts operator()(const ways::LongerHours& c) const { return {"hours", c.earlier + c.longer, {}}; }
        ChangeFacts operator()(const ways::ExtraHours& c) const { return {"extra hours", {}, c.only}; }
        ChangeFacts operator()(const ways::EarlierBeginning& c) const { return {"from", c.earlier, {}}; }
        ChangeFacts operator()(const ways::LaterPickup& c) const { return {"pickup", c.later, {}}; }
        ChangeFacts operator()(const ways::ShorterClosing& c) const {
            return {"closed", c.begins_later + c.ends_earlier, {}};
        }
        ChangeFacts operator()(const ways::AnotherPerson& c) const { return {"person", {}, c.only}; }
        ChangeFacts operator()(const ways::OneMore& c) const { return {"equipment", {}, c.only}; }
        ChangeFacts operator()(const ways::AnotherOven& c) const { return {"oven", {}, c.only}; }
        ChangeFacts operator()(const ways::EasierPromise& c) const { return {"promise", c.by, {}}; }
        ChangeFacts operator()(const ways::ByLoad&) const { return {"by load", {}, {}}; }
        ChangeFacts operator()(const ways::BatchSize&) const { return {"batches", {}, {}}; }
        ChangeFacts operator()(const ways::UsualTimes&) const { return {"times", {}, {}}; }
        ChangeFacts operator()(const ways::SmallerOrder&) const { return {"order", {}, {}}; }
    };
    return std::visit(Reader{}, change);
}

/// What a plan, its expansion and a timetable have in them, as JSON.
class Writer {
public:
    explicit Writer(const Subject& subject) : subject_(subject) {}

    Json begin(const char* report) const { return head(report, subject_.plan); }

    Json time(Instant at) const { return time_json(subject_.zone, at); }
    Json time(Time at) const { return time(subject_.expansion.origin + Minutes{at}); }

    Json amount(ComponentIndex component, std::int64_t count) const {
        return amount_json(subject_.plan.components[component], count);
    }

    const std::string& component(ComponentIndex index) const { return subject_.plan.components[index].name; }
    const std::string& equipment(EquipmentIndex index) const { return subject_.plan.kitchen.equipment[index].name; }
    const std::string& person(PersonIndex index) const { return subject_.plan.kitchen.crew[index].name; }
    const std::string& id(ActivityId activity) const { return subject_.expansion.project.activities[activity].name; }

    std::string resource(ResourceId index) const {
        const ResourceInfo& info = subject_.expansion.resources[index];
        return info.person ? person(*info.person) : info.equipment ? equipment(*info.equipment) : "";
    }

    Json place(const Place& at) const {
        if (subject_.sources == nullptr || at.file < 0 ||
            at.file >= static_cast<std::int32_t>(subject_.sources->files.size()))
            return nullptr;
        return {{"file", subject_.sources->files[at.file].path}, {"line", at.line}, {"column", at.column}};
    }

    Json promise(PromiseId index) const {
        if (index == kNoPromise) return nullptr;
        const Promise& one = subject_.expansion.promises[index];
        return {{"text", one.text}, {"place", place(one.place)}};
    }

    static Json celsius(const std::optional<MilliCelsius>& temperature) {
        return temperature ? Json(static_cast<double>(*temperature) / 1000) : Json(nullptr);
    }

    Json optional_minutes(const std::optional<Minutes>& minutes) const {
        return minutes ? Json(minutes->count()) : Json(nullptr);
    }

    Json step(const Row& row) const {
        Json json{{"id", row.id},
                  {"component", component(row.component)},
                  {"step", subject_.plan.components[row.component].steps[row.step].name},
                  {"batch", row.batch},
                  {"load", row.load},
                  {"amount", amount(row.component, row.amount)},
                  {"start", time(row.start)},
                  {"ready", time(row.ready)},
                  {"end", time(row.end)},
                  {"equipment", Json::array()},
                  {"hands", Json::array()},
                  {"heat", Json::array()},
                  {"shut_until", row.shut_until ? time(*row.shut_until) : Json(nullptr)},
                  {"can_slip", optional_minutes(row.slip)},
                  {"can_slip_to_pickup", optional_minutes(row.slip_to_pickup)}};
        for (const EquipmentUse& use : row.equipment)
            json["equipment"].push_back({{"name", equipment(use.equipment)},
                                         {"amount", use.amount},
                                         {"from", time(use.span.from)},
                                         {"to", time(use.span.to)}});
        for (const HandsUse& hands : row.hands)
            json["hands"].push_back({{"person", person(hands.person)},
                                     {"from", time(hands.span.from)},
                                     {"to", time(hands.span.to)},
                                     {"washing", hands.washing}});
        for (const Heat& heat : row.heat)
            json["heat"].push_back({{"from", time(heat.span.from)},
                                    {"to", time(heat.span.to)},
                                    {"celsius", celsius(heat.temperature)},
                                    {"ajar", heat.ajar},
                                    {"broken", heat.broken}});
        return json;
    }

    Json oven(const OvenEvent& event) const {
        return {{"oven", equipment(event.oven)},
                {"event", event_name(event)},
                {"at", time(event.at)},
                {"celsius", celsius(event.temperature)},
                {"by_timer", event.by_timer},
                {"by", event.by ? Json(person(*event.by)) : Json(nullptr)},
                {"leave_until", event.leave_until ? time(*event.leave_until) : Json(nullptr)},
                {"ajar", event.ajar}};
    }

    Json shifts() const {
        Json json = Json::array();
        for (const Shift& shift : subject_.timetable->shifts)
            json.push_back(
                {{"person", person(shift.person)}, {"from", time(shift.span.from)}, {"to", time(shift.span.to)}});
        return json;
    }

    Json past_best(const PastBest& food) const {
        return {{"component", subject_.plan.components[food.component].name},
                {"batch", food.batch},
                {"amount", amount_json(subject_.plan.components[food.component], food.amount)},
                {"ready", time(food.ready)},
                {"used", time(food.used)},
                {"order", food.order ? Json(subject_.plan.orders[*food.order].name) : Json(nullptr)},
                {"step",
                 food.row < 0 ? Json(nullptr) : Json(subject_.timetable->rows[static_cast<std::size_t>(food.row)].id)}};
    }

    Json put_off(const PutOff& one) const {
        return {{"step", subject_.timetable->rows[static_cast<std::size_t>(one.row)].id},
                {"possible", time(one.possible)}};
    }

    Json handover(const Handover& food) const {
        return {{"from", component(food.from)},
                {"from_batch", food.from_batch},
                {"to", component(food.to)},
                {"to_batch", food.to_batch},
                {"step", subject_.plan.components[food.to].steps[food.step].name},
                {"amount", amount(food.from, food.amount)}};
    }

    bool is_known(const PickupLine& line) const {
        return subject_.open == nullptr || !subject_.open->orders[line.order];
    }

    Json waiting() const {
        Json list = Json::array();
        if (subject_.open == nullptr) return list;
        for (const replan::Waiting& one : subject_.open->steps)
            list.push_back({{"id", subject_.expansion.project.activities[one.step].name},
                            {"equipment", subject_.plan.kitchen.equipment[one.equipment].name},
                            {"in_there", one.in_there}});
        return list;
    }

    Json pickup(const PickupLine& line) const {
        const Order& order = subject_.plan.orders[line.order];
        Json json{{"order", order.name},
                  {"pickup", time(line.pickup)},
                  {"done", is_known(line) ? time(line.done) : Json(nullptr)},
                  {"spare", is_known(line) ? Json((line.pickup - line.done).count()) : Json(nullptr)},
                  {"margin", order.margin.count()},
                  {"servings", Json::array()}};
        for (const PickupLine::Serving& serving : line.servings) {
            const ComponentIndex item = order.items[serving.item].component;
            json["servings"].push_back(
                {{"item", component(item)}, {"batch", serving.batch}, {"amount", amount(item, serving.amount)}});
        }
        return json;
    }

    Json goal(const GoalLine& line) const {
        return {{"aim", aim_name(line.aim)},
                {"value", line.value},
                {"best", line.best},
                {"unit", aim_unit(line.aim)},
                {"proven", line.proven}};
    }

    Json safety() const {
        const auto rule = find_safety_rule(subject_.plan.safety.rule);
        if (!rule) return nullptr;
        return {{"rule", rule->key},
                {"text", rule->text},
                {"source", rule->source},
                {"caution", "Local rules and a trained person decide what may be served."}};
    }

    Json chill(const chill::Remark& remark) const {
        const auto at = [&](const std::optional<Instant>& instant) { return instant ? time(*instant) : Json(nullptr); };
        const bool stage = remark.kind == chill::Remark::Kind::stage;
        return {{"step", subject_.timetable->rows[remark.row].id},
                {"remark", remark_name(remark.kind)},
                {"planned", remark.planned.count()},
                {"earliest", optional_minutes(remark.takes.earliest)},
                {"likely", optional_minutes(remark.takes.likely)},
                {"latest", optional_minutes(remark.takes.latest)},
                {"limit", stage ? Json(remark.text) : Json(nullptr)},
                {"due", at(remark.due)},
                {"likely_at", at(remark.likely)},
                {"latest_at", at(remark.latest)},
                {"kept", stage ? Json(remark.likely_kept) : Json(nullptr)},
                {"surely_kept", stage ? Json(remark.surely_kept) : Json(nullptr)}};
    }

    Json obstacle(const Obstacle& one) const {
        Json json{{"activity", id(one.activity)},
                  {"cause", cause_name(one.cause)},
                  {"earliest", time(one.earliest)},
                  {"latest", time(one.latest)},
                  {"resource", one.resource >= 0 ? Json(resource(one.resource)) : Json(nullptr)},
                  {"holders", Json::array()},
                  {"due", promise(subject_.expansion.project.activities[one.activity].due_promise)}};
        for (const ActivityId holder : one.holders) json["holders"].push_back(id(holder));
        return json;
    }

    Json lag(const Lag& one) const {
        return {{"from", id(one.from)}, {"to", id(one.to)}, {"minutes", one.lag}, {"promise", promise(one.promise)}};
    }

    Json clash(const Clash& one) const {
        Json json{{"kind", clash_name(one.kind)}, {"resources", Json::array()}, {"from", time(one.when.from)},
                  {"to", time(one.when.to)},      {"wanted", one.wanted},       {"available", one.available},
                  {"too_soon", one.too_soon},     {"claims", Json::array()}};
        for (const ResourceId each : one.resources) json["resources"].push_back(resource(each));
        for (const Clash::Claim& claim : one.claims)
            json["claims"].push_back({{"activity", id(claim.activity)},
                                      {"alone", time(claim.alone)},
                                      {"actual", subject_.timetable ? time(claim.actual) : Json(nullptr)},
                                      {"later", subject_.timetable ? Json(claim.actual - claim.alone) : Json(nullptr)},
                                      {"chosen", resource(claim.chosen)},
                                      {"washing", claim.washing}});
        return json;
    }

    Json condition(const ways::Condition& one, bool needed, const ConditionWords& say) const {
        return {{"kind", condition_name(one.kind)},
                {"text", say.text(one)},
                {"place", place(one.place)},
                {"needed", needed}};
    }

    Json conditions(const ways::WhyNot& why) const {
        const Words words(subject_, false);
        const Days days(subject_.zone, span_with_room(subject_));
        const ConditionWords say(subject_, words, days);
        Json list = Json::array();
        for (std::size_t i = 0; i < why.conditions.size(); ++i)
            list.push_back(condition(why.conditions[i], why.needed[i], say));
        return list;
    }

    Json change(const ways::Change& one) const {
        const Words words(subject_, false);
        const Days days(subject_.zone, span_with_room(subject_));
        const ChangeFacts facts = facts_of(one);
        Json json{{"kind", facts.kind},
                  {"text", ConditionWords(subject_, words, days).text(one)},
                  {"minutes", optional_minutes(facts.minutes)},
                  {"fewer", nullptr},
                  {"from", facts.only ? time(facts.only->from) : Json(nullptr)},
                  {"to", facts.only ? time(facts.only->to) : Json(nullptr)}};
        if (const auto* smaller = std::get_if<ways::SmallerOrder>(&one))
            json["fewer"] = amount(subject_.plan.orders[smaller->order].items[smaller->item].component, smaller->fewer);
        return json;
    }

    Json changes(const std::vector<ways::Change>& all) const {
        Json list = Json::array();
        for (const ways::Change& one : all) list.push_back(change(one));
        return list;
    }

    static Json goals_short(const std::vector<GoalLine>& goals) {
        Json list = Json::array();
        for (const GoalLine& one : goals)
            list.push_back({{"aim", aim_name(one.aim)}, {"value", one.value}, {"unit", aim_unit(one.aim)}});
        return list;
    }

    Json no_timetable() const {
        Json json = begin("no timetable");
        json["proven"] = subject_.outcome.infeasible;
        json["contradiction"] = Json::array();
        for (const Lag& one : subject_.outcome.contradiction) json["contradiction"].push_back(lag(one));
        json["obstacles"] = Json::array();
        for (const Obstacle& one : subject_.outcome.obstacles) json["obstacles"].push_back(obstacle(one));
        json["conditions"] = subject_.why ? conditions(*subject_.why) : Json::array();
        return json;
    }

private:
    const Subject& subject_;
};

}  // namespace

std::string timetable_json(const Subject& subject) {
    const Writer writer(subject);
    if (subject.timetable == nullptr) return written(writer.no_timetable());
    const Timetable& timetable = *subject.timetable;
    Json json = writer.begin("timetable");
    json["as_of"] = as_of_json(subject);
    json["alarm"] = timetable.alarm ? writer.time(*timetable.alarm) : Json(nullptr);
    json["shifts"] = writer.shifts();
    json["optimal"] = timetable.optimal;
    json["goals"] = Json::array();
    if (subject.day == nullptr)  // else it was drawn towards what was announced
        for (const GoalLine& goal : timetable.goals) json["goals"].push_back(writer.goal(goal));
    json["pieces"] = timetable.pieces;
    json["pickups"] = Json::array();
    for (const PickupLine& pickup : timetable.pickups) json["pickups"].push_back(writer.pickup(pickup));
    json["steps"] = Json::array();
    for (const Row& row : timetable.rows) json["steps"].push_back(writer.step(row));
    json["waiting"] = writer.waiting();
    json["ovens"] = Json::array();
    for (const OvenEvent& event : timetable.oven) json["ovens"].push_back(writer.oven(event));
    json["handovers"] = Json::array();
    for (const Handover& food : timetable.handovers) json["handovers"].push_back(writer.handover(food));
    json["past_best"] = Json::array();
    for (const PastBest& food : timetable.past_best) json["past_best"].push_back(writer.past_best(food));
    json["put_off"] = Json::array();
    for (const PutOff& one : put_off(subject.plan, subject.expansion, timetable))
        json["put_off"].push_back(writer.put_off(one));
    json["chills"] = Json::array();
    for (const chill::Remark& remark : subject.chills) json["chills"].push_back(writer.chill(remark));
    json["safety"] = writer.safety();
    return written(json);
}

std::string clashes_json(const Subject& subject, const std::vector<Clash>& clashes) {
    const Writer writer(subject);
    Json json = writer.begin("clashes");
    json["clashes"] = Json::array();
    for (const Clash& clash : clashes) json["clashes"].push_back(writer.clash(clash));
    return written(json);
}

std::string checklist_json(const Subject& subject, const std::vector<PersonIndex>& people) {
    const Writer writer(subject);
    if (subject.timetable == nullptr) return written(writer.no_timetable());
    Json json = writer.begin("checklist");
    json["as_of"] = as_of_json(subject);
    json["alarm"] = subject.timetable->alarm ? writer.time(*subject.timetable->alarm) : Json(nullptr);
    json["shifts"] = writer.shifts();
    json["jobs"] = Json::array();
    for (const Job& job : subject.timetable->jobs) {
        if (!people.empty() && (!job.person || std::count(people.begin(), people.end(), *job.person) == 0)) continue;
        json["jobs"].push_back(
            {{"person", job.person ? Json(writer.person(*job.person)) : Json(nullptr)},
             {"from", writer.time(job.span.from)},
             {"to", writer.time(job.span.to)},
             {"job", job_name(job.kind)},
             {"step",
              job.row < 0 ? Json(nullptr) : Json(subject.timetable->rows[static_cast<std::size_t>(job.row)].id)},
             {"oven", job.event < 0 ? Json(nullptr)
                                    : writer.oven(subject.timetable->oven[static_cast<std::size_t>(job.event)])}});
    }
    json["safety"] = writer.safety();
    return written(json);
}

std::string ways_json(const Subject& subject, const ways::WhyNot& why, const ways::WaysOut& out) {
    const Writer writer(subject);
    Json json = writer.begin("ways out");
    json["proven"] = why.proven;
    json["conditions"] = writer.conditions(why);
    json["tried"] = out.tried;
    json["ways"] = Json::array();
    for (const ways::WayOut& way : out.ways) {
        Json one = writer.change(way.change);
        one["least"] = way.least;
        one["alarm"] = way.alarm ? writer.time(*way.alarm) : Json(nullptr);
        json["ways"].push_back(std::move(one));
    }
    json["undecided"] = writer.changes(out.undecided);
    return written(json);
}

std::string gains_json(const Subject& subject, const ways::Gains& gains) {
    const Writer writer(subject);
    Json json = writer.begin("gains");
    json["goals"] = Writer::goals_short(gains.now);
    json["gains"] = Json::array();
    for (const ways::Gain& gain : gains.gains) {
        Json one = writer.change(gain.change);
        one["goals"] = Writer::goals_short(gain.goals);
        json["gains"].push_back(std::move(one));
    }
    json["nothing"] = writer.changes(gains.nothing);
    return written(json);
}

std::string diagnostics_json(const std::vector<Diagnostic>& diagnostics, const Sources& sources) {
    const auto place = [&](const Place& at) -> Json {
        if (at.file < 0 || at.file >= static_cast<std::int32_t>(sources.files.size())) return nullptr;
        return {{"file", sources.files[at.file].path}, {"line", at.line}, {"column", at.column}};
    };
    Json json = head("diagnostics");
    json["diagnostics"] = Json::array();
    for (const Diagnostic& one : diagnostics) {
        Json notes = Json::array();
        for (const Note& note : one.notes) notes.push_back({{"message", note.message}, {"place", place(note.place)}});
        json["diagnostics"].push_back({{"severity", one.severity == Severity::error ? "error" : "caution"},
                                       {"message", one.message},
                                       {"suggestion", one.suggestion},
                                       {"place", place(one.place)},
                                       {"notes", std::move(notes)}});
    }
    return written(json);
}

}  // namespace oventide::report
