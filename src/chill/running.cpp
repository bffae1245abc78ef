#include <algorithm>
#include <chrono>
#include <cmath>

#include "chill/physics.hpp"
#include "oventide/chill.hpp"
#include "oventide/chilling.hpp"

namespace oventide::chill {
namespace {

constexpr Minutes kFirstMinute{1};

double seconds_between(Instant from, Instant to) { return std::chrono::duration<double>(to - from).count(); }

std::optional<Instant> after(Instant start, std::optional<double> seconds, double (*round)(double)) {
    if (!seconds) return std::nullopt;
    // A month is as good as never, and has no clock time that anybody would wait for.
    constexpr double kMonth = 31 * 24 * 60;
    const double minutes = round(*seconds / 60);
    if (minutes > kMonth) return std::nullopt;
    return start + Minutes{static_cast<std::int64_t>(minutes)};
}

double up(double minutes) { return std::ceil(minutes); }
double down(double minutes) { return std::floor(minutes); }

/// What is forecast, and which of the given readings each of its readings is.
struct Question {
    cooling::Chill chill;
    std::vector<std::size_t> given;
};

Question question(const Step& step, std::int64_t milligrams, Instant start, const std::vector<Probed>& readings) {
    const Cools& cools = *step.cools;
    Question asked;
    asked.chill.start = degrees(cools.from);
    asked.chill.target = degrees(cools.to);
    asked.chill.around = surroundings(cools.where).celsius;
    const auto belief_of_container =
        cooling::belief(layer(cools, milligrams), surroundings(cools.where), *asked.chill.start, asked.chill.target);
    asked.chill.belief = belief(step, milligrams);
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i].at < start) continue;
        asked.given.push_back(i);
        asked.chill.readings.push_back({seconds_between(start, readings[i].at), readings[i].celsius});
    }
    if (!belief_of_container && asked.chill.readings.size() >= 2) {
        // The plan's own time is a guess, and so is how warm it went in: two readings know better.
        asked.chill.belief.reset();
        asked.chill.start.reset();
    } else if (!asked.given.empty() && readings[asked.given.front()].at - start <= kFirstMinute &&
               asked.chill.readings.front().celsius > asked.chill.target) {
        asked.chill.start = asked.chill.readings.front().celsius;
        asked.chill.readings.erase(asked.chill.readings.begin());
        asked.given.erase(asked.given.begin());
    }
    return asked;
}

/// Minutes since `cooked` at which the law passes `celsius`; empty: never.
std::optional<double> passes(const Running& running, Instant cooked, Instant start, double celsius) {
    const cooling::Forecast& law = running.forecast;
    if (law.around >= celsius || law.at_reference <= law.around) return std::nullopt;
    const double seconds = law.reference + law.f * std::log10((law.at_reference - law.around) / (celsius - law.around));
    return (seconds_between(cooked, start) + std::max(0.0, seconds)) / 60;
}

bool not_yet(Standing standing) {
    return standing == Standing::on_course || standing == Standing::will_break || standing == Standing::open;
}

/// `watch` draws the law through the last reading, which while the first lag lasts lies below it.
void mend_lag(const CoolingStage& stage, std::optional<double> passes, LimitWatch& limit) {
    if (!not_yet(limit.standing) || !limit.due || !passes || (limit.happens && *limit.happens >= *passes)) return;
    limit.happens = passes;
    const bool kept = stage.strictly ? *passes < *limit.due : *passes <= *limit.due;
    limit.standing = kept ? Standing::on_course : Standing::will_break;
}

Course course_of(Instant cooked, Instant start, Instant now, const std::vector<Probed>& readings,
                 const std::optional<Running>& running) {
    const auto minutes = [&](Instant at) { return static_cast<double>((at - cooked).count()); };
    Course course;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const bool doubted = running && std::ranges::count(running->doubted, i) > 0;
        if (!doubted && readings[i].at >= cooked)
            course.readings.push_back({minutes(readings[i].at), readings[i].celsius});
    }
    std::ranges::stable_sort(course.readings, {}, &Measured::minutes);
    if (running) course.ahead = Ahead{running->forecast.around, running->forecast.f / 60};
    course.chill_began = minutes(start);
    course.now = minutes(now);
    return course;
}

}  // namespace

std::optional<Running> running(const Step& step, std::int64_t milligrams, Instant start,
                               const std::vector<Probed>& readings) {
    if (!step.cools) return std::nullopt;
    const Question asked = question(step, milligrams, start, readings);
    const auto found = cooling::forecast(asked.chill);
    if (!found) return std::nullopt;
    Running result;
    result.forecast = *found;
    result.since = start;
    result.earliest = after(start, found->earliest, down);
    result.likely = after(start, found->likely, up);
    result.latest = after(start, found->latest, up);
    for (const std::size_t doubted : found->doubted) result.doubted.push_back(asked.given[doubted]);
    return result;
}

std::vector<Limit> limits(const SafetyRule& rule, Instant cooked, Instant start, Instant now,
                          const std::vector<Probed>& readings, const std::optional<Running>& running) {
    auto watched = watch(rule, Duty::cooling, course_of(cooked, start, now, readings, running));
    std::size_t stage = 0;
    std::vector<Limit> result;
    for (LimitWatch& limit : watched) {
        if (limit.kind == LimitWatch::Kind::stage) {
            const CoolingStage& of = rule.stages[stage++];
            if (running) mend_lag(of, passes(*running, cooked, running->since, of.to), limit);
        }
        const auto clock = [&](std::optional<double> minutes) -> std::optional<Instant> {
            if (!minutes) return std::nullopt;
            return clock_time(cooked, *minutes);
        };
        result.push_back({limit.text, limit.standing, clock(limit.due), clock(limit.happens)});
    }
    return result;
}

}  // namespace oventide::chill
