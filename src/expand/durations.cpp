#include "expand/durations.hpp"

#include <algorithm>

#include "expand/arithmetic.hpp"

namespace oventide::expansion {
namespace {

constexpr std::int64_t kKilogram = 1'000'000;  // milligrams

std::int64_t minutes_up(Seconds seconds) { return divided_up(std::max<std::int64_t>(seconds.count(), 0), 60); }

/// Seconds of each setting; the one that leaves its time open, or the last, gets what is left of `total`.
std::vector<std::int64_t> setting_seconds(const Bake& bake, Seconds total) {
    std::vector<std::int64_t> lasts;
    std::int64_t left = total.count();
    std::size_t open = bake.programme.size() - 1;
    for (std::size_t i = 0; i < bake.programme.size(); ++i) {
        const Setting& setting = bake.programme[i];
        if (!setting.lasts) open = i;
        lasts.push_back(setting.lasts.value_or(Seconds{0}).count());
        left -= lasts.back();
    }
    if (left < 0) return {};
    lasts[open] += left;
    return lasts;
}

}  // namespace

Seconds seconds_taken(const Plan& plan, const Component& component, const Step& step, std::int64_t amount) {
    const Seconds base = plan.times == Times::usual ? step.takes.usual : step.takes.longest;
    const std::int64_t unit = component.makes.unit == Amount::Unit::milligrams ? kKilogram : 1;
    return base + Seconds{scaled_up(step.each.count(), amount, unit)};
}

Time minutes_taken(const Plan& plan, const Component& component, const Step& step, std::int64_t amount) {
    return to_time(minutes_up(seconds_taken(plan, component, step, amount)));
}

std::vector<ProgrammeStage> programme_stages(const Bake& bake, Seconds total, MilliCelsius room) {
    std::vector<ProgrammeStage> stages;
    const std::vector<std::int64_t> lasts = setting_seconds(bake, total);
    std::int64_t elapsed = 0;
    MilliCelsius before = room;
    for (std::size_t i = 0; i < lasts.size(); ++i) {
        const std::int64_t from = minutes_up(Seconds{elapsed});
        elapsed += lasts[i];
        const std::int64_t to = minutes_up(Seconds{elapsed});
        const auto temperature = bake.programme[i].temperature;
        if (from < to || (stages.empty() && i + 1 == lasts.size()))
            stages.push_back({temperature, before, to_time(to - from)});
        if (temperature) before = *temperature;
    }
    return stages;
}

}  // namespace oventide::expansion
