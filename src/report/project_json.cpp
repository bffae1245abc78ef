/// A project for programs: every field of project.hpp under its own name, so that an outside model can solve it.

#include <nlohmann/json.hpp>

#include "oventide/report.hpp"

namespace oventide::report {
namespace {

using Json = nlohmann::ordered_json;

/// No limit is null.
Json time_or_null(Time time) { return time >= kNever ? Json(nullptr) : Json(time); }

Json moment(const Moment& moment) {
    return {{"of", moment.of == Moment::Of::start ? "start" : "end"}, {"offset", moment.offset}};
}

Json demand(const Demand& demand) {
    Json stages = Json::array();
    for (const Stage& stage : demand.stages) stages.push_back({{"setting", stage.setting}, {"lasts", stage.lasts}});
    return {{"choices", demand.choices}, {"amount", demand.amount},         {"from", moment(demand.from)},
            {"to", moment(demand.to)},   {"held_until", demand.held_until}, {"stages", stages},
            {"sealed", demand.sealed}};
}

Json activity(const Activity& activity) {
    Json demands = Json::array();
    for (const Demand& each : activity.demands) demands.push_back(demand(each));
    return {{"name", activity.name},
            {"duration", activity.duration},
            {"stretchable", activity.stretchable},
            {"keep", time_or_null(activity.keep)},
            {"users", activity.users},
            {"held_until", activity.held_until < 0 ? Json(nullptr) : Json(activity.held_until)},
            {"release", activity.release},
            {"due", time_or_null(activity.due)},
            {"demands", demands}};
}

Json resource(const Resource& resource) {
    Json capacity = Json::array();
    for (const CapacityStep& step : resource.capacity)
        capacity.push_back({{"from", step.from}, {"capacity", step.capacity}});
    Json json = {{"name", resource.name}, {"capacity", capacity}, {"wakes", resource.wakes}, {"state", nullptr}};
    if (resource.has_state)
        json["state"] = {{"transition", resource.state.transition},
                         {"startup", resource.state.startup},
                         {"self_starting", resource.state.self_starting}};
    return json;
}

const char* goal_name(Goal goal) {
    switch (goal) {
        case Goal::overrun:
            return "overrun";
        case Goal::alarm:
            return "alarm";
        case Goal::waiting:
            return "waiting";
    }
    return "";
}

template <class T, class Writer>
Json list(const std::vector<T>& things, Writer write) {
    Json json = Json::array();
    for (const T& each : things) json.push_back(write(each));
    return json;
}

}  // namespace

std::string project_json(const Expansion& expansion) {
    const Project& project = expansion.project;
    const Json json = {
        {"origin", expansion.origin.time_since_epoch().count()},
        {"horizon", project.horizon},
        {"reset_after", project.reset_after},
        {"goals", list(project.goals, goal_name)},
        {"attended", list(project.attended,
                          [](const Interval& interval) {
                              return Json{{"from", interval.from}, {"to", interval.to}};
                          })},
        {"settings", list(project.settings,
                          [](const SettingInfo& setting) {
                              return Json{{"name", setting.name}, {"exclusive", setting.exclusive}};
                          })},
        {"resources", list(project.resources, resource)},
        {"activities", list(project.activities, activity)},
        {"lags", list(project.lags,
                      [](const Lag& lag) {
                          return Json{{"from", lag.from}, {"to", lag.to}, {"lag", lag.lag}};
                      })},
        {"freshness", list(project.freshness,
                           [](const Freshness& food) {
                               return Json{{"makers", food.makers},
                                           {"users", food.users},
                                           {"last_time", food.last_time < 0 ? Json(nullptr) : Json(food.last_time)},
                                           {"best_within", food.best_within}};
                           })},
        {"links", list(project.links, [](const WaitLink& link) {
             return Json{{"maker", link.maker},
                         {"user", link.user < 0 ? Json(nullptr) : Json(link.user)},
                         {"time", link.time},
                         {"weight", link.weight}};
         })}};
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace oventide::report
