#include "oventide/watch.hpp"

#include <algorithm>
#include <cmath>

namespace oventide {
namespace {

std::string duration_text(Minutes minutes) {
    const bool hours = minutes.count() % 60 == 0;
    return std::to_string(hours ? minutes.count() / 60 : minutes.count()) + (hours ? " h" : " min");
}

std::string degrees_text(double celsius) {
    const std::string text = std::to_string(std::lround(celsius * 10) / 10.0);  // "57.000000"
    const std::size_t point = text.find('.');
    return text.substr(0, text[point + 1] == '0' ? point : point + 2) + " C";
}

/// Index of the first reading at or below `celsius`; the number of readings where there is none.
std::size_t first_at_or_below(const Course& course, double celsius) {
    const auto found = std::ranges::find_if(course.readings, [&](const Measured& m) { return m.celsius <= celsius; });
    return static_cast<std::size_t>(found - course.readings.begin());
}

std::optional<double> forecast_to(const Course& course, double celsius) {
    if (!course.ahead || course.readings.empty()) return std::nullopt;
    const Measured& last = course.readings.back();
    const double left = (celsius - course.ahead->around) / (last.celsius - course.ahead->around);
    if (!(left > 0 && left < 1)) return std::nullopt;
    return last.minutes - course.ahead->tenfold * std::log10(left);
}

/// From when a stage that begins at `celsius` counts, taken for the worse.
std::optional<double> counts_from(const Course& course, std::optional<double> celsius) {
    if (!celsius) return 0.0;
    const std::size_t first = first_at_or_below(course, *celsius);
    if (first == course.readings.size()) return forecast_to(course, *celsius);
    if (course.readings[first].celsius == *celsius) return course.readings[first].minutes;
    return first == 0 ? 0.0 : course.readings[first - 1].minutes;
}

bool in_time(double minutes, double due, bool strictly) { return strictly ? minutes < due : minutes <= due; }

Standing stage_standing(const Course& course, const CoolingStage& stage, double due, std::optional<double> happens) {
    const std::size_t first = first_at_or_below(course, stage.to);
    const bool shown = first < course.readings.size();
    if (shown && in_time(*happens, due, stage.strictly)) return Standing::met;
    if (first > 0 && course.readings[first - 1].minutes >= due) return Standing::broken;
    if (shown || course.now > due) return Standing::unrecorded;
    if (happens) return in_time(*happens, due, stage.strictly) ? Standing::on_course : Standing::will_break;
    // A forecast that never gets there breaks the limit just as one that is late.
    return course.ahead && !course.readings.empty() ? Standing::will_break : Standing::open;
}

LimitWatch watch_stage(const CoolingStage& stage, const Course& course) {
    LimitWatch result;
    result.kind = LimitWatch::Kind::stage;
    result.text = (stage.from ? degrees_text(*stage.from) + " to " : "to ") + degrees_text(stage.to) +
                  (stage.strictly ? " in under " : " within ") + duration_text(stage.within);
    if (!stage.from) result.text += " of the end of cooking";
    result.counted_from = counts_from(course, stage.from);
    if (!result.counted_from) return result;
    result.due = *result.counted_from + static_cast<double>(stage.within.count());
    result.happens = falls_to(course, stage.to);
    result.standing = stage_standing(course, stage, *result.due, result.happens);
    return result;
}

LimitWatch watch_chill_start(const SafetyRule& rule, const Course& course) {
    LimitWatch result;
    result.kind = LimitWatch::Kind::chill_start;
    result.text = "chill begun within " + duration_text(rule.chill_within) + " of the end of cooking";
    result.counted_from = 0;
    result.due = static_cast<double>(rule.chill_within.count());
    result.happens = course.chill_began;
    if (course.chill_began) {
        result.standing = *course.chill_began <= *result.due ? Standing::met : Standing::broken;
    } else if (course.now > *result.due) {
        result.standing = Standing::broken;
    }
    return result;
}

// --------------------------------------------------------------------------------------------------- holding

/// A stretch outside a holding limit, from reading to reading; the last one may go on until now.
struct Stretch {
    double from = 0;
    double to = 0;
    double warmest = 0;
    bool goes_on = false;
};

bool within_limit(const HoldingLimit& limit, double celsius) {
    return limit.kind == HoldingLimit::Kind::cold ? celsius <= limit.limit : celsius >= limit.limit;
}

/// Stretches outside, counted from reading `first`, which is the first that is held to the limit.
std::vector<Stretch> stretches_outside(const HoldingLimit& limit, const Course& course, std::size_t first) {
    std::vector<Stretch> stretches;
    bool outside = false;
    for (std::size_t i = first; i < course.readings.size(); ++i) {
        const Measured& reading = course.readings[i];
        const bool within = within_limit(limit, reading.celsius);
        if (!within && !outside) {
            const double from = i > first ? course.readings[i - 1].minutes : reading.minutes;
            stretches.push_back({from, reading.minutes, reading.celsius, true});
        }
        if (outside || !within) {
            Stretch& stretch = stretches.back();
            stretch.to = reading.minutes;
            stretch.goes_on = !within;
            if (!within) stretch.warmest = std::max(stretch.warmest, reading.celsius);
        }
        outside = !within;
    }
    if (outside) stretches.back().to = std::max(stretches.back().to, course.now);
    return stretches;
}

/// Until when the stretch may last; its own beginning where nothing tolerates it.
double tolerated_until(const HoldingLimit& limit, const Stretch& stretch) {
    double until = stretch.from;
    for (const Tolerance& tolerance : limit.tolerances) {
        if (tolerance.never_above && stretch.warmest > *tolerance.never_above) continue;
        until = std::max(until, stretch.from + static_cast<double>(tolerance.lasts.count()));
    }
    return until;
}

bool tolerated(const HoldingLimit& limit, const Stretch& stretch) {
    return std::ranges::any_of(limit.tolerances, [&](const Tolerance& tolerance) {
        if (tolerance.never_above && stretch.warmest > *tolerance.never_above) return false;
        return in_time(stretch.to - stretch.from, static_cast<double>(tolerance.lasts.count()), tolerance.strictly);
    });
}

LimitWatch watch_holding(const HoldingLimit& limit, const Course& course, std::size_t first) {
    LimitWatch result;
    result.kind = LimitWatch::Kind::holding;
    result.text =
        "held at " + degrees_text(limit.limit) + (limit.kind == HoldingLimit::Kind::cold ? " or below" : " or above");
    const std::vector<Stretch> stretches = stretches_outside(limit, course, first);
    if (stretches.empty()) {
        result.standing = first < course.readings.size() ? Standing::met : Standing::open;
        return result;
    }
    result.counted_from = stretches.front().from;
    result.due = tolerated_until(limit, stretches.front());
    if (!stretches.front().goes_on) result.happens = stretches.front().to;
    const bool fine = stretches.size() == 1 && tolerated(limit, stretches.front());  // a tolerance is used once
    result.standing = !fine ? Standing::broken : stretches.front().goes_on ? Standing::open : Standing::met;
    return result;
}

std::vector<LimitWatch> watch_held(const SafetyRule& rule, HoldingLimit::Kind kind, const Course& course) {
    std::vector<LimitWatch> result;
    for (const HoldingLimit& limit : rule.holding) {
        if (limit.kind == kind) result.push_back(watch_holding(limit, course, 0));
    }
    return result;
}

std::vector<LimitWatch> watch_cooling(const SafetyRule& rule, const Course& course) {
    std::vector<LimitWatch> result;
    if (rule.stages.empty()) result.push_back(watch_chill_start(rule, course));
    for (const CoolingStage& stage : rule.stages) result.push_back(watch_stage(stage, course));
    // Once it is cold it is held to the cold.
    for (const HoldingLimit& limit : rule.holding) {
        if (limit.kind != HoldingLimit::Kind::cold) continue;
        const std::size_t first = first_at_or_below(course, limit.limit);
        if (first < course.readings.size()) result.push_back(watch_holding(limit, course, first));
    }
    return result;
}

}  // namespace

std::optional<double> falls_to(const Course& course, double celsius) {
    const std::size_t first = first_at_or_below(course, celsius);
    if (first == course.readings.size()) return forecast_to(course, celsius);
    const Measured& below = course.readings[first];
    if (first == 0) return below.minutes;
    const Measured& above = course.readings[first - 1];
    return above.minutes +
           (below.minutes - above.minutes) * (above.celsius - celsius) / (above.celsius - below.celsius);
}

std::vector<LimitWatch> watch(const SafetyRule& rule, Duty duty, const Course& course) {
    switch (duty) {
        case Duty::held_cold:
            return watch_held(rule, HoldingLimit::Kind::cold, course);
        case Duty::held_hot:
            return watch_held(rule, HoldingLimit::Kind::hot, course);
        case Duty::cooling:
            break;
    }
    return watch_cooling(rule, course);
}

Instant clock_time(Instant cooked, double due) { return cooked + Minutes{static_cast<std::int64_t>(std::floor(due))}; }

}  // namespace oventide
