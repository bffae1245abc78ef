#include "cli/chill.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "cli/output.hpp"
#include "cli/terminal.hpp"
#include "oventide/journal.hpp"
#include "oventide/plan_file.hpp"
#include "oventide/report.hpp"
#include "oventide/safety.hpp"
#include "oventide/spelling.hpp"

namespace oventide::cli {
namespace {

constexpr int kMoreVessels = 3;

struct Objection {
    std::string what;
    std::string advice;
};

template <class T>
using Or = std::variant<T, Objection>;

/// The words for a file as they are on the command line: "write depth = \"5 cm\"" becomes "write --depth '5 cm'".
std::string as_option(std::string advice) {
    const std::size_t at = advice.find(" = \"");
    if (!advice.starts_with("write ") || at == std::string::npos) return advice;
    std::string key = advice.substr(6, at - 6);
    std::string value = advice.substr(at + 3);
    std::replace(value.begin(), value.end(), '"', '\'');
    return "write --" + key + " " + value;
}

Objection objection_of(const std::vector<Diagnostic>& diagnostics) {
    const Diagnostic& first = diagnostics.front();
    return {first.message, as_option(first.suggestion)};
}

// ------------------------------------------------------------------------------------------------- which steps

struct StepOfPlan {
    ComponentIndex component = 0;
    StepIndex step = 0;
    std::string name;  ///< "custard.chill"
};

/// Every step that says how it cools; with words on the command line that can say it instead, every chill too.
std::vector<StepOfPlan> cooling_steps(const Plan& plan, bool chills_too) {
    std::vector<StepOfPlan> found;
    for (std::size_t c = 0; c < plan.components.size(); ++c)
        for (std::size_t s = 0; s < plan.components[c].steps.size(); ++s) {
            const Step& step = plan.components[c].steps[s];
            if (step.cools || (chills_too && step.chill))
                found.push_back({static_cast<ComponentIndex>(c), static_cast<StepIndex>(s),
                                 plan.components[c].name + "." + step.name});
        }
    return found;
}

Or<std::vector<StepOfPlan>> chosen_steps(const Plan& plan, const Arguments& arguments) {
    auto steps = cooling_steps(plan, !arguments.step.empty() && !arguments.cools.empty());
    if (steps.empty())
        return Objection{"no step of the plan says how it cools",
                         "write cools = { from = \"85 C\", to = \"5 C\", depth = \"5 cm\" } at a step"};
    if (arguments.step.empty()) return steps;
    std::vector<std::string> names;
    for (const StepOfPlan& step : steps) names.push_back(step.name);
    const journal::StepName found = journal::find_step(arguments.step, names);
    const auto step = std::find_if(steps.begin(), steps.end(), [&](const auto& s) { return s.name == found.id; });
    if (step != steps.end()) return std::vector<StepOfPlan>{*step};
    const auto& near = found.candidates.empty() ? names : found.candidates;
    return Objection{found.several ? fmt::format("several steps begin with '{}'", arguments.step)
                                   : fmt::format("no step that cools is called '{}'", arguments.step),
                     fmt::format("{} {}", found.several || found.candidates.empty() ? "there are" : "did you mean",
                                 fmt::join(near, ", "))};
}

/// The largest batch of the component, as the one that takes longest; 0 where it is counted in pieces.
std::int64_t largest_batch(const Plan& plan, const Expansion& expansion, ComponentIndex component) {
    if (plan.components[component].makes.unit != Amount::Unit::milligrams) return 0;
    std::int64_t most = 0;
    for (const Batch& batch : expansion.batches)
        if (batch.component == component) most = std::max(most, batch.share.to - batch.share.from);
    return most;
}

// ------------------------------------------------------------------------------------------------------ asking

Or<report::ChillQuestion> question(const Arguments& arguments, const Cools* base, const Kitchen* kitchen) {
    report::ChillQuestion asked;
    const CoolsReading reading = read_cools(arguments.cools, base, kitchen);
    if (!reading.cools) return objection_of(reading.diagnostics);
    asked.cools = *reading.cools;
    if (arguments.weight.empty()) return asked;
    const auto weight = read_weight(arguments.weight);
    if (!weight.milligrams) return objection_of(weight.diagnostics);
    asked.milligrams = *weight.milligrams;
    return asked;
}

Or<std::vector<report::ChillQuestion>> questions_of(const Reading& reading, const Arguments& arguments) {
    const auto chosen = chosen_steps(*reading.plan, arguments);
    if (const auto* objection = std::get_if<Objection>(&chosen)) return *objection;
    std::vector<report::ChillQuestion> asked;
    for (const StepOfPlan& which : std::get<std::vector<StepOfPlan>>(chosen)) {
        const Step& step = reading.plan->components[which.component].steps[which.step];
        const auto one = question(arguments, step.cools ? &*step.cools : nullptr, &reading.plan->kitchen);
        if (const auto* objection = std::get_if<Objection>(&one)) return *objection;
        asked.push_back(std::get<report::ChillQuestion>(one));
        asked.back().name = which.name;
        asked.back().planned = std::chrono::ceil<Minutes>(step.takes.usual);
        if (arguments.weight.empty())
            asked.back().milligrams = largest_batch(*reading.plan, *reading.expansion, which.component);
    }
    return asked;
}

Or<std::optional<SafetyRule>> rule_of(const Reading* reading, const Arguments& arguments) {
    const std::string key = !arguments.safety.empty() ? arguments.safety
                            : reading                 ? reading->plan->safety.rule
                                                      : std::string(kDefaultSafetyRule);
    auto rule = find_safety_rule(key);
    if (rule || key == kNoSafetyRule) return rule;
    std::vector<std::string> known;
    for (const SafetyRule& each : safety_rules()) known.emplace_back(each.key);
    const auto near = near_misses(key, known);
    return Objection{fmt::format("there is no food-safety rule called '{}'", key),
                     near.empty() ? fmt::format("rules are {}, none", fmt::join(known, ", "))
                                  : fmt::format("did you mean '{}'?", near.front())};
}

bool gets_there(const report::ChillQuestion& question) {
    return question.answer && question.answer->lines.front().takes.likely;
}

ExitCode refuse(const Objection& objection) {
    write_error(
        fmt::format("oventide: {}\n{}{}", objection.what, objection.advice, objection.advice.empty() ? "" : "\n"));
    return ExitCode::wrong;
}

}  // namespace

ExitCode ask_chill(const Reading* reading, const Arguments& arguments) {
    report::ChillQuestions questions;
    const auto rule = rule_of(reading, arguments);
    if (const auto* objection = std::get_if<Objection>(&rule)) return refuse(*objection);
    questions.rule = std::get<std::optional<SafetyRule>>(rule);
    if (reading) {
        auto asked = questions_of(*reading, arguments);
        if (const auto* objection = std::get_if<Objection>(&asked)) return refuse(*objection);
        questions.asked = std::get<std::vector<report::ChillQuestion>>(std::move(asked));
    } else {
        auto asked = question(arguments, nullptr, nullptr);
        if (const auto* objection = std::get_if<Objection>(&asked)) return refuse(*objection);
        questions.asked.push_back(std::get<report::ChillQuestion>(std::move(asked)));
    }
    for (report::ChillQuestion& each : questions.asked)
        each.answer = chill::answer(each.cools, each.milligrams, questions.rule ? &*questions.rule : nullptr,
                                    Minutes{0}, kMoreVessels);
    const bool all = std::all_of(questions.asked.begin(), questions.asked.end(), gets_there);
    const std::string text = arguments.json
                                 ? report::chill_json(questions)
                                 : report::chill_text(questions, page_style(arguments.width, arguments.ascii));
    return print(text, all ? ExitCode::timetable : ExitCode::none);
}

}  // namespace oventide::cli
