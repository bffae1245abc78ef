#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "oventide/report.hpp"
#include "oventide/watch.hpp"
#include "report/json_parts.hpp"

namespace oventide::report {
namespace {

Json minutes(const std::optional<Minutes>& value) { return value ? Json(value->count()) : Json(nullptr); }
/// Whole minutes, up.
Json minutes(const std::optional<double>& value) {
    return value ? Json(static_cast<std::int64_t>(std::ceil(*value))) : Json(nullptr);
}
Json range(const cooling::Range& of) { return {{"low", of.low}, {"usual", of.usual}, {"high", of.high}}; }
double degrees(MilliCelsius temperature) { return static_cast<double>(temperature) / 1000; }
/// To a tenth of a millimetre: more would be noise.
double millimetres(double metres) { return std::round(metres * 1e4) / 10; }

const char* vessel_name(Vessel vessel) {
    switch (vessel) {
        case Vessel::tray:
            return "tray";
        case Vessel::box:
            return "box";
        case Vessel::pot:
            break;
    }
    return "pot";
}

Json line_json(const chill::Line& line) {
    return {{"vessels", line.vessels},
            {"millimetres", millimetres(line.depth)},
            {"earliest", minutes(line.takes.earliest)},
            {"likely", minutes(line.takes.likely)},
            {"latest", minutes(line.takes.latest)}};
}

Json stage_json(const chill::Stage& stage) {
    return {{"limit", stage.text},
            {"due", minutes(stage.due)},
            {"likely", minutes(stage.likely)},
            {"latest", minutes(stage.latest)},
            {"kept", stage.likely_kept},
            {"surely_kept", stage.surely_kept}};
}

Json question_json(const ChillQuestion& question) {
    const Cools& cools = question.cools;
    Json json{{"step", question.name.empty() ? Json(nullptr) : Json(question.name)},
              {"from", degrees(cools.from)},
              {"to", degrees(cools.to)},
              {"food", cools.parts ? Json(nullptr) : Json(cools.food)},
              {"mg", question.milligrams > 0 ? Json(question.milligrams) : Json(nullptr)},
              {"vessel", vessel_name(cools.vessel)},
              {"where", cools.where.name},
              {"planned", minutes(question.planned)},
              {"surroundings", nullptr},
              {"lines", Json::array()},
              {"stages", Json::array()}};
    if (!question.answer) return json;
    const cooling::Surroundings& where = question.answer->basis.where;
    json["surroundings"] = {
        {"celsius", range(where.celsius)}, {"transfer", range(where.transfer)}, {"source", where.source}};
    for (const chill::Line& line : question.answer->lines) json["lines"].push_back(line_json(line));
    for (const chill::Stage& stage : question.answer->stages) json["stages"].push_back(stage_json(stage));
    return json;
}

}  // namespace

std::string chill_json(const ChillQuestions& questions) {
    Json json = head("chill");
    json["chills"] = Json::array();
    for (const ChillQuestion& question : questions.asked) json["chills"].push_back(question_json(question));
    json["rule"] = questions.rule ? Json(questions.rule->key) : Json(nullptr);
    json["caution"] = kWatchCaution;
    return written(json);
}

}  // namespace oventide::report
